//! What is wrong with a style's text, and where.

use std::fmt;

/// A stretch of a style's text in bytes.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Span {
    /// First byte.
    pub start: usize,
    /// One past the last byte.
    pub end: usize,
}

/// Something wrong at a place of a style's text, before its line is known.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Fault {
    pub at: Span,
    pub message: String,
}

impl Fault {
    pub fn new(at: Span, message: impl Into<String>) -> Fault {
        Fault { at, message: message.into() }
    }

    /// The fault with its line and column in `text`.
    pub fn placed(self, text: &str) -> StyleError {
        let start = self.at.start.min(text.len());
        let before = text.get(..start).unwrap_or(text);
        let line = before.matches('\n').count() + 1;
        let column = before.rsplit('\n').next().unwrap_or("").chars().count() + 1;
        StyleError { line, column, message: self.message }
    }
}

/// A style's text that cannot be used, with the place of the first fault.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StyleError {
    /// Line, counted from 1.
    pub line: usize,
    /// Column in characters, counted from 1.
    pub column: usize,
    /// What is wrong there and what to write instead.
    pub message: String,
}

impl fmt::Display for StyleError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "line {}, column {}: {}", self.line, self.column, self.message)
    }
}

impl std::error::Error for StyleError {}

/// `, did you mean “x”?` for the nearest of the known names, or nothing.
pub(crate) fn did_you_mean<'a>(word: &str, known: impl Iterator<Item = &'a str>) -> String {
    nearest(word, known).map_or_else(String::new, |name| format!(" Did you mean “{name}”?"))
}

/// The known name that is fewest letters away, if it is near enough to be a slip.
pub(crate) fn nearest<'a>(word: &str, known: impl Iterator<Item = &'a str>) -> Option<&'a str> {
    crate::measure::nearest(word, known)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_fault_is_placed_by_line_and_column() {
        let text = "one\ntwö three\n";
        let start = text.find("three").unwrap();
        let error = Fault::new(Span { start, end: start + 5 }, "no").placed(text);
        assert_eq!((error.line, error.column), (2, 5));
        assert_eq!(error.to_string(), "line 2, column 5: no");
    }
}
