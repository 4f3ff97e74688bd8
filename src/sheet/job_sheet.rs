//! The job sheet, whole.

use chrono::NaiveDate;

use crate::draft::{Draft, DraftError, Style};
use crate::job::{Laid, input};
use crate::lay::{LayError, Picture, picture};
use crate::measure::{Length, Showing};
use crate::plan::said;
use crate::shop::{Body, Client, Fitting, FittingState, Garment, Order, Settings, Wearer};

use super::agreed::agreed;
use super::alert::{Alert, alerts};
use super::code::Code;
use super::cut_list::{CutRow, cut_list};
use super::drawing::{SheetPiece, pieces};
use super::measured::{Measures, measures};
use super::needed::{ClothRow, needed};

/// The facts that a sheet is made from.
#[derive(Clone, Copy, Debug)]
pub struct Facts<'a> {
    /// The order.
    pub order: &'a Order,
    /// The garment.
    pub garment: &'a Garment,
    /// Who wears it.
    pub wearer: &'a Client,
    /// The style it is cut by, if it has one.
    pub style: Option<&'a Style>,
    /// The wearer's body up to the set that the garment pins.
    pub body: &'a Body,
    /// The fittings of the order.
    pub fittings: &'a [Fitting],
    /// The shop's settings.
    pub settings: &'a Settings,
    /// The day of printing.
    pub today: NaiveDate,
}

/// A job sheet in the order in which it is looked at.
#[derive(Clone, Debug, PartialEq)]
pub struct JobSheet {
    /// Whose, what, when; the largest letters.
    pub head: Head,
    /// Where the swatch is pinned.
    pub swatch: Swatch,
    /// What was agreed: words and value.
    pub agreed: Vec<(String, String)>,
    /// What must be heeded before anything else: the bordered box.
    pub alerts: Vec<Alert>,
    /// What was proved of the draft, in one line; nothing without a draft.
    pub checked: Option<String>,
    /// Body measures in tape order, finished lengths.
    pub measures: Measures,
    /// Each cloth: what it needs, what there is.
    pub cloths: Vec<ClothRow>,
    /// What is cut, with allowances.
    pub cut_list: Vec<CutRow>,
    /// The lay of each cloth: its name and its drawing.
    pub lays: Vec<(String, Picture)>,
    /// The pieces, not to scale, with their chalk figures.
    pub pieces: Vec<SheetPiece>,
    /// The drafted dimensions with their arithmetic.
    pub working: Vec<WorkingRow>,
    /// What the style remarks for this body, beyond what stands in the box.
    pub remarks: Vec<String>,
    /// Zip, buttons, thread.
    pub notions: Vec<String>,
    /// The order of work.
    pub steps: Vec<StepRow>,
    /// All minutes of the steps.
    pub minutes: u32,
    /// The code of the garment's address; nothing when the shop has no address of its own.
    pub code: Option<Code>,
    /// The word for the unit of bare figures: `in`, `cm`.
    pub unit: &'static str,
}

/// Whose garment, and when.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Head {
    /// What the wearer is called.
    pub name: String,
    /// What it is.
    pub what: String,
    /// The order's number and the garment's letter: `2026-0147 B`.
    pub mark: String,
    /// The bag's number.
    pub bag: String,
    /// Fittings to come: day and, where one is agreed, time.
    pub fittings: Vec<String>,
    /// Fittings planned for which no day is arranged.
    pub unarranged: u8,
    /// The day of collection.
    pub collection: Option<String>,
    /// The day of printing.
    pub printed: String,
}

/// Where the swatch is pinned.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Swatch {
    /// The cloth in words.
    pub words: String,
    /// Whether all pieces must point one way: the nap arrow counts.
    pub one_way: bool,
    /// Whether the client brought it, so that what is left goes back.
    pub brought: bool,
}

/// One drafted dimension.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WorkingRow {
    /// The words for it.
    pub label: String,
    /// Its arithmetic: `29 1/2 ÷ 4 = 7 3/8`.
    pub text: String,
}

/// One step of the work.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StepRow {
    /// Its place, from 1.
    pub number: usize,
    /// The stage: `cut`, `sew`, `fit`, `finish`.
    pub stage: &'static str,
    /// What is done, with pressing.
    pub text: String,
    /// How long it takes.
    pub minutes: u32,
    /// Hours that it must hang before the next step.
    pub waiting_hours: u32,
}

