//! A style: one garment type of the style book as rules, read from its text.
//!
//! The text is TOML with ordinary arithmetic (DEVELOPERS.md, "How to add a style").
//! Reading finds every slip that needs no body: unknown keys and names, formulas
//! that do not read, outlines that do not close.

mod lining;
mod names;
mod notch;
mod order;
mod outline;
mod pleat;
mod read;
mod read_darts;
mod relabel;
mod rules;
mod table;

pub(crate) use lining::LiningRule;
pub(crate) use notch::NotchRule;
pub(crate) use order::Work;
pub(crate) use outline::{EdgeKind, EdgeRule, End, Outline};
pub(crate) use pleat::PleatRule;
pub use relabel::relabelled;
pub use rules::{Choice, ChoiceKind, Style};
pub(crate) use rules::{DartFrom, DartRule, PieceRule, SeamRule, SolveRule, StripRule, TurnRule};
