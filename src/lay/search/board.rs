//! The board: outlines lying over one another, and who collides with whom. The only
//! file that names jagua-rs, which answers that one question; what a collision weighs
//! and where pieces go is decided elsewhere.
//!
//! jagua-rs reckons in f32, and what it calls apart may overlap by a rounding: no place
//! counts as found before the exact slabs have looked at it (`settled.rs`).

use std::cell::Cell;
use std::panic::{AssertUnwindSafe, catch_unwind};

use jagua_rs::collision_detection::hazards::collector::HazardCollector;
use jagua_rs::collision_detection::hazards::filter::HazardFilter;
use jagua_rs::collision_detection::hazards::{HazKey, Hazard, HazardEntity};
use jagua_rs::collision_detection::{CDEConfig, CDEngine};
use jagua_rs::geometry::Transformation;
use jagua_rs::geometry::fail_fast::SPSurrogateConfig;
use jagua_rs::geometry::geo_enums::GeoPosition;
use jagua_rs::geometry::geo_traits::{Transformable, TransformableFrom};
use jagua_rs::geometry::primitives::{Point as Corner, Rect, SPolygon};

use crate::geom::Point;

use super::super::LayError;

/// How often the board is quartered (judgement: with the threshold below, of 3 to 6 the
/// fastest on the instances of `examples/measure_lay.rs`).
const QUARTERED: u8 = 4;

/// With so few sides in a quarter they are compared one by one (judgement, as above).
const FEW_SIDES: u8 = 16;

/// An outline as the board takes it, about its own middle.
#[derive(Clone, Debug)]
pub(super) struct Solid(SPolygon);

/// Outlines lying on a board, each under a number of its own.
#[derive(Clone, Debug)]
pub(super) struct Board {
    engine: CDEngine<Lying>,
    keys: Vec<Option<HazKey>>,
    tried: Vec<SPolygon>,
}

/// Which numbers need no look (again).
#[derive(Clone, Debug, Default)]
pub(super) struct Seen([Cell<u64>; SEEN_WORDS]);

/// 64 numbers a word: more pieces than a lay may hold, and the flap.
const SEEN_WORDS: usize = 7;

/// What a board holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
enum Lying {
    /// All that is not the board; jagua-rs asks for one such.
    Outside,
    Piece(usize),
}

impl Solid {
    /// `None` where jagua-rs cannot take the outline: it crosses or touches itself, or is
    /// too thin for f32.
    pub(super) fn of(outline: &[Point]) -> Option<Solid> {
        let mut corners: Vec<Corner> = outline.iter().map(|p| Corner(single(p[0]), single(p[1]))).collect();
        corners.dedup();
        while corners.len() > 1 && corners.first() == corners.last() {
            corners.pop();
        }
        guarded(|| SPolygon::new(corners).ok()).ok().flatten().map(Solid)
    }
}

impl Board {
    /// An empty board for so many outlines over `0..width` and `0..length`, mm.
    pub(super) fn new(width: f64, length: f64, solids: &[Solid], pieces: usize) -> Option<Board> {
        // Outlines grown by half the gap stand out over the edges of the board.
        const AROUND_MM: f64 = 200.0;
        if pieces > SEEN_WORDS * 64 {
            return None;
        }
        let most = width.max(length);
        let whole =
            Rect::try_new(single(-AROUND_MM), single(-AROUND_MM), single(most + AROUND_MM), single(most + AROUND_MM))
                .ok()?;
        let outside = Hazard::new(Lying::Outside, SPolygon::from(whole).into());
        // Which pieces surely collide is found by circles of our own before the board is asked.
        let settings = CDEConfig {
            quadtree_depth: QUARTERED,
            cd_threshold: FEW_SIDES,
            item_surrogate_config: SPSurrogateConfig::none(),
        };
        let engine = CDEngine::new(whole, vec![outside], settings);
        let tried = solids.iter().map(|solid| solid.0.clone()).collect();
        Some(Board { engine, keys: vec![None; pieces], tried })
    }

    /// Lays outline `number`, or lays it elsewhere.
    pub(super) fn put(&mut self, number: usize, solid: &Solid, at: [f32; 2]) {
        let Some(key) = self.keys.get_mut(number) else { return };
        if let Some(key) = key.take() {
            self.engine.deregister_hazard_by_key(key);
        }
        let shape = solid.0.transform_clone(&Transformation::from_translation((at[0], at[1])));
        let lying = Lying::Piece(number);
        self.engine.register_hazard(Hazard::new(lying, shape.into()));
        *key = self.engine.haz_key(&lying);
    }

    /// Tells which outlines, but for those seen, the solid `which` would collide with
    /// there, until `enough` says so.
    pub(super) fn collisions(
        &mut self,
        which: usize,
        solid: &Solid,
        at: [f32; 2],
        seen: &Seen,
        mut enough: impl FnMut(usize) -> bool,
    ) {
        let Some(tried) = self.tried.get_mut(which) else { return };
        tried.transform_from(&solid.0, &Transformation::from_translation((at[0], at[1])));
        let _ =
            self.engine.collect_poly_collisions_until(tried, &Unseen(seen), &mut Found(seen), |lying| match lying {
                Lying::Outside => false,
                Lying::Piece(number) => enough(number),
            });
    }
}

