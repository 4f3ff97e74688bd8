//! Standing corrections: what a fitting showed of a wearer's body, kept for the next garment.

use chrono::NaiveDate;

use crate::measure::{BodySide, DimensionClass, Length, Showing, dimension, term};

use super::{ClientId, CorrectionId, FittingId, GarmentId, Letter, OrderNumber, PersonId};

/// A correction as kept. It is never changed; an end is a row of its own.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Correction {
    /// Which correction.
    pub id: CorrectionId,
    /// Who noted it.
    pub noted_by: PersonId,
    /// When it was written (UTC milliseconds).
    pub at_ms: i64,
    /// What was noted.
    pub facts: CorrectionFacts,
    /// The garment on which it was seen, as people call it.
    pub seen_on: Option<SeenOn>,
    /// When it ended, if it did.
    pub ended: Option<CorrectionEnd>,
}

/// What is noted of a correction.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CorrectionFacts {
    /// Whose body.
    pub wearer: ClientId,
    /// The garment on which it was seen; `None` when it is known from elsewhere.
    pub garment: Option<GarmentId>,
    /// The fitting at which it was seen, if at one that was arranged.
    pub fitting: Option<FittingId>,
    /// The day on which it was seen.
    pub day: NaiveDate,
    /// The body dimension: `waist_girth`.
    pub dimension: String,
    /// The wearer's side, when it is one alone.
    pub side: Option<BodySide>,
    /// How much: above nought let out or longer, below taken in or shorter.
    pub amount: Length,
    /// Anything else about it.
    pub words: String,
}

/// The garment on which a correction was seen.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SeenOn {
    /// The order.
    pub number: OrderNumber,
    /// The garment's letter.
    pub letter: Letter,
    /// What it is.
    pub what: String,
}

/// The end of a correction.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CorrectionEnd {
    /// The day from which it no longer counts.
    pub day: NaiveDate,
    /// Why, in words.
    pub reason: String,
}

/// The most that a correction can be: 4 in. What is further off was measured wrongly
/// (judgement).
pub const MOST_CORRECTED: Length = Length::inches(4, 0);

impl CorrectionFacts {
    /// Whether it can be a correction at all.
    ///
    /// # Errors
    /// In words, with the value, the limit and the remedy.
    pub fn is_fit(&self, showing: Showing) -> Result<(), String> {
        let what = term(&self.dimension);
        if dimension(&self.dimension).is_some_and(|row| row.class == DimensionClass::Finished) {
            return Err(format!(
                "{what} is a length that is wished for, not one of the body. Change the order instead."
            ));
        }
        if self.amount == Length::ZERO {
            return Err(format!("{what} is corrected by nothing. Write how much, or leave the line empty."));
        }
        if self.amount.abs() > MOST_CORRECTED {
            return Err(format!(
                "{what} is off by {}; a correction is at most {}. Measure again instead.",
                showing.with_unit(self.amount.abs()),
                showing.with_unit(MOST_CORRECTED)
            ));
        }
        Ok(())
    }

    /// What is done, without the amount: `let out`, `shorter`.
    #[must_use]
    pub fn way(&self) -> &'static str {
        let more = self.amount > Length::ZERO;
        match dimension(&self.dimension).map(|row| row.class) {
            Some(DimensionClass::Girth) => {
                if more {
                    "let out"
                } else {
                    "take in"
                }
            }
            Some(DimensionClass::Width) => {
                if more {
                    "wider"
                } else {
                    "narrower"
                }
            }
            _ => {
                if more {
                    "longer"
                } else {
                    "shorter"
                }
            }
        }
    }

    /// The correction as the trade says it: `Waist girth, left: let out 1/2 in`.
    #[must_use]
    pub fn text(&self, showing: Showing) -> String {
        let side = self.side.map_or_else(String::new, |side| format!(", {}", side.key()));
        format!("{}{side}: {} {}", term(&self.dimension), self.way(), showing.with_unit(self.amount.abs()))
    }
}

impl Correction {
    /// Whether it counts for a new garment.
    #[must_use]
    pub const fn is_in_force(&self) -> bool {
        self.ended.is_none()
    }

    /// Where it comes from: `fitting 3 May 2026`, or `noted 3 May 2026` when no garment was on.
    #[must_use]
    pub fn origin(&self) -> String {
        let how = if self.facts.garment.is_some() { "fitting" } else { "noted" };
        format!("{how} {}", self.facts.day.format("%-d %b %Y"))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn facts(dimension: &str, side: Option<BodySide>, eighths: i64) -> CorrectionFacts {
        CorrectionFacts {
            wearer: ClientId::new(1),
            garment: None,
            fitting: None,
            day: NaiveDate::default(),
            dimension: dimension.into(),
            side,
            amount: Length::inches(0, eighths),
            words: String::new(),
        }
    }

    #[test]
    fn a_correction_is_said_as_the_trade_says_it() {
        let said = |facts: CorrectionFacts| facts.text(Showing::EIGHTHS);
        assert_eq!(said(facts("waist_girth", None, 4)), "Waist girth: let out 1/2 in");
        assert_eq!(said(facts("hip_girth", Some(BodySide::Left), -3)), "Hip girth, left: take in 3/8 in");
        assert_eq!(said(facts("back_waist_length", None, 2)), "Back waist length: longer 1/4 in");
        assert_eq!(said(facts("across_back_width", None, -1)), "Across back width: narrower 1/8 in");
        assert_eq!(said(facts("nape_to_strap", None, -1)), "Nape to strap: shorter 1/8 in");
    }

    #[test]
    fn what_is_none_is_refused_with_value_limit_and_remedy() {
        let refused = |dimension, eighths| facts(dimension, None, eighths).is_fit(Showing::EIGHTHS).unwrap_err();
        assert_eq!(
            refused("waist_girth", -72),
            "Waist girth is off by 9 in; a correction is at most 4 in. Measure again instead."
        );
        assert!(refused("waist_girth", 0).contains("by nothing"));
        assert!(refused("waist_to_hem", 4).contains("Change the order"));
        assert_eq!(facts("waist_girth", None, -32).is_fit(Showing::EIGHTHS), Ok(()));
    }
}
