//! What stands before a pattern: whose it is, what must be heeded, how it is printed and
//! put together, and the two squares to measure the print by.

use crate::draft::{Cloth, Draft, Piece};

use super::ink::{Ink, Line, Stroke, Words};
use super::paper::OVERLAP_MM;
use super::{Marks, Warned};
use super::{letters, tiles};

/// The facts of a head.
#[derive(Clone, Copy, Debug)]
pub(super) struct Head<'a> {
    pub(super) draft: &'a Draft,
    pub(super) pieces: &'a [&'a Piece],
    pub(super) marks: &'a Marks,
    pub(super) warned: &'a Warned,
    pub(super) opened: bool,
}

/// Sides of the two squares, mm: a round number in either measure.
pub(super) const SIDES: [(f64, &str); 2] = [(100.0, "100 mm"), (101.6, "4 in")];

/// Sizes of letters, mm: title, warnings, the rest.
const TITLE: f64 = 7.0;
const WARNING: f64 = 4.2;
const PLAIN: f64 = 3.2;

impl Head<'_> {
    /// The order's number and letter, or what the garment is.
    pub(super) fn title(&self) -> String {
        let marks = self.marks;
        format!("Pattern {}", if marks.mark.is_empty() { &marks.what } else { &marks.mark })
    }

    /// The rows of the head within this width, each with the size of its letters.
    pub(super) fn rows(&self, widest_mm: f64, joined: bool) -> Vec<(String, f64)> {
        let mut rows: Vec<(String, f64)> = vec![(self.title(), TITLE)];
        let (what, day) = (&self.marks.what, &self.marks.day);
        let known = if self.marks.mark.is_empty() { day.clone() } else { format!("{what} · {day}") };
        rows.push((known, PLAIN * 1.3));
        if !self.warned.broken.is_empty() {
            /// More would hide the first; the order's page has them all.
            const MOST: usize = 6;
            rows.push(("WOULD NOT SEW: do not cut from this pattern.".into(), WARNING));
            rows.extend(self.warned.broken.iter().take(MOST).map(|words| (format!("Does not hold. {words}"), PLAIN)));
            if self.warned.broken.len() > MOST {
                rows.push((format!("And {} more.", self.warned.broken.len() - MOST), PLAIN));
            }
        }
        if !self.warned.take.is_empty() {
            rows.push((format!("TAKE BEFORE CUTTING: {}", self.warned.take.join(", ")), WARNING));
        }
        let mut plain = |words: &str| rows.push((words.to_string(), PLAIN));
        plain(
            "Print at 100 %, actual size, never fitted to the page. Measure both squares before anything is cut: 100 mm and 4 in a side.",
        );
        if joined {
            let overlap = OVERLAP_MM;
            plain(&format!(
                "Neighbouring sheets have {overlap} mm in common. Trim a sheet at its left and upper thin line; lay that edge on the \
                 thin line of the sheet before it, so that ticks of the same figure run on across the join; tape it."
            ));
        }
        plain(
            "Solid: cut. Dashed: sew. Dash and dot: fold. Short dashes: dart. Arrow: lengthwise grain. Allowances are drawn: add none.",
        );
        for piece in self.pieces {
            plain(&self.listed(piece));
        }
        let left_out = self.draft.pieces.len() - self.pieces.len();
        if left_out > 0 {
            plain(&format!("Not drawn here: {left_out} of {} pieces.", self.draft.pieces.len()));
        }
        if !self.draft.strips.is_empty() {
            let strips: Vec<String> = self.draft.strips.iter().map(|s| format!("{} {}", s.letter, s.label)).collect();
            plain(&format!("Cut by measure, as the job sheet says: {}.", strips.join(", ")));
        }
        rows.into_iter()
            .flat_map(|(text, size)| letters::rows(&text, size, widest_mm).into_iter().map(move |row| (row, size)))
            .collect()
    }

    fn listed(&self, piece: &Piece) -> String {
        let of_cloth = match piece.cloth {
            Cloth::Main => "",
            Cloth::Lining => " of lining",
            Cloth::Interfacing => " of interfacing",
        };
        let opened = if self.opened && piece.on_fold { ", drawn opened out" } else { "" };
        format!("{}  {}: {}{of_cloth}{opened}", piece.letter, piece.label, piece.cut_words())
    }

    /// The head of a large sheet: its rows over the two squares beside one another.
    pub(super) fn block(&self, joined: bool) -> Ink {
        /// As wide as the squares with their gap.
        const WIDE: f64 = 215.0;
        let mut ink = Ink::default();
        let below = set(&self.rows(WIDE, joined), [0.0, 0.0], &mut ink);
        let mut x = 0.0;
        for (side, words) in SIDES {
            ink.add(square([x, below + 4.0], side, words));
            x += side + 12.0;
        }
        ink
    }
}

/// The two squares below one another, as the first tile has them.
pub(super) fn squares() -> Ink {
    let mut ink = Ink::default();
    let mut y = tiles::CLEAR_MM;
    for (side, words) in SIDES {
        ink.add(square([tiles::CLEAR_MM, y], side, words));
        y += side + 8.0;
    }
    ink
}

/// Writes rows from here downwards; gives where they end.
pub(super) fn set(rows: &[(String, f64)], [x, y]: [f64; 2], ink: &mut Ink) -> f64 {
    let mut down = y;
    for (text, size) in rows {
        down += size * 1.4;
        ink.words.push(Words::new([x, down - size * 0.35], *size, text.clone()));
    }
    down
}

/// One square, its side written in it.
pub(super) fn square([x, y]: [f64; 2], side: f64, words: &str) -> Ink {
    let corners = vec![[x, y], [x + side, y], [x + side, y + side], [x, y + side]];
    let middle = [x + side / 2.0, y + side / 2.0];
    Ink {
        strokes: vec![Stroke::closed(Line::Square, corners)],
        tips: Vec::new(),
        words: vec![
            Words::centred(middle, 6.0, words, 0.0),
            Words::centred([middle[0], middle[1] + 7.0], PLAIN, "a side: measure before cutting", 0.0),
        ],
    }
}
