//! Going on from a lay: shorter ones are told as they are found.

use std::ops::ControlFlow;

use super::super::{Lay, LayError, LayJob};
use super::{SAME_MM, USUAL_BUDGET, best_layout};

/// What the search is at, when it tells how it goes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Doing {
    /// Trying whether all of it lies on a shorter length.
    Shorter,
    /// Done: the budget is spent, or no shorter length is possible.
    Done,
}

impl Doing {
    /// In words for the page.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Doing::Shorter => "trying shorter",
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

/// Goes on from a lay of this job: `told` hears of every step and may stop the search.
/// It ends there, or when `budget` positions and neighbours were spent. The result is never longer than
/// `start` and has passed the checker; the same job, start, budget and seed give the
/// same lay.
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
    let mut best = start.clone();
    let mut evaluations = 0_u64;
    let mut next = seed;
    while evaluations < budget {
        next = next.wrapping_add(1);
        let share = u32::try_from(budget - evaluations).unwrap_or(u32::MAX).min(USUAL_BUDGET);
        let found = best_layout(job, share, next)?;
        evaluations = evaluations.saturating_add(u64::from(found.evaluations).max(1));
        let shorter = found.used_length_mm < best.used_length_mm - SAME_MM;
        if shorter {
            best = found;
        }
        let lay = shorter.then_some(&best);
        if told(&Step { doing: Doing::Shorter, evaluations, length_mm: best.used_length_mm, lay }).is_break() {
            return Ok(best);
        }
    }
    let _ = told(&Step { doing: Doing::Done, evaluations, length_mm: best.used_length_mm, lay: None });
    Ok(best)
}

#[cfg(test)]
mod tests {
    use super::super::super::{Cloth, Grain, Part, check};
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
        let found = keep_trying(&job, &start, 400_000, 1, &mut |step| {
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
