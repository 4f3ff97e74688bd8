//! A fold: a piece drawn as its half, and what lies on the other side of the line.

use super::Point;

/// The line that a piece is folded on: any two points of it.
pub type FoldLine = (Point, Point);

/// Whether a point lies on the fold, within a pen's width.
#[must_use]
pub fn on_fold(point: Point, fold: FoldLine) -> bool {
    /// Nothing that scissors know, and far above the rounding of an outline's points, mm.
    const PEN_MM: f64 = 0.05;
    along_and_off(point, fold).is_some_and(|(_, off)| off.abs() <= PEN_MM)
}

/// The point on the other side of the fold.
#[must_use]
pub fn mirrored(point: Point, fold: FoldLine) -> Point {
    let (from, to) = fold;
    let way = [to[0] - from[0], to[1] - from[1]];
    let size = way[0].hypot(way[1]);
    match along_and_off(point, fold) {
        Some((_, off)) => [point[0] + 2.0 * off * way[1] / size, point[1] - 2.0 * off * way[0] / size],
        None => point,
    }
}

/// How far along the fold a point lies, and how far off it (to its right, as one walks
/// it on a page), mm; `None` when the fold has no length.
#[must_use]
pub fn along_and_off(point: Point, (from, to): FoldLine) -> Option<(f64, f64)> {
    let way = [to[0] - from[0], to[1] - from[1]];
    let size = way[0].hypot(way[1]);
    let at = [point[0] - from[0], point[1] - from[1]];
    (size > 0.0).then(|| ((at[0] * way[0] + at[1] * way[1]) / size, (at[1] * way[0] - at[0] * way[1]) / size))
}

/// The runs of a closed outline that do not lie on the fold, in the order of the walk;
/// the whole outline, its first point repeated, where none of it does.
#[must_use]
pub fn runs_off_fold(outline: &[Point], fold: Option<FoldLine>) -> Vec<Vec<Point>> {
    let lies = |from: &Point, to: &Point| fold.is_some_and(|fold| on_fold(*from, fold) && on_fold(*to, fold));
    let sides = || outline.iter().zip(outline.iter().cycle().skip(1));
    // The walk begins where it leaves the fold, so that no run is broken in two.
    let leaves = sides().position(|(from, to)| lies(from, to)).map_or(0, |at| at + 1);
    let mut runs: Vec<Vec<Point>> = Vec::new();
    let mut pen_up = true;
    for (from, to) in
        outline.iter().cycle().skip(leaves).zip(outline.iter().cycle().skip(leaves + 1)).take(outline.len())
    {
        if lies(from, to) {
            pen_up = true;
            continue;
        }
        match runs.last_mut().filter(|_| !pen_up) {
            Some(run) => run.push(*to),
            None => runs.push(vec![*from, *to]),
        }
        pen_up = false;
    }
    runs
}

/// A closed outline that is drawn as its half, opened out over the fold.
#[must_use]
pub fn opened_out(half: &[Point], fold: FoldLine) -> Vec<Point> {
    let mut whole = Vec::with_capacity(half.len() * 2);
    for run in runs_off_fold(half, Some(fold)) {
        let back = run.iter().rev().filter(|point| !on_fold(**point, fold)).map(|point| mirrored(*point, fold));
        let back: Vec<Point> = back.collect();
        whole.extend(run);
        whole.extend(back);
    }
    whole
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::area;
    use proptest::prelude::*;

    const HALF: [Point; 4] = [[0.0, 0.0], [10.0, 0.0], [8.0, 20.0], [0.0, 20.0]];
    const FOLD: FoldLine = ([0.0, 0.0], [0.0, 20.0]);

    #[test]
    fn a_half_opens_into_twice_its_area() {
        let whole = opened_out(&HALF, FOLD);
        assert_eq!(whole.len(), 6, "{whole:?}");
        assert!((area(&whole).abs() - 2.0 * area(&HALF).abs()).abs() < 1e-9);
        assert!(whole.contains(&[-8.0, 20.0]));
    }

    #[test]
    fn the_fold_is_left_out_wherever_the_walk_begins() {
        for start in 0..HALF.len() {
            let mut turned = HALF.to_vec();
            turned.rotate_left(start);
            let runs = runs_off_fold(&turned, Some(FOLD));
            assert_eq!(runs, vec![HALF.to_vec()], "from {start}");
        }
        assert_eq!(runs_off_fold(&HALF, None).first().unwrap().len(), 5);
        assert_eq!(runs_off_fold(&[], None), Vec::<Vec<Point>>::new());
    }

    proptest! {
        #[test]
        fn mirrored_twice_is_where_it_was(
            x in -900.0..900.0, y in -900.0..900.0, angle in 0.0..6.0_f64, far in 1.0..500.0
        ) {
            let fold = ([3.0, 4.0], [3.0 + far * angle.cos(), 4.0 + far * angle.sin()]);
            let there = mirrored([x, y], fold);
            let back = mirrored(there, fold);
            prop_assert!((back[0] - x).hypot(back[1] - y) < 1e-9);
            let (one, other) = (along_and_off([x, y], fold).unwrap(), along_and_off(there, fold).unwrap());
            prop_assert!((one.0 - other.0).abs() < 1e-9 && (one.1 + other.1).abs() < 1e-9);
        }
    }
}
