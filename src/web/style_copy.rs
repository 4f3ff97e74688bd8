//! A style as the start of a new one, and a style from a file.

use askama::Template;
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};

use crate::draft::{Style as Rules, relabelled};
use crate::shop::{BookText, style_key};

use super::desk::Desk;
use super::fault::{Fault, render};
use super::fields::{Field, Fields, Notes};
use super::frame::{Frame, Here};
use super::state::App;
use super::style_preview::Place;

#[derive(Template)]
#[template(path = "style_copy.html")]
struct CopyPage {
    frame: Frame,
    key: String,
    label: String,
    wrongs: usize,
    new_label: Field,
    new_key: Field,
}

#[derive(Template)]
#[template(path = "style_import.html")]
struct ImportPage {
    frame: Frame,
    wrongs: usize,
    key: Field,
    text: String,
    text_note: Option<String>,
    place: Option<Place>,
    /// The style that is there already: its key and name.
    there: Option<(String, String)>,
}

/// The form for a copy.
///
/// # Errors
/// [`Fault::NotFound`] without such a style.
pub async fn show(State(app): State<App>, Path(key): Path<String>) -> Result<Response, Fault> {
    app.read(move |book, desk| {
        let style = book.style(&key)?;
        let mut fields = Fields::default();
        fields = fields.with("label", Some(format!("{}, ours", style.current.label)));
        let free = (2..100)
            .map(|count| format!("{key}_{count}"))
            .find(|free| style_key(free).is_ok() && book.style(free).is_err());
        let fields = fields.with("key", free);
        Ok(copy_page(desk, StatusCode::OK, &key, &style.current.label, &fields, &Notes::default()))
    })
    .await
}

/// Makes the copy and goes on to edit it.
///
/// # Errors
/// [`Fault::NotFound`] without such a style; a [`Fault`] when it cannot be kept.
pub async fn copy(State(app): State<App>, Path(key): Path<String>, fields: Fields) -> Result<Response, Fault> {
    let mut notes = Notes::default();
    let label = notes.line(&fields, "label");
    if label.is_empty() {
        notes.add("label", "A style needs a name. Write one, such as Market skirt.");
    }
    let new_key = fields.text("key").to_string();
    notes.take("key", style_key(&new_key));
    let (desk, style, is_there) = app
        .read({
            let (key, new_key) = (key.clone(), new_key.clone());
            move |book, desk| {
                let is_there = book.styles()?.iter().any(|style| style.key == new_key);
                Ok((desk.clone(), book.style(&key)?.current, is_there))
            }
        })
        .await?;
    // A form that was sent twice finds its own copy there: it is led to it below.
    let text = notes.take("label", relabelled(&style.text, &label));
    let (Some(text), true) = (text, notes.is_empty()) else {
        return Ok(copy_page(&desk, StatusCode::UNPROCESSABLE_ENTITY, &key, &style.label, &fields, &notes));
    };
    let note = format!("begun as a copy of {key}, version {}", style.number);
    let made = app
        .write_once("copied a style", fields.text("form"), {
            let (new_key, label) = (new_key.clone(), label.clone());
            move |book, _| book.new_style(&BookText { key: &new_key, label: &label, text: &text }, &note)
        })
        .await;
    match made {
        Ok(_) => Ok(Redirect::to(&format!("/styles/{new_key}/edit")).into_response()),
        Err(Fault::Refused(StatusCode::UNPROCESSABLE_ENTITY, words)) if is_there => {
            notes.add("key", words);
            Ok(copy_page(&desk, StatusCode::UNPROCESSABLE_ENTITY, &key, &style.label, &fields, &notes))
        }
        Err(why) => Err(why),
    }
}

fn copy_page(desk: &Desk, status: StatusCode, key: &str, label: &str, fields: &Fields, notes: &Notes) -> Response {
    let page = CopyPage {
        frame: desk.frame(format!("Copy {label}"), Here::Styles),
        key: key.into(),
        label: label.into(),
        wrongs: notes.count(),
        new_label: Field::sent("label", fields, notes),
        new_key: Field::sent("key", fields, notes),
    };
    render(status, &page)
}

