//! What garments ask of a lay: folds across, nap by the garment, play on the grain, prints
//! that match, several lengths, what is left over. Each rule first as a sabotage that the
//! checker finds, then as a search over random pieces.

#![allow(clippy::unwrap_used, reason = "helpers of tests say what they expect by unwrapping")]

use bodkin::geom::Point;
use bodkin::lay::{
    Cloth, Grain, Lay, LayError, LayJob, Layout, MatchMark, Matched, Nap, Part, Rectangle, Repeat, Rule, best_layout,
    check, lay, lay_lengths, left_over, unmatched,
};
use proptest::prelude::*;

use crate::lay::{IN, bare, job, part, random_job, rectangle, strip, wrap_skirt};

fn wedge() -> Vec<Point> {
    vec![[0.0, 0.0], [200.0, 0.0], [300.0, 500.0], [0.0, 450.0]]
}

fn pair(label: &str) -> Part {
    Part { pairs: true, ..part(label, 2, wedge()) }
}

fn rules(job: &LayJob, lay: &Lay) -> Vec<Rule> {
    check(job, lay).into_iter().map(|fault| fault.rule).collect()
}

/// The rules that a sound lay breaks once it is meddled with.
fn broken(job: &LayJob, sabotage: impl FnOnce(&mut Lay)) -> Vec<Rule> {
    let mut lay = lay(job, 500, 7).unwrap();
    assert_eq!(check(job, &lay), []);
    sabotage(&mut lay);
    rules(job, &lay)
}

fn marked(part: Part, at: &[Point]) -> Part {
    let mark = |(n, at): (usize, &Point)| MatchMark { name: format!("mark {n}"), at: *at };
    Part { marks: at.iter().enumerate().map(mark).collect(), ..part }
}

fn seam(name: &str, a: (usize, usize), b: (usize, usize)) -> Matched {
    Matched { name: name.into(), a, b }
}

fn close(found: f64, right: f64) {
    assert!((found - right).abs() < 0.02, "found {found}, should be {right}");
}

#[test]
fn folded_across_the_whole_width_is_double() {
    // Two pairs side by side over the whole width, where a lengthwise fold has room for one.
    let cloth = bare(660.0, Layout::Crosswise);
    let job = job(cloth, vec![pair("Front"), pair("Back"), part("Pocket", 1, rectangle(600.0, 100.0))], vec![]);
    let found = lay(&job, 2000, 1).unwrap();
    assert_eq!((found.layout, found.wrong_side_up()), (Layout::Crosswise, true));
    close(found.folded_mm, 500.0);
    // The pocket lies single below: double 500, single 100.
    close(found.used_length_mm, 1100.0);
    close(found.seen_length_mm(), 600.0);
    assert!(found.spread().starts_with("folded across"));
    // Open, the four take as much; folded across is asked for and taken among equals only if shorter.
    let asked = LayJob { cloth: Cloth { crosswise_too: true, ..cloth }, ..job };
    assert!(best_layout(&asked, 2000, 1).unwrap().used_length_mm <= 1100.02);
}

#[test]
fn a_piece_beyond_the_fold_across_or_single_within_it() {
    let job =
        job(bare(660.0, Layout::Crosswise), vec![pair("Front"), part("Pocket", 1, rectangle(600.0, 100.0))], vec![]);
    let at =
        |lay: &mut Lay, part: usize, by: f64| lay.placements.iter_mut().find(|p| p.part == part).unwrap().at[1] += by;
    assert!(broken(&job, |lay| at(lay, 0, -1.0)).contains(&Rule::Overlap));
    assert!(broken(&job, |lay| at(lay, 0, 1.0)).contains(&Rule::Fold));
    assert!(broken(&job, |lay| at(lay, 1, -1.0)).contains(&Rule::Fold));
    assert!(broken(&job, |lay| lay.used_length_mm -= 1.0).contains(&Rule::Length));
    assert!(broken(&job, |lay| lay.fold_at_mm /= 2.0).contains(&Rule::Sense));
    assert!(broken(&job, |lay| lay.folded_mm = 0.0).contains(&Rule::Sense));
}

