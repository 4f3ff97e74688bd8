//! A lay in true scale on a roll: spread over the cloth, it is pinned and cut through.

use crate::geom::Point;
use crate::lay::Picture;
use crate::measure::Unit;

use super::super::head::{SIDES, set, square};
use super::super::ink::{Ink, Line, Move, Stroke, Words};
use super::super::paper::OVERLAP_MM;
use super::super::{MOST_SHEETS, Page, Pattern, PatternError, Tile, letters};
use super::drawn::{Scale, drawn};

/// What a plot is marked with.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LayMarks {
    /// Whose: `2026-0147 B`.
    pub mark: String,
    /// What the wearer is called.
    pub client: String,
    /// What the garment is.
    pub what: String,
    /// The day of drawing, in words.
    pub day: String,
    /// What the ruler counts.
    pub unit: Unit,
    /// The width of the cloth, in words.
    pub width: String,
    /// The length of the lay, in words.
    pub length: String,
    /// The sum from the lay to the length to buy.
    pub needs: String,
    /// How the cloth is spread.
    pub spread: String,
    /// What must be known before anything is cut: that the cloth is too short.
    pub warning: Option<String>,
}

/// The roll that a lay is plotted on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Roll {
    /// Cut as wide as the lay is seen.
    Cloth,
    /// 36 in wide.
    In36,
    /// 60 in wide.
    In60,
}

impl Roll {
    /// All of them, as they are offered.
    pub const ALL: [Roll; 3] = [Roll::Cloth, Roll::In36, Roll::In60];

    /// The word for it in addresses.
    #[must_use]
    pub const fn key(self) -> &'static str {
        match self {
            Roll::Cloth => "cloth",
            Roll::In36 => "36",
            Roll::In60 => "60",
        }
    }

    /// The words for it.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Roll::Cloth => "as wide as the cloth lies",
            Roll::In36 => "36 in roll",
            Roll::In60 => "60 in roll",
        }
    }

    /// The roll of this key.
    #[must_use]
    pub fn from_key(key: &str) -> Option<Roll> {
        Roll::ALL.into_iter().find(|roll| roll.key() == key)
    }

    const fn wide_mm(self) -> Option<f64> {
        match self {
            Roll::Cloth => None,
            Roll::In36 => Some(914.4),
            Roll::In60 => Some(1524.0),
        }
    }
}

/// What stays white around the sheet, mm; plotters keep less (common practice).
const MARGIN: f64 = 10.0;
/// The foot of each sheet, where it says whose it is, mm.
const FOOT: f64 = 8.0;
/// The longest page of the PDF standard is 5080 mm (ISO 32000, annex C); a roll is cut off before that.
const LONGEST: f64 = 5000.0;
/// Between the head and the beginning of the lay, mm.
const BELOW_HEAD: f64 = 12.0;

/// The plot of a lay. Where the roll is narrower than the cloth lies, or the lay longer than a
/// page may be, it comes in sheets that are taped together with 10 mm in common.
///
/// # Errors
/// [`PatternError`] when it takes more sheets than anybody tapes together.
pub fn lay_plot(picture: &Picture, marks: &LayMarks, roll: Roll) -> Result<Pattern, PatternError> {
    let scale = Scale { by: 1.0, level: false, unit: marks.unit };
    let lay = drawn(picture, scale, &format!("end of the lay: {}", marks.length));
    let widest = roll.wide_mm().map_or(f64::INFINITY, |wide| wide - 2.0 * MARGIN);
    let head = head(marks, lay.size[0].min(widest));
    let (_, high) = head.bounds().unwrap_or(([0.0; 2], [0.0; 2]));
    let down = high[1] + BELOW_HEAD;
    let size = [lay.size[0].max(high[0]), down + lay.size[1]];
    let mut ink = head;
    ink.add(lay.ink.moved(Move::by([0.0, down])));
    let frame = [size[0].min(widest), size[1].min(LONGEST - 2.0 * MARGIN - FOOT)];
    let [columns, rows] = [0, 1].map(|axis| parts(size[axis], frame[axis]));
    if columns.len() * rows.len() > MOST_SHEETS {
        return Err(PatternError::TooMany { most: MOST_SHEETS, paper: roll.words() });
    }
    let mut pages = Vec::new();
    for (row, y) in (0_u32..).zip(&rows) {
        for (column, x) in (0_u32..).zip(&columns) {
            let place = [(column, columns.len()), (row, rows.len())];
            let corner = [*x, *y];
            let frame = [frame[0], frame[1].min(size[1] - y)];
            pages.push(page(&ink, marks, roll, corner, frame, place));
        }
    }
    Ok(Pattern { title: format!("Lay {}", marks.mark), pages })
}

