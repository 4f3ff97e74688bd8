//! Hem allowances that lie flat: what is turned up has the shape of the cloth on
//! which it will lie.
//!
//! Below its line a hem's ends follow the mirror image of the side's cutting line:
//! on a side that leans out to the hem they come in, on one that leans in they flare
//! out. A curved hem is mirrored about its tangent at the end.

use super::offset::outside;
use super::{Point, Side, crossing, turn};

/// What replaces the plain bands of the sides that are turned up.
pub(super) struct Hems {
    /// Shapes to be joined to the outline.
    pub shapes: Vec<Vec<Point>>,
    /// For each side, whether its band is among the shapes.
    pub banded: Vec<bool>,
    /// For each side, whether the corner at its end is among the shapes.
    pub cornered: Vec<bool>,
}

/// The shaped allowances of all runs of sides that are turned up.
pub(super) fn hems(sides: &[Side<'_>], out: f64) -> Hems {
    let count = sides.len();
    let mut hems = Hems { shapes: Vec::new(), banded: vec![false; count], cornered: vec![false; count] };
    let is_hem = |i: usize| sides.get(i % count.max(1)).is_some_and(|side| side.turned_up && side.allowance > 0.0);
    for first in (0..count).filter(|i| is_hem(*i) && !is_hem(i + count - 1)) {
        let length = (0..count).take_while(|k| is_hem(first + k)).count();
        let run: Vec<&Side<'_>> = sides.iter().cycle().skip(first).take(length).collect();
        let (before, after) = ((first + count - 1) % count, (first + length) % count);
        let (Some(side_before), Some(side_after)) = (sides.get(before), sides.get(after)) else { continue };
        let hem: Vec<(Point, f64)> = run.iter().flat_map(|side| side.points.iter().copied()).collect();
        let (Some(start), Some(end)) = (hem.first().copied(), hem.last().copied()) else { continue };
        let (Some(depth_start), Some(depth_end)) = (run.first().map(|s| s.allowance), run.last().map(|s| s.allowance))
        else {
            continue;
        };
        let at_start = End { at: start.0, away: start.1 + std::f64::consts::PI, depth: depth_start, is_start: true };
        let at_end = End { at: end.0, away: end.1, depth: depth_end, is_start: false };
        let at_start = at_start.mirrored(side_before, out);
        let at_end = at_end.mirrored(side_after, out);
        let lower: Vec<Point> =
            run.iter().flat_map(|side| side.points.iter().map(|p| outside(*p, side.allowance, out))).collect();
        let Some(shape) = shape(&hem, lower, at_start.as_ref(), at_end.as_ref()) else { continue };
        hems.shapes.push(shape);
        for k in 0..length {
            if let Some(done) = hems.banded.get_mut((first + k) % count) {
                *done = true;
            }
            // Between the sides of one run nothing is to be filled: it is smooth.
        }
        for (ending, corner, heading, side) in [
            (&at_start, before, side_before.points.last(), side_before),
            (&at_end, (after + count - 1) % count, side_after.points.first(), side_after),
        ] {
            if let (Some(ending), Some(at)) = (ending, heading) {
                // From the end of the side's own band to the hem line.
                hems.shapes.push(vec![at.0, outside(*at, side.allowance, out), ending.on_line]);
                if let Some(done) = hems.cornered.get_mut(corner) {
                    *done = true;
                }
            }
        }
    }
    hems
}

/// One end of a hem.
struct End {
    at: Point,
    /// The heading along the hem's tangent, away from the hem.
    away: f64,
    depth: f64,
    is_start: bool,
}

/// The end of the allowance: from the hem line down.
struct Ending {
    /// Where the side's cutting line meets the hem line.
    on_line: Point,
    /// The mirrored line, from there beyond the depth of the hem.
    run: Vec<Point>,
    /// How far the hem's lower line must be drawn on to meet it.
    reach: Point,
}

impl End {
    /// The side's cutting line, mirrored about the hem line; `None` at a fold and
    /// where the corner does not point outward: there the plain band serves.
    fn mirrored(&self, side: &Side<'_>, out: f64) -> Option<Ending> {
        if side.is_fold {
            return None;
        }
        let corner = if self.is_start { side.points.last()? } else { side.points.first()? };
        // The side's heading as one walks up it, away from the hem.
        let up = if self.is_start { corner.1 + std::f64::consts::PI } else { corner.1 };
        let opened = turn(self.away, up) * if self.is_start { out } else { -out };
        // From the line beyond the hem's end, turning inward, to the side: an outward corner.
        if opened <= 1e-6 {
            return None;
        }
        let (sin, cos) = self.away.sin_cos();
        // Below the hem line is outside it; `away` runs against the hem at its start.
        let down = if self.is_start { -out } else { out };
        let local = |p: Point| {
            let (x, y) = (p[0] - self.at[0], p[1] - self.at[1]);
            [x * cos + y * sin, (-x * sin + y * cos) * down]
        };
        let global = |[a, d]: Point| [self.at[0] + a * cos - d * down * sin, self.at[1] + a * sin + d * down * cos];
        let parallel = |p: &(Point, f64)| local(outside(*p, side.allowance, out));
        let mut line: Vec<Point> = if self.is_start {
            side.points.iter().rev().map(parallel).collect()
        } else {
            side.points.iter().map(parallel).collect()
        };
        let first = *line.first()?;
        let on = 4.0 * (side.allowance + self.depth);
        let up = local([self.at[0] + up.cos(), self.at[1] + up.sin()]);
        line.insert(0, [first[0] - up[0] * on, first[1] - up[1] * on]);
        let mut run: Vec<Point> = Vec::new();
        for (p, q) in line.iter().zip(line.iter().skip(1)) {
            if run.is_empty() {
                if p[1] >= 0.0 && q[1] < 0.0 {
                    let t = p[1] / (p[1] - q[1]);
                    run.push([p[0] + (q[0] - p[0]) * t, 0.0]);
                    run.push([q[0], -q[1]]);
                }
            } else if run.last().is_some_and(|last| -q[1] > last[1]) {
                run.push([q[0], -q[1]]);
            } else {
                break;
            }
            if run.last().is_some_and(|last| last[1] >= self.depth) {
                break;
            }
        }
        let [.., before, last] = run.as_slice() else { return None };
        let (dx, dy) = (last[0] - before[0], last[1] - before[1]);
        let long = dx.hypot(dy);
        if long <= 0.0 || dy <= 0.0 {
            return None;
        }
        let beyond = 2.0 * self.depth / (dy / long).max(0.2);
        run.push([last[0] + dx / long * beyond, last[1] + dy / long * beyond]);
        let furthest = run.iter().map(|p| p[0].abs()).fold(0.0, f64::max) + self.depth;
        Some(Ending {
            on_line: global(*run.first()?),
            reach: global([furthest, self.depth]),
            run: run.into_iter().map(global).collect(),
        })
    }
}

/// The hem's allowance: hem line, one end, lower line, the other end.
fn shape(
    hem: &[(Point, f64)],
    mut lower: Vec<Point>,
    start: Option<&Ending>,
    end: Option<&Ending>,
) -> Option<Vec<Point>> {
    if let Some(start) = start {
        lower.insert(0, start.reach);
    }
    if let Some(end) = end {
        lower.push(end.reach);
    }
    let mut shape: Vec<Point> = hem.iter().map(|(p, _)| *p).collect();
    if let Some(end) = end {
        let (kept, rest) = met(&end.run, lower.iter().rev().copied().collect())?;
        shape.extend(kept);
        lower = rest.into_iter().rev().collect();
    }
    let mut last = Vec::new();
    if let Some(start) = start {
        let (kept, rest) = met(&start.run, lower)?;
        last = kept;
        lower = rest;
    }
    shape.extend(lower.into_iter().rev());
    shape.extend(last.into_iter().rev());
    Some(shape)
}

/// The ending as far as it meets the lower line, and the lower line from there.
fn met(ending: &[Point], lower: Vec<Point>) -> Option<(Vec<Point>, Vec<Point>)> {
    for (i, (a, b)) in ending.iter().zip(ending.iter().skip(1)).enumerate() {
        for (j, (c, d)) in lower.iter().zip(lower.iter().skip(1)).enumerate() {
            if let Some(place) = crossing(*a, *b, *c, *d) {
                let kept = ending.iter().take(i + 1).copied().collect();
                let rest = [place].into_iter().chain(lower.into_iter().skip(j + 1)).collect();
                return Some((kept, rest));
            }
        }
    }
    None
}

#[cfg(test)]
mod tests {
    use super::super::{Curve, Knot, allowance_outline, area, bounds, distance};
    use super::*;
    use proptest::prelude::*;

    /// A quarter of a skirt: waist, side, hem turned up, fold.
    fn quarter(side: Curve, hem: Curve, side_allow: f64, hem_allow: f64) -> (Vec<Point>, Vec<Point>) {
        let waist = Curve::line([0.0, 0.0], side.start().unwrap());
        let fold = Curve::line(hem.end().unwrap(), [0.0, 0.0]);
        let flat: Vec<Vec<(Point, f64)>> = [waist, side, hem, fold].iter().map(Curve::flattened).collect();
        let sewing: Vec<Point> = flat.iter().flat_map(|s| s[..s.len() - 1].iter().map(|(p, _)| *p)).collect();
        let sides: Vec<Side> = flat
            .iter()
            .zip([10.0, side_allow, hem_allow, 0.0])
            .enumerate()
            .map(|(i, (points, allowance))| Side { points, allowance, is_fold: i == 3, turned_up: i == 2 })
            .collect();
        let cutting = allowance_outline(&sewing, &sides);
        (sewing, cutting)
    }

    /// The furthest x of the outline on a level.
    fn furthest(outline: &[Point], y: f64) -> f64 {
        outline
            .iter()
            .zip(outline.iter().cycle().skip(1))
            .filter(|(a, b)| (a[1] <= y) != (b[1] <= y))
            .map(|(a, b)| a[0] + (y - a[1]) / (b[1] - a[1]) * (b[0] - a[0]))
            .fold(f64::NEG_INFINITY, f64::max)
    }

    #[test]
    fn beside_an_upright_side_nothing_changes() {
        let (sewing, cutting) =
            quarter(Curve::line([200.0, 0.0], [200.0, 600.0]), Curve::line([200.0, 600.0], [0.0, 600.0]), 25.0, 50.0);
        assert!((area(&cutting) - 225.0 * 660.0).abs() < 0.1, "{}", area(&cutting));
        assert_eq!(area(&cutting) > 0.0, area(&sewing) > 0.0);
    }

    #[test]
    fn flared_it_comes_in_and_tapered_it_flares_out() {
        for lean in [120.0, -90.0] {
            let (_, cutting) = quarter(
                Curve::line([200.0, 0.0], [200.0 + lean, 600.0]),
                Curve::line([200.0 + lean, 600.0], [0.0, 600.0]),
                20.0,
                40.0,
            );
            for depth in [5.0, 17.0, 30.0, 39.0] {
                let (above, below) = (furthest(&cutting, 600.0 - depth), furthest(&cutting, 600.0 + depth));
                assert!((above - below).abs() < 0.01, "{lean} {depth}: {above} {below}");
            }
            assert!((bounds(&cutting).unwrap().1[1] - 640.0).abs() < 1e-6);
        }
    }

    #[test]
    fn a_curved_hem_square_to_its_side_keeps_its_depth_to_the_end() {
        // A fan of 40°: the side is square to the hem, so its cutting line just runs on.
        let at = |radius: f64, angle: f64| [radius * angle.sin(), radius * angle.cos()];
        let wide = 40.0_f64.to_radians();
        let side = Curve::line(at(200.0, wide), at(700.0, wide));
        let waist = Curve::arc([0.0, 0.0], at(200.0, 0.0), at(200.0, wide));
        let hem = Curve::arc([0.0, 0.0], at(700.0, wide), at(700.0, 0.0));
        let fold = Curve::line(at(700.0, 0.0), at(200.0, 0.0));
        let flat: Vec<Vec<(Point, f64)>> = [waist, side, hem, fold].iter().map(Curve::flattened).collect();
        let sewing: Vec<Point> = flat.iter().flat_map(|s| s[..s.len() - 1].iter().map(|(p, _)| *p)).collect();
        let sides: Vec<Side> = flat
            .iter()
            .zip([10.0, 25.0, 12.0, 0.0])
            .enumerate()
            .map(|(i, (points, allowance))| Side { points, allowance, is_fold: i == 3, turned_up: i == 2 })
            .collect();
        let cutting = allowance_outline(&sewing, &sides);
        let far = cutting.iter().map(|p| p[0].hypot(p[1])).fold(0.0, f64::max);
        // The corner lies 12 out and 25 beside the last point of the hem.
        assert!((far - 712.0_f64.hypot(25.0)).abs() < 0.02, "{far}");
    }

    proptest! {
        #[test]
        fn turned_up_it_lies_on_the_garment(
            lean in -120.0_f64..250.0, bow in -0.25_f64..0.25, allow in 6.0_f64..30.0, deep in 8.0_f64..60.0,
        ) {
            let from = (600.0_f64).atan2(lean);
            let side = Curve::through(&[
                Knot { at: [250.0, 0.0], heading: Some(from - bow) },
                Knot { at: [250.0 + lean, 600.0], heading: Some(from + bow) },
            ]);
            let (_, cutting) = quarter(side, Curve::line([250.0 + lean, 600.0], [0.0, 600.0]), allow, deep);
            prop_assert!(super::super::is_simple(&cutting).is_ok());
            for share in [0.1, 0.5, 0.9] {
                let (above, below) = (furthest(&cutting, 600.0 - deep * share), furthest(&cutting, 600.0 + deep * share));
                prop_assert!((above - below).abs() < 0.05, "{above} {below}");
            }
            prop_assert!(cutting.iter().all(|p| distance(*p, [0.0, 0.0]).is_finite()));
        }
    }
}
