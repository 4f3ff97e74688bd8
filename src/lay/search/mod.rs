//! The search behind the front: plain, seeded, and budgeted in evaluations: each
//! position tried counts one, and one more for each neighbour compared there, so that
//! a budget costs about the same time for few pieces and for many.
//!
//! A folded lay is a folded stretch, then an open one; strips in rows come last. The
//! cloth is folded at the middle, or only as far in as the folded pieces need, with
//! single pieces beside the flap. The stretches do not touch, so each is searched for
//! itself. Folded across, the fold is at the top and the whole width is double. Lengths shorter
//! than the cloth is wide are tried both in rows and beside the pieces.

mod dropping;
mod items;
mod outline;
mod phase;
mod rows;
mod shape;
mod slabs;
mod trying;

use rand::{RngExt, SeedableRng};
use rand_pcg::Pcg64Mcg;

use super::{Bit, Grain, Lay, LayError, LayJob, Layout, Nap, Placement, check};
use dropping::{Dropped, shortest};
use items::{Item, Short, Split, What, split};
use rows::rows;
use shape::Shape;
pub use trying::{Doing, Step, keep_trying};

/// The budget of a first lay: a usual garment (3 to 8 pieces) is found in a few
/// tens of milliseconds (see `benches/lay.rs`).
pub const USUAL_BUDGET: u32 = 50_000;

/// Lays a job on its cloth, folded or open as the cloth says (a folded lay in which
/// nothing comes to be cut double is an open one). `budget` is the
/// number of positions tried and neighbours compared; a first lay is always finished,
/// however small the budget. The same job, budget and seed give the same lay, and it has passed
/// [`check`].
///
/// # Errors
/// [`LayError`] naming the piece, strip or cloth at fault and the remedy.
pub fn lay(job: &LayJob, budget: u32, seed: u64) -> Result<Lay, LayError> {
    job.sound()?;
    let across = job.strips.iter().any(|strip| strip.grain == Grain::Across);
    let mut splits: Vec<Split> = Vec::new();
    for turned in directions(job, seed) {
        let in_rows = split(job, Short::Rows, &turned)?;
        let beside = if across { Some(split(job, Short::Beside, &turned)?) } else { None };
        let beside = beside.filter(|beside| beside.rows.len() != in_rows.rows.len());
        splits.extend([Some(in_rows), beside].into_iter().flatten());
    }
    let mut spreads: Vec<Spread> = splits.iter().map(|split| spread_whole(job, split)).collect();
    spreads.extend(splits.iter().filter_map(|split| spread_with_flap(job, split, seed)));
    let share = budget / u32::try_from(spreads.len()).unwrap_or(1);
    let lays: Vec<Lay> = spreads.iter().map(|spread| assembled(job, spread, share, seed)).collect();
    let evaluations = lays.iter().fold(0_u32, |sum, lay| sum.saturating_add(lay.evaluations));
    let shorter = |a: Lay, b: Lay| if b.used_length_mm < a.used_length_mm - SAME_MM { b } else { a };
    let Some(best) = lays.into_iter().reduce(shorter) else { return Err(LayError::Unsound { faults: vec![] }) };
    let best = Lay { evaluations, ..best };
    let faults = check(job, &best);
    if faults.is_empty() { Ok(best) } else { Err(LayError::Unsound { faults }) }
}

/// Which garments point the other way: none; where the cloth allows it by the garment,
/// also every second one, and some that the seed picks.
fn directions(job: &LayJob, seed: u64) -> Vec<Vec<u32>> {
    let mut garments: Vec<u32> = job.parts.iter().map(|part| part.garment).collect();
    garments.sort_unstable();
    garments.dedup();
    // Garments that meet in a seam whose print must match point one way.
    let garment = |part: usize| job.parts.get(part).map(|part| part.garment);
    let meet = job.cloth.repeat.is_some() && job.matched.iter().any(|m| garment(m.a.0) != garment(m.b.0));
    if job.cloth.nap != Nap::PerGarment || garments.len() < 2 || meet {
        return vec![Vec::new()];
    }
    let second = garments.iter().skip(1).step_by(2).copied().collect();
    let mut rng = Pcg64Mcg::seed_from_u64(seed);
    // All turned is none turned, seen from the other end: the first stays.
    let picked = garments.iter().skip(1).filter(|_| rng.random_bool(0.5)).copied().collect();
    let mut found = vec![Vec::new(), second, picked];
    found.dedup();
    found
}

/// Lays a job both folded and open (and folded across, where the cloth says so), each with
/// the whole budget, and gives the shortest; the folded one where they are equal, since it
/// is quicker to cut. The cloth's own `layout` is not heeded.
///
/// # Errors
/// As [`lay`].
pub fn best_layout(job: &LayJob, budget: u32, seed: u64) -> Result<Lay, LayError> {
    let spread = |layout| {
        let mut job = job.clone();
        job.cloth.layout = layout;
        lay(&job, budget, seed)
    };
    let crosswise = job.cloth.crosswise_too && !job.cloth.is_one_way();
    let layouts = [Some(Layout::Folded), Some(Layout::Open), crosswise.then_some(Layout::Crosswise)];
    let lays = layouts.into_iter().flatten().map(spread).collect::<Result<Vec<Lay>, LayError>>()?;
    let evaluations = lays.iter().fold(0_u32, |sum, lay| sum.saturating_add(lay.evaluations));
    let best = lays.into_iter().reduce(|a, b| if b.used_length_mm < a.used_length_mm - SAME_MM { b } else { a });
    best.map(|best| Lay { evaluations, ..best }).ok_or(LayError::Unsound { faults: vec![] })
}

