//! Where in the print's repeat each item lies, so that the points that meet in a seam
//! meet in the print.
//!
//! The matches are the edges of a graph. Those that close no ring, taken in the order in
//! which the job names them, are walked from one piece of each group (one on the fold, which
//! cannot move across, else the largest), and give every other piece its place in the
//! repeat. A match that closes a ring holds by itself or cannot hold at all: it is left, and
//! [`super::super::unmatched`] names it.
//!
//! Along the cloth all copies of a part share a place. Across it they do so by hand, and a
//! piece drawn as its half has its point on both sides of its fold.

use std::collections::BTreeMap;

use crate::geom::Point;

use super::super::laid::{moved, reflected};
use super::super::{LayJob, Matched, Part};
use super::items::{Item, Split, What};
use super::shape::Shape;

/// Places that come again after every repeat.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Phase {
    pub(super) repeat_mm: f64,
    /// One of the places, mm.
    pub(super) at_mm: f64,
}

impl Phase {
    /// The first place from `least` on.
    pub(super) fn from(&self, least: f64) -> f64 {
        let repeats = ((least - self.at_mm) / self.repeat_mm - NEAR).ceil();
        self.at_mm + repeats * self.repeat_mm
    }
}

/// The first place from `least` on; `least` itself where any place will do.
pub(super) fn from(phase: Option<Phase>, least: f64) -> f64 {
    phase.map_or(least, |phase| phase.from(least))
}

/// A share of a repeat that is rounding: 1e-9 of 1 m is a nanometre.
const NEAR: f64 = 1e-9;

/// Whether a part must match in the print.
pub(super) fn matches(job: &LayJob, part: usize) -> bool {
    job.cloth.repeat.is_some() && job.matched.iter().any(|matched| matched.a.0 == part || matched.b.0 == part)
}

/// Whether a part must match across the cloth, so that each of its cuts is of one hand.
pub(super) fn holds_hand(job: &LayJob, part: usize) -> bool {
    job.cloth.repeat_across_mm().is_some() && matches(job, part)
}

/// Gives the items of a job their places in the repeat.
pub(super) fn set(job: &LayJob, split: &mut Split) {
    for (axis, repeat) in [(0, job.cloth.repeat_across_mm()), (1, job.cloth.repeat_along_mm())] {
        let Some(repeat_mm) = repeat.filter(|_| !job.matched.is_empty()) else { continue };
        let places = Knots::of(job, split, axis).walked();
        let Split { shapes, folded, open, .. } = split;
        for item in folded.iter_mut().chain(open) {
            let Some((key, shape)) = key(job, item, shapes, axis) else { continue };
            let Some(place) = places.get(&key) else { continue };
            let phase = Phase { repeat_mm, at_mm: place - middle(job, key.0, shape, axis) };
            if axis == 1 {
                item.along = Some(phase);
            } else if !item.on_limit && has_place(item, shapes, phase) {
                item.across = Some(phase);
            }
        }
    }
}

/// Whether a place of this phase lies between the limits of an item: a piece nearly as
/// wide as the cloth has none, and lies where it can.
fn has_place(item: &Item, shapes: &[Shape], phase: Phase) -> bool {
    const SLACK_MM: f64 = 1e-6;
    item.shapes
        .iter()
        .filter_map(|shape| shapes.get(*shape))
        .all(|shape| phase.from(item.left - shape.own.least[0]) <= item.right - shape.own.most[0] + SLACK_MM)
}

/// A part, and across the cloth the hand of its cuts.
type Key = (usize, bool);

/// The key of an item and its one upright shape; nothing for strips and for parts that
/// need not match.
fn key<'a>(job: &LayJob, item: &Item, shapes: &'a [Shape], axis: usize) -> Option<(Key, &'a Shape)> {
    let What::Part { part, .. } = item.what else { return None };
    let shape = shapes.get(*item.shapes.first()?)?;
    let by_hand = axis == 0 && upright_fold(job.parts.get(part)?, shape).is_none();
    matches(job, part).then_some(((part, by_hand && shape.mirrored), shape))
}

/// The fold of a part drawn as its half, where it lies upright: then the piece is the same
/// on both sides of it, and is moved as one.
fn upright_fold(part: &Part, shape: &Shape) -> Option<(Point, Point)> {
    const OFF_MM: f64 = 0.02;
    let (from, to) = part.fold?;
    let ends = moved(&[from, to], shape.turn, shape.mirrored, [0.0, 0.0]);
    let across: Vec<f64> = ends.iter().map(|end| end[0]).collect();
    (across.first()? - across.last()?).abs().le(&OFF_MM).then_some((from, to))
}

/// How far from the origin of a shape its piece has the line that its place is told by,
/// mm: across, an upright fold; else the origin itself.
fn middle(job: &LayJob, part: usize, shape: &Shape, axis: usize) -> f64 {
    let fold = job.parts.get(part).and_then(|part| upright_fold(part, shape)).filter(|_| axis == 0);
    let placed = fold.map(|(from, _)| moved(&[from], shape.turn, shape.mirrored, [0.0, 0.0]));
    placed.and_then(|placed| Some(placed.first()?[0])).unwrap_or_default()
}

/// One piece of the graph.
struct Knot<'a> {
    /// One of its shapes.
    shape: &'a Shape,
    /// Where its line lies when it lies hard against the first limit, mm.
    first: f64,
    /// Where its line must lie, mm: on the fold.
    held: Option<f64>,
}

