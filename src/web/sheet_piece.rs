//! A piece drawn for paper: scaled into its place, figures in true type sizes.
//!
//! The drawing's own unit is the millimetre of paper, so that a figure is as high
//! as it says, whatever the size of the piece.

use askama::Template;

use crate::draft::Grain;
use crate::geom::{Point, bounds, contains, distance};
use crate::sheet::{ChalkLine, EdgeMark, SheetPiece};
use crate::shop::SheetSize;

use super::sheet_column::{self, Taken, collide, taken};
use super::writing::true_fractions;

/// One piece as an SVG, not to scale.
#[derive(Clone, Debug, Template)]
#[template(path = "sheet_piece.html")]
pub struct PieceDrawing {
    words: String,
    width: String,
    height: String,
    cut: String,
    sew: String,
    fold: Option<(Rule, Words)>,
    grain: Rule,
    tips: String,
    notches: Vec<Rule>,
    pleats: Vec<Rule>,
    chalk: Vec<ChalkWords>,
    leaders: Vec<Rule>,
    edges: Vec<Words>,
    letter: Words,
    is_low: bool,
}

#[derive(Clone, Debug)]
struct Rule {
    x1: String,
    y1: String,
    x2: String,
    y2: String,
}

/// A chalk line with the rows of its words and its figure.
type ChalkWords = (Rule, Vec<Words>, Words);

/// A text in its place: about its middle, or from its start.
#[derive(Clone, Debug)]
pub(super) struct Words {
    pub(super) x: String,
    pub(super) y: String,
    turn: String,
    anchor: &'static str,
    pub(super) text: String,
}

impl Words {
    /// A text that begins here.
    pub(super) fn starting(at: Point, text: &str) -> Words {
        Words { anchor: "start", ..words(at, text) }
    }
}

impl askama::filters::HtmlSafe for PieceDrawing {}

/// Height of the drawings with chalk figures, mm of paper: what is left of the
/// cutter's side of a usual garment. Letter is 18 mm shorter than A4.
const fn tall(paper: SheetSize) -> f64 {
    match paper {
        SheetSize::A4 => 66.0,
        SheetSize::Letter => 57.0,
    }
}

/// Width between the margins, mm.
const fn across(paper: SheetSize) -> f64 {
    match paper {
        SheetSize::A4 => 190.0,
        SheetSize::Letter => 195.9,
    }
}

/// Below this height the figures of a skirt would stand on one another.
const LEAST: f64 = 46.0;
/// So much less high than usual, where a row is only made by drawing it otherwise.
const LOWER: f64 = 13.0;
/// And so low where that keeps all in one row: their figures may stand beside them.
const LOWEST: f64 = 40.0;
/// Between two drawings, as in the stylesheet.
const GAP: f64 = 1.0;
/// Room beside and above a piece for the figures of its edges.
const ROOM: [f64; 2] = [6.8, 4.8];
/// Room around a small piece, which has none.
const LITTLE: [f64; 2] = [1.2, 1.2];
/// 14 pt and 7.5 pt in mm.
pub(super) const FIGURE: f64 = 4.94;
pub(super) const SMALL: f64 = 2.65;
/// The letter of a piece, 20 pt in mm.
const LETTER: f64 = 7.06;
/// In less, mm, a letter, a fold's words and a grain line stand on one another.
const NARROW: f64 = 12.0;
/// A letter is about this share of its height wide, in a usual sans-serif.
const WIDE: f64 = 0.53;

