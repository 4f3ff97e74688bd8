//! Lengths in messages of the lay: in inches and in centimetres, since the lay
//! does not know which of them the shop writes.

use crate::measure::{Length, Showing};

/// `52 in (132.1 cm)`; a value that is no length is given as it stands.
pub(super) fn both(mm: f64) -> String {
    match Length::from_mm(mm) {
        Some(length) => {
            format!("{} ({})", Showing::EIGHTHS.with_unit(length), Showing::MILLIMETRES.with_unit(length))
        }
        None => format!("{mm} mm"),
    }
}
