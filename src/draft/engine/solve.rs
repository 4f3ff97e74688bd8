//! Finding unknowns so that lengths agree: one by false position, two or three
//! together by Newton's method with learned slopes.

use super::super::fault::Fault;
use super::super::formula::{Expr, Node, Scope, Value, Values};
use super::super::style::{SolveRule, Style, Work};
use super::drawing::Drawing;
use super::work::work;
use crate::measure::{Length, Showing};

/// Lengths are brought this near, mm: a hundredth of the finest tolerance.
const NEAR_MM: f64 = 1e-3;
/// False position with halving (the Illinois rule) needs about 8 steps; 60 always suffice.
const MOST_STEPS: usize = 60;
/// Newton's method needs 4 to 8 steps; what has not come near in 30 will not.
const MOST_JOINT_STEPS: usize = 30;
/// The step by which slopes are taken, mm: small against what is drawn, large against rounding.
const SLOPE_MM: f64 = 0.05;

/// Slopes that were learned serve on while a step leaves less than this of the miss: three such
/// steps cost less than slopes taken anew for two unknowns (judgement).
const LEFT_BY_A_STEP: f64 = 0.25;

/// One search may draw so many points in all: 60 steps of the book's largest sleeve and
/// bodice are a tenth of it. More is a style that draws everything anew for one unknown.
const MOST_DRAWN: usize = 1_000_000;

/// What a search found.
pub(super) enum Found {
    /// Each unknown, mm, and the length that it makes.
    Values(Vec<(f64, f64)>),
    /// Nothing between the limits will do, in words.
    Nothing(String),
}

/// A search for unknowns: sets them, works anew what depends on them, and measures.
struct Search<'a> {
    style: &'a Style,
    rules: Vec<&'a SolveRule>,
    anew: &'a [Work],
    values: Values<'a>,
    drawing: Drawing<'a>,
    drawn: usize,
}

impl<'a> Search<'a> {
    /// How far each left length is from its right one, and the left lengths.
    fn miss(&mut self, at: &[f64]) -> Result<(Vec<f64>, Vec<f64>), Fault> {
        for (rule, x) in self.rules.iter().zip(at) {
            self.values.insert(&rule.key, Value::mm(*x));
        }
        for item in self.anew {
            work(self.style, item, &mut self.values, &mut self.drawing)?;
            let Work::Piece(i) = item else { continue };
            let piece = self.style.pieces.get(*i).and_then(|rule| self.drawing.pieces.get(rule.key.as_str()));
            self.drawn += piece.map_or(0, |piece| piece.steps);
            if self.drawn > MOST_DRAWN {
                let at = self.rules.first().map_or_else(Default::default, |rule| rule.left.at);
                let message = format!(
                    "This search has drawn {} points and found nothing; at most {MOST_DRAWN} are drawn. \
                     Let fewer pieces depend on the unknown.",
                    self.drawn
                );
                return Err(Fault::new(at, message));
            }
        }
        let scope = Scope { values: &self.values, shapes: Some(&self.drawing) };
        let (mut off, mut lengths) = (Vec::new(), Vec::new());
        for rule in &self.rules {
            let left = scope.length(&rule.left)?;
            off.push(left - scope.length(&rule.right)?);
            lengths.push(left);
        }
        Ok((off, lengths))
    }

    /// How each miss (a row) changes with each unknown at `at`, where the misses are `off`.
    fn slopes(&mut self, at: &[f64], off: &[f64]) -> Result<Vec<Vec<f64>>, Fault> {
        let mut slopes: Vec<Vec<f64>> = vec![Vec::new(); off.len()];
        for i in 0..at.len() {
            let mut near = at.to_vec();
            if let Some(x) = near.get_mut(i) {
                *x += SLOPE_MM;
            }
            let (moved, _) = self.miss(&near)?;
            for ((row, f), g) in slopes.iter_mut().zip(off).zip(&moved) {
                row.push((g - f) / SLOPE_MM);
            }
        }
        Ok(slopes)
    }
}

