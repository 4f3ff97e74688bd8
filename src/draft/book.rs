//! The style book that bodkin comes with, as texts. `config` and `main` hand them
//! to the store; from then on they are the shop's own.

/// A style as it ships: its key and its text.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct BookStyle {
    /// The key: `wrap_skirt`.
    pub key: &'static str,
    /// The text in style format 1.
    pub text: &'static str,
}

/// The styles in the order of the book.
pub const BOOK: [BookStyle; 6] = [
    BookStyle { key: "wrap_skirt", text: include_str!("book/wrap_skirt.style.toml") },
    BookStyle { key: "circle_skirt", text: include_str!("book/circle_skirt.style.toml") },
    BookStyle { key: "gathered_skirt", text: include_str!("book/gathered_skirt.style.toml") },
    BookStyle { key: "gored_skirt", text: include_str!("book/gored_skirt.style.toml") },
    BookStyle { key: "straight_skirt", text: include_str!("book/straight_skirt.style.toml") },
    BookStyle { key: "apron", text: include_str!("book/apron.style.toml") },
];

#[cfg(test)]
mod tests {
    use super::super::{Input, Style, draft};
    use super::*;
    use crate::measure::{Length, Showing};

    #[test]
    fn every_style_of_the_book_reads_and_drafts_and_proves_itself() {
        for book in BOOK {
            let style = Style::read(book.text).unwrap_or_else(|e| panic!("{}: {e}", book.key));
            let mut input = Input::new(Showing::EIGHTHS);
            input.body.insert("waist_girth".into(), Length::inches(29, 4));
            input.body.insert("hip_girth".into(), Length::inches(38, 0));
            let draft = draft(&style, &input).unwrap_or_else(|e| panic!("{}: {e}", book.key));
            for truth in &draft.truths {
                assert!(truth.held, "{}: {} {}", book.key, truth.what, truth.found);
            }
            assert!(draft.sews(), "{}", book.key);
        }
    }
}