/// Runs the search; a panic within jagua-rs ends it with an error, not the request.
pub(super) fn guarded<T>(work: impl FnOnce() -> T) -> Result<T, Broken> {
    // Whatever was being changed is dropped with the panic: nobody sees it half done.
    catch_unwind(AssertUnwindSafe(work)).map_err(|_| Broken)
}

/// The collision engine gave up.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Broken;

impl From<Broken> for LayError {
    fn from(_: Broken) -> LayError {
        LayError::Broken
    }
}

impl Seen {
    pub(super) fn clear(&self) {
        self.0.iter().for_each(|word| word.set(0));
    }

    pub(super) fn add(&self, number: usize) {
        if let Some(word) = self.0.get(number / 64) {
            word.set(word.get() | 1 << (number % 64));
        }
    }

    fn has(&self, number: usize) -> bool {
        self.0.get(number / 64).is_some_and(|word| word.get() >> (number % 64) & 1 == 1)
    }
}

impl HazardEntity for Lying {
    fn scope(&self) -> GeoPosition {
        if *self == Lying::Outside { GeoPosition::Exterior } else { GeoPosition::Interior }
    }

    fn is_dynamic(&self) -> bool {
        *self != Lying::Outside
    }
}

/// Passes over what was seen, and the outside: places are chosen on the cloth.
struct Unseen<'a>(&'a Seen);

impl HazardFilter<Lying> for Unseen<'_> {
    fn is_irrelevant(&self, _: HazKey, lying: &Lying) -> bool {
        match lying {
            Lying::Outside => true,
            Lying::Piece(number) => self.0.has(*number),
        }
    }
}

/// Keeps what was found as seen; the filter asks there.
struct Found<'a>(&'a Seen);

impl HazardCollector for Found<'_> {
    type Entity = Lying;

    fn contains_key(&self, _: HazKey) -> bool {
        false
    }

    fn insert(&mut self, _: HazKey, lying: Lying) {
        if let Lying::Piece(number) = lying {
            self.0.add(number);
        }
    }

    fn remove_by_key(&mut self, _: HazKey) {}

    fn len(&self) -> usize {
        0
    }

    fn iter(&self) -> impl Iterator<Item = (HazKey, &Lying)> {
        std::iter::empty()
    }
}

/// A coordinate in single precision.
#[expect(clippy::cast_possible_truncation, reason = "jagua-rs takes f32; what is lost is caught by the exact slabs")]
pub(super) fn single(mm: f64) -> f32 {
    mm as f32
}

#[cfg(test)]
mod tests {
    use super::*;

    fn square(side: f64) -> Vec<Point> {
        let half = side / 2.0;
        vec![[-half, -half], [half, -half], [half, half], [-half, half]]
    }

    fn met(board: &mut Board, which: usize, solid: &Solid, at: [f32; 2], seen: &Seen) -> Vec<usize> {
        let mut met = Vec::new();
        board.collisions(which, solid, at, seen, |number| {
            met.push(number);
            false
        });
        met.sort_unstable();
        met
    }

    #[test]
    fn it_tells_what_collides_within_and_without() {
        let solids = [Solid::of(&square(100.0)).unwrap(), Solid::of(&square(10.0)).unwrap()];
        let mut board = Board::new(500.0, 500.0, &solids, 3).unwrap();
        board.put(0, &solids[0], [100.0, 100.0]);
        board.put(1, &solids[1], [300.0, 300.0]);
        let seen = Seen::default();
        seen.add(2);
        // Wholly within the large one; clear of both; over both; the small one aside.
        assert_eq!(met(&mut board, 1, &solids[1], [110.0, 90.0], &seen), [0]);
        seen.clear();
        assert!(met(&mut board, 1, &solids[1], [200.0, 90.0], &seen).is_empty());
        assert_eq!(met(&mut board, 0, &solids[0], [300.0, 310.0], &seen), [1]);
        seen.clear();
        seen.add(1);
        assert!(met(&mut board, 0, &solids[0], [300.0, 310.0], &seen).is_empty());
        board.put(0, &solids[0], [400.0, 400.0]);
        seen.clear();
        assert!(met(&mut board, 1, &solids[1], [110.0, 90.0], &seen).is_empty());
    }

    #[test]
    fn what_breaks_within_is_an_error() {
        assert_eq!(guarded(|| -> u8 { panic!("within") }), Err(Broken));
        assert!(Solid::of(&[[0.0, 0.0], [1.0, 0.0]]).is_none());
        assert!(Solid::of(&[[0.0, 0.0], [10.0, 10.0], [10.0, 0.0], [0.0, 10.0]]).is_none());
    }
}
