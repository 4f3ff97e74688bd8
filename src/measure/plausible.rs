//! “Check the tape”: measures that do not go together, said in words.
//!
//! Nothing here refuses a value. A slip of the tape (13 for 31, centimetres typed
//! as inches, the wrong waist) is seen by what the other measures say; a true but
//! unusual body raises a hint too, and the hint says so: keep it.

use std::collections::BTreeMap;

use super::bands::{Fit, LINES, Line, ORDERS, SHARES};
use super::dimension::{DimensionClass, dimension, term};
use super::{Length, Showing};

/// Who is measured, as far as it changes what goes together.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Who {
    /// A grown woman.
    Woman,
    /// A grown man.
    Man,
    /// A child: growing, other proportions, no survey figures.
    Child,
    /// A grown person of whom it was not said: either band will do.
    #[default]
    Unknown,
}

/// One thing to look at again.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Hint {
    /// The keys concerned; the first is the one to measure again first.
    pub keys: Vec<String>,
    /// What does not go together, with both values, the usual band and the remedy.
    pub text: String,
}

/// How far from its line a measure may lie: 3.3 standard deviations leave out one
/// adult in a thousand on each line; slips of 5 in and more at the hip are seen.
const SPREADS: f64 = 3.3;

/// Beyond two standard deviations of the survey's own people a line is a guess,
/// and its band grows by this share for each further one (judgement).
const BEYOND: f64 = 0.25;

/// What does not go together in this body. Values in `body` are keyed by dimension;
/// keys of the shop's own are passed over. A wrong value is named once by its own
/// usual range rather than once by each neighbour.
#[must_use]
pub fn hints(body: &BTreeMap<String, Length>, who: Who, showing: Showing) -> Vec<Hint> {
    let mut hints = Vec::new();
    if who != Who::Child {
        hints.extend(body.iter().filter_map(|(key, value)| unusual(key, *value, showing)));
    }
    let far: Vec<String> = hints.iter().flat_map(|hint| hint.keys.clone()).collect();
    let pair = |of: &str, from: &str| {
        let named = far.iter().any(|key| key == of || key == from);
        if named { None } else { body.get(of).copied().zip(body.get(from).copied()) }
    };
    let mut seen: Vec<(&str, &str)> = Vec::new();
    for order in ORDERS {
        if let Some((smaller, larger)) = pair(order.smaller, order.larger)
            && smaller > larger
        {
            hints.push(wrong_way_round(order.smaller, order.larger, smaller, larger, showing));
            seen.push((order.smaller, order.larger));
        }
    }
    let told = |seen: &[(&str, &str)], a: &str, b: &str| seen.iter().any(|p| *p == (a, b) || *p == (b, a));
    for line in LINES {
        if let Some((value, known)) = pair(line.of, line.from)
            && !told(&seen, line.of, line.from)
            && let Some(band) = band(line, who, known)
            && !band.holds(value)
        {
            hints.push(outside(line.of, line.from, value, known, band, showing));
        }
    }
    for share in SHARES.iter().filter(|share| !share.children || who == Who::Child) {
        if let Some((value, known)) = pair(share.of, share.from)
            && !told(&seen, share.of, share.from)
        {
            let band = Band { least: known.mm() * share.least, most: known.mm() * share.most };
            if !band.holds(value) {
                hints.push(outside(share.of, share.from, value, known, band, showing));
            }
        }
    }
    hints.extend(bust_over_frame(body, who, showing));
    hints.extend(balance(body, who, showing));
    hints.extend(two_waists(body, showing));
    hints.extend(rise_of_the_legs(body, showing));
    hints
}

/// What changed so much since the last measures that one of the two is likely a
/// slip. Children grow: for them only what became smaller is named.
#[must_use]
pub fn changes(
    before: &BTreeMap<String, Length>,
    now: &BTreeMap<String, Length>,
    who: Who,
    showing: Showing,
) -> Vec<Hint> {
    /// A girth that changed by this share and by this much: judgement; 2 in at a 25 in waist.
    const GIRTH_SHARE: f64 = 0.08;
    const GIRTH_MM: f64 = 25.0;
    /// A grown person's lengths and widths stay; two fitters differ by an inch at most (judgement).
    const LENGTH_SHARE: f64 = 0.05;
    const LENGTH_MM: f64 = 25.0;
    now.iter()
        .filter_map(|(key, value)| {
            let old = before.get(key)?;
            let row = dimension(key)?;
            let (share, least) = match row.class {
                DimensionClass::Girth => (GIRTH_SHARE, GIRTH_MM),
                DimensionClass::Length | DimensionClass::Width => (LENGTH_SHARE, LENGTH_MM),
                DimensionClass::Finished => return None,
            };
            let change = value.mm() - old.mm();
            let much = change.abs() > least.max(share * old.mm());
            let grew = who == Who::Child && change > 0.0;
            (much && !grew).then(|| Hint {
                keys: vec![key.clone()],
                text: format!(
                    "{} was {} last time and is {} now, {} {}. Measure again, or keep it if the figure has changed.",
                    row.term,
                    showing.with_unit(*old),
                    showing.with_unit(*value),
                    showing.with_unit((*value - *old).abs()),
                    if change > 0.0 { "more" } else { "less" },
                ),
            })
        })
        .collect()
}

