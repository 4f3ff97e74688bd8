//! From rules to a draft, in the order in which a cutter works.

use std::rc::Rc;

use super::super::drafted::{
    Assumed, Cloth, CutLine, Dart, Dimension, Draft, Edge, Measured, Note, Notion, Piece, Step, Strip,
};
use super::super::fault::Fault;
use super::super::formula::{Expr, Scope, Value, Values, evaluate, explain, told};
use super::super::style::{StripRule, Style, Work};
use super::super::working::{Amount, Term, Working};
use super::choices::chosen;
use super::correct::{corrected_body, told_corrections};
use super::drawing::{Drawing, DrawnPiece};
use super::facing::facing;
use super::input::{DraftError, Input};
use super::lining::lining;
use super::notch::set_notches;
use super::shape::draw;
use super::side::{both_sides, heeded, sides};
use super::solve::{Found, solve};
use super::truths::{self, Proof};
use crate::geom::{Side, allowance_outline};
use crate::measure::{BodySide, Length};

/// Body dimensions that a garment may be quoted without but never cut without
/// (drafting.md, "Measures").
const BEFORE_CUTTING: [&str; 6] =
    ["bust_girth", "waist_girth", "hip_girth", "across_back_width", "shoulder_length", "upper_arm_girth"];

/// Drafts `style` for one body and its choices.
///
/// # Errors
/// [`DraftError`]: measures to be taken, choices outside their limits, a
/// combination that the style refuses, or a rule that does not work.
pub fn draft(style: &Style, input: &Input) -> Result<Draft, DraftError> {
    match sides(style, input) {
        None => one_side(style, input, None),
        Some([left, right]) => {
            Ok(both_sides(style, one_side(style, input, Some(left))?, one_side(style, input, Some(right))?))
        }
    }
}

/// The draft of one side of the body, or of a body that is the same on both.
fn one_side(style: &Style, input: &Input, side: Option<BodySide>) -> Result<Draft, DraftError> {
    let placed = |fault: Fault| DraftError::Rule(fault.placed(&style.text));
    let (mut values, assumed) = body(style, input)?;
    let corrected = told_corrections(style, input, &assumed)?;
    chosen(style, input, &mut values)?;
    heeded(style, input, side, &mut values);
    let mut drawing = Drawing::default();
    let mut dimensions: Vec<(usize, Dimension)> = Vec::with_capacity(style.dimensions.len());
    let mut solved = Vec::new();
    for item in &style.order {
        match item {
            Work::Dimension(i) => {
                let Some(rule) = style.dimensions.get(*i) else { continue };
                let scope = Scope { values: &values, shapes: Some(&drawing) };
                let value = evaluate(&rule.rule, &scope).map_err(placed)?;
                if applies(rule.when.as_ref(), &scope).map_err(placed)? {
                    let working = explain(&rule.rule, &scope).map_err(placed)?;
                    dimensions.push((*i, dimension(style, &rule.key, &value, working, rule.chalked)));
                }
                values.insert(&rule.key, value);
            }
            Work::Refusal(i) => {
                let Some(refusal) = style.refusals.get(*i) else { continue };
                let scope = Scope { values: &values, shapes: Some(&drawing) };
                if scope.yes(&refusal.when).map_err(placed)? {
                    let words = told(&refusal.text, &scope).map_err(placed)?;
                    return Err(DraftError::Refused(words.text(input.showing)));
                }
            }
            Work::Solve { unknowns, anew } => {
                if !sought(style, unknowns, &mut values, &drawing).map_err(placed)? {
                    continue;
                }
                match solve(style, (unknowns, anew), &values, &drawing, input.showing).map_err(placed)? {
                    Found::Values(found) => {
                        for (rule, (mm, length)) in unknowns.iter().filter_map(|i| style.solves.get(*i)).zip(found) {
                            let value = Value::mm(mm);
                            let terms = vec![
                                Term::Sign("found so that the line is ".into()),
                                Term::Amount(Amount::Mm((length * 1e3).round() / 1e3)),
                                Term::Sign(" long".into()),
                                Term::Result(Amount::Mm(mm)),
                            ];
                            solved.push(dimension(style, &rule.key, &value, Working { terms }, true));
                            values.insert(&rule.key, value);
                        }
                    }
                    Found::Nothing(words) => return Err(DraftError::Unsolved(words)),
                }
            }
            Work::Point(_) | Work::Piece(_) => work(style, item, &mut values, &mut drawing).map_err(placed)?,
        }
    }
    dimensions.sort_by_key(|(i, _)| *i);
    let worked = dimensions.into_iter().map(|(_, dimension)| dimension).chain(solved);
    let dimensions = corrected.into_iter().chain(worked).collect();
    drawn(style, input, &values, assumed, dimensions, drawing).map_err(placed)
}

