//! Pieces laid on cloth, checked, and the length to buy.
//!
//! A [`LayJob`] names a cloth, shaped [`Part`]s and straight [`Strip`]s. [`lay`]
//! (folded or open, as the cloth says) or [`best_layout`] (whichever is shorter)
//! search for a short [`Lay`]: the same job, budget and seed always give the same
//! one. [`check`] proves a lay from the job alone and shares no code with the
//! search; no lay leaves this module without having passed it. [`need`] writes the
//! sum from the lay to the length to buy, [`picture`] gives what a drawing shows.
//! [`lay_lengths`] shares a job out over several lengths, [`left_over`] tells what remains of
//! one, [`unmatched`] which seams of a printed cloth cannot match.
//!
//! Frame: millimetres; x runs across the usable width from one selvedge (0) to the
//! other, y along the cloth. A folded stretch lies at the top, right sides
//! together: its right-hand part is folded under along an upright line (the middle, or
//! further right where a narrow flap is enough), its two layers are seen as one left of
//! that line, and what is cut through both layers gives a left and a right. Left of the
//! flap's edge, and below the folded stretch, the cloth is single. A cloth folded across has
//! its fold at y = 0: as far as it is folded the whole width is double, below it is single.
//!
//! Pieces are drawn as seen from the right side of the cloth. With right sides together
//! the cutter looks at the wrong side, beside and below the flap as well: what is cut
//! single there lies turned over (mirrored), or a left would come out for a right. Open
//! cloth lies right side up, and pieces lie as drawn.
//!
//! Search and front are apart on purpose: [`lay`] and [`best_layout`] give a first lay,
//! [`keep_trying`] goes on from one and tells each shorter one; how they search
//! (`search/mod.rs`) may change behind the same front.

mod asked;
mod check;
mod cloth;
mod error;
mod laid;
mod left;
mod lengths;
mod matched;
mod need;
mod part;
mod picture;
mod search;
mod strip;
mod words;

pub use asked::LayJob;
pub use check::{Fault, Rule, check, unmatched};
pub use cloth::{Cloth, Layout, Nap, Repeat};
pub use error::LayError;
pub use laid::{Bit, Lay, Placement};
pub use left::{LEAST_LEFT_MM, Rectangle, left_over};
pub use lengths::{OnLength, lay_lengths};
pub use matched::{MatchMark, Matched};
pub use need::{Need, NeedLine, Selling, need};
pub use part::{Grain, Part};
pub use picture::{DrawnPiece, Picture, Tick, picture};
pub use search::{Doing, Step, USUAL_BUDGET, best_layout, keep_trying, lay};
pub use strip::Strip;
