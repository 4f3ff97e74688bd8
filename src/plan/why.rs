//! Why a garment is late or at risk, in words a person would use at the counter.

use std::fmt;

use chrono::NaiveDate;

/// One reason.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Why {
    /// The promised day is behind us and work is left.
    PromisePassed {
        /// The promised day.
        promised: NaiveDate,
    },
    /// Even with every hour worked it is not ready.
    ReadyAfterPromise {
        /// The day on which it is ready.
        ready: NaiveDate,
        /// The promised day.
        promised: NaiveDate,
    },
    /// The calendar holds no hours for it within three years.
    NoHours,
    /// It is ready in time only if nothing comes between.
    Tight {
        /// The day on which it is ready at the promised share of the hours.
        ready: NaiveDate,
        /// The day by which it should be finished.
        finish_by: NaiveDate,
    },
    /// The cloth is not here and nobody knows when it comes.
    ClothAwaited,
    /// The day on which the cloth was to come is past, and it is not here.
    ClothOverdue {
        /// The day on which it was to come.
        cloth: NaiveDate,
    },
    /// The cloth comes after the day by which it should be cut.
    ClothLate {
        /// The day on which it comes.
        cloth: NaiveDate,
        /// The day by which it should be cut.
        cut_by: NaiveDate,
    },
    /// A fitting is due soon and no day is arranged.
    FittingNotArranged {
        /// The last day that leaves time for the rest.
        fit_by: NaiveDate,
    },
    /// The arranged fitting comes before the sewing is ready for it.
    FittingTooEarly {
        /// The arranged day.
        fitting: NaiveDate,
        /// The day on which the garment is ready to be fitted.
        sewn: NaiveDate,
    },
    /// The arranged fitting leaves no time for the rest.
    FittingTooLate {
        /// The arranged day.
        fitting: NaiveDate,
        /// The last day that leaves time for the rest.
        fit_by: NaiveDate,
    },
    /// The arranged fitting is past and was not held.
    FittingMissed {
        /// The arranged day.
        fitting: NaiveDate,
    },
    /// The arranged fitting is on a day on which nobody works.
    FittingOnClosedDay {
        /// The arranged day.
        fitting: NaiveDate,
    },
}

impl fmt::Display for Why {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match *self {
            Why::PromisePassed { promised } => write!(out, "promised for {} and not finished", said(promised)),
            Why::ReadyAfterPromise { ready, promised } => {
                let days = (ready - promised).num_days();
                let days = if days == 1 { "1 day".into() } else { format!("{days} days") };
                write!(out, "ready {} at the earliest, {days} after the promised {}", said(ready), said(promised))
            }
            Why::NoHours => write!(out, "the calendar has no hours for it; see the shop's hours and closed days"),
            Why::Tight { ready, finish_by } => {
                write!(out, "should be finished {}; at the usual pace it is {}", said(finish_by), said(ready))
            }
            Why::ClothAwaited => write!(out, "the cloth is not here and no day is written for it"),
            Why::ClothOverdue { cloth } => {
                write!(out, "the cloth was to come {} and is not here; ask after it", said(cloth))
            }
            Why::ClothLate { cloth, cut_by } => {
                write!(out, "cloth comes {}, but it should be cut by {}", said(cloth), said(cut_by))
            }
            Why::FittingNotArranged { fit_by } => {
                write!(out, "no fitting arranged; {} is the last day that leaves time", said(fit_by))
            }
            Why::FittingTooEarly { fitting, sewn } => {
                write!(out, "fitting {}, but it is ready to be fitted only after {}", said(fitting), said(sewn))
            }
            Why::FittingTooLate { fitting, fit_by } => {
                write!(
                    out,
                    "fitting {}, after {}, the last day that leaves time for the rest",
                    said(fitting),
                    said(fit_by)
                )
            }
            Why::FittingMissed { fitting } => {
                write!(out, "the fitting of {} was not held; arrange another", said(fitting))
            }
            Why::FittingOnClosedDay { fitting } => write!(out, "fitting {}, when the shop is closed", said(fitting)),
        }
    }
}

/// A day as it is said: `Tue 12 May`.
#[must_use]
pub fn said(day: NaiveDate) -> String {
    day.format("%a %-d %b").to_string()
}
