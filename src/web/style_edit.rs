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

/// The text that is in use, or that of an older version.
///
/// # Errors
/// [`Fault::NotFound`] without such a style or version.
pub async fn show(State(app): State<App>, Path(key): Path<String>, query: Fields) -> Result<Response, Fault> {
    app.read(move |book, desk| {
        let style = book.style(&key)?;
        let text = match query.filled("from") {
            None => style.current.text.clone(),
            Some(number) => super::style_versions::numbered(book, &key, number)?.text,
        };
        let sheet = Sheet { edits: style.version, text, refused: None, may_insist: false };
        page(book, desk, StatusCode::OK, &style, &query, sheet)
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
    if fields.text("do") != "keep" {
        return app.read(move |book, desk| again(book, desk, &key, &fields, edits, text, None)).await;
    }
    let (why, name) = app
        .read({
            let (key, fields, text) = (key.clone(), fields.clone(), text.clone());
            move |book, desk| Ok((why_not(book, desk, &key, &fields, &text)?, Rules::read(&text).ok()))
        })
        .await?;
    if why.is_some() {
        return app.read(move |book, desk| again(book, desk, &key, &fields, edits, text, why)).await;
    }
    let label = name.map(|rules| rules.label().to_string()).unwrap_or_default();
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
    app.read(move |book, desk| {
        let style = book.style(&key)?;
        // Sent twice by a double tap: it is kept already.
        if style.current.text == text {
            return Ok(kept_page(&key));
        }
        // What was typed stays; kept once more, it goes on top of what is in use.
        let words = format!("{words} Your text is still here; it goes on top when you keep it once more.");
        let sheet = Sheet { edits: style.version, text, refused: Some(words), may_insist: false };
        page(book, desk, StatusCode::CONFLICT, &style, &fields, sheet)
    })
    .await
}

fn kept_page(key: &str) -> Response {
    Redirect::to(&format!("/styles/{key}?kept=1")).into_response()
}

/// Why the text is not kept as it is, and whether it may be insisted on.
type Refusal = Option<(String, bool)>;

fn why_not(book: &Reader, desk: &Desk, key: &str, fields: &Fields, text: &str) -> Result<Refusal, Fault> {
    if fields.text("note").chars().count() > MOST_IN_LINE {
        return Ok(Some((format!("The note is longer than {MOST_IN_LINE} letters. Shorten it."), false)));
    }
    if Rules::read(text).is_err() {
        return Ok(Some(("The text has a fault; put it right first.".into(), false)));
    }
    // The same text on top of a newer version is a wish to have it back.
    let style = book.style(key)?;
    if style.current.text == text && style.version.to_string() == fields.text("version") {
        return Ok(Some((format!("Nothing differs from version {}, which is in use.", style.current.number), false)));
    }
    let (on, _) = On::asked(book, fields)?;
    let preview = Preview::of(text, &on, desk);
    if preview.sews() || !fields.text("anyway").is_empty() {
        return Ok(None);
    }
    let words = match &preview.drafted {
        Some(_) => format!("On {} it would not sew together: see Checked.", preview.on),
        None => format!("It gives no draft on {}.", preview.on),
    };
    Ok(Some((words, true)))
}

/// The page once more, with what was typed.
fn again(
    book: &Reader,
    desk: &Desk,
    key: &str,
    fields: &Fields,
    edits: i64,
    text: String,
    why: Refusal,
) -> Result<Response, Fault> {
    let style = book.style(key)?;
    // A look at a text with a fault did what was asked: it told the fault.
    let status = if why.is_some() { StatusCode::UNPROCESSABLE_ENTITY } else { StatusCode::OK };
    let may_insist = why.as_ref().is_some_and(|(_, may)| *may);
    page(book, desk, status, &style, fields, Sheet { edits, text, refused: why.map(|(words, _)| words), may_insist })
}

fn page(
    book: &Reader,
    desk: &Desk,
    status: StatusCode,
    style: &Style,
    fields: &Fields,
    sheet: Sheet,
) -> Result<Response, Fault> {
    let (on, choosing) = On::asked(book, fields)?;
    let preview = Preview::of(&sheet.text, &on, desk);
    let has_none = preview.drafted.is_none();
    let before =
        has_none.then(|| Preview::of(&style.current.text, &on, desk)).filter(|before| before.drafted.is_some());
    let page = Page {
        frame: desk.frame(format!("Edit {}", style.current.label), Here::Styles),
        key: style.key.clone(),
        label: style.current.label.clone(),
        number: style.current.number,
        edits: sheet.edits,
        text: sheet.text,
        note: Field::sent("note", fields, &Notes::default()),
        refused: sheet.refused,
        may_insist: sheet.may_insist,
        choosing,
        preview,
        before,
    };
    Ok(render(status, &page))
}