/// The unknowns of one group.
pub(super) fn solve<'s>(
    style: &'s Style,
    (unknowns, anew): (&[usize], &[Work]),
    given: &Values<'s>,
    drawing: &Drawing<'s>,
    showing: Showing,
) -> Result<Found, Fault> {
    let rules: Vec<&SolveRule> = unknowns.iter().filter_map(|i| style.solves.get(*i)).collect();
    let mut values = given.clone();
    // Unknowns that are found later stand at their most meanwhile: what is measured
    // here must not depend on them.
    for later in &style.solves {
        if !values.contains_key(later.key.as_str())
            && is_known(&later.most, given)
            && let Ok(most) = (Scope { values: given, shapes: Some(drawing) }).length(&later.most)
        {
            values.insert(&later.key, Value::mm(most));
        }
    }
    let scope = Scope { values: given, shapes: Some(drawing) };
    let mut limits = Vec::with_capacity(rules.len());
    for rule in &rules {
        limits.push((scope.length(&rule.least)?, scope.length(&rule.most)?));
    }
    let mut search = Search { style, rules, anew, values, drawing: drawing.clone(), drawn: 0 };
    match limits.as_slice() {
        [one] => alone(&mut search, *one, showing),
        _ => together(&mut search, &limits, showing),
    }
}

/// Whether every name of a formula has its value: else a fault would be worded only to be dropped.
fn is_known(expr: &Expr, values: &Values<'_>) -> bool {
    let mut known = true;
    expr.visit(&mut |part| known &= !matches!(&part.node, Node::Name(name) if !values.contains_key(name.as_str())));
    known
}

fn told(mm: f64, showing: Showing) -> String {
    Length::from_mm(mm).map_or_else(|| format!("{mm:.1} mm"), |l| showing.with_unit(l))
}

fn alone(search: &mut Search<'_>, (least, most): (f64, f64), showing: Showing) -> Result<Found, Fault> {
    let mut miss = |x: f64| -> Result<(f64, f64), Fault> {
        let (off, lengths) = search.miss(&[x])?;
        Ok((off.first().copied().unwrap_or(f64::NAN), lengths.first().copied().unwrap_or(f64::NAN)))
    };
    let (mut a, mut b) = (least, most);
    let ((mut fa, la), (mut fb, lb)) = (miss(a)?, miss(b)?);
    for (x, f, length) in [(a, fa, la), (b, fb, lb)] {
        if f.abs() <= NEAR_MM {
            return Ok(Found::Values(vec![(x, length)]));
        }
    }
    let label =
        |search: &Search<'_>| search.rules.first().map_or_else(String::new, |rule| search.style.label_of(&rule.key));
    if fa * fb > 0.0 {
        return Ok(Found::Nothing(format!(
            "{} cannot be drawn: between {} and {} the curve always comes out too {}. Check the measures and lengths.",
            label(search),
            told(least, showing),
            told(most, showing),
            if fa > 0.0 { "long" } else { "short" }
        )));
    }
    let mut side = 0;
    for _ in 0..MOST_STEPS {
        let x = (a * fb - b * fa) / (fb - fa);
        let (f, length) = miss(x)?;
        if f.abs() <= NEAR_MM {
            return Ok(Found::Values(vec![(x, length)]));
        }
        if f * fb > 0.0 {
            (b, fb) = (x, f);
            if side == -1 {
                fa /= 2.0;
            }
            side = -1;
        } else {
            (a, fa) = (x, f);
            if side == 1 {
                fb /= 2.0;
            }
            side = 1;
        }
    }
    Ok(Found::Nothing(format!("{} cannot be found for these figures.", label(search))))
}

/// Newton's method, held between the limits; a step that comes out further off is halved.
/// Slopes are taken by small steps, and learned from the steps themselves (Broyden 1965) for
/// as long as each step leaves at most a quarter of the miss: a body drawn less for each unknown.
fn together(search: &mut Search<'_>, limits: &[(f64, f64)], showing: Showing) -> Result<Found, Fault> {
    let size = |off: &[f64]| off.iter().map(|f| f.abs()).fold(0.0, f64::max);
    let mut at: Vec<f64> = limits.iter().map(|(least, most)| f64::midpoint(*least, *most)).collect();
    let (mut off, mut lengths) = search.miss(&at)?;
    let mut learned: Option<Vec<Vec<f64>>> = None;
    for _ in 0..MOST_JOINT_STEPS {
        if size(&off) <= NEAR_MM {
            return Ok(Found::Values(at.into_iter().zip(lengths).collect()));
        }
        let (mut slopes, is_learned) = match learned.take() {
            Some(slopes) => (slopes, true),
            None => (search.slopes(&at, &off)?, false),
        };
        let mut better = None;
        if let Some(step) = solved(slopes.clone(), &off) {
            let (enough, least_share) = if is_learned { (LEFT_BY_A_STEP, 1.0) } else { (1.0, 0.02) };
            let mut share = 1.0;
            while share >= least_share {
                let next: Vec<f64> = at
                    .iter()
                    .zip(&step)
                    .zip(limits)
                    .map(|((x, s), (least, most))| (x - s * share).clamp(least.min(*most), most.max(*least)))
                    .collect();
                let (f, l) = search.miss(&next)?;
                if size(&f) < size(&off) * enough {
                    better = Some((next, f, l));
                    break;
                }
                share /= 2.0;
            }
        }
        match better {
            Some((next, f, l)) => {
                learn(&mut slopes, (&at, &next), (&off, &f));
                learned = Some(slopes);
                (at, off, lengths) = (next, f, l);
            }
            None if is_learned => {}
            None => break,
        }
    }
    let names: Vec<String> = search.rules.iter().map(|rule| search.style.label_of(&rule.key)).collect();
    let at_limit: Vec<String> = names
        .iter()
        .zip(at.iter().zip(limits))
        .filter(|(_, (x, (least, most)))| (*x - least).abs() < 1e-6 || (*x - most).abs() < 1e-6)
        .map(|(name, (x, _))| format!("{name} stands at its limit of {}", told(*x, showing)))
        .collect();
    let why = if at_limit.is_empty() { String::new() } else { format!(" {}.", at_limit.join(", ")) };
    Ok(Found::Nothing(format!(
        "{} cannot be found together: the nearest is {:.1} mm off.{why} Check the measures and lengths.",
        names.join(" and "),
        size(&off)
    )))
}

