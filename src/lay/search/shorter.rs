//! One stretch made shorter: cut a little off, let the pieces overlap, draw them apart
//! again (guided local search over overlaps: Egeblad and others 2007, Umetani and others
//! 2009, Gardeyn, Vanden Berghe and Wauters, arXiv 2509.13329). Where they will not come
//! apart, go on from one of the layouts that came nearest, with two large pieces exchanged.

use std::ops::ControlFlow;

use rand::seq::SliceRandom;
use rand::{RngExt, SeedableRng};
use rand_pcg::Pcg64Mcg;

use super::crowd::Crowd;
use super::dropping::Spot;
use super::filling::{Effort, find_place};
use super::phase::Phase;
use super::settled::settled;
use super::shape::Shape;
use super::table::{Ends, Place, Table};

/// Asked now and then whether to go on, with what was evaluated since it was asked last.
pub(super) type Asked<'a> = dyn FnMut(u64) -> ControlFlow<()> + 'a;

/// A stretch that is being made shorter.
#[derive(Debug)]
pub(super) struct Shorter<'a> {
    table: &'a Table,
    shapes: &'a [Shape],
    still: Vec<Spot>,
    /// Where the stretch begins, mm.
    top: f64,
    crowd: Crowd<'a>,
    rng: Pcg64Mcg,
    /// The shortest layout so far.
    best: Vec<Place>,
    /// How far down it reaches, mm.
    reach: f64,
    /// No layout is shorter than this, mm.
    bound: f64,
    /// The length now tried, mm, and the share by which it was shortened.
    length: f64,
    share: f64,
    /// Layouts of that length, or of a lesser one, that came near, nearest first, with what
    /// they overlapped.
    near: Vec<(f32, Vec<Place>)>,
    /// How often this length was tried in vain.
    vain: u32,
    told: u64,
}

/// How an attempt ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Attempt {
    /// A shorter layout was found.
    Found,
    /// None was found this time.
    Vain,
    /// It was stopped.
    Stopped,
    /// It is as short as can be.
    Bound,
}

/// How long pieces are drawn apart before giving up: rounds without getting nearer, and
/// how often to begin again from the nearest.
#[derive(Clone, Copy, Debug)]
struct Patience {
    rounds: u32,
    times: u32,
    effort: Effort,
}

/// When a length is tried, with as many rounds more for each time that it was tried in vain,
/// up to [`LONGEST`] times as many (judgement, as all below; of a few values those that
/// shortened the instances of `examples/measure_lay.rs` and our own garments most).
const PATIENT: Patience = Patience { rounds: 30, times: 2, effort: Effort { anywhere: 30, around: 15 } };

/// How many times as many rounds a length is given at most: more time goes into more layouts
/// to begin from.
const LONGEST: u32 = 4;

/// When little is cut off.
const HASTY: Patience = Patience { rounds: 50, times: 2, effort: Effort { anywhere: 8, around: 12 } };

/// The share cut off at first and at most, and at least. Where twice as much could be cut off,
/// whole attempts went into lengths out of reach, and more time found nothing more.
const SHARES: [f64; 2] = [0.02, 0.001];

/// The share cut off when tightening, from first to last.
const TIGHT: [f64; 2] = [0.0008, 0.000_02];

/// How much nearer counts as nearer.
const NEARER: f32 = 0.98;

/// How many near layouts are kept.
const KEPT: usize = 10;

/// How often a length is tried in vain before a greater one is, down to the least share.
const VAIN: u32 = 6;

/// How often the least share is tried in vain before a new round begins at the greatest
/// (judgement: on three instances of `examples/measure_lay.rs` within 0.4 of a point of
/// none in 30 s; it counts where a small garment is tried for long).
const ROUND: u32 = 12;

/// Differences below this are no improvement, mm.
const SAME_MM: f64 = 0.01;

