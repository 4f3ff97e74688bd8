//! An invented shop with a year of work.

mod body;
mod survey;

pub use body::seeded_body;
