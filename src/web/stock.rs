//! One cloth of the shop: what lies there of it, and what comes and goes.

use askama::Template;
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};

use crate::measure::Length;
use crate::shop::{ClothId, ClothLength, GarmentId, LengthFacts};
use crate::store::Reader;

use super::cloth_fields::{Reading, washed};
use super::cloths;
use super::desk::Desk;
use super::fault::{Fault, render};
use super::fields::{Fields, Notes};
use super::frame::{Frame, Here};
use super::order_draft;
use super::order_form;
use super::path;
use super::state::App;
use super::stock_view::{self, Came, CutFrom, LengthView, Returned, field_name};

#[derive(Template)]
#[template(path = "stock.html")]
struct Page {
    frame: Frame,
    id: i64,
    version: i64,
    retired: bool,
    there: String,
    facts: Vec<(&'static str, String)>,
    lengths: Vec<LengthView>,
    came: Came,
    garments: Vec<CutFrom>,
    moves: Vec<(String, String)>,
}

/// The page.
///
/// # Errors
/// [`Fault::NotFound`] without such a cloth.
pub async fn show(State(app): State<App>, Path(id): Path<String>) -> Result<Response, Fault> {
    let id = path::cloth(&id)?;
    app.read(move |book, desk| page(book, desk, id, None)).await
}

fn page(book: &Reader, desk: &Desk, id: ClothId, sent: Option<&Returned>) -> Result<Response, Fault> {
    let cloth = book.cloth(id)?;
    let mut lengths = book.cloth_lengths(id, true)?;
    let numbers = stock_view::numbers(&lengths);
    lengths.retain(|length| length.there > Length::ZERO);
    let page = Page {
        frame: desk.frame(cloth.facts.name.clone(), Here::Cloth),
        id: id.get(),
        version: cloth.version,
        retired: cloth.retired,
        there: cloths::there(&lengths, desk),
        facts: stock_view::facts(&cloth, desk),
        lengths: lengths.iter().map(|length| LengthView::of(length, &numbers, sent, desk)).collect(),
        came: Came::of(sent, desk),
        garments: stock_view::cut_from(book, &book.to_cut_from(id)?, &lengths, &numbers, desk)?,
        moves: stock_view::moves(book, &cloth, &numbers, desk)?,
    };
    let status = if sent.is_some() { StatusCode::UNPROCESSABLE_ENTITY } else { StatusCode::OK };
    Ok(render(status, &page))
}

fn back_to(id: ClothId) -> Response {
    Redirect::to(&format!("/cloth/{id}")).into_response()
}

/// A length comes in.
///
/// # Errors
/// [`Fault::NotFound`] without such a cloth; a [`Fault`] when it cannot be kept.
pub async fn came(State(app): State<App>, Path(id): Path<String>, fields: Fields) -> Result<Response, Fault> {
    let id = path::cloth(&id)?;
    let form = fields.text("form").to_string();
    let read = app
        .read(move |book, desk| match read_length(book, &fields, desk)? {
            Ok(read) => Ok(Ok(read)),
            Err(notes) => page(book, desk, id, Some(&Returned { length: None, fields, notes })).map(Err),
        })
        .await?;
    let (facts, long, left_of) = match read {
        Ok(read) => read,
        Err(page) => return Ok(page),
    };
    app.write_once("a length of cloth came in", &form, move |book, _| book.add_length(id, &facts, long, left_of))
        .await?;
    Ok(back_to(id))
}

/// A length that comes in: its facts, how long it is, of which garment it is left.
type Arrived = (LengthFacts, Length, Option<GarmentId>);

fn read_length(book: &Reader, fields: &Fields, desk: &Desk) -> Result<Result<Arrived, Notes>, Fault> {
    let mut notes = Notes::default();
    let long = Reading { fields, notes: &mut notes, desk }.length("long", None);
    match long {
        None => notes.add("long", "Write how long it is, as measured on the table: 2 3/4 yd, 120 cm."),
        Some(Length::ZERO) => notes.add(
            "long",
            format!(
                "“{}” is no length; one that comes in is longer than nothing. Write how long it is, as measured on the \
                 table.",
                fields.text("long")
            ),
        ),
        Some(_) => {}
    }
    let left_of = garment_of(book, fields, &mut notes, "left_of")?;
    let facts = LengthFacts {
        day: order_form::day(fields, "day", &mut notes).unwrap_or(desk.today),
        washed: washed(fields.text("washed")),
        flaws: notes.line(fields, "flaws"),
        place: notes.line(fields, "place"),
    };
    Ok(if notes.is_empty() { Ok((facts, long.unwrap_or(Length::ZERO), left_of)) } else { Err(notes) })
}

/// The garment that a field names as its sheet does; noted when there is none such.
fn garment_of(book: &Reader, fields: &Fields, notes: &mut Notes, name: &str) -> Result<Option<GarmentId>, Fault> {
    let Some(text) = fields.filled(name) else { return Ok(None) };
    let known = path::garment(&text.to_uppercase().replacen(' ', "/", 1));
    match known.map(|(number, letter)| order_draft::garment(book, number, letter)) {
        Some(Ok(garment)) => Ok(Some(garment.id)),
        Some(Err(Fault::NotFound(_))) | None => {
            notes.add(name, format!("No garment is called “{text}”. Write it as on its sheet: 2026-0147 B."));
            Ok(None)
        }
        Some(Err(why)) => Err(why),
    }
}

/// What is done with one length.
enum Deed {
    /// It was measured again.
    Measured(Length),
    /// Some of it goes: to whom or why, or for which garment it was cut.
    Given(Length, String, Option<GarmentId>),
    /// What is written of it changes.
    Noted(i64, LengthFacts),
}

/// A length is measured again, some of it is given away, or what is written of it changes.
///
/// # Errors
/// [`Fault::NotFound`] without such a length; a [`Fault`] when it cannot be kept.
pub async fn length(
    State(app): State<App>,
    Path((id, length)): Path<(String, String)>,
    fields: Fields,
) -> Result<Response, Fault> {
    let (id, length) = (path::cloth(&id)?, path::cloth_length(&length)?);
    let form = fields.text("form").to_string();
    let read = app
        .read(move |book, desk| {
            let known = book.cloth_length(length)?;
            if known.cloth != id {
                return Err(Fault::NotFound("length of cloth"));
            }
            match deed(book, &fields, &known, desk)? {
                Ok(deed) => Ok(Ok(deed)),
                Err(notes) => page(book, desk, id, Some(&Returned { length: Some(length), fields, notes })).map(Err),
            }
        })
        .await?;
    let deed = match read {
        Ok(deed) => deed,
        Err(page) => return Ok(page),
    };
    match deed {
        Deed::Measured(now) => {
            app.write_once("measured a length of cloth again", &form, move |book, desk| {
                book.measure_length(length, now, desk.today, "")
            })
            .await?;
        }
        Deed::Given(much, why, garment) => {
            app.write_once("took cloth from a length", &form, move |book, desk| {
                book.take_cloth(length, much, desk.today, garment, &why)
            })
            .await?;
        }
        Deed::Noted(version, facts) => {
            app.write("changed what is written of a length of cloth", move |book, _| {
                book.change_length(length, version, &facts)
            })
            .await?;
        }
    }
    Ok(back_to(id))
}

fn deed(book: &Reader, fields: &Fields, known: &ClothLength, desk: &Desk) -> Result<Result<Deed, Notes>, Fault> {
    let mut notes = Notes::default();
    let name = |of: &str| field_name(of, known.id);
    let there = cloths::measured(known.there, desk);
    let deed = match fields.text("do") {
        "measure" => {
            let now = length_of(fields, &mut notes, &name("now"), desk);
            if now == known.there && notes.is_empty() {
                notes.add(&name("now"), format!("It is {there} long already. Nothing was written."));
            }
            Deed::Measured(now)
        }
        "give" => {
            let much = length_of(fields, &mut notes, &name("much"), desk);
            if much == Length::ZERO {
                // Where it was not read at all, that is noted already.
                let typed = fields.text(&name("much"));
                let words =
                    format!("“{typed}” is nothing to take out. Write how much goes, up to the {there} there are.");
                notes.add(&name("much"), words);
            } else if much > known.there {
                let words = format!(
                    "{} cannot go: this length is {there}. Write less, or measure it again.",
                    cloths::measured(much, desk)
                );
                notes.add(&name("much"), words);
            }
            let garment = garment_of(book, fields, &mut notes, &name("garment"))?;
            let why = notes.line(fields, &name("why"));
            if why.is_empty() && fields.filled(&name("garment")).is_none() {
                let words = "To whom does it go, or why? Write a word or two, or the garment for which it is cut.";
                notes.add(&name("why"), words);
            }
            Deed::Given(much, why, garment)
        }
        "note" => Deed::Noted(
            path::version(fields)?,
            LengthFacts {
                day: known.facts.day,
                washed: washed(fields.text(&name("washed"))),
                flaws: notes.line(fields, &name("flaws")),
                place: notes.line(fields, &name("place")),
            },
        ),
        _ => return Err(Fault::NotFound("way to change a length of cloth")),
    };
    Ok(if notes.is_empty() { Ok(deed) } else { Err(notes) })
}

/// The length in this field; noted when there is none.
fn length_of(fields: &Fields, notes: &mut Notes, name: &str, desk: &Desk) -> Length {
    let length = Reading { fields, notes, desk }.length(name, None);
    if length.is_none() {
        notes.add(name, "Write how much, such as 2 3/4 yd or 120 cm.");
    }
    length.unwrap_or(Length::ZERO)
}

/// Offers a cloth no more, or again.
///
/// # Errors
/// [`Fault::NotFound`] without such a cloth; a [`Fault`] when it was changed in the meantime.
pub async fn retire(State(app): State<App>, Path(id): Path<String>, fields: Fields) -> Result<Response, Fault> {
    let id = path::cloth(&id)?;
    let version = path::version(&fields)?;
    let retired = fields.text("retired") == "yes";
    let words = if retired { "offers a cloth no more" } else { "offers a cloth again" };
    app.write(words, move |book, _| book.retire_cloth(id, version, retired)).await?;
    Ok(back_to(id))
}