/// Slopes that give for the step made the change that it made, and for any step square to it
/// what they gave before.
fn learn(slopes: &mut [Vec<f64>], (at, next): (&[f64], &[f64]), (off, new): (&[f64], &[f64])) {
    let step: Vec<f64> = at.iter().zip(next).map(|(a, b)| b - a).collect();
    let long: f64 = step.iter().map(|s| s * s).sum();
    if long <= 0.0 {
        return;
    }
    for ((row, before), after) in slopes.iter_mut().zip(off).zip(new) {
        let told: f64 = row.iter().zip(&step).map(|(slope, s)| slope * s).sum();
        let missed = (after - before - told) / long;
        for (slope, s) in row.iter_mut().zip(&step) {
            *slope += missed * s;
        }
    }
}

/// The step that the slopes ask for, by elimination with the largest pivot; nothing
/// when they do not say.
fn solved(mut rows: Vec<Vec<f64>>, off: &[f64]) -> Option<Vec<f64>> {
    let count = off.len();
    for (row, f) in rows.iter_mut().zip(off) {
        row.push(*f);
    }
    for i in 0..count {
        let pivot = (i..count).max_by(|a, b| {
            let cell = |r: &usize| rows.get(*r).and_then(|row| row.get(i)).map_or(0.0, |v| v.abs());
            cell(a).total_cmp(&cell(b))
        })?;
        rows.swap(i, pivot);
        let lead = rows.get(i)?.clone();
        let head = *lead.get(i)?;
        if head.abs() < 1e-9 {
            return None;
        }
        for (r, row) in rows.iter_mut().enumerate() {
            let times = if r == i { 0.0 } else { row.get(i).copied().unwrap_or(0.0) / head };
            for (cell, from) in row.iter_mut().zip(&lead) {
                *cell -= from * times;
            }
        }
    }
    rows.iter().enumerate().map(|(i, row)| Some(row.get(count)? / row.get(i)?)).collect()
}

#[cfg(test)]
mod tests {
    use super::{learn, solved};

    #[test]
    fn two_equations_with_two_unknowns() {
        // x + 2 y = 5, 3 x − y = 1: x = 1, y = 2.
        let step = solved(vec![vec![1.0, 2.0], vec![3.0, -1.0]], &[5.0, 1.0]).unwrap();
        assert!((step[0] - 1.0).abs() < 1e-12 && (step[1] - 2.0).abs() < 1e-12);
        assert_eq!(solved(vec![vec![1.0, 2.0], vec![2.0, 4.0]], &[1.0, 2.0]), None);
    }

    #[test]
    fn slopes_learn_the_step_that_was_made_and_keep_the_rest() {
        // From (0, 0) to (2, 0) the first miss fell from 5 to 1, the second stayed at 3.
        let mut slopes = vec![vec![-1.0, 7.0], vec![4.0, -2.0]];
        learn(&mut slopes, (&[0.0, 0.0], &[2.0, 0.0]), (&[5.0, 3.0], &[1.0, 3.0]));
        assert_eq!(slopes, vec![vec![-2.0, 7.0], vec![0.0, -2.0]]);
        learn(&mut slopes, (&[1.0, 1.0], &[1.0, 1.0]), (&[5.0, 3.0], &[1.0, 3.0]));
        assert_eq!(slopes, vec![vec![-2.0, 7.0], vec![0.0, -2.0]]);
    }
}
