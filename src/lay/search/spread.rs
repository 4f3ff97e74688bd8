//! How the cloth is spread: what lies double on the folded stretch, what lies single, and
//! how both become one lay.
//!
//! The cloth is folded at the middle, or only as far in as the folded pieces need. Single
//! pieces lie wherever the flap does not: below it, beside it, or partly both.

use rand::{RngExt, SeedableRng};
use rand_pcg::Pcg64Mcg;

use super::super::{Bit, Grain, Lay, LayError, LayJob, Layout, Nap, Placement};
use super::dropping::{Spot, shortest};
use super::items::{Item, Short, Split, What, split};
use super::rows::rows;
use super::shape::{Outline, Shape};

/// A spread of the cloth.
#[derive(Debug)]
pub(super) struct Spread {
    pub(super) layout: Layout,
    /// Between the selvedges, mm.
    pub(super) width: f64,
    gap: f64,
    pub(super) fold_at: f64,
    /// Where the flap ends, mm across; what lies left of it is single.
    pub(super) edge: f64,
    pub(super) split: Split,
    pub(super) folded: Vec<Item>,
    pub(super) single: Vec<Item>,
    /// The flap as something that lies in the way, drawn upwards from its lower edge.
    flap: Option<usize>,
    /// The depth of all rows of strips, mm.
    rows_depth: f64,
}

/// Where everything of a spread lies.
#[derive(Clone, Debug, Default)]
pub(super) struct Found {
    pub(super) folded: Vec<Spot>,
    pub(super) single: Vec<Spot>,
    /// How far the cloth is folded, mm.
    pub(super) folded_mm: f64,
    /// How far down single pieces reach, mm.
    pub(super) single_mm: f64,
    pub(super) evaluations: u64,
}

/// Every spread worth trying for a job laid as its cloth says.
pub(super) fn spreads(job: &LayJob, seed: u64) -> Result<Vec<Spread>, LayError> {
    job.sound()?;
    let across = job.strips.iter().any(|strip| strip.grain == Grain::Across);
    let mut found = Vec::new();
    for turned in directions(job, seed) {
        let in_rows = split(job, Short::Rows, &turned)?;
        let beside = if across { Some(split(job, Short::Beside, &turned)?) } else { None };
        let beside = beside.filter(|beside| beside.rows.len() != in_rows.rows.len());
        found.extend([Some(in_rows), beside].into_iter().flatten().map(|split| Spread::whole(job, split)));
    }
    let flaps: Vec<Spread> = found.iter().filter_map(Spread::with_flap).collect();
    found.extend(flaps);
    Ok(found)
}

