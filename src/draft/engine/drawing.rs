//! Pieces as drawn: edges as curves with their allowance, before they are handed out.

use std::collections::HashMap;

use super::super::formula::Shapes;
use super::dart::DrawnDart;
use super::pleat::DrawnPleat;
use crate::geom::{Curve, Point, area, turn, width_at};

/// A drawn edge.
#[derive(Clone, Debug)]
pub(super) struct DrawnEdge {
    pub key: String,
    pub is_fold: bool,
    pub curve: Curve,
    pub length: f64,
    pub allow: f64,
    /// Whether the allowance is turned up on to the piece: a hem.
    pub turned_up: bool,
    /// Points along the curve with their headings; over the mouths of its darts.
    pub points: Vec<(Point, f64)>,
    /// The same points in runs that are smooth; an edge without darts is one run.
    pub runs: Vec<Vec<(Point, f64)>>,
    /// Whether it is the opening of a dart: drawn, but of no length.
    pub is_mouth: bool,
}

/// A line across a piece that carries a written dimension.
#[derive(Clone, Debug)]
pub(super) struct DrawnChalk {
    pub label: String,
    pub from: Point,
    pub to: Point,
    pub mm: f64,
}

impl DrawnEdge {
    pub fn new(key: &str, is_fold: bool, curve: Curve, allow: f64) -> DrawnEdge {
        let (length, points) = (curve.length(), curve.flattened());
        DrawnEdge {
            key: key.into(),
            is_fold,
            curve,
            length,
            allow,
            turned_up: false,
            runs: vec![points.clone()],
            points,
            is_mouth: false,
        }
    }

    /// The same edge with its allowance turned up, or not.
    pub fn turned_up(self, turned_up: bool) -> DrawnEdge {
        DrawnEdge { turned_up, ..self }
    }

    /// The edge with darts: its runs and mouths, and its length with the darts closed.
    pub fn with_runs(&self, runs: Vec<Vec<(Point, f64)>>, length: f64) -> DrawnEdge {
        let mut points: Vec<(Point, f64)> = Vec::new();
        for run in &runs {
            points.extend(run.iter().skip(usize::from(!points.is_empty())));
        }
        DrawnEdge { runs, points, length, ..self.clone() }
    }

    /// An edge without length: left out of the outline, nought in sums.
    pub fn is_empty(&self) -> bool {
        self.length <= crate::geom::SAME_POINT_MM && !self.is_mouth
    }
}

/// A drawn piece.
#[derive(Clone, Debug, Default)]
pub(super) struct DrawnPiece {
    pub edges: Vec<DrawnEdge>,
    pub points: HashMap<String, Point>,
    pub sewing: Vec<Point>,
    pub darts: Vec<DrawnDart>,
    pub chalk: Vec<DrawnChalk>,
    pub pleats: Vec<DrawnPleat>,
}

impl DrawnPiece {
    pub fn new(edges: Vec<DrawnEdge>, points: HashMap<String, Point>) -> DrawnPiece {
        let sewing = edges
            .iter()
            .filter(|edge| !edge.is_empty())
            .flat_map(|edge| edge.points.iter().take(edge.points.len().saturating_sub(1)).map(|(p, _)| *p))
            .collect();
        DrawnPiece { edges, points, sewing, ..DrawnPiece::default() }
    }

    /// The piece turned over: left becomes right.
    pub fn turned_over(self) -> DrawnPiece {
        let flip = |p: Point| [-p[0], p[1]];
        let half = std::f64::consts::PI;
        let edges = self
            .edges
            .iter()
            .map(|edge| {
                let turned = DrawnEdge::new(&edge.key, edge.is_fold, edge.curve.turned_over(), edge.allow)
                    .turned_up(edge.turned_up);
                let run = |run: &Vec<(Point, f64)>| run.iter().map(|(p, h)| (flip(*p), half - h)).collect();
                DrawnEdge {
                    is_mouth: edge.is_mouth,
                    ..turned.with_runs(edge.runs.iter().map(run).collect(), edge.length)
                }
            })
            .collect();
        let points = self.points.into_iter().map(|(key, p)| (key, flip(p))).collect();
        let mut piece = DrawnPiece::new(edges, points);
        piece.darts = self.darts;
        for dart in &mut piece.darts {
            (dart.feet, dart.peak, dart.apex) =
                ((flip(dart.feet.0), flip(dart.feet.1)), flip(dart.peak), flip(dart.apex));
            (dart.top, dart.headings) = (dart.top.map(flip), (half - dart.headings.0, half - dart.headings.1));
        }
        piece.pleats = self.pleats;
        for line in piece.pleats.iter_mut().flat_map(|pleat| &mut pleat.folds).flat_map(|fold| &mut fold.lines) {
            *line = (flip(line.0), flip(line.1));
        }
        piece.chalk = self.chalk;
        for chalk in &mut piece.chalk {
            (chalk.from, chalk.to) = (flip(chalk.from), flip(chalk.to));
        }
        piece
    }

