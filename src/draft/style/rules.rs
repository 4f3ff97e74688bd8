//! What a style's text says, read but not yet worked for a body.

use std::collections::BTreeMap;

use super::super::drafted::{Cloth, Grain, StepStage};
use super::super::engine::Kind;
use super::super::fault::Span;
use super::super::formula::{Expr, Place, Told};
use super::Outline;
use super::lining::LiningRule;
use super::notch::NotchRule;
use super::order::Work;
use super::pleat::PleatRule;
use crate::measure::{BodySide, Length};

/// A style of the book, read from its text and ready to be drafted.
#[derive(Clone, Debug, PartialEq)]
pub struct Style {
    pub(crate) text: String,
    pub(crate) label: String,
    pub(crate) about: String,
    pub(crate) wearer: String,
    pub(crate) kind: Kind,
    pub(crate) fittings: u8,
    pub(crate) needs: Vec<String>,
    pub(crate) assume: Vec<Assumption>,
    pub(crate) choices: Vec<Choice>,
    pub(crate) figure: Vec<String>,
    pub(crate) dimensions: Vec<Rule>,
    pub(crate) points: Vec<PointRule>,
    pub(crate) refusals: Vec<RefusalRule>,
    pub(crate) solves: Vec<SolveRule>,
    pub(crate) pieces: Vec<PieceRule>,
    pub(crate) darts: Vec<DartRule>,
    pub(crate) turns: Vec<TurnRule>,
    pub(crate) facings: Vec<FacingRule>,
    pub(crate) linings: Vec<LiningRule>,
    pub(crate) pleats: Vec<PleatRule>,
    pub(crate) notches: Vec<NotchRule>,
    pub(crate) strips: Vec<StripRule>,
    pub(crate) seams: Vec<SeamRule>,
    pub(crate) measured: Vec<MeasuredRule>,
    pub(crate) passes: Vec<PassRule>,
    pub(crate) opens_all_the_way: bool,
    pub(crate) notes: Vec<NoteRule>,
    pub(crate) notions: Vec<NotionRule>,
    pub(crate) steps: Vec<StepRule>,
    pub(crate) labels: BTreeMap<String, String>,
    /// What is worked and drawn, in the order in which each has what it needs.
    pub(crate) order: Vec<Work>,
}

/// Something the client or the cutter chooses.
#[derive(Clone, Debug, PartialEq)]
pub struct Choice {
    /// The key: `fullness`.
    pub key: String,
    /// The words for it.
    pub label: String,
    /// What may be chosen.
    pub kind: ChoiceKind,
    /// The name of the shop's allowance that replaces the default, if the shop has it.
    pub shop: Option<String>,
    /// Whether it is seldom changed, so that a form may keep it out of the way.
    pub aside: bool,
}

/// What may be chosen, with the style's own default. Lengths in mm.
#[derive(Clone, Debug, PartialEq)]
pub enum ChoiceKind {
    /// A length between two limits.
    Length {
        /// The style's default, mm.
        default: f64,
        /// The least, mm.
        least: f64,
        /// The most, mm.
        most: f64,
    },
    /// A number between two limits.
    Number {
        /// The style's default.
        default: f64,
        /// The least.
        least: f64,
        /// The most.
        most: f64,
        /// Whether only whole numbers will do.
        whole: bool,
    },
    /// One of several words.
    Word {
        /// The style's default.
        default: String,
        /// The words with their labels.
        options: Vec<(String, String)>,
    },
}

impl Choice {
    /// The shop's allowance as far as the style can follow it: between its least and most.
    #[must_use]
    pub fn held(&self, shops: Length) -> Length {
        let mm = |mm: &f64| Length::from_mm(*mm).unwrap_or(shops);
        match &self.kind {
            ChoiceKind::Length { least, most, .. } => shops.max(mm(least)).min(mm(most)),
            ChoiceKind::Number { .. } | ChoiceKind::Word { .. } => shops,
        }
    }
}

/// What a style takes when a measure was not taken.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Assumption {
    pub key: String,
    pub rule: Expr,
}

/// A drafted dimension.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Rule {
    pub key: String,
    pub rule: Expr,
    pub chalked: bool,
    /// Whether this order shows it at all.
    pub when: Option<Expr>,
}

/// A named point.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct PointRule {
    pub key: String,
    pub place: Place,
}

/// A combination that the style cannot draft.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct RefusalRule {
    pub when: Expr,
    pub text: Told,
}

/// An unknown found so that two lengths agree.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct SolveRule {
    pub key: String,
    pub least: Expr,
    pub most: Expr,
    pub left: Expr,
    pub right: Expr,
    /// The unknown with which it is found together.
    pub with: Option<String>,
    /// Else it is not sought and stands at its least.
    pub when: Option<Expr>,
}

/// A shaped piece.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct PieceRule {
    pub key: String,
    pub when: Option<Expr>,
    pub count: Option<Expr>,
    pub pairs: bool,
    pub grain: Grain,
    /// By how many degrees it may lie off the grain, where the style says so.
    pub off_grain: Option<u16>,
    pub cloth: Cloth,
    pub turned_over: Option<Expr>,
    pub outline: Outline,
    /// Corners at a fold that are meant to be points.
    pub points: Vec<String>,
    /// Label, from, to.
    pub chalk: Vec<(String, Place, Place)>,
    /// Points inside it that are kept.
    pub marks: Vec<PointRule>,
    /// The side of the wearer that it belongs to as it is drawn, face up.
    pub side: Option<BodySide>,
}