/// Where each part of a length begins, so that each is at most this long and shares a strip with
/// the one before.
fn parts(whole: f64, most: f64) -> Vec<f64> {
    let step = most - OVERLAP_MM;
    let mut starts = vec![0.0];
    let mut end = most;
    while end < whole - 1e-9 && starts.len() <= MOST_SHEETS {
        starts.push(end - OVERLAP_MM);
        end += step;
    }
    starts
}

/// One sheet: what lies in its part, where it joins, and whose it is.
fn page(
    ink: &Ink,
    marks: &LayMarks,
    roll: Roll,
    corner: Point,
    frame: Point,
    [(column, columns), (row, rows)]: [(u32, usize); 2],
) -> Page {
    let high = [corner[0] + frame[0], corner[1] + frame[1]];
    let mut ink = ink.within(corner, high);
    let far = |strip: f64| [corner[0] + strip, corner[1] + strip];
    let edge = |from: Point, to: Point| Stroke::open(Line::Edge, vec![from, to]);
    if column > 0 {
        ink.strokes.push(edge([far(OVERLAP_MM)[0], corner[1]], [far(OVERLAP_MM)[0], high[1]]));
    }
    if row > 0 {
        ink.strokes.push(edge([corner[0], far(OVERLAP_MM)[1]], [high[0], far(OVERLAP_MM)[1]]));
    }
    let mut ink = ink.moved(Move::by([MARGIN - corner[0], MARGIN - corner[1]]));
    let part = if columns * rows > 1 {
        format!(" · sheet {} of {rows} along, {} of {columns} across", row + 1, column + 1)
    } else {
        String::new()
    };
    let words = format!("{}{part}", whose(marks));
    ink.words.push(Words::new([MARGIN, MARGIN + frame[1] + FOOT - 2.0], 3.6, words));
    let wide = roll.wide_mm().unwrap_or(frame[0] + 2.0 * MARGIN);
    let long = frame[1] + 2.0 * MARGIN + FOOT;
    Page {
        size: [wide, long],
        frame: ([MARGIN, MARGIN], [MARGIN + frame[0], MARGIN + frame[1] + FOOT]),
        ink,
        tile: Some(Tile { field: 0, column, row, corner }),
    }
}

fn whose(marks: &LayMarks) -> String {
    let client = if letters::has(&marks.client) { marks.client.as_str() } else { "" };
    let all = [marks.mark.as_str(), client, &marks.what, &marks.day];
    all.iter().filter(|part| !part.is_empty()).copied().collect::<Vec<_>>().join(" · ")
}

/// What stands before the lay: whose it is, what it needs, the two squares to measure the plot by.
fn head(marks: &LayMarks, wide: f64) -> Ink {
    let mut rows = vec![(format!("Lay {}", marks.mark), 9.0)];
    let mut add = |text: String, size: f64| {
        rows.extend(letters::rows(&text, size, wide).into_iter().map(|row| (row, size)));
    };
    add(whose(marks), 5.0);
    add(format!("Cloth {} wide, {}. {}.", marks.width, marks.spread, marks.needs), 5.0);
    if let Some(words) = &marks.warning {
        add(words.clone(), 7.0);
    }
    add(
        "In true scale: print at 100 %, and measure both squares before anything is cut. Solid: cut. Dash and dot: fold. \
         Dots: edge of the flap below. Arrow: lengthwise grain. The ruler counts from the beginning of the lay; the ends \
         that are squared off come before and after it."
            .into(),
        3.6,
    );
    let mut ink = Ink::default();
    let below = set(&rows, [0.0, 0.0], &mut ink);
    let (mut x, mut y) = (0.0, below + 4.0);
    for (side, words) in SIDES {
        if x > 0.0 && x + side > wide {
            (x, y) = (0.0, y + side + 8.0);
        }
        ink.add(square([x, y], side, words));
        x += side + 12.0;
    }
    ink
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn parts_reach_from_end_to_end(whole in 1.0..40_000.0_f64, most in 200.0..5000.0_f64) {
            let starts = parts(whole, most);
            prop_assert!(starts.last().unwrap() + most >= whole - 1e-6);
            for two in starts.windows(2) {
                prop_assert!((two[1] - two[0] - (most - OVERLAP_MM)).abs() < 1e-6);
            }
            // None is idle.
            prop_assert!(*starts.last().unwrap() < whole);
        }
    }
}
