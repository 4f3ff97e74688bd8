//! Where the pages meet the cores: what a style needs and offers, a garment drafted,
//! laid and planned, and what is kept of it. Everything that a page asks of `job`
//! about one garment stands here.

use std::collections::BTreeMap;

use crate::draft::{self, ChoiceKind as StyleChoice, Draft, Input, Style};
use crate::job::{self, OpenGarment};
use crate::measure::{Length, read_length};
use crate::plan::{self, ClothDay, DueDays, Work};
use crate::shop::{
    Body, ClientId, Correction, CorrectionId, CutRecord, FittingState, Garment, GarmentFacts, GarmentId, Letter,
    OrderNumber, SetId, Stage, Standing, StyleVersion,
};
use crate::store::{OWNER, OrderPage, Reader, StoreError, WorkRow, Writer};

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
pub fn of(garment: &GarmentFacts, style: Option<&StyleVersion>, body: &Body, desk: &Desk) -> Drafted {
    let Some(version) = style else { return Drafted::None };
    match draft_of(garment, version, body, desk) {
        Ok(draft) => Drafted::Yes(Box::new(DraftView::of(&draft, desk.showing()))),
        Err(why) => Drafted::Not(super::writing::true_fractions(&why)),
    }
}

/// The draft itself.
///
/// # Errors
/// In words why there is none.
pub fn draft_of(garment: &GarmentFacts, version: &StyleVersion, body: &Body, desk: &Desk) -> Result<Draft, String> {
    job::drafted(&read_style(version)?, garment, body, &desk.settings).map_err(|why| why.to_string())
}

/// Reckons the work of a garment that can be drafted, its minutes and how long it hangs in
/// between; of one that cannot, what was reckoned before stands.
pub fn reckon(garment: &mut GarmentFacts, version: Option<&StyleVersion>, body: &Body, desk: &Desk) {
    let draft = version.and_then(|version| draft_of(garment, version, body, desk).ok());
    if let Some(draft) = draft {
        garment.minutes = Some(job::minutes(&draft, garment.fittings));
        garment.waits = job::waits(&draft);
    }
}

/// What is cut, to be kept when the scissors have been through it.
#[must_use]
pub fn cut_record(garment: &Garment, version: &StyleVersion, body: &Body, desk: &Desk) -> Option<CutRecord> {
    let style = read_style(version).ok()?;
    let input = job::input(&style, &garment.facts, body, &desk.settings);
    let draft = draft::draft(&style, &input).ok()?;
    Some(job::cut_record(garment.id, OWNER, desk.now_ms, &style, &input, &draft))
}

/// By when each task of a garment must be done, with the words of the task.
#[must_use]
pub fn due(whole: &OrderPage, garment: &Garment, desk: &Desk) -> Vec<(&'static str, chrono::NaiveDate)> {
    let of_it = |state: FittingState| {
        whole.fittings.iter().filter(move |fitting| {
            fitting.facts.garment.is_none_or(|id| id == garment.id) && fitting.facts.state == state
        })
    };
    let arranged = of_it(FittingState::Arranged).map(|fitting| fitting.facts.day).filter(|day| *day >= desk.today);
    let open = OpenGarment {
        id: garment.id,
        standing: whole.order.standing,
        cancelled: garment.cancelled,
        stage: garment.stage,
        fittings: garment.facts.fittings,
        held: u8::try_from(of_it(FittingState::Held).count()).unwrap_or(u8::MAX),
        minutes: garment.facts.minutes,
        waits: garment.facts.waits,
        promised: whole.order.facts.promised,
        cloth_comes: garment.facts.cloth.comes,
        fitting: arranged.min(),
    };
    let Some(work) = job::work(&open) else { return Vec::new() };
    let DueDays { by, .. } = plan::due_days(&work, &job::calendar(&desk.settings), job::rules(&desk.settings));
    work.tasks.iter().map(|task| task.stage.word()).zip(by).collect()
}

/// The earliest day that can be promised for a new garment without making anybody late.
///
/// # Errors
/// A [`Fault`] when the book cannot be read.
pub fn earliest_promise(
    book: &Reader,
    garment: &GarmentFacts,
    desk: &Desk,
) -> Result<Option<chrono::NaiveDate>, Fault> {
    let open: Vec<OpenGarment> = book.work(desk.today, MOST_GARMENTS)?.iter().map(open_garment).collect();
    let works: Vec<_> = open.iter().filter_map(job::work).collect();
    let new = OpenGarment {
        id: GarmentId::new(0),
        standing: Standing::Open,
        cancelled: false,
        stage: Stage::Booked,
        fittings: garment.fittings,
        held: 0,
        minutes: garment.minutes,
        waits: garment.waits,
        promised: None,
        cloth_comes: garment.cloth.comes,
        fitting: None,
    };
    let Some(new) = job::work(&new) else { return Ok(None) };
    // Cloth without a day is reckoned with as if it came today: when it does not, nobody can promise.
    let cloth = if new.cloth == ClothDay::Awaited { ClothDay::Here } else { new.cloth };
    let new = Work { cloth, ..new };
    let found =
        plan::earliest_promise(&new, &works, &job::calendar(&desk.settings), job::rules(&desk.settings), desk.today);
    Ok(found.map(|promise| promise.day))
}

/// The most garments that are planned at once; a room of ten has fewer.
pub const MOST_GARMENTS: u32 = 5000;

