//! Pieces as drawings: lines differ by weight and dash (cut, sew, fold, grain),
//! pieces by their letter; sizes are attributes of the SVG, looks are classes.

use std::fmt::Write;

use askama::Template;

use crate::draft::{CutLine, Dart, Draft, Grain, Notch, Piece, Pleat};
use crate::geom::Point;
use crate::measure::Showing;

use super::writing;

/// One piece as an SVG, not to scale with others.
#[derive(Clone, Debug, Template)]
#[template(path = "drawing.html")]
pub struct Drawing {
    words: String,
    view: String,
    cut: String,
    sew: String,
    darts: String,
    pleats: String,
    notches: String,
    fold: Option<Line>,
    grain: Option<Line>,
    grain_tips: String,
    chalk: Vec<Chalk>,
    letter: Option<Text>,
}

#[derive(Clone, Debug)]
struct Line {
    x1: String,
    y1: String,
    x2: String,
    y2: String,
}

#[derive(Clone, Debug)]
struct Text {
    x: String,
    y: String,
    size: String,
    anchor: &'static str,
    words: String,
}

#[derive(Clone, Debug)]
struct Chalk {
    line: Line,
    figure: Text,
    name: Text,
    /// The corners of its words, for the view.
    reach: [Point; 2],
}

/// Where the words of a chalk line stand.
#[derive(Clone, Copy, Debug)]
enum WordsAt {
    /// Over the line.
    Above,
    /// Below the line.
    Below,
    /// Outside, over the whole piece.
    Over,
    /// Outside, under the whole piece, in this row of words.
    Under(f64),
}

impl askama::filters::HtmlSafe for Drawing {}

/// A frame of this share of the larger side stands around each drawing.
pub(super) const MARGIN: f64 = 0.06;
/// The letter is this share of the piece high.
const LETTER: f64 = 0.11;
/// A drawing is shown at least as large as this, in px (see `.pieces` and `.drawing` of the stylesheet).
const SHOWN: Point = [250.0, 350.0];
/// Heights of figures, names and the least letter there, px: legible beside text of 16 px.
const FIGURE: f64 = 16.0;
const NAME: f64 = 11.5;
const LEAST_LETTER: f64 = 22.0;
/// A piece lower than this, px, has no room for words within it: a band, a facing.
const LOW: f64 = 100.0;

impl Drawing {
    /// The piece with its chalk lines and their figures.
    #[must_use]
    pub fn of(piece: &Piece, showing: Showing) -> Drawing {
        let chalked = piece.chalk.iter().flat_map(|chalk| [chalk.from, chalk.to]);
        let bounds = Bounds::of(piece.cutting.iter().chain(&piece.sewing).copied().chain(chalked));
        let px = bounds.pixel();
        let is_low = bounds.height() < LOW * px;
        let chalk: Vec<Chalk> = piece
            .chalk
            .iter()
            .zip(0_u32..)
            .map(|(chalk, row)| {
                let at_top = f64::midpoint(chalk.from[1], chalk.to[1]) < bounds.least[1] + bounds.larger_side() * 0.12;
                let place = match (is_low, at_top) {
                    (true, _) => WordsAt::Under(f64::from(row)),
                    // Below it the darts begin.
                    (false, true) if !piece.darts.is_empty() => WordsAt::Over,
                    (false, true) => WordsAt::Below,
                    // Above it the darts end.
                    (false, false) if !piece.darts.is_empty() => WordsAt::Below,
                    (false, false) => WordsAt::Above,
                };
                Chalk::of(chalk, place, bounds, showing)
            })
            .collect();
        let centre =
            if is_low { bounds.at(0.72, 0.5) } else { inside(&piece.sewing).unwrap_or_else(|| bounds.centre()) };
        let small = (bounds.smaller_side() * 2.6).min(bounds.larger_side());
        let letter = if is_low { bounds.height() * 0.6 } else { small * LETTER };
        let letter = letter.max(LEAST_LETTER * px).min(bounds.height());
        // Along a band there is room for a grain line that can be seen.
        let along = if is_low && piece.grain == Grain::Across { bounds.larger_side() * 0.7 } else { small };
        let (grain, grain_tips) = grain(piece.grain, centre, along);
        let left = if is_low { bounds.at(0.1, 0.5)[0] } else { centre[0] - (small * 0.12).max(letter) };
        let view = chalk.iter().flat_map(|chalk| chalk.reach).fold(bounds, Bounds::with);
        Drawing {
            words: format!("Piece {}, {}, drawn without scale", piece.letter, piece.label),
            view: view.view(bounds.larger_side() * MARGIN),
            cut: open_path(&piece.cutting, piece.fold),
            sew: open_path(&piece.sewing, piece.fold),
            darts: piece.darts.iter().map(|dart| legs(dart, |point| point)).collect(),
            pleats: piece.pleats.iter().flat_map(Pleat::strokes).map(|(from, to)| stroke(from, to)).collect(),
            notches: piece.notches.iter().flat_map(Notch::ticks).map(|(from, to)| stroke(from, to)).collect(),
            fold: piece.fold.map(|(from, to)| Line::of(from, to)),
            grain: Some(grain),
            grain_tips,
            chalk,
            letter: Some(Text::of([left, centre[1] + letter * 0.35], letter, piece.letter.clone())),
        }
    }

