//! Whether the points that meet in a seam meet in the print.
//!
//! Judged on the table: what is cut through two layers matches below as it does above,
//! if the print was pinned layer to layer (which the words of the lay ask for).
//!
//! Where matches close a ring they may contradict one another. So a match that does not
//! hold between two cuts is a fault only if they are not held to one another in some other
//! way, through matches that do hold. Across the cloth a piece may also have too little
//! play to be moved to its place, and one on the fold has none.

use crate::geom::Point;

use super::super::words::both;
use super::super::{Lay, LayJob, Layout, Matched, Part, Placement};
use super::counted::end_for_end;
use super::unfold::{mirror_at, put};
use super::{Fault, Rule, WITHIN_MM};

/// How far the print may be off at a matched point, mm: the width of a chalk line. Cloth
/// gives more than that under the foot, and a seam is eased by as much (judgement).
const OFF_MM: f64 = 1.0;

/// Every fault of matching.
pub(super) fn phases(job: &LayJob, lay: &Lay) -> Vec<Fault> {
    let mut faults = against_one_another(job, lay);
    for axis in Axis::of(job, lay) {
        let groups = axis.groups();
        for (index, off) in axis.broken() {
            let Some(matched) = job.matched.get(index) else { continue };
            if !axis.is_excused(matched, &groups) {
                let text = format!("“{}” is off in the print {} by {}", matched.name, axis.words(), both(off));
                faults.push(Fault::new(Rule::Phase, off, text));
            }
        }
    }
    faults
}

/// The seams of a lay whose print cannot match, in words: other matches, or the width of
/// the cloth, leave no place for it. None in a cloth without a repeat.
#[must_use]
pub fn unmatched(job: &LayJob, lay: &Lay) -> Vec<String> {
    let mut words: Vec<String> = Vec::new();
    for axis in Axis::of(job, lay) {
        let names = axis.broken().into_iter().filter_map(|(index, _)| Some(&job.matched.get(index)?.name));
        words.extend(names.map(|name| format!("the print cannot match {} the cloth at “{name}”", axis.words())));
    }
    words.dedup();
    words
}

/// Pieces that meet in a seam are turned the same way: a stripe turned about meets another.
fn against_one_another(job: &LayJob, lay: &Lay) -> Vec<Fault> {
    if job.cloth.repeat.is_none() {
        return Vec::new();
    }
    let ways = |index: usize| {
        let mine = lay.placements.iter().filter(move |placement| placement.part == index);
        mine.filter_map(move |placement| end_for_end(job.parts.get(index)?, placement))
    };
    let at_odds = |matched: &&Matched| {
        let mut all = ways(matched.a.0).chain(ways(matched.b.0));
        all.next().is_some_and(|first| all.any(|way| way != first))
    };
    let fault = |matched: &Matched| {
        let text = format!("the pieces of “{}” are turned against one another in the print", matched.name);
        Fault::new(Rule::Phase, 0.0, text)
    };
    job.matched.iter().filter(at_odds).map(fault).collect()
}

/// Along the cloth or across it.
struct Axis<'a> {
    job: &'a LayJob,
    lay: &'a Lay,
    /// 0 across, 1 along.
    axis: usize,
    repeat_mm: f64,
}

/// A marked point on the table.
#[derive(Clone, Copy)]
struct Seen {
    /// Which placement it belongs to.
    cut: usize,
    /// Whether it is of the mirrored hand.
    hand: bool,
    at_mm: f64,
    /// Whether its piece has less play than one repeat.
    is_tight: bool,
}

