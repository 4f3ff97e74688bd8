//! Fittings of an order: arranged for a day, held, missed or called off.

use chrono::{NaiveDate, NaiveTime};

use crate::shop::{Fitting, FittingFacts, FittingState, GarmentId, OrderId, Stage};
use crate::store::{GarmentPage, OrderPage};

use super::desk::Desk;
use super::fields::{Field, Fields, Notes};
use super::order::Returned;

/// Fittings on the order's page.
pub struct FittingsView {
    /// Those that were arranged.
    pub lines: Vec<FittingLine>,
    /// The day of a new one.
    pub day: Field,
    /// Its time.
    pub time: Field,
    /// The garments it may be for.
    pub garments: Vec<(String, String)>,
    /// The garment chosen.
    pub garment: Field,
    /// How many fields need another look.
    pub wrongs: usize,
}

/// One fitting.
pub struct FittingLine {
    /// Its id.
    pub id: i64,
    /// Counts the edits that the page saw.
    pub version: i64,
    /// When, and for what.
    pub words: String,
    /// What became of it.
    pub state: &'static str,
    /// Whether it is still to come or to be ticked off.
    pub is_arranged: bool,
    /// Where corrections that it showed are noted: address and words, one for each garment fitted.
    pub corrections: Vec<(String, String)>,
    /// Whether its day is past and nobody said what became of it.
    pub is_overdue: bool,
}

/// Half an hour for a fitting: judgement.
const USUAL_MINUTES: u32 = 30;

impl FittingsView {
    /// The fittings of an order.
    #[must_use]
    pub fn of(whole: &OrderPage, desk: &Desk, sent: Option<&Returned>) -> FittingsView {
        let none = (Fields::default(), Notes::default());
        let (fields, notes) =
            sent.filter(|sent| sent.form == "fitting").map_or((&none.0, &none.1), |sent| (&sent.fields, &sent.notes));
        let mut garments = vec![(String::new(), "all garments".to_string())];
        garments.extend(whole.garments.iter().filter(|page| !page.garment.cancelled).map(|page| {
            (page.garment.id.to_string(), format!("{} · {}", page.garment.letter, page.garment.facts.what))
        }));
        let field = |name: &str| Field::sent(name, fields, notes);
        FittingsView {
            lines: whole.fittings.iter().map(|fitting| line(fitting, whole, desk)).collect(),
            day: field("fitting_day"),
            time: field("fitting_time"),
            garments,
            garment: field("fitting_garment"),
            wrongs: notes.count(),
        }
    }
}

fn line(fitting: &Fitting, whole: &OrderPage, desk: &Desk) -> FittingLine {
    let facts = &fitting.facts;
    let time = facts.time.map(|time| time.format(", %H:%M").to_string()).unwrap_or_default();
    let letter = facts.garment.and_then(|id| whole.garments.iter().find(|page| page.garment.id == id));
    let letter = letter.map(|page| format!(", {}", page.garment.letter)).unwrap_or_default();
    let is_arranged = facts.state == FittingState::Arranged;
    FittingLine {
        id: fitting.id.get(),
        version: fitting.version,
        words: format!("{}{time}{letter}", desk.day(facts.day)),
        state: facts.state.words(),
        is_arranged,
        corrections: corrections(fitting, whole, desk),
        is_overdue: is_arranged && facts.day < desk.today,
    }
}

/// Corrections are noted while the client is here or afterwards.
fn corrections(fitting: &Fitting, whole: &OrderPage, desk: &Desk) -> Vec<(String, String)> {
    let facts = &fitting.facts;
    let came = match facts.state {
        FittingState::Arranged => facts.day <= desk.today,
        state => state == FittingState::Held,
    };
    let fitted = |page: &&GarmentPage| {
        let is_fitted = match facts.garment {
            Some(id) => id == page.garment.id,
            None => page.garment.facts.fittings > 0,
        };
        is_fitted && !page.garment.cancelled && page.garment.stage < Stage::Collected
    };
    let pages: Vec<&GarmentPage> = whole.garments.iter().filter(|_| came).filter(fitted).collect();
    let only = pages.len() == 1;
    pages
        .into_iter()
        .map(|page| {
            let (wearer, letter) = (page.garment.facts.wearer, page.garment.letter);
            let address =
                format!("/clients/{wearer}/corrections?garment={}/{letter}&fitting={}", whole.order.number, fitting.id);
            (address, if only { "Corrections".into() } else { format!("Corrections of {letter}") })
        })
        .collect()
}

/// Reads a fitting to be arranged.
///
/// # Errors
/// A note for each field that needs another text.
pub fn read(fields: &Fields, order: OrderId, known: &[GarmentId], desk: &Desk) -> Result<FittingFacts, Notes> {
    let mut notes = Notes::default();
    let day = fields.text("fitting_day").parse::<NaiveDate>().ok();
    match day {
        None => {
            notes.add("fitting_day", format!("“{}” is no day. Write it as 2026-05-03.", fields.text("fitting_day")))
        }
        Some(day) if day < desk.today => {
            notes.add("fitting_day", format!("{} is past. Arrange a day from today on.", desk.day(day)))
        }
        Some(_) => (),
    }
    let time = fields.filled("fitting_time").and_then(|text| {
        let time = NaiveTime::parse_from_str(text, "%H:%M").ok();
        if time.is_none() {
            notes.add("fitting_time", format!("“{text}” is no time. Write it as 14:30, or leave it empty."));
        }
        time
    });
    let garment = fields.filled("fitting_garment").and_then(|text| {
        let garment = text.parse().ok().map(GarmentId::new).filter(|id| known.contains(id));
        if garment.is_none() {
            notes.add("fitting_garment", "Choose a garment of this order.");
        }
        garment
    });
    match (day, notes.is_empty()) {
        (Some(day), true) => Ok(FittingFacts {
            order,
            garment,
            day,
            time,
            minutes: USUAL_MINUTES,
            state: FittingState::Arranged,
            note: String::new(),
        }),
        _ => Err(notes),
    }
}
