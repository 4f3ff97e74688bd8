//! Exact lengths, inch fractions, and the measures taken of a body.
//!
//! A length is a whole number of nanometres, so that 1/64 in (396,875 nm) and
//! 0.1 mm (100,000 nm) are both exact. What is shown is rounded; what is
//! computed is not. This module knows no drafting, no shop and no file.

mod length;
mod read;
mod show;

pub use length::Length;
pub use read::{LengthError, read_length};
pub use show::{Showing, Step, Unit};
