//! An order stays with the version of the style that it was taken with. When another one is in
//! use since, the garment's page offers it; one tap takes it, as long as nothing is cut.

use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};

use crate::shop::{Stage, StyleVersionId};
use crate::store::{GarmentPage, Reader};

use super::fault::Fault;
use super::fields::Fields;
use super::order_draft;
use super::path;
use super::state::App;
use super::writing;

/// The version that is in use instead of the garment's own.
pub struct OtherVersion {
    /// Its id.
    pub id: i64,
    /// Its number.
    pub number: u32,
    /// The number of the garment's own.
    pub own: u32,
    /// Where both are compared on the wearer.
    pub compare: String,
    /// What was changed, in the words of who did.
    pub note: String,
}

/// The version in use, when it is another and the garment is not cut yet.
///
/// # Errors
/// A [`Fault`] when the book cannot be read.
pub fn other(book: &Reader, page: &GarmentPage) -> Result<Option<OtherVersion>, Fault> {
    let Some(own) = page.style.as_ref().filter(|_| page.garment.stage < Stage::Cut && !page.garment.cancelled) else {
        return Ok(None);
    };
    let current = book.version_in_use(own.style)?;
    if current.id == own.id {
        return Ok(None);
    }
    Ok(Some(OtherVersion {
        id: current.id.get(),
        number: current.number,
        own: own.number,
        compare: format!("/styles/{}/compare?old={}&new={}&on={}", own.key, own.number, current.number, page.wearer.id),
        note: current.note,
    }))
}

/// Drafts a garment by another version of its style from now on.
///
/// # Errors
/// [`Fault::NotFound`] without such a garment or version; [`Fault::Refused`] when the version is of
/// another style, gives no draft for this garment, or the garment is cut already.
pub async fn take(
    State(app): State<App>,
    Path((number, letter)): Path<(String, String)>,
    fields: Fields,
) -> Result<Response, Fault> {
    let (number, letter) = (path::order(&number)?, path::letter(&letter)?);
    let id = fields.text("to").parse().map(StyleVersionId::new).map_err(|_| Fault::NotFound("version"))?;
    let version = path::version(&fields)?;
    let (garment, facts, taken) = app
        .read(move |book, desk| {
            let garment = order_draft::garment(book, number, letter)?;
            let own = garment.facts.style.map(|id| book.style_version(id)).transpose()?;
            let new = book.style_version(id)?;
            if own.is_none_or(|own| own.style != new.style) {
                return Err(refused("This version is of another style. Change the garment to choose another style."));
            }
            if garment.stage >= Stage::Cut {
                return Err(refused("The garment is cut already; it stays with the rules it was cut by."));
            }
            let mut facts = garment.facts;
            facts.style = Some(id);
            let body = book.body(facts.wearer, facts.set)?;
            if let Err(why) = order_draft::draft_of(&facts, &new, &body, desk) {
                let words = format!("Version {} gives no draft for this garment: {why}", new.number);
                return Err(refused(&writing::true_fractions(&words)));
            }
            order_draft::reckon(&mut facts, Some(&new), &body, desk);
            Ok((garment.id, facts, new.number))
        })
        .await?;
    app.write(format!("{letter}: took version {taken} of the style"), move |book, _| {
        book.change_garment(garment, version, &facts)
    })
    .await?;
    Ok(Redirect::to(&format!("/orders/{number}#{letter}")).into_response())
}

fn refused(words: &str) -> Fault {
    Fault::Refused(StatusCode::UNPROCESSABLE_ENTITY, words.into())
}