/// The sheet of a garment: its facts, its draft (or why there is none), the lay of
/// each of its cloths (or why there is none). Work without a style has no draft
/// and no reason.
#[must_use]
pub fn job_sheet(
    facts: &Facts<'_>,
    draft: Option<&Result<Draft, DraftError>>,
    lays: &[Result<Laid, LayError>],
) -> JobSheet {
    let showing = facts.settings.showing;
    let laid: Vec<&Laid> = lays.iter().filter_map(|lay| lay.as_ref().ok()).collect();
    let drawn = draft.and_then(|draft| draft.as_ref().ok());
    let asked = facts.style.map(|style| input(style, &facts.garment.facts, facts.body, facts.settings));
    let measures = measures(facts, drawn);
    JobSheet {
        head: head(facts),
        swatch: Swatch {
            words: facts.garment.facts.cloth.words.clone(),
            one_way: facts.garment.facts.cloth.one_way(),
            brought: facts.garment.facts.cloth.brought,
        },
        agreed: agreed(facts, asked.as_ref(), drawn),
        alerts: alerts(facts, draft, lays, &measures),
        checked: drawn.map(checked),
        measures,
        cloths: needed(facts, &laid),
        cut_list: drawn.map_or_else(Vec::new, |draft| cut_list(draft, &laid, showing)),
        lays: laid.iter().map(|laid| (cloth_words(laid.cloth), picture(&laid.job, &laid.lay, showing))).collect(),
        pieces: drawn.map_or_else(Vec::new, |draft| pieces(draft, showing)),
        working: drawn.map_or_else(Vec::new, |draft| working(draft, showing)),
        remarks: drawn.map_or_else(Vec::new, |draft| remarks(facts, draft)),
        notions: drawn
            .map_or_else(Vec::new, |draft| draft.notions.iter().map(|notion| notion.text.text(showing)).collect()),
        steps: drawn.map_or_else(Vec::new, |draft| steps(draft, showing)),
        minutes: drawn.map_or(0, |draft| draft.steps.iter().map(|step| step.minutes).fold(0, u32::saturating_add)),
        code: Code::of(&address(facts)),
        unit: showing.unit_word(),
    }
}

fn head(facts: &Facts<'_>) -> Head {
    let (order, garment) = (facts.order, facts.garment);
    let ours = |fitting: &&Fitting| {
        let row = &fitting.facts;
        row.state == FittingState::Arranged
            && row.day >= facts.today
            && row.garment.is_none_or(|other| other == garment.id)
    };
    let mut coming: Vec<&Fitting> = facts.fittings.iter().filter(ours).collect();
    coming.sort_by_key(|fitting| (fitting.facts.day, fitting.facts.time));
    let held = facts.fittings.iter().filter(|fitting| {
        fitting.facts.state == FittingState::Held && fitting.facts.garment.is_none_or(|other| other == garment.id)
    });
    let known = u8::try_from(coming.len() + held.count()).unwrap_or(u8::MAX);
    Head {
        name: facts.wearer.called().into(),
        what: garment.facts.what.clone(),
        mark: format!("{} {}", order.number, garment.letter),
        bag: garment.facts.bag.clone(),
        fittings: coming
            .into_iter()
            .map(|fitting| match fitting.facts.time {
                Some(time) => format!("{} {}", said(fitting.facts.day), time.format("%H:%M")),
                None => said(fitting.facts.day),
            })
            .collect(),
        unarranged: garment.facts.fittings.saturating_sub(known),
        collection: order.facts.promised.map(said),
        printed: facts.today.format("%-d %b %Y").to_string(),
    }
}

/// `Checked: all 13 hold; 1 value assumed.` What fails stands above it, in the box.
fn checked(draft: &Draft) -> String {
    let all = draft.truths.len();
    let failed = draft.truths.iter().filter(|truth| !truth.held).count();
    let held = if failed == 0 { format!("all {all} hold") } else { format!("{failed} of {all} do not hold") };
    let assumed = match draft.assumed.len() {
        0 => "no value assumed".into(),
        1 => "1 value assumed".into(),
        count => format!("{count} values assumed"),
    };
    format!("Checked: {held}; {assumed}.")
}

fn working(draft: &Draft, showing: Showing) -> Vec<WorkingRow> {
    let chalked = draft.dimensions.iter().filter(|row| row.chalked);
    chalked.map(|row| WorkingRow { label: row.label.clone(), text: row.working.text(showing) }).collect()
}

fn remarks(facts: &Facts<'_>, draft: &Draft) -> Vec<String> {
    let is_child = facts.wearer.facts.wearer == Wearer::Child;
    let rest = draft.notes.iter().filter(|note| if note.caution { !is_child } else { !note.warning });
    rest.map(|note| note.text.text(facts.settings.showing)).collect()
}

fn steps(draft: &Draft, showing: Showing) -> Vec<StepRow> {
    use crate::draft::StepStage;
    let numbered = draft.steps.iter().zip(1..);
    numbered
        .map(|(step, number)| StepRow {
            number,
            stage: match step.stage {
                StepStage::Cut => "cut",
                StepStage::Sew => "sew",
                StepStage::Fit => "fit",
                StepStage::Finish => "finish",
            },
            text: step.text.text(showing),
            minutes: step.minutes,
            waiting_hours: step.waiting_hours,
        })
        .collect()
}

/// Where the garment is found: opening it shows, and never moves, it.
fn address(facts: &Facts<'_>) -> String {
    let base = facts.settings.base_url.trim().trim_end_matches('/');
    if base.is_empty() {
        return String::new();
    }
    format!("{base}/orders/{}/{}", facts.order.number, facts.garment.letter)
}

/// The cloth in words.
pub(super) fn cloth_words(cloth: crate::draft::Cloth) -> String {
    match cloth {
        crate::draft::Cloth::Main => "Cloth",
        crate::draft::Cloth::Lining => "Lining",
        crate::draft::Cloth::Interfacing => "Interfacing",
    }
    .into()
}

/// A computed length as a bare figure.
pub(super) fn figure(mm: f64, showing: Showing) -> String {
    Length::from_mm(mm).map_or_else(|| "?".into(), |length| showing.number(length))
}