#[test]
fn halves_are_opened_out_on_a_fold_across_and_cut_double_where_two_are_wanted() {
    let half = Part { fold: Some(([0.0, 0.0], [0.0, 450.0])), ..part("Back", 2, wedge()) };
    let job = job(bare(620.0, Layout::Crosswise), vec![half], vec![]);
    let found = lay(&job, 500, 1).unwrap();
    assert_eq!(check(&job, &found), []);
    let [back] = found.placements[..] else { panic!("{found:?}") };
    assert_eq!((back.on_fold, back.under, back.layers()), (false, Some(2), 2));
    close(found.used_length_mm, 1000.0);
    // The under one lies as far on the other side of the fold.
    let mut beyond = found.clone();
    beyond.placements[0].at[1] -= 20.0;
    assert!(rules(&job, &beyond).contains(&Rule::Overlap));
}

#[test]
fn one_way_cloth_is_not_folded_across() {
    for nap in [Nap::One, Nap::PerGarment] {
        let one_way = job(Cloth { nap, ..bare(660.0, Layout::Crosswise) }, vec![pair("Front")], vec![]);
        let error = lay(&one_way, 100, 1).unwrap_err();
        assert_eq!(error, LayError::CrosswiseOneWay);
        assert!(error.to_string().contains("turn one length end for end"), "{error}");
        // Nor is it tried where the best of them is asked for.
        let asked = LayJob { cloth: Cloth { crosswise_too: true, ..one_way.cloth }, ..one_way.clone() };
        assert_ne!(best_layout(&asked, 100, 1).unwrap().layout, Layout::Crosswise);
        // And the checker has its own word.
        let free = LayJob { cloth: Cloth { nap: Nap::Free, ..one_way.cloth }, ..one_way.clone() };
        let found = lay(&free, 100, 1).unwrap();
        assert_eq!(rules(&one_way, &found), [Rule::Turn]);
    }
}

#[test]
fn each_garment_of_a_joint_lay_may_have_a_way_of_its_own() {
    let triangle = vec![[0.0, 0.0], [400.0, 0.0], [200.0, 600.0]];
    let gore = |garment: u32| Part { garment, ..part("Gore", 1, triangle.clone()) };
    let of = |nap: Nap| job(Cloth { nap, ..bare(620.0, Layout::Open) }, vec![gore(1), gore(2)], vec![]);
    close(lay(&of(Nap::PerGarment), 500, 1).unwrap().used_length_mm, 600.0);
    assert!(lay(&of(Nap::One), 500, 1).unwrap().used_length_mm > 800.0);
    // Both of one garment: they point one way.
    let mut one = of(Nap::PerGarment);
    one.parts[1].garment = 1;
    assert!(lay(&one, 500, 1).unwrap().used_length_mm > 800.0);
    // The lay of the two garments is none for one garment, nor for cloth that asks one way of all.
    let found = lay(&of(Nap::PerGarment), 500, 1).unwrap();
    assert_eq!(rules(&one, &found), [Rule::Turn]);
    assert_eq!(rules(&of(Nap::One), &found), [Rule::Turn]);
}

