//! Which offsets keep two outlines apart, exactly, without sampling.
//!
//! An outline is cut into slabs between neighbouring vertices: within a slab it is
//! one or more trapezoids. Two trapezoids over a common stretch collide for one
//! interval of offsets, whose ends lie at the ends of the stretch because both
//! sides are straight. The union over all pairs is every offset that collides.

use crate::geom::Point;

use super::phase::{self, Phase};

/// Outlines may run into one another by this much, mm: far above the rounding of
/// the arithmetic, far below the 0.05 mm that the checker allows.
const TOUCH_MM: f64 = 1e-4;

/// One trapezoid: over `from..to` it reaches from `low` to `high`.
#[derive(Clone, Copy, Debug)]
struct Slab {
    from: f64,
    to: f64,
    low: f64,
    low_slope: f64,
    high: f64,
    high_slope: f64,
}

/// An outline as trapezoids, sorted along the first axis.
#[derive(Clone, Debug, Default)]
pub(super) struct Slabs(Vec<Slab>);

/// Offsets that collide, as open intervals.
pub(super) type Blocked = Vec<(f64, f64)>;

impl Slabs {
    /// The slabs of some closed outlines; what is wound round at all counts as inside.
    pub(super) fn of(outlines: &[Vec<Point>]) -> Slabs {
        const SAME_MM: f64 = 1e-7;
        let edges: Vec<Side> = outlines
            .iter()
            .flat_map(|outline| outline.iter().zip(outline.iter().cycle().skip(1)))
            .filter_map(|(p, q)| Side::between(*p, *q))
            .collect();
        let mut cuts: Vec<f64> = outlines.iter().flatten().map(|p| p[0]).collect();
        cuts.sort_by(f64::total_cmp);
        let mut slabs = Vec::new();
        for (from, to) in cuts.iter().zip(cuts.iter().skip(1)).map(|(a, b)| (*a, *b)) {
            if to - from < SAME_MM {
                continue;
            }
            let middle = f64::midpoint(from, to);
            let mut here: Vec<&Side> = edges.iter().filter(|side| side.from < middle && middle < side.to).collect();
            here.sort_by(|a, b| a.at(middle).total_cmp(&b.at(middle)));
            let (mut wound, mut low) = (0, None);
            for side in here {
                low = low.or(Some(side));
                wound += side.winding;
                if let (0, Some(start)) = (wound, low) {
                    slabs.push(Slab {
                        from,
                        to,
                        low: start.at(from),
                        low_slope: start.slope,
                        high: side.at(from),
                        high_slope: side.slope,
                    });
                    low = None;
                }
            }
        }
        Slabs(slabs)
    }

    /// Adds to `blocked` the offsets along the second axis at which `moving`,
    /// offset by `across` along the first, collides with this outline.
    pub(super) fn block(&self, moving: &Slabs, across: f64, blocked: &mut Blocked) {
        let mut rest = moving.0.as_slice();
        let first = blocked.len();
        for still in &self.0 {
            while let Some((slab, after)) = rest.split_first() {
                if slab.to + across > still.from {
                    break;
                }
                rest = after;
            }
            for slab in rest {
                let from = still.from.max(slab.from + across);
                let to = still.to.min(slab.to + across);
                if slab.from + across >= still.to {
                    break;
                }
                if to - from > TOUCH_MM {
                    add(blocked, first, still.colliding(slab, across, from, to));
                }
            }
        }
    }
}

impl Slab {
    /// The offsets at which `moving` collides over `from..to`.
    fn colliding(&self, moving: &Slab, across: f64, from: f64, to: f64) -> (f64, f64) {
        let gap_before = |x: f64| self.low_at(x) - moving.high_at(x - across);
        let gap_behind = |x: f64| self.high_at(x) - moving.low_at(x - across);
        (gap_before(from).min(gap_before(to)), gap_behind(from).max(gap_behind(to)))
    }

