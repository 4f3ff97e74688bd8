//! What the lay of a garment is made from, read from the book.

use crate::draft::{Draft, Style};
use crate::job::{self, Laid, Suffices};
use crate::shop::{Body, ClothOf, Garment, Letter, OrderNumber, Stage, StyleVersion};
use crate::store::Reader;

use super::desk::Desk;
use super::fault::Fault;
use super::order_draft;
use super::reckoned;

/// A garment with its style and measures.
pub struct ToLay {
    /// The garment.
    pub garment: Garment,
    style: Option<StyleVersion>,
    body: Body,
}

impl ToLay {
    /// The facts of one garment.
    ///
    /// # Errors
    /// [`Fault::NotFound`] without such a garment.
    pub fn of(book: &Reader, number: OrderNumber, letter: Letter) -> Result<ToLay, Fault> {
        let garment = order_draft::garment(book, number, letter)?;
        let style = garment.facts.style.map(|id| book.style_version(id)).transpose()?;
        let body = book.body(garment.facts.wearer, garment.facts.set)?;
        Ok(ToLay { garment, style, body })
    }

    /// Whether a lay may still be chosen: once the scissors have been through the cloth, none is.
    #[must_use]
    pub fn is_open(&self) -> bool {
        self.garment.stage < Stage::Cut && !self.garment.cancelled
    }

    /// Whether a fold across this cloth is tried; nothing where that is no question, because the cloth
    /// is not the main one, has one way, or is cut.
    #[must_use]
    pub fn may_fold_across(&self, cloth: ClothOf) -> Option<bool> {
        let facts = &self.garment.facts.cloth;
        (cloth == ClothOf::Main && self.is_open() && !facts.one_way()).then_some(facts.fold_across)
    }

    /// The mark of all that its needs are reckoned from.
    #[must_use]
    pub fn mark(&self, desk: &Desk) -> u64 {
        reckoned::mark(&self.garment.facts, &self.body, &desk.settings)
    }

    /// The garment drafted.
    ///
    /// # Errors
    /// In words why it cannot be drafted.
    pub fn draft(&self, desk: &Desk) -> Result<Draft, String> {
        let style = self.style.as_ref().ok_or("This garment is made without a draft, so nothing is laid.")?;
        order_draft::draft_of(&self.garment.facts, style, &self.body, desk)
    }

    /// Whether the main cloth that is written for it suffices, and what would make it; nothing where
    /// no length is written. Dozens of lays are tried where it does not.
    #[must_use]
    pub fn suffices(&self, draft: &Draft, laid: &Laid, desk: &Desk) -> Option<Suffices> {
        let style = Style::read(&self.style.as_ref()?.text).ok()?;
        job::suffices(&style, (&self.garment.facts, &self.body, &desk.settings), (draft, laid))
    }
}
