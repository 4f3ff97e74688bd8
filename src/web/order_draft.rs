//! Where the pages meet the draft: what a style needs and offers, and a garment drafted.
//! Everything that a page asks of the cores stands here.

use std::collections::BTreeMap;

use crate::draft::{self, ChoiceKind as StyleChoice, Draft, Input, Style};
use crate::measure::Length;
use crate::shop::{ClientId, Garment, GarmentId, Letter, OrderNumber, SetId, StyleVersion};
use crate::store::{Reader, StoreError, Writer};

use super::choices::{Choice, ChoiceKind};
use super::desk::Desk;
use super::draft_view::DraftView;
use super::fault::Fault;

/// A garment's draft on a page.
pub enum Drafted {
    /// The garment is made without a draft.
    None,
    /// There is no draft yet; the words say what is missing.
    Not(String),
    /// The draft.
    Yes(Box<DraftView>),
}

/// The garment drafted from the measures that it pins (or all that were taken).
///
/// # Errors
/// A [`Fault`] when the book cannot be read.
pub fn of(book: &Reader, garment: &Garment, style: Option<&StyleVersion>, desk: &Desk) -> Result<Drafted, Fault> {
    let Some(version) = style else { return Ok(Drafted::None) };
    Ok(match draft_of(book, garment, version, desk)? {
        Ok(draft) => Drafted::Yes(Box::new(DraftView::of(&draft, desk.showing()))),
        Err(why) => Drafted::Not(super::writing::true_fractions(&why)),
    })
}

/// The draft itself, or in words why there is none.
///
/// # Errors
/// A [`Fault`] when the book cannot be read.
pub fn draft_of(
    book: &Reader,
    garment: &Garment,
    version: &StyleVersion,
    desk: &Desk,
) -> Result<Result<Draft, String>, Fault> {
    let facts = &garment.facts;
    let body = book.body(facts.wearer, facts.set)?;
    let mut input = Input::new(desk.showing());
    input.body = body.lengths();
    input.body.extend(facts.finished.clone());
    input.choices = facts.choices.clone();
    input.allowances = desk.settings.allowances.clone();
    input.allowances.extend(facts.allowances.clone());
    Ok(Style::read(&version.text)
        .map_err(|why| format!("The style “{}” cannot be read: {why}", version.label))
        .and_then(|style| draft::draft(&style, &input).map_err(|why| why.to_string())))
}

/// The dimensions that a style needs, then those that it assumes when they are missing.
#[must_use]
pub fn needs(version: &StyleVersion) -> Vec<String> {
    Style::read(&version.text).map_or_else(
        |_| Vec::new(),
        |style| style.needs().iter().cloned().chain(style.assumes().map(Into::into)).collect(),
    )
}

/// The dimensions that a style needs, and those that it assumes when they are missing.
#[must_use]
pub fn needs_and_assumes(version: &StyleVersion) -> (Vec<String>, Vec<String>) {
    Style::read(&version.text).map_or_else(
        |_| (Vec::new(), Vec::new()),
        |style| (style.needs().to_vec(), style.assumes().map(Into::into).collect()),
    )
}

/// What a style says of itself.
#[must_use]
pub fn about(version: &StyleVersion) -> String {
    Style::read(&version.text).map(|style| style.about().to_string()).unwrap_or_default()
}

/// A style drafted for typed numbers.
///
/// # Errors
/// In words why there is no draft.
pub fn typed_draft(
    version: &StyleVersion,
    body: BTreeMap<String, Length>,
    choices: BTreeMap<String, String>,
    desk: &Desk,
) -> Result<Draft, String> {
    let mut input = Input::new(desk.showing());
    input.body = body;
    input.choices = choices;
    input.allowances = desk.settings.allowances.clone();
    let style =
        Style::read(&version.text).map_err(|why| format!("The style “{}” cannot be read: {why}", version.label))?;
    draft::draft(&style, &input).map_err(|why| why.to_string())
}

/// The choices of a style, and the fittings that it usually has.
#[must_use]
pub fn offered(version: &StyleVersion) -> (Vec<Choice>, u8) {
    let Ok(style) = Style::read(&version.text) else { return (Vec::new(), 0) };
    let length = |mm: f64| Length::from_mm(mm).unwrap_or_default();
    let choices = style
        .choices()
        .iter()
        .map(|choice| Choice {
            key: choice.key.clone(),
            label: choice.label.clone(),
            kind: match &choice.kind {
                StyleChoice::Length { default, least, most } => ChoiceKind::Length {
                    default: length(*default),
                    least: Some(length(*least)),
                    most: Some(length(*most)),
                },
                StyleChoice::Number { default, least, most, .. } => {
                    ChoiceKind::Number { default: *default, least: Some(*least), most: Some(*most) }
                }
                StyleChoice::Word { default, options } => {
                    ChoiceKind::Word { default: default.clone(), words: options.clone() }
                }
            },
        })
        .collect();
    (choices, style.fittings())
}

/// The garment that a fitting is for: its id, its words, the dimensions that its style needs.
///
/// # Errors
/// [`Fault::NotFound`] when there is no such garment, or another person wears it.
pub fn measured_for(
    book: &Reader,
    wearer: ClientId,
    number: OrderNumber,
    letter: Letter,
) -> Result<(GarmentId, String, Vec<String>), Fault> {
    let garment = garment(book, number, letter)?;
    if garment.facts.wearer != wearer {
        return Err(Fault::NotFound("garment"));
    }
    let needs = match garment.facts.style {
        Some(version) => needs(&book.style_version(version)?),
        None => Vec::new(),
    };
    Ok((garment.id, format!("{} ({number} {letter})", garment.facts.what), needs))
}

/// One garment by what people see.
///
/// # Errors
/// [`Fault::NotFound`] when there is none.
pub fn garment(book: &Reader, number: OrderNumber, letter: Letter) -> Result<Garment, Fault> {
    let order = book.order_numbered(number)?;
    book.garments_of(order.id)?.into_iter().find(|garment| garment.letter == letter).ok_or(Fault::NotFound("garment"))
}

/// A garment is drafted from this set from now on.
///
/// # Errors
/// [`StoreError`] when it cannot be kept.
pub fn pin(book: &Writer, garment: GarmentId, set: SetId) -> Result<(), StoreError> {
    let before = book.garment(garment)?;
    let mut facts = before.facts.clone();
    facts.set = Some(set);
    book.change_garment(garment, before.version, &facts)
}
