//! From garments to work and days: which tasks are left at each stage, and the
//! plan of all of them.
//!
//! Nothing is drafted here: the minutes of a garment are stored when it is ordered
//! ([`minutes`]), so that a page over many garments reads rows alone.

use chrono::NaiveDate;

use crate::draft::{Draft, StepStage};
use crate::plan::{self, Calendar, Closing, ClothDay, Plan, Rules, Task, Work, plan};
use crate::shop::{GarmentId, Settings, Stage, Standing, WaitHours, WorkMinutes};

/// What a plan needs to know of a garment that is not handed over yet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct OpenGarment {
    /// Which garment; the plan speaks of it by this number.
    pub id: GarmentId,
    /// Whether work on its order goes on.
    pub standing: Standing,
    /// Whether this garment alone was called off.
    pub cancelled: bool,
    /// How far it is.
    pub stage: Stage,
    /// Fittings planned.
    pub fittings: u8,
    /// Fittings held already, as far as they were written down.
    pub held: u8,
    /// The minutes reckoned with, once somebody did.
    pub minutes: Option<WorkMinutes>,
    /// How long it hangs or dries in between (see [`waits`]).
    pub waits: WaitHours,
    /// The day promised.
    pub promised: Option<NaiveDate>,
    /// The day on which the cloth comes, if one is written; without meaning once it is here.
    pub cloth_comes: Option<NaiveDate>,
    /// The next fitting that is arranged.
    pub fitting: Option<NaiveDate>,
}

/// Minutes of a garment for which nobody reckoned any: a plain skirt or shift by a
/// practised hand (judgement). Whoever shows a plan made with them says so.
pub const USUAL_MINUTES: WorkMinutes = WorkMinutes { cut: 60, sew: 210, fit: 30, finish: 60 };

/// The plan of all garments that still need work: orders on hold, cancelled work
/// and finished garments are left out. Pure: equal rows give an equal plan.
#[must_use]
pub fn planned(garments: &[OpenGarment], settings: &Settings, today: NaiveDate) -> Plan {
    let works: Vec<Work> = garments.iter().filter_map(work).collect();
    plan(&works, &calendar(settings), rules(settings), today)
}

/// The work that is left on a garment; nothing when it waits, was called off, or is finished.
///
/// Booked and with its cloth in, everything is left; cut, all but the cutting;
/// tacked, from the fitting on; fitted, what was left to sew, and the finishing;
/// sewn, the finishing. Of the sewing, [`BEFORE_FITTING`] per cent come before the
/// first fitting and the rest after the fittings, in equal parts. It hangs after the
/// work after which its style has it hang.
#[must_use]
pub fn work(garment: &OpenGarment) -> Option<Work> {
    if garment.standing != Standing::Open || garment.cancelled || garment.stage >= Stage::Finished {
        return None;
    }
    let minutes = minutes_or_usual(garment.minutes, garment.fittings).0;
    let mut tasks = Vec::new();
    if garment.stage < Stage::Cut {
        tasks.push(Task::of(plan::Stage::Cut, minutes.cut).hanging_hours(garment.waits.cut));
    }
    if garment.stage < Stage::Sewn {
        sewing_and_fitting(garment, minutes, &mut tasks);
    }
    tasks.push(Task::of(plan::Stage::Finish, minutes.finish));
    let cloth = match (garment.stage, garment.cloth_comes) {
        (Stage::Booked, Some(day)) => ClothDay::Expected(day),
        (Stage::Booked, None) => ClothDay::Awaited,
        _ => ClothDay::Here,
    };
    Some(Work { id: garment.id.get(), promised: garment.promised, cloth, tasks })
}

/// How much of the sewing comes before the first fitting, per cent: the long seams
/// tacked, the shaped parts joined (judgement).
pub const BEFORE_FITTING: u32 = 70;

