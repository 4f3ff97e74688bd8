//! The earliest day to promise, and whom a rush order makes late.

use chrono::NaiveDate;

use super::backward::{DueDays, due_days};
use super::calendar::{Calendar, after};
use super::forward::run;
use super::outlook::ready;
use super::work::{Rules, Work};

/// A day that can be promised.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Promise {
    /// The earliest open day that makes nobody late.
    pub day: NaiveDate,
    /// The day on which the garment is then ready.
    pub ready: NaiveDate,
}

/// A garment that a new one makes late, or later.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct MadeLate {
    /// The caller's number for the garment.
    pub id: i64,
    /// The day promised for it.
    pub promised: NaiveDate,
    /// The day on which it is ready without the new one.
    pub before: Option<NaiveDate>,
    /// The day on which it is ready with it.
    pub after: Option<NaiveDate>,
}

/// The earliest open day on which `new` (its own promised day is not looked at) can
/// be promised: ready with the grace left, on the promised share of the hours, and
/// nobody pushed past the day by which it should be finished who was not past it,
/// nor further past it. `None` when the calendar has no hours for it.
#[must_use]
pub fn earliest_promise(
    new: &Work,
    works: &[Work],
    calendar: &Calendar,
    rules: Rules,
    today: NaiveDate,
) -> Option<Promise> {
    /// Twelve weeks of six days are tried one by one. Further out the days are halved: with
    /// nobody late, whoever can be promised a day can be promised any later one.
    const ONE_BY_ONE: u32 = 72;
    let finder = Finder::new(new, works, calendar, rules, today);
    // Alone in the workroom: no earlier day can be kept.
    let alone = Finder::new(new, &[], calendar, rules, today).ready_when(None)?;
    // Behind everybody: such a day can surely be kept.
    let behind = finder.ready_when(None)?;
    let farthest = works.iter().filter_map(|work| work.promised).max().map_or(behind, |far| far.max(behind));
    let last = calendar.open_on(after(farthest, 1), rules.grace.saturating_add(1))?;
    let try_day = |day: NaiveDate| finder.keeps(day).map(|ready| Promise { day, ready });
    let mut low = calendar.open_on(calendar.open_from(alone)?, rules.grace)?;
    for _ in 0..ONE_BY_ONE {
        if low >= last {
            break;
        }
        if let Some(promise) = try_day(low) {
            return Some(promise);
        }
        low = calendar.open_from(after(low, 1))?;
    }
    let mut best = Promise { day: last, ready: behind };
    while low < best.day {
        let half = u32::try_from((best.day - low).num_days() / 2).ok()?;
        let middle = calendar.open_from(after(low, half)).filter(|middle| *middle < best.day).unwrap_or(low);
        match try_day(middle) {
            Some(promise) => best = promise,
            None => low = calendar.open_from(after(middle, 1))?,
        }
    }
    Some(best)
}

/// Whom `new`, promised as it says, makes late or later, at the promised share of
/// the hours; in the order of their promised days.
#[must_use]
pub fn made_late(new: &Work, works: &[Work], calendar: &Calendar, rules: Rules, today: NaiveDate) -> Vec<MadeLate> {
    let finder = Finder::new(new, works, calendar, rules, today);
    let with = finder.with(new.promised);
    let mut late: Vec<MadeLate> = finder
        .pushed(&with)
        .filter_map(|(work, _, before, after)| {
            let promised = work.promised.filter(|promised| after.is_none_or(|after| after > *promised))?;
            Some(MadeLate { id: work.id, promised, before, after })
        })
        .collect();
    late.sort_by_key(|late| (late.promised, late.id));
    late
}

/// The plan without the new garment, kept to be compared with.
struct Finder<'a> {
    works: Vec<Work>,
    due: Vec<DueDays>,
    before: Vec<Option<NaiveDate>>,
    calendar: &'a Calendar,
    rules: Rules,
    today: NaiveDate,
}

impl<'a> Finder<'a> {
    fn new(new: &Work, works: &[Work], calendar: &'a Calendar, rules: Rules, today: NaiveDate) -> Finder<'a> {
        let due: Vec<DueDays> = works.iter().map(|work| due_days(work, calendar, rules)).collect();
        let courses = run(works, &due, calendar, rules, today, rules.promise_percent).courses;
        let before = works.iter().zip(&courses).map(|(work, course)| ready(work, course)).collect();
        let works = works.iter().chain([new]).cloned().collect();
        Finder { works, due, before, calendar, rules, today }
    }

    /// The ready days of all garments, the new one last, when it is promised so.
    fn with(&self, promised: Option<NaiveDate>) -> Vec<Option<NaiveDate>> {
        let mut works = self.works.clone();
        let mut due = self.due.clone();
        if let Some(new) = works.last_mut() {
            new.promised = promised;
            due.push(due_days(new, self.calendar, self.rules));
        }
        let courses = run(&works, &due, self.calendar, self.rules, self.today, self.rules.promise_percent).courses;
        works.iter().zip(&courses).map(|(work, course)| ready(work, course)).collect()
    }

    fn ready_when(&self, promised: Option<NaiveDate>) -> Option<NaiveDate> {
        self.with(promised).last().copied().flatten()
    }

    /// The ready day of the new garment when this day can be promised, else nothing.
    fn keeps(&self, day: NaiveDate) -> Option<NaiveDate> {
        let with = self.with(Some(day));
        let ready = with.last().copied().flatten()?;
        let finish_by = self.calendar.open_back(day, self.rules.grace)?;
        let harms = self
            .pushed(&with)
            .any(|(_, due, _, after)| due.finish_by.is_some_and(|by| after.is_none_or(|after| after > by)));
        (ready <= finish_by && !harms).then_some(ready)
    }

    /// The garments that are ready later with the new one than without: the work, its
    /// due days, its ready day before and after.
    fn pushed<'f>(
        &'f self,
        with: &'f [Option<NaiveDate>],
    ) -> impl Iterator<Item = (&'f Work, &'f DueDays, Option<NaiveDate>, Option<NaiveDate>)> {
        let far = |day: &Option<NaiveDate>| day.unwrap_or(NaiveDate::MAX);
        let pairs = self.works.iter().zip(&self.due).zip(self.before.iter().zip(with));
        pairs
            .filter(move |(_, (before, after))| far(after) > far(before))
            .map(|((work, due), (before, after))| (work, due, *before, *after))
    }
}
