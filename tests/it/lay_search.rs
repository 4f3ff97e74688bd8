//! The guided search: whatever the pieces, what it finds passes the checker, is no longer
//! than what it started from, is the same again from the same seed, keeps to its budget and
//! can be stopped.

#![allow(clippy::unwrap_used, reason = "helpers of tests say what they expect by unwrapping")]

use std::ops::ControlFlow;

use bodkin::geom::Point;
use bodkin::lay::{Cloth, Doing, Grain, Lay, LayError, LayJob, Layout, Nap, Part, check, keep_trying, lay};
use proptest::prelude::*;

use crate::lay::{bare, job, part, random_job, rectangle, strip};

/// Goes on from a first layout and holds what is told to what is promised.
fn tried(job: &LayJob, budget: u64, seed: u64) -> (Lay, Lay) {
    let start = lay(job, 1, seed).unwrap();
    let (mut length, mut evaluations) = (start.used_length_mm, 0);
    let found = keep_trying(job, &start, budget, seed, &mut |step| {
        assert!(step.length_mm <= length, "{} after {length}", step.length_mm);
        assert!(step.evaluations >= evaluations);
        if let Some(lay) = step.lay {
            assert_eq!(check(job, lay), []);
            assert!((lay.used_length_mm - step.length_mm).abs() < 1e-9);
        }
        (length, evaluations) = (step.length_mm, step.evaluations);
        ControlFlow::Continue(())
    })
    .unwrap();
    assert_eq!(check(job, &found), []);
    assert!(found.used_length_mm <= start.used_length_mm);
    (start, found)
}

/// A bar with teeth on one side, each a few millimetres broad: gaps that nothing else fits.
fn comb(teeth: u32, width: f64, height: f64) -> Vec<Point> {
    let step = width / f64::from(2 * teeth);
    let mut outline = vec![[width, 0.0], [width, height / 3.0]];
    for tooth in (0..teeth).rev() {
        let left = 2.0 * f64::from(tooth) * step;
        outline.extend([[left + step, height / 3.0], [left + step, height], [left, height], [left, height / 3.0]]);
    }
    outline.push([0.0, 0.0]);
    outline
}

/// A hairpin: a band of this breadth that comes back beside itself.
fn hairpin(length: f64, breadth: f64) -> Vec<Point> {
    let (inner, outer) = (breadth * 1.5, breadth * 2.5);
    vec![
        [0.0, 0.0],
        [breadth, 0.0],
        [breadth, length - breadth],
        [inner, length - breadth],
        [inner, 0.0],
        [outer, 0.0],
        [outer, length],
        [0.0, length],
    ]
}

/// A closed curve of so many points, with waves in it.
fn curve(points: u32) -> Vec<Point> {
    let at = |i| {
        let angle = f64::from(i) / f64::from(points) * std::f64::consts::TAU;
        let r = 220.0 + 40.0 * (3.0 * angle).sin() + 2.0 * (41.0 * angle).sin();
        [r * angle.cos(), 1.4 * r * angle.sin()]
    };
    (0..points).map(at).collect()
}

fn odd_shape() -> impl Strategy<Value = Part> {
    let outline = prop_oneof![
        (1..7_u32, 60.0..400.0_f64, 40.0..300.0_f64).prop_map(|(teeth, w, h)| comb(teeth, w, h)),
        (200.0..900.0_f64, 8.0..60.0_f64).prop_map(|(length, breadth)| hairpin(length, breadth)),
        // Slivers: upright, across and slanting.
        (0.8..6.0_f64, 100.0..900.0_f64).prop_map(|(w, h)| rectangle(w, h)),
        (100.0..900.0_f64, 0.8..6.0_f64).prop_map(|(w, h)| rectangle(w, h)),
        (100.0..600.0_f64, 1.0..5.0_f64).prop_map(|(l, b)| vec![[0.0, 0.0], [b, 0.0], [l + b, l], [l, l]]),
    ];
    let grain = prop_oneof![3 => Just(Grain::Along), 1 => Just(Grain::Any), 1 => Just(Grain::Bias)];
    (outline, 1..4_u32, any::<bool>(), any::<bool>(), grain).prop_map(|(outline, count, pairs, may_flip, grain)| Part {
        pairs,
        may_flip,
        grain,
        ..part("Odd", count, outline)
    })
}

