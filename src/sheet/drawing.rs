//! The pieces as drawn on the sheet, in their own millimetres; whoever sets the
//! page scales each to its place.

use crate::draft::{Draft, Grain, Notch, Piece, Pleat};
use crate::geom::{Point, distance, length_along};
use crate::measure::Showing;

use super::job_sheet::figure;

/// One piece to be drawn, not to scale.
#[derive(Clone, Debug, PartialEq)]
pub struct SheetPiece {
    /// Its letter.
    pub letter: String,
    /// What it is.
    pub label: String,
    /// Where it is cut, mm.
    pub cutting: Vec<Point>,
    /// Where it is sewn, mm.
    pub sewing: Vec<Point>,
    /// The two ends of the fold, with its length as a figure.
    pub fold: Option<(Point, Point, String)>,
    /// How it lies to the grain.
    pub grain: Grain,
    /// The chalk lines with their figures.
    pub chalk: Vec<ChalkLine>,
    /// The ticks of its notches, from inside the sewing line into the allowance.
    pub notches: Vec<(Point, Point)>,
    /// The lines of its pleats, each with an arrow to where it is laid.
    pub pleats: Vec<(Point, Point)>,
    /// The allowance at the middle of each edge.
    pub edges: Vec<EdgeMark>,
}

/// A line that is chalked across a piece.
#[derive(Clone, Debug, PartialEq)]
pub struct ChalkLine {
    /// What it is: `Hip line`.
    pub label: String,
    /// Its figure, without the allowance.
    pub figure: String,
    /// From here…
    pub from: Point,
    /// …to here.
    pub to: Point,
}

/// The allowance of an edge, to be written beside it.
#[derive(Clone, Debug, PartialEq)]
pub struct EdgeMark {
    /// The allowance as a figure.
    pub figure: String,
    /// The allowance, mm.
    pub allowance_mm: f64,
    /// The middle of the edge.
    pub at: Point,
    /// The way along it there, of length 1: the figure stands beside it.
    pub along: Point,
}

pub(super) fn pieces(draft: &Draft, showing: Showing) -> Vec<SheetPiece> {
    draft.pieces.iter().map(|piece| drawn(piece, showing)).collect()
}

fn drawn(piece: &Piece, showing: Showing) -> SheetPiece {
    SheetPiece {
        letter: piece.letter.clone(),
        label: piece.label.clone(),
        cutting: piece.cutting.clone(),
        sewing: piece.sewing.clone(),
        fold: piece.fold.map(|(from, to)| (from, to, chalked(distance(from, to), showing))),
        grain: piece.grain,
        chalk: piece
            .chalk
            .iter()
            .map(|line| ChalkLine {
                label: line.label.clone(),
                figure: chalked(line.mm, showing),
                from: line.from,
                to: line.to,
            })
            .collect(),
        notches: piece.notches.iter().flat_map(Notch::ticks).collect(),
        pleats: piece.pleats.iter().flat_map(Pleat::strokes).collect(),
        edges: piece
            .edges
            .iter()
            .filter(|edge| !edge.is_fold && edge.allowance_mm > 0.0)
            .filter_map(|edge| {
                let (at, along) = middle(&edge.points)?;
                Some(EdgeMark {
                    figure: figure(edge.allowance_mm, showing),
                    allowance_mm: edge.allowance_mm,
                    at,
                    along,
                })
            })
            .collect(),
    }
}

/// A figure to chalk by: to the sixteenth where it is one, as its working has it,
/// even in a shop that shows eighths.
fn chalked(mm: f64, showing: Showing) -> String {
    /// A hundred-thousandth of a millimetre: rounding of f64, and nothing that chalk knows.
    const SAME_MM: f64 = 1e-5;
    let step = Showing::SIXTEENTHS;
    let sixteenth = crate::measure::Length::from_mm(mm).map(|length| length.rounded_to(step.step_length()));
    match sixteenth.filter(|length| showing.unit() == step.unit() && (length.mm() - mm).abs() <= SAME_MM) {
        Some(length) => step.number(length),
        None => figure(mm, showing),
    }
}

/// The middle of a run of points by its length, and the way along it there, of length 1.
fn middle(points: &[Point]) -> Option<(Point, Point)> {
    let half = length_along(points) / 2.0;
    let mut walked = 0.0;
    for (from, to) in points.iter().zip(points.iter().skip(1)) {
        let stretch = distance(*from, *to);
        if stretch > 0.0 && walked + stretch >= half {
            let share = (half - walked) / stretch;
            let way = [to[0] - from[0], to[1] - from[1]];
            return Some(([from[0] + way[0] * share, from[1] + way[1] * share], [way[0] / stretch, way[1] / stretch]));
        }
        walked += stretch;
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_middle_lies_half_way_along() {
        assert_eq!(middle(&[[0.0, 0.0], [10.0, 0.0], [10.0, 30.0]]).unwrap(), ([10.0, 10.0], [0.0, 1.0]));
        // Exactly where two stretches meet there is still a way along.
        assert_eq!(middle(&[[0.0, 0.0], [10.0, 0.0], [10.0, 10.0]]).unwrap(), ([10.0, 0.0], [1.0, 0.0]));
        assert_eq!(middle(&[[1.0, 1.0]]), None);
    }
}
