//! An order: who pays, by when, for what occasion. Its garments are rows of their own.

use std::fmt;
use std::str::FromStr;

use chrono::NaiveDate;

use super::{ClientId, OrderId, PersonId};

keyed! {
    /// Whether work on an order goes on.
    Standing {
        /// Work goes on.
        Open = "open", "open";
        /// Waiting, by agreement.
        OnHold = "on_hold", "on hold";
        /// Called off. Orders are never deleted.
        Cancelled = "cancelled", "cancelled";
    }
}

/// An order as kept.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Order {
    /// Which order.
    pub id: OrderId,
    /// Counts the edits of this row.
    pub version: i64,
    /// The number that people see.
    pub number: OrderNumber,
    /// Who took it.
    pub taken_by: PersonId,
    /// When it was written (UTC milliseconds).
    pub at_ms: i64,
    /// Whether work goes on.
    pub standing: Standing,
    /// Why it is on hold or cancelled.
    pub standing_reason: String,
    /// What was agreed.
    pub facts: OrderFacts,
}

/// What a person writes about an order.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OrderFacts {
    /// Who pays.
    pub client: ClientId,
    /// The day it was taken.
    pub taken: NaiveDate,
    /// The day promised, if one was.
    pub promised: Option<NaiveDate>,
    /// For what: a wedding, school, work.
    pub event: String,
    /// The day of the event, when it is fixed.
    pub event_day: Option<NaiveDate>,
    /// Anything else.
    pub note: String,
}

/// The number that people see: the year and a count without gaps, `2026-0147`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct OrderNumber {
    /// The year in which the order was taken.
    pub year: i32,
    /// Which order of that year, from 1.
    pub count: u32,
}

impl fmt::Display for OrderNumber {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}-{:04}", self.year, self.count)
    }
}

/// A text that is no order number.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("“{text}” is not an order number. Write the year and the number, such as 2026-0147.")]
pub struct OrderNumberError {
    /// The text as typed.
    pub text: String,
}

impl FromStr for OrderNumber {
    type Err = OrderNumberError;

    fn from_str(text: &str) -> Result<OrderNumber, OrderNumberError> {
        let unfit = || OrderNumberError { text: text.chars().take(40).collect() };
        let (year, count) = text.trim().split_once('-').ok_or_else(unfit)?;
        let digits = |part: &str| !part.is_empty() && part.bytes().all(|byte| byte.is_ascii_digit());
        if year.len() != 4 || !digits(year) || !digits(count) || count.len() > 9 {
            return Err(unfit());
        }
        let number =
            OrderNumber { year: year.parse().map_err(|_| unfit())?, count: count.parse().map_err(|_| unfit())? };
        if number.count == 0 { Err(unfit()) } else { Ok(number) }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn what_is_no_number_is_refused_in_words() {
        for text in ["", "147", "2026-", "2026-0000", "26-1", "2026-1a", "2026-+1", "2026-0147-B"] {
            assert!(text.parse::<OrderNumber>().is_err(), "{text}");
        }
        let refused = "banana".parse::<OrderNumber>().unwrap_err().to_string();
        assert_eq!(refused, "“banana” is not an order number. Write the year and the number, such as 2026-0147.");
    }

    proptest! {
        #[test]
        fn a_shown_number_reads_back(year in 1000..9999_i32, count in 1..999_999_999_u32) {
            let number = OrderNumber { year, count };
            prop_assert_eq!(number.to_string().parse(), Ok(number));
        }
    }
}