#[test]
fn play_on_the_grain_is_taken_where_it_helps_and_no_further() {
    // A long piece that leans by 2° lies upright once it is turned by as much.
    let lean = 2.0_f64.to_radians();
    let corner = |x: f64, y: f64| [x * lean.cos() - y * lean.sin(), x * lean.sin() + y * lean.cos()];
    let leaning: Vec<Point> =
        [[0.0, 0.0], [100.0, 0.0], [100.0, 900.0], [0.0, 900.0]].map(|[x, y]| corner(x, y)).into();
    let of = |grain_tolerance_deg: u16| {
        job(bare(100.5, Layout::Open), vec![Part { grain_tolerance_deg, ..part("Panel", 1, leaning.clone()) }], vec![])
    };
    assert!(matches!(lay(&of(1), 100, 1), Err(LayError::TooWide { .. })));
    let found = lay(&of(2), 100, 1).unwrap();
    close(found.used_length_mm, 900.0);
    assert!([358, 178].contains(&found.placements[0].turn), "{found:?}");
    assert!(rules(&of(1), &found).contains(&Rule::Turn));
    assert!(broken(&of(3), |lay| lay.placements[0].turn = 4).contains(&Rule::Turn));
    // On the fold it lies straight.
    let half = Part {
        fold: Some(([0.0, 0.0], [0.0, 700.0])),
        grain_tolerance_deg: 3,
        ..part("Back", 1, rectangle(200.0, 700.0))
    };
    let on_fold = job(bare(1000.0, Layout::Folded), vec![half], vec![]);
    assert!(broken(&on_fold, |lay| lay.placements[0].turn = 1).contains(&Rule::Turn));
}

/// Two panels of a skirt whose side seams meet at the hem, on cloth with stripes across.
fn striped(layout: Layout) -> LayJob {
    let front = marked(pair("Front"), &[[300.0, 500.0]]);
    let back = marked(pair("Back"), &[[300.0, 470.0]]);
    let repeat = Some(Repeat { along_mm: Some(120.0), across_mm: None });
    let cloth = Cloth { repeat, ..bare(640.0, layout) };
    LayJob { matched: vec![seam("Side seams", (0, 0), (1, 0))], ..job(cloth, vec![front, back], vec![]) }
}

#[test]
fn stripes_meet_at_the_side_seams() {
    for layout in [Layout::Folded, Layout::Open, Layout::Crosswise] {
        let job = striped(layout);
        let found = lay(&job, 2000, 3).unwrap();
        assert_eq!(check(&job, &found), []);
        assert_eq!(unmatched(&job, &found), Vec::<String>::new());
        let level = |part: usize| {
            let at = job.parts[part].marks[0].at;
            let here = found.placements.iter().filter(move |p| p.part == part);
            here.map(move |p| (p.at[1] + at[1]).rem_euclid(120.0)).collect::<Vec<f64>>()
        };
        let all: Vec<f64> = level(0).into_iter().chain(level(1)).collect();
        let off = |a: f64, b: f64| (a - b).abs().min(120.0 - (a - b).abs());
        assert!(all.iter().all(|mm| off(*mm, all[0]) < 0.01), "{layout:?} {all:?}");
        // No piece of a match is turned, though the cloth has no nap.
        assert!(found.placements.iter().all(|p| p.turn == 0));
    }
}

/// Lengths as wide as the cloth whose prints must match, one after the other; mm used.
fn in_lengths(count: u32, length_in: f64, repeat_in: f64) -> f64 {
    let length = marked(part("Length", count, rectangle(600.0, length_in * IN)), &[[0.0, 0.0]]);
    let cloth =
        Cloth { repeat: Some(Repeat { along_mm: Some(repeat_in * IN), across_mm: None }), ..bare(600.0, Layout::Open) };
    let job = LayJob { matched: vec![seam("Sides", (0, 0), (0, 0))], ..job(cloth, vec![length], vec![]) };
    let found = lay(&job, 500, 1).unwrap();
    assert_eq!(check(&job, &found), []);
    assert_eq!(unmatched(&job, &found), Vec::<String>::new());
    found.used_length_mm
}

