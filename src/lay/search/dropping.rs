//! Pieces dropped one by one on a stretch of cloth, each as near the top as it
//! goes and then to the left, and the order improved by seeded changes.

use std::collections::BTreeMap;

use rand::{RngExt, SeedableRng};
use rand_pcg::Pcg64Mcg;

use crate::geom::Point;

use super::items::Item;
use super::phase::{self, Phase};
use super::shape::Shape;
use super::slabs::{Blocked, first_free};

/// Where the items of a stretch came to lie.
#[derive(Clone, Debug, Default)]
pub(super) struct Dropped {
    /// One for each item, in the order in which they were dropped.
    pub(super) spots: Vec<Spot>,
    /// How far down the true outlines reach, mm.
    pub(super) reach: f64,
    /// The sum of how far down each reaches: less is better among equal lays.
    sum: f64,
    /// Positions tried and neighbours compared, for it and for all that were worse.
    pub(super) tries: u32,
}

/// Where one item lies.
#[derive(Clone, Copy, Debug)]
pub(super) struct Spot {
    pub(super) item: usize,
    pub(super) shape: usize,
    pub(super) at: Point,
}

/// The first orders that are tried whatever they cost: pieces in any turn, and all unturned. Dropped
/// in any turn, gores may lie aslant one another and come out a third longer than in plain rows.
const ALWAYS: usize = 2;

/// Finds a short stretch from `top` down among what lies there already: some first orders always,
/// then the best one is changed here and there until the budget is spent.
pub(super) fn shortest(
    items: &[Item],
    shapes: &[Shape],
    (still, top): (&[Spot], f64),
    budget: u32,
    seed: u64,
) -> Dropped {
    let stretch = Stretch { items, shapes, still, top };
    let mut rng = Pcg64Mcg::seed_from_u64(seed);
    let mut tries = 0;
    let mut best: Option<(Order, Dropped)> = None;
    for (n, order) in stretch.first_orders().into_iter().enumerate() {
        if n >= ALWAYS && tries >= budget {
            break;
        }
        // What reaches further than the best so far is not finished.
        let most = best.as_ref().map_or(f64::INFINITY, |(_, so_far)| so_far.reach);
        let found = stretch.drop_all(&order, most, &mut tries);
        keep_better(&mut best, order, found);
    }
    let Some((mut order, mut dropped)) = best else { return Dropped::default() };
    while tries < budget && items.len() > 1 {
        let changed = stretch.changed(&order, &mut rng);
        if let Some(found) = stretch.drop_all(&changed, dropped.reach, &mut tries)
            && !dropped.is_better_than(&found)
        {
            (order, dropped) = (changed, found);
        }
    }
    dropped.tries = tries;
    dropped
}

/// An order of items, and for some of them a position they must take.
#[derive(Clone, Debug)]
struct Order(Vec<(usize, Option<usize>)>);

fn keep_better(best: &mut Option<(Order, Dropped)>, order: Order, found: Option<Dropped>) {
    if let Some(found) = found
        && best.as_ref().is_none_or(|(_, so_far)| found.is_better_than(so_far))
    {
        *best = Some((order, found));
    }
}

/// Differences below this are no improvement, mm.
const SAME_MM: f64 = 0.01;

impl Dropped {
    fn is_better_than(&self, other: &Dropped) -> bool {
        let by = other.reach - self.reach;
        by > SAME_MM || (by > -SAME_MM && self.sum < other.sum - SAME_MM)
    }
}

struct Stretch<'a> {
    items: &'a [Item],
    shapes: &'a [Shape],
    still: &'a [Spot],
    /// Where the stretch begins, mm.
    top: f64,
}

