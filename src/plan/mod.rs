//! Calendar, minutes, and the days by which things must be done.
//!
//! Three questions, answered apart. By when must each task of a garment be done?
//! (`backward`, from its promised day alone.) On which day does it come out, with
//! all the work in the house? (`forward`, most urgent first.) Which day can be
//! promised, and whom does a rush order make late? (`promise`, the second question
//! asked with and without it.) `plan` puts the answers together.
//!
//! Days are local dates; nothing here knows the clock, an order or a client.

mod backward;
mod calendar;
mod forward;
mod load;
mod outlook;
mod promise;
mod why;
mod work;

pub use backward::{DueDays, due_days};
pub use calendar::{Calendar, Closing, Hours};
pub use load::{DayLoad, WeekLoad, weeks};
pub use outlook::{NextTask, Outlook, Plan, Standing, plan};
pub use promise::{MadeLate, Promise, earliest_promise, made_late};
pub use why::{Why, said};
pub use work::{ClothDay, Hands, Rules, Stage, Task, Work};
