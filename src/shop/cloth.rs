//! What is known of the cloth of a garment.

use chrono::NaiveDate;

use crate::measure::Length;

use super::Money;

keyed! {
    /// By what the cloth is priced.
    PricedBy {
        /// By the yard.
        Yard = "yard", "a yard";
        /// By the metre.
        Metre = "metre", "a metre";
    }
}

impl PricedBy {
    /// The length that the price is for.
    #[must_use]
    pub const fn length(self) -> Length {
        match self {
            PricedBy::Yard => Length::inches(36, 0),
            PricedBy::Metre => Length::from_nm(1_000_000_000),
        }
    }
}

/// The cloth of a garment, as measured at the counter or wished for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ClothFacts {
    /// Colour, kind and flaws in words; the swatch on the sheet stands beside them.
    pub words: String,
    /// Width from selvedge to selvedge.
    pub width: Option<Length>,
    /// How much there is: measured with the client present, or bought.
    pub length: Option<Length>,
    /// Whether the client brought it.
    pub brought: bool,
    /// The day on which it is to come, where it is not here yet.
    pub comes: Option<NaiveDate>,
    /// Whether it was washed or steamed before it was measured; `None` when nobody knows.
    pub washed: Option<bool>,
    /// Whether all pieces must point the same way (nap or one-way print).
    pub one_way: bool,
    /// What it costs by the yard or metre.
    pub price: Option<Money>,
    /// By what it is priced.
    pub priced_by: PricedBy,
}

impl ClothFacts {
    /// Cloth of which nothing is known yet.
    pub const UNKNOWN: ClothFacts = ClothFacts {
        words: String::new(),
        width: None,
        length: None,
        brought: false,
        comes: None,
        washed: None,
        one_way: false,
        price: None,
        priced_by: PricedBy::Yard,
    };
}
