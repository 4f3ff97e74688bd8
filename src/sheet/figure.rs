//! A blank figure, front and back, for the pins of a fitting: our own plain outline.

use crate::geom::Point;

/// A figure to write on.
#[derive(Clone, Debug, PartialEq)]
pub struct Figure {
    /// `Front`, `Back`.
    pub words: &'static str,
    /// Path data of the outline.
    pub outline: String,
    /// Level lines to pin against: bust, waist, hip, knee, from left to right.
    pub levels: Vec<(Point, Point)>,
    /// The words at the left and right edge: the wearer's own sides.
    pub sides: (&'static str, &'static str),
}

/// Width and height of the field that a figure is drawn in.
pub const FIGURE_SIZE: [f64; 2] = [100.0, 234.0];

/// Half the outline, from the crown down the wearer's one side to between the
/// feet, as corners of a smooth curve; x from the middle.
const HALF: [Point; 34] = [
    [0.0, 2.0],
    [7.0, 2.5],
    [9.6, 10.0],
    [8.6, 19.0],
    [5.6, 25.0],
    [4.4, 26.5],
    [4.4, 34.0],
    [11.0, 36.5],
    [20.0, 39.0],
    [24.0, 45.0],
    [26.5, 60.0],
    [29.5, 78.0],
    [33.5, 98.0],
    [36.5, 110.0],
    [36.0, 117.0],
    [32.5, 116.0],
    [30.0, 106.0],
    [25.5, 88.0],
    [22.0, 72.0],
    [18.5, 56.0],
    [16.8, 60.0],
    [16.2, 68.0],
    [13.2, 82.0],
    [15.0, 92.0],
    [19.0, 106.0],
    [19.0, 120.0],
    [17.0, 142.0],
    [13.0, 162.0],
    [13.5, 178.0],
    [10.0, 204.0],
    [12.0, 219.0],
    [5.0, 220.0],
    [4.5, 180.0],
    [0.8, 118.0],
];

/// Levels of bust, waist, hip and knee, and half the width at each.
const LEVELS: [Point; 4] = [[17.5, 57.0], [13.6, 82.0], [19.2, 108.0], [13.5, 162.0]];

/// Front and back.
#[must_use]
pub fn figures() -> [Figure; 2] {
    // Looking at her front, her right side is at our left; at her back it is the other way about.
    [figure("Front", ("R", "L")), figure("Back", ("L", "R"))]
}

fn figure(words: &'static str, sides: (&'static str, &'static str)) -> Figure {
    let middle = FIGURE_SIZE[0] / 2.0;
    let right = HALF.iter().map(|[x, y]| [middle + x, *y]);
    let left = HALF.iter().rev().map(|[x, y]| [middle - x, *y]);
    let outline = smooth(&right.chain(left).collect::<Vec<_>>());
    let levels = LEVELS.iter().map(|[half, y]| ([middle - half, *y], [middle + half, *y])).collect();
    Figure { words, outline, levels, sides }
}

/// A closed curve through the middles of the sides of a polygon, touching each side.
fn smooth(corners: &[Point]) -> String {
    let middle = |a: Point, b: Point| [f64::midpoint(a[0], b[0]), f64::midpoint(a[1], b[1])];
    let following = corners.iter().cycle().skip(1);
    let mut path = String::new();
    if let (Some(first), Some(last)) = (corners.first(), corners.last()) {
        let [x, y] = middle(*last, *first);
        path.push_str(&format!("M{x:.2} {y:.2}"));
    }
    for (corner, next) in corners.iter().zip(following) {
        let [x, y] = middle(*corner, *next);
        path.push_str(&format!("Q{:.2} {:.2} {x:.2} {y:.2}", corner[0], corner[1]));
    }
    path.push('Z');
    path
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn both_figures_stay_in_their_field_and_name_the_wearers_sides() {
        let [front, back] = figures();
        assert_eq!((front.sides, back.sides), (("R", "L"), ("L", "R")));
        for [x, y] in HALF {
            assert!((0.0..=FIGURE_SIZE[0] / 2.0).contains(&x) && (0.0..=FIGURE_SIZE[1]).contains(&y));
        }
        assert_eq!(front.outline.matches('Q').count(), 2 * HALF.len());
    }
}
