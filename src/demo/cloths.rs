//! Cloth as it lies on the shelves of Port Ostrel and under clients' arms. Prices
//! by the yard in cedis: judgement, believable beside the rate of the workroom.

use rand::{Rng, RngExt};

use crate::draft::Draft;
use crate::job;
use crate::measure::Length;
use crate::shop::{ClothFacts, Money, Nap, PricedBy, Settings};

use super::house::cedis;

/// Words, width in inches, price of a yard, whether it is one-way.
const CLOTHS: [(&str, i64, i64, bool); 16] = [
    ("wax print, indigo shells on white", 45, 42, true),
    ("wax print, orange swallows", 46, 38, true),
    ("wax print, green cowries", 45, 36, true),
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

/// Cloth for a garment of this draft, enough of it; so much `short` of what is needed
/// where a client brought too little.
pub(super) fn cloth(rng: &mut impl Rng, draft: &Draft, brought: bool, short: bool, settings: &Settings) -> ClothFacts {
    let from = rng.random_range(0..CLOTHS.len());
    let washed = [None, Some(true), Some(false), Some(false)].get(rng.random_range(0..4)).copied().flatten();
    // What is too wide for one cloth is cut from another.
    let mut all = CLOTHS.iter().cycle().skip(from).take(CLOTHS.len());
    let found = all.find_map(|(words, width, price, one_way)| {
        let price = (!brought).then(|| Money::new(cedis(*price), settings.currency));
        let facts = ClothFacts {
            words: (*words).into(),
            width: Some(Length::inches(*width, 0)),
            length: None,
            brought,
            comes: None,
            washed,
            nap: if *one_way { Nap::One } else { Nap::Free },
            price,
            priced_by: PricedBy::Yard,
            ..ClothFacts::UNKNOWN
        };
        let need = job::enough(draft, &facts, settings).ok()?;
        // From the shelf it is cut to the step; what a client brings was sold in whole yards.
        let length = match (brought, short) {
            (false, _) => need.to_buy,
            (true, false) => need.to_buy.rounded_up_to(YARD),
            (true, true) => Length::from_nm((need.to_buy.nm() - YARD.nm()).max(YARD.nm())),
        };
        // Looked over with the client: one print has a flaw, of one batik she brought a remnant, too.
        let flaws = match *words {
            "wax print, green cowries" if brought => "a misprint 7 in from the raw end, on the left",
            _ => "",
        };
        let remnant = brought && words.starts_with("batik");
        let lengths = if remnant { vec![Length::inches(27, 0)] } else { Vec::new() };
        Some(ClothFacts { length: Some(length), lengths, flaws: flaws.into(), ..facts })
    });
    found.unwrap_or(ClothFacts::UNKNOWN)
}

const YARD: Length = Length::inches(36, 0);
