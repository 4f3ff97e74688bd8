//! A shaped piece to be cut.

use crate::geom::Point;

use super::{LayError, MatchMark, words::both};

/// How a piece or strip lies to the lengthwise grain.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Grain {
    /// Drawn y (a strip's length) along the selvedge.
    Along,
    /// Drawn y (a strip's length) across the cloth.
    Across,
    /// At 45° to the selvedge.
    Bias,
    /// Any quarter turn: the cloth has no grain, or the piece needs none (non-woven
    /// interfacing, felt).
    Any,
}

/// A shaped piece to be cut one or more times.
#[derive(Clone, Debug, PartialEq)]
pub struct Part {
    /// The key in the style: `over_front`.
    pub key: String,
    /// The words for it: `Over-front`.
    pub label: String,
    /// The letter by which drawings name it.
    pub letter: String,
    /// The closed cutting outline in mm as seen from the right side of the cloth (the
    /// first point is not repeated), y along the grain line; a piece on the fold is its
    /// half.
    pub outline: Vec<Point>,
    /// The two ends of the straight edge that lies on the fold, where there is one.
    pub fold: Option<(Point, Point)>,
    /// How many whole pieces are cut.
    pub count: u32,
    /// Whether the count is made of mirrored pairs, a left and a right; an odd one
    /// out comes out as drawn. Without it all come out as drawn.
    pub pairs: bool,
    /// How it lies to the grain.
    pub grain: Grain,
    /// Whether the cloth's two sides are alike, so that a piece may be turned wrong
    /// side up and a left serves as a right; then it lies either way up.
    pub may_flip: bool,
    /// Which garment of a joint lay it belongs to; any number, the same for all of one
    /// garment. What is cut from one garment may have to point one way.
    pub garment: u32,
    /// By how many degrees it may lie off the grain, either way; nought where a print
    /// shows it. Two are usual (common practice: a finger's breadth in a skirt's length
    /// is not seen to hang). A piece on the fold lies straight.
    pub grain_tolerance_deg: u16,
    /// Points of it that are to match in the print.
    pub marks: Vec<MatchMark>,
}

/// The most that a piece may be asked to lie off the grain, degrees. Beyond that the
/// grain is another one (judgement).
const MOST_OFF_GRAIN_DEG: u16 = 10;

impl Part {
    /// The part drawn as its mirror image, a left for a right. What was drawn along the
    /// cloth still is, and points the same way, so that the nap runs as before.
    #[must_use]
    pub fn mirrored(&self) -> Part {
        let over = |p: &Point| match self.grain {
            Grain::Along | Grain::Any => [-p[0], p[1]],
            Grain::Across => [p[0], -p[1]],
            Grain::Bias => [p[1], p[0]],
        };
        Part {
            outline: self.outline.iter().map(over).collect(),
            fold: self.fold.map(|(a, b)| (over(&a), over(&b))),
            marks: self.marks.iter().map(|mark| MatchMark { at: over(&mark.at), ..mark.clone() }).collect(),
            ..self.clone()
        }
    }

    /// Refuses an outline that is no piece.
    pub(super) fn sound(&self) -> Result<(), LayError> {
        /// The longest length that a person may type (measure).
        const FURTHEST_MM: f64 = 100_000.0;
        /// Less than a pinhead of cloth (judgement).
        const LEAST_AREA_MM2: f64 = 1.0;
        let ends = self.fold.iter().flat_map(|(a, b)| [a, b]);
        let marks = self.marks.iter().map(|mark| &mark.at);
        let far =
            self.outline.iter().chain(ends).chain(marks).flatten().find(|c| !(-FURTHEST_MM..=FURTHEST_MM).contains(*c));
        if let Some(value) = far {
            return Err(LayError::FarOff { label: self.label.clone(), value: both(*value) });
        }
        let area = enclosed(&self.outline).abs();
        if self.outline.len() < 3 || area < LEAST_AREA_MM2 {
            let area = format!("{area:.1}");
            return Err(LayError::Flat { label: self.label.clone(), points: self.outline.len(), area });
        }
        if self.grain_tolerance_deg > MOST_OFF_GRAIN_DEG {
            let (degrees, most) = (self.grain_tolerance_deg, MOST_OFF_GRAIN_DEG);
            return Err(LayError::OffGrain { label: self.label.clone(), degrees, most });
        }
        self.fold.map_or(Ok(()), |fold| self.fold_sound(fold))
    }