/// Every spread worth trying, folded and open, and folded across where the cloth says so.
pub(super) fn all_spreads(job: &LayJob, seed: u64) -> Result<Vec<Spread>, LayError> {
    let laid = |layout| {
        let mut job = job.clone();
        job.cloth.layout = layout;
        spreads(&job, seed)
    };
    let mut found = laid(Layout::Folded)?;
    // Where nothing comes to be cut double it is open already.
    if found.iter().any(|spread| spread.layout != Layout::Open) {
        found.extend(laid(Layout::Open)?);
    }
    if job.cloth.crosswise_too && !job.cloth.is_one_way() {
        found.extend(laid(Layout::Crosswise)?.into_iter().filter(|spread| spread.layout == Layout::Crosswise));
    }
    Ok(found)
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

impl Spread {
    /// Folded at the middle, or the whole width across.
    fn whole(job: &LayJob, split: Split) -> Spread {
        let width = job.cloth.usable_width_mm();
        let layout = if split.folded.is_empty() { Layout::Open } else { job.cloth.layout };
        let depth = rows(split.rows.clone(), width).iter().map(|row| row.depth).sum();
        let (folded, single) = (split.folded.clone(), split.open.clone());
        let gap = job.cloth.gap_mm;
        let fold_at = if layout == Layout::Crosswise { width } else { width / 2.0 };
        let edge = 0.0;
        Spread { layout, width, gap, fold_at, edge, split, folded, single, flap: None, rows_depth: depth }.flapped()
    }

    /// Folded in only as far as the folded pieces need; nothing when no single piece fits
    /// beside the flap.
    fn with_flap(&self) -> Option<Spread> {
        let (width, shapes) = (self.width, &self.split.shapes);
        // A piece on the fold reaches it, one cut double keeps half the gap from it.
        let short_of_fold = |item: &Item| width / 2.0 - item.right;
        let needs = self.folded.iter().map(|item| item.least_width(shapes) + short_of_fold(item));
        let flap = needs.fold(0.0, f64::max);
        let (edge, fold_at) = (width - 2.0 * flap, width - flap);
        let beside = |item: &Item| item.between(0.0, edge - self.gap, shapes).is_some();
        // Where the print must match across, its places are reckoned from the middle.
        let held = self.folded.iter().chain(&self.single).any(|item| item.across.is_some());
        if self.layout != Layout::Folded || edge - self.gap <= 0.0 || held || !self.single.iter().any(beside) {
            return None;
        }
        let moved = |item: &Item| item.between(edge, fold_at - short_of_fold(item), shapes);
        let folded: Vec<Item> = self.folded.iter().map(moved).collect::<Option<_>>()?;
        let split =
            Split { shapes: shapes.clone(), folded: Vec::new(), open: Vec::new(), rows: self.split.rows.clone() };
        let single = self.single.clone();
        let spread = Spread { fold_at, edge, split, folded, single, flap: None, ..*self };
        Some(spread.flapped())
    }

    /// With the flap's shape among the shapes.
    fn flapped(mut self) -> Spread {
        if self.folded.is_empty() || self.single.is_empty() {
            return self;
        }
        // As long as all folded pieces in a row, each carried on to where its print matches:
        // longer than any stretch of them.
        let heights = self.folded.iter().map(|item| {
            let shapes = item.shapes.iter().filter_map(|shape| self.split.shapes.get(*shape));
            let repeat = item.along.map_or(0.0, |phase| phase.repeat_mm);
            shapes.map(|shape| shape.near.height()).fold(0.0, f64::max) + repeat + self.gap
        });
        let up = -heights.sum::<f64>();
        let outline = vec![[self.edge, up], [self.width, up], [self.width, 0.0], [self.edge, 0.0]];
        self.flap = Some(self.split.shapes.len());
        self.split.shapes.push(Outline::new(outline, self.gap).shape(0, false));
        self
    }

    /// What lies in the way of single pieces when the cloth is folded so far.
    pub(super) fn in_the_way(&self, folded_mm: f64) -> Vec<Spot> {
        let lies = |shape| Spot { item: usize::MAX, shape, at: [0.0, folded_mm] };
        self.flap.filter(|_| folded_mm > 0.0).map(lies).into_iter().collect()
    }

    /// Where folded pieces may begin: folded across, the two layers meet at the top, and each
    /// piece keeps half the gap from there.
    pub(super) fn folded_top(&self) -> f64 {
        if self.layout == Layout::Crosswise { self.gap / 2.0 } else { 0.0 }
    }

    /// Where single pieces may begin when the cloth is folded so far: at the top beside the
    /// flap, or below it.
    pub(super) fn single_top(&self, folded_mm: f64) -> f64 {
        if self.edge <= self.gap && folded_mm > 0.0 { folded_mm + self.gap } else { 0.0 }
    }

    /// The shortest that the folded stretch can be, mm.
    pub(super) fn folded_bound(&self) -> f64 {
        self.folded_top() + bound(&self.folded, &self.split.shapes, 0.0, self.fold_at - self.edge)
    }

    /// How far down single pieces reach at least when the cloth is folded so far, mm.
    pub(super) fn single_bound(&self, folded_mm: f64) -> f64 {
        let flap = (self.width - self.edge) * folded_mm;
        let bound = bound(&self.single, &self.split.shapes, flap, self.width);
        let below = bound_of_longest(&self.single, &self.split.shapes) + self.single_top(folded_mm);
        bound.max(below)
    }

    /// A first layout: pieces dropped one by one, within so many tries for each stretch.
    pub(super) fn dropped(&self, budget: u32, seed: u64) -> Found {
        let shapes = &self.split.shapes;
        let folded = shortest(&self.folded, shapes, (&[], self.folded_top()), budget, seed);
        let still = (&*self.in_the_way(folded.reach), self.single_top(folded.reach));
        let single = shortest(&self.single, shapes, still, budget, seed);
        let evaluations = u64::from(folded.tries) + u64::from(single.tries);
        let (folded_mm, single_mm) = (folded.reach, single.reach);
        Found { folded: folded.spots, single: single.spots, folded_mm, single_mm, evaluations }
    }

    /// The layout of a lay that was spread like this; nothing where it was not.
    pub(super) fn known_from(&self, lay: &Lay) -> Option<Found> {
        const SAME_MM: f64 = 0.01;
        if lay.layout != self.layout || (lay.fold_at_mm - self.fold_at).abs() > SAME_MM {
            return None;
        }
        let spot = |(index, item): (usize, &Item)| -> Option<Spot> {
            let (turn, mirrored, at) = lies(lay, &item.what)?;
            let same = |shape: &&usize| {
                let shape = self.split.shapes.get(**shape);
                shape.is_some_and(|shape| shape.turn == turn && shape.mirrored == mirrored)
            };
            Some(Spot { item: index, shape: *item.shapes.iter().find(same)?, at })
        };
        let spots = |items: &[Item]| items.iter().enumerate().map(spot).collect::<Option<Vec<Spot>>>();
        let (folded, single) = (spots(&self.folded)?, spots(&self.single)?);
        let reach = |spots: &[Spot]| {
            let far = |spot: &Spot| Some(spot.at[1] + self.split.shapes.get(spot.shape)?.own.most[1]);
            spots.iter().filter_map(far).fold(0.0, f64::max)
        };
        let (folded_mm, single_mm) = (reach(&folded), reach(&single));
        Some(Found { folded, single, folded_mm, single_mm, evaluations: 0 })
    }

    /// How long the lay of a layout is, mm.
    pub(super) fn length(&self, found: &Found) -> f64 {
        let pieces = found.folded_mm.max(found.single_mm);
        let length = if self.rows_depth > 0.0 { self.below(pieces) + self.rows_depth } else { pieces };
        // Folded across, what is folded counts twice.
        if self.layout == Layout::Crosswise { length + found.folded_mm } else { length }
    }

    /// No lay of this spread is shorter, mm.
    pub(super) fn least_length(&self) -> f64 {
        let folded_mm = if self.folded.is_empty() { 0.0 } else { self.folded_bound() };
        let single_mm = if self.single.is_empty() { 0.0 } else { self.single_bound(folded_mm) };
        self.length(&Found { folded_mm, single_mm, ..Found::default() })
    }

    /// The layout as a lay.
    pub(super) fn lay(&self, found: &Found, seed: u64) -> Lay {
        let mut lay = Lay {
            layout: self.layout,
            width_mm: self.width,
            folded_mm: found.folded_mm,
            fold_at_mm: self.fold_at,
            used_length_mm: self.length(found),
            placements: Vec::new(),
            bits: Vec::new(),
            evaluations: u32::try_from(found.evaluations).unwrap_or(u32::MAX),
            seed,
        };
        put(&mut lay, &found.folded, &self.folded, &self.split.shapes);
        put(&mut lay, &found.single, &self.single, &self.split.shapes);
        let mut y = self.below(found.folded_mm.max(found.single_mm));
        for row in rows(self.split.rows.clone(), self.width) {
            let mut x = 0.0;
            for bit in row.bits {
                // Turned a quarter, a length reaches from its origin to the left.
                x += bit.length;
                let (strip, copy, length_mm) = (bit.strip, bit.copy, bit.length);
                lay.bits.push(Bit { strip, copy, under: None, length_mm, turn: 90, at: [x, y] });
            }
            y += row.depth;
        }
        lay
    }

    /// Where what comes next begins.
    fn below(&self, reach: f64) -> f64 {
        if reach > 0.0 { reach + self.gap } else { 0.0 }
    }
}

/// Where a lay has a piece or a length: its turn, whether mirrored, and the place.
fn lies(lay: &Lay, what: &What) -> Option<(u16, bool, crate::geom::Point)> {
    match *what {
        What::Part { part, copy, under, on_fold } => {
            let same = |p: &&Placement| (p.part, p.copy, p.under, p.on_fold) == (part, copy, under, on_fold);
            lay.placements.iter().find(same).map(|p| (p.turn, p.mirrored, p.at))
        }
        What::Bit { strip, copy, under, length } => {
            const SAME_MM: f64 = 1e-6;
            let same =
                |b: &&Bit| (b.strip, b.copy, b.under) == (strip, copy, under) && (b.length_mm - length).abs() < SAME_MM;
            lay.bits.iter().find(same).map(|b| (b.turn, false, b.at))
        }
    }
}

/// The least length for some pieces: the longest, or their area (and what else is in the
/// way) over the width.
fn bound(items: &[Item], shapes: &[Shape], in_the_way: f64, width: f64) -> f64 {
    let area = |item: &Item| item.shapes.first().and_then(|shape| shapes.get(*shape)).map_or(0.0, |s| s.grown.area);
    let area: f64 = items.iter().map(area).sum::<f64>() + in_the_way;
    bound_of_longest(items, shapes).max(area / width)
}

/// The height of the longest piece in its shortest position.
fn bound_of_longest(items: &[Item], shapes: &[Shape]) -> f64 {
    let least = |item: &Item| {
        let heights = item.shapes.iter().filter_map(|shape| shapes.get(*shape)).map(|shape| shape.own.height());
        heights.fold(f64::INFINITY, f64::min)
    };
    items.iter().map(least).fold(0.0, f64::max)
}

/// Writes the spots of some items into the lay.
fn put(lay: &mut Lay, spots: &[Spot], items: &[Item], shapes: &[Shape]) {
    for spot in spots {
        let (Some(item), Some(shape)) = (items.get(spot.item), shapes.get(spot.shape)) else { continue };
        let (turn, mirrored, at) = (shape.turn, shape.mirrored, spot.at);
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
