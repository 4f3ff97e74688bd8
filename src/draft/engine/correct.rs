//! Standing corrections: what fittings showed, added to the body before it is drafted.
//!
//! A garment is not altered after it was drafted; the next one is drafted for the body as
//! corrected. So every rule, check and measuring back sees the same figure, and the
//! draft says first how it came about: `29 + 1/2 (fitting 3 May) = 29 1/2`.

use super::super::drafted::{Assumed, Dimension};
use super::super::formula::Value;
use super::super::style::Style;
use super::super::working::{Amount, Term, Working};
use super::input::{DraftError, Input};
use crate::measure::{BodySide, DimensionClass, Length, dimension, tape_place, term};

/// What a fitting showed of one dimension of a body.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Correction {
    /// The body dimension: `waist_girth`.
    pub key: String,
    /// The wearer's side, when it is one alone.
    pub side: Option<BodySide>,
    /// How much on that side (or in all): out and longer above nought, in and shorter below.
    pub amount: Length,
    /// Where it comes from, in words: `fitting 3 May 2026`.
    pub words: String,
}

/// A dimension with its corrections, as it counts when one side is drafted for both, or
/// (`None`) when both are drafted alike: then the mean of the two, so that both sides
/// together are right.
///
/// What is let out of one side makes a girth or a width across the body larger by just that;
/// drafted as if both sides were alike it counts twice on its own side and not at all on the
/// other. A length (shoulder, back, arm) is of each side by itself.
#[must_use]
pub fn corrected(corrections: &[Correction], key: &str, mm: f64, side: Option<BodySide>) -> f64 {
    of_key(corrections, key).map(|one| share(one, side) * one.amount.mm()).fold(mm, |sum, part| sum + part)
}

/// How many times a correction counts when this side (or `None`: both alike) is drafted.
fn share(correction: &Correction, drafted: Option<BodySide>) -> f64 {
    let Some(own) = correction.side else { return 1.0 };
    let on_its_side = if goes_across(&correction.key) { 2.0 } else { 1.0 };
    match drafted {
        None => on_its_side / 2.0,
        Some(side) if side == own => on_its_side,
        Some(_) => 0.0,
    }
}

/// Whether a dimension holds both sides of a body: round it or across it.
fn goes_across(key: &str) -> bool {
    dimension(key).is_some_and(|row| matches!(row.class, DimensionClass::Girth | DimensionClass::Width))
}

fn of_key<'a>(corrections: &'a [Correction], key: &'a str) -> impl Iterator<Item = &'a Correction> {
    corrections.iter().filter(move |one| one.key == key)
}

/// A value of the body as the rules take it.
pub(super) fn corrected_body(input: &Input, key: &str, mm: f64) -> Value<'static> {
    Value::mm(corrected(&input.corrections, key, mm, None))
}

/// A line with the arithmetic for each dimension of this style that is corrected, in tape order.
///
/// # Errors
/// [`DraftError::Refused`] when nothing of a dimension is left.
pub(super) fn told_corrections(
    style: &Style,
    input: &Input,
    assumed: &[Assumed],
) -> Result<Vec<Dimension>, DraftError> {
    let mut keys: Vec<&str> = input.corrections.iter().map(|one| one.key.as_str()).collect();
    keys.sort_by_key(|key| (tape_place(key), *key));
    keys.dedup();
    let reads = |key: &str| style.needs.iter().any(|need| need == key) || style.assume.iter().any(|one| one.key == key);
    keys.into_iter()
        .filter(|key| reads(key))
        .filter_map(|key| {
            let taken = input.body.get(key).map(|length| length.mm());
            let before = taken.or_else(|| assumed.iter().find(|one| one.key == key).map(|one| one.mm))?;
            Some(told(input, key, before))
        })
        .collect()
}

