//! Cloth as it lies on the shelves of Port Ostrel and under clients' arms. Prices
//! by the yard in cedis: judgement, believable beside the rate of the workroom.

use rand::{Rng, RngExt};

use crate::draft::Draft;
use crate::measure::Length;
use crate::shop::{ClothFacts, Currency, Money, PricedBy};

use super::house::cedis;

/// Words, width in inches, price of a yard, whether it is one-way.
const CLOTHS: [(&str, i64, i64, bool); 16] = [
    ("wax print, indigo shells on white", 45, 42, true),
    ("wax print, orange swallows", 46, 38, true),
    ("wax print, green cowries, a flaw near one end", 45, 36, true),
    ("batik, wine red, fine crackle", 44, 48, false),
    ("cotton poplin, navy", 58, 32, false),
    ("cotton poplin, white", 58, 30, false),
    ("school twill, grey", 60, 34, false),
    ("gingham, wine red, half-inch check", 45, 29, false),
    ("linen, undyed", 54, 85, false),
    ("linen, sea green", 54, 90, false),
    ("viscose, rust, small leaves", 55, 46, true),
    ("cotton lawn, pale blue sprigs", 44, 52, false),
    ("chambray, mid blue", 58, 44, false),
    ("corduroy, moss", 56, 68, true),
    ("damask, ivory", 60, 110, true),
    ("canvas, unbleached", 60, 40, false),
];

/// Cloth for a garment of this draft.
pub(super) fn cloth(rng: &mut impl Rng, draft: &Draft, brought: bool, currency: Currency) -> ClothFacts {
    let place = rng.random_range(0..CLOTHS.len());
    let (words, width, price, one_way) = CLOTHS.get(place).copied().unwrap_or(("cotton", 45, 30, false));
    let width = Length::inches(width, 0);
    let yards = yards_about(draft, width);
    // What a client brings is sold in whole yards; from the shelf it is cut to the quarter.
    let quarters = if brought { quarters(yards, 1) + 4 } else { quarters(yards, 4) };
    ClothFacts {
        words: words.into(),
        width: Some(width),
        length: Some(Length::inches(9 * quarters, 0)),
        brought,
        washed: match rng.random_range(0..4) {
            0 => None,
            1 => Some(true),
            _ => Some(false),
        },
        one_way,
        price: (!brought).then(|| Money::new(cedis(price), currency)),
        priced_by: PricedBy::Yard,
    }
}

/// Yards of this width, as an old hand guesses: every piece in its box, a fifth more.
fn yards_about(draft: &Draft, width: Length) -> f64 {
    let boxes = draft.pieces.iter().map(|piece| {
        let side = |axis: fn(&[f64; 2]) -> f64| {
            let low = piece.cutting.iter().map(axis).fold(f64::INFINITY, f64::min);
            let high = piece.cutting.iter().map(axis).fold(f64::NEG_INFINITY, f64::max);
            (high - low).max(0.0)
        };
        let halves = if piece.on_fold { 2.0 } else { 1.0 };
        side(|at| at[0]) * side(|at| at[1]) * f64::from(piece.count) * halves
    });
    let strips = draft.strips.iter().map(|strip| strip.length_mm * strip.width_mm * f64::from(strip.count));
    boxes.chain(strips).sum::<f64>() * 1.2 / width.mm() / 914.4
}

/// So many yards in quarters, rounded up to `parts` of a yard.
fn quarters(yards: f64, parts: i64) -> i64 {
    let step = 4 / parts;
    (1..200).map(|count| count * step).find(|quarters| *quarters as f64 / 4.0 >= yards).unwrap_or(40)
}
