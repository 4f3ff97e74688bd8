//! Closed outlines as lists of points (the first is not repeated): area, width at
//! a level, simplicity, distance.

use super::{Point, SAME_POINT_MM, distance};

/// The sides of a closed outline.
fn sides(outline: &[Point]) -> impl Iterator<Item = (Point, Point)> + '_ {
    let along = outline.array_windows().map(|[a, b]| (*a, *b));
    along.chain(outline.last().copied().zip(outline.first().copied()))
}

/// Twice the signed area is the shoelace sum; this is the signed area, mm²:
/// positive when the outline runs clockwise on screen (x right, y down).
#[must_use]
pub fn area(outline: &[Point]) -> f64 {
    sides(outline).map(|(a, b)| a[0] * b[1] - b[0] * a[1]).sum::<f64>() / 2.0
}

/// Length once round, mm.
#[must_use]
pub fn perimeter(outline: &[Point]) -> f64 {
    sides(outline).map(|(a, b)| distance(a, b)).sum()
}

/// Length along an open run of points, mm.
#[must_use]
pub fn length_along(points: &[Point]) -> f64 {
    points.iter().zip(points.iter().skip(1)).map(|(a, b)| distance(*a, *b)).sum()
}

/// The least and greatest corner of the box around the points.
#[must_use]
pub fn bounds(points: &[Point]) -> Option<(Point, Point)> {
    let first = *points.first()?;
    Some(points.iter().fold((first, first), |(low, high), p| {
        ([low[0].min(p[0]), low[1].min(p[1])], [high[0].max(p[0]), high[1].max(p[1])])
    }))
}

/// The total width of the outline's inside on the horizontal line at `y`, mm.
#[must_use]
pub fn width_at(outline: &[Point], y: f64) -> f64 {
    let mut crossings: Vec<f64> = sides(outline)
        .filter(|(a, b)| (a[1] <= y) != (b[1] <= y))
        .map(|(a, b)| a[0] + (y - a[1]) / (b[1] - a[1]) * (b[0] - a[0]))
        .collect();
    crossings.sort_by(f64::total_cmp);
    crossings.chunks_exact(2).map(|pair| if let [a, b] = pair { b - a } else { 0.0 }).sum()
}

/// Whether `point` lies inside the outline (even-odd).
#[must_use]
pub fn contains(outline: &[Point], point: Point) -> bool {
    sides(outline)
        .filter(|(a, b)| {
            (a[1] <= point[1]) != (b[1] <= point[1])
                && a[0] + (point[1] - a[1]) / (b[1] - a[1]) * (b[0] - a[0]) > point[0]
        })
        .count()
        % 2
        == 1
}

/// Distance from a point to the nearest side of a closed outline, mm.
#[must_use]
pub fn distance_to_outline(outline: &[Point], point: Point) -> f64 {
    sides(outline).map(|(a, b)| squared_distance_to_side(a, b, point)).fold(f64::INFINITY, f64::min).sqrt()
}

/// Square of the distance from a point to the segment `a`–`b`, mm²: of many sides the
/// nearest is found without a root for each.
#[must_use]
pub fn squared_distance_to_side(a: Point, b: Point, p: Point) -> f64 {
    let (dx, dy) = (b[0] - a[0], b[1] - a[1]);
    let size = dx * dx + dy * dy;
    let t = if size > 0.0 { (((p[0] - a[0]) * dx + (p[1] - a[1]) * dy) / size).clamp(0.0, 1.0) } else { 0.0 };
    let (ex, ey) = (a[0] + t * dx - p[0], a[1] + t * dy - p[1]);
    ex * ex + ey * ey
}

/// Where the segments `a`–`b` and `c`–`d` cross, ends included.
#[must_use]
pub fn crossing(a: Point, b: Point, c: Point, d: Point) -> Option<Point> {
    let (r, s) = ([b[0] - a[0], b[1] - a[1]], [d[0] - c[0], d[1] - c[1]]);
    let cross = r[0] * s[1] - r[1] * s[0];
    if cross.abs() < 1e-12 {
        return None;
    }
    let q = [c[0] - a[0], c[1] - a[1]];
    let t = (q[0] * s[1] - q[1] * s[0]) / cross;
    let u = (q[0] * r[1] - q[1] * r[0]) / cross;
    ((-1e-9..=1.0 + 1e-9).contains(&t) && (-1e-9..=1.0 + 1e-9).contains(&u)).then(|| [a[0] + t * r[0], a[1] + t * r[1]])
}