/// Whether this order needs the unknowns; else they stand at their least.
fn sought<'s>(
    style: &'s Style,
    unknowns: &[usize],
    values: &mut Values<'s>,
    drawing: &Drawing<'s>,
) -> Result<bool, Fault> {
    for rule in unknowns.iter().filter_map(|i| style.solves.get(*i)) {
        let scope = Scope { values, shapes: Some(drawing) };
        if applies(rule.when.as_ref(), &scope)? {
            return Ok(true);
        }
        let least = scope.length(&rule.least)?;
        values.insert(&rule.key, Value::mm(least));
    }
    Ok(false)
}

/// Works one thing, without its working: a dimension, a point, a piece.
pub(super) fn work<'s>(
    style: &'s Style,
    item: &Work,
    values: &mut Values<'s>,
    drawing: &mut Drawing<'s>,
) -> Result<(), Fault> {
    match item {
        Work::Dimension(i) => {
            if let Some(rule) = style.dimensions.get(*i) {
                let value = evaluate(&rule.rule, &Scope { values, shapes: Some(drawing) })?;
                values.insert(&rule.key, value);
            }
        }
        Work::Point(i) => {
            if let Some(rule) = style.points.get(*i) {
                let point = Scope { values, shapes: Some(drawing) }.place(&rule.place)?;
                values.insert(&rule.key, Value::Point(point));
            }
        }
        Work::Piece(i) => {
            let Some(rule) = style.pieces.get(*i) else { return Ok(()) };
            let scope = Scope { values, shapes: Some(drawing) };
            if applies(rule.when.as_ref(), &scope)? {
                let piece = draw(style, rule, &scope)?;
                drawing.pieces.insert(&rule.key, Rc::new(piece));
            } else if !drawing.left_out.contains(&rule.key.as_str()) {
                drawing.left_out.push(&rule.key);
            }
        }
        Work::Refusal(_) | Work::Solve { .. } => {}
    }
    Ok(())
}

/// The body's values with what had to be assumed.
fn body<'s>(style: &'s Style, input: &Input) -> Result<(Values<'s>, Vec<Assumed>), DraftError> {
    let missing: Vec<&String> = style.needs.iter().filter(|key| !input.body.contains_key(*key)).collect();
    if !missing.is_empty() {
        let term = |key: &String| crate::measure::dimension(key).map_or_else(|| key.clone(), |d| d.term.to_string());
        return Err(DraftError::Missing {
            keys: missing.iter().map(|key| (*key).clone()).collect(),
            terms: missing.into_iter().map(term).collect(),
        });
    }
    let mut values: Values<'_> = style
        .needs
        .iter()
        .filter_map(|key| Some((key.as_str(), corrected_body(input, key, input.body.get(key)?.mm()))))
        .collect();
    let mut assumed = Vec::new();
    for assumption in &style.assume {
        let mm = match input.body.get(&assumption.key) {
            Some(length) => length.mm(),
            None => {
                let scope = Scope { values: &values, shapes: None };
                let mm = scope.length(&assumption.rule).map_err(|f| DraftError::Rule(f.placed(&style.text)))?;
                // In whole nanometres, as it is kept: from the record the same draft comes out again.
                let mm = Length::from_mm(mm).map_or(mm, Length::mm);
                let key = assumption.key.clone();
                assumed.push(Assumed { before_cutting: BEFORE_CUTTING.contains(&key.as_str()), key, mm });
                mm
            }
        };
        values.insert(&assumption.key, corrected_body(input, &assumption.key, mm));
    }
    Ok((values, assumed))
}

