//! The pattern of a draft in true scale: pages in millimetres, and the files that are made
//! of them.
//!
//! A piece is drawn in its own place (`piece`, with its `label` in the `room` that it has),
//! the pieces are `arranged` side by side on a field of paper, and the field is cut into
//! `tiles` that are taped together, with a `map` before them; `roll` is paper so large that
//! whole pieces lie on it. `ink` is all that a page knows: lines by their kind, tips, words.
//! `pdf` and `svg` write it down and decide nothing.
//!
//! `lay` puts a lay on paper by the same means: sheets for the table, a roll in true scale.
//!
//! Of the client a label bears the order's number, the name and the day, and no figure of
//! the body stands anywhere. A draft that would not sew says so on the map, in the head of
//! a large sheet and on every piece.

mod arranged;
mod head;
mod ink;
mod label;
mod lay;
mod letters;
mod map;
mod paper;
mod pdf;
mod piece;
mod roll;
mod room;
mod svg;
mod tiles;

use crate::draft::{Draft, Piece};
use crate::geom::Point;
use crate::measure::{Unit, term};

use arranged::Item;
use piece::Drawn;

pub use ink::{Ink, Line, Stroke, Words};
pub use lay::{LayMarks, LaySheet, Roll, lay_plot, lay_sheets, without_grain};
pub use paper::{OVERLAP_MM, Paper};

/// What a pattern is marked with.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Marks {
    /// The order's number and the garment's letter: `2026-0147 B`; empty without an order.
    pub mark: String,
    /// What the wearer is called; empty without an order. It stands on the labels of the pieces alone.
    pub client: String,
    /// What the garment is.
    pub what: String,
    /// The day of drawing, in words.
    pub day: String,
    /// What the ticks of the tape count.
    pub unit: Unit,
}

/// What is to be drawn, and on what.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Asked {
    /// The letters of the pieces; none asks for all of them.
    pub pieces: Vec<String>,
    /// Whether pieces on the fold are opened out whole.
    pub opened: bool,
    /// On which paper.
    pub paper: Paper,
}

/// A pattern, ready to be written to a file.
#[derive(Clone, Debug, PartialEq)]
pub struct Pattern {
    /// Its title: the order's number, or what the garment is.
    pub title: String,
    /// Its pages in the order of printing.
    pub pages: Vec<Page>,
}

/// One page, in millimetres from its upper left corner.
#[derive(Clone, Debug, PartialEq)]
pub struct Page {
    /// How wide and high the paper is.
    pub size: Point,
    /// The corners of what is printed on; nothing is drawn beyond.
    pub frame: (Point, Point),
    /// What is drawn.
    pub ink: Ink,
    /// Which part of which field it shows; `None` for a map.
    pub tile: Option<Tile>,
}

/// Where a sheet belongs.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tile {
    /// Which field of paper, from 0.
    pub field: usize,
    /// Its column, from 0.
    pub column: u32,
    /// Its row, from 0.
    pub row: u32,
    /// Where the least corner of its frame lies in the field, mm.
    pub corner: Point,
}

/// Why there is no pattern.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum PatternError {
    /// A letter that no piece has.
    #[error("There is no piece “{letter}”. The pieces are {known}.")]
    NoPiece {
        /// The letter asked for.
        letter: String,
        /// The letters that there are.
        known: String,
    },
    /// A letter that names a strip.
    #[error("{letter} is a strip, cut by its measures from the job sheet; a pattern has shaped pieces alone: {known}.")]
    Strip {
        /// The letter asked for.
        letter: String,
        /// The letters of the pieces.
        known: String,
    },
    /// A garment of strips alone.
    #[error("This style has no shaped pieces: all is cut by measure, as the job sheet says.")]
    NoPieces,
    /// More sheets than anybody tapes together.
    #[error("That takes more than {most} sheets of {paper}. Choose fewer pieces, or larger paper.")]
    TooMany {
        /// The most that are made.
        most: usize,
        /// The paper asked for.
        paper: &'static str,
    },
    /// An outline with a corner that is nowhere, or beyond any cloth.
    #[error("{piece} is {limit} or more across, which no cloth is. Check the measures and choices.")]
    Boundless {
        /// The piece.
        piece: String,
        /// The limit in words.
        limit: &'static str,
    },
    /// The file could not be written down.
    #[error("The pattern could not be written as PDF: {why}.")]
    Pdf {
        /// What the writer says.
        why: String,
    },
}

/// The most sheets of one pattern. Judgement: a floor-long circle opened out takes about
/// 170 of A4, and nobody tapes more.
pub const MOST_SHEETS: usize = 300;

