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
pub const BOOK: [BookStyle; 1] = [BookStyle { key: "wrap_skirt", text: include_str!("book/wrap_skirt.style.toml") }];

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
            for d in &draft.dimensions {
                println!("{} {}", d.label, d.working.text(Showing::EIGHTHS));
            }
            for truth in &draft.truths {
                println!("{} {} {}", truth.held, truth.what, truth.found);
            }
            for p in &draft.pieces {
                println!("{} {:?}", p.label, crate::geom::bounds(&p.cutting));
            }
            for p in &draft.strips {
                println!("{} {} = {}", p.label, p.length_working.text(Showing::EIGHTHS), p.width_mm);
            }
            assert!(draft.sews(), "{}", book.key);
        }
    }
}
