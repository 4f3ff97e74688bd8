//! The front of the search: spreads are tried beside one another, the better ones go on,
//! and shorter lays are told as they are found.

use std::ops::ControlFlow;

use super::super::{Lay, LayError, LayJob, check};
use super::SAME_MM;
use super::shorter::Attempt;
use super::spread::{Found, Spread, all_spreads};
use super::work::{Stage, Tables, Work};

/// What the search is at, when it tells how it goes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Doing {
    /// Laying all pieces a first time.
    Spreading,
    /// Comparing ways to spread the cloth.
    Comparing,
    /// Trying whether all of it lies on a shorter length: drawing apart what overlaps there.
    Shorter,
    /// Cutting a little off the shortest lay.
    Tightening,
    /// Done: the budget is spent, or no shorter length is possible.
    Done,
}

impl Doing {
    /// In words for the page.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Doing::Spreading => "spreading the pieces",
            Doing::Comparing => "comparing folded and open",
            Doing::Shorter => "trying shorter",
            Doing::Tightening => "tightening",
            Doing::Done => "done",
        }
    }
}

/// How a search stands.
#[derive(Clone, Debug)]
pub struct Step<'a> {
    /// What it is at.
    pub doing: Doing,
    /// Positions tried and neighbours compared so far.
    pub evaluations: u64,
    /// The shortest length so far, mm.
    pub length_mm: f64,
    /// The lay of that length, told once when it was found; it has passed the checker.
    pub lay: Option<&'a Lay>,
}

/// Goes on from a lay of this job: `told` hears of every step and may stop the search. It
/// ends there, at a length that nothing can be shorter than, or when `budget` positions
/// were tried. The result is never longer than `start` and has passed the checker; the same
/// job, start, budget and seed give the same lay.
///
/// # Errors
/// [`LayError`] naming the piece, strip or cloth at fault and the remedy.
pub fn keep_trying(
    job: &LayJob,
    start: &Lay,
    budget: u64,
    seed: u64,
    told: &mut dyn FnMut(&Step) -> ControlFlow<()>,
) -> Result<Lay, LayError> {
    let spread = all_spreads(job, seed)?;
    let mut search = Search { job, seed, budget, best: Some(start.clone()), spent: 0, told };
    search.run(&spread)?;
    Ok(search.best.unwrap_or_else(|| start.clone()))
}

/// The shortest lay of some spreads within a budget.
pub(super) fn shortest_lay(job: &LayJob, spread: &[Spread], budget: u64, seed: u64) -> Result<Lay, LayError> {
    let mut search = Search { job, seed, budget, best: None, spent: 0, told: &mut |_| ControlFlow::Continue(()) };
    search.run(spread)?;
    let best = search.best.ok_or(LayError::Unsound { faults: vec![] })?;
    Ok(Lay { evaluations: u32::try_from(search.spent).unwrap_or(u32::MAX), ..best })
}

/// A search at work.
struct Search<'a> {
    job: &'a LayJob,
    seed: u64,
    budget: u64,
    best: Option<Lay>,
    spent: u64,
    told: &'a mut dyn FnMut(&Step) -> ControlFlow<()>,
}

/// The share of a budget for comparing spreads: each is tried alike, then the better half
/// goes on, until one is left (judgement).
const COMPARED: f64 = 0.3;

/// The least number of positions for each piece in a comparison of spreads: some three rounds
/// in which each is moved (judgement: with fewer nothing is found in any of them).
const WORTH: u64 = 300;

/// The share after which no greater step is tried, only little ones (judgement).
const TRIED: f64 = 0.8;

/// How many tries a first layout has for each stretch: a few orders, no more; the guided
/// search does better with the same time (measured with `benches/lay.rs`).
const DROPPED: u32 = 1;

