//! What is drawn on a sheet of paper in true millimetres: lines by their kind, filled
//! tips and words. Whoever writes a file (PDF, SVG) draws these and nothing else.

use crate::geom::{Point, distance};

use super::letters;

/// What a line means. Kinds differ by weight and dash, never by colour; no two share both.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Line {
    /// Where the cloth is cut.
    Cut,
    /// Where it is sewn.
    Sew,
    /// The fold.
    Fold,
    /// The legs of a dart.
    Dart,
    /// The lengthwise grain.
    Grain,
    /// A mark across an edge, or at the tip of a dart.
    Mark,
    /// A square to measure the print by.
    Square,
    /// The edge along which a sheet is trimmed or laid on.
    Edge,
    /// A tick of the tape across a join; thin rules of the map.
    Tick,
    /// The edge of a selvedge, from which nothing is cut.
    Selvedge,
    /// The edge of the flap that is folded under.
    Flap,
}

impl Line {
    /// The word for it in files and stylesheets.
    #[must_use]
    pub const fn key(self) -> &'static str {
        match self {
            Line::Cut => "cut",
            Line::Sew => "sew",
            Line::Fold => "fold",
            Line::Dart => "dart",
            Line::Grain => "grain",
            Line::Mark => "mark",
            Line::Square => "square",
            Line::Edge => "edge",
            Line::Tick => "tick",
            Line::Selvedge => "selvedge",
            Line::Flap => "flap",
        }
    }

    /// How broad it is drawn, mm.
    #[must_use]
    pub const fn width_mm(self) -> f64 {
        match self {
            Line::Cut => 0.6,
            Line::Fold => 0.5,
            Line::Mark => 0.45,
            Line::Grain => 0.4,
            Line::Sew => 0.35,
            Line::Dart => 0.3,
            Line::Square => 0.25,
            Line::Selvedge => 0.2,
            Line::Flap => 0.28,
            Line::Tick => 0.18,
            Line::Edge => 0.12,
        }
    }

    /// Its dashes and gaps in turn, mm; none for a solid line.
    #[must_use]
    pub const fn dash_mm(self) -> &'static [f64] {
        match self {
            Line::Sew => &[4.0, 2.0],
            Line::Fold => &[9.0, 2.0, 1.5, 2.0],
            Line::Dart => &[1.5, 1.5],
            Line::Selvedge => &[6.0, 1.0],
            Line::Flap => &[0.8, 1.6],
            _ => &[],
        }
    }
}

/// A line through points.
#[derive(Clone, Debug, PartialEq)]
pub struct Stroke {
    /// What it means.
    pub line: Line,
    /// Through these points.
    pub points: Vec<Point>,
    /// Whether it runs back to its first point.
    pub closed: bool,
    /// How far into its dashes it begins, mm: dashes run on from sheet to sheet.
    pub phase_mm: f64,
}

impl Stroke {
    /// An open line.
    #[must_use]
    pub fn open(line: Line, points: Vec<Point>) -> Stroke {
        Stroke { line, points, closed: false, phase_mm: 0.0 }
    }

    /// A closed outline.
    #[must_use]
    pub fn closed(line: Line, points: Vec<Point>) -> Stroke {
        Stroke { line, points, closed: true, phase_mm: 0.0 }
    }

    /// The parts of it that lie in a box, its edge included, each an open run; itself
    /// where the box holds all of it.
    #[must_use]
    pub fn within(&self, low: Point, high: Point) -> Vec<Stroke> {
        let holds = |p: &Point| (0..2).all(|axis| low[axis] <= p[axis] && p[axis] <= high[axis]);
        if self.points.iter().all(holds) {
            return vec![self.clone()];
        }
        let again = if self.closed { self.points.first() } else { None };
        let mut parts: Vec<Stroke> = Vec::new();
        let (mut walked, mut pen_up) = (self.phase_mm, true);
        for (from, to) in self.points.iter().zip(self.points.iter().skip(1).chain(again)) {
            let long = distance(*from, *to);
            if let Some((enters, leaves)) = share_in_box(*from, *to, low, high) {
                let at = |share: f64| [from[0] + (to[0] - from[0]) * share, from[1] + (to[1] - from[1]) * share];
                match parts.last_mut().filter(|_| !pen_up && enters <= 0.0) {
                    Some(part) => part.points.push(at(leaves)),
                    None => parts.push(Stroke {
                        line: self.line,
                        points: vec![at(enters), at(leaves)],
                        closed: false,
                        phase_mm: walked + long * enters,
                    }),
                }
                pen_up = leaves < 1.0;
            } else {
                pen_up = true;
            }
            walked += long;
        }
        parts
    }
}

