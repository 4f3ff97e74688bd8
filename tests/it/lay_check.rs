//! The checker: one sabotage for each rule, each of which turns a sound lay red.

#![allow(clippy::unwrap_used, reason = "helpers of tests say what they expect by unwrapping")]

use bodkin::lay::{Bit, Cloth, Grain, Lay, LayJob, Layout, Nap, Part, Rule, check, lay};

use crate::lay::{IN, bare, job, part, rectangle, strip, wrap_skirt};

/// A sound lay of the skirt, on one-way cloth folded.
fn sound() -> (LayJob, Lay) {
    let job = wrap_skirt(Cloth { nap: Nap::One, ..Cloth::of_width(45.0 * IN) });
    let lay = lay(&job, 500, 7).unwrap();
    assert_eq!(check(&job, &lay), []);
    (job, lay)
}

/// The rules that the sabotaged lay of the skirt breaks.
fn broken(sabotage: impl FnOnce(&mut Lay)) -> Vec<Rule> {
    let (job, mut lay) = sound();
    sabotage(&mut lay);
    check(&job, &lay).into_iter().map(|fault| fault.rule).collect()
}

/// Two squares side by side, touching, on open cloth.
fn touching() -> (LayJob, Lay) {
    let job = job(bare(1000.0, Layout::Open), vec![part("A", 2, rectangle(300.0, 300.0))], vec![]);
    let lay = lay(&job, 100, 1).unwrap();
    assert_eq!(check(&job, &lay), []);
    (job, lay)
}

fn on_fold(lay: &mut Lay) -> &mut bodkin::lay::Placement {
    lay.placements.iter_mut().find(|p| p.on_fold).unwrap()
}

#[test]
fn an_overlap_of_a_tenth_of_a_millimetre() {
    for (by, rules) in [(0.1, vec![Rule::Overlap]), (0.04, vec![])] {
        let (job, mut lay) = touching();
        let right = lay.placements.iter_mut().max_by(|a, b| a.at[0].total_cmp(&b.at[0])).unwrap();
        right.at[0] -= by;
        let faults = check(&job, &lay);
        assert_eq!(faults.iter().map(|fault| fault.rule).collect::<Vec<_>>(), rules, "{faults:?}");
        assert!(faults.iter().all(|fault| (fault.by_mm - by).abs() < 1e-3 && fault.text.contains("“A” 1")));
    }
}

#[test]
fn one_piece_exactly_on_another_and_one_across_another() {
    let (job_two, mut lay) = touching();
    let first = lay.placements[0].at;
    lay.placements[1].at = first;
    assert_eq!(check(&job_two, &lay)[0].rule, Rule::Overlap);

    // A cross: no corner of either lies in the other.
    let parts = vec![part("Long", 1, rectangle(100.0, 600.0)), part("Wide", 1, rectangle(600.0, 100.0))];
    let cross = job(bare(1000.0, Layout::Open), parts, vec![]);
    let mut lay = bodkin::lay::lay(&cross, 10, 1).unwrap();
    for placement in &mut lay.placements {
        (placement.turn, placement.at) = (0, if placement.part == 0 { [250.0, 0.0] } else { [0.0, 250.0] });
    }
    assert_eq!(check(&cross, &lay)[0].rule, Rule::Overlap);
}

#[test]
fn a_gap_too_small() {
    let (mut job, lay) = touching();
    job.cloth.gap_mm = 2.0;
    let faults = check(&job, &lay);
    assert_eq!(faults.iter().map(|fault| fault.rule).collect::<Vec<_>>(), [Rule::Gap]);
    assert!((faults[0].by_mm - 2.0).abs() < 1e-3);
}

#[test]
fn a_gap_too_small_at_the_fold() {
    // A left and a right cut at once are neighbours across the fold.
    let pair = Part { pairs: true, ..part("Front", 2, vec![[0.0, 0.0], [200.0, 0.0], [300.0, 500.0], [0.0, 450.0]]) };
    let cloth = Cloth { gap_mm: 4.0, nap: Nap::One, ..bare(1000.0, Layout::Folded) };
    let job = job(cloth, vec![pair], vec![]);
    let mut lay = lay(&job, 100, 1).unwrap();
    lay.placements[0].at[0] = if lay.placements[0].mirrored { 500.0 } else { 200.0 };
    assert_eq!(check(&job, &lay)[0].rule, Rule::Gap);
}

