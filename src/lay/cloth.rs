//! The cloth to lay on.

use super::{LayError, words::both};

/// Which way pieces must point.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Nap {
    /// Any piece may be turned end for end.
    Free,
    /// The pieces of one garment point one way; another garment may point the other
    /// way (joint lays of plain pile or brushed cloth).
    PerGarment,
    /// All pieces point one way.
    One,
}

/// The print's repeat: after so much it comes again. Stripes across the cloth repeat
/// along it only, lengthwise stripes across it only, checks and motifs both ways.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Repeat {
    /// Along the cloth, mm.
    pub along_mm: Option<f64>,
    /// Across the cloth, mm.
    pub across_mm: Option<f64>,
}

/// How the cloth is spread.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Layout {
    /// Folded lengthwise, right sides together, for what is cut on the fold and in
    /// pairs, at the middle or only as far in as they need; single beside the flap and
    /// below for what is cut once and for strips. All of it lies wrong side up.
    Folded,
    /// Folded across, right sides together, the fold at the top: as far as it is folded the
    /// whole width lies double, and below that single. All of it lies wrong side up. The
    /// under layer's nap runs the other way, so that it is not for one-way cloth.
    Crosswise,
    /// Single throughout, right side up.
    Open,
}

impl Layout {
    /// The key by which it is kept: `folded`, `crosswise`, `open`.
    #[must_use]
    pub const fn key(self) -> &'static str {
        match self {
            Layout::Folded => "folded",
            Layout::Crosswise => "crosswise",
            Layout::Open => "open",
        }
    }

    /// In words for a sheet: `folded`, `folded across`, `open`.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Layout::Folded => "folded",
            Layout::Crosswise => "folded across",
            Layout::Open => "open",
        }
    }

    /// The layout of a key, where it is one.
    #[must_use]
    pub fn of_key(key: &str) -> Option<Layout> {
        [Layout::Folded, Layout::Crosswise, Layout::Open].into_iter().find(|layout| layout.key() == key)
    }
}

/// A cloth, as bought or as it lies on the table.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cloth {
    /// Full width with both selvedges, mm, before any shrinking.
    pub width_mm: f64,
    /// Width of each selvedge, mm; nothing is cut from it.
    pub selvedge_mm: f64,
    /// Which way pieces must point: nap, or a print that points one way.
    pub nap: Nap,
    /// The print's repeat, where seams are to match in it.
    pub repeat: Option<Repeat>,
    /// Folded or open.
    pub layout: Layout,
    /// Whether a fold across the cloth is tried beside the usual two, where one is asked
    /// for the best of them.
    pub crosswise_too: bool,
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
    /// Bought above the need, for mistakes, mm.
    pub spare_mm: f64,
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
            nap: Nap::Free,
            repeat: None,
            layout: Layout::Folded,
            crosswise_too: false,
            shrink_length: 0.0,
            shrink_width: 0.0,
            squaring_mm: 25.4,
            gap_mm: 3.175,
            washed: false,
            spare_mm: 0.0,
        }
    }

    /// Whether the pieces of one garment must all point one way.
    #[must_use]
    pub fn is_one_way(&self) -> bool {
        self.nap != Nap::Free
    }

    /// After how much along the cloth the print comes again, mm, where it does.
    #[must_use]
    pub fn repeat_along_mm(&self) -> Option<f64> {
        self.repeat.and_then(|repeat| repeat.along_mm)
    }

    /// After how much across the cloth the print comes again, mm, where it does.
    #[must_use]
    pub fn repeat_across_mm(&self) -> Option<f64> {
        self.repeat.and_then(|repeat| repeat.across_mm)
    }

    /// How much of a length as bought there is to lay on, mm: shrunk, both ends squared.
    #[must_use]
    pub fn usable_length_mm(&self, bought_mm: f64) -> f64 {
        let shrink = if self.washed { 0.0 } else { self.shrink_length };
        (bought_mm * (1.0 - shrink) - 2.0 * self.squaring_mm).max(0.0)
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
        let lengths =
            [("selvedge", self.selvedge_mm), ("end", self.squaring_mm), ("gap", self.gap_mm), ("spare", self.spare_mm)];
        for (what, mm) in lengths {
            if !(0.0..=FURTHEST_MM).contains(&mm) {
                return Err(LayError::Allowance { what, value: both(mm) });
            }
        }
        /// Less than 1/4 in is a texture that nobody matches (judgement).
        const FINEST_MM: f64 = 6.35;
        for mm in [self.repeat_along_mm(), self.repeat_across_mm()].into_iter().flatten() {
            if !(FINEST_MM..=WIDEST_MM).contains(&mm) {
                return Err(LayError::Repeat { value: both(mm) });
            }
        }
        if self.layout == Layout::Crosswise && self.is_one_way() {
            return Err(LayError::CrosswiseOneWay);
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
        let repeat = Some(Repeat { along_mm: Some(3.0), across_mm: None });
        assert!(said(Cloth { repeat, ..cloth }).contains("0.3 cm"));
        assert!(said(Cloth { spare_mm: -1.0, ..cloth }).contains("spare"));
        for nap in [Nap::One, Nap::PerGarment] {
            let told = said(Cloth { nap, layout: Layout::Crosswise, ..cloth });
            assert!(told.contains("the other way") && told.contains("end for end"), "{told}");
        }
    }
}
