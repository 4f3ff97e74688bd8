//! Editing a style: the text with its preview on a chosen body. What is kept becomes the
//! style's next version; what is only looked at is written nowhere.

use askama::Template;
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};

use crate::draft::Style as Rules;
use crate::shop::{BookText, Style};
use crate::store::{Reader, Sent};

use super::desk::Desk;
use super::fault::{Fault, render};
use super::fields::{Field, Fields, MOST_IN_LINE, Notes};
use super::frame::{Frame, Here};
use super::path;
use super::state::App;
use super::style_body::{Choosing, On};
use super::style_preview::Preview;

#[derive(Template)]
#[template(path = "style_edit.html")]
struct Page {
    frame: Frame,
    key: String,
    label: String,
    /// The number of the version that is in use.
    number: u32,
    /// The number that what is kept will have: one above all there are, also when an older one is in use.
    next: u32,
    /// Which edit of the style the page saw.
    edits: i64,
    /// The text in the box.
    text: String,
    note: Field,
    /// Why it was not kept.
    refused: Option<String>,
    /// Whether it may be kept although it does not sew or draft on this body.
    may_insist: bool,
    choosing: Choosing,
    preview: Preview,
    /// While the text gives no draft: the version in use, so that a drawing stays.
    before: Option<Preview>,
}

/// What was sent, or the text in use.
struct Sheet {
    edits: i64,
    text: String,
    refused: Option<String>,
    may_insist: bool,
}

/// What the page needs from the book; the drafting is done after the reading, so that a text
/// that takes long keeps nobody from the book.
struct Seen {
    style: Style,
    next: u32,
    on: On,
    choosing: Choosing,
    desk: Desk,
}

fn seen(book: &Reader, desk: &Desk, key: &str, fields: &Fields) -> Result<Seen, Fault> {
    let (on, choosing) = On::asked(book, fields)?;
    let style = book.style(key)?;
    let newest = book.style_versions(key)?.iter().map(|version| version.number).max();
    let next = newest.unwrap_or(style.current.number).saturating_add(1);
    Ok(Seen { style, next, on, choosing, desk: desk.clone() })
}

/// The text that is in use, or that of an older version.
///
/// # Errors
/// [`Fault::NotFound`] without such a style or version.
pub async fn show(State(app): State<App>, Path(key): Path<String>, query: Fields) -> Result<Response, Fault> {
    let (seen, text, query) = app
        .read(move |book, desk| {
            let seen = seen(book, desk, &key, &query)?;
            let text = match query.filled("from") {
                None => seen.style.current.text.clone(),
                Some(number) => super::style_versions::numbered(book, &key, number)?.text,
            };
            Ok((seen, text, query))
        })
        .await?;
    app.think(move || {
        let sheet = Sheet { edits: seen.style.version, text, refused: None, may_insist: false };
        Ok(page(seen, StatusCode::OK, &query, sheet))
    })
    .await
}

