//! Places as the exact slabs allow them: each piece pushed up until it touches, in f64.
//! What the board called apart may have overlapped by a rounding of f32; here it is set
//! right, and whatever length is left over between pieces is taken out.

use super::dropping::Spot;
use super::phase::Phase;
use super::shape::Shape;
use super::slabs::{Blocked, first_free};

/// How far down a piece may be moved to clear what it overlaps, mm: the board errs by
/// hundredths at most; more means that it was wrong.
const PUSHED_MM: f64 = 0.1;

/// How often all pieces are pushed up (judgement: the second time seldom finds anything).
const TIMES: u32 = 2;

/// The pieces settled from `top` down among those that stay, and how far down they reach;
/// nothing where one would have to give way too far.
pub(super) fn settled(
    spots: &[Spot],
    still: &[Spot],
    shapes: &[Shape],
    top: f64,
    phase: impl Fn(&Spot) -> Option<Phase>,
) -> Option<(Vec<Spot>, f64)> {
    let mut spots = spots.to_vec();
    let mut order: Vec<usize> = (0..spots.len()).collect();
    let mut blocked = Blocked::new();
    for _ in 0..TIMES {
        let from = |index: &usize| -> f64 {
            let spot = spots.get(*index);
            spot.and_then(|spot| Some(spot.at[1] + shapes.get(spot.shape)?.own.least[1])).unwrap_or_default()
        };
        order.sort_by(|a, b| from(a).total_cmp(&from(b)).then(a.cmp(b)));
        for index in &order {
            let spot = *spots.get(*index)?;
            let shape = shapes.get(spot.shape)?;
            blocked.clear();
            // A piece further down may lie in the mouth of this one, and be in its way too.
            let others = spots.iter().enumerate().filter(|(other, _)| other != index).map(|(_, other)| other);
            for other in others.chain(still) {
                let other_shape = shapes.get(other.shape)?;
                let apart = spot.at[0] - other.at[0];
                if shape.near.least[0] + apart < other_shape.near.most[0]
                    && shape.near.most[0] + apart > other_shape.near.least[0]
                {
                    let first = blocked.len();
                    other_shape.upright.block(&shape.upright, apart, &mut blocked);
                    for (low, high) in blocked.iter_mut().skip(first) {
                        *low += other.at[1];
                        *high += other.at[1];
                    }
                }
            }
            let y = pushed_up(spot.at[1], top - shape.own.least[1], &mut blocked, phase(&spot))?;
            spots.get_mut(*index)?.at[1] = y;
        }
    }
    let reach = |spot: &Spot| Some(spot.at[1] + shapes.get(spot.shape)?.own.most[1]);
    let most = spots.iter().filter_map(reach).fold(0.0, f64::max);
    Some((spots, most))
}

/// The highest place that can be reached from `from` by pushing up, or, where that is
/// blocked, the first free one just below. What must match in the print goes up by whole
/// repeats, and never a hair down.
fn pushed_up(from: f64, least: f64, blocked: &mut Blocked, phase: Option<Phase>) -> Option<f64> {
    let start = from.max(least);
    let free = first_free(start, blocked, None);
    let most = if phase.is_some() { TOUCHING_MM } else { PUSHED_MM };
    if free > start + most {
        return None;
    }
    // The least end of the free stretch that holds `free`.
    let mut up = least;
    for (low, high) in blocked.iter() {
        if *high <= free + SAME_MM && *high > up {
            up = *high;
        }
        if *low >= free {
            break;
        }
    }
    match phase {
        None => Some(up.min(free)),
        Some(phase) => Some(phase.from(up).min(from)),
    }
}

/// What matches in the print may run into its neighbour by this much, mm: less than half
/// of what the checker allows.
const TOUCHING_MM: f64 = 0.02;

/// Rounding of the slabs.
const SAME_MM: f64 = 1e-4;