impl PieceDrawing {
    /// The pieces with chalk figures, and the small ones without. All stand in one row where
    /// they can, the small ones above one another at its end; less high, less wide, or the
    /// bands among the small ones if need be. Else they run on in rows.
    #[must_use]
    pub fn of_all(pieces: &[SheetPiece], paper: SheetSize) -> (Vec<PieceDrawing>, Vec<PieceDrawing>) {
        let heights = |most: f64, least: f64| {
            (0..).map(move |step| most - f64::from(step)).take_while(move |height| *height >= least)
        };
        // What is drawn otherwise to be in one row needs no more height than that: the working wants it.
        let low = tall(paper) - LOWER;
        let ways = [
            ([92.0, 40.0], false, (tall(paper), LEAST)),
            ([44.0, 30.0], false, (low, LOWEST)),
            ([92.0, 50.0], true, (low, LOWEST)),
        ];
        let mut rows = ways.into_iter().flat_map(|([widest, narrow], stacks, (most, least))| {
            heights(most, least).map(move |height| Row::of(pieces, [widest, narrow], height, stacks))
        });
        let row = rows.find(|row| row.fits(across(paper)));
        row.unwrap_or_else(|| Row::of(pieces, [92.0, 40.0], LEAST, false)).drawn()
    }
}

/// Pieces side by side, and at the end of them a column of little ones above one another.
struct Row<'a> {
    beside: Vec<&'a SheetPiece>,
    above: Vec<&'a SheetPiece>,
    /// The bands stand in the column, too.
    stacks: bool,
    /// No drawing is wider than this, mm, and none of the column than that.
    widest: f64,
    narrow: f64,
    height: f64,
    /// A pocket is not drawn larger than the apron it sits on.
    most_scale: f64,
}

impl<'a> Row<'a> {
    fn of(pieces: &'a [SheetPiece], [widest, narrow]: [f64; 2], height: f64, stacks: bool) -> Row<'a> {
        let figured = pieces.iter().filter(|piece| !piece.chalk.is_empty());
        let frames = figured.clone().filter_map(|piece| Frame::of(piece, widest, height, f64::INFINITY));
        let most_scale = frames.map(|frame| frame.scale.by).fold(f64::INFINITY, f64::min) * 1.7;
        let is_band = |piece: &SheetPiece| {
            Frame::of(piece, widest, height, most_scale).is_some_and(|frame| frame.figures == Figures::Below)
        };
        let is_above = |piece: &&SheetPiece| piece.chalk.is_empty() || (stacks && is_band(piece));
        let (above, beside) = pieces.iter().partition(is_above);
        Row { beside, above, stacks, widest, narrow, height, most_scale }
    }

    fn fits(&self, across: f64) -> bool {
        let frames = self.beside.iter().filter_map(|piece| Frame::of(piece, self.widest, self.height, self.most_scale));
        let column = if self.above.is_empty() { 0.0 } else { self.narrow + GAP };
        let high = !self.stacks || (self.above.len() <= MOST_ABOVE && self.low() >= FIGURE);
        high && frames.map(|frame| frame.width + GAP).sum::<f64>() - GAP + column <= across
    }

    /// How high a little piece without figures may be: what the bands leave, or a third.
    fn low(&self) -> f64 {
        if !self.stacks {
            return self.height / 3.0 - 2.0;
        }
        let (bands, little): (Vec<&SheetPiece>, Vec<&SheetPiece>) =
            self.above.iter().partition(|piece| !piece.chalk.is_empty());
        let frames = bands.iter().filter_map(|piece| {
            let frame = Frame::of(piece, self.narrow, self.height, self.most_scale)?;
            Some(frame.height + ROW * piece.chalk.len() as f64 + 2.0)
        });
        (self.height - 3.0 - frames.sum::<f64>()) / (little.len().max(1) as f64) - 2.0
    }

    fn drawn(&self) -> (Vec<PieceDrawing>, Vec<PieceDrawing>) {
        let low = self.low();
        let above = self.above.iter().filter_map(|piece| match piece.chalk.is_empty() {
            true => drawing(piece, self.narrow, low.min(self.height / 3.0 - 2.0), f64::INFINITY),
            false => drawing(piece, self.narrow, self.height, self.most_scale),
        });
        let beside = self.beside.iter();
        (
            beside.filter_map(|piece| drawing(piece, self.widest, self.height, self.most_scale)).collect(),
            above.collect(),
        )
    }
}

/// More than these the stylesheet sets in rows, not above one another.
const MOST_ABOVE: usize = 3;

/// How large a piece is drawn: never wider nor higher than it may be.
struct Frame {
    scale: Scale,
    width: f64,
    height: f64,
    /// Where its figures stand.
    figures: Figures,
}

/// Where the figures of a piece's chalk lines stand.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Figures {
    /// At their lines, within the piece.
    Within,
    /// In rows below a piece too flat to be written on.
    Below,
    /// In a column beside it from here on, where at their lines they would stand on one another.
    Beside(f64),
}

