//! Lays over the public front: known answers, bounds, determinism, and that every
//! lay of random pieces passes the checker.

#![allow(clippy::unwrap_used, reason = "helpers of tests say what they expect by unwrapping")]

use bodkin::geom::Point;
use bodkin::lay::{
    Cloth, Grain, Lay, LayError, LayJob, Layout, Nap, Part, Selling, Strip, USUAL_BUDGET, best_layout, check, lay,
    need, picture,
};
use bodkin::measure::{Length, Showing};
use proptest::prelude::*;

pub const IN: f64 = 25.4;

/// A part cut `count` times along the grain.
pub fn part(label: &str, count: u32, outline: Vec<Point>) -> Part {
    Part {
        key: label.to_lowercase(),
        label: label.into(),
        letter: label.chars().take(1).collect(),
        outline,
        fold: None,
        count,
        pairs: false,
        grain: Grain::Along,
        may_flip: false,
        garment: 0,
        grain_tolerance_deg: 0,
        marks: vec![],
    }
}

pub fn rectangle(width: f64, height: f64) -> Vec<Point> {
    vec![[0.0, 0.0], [width, 0.0], [width, height], [0.0, height]]
}

pub fn strip(label: &str, count: u32, length: f64, width: f64) -> Strip {
    Strip {
        key: label.to_lowercase(),
        label: label.into(),
        letter: "S".into(),
        length_mm: length,
        join_mm: 0.5 * IN,
        width_mm: width,
        count,
        grain: Grain::Across,
        joined: true,
        garment: 0,
    }
}

/// A cloth of exactly this usable width without allowances.
pub fn bare(usable: f64, layout: Layout) -> Cloth {
    Cloth { selvedge_mm: 0.0, gap_mm: 0.0, squaring_mm: 0.0, layout, ..Cloth::of_width(usable) }
}

pub fn job(cloth: Cloth, parts: Vec<Part>, strips: Vec<Strip>) -> LayJob {
    LayJob { parts, strips, cloth, matched: vec![] }
}

/// A wrap skirt of our own: two pieces on the fold, a single one with a curved edge,
/// facings, two ties and a frill.
pub fn wrap_skirt(cloth: Cloth) -> LayJob {
    let side = (0..=40).map(|i| {
        let t = f64::from(i) / 40.0;
        [(9.0 + 2.0 * (1.0 - (1.0 - t) * (1.0 - t)) - t * t) * IN, (22.0 * t - 0.5 * (1.0 - t)) * IN]
    });
    let half: Vec<Point> = [[0.0, 0.0]].into_iter().chain(side).chain([[0.0, 22.0 * IN]]).collect();
    let fold = Some(([0.0, 0.0], [0.0, 22.0 * IN]));
    let leading = (0..=60).rev().map(|i| {
        let t = f64::from(i) / 60.0;
        [(18.0 * (1.0 - t) + 1.5 * (t * std::f64::consts::PI).sin()) * IN, 22.0 * (1.0 - t).powi(2) * IN]
    });
    let over: Vec<Point> =
        [[0.0, 0.0], [-0.5 * IN, 22.0 * IN]].into_iter().chain(leading.collect::<Vec<_>>().into_iter().rev()).collect();
    let over: Vec<Point> = over.into_iter().map(|p| [p[0], p[1] + 3.0 * p[0].max(0.0) / 18.0]).collect();
    let facing = vec![[0.0, 0.0], [9.0 * IN, -0.5 * IN], [9.5 * IN, 2.0 * IN], [0.0, 2.5 * IN]];
    let folded = |label: &str, outline: &Vec<Point>, end: f64| Part {
        fold: Some(([0.0, 0.0], [0.0, end])),
        ..part(label, 1, outline.clone())
    };
    let parts = vec![
        Part { fold, ..part("Back", 1, half.clone()) },
        Part { fold, ..part("Under-front", 1, half) },
        part("Over-front", 1, over),
        folded("Waist facing", &facing, 2.5 * IN),
    ];
    let ties = Strip { joined: false, ..strip("Tie", 2, 30.0 * IN, 2.5 * IN) };
    job(cloth, parts, vec![strip("Frill", 1, 93.0 * IN, 5.0 * IN), ties])
}

