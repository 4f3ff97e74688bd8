//! Measures as they were taken: waist and hip in a hurry, the whole body for those
//! who come often; a little growth from one set to the next.

use chrono::NaiveDate;
use rand::{Rng, RngExt, SeedableRng};
use rand_pcg::Pcg64;

use crate::measure::{DimensionClass, Length, Showing, dimension, tape_place};
use crate::shop::{ClientId, Reading, SetFacts, Source, Wearer};

use super::body::seeded_body;
use super::people::Person;

/// One set as it is to be taken.
#[derive(Clone, Copy, Debug)]
pub(super) struct Taking {
    /// Whom; a place in the list of people.
    pub(super) person: usize,
    /// First, second, … set of this person.
    pub(super) number: u32,
    /// On which day.
    pub(super) day: NaiveDate,
    /// By which tape.
    pub(super) source: Source,
}

/// What is taken for a skirt.
const IN_A_HURRY: [&str; 3] = ["waist_girth", "hip_girth", "waist_to_hip"];

/// What is taken of those who come often.
const WHOLE: [&str; 17] = [
    "neck_girth",
    "bust_girth",
    "upper_chest_girth",
    "under_bust_girth",
    "waist_girth",
    "hip_girth",
    "waist_to_hip",
    "upper_arm_girth",
    "wrist_girth",
    "shoulder_length",
    "across_back_width",
    "back_waist_length",
    "front_waist_length",
    "waist_to_knee",
    "outside_leg_length",
    "arm_length",
    "nape_to_floor",
];

/// The set as it was written down.
pub(super) fn set(taking: &Taking, person: &Person, wearer: ClientId, seed: u64) -> SetFacts {
    let place = u64::try_from(taking.person).unwrap_or(0);
    // The same body every time, whatever else is drawn.
    let body = seeded_body(&mut Pcg64::seed_from_u64(seed ^ (place << 20)), person.wearer.who());
    let mut rng = Pcg64::seed_from_u64(seed ^ (place << 32) ^ u64::from(taking.number));
    let keys: &[&str] = if person.whole && taking.source != Source::Paper { &WHOLE } else { &IN_A_HURRY };
    let mut readings: Vec<Reading> = keys
        .iter()
        // In a hurry the hip line is often left at the usual 8 in.
        .filter(|key| **key != "waist_to_hip" || person.whole || taking.person.is_multiple_of(2))
        .filter_map(|key| Some(reading(key, *body.get(*key)?, taking, person.wearer, &mut rng)))
        .collect();
    readings.sort_by_key(|reading| tape_place(&reading.dimension));
    let over = if rng.random_bool(0.3) { "over a thin dress" } else { "" };
    let note = match taking.source {
        Source::Paper => "From her card of the old box.",
        Source::Import => "From the list that her last dressmaker sent.",
        _ => "",
    };
    SetFacts {
        wearer,
        day: taking.day,
        over: over.into(),
        source: taking.source,
        note: note.into(),
        figure: [person.figure].iter().filter(|words| !words.is_empty()).map(|words| (*words).into()).collect(),
        readings,
        corrects: None,
        garment: None,
    }
}

fn reading(key: &str, at_first: Length, taking: &Taking, wearer: Wearer, rng: &mut impl Rng) -> Reading {
    let is_girth = dimension(key).is_none_or(|row| row.class == DimensionClass::Girth);
    let later = f64::from(taking.number.saturating_sub(1));
    // A child of school age grows by some 3 % a season; the girth of a grown body moves a little (judgement).
    let growth = match wearer {
        Wearer::Child => 1.0 + 0.015 * later,
        _ if is_girth && later > 0.0 => 1.0 + rng.random_range(-0.008..0.014),
        _ => 1.0,
    };
    let length = Length::from_mm(at_first.mm() * growth).unwrap_or(at_first).rounded_to(Length::inches(0, 1));
    let typed = Showing::EIGHTHS.number(length);
    Reading { dimension: key.into(), length, typed, number: 1, source: taking.source }
}
