//! A piece of one draft laid over the same piece of another: the older line dotted, the
//! newer one drawn through.

use askama::Template;

use crate::draft::Piece;

use super::drawing::{Bounds, MARGIN, legs, open_path};

/// Two drafts of one piece in one picture, without scale.
#[derive(Clone, Debug, Template)]
#[template(path = "overlay.html")]
pub struct Overlay {
    words: String,
    view: String,
    before: String,
    after: String,
    darts_before: String,
    darts_after: String,
}

impl askama::filters::HtmlSafe for Overlay {}

impl Overlay {
    /// The sewing lines of both, laid on one another where the drafts begin.
    #[must_use]
    pub fn of(old: &Piece, new: &Piece) -> Overlay {
        let bounds = Bounds::of(old.sewing.iter().chain(&new.sewing).copied());
        let darts = |piece: &Piece| -> String { piece.darts.iter().map(|dart| legs(dart, |point| point)).collect() };
        Overlay {
            words: format!("{}, the older version dotted, the newer one drawn through, without scale", new.label),
            view: bounds.view(bounds.larger_side() * MARGIN),
            before: open_path(&old.sewing, None),
            after: open_path(&new.sewing, None),
            darts_before: darts(old),
            darts_after: darts(new),
        }
    }
}