impl Frame {
    fn of(piece: &SheetPiece, widest: f64, highest: f64, most_scale: f64) -> Option<Frame> {
        let room = if piece.chalk.is_empty() { LITTLE } else { ROOM };
        let (least, most) = bounds(&piece.cutting)?;
        let (wide, high) = ((most[0] - least[0]).max(1.0), (most[1] - least[1]).max(1.0));
        let within = |widest: f64, figures: Figures| {
            let by = ((widest - 2.0 * room[0]) / wide).min((highest - 2.0 * room[1]) / high).min(most_scale);
            let scale = Scale { least, by, room };
            Frame { scale, width: wide * by + 2.0 * room[0], height: high * by + 2.0 * room[1], figures }
        };
        let frame = within(widest, Figures::Within);
        if piece.chalk.is_empty() {
            // The letter of a strip that is less high than it stands behind it.
            let strip = within(widest - FIGURE, Figures::Within);
            let is_strip = strip.height - 2.0 * room[1] < FIGURE;
            let behind = Figures::Beside(strip.width);
            return Some(if is_strip {
                Frame { width: strip.width + FIGURE, figures: behind, ..strip }
            } else {
                frame
            });
        }
        if frame.height < FLAT {
            return Some(Frame { figures: Figures::Below, ..frame });
        }
        if !collide(&frame.texts(piece), [frame.width, frame.height]) {
            return Some(frame);
        }
        // The column stands beside it whatever it takes; a piece is not made smaller for it.
        let column = sheet_column::width(&piece.chalk);
        let narrow = within(widest, Figures::Within);
        Some(Frame { figures: Figures::Beside(narrow.width), width: narrow.width + column, ..narrow })
    }

    /// The places of all texts, were the figures to stand at their lines.
    fn texts(&self, piece: &SheetPiece) -> Vec<Taken> {
        let middle = [self.width / 2.0, self.height / 2.0];
        let at = |text: &Words| [text.x.parse().unwrap_or(0.0), text.y.parse().unwrap_or(0.0)];
        let mut texts = vec![taken(letter_within(self.width, self.height), &piece.letter, LETTER, false)];
        for line in &piece.chalk {
            let (_, labels, figure) = at_its_line(line, self.scale, middle, self.height);
            texts.extend(labels.iter().map(|row| taken(at(row), &row.text, SMALL, !row.turn.is_empty())));
            texts.push(taken(at(&figure), &figure.text, FIGURE, !figure.turn.is_empty()));
        }
        texts
    }
}

/// Under the figures of the upper lines; in a little piece under all of them.
fn letter_within(width: f64, height: f64) -> Point {
    [width / 2.0, height * if height < 40.0 { 0.76 } else { 0.64 }]
}

/// A chalk line with its words and figure at it.
fn at_its_line(line: &ChalkLine, scale: Scale, middle: Point, height: f64) -> ChalkWords {
    let (from, to) = (scale.at(line.from), scale.at(line.to));
    let below = f64::midpoint(from[1], to[1]) < height * 0.6;
    let (labels, figure) =
        if is_upright(from, to) { upright(from, to, line, middle) } else { chalk(from, to, line, below) };
    (rule(from, to), labels, figure)
}

