//! The engine: a style's rules worked for one body and its choices, drawn and proved.

mod choices;
mod closed;
mod correct;
mod dart;
mod drawing;
mod facing;
mod input;
mod kind;
mod lining;
mod notch;
mod pleat;
mod ring;
mod shape;
mod side;
mod solve;
mod truths;
mod turn;
mod walk;
mod work;

pub use choices::read_number;
pub use correct::{Correction, corrected};
pub use input::{DraftError, Input};
pub(crate) use kind::Kind;
pub use kind::kinds;
pub use work::draft;
