//! The pattern in true scale: what stands on it, what never does, and what is refused.
//! That its lines are as long as the draft's is read from the files by `tests/outside/pattern.py`.

use bodkin::draft::{BOOK, Draft, Input, Style, draft};
use bodkin::geom::length_along;
use bodkin::measure::{Length, Showing, Unit};
use bodkin::sheet::{Asked, Line, Marks, Paper, Pattern, PatternError, pattern, pattern_pdf, piece_svg};

fn drafted(key: &str, waist: i64, hip: i64) -> Draft {
    let text = BOOK.iter().find(|style| style.key == key).unwrap().text;
    let mut input = Input::new(Showing::EIGHTHS);
    let body = [("bust_girth", hip - 2), ("waist_girth", waist), ("hip_girth", hip), ("waist_to_hip", 8)];
    input.body = body.iter().map(|(key, inches)| ((*key).to_string(), Length::inches(*inches, 0))).collect();
    draft(&Style::read(text).unwrap(), &input).unwrap()
}

fn marks() -> Marks {
    Marks {
        mark: "2026-0147 B".into(),
        client: "Efua Mensah".into(),
        what: "Sunday skirt".into(),
        day: "3 May 2026".into(),
        unit: Unit::Inch,
    }
}

fn asked(paper: Paper) -> Asked {
    Asked { pieces: Vec::new(), opened: false, paper }
}

/// The words of a pattern but for figures of the tape, rows and pages.
fn words(pattern: &Pattern) -> Vec<String> {
    let all = pattern.pages.iter().flat_map(|page| page.ink.words.iter().map(|words| words.text.clone()));
    all.filter(|text| {
        !text.starts_with("row ") && !text.starts_with("page ") && !text.chars().all(|c| c.is_ascii_digit())
    })
    .collect()
}

fn length_of(pattern: &Pattern, line: Line) -> f64 {
    let strokes = pattern.pages.iter().flat_map(|page| &page.ink.strokes).filter(|stroke| stroke.line == line);
    strokes.map(|stroke| length_along(&stroke.points)).sum()
}

#[test]
fn every_style_is_drawn_on_every_paper() {
    for style in BOOK {
        let draft = drafted(style.key, 31, 39);
        for paper in Paper::ALL {
            let pattern = pattern(&draft, &marks(), &asked(paper)).unwrap();
            let has_map = pattern.pages.first().unwrap().tile.is_none();
            assert!(has_map || paper.is_large(), "{} {paper:?}", style.key);
            let told = words(&pattern);
            for piece in &draft.pieces {
                assert!(told.iter().any(|text| text.contains(&piece.label)), "{} {}", style.key, piece.label);
            }
            let pdf = pattern_pdf(&pattern).unwrap();
            assert!(pdf.starts_with(b"%PDF-") && pdf.trim_ascii_end().ends_with(b"%%EOF"));
        }
    }
}

#[test]
fn a_label_says_whose_and_what_and_nothing_of_the_body() {
    let (slim, wide) = (drafted("straight_skirt", 28, 38), drafted("straight_skirt", 36, 46));
    let on = |draft: &Draft| pattern(draft, &marks(), &asked(Paper::Roll)).unwrap();
    let told = words(&on(&slim));
    for needed in
        ["2026-0147 B · Efua Mensah", "Sunday skirt · 3 May 2026", "A  Front", "cut 1 on the fold", "100 mm", "4 in"]
    {
        assert!(told.iter().any(|text| text == needed), "{needed}: {told:?}");
    }
    // Two bodies, the same words: no figure of either stands there.
    let (mut one, mut other) = (told, words(&on(&wide)));
    one.sort();
    other.sort();
    assert_eq!(one, other);
    // The name is on the pieces, not on the map, nor in the title.
    let tiled = pattern(&slim, &marks(), &asked(Paper::A4)).unwrap();
    assert!(!tiled.title.contains("Efua"));
    assert!(tiled.pages[0].ink.words.iter().all(|words| !words.text.contains("Efua")));
}

#[test]
fn a_name_in_letters_that_the_font_lacks_is_left_to_the_pen() {
    let marks = Marks { client: "ፀሐይ".into(), ..marks() };
    let told = words(&pattern(&drafted("apron", 31, 39), &marks, &asked(Paper::Roll)).unwrap());
    assert!(told.iter().any(|text| text.contains("name: ____")), "{told:?}");
    assert!(told.iter().all(|text| !text.contains('ፀ')));
}

