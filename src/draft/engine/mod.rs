//! The engine: a style's rules worked for one body and its choices, drawn and proved.

mod choices;
mod dart;
mod drawing;
mod facing;
mod input;
mod kind;
mod shape;
mod solve;
mod truths;
mod work;

pub use choices::read_number;
pub use input::{DraftError, Input};
pub(crate) use kind::Kind;
pub use kind::kinds;
pub use work::draft;
