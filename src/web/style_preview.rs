//! What a style's text gives on one body: its pieces, its dimensions with working, what was
//! checked; or where it is at fault. Nothing is written.

use crate::draft::{self, Draft, DraftError, Style, StyleError};

use super::desk::Desk;
use super::draft_view::DraftView;
use super::drawing::Drawing;
use super::style_body::On;
use super::writing;

/// A text tried on one body.
pub struct Preview {
    /// On whom.
    pub on: String,
    /// Where the text is at fault, if it is.
    pub fault: Option<Place>,
    /// Why it gives no draft on this body, if it does not.
    pub not: Option<String>,
    /// The draft.
    pub drafted: Option<(Drawing, DraftView)>,
}

/// A place in a text with what is wrong there.
pub struct Place {
    /// Line, counted from 1.
    pub line: usize,
    /// Column in characters, counted from 1.
    pub column: usize,
    /// What is wrong and what to write instead.
    pub words: String,
    /// The line as typed.
    pub typed: String,
    /// Blanks up to the sign at fault, and an arrow.
    pub arrow: String,
}

impl Preview {
    /// The text tried on this body.
    #[must_use]
    pub fn of(text: &str, on: &On, desk: &Desk) -> Preview {
        let mut preview = Preview { on: on.words(), fault: None, not: None, drafted: None };
        match try_on(text, on, desk) {
            Ok(draft) => preview.drafted = Some((Drawing::of_all(&draft), DraftView::of(&draft, desk.showing()))),
            Err(Not::Fault(why)) => preview.fault = Some(Place::of(&why, text)),
            Err(Not::Drafted(why)) => preview.not = Some(writing::true_fractions(&why)),
        }
        preview
    }

    /// Whether there is a draft and it sews together.
    #[must_use]
    pub fn sews(&self) -> bool {
        self.drafted.as_ref().is_some_and(|(_, view)| view.broken == 0)
    }
}

/// Why there is no draft.
pub enum Not {
    /// The text is at fault.
    Fault(StyleError),
    /// It cannot be drafted on this body, in words.
    Drafted(String),
}

/// The draft of a text on this body.
///
/// # Errors
/// [`Not`] with the place or the words.
pub fn try_on(text: &str, on: &On, desk: &Desk) -> Result<Draft, Not> {
    let style = Style::read(text).map_err(Not::Fault)?;
    draft::draft(&style, &on.input(&style, desk)).map_err(|why| match why {
        DraftError::Rule(why) => Not::Fault(why),
        other => Not::Drafted(other.to_string()),
    })
}

impl Place {
    /// The place of this fault in the text.
    #[must_use]
    pub fn of(why: &StyleError, text: &str) -> Place {
        // A line is shown around its fault; no line of the book is longer.
        const BEFORE: usize = 60;
        const MOST: usize = 120;
        let line: Vec<char> = text.lines().nth(why.line.saturating_sub(1)).unwrap_or("").chars().collect();
        let column = why.column.saturating_sub(1).min(line.len());
        let from = if line.len() > MOST { column.saturating_sub(BEFORE) } else { 0 };
        let shown: String =
            line.iter().skip(from).take(MOST).map(|sign| if *sign == '\t' { ' ' } else { *sign }).collect();
        Place {
            line: why.line,
            column: why.column,
            words: writing::true_fractions(&why.message),
            typed: shown,
            arrow: format!("{}↑", " ".repeat(column - from)),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_arrow_stands_under_the_fault() {
        let text = format!("one\ntwö three\n{}X\n", "y".repeat(300));
        let at = |line, column| Place::of(&StyleError { line, column, message: "no".into() }, &text);
        let place = at(2, 5);
        assert_eq!((place.typed.as_str(), place.arrow.as_str()), ("twö three", "    ↑"));
        let far = at(3, 301);
        assert_eq!(far.typed.chars().nth(far.arrow.chars().count() - 1), Some('X'));
        // A place past the end of the text is still a place.
        assert_eq!(at(9, 9).arrow, "↑");
    }
}
