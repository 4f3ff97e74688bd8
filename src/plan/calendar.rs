//! When the workroom works: minutes of each weekday, closed days and half-days.

use std::collections::BTreeMap;

use chrono::{Datelike, Days, NaiveDate, Weekday};

/// How far ahead anything is planned: three years. A garment that is not ready by
/// then has no day at all, and the plan says so instead of counting on.
pub(super) const HORIZON_DAYS: u32 = 3 * 366;

/// How much of a day is closed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Closing {
    /// Nobody works.
    Day,
    /// Half the usual minutes: a market morning, no current after noon.
    Half,
}

/// The minutes of one day, by whose hands they are.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Hours {
    /// The owner's, who cuts and fits.
    pub owner: u32,
    /// All helpers' together, who sew and finish.
    pub helpers: u32,
}

impl Hours {
    /// Owner's and helpers' together.
    #[must_use]
    pub const fn total(self) -> u32 {
        self.owner.saturating_add(self.helpers)
    }

    /// This percentage of both, rounded down.
    #[must_use]
    pub fn percent(self, percent: u32) -> Hours {
        let of = |minutes: u32| {
            let part = u64::from(minutes) * u64::from(percent.min(100)) / 100;
            u32::try_from(part).unwrap_or(minutes)
        };
        Hours { owner: of(self.owner), helpers: of(self.helpers) }
    }
}

/// The workroom's week, and the days that differ.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Calendar {
    owner: [u32; 7],
    helpers: [u32; 7],
    closed: BTreeMap<NaiveDate, Closing>,
}

impl Calendar {
    /// A week of the owner's minutes, Monday first, nothing closed, no helpers. A
    /// day has at most 1,440 minutes.
    #[must_use]
    pub fn of_week(minutes: [u32; 7]) -> Calendar {
        Calendar { owner: minutes.map(|day| day.min(1440)), ..Calendar::default() }
    }

    /// The same with the helpers' minutes of each weekday, all helpers together.
    #[must_use]
    pub fn with_helpers(self, minutes: [u32; 7]) -> Calendar {
        Calendar { helpers: minutes, ..self }
    }

    /// The same with this day closed, wholly or by half.
    #[must_use]
    pub fn closed_on(mut self, day: NaiveDate, closing: Closing) -> Calendar {
        self.closed.insert(day, closing);
        self
    }

    /// The minutes of this day.
    #[must_use]
    pub fn hours(&self, day: NaiveDate) -> Hours {
        let of = |week: &[u32; 7]| place(day.weekday()).and_then(|place| week.get(place)).copied().unwrap_or(0);
        let usual = Hours { owner: of(&self.owner), helpers: of(&self.helpers) };
        match self.closed.get(&day) {
            None => usual,
            Some(Closing::Half) => usual.percent(50),
            Some(Closing::Day) => Hours::default(),
        }
    }

    /// Whether anybody works on this day.
    #[must_use]
    pub fn is_open(&self, day: NaiveDate) -> bool {
        self.hours(day).total() > 0
    }

    /// This day if it is open, else the next open one; `None` when the shop does
    /// not work within three years.
    #[must_use]
    pub fn open_from(&self, day: NaiveDate) -> Option<NaiveDate> {
        (0..HORIZON_DAYS).map(|more| after(day, more)).find(|day| self.is_open(*day))
    }

    /// The open day `count` open days before this one (0: this day, or the last open one before it).
    #[must_use]
    pub fn open_back(&self, day: NaiveDate, count: u32) -> Option<NaiveDate> {
        let first = if self.is_open(day) { 0 } else { 1 };
        let skip = if first == 1 { count.max(1) - 1 } else { count };
        let mut open = (first..HORIZON_DAYS).map(|less| before(day, less)).filter(|day| self.is_open(*day));
        open.nth(usize::try_from(skip).unwrap_or(usize::MAX))
    }

    /// The open day `count` open days after this one (0: this day or the next open one).
    #[must_use]
    pub fn open_on(&self, day: NaiveDate, count: u32) -> Option<NaiveDate> {
        let mut open = (0..HORIZON_DAYS).map(|more| after(day, more)).filter(|day| self.is_open(*day));
        open.nth(usize::try_from(count).unwrap_or(usize::MAX))
    }
}

/// The day `count` days later, or the last day that a calendar has.
pub(super) fn after(day: NaiveDate, count: u32) -> NaiveDate {
    day.checked_add_days(Days::new(u64::from(count))).unwrap_or(NaiveDate::MAX)
}

/// The day `count` days earlier, or the first day that a calendar has.
pub(super) fn before(day: NaiveDate, count: u32) -> NaiveDate {
    day.checked_sub_days(Days::new(u64::from(count))).unwrap_or(NaiveDate::MIN)
}

/// The Monday of this day's week.
pub(super) fn monday(day: NaiveDate) -> NaiveDate {
    before(day, day.weekday().num_days_from_monday())
}

fn place(weekday: Weekday) -> Option<usize> {
    usize::try_from(weekday.num_days_from_monday()).ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn day(text: &str) -> NaiveDate {
        text.parse().unwrap()
    }

    #[test]
    fn closed_days_half_days_and_sundays_have_their_minutes() {
        // 4 May 2026 is a Monday.
        let calendar = Calendar::of_week([360, 360, 360, 360, 360, 240, 0])
            .with_helpers([400; 7])
            .closed_on(day("2026-05-05"), Closing::Day)
            .closed_on(day("2026-05-06"), Closing::Half);
        assert_eq!(calendar.hours(day("2026-05-04")), Hours { owner: 360, helpers: 400 });
        assert!(!calendar.is_open(day("2026-05-05")));
        assert_eq!(calendar.hours(day("2026-05-06")), Hours { owner: 180, helpers: 200 });
        assert_eq!(calendar.hours(day("2026-05-10")).owner, 0);
        assert_eq!(calendar.hours(day("2026-05-04")).percent(70), Hours { owner: 252, helpers: 280 });
    }

    #[test]
    fn counting_open_days_leaves_out_the_closed_ones() {
        let calendar = Calendar::of_week([1, 1, 1, 1, 1, 1, 0]).closed_on(day("2026-05-09"), Closing::Day);
        assert_eq!(calendar.open_from(day("2026-05-09")), Some(day("2026-05-11")));
        assert_eq!(calendar.open_back(day("2026-05-11"), 1), Some(day("2026-05-08")));
        assert_eq!(calendar.open_back(day("2026-05-10"), 0), Some(day("2026-05-08")));
        assert_eq!(calendar.open_back(day("2026-05-10"), 1), Some(day("2026-05-08")));
        assert_eq!(calendar.open_on(day("2026-05-08"), 1), Some(day("2026-05-11")));
        assert_eq!(Calendar::of_week([0; 7]).open_from(day("2026-05-09")), None);
    }

    #[test]
    fn the_ends_of_time_are_no_fall() {
        let calendar = Calendar::of_week([60; 7]);
        assert_eq!(calendar.open_back(NaiveDate::MIN, 3), Some(NaiveDate::MIN));
        assert_eq!(calendar.open_on(NaiveDate::MAX, 3), Some(NaiveDate::MAX));
        assert_eq!(monday(NaiveDate::MIN).max(NaiveDate::MIN), monday(NaiveDate::MIN));
    }
}
