//! Room on a piece: where words and the grain arrow stand clear of its lines and of one another.

use crate::geom::{Point, bounds, contains};

use super::ink::share_in_box;

/// A piece's outline with what is drawn in it already.
#[derive(Clone, Debug)]
pub(super) struct Room {
    outline: Vec<Point>,
    lines: Vec<(Point, Point)>,
    taken: Vec<[Point; 4]>,
}

/// Places looked at on each axis, at most. Judgement: with these a place is found on a
/// facing an inch deep, and all of a skirt is placed within a few milliseconds.
const MOST_STEPS: u32 = 44;

impl Room {
    /// The room in a closed outline.
    pub(super) fn within(outline: &[Point]) -> Room {
        let lines = outline.iter().copied().zip(outline.iter().copied().cycle().skip(1)).collect();
        Room { outline: outline.to_vec(), lines, taken: Vec::new() }
    }

    /// Nothing may stand on this line.
    pub(super) fn keep_off(&mut self, line: &[Point]) {
        self.lines.extend(line.iter().copied().zip(line.iter().copied().skip(1)));
    }

    /// Nothing else may stand here.
    pub(super) fn take(&mut self, corners: [Point; 4]) {
        self.taken.push(corners);
    }

    /// The middle of a free place of this size, turned by this angle, as near as can be
    /// to a point; `None` when there is none.
    pub(super) fn spot(&self, size: Point, turn: f64, near: Point) -> Option<Point> {
        // Looked at with the head held aslant, the place is upright.
        let (sin, cos) = turn.sin_cos();
        let aslant = |[x, y]: Point| [x * cos + y * sin, y * cos - x * sin];
        let outline: Vec<Point> = self.outline.iter().map(|point| aslant(*point)).collect();
        let lines: Vec<(Point, Point)> = self.lines.iter().map(|(a, b)| (aslant(*a), aslant(*b))).collect();
        let taken: Vec<[Point; 4]> = self.taken.iter().map(|corners| corners.map(aslant)).collect();
        let (low, high) = bounds(&outline)?;
        let near = aslant(near);
        let half = [size[0] / 2.0, size[1] / 2.0];
        let mut places: Vec<(f64, Point)> = Vec::new();
        for x in steps(low[0] + half[0], high[0] - half[0], half[0]) {
            for y in steps(low[1] + half[1], high[1] - half[1], half[1]) {
                places.push(((x - near[0]).hypot(y - near[1]), [x, y]));
            }
        }
        places.sort_by(|(one, _), (other, _)| one.total_cmp(other));
        let free = |[x, y]: Point| {
            let (least, most) = ([x - half[0], y - half[1]], [x + half[0], y + half[1]]);
            let crossed = |(a, b): &(Point, Point)| crosses(*a, *b, least, most);
            let sides = |corners: &[Point; 4]| {
                let [a, b, c, d] = *corners;
                [(a, b), (b, c), (c, d), (d, a)]
            };
            !lines.iter().any(crossed)
                && !taken.iter().any(|corners| {
                    let inside = |p: Point| (0..2).all(|axis| least[axis] <= p[axis] && p[axis] <= most[axis]);
                    sides(corners).iter().any(crossed)
                        || contains(corners, [x, y])
                        || corners.iter().any(|p| inside(*p))
                })
                && contains(&outline, [x, y])
        };
        let found = places.into_iter().map(|(_, place)| place).find(|place| free(*place))?;
        Some([found[0] * cos - found[1] * sin, found[0] * sin + found[1] * cos])
    }
}

/// Evenly spread values, both ends among them; none where the room is too small.
fn steps(from: f64, to: f64, half: f64) -> impl Iterator<Item = f64> {
    /// What only touches a line counts as crossed by it.
    const HAIR_MM: f64 = 0.01;
    let (from, to) = (from + HAIR_MM, to - HAIR_MM);
    let mut count = 1_u32;
    while count < MOST_STEPS && (to - from) / f64::from(count) > half.max(1.0) / 2.0 {
        count += 1;
    }
    let count = if to < from { None } else { Some(count) };
    count
        .into_iter()
        .flat_map(move |count| (0..=count).map(move |i| from + (to - from) * f64::from(i) / f64::from(count)))
}

fn crosses(a: Point, b: Point, low: Point, high: Point) -> bool {
    let beside = |axis: usize| a[axis].max(b[axis]) < low[axis] || a[axis].min(b[axis]) > high[axis];
    !beside(0) && !beside(1) && share_in_box(a, b, low, high).is_some()
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;
    use std::f64::consts::FRAC_PI_2;

    const BAND: [Point; 4] = [[0.0, 0.0], [200.0, 0.0], [200.0, 30.0], [0.0, 30.0]];

    #[test]
    fn a_place_is_taken_once() {
        let mut room = Room::within(&BAND);
        let middle = room.spot([60.0, 20.0], 0.0, [100.0, 15.0]).unwrap();
        assert!((middle[0] - 100.0).abs() < 10.0, "{middle:?}");
        let [x, y] = middle;
        room.take([[x - 30.0, y - 10.0], [x + 30.0, y - 10.0], [x + 30.0, y + 10.0], [x - 30.0, y + 10.0]]);
        let beside = room.spot([60.0, 20.0], 0.0, [100.0, 15.0]).unwrap();
        assert!((beside[0] - x).abs() >= 60.0 - 0.1, "{beside:?}");
        assert_eq!(room.spot([60.0, 31.0], 0.0, middle), None);
        // Upright it would stick out.
        assert_eq!(room.spot([60.0, 20.0], FRAC_PI_2, middle), None);
    }

    proptest! {
        #[test]
        fn what_is_placed_lies_within(
            wide in 5.0..80.0, high in 5.0..40.0, turn in -1.6..1.6, x in 0.0..300.0, y in 0.0..300.0, inner in 20.0..200.0
        ) {
            // A hollow outline, as a facing is.
            let hollow = [[0.0, 0.0], [300.0, 0.0], [300.0, 300.0], [inner, 300.0], [inner, inner], [0.0, inner]];
            if let Some(at) = Room::within(&hollow).spot([wide, high], turn, [x, y]) {
                let (sin, cos) = f64::sin_cos(turn);
                for (dx, dy) in [(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0), (0.0, 1.0), (1.0, 0.0)] {
                    let (dx, dy) = (dx * wide * 0.4999, dy * high * 0.4999);
                    let corner = [at[0] + dx * cos - dy * sin, at[1] + dx * sin + dy * cos];
                    prop_assert!(contains(&hollow, corner), "{corner:?}");
                }
            }
        }
    }
}
