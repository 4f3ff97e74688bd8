//! What a draft is: the result of a style's rules for one body and its choices.
//!
//! All coordinates and lengths are millimetres, x right, y down; a piece on the
//! fold is drawn as its half.

use crate::geom::Point;

use super::marked::{Notch, Pleat};
use super::working::Working;

/// Everything that a style gives for one body and one set of choices.
#[derive(Clone, Debug, PartialEq)]
pub struct Draft {
    /// The style's name as the book has it.
    pub label: String,
    /// The drafted dimensions in the order of the style, each with its working.
    pub dimensions: Vec<Dimension>,
    /// Girths and lengths measured back from the drawn pieces.
    pub measured: Vec<Measured>,
    /// What was proved of this draft, held or not.
    pub truths: Vec<Truth>,
    /// The shaped pieces, in cutting order.
    pub pieces: Vec<Piece>,
    /// Straight strips cut in joined lengths, in cutting order.
    pub strips: Vec<Strip>,
    /// Which edges are sewn to which.
    pub seams: Vec<Seam>,
    /// Warnings and remarks of the style for this body.
    pub notes: Vec<Note>,
    /// Zips, buttons, elastic and the like, with amounts.
    pub notions: Vec<Notion>,
    /// The order of work.
    pub steps: Vec<Step>,
    /// Body values that were not taken and had to be assumed.
    pub assumed: Vec<Assumed>,
}

impl Draft {
    /// Whether every truth held.
    #[must_use]
    pub fn sews(&self) -> bool {
        self.truths.iter().all(|truth| truth.held)
    }

    /// Minutes of one stage of work, added up over the steps.
    #[must_use]
    pub fn minutes(&self, stage: StepStage) -> u32 {
        self.steps.iter().filter(|step| step.stage == stage).map(|step| step.minutes).sum()
    }
}

/// One drafted dimension.
#[derive(Clone, Debug, PartialEq)]
pub struct Dimension {
    /// The key in the style: `waist_line`.
    pub key: String,
    /// The words for it: `Waist line`.
    pub label: String,
    /// The value in mm (a length), or `None` where it is a number, an angle or a word.
    pub mm: Option<f64>,
    /// The arithmetic with the client's own figures.
    pub working: Working,
    /// Whether it is written on the job sheet (else only on the page).
    pub chalked: bool,
}

/// A girth or length measured back from the drawn pieces.
#[derive(Clone, Debug, PartialEq)]
pub struct Measured {
    /// The key of the body dimension or finished length it answers: `waist_girth`.
    pub key: String,
    /// The words for it: `Waist`.
    pub label: String,
    /// As measured from the geometry, mm.
    pub mm: f64,
    /// The body's own figure or the length asked for, mm, where there is one.
    pub body_mm: Option<f64>,
    /// Ease that the style declares, mm.
    pub ease_mm: f64,
}

/// One thing proved of a draft.
#[derive(Clone, Debug, PartialEq)]
pub struct Truth {
    /// What was checked: `Side seams walk: back and over-front`.
    pub what: String,
    /// Whether it holds.
    pub held: bool,
    /// When it does not: which piece, which edge, by how much. Else what was found.
    pub found: String,
}

/// How a piece lies to the lengthwise grain.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Grain {
    /// Drawn y along the selvedge.
    Along,
    /// Drawn y across the cloth.
    Across,
    /// At 45° to the selvedge.
    Bias,
}

/// Which cloth a piece is cut from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Cloth {
    /// The cloth of the garment.
    Main,
    /// The lining.
    Lining,
    /// The interfacing.
    Interfacing,
}

/// A shaped piece.
#[derive(Clone, Debug, PartialEq)]
pub struct Piece {
    /// The key in the style: `over_front`.
    pub key: String,
    /// The words for it: `Over-front`.
    pub label: String,
    /// The letter by which drawings and lays name it: A, B, …
    pub letter: String,
    /// How many are cut (a piece on the fold counts as one whole piece).
    pub count: u32,
    /// Whether half is drawn and the rest lies beyond a fold.
    pub on_fold: bool,
    /// Whether the count is made of mirrored pairs.
    pub pairs: bool,
    /// How it lies to the grain.
    pub grain: Grain,
    /// By how many degrees it may lie off that, either way.
    pub off_grain_deg: u16,
    /// Which cloth it is cut from.
    pub cloth: Cloth,
    /// The edges once round, each starting where the last ended.
    pub edges: Vec<Edge>,
    /// The sewing outline, closed (the first point is not repeated), within 0.02 mm of the curves.
    pub sewing: Vec<Point>,
    /// The cutting outline, closed (the first point is not repeated).
    pub cutting: Vec<Point>,
    /// The two ends of the fold, where there is one.
    pub fold: Option<(Point, Point)>,
    /// Darts, sewn before the edge they are folded out of is joined.
    pub darts: Vec<Dart>,
    /// Pleats, laid before the edge they are folded out of is joined.
    pub pleats: Vec<Pleat>,
    /// Notches, cut into the allowance.
    pub notches: Vec<Notch>,
    /// Chalk lines with their dimension, for drawings: widths at the levels that a cutter marks.
    pub chalk: Vec<CutLine>,
}

