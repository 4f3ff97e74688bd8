//! What is left of the cloth once the lay is cut: rectangles that something else can be
//! cut from.
//!
//! The cloth is ruled into squares; a square that any piece touches is taken. What a piece
//! covers of a row of squares is found exactly (the shadow of the part of it that lies in
//! the row), so that a rectangle of free squares is free of pieces. Rectangles are rounded
//! inward to the squares, never outward.

use crate::geom::Point;

use super::check::unfolded;
use super::{Lay, LayJob};

/// A rectangle of cloth, square to the selvedge.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rectangle {
    /// How far its left side lies from the inner edge of the left selvedge, mm.
    pub x_mm: f64,
    /// How far its top lies from the squared beginning of the cloth laid open, mm.
    pub y_mm: f64,
    /// How wide it is across the cloth, mm.
    pub width_mm: f64,
    /// How long it is along the cloth, mm.
    pub length_mm: f64,
}

impl Rectangle {
    fn area(&self) -> f64 {
        self.width_mm * self.length_mm
    }
}

/// Smaller than 6 × 6 in is a scrap, mm: a pocket or a facing piece wants as much (judgement).
pub const LEAST_LEFT_MM: f64 = 152.4;

/// The side of a square, mm: at most so much is lost on each side of a rectangle, less
/// than anyone squares off (judgement).
const SQUARE_MM: f64 = 5.0;

/// So many rows of squares at most; on longer cloth the squares are longer.
const MOST_ROWS: f64 = 3000.0;

/// So many are told; the rest are small (judgement).
const MOST: usize = 12;

/// The usable rectangles that a lay leaves of a length as bought, greatest first: none
/// overlaps a piece or another, each is at least 6 × 6 in. What is left is reckoned on the
/// cloth laid open, between the selvedges, shrunk and with its ends squared off. Nothing
/// where the length does not suffice for the lay.
#[must_use]
pub fn left_over(job: &LayJob, lay: &Lay, bought_mm: f64) -> Vec<Rectangle> {
    /// Rounding of lengths that were added up.
    const SLACK_MM: f64 = 0.5;
    let length = job.cloth.usable_length_mm(bought_mm);
    if !(length.is_finite() && length + SLACK_MM >= lay.used_length_mm) {
        return Vec::new();
    }
    // Folded across, the under layer lies above the fold: it is the beginning of the cloth.
    let first = lay.used_length_mm - lay.seen_length_mm();
    let outlines: Vec<Vec<Point>> = unfolded(job, lay);
    let lower = |outline: &Vec<Point>| outline.iter().map(|p| [p[0], p[1] + first]).collect();
    let mut field = Field::of(lay.width_mm, length, &outlines.iter().map(lower).collect::<Vec<Vec<Point>>>());
    let mut found: Vec<Rectangle> = Vec::new();
    while found.len() < MOST {
        let Some(block) = field.greatest() else { break };
        field.take(block);
        found.push(field.rectangle(block));
    }
    found.sort_by(|a, b| b.area().total_cmp(&a.area()));
    found
}

/// Squares by row and column: rows `top..bottom`, columns `left..right`.
#[derive(Clone, Copy)]
struct Block {
    top: usize,
    bottom: usize,
    left: usize,
    right: usize,
}

/// The cloth in squares.
struct Field {
    columns: usize,
    /// The height of a row, mm.
    row_mm: f64,
    /// Row by row, whether a square is taken.
    rows: Vec<Vec<bool>>,
}

impl Field {
    fn of(width: f64, length: f64, outlines: &[Vec<Point>]) -> Field {
        let row_mm = (length / MOST_ROWS).max(SQUARE_MM);
        let columns = whole(width / SQUARE_MM);
        let mut rows = vec![vec![false; columns]; whole(length / row_mm)];
        for outline in outlines {
            let least = outline.iter().map(|p| p[1]).fold(f64::INFINITY, f64::min);
            let most = outline.iter().map(|p| p[1]).fold(f64::NEG_INFINITY, f64::max);
            let first = whole(least / row_mm);
            let last = whole(most / row_mm) + 1;
            let mut top = f64::from(u32::try_from(first).unwrap_or(u32::MAX)) * row_mm;
            for row in rows.iter_mut().take(last).skip(first) {
                for (from, to) in shadow(outline, top, top + row_mm) {
                    let (from, to) = (whole(from / SQUARE_MM), whole(to / SQUARE_MM) + 1);
                    row.iter_mut().take(to).skip(from).for_each(|square| *square = true);
                }
                top += row_mm;
            }
        }
        Field { columns, row_mm, rows }
    }

