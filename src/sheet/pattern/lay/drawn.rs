//! A lay put down at a scale: the cloth with its selvedges, fold and flap, each piece with
//! its name and the lengthwise grain, a ruler along the selvedge.

use std::f64::consts::FRAC_PI_2;

use crate::geom::{Point, bounds};
use crate::lay::{DrawnPiece, Picture};
use crate::measure::Unit;

use super::super::ink::{Ink, Line, Stroke, Words};
use super::super::letters;
use super::super::room::Room;
use super::ruler::marks;

/// How a lay is put down.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Scale {
    /// Millimetres of paper for each of cloth.
    pub(super) by: f64,
    /// Whether the cloth runs from left to right; else it runs down the paper.
    pub(super) level: bool,
    /// What the ruler counts.
    pub(super) unit: Unit,
}

/// A lay on paper, from its corner.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Drawn {
    pub(super) ink: Ink,
    pub(super) size: Point,
    /// The pieces, by their place in the picture, on which the grain stands.
    pub(super) with_grain: Vec<usize>,
}

/// The letters on a lay: from the largest to the smallest that can be read, mm.
struct Sizes {
    name: &'static [f64],
    note: f64,
    figure: f64,
}

/// True scale is read from above the table, a sheet in the hand. Judgement.
const LARGE: Sizes = Sizes { name: &[14.0, 10.0, 7.0, 5.0, 3.6], note: 0.7, figure: 4.5 };
const SMALL: Sizes = Sizes { name: &[4.6, 3.8, 3.2, 2.6], note: 0.8, figure: 3.0 };

/// Room for the ruler outside the selvedge, as a share of its figures' size.
const RULER: f64 = 2.9;

impl Scale {
    const fn sizes(self) -> &'static Sizes {
        if self.by >= 0.5 { &LARGE } else { &SMALL }
    }

    /// Room that the ruler takes beside the cloth, mm of paper.
    pub(super) fn ruler_mm(self) -> f64 {
        self.sizes().figure * if self.level { RULER * 0.75 } else { RULER * 1.6 }
    }
}

/// From where to where the cloth is seen across, selvedges and all, mm of cloth: a lay that is
/// folded to its end is seen only as far as its fold.
pub(super) fn seen(picture: &Picture) -> (f64, f64) {
    let all: Vec<Point> = picture.cloth.iter().chain(picture.selvedges.iter().flatten()).copied().collect();
    bounds(&all).map_or((0.0, picture.width_mm), |(least, most)| (least[0], most[0]))
}

/// Where points of the cloth come to lie on the paper.
#[derive(Clone, Copy)]
struct Place {
    scale: Scale,
    least: f64,
    furthest: f64,
    /// From where to where of a level lay this sheet shows, mm of paper.
    window: (f64, f64),
}

impl Place {
    /// What is seen of an outline in the window; nothing where it lies beyond.
    fn seen(self, outline: &[Point]) -> Vec<Point> {
        let (from, to) = self.window;
        let inside = cut_at(outline, |x| x - from);
        cut_at(&inside, |x| to - x)
    }

    /// Whether words stand whole in the window.
    fn holds(self, words: &Words) -> bool {
        /// What only touches the edge is whole.
        const HAIR_MM: f64 = 0.05;
        let (from, to) = self.window;
        !self.scale.level || words.corners().iter().all(|[x, _]| *x >= from - HAIR_MM && *x <= to + HAIR_MM)
    }

    fn of(self, [x, y]: Point) -> Point {
        let by = self.scale.by;
        if self.scale.level {
            // Turned by a right angle, never mirrored: the first selvedge lies at the foot.
            [y * by, (self.furthest - x) * by]
        } else {
            [(x - self.least) * by + self.scale.ruler_mm(), y * by]
        }
    }

    fn all(self, points: &[Point]) -> Vec<Point> {
        points.iter().map(|point| self.of(*point)).collect()
    }

    /// Which way the cloth runs on the paper.
    fn along(self) -> f64 {
        if self.scale.level { 0.0 } else { FRAC_PI_2 }
    }
}

/// The part of a closed outline for which `side` of x is not below nought (Sutherland and Hodgman 1974).
fn cut_at(outline: &[Point], side: impl Fn(f64) -> f64) -> Vec<Point> {
    let mut part = Vec::new();
    for (from, to) in outline.iter().zip(outline.iter().cycle().skip(1)) {
        let (here, there) = (side(from[0]), side(to[0]));
        if here >= 0.0 {
            part.push(*from);
        }
        if (here >= 0.0) != (there >= 0.0) {
            let share = here / (here - there);
            part.push([from[0] + (to[0] - from[0]) * share, from[1] + (to[1] - from[1]) * share]);
        }
    }
    part
}