impl<'a> Axis<'a> {
    /// The axes in which this cloth repeats.
    fn of(job: &'a LayJob, lay: &'a Lay) -> Vec<Axis<'a>> {
        let repeats = [(1, job.cloth.repeat_along_mm()), (0, job.cloth.repeat_across_mm())];
        repeats.into_iter().filter_map(|(axis, mm)| mm.map(|repeat_mm| Axis { job, lay, axis, repeat_mm })).collect()
    }

    fn words(&self) -> &'static str {
        if self.axis == 0 { "across" } else { "along" }
    }

    /// The matches that do not hold, and by how much.
    fn broken(&self) -> Vec<(usize, f64)> {
        let worst = |matched: &Matched| self.pairs(matched).iter().map(|pair| self.off(pair)).fold(0.0, f64::max);
        let all = self.job.matched.iter().map(worst).enumerate();
        all.filter(|(_, off)| *off > OFF_MM).collect()
    }

    /// How far apart in the repeat two points lie, mm.
    fn off(&self, (a, b): &(Seen, Seen)) -> f64 {
        let apart = (a.at_mm - b.at_mm).rem_euclid(self.repeat_mm);
        apart.min(self.repeat_mm - apart)
    }

    /// For each placement the group that it is held in place with.
    fn groups(&self) -> Vec<usize> {
        let mut groups: Vec<usize> = (0..self.lay.placements.len()).collect();
        let mut join = |a: usize, b: usize| {
            if let (Some(to), Some(from)) = (groups.get(a).copied(), groups.get(b).copied()) {
                groups.iter_mut().filter(|group| **group == from).for_each(|group| *group = to);
            }
        };
        for pair in self.job.matched.iter().flat_map(|matched| self.pairs(matched)) {
            if self.off(&pair) <= OFF_MM {
                join(pair.0.cut, pair.1.cut);
            }
        }
        if self.axis == 0 {
            let mut fixed = self.lay.placements.iter().enumerate().filter(|(_, placement)| placement.on_fold);
            if let Some((first, _)) = fixed.next() {
                fixed.for_each(|(other, _)| join(first, other));
            }
        }
        groups
    }

    /// Whether a broken match could not hold: the two of each pair that is off are held by
    /// other matches, or one of them has no room to move.
    fn is_excused(&self, matched: &Matched, groups: &[usize]) -> bool {
        let pairs = self.pairs(matched);
        let mut off = pairs.iter().filter(|pair| self.off(pair) > OFF_MM);
        off.all(|(a, b)| a.is_tight || b.is_tight || groups.get(a.cut) == groups.get(b.cut))
    }

    /// Every two points that are to match: each cut of the one part with each of the other,
    /// and the cuts of either among themselves. Across, a hand with its like, unless a
    /// point is to match with itself.
    fn pairs(&self, matched: &Matched) -> Vec<(Seen, Seen)> {
        let (ones, others) = (self.seen(matched.a), self.seen(matched.b));
        let alike = |a: &Seen, b: &Seen| self.axis == 1 || a.hand == b.hand;
        let among = |all: &[Seen]| -> Vec<(Seen, Seen)> {
            let after = |(n, a): (usize, &Seen)| all.iter().skip(n + 1).map(|b| (*a, *b)).collect::<Vec<_>>();
            all.iter().enumerate().flat_map(after).filter(|(a, b)| a.cut != b.cut).collect()
        };
        if matched.a == matched.b {
            return among(&ones);
        }
        let meet = ones.iter().flat_map(|a| others.iter().map(|b| (*a, *b)));
        meet.chain(among(&ones)).chain(among(&others)).filter(|(a, b)| alike(a, b)).collect()
    }

    /// Where a mark lies in each cut of its part; across, that of a half also where it lies
    /// in the other half.
    fn seen(&self, (index, mark): (usize, usize)) -> Vec<Seen> {
        let found = self.job.parts.get(index).and_then(|part| Some((part, part.marks.get(mark)?.at)));
        let Some((part, at)) = found else { return Vec::new() };
        let mut seen = Vec::new();
        for (cut, placement) in self.lay.placements.iter().enumerate().filter(|(_, placement)| placement.part == index)
        {
            let is_tight = self.axis == 0 && !placement.on_fold && self.play(part, placement) < self.repeat_mm;
            let place = |p: Point| put(p, placement.mirrored, placement.turn, placement.at);
            let mut add = |point: Point, hand: bool| {
                let at_mm = point.get(self.axis).copied().unwrap_or_default();
                seen.push(Seen { cut, hand, at_mm, is_tight });
            };
            add(place(at), placement.mirrored);
            // Where its fold lies upright, a whole piece is the same on both sides of it.
            let upright = |(a, b): &(Point, Point)| (place(*a)[0] - place(*b)[0]).abs() <= WITHIN_MM;
            if let Some((a, b)) = part.fold.filter(|fold| self.axis == 0 && upright(fold)) {
                add(place(mirror_at(at, a, b)), !placement.mirrored);
            }
        }
        seen
    }

    /// How far a cut could be moved across, mm, and a chalk line more.
    fn play(&self, part: &Part, placement: &Placement) -> f64 {
        let place = |p: Point| put(p, placement.mirrored, placement.turn, placement.at)[0];
        let other = |p: &Point| part.fold.map(|(a, b)| place(mirror_at(*p, a, b)));
        let across = || part.outline.iter().flat_map(|p| [Some(place(*p)), other(p)]).flatten();
        let least = across().fold(f64::INFINITY, f64::min);
        let most = across().fold(f64::NEG_INFINITY, f64::max);
        let doubled = self.lay.layout == Layout::Folded && placement.under.is_some();
        let room = if doubled { self.lay.fold_at_mm - self.job.cloth.gap_mm / 2.0 } else { self.lay.width_mm };
        room - (most - least) - OFF_MM
    }
}
