//! Fitting: measure now. What the ordered style needs comes first; what does not
//! go together is said and kept all the same.

use askama::Template;
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::{Html, IntoResponse, Redirect, Response};

use crate::shop::{Body, Client, ClientId, GarmentId, SetId, Source};
use crate::store::{Reader, StoreError};

use super::desk::Desk;
use super::fault::{Fault, render};
use super::fields::{Field, Fields, Notes};
use super::fitting_form::{self, Entries};
use super::frame::{Frame, Here};
use super::length_entry::LengthEntry;
use super::order_draft;
use super::path;
use super::state::App;

#[derive(Template)]
#[template(path = "fitting.html")]
struct Page {
    frame: Frame,
    id: i64,
    called: String,
    purpose: String,
    garment: String,
    key: String,
    wrongs: usize,
    hints: Vec<String>,
    day: Field,
    over: Field,
    source: Field,
    sources: Vec<(String, String)>,
    first_words: String,
    first: Vec<LengthEntry>,
    rest: Vec<LengthEntry>,
    open_rest: bool,
    finished: Vec<LengthEntry>,
    open_finished: bool,
    figure: Vec<(&'static str, &'static str, bool)>,
    figure_note: Option<String>,
    figure_other: Field,
    note: Field,
}

/// What a fitting starts from.
struct Before {
    client: Client,
    body: Body,
    /// The garment that is measured for: its number, its words, what its style needs.
    garment: Option<(GarmentId, String, Vec<String>)>,
}

/// The form.
///
/// # Errors
/// [`Fault::NotFound`] without such a client or garment.
pub async fn show(State(app): State<App>, Path(id): Path<String>, fields: Fields) -> Result<Response, Fault> {
    let id = path::client(&id)?;
    app.read(move |book, desk| {
        let before = before(book, id, &fields)?;
        let mut pairs = vec![
            ("day".to_string(), desk.today.to_string()),
            ("source".to_string(), Source::Tape.key().to_string()),
            // Made here, so that a fitting which is sent twice is kept once.
            ("key".to_string(), format!("{id}-{}", desk.now_ms)),
            ("garment".to_string(), fields.raw("garment").to_string()),
        ];
        pairs.extend(fitting_form::figure_typed(&before.body));
        Ok(page(StatusCode::OK, desk, &before, &Fields::of(pairs), &Notes::default()))
    })
    .await
}

/// Keeps a set of measures.
///
/// # Errors
/// [`Fault::NotFound`] without such a client or garment; a [`Fault`] when it cannot be kept.
pub async fn keep(State(app): State<App>, Path(id): Path<String>, fields: Fields) -> Result<Response, Fault> {
    let id = path::client(&id)?;
    let sent = fields.clone();
    let read = app
        .read(move |book, desk| {
            let before = before(book, id, &sent)?;
            let garment = before.garment.as_ref().map(|(garment, _, _)| *garment);
            Ok(match fitting_form::read(&sent, id, garment, desk) {
                Ok(facts) => Ok(facts),
                Err(notes) => Err(page(StatusCode::UNPROCESSABLE_ENTITY, desk, &before, &sent, &notes)),
            })
        })
        .await?;
    let facts = match read {
        Ok(facts) => facts,
        Err(page) => return Ok(page),
    };
    let garment = facts.garment;
    let key = fields.text("key").to_string();
    let set = app
        .write("measured a client", move |book, desk| {
            let set = if key.is_empty() { book.add_set(&facts)? } else { book.finish_fitting(&key, &facts)? };
            if let Some(garment) = garment {
                order_draft::pin(book, desk, garment, set, None)?;
            }
            Ok::<SetId, StoreError>(set)
        })
        .await?;
    let to = match path::garment(fields.raw("garment")) {
        Some((order, letter)) => format!("/orders/{order}?measured={set}#{letter}"),
        None => format!("/clients/{id}?measured={set}"),
    };
    Ok(Redirect::to(&to).into_response())
}

#[derive(Template)]
#[template(
    source = "{% for words in hints %}<span class=\"check\"><strong>Check the tape.</strong> {{ words }}</span>{% endfor %}",
    ext = "html"
)]
struct Doubts {
    hints: Vec<String>,
}

/// What does not go together in what was typed so far; a script asks for it. Writes nothing.
///
/// # Errors
/// [`Fault::NotFound`] without such a client.
pub async fn check(State(app): State<App>, Path(id): Path<String>, fields: Fields) -> Result<Response, Fault> {
    let id = path::client(&id)?;
    app.read(move |book, desk| {
        let client = book.client(id)?;
        let body = book.body(id, None)?;
        let readings = fitting_form::readings(&fields, Source::Tape, desk, &mut Notes::default());
        let hints = fitting_form::doubts(&readings, &body, client.facts.wearer, desk);
        let hints = hints.into_iter().map(|hint| super::writing::true_fractions(&hint.text)).collect();
        Doubts { hints }.render().map(|html| Html(html).into_response()).map_err(|why| Fault::Broken(why.to_string()))
    })
    .await
}

fn before(book: &Reader, id: ClientId, fields: &Fields) -> Result<Before, Fault> {
    let client = book.client(id)?;
    let body = book.body(id, None)?;
    let garment = match path::garment(fields.raw("garment")) {
        None => None,
        Some((number, letter)) => Some(order_draft::measured_for(book, id, number, letter)?),
    };
    Ok(Before { client, body, garment })
}

fn page(status: StatusCode, desk: &Desk, before: &Before, fields: &Fields, notes: &Notes) -> Response {
    let needs = before.garment.as_ref().map(|(_, _, needs)| needs.as_slice()).unwrap_or_default();
    let Entries { first, rest, finished } = fitting_form::entries(desk, needs, &before.body, fields, notes);
    let field = |name: &str| fitting_form::field(name, fields, notes);
    let touched = |entries: &[LengthEntry]| entries.iter().any(|entry| entry.note.is_some() || !entry.value.is_empty());
    let readings = fitting_form::readings(fields, Source::Tape, desk, &mut Notes::default());
    let doubts = fitting_form::doubts(&readings, &before.body, before.client.facts.wearer, desk);
    let called = before.client.called().to_string();
    let page = Page {
        frame: desk.frame(format!("Measure {called}"), Here::Clients),
        id: before.client.id.get(),
        called,
        purpose: match &before.garment {
            Some((_, what, _)) => format!("For {what}. Write only what you take; what was taken before stays."),
            None => "Write only what you take; what was taken before stays.".into(),
        },
        garment: fields.raw("garment").into(),
        key: fields.raw("key").into(),
        wrongs: notes.count(),
        hints: doubts.into_iter().map(|hint| super::writing::true_fractions(&hint.text)).collect(),
        day: field("day"),
        over: field("over"),
        source: field("source"),
        sources: fitting_form::sources(),
        first_words: if needs.is_empty() { "Measures".into() } else { "Needed for this style".into() },
        open_rest: touched(&rest),
        open_finished: touched(&finished),
        first,
        rest,
        finished,
        figure: fitting_form::figure(fields),
        figure_note: notes.at("figure").map(Into::into),
        figure_other: field("figure_other"),
        note: field("note"),
    };
    render(status, &page)
}
