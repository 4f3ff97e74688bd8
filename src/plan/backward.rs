//! Back from the promised day: by when each task must be done.
//!
//! Finished by the promised day less the grace; each task before by the day on
//! which the next must begin, at the promised share of the hours, as if the
//! workroom had nothing else. Work that goes to a fitting is ready on the open day
//! before it. These days rank the garments against one another; whether the room
//! has the hours for all of them is what `forward` answers.

use chrono::NaiveDate;

use super::calendar::{Calendar, HORIZON_DAYS, before};
use super::work::{Hands, Rules, Stage, Work};

/// By when the tasks of a garment must be done.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct DueDays {
    /// One day a task, in the order of the work; empty without a promised day, or
    /// when the shop has no hours.
    pub by: Vec<NaiveDate>,
    /// The day on which the first task must begin at the latest.
    pub start_by: Option<NaiveDate>,
    /// The day by which everything is to be done.
    pub finish_by: Option<NaiveDate>,
}

impl DueDays {
    /// The last day for the next task of this stage that is still to do.
    #[must_use]
    pub fn next(&self, work: &Work, stage: Stage) -> Option<NaiveDate> {
        work.tasks.iter().zip(&self.by).find(|(task, _)| task.stage == stage).map(|(_, by)| *by)
    }
}

/// The due days of this garment.
#[must_use]
pub fn due_days(work: &Work, calendar: &Calendar, rules: Rules) -> DueDays {
    back(work, calendar, rules).unwrap_or_default()
}

fn back(work: &Work, calendar: &Calendar, rules: Rules) -> Option<DueDays> {
    let finish_by = calendar.open_back(work.promised?, rules.grace)?;
    let mut place = Place { day: finish_by, used: 0, calendar, percent: rules.promise_percent };
    let mut by = Vec::with_capacity(work.tasks.len());
    for task in work.tasks.iter().rev() {
        if task.hangs > 0 {
            place.move_to(before(place.day, task.hangs));
        }
        if task.stage == Stage::Fit {
            // An arranged day is kept, unless it leaves no time for what follows it.
            let day = match task.on.filter(|on| *on <= place.day) {
                Some(arranged) => arranged,
                None => place.spend(task.minutes, task.stage.hands())?,
            };
            by.push(day);
            place.move_to(calendar.open_back(before(place.day.min(day), 1), 0)?);
        } else {
            by.push(place.spend(task.minutes, task.stage.hands())?);
        }
    }
    by.reverse();
    let first_is_fitting = work.tasks.first().is_some_and(|task| task.stage == Stage::Fit);
    let start_by = if first_is_fitting { by.first().copied() } else { Some(place.day) };
    Some(DueDays { by, start_by, finish_by: Some(finish_by) })
}

/// A place in the calendar, walked backwards: a day, and how much of its end is taken.
struct Place<'a> {
    day: NaiveDate,
    used: u32,
    calendar: &'a Calendar,
    percent: u32,
}

impl Place<'_> {
    fn move_to(&mut self, day: NaiveDate) {
        self.day = day;
        self.used = 0;
    }

    /// Takes minutes off the end, day by day; the day on which the last of them is
    /// worked, or `None` when three years do not hold them.
    fn spend(&mut self, minutes: u32, hands: Hands) -> Option<NaiveDate> {
        let mut left = minutes;
        let mut last = None;
        for _ in 0..HORIZON_DAYS {
            let room = self.room(hands);
            if room > 0 {
                last = last.or(Some(self.day));
                let taken = left.min(room);
                self.used = self.used.saturating_add(taken);
                left -= taken;
            }
            if left == 0 && last.is_some() {
                return last;
            }
            self.move_to(before(self.day, 1));
        }
        None
    }

    fn room(&self, hands: Hands) -> u32 {
        let hours = self.calendar.hours(self.day).percent(self.percent);
        let rest = hours.total().saturating_sub(self.used);
        match hands {
            Hands::Owner => rest.min(hours.owner),
            Hands::Any => rest,
        }
    }
}
