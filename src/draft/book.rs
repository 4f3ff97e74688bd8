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

/// The styles in the order of the book: the most wanted first.
pub const BOOK: [BookStyle; 22] = [
    BookStyle { key: "straight_skirt", text: include_str!("book/straight_skirt.style.toml") },
    BookStyle { key: "shift_dress", text: include_str!("book/shift_dress.style.toml") },
    BookStyle { key: "fit_and_flare_dress", text: include_str!("book/fit_and_flare_dress.style.toml") },
    BookStyle { key: "kaftan", text: include_str!("book/kaftan.style.toml") },
    BookStyle { key: "elastic_trousers", text: include_str!("book/elastic_trousers.style.toml") },
    BookStyle { key: "childs_frock", text: include_str!("book/childs_frock.style.toml") },
    BookStyle { key: "mans_tunic", text: include_str!("book/mans_tunic.style.toml") },
    BookStyle { key: "wrap_skirt", text: include_str!("book/wrap_skirt.style.toml") },
    BookStyle { key: "princess_dress", text: include_str!("book/princess_dress.style.toml") },
    BookStyle { key: "shirt_blouse", text: include_str!("book/shirt_blouse.style.toml") },
    BookStyle { key: "pinafore", text: include_str!("book/pinafore.style.toml") },
    BookStyle { key: "school_shorts", text: include_str!("book/school_shorts.style.toml") },
    BookStyle { key: "flared_skirt", text: include_str!("book/flared_skirt.style.toml") },
    BookStyle { key: "circle_skirt", text: include_str!("book/circle_skirt.style.toml") },
    BookStyle { key: "gathered_skirt", text: include_str!("book/gathered_skirt.style.toml") },
    BookStyle { key: "pleated_skirt", text: include_str!("book/pleated_skirt.style.toml") },
    BookStyle { key: "darted_trousers", text: include_str!("book/darted_trousers.style.toml") },
    BookStyle { key: "loose_blouse", text: include_str!("book/loose_blouse.style.toml") },
    BookStyle { key: "peplum_top", text: include_str!("book/peplum_top.style.toml") },
    BookStyle { key: "bodice_block", text: include_str!("book/bodice_block.style.toml") },
    BookStyle { key: "wrapper", text: include_str!("book/wrapper.style.toml") },
    BookStyle { key: "apron", text: include_str!("book/apron.style.toml") },
];

#[cfg(test)]
mod tests {
    use super::super::{Input, Style, draft};
    use super::*;
    use crate::measure::{Length, Showing};

    /// What styles need, of somebody grown and of a child of seven (invented).
    const GROWN: [(&str, i64); 3] = [("bust_girth", 36), ("waist_girth", 29), ("hip_girth", 38)];
    const CHILD: [(&str, i64); 3] = [("bust_girth", 25), ("waist_girth", 23), ("hip_girth", 27)];

    #[test]
    fn every_style_of_the_book_reads_and_drafts_and_proves_itself() {
        for book in BOOK {
            let style = Style::read(book.text).unwrap_or_else(|e| panic!("{}: {e}", book.key));
            let mut input = Input::new(Showing::EIGHTHS);
            let child = style.wearer() == "children";
            for (key, inches) in if child { CHILD } else { GROWN } {
                input.body.insert(key.into(), Length::inches(inches, 0));
            }
            let draft = draft(&style, &input).unwrap_or_else(|e| panic!("{}: {e}", book.key));
            for truth in &draft.truths {
                assert!(truth.held, "{}: {} {}", book.key, truth.what, truth.found);
            }
            assert!(draft.sews(), "{}", book.key);
        }
    }
}