impl<'a> Shorter<'a> {
    /// From a layout that is sound; nothing where the board cannot take the pieces.
    pub(super) fn from(
        table: &'a Table,
        shapes: &'a [Shape],
        spots: &[Spot],
        still: &[Spot],
        (top, bound): (f64, f64),
        seed: u64,
    ) -> Option<Shorter<'a>> {
        let best = placed(table, spots, still)?;
        let reach = table.reach(&best);
        let crowd = Crowd::of(table, best.clone(), reach)?;
        Some(Shorter {
            table,
            shapes,
            still: still.to_vec(),
            top,
            crowd,
            rng: Pcg64Mcg::seed_from_u64(seed),
            best,
            reach,
            bound,
            length: reach,
            share: SHARES[0],
            near: Vec::new(),
            vain: 0,
            told: 0,
        })
    }

    /// The shortest layout so far and how far down it reaches, mm.
    pub(super) fn best(&self) -> (Vec<Spot>, f64) {
        (self.spots(&self.best), self.reach)
    }

    /// Goes on with what stays lying further up.
    pub(super) fn rest_on(&mut self, still: &[Spot], (top, bound): (f64, f64)) {
        let spots = self.spots(&self.best);
        (self.still, self.top, self.bound) = (still.to_vec(), top, bound);
        let settled = settled(&spots, still, self.shapes, top, |spot| self.phase(spot));
        let settled = settled.and_then(|(spots, reach)| Some((placed(self.table, &spots, still)?, reach)));
        if let Some((places, reach)) = settled {
            (self.best, self.reach) = (places, reach);
        }
        self.near.clear();
        self.vain = 0;
    }

    /// Whether no shorter layout is possible.
    pub(super) fn is_least(&self) -> bool {
        self.reach <= self.bound + SAME_MM
    }

    /// Positions evaluated so far.
    pub(super) const fn evaluations(&self) -> u64 {
        self.crowd.evaluations
    }

    /// One attempt at a shorter layout.
    pub(super) fn attempt(&mut self, asked: &mut Asked) -> Attempt {
        if self.is_least() {
            return Attempt::Bound;
        }
        let [most, least] = SHARES;
        if self.vain >= VAIN && self.share > least {
            // What came near on a lesser length has more room here: it is gone on from, not
            // thrown away, and at the least share only after a whole round.
            self.share = (self.share / 2.0).max(least);
            self.length = (self.reach * (1.0 - self.share)).max(self.bound);
            self.vain = 0;
        } else if self.vain >= ROUND {
            // A whole round was in vain: a quite different layout may be shorter, so much is
            // cut off again, from the shortest with all pieces free to go elsewhere.
            self.share = most;
            self.near.clear();
            self.vain = 0;
        }
        if self.near.is_empty() {
            self.length = (self.reach * (1.0 - self.share)).max(self.bound);
            let start = self.shortened(&self.best.clone());
            self.crowd.take(&start);
        } else {
            let start = self.varied();
            self.crowd.take(&start);
        }
        let patience = Patience { rounds: PATIENT.rounds * (1 + self.vain).min(LONGEST), ..PATIENT };
        match self.draw_apart(patience, asked) {
            Drawn::Stopped => Attempt::Stopped,
            Drawn::Apart if self.keep() => {
                self.share = (self.share * 1.2).min(most);
                self.near.clear();
                self.vain = 0;
                Attempt::Found
            }
            Drawn::Apart => Attempt::Vain,
            Drawn::Near(depth) => {
                let rank = self.near.iter().position(|(other, _)| depth < *other).unwrap_or(self.near.len());
                self.near.insert(rank, (depth, self.crowd.places.clone()));
                self.near.truncate(KEPT);
                self.vain += 1;
                Attempt::Vain
            }
        }
    }

    /// One attempt to cut a very little off the shortest layout; `done` tells how much of the
    /// tightening is over, 0 to 1.
    pub(super) fn tighten(&mut self, done: f64, asked: &mut Asked) -> Attempt {
        if self.is_least() {
            return Attempt::Bound;
        }
        let share = TIGHT[0] * (TIGHT[1] / TIGHT[0]).powf(done);
        self.length = (self.reach * (1.0 - share)).max(self.bound);
        self.near.clear();
        let start = self.shortened(&self.best.clone());
        self.crowd.take(&start);
        match self.draw_apart(HASTY, asked) {
            Drawn::Stopped => Attempt::Stopped,
            Drawn::Apart if self.keep() => Attempt::Found,
            Drawn::Apart | Drawn::Near(_) => Attempt::Vain,
        }
    }

    /// The same places on the length now tried: what lies beyond a cut somewhere is moved up.
    fn shortened(&mut self, places: &[Place]) -> Vec<Place> {
        let cut = self.rng.random_range(0.0..1.0) * self.length;
        let (by, ends) = (self.reach - self.length, self.ends());
        let moved = |(piece, place): (usize, &Place)| {
            if piece >= self.table.free {
                return *place;
            }
            let middle = self
                .table
                .stance(piece, place.stance)
                .map_or(0.0, |stance| f64::midpoint(stance.reach[0], stance.reach[1]));
            let up = if place.at[1] + middle > cut { by } else { 0.0 };
            self.table.allowed(piece, Place { at: [place.at[0], place.at[1] - up], ..*place }, ends)
        };
        places.iter().enumerate().map(moved).collect()
    }

    /// One of the near layouts, rather a nearer one, with two large pieces exchanged.
    fn varied(&mut self) -> Vec<Place> {
        let pick = self.rng.random::<f64>() * self.rng.random::<f64>();
        let rank = (1..self.near.len()).filter(|n| share(*n, self.near.len()) <= pick).count();
        let mut places = self.near.get(rank).map(|(_, places)| places.clone()).unwrap_or_default();
        let mut large: Vec<usize> = (0..self.table.free).collect();
        let area = |piece: &usize| self.table.pieces.get(*piece).map_or(0.0, |piece| piece.area);
        large.sort_by(|a, b| area(b).total_cmp(&area(a)).then(a.cmp(b)));
        // Of a third of the pieces, four at least (judgement).
        large.truncate((self.table.free / 3).max(4));
        let form =
            |piece: usize| places.get(piece).and_then(|place| Some(self.table.stance(piece, place.stance)?.form));
        let one = large.get(self.rng.random_range(0..large.len().max(1))).copied().unwrap_or_default();
        let others: Vec<usize> = large.iter().copied().filter(|other| form(*other) != form(one)).collect();
        if others.is_empty() {
            return places;
        }
        let other = others.get(self.rng.random_range(0..others.len())).copied().unwrap_or_default();
        let middles = [self.middle(one, &places), self.middle(other, &places)];
        let ends = self.ends();
        for (piece, to, from) in [(one, middles[1], middles[0]), (other, middles[0], middles[1])] {
            if let Some(place) = places.get_mut(piece) {
                let at = [place.at[0] + to[0] - from[0], place.at[1] + to[1] - from[1]];
                *place = self.table.allowed(piece, Place { at, ..*place }, ends);
            }
        }
        places
    }

    const fn ends(&self) -> Ends {
        Ends { top: self.top, bottom: self.length }
    }

    fn middle(&self, piece: usize, places: &[Place]) -> [f64; 2] {
        let of = || {
            let place = places.get(piece)?;
            let form = self.table.forms.get(self.table.stance(piece, place.stance)?.form)?;
            Some([place.at[0] + form.middle[0], place.at[1] + form.middle[1]])
        };
        of().unwrap_or_default()
    }

    /// Moves pieces that overlap, one at a time, until none does.
    fn draw_apart(&mut self, patience: Patience, asked: &mut Asked) -> Drawn {
        self.crowd.forget();
        let mut least = self.crowd.depth();
        if least <= 0.0 {
            return Drawn::Apart;
        }
        let (mut nearest, ends) = (self.crowd.places.clone(), self.ends());
        let mut times = 0;
        while times < patience.times {
            let before = least;
            let mut idle = 0;
            while idle < patience.rounds {
                let mut order: Vec<usize> = self.crowd.overlapping().collect();
                order.shuffle(&mut self.rng);
                for piece in order {
                    if self.crowd.cost(piece) > 0.0 {
                        find_place(&mut self.crowd, piece, ends, patience.effort, &mut self.rng);
                    }
                }
                self.crowd.weigh();
                let depth = self.crowd.depth();
                idle = if depth < NEARER * least { 0 } else { idle + 1 };
                if depth < least {
                    least = depth;
                    nearest.clone_from(&self.crowd.places);
                }
                if depth <= 0.0 {
                    return Drawn::Apart;
                }
                let new = self.crowd.evaluations - self.told;
                self.told = self.crowd.evaluations;
                if asked(new).is_break() {
                    return Drawn::Stopped;
                }
            }
            times = if least < NEARER * before { 0 } else { times + 1 };
            self.crowd.take(&nearest);
        }
        Drawn::Near(least)
    }

    /// Keeps what was drawn apart, if the exact slabs agree that it is shorter.
    fn keep(&mut self) -> bool {
        let spots = self.spots(&self.crowd.places);
        let Some((spots, reach)) = settled(&spots, &self.still, self.shapes, self.top, |spot| self.phase(spot)) else {
            return false;
        };
        if reach > self.reach - SAME_MM {
            return false;
        }
        let Some(places) = placed(self.table, &spots, &self.still) else { return false };
        (self.best, self.reach) = (places, reach);
        true
    }

    /// Where along the cloth the print lets a piece lie.
    fn phase(&self, spot: &Spot) -> Option<Phase> {
        self.table.stance(spot.item, 0)?.phase
    }

    fn spots(&self, places: &[Place]) -> Vec<Spot> {
        let of = |(item, place): (usize, &Place)| {
            let shape = self.table.stance(item, place.stance)?.shape;
            Some(Spot { item, shape, at: place.at })
        };
        places.iter().take(self.table.free).enumerate().filter_map(of).collect()
    }
}

enum Drawn {
    Apart,
    Near(f32),
    Stopped,
}

/// The places of spots, in the order of the table.
fn placed(table: &Table, spots: &[Spot], still: &[Spot]) -> Option<Vec<Place>> {
    let mut places = vec![None; table.free];
    for spot in spots {
        let stance = table.pieces.get(spot.item)?.stances.iter().position(|stance| stance.shape == spot.shape)?;
        *places.get_mut(spot.item)? = Some(Place { stance, at: spot.at });
    }
    let mut places: Vec<Place> = places.into_iter().collect::<Option<_>>()?;
    places.extend(still.iter().map(|spot| Place { stance: 0, at: spot.at }));
    Some(places)
}

/// `n` of `all` as a share.
fn share(n: usize, all: usize) -> f64 {
    let of = |n: usize| f64::from(u32::try_from(n).unwrap_or(u32::MAX));
    of(n) / of(all).max(1.0)
}
