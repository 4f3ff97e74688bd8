//! The workroom: its name, hours, closed days and the people who work in it.

use std::collections::BTreeMap;

use chrono::{Datelike, Days, NaiveDate, Weekday};

use crate::shop::{Currency, Money, Settings};

/// Its zone. Without summer time, so that an instant of the past is a local time at once.
pub const ZONE: &str = "Africa/Accra";

/// The name over the door.
pub(super) const NAME: &str = "The Ropewalk Workroom, Port Ostrel";

/// The owner.
pub(super) const OWNER_NAME: &str = "Ines Marwood";

/// Those who help: the first sews all week, the second finishes and minds the counter.
pub(super) const HELPERS: [&str; 2] = ["Mercy", "Oumar"];

/// Working minutes, Monday first: the owner's six hours and some of the helper's (judgement).
const MINUTES: [u32; 7] = [540, 540, 540, 540, 540, 330, 0];

/// What an hour of work costs, in cedis: judgement, a price that a small workroom could ask.
const HOUR_RATE: i64 = 42;

/// So many cedis in pesewas.
pub(super) const fn cedis(whole: i64) -> i64 {
    whole * 100
}

/// The week of the workroom with its closed days.
#[derive(Clone, Debug)]
pub(super) struct Week {
    closed: BTreeMap<NaiveDate, String>,
}

impl Week {
    /// Closed days round about this day: two that were, one to come.
    pub(super) fn of(today: NaiveDate) -> Week {
        let plain = Week { closed: BTreeMap::new() };
        let days = [(-140, "Net blessing"), (-61, "Stocktaking"), (16, "Harbour feast")];
        let closed = days.map(|(away, why)| (plain.on(shifted(today, away)), why.to_string()));
        Week { closed: closed.into() }
    }

    /// The day itself, or the next one on which somebody works.
    pub(super) fn on(&self, mut day: NaiveDate) -> NaiveDate {
        while !self.is_open(day) {
            day = shifted(day, 1);
        }
        day
    }

    /// The day itself, or the last one before it on which somebody worked.
    pub(super) fn back(&self, mut day: NaiveDate) -> NaiveDate {
        while !self.is_open(day) {
            day = shifted(day, -1);
        }
        day
    }

    /// So many working days from now on; today, or the next one, is the first of them.
    pub(super) fn ahead(&self, today: NaiveDate, working: i64) -> NaiveDate {
        (0..working).fold(self.on(today), |day, _| self.on(shifted(day, 1)))
    }

    fn is_open(&self, day: NaiveDate) -> bool {
        day.weekday() != Weekday::Sun && !self.closed.contains_key(&day)
    }

    /// The settings of the shop, from those that a new book has.
    pub(super) fn settings(&self, fresh: Settings) -> Settings {
        let currency = Currency::new("GHS").unwrap_or(fresh.currency);
        Settings {
            opened: true,
            shop_name: NAME.into(),
            currency,
            zone: ZONE.into(),
            minutes: MINUTES,
            closed: self.closed.clone(),
            hour_rate: Money::new(cedis(HOUR_RATE), currency),
            ..fresh
        }
    }
}

/// The day so many days later, or earlier.
pub(super) fn shifted(day: NaiveDate, days: i64) -> NaiveDate {
    let by = Days::new(days.unsigned_abs());
    let moved = if days < 0 { day.checked_sub_days(by) } else { day.checked_add_days(by) };
    moved.unwrap_or(day)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nobody_works_on_a_sunday_or_a_feast() {
        let today = NaiveDate::from_ymd_opt(2026, 3, 1).unwrap();
        let week = Week::of(today);
        assert_eq!(week.on(today), shifted(today, 1));
        assert_eq!(week.back(today), shifted(today, -1));
        assert_eq!(week.closed.len(), 3);
        assert!(week.closed.keys().all(|day| !week.is_open(*day)));
    }
}