/// Words on a line.
#[derive(Clone, Debug, PartialEq)]
pub struct Words {
    /// Where the line of writing begins.
    pub at: Point,
    /// The height of the letters' body, mm.
    pub size_mm: f64,
    /// What is written.
    pub text: String,
    /// How far the line of writing is turned, radians, clockwise on the page.
    pub turn: f64,
}

impl Words {
    /// Level words that begin here.
    #[must_use]
    pub fn new(at: Point, size_mm: f64, text: impl Into<String>) -> Words {
        Words { at, size_mm, text: text.into(), turn: 0.0 }
    }

    /// Words whose line has its middle here.
    #[must_use]
    pub fn centred(at: Point, size_mm: f64, text: impl Into<String>, turn: f64) -> Words {
        let text = text.into();
        let half = letters::width(&text, size_mm) / 2.0;
        Words { at: [at[0] - half * turn.cos(), at[1] - half * turn.sin()], size_mm, text, turn }
    }

    /// The corners of the room that they take.
    #[must_use]
    pub fn corners(&self) -> [Point; 4] {
        let (wide, up, down) = (letters::width(&self.text, self.size_mm), self.size_mm * 0.8, self.size_mm * 0.25);
        let (sin, cos) = self.turn.sin_cos();
        let at = |x: f64, y: f64| [self.at[0] + x * cos - y * sin, self.at[1] + x * sin + y * cos];
        [at(0.0, -up), at(wide, -up), at(wide, down), at(0.0, down)]
    }
}

/// All that is drawn on something.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Ink {
    /// Lines.
    pub strokes: Vec<Stroke>,
    /// Filled tips of arrows.
    pub tips: Vec<Vec<Point>>,
    /// Words.
    pub words: Vec<Words>,
}

impl Ink {
    /// The box around all of it; nothing when there is nothing.
    #[must_use]
    pub fn bounds(&self) -> Option<(Point, Point)> {
        let strokes = self.strokes.iter().flat_map(|stroke| &stroke.points).copied();
        let tips = self.tips.iter().flatten().copied();
        let words = self.words.iter().flat_map(Words::corners);
        crate::geom::bounds(&strokes.chain(tips).chain(words).collect::<Vec<_>>())
    }

    /// The same somewhere else on the paper.
    #[must_use]
    pub fn moved(&self, to: Move) -> Ink {
        let all = |points: &[Point]| points.iter().map(|point| to.of(*point)).collect::<Vec<_>>();
        Ink {
            strokes: self.strokes.iter().map(|s| Stroke { points: all(&s.points), ..s.clone() }).collect(),
            tips: self.tips.iter().map(|tip| all(tip)).collect(),
            words: self
                .words
                .iter()
                .map(|w| Words { at: to.of(w.at), turn: w.turn + to.turn(), ..w.clone() })
                .collect(),
        }
    }

    /// What of it is seen in a box: lines are cut at its edge; tips and words that reach
    /// into it are whole, for the page to hide what lies beyond.
    #[must_use]
    pub fn within(&self, low: Point, high: Point) -> Ink {
        let meets = |points: &[Point]| {
            crate::geom::bounds(points)
                .is_some_and(|(least, most)| (0..2).all(|axis| least[axis] <= high[axis] && most[axis] >= low[axis]))
        };
        Ink {
            strokes: self.strokes.iter().flat_map(|stroke| stroke.within(low, high)).collect(),
            tips: self.tips.iter().filter(|tip| meets(tip)).cloned().collect(),
            words: self.words.iter().filter(|words| meets(&words.corners())).cloned().collect(),
        }
    }