/// The pattern of a draft.
///
/// # Errors
/// [`PatternError`] when a piece that is asked for is none, or the paper does not suffice.
pub fn pattern(draft: &Draft, marks: &Marks, asked: &Asked) -> Result<Pattern, PatternError> {
    let pieces = chosen(draft, &asked.pieces)?;
    let warned = Warned::of(draft);
    let drawn: Vec<Drawn> = pieces.iter().map(|piece| piece::drawn(piece, asked.opened, marks, &warned)).collect();
    let head = head::Head { draft, pieces: &pieces, marks, warned: &warned, opened: asked.opened };
    let pages = if asked.paper.is_large() {
        roll::pages(&drawn, &head, asked.paper)?
    } else {
        tiles::pages(&drawn, &head, asked.paper)?
    };
    Ok(Pattern { title: head.title(), pages })
}

/// The pattern as a PDF file.
///
/// # Errors
/// [`PatternError::Pdf`] when it cannot be written down.
pub fn pattern_pdf(pattern: &Pattern) -> Result<Vec<u8>, PatternError> {
    pdf::written(pattern)
}

/// One piece as an SVG file in true millimetres.
///
/// # Errors
/// [`PatternError`] when there is no such piece.
pub fn piece_svg(draft: &Draft, marks: &Marks, letter: &str, opened: bool) -> Result<String, PatternError> {
    let pieces = chosen(draft, &[letter.to_string()])?;
    let warned = Warned::of(draft);
    let drawn = pieces.first().map(|piece| piece::drawn(piece, opened, marks, &warned));
    drawn.map(|drawn| svg::written(&drawn)).ok_or(PatternError::NoPieces)
}

/// The pieces of these letters in cutting order; all of them when none is named.
fn chosen<'a>(draft: &'a Draft, letters: &[String]) -> Result<Vec<&'a Piece>, PatternError> {
    if draft.pieces.is_empty() {
        return Err(PatternError::NoPieces);
    }
    let known = || draft.pieces.iter().map(|piece| piece.letter.as_str()).collect::<Vec<_>>().join(", ");
    for letter in letters {
        let named = |other: &str| other.eq_ignore_ascii_case(letter);
        if draft.strips.iter().any(|strip| named(&strip.letter)) {
            return Err(PatternError::Strip { letter: letter.clone(), known: known() });
        }
        if !draft.pieces.iter().any(|piece| named(&piece.letter)) {
            let letter = letter.chars().take(20).collect();
            return Err(PatternError::NoPiece { letter, known: known() });
        }
    }
    let asked = |piece: &&Piece| letters.is_empty() || letters.iter().any(|l| l.eq_ignore_ascii_case(&piece.letter));
    let pieces: Vec<&Piece> = draft.pieces.iter().filter(asked).collect();
    /// Twice the widest cloth by a floor-long circle; anything larger is a slip. Judgement.
    const MOST_MM: f64 = 8000.0;
    for piece in &pieces {
        let mut all = piece.cutting.iter().chain(&piece.sewing).flatten();
        if !all.all(|value| value.abs() < MOST_MM) {
            return Err(PatternError::Boundless { piece: piece.label.clone(), limit: "8 m" });
        }
    }
    Ok(pieces)
}

/// What must be heeded before cutting from the pattern.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
struct Warned {
    /// What does not hold, in words.
    broken: Vec<String>,
    /// Measures that were assumed and must be taken.
    take: Vec<String>,
}

impl Warned {
    fn of(draft: &Draft) -> Warned {
        Warned {
            broken: draft.truths.iter().filter(|t| !t.held).map(|t| format!("{}: {}", t.what, t.found)).collect(),
            take: draft.assumed.iter().filter(|a| a.before_cutting).map(|a| term(&a.key).to_lowercase()).collect(),
        }
    }

    /// As it stands on each piece.
    fn on_pieces(&self) -> Vec<String> {
        let mut words = Vec::new();
        if !self.broken.is_empty() {
            words.push("WOULD NOT SEW: do not cut from it".into());
        }
        if !self.take.is_empty() {
            words.push(format!("TAKE BEFORE CUTTING: {}", self.take.join(", ")));
        }
        words
    }
}

/// What is arranged: first the squares (with the head, on large paper), then the pieces.
fn items(first: &Ink, drawn: &[Drawn]) -> Vec<Item> {
    let boxed = |ink: &Ink| {
        let (least, most) = ink.bounds().unwrap_or(([0.0; 2], [0.0; 2]));
        // Half a pen's width more: the line itself must not be cut off.
        let pen = Line::Cut.width_mm() / 2.0;
        Item {
            least: [least[0] - pen, least[1] - pen],
            size: [most[0] - least[0] + 2.0 * pen, most[1] - least[1] + 2.0 * pen],
        }
    };
    std::iter::once(first).chain(drawn.iter().map(|drawn| &drawn.ink)).map(boxed).collect()
}