    /// The whole garment's pieces side by side, as the style book shows them.
    #[must_use]
    pub fn of_all(draft: &Draft) -> Drawing {
        let mut drawing = Drawing {
            words: format!("The pieces of {}", draft.label),
            view: "0 0 100 75".into(),
            cut: String::new(),
            sew: String::new(),
            darts: String::new(),
            pleats: String::new(),
            notches: String::new(),
            fold: None,
            grain: None,
            grain_tips: String::new(),
            chalk: Vec::new(),
            letter: None,
        };
        let pieces: Vec<(Vec<Point>, &Piece)> = draft
            .pieces
            .iter()
            .map(|piece| (opened(&piece.cutting, piece.fold), piece))
            .filter(|(cutting, _)| Bounds::of(cutting.iter().copied()).is_some())
            .collect();
        let mut whole = Bounds::NONE;
        let mut shelf = Shelf::for_pieces(pieces.iter().map(|(cutting, _)| Bounds::of(cutting.iter().copied())));
        for (cutting, piece) in &pieces {
            let bounds = Bounds::of(cutting.iter().copied());
            let at = shelf.place(bounds);
            let moved = |p: Point| [p[0] - bounds.least[0] + at[0], p[1] - bounds.least[1] + at[1]];
            let all = |points: &[Point]| -> Vec<Point> { points.iter().map(|point| moved(*point)).collect() };
            let cutting = all(cutting);
            whole = cutting.iter().fold(whole, |whole, point| whole.with(*point));
            drawing.cut.push_str(&open_path(&cutting, None));
            drawing.sew.push_str(&open_path(&all(&opened(&piece.sewing, piece.fold)), None));
            for (from, to) in piece.pleats.iter().flat_map(Pleat::strokes) {
                drawing.pleats.push_str(&stroke(moved(from), moved(to)));
                if let Some(fold) = piece.fold {
                    drawing.pleats.push_str(&stroke(moved(mirrored(from, fold)), moved(mirrored(to, fold))));
                }
            }
            for dart in &piece.darts {
                drawing.darts.push_str(&legs(dart, moved));
                // The other half has its own.
                if let Some(fold) = piece.fold {
                    drawing.darts.push_str(&legs(dart, |point| moved(mirrored(point, fold))));
                }
            }
        }
        if whole.is_some() {
            drawing.view = whole.view(whole.larger_side() * MARGIN);
        }
        drawing
    }
}

impl Line {
    fn of(from: Point, to: Point) -> Line {
        Line { x1: figure(from[0]), y1: figure(from[1]), x2: figure(to[0]), y2: figure(to[1]) }
    }
}

impl Text {
    fn of(at: Point, size: f64, words: String) -> Text {
        Text { x: figure(at[0]), y: figure(at[1]), size: figure(size), anchor: "middle", words }
    }

    fn starting_here(self) -> Text {
        Text { anchor: "start", ..self }
    }
}