    fn low_at(&self, x: f64) -> f64 {
        self.low + (x - self.from) * self.low_slope
    }

    fn high_at(&self, x: f64) -> f64 {
        self.high + (x - self.from) * self.high_slope
    }
}

/// One side of an outline, running from `from` to `to` along the first axis.
struct Side {
    from: f64,
    to: f64,
    start: f64,
    slope: f64,
    winding: i32,
}

impl Side {
    /// `None` for a side that stands still along the first axis.
    fn between(p: Point, q: Point) -> Option<Side> {
        let (a, b, winding) = if p[0] < q[0] { (p, q, 1) } else { (q, p, -1) };
        let run = b[0] - a[0];
        (run > 0.0).then(|| Side { from: a[0], to: b[0], start: a[1], slope: (b[1] - a[1]) / run, winding })
    }

    fn at(&self, x: f64) -> f64 {
        self.start + (x - self.from) * self.slope
    }
}

/// Adds an interval, joining it to the last one (of those from `first` on) where
/// they overlap: neighbours usually do.
fn add(blocked: &mut Blocked, first: usize, (low, high): (f64, f64)) {
    let joins = blocked.len() > first;
    if let Some(last) = blocked.last_mut().filter(|last| joins && last.0 <= high && low <= last.1) {
        *last = (last.0.min(low), last.1.max(high));
    } else {
        blocked.push((low, high));
    }
}

/// The least offset from `least` on that is not blocked, at a place of the phase where
/// there is one. Sorts `blocked`.
pub(super) fn first_free(least: f64, blocked: &mut Blocked, phase: Option<Phase>) -> f64 {
    blocked.sort_unstable_by(|a, b| a.0.total_cmp(&b.0));
    let mut free = phase::from(phase, least);
    for (low, high) in blocked.iter() {
        if free <= low + TOUCH_MM {
            break;
        }
        if free < high - TOUCH_MM {
            free = phase::from(phase, *high);
        }
    }
    free
}

#[cfg(test)]
mod tests {
    use super::*;

    fn free(still: &[Point], moving: &[Point], across: f64) -> f64 {
        let mut blocked = Blocked::new();
        Slabs::of(&[still.to_vec()]).block(&Slabs::of(&[moving.to_vec()]), across, &mut blocked);
        first_free(0.0, &mut blocked, None)
    }

    #[test]
    fn rectangles_touch() {
        let square = [[0.0, 0.0], [10.0, 0.0], [10.0, 10.0], [0.0, 10.0]];
        assert!((free(&square, &square, 4.0) - 10.0).abs() < 1e-9);
        assert!(free(&square, &square, 10.0).abs() < 1e-9);
        assert!(free(&square, &square, -10.0).abs() < 1e-9);
    }

    #[test]
    fn a_slope_rests_on_a_slope() {
        // Two right triangles make a rectangle of 10 × 10.
        let lower = [[0.0, 0.0], [10.0, 0.0], [0.0, 10.0]];
        let upper = [[10.0, 0.0], [10.0, 10.0], [0.0, 10.0]];
        assert!(free(&lower, &upper, 0.0).abs() < 1e-9);
        assert!((free(&lower, &lower, 0.0) - 10.0).abs() < 1e-9);
        assert!((free(&lower, &lower, 5.0) - 5.0).abs() < 1e-9);
    }

    #[test]
    fn a_small_piece_lies_in_the_mouth_of_a_large_one() {
        let mouth =
            [[0.0, 0.0], [30.0, 0.0], [30.0, 5.0], [10.0, 5.0], [10.0, 20.0], [30.0, 20.0], [30.0, 25.0], [0.0, 25.0]];
        let small = [[0.0, 0.0], [12.0, 0.0], [12.0, 8.0], [0.0, 8.0]];
        assert!((free(&mouth, &small, 12.0) - 5.0).abs() < 1e-9);
        assert!((free(&mouth, &small, 5.0) - 25.0).abs() < 1e-9);
    }
}
