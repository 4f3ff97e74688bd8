//! The map before a pattern that is taped together: what it is, what must be heeded, and
//! which sheet goes where.

use crate::geom::{Point, bounds};

use super::Page;
use super::arranged::Grid;
use super::head::{Head, set};
use super::ink::{Ink, Line, Stroke, Words};
use super::paper::Paper;
use super::tiles::Laid;

/// Between the words and the map, and around the map for the figures of rows and columns, mm.
const ROOM: f64 = 8.0;

/// The map of a field and its sheets; `number` is the page's own, the sheets follow it.
pub(super) fn page(laid: &Laid, sheets: &[Page], number: usize, grid: Grid, paper: Paper, head: &Head<'_>) -> Page {
    let (margin, frame) = (paper.margin(), paper.frame());
    let mut ink = Ink::default();
    let below = set(&head.rows(frame[0], true), margin, &mut ink);
    let [columns, rows] = grid.count(laid.size);
    let far = grid.corner(columns - 1, rows - 1);
    let whole = [far[0] + grid.frame[0], far[1] + grid.frame[1]];
    let free = [frame[0] - ROOM, margin[1] + frame[1] - below - 2.0 * ROOM];
    let by = (free[0] / whole[0]).min(free[1].max(40.0) / whole[1]);
    let at = |point: Point| [margin[0] + ROOM + point[0] * by, below + 2.0 * ROOM + point[1] * by];
    // Each sheet is drawn as far as its neighbour: the map has no overlaps.
    let step = grid.step();
    for column in 0..columns {
        let x = (f64::from(column) + 0.5) * step[0];
        let place = [at([x, 0.0])[0], below + 2.0 * ROOM - 2.0];
        ink.words.push(Words::centred(place, 3.2, (column + 1).to_string(), 0.0));
    }
    for row in 0..rows {
        let y = at([0.0, (f64::from(row) + 0.5) * step[1]])[1];
        ink.words.push(Words::new([margin[0] + 1.0, y + 1.2], 3.2, (row + 1).to_string()));
    }
    for (sheet, page_number) in sheets.iter().zip(number + 1..) {
        let Some(tile) = sheet.tile else { continue };
        let size = [
            if tile.column + 1 == columns { grid.frame[0] } else { step[0] },
            if tile.row + 1 == rows { grid.frame[1] } else { step[1] },
        ];
        let [x, y] = tile.corner;
        let corners = [[x, y], [x + size[0], y], [x + size[0], y + size[1]], [x, y + size[1]]].map(at);
        ink.strokes.push(Stroke::closed(Line::Tick, corners.to_vec()));
        let words = format!("page {page_number}");
        let letter = (size[0] * by / 6.0).clamp(1.2, 2.6);
        ink.words.push(Words::new([corners[0][0] + 0.8, corners[0][1] + letter + 0.4], letter, words));
    }
    for (letter, outline) in &laid.outlines {
        ink.strokes.push(Stroke::closed(Line::Square, outline.iter().map(|point| at(*point)).collect()));
        if let Some((low, high)) = bounds(outline) {
            let middle = at([f64::midpoint(low[0], high[0]), f64::midpoint(low[1], high[1])]);
            ink.words.push(Words::centred([middle[0], middle[1] + 1.6], 4.4, letter.clone(), 0.0));
        }
    }
    Page { size: paper.page(frame[1]), frame: (margin, [margin[0] + frame[0], margin[1] + frame[1]]), ink, tile: None }
}
