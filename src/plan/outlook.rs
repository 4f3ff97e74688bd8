//! The plan of all open work: due days, ready days, what is late and at risk and
//! why, and what must happen first.

use chrono::NaiveDate;

use super::backward::{DueDays, due_days};
use super::calendar::{Calendar, after};
use super::forward::{Course, Run, run};
use super::load::{DayLoad, day_loads};
use super::why::Why;
use super::work::{ClothDay, Rules, Stage, Work};

/// How a garment stands against its promised day.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Standing {
    /// In time, or nothing was promised.
    OnTime,
    /// In time only if nothing comes between.
    AtRisk,
    /// Not in time, even with every hour worked.
    Late,
}

/// What the plan says of one garment.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Outlook {
    /// The caller's number.
    pub id: i64,
    /// By when its tasks must be done.
    pub due: DueDays,
    /// The day on which each task is done at the promised share of the hours.
    pub done: Vec<NaiveDate>,
    /// The day on which it is ready at the promised share of the hours; `None` when
    /// nothing is left to do, or three years do not hold it.
    pub ready: Option<NaiveDate>,
    /// The day on which it is ready when every hour is worked.
    pub ready_at_best: Option<NaiveDate>,
    /// In time, at risk or late.
    pub standing: Standing,
    /// Why it is at risk or late; empty when it is neither.
    pub why: Vec<Why>,
}

impl Outlook {
    /// The reasons as one sentence; empty when there is none.
    #[must_use]
    pub fn why_text(&self) -> String {
        self.why.iter().map(Why::to_string).collect::<Vec<_>>().join("; ")
    }
}

/// The next task of a garment, for the list of what must happen first.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct NextTask {
    /// The caller's number for the garment.
    pub id: i64,
    /// What kind of work.
    pub stage: Stage,
    /// Minutes left of it.
    pub minutes: u32,
    /// By when it must be done.
    pub by: Option<NaiveDate>,
    /// For a fitting, the day arranged.
    pub on: Option<NaiveDate>,
    /// Whether today's hours reach it: minutes are spent on the garment today.
    pub fits_today: bool,
}

/// The plan of all open work.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Plan {
    /// One outlook a garment, in the order given.
    pub outlooks: Vec<Outlook>,
    /// What can be worked today, most urgent first: fittings of the day, then by due day.
    pub first: Vec<NextTask>,
    /// Days with work or with work due, in order.
    pub days: Vec<DayLoad>,
}

/// Plans all open work from `today` on. Pure: equal input gives an equal plan.
#[must_use]
pub fn plan(works: &[Work], calendar: &Calendar, rules: Rules, today: NaiveDate) -> Plan {
    let due: Vec<DueDays> = works.iter().map(|work| due_days(work, calendar, rules)).collect();
    let usual = run(works, &due, calendar, rules, today, rules.promise_percent);
    let best = run(works, &due, calendar, rules, today, 100);
    let first = what_must_happen_first(works, &due, &best, today);
    let days = day_loads(works, &due, &usual, calendar, today);
    let courses = usual.courses.into_iter().zip(best.courses);
    let outlooks = works
        .iter()
        .zip(due)
        .zip(courses)
        .map(|((work, due), (usual, best))| outlook(work, due, usual, &best, calendar, today))
        .collect();
    Plan { outlooks, first, days }
}

/// The day on which the last task of a course is done, when all of them are.
pub(super) fn ready(work: &Work, course: &Course) -> Option<NaiveDate> {
    if course.done.len() < work.tasks.len() { None } else { course.done.last().copied() }
}