fn is_upright(from: Point, to: Point) -> bool {
    (to[0] - from[0]).abs() < (to[1] - from[1]).abs()
}

/// From the piece's millimetres to those of the paper.
#[derive(Clone, Copy)]
struct Scale {
    least: Point,
    by: f64,
    room: Point,
}

impl Scale {
    fn at(self, point: Point) -> Point {
        [(point[0] - self.least[0]) * self.by + self.room[0], (point[1] - self.least[1]) * self.by + self.room[1]]
    }
}

fn drawing(piece: &SheetPiece, widest: f64, highest: f64, most_scale: f64) -> Option<PieceDrawing> {
    let low = piece.chalk.is_empty();
    let Frame { scale, width, height, figures } = Frame::of(piece, widest, highest, most_scale)?;
    let cutting: Vec<Point> = piece.cutting.iter().map(|point| scale.at(*point)).collect();
    let sewing: Vec<Point> = piece.sewing.iter().map(|point| scale.at(*point)).collect();
    let fold = piece.fold.as_ref().map(|(from, to, length)| (scale.at(*from), scale.at(*to), length));
    let folded = fold.as_ref().map(|(from, to, _)| (*from, *to));
    let own_width = if let Figures::Beside(left) = figures { left } else { width };
    let middle = [own_width / 2.0, height / 2.0];
    // A band is too flat to be written on: its figures stand in rows below it.
    let flat = figures == Figures::Below;
    let rows = if flat { f64::from(u32::try_from(piece.chalk.len()).unwrap_or(0)) } else { 0.0 };
    let (grain, tips) = grain(piece.grain, &cutting, folded, low || flat);
    let letter = match (low, flat) {
        (true, _) if own_width < width => [f64::midpoint(own_width, width), middle[1] + FIGURE * 0.36],
        (true, _) => [middle[0], middle[1] + FIGURE * 0.36],
        (false, true) => [width * 0.2, middle[1] + FIGURE * 0.5],
        // A piece too narrow for its letter beside the fold and the grain: at the foot of the column.
        (false, false) if own_width < width && own_width - 2.0 * ROOM[0] < NARROW => {
            [own_width + LETTER, height - ROOM[1]]
        }
        (false, false) => letter_within(own_width, height),
    };
    let (chalk, leaders) = chalked(piece, scale, figures, (middle, height));
    Some(PieceDrawing {
        words: format!("Piece {}, {}, not to scale", piece.letter, piece.label),
        width: number(width),
        height: number(height + rows * ROW),
        cut: open_path(&cutting, folded),
        sew: open_path(&sewing, folded),
        fold: fold.map(|(from, to, length)| (rule(from, to), fold_words(from, to, length, middle, low))),
        grain,
        tips,
        notches: piece.notches.iter().map(|(from, to)| rule(scale.at(*from), scale.at(*to))).collect(),
        pleats: piece.pleats.iter().map(|(from, to)| rule(scale.at(*from), scale.at(*to))).collect(),
        chalk,
        leaders,
        edges: piece
            .edges
            .iter()
            .filter(|_| !low)
            .map(|mark| {
                let place = beside(scale.at(mark.at), mark, scale.by, &sewing);
                words([place[0], place[1] + SMALL * 0.36], &mark.figure)
            })
            .collect(),
        letter: words(letter, &piece.letter),
        is_low: low,
    })
}

