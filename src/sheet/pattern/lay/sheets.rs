//! A lay for the table beside the cloth: as large as it can be read on one sheet or, when it is
//! long, on several that have a strip of the ruler in common.

use crate::geom::Point;
use crate::lay::Picture;
use crate::measure::Unit;

use super::super::ink::{Ink, Line, Move, Stroke};
use super::super::svg;
use super::drawn::{Scale, drawn, drawn_in, seen};

/// One sheet of a lay, in millimetres from its upper left corner.
#[derive(Clone, Debug, PartialEq)]
pub struct LaySheet {
    /// How wide and high it is.
    pub size: Point,
    /// What is drawn.
    pub ink: Ink,
    /// How many millimetres of cloth each millimetre of it stands for.
    pub one_to: f64,
    /// The pieces, by their place in the picture, on which the lengthwise grain stands.
    pub with_grain: Vec<usize>,
}

impl LaySheet {
    /// The sheet as a drawing for a page, in millimetres; `label` says what it is.
    #[must_use]
    pub fn svg(&self, label: &str) -> String {
        svg::on_page(&self.ink, self.size, label)
    }
}

/// A lay smaller than this cannot be read at the table: a strip two inches deep is 6 mm there.
/// Judgement; longer lays go on on the next sheet.
const READABLE: f64 = 1.0 / 8.0;

/// What two sheets have in common, mm of paper: the figures of the ruler stand at most 26 mm apart
/// where a lay takes several sheets (`ruler`: 13 mm or the next step above it), so that one of them is on both.
const OVERLAP: f64 = 28.0;

/// So many sheets and no more: beyond them the lay is drawn smaller.
const MOST: u32 = 60;

/// White around the drawing, mm: half the broadest pen and a hair.
const PEN: f64 = 0.5;

/// The sheets of a lay in a room of this width and height, mm; the cloth runs from left to right.
#[must_use]
pub fn lay_sheets(picture: &Picture, unit: Unit, room: Point) -> Vec<LaySheet> {
    let (least, furthest) = seen(picture);
    let room = [room[0] - 2.0 * PEN, room[1] - 2.0 * PEN];
    let bare = Scale { by: READABLE, level: true, unit };
    let highest = (room[1] - bare.ruler_mm()) / (furthest - least).max(1.0);
    let length = picture.length_mm.max(1.0);
    let by = |count: u32| {
        let joined = f64::from(count) * room[0] - f64::from(count - 1) * OVERLAP;
        (joined / length).min(highest)
    };
    let count = (1..=MOST).find(|count| by(*count) >= READABLE.min(highest)).unwrap_or(MOST);
    // Scale is never above true: a short strip need not be blown up.
    let scale = Scale { by: by(count).min(1.0), ..bare };
    let whole = drawn(picture, scale, "");
    let step = room[0] - OVERLAP;
    let mut sheets = Vec::new();
    for index in 0..count {
        let from = f64::from(index) * step;
        let to = (from + room[0]).min(whole.size[0]);
        if to <= from {
            break;
        }
        let part = drawn_in(picture, scale, "", (from, to));
        let mut ink = part.ink.within([from - PEN, -PEN], [to + PEN, whole.size[1] + PEN]);
        let joint = |at: f64| Stroke::open(Line::Edge, vec![[at, 0.0], [at, whole.size[1]]]);
        if index > 0 {
            ink.strokes.push(joint(from + OVERLAP));
        }
        if index + 1 < count {
            ink.strokes.push(joint(from + step));
        }
        sheets.push(LaySheet {
            size: [to - from + 2.0 * PEN, whole.size[1] + 2.0 * PEN],
            ink: ink.moved(Move::by([PEN - from, PEN])),
            one_to: 1.0 / scale.by,
            with_grain: part.with_grain,
        });
    }
    sheets
}