#[test]
fn lengths_of_a_print_begin_whole_repeats_apart() {
    // Published home-sewing guides: each length is cut as the least number of whole repeats
    // that holds it, 96 in of a 27 in repeat as 108, 100 in of 26 as 104. The last length
    // need not be cut on to its repeat.
    for (length, repeat, cut) in [(96.0, 27.0, 108.0), (100.0, 26.0, 104.0)] {
        for (lengths, before_the_last) in [(2, 1.0), (3, 2.0)] {
            close(in_lengths(lengths, length, repeat), (before_the_last * cut + length) * IN);
        }
    }
    // Or a repeat is added for each piece one above the other: 1 1/4 x 2 = 2 1/2 in, 4 1/4 x 2 =
    // 8 1/2 in. That is the most that it can come to.
    for (repeat, added) in [(1.25, 2.5), (4.25, 8.5)] {
        for tenths in 200..230 {
            let length = f64::from(tenths) / 10.0;
            let more = in_lengths(2, length, repeat) / IN - 2.0 * length;
            assert!((-0.001..added).contains(&more), "{length} in, repeat {repeat}: {more} more");
        }
    }
}

#[test]
fn a_stripe_that_is_off_or_turned_is_found() {
    let job = striped(Layout::Open);
    let last = |lay: &mut Lay, by: f64| {
        let lowest = lay.placements.iter_mut().max_by(|a, b| a.at[1].total_cmp(&b.at[1])).unwrap();
        lowest.at[1] += by;
        lay.used_length_mm += by.abs();
    };
    assert_eq!(broken(&job, |lay| last(lay, 1.2)), [Rule::Phase]);
    assert_eq!(broken(&job, |lay| last(lay, 0.9)), []);
    assert_eq!(broken(&job, |lay| last(lay, 120.0)), []);
    let turned = broken(&job, |lay| {
        let lowest = lay.placements.iter_mut().max_by(|a, b| a.at[1].total_cmp(&b.at[1])).unwrap();
        lowest.turn = 180;
    });
    assert!(turned.contains(&Rule::Phase));
    // Copies of one piece match as well.
    let alone = LayJob { matched: vec![seam("Front", (0, 0), (0, 0))], ..job };
    let found = lay(&alone, 500, 1).unwrap();
    assert_eq!(check(&alone, &found), []);
    let mut off = found.clone();
    let front = off.placements.iter_mut().rfind(|p| p.part == 0).unwrap();
    front.at[1] += 30.0;
    off.used_length_mm += 400.0;
    assert!(rules(&alone, &off).contains(&Rule::Phase));
}

#[test]
fn matches_that_contradict_are_told_and_no_error() {
    // Front and back meet at two points whose distances differ by 45 mm.
    let front = marked(pair("Front"), &[[300.0, 500.0], [200.0, 0.0]]);
    let back = marked(pair("Back"), &[[300.0, 500.0], [200.0, 45.0]]);
    let repeat = Some(Repeat { along_mm: Some(120.0), across_mm: None });
    let matched = vec![seam("Side seams", (0, 0), (1, 0)), seam("Waist", (0, 1), (1, 1))];
    let job = LayJob { matched, ..job(Cloth { repeat, ..bare(640.0, Layout::Open) }, vec![front, back], vec![]) };
    let found = lay(&job, 500, 1).unwrap();
    assert_eq!(check(&job, &found), []);
    let told = unmatched(&job, &found);
    assert_eq!(told, ["the print cannot match along the cloth at “Waist”"]);
    // A job that names a point that is not there is refused.
    let lost = LayJob { matched: vec![seam("Yoke", (0, 0), (1, 9))], ..job };
    assert!(lay(&lost, 500, 1).unwrap_err().to_string().contains("“Yoke”"));
}