impl Piece {
    /// How it is cut, in words: `cut 1 on the fold`, `cut 2, a mirrored pair`.
    #[must_use]
    pub fn cut_words(&self) -> String {
        let how = match (self.on_fold, self.pairs, self.count) {
            (true, _, _) => " on the fold",
            (false, true, 2) => ", a mirrored pair",
            (false, true, _) => ", mirrored pairs",
            _ => "",
        };
        format!("cut {}{how}", self.count)
    }
}

/// A dart: a wedge folded out of an edge.
#[derive(Clone, Debug, PartialEq)]
pub struct Dart {
    /// The words for it: `Back dart`.
    pub label: String,
    /// The key of the edge it is folded out of.
    pub edge: String,
    /// The ends of its legs on the edge.
    pub feet: (Point, Point),
    /// The tip of the mouth between the feet, on the sewing line.
    pub peak: Point,
    /// Where the legs meet inside the piece.
    pub apex: Point,
    /// The other end of a dart that lies inside the piece, pointed at both ends; such a dart has no mouth.
    pub top: Option<Point>,
    /// How wide it is at the edge, mm.
    pub intake_mm: f64,
}

/// A line across a piece that carries a written dimension.
#[derive(Clone, Debug, PartialEq)]
pub struct CutLine {
    /// What is written there: `hip line`.
    pub label: String,
    /// From here…
    pub from: Point,
    /// …to here.
    pub to: Point,
    /// The dimension in mm, as the cutter writes it.
    pub mm: f64,
}

/// One edge of a piece.
#[derive(Clone, Debug, PartialEq)]
pub struct Edge {
    /// The key in the style: `leading`.
    pub key: String,
    /// The words for it: `Leading edge`.
    pub label: String,
    /// Whether it lies on the fold.
    pub is_fold: bool,
    /// Whether its allowance is turned up on to the piece: a hem.
    pub turned_up: bool,
    /// Seam, hem or other allowance outside it, mm; nought on a fold.
    pub allowance_mm: f64,
    /// The length of the curve, mm.
    pub length_mm: f64,
    /// Points along it, both ends included, within 0.02 mm of the curve.
    pub points: Vec<Point>,
}

/// A straight strip, cut in joined lengths: frill, band, tie.
#[derive(Clone, Debug, PartialEq)]
pub struct Strip {
    /// The key in the style: `frill`.
    pub key: String,
    /// The words for it: `Frill`.
    pub label: String,
    /// The letter by which drawings and lays name it.
    pub letter: String,
    /// How many such strips.
    pub count: u32,
    /// Sewn length of one strip, without end allowances, mm.
    pub length_mm: f64,
    /// Allowance at each end and at each join, mm.
    pub join_mm: f64,
    /// Cut width (depth) with its allowances, mm.
    pub width_mm: f64,
    /// Across the cloth (joined from selvedge to selvedge) or along it.
    pub grain: Grain,
    /// Whether it may be joined from shorter lengths.
    pub joined: bool,
    /// Which cloth it is cut from.
    pub cloth: Cloth,
    /// The arithmetic of its length.
    pub length_working: Working,
    /// The arithmetic of its width.
    pub width_working: Working,
}

/// Two runs of edges that are sewn together, as the style declares them.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Seam {
    /// The words for it: `Side seams`.
    pub label: String,
    /// The one run: the key of each piece and of its edge, in the order of sewing.
    pub left: Vec<(String, String)>,
    /// The other.
    pub right: Vec<(String, String)>,
    /// Whether one side is longer and eased in, or shorter and stretched.
    pub eased: bool,
    /// Whether one side is gathered to the other.
    pub gathered: bool,
    /// Whether it joins a facing or a lining to its piece.
    pub inner: bool,
}

/// A remark of the style for this body.
#[derive(Clone, Debug, PartialEq)]
pub struct Note {
    /// The words, figures filled in as `{amount}` parts already written for the showing asked for.
    pub text: Working,
    /// Whether it must be heeded before cutting.
    pub warning: bool,
    /// Whether it is a safety caution (cords, nightwear, small parts).
    pub caution: bool,
}

/// Zip, button, elastic, thread.
#[derive(Clone, Debug, PartialEq)]
pub struct Notion {
    /// The words for it, with amounts.
    pub text: Working,
}

/// The stage of work that a step belongs to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum StepStage {
    /// Cutting and marking.
    Cut,
    /// Sewing before the fitting.
    Sew,
    /// The fitting itself.
    Fit,
    /// Hems, closings, pressing.
    Finish,
}

/// One step of the order of work.
#[derive(Clone, Debug, PartialEq)]
pub struct Step {
    /// What is done.
    pub text: Working,
    /// How long it takes a practised hand.
    pub minutes: u32,
    /// Which stage it belongs to.
    pub stage: StepStage,
    /// Hours that it must hang or dry before the next step.
    pub waiting_hours: u32,
}

/// A body value that was not taken.
#[derive(Clone, Debug, PartialEq)]
pub struct Assumed {
    /// The key of the body dimension.
    pub key: String,
    /// The value assumed, mm.
    pub mm: f64,
    /// Whether it must be taken before the cloth is cut.
    pub before_cutting: bool,
}
