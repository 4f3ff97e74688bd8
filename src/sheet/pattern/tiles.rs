//! A field of paper cut into sheets that are taped together.
//!
//! Neighbours have a strip in common. A sheet is trimmed at its left and upper thin line
//! and laid on the thin line of the sheet before it; across each join run the ticks of a
//! measuring tape that counts from the corner of the whole pattern, so that a sheet that
//! lies wrong, or the wrong sheet, shows at once. Sheets on which nothing lies are left out.

use std::f64::consts::FRAC_PI_2;

use crate::geom::{Point, contains};
use crate::measure::Unit;

use super::arranged::{Field, Grid, on_one_field};
use super::head::{Head, squares};
use super::ink::{Ink, Line, Move, Stroke, Words};
use super::paper::{OVERLAP_MM, Paper};
use super::piece::Drawn;
use super::{MOST_SHEETS, Page, PatternError, Tile, items, map};

/// From the edge of the pattern to the squares, mm.
pub(super) const CLEAR_MM: f64 = 4.0;

/// The map, then the sheets row by row.
pub(super) fn pages(drawn: &[Drawn], head: &Head<'_>, paper: Paper) -> Result<Vec<Page>, PatternError> {
    let first = squares();
    let grid = Grid { frame: paper.frame(), overlap: OVERLAP_MM };
    let field = on_one_field(&items(&first, drawn), grid);
    let laid = Laid::of(&field, &first, drawn);
    let sheets = cut(&laid, 0, 1, grid, paper, head)?;
    let mut pages = vec![map::page(&laid, &sheets, 1, grid, paper, head)];
    pages.extend(sheets);
    Ok(pages)
}

/// What lies on a field, in the field's own millimetres.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Laid {
    pub(super) size: Point,
    pub(super) ink: Ink,
    /// The letter of each piece, and where it is cut.
    pub(super) outlines: Vec<(String, Vec<Point>)>,
}

impl Laid {
    /// The field with its ink; item 0 is what comes first, the others are the pieces.
    pub(super) fn of(field: &Field, first: &Ink, drawn: &[Drawn]) -> Laid {
        let mut laid = Laid { size: field.size, ink: Ink::default(), outlines: Vec::new() };
        for (index, to) in &field.placed {
            match index.checked_sub(1).map(|at| drawn.get(at)) {
                None => laid.ink.add(first.moved(*to)),
                Some(Some(piece)) => {
                    laid.ink.add(piece.ink.moved(*to));
                    let outline = piece.outline.iter().map(|point| to.of(*point)).collect();
                    laid.outlines.push((piece.letter.clone(), outline));
                }
                Some(None) => {}
            }
        }
        laid
    }
}

/// The sheets of a field, row by row. `field` and `fields` say which of how many it is.
pub(super) fn cut(
    laid: &Laid,
    field: usize,
    fields: usize,
    grid: Grid,
    paper: Paper,
    head: &Head<'_>,
) -> Result<Vec<Page>, PatternError> {
    let [columns, rows] = grid.count(laid.size);
    let places = (0..rows).flat_map(|row| (0..columns).map(move |column| (column, row)));
    let mut sheets: Vec<(u32, u32, Ink)> = Vec::new();
    for (column, row) in places {
        let low = grid.corner(column, row);
        let high = [low[0] + grid.frame[0], low[1] + grid.frame[1]];
        let ink = laid.ink.within(low, high);
        let middle = [f64::midpoint(low[0], high[0]), f64::midpoint(low[1], high[1])];
        // The inside of a large piece is paper, too, though no line lies there.
        let inside = laid.outlines.iter().any(|(_, outline)| contains(outline, middle));
        if inside || !(ink.strokes.is_empty() && ink.words.is_empty() && ink.tips.is_empty()) {
            if sheets.len() == MOST_SHEETS {
                return Err(PatternError::TooMany { most: MOST_SHEETS, paper: paper.words() });
            }
            sheets.push((column, row, ink));
        }
    }
    let margin = paper.margin();
    let places: Vec<(u32, u32)> = sheets.iter().map(|(column, row, _)| (*column, *row)).collect();
    Ok(sheets
        .into_iter()
        .map(|(column, row, mut ink)| {
            let corner = grid.corner(column, row);
            let joins = Joins::of(column, row, &places);
            // A roll is cut off where the field ends.
            let size = paper.page(laid.size[1]);
            let frame = [grid.frame[0], (size[1] - 2.0 * margin[1]).min(grid.frame[1])];
            ink.add(furniture(corner, joins, Grid { frame, ..grid }, head.marks.unit));
            if columns * rows > 1 {
                let sheet = if fields > 1 { format!("field {} of {fields} · ", field + 1) } else { String::new() };
                let words =
                    format!("{sheet}row {} of {rows}, column {} of {columns} · {}", row + 1, column + 1, head.title());
                let foot = corner[1] + frame[1] - grid.overlap - 7.0;
                ink.words.push(Words::new([corner[0] + grid.overlap + 3.0, foot], 2.8, words));
            }
            Page {
                size,
                frame: (margin, [margin[0] + frame[0], margin[1] + frame[1]]),
                ink: ink.moved(Move::by([margin[0] - corner[0], margin[1] - corner[1]])),
                tile: Some(Tile { field, column, row, corner }),
            }
        })
        .collect())
}

