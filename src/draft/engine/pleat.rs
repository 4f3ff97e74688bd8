//! Pleats: cloth drawn into an edge and folded away, so that the edge is sewn shorter.
//!
//! A knife pleat is one fold; a box and an inverted pleat are two. Each fold takes up
//! cloth between two lines: the one that is folded on the outside is laid on the other.

use super::super::fault::{Fault, Span};
use super::super::formula::Scope;
use super::super::marked::{Pleat, PleatFold, PleatKind};
use super::super::style::{PleatRule, Style};
use super::drawing::{DrawnEdge, DrawnPiece};
use super::walk::open_place;
use crate::geom::{Point, distance, heading};

/// A pleat as drawn.
#[derive(Clone, Debug)]
pub(super) struct DrawnPleat<'s> {
    pub key: &'s str,
    pub edge: &'s str,
    pub kind: PleatKind,
    pub folds: Vec<DrawnFold>,
}

/// One fold.
#[derive(Clone, Debug)]
pub(super) struct DrawnFold {
    /// Where it lies along the edge, all closed, mm.
    pub at: f64,
    /// Cloth that it takes up at the edge and at the lower end of its lines, mm.
    pub take: f64,
    pub take_below: f64,
    /// Whether the folded line is the one nearer to the edge's start.
    pub faces_end: bool,
    /// The line nearer to the edge's start and the one nearer to its end.
    pub lines: [(Point, Point); 2],
}

impl DrawnFold {
    /// How much of a width on the level `y` it takes up, mm.
    pub fn width_at(&self, y: f64) -> f64 {
        /// A level so little above or below its lines is on them, mm.
        const NEAR_MM: f64 = 1e-6;
        let on = |(from, to): (Point, Point)| {
            let (low, high) = (from[1].min(to[1]), from[1].max(to[1]));
            if !(low - NEAR_MM..=high + NEAR_MM).contains(&y) || high - low < NEAR_MM {
                return None;
            }
            let t = (y - from[1]) / (to[1] - from[1]);
            Some(from[0] + t * (to[0] - from[0]))
        };
        let [first, second] = self.lines;
        on(first).zip(on(second)).map_or(0.0, |(a, b)| (a - b).abs())
    }

    fn folded(&self) -> PleatFold {
        let [first, second] = self.lines;
        let (folded, laid_on) = if self.faces_end { (first, second) } else { (second, first) };
        PleatFold { folded, laid_on }
    }
}

impl DrawnPleat<'_> {
    /// As it is handed out.
    pub fn told(&self, style: &Style) -> Pleat {
        let sum = |what: fn(&DrawnFold) -> f64| self.folds.iter().map(what).sum();
        Pleat {
            label: style.label_of(self.key),
            edge: self.edge.into(),
            kind: self.kind,
            take_mm: sum(|fold| fold.take),
            take_below_mm: sum(|fold| fold.take_below),
            folds: self.folds.iter().map(DrawnFold::folded).collect(),
        }
    }
}

/// A pleat below this is none, mm: half of what can be pressed.
const MIN_TAKE_MM: f64 = 1.0;
/// No edge holds more; a slip in a formula would draw for ever.
const MOST_PLEATS: f64 = 400.0;

/// A pleat, how far down it goes, and where it stands in the style's text.
type Planned<'s> = (DrawnPleat<'s>, f64, Span);

/// The piece with its pleats.
pub(super) fn set_pleats<'s>(
    style: &'s Style,
    key: &str,
    mut piece: DrawnPiece<'s>,
    scope: &Scope<'_, '_>,
) -> Result<DrawnPiece<'s>, Fault> {
    let mut planned: Vec<Planned<'s>> = Vec::new();
    for rule in style.pleats.iter().filter(|rule| rule.piece == key) {
        if rule.when.as_ref().map_or(Ok(true), |when| scope.yes(when))? {
            plan(rule, scope, &mut planned)?;
        }
    }
    if planned.is_empty() {
        return Ok(piece);
    }
    let mut closed = Vec::new();
    for (i, edge) in piece.edges.iter().enumerate() {
        let mut on: Vec<&mut Planned<'s>> = planned.iter_mut().filter(|(pleat, ..)| pleat.edge == edge.key).collect();
        if !on.is_empty() {
            closed.push((i, lay_out(&piece, edge, &mut on)?));
        }
    }
    for (i, length) in closed {
        if let Some(edge) = piece.edges.get_mut(i) {
            *edge = edge.clone().closed_to(length);
        }
    }
    piece.pleats = planned.into_iter().map(|(pleat, ..)| pleat).collect();
    Ok(piece)
}

