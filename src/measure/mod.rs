//! Exact lengths, inch fractions, and the measures taken of a body.
//!
//! A length is a whole number of nanometres, so that 1/64 in (396,875 nm) and
//! 0.1 mm (100,000 nm) are both exact. What is shown is rounded; what is
//! computed is not. A body dimension has its key, its word and its limits (refused
//! outside); what goes together on one body is a hint, never a refusal. This
//! module knows no drafting, no shop and no file.

mod bands;
mod dimension;
mod figure;
mod length;
mod nearest;
mod plausible;
mod read;
mod show;
mod side;
mod tape;

pub use dimension::{
    BodyDimension, DimensionClass, RangeError, dimension, dimensions, nearest_dimension, tape_place, term,
    within_possible,
};
pub use figure::{FigureNote, figure_note, figure_notes};
pub use length::Length;
pub use nearest::nearest;
pub use plausible::{Hint, Who, changes, hints};
pub use read::{LengthError, read_length};
pub use show::{Showing, Step, Unit};
pub use side::BodySide;
