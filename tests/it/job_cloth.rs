//! From what is written of a garment's cloths to their lays: nap, print, shrinkage, skew,
//! spare, remnants, lining and interfacing as cloths of their own.

use bodkin::demo::seeded_body;
use bodkin::draft::{self, BOOK, Draft, Input, Style};
use bodkin::job::{bolt, cloth_job, drafted, enough_by_width, facts_of, laid, lay_job};
use bodkin::lay::{self, Grain, Layout, Part, best_layout};
use bodkin::measure::{Length, Showing, Who};
use bodkin::shop::{ClothFacts, GarmentFacts, LiningFacts, LiningKind, Nap};
use rand::SeedableRng;

use crate::job::{body, garment, settings, wrap_skirt};

const IN: f64 = 25.4;

fn skirt() -> Draft {
    drafted(&wrap_skirt(), &garment(), &body(), &settings()).unwrap()
}

/// A check of 2 3/8 in by 1 3/4 in.
fn checked() -> ClothFacts {
    ClothFacts {
        repeat_along: Some(Length::inches(2, 3)),
        repeat_across: Some(Length::inches(1, 6)),
        ..garment().cloth
    }
}

#[test]
fn what_is_written_of_a_cloth_reaches_the_layer() {
    let (settings, width) = (settings(), Length::inches(45, 0));
    let facts = ClothFacts {
        nap: Nap::PerGarment,
        shrink_along: Some(60),
        shrink_across: Some(25),
        skew: Some(Length::inches(3, 0)),
        spare: Some(Length::inches(9, 0)),
        ..checked()
    };
    let main = bolt(draft::Cloth::Main, &facts, &settings, width);
    assert_eq!((main.nap, main.layout), (lay::Nap::PerGarment, Layout::Folded));
    assert!((main.shrink_length - 0.06).abs() < 1e-12 && (main.shrink_width - 0.025).abs() < 1e-12);
    assert!((main.squaring_mm - 3.0 * IN).abs() < 1e-9 && (main.spare_mm - 9.0 * IN).abs() < 1e-9);
    let repeat = main.repeat.unwrap();
    assert!(
        (repeat.along_mm.unwrap() - 2.375 * IN).abs() < 1e-9 && (repeat.across_mm.unwrap() - 1.75 * IN).abs() < 1e-9
    );
    // Nothing written: the shop's habits. A lining has neither nap nor print.
    let plain = bolt(draft::Cloth::Main, &garment().cloth, &settings, width);
    assert!((plain.squaring_mm - IN).abs() < 1e-9 && plain.spare_mm.abs() < 1e-9 && plain.repeat.is_none());
    assert!((plain.shrink_length - 0.03).abs() < 1e-12);
    let lining = bolt(draft::Cloth::Lining, &facts, &settings, width);
    assert_eq!((lining.nap, lining.repeat), (lay::Nap::Free, None));
    let interfacing = bolt(draft::Cloth::Interfacing, &facts, &settings, width);
    assert!((interfacing.shrink_length - 0.06).abs() < 1e-12, "its own figure is heeded");
}

#[test]
fn a_fold_across_is_tried_where_it_is_asked_for_and_the_cloth_has_no_way() {
    let (settings, width) = (settings(), Length::inches(45, 0));
    let of = |cloth, fold_across, nap| {
        bolt(cloth, &ClothFacts { fold_across, nap, ..garment().cloth }, &settings, width).crosswise_too
    };
    let main = draft::Cloth::Main;
    assert!(of(main, true, Nap::Free));
    assert!(!of(main, false, Nap::Free) && !of(draft::Cloth::Lining, true, Nap::Free));
    assert!(!of(main, true, Nap::One) && !of(main, true, Nap::PerGarment));
}

