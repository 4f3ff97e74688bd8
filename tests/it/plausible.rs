//! “Check the tape” on many bodies: true ones pass, gross slips do not.

use std::collections::BTreeMap;

use bodkin::demo::seeded_body;
use bodkin::measure::{Length, Showing, Who, dimensions, hints, within_possible};
use rand::{RngExt, SeedableRng};
use rand_pcg::Pcg64;

type Body = BTreeMap<String, Length>;

const DRAWS: usize = 1500;

fn bodies(who: Who) -> Vec<Body> {
    let mut rng = Pcg64::seed_from_u64(17);
    (0..DRAWS).map(|_| seeded_body(&mut rng, who)).collect()
}

/// Beside this check, the real people of ANSUR II (every second row, 21 dimensions, the
/// survey's landmarks moved to ours) were run once by hand: 24 of 993 women and 34 of
/// 2,041 men raised a hint.
#[test]
fn at_least_97_of_100_true_bodies_raise_no_hint() {
    for who in [Who::Woman, Who::Man, Who::Child] {
        let mut told: BTreeMap<String, usize> = BTreeMap::new();
        let mut hinted = 0;
        for body in bodies(who) {
            let found = hints(&body, who, Showing::MILLIMETRES);
            hinted += usize::from(!found.is_empty());
            for hint in found {
                *told.entry(hint.keys.join(" ")).or_default() += 1;
            }
            for (key, value) in &body {
                assert_eq!(within_possible(key, *value), Ok(()));
            }
        }
        assert!(hinted * 100 <= DRAWS * 3, "{who:?}: {hinted} of {DRAWS} {told:?}");
    }
}

/// Natural waist, hip and high bust drawn apart, from bdims (Heinz et al. 2003):
/// women 69.803 (7.588), 95.653 (6.941), 86.06 (6.17) cm, correlations .812, .859, .744.
#[test]
fn the_women_of_a_second_survey_raise_no_hint_either() {
    let mut rng = Pcg64::seed_from_u64(23);
    let (hip_waist, chest_waist, chest_hip) = (0.812_f64, 0.859_f64, 0.744_f64);
    let hip_own = (1.0 - hip_waist * hip_waist).sqrt();
    let chest_by_hip = (chest_hip - hip_waist * chest_waist) / hip_own;
    let chest_own = (1.0 - chest_waist * chest_waist - chest_by_hip * chest_by_hip).sqrt();
    let mut normal = || (0..12).map(|_| rng.random::<f64>()).sum::<f64>() - 6.0;
    let mut hinted = 0;
    for _ in 0..DRAWS {
        let (a, b, c) = (normal(), normal(), normal());
        let cm = [
            ("waist_girth", 69.803 + 7.588 * a),
            ("hip_girth", 95.653 + 6.941 * (hip_waist * a + hip_own * b)),
            ("upper_chest_girth", 86.06 + 6.17 * (chest_waist * a + chest_by_hip * b + chest_own * c)),
        ];
        let body: Body =
            cm.iter().filter_map(|(key, cm)| Some(((*key).to_owned(), Length::from_mm(cm * 10.0)?))).collect();
        hinted += usize::from(!hints(&body, Who::Woman, Showing::EIGHTHS).is_empty());
    }
    assert!(hinted * 100 <= DRAWS * 3, "{hinted} of {DRAWS}");
}

/// Gross slips on one girth of an otherwise true set: digits exchanged, an inch
/// figure read as centimetres, a centimetre figure typed as inches.
#[test]
fn gross_slips_are_seen() {
    let keys = ["bust_girth", "waist_girth", "hip_girth"];
    for who in [Who::Woman, Who::Man] {
        let (mut slips, mut seen) = (0, 0);
        for body in bodies(who).into_iter().take(400) {
            let set: Body = keys.iter().filter_map(|key| Some(((*key).to_owned(), *body.get(*key)?))).collect();
            for key in keys {
                let Some(true_value) = set.get(key) else { continue };
                for wrong in slipped(*true_value) {
                    let mut with = set.clone();
                    with.insert(key.into(), wrong);
                    slips += 1;
                    let refused = within_possible(key, wrong).is_err();
                    let hinted = hints(&with, who, Showing::EIGHTHS)
                        .iter()
                        .any(|hint| hint.keys.iter().any(|named| named == key));
                    seen += usize::from(refused || hinted);
                }
            }
        }
        assert!(slips > 2000);
        assert!(seen * 100 >= slips * 97, "{who:?}: {seen} of {slips}");
    }
}

/// The gross slips of one girth.
fn slipped(value: Length) -> Vec<Length> {
    let inches = value.rounded_to(Length::INCH).nm() / Length::INCH.nm();
    let turned = inches % 10 * 10 + inches / 10;
    let mut wrong = vec![Length::from_nm(value.nm() * 254 / 100), Length::from_nm(value.nm() * 100 / 254)];
    // 34 for 43 is a slip that a large or small woman could truly be; 8 in and more is gross.
    if inches < 100 && (turned - inches).abs() >= 8 {
        wrong.push(Length::inches(turned, 0));
    }
    wrong
}

#[test]
fn every_dimension_of_the_body_is_drawn_for_a_woman() {
    let body = seeded_body(&mut Pcg64::seed_from_u64(1), Who::Woman);
    for row in dimensions() {
        let finished = row.class == bodkin::measure::DimensionClass::Finished;
        assert_eq!(body.contains_key(row.key), !finished, "{}", row.key);
    }
}
