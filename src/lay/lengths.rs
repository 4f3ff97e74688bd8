//! One garment cut from several lengths of the same cloth: remnants, or what is left of
//! two bolts ("I have 1 3/8 yd and 3/4 yd").
//!
//! The pieces are shared out over the lengths, the longest first; each length is a lay of
//! its own, folded or open as suits it, and checked as any other. Several ways of sharing
//! out are tried: pairs kept together and cut through two layers, or a left on one length
//! and a right on another; a strip that may be joined whole, or in halves. Where the print
//! must match, the pieces of one length match among themselves: chalk each length from the
//! same place of the print.

use rand::{RngExt, SeedableRng};
use rand_pcg::Pcg64Mcg;

use super::search::best_layout;
use super::words::both;
use super::{Lay, LayError, LayJob, Matched, Part, Strip};

/// What is cut from one of the lengths.
#[derive(Clone, Debug, PartialEq)]
pub struct OnLength {
    /// Which of the lengths, from 0 in the order given.
    pub length: usize,
    /// What is cut from it, on the same cloth. A left that lies on another length than its
    /// right is a part of its own here, drawn as the left.
    pub job: LayJob,
    /// Its lay; it has passed the checker.
    pub lay: Lay,
}

/// At most so many ways of sharing out are tried; with more the gain was nothing on our
/// own garments (judgement).
const MOST_TRIES: usize = 24;

/// The budget of a lay that only asks whether one more piece goes on a length: the first
/// lay found.
const FIRST: u32 = 1;

/// A length that is short by no more than this share is asked again with more budget: a
/// first lay is seldom further from a good one (judgement).
const NEARLY: f64 = 0.12;

/// The budget of that second look.
const AGAIN: u32 = 12_000;

/// Shares a job out over lengths of its cloth as bought, mm. `budget` is in positions
/// tried and neighbours compared, over all lays; the first way of sharing out is always
/// finished. The same job, lengths, budget and seed give the same lays. Lengths from which
/// nothing is cut are left out.
///
/// # Errors
/// [`LayError::LengthsShort`] where nothing tried suffices, naming what is left over and by
/// how much the nearest try is short; else as [`best_layout`].
pub fn lay_lengths(job: &LayJob, lengths_mm: &[f64], budget: u32, seed: u64) -> Result<Vec<OnLength>, LayError> {
    job.sound()?;
    let rooms: Vec<f64> = lengths_mm.iter().map(|mm| job.cloth.usable_length_mm(*mm)).collect();
    let mut sharing = Sharing { job, rooms, budget, seed, spent: 0 };
    let mut rng = Pcg64Mcg::seed_from_u64(seed);
    let mut nearest: Option<Tried> = None;
    let (whole, parted) = (sharing.sized(units(job, false))?, sharing.sized(units(job, true))?);
    for number in 0..MOST_TRIES {
        if number > 0 && sharing.spent >= budget {
            break;
        }
        // The plain ways first, then as chance has it.
        let mut units = if number % 2 == 0 { whole.clone() } else { parted.clone() };
        let mut order: Vec<usize> = (0..sharing.rooms.len()).collect();
        let room = |at: &usize| sharing.rooms.get(*at).copied().unwrap_or_default();
        if number < 4 {
            let longest_first = number < 2;
            order.sort_by(|a, b| if longest_first { room(b).total_cmp(&room(a)) } else { room(a).total_cmp(&room(b)) });
        } else {
            shaken(&mut order, &mut rng);
            nudged(&mut units, &mut rng);
        }
        let tried = sharing.shared(&units, &order)?;
        if tried.left.is_empty() {
            return Ok(tried.on);
        }
        if nearest.as_ref().is_none_or(|nearest| tried.is_nearer_than(nearest)) {
            nearest = Some(tried);
        }
    }
    let Some(nearest) = nearest else { return Ok(Vec::new()) };
    let mut left: Vec<String> = nearest.left.iter().map(|unit| format!("“{}”", unit.label(job))).collect();
    left.dedup();
    let by_mm = nearest.short_mm;
    Err(LayError::LengthsShort { left: left.join(", "), by: both(by_mm), by_mm })
}