impl Search<'_> {
    fn run(&mut self, spread: &[Spread]) -> Result<(), LayError> {
        let mut layouts = Vec::new();
        for spread in spread {
            let found = spread.dropped(DROPPED, self.seed);
            self.spent += found.evaluations;
            self.offer(spread, &found)?;
            layouts.push((spread, self.started(spread, found)));
            if self.tell(Doing::Spreading, false).is_break() {
                return Ok(());
            }
        }
        if self.spent >= self.budget {
            return Ok(());
        }
        layouts.retain(|(spread, _)| self.may_be_shorter(spread));
        // Of many pieces, only so many spreads as can be told apart within the budget.
        let pieces = layouts.iter().map(|(spread, _)| spread.folded.len() + spread.single.len()).max().unwrap_or(0);
        let most = share_of(self.budget, COMPARED).saturating_sub(self.spent) / (WORTH * pieces.max(1) as u64);
        layouts.sort_by(|a, b| a.0.length(&a.1).total_cmp(&b.0.length(&b.1)));
        layouts.truncate(usize::try_from(most).unwrap_or(usize::MAX).max(1));
        let tables = layouts.iter().map(|(spread, found)| Tables::of(spread, found));
        let tables = tables.collect::<Result<Vec<Tables>, _>>()?;
        let mut works = Vec::new();
        for ((spread, found), tables) in layouts.into_iter().zip(&tables) {
            works.push(Work::from(spread, tables, found, self.seed)?);
        }
        if self.compare(&mut works)?.is_break() {
            return Ok(());
        }
        works.retain(|work| self.may_be_shorter(work.spread()));
        works.sort_by(|a, b| a.length().total_cmp(&b.length()));
        if let Some(work) = works.first_mut()
            && (self.work(work, share_of(self.budget, TRIED), Doing::Shorter)?.is_break()
                || self.work(work, self.budget, Doing::Tightening)?.is_break())
        {
            return Ok(());
        }
        let _ = self.tell(Doing::Done, false);
        Ok(())
    }

    /// Works on all spreads alike, then on the better half, until one is left.
    fn compare(&mut self, works: &mut Vec<Work>) -> Result<ControlFlow<()>, LayError> {
        let rounds = u32::try_from(works.len()).unwrap_or(1).max(1).ilog2() + u32::from(!works.len().is_power_of_two());
        for round in 0..rounds {
            works.sort_by(|a, b| a.length().total_cmp(&b.length()));
            if round > 0 {
                works.truncate(works.len().div_ceil(2));
            }
            works.retain(|work| self.may_be_shorter(work.spread()));
            let until = share_of(self.budget, COMPARED * f64::from(round + 1) / f64::from(rounds));
            let each = until.saturating_sub(self.spent) / works.len().max(1) as u64;
            for work in works.iter_mut() {
                let until = self.spent + each;
                if self.work(work, until, Doing::Comparing)?.is_break() {
                    return Ok(ControlFlow::Break(()));
                }
            }
        }
        Ok(ControlFlow::Continue(()))
    }

    /// Whether a lay of this spread can be shorter than the best one found.
    fn may_be_shorter(&self, spread: &Spread) -> bool {
        self.best.as_ref().is_none_or(|best| spread.least_length() < best.used_length_mm - SAME_MM)
    }

    /// What is known of a spread: the start, where it was spread so and is shorter.
    fn started(&self, spread: &Spread, found: Found) -> Found {
        let start = self.best.as_ref().and_then(|best| spread.known_from(best));
        start.filter(|start| spread.length(start) < spread.length(&found)).unwrap_or(found)
    }

    /// Works on a spread until so many positions were evaluated in all.
    fn work(&mut self, work: &mut Work, until: u64, doing: Doing) -> Result<ControlFlow<()>, LayError> {
        let from = self.spent;
        while self.spent < until {
            let stage = if doing == Doing::Tightening {
                Stage::Tightening(share(self.spent - from, until - from))
            } else {
                Stage::Trying
            };
            let attempt = work.attempt(stage, &mut |new| {
                self.spent += new;
                if self.spent >= until { ControlFlow::Break(()) } else { self.tell(doing, false) }
            })?;
            match attempt {
                Attempt::Bound => break,
                Attempt::Found => {
                    if self.offer(work.spread(), work.found())? && self.tell(doing, true).is_break() {
                        return Ok(ControlFlow::Break(()));
                    }
                }
                Attempt::Vain => self.spent += 1,
                Attempt::Stopped if self.spent >= until => break,
                Attempt::Stopped => return Ok(ControlFlow::Break(())),
            }
        }
        Ok(ControlFlow::Continue(()))
    }

    /// Keeps a layout that is shorter than all before, if the checker passes it.
    fn offer(&mut self, spread: &Spread, found: &Found) -> Result<bool, LayError> {
        if self.best.as_ref().is_some_and(|best| spread.length(found) > best.used_length_mm - SAME_MM) {
            return Ok(false);
        }
        let lay = spread.lay(found, self.seed);
        let faults = check(self.job, &lay);
        if !faults.is_empty() {
            return Err(LayError::Unsound { faults });
        }
        self.best = Some(lay);
        Ok(true)
    }

    /// Tells how it goes.
    fn tell(&mut self, doing: Doing, found: bool) -> ControlFlow<()> {
        let Some(best) = &self.best else { return ControlFlow::Continue(()) };
        let lay = found.then_some(best);
        (self.told)(&Step { doing, evaluations: self.spent, length_mm: best.used_length_mm, lay })
    }
}

