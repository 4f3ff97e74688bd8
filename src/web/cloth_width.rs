//! The width of a garment's cloth, written from the Cloth page: where none is written yet, and where a piece
//! is wider than the one that is.

use axum::extract::State;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};

use crate::measure::Length;
use crate::shop::{ClothOf, GarmentFacts, LiningFacts, LiningKind};

use super::cloth_fields::Reading;
use super::fault::Fault;
use super::fields::{Fields, Notes};
use super::lay_of::LayOf;
use super::laying::refused;
use super::path;
use super::state::App;
use super::to_lay::ToLay;
use super::writing;

/// Writes the width that was tapped or typed and goes back to the page, which lays the garment on it.
///
/// # Errors
/// [`Fault::NotFound`] without such a garment; [`Fault::Refused`] when it is cut or this is no width of a
/// cloth; a [`Fault`] when it was changed in the meantime.
pub async fn write(State(app): State<App>, of: LayOf, fields: Fields) -> Result<Response, Fault> {
    let LayOf::Garment { number, letter, cloth } = of.clone() else { return Err(Fault::NotFound("garment")) };
    let version = path::version(&fields)?;
    let (desk, to_lay) = app.read(move |book, desk| Ok((desk.clone(), ToLay::of(book, number, letter)?))).await?;
    if !to_lay.is_open() {
        let words = "This garment is cut already, or called off: the width of its cloth stays as it is.";
        return Err(Fault::Refused(StatusCode::UNPROCESSABLE_ENTITY, words.into()));
    }
    let mut notes = Notes::default();
    let width = Reading { fields: &fields, notes: &mut notes, desk: &desk }.width("width", None);
    if let Some(why) = notes.at("width") {
        return Err(refused(&format!("{why} Nothing was changed.")));
    }
    let Some(width) = width else {
        return Err(refused("No width was given, so nothing was changed. Write one such as 45 in or 115 cm."));
    };
    let (garment, mut now) = (to_lay.garment.id, to_lay.garment.facts);
    *place(&mut now, cloth) = Some(width);
    let of_what = if cloth == ClothOf::Main { "cloth" } else { cloth.words() };
    let words = format!("{letter}: wrote the width of its {of_what}, {}", writing::true_fractions(&desk.length(width)));
    app.write(words, move |book, _| book.change_garment(garment, version, &now)).await?;
    Ok(Redirect::to(&of.page()).into_response())
}

/// Where the width of one of a garment's cloths is written.
fn place(facts: &mut GarmentFacts, cloth: ClothOf) -> &mut Option<Length> {
    let kind = match cloth {
        ClothOf::Main => return &mut facts.cloth.width,
        ClothOf::Lining => LiningKind::Lining,
        ClothOf::Interfacing => LiningKind::Interfacing,
    };
    &mut facts.linings.entry(kind).or_insert(LiningFacts::UNKNOWN).width
}
