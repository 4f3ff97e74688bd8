//! Left and right: a note such as a low left shoulder makes two drafts, and where
//! they differ the pieces are cut each for its side.

use super::super::drafted::{Draft, Edge, Piece, Truth};
use super::super::formula::{Value, Values};
use super::super::style::Style;
use super::input::Input;
use crate::geom::{Point, area, distance, heading, joined_outline, turn};
use crate::measure::BodySide;

/// The other side.
fn far_side(side: BodySide) -> BodySide {
    match side {
        BodySide::Left => BodySide::Right,
        BodySide::Right => BodySide::Left,
    }
}

/// Both sides, when the style heeds a note that holds on one of them.
pub(super) fn sides(style: &Style, input: &Input) -> Option<[BodySide; 2]> {
    let sided = |note: &String| {
        let name = note.strip_suffix("_left").or_else(|| note.strip_suffix("_right"));
        name.is_some_and(|name| style.figure.iter().any(|heeded| heeded == name))
    };
    input.figure.iter().any(sided).then_some([BodySide::Left, BodySide::Right])
}

/// Adds the figure notes that the style heeds, as yes and no for one side.
pub(super) fn heeded<'s>(style: &'s Style, input: &Input, side: Option<BodySide>, values: &mut Values<'s>) {
    for name in &style.figure {
        let sided = side.map(|side| format!("{name}_{}", side.key()));
        let noted = input.figure.iter().any(|note| note == name || Some(note) == sided.as_ref());
        values.insert(name, Value::Yes(noted));
    }
}

/// Points nearer than this are the same on both sides, mm.
const SAME_MM: f64 = 0.01;

/// One draft from those of the two sides.
pub(super) fn both_sides(style: &Style, left: Draft, right: Draft) -> Draft {
    let mut both = left.clone();
    both.pieces.clear();
    let mut halves: Vec<(usize, f64)> = Vec::new();
    for one in left.pieces {
        let Some(other) = right.pieces.iter().find(|piece| piece.key == one.key) else {
            both.pieces.push(one);
            continue;
        };
        if same(&one.sewing, &other.sewing) {
            both.pieces.push(one);
            continue;
        }
        let drawn = style.pieces.iter().find(|rule| rule.key == one.key).and_then(|rule| rule.side);
        let drawn = drawn.unwrap_or(BodySide::Left);
        if one.on_fold {
            let (own, mirrored) = if drawn == BodySide::Left { (&one, other) } else { (other, &one) };
            halves.push((both.pieces.len(), area(&own.cutting).abs() + area(&mirrored.cutting).abs()));
            both.pieces.push(opened(own, mirrored, drawn));
        } else {
            for (piece, side) in [(&one, BodySide::Left), (other, BodySide::Right)] {
                both.pieces.push(for_side(piece, side, side != drawn));
            }
        }
    }
    both.truths.extend(whole(&both.pieces, &halves));
    for truth in &right.truths {
        let known = both.truths.iter().any(|known| known.what == truth.what && known.held == truth.held);
        if !known || !truth.held {
            let what = format!("{} (right side)", truth.what);
            both.truths.push(Truth { what, ..truth.clone() });
        }
    }
    for dimension in right.dimensions {
        let same = both.dimensions.iter().any(|d| d.key == dimension.key && d.mm == dimension.mm);
        if !same {
            let label = format!("{}, right side", dimension.label);
            if let Some(own) = both.dimensions.iter_mut().find(|d| d.key == dimension.key) {
                own.label = format!("{}, left side", own.label);
            }
            both.dimensions.push(super::super::drafted::Dimension { label, ..dimension });
        }
    }
    letter(&mut both);
    both
}

/// Both halves of every opened piece are there: its cutting outline is as large as theirs.
fn whole(pieces: &[Piece], halves: &[(usize, f64)]) -> Option<Truth> {
    let mut faults = Vec::new();
    for (at, wanted) in halves {
        let Some(piece) = pieces.get(*at) else { continue };
        let found = area(&piece.cutting).abs();
        // The overlap takes a hair along the fold.
        if (found - wanted).abs() > wanted * 0.001 {
            faults.push(format!("{}: only {:.0} % of both halves is cut", piece.label, found / wanted * 100.0));
        }
    }
    let held = faults.is_empty();
    let found = if held { format!("{} pieces", halves.len()) } else { faults.join("; ") };
    (!halves.is_empty()).then(|| Truth { what: "Left and right halves are one piece".into(), held, found })
}

