//! What fittings showed: the words with which a garment went back, and the standing
//! correction that stays of it.

use chrono::NaiveDate;

use crate::measure::{BodySide, Length};
use crate::shop::{ClientId, CorrectionFacts, GarmentId};

/// Why a garment went back; the measure that is off, on which side, by how many eighths of an inch; a note.
type Pinned = (&'static str, &'static str, Option<BodySide>, i64, &'static str);

const PINNED: [Pinned; 5] = [
    ("waist in 1/2 in each side; let the hem hang again", "waist_girth", None, -8, ""),
    ("left side seam out 1/4 in over the hip", "hip_girth", Some(BodySide::Left), 2, "Her left hip carries the bag."),
    ("hip line 1/2 in too high", "waist_to_hip", None, 4, ""),
    ("waist too tight when she sits, out 1/4 in each side", "waist_girth", None, 4, "Try it on sitting."),
    // Of what is at hand this week.
    ("hip line too tight, side seams out 3/8 in", "hip_girth", None, 6, ""),
];

/// What was wrong with the order in this place.
pub(super) fn reason(place: usize) -> &'static str {
    PINNED.get(place % (PINNED.len() - 1)).map_or("", |(why, ..)| why)
}

/// The correction that stays of it.
pub(super) fn correction(why: &str, wearer: ClientId, garment: GarmentId, day: NaiveDate) -> Option<CorrectionFacts> {
    let (_, dimension, side, eighths, words) = PINNED.iter().find(|(known, ..)| *known == why)?;
    Some(CorrectionFacts {
        wearer,
        garment: Some(garment),
        fitting: None,
        day,
        dimension: (*dimension).into(),
        side: *side,
        amount: Length::inches(0, *eighths),
        words: (*words).into(),
    })
}
