//! The course of one order: from the day it was taken to where it stands now.

use chrono::{NaiveDate, NaiveTime};

use crate::shop::Stage;

use super::wish::Make;

/// One order and how far it came.
#[derive(Clone, Debug)]
pub(super) struct Course {
    /// Who pays; a place in the list of people.
    pub(super) payer: usize,
    /// The day on which it was taken.
    pub(super) taken: NaiveDate,
    /// The day promised.
    pub(super) promised: NaiveDate,
    /// For what, and how many days after the promised day that is.
    pub(super) event: Option<(&'static str, i64)>,
    /// Its garments.
    pub(super) makes: Vec<Make>,
    /// How far its garments came.
    pub(super) reach: Stage,
    /// The day on which they came there.
    pub(super) until: NaiveDate,
    /// The day on which they were finished, if they were collected.
    pub(super) finished: NaiveDate,
    /// The next fitting that is arranged.
    pub(super) fits: Option<(NaiveDate, NaiveTime)>,
    /// What is particular about it.
    pub(super) turn: Turn,
    /// How it is paid.
    pub(super) paid: Paid,
}

/// What is particular about an order.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Turn {
    /// Nothing.
    None,
    /// On hold, with the reason.
    Hold(&'static str),
    /// Called off, with the reason.
    CalledOff(&'static str),
    /// A fitting sent it back to the tacking, with the reason.
    Back(&'static str),
    /// The client did not come to the fitting; another one is arranged.
    Missed,
    /// The first garment was handed over, the others were not.
    Parted,
    /// The other garments are a stage behind.
    Lagging,
}

/// How an order is paid.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Paid {
    /// Half as deposit, the rest when it is collected.
    Usual,
    /// Not yet.
    NotYet,
    /// Half, then a part, the rest when it is collected.
    InParts,
    /// The deposit was written twice, and one of them declared void.
    Twice,
    /// Collected with a rest owing.
    Owing,
}

/// How much of the way from taken to finished lies behind a stage: judgement.
fn share(stage: Stage) -> f64 {
    match stage {
        Stage::Booked => 0.0,
        Stage::ClothIn => 0.08,
        Stage::Cut => 0.35,
        Stage::Tacked => 0.5,
        Stage::Fitted => 0.65,
        Stage::Sewn => 0.88,
        Stage::Finished | Stage::Collected => 1.0,
    }
}

impl Course {
    /// The day on which its garments came to this stage, before it is moved to an open day.
    pub(super) fn day_of(&self, stage: Stage) -> NaiveDate {
        if stage == Stage::Collected || (stage == self.reach && stage != Stage::Finished) {
            return self.until;
        }
        let (end, whole) =
            if self.reach >= Stage::Finished { (self.finished, 1.0) } else { (self.until, share(self.reach)) };
        let span = u32::try_from((end - self.taken).num_days()).unwrap_or(0);
        let days = if whole > 0.0 { (f64::from(span) * share(stage) / whole).floor() } else { 0.0 };
        let passed = (0..=span).take_while(|day| f64::from(*day) <= days).last().unwrap_or(0);
        super::house::shifted(self.taken, i64::from(passed))
    }

    /// How far its garment in this place came.
    pub(super) fn reach_of(&self, place: usize, fittings: u8) -> Stage {
        let reach = match self.turn {
            Turn::Parted if place > 0 => Stage::Finished,
            Turn::Lagging if place > 0 => Stage::ALL
                .iter()
                .copied()
                .rfind(|stage| *stage < self.reach && stage.is_passed(fittings))
                .unwrap_or(self.reach),
            _ => self.reach,
        };
        // What is not fitted is sewn where others wait for a fitting.
        if reach.is_passed(fittings) { reach } else { Stage::Cut }
    }
}
