//! Pieces side by side on paper: on one field that is cut into sheets, or, on large paper,
//! whole on sheets of their own.

use crate::geom::Point;

use super::ink::Move;

/// Between two pieces, mm: scissors need to pass.
const GAP: f64 = 10.0;

/// Something that is given a place: how wide and high it is, and its box's least corner.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Item {
    /// The least corner of the box around it, in its own place.
    pub(super) least: Point,
    /// How wide and high the box is.
    pub(super) size: Point,
}

/// A field of paper with what lies on it, in the order of the items.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Field {
    /// Which item goes where.
    pub(super) placed: Vec<(usize, Move)>,
    /// How wide and high what lies there is.
    pub(super) size: Point,
}

/// How a field is cut into sheets.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Grid {
    /// What of a sheet can be printed on.
    pub(super) frame: Point,
    /// What neighbours have in common.
    pub(super) overlap: f64,
}

impl Grid {
    /// From one sheet to the next.
    pub(super) fn step(self) -> Point {
        [self.frame[0] - self.overlap, self.frame[1] - self.overlap]
    }

    /// Columns and rows that a field of this size takes.
    pub(super) fn count(self, size: Point) -> [u32; 2] {
        let step = self.step();
        [0, 1].map(|axis| {
            let mut count = 1_u32;
            while count < MOST_ACROSS && f64::from(count - 1) * step[axis] + self.frame[axis] < size[axis] - 1e-6 {
                count += 1;
            }
            count
        })
    }

    /// The least corner of a sheet's frame, in the field.
    pub(super) fn corner(self, column: u32, row: u32) -> Point {
        let step = self.step();
        [f64::from(column) * step[0], f64::from(row) * step[1]]
    }
}

/// No field is more sheets wide or high than this; [`super::PatternError::TooMany`] comes long before.
pub(super) const MOST_ACROSS: u32 = 400;

/// One field for all items, as wide as takes few sheets without growing longer than a
/// table. The first item lies at the least corner.
pub(super) fn on_one_field(items: &[Item], grid: Grid) -> Field {
    /// Fields wider than this are no table's. Judgement.
    const WIDEST: u32 = 12;
    /// Half a metre of length is as bad as one more sheet. Judgement: a long strip is hard
    /// to tape together straight.
    const A_SHEET_MM: f64 = 500.0;
    let widest = items.iter().map(|item| item.size[0].min(item.size[1])).fold(0.0, f64::max);
    let least = grid.count([widest, 0.0])[0];
    let mut best: Option<(f64, f64, Field)> = None;
    for columns in least..=least.max(WIDEST) {
        let wide = grid.corner(columns - 1, 0)[0] + grid.frame[0];
        for (order, upright) in orders(items).into_iter().flat_map(|order| [(order.clone(), false), (order, true)]) {
            let field = packed(items, &order, upright, wide.max(widest));
            let effort = f64::from(sheets_touched(items, &field, grid)) + field.size[0].max(field.size[1]) / A_SHEET_MM;
            let area = field.size[0] * field.size[1];
            if best.as_ref().is_none_or(|(least, smallest, _)| (effort, area) < (*least, *smallest)) {
                best = Some((effort, area, field));
            }
        }
    }
    best.map_or_else(|| Field { placed: Vec::new(), size: [0.0; 2] }, |(_, _, field)| field)
}

