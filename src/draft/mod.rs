//! Styles as rules, drafted for a body: dimensions with working, pieces, truths.

mod drafted;
mod working;

pub use drafted::{
    Assumed, Cloth, CutLine, Dimension, Draft, Edge, Grain, Measured, Note, Notion, Piece, Step, StepStage, Strip,
    Truth,
};
pub use working::{Amount, Term, Working};
