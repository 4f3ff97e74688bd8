//! The search behind the front: plain, seeded, and budgeted in evaluations: each
//! position tried counts one, and one more for each neighbour compared there, so that
//! a budget costs about the same time for few pieces and for many.
//!
//! A folded lay is a folded stretch, then an open one; strips in rows come last.
//! The stretches do not touch, so each is searched for itself. Lengths shorter
//! than the cloth is wide are tried both in rows and beside the pieces.

mod dropping;
mod items;
mod outline;
mod rows;
mod shape;
mod slabs;

use super::{Bit, Grain, Lay, LayError, LayJob, Layout, Placement, check};
use dropping::{Dropped, shortest};
use items::{Item, Short, Split, What, split};
use rows::rows;
use shape::Shape;

/// The budget of a first lay: a usual garment (3 to 8 pieces) is found in a few
/// tens of milliseconds (see `benches/lay.rs`).
pub const USUAL_BUDGET: u32 = 50_000;

/// Lays a job on its cloth, folded or open as the cloth says. `budget` is the
/// number of positions tried and neighbours compared; a first lay is always finished,
/// however small the budget. The same job, budget and seed give the same lay, and it has passed
/// [`check`].
///
/// # Errors
/// [`LayError`] naming the piece, strip or cloth at fault and the remedy.
pub fn lay(job: &LayJob, budget: u32, seed: u64) -> Result<Lay, LayError> {
    job.sound()?;
    let in_rows = split(job, Short::Rows)?;
    let across = job.strips.iter().any(|strip| strip.grain == Grain::Across);
    let beside = if across { Some(split(job, Short::Beside)?) } else { None };
    let beside = beside.filter(|beside| beside.rows.len() != in_rows.rows.len());
    let share = if beside.is_some() { budget / 2 } else { budget };
    let mut best = assembled(job, &in_rows, share, seed);
    if let Some(beside) = beside {
        let other = assembled(job, &beside, share, seed);
        let tried = best.evaluations.saturating_add(other.evaluations);
        if other.used_length_mm < best.used_length_mm - SAME_MM {
            best = other;
        }
        best.evaluations = tried;
    }
    let faults = check(job, &best);
    if faults.is_empty() { Ok(best) } else { Err(LayError::Unsound { faults }) }
}

/// Lays a job both folded and open, each with the whole budget, and gives the
/// shorter; the folded one where they are equal, since it is quicker to cut. The
/// cloth's own `layout` is not heeded.
///
/// # Errors
/// As [`lay`].
pub fn best_layout(job: &LayJob, budget: u32, seed: u64) -> Result<Lay, LayError> {
    let spread = |layout| {
        let mut job = job.clone();
        job.cloth.layout = layout;
        lay(&job, budget, seed)
    };
    let (folded, open) = (spread(Layout::Folded)?, spread(Layout::Open)?);
    let evaluations = folded.evaluations.saturating_add(open.evaluations);
    let best = if open.used_length_mm < folded.used_length_mm - SAME_MM { open } else { folded };
    Ok(Lay { evaluations, ..best })
}

/// Differences below this are no improvement, mm.
const SAME_MM: f64 = 0.01;

/// Searches both stretches and puts them and the rows together.
fn assembled(job: &LayJob, split: &Split, budget: u32, seed: u64) -> Lay {
    let gap = job.cloth.gap_mm;
    let all = split.folded.len() + split.open.len();
    let part_of_budget = |items: &[Item]| {
        let share = u64::from(budget) * items.len() as u64 / all.max(1) as u64;
        u32::try_from(share).unwrap_or(budget)
    };
    let folded = shortest(&split.folded, &split.shapes, part_of_budget(&split.folded), seed);
    let open = shortest(&split.open, &split.shapes, part_of_budget(&split.open), seed);
    let mut lay = Lay {
        layout: job.cloth.layout,
        width_mm: job.cloth.usable_width_mm(),
        folded_mm: 0.0,
        used_length_mm: 0.0,
        placements: Vec::new(),
        bits: Vec::new(),
        evaluations: folded.tries.saturating_add(open.tries),
        seed,
    };
    put(&mut lay, &folded, &split.folded, &split.shapes, 0.0);
    lay.folded_mm = folded.reach;
    lay.used_length_mm = folded.reach;
    if !open.spots.is_empty() {
        let top = below(&lay, gap);
        put(&mut lay, &open, &split.open, &split.shapes, top);
        lay.used_length_mm = top + open.reach;
    }
    let mut y = below(&lay, gap);
    for row in rows(split.rows.clone(), lay.width_mm) {
        let mut x = 0.0;
        for bit in row.bits {
            // Turned a quarter, a length reaches from its origin to the left.
            x += bit.length;
            let (strip, copy, length_mm) = (bit.strip, bit.copy, bit.length);
            lay.bits.push(Bit { strip, copy, under: None, length_mm, turn: 90, at: [x, y] });
        }
        y += row.depth;
        lay.used_length_mm = y;
    }
    lay
}

/// Where the next stretch begins.
fn below(lay: &Lay, gap: f64) -> f64 {
    if lay.used_length_mm > 0.0 { lay.used_length_mm + gap } else { 0.0 }
}

/// Writes the spots of a stretch that begins at `top` into the lay.
fn put(lay: &mut Lay, dropped: &Dropped, items: &[Item], shapes: &[Shape], top: f64) {
    for spot in &dropped.spots {
        let (Some(item), Some(shape)) = (items.get(spot.item), shapes.get(spot.shape)) else { continue };
        let (turn, mirrored, at) = (shape.turn, shape.mirrored, [spot.at[0], spot.at[1] + top]);
        match item.what {
            What::Part { part, copy, under, on_fold } => {
                lay.placements.push(Placement { part, copy, under, turn, mirrored, at, on_fold });
            }
            What::Bit { strip, copy, under, length } => {
                lay.bits.push(Bit { strip, copy, under, length_mm: length, turn, at });
            }
        }
    }
}
