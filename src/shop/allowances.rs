//! Seam and hem allowances of the shop, by name.
//!
//! Two sets come with bodkin. A style, an order or an edge may differ from them.

use std::collections::BTreeMap;

use crate::measure::Length;

/// Allowances by name: `side_seam`, `hem`, …
pub type Allowances = BTreeMap<String, Length>;

/// Inches and eighths: what our own hands are used to. All *common practice* unless said otherwise.
const COMMON_PRACTICE: [(&str, i64, i64); 12] = [
    // Wide enough to let out after a fitting.
    ("side_seam", 1, 0),
    // Every seam that has no name of its own.
    ("seam", 0, 4),
    ("waist_seam", 0, 4),
    // From 3/8 to 1/2 in; 3/8 turns more easily on a curve.
    ("neck_armhole", 0, 3),
    // Trimmed after the first fitting.
    ("shoulder", 0, 6),
    ("centre_back", 1, 0),
    ("zip_opening", 0, 6),
    // Straight skirts 1 1/2 to 2 in.
    ("hem", 1, 4),
    // A circle's hem is short so that it does not need easing in.
    ("hem_flared", 0, 4),
    // Turned twice, 1/4 + 1/4.
    ("hem_frill", 0, 4),
    // Where a frill or strip is joined to itself or to the garment.
    ("join", 0, 4),
    ("sleeve_hem", 1, 0),
];

/// Baldt, Clothing for Women, 1916 (UW-Madison scan), allowances in inches, where
/// the book gives one: length seams of a skirt 1 1/2, skirt waist 1/2, bodice
/// underarm, shoulder and length seams 1, neck and armhole 1/4, centre closing 1,
/// sleeve length seams 1, sleeve ends 1/4, a turn of 1/4 on the hem. Where it gives
/// none, our own figure stands in; each such row says so.
const BALDT_1916: [(&str, i64, i64); 12] = [
    // Length seams of a skirt.
    ("side_seam", 1, 4),
    // Length seams of a bodice and of a sleeve.
    ("seam", 1, 0),
    ("waist_seam", 0, 4),
    ("neck_armhole", 0, 2),
    ("shoulder", 1, 0),
    // Centre closing.
    ("centre_back", 1, 0),
    // Our stand-in: the book knows no zip; its centre closing.
    ("zip_opening", 1, 0),
    // Our stand-in: the book's hem has no fixed depth; our 1 1/2 with its turn of 1/4.
    ("hem", 1, 6),
    // Our stand-in: our 1/2 with the book's turn of 1/4.
    ("hem_flared", 0, 6),
    // Our stand-in: our 1/4 and 1/4.
    ("hem_frill", 0, 4),
    // Our stand-in: our 1/2.
    ("join", 0, 4),
    // Sleeve ends.
    ("sleeve_hem", 0, 2),
];

/// The allowances that bodkin starts with: common practice.
#[must_use]
pub fn common_practice() -> Allowances {
    named(&COMMON_PRACTICE)
}

/// The allowances of Baldt, Clothing for Women, 1916.
#[must_use]
pub fn baldt_1916() -> Allowances {
    named(&BALDT_1916)
}

fn named(rows: &[(&str, i64, i64)]) -> Allowances {
    rows.iter().map(|(name, whole, eighths)| ((*name).into(), Length::inches(*whole, *eighths))).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn both_sets_name_the_same_allowances() {
        assert!(common_practice().keys().eq(baldt_1916().keys()));
        assert_eq!(common_practice().get("side_seam"), Some(&Length::INCH));
        assert_eq!(baldt_1916().get("side_seam"), Some(&Length::inches(1, 4)));
    }
}
