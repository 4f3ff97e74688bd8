//! The paper that a pattern is printed on.

use crate::geom::Point;

/// A size of paper.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Paper {
    /// ISO 216, 210 × 297 mm.
    A4,
    /// 8 1/2 × 11 in.
    Letter,
    /// ISO 216, 841 × 1189 mm.
    A0,
    /// A roll 36 in wide, cut off where the pattern ends.
    Roll,
}

/// What neighbouring sheets have in common, mm: room for a strip of tape (common practice: 10 to 15).
pub const OVERLAP_MM: f64 = 10.0;

/// The longest page of the PDF standard (ISO 32000, annex C) is 14 400 units of 1/72 in,
/// 5 080 mm; a roll is cut off before that.
const LONGEST_MM: f64 = 5000.0;

impl Paper {
    /// All of them, as they are offered.
    pub const ALL: [Paper; 4] = [Paper::A4, Paper::Letter, Paper::A0, Paper::Roll];

    /// The word for it in addresses and on the command line.
    #[must_use]
    pub const fn key(self) -> &'static str {
        match self {
            Paper::A4 => "a4",
            Paper::Letter => "letter",
            Paper::A0 => "a0",
            Paper::Roll => "roll",
        }
    }

    /// The words for it.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Paper::A4 => "A4",
            Paper::Letter => "Letter",
            Paper::A0 => "A0",
            Paper::Roll => "36 in roll",
        }
    }

    /// The paper of this key, in large or small letters.
    #[must_use]
    pub fn from_key(key: &str) -> Option<Paper> {
        Paper::ALL.into_iter().find(|paper| paper.key().eq_ignore_ascii_case(key))
    }

    /// Whether whole pieces are expected on a sheet, so that no map is needed.
    #[must_use]
    pub const fn is_large(self) -> bool {
        matches!(self, Paper::A0 | Paper::Roll)
    }

    /// The size of a page whose frame is used as far down as this, mm.
    #[must_use]
    pub(super) fn page(self, used_mm: f64) -> Point {
        match self {
            Paper::A4 => [210.0, 297.0],
            Paper::Letter => [215.9, 279.4],
            Paper::A0 => [841.0, 1189.0],
            Paper::Roll => [914.4, used_mm.min(LONGEST_MM) + 2.0 * self.margin()[1]],
        }
    }

    /// The size of the frame within the margins, as long as it may be, mm.
    #[must_use]
    pub(super) fn frame(self) -> Point {
        let (page, margin) = (self.page(LONGEST_MM), self.margin());
        [page[0] - 2.0 * margin[0], page[1] - 2.0 * margin[1]]
    }

    /// What stays white at the sides and at head and foot, mm. Home printers keep up to 6 mm
    /// at the sides and 13 mm (1/2 in) at the foot, plotters less (common practice).
    #[must_use]
    pub(super) const fn margin(self) -> Point {
        match self {
            Paper::A4 | Paper::Letter => [10.0, 13.0],
            Paper::A0 | Paper::Roll => [10.0, 10.0],
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_paper_is_found_by_its_key() {
        assert!(Paper::ALL.iter().all(|paper| Paper::from_key(paper.key()) == Some(*paper)));
        assert_eq!(Paper::from_key("Letter"), Some(Paper::Letter));
        assert_eq!(Paper::from_key("napkin"), None);
    }

    #[test]
    fn no_page_is_longer_than_the_standard_allows() {
        assert!(Paper::ALL.iter().all(|paper| paper.page(1e9)[1] <= 5080.0));
    }
}
