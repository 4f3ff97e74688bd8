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
    /// What was changed and why, in the words of who added it; often empty.
    pub note: String,
}

/// Words that are pages of the style book and so no keys of styles.
const PAGES: [&str; 3] = ["guide", "import", "new"];

/// The most letters of a style's key.
const MOST_IN_KEY: usize = 40;

/// Whether this can be the key of a style.
///
/// # Errors
/// In words what is wrong with it and what to write instead.
pub fn style_key(key: &str) -> Result<(), String> {
    let is_word = |byte: u8| byte.is_ascii_lowercase() || byte.is_ascii_digit() || byte == b'_';
    if !key.starts_with(|first: char| first.is_ascii_lowercase())
        || !key.bytes().all(is_word)
        || key.len() > MOST_IN_KEY
    {
        let shown: String = key.chars().take(MOST_IN_KEY + 1).collect();
        return Err(format!(
            "“{shown}” cannot be the key of a style. Write small letters, digits and _, at most {MOST_IN_KEY}, such as \
             wrap_skirt."
        ));
    }
    if PAGES.contains(&key) {
        return Err(format!("“{key}” is a page of the style book. Take another key, such as {key}_skirt."));
    }
    Ok(())
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

#[cfg(test)]
mod tests {
    use super::style_key;

    #[test]
    fn a_key_is_small_letters_digits_and_lines() {
        for good in ["wrap_skirt", "a", "skirt_2"] {
            assert_eq!(style_key(good), Ok(()));
        }
        let long = "a".repeat(41);
        for bad in ["", "Wrap", "2_skirt", "wrap skirt", "_x", "ü", "../x", &long] {
            assert!(style_key(bad).unwrap_err().contains("cannot be the key"), "{bad}");
        }
        assert!(style_key("guide").unwrap_err().contains("another key"));
    }
}
