//! Invented bodies that hang together: drawn from the survey's means, spreads and
//! correlations, the dimensions that it lacks worked out from the others.

use std::collections::BTreeMap;

use rand::{Rng, RngExt};

use crate::measure::{Length, Who};

use super::survey::{COLUMNS, MEN, Survey, WOMEN};

/// A body of this kind, every dimension of the tape, to the millimetre. Equal
/// draws from equal generators. `Who::Unknown` draws a woman.
pub fn seeded_body(rng: &mut impl Rng, who: Who) -> BTreeMap<String, Length> {
    let mut body: BTreeMap<&str, f64> = match who {
        Who::Man => grown(rng, MEN),
        Who::Woman | Who::Unknown => grown(rng, WOMEN),
        Who::Child => child(rng),
    };
    complete(rng, &mut body, who);
    body.into_iter()
        .filter_map(|(key, mm)| Some((key.to_owned(), Length::from_mm(mm)?.rounded_to(Length::MILLIMETRE))))
        .collect()
}

/// A standard normal deviate (Box and Muller 1958), held within ±3 so that no
/// invented client is a freak.
pub(super) fn normal(rng: &mut impl Rng) -> f64 {
    let radius = (-2.0 * (1.0 - rng.random::<f64>()).ln()).sqrt();
    (radius * (std::f64::consts::TAU * rng.random::<f64>()).cos()).clamp(-3.0, 3.0)
}

/// The surveyed dimensions, correlated by the Cholesky factor of their correlations.
fn grown(rng: &mut impl Rng, survey: Survey) -> BTreeMap<&'static str, f64> {
    let factor = cholesky(survey);
    let draws: Vec<f64> = survey.iter().map(|_| normal(rng)).collect();
    let rows = COLUMNS.iter().zip(survey).zip(&factor);
    rows.map(|((key, (mean, sd, _)), row)| {
        let together: f64 = row.iter().zip(&draws).map(|(weight, draw)| weight * draw).sum();
        (*key, mean + sd * together)
    })
    .collect()
}

/// The lower triangle L with L·Lᵀ the correlations; the row of each dimension
/// weighs the independent draws.
fn cholesky(survey: Survey) -> Vec<Vec<f64>> {
    let mut factor: Vec<Vec<f64>> = Vec::with_capacity(survey.len());
    for (_, _, correlations) in survey {
        let mut row: Vec<f64> = Vec::with_capacity(correlations.len() + 1);
        for (correlation, above) in correlations.iter().zip(&factor) {
            let done: f64 = row.iter().zip(above).map(|(a, b)| a * b).sum();
            let diagonal = above.last().copied().unwrap_or(1.0);
            row.push((correlation - done) / diagonal);
        }
        let rest = 1.0 - row.iter().map(|weight| weight * weight).sum::<f64>();
        row.push(rest.max(0.0).sqrt());
        factor.push(row);
    }
    factor
}

/// A child of 3 to 12 years, by its height: shares are judgement (a child is
/// rounder and shorter in the leg than a grown person).
fn child(rng: &mut impl Rng) -> BTreeMap<&'static str, f64> {
    let stature: f64 = rng.random_range(950.0..1500.0);
    let grown = (stature - 950.0) / 550.0;
    let build = 1.0 + 0.06 * normal(rng);
    let bust = (520.0 + 220.0 * grown) * build;
    let hip = (530.0 + 270.0 * grown) * build;
    BTreeMap::from([
        ("stature", stature),
        ("bust_girth", bust),
        ("navel_waist_girth", (510.0 + 130.0 * grown) * build),
        ("hip_girth", hip),
        ("neck_girth", 250.0 + 50.0 * grown),
        ("neck_base_girth", 275.0 + 55.0 * grown),
        ("shoulder_width", 0.235 * stature),
        ("shoulder_length", 0.07 * stature),
        ("shoulder_girth", bust * 1.14),
        ("back_waist_length", 0.225 * stature + 25.0),
        ("arm_length", 0.31 * stature),
        ("inside_leg_length", (0.41 + 0.05 * grown) * stature),
        ("outside_leg_length", (0.55 + 0.04 * grown) * stature),
        ("thigh_girth", hip * 0.56),
        ("calf_girth", hip * 0.37),
        ("ankle_girth", hip * 0.24),
        ("upper_arm_girth", (180.0 + 60.0 * grown) * build),
        ("wrist_girth", 115.0 + 25.0 * grown),
        ("across_back_width", bust * 0.39),
        ("head_girth", 500.0 + 35.0 * grown),
        ("nape_to_floor", 0.82 * stature),
    ])
}

