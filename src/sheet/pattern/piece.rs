//! One piece as it is drawn in true millimetres, in its own place: where it is cut and
//! sewn, its fold, grain, darts and marks, and what is written on it.

use std::f64::consts::{FRAC_PI_2, FRAC_PI_4};

use crate::draft::{Grain, Notch, Piece, Pleat};
use crate::geom::{FoldLine, Point, along_and_off, bounds, mirrored, on_fold, opened_out, runs_off_fold};

use super::ink::{Ink, Line, Stroke, Words};
use super::label::Label;
use super::letters;
use super::room::Room;
use super::{Marks, Warned};

/// A piece ready to be laid on paper.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Drawn {
    /// Its letter.
    pub(super) letter: String,
    /// Everything on it.
    pub(super) ink: Ink,
    /// Where it is cut, closed; what lies within is paper that the pattern needs.
    pub(super) outline: Vec<Point>,
}

/// Draws a piece: as its half beside the fold, or opened out.
pub(super) fn drawn(piece: &Piece, opened: bool, marks: &Marks, warned: &Warned) -> Drawn {
    let over = piece.fold.filter(|_| opened);
    let fold = piece.fold.filter(|_| !opened);
    let whole = |half: &[Point]| over.map_or_else(|| half.to_vec(), |fold| opened_out(half, fold));
    let (cutting, sewing) = (whole(&piece.cutting), whole(&piece.sewing));
    let mut ink = Ink::default();
    let (mut sewn, mut cut) = (Room::within(&sewing), Room::within(&cutting));
    cut.keep_off(&sewing);
    ink.strokes.extend(match fold {
        Some(_) => runs_off_fold(&cutting, fold).into_iter().map(|run| Stroke::open(Line::Cut, run)).collect(),
        None => vec![Stroke::closed(Line::Cut, cutting.clone())],
    });
    let edges = piece.edges.iter().filter(|edge| !edge.is_fold && edge.points.len() > 1);
    for edge in edges {
        ink.strokes.extend(both(Line::Sew, &edge.points, over));
    }
    for dart in &piece.darts {
        let round = [Some(dart.feet.0), Some(dart.apex), Some(dart.feet.1), dart.top, dart.top.map(|_| dart.feet.0)];
        let legs: Vec<Point> = round.into_iter().flatten().collect();
        for legs in both(Line::Dart, &legs, over) {
            sewn.keep_off(&legs.points);
            cut.keep_off(&legs.points);
            ink.strokes.push(legs);
        }
        for tip in both(Line::Mark, &[dart.apex], over) {
            ink.strokes.extend(tip.points.iter().flat_map(|at| cross(*at)));
        }
    }
    for (from, to) in piece.notches.iter().flat_map(Notch::ticks) {
        ink.strokes.extend(both(Line::Mark, &[from, to], over));
    }
    for (from, to) in piece.pleats.iter().flat_map(Pleat::strokes) {
        ink.strokes.extend(both(Line::Dart, &[from, to], over));
    }
    if let Some((from, to)) = piece.fold.and_then(|fold| ends_on(fold, &piece.cutting)) {
        let (line, words) = if opened { (Line::Tick, "centre") } else { (Line::Fold, "place on the fold") };
        ink.strokes.push(Stroke::open(line, vec![from, to]));
        sewn.keep_off(&[from, to]);
        let words = along_fold(words, from, to, &piece.sewing);
        sewn.take(words.corners());
        cut.take(words.corners());
        ink.words.push(words);
    }
    let (low, high) = bounds(&cutting).unwrap_or(([0.0; 2], [0.0; 2]));
    let near = middle(&sewing).unwrap_or([f64::midpoint(low[0], high[0]), f64::midpoint(low[1], high[1])]);
    let label = Label::of(piece, opened, marks, warned);
    ink.words.extend(label.placed(&mut sewn, &mut cut, near, [low[0], high[1] + 1.0]));
    ink.add(grain(piece.grain, &sewn, &cut, near));
    Drawn { letter: piece.letter.clone(), ink, outline: cutting }
}

/// A line, and the same beyond the fold where the piece is opened out.
fn both(line: Line, points: &[Point], over: Option<FoldLine>) -> Vec<Stroke> {
    let there = over.map(|fold| points.iter().map(|point| mirrored(*point, fold)).collect());
    std::iter::once(points.to_vec()).chain(there).map(|points| Stroke::open(line, points)).collect()
}

