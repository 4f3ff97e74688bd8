//! A lay drawn for paper, lying on its side: the cloth runs from left to right.

use askama::Template;

use crate::geom::{Point, bounds};
use crate::lay::Picture;
use crate::shop::SheetSize;

use super::sheet_piece::number;
use super::writing::true_fractions;

/// One lay as an SVG, in millimetres of paper.
#[derive(Clone, Debug, Template)]
#[template(path = "sheet_lay.html")]
pub struct SheetLay {
    /// Which cloth.
    pub name: String,
    /// Whether some pieces are cut through both layers.
    pub doubled: bool,
    /// How the cloth is spread and which side of it is up, in words.
    pub spread: &'static str,
    width: String,
    height: String,
    cloth: String,
    selvedges: String,
    fold: Option<Drawn>,
    flap: Option<Drawn>,
    pieces: Vec<Drawn>,
    ticks: String,
    figures: Vec<Drawn>,
    nap: Option<String>,
}

/// Path data with words at a place.
#[derive(Clone, Debug)]
struct Drawn {
    path: String,
    x: String,
    y: String,
    words: String,
    /// The name below the letter, where it has room.
    under: Option<(String, String)>,
    is_strip: bool,
}

impl askama::filters::HtmlSafe for SheetLay {}

/// The most that a lay takes on the cutter's side, mm of paper.
const fn most(paper: SheetSize) -> (f64, f64) {
    match paper {
        SheetSize::A4 => (118.0, 40.0),
        SheetSize::Letter => (118.0, 36.0),
    }
}

/// Room for the ruler below and the pen's width around.
const RULER: f64 = 5.0;
const EDGE: f64 = 0.6;

impl SheetLay {
    /// The lay of one cloth.
    #[must_use]
    pub fn of(name: &str, picture: &Picture, paper: SheetSize, is_main: bool) -> SheetLay {
        let (widest, highest) = most(paper);
        // A lining or interfacing takes half the height: it has little to show.
        let highest = if is_main { highest } else { highest / 2.0 };
        // A lay that is folded to its end is seen only as far as its fold.
        let seen = || picture.cloth.iter().chain(picture.selvedges.iter().flatten()).copied().collect::<Vec<_>>();
        let (least, furthest) = bounds(&seen()).map_or((0.0, picture.width_mm), |(least, most)| (least[0], most[0]));
        let by = ((widest - 2.0 * EDGE) / picture.length_mm.max(1.0))
            .min((highest - RULER - 2.0 * EDGE) / (furthest - least).max(1.0));
        // Turned by a right angle, never mirrored: along the cloth to the right, its first selvedge at the foot.
        let place = |[x, y]: Point| [y * by + EDGE, (furthest - x) * by + EDGE];
        let outline = |points: &[Point]| closed(&points.iter().map(|point| place(*point)).collect::<Vec<_>>());
        let foot = (furthest - least) * by + EDGE;
        let along = |at: f64, words: &'static str, above: bool| {
            let (from, to) = (place([at, 0.0]), place([at, picture.folded_mm]));
            let path = format!("M{} {}L{} {}", number(from[0]), number(from[1]), number(to[0]), number(to[1]));
            let y = number(if above && from[1] > 4.0 { from[1] - 1.0 } else { from[1] + 2.8 });
            let x = number(f64::midpoint(from[0], to[0]));
            Drawn { path, x, y, words: words.into(), under: None, is_strip: false }
        };
        SheetLay {
            name: name.into(),
            doubled: picture.pieces.iter().any(|piece| piece.layers == 2),
            spread: picture.spread,
            width: number(picture.length_mm * by + 2.0 * EDGE),
            height: number(foot + RULER),
            cloth: outline(&picture.cloth),
            selvedges: picture.selvedges.iter().map(|selvedge| outline(selvedge)).collect(),
            fold: picture.fold_at_mm.map(|at| along(at, "fold", true)),
            // The edge of the flap, where it is not the selvedge itself.
            flap: picture.flap_edge_mm.filter(|at| *at > 1.0).map(|at| along(at, "flap ends", false)),
            pieces: picture
                .pieces
                .iter()
                .map(|piece| {
                    let at = place(piece.middle);
                    let around: Vec<Point> = piece.outline.iter().map(|point| place(*point)).collect();
                    let named = has_room(&around, at, &piece.label);
                    // Letter and name together stand about the middle.
                    let letter = if named { at[1] - 0.2 } else { at[1] + 1.3 };
                    Drawn {
                        path: closed(&around),
                        x: number(at[0]),
                        y: number(letter),
                        under: named.then(|| (number(letter + NAME * 1.15), piece.label.clone())),
                        words: match (piece.layers, piece.turned_over) {
                            (2, _) => format!("{}²", piece.letter),
                            (_, true) => format!("{} over", piece.letter),
                            _ => piece.letter.clone(),
                        },
                        is_strip: piece.is_strip,
                    }
                })
                .collect(),
            ticks: picture
                .ticks
                .iter()
                .map(|tick| {
                    let long = if tick.label.is_some() { 1.8 } else { 1.0 };
                    format!("M{} {}v{}", number(tick.y_mm * by + EDGE), number(foot), number(long))
                })
                .collect(),
            figures: figures(picture, by, foot),
            nap: picture.one_way.then(|| {
                let y = number(EDGE + 2.0);
                format!("M2 {y}h12m-2.2 -1.2l2.2 1.2l-2.2 1.2")
            }),
        }
    }
}