/// Draws a lay; `end` says what stands at its end.
pub(super) fn drawn(picture: &Picture, scale: Scale, end: &str) -> Drawn {
    drawn_in(picture, scale, end, (f64::NEG_INFINITY, f64::INFINITY))
}

/// As [`drawn`], for a sheet that shows a lay from here to there (mm of paper along a level lay): names, arrows and
/// figures stand within it, so that none is cut by the edge of the sheet.
pub(super) fn drawn_in(picture: &Picture, scale: Scale, end: &str, window: (f64, f64)) -> Drawn {
    let (least, furthest) = seen(picture);
    let place = Place { scale, least, furthest, window };
    let mut ink = Ink::default();
    for selvedge in &picture.selvedges {
        ink.strokes.push(Stroke::closed(Line::Selvedge, place.all(selvedge)));
    }
    ink.strokes.push(Stroke::closed(Line::Selvedge, place.all(&picture.cloth)));
    for (at, line, words) in [
        (picture.fold_at_mm, Line::Fold, "fold"),
        (picture.flap_edge_mm.filter(|at| *at > 1.0), Line::Flap, "flap ends"),
    ] {
        if let Some(at) = at.filter(|_| picture.folded_mm > 0.0) {
            ink.add(upright(picture, place, at, line, words));
        }
    }
    if picture.folded_across && picture.folded_mm > 0.0 {
        ink.add(fold_across(picture, place));
    }
    let mut with_grain = Vec::new();
    for (index, piece) in picture.pieces.iter().enumerate() {
        let (drawn, has_grain) = named(piece, picture.one_way, place);
        with_grain.extend(has_grain.then_some(index));
        ink.add(drawn);
    }
    ink.add(ruler(picture, place));
    ink.add(selvedge_words(picture, place));
    ink.add(ending(picture, place, end));
    let across = (furthest - least) * scale.by + scale.ruler_mm();
    // Below the end stand its words.
    let below = if scale.level { 0.0 } else { scale.sizes().figure * 2.0 };
    let along = picture.length_mm * scale.by + below;
    ink.words.retain(|words| place.holds(words));
    Drawn { ink, size: if scale.level { [along, across] } else { [across, along] }, with_grain }
}

/// A line along the cloth as far as it is folded, with its words beside it.
fn upright(picture: &Picture, place: Place, at: f64, line: Line, words: &str) -> Ink {
    let (from, to) = (place.of([at, 0.0]), place.of([at, picture.folded_mm]));
    let size = place.scale.sizes().figure;
    // On the side of the cloth: there is paper to write on.
    let off = if place.scale.level { [0.0, size * 1.1] } else { [-size * 0.4, 0.0] };
    // In the middle of what the sheet shows of it.
    let shown = |x: f64| if place.scale.level { x.clamp(place.window.0, place.window.1) } else { x };
    let middle = [f64::midpoint(shown(from[0]), shown(to[0])) + off[0], f64::midpoint(from[1], to[1]) + off[1]];
    Ink {
        strokes: vec![Stroke::open(line, vec![from, to])],
        tips: Vec::new(),
        words: vec![Words::centred(middle, size, words, place.along())],
    }
}

/// The fold across the cloth, along its beginning, with its word beside it.
fn fold_across(picture: &Picture, place: Place) -> Ink {
    let (from, to) = (place.of([0.0, 0.0]), place.of([picture.width_mm, 0.0]));
    let size = place.scale.sizes().figure;
    let off = if place.scale.level { [size * 1.1, 0.0] } else { [0.0, size * 1.1] };
    let middle = [f64::midpoint(from[0], to[0]) + off[0], f64::midpoint(from[1], to[1]) + off[1]];
    Ink {
        strokes: vec![Stroke::open(Line::Fold, vec![from, to])],
        tips: Vec::new(),
        words: vec![Words::centred(middle, size, "fold", FRAC_PI_2 - place.along())],
    }
}