    /// +1 when the outline runs clockwise on screen, else −1.
    pub fn way_round(&self) -> f64 {
        if area(&self.sewing) > 0.0 { 1.0 } else { -1.0 }
    }

    /// The edges that have length, in order.
    pub fn standing(&self) -> Vec<&DrawnEdge> {
        self.edges.iter().filter(|edge| !edge.is_empty()).collect()
    }

    pub fn edge(&self, key: &str) -> Option<&DrawnEdge> {
        self.edges.iter().find(|edge| edge.key == key)
    }

    /// What the pleats take up of a width on the level `y`, mm.
    pub fn pleated_at(&self, y: f64) -> f64 {
        self.pleats.iter().flat_map(|pleat| &pleat.folds).map(|fold| fold.width_at(y)).sum()
    }

    /// Points of the parallel that lies `depth` inside an edge.
    pub fn parallel(&self, edge: &DrawnEdge, depth: f64) -> Vec<(Point, f64)> {
        // Inside is to the right of the heading when the outline runs clockwise.
        let side = self.way_round() * depth;
        edge.points
            .iter()
            .map(|(p, heading)| {
                let (sin, cos) = heading.sin_cos();
                ([p[0] - sin * side, p[1] + cos * side], *heading)
            })
            .collect()
    }
}

/// Everything drawn so far, for formulas to measure. A piece that this order does
/// not have measures nought.
#[derive(Clone, Debug, Default)]
pub(super) struct Drawing {
    pub pieces: HashMap<String, DrawnPiece>,
    /// Strips with their sewn length and cut width, mm.
    pub strips: HashMap<String, (f64, f64)>,
    /// How many of each piece and strip are cut.
    pub counts: HashMap<String, u32>,
    /// Keys of pieces and strips that are left out of this order.
    pub left_out: Vec<String>,
}

/// An upright on the fold itself touches no inside; it is measured this far beside it, mm.
const FOLD_NUDGE_MM: f64 = 1e-6;

impl Drawing {
    fn strip(&self, key: &str) -> Result<(f64, f64), String> {
        match self.strips.get(key) {
            Some(strip) => Ok(*strip),
            None if self.left_out.iter().any(|k| k == key) => Ok((0.0, 0.0)),
            None => Err(format!("“{key}” is not drawn yet where this stands.")),
        }
    }

    fn piece(&self, key: &str) -> Result<Option<&DrawnPiece>, String> {
        match self.pieces.get(key) {
            Some(piece) => Ok(Some(piece)),
            None if self.left_out.iter().any(|k| k == key) => Ok(None),
            None => Err(format!("“{key}” is not drawn yet where this stands.")),
        }
    }
}

impl Shapes for Drawing {
    fn edge_length(&self, piece: &str, edge: &str) -> Result<f64, String> {
        Ok(self.piece(piece)?.and_then(|p| p.edge(edge)).map_or(0.0, |e| e.length))
    }

    fn below(&self, piece: &str, edge: &str, depth: f64) -> Result<f64, String> {
        let Some(piece) = self.piece(piece)? else { return Ok(0.0) };
        let Some(edge) = piece.edge(edge) else { return Ok(0.0) };
        // The parallel of a smooth curve is shorter by depth × the angle it turns through.
        let turned: f64 = edge.points.windows(2).map(|pair| if let [a, b] = pair { turn(a.1, b.1) } else { 0.0 }).sum();
        Ok(edge.length - depth * turned * piece.way_round())
    }

    fn strip_length(&self, strip: &str) -> Result<f64, String> {
        Ok(self.strip(strip)?.0)
    }

    fn strip_width(&self, strip: &str) -> Result<f64, String> {
        Ok(self.strip(strip)?.1)
    }

    fn count(&self, key: &str) -> Result<f64, String> {
        match self.counts.get(key) {
            Some(count) => Ok(f64::from(*count)),
            None if self.left_out.iter().any(|k| k == key) => Ok(0.0),
            None => Err(format!("“{key}” is not drawn yet where this stands.")),
        }
    }

    fn height(&self, piece: &str, x: f64) -> Result<f64, String> {
        let on_its_side = |p: &DrawnPiece| p.sewing.iter().map(|[x, y]| [*y, *x]).collect::<Vec<Point>>();
        Ok(self.piece(piece)?.map_or(0.0, |p| width_at(&on_its_side(p), x + FOLD_NUDGE_MM)))
    }

    fn width(&self, piece: &str, y: f64) -> Result<f64, String> {
        Ok(self.piece(piece)?.map_or(0.0, |p| {
            width_at(&p.sewing, y) - p.darts.iter().map(|dart| dart.width_at(y)).sum::<f64>() - p.pleated_at(y)
        }))
    }

    fn point(&self, piece: &str, point: &str) -> Result<Point, String> {
        Ok(self.piece(piece)?.and_then(|p| p.points.get(point)).copied().unwrap_or([0.0, 0.0]))
    }
}
