//! What a drawing of a lay shows, as plain figures; the drawing itself is made by
//! whoever shows it.

use crate::geom::Point;
use crate::measure::{Showing, Unit};

use super::{Lay, LayJob, Layout};

/// A lay to be drawn: x across the usable width, y along the cloth, mm. The
/// selvedges lie outside, from −`selvedge_mm` to 0 and from `width_mm` on.
#[derive(Clone, Debug, PartialEq)]
pub struct Picture {
    /// Usable width, mm.
    pub width_mm: f64,
    /// Width of each selvedge, mm.
    pub selvedge_mm: f64,
    /// Length of the lay on the table, mm.
    pub length_mm: f64,
    /// How far the cloth is folded, mm: as far as this it is seen only from x = 0 to
    /// x = `fold_at_mm`, or (folded across, along y = 0) the whole width lies double.
    pub folded_mm: f64,
    /// Whether it is folded across: the fold lies along y = 0.
    pub folded_across: bool,
    /// Where the fold lies, mm across; nothing when the lay is open throughout or
    /// folded across.
    pub fold_at_mm: Option<f64>,
    /// Where the edge of the flap that is folded under lies, mm across: right of it the
    /// folded stretch is double, left of it single. Nothing when the lay is open throughout or folded across.
    pub flap_edge_mm: Option<f64>,
    /// The selvedges that are seen, as outlines: the left-hand one all along, the
    /// right-hand one below the folded stretch (as far as that it is folded under).
    pub selvedges: Vec<Vec<Point>>,
    /// The outline of the cloth as it is seen, without selvedges: as far as it is
    /// folded, only up to the fold.
    pub cloth: Vec<Point>,
    /// Whether it is the wrong side of the cloth that is seen.
    pub wrong_side_up: bool,
    /// How the cloth is spread and which side of it is up, in words.
    pub spread: &'static str,
    /// Whether all pieces point one way (draw the nap arrow).
    pub one_way: bool,
    /// The pieces and lengths of strips.
    pub pieces: Vec<DrawnPiece>,
    /// Marks of a ruler along the length.
    pub ticks: Vec<Tick>,
}

/// One outline in the drawing.
#[derive(Clone, Debug, PartialEq)]
pub struct DrawnPiece {
    /// Its letter.
    pub letter: String,
    /// Its name.
    pub label: String,
    /// The outline as the cutter sees it, mm; a piece on the fold is its half.
    pub outline: Vec<Point>,
    /// A place inside for the letter, mm.
    pub middle: Point,
    /// How many layers are cut at once.
    pub layers: u8,
    /// Whether it lies on the fold.
    pub on_fold: bool,
    /// Whether it is a length of a strip.
    pub is_strip: bool,
    /// Whether it is turned end for end: the letter may stand so.
    pub turned: bool,
    /// Whether it is cut single with its drawing turned over: a mirror image of it is
    /// chalked.
    pub turned_over: bool,
}

/// A mark of the ruler.
#[derive(Clone, Debug, PartialEq)]
pub struct Tick {
    /// How far along, mm.
    pub y_mm: f64,
    /// The figure at a main mark: `9 in`, `50 cm`.
    pub label: Option<String>,
}

/// The drawing of a lay, its ruler in the shop's unit.
#[must_use]
pub fn picture(job: &LayJob, lay: &Lay, showing: Showing) -> Picture {
    let shaped = lay.placements.iter().filter_map(|placement| {
        let part = job.parts.get(placement.part)?;
        let outline = placement.outline(part);
        Some(DrawnPiece {
            letter: part.letter.clone(),
            label: part.label.clone(),
            middle: inside(&outline),
            outline,
            layers: placement.layers(),
            on_fold: placement.on_fold,
            is_strip: false,
            turned: (180..360).contains(&placement.turn),
            turned_over: placement.turned_over(),
        })
    });
    let strips = lay.bits.iter().filter_map(|bit| {
        let strip = job.strips.get(bit.strip)?;
        let outline = bit.outline(strip);
        Some(DrawnPiece {
            letter: strip.letter.clone(),
            label: strip.label.clone(),
            middle: inside(&outline),
            outline,
            layers: if bit.under.is_some() { 2 } else { 1 },
            on_fold: false,
            is_strip: true,
            turned: false,
            turned_over: false,
        })
    });
    let lengthwise = lay.layout == Layout::Folded && lay.folded_mm > 0.0;
    let print_matters = !job.matched.is_empty() && job.cloth.repeat.is_some();
    Picture {
        width_mm: lay.width_mm,
        selvedge_mm: job.cloth.selvedge_mm,
        length_mm: lay.seen_length_mm(),
        folded_mm: lay.folded_mm,
        folded_across: lay.layout == Layout::Crosswise,
        fold_at_mm: lengthwise.then_some(lay.fold_at_mm),
        flap_edge_mm: lengthwise.then_some(2.0 * lay.fold_at_mm - lay.width_mm),
        selvedges: selvedges(lay, job.cloth.selvedge_mm),
        cloth: seen(lay),
        wrong_side_up: lay.wrong_side_up(),
        spread: if print_matters { lay.spread_matched() } else { lay.spread() },
        one_way: job.cloth.is_one_way(),
        pieces: shaped.chain(strips).collect(),
        ticks: ticks(lay.seen_length_mm(), showing),
    }
}