fn dimension(style: &Style, key: &str, value: &Value<'_>, working: Working, chalked: bool) -> Dimension {
    let mm = match value {
        Value::Quantity { size, power: 1 } => Some(*size),
        _ => None,
    };
    Dimension { key: key.into(), label: style.label_of(key), mm, working, chalked }
}

/// Everything that is measured on the drawn pieces.
fn drawn<'s>(
    style: &'s Style,
    input: &Input,
    values: &Values<'s>,
    assumed: Vec<Assumed>,
    dimensions: Vec<Dimension>,
    mut drawing: Drawing<'s>,
) -> Result<Draft, Fault> {
    let bare = Scope { values, shapes: None };
    let mut letters = Letters::new();
    let mut pieces = Vec::new();
    for rule in &style.pieces {
        let Some(piece) = drawing.pieces.get(rule.key.as_str()) else { continue };
        let mut handed = hand_out(style, &rule.key, piece, letters.next());
        handed.count = count(rule.count.as_ref(), &Scope { values, shapes: Some(&drawing) })?;
        (handed.pairs, handed.grain, handed.cloth) = (rule.pairs, rule.grain, rule.cloth);
        handed.off_grain_deg = off_grain(rule.off_grain, rule.cloth);
        for chalk in &piece.chalk {
            let label = style.label_of(chalk.label);
            handed.chalk.push(CutLine { label, from: chalk.from, to: chalk.to, mm: chalk.mm });
        }
        drawing.counts.insert(&rule.key, handed.count);
        pieces.push(handed);
    }
    for rule in &style.facings {
        let base = pieces.iter().find(|p| p.key == rule.piece).map(|p| (p.count, p.pairs, p.grain, p.on_fold));
        let (Some((count, pairs, grain, base_on_fold)), true) = (base, applies(rule.when.as_ref(), &bare)?) else {
            drawing.left_out.push(&rule.key);
            continue;
        };
        let depth = bare.length(&rule.depth)?;
        let allow = rule.allow.as_ref().map_or(Ok(0.0), |allow| bare.length(allow))?;
        let less = rule.less.as_ref().map_or(Ok(0.0), |less| bare.length(less))?;
        let parent = drawing.pieces.get(rule.piece.as_str()).cloned().unwrap_or_default();
        let piece =
            facing(&parent, &rule.edge, depth, less, allow).map_err(|words| Fault::new(rule.depth.at, words))?;
        let mut handed = hand_out(style, &rule.key, &piece, letters.next());
        // A facing away from the fold of its piece is cut for each half.
        let halved = base_on_fold && !handed.on_fold;
        let (count, pairs) = if halved { (count * 2, true) } else { (count, pairs) };
        (handed.count, handed.pairs, handed.grain, handed.cloth) = (count, pairs, grain, rule.cloth);
        handed.off_grain_deg = off_grain(rule.off_grain, rule.cloth);
        drawing.counts.insert(&rule.key, handed.count);
        pieces.push(handed);
        drawing.pieces.insert(&rule.key, Rc::new(piece));
    }
    for rule in &style.linings {
        let base = pieces.iter().find(|p| p.key == rule.piece).map(|p| (p.count, p.pairs, p.grain));
        let (Some((count, pairs, grain)), true) = (base, applies(rule.when.as_ref(), &bare)?) else {
            drawing.left_out.push(&rule.key);
            continue;
        };
        let parent = drawing.pieces.get(rule.piece.as_str()).cloned().unwrap_or_default();
        let piece = lining(rule, &parent, &bare)?;
        let mut handed = hand_out(style, &rule.key, &piece, letters.next());
        (handed.count, handed.pairs, handed.grain, handed.cloth) = (count, pairs, grain, Cloth::Lining);
        for dart in &mut handed.darts {
            dart.label = format!("{}, laid as a tuck", dart.label);
        }
        drawing.counts.insert(&rule.key, handed.count);
        pieces.push(handed);
        drawing.pieces.insert(&rule.key, Rc::new(piece));
    }
    let mut strips = Vec::new();
    for rule in &style.strips {
        let scope = Scope { values, shapes: Some(&drawing) };
        if !applies(rule.when.as_ref(), &scope)? {
            drawing.left_out.push(&rule.key);
            continue;
        }
        let strip = strip(style, rule, &scope, letters.next())?;
        drawing.counts.insert(&rule.key, strip.count);
        drawing.strips.insert(&rule.key, (strip.length_mm, strip.width_mm));
        strips.push(strip);
    }
    let scope = Scope { values, shapes: Some(&drawing) };
    set_notches(style, &drawing, &scope, &mut pieces)?;
    let measured = measured(style, &scope)?;
    let proof =
        Proof { style, drawing: &drawing, pieces: &pieces, measured: &measured, scope: &scope, showing: input.showing };
    let truths = truths::prove(&proof)?;
    let seams = truths::joined(&proof)?;
    let mut notes = Vec::new();
    for rule in &style.notes {
        if applies(rule.when.as_ref(), &scope)? {
            notes.push(Note { text: told(&rule.text, &scope)?, warning: rule.warning, caution: rule.caution });
        }
    }
    let mut notions = Vec::new();
    for rule in &style.notions {
        if applies(rule.when.as_ref(), &scope)? {
            notions.push(Notion { text: told(&rule.text, &scope)? });
        }
    }
    let mut steps = Vec::new();
    for rule in &style.steps {
        if applies(rule.when.as_ref(), &scope)? {
            let minutes = whole(scope.number(&rule.minutes)?);
            let text = told(&rule.text, &scope)?;
            steps.push(Step { text, minutes, stage: rule.stage, waiting_hours: rule.waiting_hours });
        }
    }
    let label = style.label.clone();
    Ok(Draft { label, dimensions, measured, truths, pieces, strips, seams, notes, notions, steps, assumed })
}