impl Knot<'_> {
    /// Its area, as its box has it, mm².
    fn size(&self) -> f64 {
        self.shape.own.width() * self.shape.own.height()
    }
}

/// The graph for one axis.
struct Knots<'a> {
    job: &'a LayJob,
    axis: usize,
    knots: BTreeMap<Key, Knot<'a>>,
}

impl<'a> Knots<'a> {
    fn of(job: &'a LayJob, split: &'a Split, axis: usize) -> Knots<'a> {
        let mut knots = BTreeMap::new();
        for item in split.folded.iter().chain(&split.open) {
            let Some((key, shape)) = key(job, item, &split.shapes, axis) else { continue };
            let middle = middle(job, key.0, shape, axis);
            knots.entry(key).or_insert(Knot {
                shape,
                first: middle - shape.own.least.get(axis).copied().unwrap_or_default(),
                held: (item.on_limit && axis == 0).then(|| item.right - shape.own.most[0] + middle),
            });
        }
        Knots { job, axis, knots }
    }

    /// The place of every piece, mm.
    fn walked(&self) -> BTreeMap<Key, f64> {
        let edges = self.kept();
        let mut places: BTreeMap<Key, f64> =
            self.knots.iter().filter_map(|(key, knot)| Some((*key, knot.held?))).collect();
        let mut waiting: Vec<Key> = places.keys().copied().collect();
        let mut starts: Vec<(&Key, &Knot<'_>)> = self.knots.iter().collect();
        starts.sort_by(|a, b| b.1.size().total_cmp(&a.1.size()));
        let mut starts = starts.into_iter();
        loop {
            while let Some(key) = waiting.pop() {
                let Some(place) = places.get(&key).copied() else { continue };
                for (a, from_a, b, from_b) in &edges {
                    let other = match (*a == key, *b == key) {
                        (true, false) => (*b, place + from_a - from_b),
                        (false, true) => (*a, place + from_b - from_a),
                        _ => continue,
                    };
                    if let std::collections::btree_map::Entry::Vacant(entry) = places.entry(other.0) {
                        entry.insert(other.1);
                        waiting.push(other.0);
                    }
                }
            }
            let Some((key, knot)) = starts.find(|(key, _)| !places.contains_key(key)) else { return places };
            places.insert(*key, knot.first);
            waiting.push(*key);
        }
    }

    /// The matches that close no ring, the first named first: those decide.
    fn kept(&self) -> Vec<(Key, f64, Key, f64)> {
        // Which pieces are held to one another already: at first, those on the fold.
        let fixed = |knot: &Knot<'_>| if knot.held.is_some() { 0 } else { 1 };
        let mut group: BTreeMap<Key, usize> = BTreeMap::new();
        for (number, (key, knot)) in self.knots.iter().enumerate() {
            group.insert(*key, fixed(knot) * (number + 1));
        }
        let mut kept = self.edges();
        kept.retain(|(a, _, b, _)| {
            let (Some(to), Some(from)) = (group.get(a).copied(), group.get(b).copied()) else { return false };
            group.values_mut().filter(|one| **one == from).for_each(|one| *one = to);
            to != from
        });
        kept
    }

    /// Two pieces and how far from the line of each its point lies.
    fn edges(&self) -> Vec<(Key, f64, Key, f64)> {
        let mut edges = Vec::new();
        for Matched { a, b, .. } in &self.job.matched {
            let hands: &[(bool, bool)] = match (self.axis, a == b) {
                (0, false) => &[(false, false), (true, true)],
                (0, true) => &[(false, true)],
                _ => &[(false, false)],
            };
            for (one, other) in hands {
                let ends = (self.end(*a, *one), self.end(*b, *other));
                if let (Some((a, from_a)), Some((b, from_b))) = ends {
                    edges.push((a, from_a, b, from_b));
                }
            }
        }
        edges
    }

    /// The piece of a hand that has a mark, and how far from its line it has it.
    fn end(&self, (index, mark): (usize, usize), hand: bool) -> Option<(Key, f64)> {
        let part: &Part = self.job.parts.get(index)?;
        let at: Point = part.marks.get(mark)?.at;
        let (key, knot) = [(index, hand && self.axis == 0), (index, false)].into_iter().find_map(|key| {
            let knot = self.knots.get(&key)?;
            let is_hands = self.axis == 1 || knot.shape.mirrored == hand;
            (is_hands || upright_fold(part, knot.shape).is_some()).then_some((key, knot))
        })?;
        let shape = knot.shape;
        // The point of the other half of a piece on the fold is of the other hand.
        let drawn = match part.fold {
            Some((from, to)) if self.axis == 0 && hand != shape.mirrored => reflected(at, from, to),
            _ => at,
        };
        let placed = moved(&[drawn], shape.turn, shape.mirrored, [0.0, 0.0]);
        let from_origin = placed.first()?.get(self.axis).copied()?;
        Some((key, from_origin - middle(self.job, index, shape, self.axis)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn the_next_place_is_the_next_one(repeat_mm in 6.35..900.0_f64, at_mm in -2e3..2e3_f64, least in 0.0..9e3_f64) {
            let phase = Phase { repeat_mm, at_mm };
            let found = phase.from(least);
            prop_assert!(found >= least - 1e-5 && found < least + repeat_mm);
            let repeats = (found - at_mm) / repeat_mm;
            prop_assert!((repeats - repeats.round()).abs() < 1e-6);
            // A place is its own next one.
            prop_assert!((phase.from(found) - found).abs() < 1e-6);
        }
    }
}