/// The length of a lay that must be found, and the checker's own word on it.
fn laid(job: &LayJob) -> Lay {
    let lay = lay(job, USUAL_BUDGET, 1).unwrap();
    assert_eq!(check(job, &lay), []);
    lay
}

fn close(found: f64, right: f64) {
    assert!((found - right).abs() < 0.02, "found {found}, should be {right}");
}

#[test]
fn rectangles_of_known_best_length() {
    // Four of 500 × 300 on 1000: two by two.
    let open = job(bare(1000.0, Layout::Open), vec![part("A", 4, rectangle(500.0, 300.0))], vec![]);
    close(laid(&open).used_length_mm, 600.0);
    // A rectangle is its own mirror image: through both layers of the fold, the same.
    let folded = LayJob { cloth: bare(1000.0, Layout::Folded), ..open };
    close(laid(&folded).used_length_mm, 600.0);
    // A tall one, a wide one beside it, a third below: 700 + nothing lost.
    let three = vec![
        part("A", 1, rectangle(300.0, 700.0)),
        part("B", 1, rectangle(700.0, 400.0)),
        part("C", 1, rectangle(700.0, 300.0)),
    ];
    close(laid(&job(bare(1000.0, Layout::Open), three, vec![])).used_length_mm, 700.0);
    // Across the grain 600 × 300 lies 300 wide and 600 long.
    let across = Part { grain: Grain::Across, ..part("A", 1, rectangle(300.0, 600.0)) };
    let lay = laid(&job(bare(650.0, Layout::Open), vec![across], vec![]));
    close(lay.used_length_mm, 300.0);
}

#[test]
fn a_gap_stands_between_pieces_but_not_at_the_selvedge() {
    let cloth = Cloth { gap_mm: 10.0, ..bare(1010.0, Layout::Open) };
    let lay = laid(&job(cloth, vec![part("A", 4, rectangle(500.0, 300.0))], vec![]));
    close(lay.used_length_mm, 610.0);
}

#[test]
fn triangles_nest_end_for_end_unless_the_cloth_is_one_way() {
    let triangle = vec![[0.0, 0.0], [400.0, 0.0], [200.0, 600.0]];
    let two_way = job(bare(620.0, Layout::Open), vec![part("Gore", 2, triangle)], vec![]);
    close(laid(&two_way).used_length_mm, 600.0);
    // Three of them, pushed home, leave just the width of a narrow strip.
    let triangle = two_way.parts[0].outline.clone();
    let parts = vec![part("Gore", 3, triangle), part("Band", 1, rectangle(37.0, 600.0))];
    close(laid(&job(bare(837.0, Layout::Open), parts, vec![])).used_length_mm, 600.0);
    let cloth = Cloth { nap: Nap::One, ..two_way.cloth };
    let one_way = laid(&LayJob { cloth, ..two_way });
    assert!(one_way.used_length_mm > 800.0, "{}", one_way.used_length_mm);
    assert!(one_way.placements.iter().all(|p| p.turn == 0));
}

#[test]
fn a_quarter_circle_takes_a_small_piece_into_its_hollow() {
    // A quarter ring of 900 outside and 300 inside leaves a corner: its box is
    // 900 × 900, and a 200 square lies within that box.
    let arc = |radius: f64, from: u32, to: u32| {
        let step = |i: u32| f64::from(i) / 40.0 * std::f64::consts::FRAC_PI_2;
        let angles: Vec<f64> =
            if from < to { (from..=to).map(step).collect() } else { (to..=from).rev().map(step).collect() };
        angles.into_iter().map(move |a| [radius * a.cos(), radius * a.sin()]).collect::<Vec<Point>>()
    };
    let ring: Vec<Point> = arc(900.0, 0, 40).into_iter().chain(arc(300.0, 40, 0)).collect();
    let parts = vec![part("Ring", 1, ring), part("Pocket", 2, rectangle(200.0, 200.0))];
    let lay = laid(&job(bare(905.0, Layout::Open), parts, vec![]));
    close(lay.used_length_mm, 900.0);
}

