//! Pieces as drawn: edges as curves with their allowance, before they are handed out.
//!
//! A piece is drawn many times while an unknown is found, and then only some lengths of
//! it are looked at: points along an edge, and its length, are worked when somebody asks.

use std::cell::OnceCell;
use std::rc::Rc;

use super::super::formula::{ByName, Shapes};
use super::dart::{DrawnDart, Run};
use super::pleat::DrawnPleat;
use crate::geom::{Curve, Point, SAME_POINT_MM, area, distance, turn, width_at};

/// A drawn edge.
#[derive(Clone, Debug)]
pub(super) struct DrawnEdge<'s> {
    pub key: &'s str,
    pub is_fold: bool,
    pub curve: Curve,
    pub allow: f64,
    /// Whether the allowance is turned up on to the piece: a hem.
    pub turned_up: bool,
    /// Whether it is the opening of a dart: drawn, but of no length.
    pub is_mouth: bool,
    length: OnceCell<f64>,
    points: OnceCell<Run>,
    /// Where the curve is not drawn as it is (beside darts): the points in runs that are smooth.
    runs: Vec<Run>,
}

/// A line across a piece that carries a written dimension.
#[derive(Clone, Copy, Debug)]
pub(super) struct DrawnChalk<'s> {
    pub label: &'s str,
    pub from: Point,
    pub to: Point,
    pub mm: f64,
}

impl<'s> DrawnEdge<'s> {
    pub fn new(key: &'s str, is_fold: bool, curve: Curve, allow: f64) -> DrawnEdge<'s> {
        DrawnEdge {
            key,
            is_fold,
            curve,
            allow,
            turned_up: false,
            is_mouth: false,
            length: OnceCell::new(),
            points: OnceCell::new(),
            runs: Vec::new(),
        }
    }

    /// The same edge along another curve.
    pub fn along(&self, curve: Curve) -> DrawnEdge<'s> {
        DrawnEdge::new(self.key, self.is_fold, curve, self.allow).turned_up(self.turned_up)
    }

    /// The same edge with its allowance turned up, or not.
    pub fn turned_up(self, turned_up: bool) -> DrawnEdge<'s> {
        DrawnEdge { turned_up, ..self }
    }

    /// The same edge as the opening of a dart, or not.
    pub fn with_mouth(self, is_mouth: bool) -> DrawnEdge<'s> {
        DrawnEdge { is_mouth, ..self }
    }

    /// The edge with darts: its runs and mouths, and its length with the darts closed.
    pub fn with_runs(self, runs: Vec<Run>, length: f64) -> DrawnEdge<'s> {
        DrawnEdge { runs, points: OnceCell::new(), length: OnceCell::from(length), ..self }
    }

    /// The edge with pleats: its length with them laid.
    pub fn closed_to(self, length: f64) -> DrawnEdge<'s> {
        DrawnEdge { length: OnceCell::from(length), ..self }
    }

    /// Its length with darts closed and pleats laid, mm.
    pub fn length(&self) -> f64 {
        *self.length.get_or_init(|| self.curve.length())
    }

    /// Points along it with their headings; over the mouths of its darts.
    pub fn points(&self) -> &[(Point, f64)] {
        self.points.get_or_init(|| {
            if self.runs.is_empty() {
                return self.curve.flattened();
            }
            let mut points = Run::with_capacity(self.runs.iter().map(Vec::len).sum());
            for run in &self.runs {
                points.extend(run.iter().skip(usize::from(!points.is_empty())));
            }
            points
        })
    }

    /// The same points in runs that are smooth; an edge without darts is one run.
    pub fn runs(&self) -> impl Iterator<Item = &[(Point, f64)]> {
        let whole = self.runs.is_empty().then(|| self.points());
        whole.into_iter().chain(self.runs.iter().map(Vec::as_slice))
    }

    /// An edge without length: left out of the outline, nought in sums.
    pub fn is_empty(&self) -> bool {
        let ends = self.curve.start().zip(self.curve.end());
        let goes_on = self.length.get().is_none() && ends.is_some_and(|(a, b)| distance(a, b) > SAME_POINT_MM);
        !goes_on && !self.is_mouth && self.length() <= SAME_POINT_MM
    }
}

/// A drawn piece.
#[derive(Clone, Debug, Default)]
pub(super) struct DrawnPiece<'s> {
    pub edges: Vec<DrawnEdge<'s>>,
    /// Points by name; of one name the last holds.
    pub points: Vec<(&'s str, Point)>,
    pub darts: Vec<DrawnDart<'s>>,
    pub chalk: Vec<DrawnChalk<'s>>,
    pub pleats: Vec<DrawnPleat<'s>>,
    /// How many chords its curves are drawn with.
    pub steps: usize,
    sewing: OnceCell<Vec<Point>>,
    way: OnceCell<f64>,
}