fn outlook(work: &Work, due: DueDays, usual: Course, best: &Course, calendar: &Calendar, today: NaiveDate) -> Outlook {
    let ready_day = ready(work, &usual);
    // With more hours another garment may come to its urgent task sooner and push this
    // one back by a day: either plan can be worked, so the better of the two counts.
    let ready_at_best = [ready(work, best), ready_day].into_iter().flatten().min();
    let mut why = Vec::new();
    let mut standing = Standing::OnTime;
    if !work.tasks.is_empty()
        && let Some(promised) = work.promised
    {
        if promised < today {
            why.push(Why::PromisePassed { promised });
        }
        match ready_at_best {
            None => why.push(Why::NoHours),
            Some(ready) if ready > promised => why.push(Why::ReadyAfterPromise { ready, promised }),
            Some(_) => {}
        }
        if !why.is_empty() {
            standing = Standing::Late;
        } else if let (Some(finish_by), Some(ready)) = (due.finish_by, ready_day)
            && ready > finish_by
        {
            why.push(Why::Tight { ready, finish_by });
        } else if ready_day.is_none() {
            why.push(Why::NoHours);
        }
        why.extend(cloth_reasons(work, &due, today));
        why.extend(fitting_reasons(work, &due, &usual, calendar, today));
        if standing == Standing::OnTime && !why.is_empty() {
            standing = Standing::AtRisk;
        }
    }
    Outlook { id: work.id, due, done: usual.done, ready: ready_day, ready_at_best, standing, why }
}

/// A fitting without a day, or cloth of which nobody knows when it comes, becomes
/// pressing a week before its last day (judgement).
const PRESSING_DAYS: u32 = 7;

fn cloth_reasons(work: &Work, due: &DueDays, today: NaiveDate) -> Option<Why> {
    if work.tasks.first().is_none_or(|task| task.stage != Stage::Cut) {
        return None;
    }
    let cut_by = due.by.first().copied();
    match work.cloth {
        ClothDay::Here => None,
        ClothDay::Awaited => {
            cut_by.is_none_or(|cut_by| cut_by <= after(today, PRESSING_DAYS)).then_some(Why::ClothAwaited)
        }
        ClothDay::Expected(cloth) if cloth < today => Some(Why::ClothOverdue { cloth }),
        ClothDay::Expected(cloth) => {
            let cut_by = cut_by.filter(|cut_by| cloth > *cut_by)?;
            Some(Why::ClothLate { cloth, cut_by })
        }
    }
}

/// What is wrong with the next fitting: missed, not arranged, too early, too late.
fn fitting_reasons(work: &Work, due: &DueDays, usual: &Course, calendar: &Calendar, today: NaiveDate) -> Vec<Why> {
    let mut why = Vec::new();
    let Some(place) = work.tasks.iter().position(|task| task.stage == Stage::Fit) else { return why };
    let Some(task) = work.tasks.get(place) else { return why };
    let Some(fit_by) = due.by.get(place).copied() else { return why };
    match task.on {
        None if fit_by <= after(today, PRESSING_DAYS) => why.push(Why::FittingNotArranged { fit_by }),
        None => {}
        Some(fitting) if fitting < today => why.push(Why::FittingMissed { fitting }),
        Some(fitting) => {
            if fitting > fit_by {
                why.push(Why::FittingTooLate { fitting, fit_by });
            }
            let before = place.checked_sub(1).and_then(|before| usual.done.get(before)).copied();
            if let Some(sewn) = before.filter(|sewn| *sewn >= fitting) {
                why.push(Why::FittingTooEarly { fitting, sewn });
            }
            if !calendar.is_open(fitting) {
                why.push(Why::FittingOnClosedDay { fitting });
            }
        }
    }
    why
}

fn what_must_happen_first(works: &[Work], due: &[DueDays], best: &Run, today: NaiveDate) -> Vec<NextTask> {
    let mut ranked: Vec<_> = works
        .iter()
        .zip(due)
        .zip(&best.courses)
        .filter(|(_, course)| course.from.is_some_and(|from| from <= today))
        .filter_map(|((work, due), course)| {
            let task = work.tasks.first()?;
            let by = due.by.first().copied();
            let next = NextTask {
                id: work.id,
                stage: task.stage,
                minutes: task.minutes,
                by,
                on: task.on,
                fits_today: course.today > 0,
            };
            let arranged = task.stage == Stage::Fit && task.on.is_some_and(|on| on == today);
            let far = NaiveDate::MAX;
            Some(((!arranged, by.unwrap_or(far), work.promised.unwrap_or(far), work.id), next))
        })
        .collect();
    ranked.sort_by_key(|(rank, _)| *rank);
    ranked.into_iter().map(|(_, next)| next).collect()
}
