//! Which points of a garment's pieces are to match in the print, from the seams of its draft.
//!
//! Where stripes and checks are looked at: up and down the garment. So an upright seam (side,
//! centre, princess) is matched at its lower end, hem to hem, and a dart above it may shift
//! what lies higher. A seam in which one side is eased (the crown of a sleeve) is matched at
//! a notch, since only there do the two meet in length; so is a level seam that has one. A
//! gathered seam, a facing or lining, a bias piece, a level or eased seam without a notch is
//! not matched. (Common practice; which point stands for a seam is judgement.)

use crate::draft::{Draft, Piece, Seam};
use crate::geom::{Point, SAME_POINT_MM, distance};
use crate::lay::{Grain, MatchMark, Matched, Part};

/// Marks the parts, and says which marks match: upright seams first, since they decide
/// where matches contradict one another.
pub(super) fn matched(draft: &Draft, parts: &mut [Part]) -> Vec<Matched> {
    let mut found: Vec<(bool, Matched)> = Vec::new();
    for seam in draft.seams.iter().filter(|seam| !seam.gathered && !seam.inner) {
        let (lefts, rights) = (runs(draft, &seam.left), runs(draft, &seam.right));
        for left in &lefts {
            for right in &rights {
                let Some((a, b)) = sewn_on_this_cloth(parts, left, right) else { continue };
                let single =
                    lefts.iter().all(|run| run.key == left.key) && rights.iter().all(|run| run.key == right.key);
                let upright = single && !seam.eased && left.is_upright() && right.is_upright();
                let points = if upright { left.lower().zip(right.lower()) } else { notches(left, right) };
                let Some((at_a, at_b)) = points else { continue };
                let matched = Matched {
                    name: seam.label.clone(),
                    a: (a, mark(parts, a, seam, at_a)),
                    b: (b, mark(parts, b, seam, at_b)),
                };
                found.push((upright, matched));
            }
        }
    }
    found.sort_by_key(|(upright, _)| !upright);
    found.into_iter().map(|(_, matched)| matched).collect()
}

/// The edges of one piece that a run goes over.
struct Run<'a> {
    /// The key of the piece in the style; a piece that is drafted for the left and for the
    /// right has it, too.
    key: &'a str,
    piece: &'a Piece,
    edges: Vec<&'a str>,
}

/// A run by its pieces.
fn runs<'a>(draft: &'a Draft, run: &'a [(String, String)]) -> Vec<Run<'a>> {
    let mut keys: Vec<&str> = run.iter().map(|(piece, _)| piece.as_str()).collect();
    keys.dedup();
    let edges = |key: &str| run.iter().filter(|(piece, _)| piece == key).map(|(_, edge)| edge.as_str()).collect();
    let drafted = |key: &'a str| {
        let side = |piece: &&Piece| ["_left", "_right"].iter().any(|side| piece.key.strip_suffix(side) == Some(key));
        let pieces = draft.pieces.iter().filter(move |piece| piece.key == key || side(piece));
        pieces.map(move |piece| Run { key, piece, edges: edges(key) })
    };
    keys.into_iter().flat_map(drafted).collect()
}

impl Run<'_> {
    /// Where its edges begin and end.
    fn ends(&self) -> Vec<Point> {
        let edges = self.piece.edges.iter().filter(|edge| self.edges.contains(&edge.key.as_str()));
        edges.flat_map(|edge| [edge.points.first(), edge.points.last()]).flatten().copied().collect()
    }

    /// Whether it runs up and down rather than from side to side.
    fn is_upright(&self) -> bool {
        let ends = self.ends();
        let span = |axis: usize| {
            let all = || ends.iter().filter_map(|end| end.get(axis).copied());
            all().fold(f64::NEG_INFINITY, f64::max) - all().fold(f64::INFINITY, f64::min)
        };
        span(1) >= span(0)
    }

    fn lower(&self) -> Option<Point> {
        self.ends().into_iter().max_by(|a, b| a[1].total_cmp(&b[1]))
    }
}

/// The first notch that both runs have.
fn notches(left: &Run<'_>, right: &Run<'_>) -> Option<(Point, Point)> {
    let on = |run: &Run<'_>, edge: &str| run.edges.contains(&edge);
    let lefts = left.piece.notches.iter().filter(|notch| on(left, &notch.edge));
    lefts.into_iter().find_map(|notch| {
        let mut rights = right.piece.notches.iter().filter(|other| on(right, &other.edge));
        rights.find(|other| other.label == notch.label && !same(other.at, notch.at)).map(|other| (notch.at, other.at))
    })
}

/// The parts of this lay that a seam joins, where its stripes can meet: both on the same
/// grain and not on the bias. A seam that closes one piece on itself says nothing of where
/// it lies, but several alike (gores) must lie alike.
fn sewn_on_this_cloth(parts: &[Part], left: &Run<'_>, right: &Run<'_>) -> Option<(usize, usize)> {
    let place = |run: &Run<'_>| parts.iter().position(|part| part.key == run.piece.key);
    let (a, b) = (place(left)?, place(right)?);
    let (one, other) = (parts.get(a)?, parts.get(b)?);
    // A left is sewn to a left where the two are drafted apart.
    let sides_differ = |left: &str, right: &str| {
        (left.ends_with("_left") && right.ends_with("_right")) || (left.ends_with("_right") && right.ends_with("_left"))
    };
    let at_odds = left.key != right.key && sides_differ(&one.key, &other.key);
    let closes_itself = a == b && (one.count < 2 || (one.pairs && left.edges != right.edges));
    (one.grain == other.grain && one.grain != Grain::Bias && !closes_itself && !at_odds).then_some((a, b))
}

/// The number of a mark at this point of a part, which gets one where it has none.
fn mark(parts: &mut [Part], part: usize, seam: &Seam, at: Point) -> usize {
    let Some(part) = parts.get_mut(part) else { return 0 };
    part.marks.iter().position(|mark| same(mark.at, at)).unwrap_or_else(|| {
        part.marks.push(MatchMark { name: seam.label.clone(), at });
        part.marks.len() - 1
    })
}

fn same(one: Point, other: Point) -> bool {
    distance(one, other) <= SAME_POINT_MM
}