#[test]
fn how_far_off_the_grain_a_piece_may_lie_stands_in_its_style() {
    let text = BOOK.iter().find(|style| style.key == "straight_skirt").unwrap().text;
    let drafted_of = |text: &str| {
        let body = [("waist_girth".into(), Length::inches(29, 0)), ("hip_girth".into(), Length::inches(38, 0))];
        draft::draft(&Style::read(text).unwrap(), &Input { body: body.into(), ..Input::new(Showing::EIGHTHS) }).unwrap()
    };
    let play = |text: &str, cloth| -> Vec<(String, u16)> {
        let job = lay_job(&drafted_of(text), cloth, lay::Cloth::of_width(1000.0));
        job.parts.into_iter().map(|part| (part.key, part.grain_tolerance_deg)).collect()
    };
    let main = play(text, draft::Cloth::Main);
    assert!(!main.is_empty() && main.iter().all(|(_, degrees)| *degrees == 0), "{main:?}");
    let behind = play(text, draft::Cloth::Interfacing);
    assert!(behind.iter().all(|(_, degrees)| *degrees == 2), "{behind:?}");
    let loose = text.replacen("[pieces.back]\n", "[pieces.back]\noff_grain = '3 deg'\n", 1);
    assert!(play(&loose, draft::Cloth::Main).contains(&("back".into(), 3)));
    for wrong in ["'11 deg'", "'1 in'", "2", "'1.5 deg'", "'-1 deg'"] {
        let text = text.replacen("[pieces.back]\n", &format!("[pieces.back]\noff_grain = {wrong}\n"), 1);
        let told = Style::read(&text).unwrap_err().to_string();
        assert!(told.contains("whole degrees from 0 to 10"), "{wrong}: {told}");
    }
}

#[test]
fn skew_and_spare_are_lines_of_the_sum() {
    let (draft, settings) = (skirt(), settings());
    let facts = ClothFacts { skew: Some(Length::inches(3, 0)), spare: Some(Length::inches(9, 0)), ..garment().cloth };
    let plain = laid(&draft, draft::Cloth::Main, &garment().cloth, &settings).unwrap();
    let spared = laid(&draft, draft::Cloth::Main, &facts, &settings).unwrap();
    assert_eq!(spared.lay, plain.lay);
    assert_eq!(spared.need.squaring, Length::inches(6, 0));
    assert_eq!(spared.need.spare, Length::inches(9, 0));
    assert!(spared.need.lines.iter().any(|line| line.label == "Spare for mistakes"));
    assert!(spared.need.text().contains("9 in spare for mistakes; buy"), "{}", spared.need.text());
    assert!(spared.need.to_buy >= plain.need.to_buy + Length::inches(9, 0));
}

#[test]
fn a_lining_is_laid_by_what_is_written_of_it() {
    let lining = LiningFacts {
        width: Some(Length::inches(36, 0)),
        washed: Some(true),
        shrink_along: Some(80),
        ..LiningFacts::UNKNOWN
    };
    let mut garment = garment();
    assert_eq!(facts_of(&garment, draft::Cloth::Lining), ClothFacts::UNKNOWN);
    garment.linings.insert(LiningKind::Lining, lining);
    let facts = facts_of(&garment, draft::Cloth::Lining);
    assert_eq!((facts.width, facts.washed), (Some(Length::inches(36, 0)), Some(true)));
    assert_eq!(facts_of(&garment, draft::Cloth::Main), garment.cloth);
    assert_eq!(facts_of(&garment, draft::Cloth::Interfacing), ClothFacts::UNKNOWN);
    // A style with a lining, laid on it: its own width, and washed cloth shrinks no more.
    let lined = lined();
    let laid_out = laid(&lined, draft::Cloth::Lining, &facts, &settings()).unwrap();
    assert_eq!((laid_out.width, laid_out.width_assumed), (Length::inches(36, 0), false));
    assert_eq!(laid_out.need.shrinkage, Length::ZERO);
    let unknown = laid(&lined, draft::Cloth::Lining, &ClothFacts::UNKNOWN, &settings()).unwrap();
    assert_eq!((unknown.width, unknown.width_assumed), (Length::inches(45, 0), true));
    assert!(unknown.need.shrinkage > Length::ZERO);
}

/// The first style of the book that has something cut from lining as it stands, or once it is asked for.
fn lined() -> Draft {
    let drafts = BOOK.iter().flat_map(|book| {
        let style = Style::read(book.text).unwrap();
        let mut inputs = vec![on_a_body(&style)];
        for choice in style.choices() {
            if let draft::ChoiceKind::Word { options, .. } = &choice.kind {
                for (word, _) in options {
                    let mut input = on_a_body(&style);
                    input.choices.insert(choice.key.clone(), word.clone());
                    inputs.push(input);
                }
            }
        }
        inputs.into_iter().filter_map(move |input| draft::draft(&style, &input).ok())
    });
    let mut drafts = drafts.filter(|draft| draft.pieces.iter().any(|piece| piece.cloth == draft::Cloth::Lining));
    drafts.next().unwrap()
}