/// What stays together when a job is shared out.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Unit {
    /// Some copies of a part: a pair, a piece as drawn, or its mirror image.
    Part { index: usize, what: Copies },
    /// A strip, or half of one.
    Strip { index: usize, halved: bool },
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Copies {
    Pair,
    Drawn,
    Mirrored,
}

impl Unit {
    fn label(self, job: &LayJob) -> &str {
        match self {
            Unit::Part { index, .. } => job.parts.get(index).map_or("", |part| part.label.as_str()),
            Unit::Strip { index, .. } => job.strips.get(index).map_or("", |strip| strip.label.as_str()),
        }
    }
}

/// Everything to be cut, in units; `parted` takes pairs and strips that may be joined apart.
fn units(job: &LayJob, parted: bool) -> Vec<Unit> {
    let mut units = Vec::new();
    for (index, part) in job.parts.iter().enumerate() {
        let pairs = if part.pairs && part.fold.is_none() { part.count / 2 } else { 0 };
        for _ in 0..pairs {
            if parted {
                units.extend([Copies::Drawn, Copies::Mirrored].map(|what| Unit::Part { index, what }));
            } else {
                units.push(Unit::Part { index, what: Copies::Pair });
            }
        }
        units.extend((2 * pairs..part.count).map(|_| Unit::Part { index, what: Copies::Drawn }));
    }
    for (index, strip) in job.strips.iter().enumerate() {
        let halved = parted && strip.joined;
        let each = if halved { 2 } else { 1 };
        units.extend((0..strip.count.saturating_mul(each)).map(|_| Unit::Strip { index, halved }));
    }
    units
}

/// One way of sharing out.
struct Tried {
    on: Vec<OnLength>,
    left: Vec<Unit>,
    /// What was missing for the units that are left, mm.
    short_mm: f64,
}

impl Tried {
    fn is_nearer_than(&self, other: &Tried) -> bool {
        (self.left.len(), self.short_mm) < (other.left.len(), other.short_mm)
    }
}

/// A length while it is filled.
struct Held {
    length: usize,
    units: Vec<Unit>,
    /// The lay of these units, once there are some.
    laid: Option<(LayJob, Lay)>,
}

struct Sharing<'a> {
    job: &'a LayJob,
    /// How much of each length there is to lay on, mm.
    rooms: Vec<f64>,
    budget: u32,
    seed: u64,
    spent: u32,
}

impl Sharing<'_> {
    /// The units, those that take the most length by themselves first.
    fn sized(&mut self, units: Vec<Unit>) -> Result<Vec<Unit>, LayError> {
        let mut sized = Vec::new();
        let mut last: Option<(Unit, f64)> = None;
        for unit in units {
            let length = match last {
                Some((same, length)) if same == unit => length,
                _ => self.laid(&[unit], FIRST)?.1.used_length_mm,
            };
            last = Some((unit, length));
            sized.push((length, unit));
        }
        sized.sort_by(|a, b| b.0.total_cmp(&a.0));
        Ok(sized.into_iter().map(|(_, unit)| unit).collect())
    }

    fn laid(&mut self, units: &[Unit], budget: u32) -> Result<(LayJob, Lay), LayError> {
        let job = part_of(self.job, units);
        let lay = best_layout(&job, budget, self.seed)?;
        self.spent = self.spent.saturating_add(lay.evaluations);
        Ok((job, lay))
    }

    /// Each unit on the first length of the order that takes it.
    fn shared(&mut self, units: &[Unit], order: &[usize]) -> Result<Tried, LayError> {
        let mut held: Vec<Held> =
            order.iter().map(|length| Held { length: *length, units: Vec::new(), laid: None }).collect();
        let (mut left, mut short_mm) = (Vec::new(), 0.0);
        for unit in units {
            let mut least = f64::INFINITY;
            for Held { length, units: on_it, laid } in &mut held {
                let room = self.rooms.get(*length).copied().unwrap_or_default();
                on_it.push(*unit);
                let (found, over) = self.fitted(on_it, room)?;
                if over <= 0.0 {
                    *laid = Some(found);
                    least = 0.0;
                    break;
                }
                on_it.pop();
                least = least.min(over);
            }
            if least > 0.0 {
                left.push(*unit);
                short_mm += if least.is_finite() { least } else { self.laid(&[*unit], FIRST)?.1.used_length_mm };
            }
        }
        let mut on: Vec<OnLength> = held
            .into_iter()
            .filter_map(|held| held.laid.map(|(job, lay)| OnLength { length: held.length, job, lay }))
            .collect();
        on.sort_by_key(|on| on.length);
        Ok(Tried { on, left, short_mm })
    }

    /// The shortest lay found for some units, and how far it goes beyond the room.
    fn fitted(&mut self, units: &[Unit], room: f64) -> Result<((LayJob, Lay), f64), LayError> {
        let first = self.laid(units, FIRST)?;
        let over = first.1.used_length_mm - room;
        if over <= 0.0 || over > room * NEARLY || self.spent >= self.budget {
            return Ok((first, over));
        }
        let again = self.laid(units, AGAIN)?;
        let over = again.1.used_length_mm - room;
        Ok((again, over))
    }
}