/// Large paper: every item that fits lies whole on a sheet; one that fits none has a
/// field of its own, to be cut into sheets. The first item lies on the first sheet.
pub(super) fn on_sheets(items: &[Item], frame: Point) -> Vec<Field> {
    let fits = |[wide, high]: Point| wide <= frame[0] && high <= frame[1];
    let mut sheets: Vec<Field> = Vec::new();
    let mut too_large = Vec::new();
    let mut order: Vec<usize> = (1..items.len()).collect();
    order.sort_by(|a, b| height(items, *b).total_cmp(&height(items, *a)));
    let mut skylines: Vec<Vec<(usize, Point, bool)>> = Vec::new();
    for index in (0..items.len().min(1)).chain(order) {
        let Some(item) = items.get(index) else { continue };
        let quarters: Vec<bool> =
            [false, true].into_iter().filter(|quarter| fits(turned(item.size, *quarter))).collect();
        if quarters.is_empty() {
            too_large.push(Field { placed: vec![(index, home(*item, [0.0; 2], false))], size: item.size });
            continue;
        }
        let place = skylines.iter().enumerate().find_map(|(sheet, placed)| {
            quarters.iter().find_map(|quarter| {
                let at = lowest(items, placed, turned(item.size, *quarter), frame[0])?;
                (at[1] + turned(item.size, *quarter)[1] <= frame[1]).then_some((sheet, at, *quarter))
            })
        });
        match place {
            Some((sheet, at, quarter)) => {
                if let Some(placed) = skylines.get_mut(sheet) {
                    placed.push((index, at, quarter));
                }
            }
            None => skylines.push(vec![(index, [0.0; 2], quarters.first().copied().unwrap_or(false))]),
        }
    }
    sheets.extend(skylines.iter().map(|placed| field(items, placed)));
    sheets.extend(too_large);
    sheets
}

fn height(items: &[Item], index: usize) -> f64 {
    items.get(index).map_or(0.0, |item| item.size[1])
}

/// Orders worth trying: as they come, the highest first, the widest first.
fn orders(items: &[Item]) -> [Vec<usize>; 3] {
    let as_they_come: Vec<usize> = (0..items.len()).collect();
    let sorted = |axis: usize| {
        let mut order = as_they_come.clone();
        let by = |index: &usize| items.get(*index).map_or(0.0, |item| item.size[axis]);
        if let Some(rest) = order.get_mut(1..) {
            rest.sort_by(|a, b| by(b).total_cmp(&by(a)));
        }
        order
    };
    [sorted(1), sorted(0), as_they_come.clone()]
}

/// Items one after another, each as near to the head of the field as it will lie. A band,
/// flat and long, may stand `upright`; whatever is wider than the field must.
fn packed(items: &[Item], order: &[usize], upright: bool, wide: f64) -> Field {
    /// So much longer than it is high, a piece is a band. Judgement.
    const BAND: f64 = 2.0;
    let mut placed: Vec<(usize, Point, bool)> = Vec::new();
    for index in order {
        let Some(item) = items.get(*index) else { continue };
        let quarter = item.size[0] > wide || (upright && item.size[0] > BAND * item.size[1]);
        let at = lowest(items, &placed, turned(item.size, quarter), wide).unwrap_or([0.0; 2]);
        placed.push((*index, at, quarter));
    }
    field(items, &placed)
}

/// The place nearest to the head of the field, then to its left, below what lies there.
fn lowest(items: &[Item], placed: &[(usize, Point, bool)], size: Point, wide: f64) -> Option<Point> {
    let boxes: Vec<(Point, Point)> = placed
        .iter()
        .filter_map(|(index, at, quarter)| Some((*at, turned(items.get(*index)?.size, *quarter))))
        .collect();
    let starts = std::iter::once(0.0).chain(boxes.iter().map(|(at, size)| at[0] + size[0] + GAP));
    starts
        .filter(|x| x + size[0] <= wide + 1e-9)
        .map(|x| {
            let below = boxes.iter().filter(|(at, other)| at[0] < x + size[0] + GAP && at[0] + other[0] + GAP > x);
            [x, below.map(|(at, other)| at[1] + other[1] + GAP).fold(0.0, f64::max)]
        })
        .min_by(|one, other| (one[1], one[0]).partial_cmp(&(other[1], other[0])).unwrap_or(std::cmp::Ordering::Equal))
}

fn field(items: &[Item], placed: &[(usize, Point, bool)]) -> Field {
    let mut size = [0.0_f64; 2];
    let mut moves = Vec::new();
    for (index, at, quarter) in placed {
        let Some(item) = items.get(*index) else { continue };
        let [wide, high] = turned(item.size, *quarter);
        size = [size[0].max(at[0] + wide), size[1].max(at[1] + high)];
        moves.push((*index, home(*item, *at, *quarter)));
    }
    Field { placed: moves, size }
}