impl Chalk {
    /// The line with its figure and its name.
    fn of(chalk: &CutLine, place: WordsAt, bounds: Bounds, showing: Showing) -> Chalk {
        let px = bounds.pixel();
        let middle = between(chalk.from, chalk.to, 0.5);
        let words = writing::millimetres(showing, chalk.mm);
        let is_upright = (chalk.to[1] - chalk.from[1]).abs() > (chalk.to[0] - chalk.from[0]).abs();
        let (figure, name) = match place {
            WordsAt::Below if !is_upright => (middle[1] + FIGURE * px, middle[1] + (FIGURE + NAME * 1.1) * px),
            WordsAt::Above | WordsAt::Below => (middle[1] - 4.0 * px, middle[1] - (FIGURE + 4.0) * px),
            WordsAt::Over => (bounds.least[1] - 6.0 * px, bounds.least[1] - (FIGURE + 6.0) * px),
            WordsAt::Under(row) => {
                let top = bounds.most[1] + row * (FIGURE + NAME + 8.0) * px;
                (top + (FIGURE + 4.0) * px, top + (FIGURE + NAME + 6.0) * px)
            }
        };
        // Beside an upright line the words begin; over a level one they stand in its middle.
        let x = if is_upright { middle[0] + 4.0 * px } else { middle[0] };
        // A letter is about half as wide as high.
        let far = f64::from(u32::try_from(chalk.label.chars().count()).unwrap_or(0)) * NAME * 0.5 * px;
        let (left, right) = if is_upright { (x, x + far) } else { (x - far / 2.0, x + far / 2.0) };
        let reach = [[left, figure.min(name) - NAME * px], [right, figure.max(name)]];
        let figure = Text::of([x, figure], FIGURE * px, words);
        let name = Text::of([x, name], NAME * px, chalk.label.clone());
        let line = Line::of(chalk.from, chalk.to);
        if is_upright {
            Chalk { line, figure: figure.starting_here(), name: name.starting_here(), reach }
        } else {
            Chalk { line, figure, name, reach }
        }
    }
}

/// The least and most of some points.
#[derive(Clone, Copy, Debug)]
pub(super) struct Bounds {
    least: Point,
    most: Point,
}

impl Bounds {
    const NONE: Bounds = Bounds { least: [f64::INFINITY; 2], most: [f64::NEG_INFINITY; 2] };

    pub(super) fn of(points: impl Iterator<Item = Point>) -> Bounds {
        points.filter(|point| point.iter().all(|value| value.is_finite())).fold(Bounds::NONE, Bounds::with)
    }

    fn with(self, point: Point) -> Bounds {
        Bounds {
            least: [self.least[0].min(point[0]), self.least[1].min(point[1])],
            most: [self.most[0].max(point[0]), self.most[1].max(point[1])],
        }
    }

    fn is_some(self) -> bool {
        self.least[0] <= self.most[0]
    }

    pub(super) fn larger_side(self) -> f64 {
        if self.is_some() { (self.most[0] - self.least[0]).max(self.most[1] - self.least[1]).max(1.0) } else { 1.0 }
    }

    fn smaller_side(self) -> f64 {
        if self.is_some() { (self.most[0] - self.least[0]).min(self.most[1] - self.least[1]).max(1.0) } else { 1.0 }
    }

    fn height(self) -> f64 {
        if self.is_some() { (self.most[1] - self.least[1]).max(1.0) } else { 1.0 }
    }

    /// How many mm a px is when the drawing is shown at its least.
    fn pixel(self) -> f64 {
        let width = if self.is_some() { self.most[0] - self.least[0] } else { 1.0 };
        (width / SHOWN[0]).max(self.height() / SHOWN[1])
    }

    /// The point at these shares of its width and height.
    fn at(self, across: f64, down: f64) -> Point {
        if !self.is_some() {
            return [0.0, 0.0];
        }
        let along = |least: f64, most: f64, share: f64| least + (most - least) * share;
        [along(self.least[0], self.most[0], across), along(self.least[1], self.most[1], down)]
    }

    fn centre(self) -> Point {
        if self.is_some() { between(self.least, self.most, 0.5) } else { [0.0, 0.0] }
    }

    pub(super) fn view(self, margin: f64) -> String {
        if !self.is_some() {
            return "0 0 1 1".into();
        }
        let side =
            |axis: usize| self.most.get(axis).copied().unwrap_or(0.0) - self.least.get(axis).copied().unwrap_or(0.0);
        format!(
            "{} {} {} {}",
            figure(self.least[0] - margin),
            figure(self.least[1] - margin),
            figure(side(0) + 2.0 * margin),
            figure(side(1) + 2.0 * margin)
        )
    }
}