#[test]
fn on_the_fold_or_opened_out() {
    let half = Part { fold: Some(([0.0, 0.0], [0.0, 700.0])), ..part("Back", 1, rectangle(300.0, 700.0)) };
    let folded = laid(&job(bare(1000.0, Layout::Folded), vec![half.clone()], vec![]));
    let place = folded.placements[0];
    assert!(place.on_fold && place.layers() == 2);
    close(folded.folded_mm, 700.0);
    let open = laid(&job(bare(600.0, Layout::Open), vec![half.clone()], vec![]));
    assert!(!open.placements[0].on_fold);
    close(open.used_length_mm, 700.0);
    let error = lay(&job(bare(599.0, Layout::Folded), vec![half], vec![]), 100, 1).unwrap_err().to_string();
    assert!(error.contains("“Back” needs 23 5/8 in (60 cm) across"), "{error}");
}

#[test]
fn a_narrow_flap_leaves_single_cloth_beside_it() {
    let half = Part { fold: Some(([0.0, 0.0], [0.0, 700.0])), ..part("Back", 1, rectangle(200.0, 700.0)) };
    let single = part("Over-front", 1, rectangle(590.0, 650.0));
    let cloth = Cloth { gap_mm: 10.0, ..bare(1000.0, Layout::Folded) };
    let lay = laid(&job(cloth, vec![half.clone(), single.clone()], vec![]));
    // The flap is 200 wide, so that 600 less the gap is single beside it.
    close(lay.fold_at_mm, 800.0);
    close(lay.used_length_mm, 700.0);
    let drawn = picture(&job(cloth, vec![half.clone(), single], vec![]), &lay, Showing::MILLIMETRES);
    assert!(drawn.flap_edge_mm.is_some_and(|x| (x - 600.0).abs() < 0.02));
    assert_eq!((drawn.selvedges.len(), drawn.cloth.len()), (1, 4), "folded to its end: the right selvedge is under");
    // A little wider and it must lie below, with the cloth folded at the middle.
    let wider = part("Over-front", 1, rectangle(595.0, 650.0));
    let lay = laid(&job(cloth, vec![half, wider], vec![]));
    close(lay.fold_at_mm, 500.0);
    close(lay.used_length_mm, 1360.0);
}

#[test]
fn pairs_are_cut_through_both_layers_and_singles_below_them() {
    let wedge = vec![[0.0, 0.0], [200.0, 0.0], [300.0, 500.0], [0.0, 450.0]];
    let pair = Part { pairs: true, ..part("Front", 2, wedge.clone()) };
    let single = part("Over-front", 1, wedge);
    let cloth = Cloth { nap: Nap::One, ..bare(620.0, Layout::Folded) };
    let lay = laid(&job(cloth, vec![pair.clone(), single], vec![]));
    close(lay.folded_mm, 500.0);
    close(lay.used_length_mm, 1000.0);
    // Half the cloth holds it, but not with half the gap free at the fold, where the
    // left would touch the right.
    let tight = Cloth { gap_mm: 4.0, ..bare(602.0, Layout::Folded) };
    close(laid(&job(tight, vec![pair.clone()], vec![])).folded_mm, 0.0);
    // Too wide for half the cloth: a left and a right, single, one below the other.
    let narrow = Cloth { nap: Nap::One, ..bare(350.0, Layout::Folded) };
    let lay = laid(&job(narrow, vec![pair], vec![]));
    close(lay.folded_mm, 0.0);
    assert_eq!(lay.placements.iter().filter(|p| p.mirrored).count(), 1);
}