/// The size of the names, mm, as the stylesheet has it.
const NAME: f64 = 2.65;

/// Whether a name below the letter stays within the piece: across at both of its edges, with a
/// hair on either side.
fn has_room(around: &[Point], [x, y]: Point, name: &str) -> bool {
    /// A letter is about so wide, as a share of its size; and clear around the name, mm.
    const WIDE: f64 = 0.56;
    const CLEAR: f64 = 0.8;
    let letters = f64::from(u32::try_from(name.chars().count()).unwrap_or(u32::MAX));
    let half = letters * NAME * WIDE / 2.0 + CLEAR;
    let free = |level: f64| {
        let sides = around.iter().zip(around.iter().cycle().skip(1));
        let crossed = sides.filter(|(p, q)| (p[1] <= level) != (q[1] <= level));
        let at = crossed.map(|(p, q)| p[0] + (q[0] - p[0]) * (level - p[1]) / (q[1] - p[1]));
        let (mut left, mut right) = (f64::NEG_INFINITY, f64::INFINITY);
        for cross in at {
            if cross <= x { left = left.max(cross) } else { right = right.min(cross) }
        }
        left.is_finite() && right.is_finite() && x - left >= half && right - x >= half
    };
    // From above the letter to below the name.
    [-2.6, 0.0, 1.4, NAME + 1.2].iter().all(|off| free(y + off))
}

/// The ruler's figures, as many as stand clear of one another.
fn figures(picture: &Picture, by: f64, foot: f64) -> Vec<Drawn> {
    const APART: f64 = 11.0;
    let mut last = f64::NEG_INFINITY;
    let mut shown = Vec::new();
    for tick in &picture.ticks {
        let at = tick.y_mm * by + EDGE;
        let has_room = at - last >= APART && at + APART * 0.8 <= picture.length_mm * by;
        if let Some(label) = tick.label.as_ref().filter(|_| has_room) {
            last = at;
            let words = true_fractions(label);
            let (path, under) = (String::new(), None);
            shown.push(Drawn { path, x: number(at), y: number(foot + 4.4), words, under, is_strip: false });
        }
    }
    shown
}

fn closed(points: &[Point]) -> String {
    let mut path = String::new();
    for (point, pen) in points.iter().zip(std::iter::once('M').chain(std::iter::repeat('L'))) {
        path.push_str(&format!("{pen}{} {}", number(point[0]), number(point[1])));
    }
    path.push('Z');
    path
}