/// The letters of pieces that had no room for their grain on any sheet.
#[must_use]
pub fn without_grain<'p>(picture: &'p Picture, sheets: &[LaySheet]) -> Vec<&'p str> {
    let has = |index: usize| sheets.iter().any(|sheet| sheet.with_grain.contains(&index));
    let mut bare: Vec<&str> =
        (0..).zip(&picture.pieces).filter(|(index, _)| !has(*index)).map(|(_, piece)| piece.letter.as_str()).collect();
    bare.sort_unstable();
    bare.dedup();
    bare
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lay::{Cloth, Grain, LayJob, Part, best_layout, picture};
    use crate::measure::Showing;
    use proptest::prelude::*;

    fn of(count: u32, deep: f64, width: f64) -> Picture {
        let part = Part {
            key: "panel".into(),
            label: "Panel".into(),
            letter: "A".into(),
            outline: vec![[0.0, 0.0], [400.0, 0.0], [420.0, deep], [0.0, deep]],
            fold: None,
            count,
            pairs: false,
            grain: Grain::Along,
            may_flip: false,
            garment: 0,
            grain_tolerance_deg: 0,
            marks: vec![],
        };
        let job = LayJob { parts: vec![part], strips: vec![], cloth: Cloth::of_width(width), matched: vec![] };
        picture(&job, &best_layout(&job, 1, 1).unwrap(), Showing::EIGHTHS)
    }

    const ROOM: Point = [277.0, 150.0];

    fn words(sheet: &LaySheet) -> Vec<&str> {
        sheet.ink.words.iter().map(|words| words.text.as_str()).collect()
    }

    #[test]
    fn a_short_lay_is_one_sheet_and_a_long_one_several() {
        let short = lay_sheets(&of(2, 600.0, 1143.0), Unit::Inch, ROOM);
        assert_eq!(short.len(), 1);
        assert!(words(&short[0]).contains(&"A  Panel") && words(&short[0]).contains(&"0 in"));
        let long = lay_sheets(&of(12, 900.0, 1143.0), Unit::Inch, ROOM);
        assert!(long.len() >= 2, "{}", long.len());
        // As large as it can be read, or as the paper is high.
        let readable = |sheet: &LaySheet| sheet.one_to <= 8.0 + 1e-9 || sheet.size[1] > ROOM[1] - 0.01;
        assert!(long.iter().all(readable), "{:?}", long.iter().map(|sheet| sheet.one_to).collect::<Vec<_>>());
        // Neighbours have figures of the ruler in common, and each sheet names its pieces.
        for two in long.windows(2) {
            let shared =
                words(&two[0]).into_iter().filter(|word| word.ends_with(" in") && words(&two[1]).contains(word));
            assert!(shared.count() >= 1, "{:?} | {:?}", words(&two[0]), words(&two[1]));
        }
        assert!(long.iter().all(|sheet| words(sheet).iter().any(|word| word.contains("Panel"))));
    }

    #[test]
    fn the_ruler_reads_in_centimetres_where_the_shop_does() {
        let sheets = lay_sheets(&of(3, 800.0, 1500.0), Unit::Centimetre, ROOM);
        assert!(words(&sheets[0]).contains(&"40 cm"), "{:?}", words(&sheets[0]));
    }

    /// A lay of strips alone, drawn by hand: a tie, a bias strip, and one too narrow for any arrow.
    fn strips(length_mm: f64) -> Picture {
        let strip = |letter: &str, label: &str, outline: Vec<Point>| crate::lay::DrawnPiece {
            letter: letter.into(),
            label: label.into(),
            middle: [outline.iter().map(|p| p[0]).sum::<f64>() / 4.0, outline.iter().map(|p| p[1]).sum::<f64>() / 4.0],
            outline,
            layers: 1,
            on_fold: false,
            is_strip: true,
            turned: false,
            turned_over: false,
        };
        let tie = vec![[20.0, 0.0], [110.0, 0.0], [110.0, length_mm], [20.0, length_mm]];
        let bias = vec![[200.0, 0.0], [260.0, 0.0], [660.0, 400.0], [600.0, 400.0]];
        let narrow = vec![[700.0, 0.0], [704.0, 0.0], [704.0, 500.0], [700.0, 500.0]];
        let pieces =
            vec![strip("A", "Tie of the waist", tie), strip("B", "Bias strip", bias), strip("C", "Piping", narrow)];
        Picture { pieces, length_mm, ..of(1, length_mm, 1143.0) }
    }

    #[test]
    fn strips_have_their_grain_and_what_has_no_room_for_it_is_named() {
        let picture = strips(600.0);
        let sheets = lay_sheets(&picture, Unit::Inch, ROOM);
        assert_eq!((sheets.len(), without_grain(&picture, &sheets)), (1, vec!["C"]));
        let grain = |stroke: &&Stroke| stroke.line == Line::Grain;
        let arrows: Vec<&Stroke> = sheets[0].ink.strokes.iter().filter(grain).collect();
        assert_eq!(arrows.len(), 2);
        // Along the cloth, however the strip lies.
        assert!(arrows.iter().all(|arrow| (arrow.points[0][1] - arrow.points[1][1]).abs() < 1e-9), "{arrows:?}");
    }

    #[test]
    fn no_name_is_cut_by_the_edge_of_a_sheet() {
        let mut picture = strips(5400.0);
        for piece in &mut picture.pieces {
            piece.label = format!("2026-0141 A {}, cut on the lengthwise grain", piece.label);
        }
        let sheets = lay_sheets(&picture, Unit::Inch, ROOM);
        assert!(sheets.len() > 2);
        for sheet in &sheets {
            assert!(words(sheet).iter().any(|text| text.starts_with('A')), "{:?}", words(sheet));
            for one in &sheet.ink.words {
                let whole = one.corners().iter().all(|[x, _]| *x >= 0.0 && *x <= sheet.size[0]);
                assert!(whole, "{} at {:?} of {:?}", one.text, one.corners(), sheet.size);
            }
        }
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(24))]

        #[test]
        fn sheets_hold_all_of_the_outlines_within_their_room(count in 1..9_u32, deep in 60.0..1500.0, width in 700.0..1600.0) {
            let picture = of(count, deep, width);
            let sheets = lay_sheets(&picture, Unit::Inch, ROOM);
            for sheet in &sheets {
                prop_assert!(sheet.size[0] <= ROOM[0] + 1e-6 && sheet.size[1] <= ROOM[1] + 1e-6, "{:?}", sheet.size);
                let on_paper = |p: &Point| (0..2).all(|axis| p[axis] >= -1e-6 && p[axis] <= sheet.size[axis] + 1e-6);
                for stroke in &sheet.ink.strokes {
                    prop_assert!(stroke.points.iter().all(on_paper), "{stroke:?}");
                }
            }
            // What the sheets show together is the length of the lay.
            let by = 1.0 / sheets[0].one_to;
            let overlaps = (sheets.len() - 1) as f64 * OVERLAP;
            let shown: f64 = sheets.iter().map(|sheet| sheet.size[0] - 2.0 * PEN).sum::<f64>() - overlaps;
            prop_assert!((shown - picture.length_mm * by).abs() < 1e-6, "{shown} {}", picture.length_mm * by);
        }
    }
}