impl Stretch<'_> {
    /// Largest first, the same with every piece unturned, longest first, widest first.
    fn first_orders(&self) -> Vec<Order> {
        let size: [fn(&Shape) -> f64; 3] =
            [|shape| shape.own.width() * shape.own.height(), |shape| shape.own.height(), |shape| shape.own.width()];
        let sorted = |size: fn(&Shape) -> f64| {
            let of = |item: usize| {
                let first = self.items.get(item).and_then(|item| item.shapes.first());
                first.and_then(|shape| self.shapes.get(*shape)).map_or(0.0, size)
            };
            let mut order: Vec<usize> = (0..self.items.len()).collect();
            order.sort_by(|a, b| of(*b).total_cmp(&of(*a)));
            Order(order.into_iter().map(|item| (item, None)).collect())
        };
        let mut orders: Vec<Order> = size.into_iter().map(sorted).collect();
        if let Some(Order(largest)) = orders.first() {
            let unturned = |item: usize| self.items.get(item).and_then(|item| item.shapes.first().copied());
            let held = largest.iter().map(|(item, _)| (*item, unturned(*item))).collect();
            orders.insert(1, Order(held));
        }
        orders
    }

    /// The same order with two items exchanged, one moved, or one held to a position.
    fn changed(&self, order: &Order, rng: &mut Pcg64Mcg) -> Order {
        let mut changed = order.clone();
        let count = changed.0.len();
        let (from, to) = (rng.random_range(0..count), rng.random_range(0..count));
        match rng.random_range(0..3_u8) {
            0 => changed.0.swap(from, to),
            1 => {
                let item = changed.0.remove(from);
                changed.0.insert(to, item);
            }
            _ => {
                if let Some((item, held)) = changed.0.get_mut(from)
                    && let Some(item) = self.items.get(*item)
                {
                    let pick = rng.random_range(0..=item.shapes.len());
                    *held = item.shapes.get(pick).copied();
                }
                changed.0.swap(from, to);
            }
        }
        changed
    }

    /// Drops every item in turn; nothing when one reaches further than `most`.
    fn drop_all(&self, order: &Order, most: f64, tries: &mut u32) -> Option<Dropped> {
        let mut dropped = Dropped { spots: self.still.to_vec(), ..Dropped::default() };
        let mut known = Known::default();
        for (index, held) in &order.0 {
            let item = self.items.get(*index)?;
            let among = held.as_ref().map_or(item.shapes.as_slice(), std::slice::from_ref);
            let lying = &dropped.spots;
            let spots =
                among.iter().filter_map(|shape| self.best_spot((item, *index), *shape, lying, &mut known, tries));
            let spot = spots.reduce(|a, b| if self.is_nearer(&b, &a) { b } else { a })?;
            let reach = self.far_corner(&spot)[1];
            if reach > most + SAME_MM {
                return None;
            }
            dropped.reach = dropped.reach.max(reach);
            dropped.sum += reach;
            dropped.spots.push(spot);
        }
        dropped.spots.drain(..self.still.len());
        Some(dropped)
    }

    /// The highest, then leftmost place of one shape among those that lie already.
    fn best_spot(
        &self,
        (item, index): (&Item, usize),
        number: usize,
        lying: &[Spot],
        known: &mut Known,
        tries: &mut u32,
    ) -> Option<Spot> {
        let shape = self.shapes.get(number)?;
        let most = item.right - shape.own.most[0];
        let least = if item.on_limit { most } else { (item.left - shape.own.least[0]).min(most) };
        let mut blocked = Blocked::new();
        let mut best: Option<Point> = None;
        let like = known.like(number, self.shapes);
        let highest = self.top - shape.own.least[1];
        let mut places: Vec<(f64, f64)> = self
            .places_across(item, shape, lying, least, most)
            .into_iter()
            .map(|x| (known.least(like, x, item.along).max(highest), x))
            .collect();
        places.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1)));
        for (from, x) in places {
            // Nothing of what is left lies higher.
            if best.is_some_and(|best| from > best[1] + SAME_MM) {
                break;
            }
            if best.is_some_and(|best| from > best[1] - SAME_MM && x > best[0]) {
                continue;
            }
            let y = self.highest(shape, [x, from], lying, &mut blocked, item.along, tries);
            known.keep(like, x, item.along, y);
            if best.is_none_or(|best| y < best[1] - SAME_MM || (y < best[1] + SAME_MM && x < best[0])) {
                best = Some([x, y]);
            }
        }
        let mut at = best?;
        for _ in 0..SETTLING {
            let before = at;
            let start = phase::from(item.across, least).min(at[0]);
            at[0] = self.leftmost(shape, [start, at[1]], lying, &mut blocked, item.across, tries).min(at[0]);
            at[1] = self.highest(shape, [at[0], highest], lying, &mut blocked, item.along, tries).min(at[1]);
            if before[0] - at[0] < SAME_MM && before[1] - at[1] < SAME_MM {
                break;
            }
        }
        Some(Spot { item: index, shape: number, at })
    }

    /// Places across the width worth trying: the limits, an even sweep, and beside
    /// every piece that lies already; each carried on to where the print matches.
    fn places_across(&self, item: &Item, shape: &Shape, lying: &[Spot], least: f64, most: f64) -> Vec<f64> {
        let mut places = vec![least];
        if most - least > SAME_MM {
            places.push(most);
            places.extend((1..SWEEP).map(|step| least + (most - least) * f64::from(step) / f64::from(SWEEP)));
            for spot in lying.iter().rev().take(LATEST) {
                let Some(still) = self.shapes.get(spot.shape) else { continue };
                places.push(spot.at[0] + still.near.most[0] - shape.near.least[0]);
                places.push(spot.at[0] + still.near.least[0] - shape.near.most[0]);
            }
            for place in &mut places {
                *place = phase::from(item.across, *place);
            }
            places.retain(|x| (least..=most + SAME_MM).contains(x));
            places.sort_by(f64::total_cmp);
            places.dedup_by(|a, b| (*a - *b).abs() < SAME_MM);
        }
        places
    }

    /// The least y from that of `from` on at which a shape is clear of all that lies, at its x.
    fn highest(
        &self,
        shape: &Shape,
        [x, from]: Point,
        lying: &[Spot],
        blocked: &mut Blocked,
        along: Option<Phase>,
        tries: &mut u32,
    ) -> f64 {
        blocked.clear();
        *tries = tries.saturating_add(1);
        for spot in lying {
            let Some(still) = self.shapes.get(spot.shape) else { continue };
            let apart = x - spot.at[0];
            if spot.at[1] + still.near.most[1] <= from + shape.near.least[1] {
                continue;
            }
            if shape.near.least[0] + apart < still.near.most[0] && shape.near.most[0] + apart > still.near.least[0] {
                *tries = tries.saturating_add(1);
                let first = blocked.len();
                still.upright.block(&shape.upright, apart, blocked);
                shift(blocked, first, spot.at[1]);
            }
        }
        first_free(from, blocked, along)
    }

    /// The least x from that of `from` on at which a shape is clear at its y.
    fn leftmost(
        &self,
        shape: &Shape,
        [least, y]: Point,
        lying: &[Spot],
        blocked: &mut Blocked,
        across: Option<Phase>,
        tries: &mut u32,
    ) -> f64 {
        blocked.clear();
        *tries = tries.saturating_add(1);
        for spot in lying {
            let Some(still) = self.shapes.get(spot.shape) else { continue };
            let apart = y - spot.at[1];
            if shape.near.least[1] + apart < still.near.most[1] && shape.near.most[1] + apart > still.near.least[1] {
                *tries = tries.saturating_add(1);
                let first = blocked.len();
                still.sideways.block(&shape.sideways, apart, blocked);
                shift(blocked, first, spot.at[0]);
            }
        }
        first_free(least, blocked, across)
    }

    /// Whether one spot reaches less far down, or as far and less far to the right.
    fn is_nearer(&self, one: &Spot, other: &Spot) -> bool {
        let (one, other) = (self.far_corner(one), self.far_corner(other));
        one[1] < other[1] - SAME_MM || (one[1] < other[1] + SAME_MM && one[0] < other[0] - SAME_MM)
    }

    /// How far right and down the true outline reaches.
    fn far_corner(&self, spot: &Spot) -> Point {
        self.shapes
            .get(spot.shape)
            .map_or(spot.at, |shape| [spot.at[0] + shape.own.most[0], spot.at[1] + shape.own.most[1]])
    }
}