/// The chalk lines with their words and figures, and thin lines to those that stand beside the piece.
fn chalked(
    piece: &SheetPiece,
    scale: Scale,
    figures: Figures,
    (middle, height): (Point, f64),
) -> (Vec<ChalkWords>, Vec<Rule>) {
    let lines = piece.chalk.iter().map(|line| (scale.at(line.from), scale.at(line.to)));
    match figures {
        Figures::Within => {
            (piece.chalk.iter().map(|line| at_its_line(line, scale, middle, height)).collect(), Vec::new())
        }
        Figures::Below => {
            let rows = piece.chalk.iter().zip(lines).zip(0_u32..).map(|((line, (from, to)), row)| {
                let base = height + f64::from(row) * ROW + FIGURE * 0.8;
                let (labels, figure) = below([middle[0], base], line, 2.0 * middle[0]);
                (rule(from, to), labels, figure)
            });
            (rows.collect(), Vec::new())
        }
        Figures::Beside(left) => {
            let rules: Vec<Rule> = lines.clone().map(|(from, to)| rule(from, to)).collect();
            let ends: Vec<Point> = lines
                .map(|(from, to)| match () {
                    () if is_upright(from, to) => [f64::midpoint(from[0], to[0]), f64::midpoint(from[1], to[1])],
                    () if from[0] > to[0] => from,
                    () => to,
                })
                .collect();
            // Clear of the letter at its foot.
            let foot = if left - 2.0 * ROOM[0] < NARROW { height - ROOM[1] - LETTER } else { height };
            let entries = sheet_column::column(&piece.chalk, &ends, (left, foot));
            let leaders = entries.iter().map(|entry| rule(entry.leader.0, entry.leader.1)).collect();
            (rules.into_iter().zip(entries).map(|(rule, one)| (rule, one.labels, one.figure)).collect(), leaders)
        }
    }
}

/// How far a piece reaches down that is too flat to be written on, and the height of a row below it, mm.
const FLAT: f64 = 24.0;
const ROW: f64 = 5.6;
/// Between the words and the figure of a chalk line, mm.
pub(super) const SPACE: f64 = 1.4;

/// How wide a text comes out, mm.
pub(super) fn wide(text: &str, size: f64) -> f64 {
    true_fractions(text).chars().count() as f64 * size * WIDE
}

/// The words and the figure of a chalk line: in one row where the line is long
/// enough, else the words above the figure, in two rows if need be.
fn chalk(from: Point, to: Point, line: &ChalkLine, below: bool) -> (Vec<Words>, Words) {
    let (label, figure) = (&line.label, &line.figure);
    let middle = [f64::midpoint(from[0], to[0]), f64::midpoint(from[1], to[1])];
    let label_wide = wide(label, SMALL);
    let room = distance(from, to) - 2.0;
    if label_wide + SPACE + wide(figure, FIGURE) <= room {
        let base = if below { middle[1] + FIGURE * 0.95 } else { middle[1] - 1.1 };
        return in_a_row([middle[0], base], label, figure);
    }
    let rows = if label_wide <= room { vec![label.clone()] } else { halves(label) };
    let row = SMALL * 1.1;
    let last = if below { middle[1] + row * rows.len() as f64 + FIGURE * 0.85 } else { middle[1] - 1.1 };
    let first = last - FIGURE * 0.85 - row * (rows.len() as f64 - 1.0);
    let placed = rows.iter().zip(0..).map(|(text, at)| words([middle[0], first + row * f64::from(at)], text));
    (placed.collect(), words([middle[0], last], figure))
}

/// Words and figure in one row about the middle of their base.
fn in_a_row(base: Point, label: &str, figure: &str) -> (Vec<Words>, Words) {
    let (label_wide, figure_wide) = (wide(label, SMALL), wide(figure, FIGURE));
    let left = base[0] - (label_wide + SPACE + figure_wide) / 2.0;
    let label_at = [left + label_wide / 2.0, base[1]];
    let figure_at = [left + label_wide + SPACE + figure_wide / 2.0, base[1]];
    (vec![words(label_at, label)], words(figure_at, figure))
}

