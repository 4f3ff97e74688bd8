//! Cloth of the shop that is held for a garment: on the order's page, and held on another length.

use std::collections::BTreeMap;

use axum::extract::{Path, State};
use axum::response::{IntoResponse, Redirect, Response};

use crate::measure::Length;
use crate::shop::{ClothLength, ClothOf, Garment, Held, Letter, OrderNumber, Stage};
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

/// What is held of one cloth of a garment, with the length that it is held on.
pub type OnLength = (Held, ClothLength);

/// What is held for a garment, by the cloth that it is for.
///
/// # Errors
/// A [`Fault`] when the book cannot be read.
pub fn of(book: &Reader, garment: &Garment) -> Result<Vec<OnLength>, Fault> {
    let mut all = Vec::new();
    for cloth in ClothOf::ALL {
        if let Some(held) = book.held_for(garment.id, *cloth)? {
            let length = book.cloth_length(held.on)?;
            all.push((held, length));
        }
    }
    Ok(all)
}

/// What the order's page says of it, while it is not cut: a row for each cloth from the shelf.
///
/// # Errors
/// A [`Fault`] when the book cannot be read.
pub fn rows(
    book: &Reader,
    garment: &Garment,
    held: &[OnLength],
    desk: &Desk,
) -> Result<Vec<(&'static str, String)>, Fault> {
    let mut rows = Vec::new();
    let jointly =
        |cloth| -> Result<bool, Fault> { Ok(book.newest_lay(garment.id, cloth)?.is_some_and(|lay| lay.is_joint())) };
    for cloth in ClothOf::ALL {
        let Some(stock) = garment.facts.stock_of(*cloth) else { continue };
        let name = book.cloth(stock)?.facts.name;
        let words = match held.iter().find(|(held, _)| held.cloth == *cloth) {
            _ if garment.stage >= Stage::Cut => name,
            None => format!("{name}; nothing is held yet"),
            Some((held, length)) => {
                let place = match length.facts.place.as_str() {
                    "" => String::new(),
                    place => format!(", {place}"),
                };
                let (much, there) = (measured(held.length, desk), measured(length.there, desk));
                let of_all = match held.garments {
                    0 | 1 if jointly(*cloth)? => " for it by itself, not for the joint lay,".into(),
                    0 | 1 => String::new(),
                    many => format!(" for {many} in one lay,"),
                };
                format!("{name}; {much} held{of_all} of the length of {there}{place}")
            }
        };
        rows.push((
            match cloth {
                ClothOf::Main => "From the shelf",
                ClothOf::Lining => "Lining",
                ClothOf::Interfacing => "Interfacing",
            },
            words,
        ));
    }
    Ok(rows)
}

/// The fields that ask what is left when it is cut, filled with what was reckoned.
#[must_use]
pub fn left(
    held: &[OnLength],
    garment: &Garment,
    returned: Option<&Returned>,
    desk: &Desk,
) -> Vec<(&'static str, String, Field)> {
    let one = |(held, length): &OnLength| {
        let name = field_name(garment.letter, held.cloth);
        let field = match returned {
            Some(sent) if sent.fields.has(&name) => Field::sent(&name, &sent.fields, &sent.notes),
            _ => {
                let left = if length.there > held.length { length.there - held.length } else { Length::ZERO };
                // As it is measured out: to the eighth of an inch, or the centimetre.
                let value = if left == Length::ZERO { "0".into() } else { sold_length(left, desk) };
                Field { name, value, note: None }
            }
        };
        let label = match held.cloth {
            ClothOf::Main => "Left over, goes back",
            ClothOf::Lining => "Left over of the lining",
            ClothOf::Interfacing => "Left over of the interfacing",
        };
        let together = if held.garments > 1 { ", with all that is cut from the same lay" } else { "" };
        let hint = format!("Of the length of {}, from which it is cut{together}.", measured(length.there, desk));
        (label, hint, field)
    };
    held.iter().map(one).collect()
}

fn field_name(letter: Letter, cloth: ClothOf) -> String {
    match cloth {
        ClothOf::Main => format!("left.{letter}"),
        other => format!("left.{letter}.{}", other.key()),
    }
}

/// Reads what is left of each length; none where nobody says.
///
/// # Errors
/// A [`Fault`] when the book cannot be read.
pub async fn read_left(
    app: &App,
    fields: &Fields,
    number: OrderNumber,
    letter: Letter,
    notes: &mut Notes,
) -> Result<BTreeMap<ClothOf, Length>, Fault> {
    let said = |cloth: &&ClothOf| fields.filled(&field_name(letter, **cloth)).is_some();
    let said: Vec<ClothOf> = ClothOf::ALL.iter().filter(said).copied().collect();
    if said.is_empty() {
        return Ok(BTreeMap::new());
    }
    let (desk, held) =
        app.read(move |book, desk| Ok((desk.clone(), of(book, &order_draft::garment(book, number, letter)?)?))).await?;
    let mut all = BTreeMap::new();
    for cloth in said {
        let name = field_name(letter, cloth);
        let Some(left) = notes.take(&name, cloth_fields::read_sold(fields.text(&name), &desk)) else { continue };
        if let Some((_, length)) = held.iter().find(|(held, _)| held.cloth == cloth)
            && left >= length.there
        {
            let words = format!(
                "{} cannot be left: the length was {} before it was cut. Write what came back, or nothing.",
                measured(left, &desk),
                measured(length.there, &desk)
            );
            notes.add(&name, words);
        }
        all.insert(cloth, left);
    }
    Ok(all)
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
    let cloth = match fields.filled("of") {
        None => ClothOf::Main,
        Some(key) => ClothOf::from_key(key).ok_or(Fault::NotFound("cloth of a garment"))?,
    };
    let garment = app.read(move |book, _| order_draft::garment(book, number, letter)).await?;
    let (id, what) = (garment.id, cloth.words());
    match on {
        None => app.write(format!("{letter}: let its {what} go"), move |book, _| book.let_go(id, cloth)).await?,
        Some(on) => {
            app.write(format!("{letter}: held {what} for it"), move |book, _| book.hold(id, cloth, on)).await?;
        }
    }
    let back = match garment.facts.stock_of(cloth) {
        Some(stock) => format!("/cloth/{stock}"),
        None => format!("/orders/{number}#{letter}"),
    };
    Ok(Redirect::to(&back).into_response())
}