/// How high alike shapes got at each place across, as long as pieces are added: none gets
/// higher later, so that a place need not be looked at again before the others are as low.
#[derive(Debug, Default)]
struct Known {
    /// Shapes that differ, and for each shape asked for the one of them that is the same.
    differ: Vec<usize>,
    likes: BTreeMap<usize, usize>,
    /// By shape and place across.
    heights: BTreeMap<(usize, u64), f64>,
}

impl Known {
    fn like(&mut self, number: usize, shapes: &[Shape]) -> usize {
        if let Some(like) = self.likes.get(&number) {
            return *like;
        }
        let same = |like: &&usize| {
            let (one, other) = (shapes.get(**like), shapes.get(number));
            one.zip(other).is_some_and(|(one, other)| one.is_same_as(other))
        };
        let like = self.differ.iter().find(same).copied().unwrap_or_else(|| {
            self.differ.push(number);
            number
        });
        self.likes.insert(number, like);
        like
    }

    /// No alike shape gets higher than this here.
    fn least(&self, like: usize, x: f64, along: Option<Phase>) -> f64 {
        let height = self.heights.get(&(like, x.to_bits())).filter(|_| along.is_none());
        height.copied().unwrap_or(f64::NEG_INFINITY)
    }

    fn keep(&mut self, like: usize, x: f64, along: Option<Phase>, y: f64) {
        // Where a print must match, it may be alike and still not lie there.
        if along.is_none() {
            self.heights.insert((like, x.to_bits()), y);
        }
    }
}