#[test]
fn a_copy_missing_or_cut_twice() {
    assert!(broken(|lay| lay.placements.truncate(lay.placements.len() - 1)).contains(&Rule::Count));
    let twice = broken(|lay| {
        let mut again = lay.placements[0];
        again.at[1] += 5000.0;
        lay.used_length_mm += 6000.0;
        lay.placements.push(again);
    });
    assert!(twice.contains(&Rule::Count));
}

#[test]
fn turned_against_the_nap_or_the_grain() {
    assert!(broken(|lay| lay.placements[0].turn = 180).contains(&Rule::Turn));
    assert!(broken(|lay| lay.placements[0].turn = 90).contains(&Rule::Turn));
    assert!(broken(|lay| lay.bits[0].turn = 0).contains(&Rule::Turn));
}

/// The rules about hands that are broken once the part's pieces are turned over.
fn turned_over(job: &LayJob, part: usize) -> Vec<Rule> {
    let mut lay = lay(job, 500, 7).unwrap();
    let mine = lay.placements.iter_mut().filter(|p| p.part == part);
    mine.for_each(|placement| placement.mirrored = !placement.mirrored);
    let rules = check(job, &lay).into_iter().map(|fault| fault.rule);
    rules.filter(|rule| matches!(rule, Rule::Hand | Rule::Side)).collect()
}

#[test]
fn a_right_for_a_left() {
    let (job, _) = sound();
    // Folded, the wrong side is up: chalked as drawn it comes out left for right.
    assert_eq!(turned_over(&job, 2), [Rule::Side]);
    let mut open = job.clone();
    open.cloth.layout = Layout::Open;
    assert_eq!(turned_over(&open, 2), [Rule::Hand]);
    // Where the two sides of the cloth are alike, a left serves as a right.
    for mut either in [job, open] {
        either.parts[2].may_flip = true;
        assert_eq!(turned_over(&either, 2), []);
    }
}

#[test]
fn two_rights_for_a_pair_are_no_matter_of_the_side() {
    let wedge = vec![[0.0, 0.0], [300.0, 0.0], [400.0, 500.0], [0.0, 450.0]];
    let half = Part { fold: Some(([0.0, 0.0], [0.0, 700.0])), ..part("Back", 1, rectangle(200.0, 700.0)) };
    let wide = Part { pairs: true, ..part("Front", 2, wedge) };
    // Folded for the back; the fronts are too wide to be cut double.
    let cloth = Cloth { nap: Nap::One, ..bare(700.0, Layout::Folded) };
    let job = job(cloth, vec![half, wide], vec![]);
    let mut lay = lay(&job, 500, 1).unwrap();
    assert!(lay.layout == Layout::Folded && lay.placements.iter().all(|p| p.under.is_none()));
    let fronts = lay.placements.iter_mut().filter(|p| p.part == 1);
    fronts.for_each(|front| front.mirrored = true);
    assert!(check(&job, &lay).iter().any(|fault| fault.rule == Rule::Hand));
}

#[test]
fn a_whole_whose_halves_lie_one_above_the_other_has_its_hands_too() {
    // Opened out about a level fold it points to one side; on one-way cloth that matters.
    let wedge = vec![[0.0, 0.0], [400.0, 0.0], [300.0, 100.0], [0.0, 200.0]];
    let level = Part { fold: Some(([0.0, 0.0], [400.0, 0.0])), ..part("Yoke", 1, wedge) };
    let half = Part { fold: Some(([0.0, 0.0], [0.0, 700.0])), ..part("Back", 1, rectangle(200.0, 700.0)) };
    let one_way = Cloth { nap: Nap::One, ..bare(700.0, Layout::Folded) };
    let mut job = job(one_way, vec![half, level], vec![]);
    assert_eq!(turned_over(&job, 1), [Rule::Side]);
    job.cloth.nap = Nap::Free;
    assert_eq!(turned_over(&job, 1), []);
}