/// On which sides a sheet has neighbours.
#[derive(Clone, Copy, Debug)]
struct Joins {
    left: bool,
    above: bool,
    right: bool,
    below: bool,
}

impl Joins {
    fn of(column: u32, row: u32, places: &[(u32, u32)]) -> Joins {
        let has = |column: Option<u32>, row: Option<u32>| column.zip(row).is_some_and(|place| places.contains(&place));
        Joins {
            left: has(column.checked_sub(1), Some(row)),
            above: has(Some(column), row.checked_sub(1)),
            right: has(Some(column + 1), Some(row)),
            below: has(Some(column), Some(row + 1)),
        }
    }
}

/// The lines along which a sheet is trimmed and laid on, with the tape across them.
fn furniture(corner: Point, joins: Joins, grid: Grid, unit: Unit) -> Ink {
    let mut ink = Ink::default();
    let (low, high) = (corner, [corner[0] + grid.frame[0], corner[1] + grid.frame[1]]);
    let uprights = [(joins.left, low[0], false), (joins.right, high[0] - grid.overlap, true)];
    for (_, x, goes_on) in uprights.into_iter().filter(|(joined, _, _)| *joined) {
        ink.strokes.push(Stroke::open(Line::Edge, vec![[x, low[1]], [x, high[1]]]));
        ink.add(tape(x, low[1], high[1], goes_on, unit));
    }
    let levels = [(joins.above, low[1], false), (joins.below, high[1] - grid.overlap, true)];
    for (_, y, goes_on) in levels.into_iter().filter(|(joined, _, _)| *joined) {
        ink.strokes.push(Stroke::open(Line::Edge, vec![[low[0], y], [high[0], y]]));
        ink.add(flipped(tape(y, low[0], high[0], goes_on, unit)));
    }
    ink
}

/// The ticks of a tape along an upright join, counted from the corner of the field. Half
/// of each lies on either sheet; `whole` where the neighbour will lie over its other half.
fn tape(at: f64, from: f64, to: f64, whole: bool, unit: Unit) -> Ink {
    /// How far a tick reaches to either side; the longer ones bear a figure, mm.
    const SHORT: f64 = 2.5;
    const LONG: f64 = 5.0;
    const FIGURE: f64 = 2.4;
    // From tick to tick, mm; every so many bear a figure, which counts so much from one to the next.
    let (step, every, count) = match unit {
        Unit::Inch => (25.4, 4, 4),
        Unit::Centimetre => (20.0, 5, 10),
    };
    let mut ink = Ink::default();
    let mut tick = 0_u32;
    while f64::from(tick) * step < to {
        let along = f64::from(tick) * step;
        if along > from {
            let reach = if tick.is_multiple_of(every) { LONG } else { SHORT };
            let back = if whole { reach } else { 0.0 };
            ink.strokes.push(Stroke::open(Line::Tick, vec![[at - back, along], [at + reach, along]]));
            if tick.is_multiple_of(every) && along + 4.0 < to {
                let figure = (tick / every * count).to_string();
                ink.words.push(Words::new([at + 1.0, along + FIGURE], FIGURE, figure.clone()));
                if whole {
                    let wide = super::letters::width(&figure, FIGURE);
                    ink.words.push(Words::new([at - 1.0 - wide, along + FIGURE], FIGURE, figure));
                }
            }
        }
        tick += 1;
    }
    ink
}

