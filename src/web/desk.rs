//! The shop at this moment: its settings and its day, and how it writes figures.

use chrono::{DateTime, NaiveDate, TimeZone, Utc};
use chrono_tz::Tz;

use crate::measure::{Length, Showing};
use crate::shop::{Money, Settings};

use super::frame::{Frame, Here};
use super::writing;

/// Settings and day, read once for each request.
#[derive(Clone, Debug)]
pub struct Desk {
    /// The settings as kept.
    pub settings: Settings,
    /// The instant of the request, UTC milliseconds.
    pub now_ms: i64,
    /// The shop's own day.
    pub today: NaiveDate,
}

impl Desk {
    /// The shop with these settings at this instant.
    #[must_use]
    pub fn at(settings: Settings, now_ms: i64) -> Desk {
        let today = day_of(now_ms, zone_of(&settings));
        Desk { settings, now_ms, today }
    }

    /// The frame of a page.
    #[must_use]
    pub fn frame(&self, title: impl Into<String>, here: Here) -> Frame {
        Frame::new(title, self.settings.shop_name.clone(), here).keyed(self.now_ms)
    }

    /// How lengths are shown.
    #[must_use]
    pub const fn showing(&self) -> Showing {
        self.settings.showing
    }

    /// A length with its unit.
    #[must_use]
    pub fn length(&self, length: Length) -> String {
        writing::length(self.showing(), length)
    }

    /// A length without its unit.
    #[must_use]
    pub fn number(&self, length: Length) -> String {
        writing::number(self.showing(), length)
    }

    /// A day as it is said today.
    #[must_use]
    pub fn day(&self, day: NaiveDate) -> String {
        writing::day(day, self.today)
    }

    /// The shop's day of an instant.
    #[must_use]
    pub fn day_of(&self, at_ms: i64) -> NaiveDate {
        day_of(at_ms, zone_of(&self.settings))
    }

    /// The shop's time of an instant: `Tue 3 May, 14:05`.
    #[must_use]
    pub fn moment(&self, at_ms: i64) -> String {
        let time = zone_of(&self.settings).from_utc_datetime(&instant(at_ms).naive_utc());
        format!("{}, {}", self.day(time.date_naive()), time.format("%H:%M"))
    }

    /// An amount of money, with a thin space between thousands.
    #[must_use]
    pub fn money(&self, money: Money) -> String {
        writing::money(money)
    }
}

fn zone_of(settings: &Settings) -> Tz {
    settings.zone.parse().unwrap_or(Tz::UTC)
}

fn instant(at_ms: i64) -> DateTime<Utc> {
    DateTime::from_timestamp_millis(at_ms).unwrap_or_default()
}

fn day_of(at_ms: i64, zone: Tz) -> NaiveDate {
    zone.from_utc_datetime(&instant(at_ms).naive_utc()).date_naive()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_day_is_the_shops_own() {
        let late = 1_777_851_000_000; // 2026-05-03 23:30 UTC
        assert_eq!(day_of(late, Tz::UTC).to_string(), "2026-05-03");
        assert_eq!(day_of(late, chrono_tz::Africa::Nairobi).to_string(), "2026-05-04");
        assert_eq!(day_of(i64::MAX, Tz::UTC).to_string(), "1970-01-01");
    }
}