/// A share of a budget.
fn share_of(budget: u64, share: f64) -> u64 {
    /// In thousandths, so that nothing is lost to rounding.
    const ALL: u64 = 1000;
    let thousandths = (1..=ALL).take_while(|n| self::share(*n, ALL) <= share).count() as u64;
    u64::try_from(u128::from(budget) * u128::from(thousandths) / u128::from(ALL)).unwrap_or(budget)
}

/// `n` of `all` as a share.
#[expect(clippy::cast_precision_loss, reason = "a share needs no more than three digits")]
fn share(n: u64, all: u64) -> f64 {
    n as f64 / all.max(1) as f64
}

#[cfg(test)]
mod tests {
    use super::super::super::{Cloth, Grain, Part, best_layout, check};
    use super::*;

    fn job() -> LayJob {
        let sides = [[300.0, 500.0], [250.0, 420.0], [410.0, 350.0], [120.0, 640.0], [330.0, 280.0]];
        let part = |(n, [w, h]): (usize, [f64; 2])| Part {
            key: format!("piece_{n}"),
            label: format!("Piece {n}"),
            letter: n.to_string(),
            outline: vec![[0.0, 0.0], [w, 0.0], [w * 0.8, h], [0.0, h]],
            fold: None,
            count: 2,
            pairs: true,
            grain: Grain::Along,
            may_flip: false,
            garment: 0,
            grain_tolerance_deg: 0,
            marks: vec![],
        };
        LayJob {
            parts: sides.into_iter().enumerate().map(part).collect(),
            strips: vec![],
            cloth: Cloth::of_width(900.0),
            matched: vec![],
        }
    }

    #[test]
    fn what_is_told_falls_and_what_is_found_is_sound() {
        let job = job();
        let start = best_layout(&job, 1, 1).unwrap();
        let mut lengths = vec![start.used_length_mm];
        let found = keep_trying(&job, &start, 60_000, 1, &mut |step| {
            lengths.push(step.length_mm);
            assert!(step.lay.is_none_or(|lay| lay.used_length_mm.total_cmp(&step.length_mm).is_eq()));
            ControlFlow::Continue(())
        })
        .unwrap();
        assert!(lengths.windows(2).all(|two| two[1] <= two[0]), "{lengths:?}");
        assert!(found.used_length_mm < start.used_length_mm);
        assert_eq!(check(&job, &found), vec![]);
    }

    #[test]
    fn a_search_that_is_stopped_keeps_what_it_has() {
        let job = job();
        let start = best_layout(&job, 1, 1).unwrap();
        let mut steps = 0;
        let found = keep_trying(&job, &start, u64::MAX, 1, &mut |_| {
            steps += 1;
            ControlFlow::Break(())
        });
        assert!(found.unwrap().used_length_mm <= start.used_length_mm);
        assert_eq!(steps, 1);
    }
}