/// Whether the closed outline has an inside and no side touches another that is
/// not its neighbour. Returns the place of the first touch.
///
/// # Errors
/// The point where the outline meets itself.
pub fn is_simple(outline: &[Point]) -> Result<(), Point> {
    let first = outline.first().copied().unwrap_or([0.0, 0.0]);
    if outline.len() < 3 || area(outline).abs() < SAME_POINT_MM {
        return Err(first);
    }
    let count = outline.len();
    let mut heights: Vec<(f64, usize)> = sides(outline).map(|(a, b)| a[1].min(b[1])).zip(0..).collect();
    heights.sort_by(|one, other| one.0.total_cmp(&other.0));
    let side = |i: usize| outline.get(i).copied().zip(outline.get((i + 1) % count).copied());
    let order: Vec<(f64, usize, Point, Point)> =
        heights.into_iter().filter_map(|(high, i)| side(i).map(|(a, b)| (high, i, a, b))).collect();
    for (k, (_, i, a, b)) in order.iter().enumerate() {
        let low = a[1].max(b[1]);
        for (high, j, c, d) in order.iter().skip(k + 1) {
            if *high > low {
                break;
            }
            let apart = i.abs_diff(*j);
            if apart == 1 || apart + 1 == count {
                continue;
            }
            if a[0].min(b[0]) > c[0].max(d[0]) || c[0].min(d[0]) > a[0].max(b[0]) {
                continue;
            }
            if let Some(place) = crossing(*a, *b, *c, *d) {
                return Err(place);
            }
        }
    }
    Ok(())
}

/// The part of a closed outline on the side of the line through `on` with heading
/// `along` where the turn from `along` is to the right (screen clockwise), cut
/// straight along that line. Convex cuts only: an outline that the line leaves and
/// enters again keeps its shape joined along the line.
#[must_use]
pub fn split_by_line(outline: &[Point], on: Point, along: f64) -> Vec<Point> {
    let (sin, cos) = along.sin_cos();
    let side = |p: Point| cos * (p[1] - on[1]) - sin * (p[0] - on[0]);
    let mut kept = Vec::with_capacity(outline.len() + 2);
    for (a, b) in sides(outline) {
        let (da, db) = (side(a), side(b));
        if da >= 0.0 {
            kept.push(a);
        }
        if (da > 0.0 && db < 0.0) || (da < 0.0 && db > 0.0) {
            let t = da / (da - db);
            kept.push([a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])]);
        }
    }
    kept.dedup_by(|a, b| distance(*a, *b) < 1e-9);
    kept
}

#[cfg(test)]
mod tests {
    use super::*;

    const SQUARE: [Point; 4] = [[0.0, 0.0], [10.0, 0.0], [10.0, 10.0], [0.0, 10.0]];

    #[test]
    fn a_square_is_what_it_is() {
        assert!((area(&SQUARE) - 100.0).abs() < 1e-12);
        assert!((perimeter(&SQUARE) - 40.0).abs() < 1e-12);
        assert!((width_at(&SQUARE, 5.0) - 10.0).abs() < 1e-12);
        assert!(width_at(&SQUARE, 11.0).abs() < 1e-12);
        assert!(contains(&SQUARE, [5.0, 5.0]) && !contains(&SQUARE, [11.0, 5.0]));
        assert!((distance_to_outline(&SQUARE, [5.0, 3.0]) - 3.0).abs() < 1e-12);
        assert_eq!(is_simple(&SQUARE), Ok(()));
    }

    #[test]
    fn a_bow_meets_itself_in_the_middle() {
        let place = is_simple(&[[0.0, 0.0], [10.0, 10.0], [10.0, 0.0], [0.0, 12.0]]).unwrap_err();
        assert!(place[0] > 0.0 && place[0] < 10.0);
        assert!(is_simple(&[[0.0, 0.0], [5.0, 0.0], [10.0, 0.0]]).is_err());
    }

    #[test]
    fn a_line_keeps_its_right_hand_side() {
        // Heading down: the right hand of somebody who walks down the page is the left half.
        let kept = split_by_line(&SQUARE, [4.0, 0.0], std::f64::consts::FRAC_PI_2);
        assert!((area(&kept) - 40.0).abs() < 1e-9, "{kept:?}");
    }
}