/// A piece with its name and the lengthwise grain; and whether that had room.
fn named(piece: &DrawnPiece, one_way: bool, place: Place) -> (Ink, bool) {
    let outline = place.all(&piece.outline);
    let shown = place.seen(&outline);
    let mut ink = Ink { strokes: vec![Stroke::closed(Line::Cut, outline)], ..Ink::default() };
    let Some((low, high)) = bounds(&shown) else { return (ink, false) };
    let sizes = place.scale.sizes();
    let mut room = Room::within(&shown);
    let [x, y] = place.of(piece.middle);
    // Where its middle lies on another sheet, the middle of what is seen here.
    let near = if (low[0]..=high[0]).contains(&x) { [x, y] } else { [f64::midpoint(low[0], high[0]), y] };
    let note = note(piece);
    let name = format!("{}  {}", piece.letter, piece.label);
    let full = |size: f64| vec![(name.clone(), size), (note.clone(), size * sizes.note)];
    let one = |size: f64| vec![(name.clone(), size)];
    let letter = |size: f64| vec![(piece.letter.clone(), size)];
    let mut tries: Vec<Vec<(String, f64)>> = Vec::new();
    if !note.is_empty() {
        tries.extend(sizes.name.iter().map(|size| full(*size)));
    }
    tries.extend(sizes.name.iter().map(|size| one(*size)));
    tries.extend(sizes.name.iter().map(|size| letter(*size)));
    let found = tries.iter().find_map(|rows| {
        [0.0, -FRAC_PI_2].into_iter().find_map(|turn| Some((rows, turn, room.spot(size_of(rows), turn, near)?)))
    });
    match found {
        Some((rows, turn, at)) => ink.words.extend(set(rows, at, turn, &mut room)),
        // Too narrow for any of it: the letter stands across its lines.
        None => {
            let least = sizes.name.last().copied().unwrap_or(2.6);
            let at = [near[0], near[1] + least * 0.35];
            ink.words.push(Words::centred(at, least, piece.letter.clone(), 0.0));
        }
    }
    let arrow = grain(piece, one_way, &room, near, place);
    let has_grain = !arrow.tips.is_empty();
    ink.add(arrow);
    (ink, has_grain)
}

/// What the cutter must know of a piece beside its name.
fn note(piece: &DrawnPiece) -> String {
    match (piece.on_fold, piece.layers, piece.turned_over) {
        (true, ..) => "on the fold".into(),
        (false, 2, _) => "through both layers".into(),
        (_, _, true) => "turned over".into(),
        _ => String::new(),
    }
}

/// From row to row, as a share of the letters' size; and clear around them, mm.
const ROW: f64 = 1.3;
const CLEAR: f64 = 0.6;

fn size_of(rows: &[(String, f64)]) -> Point {
    let wide = rows.iter().map(|(text, size)| letters::width(text, *size)).fold(0.0, f64::max);
    [wide + 2.0 * CLEAR, rows.iter().map(|(_, size)| size * ROW).sum::<f64>() + 2.0 * CLEAR]
}

/// The rows about a middle, each in the middle of its own; their place is taken.
fn set(rows: &[(String, f64)], middle: Point, turn: f64, room: &mut Room) -> Vec<Words> {
    let [wide, high] = size_of(rows);
    let (sin, cos) = turn.sin_cos();
    let at = |x: f64, y: f64| [middle[0] + x * cos - y * sin, middle[1] + x * sin + y * cos];
    let (x, y) = (wide / 2.0, high / 2.0);
    room.take([at(-x, -y), at(x, -y), at(x, y), at(-x, y)]);
    let mut down = CLEAR - y;
    let mut words = Vec::new();
    for (text, size) in rows {
        words.push(Words::centred(at(0.0, down + size * (ROW - 0.32)), *size, text.clone(), turn));
        down += size * ROW;
    }
    words
}