fn sewing_and_fitting(garment: &OpenGarment, minutes: WorkMinutes, tasks: &mut Vec<Task>) {
    let planned = u32::from(garment.fittings);
    let WaitHours { tacked, sewn, .. } = garment.waits;
    if planned == 0 {
        // Without a fitting between them, one wait follows the other.
        tasks.push(Task::of(plan::Stage::Sew, minutes.sew).hanging_hours(tacked.saturating_add(sewn)));
        return;
    }
    let before = percent(minutes.sew, BEFORE_FITTING);
    let after = share(minutes.sew - before, planned);
    let fit = share(minutes.fit, planned);
    let held = match garment.stage {
        // Tacked waits for a fitting, whatever was held before.
        Stage::Tacked => u32::from(garment.held).min(planned - 1),
        // Fitted says that one was held, whether or not it was written down; a further one is to come.
        Stage::Fitted => u32::from(garment.held).clamp(1, planned),
        _ => 0,
    };
    if garment.stage < Stage::Tacked {
        tasks.push(Task::of(plan::Stage::Sew, before).hanging_hours(tacked));
    }
    if garment.stage == Stage::Fitted {
        tasks.push(Task::of(plan::Stage::Sew, after));
    }
    for number in held..planned {
        let day = garment.fitting.filter(|_| number == held);
        tasks.push(Task { on: day, ..Task::of(plan::Stage::Fit, fit) });
        tasks.push(Task::of(plan::Stage::Sew, after));
    }
    if let Some(last) = tasks.last_mut() {
        *last = last.hanging_hours(sewn);
    }
}

/// `percent` of some minutes, rounded down.
fn percent(minutes: u32, percent: u32) -> u32 {
    u32::try_from(u64::from(minutes) * u64::from(percent) / 100).unwrap_or(minutes)
}

/// An equal share of some minutes, rounded up: a task is never shorter than it is.
const fn share(minutes: u32, parts: u32) -> u32 {
    if parts == 0 { minutes } else { minutes.div_ceil(parts) }
}

/// The minutes of a garment, and whether they are only [`USUAL_MINUTES`].
#[must_use]
pub fn minutes_or_usual(minutes: Option<WorkMinutes>, fittings: u8) -> (WorkMinutes, bool) {
    let usual = WorkMinutes { fit: USUAL_MINUTES.fit.saturating_mul(u32::from(fittings)), ..USUAL_MINUTES };
    minutes.map_or((usual, true), |minutes| (minutes, false))
}

/// The minutes of a draft for this many fittings, to be stored with the garment.
/// A style describes each of its own fittings once; one more or less takes as long as they do.
#[must_use]
pub fn minutes(draft: &Draft, fittings: u8) -> WorkMinutes {
    let described = draft.steps.iter().filter(|step| step.stage == StepStage::Fit).count();
    let each = draft.minutes(StepStage::Fit) / u32::try_from(described).unwrap_or(1).max(1);
    let each = if described == 0 { USUAL_MINUTES.fit } else { each };
    WorkMinutes {
        cut: draft.minutes(StepStage::Cut),
        sew: draft.minutes(StepStage::Sew),
        fit: each.saturating_mul(u32::from(fittings)),
        finish: draft.minutes(StepStage::Finish),
    }
}

/// How long a draft has its garment hang or dry, to be stored with its minutes. Each
/// step's hours follow the work that it belongs to; what dries at a fitting or at the
/// finishing holds up the finishing.
#[must_use]
pub fn waits(draft: &Draft) -> WaitHours {
    let first_fitting = draft.steps.iter().position(|step| step.stage == StepStage::Fit);
    let mut waits = WaitHours::default();
    for (place, step) in draft.steps.iter().enumerate() {
        let hours = match step.stage {
            StepStage::Cut => &mut waits.cut,
            StepStage::Sew if first_fitting.is_some_and(|fitting| place < fitting) => &mut waits.tacked,
            StepStage::Sew | StepStage::Fit | StepStage::Finish => &mut waits.sewn,
        };
        *hours = hours.saturating_add(step.waiting_hours);
    }
    waits
}

/// The shop's week and its closed days.
#[must_use]
pub fn calendar(settings: &Settings) -> Calendar {
    let week = Calendar::of_week(settings.minutes);
    settings.closed.keys().fold(week, |week, day| week.closed_on(*day, Closing::Day))
}

/// How the shop plans.
#[must_use]
pub fn rules(settings: &Settings) -> Rules {
    Rules { promise_percent: u32::from(settings.promise_percent), ..Rules::default() }
}