/// A row of the work at hand as the plan takes it.
#[must_use]
pub fn open_garment(row: &WorkRow) -> OpenGarment {
    OpenGarment {
        id: row.garment,
        standing: row.standing,
        cancelled: false,
        stage: row.stage,
        fittings: row.fittings,
        held: row.held,
        minutes: row.minutes,
        waits: row.waits,
        promised: row.promised,
        cloth_comes: row.cloth_comes,
        fitting: row.next_fitting,
    }
}

/// The dimensions that a style needs, and those that it assumes when they are missing.
#[must_use]
pub fn needs_and_assumes(version: &StyleVersion) -> (Vec<String>, Vec<String>) {
    read_style(version).map_or_else(
        |_| (Vec::new(), Vec::new()),
        |style| (style.needs().to_vec(), style.assumes().map(Into::into).collect()),
    )
}

/// Whether a style, if there is one, reads a dimension of the body.
pub fn reader(version: Option<&StyleVersion>) -> impl Fn(&str) -> bool + use<> {
    let style = version.and_then(|version| read_style(version).ok());
    move |dimension| style.as_ref().is_some_and(|style| job::reads(style, dimension))
}

/// What a style says of itself.
#[must_use]
pub fn about(version: &StyleVersion) -> String {
    read_style(version).map(|style| style.about().to_string()).unwrap_or_default()
}

/// A style drafted for typed numbers, with the corrections that hold for them.
///
/// # Errors
/// In words why there is no draft.
pub fn typed_draft(
    version: &StyleVersion,
    body: BTreeMap<String, Length>,
    choices: BTreeMap<String, String>,
    corrections: Vec<draft::Correction>,
    desk: &Desk,
) -> Result<Draft, String> {
    let mut input = Input::new(desk.showing());
    input.body = body;
    input.choices = choices;
    input.corrections = corrections;
    input.allowances = desk.settings.allowances.clone();
    draft::draft(&read_style(version)?, &input).map_err(|why| why.to_string())
}

/// The choices of a style as they stand for this body when nothing is chosen, and the
/// fittings that it usually has.
#[must_use]
pub fn offered(version: &StyleVersion, body: &Body, desk: &Desk) -> (Vec<Choice>, u8) {
    let Ok(style) = read_style(version) else { return (Vec::new(), 0) };
    // A finished length taken at a fitting stands for the style's own.
    let nothing = GarmentFacts::of(ClientId::new(0), "");
    let taken = job::input(&style, &nothing, body, &desk.settings).choices;
    let length = |mm: f64| Length::from_mm(mm).unwrap_or_default();
    let choices = style
        .choices()
        .iter()
        .map(|choice| {
            let shop = choice.shop.as_ref().and_then(|name| desk.settings.allowances.get(name));
            let shop = shop.map(|length| choice.held(*length));
            let taken = taken.get(&choice.key).and_then(|text| read_length(text, desk.showing().unit()).ok());
            let kind = match &choice.kind {
                StyleChoice::Length { default, least, most } => ChoiceKind::Length {
                    default: taken.or(shop).unwrap_or_else(|| length(*default)),
                    least: Some(length(*least)),
                    most: Some(length(*most)),
                },
                StyleChoice::Number { default, least, most, whole } => {
                    ChoiceKind::Number { default: *default, least: Some(*least), most: Some(*most), whole: *whole }
                }
                StyleChoice::Word { default, options } => {
                    ChoiceKind::Word { default: default.clone(), words: options.clone() }
                }
            };
            Choice { key: choice.key.clone(), label: choice.label.clone(), aside: choice.aside, kind }
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
        Some(version) => {
            let (needs, assumes) = needs_and_assumes(&book.style_version(version)?);
            needs.into_iter().chain(assumes).collect()
        }
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

/// The standing corrections of a body in force for the dimensions that were not typed anew.
#[must_use]
pub fn standing(body: &Body, typed: &BTreeMap<String, Length>) -> Vec<draft::Correction> {
    let holds = |one: &&Correction| one.is_in_force() && !typed.contains_key(&one.facts.dimension);
    body.corrections.iter().filter(holds).map(job::correction).collect()
}

/// A garment is drafted with these standing corrections from now on, and without those that are
/// `false`; the minutes of its work follow.
///
/// # Errors
/// [`StoreError`] when it cannot be kept: somebody else changed the garment in the meantime.
pub fn correct(
    book: &Writer,
    desk: &Desk,
    garment: GarmentId,
    version: i64,
    looked: &BTreeMap<CorrectionId, bool>,
) -> Result<(), StoreError> {
    let mut facts = book.garment(garment)?.facts;
    facts.corrections.extend(looked.iter().map(|(id, applied)| (*id, *applied)));
    let style = facts.style.map(|id| book.style_version(id)).transpose()?;
    let body = book.body(facts.wearer, facts.set)?;
    reckon(&mut facts, style.as_ref(), &body, desk);
    book.change_garment(garment, version, &facts)
}

/// A garment is drafted from this set from now on; the minutes of its work follow.
///
/// # Errors
/// [`StoreError`] when it cannot be kept: somebody else changed the garment in the meantime.
pub fn pin(book: &Writer, desk: &Desk, garment: GarmentId, set: SetId, version: Option<i64>) -> Result<(), StoreError> {
    let before = book.garment(garment)?;
    let mut facts = before.facts.clone();
    facts.set = Some(set);
    let style = facts.style.map(|id| book.style_version(id)).transpose()?;
    let body = book.body(facts.wearer, facts.set)?;
    reckon(&mut facts, style.as_ref(), &body, desk);
    book.change_garment(garment, version.unwrap_or(before.version), &facts)
}

fn read_style(version: &StyleVersion) -> Result<Style, String> {
    Style::read(&version.text).map_err(|why| format!("The style “{}” cannot be read: {why}", version.label))
}