/// A usual range in millimetres, both ends included.
#[derive(Clone, Copy, Debug)]
struct Band {
    least: f64,
    most: f64,
}

impl Band {
    fn holds(self, value: Length) -> bool {
        (self.least..=self.most).contains(&value.mm())
    }

    fn words(self, showing: Showing) -> String {
        let write = |mm: f64| Length::from_mm(mm.max(0.0)).map_or_else(|| "?".into(), |at| showing.with_unit(at));
        format!("{} to {}", write(self.least), write(self.most))
    }
}

/// What a line says of a value, for this person; `None` where no survey speaks.
fn band(line: &Line, who: Who, known: Length) -> Option<Band> {
    let of = |fit: Fit| {
        let away = ((known.mm() - fit.mean) / fit.sd).abs();
        let spread = SPREADS * fit.spread * (1.0 + BEYOND * (away - 2.0).max(0.0));
        let expected = fit.intercept + fit.slope * known.mm();
        Band { least: expected - spread, most: expected + spread }
    };
    match who {
        Who::Woman => line.woman.map(of),
        Who::Man => line.man.map(of),
        Who::Child => None,
        Who::Unknown => {
            let (woman, man) = (line.woman.map(of)?, line.man.map(of)?);
            Some(Band { least: woman.least.min(man.least), most: woman.most.max(man.most) })
        }
    }
}

fn unusual(key: &str, value: Length, showing: Showing) -> Option<Hint> {
    let row = dimension(key).filter(|row| row.class != DimensionClass::Finished)?;
    if (row.grown_least..=row.grown_most).contains(&value) {
        return None;
    }
    let text = format!(
        "{} {}: a grown person usually has {} to {}. Check the number and the unit, measure again, or keep it.",
        row.term,
        showing.with_unit(value),
        showing.with_unit(row.grown_least),
        showing.with_unit(row.grown_most)
    );
    Some(Hint { keys: vec![key.into()], text })
}

fn wrong_way_round(small: &str, large: &str, smaller: Length, larger: Length, showing: Showing) -> Hint {
    let text = format!(
        "{} {} is more than {} {}; usually it is less. Check that the two were not exchanged, measure again, or keep it.",
        term(small),
        showing.with_unit(smaller),
        in_sentence(large),
        showing.with_unit(larger)
    );
    Hint { keys: vec![small.into(), large.into()], text }
}

fn outside(of: &str, from: &str, value: Length, known: Length, band: Band, showing: Showing) -> Hint {
    let text = format!(
        "{} {}: beside {} {} it is usually {}. Measure both again, or keep it.",
        term(of),
        showing.with_unit(value),
        in_sentence(from),
        showing.with_unit(known),
        band.words(showing)
    );
    Hint { keys: vec![of.into(), from.into()], text }
}

/// A term inside a sentence: `waist girth`.
fn in_sentence(key: &str) -> String {
    term(key).to_lowercase()
}

/// Bust less high bust: cup 0 to 25 cm (drafting.md), and in ASTM D5585-11e1,
/// Table 1, the high bust of the smallest size lies 5/8 in above the bust.
fn bust_over_frame(body: &BTreeMap<String, Length>, who: Who, showing: Showing) -> Option<Hint> {
    const LEAST_MM: f64 = -40.0;
    const MOST_MM: f64 = 260.0;
    if matches!(who, Who::Man | Who::Child) {
        return None;
    }
    let frame = *body.get("upper_chest_girth")?;
    let bust = *body.get("bust_girth")?;
    let band = Band { least: frame.mm() + LEAST_MM, most: frame.mm() + MOST_MM };
    (!band.holds(bust)).then(|| outside("bust_girth", "upper_chest_girth", bust, frame, band, showing))
}