/// Rows of pieces from left to right, a new row when one is full.
struct Shelf {
    width: f64,
    pen: Point,
    row: f64,
}

impl Shelf {
    /// Between pieces, mm.
    const GAP: f64 = 50.0;

    /// A shelf about one and a half times as wide as high.
    fn for_pieces(pieces: impl Iterator<Item = Bounds>) -> Shelf {
        let (mut area, mut widest) = (0.0, 0.0_f64);
        for piece in pieces {
            let (width, height) =
                (piece.most[0] - piece.least[0] + Shelf::GAP, piece.most[1] - piece.least[1] + Shelf::GAP);
            area += width * height;
            widest = widest.max(width);
        }
        Shelf { width: widest.max((area * 1.5_f64).sqrt() * 1.1), pen: [0.0, 0.0], row: 0.0 }
    }

    fn place(&mut self, piece: Bounds) -> Point {
        let (width, height) = (piece.most[0] - piece.least[0], piece.most[1] - piece.least[1]);
        if self.pen[0] > 0.0 && self.pen[0] + width > self.width {
            self.pen = [0.0, self.pen[1] + self.row + Shelf::GAP];
            self.row = 0.0;
        }
        let at = self.pen;
        self.pen[0] += width + Shelf::GAP;
        self.row = self.row.max(height);
        at
    }
}

/// An outline that is drawn as its half, opened out over the fold.
fn opened(half: &[Point], fold: Option<(Point, Point)>) -> Vec<Point> {
    let Some(fold) = fold else { return half.to_vec() };
    // The walk must begin where it leaves the fold, so that the two halves join there.
    let count = half.len();
    let leaves = (0..count).find(|index| {
        let at = |index: usize| half.get(index % count.max(1)).copied().unwrap_or_default();
        on_line(at(*index), fold) && !on_line(at(index + 1), fold)
    });
    let Some(leaves) = leaves else { return half.to_vec() };
    let mut walk: Vec<Point> = Vec::with_capacity(count);
    for point in half.iter().cycle().skip(leaves).take(count) {
        walk.push(*point);
        // Back on the fold: what follows lies along it.
        if walk.len() > 1 && on_line(*point, fold) {
            break;
        }
    }
    let back: Vec<Point> =
        walk.iter().rev().filter(|point| !on_line(**point, fold)).map(|point| mirrored(*point, fold)).collect();
    walk.extend(back);
    walk
}

/// The point on the other side of the line through these two.
fn mirrored(point: Point, (from, to): (Point, Point)) -> Point {
    let along = [to[0] - from[0], to[1] - from[1]];
    let square = along[0] * along[0] + along[1] * along[1];
    if square <= 0.0 {
        return point;
    }
    let share = ((point[0] - from[0]) * along[0] + (point[1] - from[1]) * along[1]) / square;
    let foot = [from[0] + along[0] * share, from[1] + along[1] * share];
    [2.0 * foot[0] - point[0], 2.0 * foot[1] - point[1]]
}

/// The legs of a dart, from foot to apex to foot; its mouth is part of the outline.
pub(super) fn legs(dart: &Dart, moved: impl Fn(Point) -> Point) -> String {
    let mut path = String::new();
    let round = [Some(dart.feet.0), Some(dart.apex), Some(dart.feet.1), dart.top, dart.top.map(|_| dart.feet.0)];
    for (point, pen) in round.into_iter().flatten().map(moved).zip(['M', 'L', 'L', 'L', 'L']) {
        let _ = write!(path, "{pen}{} {}", figure(point[0]), figure(point[1]));
    }
    path
}

/// A straight stroke as path data.
fn stroke(from: Point, to: Point) -> String {
    format!("M{} {}L{} {}", figure(from[0]), figure(from[1]), figure(to[0]), figure(to[1]))
}

/// The closed outline as path data, left open where it lies on the fold.
pub(super) fn open_path(outline: &[Point], fold: Option<(Point, Point)>) -> String {
    let mut path = String::new();
    let mut pen: Option<Point> = None;
    for (from, to) in outline.iter().zip(outline.iter().cycle().skip(1)) {
        if fold.is_some_and(|fold| on_line(*from, fold) && on_line(*to, fold)) {
            pen = None;
            continue;
        }
        if pen.is_none() {
            let _ = write!(path, "M{} {}", figure(from[0]), figure(from[1]));
        }
        let _ = write!(path, "L{} {}", figure(to[0]), figure(to[1]));
        pen = Some(*to);
    }
    path
}

