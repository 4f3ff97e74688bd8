//! What a draft is made from, and why it cannot be made.

use std::collections::BTreeMap;

use super::super::fault::StyleError;
use super::correct::Correction;
use crate::measure::{Length, Showing};

/// One body, its choices and the shop's habits.
#[derive(Clone, Debug, PartialEq)]
pub struct Input {
    /// Body dimensions by key.
    pub body: BTreeMap<String, Length>,
    /// Choices by key, as typed: `25 in`, `3`, `whole_hem`. What is left out takes the default.
    pub choices: BTreeMap<String, String>,
    /// The shop's own allowances by name; they replace a style's defaults where it says so.
    pub allowances: BTreeMap<String, Length>,
    /// Figure notes by key: `stooped`, `low_shoulder_left`.
    pub figure: Vec<String>,
    /// What fittings showed to be added to the body or taken from it.
    pub corrections: Vec<Correction>,
    /// How lengths are shown, and the unit of a number typed without one.
    pub showing: Showing,
}

impl Input {
    /// No measures, no choices, inches to the eighth.
    #[must_use]
    pub fn new(showing: Showing) -> Input {
        Input {
            body: BTreeMap::new(),
            choices: BTreeMap::new(),
            allowances: BTreeMap::new(),
            figure: Vec::new(),
            corrections: Vec::new(),
            showing,
        }
    }
}

/// Why there is no draft.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum DraftError {
    /// The body lacks measures that the style needs.
    #[error("{} still to be taken for this style: {}.", if keys.len() == 1 { "One measure is" } else { "Some measures are" }, terms.join(", "))]
    Missing {
        /// Keys of the body dimensions.
        keys: Vec<String>,
        /// Their terms in words.
        terms: Vec<String>,
    },
    /// Choices that the style cannot take; each names the key, the limit and the remedy.
    #[error("{}", .0.iter().map(|(_, message)| message.as_str()).collect::<Vec<_>>().join(" "))]
    Choices(Vec<(String, String)>),
    /// A combination that the style refuses, in its own words.
    #[error("{0}")]
    Refused(String),
    /// An unknown that no figure between its limits solves.
    #[error("{0}")]
    Unsolved(String),
    /// A rule that does not work for these figures.
    #[error("The style's text, {0}")]
    Rule(StyleError),
}