/// The lengthwise grain on a piece: it runs along the cloth however the piece is turned. On
/// one-way cloth its one tip shows which way is up.
fn grain(piece: &DrawnPiece, one_way: bool, room: &Room, near: Point, place: Place) -> Ink {
    /// The lengths that are tried, each as broad as its tips with room beside them, mm of paper. The last are for
    /// ties and bias strips: shorter than a letter is high, an arrow cannot be read. Judgement.
    const SIZES: [[f64; 2]; 12] = [
        [160.0, 3.0],
        [90.0, 3.0],
        [50.0, 3.0],
        [30.0, 3.0],
        [20.0, 3.0],
        [13.0, 3.0],
        [8.0, 3.0],
        [13.0, 1.6],
        [8.0, 1.6],
        [6.0, 1.4],
        [5.0, 1.2],
        [4.0, 1.2],
    ];
    let mut ink = Ink::default();
    let turn = place.along();
    let found = SIZES.iter().find_map(|size| Some((*size, room.spot(*size, turn, near)?)));
    let Some(([long, broad], at)) = found else { return ink };
    let (sin, cos) = turn.sin_cos();
    let spot = |x: f64, y: f64| [at[0] + x * cos - y * sin, at[1] + x * sin + y * cos];
    let (half, tip) =
        (long / 2.0 - 0.5_f64.min(long * 0.05), (long * 0.16).clamp(1.2, 5.0).max(broad * 0.53).min(long * 0.4));
    let ways: &[f64] = match (one_way, piece.turned) {
        (false, _) => &[-1.0, 1.0],
        (true, false) => &[-1.0],
        (true, true) => &[1.0],
    };
    let end = |way: f64| if ways.contains(&way) { way * (half - tip) } else { way * half };
    ink.strokes.push(Stroke::open(Line::Grain, vec![spot(end(-1.0), 0.0), spot(end(1.0), 0.0)]));
    for way in ways {
        let back = way * (half - tip);
        ink.tips.push(vec![spot(way * half, 0.0), spot(back, tip * 0.32), spot(back, -tip * 0.32)]);
    }
    ink
}

/// The ruler outside the first selvedge, from the beginning of the lay to its end.
fn ruler(picture: &Picture, place: Place) -> Ink {
    let size = place.scale.sizes().figure;
    let mut ink = Ink::default();
    let end_mm = picture.length_mm;
    for mark in marks(end_mm, place.scale.by, place.scale.unit) {
        let from = place.of([place.least, mark.at_mm]);
        let long = size * if mark.figure.is_some() { 0.9 } else { 0.5 };
        let to = if place.scale.level { [from[0], from[1] + long] } else { [from[0] - long, from[1]] };
        ink.strokes.push(Stroke::open(Line::Tick, vec![from, to]));
        let Some(figure) = mark.figure else { continue };
        ink.words.push(if place.scale.level {
            // The first and last figures of a sheet stand beside their marks, or they would be cut off.
            let wide = letters::width(&figure, size);
            let (first, last) = (place.window.0.max(0.0), place.window.1.min(end_mm * place.scale.by));
            if from[0] < first || from[0] > last {
                continue;
            }
            let left = (from[0] - wide / 2.0).min(last - wide).max(first);
            Words::new([left, to[1] + size], size, figure)
        } else {
            let wide = letters::width(&figure, size);
            let down = if mark.at_mm > 0.0 { size * 0.35 } else { size };
            Words::new([to[0] - wide - size * 0.2, to[1] + down], size, figure)
        });
    }
    ink
}

/// The word along each selvedge that is broad enough for it.
fn selvedge_words(picture: &Picture, place: Place) -> Ink {
    /// Letters that fill so much of the selvedge; smaller ones cannot be read.
    const SHARE: f64 = 0.6;
    const LEAST: f64 = 2.0;
    let size = (picture.selvedge_mm * place.scale.by * SHARE).min(place.scale.sizes().figure * 1.4);
    let mut ink = Ink::default();
    if size < LEAST {
        return ink;
    }
    for selvedge in &picture.selvedges {
        let Some((low, high)) = bounds(&place.seen(&place.all(selvedge))) else { continue };
        let middle = [f64::midpoint(low[0], high[0]), f64::midpoint(low[1], high[1])];
        let off = if place.scale.level { [0.0, size * 0.35] } else { [-size * 0.35, 0.0] };
        ink.words.push(Words::centred([middle[0] + off[0], middle[1] + off[1]], size, "selvedge", place.along()));
    }
    ink
}

/// The line at which the lay ends, with its words before it.
fn ending(picture: &Picture, place: Place, end: &str) -> Ink {
    let (least, furthest) = (place.least, place.furthest);
    let line = vec![place.of([least, picture.length_mm]), place.of([furthest, picture.length_mm])];
    let mut ink = Ink { strokes: vec![Stroke::open(Line::Mark, line)], ..Ink::default() };
    if !end.is_empty() && !place.scale.level {
        let size = place.scale.sizes().figure;
        let at = place.of([0.0, picture.length_mm]);
        ink.words.push(Words::new([at[0], at[1] + size * 1.3], size, end));
    }
    ink
}