/// How many even steps the sweep across the width takes (judgement: with the
/// settling that follows, more steps gained less than 1 % on our own garments).
const SWEEP: u32 = 12;

/// Beside how many of the pieces dropped last a place is tried; the sweep and the
/// settling reach the others (judgement: keeps a lay of 120 pieces to about a second).
const LATEST: usize = 16;

/// How often a piece is pushed left and up in turn before it stays.
const SETTLING: u32 = 4;

/// Offsets relative to a lying piece become places on the cloth.
fn shift(blocked: &mut Blocked, first: usize, by: f64) {
    for (low, high) in blocked.iter_mut().skip(first) {
        *low += by;
        *high += by;
    }
}

#[cfg(test)]
mod tests {
    use super::super::items::What;
    use super::super::shape::Outline;
    use super::*;

    /// Seeded triangles and quarters of rings, so many of each, on a stretch 900 wide.
    fn stretch(copies: u32) -> (Vec<Item>, Vec<Shape>) {
        let mut rng = Pcg64Mcg::seed_from_u64(3);
        let (mut items, mut shapes) = (Vec::new(), Vec::new());
        for part in 0..6 {
            let [w, h] = [rng.random_range(80.0..400.0), rng.random_range(80.0..400.0)];
            let mut outline = vec![[0.0, 0.0], [w, 0.0], [w * rng.random::<f64>(), h]];
            if part % 2 == 0 {
                outline = vec![[0.0, 0.0], [w, 0.0], [w, h], [0.8 * w, h], [0.8 * w, 0.3 * h], [0.0, 0.3 * h]];
            }
            for copy in 0..copies {
                // Each a shape of its own, as those of several garments are.
                let outline = Outline::new(outline.clone(), 5.0);
                let first = shapes.len();
                shapes.extend([0, 180].map(|turn| outline.shape(turn, false)));
                let what = What::Part { part, copy, under: None, on_fold: false };
                let (along, across) = (None, None);
                let shapes = vec![first, first + 1];
                items.push(Item { what, shapes, left: 0.0, right: 900.0, on_limit: false, along, across });
            }
        }
        (items, shapes)
    }

    #[test]
    fn what_is_known_of_alike_pieces_saves_looking_and_changes_nothing() {
        let (items, shapes) = stretch(5);
        let stretch = Stretch { items: &items, shapes: &shapes, still: &[], top: 0.0 };
        for order in stretch.first_orders() {
            let (mut few, mut many) = (0, 0);
            let dropped = stretch.drop_all(&order, f64::INFINITY, &mut few).unwrap();
            let mut spots: Vec<Spot> = Vec::new();
            for (index, held) in &order.0 {
                let item = &items[*index];
                let among = held.as_ref().map_or(item.shapes.as_slice(), std::slice::from_ref);
                let anew = among.iter().filter_map(|shape| {
                    stretch.best_spot((item, *index), *shape, &spots, &mut Known::default(), &mut many)
                });
                let spot = anew.reduce(|a, b| if stretch.is_nearer(&b, &a) { b } else { a }).unwrap();
                spots.push(spot);
            }
            for (one, other) in dropped.spots.iter().zip(&spots) {
                assert_eq!((one.item, one.shape), (other.item, other.shape));
                assert!((one.at[0] - other.at[0]).abs() < 1e-6 && (one.at[1] - other.at[1]).abs() < 1e-6);
            }
            assert!(2 * few < many, "{few} of {many}");
        }
    }
}