/// The form for a file.
///
/// # Errors
/// A [`Fault`] when the book cannot be read.
pub async fn import_form(State(app): State<App>) -> Result<Response, Fault> {
    let desk = app.desk().await?;
    Ok(import_page(&desk, StatusCode::OK, &Fields::default(), String::new(), &Notes::default(), None, None))
}

/// Takes a style from a file or from pasted text into the book. One of a key that is there
/// becomes its next version once that was asked for.
///
/// # Errors
/// A [`Fault`] when it cannot be kept.
pub async fn import(State(app): State<App>, fields: Fields) -> Result<Response, Fault> {
    let mut notes = Notes::default();
    // A chosen file goes before what stands in the box.
    let text = if fields.text("file").is_empty() { fields.raw("text") } else { fields.raw("file") };
    let text = text.replace("\r\n", "\n");
    let unreadable = (!fields.text("file.unreadable").is_empty()).then(|| fields.text("file.name").to_string());
    let key = match fields.filled("key") {
        Some(key) => key.to_string(),
        None if unreadable.is_some() => String::new(),
        None => fields.text("file.name").trim_end_matches(".style.toml").to_string(),
    };
    let fields = Fields::of(vec![
        ("key".into(), key.clone()),
        ("again".into(), fields.text("again").into()),
        ("edits".into(), fields.text("edits").into()),
        ("form".into(), fields.text("form").into()),
    ]);
    let desk = app.desk().await?;
    let status = StatusCode::UNPROCESSABLE_ENTITY;
    if let Some(file) = unreadable {
        notes.add(
            "text",
            format!("“{file}” is no text in UTF-8, so it could not be read. Choose a file that ends in .style.toml."),
        );
        return Ok(import_page(&desk, status, &fields, text, &notes, None, None));
    }
    if text.trim().is_empty() {
        notes.add("text", "There is no text. Choose a file that ends in .style.toml, or paste its text.");
        return Ok(import_page(&desk, status, &fields, text, &notes, None, None));
    }
    let rules = match Rules::read(&text) {
        Ok(rules) => rules,
        Err(why) => {
            let place = Place::of(&why, &text);
            notes.add("text", why.to_string());
            return Ok(import_page(&desk, status, &fields, text, &notes, Some(place), None));
        }
    };
    if notes.take("key", style_key(&key)).is_none() {
        return Ok(import_page(&desk, status, &fields, text, &notes, None, None));
    }
    let there = app
        .read({
            let key = key.clone();
            move |book, _| Ok(book.styles()?.into_iter().find(|style| style.key == key))
        })
        .await?;
    let label = rules.label().to_string();
    if let Some(style) = &there
        && fields.text("again") != style.key
    {
        let there = Some((style.key.clone(), style.current.label.clone()));
        return Ok(import_page(&desk, status, &fields, text, &notes, None, there));
    }
    app.write_once("took a style from a file", fields.text("form"), {
        let key = key.clone();
        move |book, _| {
            let text = BookText { key: &key, label: &label, text: &text };
            match &there {
                Some(style) => book.edit_style(style.id, style.version, &text, "from a file"),
                None => book.new_style(&text, "from a file"),
            }
        }
    })
    .await?;
    Ok(Redirect::to(&format!("/styles/{key}?kept=1")).into_response())
}

fn import_page(
    desk: &Desk,
    status: StatusCode,
    fields: &Fields,
    text: String,
    notes: &Notes,
    place: Option<Place>,
    there: Option<(String, String)>,
) -> Response {
    let page = ImportPage {
        frame: desk.frame("A style from a file", Here::Styles),
        wrongs: notes.count(),
        key: Field::sent("key", fields, notes),
        text,
        text_note: notes.at("text").map(Into::into),
        place,
        there,
    };
    render(status, &page)
}
