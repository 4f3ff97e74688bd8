//! A style's picture for the book: its pieces as its rules draw them on an invented body.

use crate::draft::{self, Style};
use crate::shop::StyleVersion;

use super::desk::Desk;
use super::drawing::Drawing;
use super::style_body::usual_input;
use super::usual_body::Build;

/// The picture; nothing when the rules do not draft this body.
#[must_use]
pub fn of(version: &StyleVersion, desk: &Desk) -> Option<Drawing> {
    of_text(&version.text, desk)
}

/// The picture of a text.
#[must_use]
pub fn of_text(text: &str, desk: &Desk) -> Option<Drawing> {
    let style = Style::read(text).ok()?;
    draft::draft(&style, &usual_input(&style, Build::Usual, desk)).ok().map(|draft| Drawing::of_all(&draft))
}