#[test]
fn lengthwise_stripes_match_hand_by_hand() {
    let front = marked(pair("Front"), &[[0.0, 100.0]]);
    let back = marked(pair("Back"), &[[0.0, 120.0]]);
    let repeat = Some(Repeat { along_mm: None, across_mm: Some(90.0) });
    for layout in [Layout::Open, Layout::Folded] {
        let cloth = Cloth { repeat, gap_mm: 3.0, ..bare(1400.0, layout) };
        let parts = vec![front.clone(), back.clone()];
        let job = LayJob { matched: vec![seam("Sides", (0, 0), (1, 0))], ..job(cloth, parts, vec![]) };
        let found = lay(&job, 2000, 1).unwrap();
        assert_eq!(check(&job, &found), []);
        assert!(unmatched(&job, &found).is_empty());
        let mut off = found.clone();
        // The last one moved by half a stripe, on a stretch of its own.
        off.placements[0].at = [off.placements[0].at[0] + 45.0, off.used_length_mm + 10.0];
        off.used_length_mm += 700.0;
        off.folded_mm += if layout == Layout::Folded { off.used_length_mm } else { 0.0 };
        assert!(rules(&job, &off).contains(&Rule::Phase), "{layout:?}");
    }
}

#[test]
fn what_lies_on_the_fold_decides_where_the_stripe_is() {
    let half = Part { fold: Some(([0.0, 0.0], [0.0, 700.0])), ..part("Back", 1, rectangle(200.0, 700.0)) };
    let half = marked(half, &[[200.0, 700.0]]);
    let front = marked(pair("Front"), &[[0.0, 450.0]]);
    let repeat = Some(Repeat { along_mm: Some(200.0), across_mm: Some(70.0) });
    let cloth = Cloth { repeat, ..bare(1200.0, Layout::Folded) };
    let job = LayJob { matched: vec![seam("Sides", (0, 0), (1, 0))], ..job(cloth, vec![half, front], vec![]) };
    let found = lay(&job, 2000, 1).unwrap();
    assert_eq!(check(&job, &found), []);
    assert!(unmatched(&job, &found).is_empty());
    let back = found.placements.iter().find(|p| p.on_fold).unwrap();
    let front = found.placements.iter().find(|p| p.part == 1).unwrap();
    // Both chalked turned over; the side of the back lies 200 left of the fold at 600.
    assert!(back.mirrored && front.mirrored);
    let off = (front.at[0] - 400.0).rem_euclid(70.0);
    assert!(off.min(70.0 - off) < 0.02, "{off}");
}

#[test]
fn a_piece_as_wide_as_the_cloth_is_told_and_laid() {
    let wide = marked(part("Wide", 1, rectangle(990.0, 300.0)), &[[0.0, 0.0]]);
    let other = marked(part("Other", 1, rectangle(980.0, 300.0)), &[[50.0, 0.0]]);
    let repeat = Some(Repeat { along_mm: None, across_mm: Some(100.0) });
    let cloth = Cloth { repeat, ..bare(1000.0, Layout::Open) };
    let job = LayJob { matched: vec![seam("Belt", (0, 0), (1, 0))], ..job(cloth, vec![wide, other], vec![]) };
    let found = lay(&job, 500, 1).unwrap();
    assert_eq!(unmatched(&job, &found), ["the print cannot match across the cloth at “Belt”"]);
}

#[test]
fn two_remnants_hold_a_skirt_and_a_third_of_it_is_named_when_they_do_not() {
    let job = wrap_skirt(Cloth { nap: Nap::One, ..Cloth::of_width(45.0 * IN) });
    let all = best_layout(&job, 2000, 1).unwrap().used_length_mm + 2.0 * IN;
    let lengths = [0.65 * all, 0.6 * all, 300.0];
    let found = lay_lengths(&job, &lengths, 200_000, 1).unwrap();
    for on in &found {
        assert_eq!(check(&on.job, &on.lay), []);
        assert!(on.lay.used_length_mm <= job.cloth.usable_length_mm(lengths[on.length]) + 1e-9);
    }
    // Everything is cut, once.
    for part in &job.parts {
        let cut: u32 = found.iter().flat_map(|on| &on.job.parts).filter(|p| p.key == part.key).map(|p| p.count).sum();
        assert_eq!(cut, part.count, "{}", part.label);
    }
    for strip in &job.strips {
        let mine = found.iter().flat_map(|on| &on.job.strips).filter(|s| s.key == strip.key);
        let sewn: f64 = mine.map(|s| s.length_mm * f64::from(s.count)).sum();
        close(sewn, strip.length_mm * f64::from(strip.count));
    }
    assert_eq!(lay_lengths(&job, &lengths, 200_000, 1).unwrap(), found);

    let error = lay_lengths(&job, &[0.5 * all, 0.2 * all], 50_000, 1).unwrap_err();
    let LayError::LengthsShort { left, by_mm, .. } = &error else { panic!("{error}") };
    assert!(*by_mm > 0.0 && left.contains('“') && error.to_string().contains("nearest try is short by"), "{error}");
    assert!(matches!(lay_lengths(&job, &[], 1000, 1), Err(LayError::LengthsShort { .. })));
}