/// A small cross at the tip of a dart, where an awl goes through.
fn cross([x, y]: Point) -> [Stroke; 2] {
    const REACH_MM: f64 = 2.0;
    [
        Stroke::open(Line::Mark, vec![[x - REACH_MM, y], [x + REACH_MM, y]]),
        Stroke::open(Line::Mark, vec![[x, y - REACH_MM], [x, y + REACH_MM]]),
    ]
}

/// The ends of the fold with the allowances at both of them: where the cutting line meets it.
fn ends_on(fold: FoldLine, cutting: &[Point]) -> Option<FoldLine> {
    let on = cutting.iter().filter(|point| on_fold(**point, fold));
    let mut along: Vec<(f64, Point)> = on.filter_map(|at| Some((along_and_off(*at, fold)?.0, *at))).collect();
    along.sort_by(|(one, _), (other, _)| one.total_cmp(other));
    Some((along.first()?.1, along.last()?.1))
}

/// Words along the fold, inside the piece, a little past its middle so that they meet few level lines.
fn along_fold(text: &str, from: Point, to: Point, sewing: &[Point]) -> Words {
    const LARGEST: f64 = 4.0;
    const LEAST: f64 = 2.0;
    // They read downwards or to the right.
    let (from, to) = if (to[1] - from[1], to[0] - from[0]) < (0.0, 0.0) { (to, from) } else { (from, to) };
    let way = [to[0] - from[0], to[1] - from[1]];
    let long = way[0].hypot(way[1]).max(f64::MIN_POSITIVE);
    let size = (LARGEST * 0.8 * long / letters::width(text, LARGEST)).clamp(LEAST, LARGEST);
    let turn = way[1].atan2(way[0]);
    let right_hand = middle(sewing).and_then(|at| along_and_off(at, (from, to))).is_some_and(|(_, off)| off > 0.0);
    // To the left of whoever walks along them lies what is above the words.
    let off = if right_hand { -size * 1.1 } else { size * 0.5 };
    let share = 0.56;
    let at = [from[0] + way[0] * share + off * way[1] / long, from[1] + way[1] * share - off * way[0] / long];
    Words::centred(at, size, text, turn)
}

/// The middle of an outline by its area.
fn middle(outline: &[Point]) -> Option<Point> {
    let sides = outline.iter().zip(outline.iter().cycle().skip(1));
    let (mut twice, mut x, mut y) = (0.0, 0.0, 0.0);
    let first = *outline.first()?;
    for (a, b) in sides {
        let (a, b) = ([a[0] - first[0], a[1] - first[1]], [b[0] - first[0], b[1] - first[1]]);
        let part = a[0] * b[1] - b[0] * a[1];
        twice += part;
        x += part * (a[0] + b[0]);
        y += part * (a[1] + b[1]);
    }
    (twice.abs() > 1e-9).then(|| [first[0] + x / (3.0 * twice), first[1] + y / (3.0 * twice)])
}

/// The grain arrow, as long as there is room for.
fn grain(grain: Grain, sewn: &Room, cut: &Room, near: Point) -> Ink {
    /// Half as broad as its tips, with room beside them, mm.
    const BROAD: f64 = 6.0;
    let turn = match grain {
        Grain::Along => FRAC_PI_2,
        Grain::Across => 0.0,
        Grain::Bias => -FRAC_PI_4,
    };
    let lengths = [220.0, 160.0, 110.0, 75.0, 50.0, 32.0, 20.0];
    let in_sewn = lengths.iter().find_map(|long| Some((*long, sewn.spot([*long, BROAD], turn, near)?)));
    let found = in_sewn
        .or_else(|| lengths.iter().chain(&[12.0]).find_map(|long| Some((*long, cut.spot([*long, 3.5], turn, near)?))));
    let mut ink = Ink::default();
    let Some((long, at)) = found else { return ink };
    let (sin, cos) = turn.sin_cos();
    let place = |x: f64, y: f64| [at[0] + x * cos - y * sin, at[1] + x * sin + y * cos];
    let (half, tip) = (long / 2.0 - 1.0, (long * 0.16).clamp(2.0, 5.0));
    ink.strokes.push(Stroke::open(Line::Grain, vec![place(-half + tip, 0.0), place(half - tip, 0.0)]));
    for way in [-1.0, 1.0] {
        let back = half - tip;
        ink.tips.push(vec![place(way * half, 0.0), place(way * back, tip * 0.32), place(way * back, -tip * 0.32)]);
    }
    ink
}