fn applies(when: Option<&Expr>, scope: &Scope<'_, '_>) -> Result<bool, Fault> {
    when.map_or(Ok(true), |when| scope.yes(when))
}

fn count(rule: Option<&Expr>, scope: &Scope<'_, '_>) -> Result<u32, Fault> {
    let Some(rule) = rule else { return Ok(1) };
    let number = scope.number(rule)?;
    if number > MOST_CUT {
        let message = format!("{number:.0} of one kind would be cut; at most {MOST_CUT:.0} are. Check the formula.");
        return Err(Fault::new(rule.at, message));
    }
    Ok(whole(number))
}

/// So many of one piece or strip are cut for a garment; more is a slip in a formula.
const MOST_CUT: f64 = 400.0;
/// No strip is longer or wider, mm: 100 m, the longest length that can be typed.
const LONGEST_STRIP_MM: f64 = 1e5;

/// The nearest whole number from 0 to a million.
fn whole(number: f64) -> u32 {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "clamped to 0..=1e6 in the same expression; NaN becomes 0"
    )]
    let whole = number.round().clamp(0.0, 1e6) as u32;
    whole
}

/// A drawn piece as it is handed out, with its cutting outline.
fn hand_out(style: &Style, key: &str, piece: &DrawnPiece<'_>, letter: String) -> Piece {
    let standing = piece.standing();
    let sides: Vec<Side<'_>> = standing
        .iter()
        .flat_map(|e| {
            e.runs().map(|run| Side { points: run, allowance: e.allow, is_fold: e.is_fold, turned_up: e.turned_up })
        })
        .collect();
    let fold = standing.iter().find(|e| e.is_fold).and_then(|e| Some((e.points().first()?.0, e.points().last()?.0)));
    let edges = standing
        .iter()
        .map(|e| Edge {
            key: e.key.into(),
            label: style.label_of(e.key),
            is_fold: e.is_fold,
            turned_up: e.turned_up,
            allowance_mm: e.allow,
            length_mm: e.length(),
            points: e.points().iter().map(|(p, _)| *p).collect(),
        })
        .collect();
    Piece {
        key: key.into(),
        label: style.label_of(key),
        letter,
        count: 1,
        on_fold: fold.is_some(),
        pairs: false,
        grain: super::super::drafted::Grain::Along,
        off_grain_deg: 0,
        cloth: super::super::drafted::Cloth::Main,
        edges,
        cutting: allowance_outline(piece.sewing(), &sides),
        sewing: piece.sewing().to_vec(),
        fold,
        darts: piece
            .darts
            .iter()
            .map(|d| Dart {
                label: style.label_of(d.key),
                edge: d.edge.into(),
                feet: d.feet,
                peak: d.peak,
                apex: d.apex,
                top: d.top,
                intake_mm: d.intake,
            })
            .collect(),
        pleats: piece.pleats.iter().map(|pleat| pleat.told(style)).collect(),
        notches: Vec::new(),
        chalk: Vec::new(),
    }
}

