//! An invented shop with a year of work: a small workroom on the ropewalk of Port
//! Ostrel, a harbour town that is on no map. Nobody in it is a real person.
//!
//! `people` and `house` say who and where, `cloths`, `wish` and `ticket` what they
//! order, `shelf` what lies in stock; `past` and `at_hand` lay the orders over the year, `course` turns each into
//! deeds with their time, and `keep` does them in the book, in order of time, as the
//! people of the workroom would. `body` and `survey` invent bodies that hang together.
//!
//! Equal seed and day, equal shop.

mod at_hand;
mod body;
mod cloths;
mod course;
mod deed;
mod house;
mod keep;
mod measured;
mod past;
mod people;
mod pinned;
mod shelf;
mod survey;
mod ticket;
mod wish;

use chrono::NaiveDate;

use crate::draft::{BOOK, Style};
use crate::store::{Store, StoreError};

pub use body::seeded_body;
pub use house::ZONE;

/// Why the shop could not be invented.
#[derive(Debug, thiserror::Error)]
pub enum DemoError {
    /// The book did not take it.
    #[error(transparent)]
    Store(#[from] StoreError),
    /// A style of the book does not read.
    #[error("The style {key} does not read: {why}.")]
    Style {
        /// Its key.
        key: &'static str,
        /// What is wrong with it.
        why: String,
    },
}

/// Fills an empty book with the shop as it stands on the morning of `today`: the last
/// thing was done the evening before.
///
/// # Errors
/// [`DemoError`]; nothing of the shop is kept then.
pub fn fill(store: &Store, seed: u64, today: NaiveDate) -> Result<(), DemoError> {
    let mut styles = Vec::new();
    for book in BOOK {
        let style = Style::read(book.text).map_err(|why| DemoError::Style { key: book.key, why: why.to_string() })?;
        styles.push((book.key, style));
    }
    let week = house::Week::of(today);
    let mut courses = past::courses(seed, today, &week);
    courses.extend(at_hand::courses(seed, today, &week));
    courses.sort_by_key(|course| course.taken);
    let deeds = deed::in_order(&courses, seed, today, &week);
    store.write_all(|actions| keep::Keeper::new(actions, &styles, &courses, seed, today).keep(&deeds))?;
    Ok(())
}
