//! One measure that can be taken of a body: its key, its word, how the tape
//! goes, and the figures that a body can have.
//!
//! Terms follow ISO 8559-1:2017 where it has one and the trade agrees (recalled
//! from memory). A shop can add dimensions of its own: those have no row here,
//! and only the widest limits hold for them.

use super::tape::TAPE;
use super::{Length, Showing, nearest};

/// What kind of length a dimension is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum DimensionClass {
    /// Once around.
    Girth,
    /// Along the body.
    Length,
    /// Across the body.
    Width,
    /// What she wants, neither body nor ease: waist to hem, sleeve.
    Finished,
}

/// One body dimension, or one finished length.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct BodyDimension {
    /// snake_case of the term: `waist_girth`. Stored and used by styles; never changes.
    pub key: &'static str,
    /// The words for it: `Waist girth`.
    pub term: &'static str,
    /// How the tape goes, in one line.
    pub how: &'static str,
    /// Girth, length, width, or finished length.
    pub class: DimensionClass,
    /// Less than this no body has, from a newborn child on: refused.
    pub least: Length,
    /// More than this no body has: refused.
    pub most: Length,
    /// Less than this a grown body rarely has: check the tape.
    pub grown_least: Length,
    /// More than this a grown body rarely has: check the tape.
    pub grown_most: Length,
}

/// A value that no body can have.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RangeError {
    /// The words for the dimension: `Waist girth`.
    pub term: String,
    /// What was given.
    pub value: Length,
    /// The least that a body can have.
    pub least: Length,
    /// The most that a body can have.
    pub most: Length,
}

impl RangeError {
    /// The sentence with its figures in the shop's unit.
    #[must_use]
    pub fn text(&self, showing: Showing) -> String {
        self.sentence(&|length| showing.with_unit(length))
    }

    fn sentence(&self, write: &dyn Fn(Length) -> String) -> String {
        format!(
            "{} of {} cannot be: a body has {} to {}. Check the number and its unit.",
            self.term,
            write(self.value),
            write(self.least),
            write(self.most)
        )
    }
}

impl std::fmt::Display for RangeError {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        out.write_str(&self.sentence(&both_units))
    }
}

impl std::error::Error for RangeError {}

/// Inches and centimetres side by side, for where the shop's unit is not known.
fn both_units(length: Length) -> String {
    format!("{} ({})", Showing::EIGHTHS.with_unit(length), Showing::MILLIMETRES.with_unit(length))
}

/// Every dimension in tape order: the order in which a fitter goes round.
#[must_use]
pub const fn dimensions() -> &'static [BodyDimension] {
    TAPE
}

/// The dimension of this key.
#[must_use]
pub fn dimension(key: &str) -> Option<&'static BodyDimension> {
    TAPE.iter().find(|row| row.key == key)
}

/// The known key nearest to a mistyped one, to offer in an error.
#[must_use]
pub fn nearest_dimension(key: &str) -> Option<&'static str> {
    nearest(key, TAPE.iter().map(|row| row.key))
}

/// The words for a key: its term, or, for a dimension of the shop's own, the key
/// with its underscores opened.
#[must_use]
pub fn term(key: &str) -> String {
    if let Some(row) = dimension(key) {
        return row.term.into();
    }
    let open = key.replace('_', " ");
    let mut letters = open.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// Place in tape order; dimensions of the shop's own come last.
#[must_use]
pub fn tape_place(key: &str) -> usize {
    TAPE.iter().position(|row| row.key == key).unwrap_or(TAPE.len())
}

/// Whether a body can have this value at all.
///
/// # Errors
/// [`RangeError`] with the value, the limits and the remedy. For a dimension of
/// the shop's own the limits are 1 mm and 3 m: no tape goes further on a body.
pub fn within_possible(key: &str, value: Length) -> Result<(), RangeError> {
    const OWN_LEAST: Length = Length::MILLIMETRE;
    const OWN_MOST: Length = Length::tenths_of_mm(30_000);
    let (least, most) = dimension(key).map_or((OWN_LEAST, OWN_MOST), |row| (row.least, row.most));
    if (least..=most).contains(&value) {
        return Ok(());
    }
    Err(RangeError { term: term(key), value, least, most })
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    #[test]
    fn every_row_is_whole_and_every_key_stands_once() {
        let keys: BTreeSet<_> = dimensions().iter().map(|row| row.key).collect();
        assert_eq!(keys.len(), dimensions().len());
        for row in dimensions() {
            assert!(Length::ZERO < row.least && row.least <= row.grown_least, "{}", row.key);
            assert!(row.grown_least < row.grown_most && row.grown_most <= row.most, "{}", row.key);
            assert!(row.how.ends_with('.') && row.term.chars().next().is_some_and(char::is_uppercase), "{}", row.key);
            assert!(row.key.chars().all(|letter| letter.is_ascii_lowercase() || letter == '_'), "{}", row.key);
        }
    }

    #[test]
    fn four_hundred_inches_are_refused_in_words() {
        let error = within_possible("waist_girth", Length::inches(400, 0)).unwrap_err();
        assert_eq!(
            error.text(Showing::EIGHTHS),
            "Waist girth of 400 in cannot be: a body has 11 in to 86 5/8 in. Check the number and its unit."
        );
        assert!(error.to_string().contains("400 in (1016 cm)"));
        assert!(within_possible("waist_girth", Length::inches(31, 0)).is_ok());
        assert!(within_possible("waist_girth", Length::ZERO).is_err());
    }

    #[test]
    fn a_dimension_of_the_shops_own_has_the_widest_limits() {
        assert!(within_possible("nape_to_bag_strap", Length::inches(30, 0)).is_ok());
        let error = within_possible("nape_to_bag_strap", Length::inches(300, 0)).unwrap_err();
        assert_eq!(error.term, "Nape to bag strap");
    }

    #[test]
    fn a_mistyped_key_finds_its_neighbour() {
        assert_eq!(nearest_dimension("wiast_girth"), Some("waist_girth"));
        assert_eq!(nearest_dimension("hips"), Some("hip_girth"));
        assert_eq!(nearest_dimension("qqqqqq"), None);
    }

    #[test]
    fn natural_and_navel_waist_are_two() {
        assert_ne!(dimension("waist_girth"), dimension("navel_waist_girth"));
        assert!(tape_place("neck_base_girth") < tape_place("hip_girth"));
        assert_eq!(tape_place("own_thing"), dimensions().len());
    }
}