/// Differences below this are no improvement, mm.
const SAME_MM: f64 = 0.01;

/// What lies where: double on the folded stretch, single beside it, single below it.
struct Spread<'a> {
    split: &'a Split,
    fold_at: f64,
    folded: Vec<Item>,
    beside: Vec<Item>,
    open: Vec<Item>,
}

/// Folded at the middle, or the whole width across.
fn spread_whole<'a>(job: &LayJob, split: &'a Split) -> Spread<'a> {
    let across = job.cloth.layout == Layout::Crosswise && !split.folded.is_empty();
    let fold_at = job.cloth.usable_width_mm() / if across { 1.0 } else { 2.0 };
    Spread { split, fold_at, folded: split.folded.clone(), beside: Vec::new(), open: split.open.clone() }
}

/// Folded in only as far as the folded pieces need, single pieces beside the flap as
/// far down as it is folded; nothing when none fits there.
fn spread_with_flap<'a>(job: &LayJob, split: &'a Split, seed: u64) -> Option<Spread<'a>> {
    /// Beyond so many single pieces the rest goes below (judgement; a garment has fewer).
    const MOST_BESIDE: usize = 24;
    let (width, gap, shapes) = (job.cloth.usable_width_mm(), job.cloth.gap_mm, &split.shapes);
    // A piece on the fold reaches it, one cut double keeps half the gap from it.
    let short_of_fold = |item: &Item| width / 2.0 - item.right;
    let needs = split.folded.iter().map(|item| item.least_width(shapes) + short_of_fold(item));
    let flap = needs.fold(0.0, f64::max);
    let (edge, fold_at) = (width - 2.0 * flap, width - flap);
    // Where the print must match across, its places are reckoned from the middle.
    let held = split.folded.iter().chain(&split.open).any(|item| item.across.is_some());
    if split.folded.is_empty() || edge - gap <= 0.0 || held || job.cloth.layout != Layout::Folded {
        return None;
    }
    let moved = |item: &Item| item.between(edge, fold_at - short_of_fold(item), shapes);
    let folded: Vec<Item> = split.folded.iter().filter_map(moved).collect();
    if folded.len() < split.folded.len() {
        return None;
    }
    let reach = shortest(&folded, shapes, 1, seed).reach;
    let (mut beside, mut open) = (Vec::new(), Vec::new());
    let mut waiting: Vec<&Item> = split.open.iter().collect();
    waiting.sort_by(|a, b| b.least_width(shapes).total_cmp(&a.least_width(shapes)));
    for item in waiting {
        let narrowed = item.between(0.0, edge - gap, shapes).filter(|_| beside.len() < MOST_BESIDE);
        let Some(narrowed) = narrowed else {
            open.push(item.clone());
            continue;
        };
        beside.push(narrowed);
        if shortest(&beside, shapes, 1, seed).reach > reach {
            beside.pop();
            open.push(item.clone());
        }
    }
    (!beside.is_empty()).then_some(Spread { split, fold_at, folded, beside, open })
}

/// Searches the stretches and puts them and the rows together.
fn assembled(job: &LayJob, spread: &Spread, budget: u32, seed: u64) -> Lay {
    let gap = job.cloth.gap_mm;
    let all = spread.folded.len() + spread.beside.len() + spread.open.len();
    let searched = |items: &[Item], top: f64| {
        let share = u64::from(budget) * items.len() as u64 / all.max(1) as u64;
        // Where the print must match it counts from the beginning of the cloth.
        let items: Vec<Item> = items.iter().map(|item| item.below(top)).collect();
        shortest(&items, &spread.split.shapes, u32::try_from(share).unwrap_or(budget), seed)
    };
    let layout = if spread.folded.is_empty() { Layout::Open } else { job.cloth.layout };
    // Folded across, the two layers meet at the top: each piece keeps half the gap from there.
    let start = if layout == Layout::Crosswise { gap / 2.0 } else { 0.0 };
    let (folded, beside) = (searched(&spread.folded, start), searched(&spread.beside, 0.0));
    let folded_mm = if folded.spots.is_empty() { 0.0 } else { start + folded.reach };
    let mut lay = Lay {
        layout,
        width_mm: job.cloth.usable_width_mm(),
        folded_mm,
        fold_at_mm: spread.fold_at,
        used_length_mm: folded_mm.max(beside.reach),
        placements: Vec::new(),
        bits: Vec::new(),
        evaluations: folded.tries.saturating_add(beside.tries),
        seed,
    };
    put(&mut lay, &folded, &spread.folded, &spread.split.shapes, start);
    put(&mut lay, &beside, &spread.beside, &spread.split.shapes, 0.0);
    let top = below(&lay, gap);
    let open = searched(&spread.open, top);
    lay.evaluations = lay.evaluations.saturating_add(open.tries);
    if !open.spots.is_empty() {
        put(&mut lay, &open, &spread.open, &spread.split.shapes, top);
        lay.used_length_mm = top + open.reach;
    }
    let mut y = below(&lay, gap);
    for row in rows(spread.split.rows.clone(), lay.width_mm) {
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
    if lay.layout == Layout::Crosswise {
        lay.used_length_mm += lay.folded_mm;
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