/// Moves the survey's landmarks to the trade's, and works out what it lacks; the
/// shifts are those that `measure` explains beside its bands, the rest judgement.
fn complete(rng: &mut impl Rng, body: &mut BTreeMap<&'static str, f64>, who: Who) {
    let mut near = |mean: f64, sd: f64| mean + sd * normal(rng);
    let had: BTreeMap<&str, f64> = body.clone();
    let of = |key: &str| had.get(key).copied().unwrap_or(0.0);
    let navel = of("navel_waist_girth");
    // Natural from navel waist by the means and spreads of bdims (Heinz et al. 2003):
    // women 698 (76) beside 837 (100) mm, men 845 (88) beside 877 (84). The hip speaks
    // for the waist nearly as much as the navel waist does.
    let woman_waist = 698.0 + 0.36 * (navel - 837.0) + 0.40 * (of("hip_girth") - 985.0);
    let (waist, balance, cup) = match who {
        Who::Man => (845.0 + 0.55 * (navel - 877.0) + 0.4 * (of("hip_girth") - 978.0) + near(0.0, 15.0), 8.0, 0.0),
        Who::Child => (navel - near(12.0, 3.0), 3.0, 0.0),
        Who::Woman | Who::Unknown => (woman_waist + near(0.0, 15.0), 25.0, 55.0),
    };
    let back = of("back_waist_length") - 25.0;
    let (outside, rise_slack) = (of("outside_leg_length") + 40.0, near(0.0, 8.0));
    let rise = outside - of("inside_leg_length") + rise_slack;
    // A woman's high bust follows bust and waist alike (bdims: .859 with the waist).
    let frame = match who {
        Who::Man | Who::Child => of("bust_girth"),
        Who::Woman | Who::Unknown => 0.5 * (of("bust_girth") - cup) + 0.5 * (385.0 + 0.7 * waist) + near(0.0, 12.0),
    };
    let moved = [
        ("waist_girth", waist),
        ("shoulder_width", of("shoulder_width") + 30.0),
        ("back_waist_length", back),
        ("side_neck_to_back_waist", back + 22.0),
        ("front_waist_length", back + 22.5 + near(balance, 8.0)),
        ("outside_leg_length", outside),
        ("body_rise", rise),
        ("total_crotch_length", 2.0 * rise + 0.14 * of("hip_girth")),
        ("upper_arm_girth", of("upper_arm_girth") - 15.0),
        ("elbow_girth", (of("upper_arm_girth") - 15.0) * 0.9),
        ("arm_length", of("arm_length") + 10.0),
        ("nape_to_floor", of("nape_to_floor") + 25.0),
        ("waist_to_hip", outside * 0.2 + near(0.0, 6.0)),
        ("waist_to_knee", outside * 0.57 + near(0.0, 8.0)),
        ("waist_to_ankle", outside - 70.0),
        ("top_hip_girth", of("hip_girth") * 0.93),
        ("abdomen_girth", navel * 1.03),
        ("waist_to_abdomen", outside * 0.1),
        ("knee_girth", of("thigh_girth") * 0.63),
        ("heel_instep_girth", 0.6 * of("ankle_girth") + if who == Who::Child { 95.0 } else { 185.0 }),
        ("hand_girth", of("wrist_girth") * 1.42),
        ("upper_chest_girth", frame),
        ("scye_depth", (frame / 10.0 + 127.0).min(back * 0.6)),
        ("armhole_girth", (of("bust_girth") * 0.43).max(of("upper_arm_girth") + 20.0)),
        ("across_front_width", of("across_back_width") - 15.0),
    ];
    body.extend(moved);
    if matches!(who, Who::Woman | Who::Unknown) {
        let bust = of("bust_girth");
        let point = (back + 22.5) * 0.5 + 0.08 * bust;
        body.extend([
            ("under_bust_girth", bust - near(145.0, 20.0).min(bust * 0.16)),
            ("bust_point_width", bust * 0.2),
            ("side_neck_to_bust_point", point),
            ("side_neck_to_under_bust", point + 75.0),
        ]);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use rand::SeedableRng;
    use rand_pcg::Pcg64;

    #[test]
    fn the_factor_times_itself_gives_the_correlations_back() {
        for survey in [WOMEN, MEN] {
            let factor = cholesky(survey);
            for (row, (_, _, correlations)) in factor.iter().zip(survey) {
                for (other, correlation) in factor.iter().zip(*correlations) {
                    let product: f64 = row.iter().zip(other).map(|(a, b)| a * b).sum();
                    assert!((product - correlation).abs() < 1e-9);
                }
                let own: f64 = row.iter().map(|weight| weight * weight).sum();
                assert!((own - 1.0).abs() < 1e-9, "a clamped row would not be one long: {own}");
            }
        }
    }

    #[test]
    fn many_bodies_have_the_means_of_the_survey() {
        let mut rng = Pcg64::seed_from_u64(5);
        let bodies: Vec<_> = (0..2000).map(|_| seeded_body(&mut rng, Who::Woman)).collect();
        let mean = |key: &str| bodies.iter().filter_map(|body| body.get(key)).map(|at| at.mm()).sum::<f64>() / 2000.0;
        // ANSUR II women: hip 1021.25 (sd 75.89), thigh 616.15 (sd 55.81), stature 1628.47 (sd 64.2) mm.
        assert!((mean("hip_girth") - 1021.25).abs() < 6.0);
        assert!((mean("thigh_girth") - 616.15).abs() < 5.0);
        assert!((mean("stature") - 1628.47).abs() < 5.0);
    }

    #[test]
    fn equal_seeds_give_equal_bodies() {
        for who in [Who::Woman, Who::Man, Who::Child] {
            let draw = || seeded_body(&mut Pcg64::seed_from_u64(9), who);
            assert_eq!(draw(), draw());
        }
    }
}
