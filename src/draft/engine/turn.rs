//! Turning a dart: it closes, and the piece opens at another edge by the same angle.
//!
//! The part of the outline between the dart and the cut swings about the apex; what
//! lies in it (points, marks, other darts, chalk) swings along. The rest, with the
//! fold or else with the outline's first point, stays where it is.

use super::super::fault::Fault;
use super::super::formula::Scope;
use super::super::style::{Style, TurnRule};
use super::dart::Run;
use super::ring::{Gap, Ring};
use crate::geom::{Curve, Knot, Point, contains, distance, heading, rotated, squared_distance_to_side, turn};

/// A mark nearer to the outline lies on it, mm: more than curves leave their chords.
const ON_EDGE_MM: f64 = 0.05;

/// Whether a point lies on one of these runs.
fn lies_on(runs: &[Run], p: Point) -> bool {
    let near = |pair: &[(Point, f64)]| match pair {
        [a, b] => squared_distance_to_side(a.0, b.0, p) < ON_EDGE_MM * ON_EDGE_MM,
        _ => false,
    };
    runs.iter().any(|run| run.windows(2).any(near))
}

impl<'s> Ring<'s> {
    /// Turns the darts of this piece, in the order of the style.
    pub fn turn_darts(&mut self, style: &'s Style, piece: &str, scope: &Scope<'_, '_>) -> Result<(), Fault> {
        // Shares are of the dart as it was drawn.
        let mut whole: Vec<(&str, f64)> = Vec::new();
        for rule in style.turns.iter().filter(|rule| rule.piece == piece) {
            if !rule.when.as_ref().map_or(Ok(true), |when| scope.yes(when))? {
                continue;
            }
            let Some((edge, gap)) = self.gap(&rule.dart) else { continue };
            let Some(angle) = self.opening(edge, gap) else { continue };
            let angle = match whole.iter().find(|(key, _)| *key == rule.dart) {
                Some((_, angle)) => *angle,
                None => {
                    whole.push((&rule.dart, angle));
                    angle
                }
            };
            let share = rule.share.as_ref().map_or(Ok(1.0), |share| scope.number(share))?;
            if !(0.0..=1.0).contains(&share) {
                return Err(Fault::new(rule.at.at, format!("A share of {share} of a dart makes no sense: 0 to 1.")));
            }
            let at = scope.length(&rule.at)?;
            let stops = rule.stops.as_ref().map_or(Ok(0.0), |stops| scope.length(stops))?;
            self.turn(rule, (edge, gap), angle * share, at, stops).ok_or_else(|| {
                Fault::new(
                    rule.at.at,
                    format!("“{}” cannot be turned to “{}”: the cut misses that edge.", rule.dart, rule.edge),
                )
            })?;
        }
        Ok(())
    }

    /// The opening of a dart by its key: (edge, place among the edge's openings).
    fn gap(&self, key: &str) -> Option<(usize, usize)> {
        self.edges.iter().enumerate().find_map(|(e, edge)| Some((e, edge.gaps.iter().position(|gap| gap.key == key)?)))
    }

    /// The place in the order of stretches of the one before an opening.
    fn before(&self, edge: usize, gap: usize) -> usize {
        let earlier: usize = self.edges.iter().take(edge).map(|e| e.parts.len()).sum();
        let own = self.edges.get(edge).map_or(0, |e| if e.parts.is_empty() { 0 } else { gap + 1 });
        let count = self.stretches().len();
        (earlier + own + count.saturating_sub(1)) % count.max(1)
    }

    /// The angle of an opening about its apex, from the leg before to the leg after.
    fn opening(&self, edge: usize, gap: usize) -> Option<f64> {
        let places = self.stretches();
        let before = self.before(edge, gap);
        let apex = self.edges.get(edge)?.gaps.get(gap)?.apex;
        let a = self.part(*places.get(before)?)?.end()?;
        let b = self.part(*places.get((before + 1) % places.len())?)?.start()?;
        Some(turn(heading(apex, a)?, heading(apex, b)?))
    }

