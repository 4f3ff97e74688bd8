//! What a formula gives: a quantity, an angle, a word or yes and no.

use super::super::working::Amount;
use crate::geom::Point;

/// A worked value. Quantities carry the power of length they are (0 a number, 1 a
/// length in mm, 2 a square), so that nonsense arithmetic is found.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Value<'s> {
    /// A number of mm to the power given.
    Quantity { size: f64, power: i8 },
    /// Radians.
    Angle(f64),
    /// A chosen word, one of the style's text.
    Word(&'s str),
    /// Yes or no.
    Yes(bool),
    /// A point, mm.
    Point(Point),
}

impl Value<'_> {
    pub fn mm(size: f64) -> Self {
        Value::Quantity { size, power: 1 }
    }

    pub fn number(size: f64) -> Self {
        Value::Quantity { size, power: 0 }
    }

    /// The words for this kind of value in messages.
    pub fn kind(&self) -> &'static str {
        match self {
            Value::Quantity { power: 0, .. } => "a number",
            Value::Quantity { power: 1, .. } => "a length",
            Value::Quantity { power: 2, .. } => "a length times a length",
            Value::Quantity { .. } => "a mixed quantity",
            Value::Angle(_) => "an angle",
            Value::Word(_) => "a word",
            Value::Yes(_) => "yes or no",
            Value::Point(_) => "a point",
        }
    }

    /// As it stands in a working; `None` where a person would not write it down
    /// (a length times a length).
    pub fn amount(&self) -> Option<Amount> {
        Some(match self {
            Value::Quantity { size, power: 0 } => Amount::Number(*size),
            Value::Quantity { size, power: 1 } => Amount::Mm(*size),
            Value::Quantity { .. } | Value::Point(_) => return None,
            Value::Angle(radians) => Amount::Angle(*radians),
            Value::Word(word) => Amount::Word(word.replace('_', " ")),
            Value::Yes(yes) => Amount::Word(if *yes { "yes" } else { "no" }.into()),
        })
    }
}