impl<'s> DrawnPiece<'s> {
    pub fn new(edges: Vec<DrawnEdge<'s>>, points: Vec<(&'s str, Point)>) -> DrawnPiece<'s> {
        DrawnPiece { edges, points, ..DrawnPiece::default() }
    }

    /// The outline on which it is sewn, closed.
    pub fn sewing(&self) -> &[Point] {
        self.sewing.get_or_init(|| {
            let standing = || self.edges.iter().filter(|edge| !edge.is_empty()).map(DrawnEdge::points);
            let mut sewing = Vec::with_capacity(standing().map(<[_]>::len).sum());
            for points in standing() {
                sewing.extend(points.iter().take(points.len().saturating_sub(1)).map(|(p, _)| *p));
            }
            sewing
        })
    }

    /// The piece turned over: left becomes right.
    pub fn turned_over(self) -> DrawnPiece<'s> {
        let flip = |p: Point| [-p[0], p[1]];
        let half = std::f64::consts::PI;
        let edges = self
            .edges
            .iter()
            .map(|edge| {
                let run = |run: &Run| run.iter().map(|(p, h)| (flip(*p), half - h)).collect();
                DrawnEdge {
                    is_mouth: edge.is_mouth,
                    length: edge.length.clone(),
                    runs: edge.runs.iter().map(run).collect(),
                    ..edge.along(edge.curve.turned_over())
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
        (piece.pleats, piece.steps) = (self.pleats, self.steps);
        for line in piece.pleats.iter_mut().flat_map(|pleat| &mut pleat.folds).flat_map(|fold| &mut fold.lines) {
            *line = (flip(line.0), flip(line.1));
        }
        piece.chalk = self.chalk;
        for chalk in &mut piece.chalk {
            (chalk.from, chalk.to) = (flip(chalk.from), flip(chalk.to));
        }
        piece
    }

    /// The same piece, known to run this way round.
    pub fn going(self, way: f64) -> DrawnPiece<'s> {
        DrawnPiece { way: OnceCell::from(way), ..self }
    }

    /// A point by its name.
    pub fn point(&self, key: &str) -> Option<Point> {
        self.points.iter().rev().find(|(name, _)| *name == key).map(|(_, p)| *p)
    }

    /// +1 when the outline runs clockwise on screen, else −1.
    pub fn way_round(&self) -> f64 {
        *self.way.get_or_init(|| if area(self.sewing()) > 0.0 { 1.0 } else { -1.0 })
    }

    /// The edges that have length, in order.
    pub fn standing(&self) -> Vec<&DrawnEdge<'s>> {
        self.edges.iter().filter(|edge| !edge.is_empty()).collect()
    }

    pub fn edge(&self, key: &str) -> Option<&DrawnEdge<'s>> {
        self.edges.iter().find(|edge| edge.key == key)
    }

    /// What the pleats take up of a width on the level `y`, mm.
    pub fn pleated_at(&self, y: f64) -> f64 {
        self.pleats.iter().flat_map(|pleat| &pleat.folds).map(|fold| fold.width_at(y)).sum()
    }

    /// Points of the parallel that lies `depth` inside an edge.
    pub fn parallel(&self, edge: &DrawnEdge<'_>, depth: f64) -> Run {
        // Inside is to the right of the heading when the outline runs clockwise.
        let side = self.way_round() * depth;
        edge.points()
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
pub(super) struct Drawing<'s> {
    pub pieces: ByName<'s, Rc<DrawnPiece<'s>>>,
    /// Strips with their sewn length and cut width, mm.
    pub strips: ByName<'s, (f64, f64)>,
    /// How many of each piece and strip are cut.
    pub counts: ByName<'s, u32>,
    /// Keys of pieces and strips that are left out of this order.
    pub left_out: Vec<&'s str>,
}

/// An upright on the fold itself touches no inside; it is measured this far beside it, mm.
const FOLD_NUDGE_MM: f64 = 1e-6;

impl<'s> Drawing<'s> {
    fn strip(&self, key: &str) -> Result<(f64, f64), String> {
        match self.strips.get(key) {
            Some(strip) => Ok(*strip),
            None if self.left_out.contains(&key) => Ok((0.0, 0.0)),
            None => Err(format!("“{key}” is not drawn yet where this stands.")),
        }
    }

    fn piece(&self, key: &str) -> Result<Option<&DrawnPiece<'s>>, String> {
        match self.pieces.get(key) {
            Some(piece) => Ok(Some(piece)),
            None if self.left_out.contains(&key) => Ok(None),
            None => Err(format!("“{key}” is not drawn yet where this stands.")),
        }
    }
}

impl Shapes for Drawing<'_> {
    fn edge_length(&self, piece: &str, edge: &str) -> Result<f64, String> {
        Ok(self.piece(piece)?.and_then(|p| p.edge(edge)).map_or(0.0, DrawnEdge::length))
    }

    fn below(&self, piece: &str, edge: &str, depth: f64) -> Result<f64, String> {
        let Some(piece) = self.piece(piece)? else { return Ok(0.0) };
        let Some(edge) = piece.edge(edge) else { return Ok(0.0) };
        // The parallel of a smooth curve is shorter by depth × the angle it turns through.
        let turned: f64 =
            edge.points().windows(2).map(|pair| if let [a, b] = pair { turn(a.1, b.1) } else { 0.0 }).sum();
        Ok(edge.length() - depth * turned * piece.way_round())
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
            None if self.left_out.contains(&key) => Ok(0.0),
            None => Err(format!("“{key}” is not drawn yet where this stands.")),
        }
    }

    fn height(&self, piece: &str, x: f64) -> Result<f64, String> {
        let on_its_side = |p: &DrawnPiece<'_>| p.sewing().iter().map(|[x, y]| [*y, *x]).collect::<Vec<Point>>();
        Ok(self.piece(piece)?.map_or(0.0, |p| width_at(&on_its_side(p), x + FOLD_NUDGE_MM)))
    }

    fn width(&self, piece: &str, y: f64) -> Result<f64, String> {
        Ok(self.piece(piece)?.map_or(0.0, |p| {
            width_at(p.sewing(), y) - p.darts.iter().map(|dart| dart.width_at(y)).sum::<f64>() - p.pleated_at(y)
        }))
    }

    fn point(&self, piece: &str, point: &str) -> Result<Point, String> {
        Ok(self.piece(piece)?.and_then(|p| p.point(point)).unwrap_or([0.0, 0.0]))
    }
}