/// In a row of the room below a piece; words too long for it stand in two rows before the figure.
fn below(base: Point, line: &ChalkLine, room: f64) -> (Vec<Words>, Words) {
    let (label, figure) = (&line.label, &line.figure);
    let figure_wide = wide(figure, FIGURE);
    if wide(label, SMALL) + SPACE + figure_wide <= room {
        return in_a_row(base, label, figure);
    }
    let rows = halves(label);
    let label_wide = rows.iter().map(|row| wide(row, SMALL)).fold(0.0, f64::max);
    let left = base[0] - (label_wide + SPACE + figure_wide) / 2.0;
    let first = base[1] - SMALL * 1.1 * (rows.len() as f64 - 1.0) + 0.3;
    let at = |n: u32| [left + label_wide / 2.0, first + SMALL * 1.1 * f64::from(n)];
    let labels = rows.iter().zip(0..).map(|(row, n)| words(at(n), row)).collect();
    (labels, words([left + label_wide + SPACE + figure_wide / 2.0, base[1]], figure))
}

/// Along an upright chalk line: the words run up it, on the side of the piece.
fn upright(from: Point, to: Point, line: &ChalkLine, middle: Point) -> (Vec<Words>, Words) {
    let at = [f64::midpoint(from[0], to[0]), f64::midpoint(from[1], to[1])];
    let (label, figure) = (&line.label, &line.figure);
    let base = if middle[0] > at[0] { at[0] + FIGURE * 0.9 } else { at[0] - 1.1 };
    let turned = |place: Point, text: &str| Words {
        turn: format!("rotate(-90 {} {})", number(place[0]), number(place[1])),
        ..words(place, text)
    };
    let room = distance(from, to) - 1.0;
    let (label_wide, figure_wide) = (wide(label, SMALL), wide(figure, FIGURE));
    if label_wide + SPACE + figure_wide <= room {
        let foot = at[1] + (label_wide + SPACE + figure_wide) / 2.0;
        let label_at = [base, foot - label_wide / 2.0];
        let figure_at = [base, foot - label_wide - SPACE - figure_wide / 2.0];
        return (vec![turned(label_at, label)], turned(figure_at, figure));
    }
    // Too short for both: the figure stands upright beside it, the words above.
    let rows = halves(label);
    let widest = rows.iter().map(|row| wide(row, SMALL)).fold(figure_wide, f64::max);
    let side = if middle[0] > at[0] { at[0] + widest / 2.0 + 1.2 } else { at[0] - widest / 2.0 - 1.2 };
    let row = SMALL * 1.1;
    let first = at[1] - row * (rows.len() as f64 - 1.0);
    let placed = rows.iter().zip(0..).map(|(text, place)| words([side, first + row * f64::from(place)], text));
    (placed.collect(), words([side, at[1] + FIGURE * 0.85], figure))
}

/// The words broken at the space that is nearest to the middle.
fn halves(label: &str) -> Vec<String> {
    let middle = label.len() / 2;
    let near = label.match_indices(' ').map(|(at, _)| at).min_by_key(|at| at.abs_diff(middle));
    match near.and_then(|at| label.split_at_checked(at)) {
        Some((first, rest)) => vec![first.into(), rest.trim_start().into()],
        None => vec![label.into()],
    }
}

/// The fold's words run along it, inside the piece.
fn fold_words(from: Point, to: Point, length: &str, middle: Point, low: bool) -> Words {
    let text = if low { "fold".into() } else { format!("fold {}", true_fractions(length)) };
    // Clear of the hip line, wherever the outline begins.
    let (top, foot) = (from[1].min(to[1]), from[1].max(to[1]));
    let at = [f64::midpoint(from[0], to[0]), top + (foot - top) * if low { 0.5 } else { 0.64 }];
    let upright = (to[0] - from[0]).abs() < (to[1] - from[1]).abs();
    if !upright {
        return Words { turn: String::new(), ..words([at[0], at[1] - 1.0], &text) };
    }
    let inside = if middle[0] > at[0] { SMALL + 0.6 } else { -1.0 };
    let place = [at[0] + inside, at[1]];
    Words { turn: format!("rotate(-90 {} {})", number(place[0]), number(place[1])), ..words(place, &text) }
}

