//! An outline in short stretches, each in its box, for many questions about one outline.

use super::{Point, bounds, squared_distance_to_side};

/// So many sides share a box: of some hundred sides a few dozen boxes are looked at, and the
/// sides of two or three of them (8 was about as quick as 6 and 12).
const SIDES: usize = 8;

/// A closed outline with its stretches boxed.
#[derive(Clone, Debug)]
pub struct Boxed {
    stretches: Vec<Stretch>,
}

#[derive(Clone, Debug)]
struct Stretch {
    low: Point,
    high: Point,
    points: Vec<Point>,
}

impl Stretch {
    fn sides(&self) -> impl Iterator<Item = (Point, Point)> + '_ {
        self.points.iter().copied().zip(self.points.iter().copied().skip(1))
    }

    /// Square of the distance from a point to the box, mm²; nought inside.
    fn squared_distance(&self, p: Point) -> f64 {
        let off = |axis: usize| (self.low[axis] - p[axis]).max(p[axis] - self.high[axis]).max(0.0);
        off(0) * off(0) + off(1) * off(1)
    }
}

impl Boxed {
    /// The outline (the first point is not repeated) in boxes.
    #[must_use]
    pub fn of(outline: &[Point]) -> Boxed {
        let stretches = (0..outline.len()).step_by(SIDES).filter_map(|from| {
            let points: Vec<Point> = outline.iter().chain(outline.first()).skip(from).take(SIDES + 1).copied().collect();
            bounds(&points).map(|(low, high)| Stretch { low, high, points })
        });
        Boxed { stretches: stretches.collect() }
    }

    /// Distance from a point to the nearest side, mm; infinite without sides.
    #[must_use]
    pub fn distance(&self, p: Point) -> f64 {
        let off: Vec<f64> = self.stretches.iter().map(|stretch| stretch.squared_distance(p)).collect();
        // First the stretch whose box is nearest: it mostly has the side, and no other box is as near.
        let first = off.iter().enumerate().min_by(|a, b| a.1.total_cmp(b.1)).map(|(i, _)| i);
        let mut best = f64::INFINITY;
        let mut look = |stretch: &Stretch| {
            best = stretch.sides().map(|(a, b)| squared_distance_to_side(a, b, p)).fold(best, f64::min);
            best
        };
        let mut nearest = first.and_then(|i| self.stretches.get(i)).map_or(f64::INFINITY, &mut look);
        for (stretch, off) in self.stretches.iter().zip(&off) {
            if *off < nearest {
                nearest = look(stretch);
            }
        }
        nearest.sqrt()
    }

    /// Whether `point` lies inside the outline (even-odd).
    #[must_use]
    pub fn contains(&self, point: Point) -> bool {
        let [x, y] = point;
        let met = self.stretches.iter().filter(|one| one.low[1] <= y && y <= one.high[1] && x <= one.high[0]);
        let crossed = met.flat_map(Stretch::sides).filter(|(a, b)| {
            (a[1] <= y) != (b[1] <= y) && a[0] + (y - a[1]) / (b[1] - a[1]) * (b[0] - a[0]) > x
        });
        crossed.count() % 2 == 1
    }
}

#[cfg(test)]
mod tests {
    use super::super::{contains, distance_to_outline};
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn boxes_answer_as_the_plain_outline_does(
            outline in proptest::collection::vec((-300.0_f64..300.0, -300.0_f64..300.0), 0..60),
            x in -400.0_f64..400.0, y in -400.0_f64..400.0,
        ) {
            let outline: Vec<Point> = outline.into_iter().map(|(x, y)| [x, y]).collect();
            let boxed = Boxed::of(&outline);
            prop_assert_eq!(boxed.contains([x, y]), contains(&outline, [x, y]));
            let (near, plain) = (boxed.distance([x, y]), distance_to_outline(&outline, [x, y]));
            prop_assert!((near - plain).abs() < 1e-9 || near.to_bits() == plain.to_bits(), "{} {}", near, plain);
        }
    }
}
