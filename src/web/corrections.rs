//! Corrections of a client: noted at a fitting, ended when they no longer hold.

use std::collections::BTreeMap;

use askama::Template;
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};

use crate::shop::{Body, Client, ClientId, CorrectionId, FittingId, Garment};
use crate::store::{Reader, StoreError};

use super::correction_form::{self, Line, Places};
use super::desk::Desk;
use super::fault::{Fault, render};
use super::fields::{Field, Fields, Notes};
use super::frame::{Frame, Here};
use super::order_draft;
use super::path;
use super::standing::StandingLine;
use super::state::App;

#[derive(Template)]
#[template(path = "corrections.html")]
struct Page {
    frame: Frame,
    id: i64,
    called: String,
    purpose: String,
    garment: String,
    fitting: String,
    back: String,
    wrongs: usize,
    day: Field,
    lines: Vec<Line>,
    places: Places,
    standing: Vec<(StandingLine, bool)>,
}

/// What the form is about.
struct About {
    client: Client,
    body: Body,
    /// The garment that is fitted, if one is, with its address.
    garment: Option<(Garment, String)>,
    fitting: Option<FittingId>,
    /// The day of that fitting.
    day: Option<chrono::NaiveDate>,
    places: Places,
}

/// The form: `?garment=2026-0147/B&fitting=3`, both of which may be left out.
///
/// # Errors
/// [`Fault::NotFound`] without such a client, garment or fitting.
pub async fn show(State(app): State<App>, Path(id): Path<String>, query: Fields) -> Result<Response, Fault> {
    let id = path::client(&id)?;
    app.read(move |book, desk| {
        let about = about(book, id, &query)?;
        let day = about.day.unwrap_or(desk.today).min(desk.today);
        let fields = Fields::of(vec![
            ("day".into(), day.to_string()),
            ("garment".into(), query.raw("garment").into()),
            ("fitting".into(), query.raw("fitting").into()),
        ]);
        Ok(page(StatusCode::OK, desk, about, &fields, &Notes::default()))
    })
    .await
}

/// Keeps what was noted.
///
/// # Errors
/// [`Fault::NotFound`] without such a client, garment or fitting; a [`Fault`] when it cannot be kept.
pub async fn keep(State(app): State<App>, Path(id): Path<String>, fields: Fields) -> Result<Response, Fault> {
    let id = path::client(&id)?;
    let sent = fields.clone();
    let read = app
        .read(move |book, desk| {
            let about = about(book, id, &sent)?;
            let on = (about.garment.as_ref().map(|(garment, _)| garment.id), about.fitting);
            Ok(match correction_form::read(&sent, id, on, &about.places, desk) {
                Ok(found) => Ok((found, back(id, &about))),
                Err(notes) => Err(page(StatusCode::UNPROCESSABLE_ENTITY, desk, about, &sent, &notes)),
            })
        })
        .await?;
    let (found, back) = match read {
        Ok(read) => read,
        Err(page) => return Ok(page),
    };
    app.write_once("noted corrections", fields.text("form"), move |book, _| {
        found.iter().try_for_each(|facts| book.add_correction(facts).map(drop))
    })
    .await?;
    Ok(Redirect::to(&back).into_response())
}

/// Ends a correction.
///
/// # Errors
/// [`Fault::NotFound`] without such a correction of this client; a [`Fault`] when it ended before.
pub async fn end(
    State(app): State<App>,
    Path((id, correction)): Path<(String, String)>,
    fields: Fields,
) -> Result<Response, Fault> {
    let id = path::client(&id)?;
    let correction = correction.parse().map(CorrectionId::new).map_err(|_| Fault::NotFound("standing correction"))?;
    let mut notes = Notes::default();
    let reason = notes.line(&fields, "reason");
    if let Some(note) = notes.at("reason") {
        return Err(Fault::Refused(StatusCode::UNPROCESSABLE_ENTITY, note.into()));
    }
    app.write("ended a standing correction", move |book, desk| {
        if book.correction(correction)?.facts.wearer != id {
            return Err(StoreError::Missing { what: "standing correction", which: correction.to_string() });
        }
        book.end_correction(correction, desk.today, &reason)
    })
    .await?;
    Ok(Redirect::to(&format!("/clients/{id}#standing")).into_response())
}

fn about(book: &Reader, id: ClientId, fields: &Fields) -> Result<About, Fault> {
    let client = book.client(id)?;
    let garment = match path::garment(fields.raw("garment")) {
        None => None,
        Some((number, letter)) => {
            let garment = order_draft::garment(book, number, letter)?;
            if garment.facts.wearer != id {
                return Err(Fault::NotFound("garment"));
            }
            Some((garment, format!("/orders/{number}#{letter}")))
        }
    };
    let fitting = match (&garment, fields.filled("fitting")) {
        (Some((garment, _)), Some(asked)) => {
            let all = book.fittings_of(garment.order)?;
            Some(all.into_iter().find(|one| one.id.to_string() == asked).ok_or(Fault::NotFound("fitting"))?)
        }
        _ => None,
    };
    let style = match &garment {
        Some((garment, _)) => garment.facts.style.map(|style| book.style_version(style)).transpose()?,
        None => None,
    };
    let (needs, assumes) = style.as_ref().map(order_draft::needs_and_assumes).unwrap_or_default();
    let first: Vec<String> = needs.into_iter().chain(assumes).collect();
    Ok(About {
        client,
        body: book.body(id, None)?,
        fitting: fitting.as_ref().map(|fitting| fitting.id),
        day: fitting.map(|fitting| fitting.facts.day),
        places: correction_form::places(&first, &book.own_dimensions()?),
        garment,
    })
}

fn back(id: ClientId, about: &About) -> String {
    about.garment.as_ref().map_or_else(|| format!("/clients/{id}#standing"), |(_, address)| address.clone())
}

fn page(status: StatusCode, desk: &Desk, about: About, fields: &Fields, notes: &Notes) -> Response {
    let called = about.client.called().to_string();
    let none = BTreeMap::new();
    let taken = about.garment.as_ref().map_or(&none, |(garment, _)| &garment.facts.corrections);
    let standing = about.body.corrections.iter().filter(|one| one.is_in_force()).map(|one| {
        let drafted = taken.get(&one.id).copied().unwrap_or(false);
        (StandingLine::of(one, &about.body, desk), drafted)
    });
    let page = Page {
        frame: desk.frame(format!("Corrections for {called}"), Here::Clients),
        id: about.client.id.get(),
        purpose: match &about.garment {
            Some((garment, _)) => format!("Seen on {}, for the next garments too.", garment.facts.what),
            None => "Known from elsewhere, for the next garments.".into(),
        },
        called,
        garment: fields.raw("garment").into(),
        fitting: fields.raw("fitting").into(),
        back: back(about.client.id, &about),
        wrongs: notes.count(),
        day: Field::sent("day", fields, notes),
        lines: correction_form::lines(fields, notes, desk),
        standing: standing.collect(),
        places: about.places,
    };
    render(status, &page)
}
