//! Addresses in the trade's nouns: `/orders/2026-0147/B`, `/clients/12`.

use axum::http::StatusCode;

use crate::shop::{Action, ClientId, ClothId, ClothLengthId, Letter, OrderNumber};

use super::fault::Fault;
use super::fields::Fields;

/// The client of an address.
///
/// # Errors
/// [`Fault::NotFound`] when the text is no number.
pub fn client(text: &str) -> Result<ClientId, Fault> {
    text.parse().map(ClientId::new).map_err(|_| Fault::NotFound("client"))
}

/// The cloth of an address.
///
/// # Errors
/// [`Fault::NotFound`] when the text is no number.
pub fn cloth(text: &str) -> Result<ClothId, Fault> {
    text.parse().map(ClothId::new).map_err(|_| Fault::NotFound("cloth"))
}

/// The length of cloth of an address.
///
/// # Errors
/// [`Fault::NotFound`] when the text is no number.
pub fn cloth_length(text: &str) -> Result<ClothLengthId, Fault> {
    text.parse().map(ClothLengthId::new).map_err(|_| Fault::NotFound("length of cloth"))
}

/// The order of an address.
///
/// # Errors
/// [`Fault::NotFound`] when the text is no order number.
pub fn order(text: &str) -> Result<OrderNumber, Fault> {
    text.parse().map_err(|_| Fault::NotFound("order"))
}

/// The garment of an address.
///
/// # Errors
/// [`Fault::NotFound`] when the text is no letter.
pub fn letter(text: &str) -> Result<Letter, Fault> {
    text.parse().map_err(|()| Fault::NotFound("garment"))
}

/// An order and a garment's letter in one text: `2026-0147/B`.
#[must_use]
pub fn garment(text: &str) -> Option<(OrderNumber, Letter)> {
    let (order, letter) = text.split_once('/')?;
    Some((order.parse().ok()?, letter.parse().ok()?))
}

/// The row of this noun that an action wrote.
///
/// # Errors
/// [`Fault::NotFound`] when it wrote none.
pub fn written(action: &Action, noun: &'static str) -> Result<i64, Fault> {
    action.changes.iter().find(|change| change.noun == noun).map(|change| change.row).ok_or(Fault::NotFound(noun))
}

/// The version of the row that a form saw.
///
/// # Errors
/// [`Fault::Refused`] when the form does not say it.
pub fn version(fields: &Fields) -> Result<i64, Fault> {
    fields.text("version").parse().map_err(|_| {
        Fault::Refused(
            StatusCode::BAD_REQUEST,
            "The form does not say what it saw before. Open the page again and make the change there.".into(),
        )
    })
}