/// Whether a placed piece, seen from the right side of the cloth, is the drawn one
/// turned (and not its mirror image): the two are then walked round the same way.
fn comes_out_as_drawn(job: &LayJob, lay: &Lay, part: usize) -> bool {
    let walked = |outline: &[Point]| {
        let next = outline.iter().cycle().skip(1);
        outline.iter().zip(next).map(|(p, q)| p[0] * q[1] - q[0] * p[1]).sum::<f64>() > 0.0
    };
    let placement = lay.placements.iter().find(|p| p.part == part).unwrap();
    let chalked = walked(&placement.outline(&job.parts[part]));
    // From the other side of the cloth everything is seen mirrored.
    (chalked != lay.wrong_side_up()) == walked(&job.parts[part].outline)
}

#[test]
fn a_single_piece_comes_out_as_drawn_whichever_side_is_up() {
    let folded = wrap_skirt(Cloth { nap: Nap::One, ..Cloth::of_width(45.0 * IN) });
    let open = LayJob { cloth: Cloth { layout: Layout::Open, ..folded.cloth }, ..folded.clone() };
    for (job, turned_over, spread) in [
        (folded, true, "folded right sides together: the wrong side is up, so single pieces lie turned over"),
        (open, false, "open, right side up"),
    ] {
        let lay = laid(&job);
        assert!(comes_out_as_drawn(&job, &lay, 2));
        assert_eq!(lay.placements.iter().find(|p| p.part == 2).unwrap().mirrored, turned_over);
        let drawn = picture(&job, &lay, Showing::EIGHTHS);
        assert_eq!((drawn.wrong_side_up, drawn.spread), (turned_over, spread));
        let over: Vec<&str> = drawn.pieces.iter().filter(|p| p.turned_over).map(|p| p.label.as_str()).collect();
        assert_eq!(over, if turned_over { vec!["Over-front"] } else { vec![] });
    }
}

#[test]
fn the_odd_one_of_three_is_turned_over_beside_a_folded_pair() {
    let wedge = vec![[0.0, 0.0], [200.0, 0.0], [300.0, 500.0], [0.0, 450.0]];
    let three = Part { pairs: true, ..part("Front", 3, wedge) };
    let cloth = Cloth { nap: Nap::One, ..bare(620.0, Layout::Folded) };
    let lay = laid(&job(cloth, vec![three.clone()], vec![]));
    let single: Vec<_> = lay.placements.iter().filter(|p| p.under.is_none()).collect();
    assert!(single.len() == 1 && single[0].mirrored && lay.wrong_side_up());
    // Nothing can be cut double: the cloth lies open, right side up, two as drawn.
    let lay = laid(&job(Cloth { nap: Nap::One, ..bare(350.0, Layout::Folded) }, vec![three], vec![]));
    assert_eq!((lay.layout, lay.spread()), (Layout::Open, "open, right side up"));
    assert_eq!(lay.placements.iter().filter(|p| p.mirrored).count(), 1);
}

#[test]
fn a_single_piece_alike_left_and_right_or_free_to_flip_needs_no_turning_over() {
    let half = Part { fold: Some(([0.0, 0.0], [0.0, 700.0])), ..part("Back", 1, rectangle(200.0, 700.0)) };
    let cloth = Cloth { nap: Nap::One, ..bare(620.0, Layout::Folded) };
    let lay = laid(&job(cloth, vec![half, part("Pocket", 1, rectangle(150.0, 180.0))], vec![]));
    assert_eq!(lay.spread(), "folded right sides together: the wrong side is up");
    assert!(lay.placements.iter().all(|p| !p.turned_over()));
}

#[test]
fn a_tie_along_the_grain_is_cut_whole() {
    let tie = Strip { grain: Grain::Along, ..strip("Tie", 1, 49.5 * IN, 2.0 * IN) };
    let mut job = wrap_skirt(Cloth::of_width(45.0 * IN));
    job.strips.push(tie);
    for layout in [Layout::Folded, Layout::Open] {
        job.cloth.layout = layout;
        let lay = laid(&job);
        let cut: Vec<f64> = lay.bits.iter().filter(|bit| bit.strip == 2).map(|bit| bit.length_mm).collect();
        assert_eq!(cut.len(), 1, "{cut:?}");
        close(cut[0], 50.5 * IN);
    }
}

