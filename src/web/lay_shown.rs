//! Which lay of a garment its pages and papers show: the accepted one as long as it serves,
//! else the first that the search finds.

use crate::draft::{Cloth, Draft, Style};
use crate::job::{self, Laid, Suffices};
use crate::lay::LayError;
use crate::shop::{AcceptedLay, Body, Garment, Letter, OrderNumber, Stage, StyleVersion};
use crate::store::Reader;

use super::desk::Desk;
use super::fault::Fault;
use super::order_draft;
use super::writing;

/// All that a lay is made from, read from the book.
pub struct LayFacts {
    /// The garment.
    pub garment: Garment,
    style: Option<StyleVersion>,
    body: Body,
    kept: Option<AcceptedLay>,
    /// Who accepted it, as the workroom says it.
    who: String,
}

/// How the lay that is shown stands to the one that was accepted.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum LayStanding {
    /// None was accepted: the first lay is shown.
    First,
    /// The accepted one is shown: who accepted it, and when.
    Accepted(String),
    /// The accepted one serves no more, in words; the first lay is shown.
    Outdated(String),
}

/// A lay that is shown.
pub struct Shown {
    /// What was drafted.
    pub draft: Draft,
    /// The main cloth, laid.
    pub laid: Laid,
    /// Whether that was accepted.
    pub standing: LayStanding,
}

impl LayFacts {
    /// The facts of one garment.
    ///
    /// # Errors
    /// [`Fault::NotFound`] without such a garment.
    pub fn of(book: &Reader, number: OrderNumber, letter: Letter) -> Result<LayFacts, Fault> {
        let garment = order_draft::garment(book, number, letter)?;
        let style = garment.facts.style.map(|id| book.style_version(id)).transpose()?;
        let body = book.body(garment.facts.wearer, garment.facts.set)?;
        let kept = book.newest_lay(garment.id)?;
        let who = who_accepted(book, kept.as_ref())?;
        Ok(LayFacts { garment, style, body, kept, who })
    }

    /// Whether a lay may still be chosen: once the scissors have been through the cloth, none is.
    #[must_use]
    pub fn is_open(&self) -> bool {
        self.garment.stage < Stage::Cut && !self.garment.cancelled
    }

    /// Whether a fold across the main cloth is tried; nothing where that is no question, because the cloth
    /// has one way or is cut.
    #[must_use]
    pub fn may_fold_across(&self) -> Option<bool> {
        let cloth = &self.garment.facts.cloth;
        (self.is_open() && !cloth.one_way()).then_some(cloth.fold_across)
    }

    /// The garment drafted.
    ///
    /// # Errors
    /// In words why it cannot be drafted.
    pub fn draft(&self, desk: &Desk) -> Result<Draft, String> {
        let style = self.style.as_ref().ok_or("This garment is made without a draft, so nothing is laid.")?;
        order_draft::draft_of(&self.garment.facts, style, &self.body, desk)
    }

    /// Whether the cloth that is written for it suffices, and what would make it; nothing where
    /// no length is written. Dozens of lays are tried where it does not.
    #[must_use]
    pub fn suffices(&self, shown: &Shown, desk: &Desk) -> Option<Suffices> {
        let style = Style::read(&self.style.as_ref()?.text).ok()?;
        job::suffices(&style, (&self.garment.facts, &self.body, &desk.settings), (&shown.draft, &shown.laid))
    }

    /// The garment drafted and laid.
    ///
    /// # Errors
    /// In words why there is no lay.
    pub fn shown(&self, desk: &Desk) -> Result<Shown, String> {
        let draft = self.draft(desk)?;
        let laid = laid(&draft, &self.garment, self.kept.as_ref(), &self.who, desk);
        let (laid, standing) = laid.map_err(|why| why.to_string())?;
        Ok(Shown { draft, laid, standing })
    }
}

/// The main cloth of a draft with the lay that is shown.
///
/// # Errors
/// [`LayError`] naming the piece, strip or cloth at fault and the remedy.
pub fn laid(
    draft: &Draft,
    garment: &Garment,
    kept: Option<&AcceptedLay>,
    who: &str,
    desk: &Desk,
) -> Result<(Laid, LayStanding), LayError> {
    let standing = match kept.map(|kept| (kept, job::accepted(draft, &garment.facts.cloth, &desk.settings, kept))) {
        None => LayStanding::First,
        Some((kept, Ok(laid))) => return Ok((laid, LayStanding::Accepted(words(kept, who, desk)))),
        Some((kept, Err(why))) => LayStanding::Outdated(outdated(kept, who, &why, desk)),
    };
    let laid = job::laid(draft, Cloth::Main, &garment.facts.cloth, &desk.settings)?;
    Ok((laid, standing))
}

/// How an accepted lay stands, without laying anything anew.
#[must_use]
pub fn standing(draft: &Draft, garment: &Garment, kept: &AcceptedLay, who: &str, desk: &Desk) -> LayStanding {
    match job::accepted(draft, &garment.facts.cloth, &desk.settings, kept) {
        Ok(_) => LayStanding::Accepted(words(kept, who, desk)),
        Err(why) => LayStanding::Outdated(outdated(kept, who, &why, desk)),
    }
}

/// Who accepted a lay, as the workroom says it; nothing when none was accepted.
///
/// # Errors
/// A [`Fault`] when the book cannot be read.
pub fn who_accepted(book: &Reader, kept: Option<&AcceptedLay>) -> Result<String, Fault> {
    let person = kept.map(|kept| book.person(kept.who)).transpose()?;
    // An owner who was not named yet is called so by the book itself.
    Ok(person.map_or_else(String::new, |person| if person.name == "Owner" { "the owner".into() } else { person.name }))
}

fn words(kept: &AcceptedLay, who: &str, desk: &Desk) -> String {
    format!("Accepted by {who}, {}", desk.moment(kept.at_ms))
}

fn outdated(kept: &AcceptedLay, who: &str, why: &str, desk: &Desk) -> String {
    let why = writing::true_fractions(why);
    format!(
        "The lay that {who} accepted ({}) does not fit any more: {why}. This is the first lay of what is drafted now.",
        desk.moment(kept.at_ms)
    )
}