/// The cloth as it lies: folded at the top, opened out below.
fn seen(lay: &Lay) -> Vec<Point> {
    let (width, fold, folded, length) = (lay.width_mm, lay.fold_at_mm, lay.folded_mm, lay.seen_length_mm());
    if folded <= 0.0 || lay.layout != Layout::Folded {
        vec![[0.0, 0.0], [width, 0.0], [width, length], [0.0, length]]
    } else if folded >= length {
        vec![[0.0, 0.0], [fold, 0.0], [fold, length], [0.0, length]]
    } else {
        vec![[0.0, 0.0], [fold, 0.0], [fold, folded], [width, folded], [width, length], [0.0, length]]
    }
}

/// Left all along, right where the cloth is not folded under.
fn selvedges(lay: &Lay, wide: f64) -> Vec<Vec<Point>> {
    let upright = |left: f64, from: f64| {
        let (right, to) = (left + wide, lay.seen_length_mm());
        vec![[left, from], [right, from], [right, to], [left, to]]
    };
    let under = if lay.layout == Layout::Folded { lay.folded_mm.max(0.0) } else { 0.0 };
    let right = (under < lay.used_length_mm).then(|| upright(lay.width_mm, under));
    [Some(upright(-wide, 0.0)), right].into_iter().flatten().collect()
}

/// A mark for every 3 in with a figure at every quarter yard, or every 10 cm with a
/// figure at every 50.
fn ticks(length_mm: f64, showing: Showing) -> Vec<Tick> {
    /// Longer than any bolt: 3000 marks and no more.
    const MOST: u32 = 3000;
    let (step_mm, each, every, unit) = match showing.unit() {
        Unit::Inch => (76.2, 3, 3, "in"),
        Unit::Centimetre => (100.0, 10, 5, "cm"),
    };
    (0..MOST)
        .map(|index| (index, f64::from(index) * step_mm))
        .take_while(|(_, y)| *y <= length_mm)
        .map(|(index, y_mm)| {
            let label = (index % every == 0).then(|| format!("{} {unit}", index * each));
            Tick { y_mm, label }
        })
        .collect()
}

/// A point well inside an outline: the middle of the widest stretch of cloth at
/// half, a third and two thirds of its height.
fn inside(outline: &[Point]) -> Point {
    let least = outline.iter().map(|p| p[1]).fold(f64::INFINITY, f64::min);
    let most = outline.iter().map(|p| p[1]).fold(f64::NEG_INFINITY, f64::max);
    let mut best = ([0.0, 0.0], f64::NEG_INFINITY);
    for share in [0.5, 1.0 / 3.0, 2.0 / 3.0] {
        let y = least + (most - least) * share;
        let sides = outline.iter().zip(outline.iter().cycle().skip(1));
        let crossed = sides.filter(|(p, q)| (p[1] <= y) != (q[1] <= y));
        let mut xs: Vec<f64> = crossed.map(|(p, q)| p[0] + (q[0] - p[0]) * (y - p[1]) / (q[1] - p[1])).collect();
        xs.sort_by(f64::total_cmp);
        for pair in xs.chunks_exact(2) {
            if let [from, to] = pair
                && to - from > best.1 + 1.0
            {
                best = ([f64::midpoint(*from, *to), y], to - from);
            }
        }
    }
    best.0
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_ruler_reads_in_the_shops_unit() {
        let labels = |showing| ticks(500.0, showing).into_iter().filter_map(|tick| tick.label).collect::<Vec<_>>();
        assert_eq!(labels(Showing::EIGHTHS), ["0 in", "9 in", "18 in"]);
        assert_eq!(labels(Showing::MILLIMETRES), ["0 cm", "50 cm"]);
    }

    #[test]
    fn the_letter_stands_in_the_cloth_of_a_hollow_piece() {
        let ell = [[0.0, 0.0], [20.0, 0.0], [20.0, 80.0], [100.0, 80.0], [100.0, 100.0], [0.0, 100.0]];
        let [x, y] = inside(&ell);
        assert!((x - 10.0).abs() < 1e-9 && (y - 50.0).abs() < 1e-9, "{x}, {y}");
    }
}
