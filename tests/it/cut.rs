//! What was cut is kept whole, and can be drawn again from what was kept.

use std::collections::BTreeMap;

use bodkin::draft::{self, BOOK, Style};
use bodkin::job::{cut_record, input, reads};
use bodkin::measure::{BodySide, Length, Showing};
use bodkin::shop::{CutCorrection, GarmentFacts, GarmentId, PersonId, Settings};

use super::job::{body, garment, seen, settings, taken, wrap_skirt};

fn again_correction(kept: &CutCorrection) -> draft::Correction {
    draft::Correction { key: kept.dimension.clone(), side: kept.side, amount: kept.amount, words: kept.words.clone() }
}

#[test]
fn what_was_cut_is_kept_whole() {
    let (style, garment, body, settings) = (wrap_skirt(), garment(), body(), settings());
    let asked = input(&style, &garment, &body, &settings);
    let draft = draft::draft(&style, &asked).unwrap();
    let record = cut_record(GarmentId::new(31), PersonId::new(1), 1_777_000_000_000, &style, &asked, &draft);
    assert_eq!(record.style_text, style.text());
    // What was assumed is kept with what was taken; what was not used is not.
    assert_eq!(record.body.get("waist_to_hip"), Some(&Length::inches(8, 0)));
    assert!(record.body.contains_key("waist_girth") && !record.body.contains_key("bust_girth"));
    assert_eq!(record.choices.get("finished_length").unwrap(), "28 in");
    let waist = record.dimensions.iter().find(|row| row.0 == "waist_line").unwrap();
    assert_eq!((waist.1.as_str(), waist.2.as_str()), ("Waist line", "29 1/2 ÷ 4 = 7 3/8"));
    assert_eq!(record.engine, env!("CARGO_PKG_VERSION"));
    // Its outlines read back as JSON, each within a micrometre.
    let outlines: serde_json::Value = serde_json::from_str(&record.outlines).unwrap();
    let pieces = outlines["pieces"].as_array().unwrap();
    assert_eq!(pieces.len(), draft.pieces.len());
    for (kept, piece) in pieces.iter().zip(&draft.pieces) {
        assert_eq!(kept["key"], piece.key.as_str());
        let cutting = kept["cutting"].as_array().unwrap();
        assert_eq!(cutting.len(), piece.cutting.len());
        for (place, point) in cutting.iter().zip(&piece.cutting) {
            for (written, exact) in [(&place[0], point[0]), (&place[1], point[1])] {
                assert!((written.as_f64().unwrap() - exact).abs() <= 0.0005 + 1e-9);
            }
        }
    }
    assert_eq!(outlines["strips"].as_array().unwrap().len(), draft.strips.len());
}

/// Equal but for a last micrometre that fell to the other side of a half.
fn nearly(a: &serde_json::Value, b: &serde_json::Value) -> bool {
    use serde_json::Value;
    match (a, b) {
        (Value::Number(x), Value::Number(y)) => (x.as_f64().unwrap() - y.as_f64().unwrap()).abs() < 0.0011,
        (Value::Array(x), Value::Array(y)) => x.len() == y.len() && x.iter().zip(y).all(|(x, y)| nearly(x, y)),
        (Value::Object(x), Value::Object(y)) => {
            x.len() == y.len() && x.iter().all(|(key, x)| y.get(key).is_some_and(|y| nearly(x, y)))
        }
        _ => a == b,
    }
}

#[test]
fn from_the_record_alone_the_same_draft_comes_out_again() {
    // A shop that allows more than any style does, in inches and in centimetres, and a garment that differs.
    let odd: BTreeMap<String, Length> =
        settings().allowances.keys().map(|name| (name.clone(), Length::tenths_of_mm(137))).collect();
    let garments = [
        garment(),
        GarmentFacts { allowances: BTreeMap::from([("side_seam".into(), Length::inches(1, 4))]), ..garment() },
        GarmentFacts { choices: BTreeMap::from([("finished_length".into(), "24".into())]), ..garment() },
    ];
    for book in BOOK {
        let style = Style::read(book.text).unwrap();
        let reaches = |choice: &draft::Choice, inches: f64| match &choice.kind {
            draft::ChoiceKind::Length { least, most, .. } => (*least..=*most).contains(&(inches * 25.4)),
            _ => false,
        };
        let skirt_long = style.choices().iter().any(|c| c.key == "finished_length" && reaches(c, 24.0));
        for (facts, showing) in garments.iter().take(if skirt_long { 3 } else { 2 }).zip([
            Showing::EIGHTHS,
            Showing::MILLIMETRES,
            Showing::SIXTEENTHS,
        ]) {
            let settings = Settings { showing, allowances: odd.clone(), ..settings() };
            let mut body = body();
            for key in style.needs() {
                body.values.entry(key.clone()).or_insert_with(|| taken(Length::inches(30, 0)));
            }
            // What she was let out at earlier fittings; a skirt has no arm to be shorter.
            body.corrections = vec![
                seen(1, "waist_girth", None, 4),
                seen(2, "waist_to_hip", Some(BodySide::Left), 2),
                seen(3, "arm_length", None, -2),
            ];
            let facts = &GarmentFacts { corrections: body.in_force(), ..facts.clone() };
            let asked = input(&style, facts, &body, &settings);
            let draft = draft::draft(&style, &asked).unwrap();
            let kept = cut_record(GarmentId::new(31), PersonId::new(1), 0, &style, &asked, &draft);
            let keys: Vec<&String> = style.choices().iter().map(|choice| &choice.key).collect();
            assert_eq!(kept.choices.len(), keys.len(), "{}", book.key);
            let read = body.corrections.iter().filter(|one| reads(&style, &one.facts.dimension)).count();
            assert_eq!(kept.corrections.len(), read, "{}", book.key);
            assert_eq!(kept.dimensions.iter().filter(|row| row.1.ends_with("as corrected")).count(), read);
            // No allowance of the shop is asked for, and its unit only to show the workings.
            let alone = draft::Input {
                body: kept.body.clone(),
                choices: kept.choices.clone(),
                allowances: BTreeMap::new(),
                figure: kept.figure.clone(),
                corrections: kept.corrections.iter().map(again_correction).collect(),
                showing: kept.showing,
            };
            let redrawn = draft::draft(&Style::read(&kept.style_text).unwrap(), &alone).unwrap();
            // Outlines to the micrometre, and every working as it was shown.
            let mut again = cut_record(GarmentId::new(31), PersonId::new(1), 0, &style, &alone, &redrawn);
            let read = |text: &str| serde_json::from_str(text).unwrap();
            assert!(nearly(&read(&again.outlines), &read(&kept.outlines)), "{}", book.key);
            again.outlines.clone_from(&kept.outlines);
            assert_eq!(again, kept, "{}", book.key);
        }
    }
}