#[test]
fn strips_lie_in_rows_and_share_them() {
    // 93 in sewn on 44 in: 44, 44 and 8 in; two ties of 17 in lie beside the 8 in.
    let ties = Strip { joined: false, ..strip("Tie", 2, 16.0 * IN, 2.5 * IN) };
    let frill = strip("Frill", 1, 93.0 * IN, 5.0 * IN);
    let lay = laid(&job(bare(44.0 * IN, Layout::Folded), vec![], vec![frill, ties]));
    close(lay.used_length_mm, 15.0 * IN);
    assert_eq!(lay.bits.len(), 5);
}

#[test]
fn a_skirt_is_laid_both_ways_and_bought() {
    let cloth = Cloth { nap: Nap::One, shrink_length: 0.03, ..Cloth::of_width(45.0 * IN) };
    let job = wrap_skirt(cloth);
    let folded = laid(&job);
    let open = laid(&LayJob { cloth: Cloth { layout: Layout::Open, ..cloth }, ..job.clone() });
    let best = best_layout(&job, USUAL_BUDGET, 1).unwrap();
    // The same budget is shared by more ways to lay it: a little may be lost to each.
    assert!(best.used_length_mm <= 1.05 * folded.used_length_mm.min(open.used_length_mm));
    let bought = need(&best, &job, Selling::QuarterYard);
    assert!(bought.to_buy > Length::inches(54, 0) && bought.to_buy < Length::inches(90, 0), "{}", bought.text());

    let drawn = picture(&job, &folded, Showing::EIGHTHS);
    assert_eq!(drawn.pieces.len(), folded.placements.len() + folded.bits.len());
    assert!(drawn.pieces.iter().any(|piece| piece.on_fold && piece.layers == 2));
    assert_eq!((drawn.selvedges.len(), drawn.cloth.len()), (2, 6), "seen up to the fold as far as it is folded");
    assert!(drawn.fold_at_mm.is_some_and(|x| x >= 22.0 * IN - 1e-6));
}

#[test]
fn nothing_to_lay_is_a_lay_of_no_length() {
    let lay = laid(&job(Cloth::of_width(1120.0), vec![part("A", 0, rectangle(10.0, 10.0))], vec![]));
    close(lay.used_length_mm, 0.0);
}

#[test]
fn what_cannot_be_laid_is_named() {
    let cloth = Cloth::of_width(1120.0);
    let wide = job(cloth, vec![part("Cape", 1, rectangle(1200.0, 400.0))], vec![]);
    let error = lay(&wide, 10, 1).unwrap_err();
    assert!(matches!(error, LayError::TooWide { .. }));
    assert!(error.to_string().contains("“Cape” needs 47 1/4 in (120 cm) across, and this cloth has"), "{error}");
    let many = job(cloth, vec![part("Loop", u32::MAX, rectangle(10.0, 10.0))], vec![]);
    assert!(matches!(lay(&many, 10, 1), Err(LayError::TooMany { .. })));
    let lengths = job(cloth, vec![], vec![strip("Frill", 150, 3.0 * 1120.0, 50.0)]);
    assert!(matches!(lay(&lengths, 10, 1), Err(LayError::TooMany { .. })));
}

/// A star-shaped piece: a radius at each of some angles; with equal radii it is convex.
fn star() -> impl Strategy<Value = Vec<Point>> {
    (prop::collection::vec(0.25..1.0_f64, 3..14), 20.0..240.0_f64, any::<bool>()).prop_map(|(radii, size, convex)| {
        let count = radii.len() as f64;
        let place = |(i, r): (usize, &f64)| {
            let angle = i as f64 / count * std::f64::consts::TAU;
            let r = size * if convex { 1.0 } else { *r };
            [r * angle.cos(), r * angle.sin()]
        };
        radii.iter().enumerate().map(place).collect()
    })
}