/// Tries the text or keeps it as the next version.
///
/// # Errors
/// [`Fault::NotFound`] without such a style; a [`Fault`] when it cannot be kept.
pub async fn answer(State(app): State<App>, Path(key): Path<String>, fields: Fields) -> Result<Response, Fault> {
    let edits = path::version(&fields)?;
    let text = fields.raw("text").replace("\r\n", "\n");
    let before = app
        .read({
            let (key, fields) = (key.clone(), fields.clone());
            move |book, desk| seen(book, desk, &key, &fields)
        })
        .await?;
    let is_to_keep = fields.text("do") == "keep";
    let tried = app
        .think({
            let (fields, text) = (fields.clone(), text.clone());
            move || {
                // A look at a text with a fault did what was asked: it told the fault.
                let (status, why) = if is_to_keep {
                    match why_not(&before, &fields, &text) {
                        Ok(label) => return Ok(Tried::Fit { label }),
                        Err((words, may_insist)) => (StatusCode::UNPROCESSABLE_ENTITY, Some((words, may_insist))),
                    }
                } else {
                    (StatusCode::OK, None)
                };
                let may_insist = why.as_ref().is_some_and(|(_, may)| *may);
                let sheet = Sheet { edits, text, refused: why.map(|(words, _)| words), may_insist };
                Ok(Tried::Shown(page(before, status, &fields, sheet)))
            }
        })
        .await?;
    let label = match tried {
        Tried::Shown(response) => return Ok(response),
        Tried::Fit { label } => label,
    };
    let kept = app
        .write_once("edited a style", fields.text("form"), {
            let (key, text, note) = (key.clone(), text.clone(), fields.text("note").to_string());
            move |book, _| {
                let style = book.style(&key)?;
                book.edit_style(style.id, edits, &BookText { key: &key, label: &label, text: &text }, &note)
            }
        })
        .await;
    let words = match kept {
        Ok(Sent::Done(_)) => return Ok(kept_page(&key)),
        Ok(Sent::Before(_)) => "This page was sent before, and what it held then is in use.".into(),
        Err(Fault::Refused(StatusCode::CONFLICT, words)) => words,
        Err(why) => return Err(why),
    };
    let (now, fields) = app.read(move |book, desk| Ok((seen(book, desk, &key, &fields)?, fields))).await?;
    // Sent twice by a double tap: it is kept already.
    if now.style.current.text == text {
        return Ok(kept_page(&now.style.key));
    }
    // What was typed stays; kept once more, it goes on top of what is in use.
    app.think(move || {
        let words = format!("{words} Your text is still here; it goes on top when you keep it once more.");
        let sheet = Sheet { edits: now.style.version, text, refused: Some(words), may_insist: false };
        Ok(page(now, StatusCode::CONFLICT, &fields, sheet))
    })
    .await
}

/// What came of a form.
enum Tried {
    /// The page once more.
    Shown(Response),
    /// The text can be kept, under its own label.
    Fit { label: String },
}

fn kept_page(key: &str) -> Response {
    Redirect::to(&format!("/styles/{key}?kept=1")).into_response()
}

/// The label of a text that can be kept; else why not, and whether it may be insisted on.
fn why_not(seen: &Seen, fields: &Fields, text: &str) -> Result<String, (String, bool)> {
    if fields.text("note").chars().count() > MOST_IN_LINE {
        return Err((format!("The note is longer than {MOST_IN_LINE} letters. Shorten it."), false));
    }
    let rules = Rules::read(text).map_err(|_| ("The text has a fault; put it right first.".to_string(), false))?;
    // The same text on top of a newer version is a wish to have it back.
    let style = &seen.style;
    if style.current.text == text && style.version.to_string() == fields.text("version") {
        return Err((format!("Nothing differs from version {}, which is in use.", style.current.number), false));
    }
    let preview = Preview::of(text, &seen.on, &seen.desk);
    if preview.sews() || !fields.text("anyway").is_empty() {
        return Ok(rules.label().to_string());
    }
    let words = match &preview.drafted {
        Some(_) => format!("On {} it would not sew together: see Checked.", preview.on),
        None => format!("It gives no draft on {}.", preview.on),
    };
    Err((words, true))
}

fn page(seen: Seen, status: StatusCode, fields: &Fields, sheet: Sheet) -> Response {
    let Seen { style, next, on, choosing, desk } = seen;
    let preview = Preview::of(&sheet.text, &on, &desk);
    let has_none = preview.drafted.is_none();
    let before =
        has_none.then(|| Preview::of(&style.current.text, &on, &desk)).filter(|before| before.drafted.is_some());
    let page = Page {
        frame: desk.frame(format!("Edit {}", style.current.label), Here::Styles),
        key: style.key,
        label: style.current.label,
        number: style.current.number,
        next,
        edits: sheet.edits,
        text: sheet.text,
        note: Field::sent("note", fields, &Notes::default()),
        refused: sheet.refused,
        may_insist: sheet.may_insist,
        choosing,
        preview,
        before,
    };
    render(status, &page)
}