    /// The free block of the greatest area that is wide and long enough.
    fn greatest(&self) -> Option<Block> {
        let mut heights = vec![0_usize; self.columns];
        let mut best: Option<(f64, Block)> = None;
        for (row, squares) in self.rows.iter().enumerate() {
            for (height, taken) in heights.iter_mut().zip(squares) {
                *height = if *taken { 0 } else { *height + 1 };
            }
            for (left, right, height) in bars(&heights) {
                let block = Block { top: row + 1 - height, bottom: row + 1, left, right };
                let rectangle = self.rectangle(block);
                let usable = rectangle.width_mm >= LEAST_LEFT_MM && rectangle.length_mm >= LEAST_LEFT_MM;
                if usable && best.as_ref().is_none_or(|(area, _)| rectangle.area() > *area) {
                    best = Some((rectangle.area(), block));
                }
            }
        }
        best.map(|(_, block)| block)
    }

    fn take(&mut self, block: Block) {
        for row in self.rows.iter_mut().take(block.bottom).skip(block.top) {
            row.iter_mut().take(block.right).skip(block.left).for_each(|square| *square = true);
        }
    }

    fn rectangle(&self, block: Block) -> Rectangle {
        let mm = |squares: usize, each: f64| f64::from(u32::try_from(squares).unwrap_or(u32::MAX)) * each;
        Rectangle {
            x_mm: mm(block.left, SQUARE_MM),
            y_mm: mm(block.top, self.row_mm),
            width_mm: mm(block.right - block.left, SQUARE_MM),
            length_mm: mm(block.bottom - block.top, self.row_mm),
        }
    }
}

/// The widest stretch of each height under a row of bars: `left..right` and its height.
/// The bars are walked once, those still open kept in rising order.
fn bars(heights: &[usize]) -> Vec<(usize, usize, usize)> {
    let mut found = Vec::new();
    let mut open: Vec<(usize, usize)> = Vec::new();
    for (column, height) in heights.iter().copied().chain([0]).enumerate() {
        let mut start = column;
        while let Some((left, tall)) = open.pop_if(|(_, tall)| *tall > height) {
            found.push((left, column, tall));
            start = left;
        }
        if height > 0 && open.last().is_none_or(|(_, tall)| *tall < height) {
            open.push((start, height));
        }
    }
    found
}

/// How many whole times one goes into it; nought for what is negative or no number.
fn whole(times: f64) -> usize {
    /// Far more than there are squares on any cloth.
    const MOST: f64 = 1_000_000.0;
    let held = times.clamp(0.0, MOST).floor();
    // Counted up by halves: a float is turned into a number without a cast that could lose.
    let (mut least, mut most) = (0_u32, 1_000_000_u32);
    while least < most {
        let middle = least + (most - least).div_ceil(2);
        if f64::from(middle) <= held { least = middle } else { most = middle - 1 }
    }
    usize::try_from(least).unwrap_or(usize::MAX)
}

/// The stretches of x that an outline covers anywhere between two levels. A stretch ends
/// where a side within the levels ends, or where the outline is cut by one of them.
fn shadow(outline: &[Point], top: f64, bottom: f64) -> Vec<(f64, f64)> {
    let sides = || outline.iter().zip(outline.iter().cycle().skip(1));
    let at = |p: &Point, q: &Point, y: f64| p[0] + (q[0] - p[0]) * ((y - p[1]) / (q[1] - p[1])).clamp(0.0, 1.0);
    let mut found: Vec<(f64, f64)> = sides()
        .filter(|(p, q)| p[1].max(q[1]) >= top && p[1].min(q[1]) <= bottom)
        .map(|(p, q)| {
            let held = |end: &Point| {
                if (p[1] - q[1]).abs() < f64::EPSILON { end[0] } else { at(p, q, end[1].clamp(top, bottom)) }
            };
            let (a, b) = (held(p), held(q));
            (a.min(b), a.max(b))
        })
        .collect();
    for y in [top, bottom] {
        let crossed = sides().filter(|(p, q)| (p[1] <= y) != (q[1] <= y));
        let mut xs: Vec<f64> = crossed.map(|(p, q)| at(p, q, y)).collect();
        xs.sort_by(f64::total_cmp);
        found.extend(xs.as_chunks::<2>().0.iter().map(|[from, to]| (*from, *to)));
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_slanting_side_takes_every_square_that_it_touches() {
        let slope = [[0.0, 0.0], [100.0, 0.0], [0.0, 100.0]];
        let widest = |top: f64| shadow(&slope, top, top + 5.0).into_iter().map(|(_, to)| to).fold(0.0, f64::max);
        assert!((widest(0.0) - 100.0).abs() < 1e-9 && (widest(95.0) - 5.0).abs() < 1e-9);
        assert!(shadow(&slope, 101.0, 106.0).is_empty());
    }

    #[test]
    fn whole_times_are_counted() {
        assert_eq!([0.0, 0.9, 1.0, 299.999, 300.0, -4.0, f64::NAN].map(whole), [0, 0, 1, 299, 300, 0, 0]);
    }

    #[test]
    fn the_widest_stretches_of_bars() {
        let mut found = bars(&[2, 3, 1, 0, 2]);
        found.sort_unstable();
        assert_eq!(found, [(0, 2, 2), (0, 3, 1), (1, 2, 3), (4, 5, 2)]);
    }
}
