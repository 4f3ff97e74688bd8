//! The style book: styles as text, each in numbered versions that never change.

use super::{PersonId, StyleId, StyleVersionId};

keyed! {
    /// Who wrote a version.
    StyleSource {
        /// It came with bodkin.
        Book = "book", "from the book";
        /// The shop wrote or edited it.
        Own = "own", "our own";
    }
}

/// A style as the book lists it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Style {
    /// Which style.
    pub id: StyleId,
    /// Counts the edits of this row.
    pub version: i64,
    /// Its key: `wrap_skirt`.
    pub key: String,
    /// The version that new orders take.
    pub current: StyleVersion,
    /// A newer text of the book that waits beside an edited one, if there is one.
    pub newer_in_book: Option<StyleVersionId>,
    /// Whether it is offered no longer; orders keep it.
    pub retired: bool,
}

/// One version of a style; never changed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StyleVersion {
    /// Which version.
    pub id: StyleVersionId,
    /// The style it belongs to.
    pub style: StyleId,
    /// The style's key: `wrap_skirt`.
    pub key: String,
    /// First, second, …
    pub number: u32,
    /// The words for it: `Wrap skirt with gathered frill`.
    pub label: String,
    /// The rules, as typed.
    pub text: String,
    /// Who wrote it.
    pub source: StyleSource,
    /// The edition of the book it came with; empty for the shop's own.
    pub edition: String,
    /// When it was written (UTC milliseconds).
    pub at_ms: i64,
    /// Who added it.
    pub who: PersonId,
}

/// A style as it comes with bodkin.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct BookText<'a> {
    /// Its key: `wrap_skirt`.
    pub key: &'a str,
    /// The words for it.
    pub label: &'a str,
    /// The rules.
    pub text: &'a str,
}