    /// Takes in what another has.
    pub fn add(&mut self, other: Ink) {
        self.strokes.extend(other.strokes);
        self.tips.extend(other.tips);
        self.words.extend(other.words);
    }
}

/// A move on the paper: perhaps a quarter turn clockwise, then a shift. Never a change of size.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Move {
    /// Whether it is turned by a quarter first.
    pub quarter: bool,
    /// How far it is shifted then.
    pub by: Point,
}

impl Move {
    /// A shift alone.
    #[must_use]
    pub const fn by(by: Point) -> Move {
        Move { quarter: false, by }
    }

    /// Where it takes a point.
    #[must_use]
    pub fn of(self, [x, y]: Point) -> Point {
        let [x, y] = if self.quarter { [-y, x] } else { [x, y] };
        [x + self.by[0], y + self.by[1]]
    }

    fn turn(self) -> f64 {
        if self.quarter { std::f64::consts::FRAC_PI_2 } else { 0.0 }
    }
}

/// From which share to which a straight line lies in a box (Liang and Barsky 1984);
/// `None` when it lies outside or only touches it in a point.
pub(super) fn share_in_box(from: Point, to: Point, low: Point, high: Point) -> Option<(f64, f64)> {
    let (mut enters, mut leaves) = (0.0_f64, 1.0_f64);
    for axis in 0..2 {
        let way = to[axis] - from[axis];
        if way.abs() < f64::MIN_POSITIVE {
            if from[axis] < low[axis] || from[axis] > high[axis] {
                return None;
            }
            continue;
        }
        let (one, other) = ((low[axis] - from[axis]) / way, (high[axis] - from[axis]) / way);
        enters = enters.max(one.min(other));
        leaves = leaves.min(one.max(other));
    }
    (enters < leaves).then_some((enters, leaves))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::length_along;
    use proptest::prelude::*;

    #[test]
    fn no_two_kinds_look_alike() {
        use Line::{Cut, Dart, Edge, Flap, Fold, Grain, Mark, Selvedge, Sew, Square, Tick};
        let looks = [Cut, Sew, Fold, Dart, Grain, Mark, Square, Edge, Tick, Selvedge, Flap]
            .map(|l| (l.width_mm(), l.dash_mm()));
        for (at, look) in looks.iter().enumerate() {
            assert!(looks.iter().skip(at + 1).all(|other| other != look), "{look:?}");
        }
    }

    #[test]
    fn dashes_run_on_where_a_line_is_cut() {
        let line = Stroke::open(Line::Sew, vec![[0.0, 0.0], [100.0, 0.0]]);
        let parts = line.within([30.0, -5.0], [70.0, 5.0]);
        assert_eq!(parts.len(), 1);
        assert_eq!((parts[0].points.clone(), parts[0].phase_mm), (vec![[30.0, 0.0], [70.0, 0.0]], 30.0));
    }

    #[test]
    fn a_quarter_turn_keeps_the_hand() {
        let turned = Move { quarter: true, by: [5.0, 0.0] };
        assert_eq!([[0.0, 0.0], [1.0, 0.0], [0.0, 1.0]].map(|p| turned.of(p)), [[5.0, 0.0], [5.0, 1.0], [4.0, 0.0]]);
    }

    proptest! {
        #[test]
        fn a_line_cut_into_boxes_loses_no_length(
            points in prop::collection::vec([-300.0..300.0, -300.0..300.0], 2..12), closed: bool, at in -200.0..200.0
        ) {
            let stroke = Stroke { line: Line::Cut, points: points.clone(), closed, phase_mm: 0.0 };
            let mut ring = points;
            if closed {
                ring.extend(ring.first().copied());
            }
            let halves = [([-301.0, -301.0], [at, 301.0]), ([at, -301.0], [301.0, 301.0])];
            let parts: Vec<Stroke> = halves.iter().flat_map(|(low, high)| stroke.within(*low, *high)).collect();
            let sum: f64 = parts
                .iter()
                .map(|part| {
                    let mut points = part.points.clone();
                    if part.closed {
                        points.extend(points.first().copied());
                    }
                    length_along(&points)
                })
                .sum();
            prop_assert!((sum - length_along(&ring)).abs() < 1e-6, "{sum} {}", length_along(&ring));
        }
    }
}
