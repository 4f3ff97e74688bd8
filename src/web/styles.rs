//! Style book: what do we make, by which rules? Pictures drawn from the rules; each
//! style drafted for a client or for typed numbers.

use std::collections::BTreeMap;

use askama::Template;
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::Response;

use crate::draft::Correction;
use crate::measure::{Length, dimension, term, within_possible};
use crate::shop::{Body, Client, StyleVersion};
use crate::store::{ClientSearch, Reader};

use super::choices::{self, ChoiceField};
use super::desk::Desk;
use super::draft_view::DraftView;
use super::drawing::Drawing;
use super::fault::{Fault, render};
use super::fields::{Fields, Notes};
use super::frame::{Frame, Here};
use super::length_entry::{self, LengthEntry};
use super::order_draft::{self, Drafted};
use super::path;
use super::state::App;
use super::style_picture;
use super::style_versions::{self, VersionLine};

#[derive(Template)]
#[template(path = "styles.html")]
struct Book {
    frame: Frame,
    styles: Vec<Line>,
    /// Styles that were put away: key and name.
    away: Vec<(String, String)>,
}

struct Line {
    key: String,
    label: String,
    about: String,
    drawing: Option<Drawing>,
}

#[derive(Template)]
#[template(path = "style.html")]
struct Page {
    frame: Frame,
    key: String,
    label: String,
    about: String,
    drawing: Option<Drawing>,
    text: String,
    number: u32,
    edits: i64,
    retired: bool,
    /// Whether it has just been kept.
    kept: bool,
    versions: Vec<VersionLine>,
    /// The number of the book's newer text that waits beside the shop's own.
    newer: Option<u32>,
    who: String,
    found: Vec<(i64, String)>,
    client: Option<(i64, String)>,
    entries: Vec<LengthEntry>,
    assumed: Vec<LengthEntry>,
    choices: Vec<ChoiceField>,
    open_choices: bool,
    wrongs: usize,
    draft: Drafted,
}

impl Page {
    fn has_aside(&self) -> bool {
        self.choices.iter().any(|choice| choice.aside)
    }
}

/// The book.
///
/// # Errors
/// A [`Fault`] when the book cannot be read.
pub async fn show(State(app): State<App>) -> Result<Response, Fault> {
    app.read(|book, desk| {
        let (away, offered): (Vec<_>, Vec<_>) = book.styles()?.into_iter().partition(|style| style.retired);
        let styles = offered
            .into_iter()
            .map(|style| Line {
                about: order_draft::about(&style.current),
                drawing: style_picture::of(&style.current, desk),
                key: style.key,
                label: style.current.label,
            })
            .collect();
        let away = away.into_iter().map(|style| (style.key, style.current.label)).collect();
        Ok(render(StatusCode::OK, &Book { frame: desk.frame("Style book", Here::Styles), styles, away }))
    })
    .await
}

/// One style, drafted for whom the address names or for the numbers in it. Writes nothing.
///
/// # Errors
/// [`Fault::NotFound`] without such a style or client.
pub async fn one(State(app): State<App>, Path(key): Path<String>, query: Fields) -> Result<Response, Fault> {
    app.read(move |book, desk| page(book, desk, &key, &query)).await
}

fn page(book: &Reader, desk: &Desk, key: &str, query: &Fields) -> Result<Response, Fault> {
    let style = book.style(key)?;
    let version = &style.current;
    let client = query.filled("client").map(|id| Ok::<Client, Fault>(book.client(path::client(id)?)?)).transpose()?;
    let body = client.as_ref().map(|client| book.body(client.id, None)).transpose()?.unwrap_or_default();
    let who = query.text("who");
    let found = if who.is_empty() {
        Vec::new()
    } else {
        /// As many as one looks through at a glance.
        const MOST: u32 = 8;
        let search = ClientSearch { words: who.into(), limit: MOST, offset: 0 };
        book.clients(&search)?.rows.into_iter().map(|row| (row.client.id.get(), row.client.facts.name)).collect()
    };
    let mut notes = Notes::default();
    let (offered, _) = order_draft::offered(version, &body, desk);
    let (needs, assumes) = order_draft::needs_and_assumes(version);
    let typed = typed(query, desk, &mut notes);
    let standing = order_draft::standing(&body, &typed);
    let mut lengths = body.lengths();
    lengths.extend(typed);
    let chosen = choices::read(&offered, query, &mut notes, desk.showing());
    let asked = client.is_some() || query.starting("m.").next().is_some();
    let draft = match asked && notes.is_empty() {
        true => draft(version, lengths, chosen, standing, desk),
        false => Drafted::None,
    };
    let entries = |keys: &[String]| -> Vec<LengthEntry> {
        keys.iter().map(|key| entry(key, &body, query, &notes, desk)).collect()
    };
    let choices = choices::rows(&offered, query, &notes, desk.showing());
    let page = Page {
        frame: desk.frame(version.label.clone(), Here::Styles),
        key: style.key.clone(),
        label: version.label.clone(),
        about: order_draft::about(version),
        drawing: style_picture::of(version, desk),
        text: version.text.clone(),
        number: version.number,
        edits: style.version,
        retired: style.retired,
        kept: query.text("kept") == "1",
        versions: style_versions::lines(book, &style, desk)?,
        newer: style.newer_in_book.map(|id| book.style_version(id)).transpose()?.map(|newer| newer.number),
        who: who.into(),
        found,
        client: client.map(|client| (client.id.get(), client.called().to_string())),
        entries: entries(&needs),
        assumed: entries(&assumes),
        open_choices: choices::any_to_show(&choices),
        choices,
        wrongs: notes.count(),
        draft,
    };
    let status = if notes.is_empty() { StatusCode::OK } else { StatusCode::UNPROCESSABLE_ENTITY };
    Ok(render(status, &page))
}

fn draft(
    version: &StyleVersion,
    body: BTreeMap<String, Length>,
    chosen: BTreeMap<String, String>,
    standing: Vec<Correction>,
    desk: &Desk,
) -> Drafted {
    match order_draft::typed_draft(version, body, chosen, standing, desk) {
        Ok(draft) => Drafted::Yes(Box::new(DraftView::of(&draft, desk.showing()))),
        Err(why) => Drafted::Not(super::writing::true_fractions(&why)),
    }
}

/// The lengths typed for a draft; what is none is noted.
fn typed(query: &Fields, desk: &Desk, notes: &mut Notes) -> BTreeMap<String, Length> {
    let mut lengths = BTreeMap::new();
    for (key, _) in query.starting("m.") {
        match length_entry::read(query, key, desk.showing()) {
            Ok(None) => (),
            Ok(Some(length)) => match within_possible(key, length) {
                Ok(()) => drop(lengths.insert(key.to_string(), length)),
                Err(why) => notes.add(key, why.text(desk.showing())),
            },
            Err(why) => notes.add(key, why.to_string()),
        }
    }
    lengths
}

fn entry(key: &str, body: &Body, query: &Fields, notes: &Notes, desk: &Desk) -> LengthEntry {
    let row = dimension(key);
    let label = row.map_or_else(|| term(key), |row| row.term.into());
    let mut entry =
        LengthEntry::new(key, &label, row.map_or("", |row| row.how), desk.showing()).sent(query, notes, desk.showing());
    if let Some(value) = body.values.get(key) {
        entry.before =
            format!("{} on {}; leave the box empty to take it", desk.length(value.length), desk.day(value.day));
    }
    entry
}
