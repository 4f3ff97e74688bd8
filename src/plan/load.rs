//! Work against hours, by day and by week.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use super::backward::DueDays;
use super::calendar::{Calendar, after, monday};
use super::forward::Run;
use super::work::Work;

/// One day's work against its hours.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct DayLoad {
    /// Which day.
    pub day: NaiveDate,
    /// All minutes of the day.
    pub hours: u32,
    /// Minutes that the plan spends on it, at the promised share of the hours.
    pub planned: u32,
    /// Minutes of work that must be done by it; what is overdue counts for today.
    pub due: u32,
}

/// One week's work against its hours.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct WeekLoad {
    /// Its Monday.
    pub monday: NaiveDate,
    /// All minutes of the week's days from today on.
    pub hours: u32,
    /// Minutes that the plan spends in it.
    pub planned: u32,
    /// Minutes of work that must be done in it. More than the hours: it is overfull.
    pub due: u32,
}

/// The days on which work is planned or due.
pub(super) fn day_loads(
    works: &[Work],
    due: &[DueDays],
    run: &Run,
    calendar: &Calendar,
    today: NaiveDate,
) -> Vec<DayLoad> {
    let mut days: BTreeMap<NaiveDate, (u32, u32)> = BTreeMap::new();
    for (day, minutes) in &run.worked {
        days.entry(*day).or_default().0 += minutes;
    }
    for (work, due) in works.iter().zip(due) {
        for (task, by) in work.tasks.iter().zip(&due.by) {
            let load = &mut days.entry((*by).max(today)).or_default().1;
            *load = load.saturating_add(task.minutes);
        }
    }
    days.into_iter()
        .map(|(day, (planned, due))| DayLoad { day, hours: calendar.hours(day).total(), planned, due })
        .collect()
}

/// `count` weeks from the one of `today` on, empty ones too.
#[must_use]
pub fn weeks(days: &[DayLoad], calendar: &Calendar, today: NaiveDate, count: u32) -> Vec<WeekLoad> {
    (0..count)
        .map(|week| {
            let start = after(monday(today), week.saturating_mul(7));
            let end = after(start, 7);
            let inside = || days.iter().filter(|load| (start..end).contains(&load.day));
            let hours = (0..7).map(|more| after(start, more)).filter(|day| *day >= today);
            WeekLoad {
                monday: start,
                hours: hours.map(|day| calendar.hours(day).total()).fold(0, u32::saturating_add),
                planned: inside().map(|load| load.planned).fold(0, u32::saturating_add),
                due: inside().map(|load| load.due).fold(0, u32::saturating_add),
            }
        })
        .collect()
}