fn on_a_body(style: &Style) -> Input {
    let mut rng = rand_pcg::Pcg64::seed_from_u64(1916);
    let who = match style.wearer() {
        "men" => Who::Man,
        "children" => Who::Child,
        _ => Who::Woman,
    };
    let mut input = Input::new(Showing::EIGHTHS);
    input.body = seeded_body(&mut rng, who);
    input
}

#[test]
fn a_cloth_alike_on_both_sides_lets_pieces_turn_over_where_she_agrees() {
    let (draft, settings, width) = (skirt(), settings(), Length::inches(45, 0));
    let job = |facts: &ClothFacts| cloth_job(&draft, draft::Cloth::Main, facts, &settings, width);
    assert!(job(&garment().cloth).parts.iter().all(|part| !part.may_flip));
    let turns_over = ClothFacts { turns_over: true, ..garment().cloth };
    assert!(job(&turns_over).parts.iter().all(|part| part.may_flip));
}

#[test]
fn remnants_are_shared_out_and_what_is_left_of_a_bolt_is_told() {
    let laid_out = laid(&skirt(), draft::Cloth::Main, &garment().cloth, &settings()).unwrap();
    let half = Length::from_nm(laid_out.need.cut_length.nm() * 7 / 10);
    let found = laid_out.on_lengths(&[half, half]).unwrap();
    assert_eq!(found.len(), 2);
    assert!(found.iter().all(|on| lay::check(&on.job, &on.lay).is_empty()));
    let error = laid_out.on_lengths(&[Length::inches(20, 0), Length::inches(10, 0)]).unwrap_err().to_string();
    assert!(error.contains("would be left over") && error.contains("short by"), "{error}");

    let more = laid_out.need.to_buy + Length::inches(18, 0);
    let left = laid_out.left_over(more);
    assert!(left.iter().any(|rectangle| rectangle.width_mm > 40.0 * IN && rectangle.length_mm > 12.0 * IN), "{left:?}");
    assert!(laid_out.left_over(Length::inches(30, 0)).is_empty());
}

/// The point of a part that a seam's mark names.
fn marked(job: &lay::LayJob, (part, mark): (usize, usize)) -> (&Part, [f64; 2]) {
    let part = &job.parts[part];
    (part, part.marks[mark].at)
}

#[test]
fn side_seams_match_at_the_hem_and_crowns_at_the_notch() {
    let bodice = Style::read(BOOK.iter().find(|style| style.key == "bodice_block").unwrap().text).unwrap();
    let mut input = on_a_body(&bodice);
    input.choices.insert("sleeves".into(), "long".into());
    let draft = draft::draft(&bodice, &input).unwrap();
    let bolt = bolt(draft::Cloth::Main, &checked(), &settings(), Length::inches(60, 0));
    let job = lay_job(&draft, draft::Cloth::Main, bolt);
    let named = |name: &str| job.matched.iter().find(|matched| matched.name == name);
    let sides = named("Side seams").unwrap();
    for end in [sides.a, sides.b] {
        let (part, at) = marked(&job, end);
        let piece = draft.pieces.iter().find(|piece| piece.key == part.key).unwrap();
        let edge = piece.edges.iter().find(|edge| edge.key == "side").unwrap();
        let lower = edge.points.iter().map(|p| p[1]).fold(f64::NEG_INFINITY, f64::max);
        assert!((at[1] - lower).abs() < 1e-9, "{}", part.label);
    }
    let crowns: Vec<_> = job
        .matched
        .iter()
        .filter(|m| marked(&job, m.a).0.key == "sleeve" || marked(&job, m.b).0.key == "sleeve")
        .collect();
    assert_eq!(crowns.len(), 2, "front and back, {:?}", job.matched);
    for crown in crowns {
        for end in [crown.a, crown.b] {
            let (part, at) = marked(&job, end);
            let piece = draft.pieces.iter().find(|piece| piece.key == part.key).unwrap();
            assert!(
                piece.notches.iter().any(|notch| (notch.at[0] - at[0]).hypot(notch.at[1] - at[1]) < 1e-9),
                "{} {}",
                crown.name,
                part.label
            );
        }
    }
    // The side decides: it is named before the crowns.
    let place = |name: &str| job.matched.iter().position(|matched| matched.name == name).unwrap();
    assert!(
        place("Side seams") < place(&job.matched.iter().find(|m| marked(&job, m.b).0.key == "sleeve").unwrap().name)
    );
    // Facings lie inside and need no match; plain cloth asks nothing.
    assert!(job.parts.iter().all(|part| !part.key.contains("facing") || part.marks.is_empty()));
    let plain = lay_job(&draft, draft::Cloth::Main, lay::Cloth { repeat: None, ..bolt });
    assert!(plain.matched.is_empty() && plain.parts.iter().all(|part| part.marks.is_empty()));
}

