//! The search behind the front: seeded, and budgeted in evaluations (each position tried
//! counts one), so that the same job gives the same lay.
//!
//! A first layout is made by dropping pieces one by one (`dropping.rs`). It is made shorter
//! by a guided search over overlaps (`shorter.rs`): a little is cut off, pieces overlap, and
//! one at a time they are moved to where they overlap least (`filling.rs`), with weights
//! that grow on pairs which stay in each other's way (`crowd.rs`). Circles within the pieces
//! say how deep they overlap (`circles.rs`); jagua-rs says which do (`board.rs`, the only
//! file that names it). What was drawn apart is settled by exact slabs (`settled.rs`), and
//! `check` has the last word.
//!
//! `spread.rs` has the ways to spread the cloth: open, folded at the middle, folded only
//! as far in as the folded pieces need, with single pieces beside and below the flap, or
//! folded across; `phase.rs` says where a print lets a piece lie; lengths shorter than the cloth is wide both in rows and beside the pieces. `work.rs`
//! searches the folded stretch and what lies single in turn, `trying.rs` compares spreads
//! and goes on with the better ones.

mod board;
mod circles;
mod crowd;
mod dropping;
mod filling;
mod items;
mod outline;
mod phase;
mod rows;
mod settled;
mod shape;
mod shorter;
mod slabs;
mod spread;
mod table;
mod trying;
mod work;

use super::{Lay, LayError, LayJob};
use spread::{all_spreads, spreads};
pub use trying::{Doing, Step, keep_trying};

/// The budget of a first lay, in positions: about 0.2 s for a usual garment of 3 to 8 pieces
/// (`benches/lay.rs`). A debug build is many times slower and tries fewer, so that tests
/// stay short.
pub const USUAL_BUDGET: u32 = if cfg!(debug_assertions) { 10_000 } else { 110_000 };

/// Lays a job on its cloth, folded or open as the cloth says (a folded lay in which
/// nothing comes to be cut double is an open one). `budget` is the number of positions
/// tried; a first layout is always finished, however small the budget. The same job, budget
/// and seed give the same lay, and it has passed [`check`](super::check).
///
/// # Errors
/// [`LayError`] naming the piece, strip or cloth at fault and the remedy.
pub fn lay(job: &LayJob, budget: u32, seed: u64) -> Result<Lay, LayError> {
    trying::shortest_lay(job, &spreads(job, seed)?, u64::from(budget), seed)
}

/// Lays a job folded and open (and folded across, where the cloth says so) within one
/// budget, and gives the shortest; the folded one where they are equal, since it is quicker
/// to cut. The cloth's own `layout` is not heeded.
///
/// # Errors
/// As [`lay`].
pub fn best_layout(job: &LayJob, budget: u32, seed: u64) -> Result<Lay, LayError> {
    trying::shortest_lay(job, &all_spreads(job, seed)?, u64::from(budget), seed)
}

/// Differences below this are no improvement, mm.
const SAME_MM: f64 = 0.01;