/// Whether the point lies on the line through these two, within half a millimetre.
fn on_line(point: Point, (from, to): (Point, Point)) -> bool {
    const NEAR_MM: f64 = 0.5;
    let along = [to[0] - from[0], to[1] - from[1]];
    let length = along[0].hypot(along[1]);
    length > 0.0 && ((point[0] - from[0]) * along[1] - (point[1] - from[1]) * along[0]).abs() / length <= NEAR_MM
}

/// A point well inside a closed outline: the middle of its widest stretch below the middle.
fn inside(outline: &[Point]) -> Option<Point> {
    let bounds = Bounds::of(outline.iter().copied());
    // Below the middle, where chalk lines are rare; an odd share, so that no corner is met exactly.
    let y = bounds.least[1] + (bounds.most[1] - bounds.least[1]) * 0.637;
    let mut crossings: Vec<f64> = outline
        .iter()
        .zip(outline.iter().cycle().skip(1))
        .filter(|(from, to)| (from[1] > y) != (to[1] > y))
        .map(|(from, to)| from[0] + (to[0] - from[0]) * (y - from[1]) / (to[1] - from[1]))
        .collect();
    crossings.sort_by(f64::total_cmp);
    let widest = crossings.chunks_exact(2).max_by(|a, b| width(a).total_cmp(&width(b)))?;
    Some([(widest.first()? + widest.last()?) / 2.0, y])
}

fn width(stretch: &[f64]) -> f64 {
    stretch.last().copied().unwrap_or(0.0) - stretch.first().copied().unwrap_or(0.0)
}

/// The grain line with its two tips.
fn grain(grain: Grain, centre: Point, size: f64) -> (Line, String) {
    let (dx, dy) = match grain {
        Grain::Along => (0.0, 1.0),
        Grain::Across => (1.0, 0.0),
        Grain::Bias => (std::f64::consts::FRAC_1_SQRT_2, -std::f64::consts::FRAC_1_SQRT_2),
    };
    let half = size * 0.13;
    let (from, to) = ([centre[0] - dx * half, centre[1] - dy * half], [centre[0] + dx * half, centre[1] + dy * half]);
    let barb = size * 0.02;
    let mut tips = String::new();
    for (tip, away) in [(from, 1.0), (to, -1.0)] {
        let base = [tip[0] + dx * barb * 1.6 * away, tip[1] + dy * barb * 1.6 * away];
        let _ = write!(
            tips,
            "M{} {}L{} {}L{} {}",
            figure(base[0] - dy * barb),
            figure(base[1] + dx * barb),
            figure(tip[0]),
            figure(tip[1]),
            figure(base[0] + dy * barb),
            figure(base[1] - dx * barb)
        );
    }
    (Line::of(from, to), tips)
}

fn between(from: Point, to: Point, share: f64) -> Point {
    [from[0] + (to[0] - from[0]) * share, from[1] + (to[1] - from[1]) * share]
}