/// The job of some units alone, on the same cloth.
fn part_of(job: &LayJob, units: &[Unit]) -> LayJob {
    let mut parts: Vec<Part> = Vec::new();
    let mut of: Vec<usize> = Vec::new();
    for (index, part) in job.parts.iter().enumerate() {
        for what in [Copies::Pair, Copies::Drawn, Copies::Mirrored] {
            let mine = units.iter().filter(|unit| **unit == Unit::Part { index, what }).count();
            let each = if what == Copies::Pair { 2 } else { 1 };
            let count = u32::try_from(mine).unwrap_or(u32::MAX).saturating_mul(each);
            if count > 0 {
                let drawn = if what == Copies::Mirrored { part.mirrored() } else { part.clone() };
                parts.push(Part { count, pairs: what == Copies::Pair, ..drawn });
                of.push(index);
            }
        }
    }
    let strips = job.strips.iter().enumerate().flat_map(|(index, strip)| {
        let cut = |halved: bool| {
            let mine = units.iter().filter(|unit| **unit == Unit::Strip { index, halved }).count();
            let length_mm = if halved { strip.length_mm / 2.0 } else { strip.length_mm };
            Strip { count: u32::try_from(mine).unwrap_or(u32::MAX), length_mm, ..strip.clone() }
        };
        [cut(false), cut(true)].into_iter().filter(|strip| strip.count > 0)
    });
    let here = |(part, mark): (usize, usize)| {
        let places = of.iter().enumerate().filter(move |(_, index)| **index == part);
        places.map(move |(place, _)| (place, mark)).collect::<Vec<_>>()
    };
    let matched = job.matched.iter().flat_map(|matched| {
        let (ones, others, name) = (here(matched.a), here(matched.b), &matched.name);
        let pairs = ones.into_iter().flat_map(move |a| others.clone().into_iter().map(move |b| (a, b)));
        pairs.map(|(a, b)| Matched { name: name.clone(), a, b }).collect::<Vec<_>>()
    });
    LayJob { parts, strips: strips.collect(), cloth: job.cloth, matched: matched.collect() }
}

/// Every place exchanged with another.
fn shaken<T>(all: &mut [T], rng: &mut Pcg64Mcg) {
    for at in 1..all.len() {
        all.swap(at, rng.random_range(0..=at));
    }
}

/// A third of the places exchanged with a neighbour: still about the longest first.
fn nudged<T>(all: &mut [T], rng: &mut Pcg64Mcg) {
    for at in 1..all.len() {
        if rng.random_range(0..3_u8) == 0 {
            all.swap(at - 1, at);
        }
    }
}