/// The pleats of one rule with their folds, not yet drawn; with how far down they go.
fn plan<'s>(rule: &'s PleatRule, scope: &Scope<'_, '_>, planned: &mut Vec<Planned<'s>>) -> Result<(), Fault> {
    let (first, take, down) = (scope.length(&rule.first)?, scope.length(&rule.take)?, scope.length(&rule.down)?);
    let take_below = rule.take_below.as_ref().map_or(Ok(take), |below| scope.length(below))?;
    let count = rule.count.as_ref().map_or(Ok(1.0), |count| scope.number(count))?.round();
    let apart = rule.apart.as_ref().map_or(Ok(0.0), |apart| scope.length(apart))?;
    let wrong = |words: String| Err(Fault::new(rule.take.at, words));
    if count > MOST_PLEATS {
        return wrong(format!("“{}” has {count:.0} pleats; at most {MOST_PLEATS:.0} are drawn.", rule.key));
    }
    if take < MIN_TAKE_MM || count < 1.0 {
        return Ok(());
    }
    if take_below < 0.0 || apart < 0.0 || down <= 0.0 {
        return wrong(format!("“{}”: “take_below”, “apart” and “down” must not be less than nothing.", rule.key));
    }
    let fold = |at: f64, share: f64, faces_end: bool| DrawnFold {
        at,
        take: take * share,
        take_below: take_below * share,
        faces_end,
        lines: [([0.0; 2], [0.0; 2]); 2],
    };
    let mut at = first;
    let mut left = count;
    while left >= 1.0 {
        let folds = match rule.kind {
            PleatKind::Knife => vec![fold(at, 1.0, !rule.toward_start)],
            PleatKind::Inverted => vec![fold(at, 0.5, true), fold(at, 0.5, false)],
            // The panel is as wide as its folds take up behind it: a quarter to each side.
            PleatKind::Box => vec![fold(at - take / 4.0, 0.5, false), fold(at + take / 4.0, 0.5, true)],
        };
        let pleat = DrawnPleat { key: &rule.key, edge: &rule.edge, kind: rule.kind, folds };
        planned.push((pleat, down, rule.first.at));
        at += apart;
        left -= 1.0;
    }
    Ok(())
}

/// Draws the folds of one edge where they come to lie; the length that is left.
fn lay_out(piece: &DrawnPiece<'_>, edge: &DrawnEdge<'_>, on: &mut [&mut Planned<'_>]) -> Result<f64, Fault> {
    let taken: f64 = on.iter().flat_map(|(pleat, ..)| &pleat.folds).map(|fold| fold.take).sum();
    let closed = edge.length() - taken;
    let across = edge.points().first().zip(edge.points().last()).and_then(|(a, b)| heading(a.0, b.0)).unwrap_or(0.0);
    let inward = across + piece.way_round() * std::f64::consts::FRAC_PI_2;
    let step = |p: Point, along: f64, mm: f64| [p[0] + along.cos() * mm, p[1] + along.sin() * mm];
    let mut folds: Vec<(&str, &mut DrawnFold, f64, Span)> = on
        .iter_mut()
        .flat_map(|(pleat, down, span)| {
            let key = pleat.key;
            pleat.folds.iter_mut().map(move |fold| (key, fold, *down, *span))
        })
        .collect();
    folds.sort_by(|a, b| a.1.at.total_cmp(&b.1.at));
    let mut before = 0.0;
    for (key, fold, down, span) in folds {
        let outside = || {
            let message = format!(
                "The pleats “{key}” do not fit on “{}”: closed it is {closed:.0} mm long, and one lies at {:.0} mm. \
                 Take up less, or draw the edge longer.",
                edge.key, fold.at
            );
            Fault::new(span, message)
        };
        if fold.at < -1e-6 || fold.at > closed + 1e-6 {
            return Err(outside());
        }
        let first = open_place(piece, edge, fold.at + before).ok_or_else(outside)?.at;
        let second = open_place(piece, edge, fold.at + before + fold.take).ok_or_else(outside)?.at;
        before += fold.take;
        fold.lines = if fold.faces_end {
            let low = step(first, inward, down);
            [(first, low), (second, step(low, across, fold.take_below))]
        } else {
            let low = step(second, inward, down);
            [(first, step(low, across, -fold.take_below)), (second, low)]
        };
    }
    Ok(closed)
}

/// The folds on an edge in the order in which they lie.
pub(super) fn folds_on<'a>(piece: &'a DrawnPiece<'_>, edge: &str) -> Vec<&'a DrawnFold> {
    let mut folds: Vec<&DrawnFold> =
        piece.pleats.iter().filter(|pleat| pleat.edge == edge).flat_map(|pleat| &pleat.folds).collect();
    folds.sort_by(|a, b| a.at.total_cmp(&b.at));
    folds
}

/// How far each fold's lines lie apart at the edge and below, measured on the drawing, mm.
pub(super) fn apart(fold: &DrawnFold) -> (f64, f64) {
    let [first, second] = fold.lines;
    (distance(first.0, second.0), distance(first.1, second.1))
}