/// A coordinate to a tenth of a millimetre.
fn figure(value: f64) -> String {
    format!("{value:.1}").trim_end_matches(".0").into()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::draft::Cloth;

    fn square() -> Piece {
        Piece {
            key: "back".into(),
            label: "Back <b>".into(),
            letter: "A".into(),
            count: 1,
            on_fold: true,
            pairs: false,
            grain: Grain::Along,
            off_grain_deg: 0,
            cloth: Cloth::Main,
            edges: Vec::new(),
            sewing: vec![[0.0, 0.0], [100.0, 0.0], [100.0, 200.0], [0.0, 200.0]],
            cutting: vec![[0.0, -10.0], [110.0, -10.0], [110.0, 210.0], [0.0, 210.0]],
            fold: Some(([0.0, -10.0], [0.0, 210.0])),
            darts: Vec::new(),
            pleats: Vec::new(),
            notches: Vec::new(),
            chalk: vec![CutLine { label: "hip line".into(), from: [0.0, 50.0], to: [100.0, 50.0], mm: 247.65 }],
        }
    }

    #[test]
    fn the_fold_is_not_drawn_as_a_cut() {
        let drawing = Drawing::of(&square(), Showing::EIGHTHS);
        assert_eq!(drawing.cut, "M0 -10L110 -10L110 210L0 210");
        assert_eq!(drawing.sew, "M0 0L100 0L100 200L0 200");
        let html = drawing.to_string();
        assert!(html.contains("hip line") && html.contains("9¾ in") && html.contains("class=\"fold\""), "{html}");
        assert!(!html.contains("<b>") && !html.contains("style="));
    }

    #[test]
    fn a_half_is_opened_out_over_its_fold() {
        let square = square();
        let whole = opened(&square.cutting, square.fold);
        let bounds = Bounds::of(whole.iter().copied());
        assert_eq!((bounds.least, bounds.most), ([-110.0, -10.0], [110.0, 210.0]));
        assert_eq!(whole.len(), 6);
        assert_eq!(opened(&square.cutting, None), square.cutting);
    }

    #[test]
    fn points_along_the_fold_are_not_part_of_the_whole() {
        let square = square();
        let mut half = square.cutting.clone();
        half.push([0.0, 100.0]);
        assert_eq!(opened(&half, square.fold), opened(&square.cutting, square.fold));
    }

    #[test]
    fn a_dart_has_its_legs_on_both_halves() {
        let dart = Dart {
            label: "Back dart".into(),
            edge: "waist".into(),
            feet: ([40.0, 0.0], [60.0, 0.0]),
            peak: [50.0, -3.0],
            apex: [50.0, 90.0],
            top: None,
            intake_mm: 20.0,
        };
        let darted = Piece { darts: vec![dart], ..square() };
        let html = Drawing::of(&darted, Showing::EIGHTHS).to_string();
        assert!(html.contains("<path class=\"dart\" d=\"M40 0L50 90L60 0\"/>"), "{html}");
        assert!(!Drawing::of(&square(), Showing::EIGHTHS).to_string().contains("dart"));
        let draft = Draft {
            label: "Skirt".into(),
            dimensions: Vec::new(),
            measured: Vec::new(),
            truths: Vec::new(),
            pieces: vec![darted],
            strips: Vec::new(),
            seams: Vec::new(),
            notes: Vec::new(),
            notions: Vec::new(),
            steps: Vec::new(),
            assumed: Vec::new(),
        };
        // Opened out, the piece lies from 0 to 220 with its fold at 110, 10 below the top.
        assert_eq!(Drawing::of_all(&draft).darts, "M150 10L160 100L170 10M70 10L60 100L50 10");
    }

    #[test]
    fn words_stand_outside_where_there_is_no_room_within() {
        let darts = || Dart {
            label: "Dart".into(),
            edge: "waist".into(),
            feet: ([40.0, 0.0], [60.0, 0.0]),
            peak: [50.0, 0.0],
            apex: [50.0, 90.0],
            top: None,
            intake_mm: 20.0,
        };
        let line = |y: f64| CutLine { label: "Waist".into(), from: [0.0, y], to: [100.0, y], mm: 100.0 };
        let y = |piece: &Piece| Drawing::of(piece, Showing::EIGHTHS).chalk[0].figure.y.parse::<f64>().unwrap();
        let darted = Piece { darts: vec![darts()], chalk: vec![line(0.0)], ..square() };
        assert!(y(&darted) < -10.0, "{}", y(&darted));
        assert!(y(&Piece { darts: Vec::new(), ..darted.clone() }) > 0.0);
        let outline = vec![[0.0, 0.0], [900.0, 0.0], [900.0, 80.0], [0.0, 80.0]]; // A band: the words under it.
        let chalk = vec![line(40.0)];
        let band = Piece { sewing: outline.clone(), cutting: outline, fold: None, chalk, ..square() };
        let view = Drawing::of(&band, Showing::EIGHTHS).view;
        let view: Vec<f64> = view.split(' ').map(|part| part.parse().unwrap()).collect();
        assert!(y(&band) > 80.0 && view[1] + view[3] > y(&band), "{view:?}");
    }

    #[test]
    fn a_piece_without_points_is_an_empty_drawing() {
        let nothing =
            Piece { sewing: Vec::new(), cutting: vec![[f64::NAN, 0.0]], fold: None, chalk: Vec::new(), ..square() };
        assert!(Drawing::of(&nothing, Showing::EIGHTHS).to_string().contains("viewBox=\"0 0 1 1\""));
    }
}
