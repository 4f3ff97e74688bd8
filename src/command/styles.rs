//! `bodkin styles`: one line a style, key first.

use std::io::Write as _;

use super::CommandError;
use crate::draft::{BOOK, Style};

/// Prints the styles of the book.
///
/// # Errors
/// A style that does not read, with its place.
pub fn styles() -> Result<(), CommandError> {
    let wide = BOOK.iter().map(|book| book.key.len()).max().unwrap_or(0);
    let mut out = std::io::stdout();
    for book in BOOK {
        let style = Style::read(book.text).map_err(|e| CommandError(format!("{}: {e}", book.key)))?;
        let _ = writeln!(out, "{:wide$}  {}. {}", book.key, style.label(), style.about());
    }
    Ok(())
}
