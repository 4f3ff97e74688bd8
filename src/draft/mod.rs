//! Styles as rules, drafted for a body: dimensions with working, pieces, truths.

mod book;
mod drafted;
mod engine;
mod fault;
mod formula;
mod guide;
mod marked;
mod style;
mod working;

pub use book::{BOOK, BookStyle};
pub use drafted::{
    Assumed, Cloth, CutLine, Dart, Dimension, Draft, Edge, Grain, Measured, Note, Notion, Piece, Seam, Step, StepStage,
    Strip, Truth,
};
pub use engine::{Correction, DraftError, Input, corrected, draft, kinds, read_number};
pub use fault::{Span, StyleError};
pub use guide::{GUIDE_APRON, GUIDE_SKIRT, GuideStep};
pub use marked::{Notch, Pleat, PleatFold, PleatKind};
pub use style::{Choice, ChoiceKind, Style, relabelled};
pub use working::{Amount, Term, Working};
