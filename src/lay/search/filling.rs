//! A better place for one piece: places tried all over the stretch and around its own,
//! the best of them improved by steps that grow while they help and shrink while not.

use rand::RngExt;
use rand_pcg::Pcg64Mcg;

use super::crowd::Crowd;
use super::table::{Ends, Place};

/// How hard a place is looked for.
#[derive(Clone, Copy, Debug)]
pub(super) struct Effort {
    /// Places tried anywhere.
    pub(super) anywhere: u32,
    /// Places tried around the present one.
    pub(super) around: u32,
}

/// How many of the places tried are improved (judgement).
const IMPROVED: usize = 3;

/// How far from its place a piece is tried around it, in its own breadths (judgement).
const NEAR: f64 = 0.5;

/// First steps, last steps and the very last ones of the best place, as shares of a
/// piece's breadth (judgement: the last are some hundredths of a millimetre on garments).
const STEPS: [f64; 3] = [0.05, 0.01, 0.0005];

/// What a step grows by when it helped, and shrinks by when not (judgement).
const GROWING: f64 = 1.1;
const SHRINKING: f64 = 0.5;

/// Moves a piece that overlaps to the best place found, unless that is worse.
pub(super) fn find_place(crowd: &mut Crowd, piece: usize, ends: Ends, effort: Effort, rng: &mut Pcg64Mcg) {
    let Some(now) = crowd.places.get(piece).copied() else { return };
    let before = crowd.cost(piece);
    let mut best: Vec<(Place, f32)> = vec![(now, before)];
    for n in 0..effort.anywhere + effort.around {
        let tried =
            if n < effort.around { near(crowd, piece, now, ends, rng) } else { anywhere(crowd, piece, ends, rng) };
        let Some(place) = tried else { return };
        let most = if best.len() < IMPROVED { f32::MAX } else { best.last().map_or(f32::MAX, |last| last.1) };
        let cost = crowd.cost_at(piece, place, most);
        if cost < most {
            let rank = best.iter().position(|(_, better)| cost < *better).unwrap_or(best.len());
            best.insert(rank, (place, cost));
            best.truncate(IMPROVED);
        }
    }
    let breadth = breadth(crowd, piece, now);
    let mut chosen: Option<(Place, f32)> = None;
    for start in best {
        let [first, last, _] = STEPS;
        let found = improved(crowd, piece, start, ends, [first * breadth, last * breadth], rng);
        if chosen.is_none_or(|chosen| found.1 < chosen.1) {
            chosen = Some(found);
        }
    }
    let Some(chosen) = chosen else { return };
    let [_, first, last] = STEPS;
    let (place, cost) = improved(crowd, piece, chosen, ends, [first * breadth, last * breadth], rng);
    if cost <= before && place != now {
        crowd.shift(piece, place);
    }
}

/// The lesser breadth of a piece, mm.
fn breadth(crowd: &Crowd, piece: usize, place: Place) -> f64 {
    let form = crowd.table.stance(piece, place.stance).and_then(|stance| crowd.table.forms.get(stance.form));
    form.map_or(1.0, |form| f64::from(2.0 * form.half[0].min(form.half[1])).max(1.0))
}

fn any_stance(crowd: &Crowd, piece: usize, rng: &mut Pcg64Mcg) -> Option<usize> {
    let count = crowd.table.pieces.get(piece)?.stances.len();
    (count > 0).then(|| if count == 1 { 0 } else { rng.random_range(0..count) })
}

fn anywhere(crowd: &Crowd, piece: usize, ends: Ends, rng: &mut Pcg64Mcg) -> Option<Place> {
    let stance = any_stance(crowd, piece, rng)?;
    let track = crowd.table.stance(piece, stance)?;
    let at = [track.across.at(rng.random()), track.along(ends).at(rng.random())];
    Some(Place { stance, at })
}

fn near(crowd: &Crowd, piece: usize, now: Place, ends: Ends, rng: &mut Pcg64Mcg) -> Option<Place> {
    let stance = any_stance(crowd, piece, rng)?;
    let table = crowd.table;
    let (old, new) = (table.stance(piece, now.stance)?, table.stance(piece, stance)?);
    let (from, to) = (table.forms.get(old.form)?, table.forms.get(new.form)?);
    let mut at = now.at;
    for (axis, at) in at.iter_mut().enumerate() {
        let half = from.half.get(axis).copied().unwrap_or_default();
        // More often near than far.
        let off = (rng.random::<f64>() - rng.random::<f64>()) * 2.0 * f64::from(half) * 2.0 * NEAR;
        let same_middle = from.middle.get(axis).zip(to.middle.get(axis)).map_or(0.0, |(from, to)| from - to);
        *at += same_middle + off;
    }
    Some(table.allowed(piece, Place { stance, at }, ends))
}

/// Goes from a place to better ones nearby, by steps along, across or both, until the
/// steps are short.
fn improved(
    crowd: &mut Crowd,
    piece: usize,
    start: (Place, f32),
    ends: Ends,
    steps: [f64; 2],
    rng: &mut Pcg64Mcg,
) -> (Place, f32) {
    let (mut best, mut cost) = start;
    let Some(stance) = crowd.table.stance(piece, best.stance) else { return start };
    // What lies on the fold slides along it alone.
    let slides = stance.across.span() <= 0.0;
    let mut step = [steps[0], steps[0]];
    while cost > 0.0 && step[0].max(step[1]) > steps[1] {
        let way = if slides { 1 } else { rng.random_range(0..4_u8) };
        let [dx, dy] = match way {
            0 => [step[0], 0.0],
            1 => [0.0, step[1]],
            2 => [step[0], step[1]],
            _ => [step[0], -step[1]],
        };
        let mut helped = false;
        for sign in [1.0, -1.0] {
            let at = [best.at[0] + sign * dx, best.at[1] + sign * dy];
            let place = crowd.table.allowed(piece, Place { at, ..best }, ends);
            if place == best {
                continue;
            }
            let found = crowd.cost_at(piece, place, cost);
            if found < cost {
                (best, cost, helped) = (place, found, true);
                break;
            }
        }
        let factor = if helped { GROWING } else { SHRINKING };
        if way != 1 {
            step[0] *= factor;
        }
        if way != 0 {
            step[1] *= factor;
        }
        if slides {
            step[0] = 0.0;
        }
    }
    (best, cost)
}