#[test]
fn every_style_of_the_book_is_laid_on_a_check() {
    let settings = settings();
    let mut with_matches = 0;
    for book in BOOK {
        let style = Style::read(book.text).unwrap();
        let draft = draft::draft(&style, &on_a_body(&style)).unwrap();
        let facts = checked();
        let job = cloth_job(&draft, draft::Cloth::Main, &facts, &settings, Length::inches(60, 0));
        // `lay` proves the match with the rest; a first lay is enough here.
        let found = match best_layout(&job, 1, 1) {
            Ok(found) => found,
            Err(lay::LayError::TooWide { .. }) => continue,
            Err(error) => panic!("{}: {error}", book.key),
        };
        assert_eq!(lay::check(&job, &found), [], "{}", book.key);
        with_matches += usize::from(!job.matched.is_empty());
        let kept = job.parts.iter().all(|part| part.grain != Grain::Bias || part.marks.is_empty());
        assert!(kept, "{}: nothing on the bias matches", book.key);
        for words in lay::unmatched(&job, &found) {
            assert!(job.matched.iter().any(|matched| words.contains(&format!("“{}”", matched.name))), "{words}");
        }
    }
    assert!(with_matches >= 10, "{with_matches} styles have something to match");
}

#[test]
fn a_garment_without_a_cloth_of_its_own_is_laid_as_before() {
    let garment = GarmentFacts { cloth: ClothFacts::UNKNOWN, ..garment() };
    let laid_out = laid(&skirt(), draft::Cloth::Main, &facts_of(&garment, draft::Cloth::Main), &settings()).unwrap();
    assert!(laid_out.width_assumed && laid_out.unmatched().is_empty() && laid_out.need.spare == Length::ZERO);
    assert_eq!(laid_out.spread(), laid_out.lay.spread());
    let printed = laid(&skirt(), draft::Cloth::Main, &checked(), &settings()).unwrap();
    assert_eq!(printed.spread().contains("the print pinned layer to layer"), printed.lay.wrong_side_up());
}

#[test]
fn wider_cloth_never_asks_for_more_length() {
    // First lays of this skirt: 54 1/2 in on cloth of 54 in, 62 3/8 on cloth of 60, until the
    // wider cloth was cut as the narrower one is.
    let text = BOOK.iter().find(|book| book.key == "flared_skirt").unwrap().text;
    let girths = [("stature", 1664.3), ("waist_girth", 817.7), ("hip_girth", 1057.9), ("bust_girth", 960.6)];
    let mut input = Input::new(Showing::EIGHTHS);
    input.body = girths.into_iter().map(|(key, mm)| (key.into(), Length::from_mm(mm).unwrap())).collect();
    let draft = draft::draft(&Style::read(text).unwrap(), &input).unwrap();
    let needs = enough_by_width(&draft, &ClothFacts::UNKNOWN, &settings());
    let cut: Vec<Length> = needs.iter().map(|need| need.need.as_ref().unwrap().cut_length).collect();
    assert_eq!(cut.len(), 4);
    assert!(cut.is_sorted_by(|narrow, wide| narrow >= wide), "{cut:?}");
    assert!(cut.first() > cut.last(), "{cut:?}");
}
