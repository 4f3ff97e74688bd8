//! What is still to do on one garment: tasks in order, in minutes.

use chrono::NaiveDate;

/// The kinds of work, in their usual order.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Stage {
    /// Cutting and marking.
    Cut,
    /// Tacking and sewing.
    Sew,
    /// A fitting on the client.
    Fit,
    /// Hems, closings, pressing.
    Finish,
}

/// Whose hands a task needs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Hands {
    /// The owner's alone.
    Owner,
    /// A helper's, or the owner's when no helper is free.
    Any,
}

impl Stage {
    /// The owner cuts and fits, helpers do not (a cutter's judgement: cutting is final).
    #[must_use]
    pub const fn hands(self) -> Hands {
        match self {
            Stage::Cut | Stage::Fit => Hands::Owner,
            Stage::Sew | Stage::Finish => Hands::Any,
        }
    }

    /// The word for it: `cut`, `sew`, `fit`, `finish`.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Stage::Cut => "cut",
            Stage::Sew => "sew",
            Stage::Fit => "fit",
            Stage::Finish => "finish",
        }
    }
}

/// One task of a garment.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Task {
    /// What kind of work.
    pub stage: Stage,
    /// How long it takes, or what is left of it.
    pub minutes: u32,
    /// For a fitting: the day arranged with the client, if one was.
    pub on: Option<NaiveDate>,
    /// Whole days that it must hang or dry afterwards (a circle skirt before its hem).
    pub hangs: u32,
}

impl Task {
    /// A task of this many minutes, with nothing arranged and nothing to hang.
    #[must_use]
    pub const fn of(stage: Stage, minutes: u32) -> Task {
        Task { stage, minutes, on: None, hangs: 0 }
    }

    /// A fitting arranged for this day.
    #[must_use]
    pub const fn fitting(minutes: u32, on: NaiveDate) -> Task {
        Task { stage: Stage::Fit, minutes, on: Some(on), hangs: 0 }
    }

    /// The same, hanging for this many hours afterwards (a day begun counts whole).
    #[must_use]
    pub const fn hanging_hours(self, hours: u32) -> Task {
        Task { hangs: hours.div_ceil(24), ..self }
    }
}

/// Whether the cloth is here.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ClothDay {
    /// It is here.
    Here,
    /// It comes on this day.
    Expected(NaiveDate),
    /// It is not here, and no day is known.
    Awaited,
}

/// The open work of one garment.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Work {
    /// The caller's own number for the garment.
    pub id: i64,
    /// The day promised to the client, if one was.
    pub promised: Option<NaiveDate>,
    /// Whether it can be cut; without meaning once it is.
    pub cloth: ClothDay,
    /// What is left, in order; done tasks are left out.
    pub tasks: Vec<Task>,
}

impl Work {
    /// All minutes left.
    #[must_use]
    pub fn minutes(&self) -> u64 {
        self.tasks.iter().map(|task| u64::from(task.minutes)).sum()
    }
}

/// How the shop plans.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Rules {
    /// Open days between finished and promised, for the thing that goes wrong.
    pub grace: u32,
    /// The share of the hours that is promised away; the rest is for walk-ins,
    /// failures and the counter. 70 to 75 (a cutter's judgement).
    pub promise_percent: u32,
    /// Days from ready-to-fit until a client can come, where no day is arranged.
    pub fitting_notice: u32,
}

impl Default for Rules {
    /// A day's grace, 70 % of the hours, the client comes on the next day: judgement.
    fn default() -> Rules {
        Rules { grace: 1, promise_percent: 70, fitting_notice: 1 }
    }
}
