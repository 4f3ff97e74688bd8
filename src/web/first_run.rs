//! First run: three questions, then the shop is open.

use askama::Template;
use axum::extract::State;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use chrono_tz::Tz;

use crate::measure::Showing;
use crate::shop::{Currency, Money, SellingStep, Settings, SheetSize};

use super::fault::{Fault, render};
use super::fields::{Field, Fields, Notes};
use super::frame::{Frame, Here};
use super::hours;
use super::state::App;

#[derive(Template)]
#[template(path = "first_run.html")]
struct Page {
    frame: Frame,
    wrongs: usize,
    shop_name: Field,
    showing: Field,
    currency: Field,
    zone: Field,
    hours: Vec<(Field, &'static str)>,
}

/// What the three questions give.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Answers {
    shop_name: String,
    showing: Showing,
    currency: Currency,
    zone: Option<Tz>,
    minutes: [u32; 7],
}

impl Answers {
    /// Reads the answers.
    ///
    /// # Errors
    /// A note for each field that needs another text.
    pub fn read(fields: &Fields) -> Result<Answers, Notes> {
        let mut notes = Notes::default();
        let shop_name = notes.line(fields, "shop_name");
        if shop_name.is_empty() {
            notes.add("shop_name", "Write the name over the door, or your own.");
        }
        let showing = showing_of(fields.text("showing"));
        if showing.is_none() {
            notes.add("showing", "Choose how the tape is read.");
        }
        let currency = notes.take("currency", Currency::new(fields.text("currency")));
        let minutes = hours::read(fields, &mut notes);
        // Filled in by a script where one runs; nobody is asked for it here.
        let zone = fields.text("zone").parse().ok();
        match (showing, currency, notes.is_empty()) {
            (Some(showing), Some(currency), true) => Ok(Answers { shop_name, showing, currency, zone, minutes }),
            _ => Err(notes),
        }
    }

    /// The settings of a shop that gave these answers.
    #[must_use]
    pub fn settings(self, before: Settings) -> Settings {
        let metric = self.showing == Showing::MILLIMETRES;
        Settings {
            opened: true,
            shop_name: self.shop_name,
            showing: self.showing,
            currency: self.currency,
            zone: self.zone.map_or(before.zone, |zone| zone.name().into()),
            minutes: self.minutes,
            hour_rate: Money::nought(self.currency),
            // Who measures in centimetres buys by them, and prints on A4.
            selling_step: if metric { SellingStep::TenCentimetres } else { SellingStep::QuarterYard },
            sheet: SheetSize::A4,
            ..before
        }
    }
}

/// The choices of how the tape is read: key and words.
pub const SHOWINGS: [(&str, &str); 3] =
    [("eighths", "Inches and eighths"), ("sixteenths", "Inches and sixteenths"), ("millimetres", "Centimetres")];

/// The way of showing of this key.
#[must_use]
pub fn showing_of(key: &str) -> Option<Showing> {
    match key {
        "eighths" => Some(Showing::EIGHTHS),
        "sixteenths" => Some(Showing::SIXTEENTHS),
        "millimetres" => Some(Showing::MILLIMETRES),
        _ => None,
    }
}

/// The key of this way of showing.
#[must_use]
pub fn showing_key(showing: Showing) -> &'static str {
    match showing {
        Showing::MILLIMETRES => "millimetres",
        Showing::SIXTEENTHS => "sixteenths",
        _ => "eighths",
    }
}

/// The three questions.
///
/// # Errors
/// A [`Fault`] when the settings cannot be read.
pub async fn show(State(app): State<App>) -> Result<Response, Fault> {
    let settings = app.settings_before().await?;
    if settings.opened {
        return Ok(Redirect::to("/").into_response());
    }
    let mut pairs = vec![("showing".to_string(), "eighths".to_string())];
    pairs.extend(hours::typed(&settings.minutes));
    Ok(page(StatusCode::OK, &Fields::of(pairs), &Notes::default()))
}

/// Takes the answers and opens the shop.
///
/// # Errors
/// A [`Fault`] when the answers cannot be kept.
pub async fn answer(State(app): State<App>, fields: Fields) -> Result<Response, Fault> {
    let answers = match Answers::read(&fields) {
        Ok(answers) => answers,
        Err(notes) => return Ok(page(StatusCode::UNPROCESSABLE_ENTITY, &fields, &notes)),
    };
    app.open_shop(answers).await?;
    Ok(Redirect::to("/").into_response())
}

fn page(status: StatusCode, fields: &Fields, notes: &Notes) -> Response {
    let field = |name: &str| Field::sent(name, fields, notes);
    render(
        status,
        &Page {
            frame: Frame::new("Open the shop", "", Here::Nowhere),
            wrongs: notes.count(),
            shop_name: field("shop_name"),
            showing: field("showing"),
            currency: field("currency"),
            zone: field("zone"),
            hours: hours::rows(fields, notes),
        },
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_empty_form_gets_a_note_for_each_question() {
        let notes = Answers::read(&Fields::default()).unwrap_err();
        for field in ["shop_name", "showing", "currency", "hours.0"] {
            assert!(notes.at(field).is_some(), "{field}");
        }
    }
}