#[test]
fn what_would_not_sew_says_so_on_the_map_and_on_every_piece() {
    let mut draft = drafted("straight_skirt", 31, 39);
    let sound = words(&pattern(&draft, &marks(), &asked(Paper::A4)).unwrap());
    assert!(sound.iter().all(|text| !text.contains("WOULD NOT SEW")));
    let truth = draft.truths.first_mut().unwrap();
    truth.held = false;
    truth.found = "apart by 3 mm".into();
    let spoilt = pattern(&draft, &marks(), &asked(Paper::A4)).unwrap();
    let map: Vec<&str> = spoilt.pages[0].ink.words.iter().map(|words| words.text.as_str()).collect();
    assert!(map.iter().any(|text| text.starts_with("WOULD NOT SEW")), "{map:?}");
    assert!(map.iter().any(|text| text.contains("apart by 3 mm")), "{map:?}");
    // One whole sheet: each label once.
    let on_pieces = words(&pattern(&draft, &marks(), &asked(Paper::Roll)).unwrap());
    let warned = on_pieces.iter().filter(|text| text.contains("WOULD NOT SEW: do not cut from it")).count();
    assert_eq!(warned, draft.pieces.len(), "{on_pieces:?}");
    let svg = piece_svg(&draft, &marks(), "A", false).unwrap();
    assert!(svg.contains("WOULD NOT SEW"));
}

#[test]
fn an_assumed_measure_is_asked_for_on_every_piece() {
    let mut draft = drafted("straight_skirt", 31, 39);
    draft.assumed.push(bodkin::draft::Assumed { key: "waist_to_hip".into(), mm: 203.2, before_cutting: true });
    let told = words(&pattern(&draft, &marks(), &asked(Paper::Roll)).unwrap());
    let asked_for = told.iter().filter(|text| text.contains("TAKE BEFORE CUTTING: waist to hip")).count();
    assert_eq!(asked_for, draft.pieces.len() + 1, "{told:?}");
}

#[test]
fn a_piece_on_the_fold_is_drawn_as_half_or_opened_out() {
    let draft = drafted("straight_skirt", 31, 39);
    let front = |opened| {
        let asked = Asked { pieces: vec!["a".into()], opened, paper: Paper::Roll };
        pattern(&draft, &marks(), &asked).unwrap()
    };
    let (half, whole) = (front(false), front(true));
    assert!((length_of(&whole, Line::Sew) - 2.0 * length_of(&half, Line::Sew)).abs() < 1e-6);
    assert!(length_of(&half, Line::Fold) > 500.0 && length_of(&whole, Line::Fold) < 1e-9);
    assert!(words(&half).iter().any(|text| text == "place on the fold"));
    assert!(words(&whole).iter().any(|text| text == "cut 1, opened out"));
    let other = words(&half).iter().any(|text| text.contains("Not drawn here: 3 of 4 pieces."));
    assert!(other, "{:?}", words(&half));
}

#[test]
fn what_cannot_be_drawn_is_refused_in_words() {
    let draft = drafted("wrap_skirt", 31, 39);
    let refused = |letter: &str| {
        let asked = Asked { pieces: vec![letter.into()], ..asked(Paper::A4) };
        pattern(&draft, &marks(), &asked).unwrap_err().to_string()
    };
    let strip = draft.strips.first().unwrap().letter.clone();
    assert_eq!(refused("Q"), "There is no piece “Q”. The pieces are A, B, C, D, E, F.");
    assert!(refused(&strip).starts_with(&format!("{strip} is a strip, cut by its measures")), "{}", refused(&strip));
    let grown = |by: f64| {
        let mut large = draft.clone();
        for point in large.pieces.iter_mut().flat_map(|piece| piece.cutting.iter_mut().chain(&mut piece.sewing)) {
            *point = [point[0] * by, point[1] * by];
        }
        pattern(&large, &marks(), &asked(Paper::A4)).unwrap_err()
    };
    assert_eq!(grown(6.0), PatternError::TooMany { most: 300, paper: "A4" });
    assert!(matches!(grown(60.0), PatternError::Boundless { .. }));
    assert!(matches!(grown(f64::NAN), PatternError::Boundless { .. }));
    let strips = Draft { pieces: Vec::new(), ..draft.clone() };
    assert_eq!(pattern(&strips, &marks(), &asked(Paper::A4)).unwrap_err(), PatternError::NoPieces);
}

#[test]
fn the_same_draft_gives_the_same_file() {
    let draft = drafted("apron", 31, 39);
    let file = || pattern_pdf(&pattern(&draft, &marks(), &asked(Paper::Letter)).unwrap()).unwrap();
    assert_eq!(file(), file());
}