    fn turn(&mut self, rule: &'s TurnRule, from: (usize, usize), angle: f64, at: f64, stops: f64) -> Option<()> {
        let pivot = self.edges.get(from.0)?.gaps.get(from.1)?.apex;
        let dart_after = self.before(from.0, from.1);
        // Cut the other edge in two at the place asked for.
        let e = self.edges.iter().position(|edge| edge.key == rule.edge)?;
        let (part, cut_at) = self.part_at(e, at)?;
        let first: usize = self.edges.iter().take(e).map(|edge| edge.parts.len()).sum();
        let edge = self.edges.get_mut(e)?;
        let whole = edge.parts.get(part)?.clone();
        let length = whole.length();
        let (near, far) = (whole.part(cut_at, true), whole.part(length - cut_at, false));
        let cut = near.end()?;
        *edge.parts.get_mut(part)? = near;
        edge.parts.insert(part + 1, far);
        let slot = Gap { key: &rule.key, apex: pivot, toward_start: rule.toward_start };
        edge.gaps.insert(part.min(edge.gaps.len()), slot);
        let cut_after = first + part;
        let dart_after = if dart_after > cut_after { dart_after + 1 } else { dart_after };
        // The stretches between dart and cut that do not hold the outline's start.
        let (range, by) = if dart_after < cut_after {
            (dart_after + 1..cut_after + 1, -angle)
        } else {
            (cut_after + 1..dart_after + 1, angle)
        };
        self.swing(range, pivot, by);
        let edge = self.edges.get_mut(e)?;
        if rule.flare {
            let (near, far) = (edge.parts.get(part)?.clone(), edge.parts.get(part + 1)?.clone());
            let knot = |at, heading| Knot { at, heading };
            let bridge =
                Curve::through(&[knot(near.end()?, near.end_heading()), knot(far.start()?, far.start_heading())]);
            *edge.parts.get_mut(part)? = Curve::joined([near, bridge, far]);
            edge.parts.remove(part + 1);
            edge.gaps.remove(part);
        } else {
            // The apex moves toward the middle of the new mouth.
            let (a, b) = (edge.parts.get(part)?.end()?, edge.parts.get(part + 1)?.start()?);
            let middle = [f64::midpoint(a[0], b[0]), f64::midpoint(a[1], b[1])];
            let far = distance(pivot, if distance(a, b) > 1e-6 { middle } else { cut });
            if stops >= far {
                return None;
            }
            let toward = |axis: usize| pivot[axis] + (middle[axis] - pivot[axis]) * stops / far;
            edge.gaps.get_mut(part)?.apex = [toward(0), toward(1)];
        }
        Some(())
    }

    /// Which part of an edge lies at `at` mm from its start (darts closed), and how far along the part.
    fn part_at(&self, edge: usize, at: f64) -> Option<(usize, f64)> {
        let mut left = at;
        for (i, part) in self.edges.get(edge)?.parts.iter().enumerate() {
            let length = part.length();
            if left > 0.0 && left < length {
                return Some((i, left));
            }
            left -= length;
        }
        None
    }

    /// Swings the stretches `range` with all that lies between them and the pivot.
    fn swing(&mut self, range: std::ops::Range<usize>, pivot: Point, by: f64) {
        let places = self.stretches();
        let inside: Vec<(usize, usize)> = places.get(range.clone()).unwrap_or_default().to_vec();
        // The fold stays where it is: then all the rest swings back instead.
        let holds_fold = inside.iter().any(|(e, _)| self.edges.get(*e).is_some_and(|edge| edge.is_fold));
        // A mark on the outline goes with the stretch that it lies on. Without anything between
        // the stretches nobody asks.
        let asked = !(self.marks.is_empty() && self.chalk.is_empty() && self.darts.is_empty());
        let runs: Vec<Run> = places
            .iter()
            .filter(|_| asked)
            .map(|at| self.part(*at).map(Curve::flattened).unwrap_or_default())
            .collect();
        let swinging = runs.get(range.clone()).unwrap_or_default();
        let staying = [runs.get(..range.start).unwrap_or_default(), runs.get(range.end..).unwrap_or_default()].concat();
        let sector: Vec<Point> = [pivot].into_iter().chain(swinging.iter().flatten().map(|(p, _)| *p)).collect();
        let inside_sector = |p: Point| lies_on(swinging, p) || (contains(&sector, p) && !lies_on(&staying, p));
        let within = |p: Point| inside_sector(p) != holds_fold && distance(p, pivot) > 1e-6;
        let by = if holds_fold { -by } else { by };
        let swung = |p: Point| if within(p) { rotated(p, pivot, by) } else { p };
        for (_, mark) in &mut self.marks {
            *mark = swung(*mark);
        }
        for chalk in &mut self.chalk {
            (chalk.from, chalk.to) = (swung(chalk.from), swung(chalk.to));
        }
        for dart in &mut self.darts {
            if within(dart.peak) {
                let go = |p: Point| rotated(p, pivot, by);
                (dart.feet, dart.peak, dart.apex) = ((go(dart.feet.0), go(dart.feet.1)), go(dart.peak), go(dart.apex));
                dart.top = dart.top.map(go);
            }
        }
        // An opening swings with the stretches on both its sides.
        let count = places.len();
        let moves = |at: usize| range.contains(&(at % count.max(1))) != holds_fold;
        let mut at = 0;
        let gaps: Vec<(usize, usize, bool)> = self
            .edges
            .iter()
            .enumerate()
            .flat_map(|(e, edge)| {
                let first = at;
                at += edge.parts.len();
                let own = edge.parts.is_empty();
                (0..edge.gaps.len()).map(move |g| (e, g, if own { first + count - 1 } else { first + g }))
            })
            .map(|(e, g, before)| (e, g, moves(before) && moves(before + 1)))
            .collect();
        for (e, g, moved) in gaps {
            if let Some(gap) = self.edges.get_mut(e).and_then(|edge| edge.gaps.get_mut(g)).filter(|_| moved) {
                gap.apex = rotated(gap.apex, pivot, by);
            }
        }
        for (i, (e, p)) in places.iter().enumerate() {
            if moves(i)
                && let Some(part) = self.edges.get_mut(*e).and_then(|edge| edge.parts.get_mut(*p))
            {
                *part = part.rotated(pivot, by);
            }
        }
    }
}