#[test]
fn off_the_fold() {
    assert!(broken(|lay| on_fold(lay).at[0] -= 0.2).contains(&Rule::Fold));
    assert!(broken(|lay| on_fold(lay).at[0] += 0.2).contains(&Rule::Fold));
    assert!(!broken(|lay| on_fold(lay).at[0] -= 0.03).contains(&Rule::Fold));
}

#[test]
fn double_below_the_fold_and_single_within_it() {
    assert!(broken(|lay| lay.folded_mm -= 1.0).contains(&Rule::Fold));
    assert!(broken(|lay| lay.folded_mm += 50.0).contains(&Rule::Fold));
    assert!(broken(|lay| lay.layout = Layout::Open).contains(&Rule::Sense));
    assert!(broken(|lay| lay.folded_mm = 0.0).contains(&Rule::Sense));
    assert!(broken(|lay| lay.fold_at_mm = lay.width_mm / 2.0 - 1.0).contains(&Rule::Sense));
    // Single beside the flap is sound until it reaches under the flap.
    let half = Part { fold: Some(([0.0, 0.0], [0.0, 700.0])), ..part("Back", 1, rectangle(200.0, 700.0)) };
    let parts = vec![half, part("Pocket", 1, rectangle(300.0, 100.0))];
    let job = job(bare(1000.0, Layout::Folded), parts, vec![]);
    let mut lay = lay(&job, 100, 1).unwrap();
    let pocket = |lay: &mut Lay, x: f64| lay.placements.iter_mut().find(|p| p.part == 1).unwrap().at[0] = x;
    pocket(&mut lay, 300.0);
    assert_eq!(check(&job, &lay), []);
    pocket(&mut lay, 300.1);
    assert_eq!(check(&job, &lay)[0].rule, Rule::Fold);
}

#[test]
fn beyond_the_selvedge_and_beyond_the_end() {
    let single = |lay: &mut Lay, by: [f64; 2]| {
        let over = lay.placements.iter_mut().find(|p| p.part == 2).unwrap();
        over.at = [over.at[0] + by[0], over.at[1] + by[1]];
    };
    assert!(broken(|lay| single(lay, [1000.0, 0.0])).contains(&Rule::Width));
    assert!(broken(|lay| single(lay, [-1000.0, 0.0])).contains(&Rule::Width));
    assert!(broken(|lay| lay.used_length_mm -= 0.1).contains(&Rule::Length));
    assert!(broken(|lay| on_fold(lay).at[1] -= 2000.0).contains(&Rule::Length));
    assert!(broken(|lay| lay.width_mm += 1.0).contains(&Rule::Sense));
    assert!(broken(|lay| lay.placements[0].at[0] = f64::NAN).contains(&Rule::Sense));
}

#[test]
fn a_strip_too_short_or_joined_where_it_may_not_be() {
    let longest = |lay: &mut Lay, by: f64| lay.bits.iter_mut().find(|bit| bit.strip == 0).unwrap().length_mm -= by;
    assert!(broken(|lay| longest(lay, 0.1)).contains(&Rule::Strip));
    assert!(!broken(|lay| longest(lay, 0.04)).contains(&Rule::Strip));
    assert!(broken(|lay| lay.bits.retain(|bit| bit.strip != 1)).contains(&Rule::Count));

    let whole = bodkin::lay::Strip { joined: false, ..strip("Tie", 1, 400.0, 50.0) };
    let job = job(bare(1000.0, Layout::Open), vec![], vec![whole]);
    let mut lay = lay(&job, 10, 1).unwrap();
    assert_eq!(job.strips[0].grain, Grain::Across);
    let bit = lay.bits[0];
    lay.bits.push(Bit { at: [bit.at[0] + 450.0, 0.0], ..bit });
    assert!(check(&job, &lay).iter().any(|fault| fault.rule == Rule::Count));
}

#[test]
fn two_corners_that_touch_are_no_overlap() {
    // What they share is a sliver of rounding, far from the origin.
    let r = 205.802_459_810_849_85;
    let diamond = vec![[r, 0.0], [1.3e-14, r], [-r, 2.5e-14], [-3.8e-14, -r]];
    let diamond = Part { may_flip: true, ..part("Diamond", 3, diamond) };
    let job = job(Cloth { gap_mm: 0.0, ..Cloth::of_width(1150.0) }, vec![diamond], vec![]);
    assert!(lay(&job, 300, 0).is_ok());
}