fn odd_job() -> impl Strategy<Value = LayJob> {
    (prop::collection::vec(odd_shape(), 1..6), any::<bool>(), any::<bool>(), prop_oneof![Just(0.0), 1.0..8.0_f64])
        .prop_map(|(parts, folded, one_way, gap_mm)| {
            let layout = if folded { Layout::Folded } else { Layout::Open };
            let nap = if one_way { Nap::One } else { Nap::Free };
            job(Cloth { nap, gap_mm, layout, ..Cloth::of_width(1300.0) }, parts, vec![])
        })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 10, ..ProptestConfig::default() })]

    #[test]
    fn what_is_found_is_sound_and_the_same_again(job in random_job(), seed: u64) {
        let (start, found) = tried(&job, 1_500, seed);
        let again = keep_trying(&job, &start, 1_500, seed, &mut |_| ControlFlow::Continue(())).unwrap();
        prop_assert_eq!(again, found);
    }

    #[test]
    fn combs_hairpins_and_slivers_are_laid_soundly(job in odd_job(), seed: u64) {
        tried(&job, 1_500, seed);
    }

    #[test]
    fn a_budget_is_kept_and_a_stop_is_heeded(job in random_job(), budget in 1..4_000_u64, stop in 1..20_u32) {
        let start = lay(&job, 1, 1).unwrap();
        let (mut spent, mut pieces) = (0, 0);
        keep_trying(&job, &start, budget, 1, &mut |step| {
            spent = step.evaluations;
            ControlFlow::Continue(())
        }).unwrap();
        for part in &job.parts {
            pieces += u64::from(part.count);
        }
        // Whatever it has begun (the first layouts; one round of pieces) is finished.
        prop_assert!(spent <= budget + 30_000 + 400 * pieces, "{spent} of {budget}");

        let mut heard = 0;
        let found = keep_trying(&job, &start, u64::MAX, 1, &mut |_| {
            heard += 1;
            if heard >= stop { ControlFlow::Break(()) } else { ControlFlow::Continue(()) }
        }).unwrap();
        prop_assert!(heard <= stop);
        prop_assert!(found.used_length_mm <= start.used_length_mm);
    }
}

#[test]
fn a_curve_of_3000_points_is_laid_with_others() {
    let parts = vec![part("Round", 3, curve(3000)), part("Pocket", 4, rectangle(150.0, 180.0))];
    let cloth = Cloth { layout: Layout::Open, ..Cloth::of_width(1150.0) };
    let (start, found) = tried(&job(cloth, parts, vec![]), 10_000, 3);
    assert!(found.used_length_mm < start.used_length_mm);
}

#[test]
fn a_part_wider_than_the_cloth_is_named_with_what_it_needs() {
    let narrow = job(bare(900.0, Layout::Open), vec![part("Panel", 1, rectangle(400.0, 500.0))], vec![]);
    let start = lay(&narrow, 1, 1).unwrap();
    let cape = LayJob { parts: vec![part("Cape", 1, rectangle(1000.0, 300.0))], ..narrow };
    let error = keep_trying(&cape, &start, 1_000, 1, &mut |_| ControlFlow::Continue(())).unwrap_err();
    assert!(matches!(error, LayError::TooWide { .. }), "{error}");
    assert!(error.to_string().contains("“Cape” needs 39 3/8 in (100 cm) across"), "{error}");
}

#[test]
fn nothing_to_lay_is_done_at_once() {
    let nothing = job(Cloth::of_width(1150.0), vec![], vec![]);
    let (_, found) = tried(&nothing, 1_000_000, 1);
    assert!(found.used_length_mm.abs() < 1e-9);
}

#[test]
fn it_ends_at_the_length_that_nothing_can_be_shorter_than() {
    // Four of 500 × 300 on 1000, first laid one below the other on purpose.
    let four = job(bare(1000.0, Layout::Open), vec![part("A", 4, rectangle(500.0, 300.0))], vec![]);
    let mut steps = Vec::new();
    let start = lay(&four, 1, 1).unwrap();
    let found = keep_trying(&four, &start, u64::MAX, 1, &mut |step| {
        steps.push(step.doing);
        ControlFlow::Continue(())
    })
    .unwrap();
    assert!((found.used_length_mm - 600.0).abs() < 0.02, "{}", found.used_length_mm);
    assert_eq!(steps.last(), Some(&Doing::Done));
}

#[test]
fn single_pieces_lie_beside_the_flap_and_reach_below_it() {
    // On the fold: half of 200 × 700. Single: two of 500 × 900, which reach beyond the
    // folded stretch beside the flap, and still leave room below it.
    let half = Part { fold: Some(([0.0, 0.0], [0.0, 700.0])), ..part("Back", 1, rectangle(200.0, 700.0)) };
    let long = part("Front", 1, rectangle(580.0, 900.0));
    let low = part("Yoke", 1, rectangle(380.0, 180.0));
    let cloth = Cloth { gap_mm: 10.0, nap: Nap::One, ..bare(1000.0, Layout::Folded) };
    let job = job(cloth, vec![half, long, low], vec![strip("Tie", 1, 100.0, 20.0)]);
    let laid = lay(&job, 4_000, 1).unwrap();
    assert_eq!(check(&job, &laid), []);
    // 900 for the front; the yoke lies below the flap, at 710, beside it.
    let front = laid.placements.iter().find(|p| p.part == 1).unwrap();
    assert!(front.at[1] < 0.02, "{front:?}");
    assert!(laid.used_length_mm < 900.0 + 2.0 * 25.0, "{}", laid.used_length_mm);
}
