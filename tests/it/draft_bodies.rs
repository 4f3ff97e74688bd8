//! All styles of the book on seeded bodies: means, spreads and correlations of ANSUR II
//! and bdims, as committed in `src/demo/survey.rs` with their sources.

use std::collections::BTreeMap;

use bodkin::demo::seeded_body;
use bodkin::draft::{BOOK, DraftError, Input, Style, draft};
use bodkin::measure::{Length, Showing, Who};
use proptest::prelude::*;
use rand::SeedableRng;

/// Seeded women; the same bodies each run.
fn bodies(count: usize) -> Vec<BTreeMap<String, Length>> {
    bodies_for("women", count)
}

/// Seeded bodies of those whom a style is for; the same bodies each run.
fn bodies_for(wearer: &str, count: usize) -> Vec<BTreeMap<String, Length>> {
    let mut rng = rand_pcg::Pcg64::seed_from_u64(1916);
    let who = match wearer {
        "men" => Who::Man,
        "children" => Who::Child,
        _ => Who::Woman,
    };
    (0..count).map(|_| seeded_body(&mut rng, who)).collect()
}

#[test]
fn forty_bodies_draft_and_prove_themselves() {
    // Hundreds and thousands of them are drafted by the optimised program: tests/outside/bodies.py.
    for book in BOOK {
        let style = Style::read(book.text).unwrap();
        let bodies = bodies_for(style.wearer(), 40);
        let (mut drafted, mut refused) = (0, Vec::new());
        for (n, body) in bodies.iter().enumerate() {
            let mut input = Input::new(Showing::EIGHTHS);
            input.body.clone_from(body);
            match draft(&style, &input) {
                Ok(draft) => {
                    drafted += 1;
                    for truth in &draft.truths {
                        assert!(truth.held, "{} on body {n}: {}: {}", book.key, truth.what, truth.found);
                    }
                }
                Err(error) => refused.push(format!("body {n}: {error}")),
            }
        }
        assert!(refused.is_empty(), "{} refused {}: {:?}", book.key, refused.len(), refused);
        assert_eq!(drafted + refused.len(), 40);
    }
}

#[test]
fn choices_at_their_limits_draft_or_say_why() {
    for book in BOOK {
        let style = Style::read(book.text).unwrap();
        let bodies = bodies_for(style.wearer(), 2);
        for choice in style.choices() {
            let values: Vec<String> = match &choice.kind {
                bodkin::draft::ChoiceKind::Length { least, most, .. } => {
                    vec![format!("{least:.3} mm"), format!("{most:.3} mm")]
                }
                bodkin::draft::ChoiceKind::Number { least, most, .. } => vec![least.to_string(), most.to_string()],
                bodkin::draft::ChoiceKind::Word { options, .. } => {
                    options.iter().map(|(word, _)| word.clone()).collect()
                }
            };
            for value in values {
                for body in &bodies {
                    let mut input = Input::new(Showing::EIGHTHS);
                    input.body.clone_from(body);
                    input.choices.insert(choice.key.clone(), value.clone());
                    match draft(&style, &input) {
                        Ok(draft) => {
                            // A zip too short for her hip is hers to hear of, and the only thing that may fail.
                            let says = |t: &&bodkin::draft::Truth| !t.held && t.what != "She can get into it";
                            let failed: Vec<_> = draft.truths.iter().filter(says).collect();
                            assert!(failed.is_empty(), "{} {}={value}: {failed:?}", book.key, choice.key);
                        }
                        Err(DraftError::Refused(words) | DraftError::Unsolved(words)) => assert!(words.len() > 20),
                        Err(other) => panic!("{} {}={value}: {other}", book.key, choice.key),
                    }
                }
            }
        }
    }
}

/// A skirt that does not taper, with the frill along the over-front alone: the over-front's
/// side meets its hem where the back's side goes on.
#[test]
fn an_over_front_that_ends_at_its_frill_is_no_fault() {
    let style = Style::read(BOOK.iter().find(|book| book.key == "wrap_skirt").unwrap().text).unwrap();
    let mut input = Input::new(Showing::EIGHTHS);
    input.body = bodies(1).remove(0);
    input.choices.insert("frill_along".into(), "leading_edge_and_over_front_hem".into());
    input.choices.insert("taper".into(), "0 in".into());
    let draft = draft(&style, &input).unwrap();
    let failed: Vec<_> = draft.truths.iter().filter(|truth| !truth.held).collect();
    assert!(failed.is_empty(), "{failed:?}");
}

/// A waist low over the hip: the side still leans where the facing ends, so the facings'
/// lower edges make a corner inside the garment, which is trimmed and no fault.
#[test]
fn facings_of_a_low_waist_are_no_fault() {
    let style = Style::read(BOOK.iter().find(|book| book.key == "wrap_skirt").unwrap().text).unwrap();
    let mut input = Input::new(Showing::MILLIMETRES);
    for (key, mm) in [("waist_girth", 890.0), ("hip_girth", 1017.0), ("waist_to_hip", 130.0)] {
        input.body.insert(key.into(), Length::from_mm(mm).unwrap());
    }
    let draft = draft(&style, &input).unwrap();
    let failed: Vec<_> = draft.truths.iter().filter(|truth| !truth.held).collect();
    assert!(failed.is_empty(), "{failed:?}");
}

/// Styles that need a waist and a hip alone.
const SKIRTS: [&str; 6] =
    ["straight_skirt", "wrap_skirt", "flared_skirt", "circle_skirt", "gathered_skirt", "pleated_skirt"];

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    /// Whatever is measured and chosen, a draft comes out or a sentence: no panic, no
    /// truth that fails in silence.
    #[test]
    fn any_body_drafts_or_says_why(waist in 18.0_f64..60.0, more in -6.0_f64..16.0, long in 10.0_f64..48.0, style in 0_usize..SKIRTS.len()) {
        let style = Style::read(BOOK.iter().find(|book| book.key == SKIRTS[style]).unwrap().text).unwrap();
        let mut input = Input::new(Showing::EIGHTHS);
        input.body.insert("waist_girth".into(), Length::from_mm(waist * 25.4).unwrap());
        input.body.insert("hip_girth".into(), Length::from_mm((waist + more) * 25.4).unwrap());
        input.choices.insert("finished_length".into(), format!("{long:.3} in"));
        match draft(&style, &input) {
            Ok(draft) => for truth in draft.truths.iter().filter(|t| !t.held) {
                prop_assert!(truth.what == "She can get into it", "{}: {}", truth.what, truth.found);
            },
            Err(error) => prop_assert!(error.to_string().len() > 15),
        }
    }

    /// A larger girth never makes a narrower finished width at its level.
    #[test]
    fn larger_girths_never_come_out_narrower(waist in 24.0_f64..44.0, more in 4.0_f64..12.0, step in 0.05_f64..2.0) {
        for book in BOOK.iter().filter(|b| SKIRTS.contains(&b.key) && b.key != "gathered_skirt") {
            let style = Style::read(book.text).unwrap();
            let measured = |hip: f64| {
                let mut input = Input::new(Showing::EIGHTHS);
                input.body.insert("waist_girth".into(), Length::from_mm(waist * 25.4).unwrap());
                input.body.insert("hip_girth".into(), Length::from_mm(hip * 25.4).unwrap());
                draft(&style, &input).ok().map(|d| d.measured.iter().find(|m| m.key == "hip_girth").map(|m| m.mm))
            };
            if let (Some(Some(a)), Some(Some(b))) = (measured(waist + more), measured(waist + more + step)) {
                prop_assert!(b >= a - 0.01, "{}: {a} then {b}", book.key);
            }
        }
    }
}
