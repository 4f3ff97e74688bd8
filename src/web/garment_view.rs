//! A garment on the order's page: its tape, what may be done next, its facts, its draft.

use crate::measure::Length;
use crate::shop::{Body, ClothOf, Garment, SetId, Stage, WorkMinutes};
use crate::store::{GarmentPage, OrderPage, Reader};

use super::cut_away::CutAway;
use super::desk::Desk;
use super::fault::Fault;
use super::fields::Field;
use super::garment_form;
use super::held;
use super::lay_shown::{self, KeptLay, LayStanding, LookedOver};
use super::order::Returned;
use super::order_draft::{self, Drafted};
use super::order_style::{self, OtherVersion};
use super::pattern;
use super::stages;
use super::standing::GarmentStanding;
use super::tape::Tape;

/// One garment, ready to show.
pub struct GarmentView {
    /// Its letter.
    pub letter: String,
    /// Counts the edits that the page saw.
    pub version: i64,
    /// What it is.
    pub what: String,
    /// How far it is.
    pub tape: Tape,
    /// The key of its stage.
    pub stage: &'static str,
    /// Whether it was called off.
    pub cancelled: bool,
    /// What must be heeded before the next stage.
    pub before_next: Vec<String>,
    /// The next stage: key and the words on the button.
    pub next: Option<(&'static str, &'static str)>,
    /// The stages that it may go back to.
    pub back: Vec<(&'static str, &'static str)>,
    /// The reason as typed, when it came back.
    pub back_reason: String,
    /// What is wrong with it.
    pub back_note: Option<String>,
    /// What went from the shelf when it was cut, which comes back if it was not cut after all.
    pub cut_away: Option<CutAway>,
    /// Who wears it.
    pub wearer: String,
    /// The wearer's id.
    pub wearer_id: i64,
    /// When the measures were taken.
    pub measured: String,
    /// What is known of it: words and value.
    pub facts: Vec<(&'static str, String)>,
    /// A newer set of measures, with its words.
    pub newer: Option<(i64, String)>,
    /// The wearer's standing corrections, as they bear on it.
    pub standing: GarmentStanding,
    /// Another version of its style that is in use since.
    pub other_version: Option<OtherVersion>,
    /// Whether it is made by a style.
    pub has_style: bool,
    /// Its draft.
    pub draft: Drafted,
    /// The papers that its pattern may be printed on: key, words, whether it is the shop's.
    pub papers: Vec<(&'static str, &'static str, bool)>,
    /// Its accepted lays.
    pub lays: Vec<AcceptedView>,
    /// Where the picture of its lay is: its own, or that of the joint lay.
    pub lay_picture: String,
    /// What is left of the lengths that are held for it, asked when it is cut: label, what is said of it, field.
    pub left: Vec<(&'static str, String, Field)>,
    /// By when it must be cut, sewn, fitted and finished, and whether that is past.
    pub days: Vec<(&'static str, String, bool)>,
}

impl GarmentView {
    /// The garment of this page of the book.
    ///
    /// # Errors
    /// A [`Fault`] when the book cannot be read.
    pub fn of(
        book: &Reader,
        desk: &Desk,
        whole: &OrderPage,
        page: &GarmentPage,
        sent: Option<&Returned>,
        looked_over: &LookedOver,
    ) -> Result<GarmentView, Fault> {
        let garment = &page.garment;
        let facts = &garment.facts;
        let body = book.body(facts.wearer, facts.set)?;
        let now = book.body(facts.wearer, None)?;
        let next = garment.stage.next(facts.fittings);
        let lays = accepted_lays(book, page, &body, looked_over, desk)?;
        let joint = lays.iter().find_map(|lay| lay.joint.as_ref());
        let returned = sent.filter(|sent| sent.form == format!("stage {}", garment.letter));
        let held = held::of(book, garment)?;
        let asked = next == Some(Stage::Cut);
        let mut facts_shown = rows(garment, page, desk, &body.figure);
        facts_shown.extend(held::rows(book, garment, &held, desk)?);
        Ok(GarmentView {
            letter: garment.letter.to_string(),
            version: garment.version,
            what: facts.what.clone(),
            tape: stages::tape(garment.stage, facts.fittings, &page.moves, desk),
            stage: garment.stage.key(),
            cancelled: garment.cancelled,
            before_next: next.map(|next| before(next, whole, page, desk)).unwrap_or_default(),
            next: next.map(|next| (next.key(), stages::done_words(next))),
            back: stages::passed(facts.fittings)
                .filter(|stage| *stage < garment.stage)
                .map(|stage| (stage.key(), stage.words()))
                .collect(),
            back_reason: returned.map(|sent| sent.fields.raw("reason").to_string()).unwrap_or_default(),
            back_note: returned.and_then(|sent| sent.notes.at("reason")).map(Into::into),
            cut_away: CutAway::of(book, (garment, &whole.order.number.to_string()), &page.moves, desk)?,
            wearer: page.wearer.called().into(),
            wearer_id: page.wearer.id.get(),
            measured: body.day.map_or_else(|| "not measured yet".into(), |day| format!("measured {}", desk.day(day))),
            facts: facts_shown,
            left: if asked { held::left(&held, garment, returned, desk) } else { Vec::new() },
            newer: newer(book, page, desk)?,
            standing: GarmentStanding::of(page, &now, desk),
            other_version: order_style::other(book, page)?,
            has_style: page.style.is_some(),
            draft: order_draft::of(facts, page.style.as_ref(), &body, desk),
            papers: pattern::papers(desk),
            lay_picture: match joint {
                Some(address) => address.replacen("joint?", "joint/lay.svg?", 1),
                None => format!("/orders/{}/{}/lay.svg", whole.order.number, garment.letter),
            },
            lays,
            days: order_draft::due(whole, garment, desk)
                .into_iter()
                .map(|(task, by)| (task, format!("by {}", desk.day(by)), by < desk.today))
                .collect(),
        })
    }
}

/// An accepted lay of a garment.
pub struct AcceptedView {
    /// Of which cloth, who accepted it and when; or why it fits no more.
    pub words: String,
    /// Whether it fits no more.
    pub outdated: bool,
    /// Where the joint lay is, when it is one.
    pub joint: Option<String>,
}

/// The accepted lays in words; drafted only for a garment that has one.
fn accepted_lays(
    book: &Reader,
    page: &GarmentPage,
    body: &Body,
    looked_over: &LookedOver,
    desk: &Desk,
) -> Result<Vec<AcceptedView>, Fault> {
    let Some(style) = page.style.as_ref().filter(|_| !page.lays.is_empty()) else { return Ok(Vec::new()) };
    let Ok(draft) = order_draft::draft_of(&page.garment.facts, style, body, desk) else { return Ok(Vec::new()) };
    let mut views = Vec::new();
    for (cloth, kept) in KeptLay::all(book, page.lays.clone())? {
        let of = match cloth {
            ClothOf::Main => "",
            ClothOf::Lining => "Lining: ",
            ClothOf::Interfacing => "Interfacing: ",
        };
        views.extend(match lay_shown::standing(&draft, &page.garment, &kept, looked_over, desk) {
            LayStanding::First => None,
            LayStanding::Accepted(words) => {
                Some(AcceptedView { words: format!("{of}{words}."), outdated: false, joint: None })
            }
            LayStanding::Joint(words, address) => {
                Some(AcceptedView { words: format!("{of}{words}."), outdated: false, joint: Some(address) })
            }
            LayStanding::Outdated(words) => {
                Some(AcceptedView { words: format!("{of}{words}"), outdated: true, joint: None })
            }
        });
    }
    Ok(views)
}

/// What a careful hand would ask before this step; nothing is refused.
fn before(next: Stage, whole: &OrderPage, page: &GarmentPage, desk: &Desk) -> Vec<String> {
    let mut words = Vec::new();
    let account = whole.account;
    if next == Stage::Cut && account.paid.minor() <= 0 && account.due.minor() > 0 {
        words.push("No deposit was taken yet. The rule of the house is: no cutting before it.".into());
    }
    if next == Stage::Cut && page.garment.facts.set.is_none() && page.style.is_some() {
        words.push("No measures are pinned to this garment. Measure before cutting.".into());
    }
    if next == Stage::Collected && account.balance().minor() > 0 {
        words.push(format!("{} is still to pay.", desk.money(account.balance())));
    }
    words
}

fn rows(garment: &Garment, page: &GarmentPage, desk: &Desk, figure: &[String]) -> Vec<(&'static str, String)> {
    let facts = &garment.facts;
    let mut rows = Vec::new();
    let mut add = |what: &'static str, words: String| {
        if !words.is_empty() {
            rows.push((what, words));
        }
    };
    add("Figure", figure.join(", "));
    add("On fit", page.wearer.facts.fit_notes.clone());
    add("Style", page.style.as_ref().map(|version| version.label.clone()).unwrap_or_default());
    add("Neck", facts.agreed.neck.clone());
    add("Sleeve", facts.agreed.sleeve.clone());
    add("Opening", facts.agreed.opening.clone());
    add("As agreed", facts.agreed.other.clone());
    add("Cloth", cloth(garment, desk));
    if page.style.is_some() || facts.fittings > 0 {
        add("Fittings", facts.fittings.to_string());
    }
    add("Work", facts.minutes.map(minutes).unwrap_or_default());
    add("Bag", facts.bag.clone());
    add("Place", facts.place.clone());
    rows
}

fn cloth(garment: &Garment, desk: &Desk) -> String {
    let cloth = &garment.facts.cloth;
    let mut parts = vec![cloth.words.clone()];
    parts.extend(cloth.width.map(|width| format!("{} wide", desk.length(width))));
    let sold = |length: &Length| super::writing::true_fractions(&garment_form::sold_length(*length, desk));
    parts.extend(cloth.length.map(|length| {
        let have = if cloth.brought { "client brought" } else { "have" };
        format!("{have} {}", sold(&length))
    }));
    if !cloth.lengths.is_empty() {
        let further: Vec<String> = cloth.lengths.iter().map(sold).collect();
        parts.push(format!("further lengths {}", further.join(" and ")));
    }
    if garment.stage == Stage::Booked {
        parts.extend(cloth.comes.map(|day| format!("comes {}", desk.day(day))));
    }
    parts.push(match cloth.washed {
        Some(true) => "washed".into(),
        Some(false) => "not washed yet".into(),
        None => String::new(),
    });
    if cloth.one_way() {
        parts.push(cloth.nap.words().into());
    }
    let repeat = |repeat: Option<Length>, way: &str| repeat.map(|nm| format!("repeat {} {way}", desk.length(nm)));
    parts.extend(repeat(cloth.repeat_along, "along"));
    parts.extend(repeat(cloth.repeat_across, "across"));
    if cloth.turns_over {
        parts.push("may be turned wrong side up".into());
    }
    parts.extend(cloth.skew.map(|skew| format!("{} lost at each end", desk.length(skew))));
    parts.extend(cloth.spare.as_ref().map(|spare| format!("{} spare", sold(spare))));
    if !cloth.flaws.is_empty() {
        parts.push(format!("flaws: {}", cloth.flaws));
    }
    parts.extend(cloth.price.map(|price| format!("{} {}", desk.money(price), cloth.priced_by.words())));
    parts.retain(|part| !part.is_empty());
    parts.join(", ")
}

fn minutes(work: WorkMinutes) -> String {
    let mut parts = vec![format!("cut {}", hours(work.cut)), format!("sew {}", hours(work.sew))];
    if work.fit > 0 {
        parts.push(format!("fit {}", hours(work.fit)));
    }
    parts.push(format!("finish {}", hours(work.finish)));
    parts.join(", ")
}

fn hours(minutes: u32) -> String {
    if minutes < 60 { format!("{minutes} min") } else { format!("{} h", super::hours::text(minutes)) }
}

/// A set that was taken after the pinned one, unless the garment is cut already.
fn newer(book: &Reader, page: &GarmentPage, desk: &Desk) -> Result<Option<(i64, String)>, Fault> {
    let facts = &page.garment.facts;
    let Some(newest) = page.newest_set.filter(|newest| facts.set != Some(*newest)) else { return Ok(None) };
    if page.style.is_none() || page.garment.stage == Stage::Collected {
        return Ok(None);
    }
    let day = |set: SetId| book.set(set).map(|set| desk.day(set.facts.day));
    let words = match facts.set {
        None => format!("{} was measured on {}.", page.wearer.called(), day(newest)?),
        Some(pinned) => {
            format!("Drafted from the measures of {}; newer ones of {} are there.", day(pinned)?, day(newest)?)
        }
    };
    Ok(Some((newest.get(), words)))
}