fn random_part() -> impl Strategy<Value = Part> {
    let grain = prop_oneof![4 => Just(Grain::Along), 1 => Just(Grain::Across), 1 => Just(Grain::Bias)];
    (star(), 1..4_u32, any::<bool>(), any::<bool>(), grain, any::<bool>()).prop_map(
        |(outline, count, pairs, may_flip, grain, on_fold)| {
            let plain = Part { pairs, may_flip, grain, ..part("Piece", count, outline.clone()) };
            if !on_fold {
                return plain;
            }
            // The right half of the star above, its straight edge on x = 0.
            let mut half: Vec<Point> = outline.iter().filter(|p| p[0] > 1.0).copied().collect();
            half.sort_by(|a, b| a[1].atan2(a[0]).total_cmp(&b[1].atan2(b[0])));
            let (top, bottom) = ([0.0, -250.0], [0.0, 250.0]);
            half.insert(0, top);
            half.push(bottom);
            Part { outline: half, fold: Some((top, bottom)), pairs: false, ..plain }
        },
    )
}

pub fn random_job() -> impl Strategy<Value = LayJob> {
    let strips = prop::collection::vec((1..3_u32, 60.0..2500.0_f64, 20.0..150.0_f64, 0..3_u8), 0..3);
    let parts = prop::collection::vec(random_part(), 1..5);
    let gap = prop_oneof![Just(0.0), 0.5..12.0_f64];
    (parts, strips, any::<bool>(), any::<bool>(), gap, 1150.0..1600.0_f64).prop_map(
        |(parts, strips, folded, one_way, gap, width)| {
            let nap = if one_way { Nap::One } else { Nap::Free };
            let layout = if folded { Layout::Folded } else { Layout::Open };
            let grains = [Grain::Across, Grain::Along, Grain::Bias];
            let strips = strips
                .into_iter()
                .map(|(count, length, width, kind)| Strip {
                    grain: grains[kind as usize],
                    ..strip("Strip", count, length, width)
                })
                .collect();
            job(Cloth { nap, gap_mm: gap, layout, ..Cloth::of_width(width) }, parts, strips)
        },
    )
}

fn area(outline: &[Point]) -> f64 {
    let next = outline.iter().cycle().skip(1);
    outline.iter().zip(next).map(|(p, q)| p[0] * q[1] - q[0] * p[1]).sum::<f64>().abs() / 2.0
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, ..ProptestConfig::default() })]

    #[test]
    fn every_lay_passes_the_checker_and_is_the_same_again(job in random_job(), seed: u64) {
        // `lay` checks what it returns: an unsound lay is an error here.
        let first = lay(&job, 300, seed);
        prop_assert!(first.is_ok(), "{:?}", first);
        let first = first.unwrap();
        prop_assert_eq!(check(&job, &first), vec![]);
        prop_assert_eq!(&lay(&job, 300, seed).unwrap(), &first);

        let parts: f64 = job.parts.iter().map(|part| {
            area(&part.outline) * f64::from(part.count) * if part.fold.is_some() { 2.0 } else { 1.0 }
        }).sum();
        let strips: f64 = job.strips.iter().map(|s| s.length_mm * s.width_mm * f64::from(s.count)).sum();
        prop_assert!(first.used_length_mm * first.width_mm >= (parts + strips) * (1.0 - 1e-9));
        if job.cloth.is_one_way() {
            prop_assert!(first.placements.iter().all(|p| [0, 90, 270, 45, 315].contains(&p.turn)));
        }
    }

    #[test]
    fn more_tries_are_never_worse(job in random_job(), seed: u64) {
        let few = lay(&LayJob { strips: vec![], ..job.clone() }, 1, seed).unwrap();
        let many = lay(&LayJob { strips: vec![], ..job }, 1500, seed).unwrap();
        prop_assert!(many.used_length_mm <= few.used_length_mm + 0.05);
        prop_assert!(many.evaluations >= few.evaluations);
    }
}
