//! One spread being made shorter: its folded stretch and what lies single are searched in
//! turn, each where it still helps.

use super::board::{Broken, guarded};
use super::shorter::{Asked, Attempt, Shorter};
use super::spread::{Found, Spread};
use super::table::Table;

/// The tables of a spread.
#[derive(Debug)]
pub(super) struct Tables {
    folded: Option<Table>,
    single: Option<Table>,
}

/// A spread at work.
#[derive(Debug)]
pub(super) struct Work<'a> {
    spread: &'a Spread,
    folded: Option<Shorter<'a>>,
    single: Option<Shorter<'a>>,
    found: Found,
    before: u64,
    /// Evaluations spent on the folded stretch and on what lies single.
    spent: [u64; 2],
}

/// How far a budget is spent, and whether it is time to tighten.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Stage {
    /// Trying shorter lengths.
    Trying,
    /// Cutting ever less off; the share of it that is over, 0 to 1.
    Tightening(f64),
}

impl Tables {
    /// Nothing where jagua-rs cannot take an outline at all.
    pub(super) fn of(spread: &Spread, found: &Found) -> Result<Tables, Broken> {
        let still = spread.in_the_way(found.folded_mm);
        guarded(|| Tables {
            folded: Table::of(&spread.folded, &spread.split.shapes, &[]),
            single: Table::of(&spread.single, &spread.split.shapes, &still),
        })
    }
}

impl<'a> Work<'a> {
    /// Goes on from a layout of the spread.
    pub(super) fn from(spread: &'a Spread, tables: &'a Tables, found: Found, seed: u64) -> Result<Work<'a>, Broken> {
        let shapes = &spread.split.shapes;
        guarded(|| {
            let folded = tables.folded.as_ref().filter(|_| !found.folded.is_empty());
            let folded = folded.and_then(|table| {
                Shorter::from(table, shapes, &found.folded, &[], (spread.folded_top(), spread.folded_bound()), seed)
            });
            let still = spread.in_the_way(found.folded_mm);
            let ends = single_ends(spread, found.folded_mm);
            let single = tables.single.as_ref().filter(|_| !found.single.is_empty());
            let single = single.and_then(|table| Shorter::from(table, shapes, &found.single, &still, ends, seed));
            let before = found.evaluations;
            Work { spread, folded, single, found, before, spent: [0, 0] }
        })
    }

    /// The layout so far.
    pub(super) const fn found(&self) -> &Found {
        &self.found
    }

    /// The spread at work.
    pub(super) const fn spread(&self) -> &'a Spread {
        self.spread
    }

    /// How long its lay is, mm.
    pub(super) fn length(&self) -> f64 {
        self.spread.length(&self.found)
    }

    /// One attempt at one of the stretches.
    pub(super) fn attempt(&mut self, stage: Stage, asked: &mut Asked) -> Result<Attempt, Broken> {
        let Some(which) = self.next() else { return Ok(Attempt::Bound) };
        let Work { folded, single, .. } = self;
        let Some(shorter) = (if which == 0 { folded } else { single }).as_mut() else { return Ok(Attempt::Bound) };
        let before = shorter.evaluations();
        let attempt = guarded(|| match stage {
            Stage::Trying => shorter.attempt(asked),
            Stage::Tightening(done) => shorter.tighten(done, asked),
        })?;
        let spent = shorter.evaluations() - before;
        if let Some(sum) = self.spent.get_mut(which) {
            // An attempt costs something, whatever it does: what cannot be shortened waits.
            *sum += spent.max(1);
        }
        self.take_over(which);
        Ok(attempt)
    }

    /// Which stretch to try next: that which makes the lay shorter, the less tried of two.
    fn next(&self) -> Option<usize> {
        let (folded_mm, single_mm) = (self.found.folded_mm, self.found.single_mm);
        let open = |shorter: Option<&Shorter>| shorter.is_some_and(|shorter| !shorter.is_least());
        let folded = open(self.folded.as_ref());
        let single = open(self.single.as_ref()) && single_mm > folded_mm;
        match (folded, single) {
            (true, false) if single_mm <= folded_mm || self.single.is_some() => Some(0),
            (false, true) => Some(1),
            (true, true) => {
                let [folded, single] = self.spent;
                let (few, many) = (self.spread.folded.len() as u64, self.spread.single.len() as u64);
                Some(usize::from(single.saturating_mul(few) < folded.saturating_mul(many)))
            }
            _ => None,
        }
    }

    /// Takes over what a stretch has found.
    fn take_over(&mut self, which: usize) {
        if let Some(folded) = self.folded.as_ref().filter(|_| which == 0) {
            let (spots, reach) = folded.best();
            let shorter = reach < self.found.folded_mm;
            (self.found.folded, self.found.folded_mm) = (spots, reach);
            if let Some(single) = self.single.as_mut().filter(|_| shorter) {
                single.rest_on(&self.spread.in_the_way(reach), single_ends(self.spread, reach));
            }
        }
        if let Some(single) = &self.single {
            (self.found.single, self.found.single_mm) = single.best();
        }
        let spent = self.folded.iter().chain(&self.single).map(Shorter::evaluations);
        self.found.evaluations = self.before + spent.sum::<u64>();
    }
}

/// Where single pieces begin and how far down they reach at least.
fn single_ends(spread: &Spread, folded_mm: f64) -> (f64, f64) {
    (spread.single_top(folded_mm), spread.single_bound(folded_mm))
}