    /// Refuses a fold that is not an outer edge with the piece on one side of it.
    fn fold_sound(&self, (a, b): (Point, Point)) -> Result<(), LayError> {
        /// Equal by construction (architecture: 0.05 mm for what lies on the fold).
        const OFF_MM: f64 = 0.05;
        let astray = |by: f64| LayError::FoldAstray { label: self.label.clone(), by: both(by) };
        let along = [b[0] - a[0], b[1] - a[1]];
        let length = along[0].hypot(along[1]);
        if length < OFF_MM {
            return Err(astray(length));
        }
        for end in [a, b] {
            let near = |p: &Point| (p[0] - end[0]).hypot(p[1] - end[1]);
            let nearest = self.outline.iter().map(near).fold(f64::INFINITY, f64::min);
            if nearest > OFF_MM {
                return Err(astray(nearest));
            }
        }
        let side = |p: &Point| ((p[0] - a[0]) * along[1] - (p[1] - a[1]) * along[0]) / length;
        let (least, most) = self
            .outline
            .iter()
            .map(side)
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(least, most), s| (least.min(s), most.max(s)));
        let over = (-least).min(most);
        if over > OFF_MM { Err(astray(over)) } else { Ok(()) }
    }
}

/// Signed area of a closed outline, mm².
fn enclosed(outline: &[Point]) -> f64 {
    let next = outline.iter().cycle().skip(1);
    outline.iter().zip(next).map(|(p, q)| p[0] * q[1] - q[0] * p[1]).sum::<f64>() / 2.0
}

#[cfg(test)]
mod tests {
    use super::*;

    fn square(fold: Option<(Point, Point)>) -> Part {
        Part {
            key: "back".into(),
            label: "Back".into(),
            letter: "A".into(),
            outline: vec![[0.0, 0.0], [100.0, 0.0], [100.0, 200.0], [0.0, 200.0]],
            fold,
            count: 1,
            pairs: false,
            grain: Grain::Along,
            may_flip: false,
            garment: 0,
            grain_tolerance_deg: 0,
            marks: vec![],
        }
    }

    #[test]
    fn an_outline_that_is_no_piece_is_named() {
        assert_eq!(square(None).sound(), Ok(()));
        let flat = Part { outline: vec![[0.0, 0.0], [100.0, 0.0], [50.0, 0.0]], ..square(None) };
        assert!(flat.sound().unwrap_err().to_string().contains("“Back” encloses no cloth"));
        let far = Part { outline: vec![[0.0, 0.0], [f64::NAN, 0.0], [50.0, 9.0]], ..square(None) };
        assert!(far.sound().unwrap_err().to_string().contains("NaN"));
        let askew = Part { grain_tolerance_deg: 11, ..square(None) };
        assert!(askew.sound().unwrap_err().to_string().contains("11° off the grain"));
    }

    #[test]
    fn a_fold_is_an_outer_edge() {
        assert_eq!(square(Some(([0.0, 0.0], [0.0, 200.0]))).sound(), Ok(()));
        let off = square(Some(([1.0, 0.0], [1.0, 200.0])));
        assert!(matches!(off.sound(), Err(LayError::FoldAstray { .. })));
        let across = square(Some(([0.0, 0.0], [100.0, 200.0])));
        assert!(matches!(across.sound(), Err(LayError::FoldAstray { .. })));
    }
}
