//! Circles that stand for an outline: each about the largest that lies within it clear of
//! the earlier ones (poles of inaccessibility). Where circles of two pieces meet the pieces
//! surely collide, and how deep they meet says how far the pieces must move apart
//! (Gardeyn, Vanden Berghe and Wauters, arXiv 2509.13329).

use crate::geom::Point;

/// A circle within an outline.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Circle {
    pub(super) middle: Point,
    pub(super) radius: f64,
}

/// At most so many circles (judgement: more made each comparison dearer than it gained).
const MOST: usize = 32;

/// From so many circles on it is enough when they cover [`ENOUGH`] of the outline (judgement).
const SOME: usize = 8;

/// The share of the area that is enough (judgement: 0.85 from 12 circles on took longer to
/// compare, and no instance of `examples/measure_lay.rs` came out shorter by more than chance).
const ENOUGH: f64 = 0.8;

/// Into how many lines the outline is cut each way to find first places (judgement).
const LINES: u32 = 36;

/// The circles of an outline, largest first; at least one for any outline with an area.
pub(super) fn circles(outline: &[Point]) -> Vec<Circle> {
    let area = enclosed(outline).abs();
    let mut starts: Vec<(Point, f64)> =
        starts(outline).into_iter().map(|p| (p, to_edge(p, outline))).filter(|(_, far)| *far > 0.0).collect();
    let mut found: Vec<Circle> = Vec::new();
    let mut covered = 0.0;
    while found.len() < MOST && !(found.len() >= SOME && covered >= ENOUGH * area) {
        let Some(best) = starts.iter().copied().max_by(|a, b| a.1.total_cmp(&b.1)).filter(|best| best.1 > 0.0) else {
            break;
        };
        let circle = widened(Circle { middle: best.0, radius: best.1 }, outline, &found);
        covered += circle.radius * circle.radius * std::f64::consts::PI;
        found.push(circle);
        for (p, far) in &mut starts {
            *far = far.min(away(*p, circle.middle) - circle.radius);
        }
    }
    found.sort_by(|a, b| b.radius.total_cmp(&a.radius));
    found
}

/// Places within the outline: on each line, up and across, even steps along what lies inside.
fn starts(outline: &[Point]) -> Vec<Point> {
    let mut places = Vec::new();
    let mut crossings: Vec<f64> = Vec::new();
    for axis in [0_usize, 1] {
        let of = |p: &Point| if axis == 0 { (p[0], p[1]) } else { (p[1], p[0]) };
        let (mut least, mut most) = (f64::INFINITY, f64::NEG_INFINITY);
        for (u, _) in outline.iter().map(of) {
            (least, most) = (least.min(u), most.max(u));
        }
        let step = (most - least) / f64::from(LINES);
        for line in 0..LINES {
            let at = least + (f64::from(line) + 0.5) * step;
            crossings.clear();
            for (p, q) in outline.iter().map(of).zip(outline.iter().cycle().skip(1).map(of)) {
                if (p.0 < at) != (q.0 < at) {
                    crossings.push(p.1 + (at - p.0) / (q.0 - p.0) * (q.1 - p.1));
                }
            }
            crossings.sort_by(f64::total_cmp);
            for pair in crossings.chunks_exact(2) {
                let [from, to] = pair else { continue };
                let mut share = 1.0;
                // An odd number, so that the middle is one of them.
                let parts = if to - from > 4.0 * step { 8.0 } else { 4.0 };
                while share < parts {
                    let v = from + (to - from) * share / parts;
                    places.push(if axis == 0 { [at, v] } else { [v, at] });
                    share += 1.0;
                }
            }
        }
    }
    places
}

/// The circle moved by ever smaller steps to where it may be larger.
fn widened(circle: Circle, outline: &[Point], others: &[Circle]) -> Circle {
    const STEPS: u32 = 8;
    let mut best = circle;
    let mut step = circle.radius / 2.0;
    for _ in 0..STEPS {
        for way in [[step, 0.0], [-step, 0.0], [0.0, step], [0.0, -step]] {
            let middle = [best.middle[0] + way[0], best.middle[1] + way[1]];
            let clear = others.iter().map(|c| away(middle, c.middle) - c.radius).fold(f64::INFINITY, f64::min);
            if clear <= best.radius {
                continue;
            }
            // A step shorter than the radius does not leave the outline.
            let radius = to_edge(middle, outline).min(clear);
            if radius > best.radius {
                best = Circle { middle, radius };
            }
        }
        step /= 2.0;
    }
    best
}

fn away(p: Point, q: Point) -> f64 {
    (p[0] - q[0]).hypot(p[1] - q[1])
}

/// Distance from the nearest side.
fn to_edge(p: Point, outline: &[Point]) -> f64 {
    let mut least = f64::INFINITY;
    for (a, b) in outline.iter().zip(outline.iter().cycle().skip(1)) {
        let (u, w) = ([b[0] - a[0], b[1] - a[1]], [p[0] - a[0], p[1] - a[1]]);
        let square = u[0] * u[0] + u[1] * u[1];
        let share = if square > 0.0 { ((w[0] * u[0] + w[1] * u[1]) / square).clamp(0.0, 1.0) } else { 0.0 };
        let off = [w[0] - share * u[0], w[1] - share * u[1]];
        least = least.min(off[0] * off[0] + off[1] * off[1]);
    }
    least.sqrt()
}

/// Signed area, mm².
pub(super) fn enclosed(outline: &[Point]) -> f64 {
    let next = outline.iter().cycle().skip(1);
    outline.iter().zip(next).map(|(p, q)| p[0] * q[1] - q[0] * p[1]).sum::<f64>() / 2.0
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn circles_lie_within_and_apart_largest_first() {
        let elbow = [[0.0, 0.0], [300.0, 0.0], [300.0, 100.0], [100.0, 100.0], [100.0, 400.0], [0.0, 400.0]];
        let found = circles(&elbow);
        assert!(found[0].radius >= 50.0 - 1e-9, "{:?}", found[0]);
        for (n, one) in found.iter().enumerate() {
            assert!(one.radius <= to_edge(one.middle, &elbow) + 1e-9);
            for other in &found[..n] {
                assert!(away(one.middle, other.middle) >= one.radius + other.radius - 1e-9);
                assert!(one.radius <= other.radius);
            }
        }
        let covered: f64 = found.iter().map(|c| c.radius * c.radius * std::f64::consts::PI).sum();
        assert!(covered > 0.75 * enclosed(&elbow).abs(), "{covered}");
    }

    #[test]
    fn a_slanting_sliver_has_circles_too() {
        let sliver = [[0.0, 0.0], [1.0, 0.0], [1000.0, 999.0], [999.0, 999.5]];
        assert!(!circles(&sliver).is_empty());
    }
}