/// The place for an edge's figure: outside the cutting line.
fn beside(at: Point, mark: &EdgeMark, by: f64, sewing: &[Point]) -> Point {
    let [along, down] = mark.along;
    let off = |by: f64| [at[0] - down * by, at[1] + along * by];
    // Beside an upright edge half the figure's width must pass, too.
    let half = true_fractions(&mark.figure).chars().count() as f64 * SMALL * WIDE / 2.0;
    let reach = mark.allowance_mm * by + 1.7 + down.abs() * half;
    if contains(sewing, off(0.3)) { off(-reach) } else { off(reach) }
}

/// A grain arrow clear of the letter, and its two tips.
fn grain(grain: Grain, cutting: &[Point], fold: Option<(Point, Point)>, low: bool) -> (Rule, String) {
    let (least, most) = bounds(cutting).unwrap_or(([0.0; 2], [1.0; 2]));
    let (wide, high) = (most[0] - least[0], most[1] - least[1]);
    let fold_at_left = fold.is_none_or(|(from, _)| from[0] < least[0] + wide / 2.0);
    let share = if fold_at_left { 0.74 } else { 0.26 };
    let centre = [least[0] + wide * share, least[1] + high * if low { 0.5 } else { 0.63 }];
    let reach = if low { (high * 0.28).min(5.0) } else { 6.0 };
    let (dx, dy) = match grain {
        Grain::Along => (0.0, 1.0),
        Grain::Across => (1.0, 0.0),
        Grain::Bias => (std::f64::consts::FRAC_1_SQRT_2, std::f64::consts::FRAC_1_SQRT_2),
    };
    let (from, to) =
        ([centre[0] - dx * reach, centre[1] - dy * reach], [centre[0] + dx * reach, centre[1] + dy * reach]);
    let tip = |end: Point, way: f64| {
        let back = [end[0] - dx * way * 1.8, end[1] - dy * way * 1.8];
        format!(
            "M{} {}L{} {}L{} {}",
            number(back[0] - dy * 0.9),
            number(back[1] + dx * 0.9),
            number(end[0]),
            number(end[1]),
            number(back[0] + dy * 0.9),
            number(back[1] - dx * 0.9)
        )
    };
    (rule(from, to), format!("{}{}", tip(from, -1.0), tip(to, 1.0)))
}

/// The closed outline as path data, left open where it lies on the fold.
fn open_path(outline: &[Point], fold: Option<(Point, Point)>) -> String {
    let mut path = String::new();
    let mut pen_up = true;
    for (from, to) in outline.iter().zip(outline.iter().cycle().skip(1)) {
        if fold.is_some_and(|fold| on_line(*from, fold) && on_line(*to, fold)) {
            pen_up = true;
            continue;
        }
        if pen_up {
            path.push_str(&format!("M{} {}", number(from[0]), number(from[1])));
        }
        path.push_str(&format!("L{} {}", number(to[0]), number(to[1])));
        pen_up = false;
    }
    path
}

/// Whether a point lies on the line through these two, within a pen's width.
fn on_line(point: Point, (from, to): (Point, Point)) -> bool {
    const PEN: f64 = 0.05;
    let along = [to[0] - from[0], to[1] - from[1]];
    let length = along[0].hypot(along[1]);
    length > 0.0 && ((point[0] - from[0]) * along[1] - (point[1] - from[1]) * along[0]).abs() / length <= PEN
}

fn rule(from: Point, to: Point) -> Rule {
    Rule { x1: number(from[0]), y1: number(from[1]), x2: number(to[0]), y2: number(to[1]) }
}

fn words(at: Point, text: &str) -> Words {
    Words { x: number(at[0]), y: number(at[1]), turn: String::new(), anchor: "middle", text: true_fractions(text) }
}

/// To the hundredth of a millimetre, finer than any printer.
pub(super) fn number(mm: f64) -> String {
    let text = format!("{mm:.2}");
    text.trim_end_matches('0').trim_end_matches('.').into()
}