#[test]
fn a_left_on_one_length_and_its_right_on_another() {
    // Neither length holds the pair.
    let cloth = Cloth { nap: Nap::One, ..bare(320.0, Layout::Folded) };
    let job = job(cloth, vec![pair("Front")], vec![]);
    let found = lay_lengths(&job, &[520.0, 510.0], 10_000, 1).unwrap();
    assert_eq!(found.len(), 2);
    let wound = |on: &bodkin::lay::OnLength| {
        let outline = on.lay.placements[0].outline(&on.job.parts[0]);
        let next = outline.iter().cycle().skip(1);
        outline.iter().zip(next).map(|(p, q)| p[0] * q[1] - q[0] * p[1]).sum::<f64>() > 0.0
    };
    // Both lie right side up: a right and its mirror image.
    assert!(found.iter().all(|on| !on.lay.wrong_side_up()));
    assert_ne!(wound(&found[0]), wound(&found[1]));
}

#[test]
fn what_is_left_of_a_length_is_given_as_rectangles() {
    let job = job(bare(1000.0, Layout::Open), vec![part("A", 1, rectangle(600.0, 500.0))], vec![]);
    let found = lay(&job, 100, 1).unwrap();
    let left = left_over(&job, &found, 1000.0);
    // Below it the whole width; beside it 400 less what the squares take.
    assert_eq!(left.len(), 2, "{left:?}");
    assert!((left[0].width_mm - 1000.0).abs() < 0.01 && left[0].length_mm >= 490.0, "{left:?}");
    assert!(left[1].width_mm >= 390.0 && left[1].length_mm >= 490.0, "{left:?}");
    assert_eq!(left_over(&job, &found, 400.0), []);
    // Washed away and squared off, there is less.
    let real = LayJob { cloth: Cloth { shrink_length: 0.1, squaring_mm: 25.0, ..job.cloth }, ..job };
    let left = left_over(&real, &found, 1000.0);
    assert!(left[0].y_mm + left[0].length_mm <= 850.0, "{left:?}");
}

/// Whether two rectangles share cloth.
fn overlap(a: &Rectangle, b: &Rectangle) -> bool {
    a.x_mm < b.x_mm + b.width_mm - 1e-6
        && b.x_mm < a.x_mm + a.width_mm - 1e-6
        && a.y_mm < b.y_mm + b.length_mm - 1e-6
        && b.y_mm < a.y_mm + a.length_mm - 1e-6
}

/// Every outline on the cloth laid open; of a cloth folded across, the under layer lies above nought.
fn opened_out(job: &LayJob, lay: &Lay) -> Vec<Vec<Point>> {
    let pieces = lay.placements.iter().map(|p| (p.outline(&job.parts[p.part]), p.layers() == 2));
    let bits = lay.bits.iter().map(|bit| (bit.outline(&job.strips[bit.strip]), bit.under.is_some()));
    let under = |outline: &Vec<Point>| {
        let beyond = |p: &Point| match lay.layout {
            Layout::Crosswise => [p[0], -p[1]],
            Layout::Folded | Layout::Open => [2.0 * lay.fold_at_mm - p[0], p[1]],
        };
        outline.iter().map(beyond).collect::<Vec<Point>>()
    };
    let layers = |(outline, double): (Vec<Point>, bool)| {
        let below = double.then(|| under(&outline));
        [Some(outline), below].into_iter().flatten().collect::<Vec<_>>()
    };
    pieces.chain(bits).flat_map(layers).collect()
}

