//! Cloth of the shop that is held for a garment: on the order's page, and held on another length.

use axum::extract::{Path, State};
use axum::response::{IntoResponse, Redirect, Response};

use crate::measure::Length;
use crate::shop::{ClothLength, Garment, Held, Letter, OrderNumber, Stage};
use crate::store::Reader;

use super::cloth_fields;
use super::cloths::measured;
use super::desk::Desk;
use super::fault::Fault;
use super::fields::{Field, Fields, Notes};
use super::garment_form::sold_length;
use super::order::Returned;
use super::order_draft;
use super::path;
use super::state::App;

/// What is held for a garment, with the length that it is held on.
///
/// # Errors
/// A [`Fault`] when the book cannot be read.
pub fn of(book: &Reader, garment: &Garment) -> Result<Option<(Held, ClothLength)>, Fault> {
    match book.held_for(garment.id)? {
        None => Ok(None),
        Some(held) => {
            let length = book.cloth_length(held.on)?;
            Ok(Some((held, length)))
        }
    }
}

/// What the order's page says of it, while it is not cut.
///
/// # Errors
/// A [`Fault`] when the book cannot be read.
pub fn row(
    book: &Reader,
    garment: &Garment,
    held: Option<&(Held, ClothLength)>,
    desk: &Desk,
) -> Result<Option<(&'static str, String)>, Fault> {
    let Some(stock) = garment.facts.cloth.stock else { return Ok(None) };
    let name = book.cloth(stock)?.facts.name;
    let words = match held {
        _ if garment.stage >= Stage::Cut => name,
        None => format!("{name}; nothing is held yet"),
        Some((held, length)) => {
            let place = match length.facts.place.as_str() {
                "" => String::new(),
                place => format!(", {place}"),
            };
            let (held, there) = (measured(held.length, desk), measured(length.there, desk));
            format!("{name}; {held} held of the length of {there}{place}")
        }
    };
    Ok(Some(("From the shelf", words)))
}

/// The field that asks what is left when it is cut, filled with what was reckoned.
#[must_use]
pub fn left(
    (held, length): &(Held, ClothLength),
    garment: &Garment,
    returned: Option<&Returned>,
    desk: &Desk,
) -> (String, Field) {
    let name = field_name(garment.letter);
    let field = match returned {
        Some(sent) if sent.fields.has(&name) => Field::sent(&name, &sent.fields, &sent.notes),
        _ => {
            let left = if length.there > held.length { length.there - held.length } else { Length::ZERO };
            // As it is measured out: to the eighth of an inch, or the centimetre.
            let value = if left == Length::ZERO { "0".into() } else { sold_length(left, desk) };
            Field { name, value, note: None }
        }
    };
    (format!("Of the length of {}, from which it is cut.", measured(length.there, desk)), field)
}

fn field_name(letter: Letter) -> String {
    format!("left.{letter}")
}

/// Reads what is left of the length; `None` when nobody says.
///
/// # Errors
/// A [`Fault`] when the book cannot be read.
pub async fn read_left(
    app: &App,
    fields: &Fields,
    number: OrderNumber,
    letter: Letter,
    notes: &mut Notes,
) -> Result<Option<Length>, Fault> {
    let name = field_name(letter);
    let Some(text) = fields.filled(&name) else { return Ok(None) };
    let (desk, held) =
        app.read(move |book, desk| Ok((desk.clone(), of(book, &order_draft::garment(book, number, letter)?)?))).await?;
    let left = notes.take(&name, cloth_fields::read_sold(text, &desk));
    if let Some(((_, length), left)) = held.zip(left)
        && left >= length.there
    {
        let words = format!(
            "{} cannot be left: the length was {} before it was cut. Write what came back, or nothing.",
            measured(left, &desk),
            measured(length.there, &desk)
        );
        notes.add(&name, words);
    }
    Ok(left)
}

/// Holds the cloth of a garment on this length of the shop's, or lets it go.
///
/// # Errors
/// [`Fault::NotFound`] without such a garment or length; a [`Fault`] when less is free than is needed.
pub async fn change(
    State(app): State<App>,
    Path((number, letter)): Path<(String, String)>,
    fields: Fields,
) -> Result<Response, Fault> {
    let (number, letter) = (path::order(&number)?, path::letter(&letter)?);
    let on = match fields.text("on") {
        "none" => None,
        text => Some(path::cloth_length(text)?),
    };
    let garment = app.read(move |book, _| order_draft::garment(book, number, letter)).await?;
    match on {
        None => app.write(format!("{letter}: let its cloth go"), move |book, _| book.let_go(garment.id)).await?,
        Some(on) => {
            app.write(format!("{letter}: held cloth for it"), move |book, _| book.hold(garment.id, on)).await?;
        }
    }
    let back = match garment.facts.cloth.stock {
        Some(stock) => format!("/cloth/{stock}"),
        None => format!("/orders/{number}#{letter}"),
    };
    Ok(Redirect::to(&back).into_response())
}
