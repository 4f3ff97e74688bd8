//! A lay for the table beside the cloth: as large as it can be read on one sheet or, when it is
//! long, on several that have a strip of the ruler in common.

use crate::geom::Point;
use crate::lay::Picture;
use crate::measure::Unit;

use super::super::ink::{Ink, Line, Move, Stroke};
use super::super::svg;
use super::drawn::{Scale, drawn, seen};

/// One sheet of a lay, in millimetres from its upper left corner.
#[derive(Clone, Debug, PartialEq)]
pub struct LaySheet {
    /// How wide and high it is.
    pub size: Point,
    /// What is drawn.
    pub ink: Ink,
    /// How many millimetres of cloth each millimetre of it stands for.
    pub one_to: f64,
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
        let mut ink = whole.ink.within([from - PEN, -PEN], [to + PEN, whole.size[1] + PEN]);
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
        });
    }
    sheets
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