/// Letters anew, in cutting order.
fn letter(draft: &mut Draft) {
    let mut letters = super::work::Letters::new();
    for piece in &mut draft.pieces {
        piece.letter = letters.next();
    }
    for strip in &mut draft.strips {
        strip.letter = letters.next();
    }
}

fn same(a: &[Point], b: &[Point]) -> bool {
    a.len() == b.len() && a.iter().zip(b).all(|(p, q)| distance(*p, *q) <= SAME_MM)
}

/// A piece of a pair for one side, mirrored where it is drawn for the other.
fn for_side(piece: &Piece, side: BodySide, mirrored: bool) -> Piece {
    let mut piece = if mirrored { moved(piece, |p| [-p[0], p[1]]) } else { piece.clone() };
    piece.label = format!("{}, {}", piece.label, side.key());
    piece.key = format!("{}_{}", piece.key, side.key());
    (piece.count, piece.pairs) = (piece.count.div_ceil(2), false);
    piece
}

/// How far the two halves of an opened piece overlap, mm: less than half of what is kept of
/// an allowance, more than the grid of the union.
const OVERLAP_MM: f64 = 0.02;

/// A piece on the fold opened out: its own half as drawn, the other mirrored about the fold.
fn opened(own: &Piece, other: &Piece, drawn: BodySide) -> Piece {
    let Some((a, b)) = own.fold else { return own.clone() };
    let along = heading(a, b).unwrap_or(0.0);
    let mirror = |p: Point| {
        let mm = distance(a, p);
        let off = heading(a, p).map_or(0.0, |h| turn(along, h));
        [a[0] + (along - off).cos() * mm, a[1] + (along - off).sin() * mm]
    };
    // The halves overlap by a hair, or they might not be joined to one outline.
    let across = along + std::f64::consts::FRAC_PI_2;
    let ahead = own.sewing.iter().map(|p| (p[0] - a[0]) * across.cos() + (p[1] - a[1]) * across.sin());
    let overlap = if ahead.fold(0.0, f64::max) > 1.0 { OVERLAP_MM } else { -OVERLAP_MM };
    let far = moved(other, |p| {
        let p = mirror(p);
        [p[0] + across.cos() * overlap, p[1] + across.sin() * overlap]
    });
    let mut whole = own.clone();
    let named = |edge: &Edge, side: BodySide| Edge {
        key: format!("{}_{}", edge.key, side.key()),
        label: format!("{}, {}", edge.label, side.key()),
        ..edge.clone()
    };
    let rest = |piece: &Piece, side: BodySide| -> Vec<Edge> {
        // From the end of the fold round to its start.
        let at = piece.edges.iter().position(|edge| edge.is_fold).unwrap_or(0);
        let count = piece.edges.len();
        (1..count).filter_map(|k| piece.edges.get((at + k) % count)).map(|edge| named(edge, side)).collect()
    };
    whole.edges = rest(own, drawn);
    // Mirrored, the other half runs the other way round: from the fold's start to its end.
    let mut back = rest(&far, far_side(drawn));
    back.reverse();
    for edge in &mut back {
        edge.points.reverse();
    }
    whole.edges.extend(back);
    whole.sewing = joined_outline(&own.sewing, &far.sewing);
    whole.cutting = joined_outline(&own.cutting, &far.cutting);
    whole.darts.extend(far.darts);
    whole.label = format!("{}, drawn {} half and the other", own.label, drawn.key());
    (whole.on_fold, whole.fold) = (false, None);
    whole
}

fn moved(piece: &Piece, go: impl Fn(Point) -> Point) -> Piece {
    let mut piece = piece.clone();
    let all = |points: &mut Vec<Point>| points.iter_mut().for_each(|p| *p = go(*p));
    all(&mut piece.sewing);
    all(&mut piece.cutting);
    for edge in &mut piece.edges {
        all(&mut edge.points);
    }
    for dart in &mut piece.darts {
        (dart.feet, dart.peak, dart.apex) = ((go(dart.feet.0), go(dart.feet.1)), go(dart.peak), go(dart.apex));
        dart.top = dart.top.map(&go);
    }
    for line in &mut piece.chalk {
        (line.from, line.to) = (go(line.from), go(line.to));
    }
    piece.fold = piece.fold.map(|(a, b)| (go(a), go(b)));
    piece
}
