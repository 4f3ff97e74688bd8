//! A draft ready to show: dimensions with their working, measured back, checked,
//! pieces drawn, strips, notes, notions and steps.

use crate::draft::{Cloth, Draft, Grain, Piece, StepStage, Strip};
use crate::measure::{Length, Showing, term};

use super::drawing::Drawing;
use super::writing;

/// All of a draft in words and drawings.
pub struct DraftView {
    /// The drafted dimensions: words, value, working.
    pub dimensions: Vec<(String, String, String)>,
    /// Dimensions that only place curves: words, value, working.
    pub inner: Vec<(String, String, String)>,
    /// Measured back: words, value, and against what.
    pub measured: Vec<(String, String, String)>,
    /// What was checked, whether it holds, what was found.
    pub checked: Vec<(String, bool, String)>,
    /// How many checks failed.
    pub broken: usize,
    /// The pieces.
    pub pieces: Vec<PieceView>,
    /// The strips: letter and words, size, working.
    pub strips: Vec<(String, String, String)>,
    /// Warnings of the style.
    pub warnings: Vec<String>,
    /// Other remarks.
    pub remarks: Vec<String>,
    /// Zips, buttons and the like.
    pub notions: Vec<String>,
    /// The steps: stage, words, minutes.
    pub steps: Vec<(&'static str, String, u32)>,
    /// Body values that were assumed.
    pub assumed: Vec<String>,
    /// How many values were assumed: `no value assumed`, `2 values assumed`.
    pub assumed_words: String,
}

/// One piece.
pub struct PieceView {
    /// The letter.
    pub letter: String,
    /// The letter and the words.
    pub name: String,
    /// How it is cut.
    pub cut: String,
    /// The picture.
    pub drawing: Drawing,
}

impl DraftView {
    /// The draft as this shop writes it.
    #[must_use]
    pub fn of(draft: &Draft, showing: Showing) -> DraftView {
        let set = |text: String| writing::true_fractions(&text);
        let checked: Vec<(String, bool, String)> =
            draft.truths.iter().map(|truth| (truth.what.clone(), truth.held, set(truth.found.clone()))).collect();
        DraftView {
            dimensions: dimensions(draft, true, showing),
            inner: dimensions(draft, false, showing),
            measured: draft.measured.iter().map(|measured| measured_row(measured, showing)).collect(),
            broken: checked.iter().filter(|(_, held, _)| !held).count(),
            checked,
            pieces: draft.pieces.iter().map(|piece| piece_view(piece, showing)).collect(),
            strips: draft.strips.iter().map(|strip| strip_row(strip, showing)).collect(),
            warnings: notes(draft, true, showing),
            remarks: notes(draft, false, showing),
            notions: draft.notions.iter().map(|notion| set(notion.text.text(showing))).collect(),
            steps: draft
                .steps
                .iter()
                .map(|step| (stage_words(step.stage), set(step.text.text(showing)), step.minutes))
                .collect(),
            assumed_words: match draft.assumed.len() {
                0 => "no value assumed".into(),
                count => format!("{} assumed", writing::count(count, "value", "values")),
            },
            assumed: draft
                .assumed
                .iter()
                .map(|assumed| {
                    let before = if assumed.before_cutting { ": take before cutting" } else { "" };
                    format!("{} {} is assumed{before}", term(&assumed.key), writing::millimetres(showing, assumed.mm))
                })
                .collect(),
        }
    }
}

fn dimensions(draft: &Draft, chalked: bool, showing: Showing) -> Vec<(String, String, String)> {
    draft
        .dimensions
        .iter()
        .filter(|dimension| dimension.chalked == chalked)
        .map(|dimension| {
            let value = dimension.mm.map(|mm| writing::millimetres(showing, mm)).unwrap_or_default();
            (dimension.label.clone(), value, writing::true_fractions(&dimension.working.text(showing)))
        })
        .collect()
}

fn measured_row(measured: &crate::draft::Measured, showing: Showing) -> (String, String, String) {
    let against = measured.body_mm.map_or_else(String::new, |body| {
        let ease = Length::from_mm(measured.ease_mm).unwrap_or_default();
        let asked = writing::millimetres(showing, body);
        if ease.rounded_to(showing.step_length()) == Length::ZERO {
            format!("asked {asked}")
        } else {
            format!("body {asked}, ease {}", writing::length(showing, ease))
        }
    });
    (measured.label.clone(), writing::millimetres(showing, measured.mm), against)
}

fn piece_view(piece: &Piece, showing: Showing) -> PieceView {
    let times = if piece.count == 1 { "once".into() } else { format!("{} times", piece.count) };
    let manner = match (piece.on_fold, piece.pairs) {
        (true, _) => " on the fold",
        (false, true) => ", in mirrored pairs",
        (false, false) => "",
    };
    let grain = match piece.grain {
        Grain::Along => "",
        Grain::Across => ", the grain sideways as the arrow shows",
        Grain::Bias => ", on the bias",
    };
    PieceView {
        letter: piece.letter.clone(),
        name: format!("{} · {}", piece.letter, piece.label),
        cut: format!("Cut {times}{manner}{grain}{}", cloth_words(piece.cloth)),
        drawing: Drawing::of(piece, showing),
    }
}

fn strip_row(strip: &Strip, showing: Showing) -> (String, String, String) {
    let set = |text: String| writing::true_fractions(&text);
    let times = if strip.count == 1 { String::new() } else { format!("{} × ", strip.count) };
    let joined = if strip.joined { ", joined" } else { "" };
    (
        format!("{} · {}{}", strip.letter, strip.label, cloth_words(strip.cloth)),
        format!(
            "{times}{} long, cut {} wide{joined}",
            writing::millimetres(showing, strip.length_mm),
            writing::millimetres(showing, strip.width_mm)
        ),
        format!("{}; {}", set(strip.length_working.text(showing)), set(strip.width_working.text(showing))),
    )
}

fn notes(draft: &Draft, warning: bool, showing: Showing) -> Vec<String> {
    draft
        .notes
        .iter()
        .filter(|note| note.warning == warning)
        .map(|note| {
            let text = writing::true_fractions(&note.text.text(showing));
            if note.caution && !text.contains("rules where you live") {
                format!("{text} Check the rules where you live.")
            } else {
                text
            }
        })
        .collect()
}

const fn cloth_words(cloth: Cloth) -> &'static str {
    match cloth {
        Cloth::Main => "",
        Cloth::Lining => ", of lining",
        Cloth::Interfacing => ", of interfacing",
    }
}

const fn stage_words(stage: StepStage) -> &'static str {
    match stage {
        StepStage::Cut => "cut",
        StepStage::Sew => "sew",
        StepStage::Fit => "fit",
        StepStage::Finish => "finish",
    }
}