/// By how many degrees a piece may lie off the grain: as the style says, else straight. Interfacing
/// may lie 2 deg off: it hangs from nothing and is seen by nobody, and a finger's breadth in a
/// yard is no other grain (common practice). A facing lies as what it faces, so that both give alike.
fn off_grain(said: Option<u16>, cloth: Cloth) -> u16 {
    const INTERFACING_DEG: u16 = 2;
    said.unwrap_or(if cloth == Cloth::Interfacing { INTERFACING_DEG } else { 0 })
}

/// The usual allowance where strips are joined and at their ends: 1/2 in, the
/// plain seam of common practice.
const STRIP_JOIN_MM: f64 = 12.7;

fn strip(style: &Style, rule: &StripRule, scope: &Scope<'_, '_>, letter: String) -> Result<Strip, Fault> {
    for side in [&rule.length, &rule.width] {
        if scope.length(side)?.abs() > LONGEST_STRIP_MM {
            let message = format!("The strip “{}” is more than 100 m long or wide. Check the formula.", rule.key);
            return Err(Fault::new(side.at, message));
        }
    }
    Ok(Strip {
        key: rule.key.clone(),
        label: style.label_of(&rule.key),
        letter,
        count: count(rule.count.as_ref(), scope)?,
        length_mm: scope.length(&rule.length)?,
        join_mm: rule.join.as_ref().map_or(Ok(STRIP_JOIN_MM), |join| scope.length(join))?,
        width_mm: scope.length(&rule.width)?,
        grain: rule.grain,
        joined: rule.joined,
        cloth: rule.cloth,
        length_working: explain(&rule.length, scope)?,
        width_working: explain(&rule.width, scope)?,
    })
}

fn measured(style: &Style, scope: &Scope<'_, '_>) -> Result<Vec<Measured>, Fault> {
    let mut all = Vec::with_capacity(style.measured.len());
    for rule in &style.measured {
        if !applies(rule.when.as_ref(), scope)? {
            continue;
        }
        let body_mm = match scope.values.get(rule.key.as_str()) {
            Some(Value::Quantity { size, power: 1 }) => Some(*size),
            _ => None,
        };
        all.push(Measured {
            key: rule.key.clone(),
            label: style.label_of(&rule.key),
            mm: scope.length(&rule.from)?,
            body_mm,
            ease_mm: rule.ease.as_ref().map_or(Ok(0.0), |ease| scope.length(ease))?,
        });
    }
    Ok(all)
}

/// A, B, … Z, AA, AB, …
pub(super) struct Letters(u32);

impl Letters {
    pub fn new() -> Letters {
        Letters(0)
    }

    pub fn next(&mut self) -> String {
        let mut left = self.0;
        self.0 += 1;
        let mut letters = Vec::new();
        loop {
            letters.push(char::from_digit(left % 26 + 10, 36).unwrap_or('?').to_ascii_uppercase());
            if left < 26 {
                break;
            }
            left = left / 26 - 1;
        }
        letters.into_iter().rev().collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn letters_go_on_after_z() {
        let mut letters = Letters(0);
        let all: Vec<String> = (0..28).map(|_| letters.next()).collect();
        assert_eq!((all[0].as_str(), all[25].as_str(), all[26].as_str(), all[27].as_str()), ("A", "Z", "AA", "AB"));
    }
}
