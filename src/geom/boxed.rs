//! An outline in short stretches, each in its box, for many questions about one outline.

use super::{Point, bounds, squared_distance_to_side};

/// So many sides share a box: of some hundred sides a few dozen boxes are looked at, and the
/// sides of two or three of them (judgement).
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
            let points: Vec<Point> =
                outline.iter().chain(outline.first()).skip(from).take(SIDES + 1).copied().collect();
            bounds(&points).map(|(low, high)| Stretch { low, high, points })
        });
        Boxed { stretches: stretches.collect() }
    }

    /// Distance from a point to the nearest side, mm; infinite without sides. `near` is the
    /// stretch that was nearest to the last point asked for: mostly it is that of this one,
    /// too, and no other box is as near.
    #[must_use]
    pub fn distance(&self, p: Point, near: &mut usize) -> f64 {
        let look = |stretch: &Stretch, best: f64| {
            stretch.sides().map(|(a, b)| squared_distance_to_side(a, b, p)).fold(best, f64::min)
        };
        let mut best = self.stretches.get(*near).map_or(f64::INFINITY, |stretch| look(stretch, f64::INFINITY));
        for (i, stretch) in self.stretches.iter().enumerate() {
            if stretch.squared_distance(p) < best {
                let found = look(stretch, best);
                if found < best {
                    (best, *near) = (found, i);
                }
            }
        }
        best.sqrt()
    }

    /// Whether `point` lies inside the outline (even-odd).
    #[must_use]
    pub fn contains(&self, point: Point) -> bool {
        let [x, y] = point;
        let met = self.stretches.iter().filter(|one| one.low[1] <= y && y <= one.high[1] && x <= one.high[0]);
        let crossed = met
            .flat_map(Stretch::sides)
            .filter(|(a, b)| (a[1] <= y) != (b[1] <= y) && a[0] + (y - a[1]) / (b[1] - a[1]) * (b[0] - a[0]) > x);
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
            let plain = distance_to_outline(&outline, [x, y]);
            for mut near in 0..9 {
                let found = boxed.distance([x, y], &mut near);
                prop_assert!((found - plain).abs() < 1e-9 || found.to_bits() == plain.to_bits(), "{} {}", found, plain);
            }
        }
    }
}