/// A dart of a piece.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct DartRule {
    pub key: String,
    pub when: Option<Expr>,
    pub piece: String,
    pub from: DartFrom,
    pub intake: Expr,
    /// Folded toward the start of the edge, or toward its end.
    pub toward_start: bool,
}

/// Where a dart lies.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum DartFrom {
    /// Out of an edge.
    Edge {
        edge: String,
        /// How far along the edge its middle lies, other darts closed.
        at: Expr,
        length: Expr,
    },
    /// Inside the piece, pointed at both ends.
    Inside { widest: Place, top: Place, bottom: Place },
}

/// A dart turned to another edge.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct TurnRule {
    pub key: String,
    pub when: Option<Expr>,
    pub piece: String,
    /// The dart that it closes.
    pub dart: String,
    pub dart_at: Span,
    /// The edge that it opens, and how far along it.
    pub edge: String,
    pub at: Expr,
    /// How much of the dart it takes; all of it when omitted.
    pub share: Option<Expr>,
    /// How far short of the old apex the new dart ends.
    pub stops: Option<Expr>,
    pub toward_start: bool,
    /// The opening stays open: flare.
    pub flare: bool,
}

/// A facing taken from the top (or any edge) of a piece.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct FacingRule {
    pub key: String,
    pub when: Option<Expr>,
    pub piece: String,
    pub edge: String,
    pub depth: Expr,
    pub allow: Option<Expr>,
    /// By how much its faced edge lies inside that of the piece: the turn of the cloth.
    pub less: Option<Expr>,
    /// By how many degrees it may lie off the grain, where the style says so.
    pub off_grain: Option<u16>,
    pub cloth: Cloth,
}

/// A straight strip.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct StripRule {
    pub key: String,
    pub when: Option<Expr>,
    pub count: Option<Expr>,
    pub length: Expr,
    pub width: Expr,
    pub join: Option<Expr>,
    pub grain: Grain,
    pub joined: bool,
    pub cloth: Cloth,
}

/// Two runs of edges that are sewn together.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct SeamRule {
    pub key: String,
    pub when: Option<Expr>,
    pub left: Expr,
    pub right: Expr,
    /// left = right × fullness + ease.
    pub fullness: Option<Expr>,
    pub ease: Option<Expr>,
    /// The outer ends do not run on smoothly, and are meant not to.
    pub meant_corner: bool,
}

/// A girth or length to be measured back.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct MeasuredRule {
    pub key: String,
    pub when: Option<Expr>,
    pub from: Expr,
    pub ease: Option<Expr>,
}

/// An opening and the girth that must pass it.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct PassRule {
    pub key: String,
    pub when: Option<Expr>,
    pub opening: Expr,
    pub over: Expr,
}

/// A remark.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct NoteRule {
    pub when: Option<Expr>,
    pub text: Told,
    pub warning: bool,
    pub caution: bool,
}

/// A notion.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct NotionRule {
    pub when: Option<Expr>,
    pub text: Told,
}

/// A step of the order of work.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct StepRule {
    pub when: Option<Expr>,
    pub text: Told,
    pub minutes: Expr,
    pub stage: StepStage,
    pub waiting_hours: u32,
}

impl Style {
    /// The words for a key: from the style's labels, else the key itself in words.
    #[must_use]
    pub fn label_of(&self, key: &str) -> String {
        self.labels.get(key).cloned().unwrap_or_else(|| in_words(key))
    }

    /// The style's name.
    #[must_use]
    pub fn label(&self) -> &str {
        &self.label
    }

    /// One sentence about the style.
    #[must_use]
    pub fn about(&self) -> &str {
        &self.about
    }

    /// Whom it is for: `women`, `men`, `children`, `anyone`.
    #[must_use]
    pub fn wearer(&self) -> &str {
        &self.wearer
    }

    /// How many fittings it usually takes.
    #[must_use]
    pub fn fittings(&self) -> u8 {
        self.fittings
    }

    /// The body dimensions that must have been taken.
    #[must_use]
    pub fn needs(&self) -> &[String] {
        &self.needs
    }

    /// The body dimensions that are assumed when they were not taken.
    pub fn assumes(&self) -> impl Iterator<Item = &str> {
        self.assume.iter().map(|a| a.key.as_str())
    }

    /// The finished length, as taken at a fitting, that its `finished_length` means: a skirt's
    /// hangs from the waist, and so does a trouser leg; a garment from the shoulder is
    /// told by its own choice (nape, side neck: styles differ).
    #[must_use]
    pub fn hem_taken_as(&self) -> Option<&'static str> {
        self.kind.hem_taken_as()
    }

    /// Whether a figure note changes its draft: `stooped`, `low_shoulder_left`.
    #[must_use]
    pub fn heeds(&self, note: &str) -> bool {
        let name = note.strip_suffix("_left").or_else(|| note.strip_suffix("_right")).unwrap_or(note);
        self.figure.iter().any(|heeded| heeded == name)
    }

    /// What can be chosen.
    #[must_use]
    pub fn choices(&self) -> &[Choice] {
        &self.choices
    }

    /// The text as it was typed.
    #[must_use]
    pub fn text(&self) -> &str {
        &self.text
    }
}

/// `over_front` in words: `Over front`.
pub(crate) fn in_words(key: &str) -> String {
    let words = key.replace('_', " ");
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}
