//! A style: one garment type of the style book as rules, read from its text.
//!
//! The text is TOML with ordinary arithmetic (DEVELOPERS.md, "How to add a style").
//! Reading finds every slip that needs no body: unknown keys and names, formulas
//! that do not read, outlines that do not close.

mod names;
mod outline;
mod read;
mod relabel;
mod rules;
mod table;

pub(crate) use outline::{At, EdgeKind, EdgeRule, End, Outline};
pub use relabel::relabelled;
pub use rules::{Choice, ChoiceKind, Style};
pub(crate) use rules::{DartRule, PieceRule, SeamRule, SolveRule, StripRule};