/// Balance: front waist length less back waist length and neck rise. Usual −0.5 to
/// +6 cm, outside −2 to +8 check the tape (drafting.md, from memory of trade
/// teaching); the neck rise is 2 to 2.5 cm there.
fn balance(body: &BTreeMap<String, Length>, who: Who, showing: Showing) -> Option<Hint> {
    const RISE_MM: f64 = 22.5;
    const LEAST_MM: f64 = -20.0;
    const MOST_MM: f64 = 80.0;
    if who == Who::Child {
        return None;
    }
    let front = *body.get("front_waist_length")?;
    let back = *body.get("back_waist_length")?;
    let start = back.mm() + RISE_MM;
    let band = Band { least: start + LEAST_MM, most: start + MOST_MM };
    (!band.holds(front)).then(|| outside("front_waist_length", "back_waist_length", front, back, band, showing))
}

/// The natural waist is the narrower: 14 cm on average among the women of bdims,
/// 3 cm among the men. More than 3 cm the other way, the two were exchanged.
fn two_waists(body: &BTreeMap<String, Length>, showing: Showing) -> Option<Hint> {
    const SLACK_MM: f64 = 30.0;
    let natural = *body.get("waist_girth")?;
    let navel = *body.get("navel_waist_girth")?;
    (natural.mm() > navel.mm() + SLACK_MM)
        .then(|| wrong_way_round("waist_girth", "navel_waist_girth", natural, navel, showing))
}

/// Outside leg less inside leg is the rise, near enough: more than 9 cm (judgement)
/// between the two means that one of three tapes slipped.
fn rise_of_the_legs(body: &BTreeMap<String, Length>, showing: Showing) -> Option<Hint> {
    const SLACK_MM: f64 = 90.0;
    let outside = *body.get("outside_leg_length")?;
    let inside = *body.get("inside_leg_length")?;
    let rise = *body.get("body_rise")?;
    let legs = outside - inside;
    ((legs - rise).mm().abs() > SLACK_MM).then(|| Hint {
        keys: vec!["body_rise".into(), "inside_leg_length".into(), "outside_leg_length".into()],
        text: format!(
            "Body rise {}: outside leg {} less inside leg {} leaves {}, and the two are usually within {}. \
             Measure again, or keep it.",
            showing.with_unit(rise),
            showing.with_unit(outside),
            showing.with_unit(inside),
            showing.with_unit(legs),
            showing.with_unit(Length::tenths_of_mm(900))
        ),
    })
}

#[cfg(test)]
mod tests {
    use super::super::{Unit, read_length};
    use super::*;
    use proptest::prelude::*;

    fn body(values: &[(&str, &str)]) -> BTreeMap<String, Length> {
        values.iter().map(|(key, text)| ((*key).into(), read_length(text, Unit::Inch).unwrap())).collect()
    }

    fn texts(values: &[(&str, &str)], who: Who) -> Vec<String> {
        hints(&body(values), who, Showing::EIGHTHS).into_iter().map(|hint| hint.text).collect()
    }

    #[test]
    fn a_usual_body_raises_nothing() {
        let usual = [("waist_girth", "31"), ("hip_girth", "39"), ("bust_girth", "37 1/2"), ("thigh_girth", "22 1/2")];
        for who in [Who::Woman, Who::Unknown, Who::Child] {
            assert_eq!(texts(&usual, who), Vec::<String>::new());
        }
    }

    #[test]
    fn digits_exchanged_are_seen() {
        let slips = [
            ([("waist_girth", "13"), ("hip_girth", "39")], "Waist girth 13 in"),
            ([("waist_girth", "31"), ("hip_girth", "93")], "Hip girth 93 in"),
            ([("waist_girth", "92"), ("hip_girth", "39")], "Waist girth 92 in"),
            ([("bust_girth", "63"), ("waist_girth", "28")], "Bust girth 63 in"),
        ];
        for (slip, start) in slips {
            let found = texts(&slip, Who::Woman);
            assert_eq!(found.len(), 1, "{slip:?}: {found:?}");
            assert!(found.iter().all(|text| text.starts_with(start)), "{found:?}");
        }
    }

    #[test]
    fn centimetres_typed_as_inches_are_seen_and_inches_as_centimetres() {
        assert_eq!(texts(&[("waist_girth", "79.4"), ("hip_girth", "39")], Who::Woman).len(), 1);
        assert_eq!(texts(&[("waist_girth", "31 cm"), ("hip_girth", "99 cm")], Who::Man).len(), 1);
    }

    #[test]
    fn a_hip_below_the_waist_is_a_hint_with_both_values_and_a_remedy() {
        assert_eq!(
            texts(&[("waist_girth", "40"), ("hip_girth", "38 1/2")], Who::Woman),
            vec![
                "Waist girth 40 in is more than hip girth 38 1/2 in; usually it is less. \
                 Check that the two were not exchanged, measure again, or keep it."
            ]
        );
    }