/// The move that takes an item's box to this place.
fn home(item: Item, at: Point, quarter: bool) -> Move {
    let least = if quarter { [-(item.least[1] + item.size[1]), item.least[0]] } else { item.least };
    Move { quarter, by: [at[0] - least[0], at[1] - least[1]] }
}

const fn turned([wide, high]: Point, quarter: bool) -> Point {
    if quarter { [high, wide] } else { [wide, high] }
}

/// How many sheets something lies on, by the boxes.
fn sheets_touched(items: &[Item], field: &Field, grid: Grid) -> u32 {
    let [columns, rows] = grid.count(field.size);
    let boxes: Vec<(Point, Point)> = field
        .placed
        .iter()
        .filter_map(|(index, to)| {
            let item = items.get(*index)?;
            let far = [item.least[0] + item.size[0], item.least[1] + item.size[1]];
            crate::geom::bounds(&[to.of(item.least), to.of(far)])
        })
        .collect();
    (0..rows)
        .flat_map(|row| (0..columns).map(move |column| (column, row)))
        .filter(|(column, row)| {
            let low = grid.corner(*column, *row);
            let meets = |(least, most): &(Point, Point)| {
                (0..2).all(|axis| least[axis] < low[axis] + grid.frame[axis] && most[axis] > low[axis])
            };
            boxes.iter().any(meets)
        })
        .fold(0, |count, _| count + 1)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn items() -> impl Strategy<Value = Vec<Item>> {
        let item =
            ([-50.0..50.0, -50.0..50.0], [5.0..700.0, 5.0..900.0]).prop_map(|(least, size)| Item { least, size });
        prop::collection::vec(item, 1..14)
    }

    /// The boxes of a field, as they lie.
    fn boxes(items: &[Item], field: &Field) -> Vec<(Point, Point)> {
        let corner = |to: &Move, item: &Item, far: f64| {
            to.of([item.least[0] + far * item.size[0], item.least[1] + far * item.size[1]])
        };
        field
            .placed
            .iter()
            .map(|(index, to)| {
                let (a, b) = (corner(to, &items[*index], 0.0), corner(to, &items[*index], 1.0));
                ([a[0].min(b[0]), a[1].min(b[1])], [a[0].max(b[0]), a[1].max(b[1])])
            })
            .collect()
    }

    fn apart(boxes: &[(Point, Point)]) -> bool {
        boxes.iter().enumerate().all(|(at, (least, most))| {
            boxes.iter().skip(at + 1).all(|(low, high)| {
                (0..2).any(|axis| most[axis] + GAP <= low[axis] + 1e-6 || high[axis] + GAP <= least[axis] + 1e-6)
            })
        })
    }

    proptest! {
        #[test]
        fn nothing_lies_on_anything_else(items in items()) {
            let field = on_one_field(&items, Grid { frame: [190.0, 271.0], overlap: 10.0 });
            let boxes = boxes(&items, &field);
            prop_assert_eq!(boxes.len(), items.len());
            prop_assert!(apart(&boxes));
            let within = |axis: usize, least: &Point, most: &Point| {
                least[axis] > -1e-6 && most[axis] < field.size[axis] + 1e-6
            };
            prop_assert!(boxes.iter().all(|(least, most)| (0..2).all(|axis| within(axis, least, most))));
            prop_assert!(boxes[0].0[0].abs() < 1e-9 && boxes[0].0[1].abs() < 1e-9);
        }

        #[test]
        fn large_paper_holds_whole_pieces(items in items()) {
            let frame = [821.0, 600.0];
            let fields = on_sheets(&items, frame);
            let mut seen: Vec<usize> = fields.iter().flat_map(|field| field.placed.iter().map(|(i, _)| *i)).collect();
            seen.sort_unstable();
            prop_assert_eq!(seen, (0..items.len()).collect::<Vec<_>>());
            for field in &fields {
                let boxes = boxes(&items, field);
                prop_assert!(apart(&boxes));
                let whole = field.size[0] <= frame[0] + 1e-6 && field.size[1] <= frame[1] + 1e-6;
                prop_assert!(whole || boxes.len() == 1, "{field:?}");
            }
        }
    }
}