fn told(input: &Input, key: &str, before: f64) -> Result<Dimension, DraftError> {
    let mm = corrected(&input.corrections, key, before, None);
    if mm <= 0.0 {
        let written = |mm: f64| Length::from_mm(mm).map_or_else(String::new, |length| input.showing.with_unit(length));
        return Err(DraftError::Refused(format!(
            "{} of {} comes to {} with its standing corrections. Measure again, or end a correction.",
            term(key),
            written(before),
            written(mm)
        )));
    }
    let mut terms = vec![Term::Amount(Amount::Mm(before))];
    for one in of_key(&input.corrections, key) {
        let sign = if one.amount < Length::ZERO { " − " } else { " + " };
        let whole = one.amount.abs().mm();
        let counts = share(one, None);
        terms.extend([Term::Sign(sign.into()), Term::Amount(Amount::Mm(whole * counts))]);
        let side = match one.side {
            None => String::new(),
            Some(side) if counts < 1.0 => format!("half, {} alone: ", side.key()),
            Some(side) => format!("{}: ", side.key()),
        };
        terms.push(Term::Sign(format!(" ({side}{})", one.words)));
    }
    terms.push(Term::Result(Amount::Mm(mm)));
    let label = format!("{} as corrected", term(key));
    Ok(Dimension { key: key.into(), label, mm: Some(mm), working: Working { terms }, chalked: true })
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::super::super::book::BOOK;
    use super::super::work::draft;
    use super::*;
    use crate::measure::Showing;

    fn one(key: &str, side: Option<BodySide>, eighths: i64, words: &str) -> Correction {
        Correction { key: key.into(), side, amount: Length::inches(0, eighths), words: words.into() }
    }

    fn skirt() -> Style {
        Style::read(BOOK.iter().find(|style| style.key == "wrap_skirt").unwrap().text).unwrap()
    }

    fn input(corrections: Vec<Correction>) -> Input {
        let mut input = Input { corrections, ..Input::new(Showing::EIGHTHS) };
        input.body.insert("waist_girth".into(), Length::inches(29, 0));
        input.body.insert("hip_girth".into(), Length::inches(39, 0));
        input
    }

    fn lines(input: &Input) -> Vec<String> {
        let draft = draft(&skirt(), input).unwrap();
        let told = draft.dimensions.iter().filter(|row| row.label.ends_with("as corrected"));
        told.map(|row| format!("{}: {}", row.label, row.working.text(input.showing))).collect()
    }

    #[test]
    fn the_working_adds_up_from_the_tape_to_what_is_drafted() {
        let out = input(vec![
            one("waist_girth", None, 4, "fitting 3 May 2026"),
            one("hip_girth", Some(BodySide::Left), -2, "fitting 9 Jun 2026"),
            one("waist_girth", None, -1, "fitting 9 Jun 2026"),
            one("arm_length", None, 8, "fitting 9 Jun 2026"),
        ]);
        // In tape order; the skirt has no arm, so its sleeve is not told.
        assert_eq!(
            lines(&out),
            [
                "Waist girth as corrected: 29 + 1/2 (fitting 3 May 2026) − 1/8 (fitting 9 Jun 2026) = 29 3/8",
                "Hip girth as corrected: 39 − 1/4 (left: fitting 9 Jun 2026) = 38 3/4",
            ]
        );
        let draft = draft(&skirt(), &out).unwrap();
        let waist = draft.dimensions.iter().find(|row| row.key == "waist_line").unwrap();
        assert_eq!(waist.working.text(out.showing), "29 3/8 ÷ 4 = 7 11/32");
        let back = draft.measured.iter().find(|row| row.key == "waist_girth").unwrap();
        let body = back.body_mm.and_then(Length::from_mm);
        assert_eq!(body, Some(Length::inches(29, 3)), "measured back against the body as corrected");
        assert!(draft.sews());
    }

    #[test]
    fn what_was_assumed_is_corrected_too_and_stays_assumed() {
        let deeper = input(vec![one("waist_to_hip", None, 4, "fitting 3 May 2026")]);
        assert_eq!(lines(&deeper), ["Waist to hip as corrected: 8 + 1/2 (fitting 3 May 2026) = 8 1/2"]);
        let draft = draft(&skirt(), &deeper).unwrap();
        let assumed = draft.assumed.iter().find(|one| one.key == "waist_to_hip").unwrap();
        assert!((assumed.mm - 203.2).abs() < 1e-9);
        let raised = input(vec![one("waist_to_hip", Some(BodySide::Right), 4, "fitting 3 May 2026")]);
        assert_eq!(
            lines(&raised),
            ["Waist to hip as corrected: 8 + 1/4 (half, right alone: fitting 3 May 2026) = 8 1/4"]
        );
    }

    #[test]
    fn nothing_is_drafted_for_a_body_that_is_corrected_away() {
        let gone = input(vec![one("waist_girth", None, -30 * 8, "fitting 3 May 2026")]);
        let words = draft(&skirt(), &gone).unwrap_err().to_string();
        assert!(words.starts_with("Waist girth of 29 in comes to "), "{words}");
        assert!(words.ends_with("Measure again, or end a correction."), "{words}");
    }

    proptest! {
        #[test]
        fn both_alike_is_the_mean_of_the_sides(
            amounts in proptest::collection::vec((-32_i64..32, 0..3_usize), 0..6),
            key in prop_oneof![Just("waist_girth"), Just("across_back_width"), Just("back_waist_length"), Just("own_thing")],
            mm in 200.0..1200.0_f64,
        ) {
            let side = |place| [None, Some(BodySide::Left), Some(BodySide::Right)][place];
            let all: Vec<Correction> = amounts.iter().map(|(eighths, at)| one(key, side(*at), *eighths, "")).collect();
            let of = |side| corrected(&all, key, mm, side);
            let mean = f64::midpoint(of(Some(BodySide::Left)), of(Some(BodySide::Right)));
            prop_assert!((of(None) - mean).abs() < 1e-9);
            // Another dimension does not move.
            prop_assert!((corrected(&all, "hip_girth", mm, None) - mm).abs() < 1e-12);
        }

        #[test]
        fn both_sides_cut_for_their_own_hold_what_was_pinned(eighths in -32_i64..32) {
            let left = [one("waist_girth", Some(BodySide::Left), eighths, "")];
            let half = |side| corrected(&left, "waist_girth", 700.0, Some(side)) / 2.0;
            let whole = half(BodySide::Left) + half(BodySide::Right);
            prop_assert!((whole - 700.0 - Length::inches(0, eighths).mm()).abs() < 1e-9);
        }
    }
}