/// The job with naps by the garment, play, marks and a print.
fn with_rules(mut job: LayJob, kind: (u8, u8, u16, f64, f64), seams: &[(usize, usize)]) -> LayJob {
    let (nap, layout, play, along, across) = kind;
    job.cloth.nap = [Nap::Free, Nap::PerGarment, Nap::One][usize::from(nap)];
    job.cloth.layout = match layout {
        0 => Layout::Folded,
        1 if nap == 0 => Layout::Crosswise,
        _ => Layout::Open,
    };
    let some = |mm: f64| (mm >= 20.0).then_some(mm);
    job.cloth.repeat = Some(Repeat { along_mm: some(along), across_mm: some(across) });
    for (number, part) in job.parts.iter_mut().enumerate() {
        part.garment = u32::try_from(number / 2).unwrap();
        part.grain_tolerance_deg = play;
        let marks = [part.outline[0], part.outline[part.outline.len() / 2]];
        part.marks = marked(part.clone(), &marks).marks;
    }
    let count = job.parts.len();
    let seam =
        |(n, (a, b)): (usize, &(usize, usize))| seam(&format!("Seam {n}"), (a % count, n % 2), (b % count, b % 2));
    job.matched = seams.iter().enumerate().map(seam).collect();
    job
}

fn ruled_job() -> impl Strategy<Value = LayJob> {
    let kind = (0..3_u8, 0..3_u8, 0..4_u16, 0.0..300.0_f64, 0.0..200.0_f64);
    let seams = prop::collection::vec((0..6_usize, 0..6_usize), 0..5);
    (random_job(), kind, seams).prop_map(|(job, kind, seams)| with_rules(job, kind, &seams))
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 96, ..ProptestConfig::default() })]

    #[test]
    fn every_lay_keeps_the_rules_and_is_the_same_again(job in ruled_job(), seed: u64) {
        let found = lay(&job, 300, seed);
        prop_assert!(found.is_ok(), "{:?}", found);
        let found = found.unwrap();
        prop_assert_eq!(check(&job, &found), vec![]);
        prop_assert_eq!(&lay(&job, 300, seed).unwrap(), &found);
        prop_assert!(found.seen_length_mm() <= found.used_length_mm);
        for placement in &found.placements {
            let part = &job.parts[placement.part];
            let straight = match part.grain { Grain::Along | Grain::Across | Grain::Any => 90, Grain::Bias => 45 };
            let off = placement.turn % straight;
            prop_assert!(off.min(straight - off) <= part.grain_tolerance_deg);
        }
    }

    #[test]
    fn a_chain_of_seams_matches_all_along_and_a_piece_out_of_place_is_found(
        job in random_job(), layout in 0..3_u8, nap in 0..3_u8, along in 40.0..300.0_f64, share in 0.1..0.9_f64, which: usize,
    ) {
        let count = job.parts.len();
        let chain: Vec<(usize, usize)> = (1..count).map(|n| (n - 1, n)).collect();
        let mut job = with_rules(job, (nap, layout, 0, along, 0.0), &chain);
        if count == 1 {
            job.matched = vec![seam("Centre", (0, 0), (0, 0))];
        }
        let found = lay(&job, 300, 1).unwrap();
        // No ring, so nothing may be excused.
        prop_assert_eq!(unmatched(&job, &found), Vec::<String>::new());
        if found.placements.len() > 1 {
            let mut off = found.clone();
            let which = which % off.placements.len();
            let repeats = (found.used_length_mm / along).ceil();
            off.placements[which].at[1] += (repeats + share) * along;
            off.used_length_mm += (repeats + 1.0) * along + 1000.0;
            let told = rules(&job, &off).contains(&Rule::Phase);
            prop_assert!(told || share * along < 1.0 || (1.0 - share) * along < 1.0);
        }
    }

    #[test]
    fn what_is_left_is_free_of_pieces(job in ruled_job(), more in 0.0..900.0_f64) {
        let found = lay(&job, 1, 1).unwrap();
        let bought = found.used_length_mm + 2.0 * job.cloth.squaring_mm + more;
        let left = left_over(&job, &found, bought);
        let first = found.used_length_mm - found.seen_length_mm();
        for (number, one) in left.iter().enumerate() {
            prop_assert!(one.width_mm >= 6.0 * IN && one.length_mm >= 6.0 * IN);
            prop_assert!(one.x_mm >= 0.0 && one.x_mm + one.width_mm <= found.width_mm + 1e-6);
            prop_assert!(one.y_mm >= 0.0 && one.y_mm + one.length_mm <= found.used_length_mm + more + 1e-6);
            prop_assert!(left[..number].iter().all(|other| !overlap(one, other)));
            for outline in &opened_out(&job, &found) {
                let mine = |p: &Point| [p[0] - one.x_mm, p[1] + first - one.y_mm];
                let within = |p: Point| p[0] > 0.01 && p[0] < one.width_mm - 0.01 && p[1] > 0.01 && p[1] < one.length_mm - 0.01;
                prop_assert!(!outline.iter().any(|p| within(mine(p))), "{one:?}");
                let inside = |share: [f64; 2]| {
                    let at = [one.x_mm + share[0] * one.width_mm, one.y_mm - first + share[1] * one.length_mm];
                    let sides = outline.iter().zip(outline.iter().cycle().skip(1));
                    let right = |p: &Point, q: &Point| p[0] + (q[0] - p[0]) * (at[1] - p[1]) / (q[1] - p[1]) > at[0];
                    sides.filter(|(p, q)| (p[1] <= at[1]) != (q[1] <= at[1]) && right(p, q)).count() % 2 == 1
                };
                let grid = (1..8).flat_map(|x| (1..8).map(move |y| [f64::from(x) / 8.0, f64::from(y) / 8.0]));
                prop_assert!(!grid.into_iter().any(inside), "{one:?}");
            }
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 16, ..ProptestConfig::default() })]

    #[test]
    fn lengths_hold_what_they_are_given(job in ruled_job(), shares in prop::collection::vec(0.3..1.0_f64, 1..4)) {
        let alone = lay(&job, 1, 1).unwrap().used_length_mm + 2.0 * job.cloth.squaring_mm;
        let lengths: Vec<f64> = shares.iter().map(|share| share * alone).collect();
        match lay_lengths(&job, &lengths, 2000, 1) {
            Ok(found) => for on in &found {
                prop_assert_eq!(check(&on.job, &on.lay), vec![]);
                prop_assert!(on.lay.used_length_mm <= job.cloth.usable_length_mm(lengths[on.length]));
            },
            Err(error) => prop_assert!(matches!(error, LayError::LengthsShort { .. }), "{error}"),
        }
    }
}

#[test]
fn a_strip_that_may_be_joined_is_halved_where_no_length_holds_it() {
    // Whole, the frill fills three rows; each remnant has room for two.
    let frill = strip("Frill", 1, 2800.0, 100.0);
    let job = job(bare(1000.0, Layout::Open), vec![], vec![frill]);
    let found = lay_lengths(&job, &[220.0, 220.0], 5000, 1).unwrap();
    assert_eq!(found.len(), 2);
    assert!(found.iter().all(|on| (on.job.strips[0].length_mm - 1400.0).abs() < 1e-9));
}
