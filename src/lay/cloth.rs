//! The cloth to lay on.

use super::{LayError, words::both};

/// How the cloth is spread.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Layout {
    /// Folded lengthwise, right sides together, for what is cut on the fold and in
    /// pairs, at the middle or only as far in as they need; single beside the flap and
    /// below for what is cut once and for strips. All of it lies wrong side up.
    Folded,
    /// Single throughout, right side up.
    Open,
}

/// A cloth, as bought or as it lies on the table.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cloth {
    /// Full width with both selvedges, mm, before any shrinking.
    pub width_mm: f64,
    /// Width of each selvedge, mm; nothing is cut from it.
    pub selvedge_mm: f64,
    /// Nap or a print that points one way: pieces are never turned end for end.
    pub one_way: bool,
    /// Folded or open.
    pub layout: Layout,
    /// Share of the length lost when first washed, 0 to 0.2.
    pub shrink_length: f64,
    /// Share of the width lost when first washed, 0 to 0.2.
    pub shrink_width: f64,
    /// Cut off at each end to square it to the grain, mm.
    pub squaring_mm: f64,
    /// Least distance between neighbouring pieces, mm. Strips share a straight cut
    /// and need none between themselves; the selvedge and the fold need none.
    pub gap_mm: f64,
    /// Whether it has been washed: then it shrinks no more.
    pub washed: bool,
}

impl Cloth {
    /// A plain unwashed cloth of this width, spread folded: selvedges of 1/2 in and
    /// ends of 1 in (common practice), 1/8 in between pieces for the chalk line and
    /// the swerve of the scissors (judgement), no shrinking.
    #[must_use]
    pub fn of_width(width_mm: f64) -> Cloth {
        Cloth {
            width_mm,
            selvedge_mm: 12.7,
            one_way: false,
            layout: Layout::Folded,
            shrink_length: 0.0,
            shrink_width: 0.0,
            squaring_mm: 25.4,
            gap_mm: 3.175,
            washed: false,
        }
    }

    /// The width between the selvedges once the cloth has shrunk, mm.
    #[must_use]
    pub fn usable_width_mm(&self) -> f64 {
        let shrink = if self.washed { 0.0 } else { self.shrink_width };
        self.width_mm * (1.0 - shrink) - 2.0 * self.selvedge_mm
    }

    /// Refuses widths and shares that no cloth has.
    pub(super) fn sound(&self) -> Result<(), LayError> {
        /// Common practice: 8 % is the worst of usual cloth; a fifth is beyond any.
        const MOST_SHRINK: f64 = 0.2;
        /// No loom is wider than 5 m (judgement).
        const WIDEST_MM: f64 = 5000.0;
        /// More than 10 m of waste or distance is a slip (judgement).
        const FURTHEST_MM: f64 = 10_000.0;
        for share in [self.shrink_length, self.shrink_width] {
            if !(0.0..=MOST_SHRINK).contains(&share) {
                return Err(LayError::Shrink { percent: format!("{:.1}", share * 100.0) });
            }
        }
        for (what, mm) in [("selvedge", self.selvedge_mm), ("end", self.squaring_mm), ("gap", self.gap_mm)] {
            if !(0.0..=FURTHEST_MM).contains(&mm) {
                return Err(LayError::Allowance { what, value: both(mm) });
            }
        }
        if !(0.0..=WIDEST_MM).contains(&self.width_mm) || self.usable_width_mm() <= 0.0 {
            return Err(LayError::NoWidth { width: both(self.width_mm), selvedge: both(self.selvedge_mm) });
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_usable_width_lies_between_the_selvedges_of_the_shrunk_cloth() {
        let mut cloth = Cloth { width_mm: 1000.0, selvedge_mm: 10.0, shrink_width: 0.05, ..Cloth::of_width(0.0) };
        assert!((cloth.usable_width_mm() - 930.0).abs() < 1e-9);
        cloth.washed = true;
        assert!((cloth.usable_width_mm() - 980.0).abs() < 1e-9);
    }

    #[test]
    fn impossible_cloth_is_refused_with_its_value() {
        let cloth = Cloth::of_width(1120.0);
        assert_eq!(cloth.sound(), Ok(()));
        let said = |cloth: Cloth| cloth.sound().unwrap_err().to_string();
        assert!(said(Cloth { shrink_length: 0.4, ..cloth }).contains("40.0 %"));
        assert!(said(Cloth { width_mm: 25.4, ..cloth }).contains("1 in (2.5 cm)"));
        assert!(said(Cloth { gap_mm: f64::NAN, ..cloth }).contains("gap"));
        assert!(said(Cloth { width_mm: f64::INFINITY, ..cloth }).contains("no width"));
    }
}
