//! The versions of a style: none is ever changed or lost; an older one can be taken again,
//! and each can be saved as a file.

use askama::Template;
use axum::extract::{Path, State};
use axum::http::{HeaderValue, StatusCode, header};
use axum::response::{IntoResponse, Redirect, Response};

use crate::shop::{Style, StyleSource, StyleVersion};
use crate::store::Reader;

use super::desk::Desk;
use super::drawing::Drawing;
use super::fault::{Fault, render};
use super::fields::Fields;
use super::frame::{Frame, Here};
use super::path;
use super::state::App;
use super::style_picture;

#[derive(Template)]
#[template(path = "style_versions.html")]
struct List {
    frame: Frame,
    key: String,
    label: String,
    edits: i64,
    lines: Vec<VersionLine>,
}

/// A version in the list.
pub struct VersionLine {
    /// First, second, …
    pub number: u32,
    /// The words for the style in it.
    pub label: String,
    /// From whom and when.
    pub words: String,
    /// What was changed.
    pub note: String,
    /// Whether new orders take it.
    pub in_use: bool,
    /// Whether the book brought it while the shop's own was in use.
    pub waits: bool,
}

#[derive(Template)]
#[template(path = "style_version.html")]
struct One {
    frame: Frame,
    key: String,
    edits: i64,
    in_use: u32,
    line: VersionLine,
    drawing: Option<Drawing>,
    text: String,
}

/// The version of this number.
///
/// # Errors
/// [`Fault::NotFound`] when there is none.
pub fn numbered(book: &Reader, key: &str, number: &str) -> Result<StyleVersion, Fault> {
    let number: u32 = number.parse().map_err(|_| Fault::NotFound("version"))?;
    let found = book.style_versions(key)?.into_iter().find(|version| version.number == number);
    found.ok_or(Fault::NotFound("version"))
}

/// All versions of a style, the newest first.
///
/// # Errors
/// [`Fault::NotFound`] without such a style.
pub fn lines(book: &Reader, style: &Style, desk: &Desk) -> Result<Vec<VersionLine>, Fault> {
    book.style_versions(&style.key)?.iter().map(|version| line(book, style, version, desk)).collect()
}

fn line(book: &Reader, style: &Style, version: &StyleVersion, desk: &Desk) -> Result<VersionLine, Fault> {
    let day = desk.day(desk.day_of(version.at_ms));
    let words = match version.source {
        StyleSource::Book => format!("from the book, edition {}, {day}", version.edition),
        StyleSource::Own => format!("our own, by {}, {day}", book.person(version.who)?.name),
    };
    Ok(VersionLine {
        number: version.number,
        label: version.label.clone(),
        words,
        note: version.note.clone(),
        in_use: version.id == style.current.id,
        waits: style.newer_in_book == Some(version.id),
    })
}

/// The list.
///
/// # Errors
/// [`Fault::NotFound`] without such a style.
pub async fn list(State(app): State<App>, Path(key): Path<String>) -> Result<Response, Fault> {
    app.read(move |book, desk| {
        let style = book.style(&key)?;
        let page = List {
            frame: desk.frame(format!("Versions of {}", style.current.label), Here::Styles),
            lines: lines(book, &style, desk)?,
            key,
            label: style.current.label,
            edits: style.version,
        };
        Ok(render(StatusCode::OK, &page))
    })
    .await
}

/// One version: its picture and its text.
///
/// # Errors
/// [`Fault::NotFound`] without such a style or version.
pub async fn one(State(app): State<App>, Path((key, number)): Path<(String, String)>) -> Result<Response, Fault> {
    app.read(move |book, desk| {
        let style = book.style(&key)?;
        let version = numbered(book, &key, &number)?;
        let page = One {
            frame: desk.frame(format!("{}, version {}", version.label, version.number), Here::Styles),
            edits: style.version,
            in_use: style.current.number,
            line: line(book, &style, &version, desk)?,
            drawing: style_picture::of(&version, desk),
            text: version.text,
            key,
        };
        Ok(render(StatusCode::OK, &page))
    })
    .await
}

/// Makes a version the one that new orders take.
///
/// # Errors
/// [`Fault::NotFound`] without such a version; a [`Fault`] when somebody changed the style since.
pub async fn choose(
    State(app): State<App>,
    Path((key, number)): Path<(String, String)>,
    fields: Fields,
) -> Result<Response, Fault> {
    let edits = path::version(&fields)?;
    let (style, version) = app
        .read({
            let key = key.clone();
            move |book, _| Ok((book.style(&key)?.id, numbered(book, &key, &number)?.id))
        })
        .await?;
    app.write("chose a version of a style", move |book, _| book.choose_style_version(style, edits, version)).await?;
    Ok(Redirect::to(&format!("/styles/{key}?kept=1")).into_response())
}

/// Offers a style to new orders no longer, or again.
///
/// # Errors
/// [`Fault::NotFound`] without such a style; a [`Fault`] when somebody changed it since.
pub async fn retire(State(app): State<App>, Path(key): Path<String>, fields: Fields) -> Result<Response, Fault> {
    let edits = path::version(&fields)?;
    let retired = fields.text("retired") == "1";
    let style = app
        .read({
            let key = key.clone();
            move |book, _| Ok(book.style(&key)?.id)
        })
        .await?;
    let words = if retired { "put a style away" } else { "took a style out again" };
    app.write(words, move |book, _| book.retire_style(style, edits, retired)).await?;
    Ok(Redirect::to(&format!("/styles/{key}")).into_response())
}

/// A version as a file, `wrap_skirt.style.toml`; the one in use unless another is asked for.
///
/// # Errors
/// [`Fault::NotFound`] without such a style or version.
pub async fn file(State(app): State<App>, Path(key): Path<String>, query: Fields) -> Result<Response, Fault> {
    let (key, text) = app
        .read(move |book, _| {
            let style = book.style(&key)?;
            let text = match query.filled("version") {
                None => style.current.text,
                Some(number) => numbered(book, &key, number)?.text,
            };
            Ok((style.key, text))
        })
        .await?;
    let mut response = ([(header::CONTENT_TYPE, "application/toml; charset=utf-8")], text).into_response();
    // A key holds small letters, digits and _ alone, so it is safe as the name of a file.
    if let Ok(named) = HeaderValue::from_str(&format!("attachment; filename=\"{key}.style.toml\"")) {
        response.headers_mut().insert(header::CONTENT_DISPOSITION, named);
    }
    Ok(response)
}
