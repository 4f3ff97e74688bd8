//! Styles as rules, drafted for a body: dimensions with working, pieces, truths.

mod book;
mod drafted;
mod engine;
mod fault;
mod formula;
mod marked;
mod style;
mod working;

pub use book::{BOOK, BookStyle};
pub use drafted::{
    Assumed, Cloth, CutLine, Dart, Dimension, Draft, Edge, Grain, Measured, Note, Notion, Piece, Step, StepStage,
    Strip, Truth,
};
pub use engine::{Correction, DraftError, Input, corrected, draft, read_number};
pub use fault::{Span, StyleError};
pub use marked::{Notch, Pleat, PleatFold, PleatKind};
pub use style::{Choice, ChoiceKind, Style};
pub use working::{Amount, Term, Working};