    #[test]
    fn an_under_bust_above_the_bust_and_a_bust_far_from_its_frame_are_seen() {
        assert_eq!(texts(&[("under_bust_girth", "38"), ("bust_girth", "36")], Who::Woman).len(), 1);
        assert_eq!(texts(&[("upper_chest_girth", "48"), ("bust_girth", "36")], Who::Woman).len(), 1);
        assert_eq!(texts(&[("upper_chest_girth", "36"), ("bust_girth", "46")], Who::Woman).len(), 0);
    }

    #[test]
    fn rows_of_a_published_size_table_raise_nothing() {
        // ASTM D5585-11e1, Table 1 (inches): sizes 00, 8 and 20, waist of the curvy and of the straight figure.
        let rows = [
            ["31 1/8", "25 3/4", "31 3/4", "23 7/8", "13 1/4", "12 3/8", "37 1/8"],
            ["36 1/4", "30", "35 7/8", "28", "14 5/8", "13 5/8", "40 1/2"],
            ["46", "39 5/8", "43 7/8", "40 1/2", "16 3/8", "16", "46 7/8"],
        ];
        let keys = [
            "bust_girth",
            "under_bust_girth",
            "upper_chest_girth",
            "waist_girth",
            "neck_base_girth",
            "neck_girth",
            "shoulder_girth",
        ];
        for row in rows {
            let values: Vec<_> = keys.into_iter().zip(row).collect();
            assert_eq!(texts(&values, Who::Woman), Vec::<String>::new(), "{row:?}");
        }
    }

    #[test]
    fn balance_legs_and_waists_are_watched() {
        assert_eq!(texts(&[("front_waist_length", "20 1/2"), ("back_waist_length", "16")], Who::Woman).len(), 1);
        assert_eq!(texts(&[("front_waist_length", "18"), ("back_waist_length", "16")], Who::Woman).len(), 0);
        let legs = [("outside_leg_length", "41"), ("inside_leg_length", "25"), ("body_rise", "11")];
        assert_eq!(texts(&legs, Who::Woman).len(), 1);
        assert_eq!(texts(&[("waist_girth", "36"), ("navel_waist_girth", "30")], Who::Woman).len(), 1);
    }

    #[test]
    fn a_child_is_not_held_to_grown_figures_but_slips_are_seen() {
        let child = [("waist_girth", "21"), ("hip_girth", "23"), ("bust_girth", "22"), ("stature", "42")];
        assert_eq!(texts(&child, Who::Child), Vec::<String>::new());
        assert_eq!(texts(&[("waist_girth", "12"), ("hip_girth", "23")], Who::Child).len(), 1);
    }

    #[test]
    fn what_changed_much_is_named_and_a_growing_child_is_not() {
        let (before, now) = (body(&[("waist_girth", "31")]), body(&[("waist_girth", "35")]));
        let found = changes(&before, &now, Who::Woman, Showing::EIGHTHS);
        assert_eq!(
            found.first().map(|hint| hint.text.as_str()),
            Some(
                "Waist girth was 31 in last time and is 35 in now, 4 in more. Measure again, or keep it if the figure has changed."
            )
        );
        assert!(changes(&before, &now, Who::Child, Showing::EIGHTHS).is_empty());
        assert_eq!(changes(&now, &before, Who::Child, Showing::EIGHTHS).len(), 1);
        assert!(changes(&before, &body(&[("waist_girth", "32")]), Who::Woman, Showing::EIGHTHS).is_empty());
        assert!(
            changes(&body(&[("waist_to_hem", "20")]), &body(&[("waist_to_hem", "40")]), Who::Woman, Showing::EIGHTHS)
                .is_empty()
        );
    }

    #[test]
    fn every_key_of_the_bands_is_a_dimension() {
        let lines = LINES.iter().flat_map(|line| [line.of, line.from]);
        let orders = ORDERS.iter().flat_map(|order| [order.smaller, order.larger]);
        let shares = SHARES.iter().flat_map(|share| [share.of, share.from]);
        for key in lines.chain(orders).chain(shares) {
            assert!(dimension(key).is_some(), "{key}");
        }
    }

    proptest! {
        #[test]
        fn any_figures_at_all_give_words_and_never_a_fall(nm in proptest::collection::vec(any::<i64>(), 12), at in 0usize..40) {
            let rows = super::super::dimensions();
            let body: BTreeMap<String, Length> = rows.iter().cycle().skip(at).zip(nm)
                .map(|(row, nm)| (row.key.to_owned(), Length::from_nm(nm))).collect();
            for who in [Who::Woman, Who::Man, Who::Child, Who::Unknown] {
                for hint in hints(&body, who, Showing::MILLIMETRES) {
                    prop_assert!(!hint.keys.is_empty() && hint.text.contains("keep it"));
                }
            }
        }
    }
}