/// An upright join laid level: x and y change places. Words are turned and read downwards.
fn flipped(ink: Ink) -> Ink {
    let swap = |[x, y]: Point| [y, x];
    Ink {
        strokes: ink
            .strokes
            .into_iter()
            .map(|stroke| Stroke { points: stroke.points.into_iter().map(swap).collect(), ..stroke })
            .collect(),
        tips: Vec::new(),
        words: ink
            .words
            .into_iter()
            .map(|words| Words { at: [words.at[1] - words.size_mm, words.at[0]], turn: FRAC_PI_2, ..words })
            .map(|words| Words { at: [words.at[0] + 1.0, words.at[1]], ..words })
            .collect(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::draft::Draft;
    use crate::geom::squared_distance_to_side;
    use crate::sheet::pattern::{Marks, Warned};
    use proptest::prelude::*;

    const GRID: Grid = Grid { frame: [190.0, 271.0], overlap: OVERLAP_MM };

    fn sheets(laid: &Laid, unit: Unit) -> Vec<Page> {
        let draft = Draft {
            label: "Skirt".into(),
            dimensions: Vec::new(),
            measured: Vec::new(),
            truths: Vec::new(),
            pieces: Vec::new(),
            strips: Vec::new(),
            seams: Vec::new(),
            notes: Vec::new(),
            notions: Vec::new(),
            steps: Vec::new(),
            assumed: Vec::new(),
        };
        let marks =
            Marks { mark: "2026-0001 A".into(), client: String::new(), what: "Skirt".into(), day: String::new(), unit };
        let head = Head { draft: &draft, pieces: &[], marks: &marks, warned: &Warned::default(), opened: false };
        cut(laid, 0, 1, GRID, Paper::A4, &head).unwrap()
    }

    fn laid(outlines: Vec<Vec<Point>>) -> Laid {
        let all: Vec<Point> = outlines.iter().flatten().copied().collect();
        let size = crate::geom::bounds(&all).map_or([1.0; 2], |(_, high)| high);
        let ink = Ink {
            strokes: outlines.iter().map(|outline| Stroke::closed(Line::Cut, outline.clone())).collect(),
            ..Ink::default()
        };
        Laid { size, ink, outlines: outlines.into_iter().map(|outline| ("A".into(), outline)).collect() }
    }

    /// Whether a sheet shows a cutting line through this point of the field.
    fn shows(page: &Page, point: Point) -> bool {
        let Some(tile) = page.tile else { return false };
        let at = [point[0] - tile.corner[0] + page.frame.0[0], point[1] - tile.corner[1] + page.frame.0[1]];
        let cuts = page.ink.strokes.iter().filter(|stroke| stroke.line == Line::Cut);
        cuts.flat_map(|stroke| {
            let again = stroke.closed.then(|| stroke.points[0]);
            let to = stroke.points.iter().copied().skip(1).chain(again).collect::<Vec<_>>();
            stroke.points.iter().copied().zip(to).collect::<Vec<_>>()
        })
        .any(|(a, b)| squared_distance_to_side(a, b, at) < 1e-12)
    }

    /// Whether a point of the field lies within a sheet's frame.
    fn holds(page: &Page, point: Point) -> bool {
        page.tile.is_some_and(|tile| {
            (0..2).all(|axis| (0.0..=GRID.frame[axis]).contains(&(point[axis] - tile.corner[axis])))
        })
    }

    #[test]
    fn the_inside_of_a_large_piece_is_paper_too() {
        let whole = laid(vec![vec![[0.0, 0.0], [900.0, 0.0], [900.0, 1300.0], [0.0, 1300.0]]]);
        assert_eq!(sheets(&whole, Unit::Inch).len(), 25);
        // Where nothing lies there is no sheet: an L of two bars.
        let bars = vec![
            vec![[0.0, 0.0], [100.0, 0.0], [100.0, 1300.0], [0.0, 1300.0]],
            vec![[150.0, 0.0], [900.0, 0.0], [900.0, 100.0]],
        ];
        assert_eq!(sheets(&laid(bars), Unit::Inch).len(), 9);
    }

    #[test]
    fn neighbours_bear_the_same_ticks_in_the_same_place() {
        let whole = laid(vec![vec![[0.0, 0.0], [500.0, 0.0], [500.0, 700.0], [0.0, 700.0]]]);
        for unit in [Unit::Inch, Unit::Centimetre] {
            let pages = sheets(&whole, unit);
            let ticks = |column: u32| -> Vec<(f64, f64)> {
                let page =
                    pages.iter().find(|page| page.tile.is_some_and(|t| (t.column, t.row) == (column, 1))).unwrap();
                let corner = page.tile.unwrap().corner;
                let level = |stroke: &&Stroke| {
                    stroke.line == Line::Tick && (stroke.points[0][1] - stroke.points[1][1]).abs() < 1e-9
                };
                let ends = page.ink.strokes.iter().filter(level).map(|stroke| stroke.points[1]);
                let field = ends.map(|p| (p[0] - page.frame.0[0] + corner[0], p[1] - page.frame.0[1] + corner[1]));
                // Those of the join between column 0 and column 1.
                field.filter(|(x, _)| (x - 180.0).abs() < 6.0).collect()
            };
            let (left, right) = (ticks(0), ticks(1));
            assert!(left.len() > 5, "{left:?}");
            assert_eq!(left.len(), right.len());
            for (one, other) in left.iter().zip(&right) {
                assert!((one.0 - other.0).abs() < 1e-9 && (one.1 - other.1).abs() < 1e-9, "{one:?} {other:?}");
            }
        }
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(64))]
        #[test]
        fn every_point_of_every_piece_is_on_a_sheet(
            outlines in prop::collection::vec(
                prop::collection::vec([0.0..1200.0, 0.0..1400.0], 3..9), 1..4
            ),
            share in 0.0..1.0
        ) {
            let laid = laid(outlines.clone());
            let pages = sheets(&laid, Unit::Centimetre);
            for outline in &outlines {
                for (a, b) in outline.iter().zip(outline.iter().cycle().skip(1)) {
                    let point = [a[0] + (b[0] - a[0]) * share, a[1] + (b[1] - a[1]) * share];
                    let near: Vec<&Page> = pages.iter().filter(|page| holds(page, point)).collect();
                    prop_assert!(!near.is_empty());
                    // Each sheet that holds it shows it: in a strip that is common to two, both do.
                    for page in &near {
                        let edge = page.tile.map(|tile| (0..2).map(|axis| {
                            let off = point[axis] - tile.corner[axis];
                            off.min(GRID.frame[axis] - off)
                        }).fold(f64::INFINITY, f64::min)).unwrap();
                        prop_assert!(edge < 1e-6 || shows(page, point), "{point:?}");
                    }
                }
            }
        }

        #[test]
        fn neighbours_overlap_by_ten_millimetres(wide in 200.0..1500.0, high in 280.0..1500.0) {
            let pages = sheets(&laid(vec![vec![[0.0, 0.0], [wide, 0.0], [wide, high], [0.0, high]]]), Unit::Inch);
            for one in &pages {
                for other in &pages {
                    let (a, b) = (one.tile.unwrap(), other.tile.unwrap());
                    if a.row == b.row && a.column + 1 == b.column {
                        prop_assert!((a.corner[0] + GRID.frame[0] - b.corner[0] - OVERLAP_MM).abs() < 1e-9);
                    }
                    if a.column == b.column && a.row + 1 == b.row {
                        prop_assert!((a.corner[1] + GRID.frame[1] - b.corner[1] - OVERLAP_MM).abs() < 1e-9);
                    }
                }
            }
        }
    }
}
