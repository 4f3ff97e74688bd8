//! Notches: placed by distance along a run, matched on the run it is sewn to.

use bodkin::draft::{Draft, Input, Notch, Piece, Style, draft};
use bodkin::geom::{Point, distance};
use bodkin::measure::{Length, Showing};

fn drafted(text: &str) -> Draft {
    let style = Style::read(text).unwrap_or_else(|e| panic!("{e}"));
    let mut input = Input::new(Showing::EIGHTHS);
    input.body.insert("waist_girth".into(), Length::inches(29, 4));
    input.body.insert("hip_girth".into(), Length::inches(38, 2));
    draft(&style, &input).unwrap_or_else(|e| panic!("{e}"))
}

fn straight(notches: &str) -> String {
    let book = include_str!("styles/straight_skirt.style.toml");
    book.replacen("[measured]", &format!("{notches}\n[measured]"), 1)
}

fn piece<'a>(draft: &'a Draft, key: &str) -> &'a Piece {
    draft.pieces.iter().find(|p| p.key == key).unwrap()
}

fn notch<'a>(draft: &'a Draft, piece_key: &str, label: &str) -> &'a Notch {
    piece(draft, piece_key).notches.iter().find(|n| n.label == label).unwrap()
}

fn truth(draft: &Draft) -> (bool, String) {
    let truth = draft.truths.iter().find(|t| t.what == "Notches meet").unwrap();
    (truth.held, truth.found.clone())
}

#[test]
fn the_hip_notch_lies_on_the_hip_line_of_both_pieces() {
    let draft = drafted(&straight(""));
    let hip_down = draft.dimensions.iter().find(|d| d.key == "hip_down").unwrap().mm.unwrap();
    for key in ["front", "back"] {
        let notch = notch(&draft, key, "Hip");
        assert!((notch.at[1] - hip_down).abs() < 0.2, "{key}: {:?}", notch.at);
        // It points straight out of the piece, which lies left of its side.
        assert!(notch.heading.cos() > 0.999, "{key}: {}", notch.heading);
        let [(from, to)] = notch.ticks()[..] else { panic!("one tick") };
        assert!(from[0] < notch.at[0] && to[0] > notch.at[0] + 9.0);
    }
    assert_eq!(truth(&draft), (true, "1 pair".into()));
}

#[test]
fn a_distance_along_a_darted_edge_is_taken_with_the_darts_closed() {
    let at = |mm: f64| -> Point {
        let text = straight(&format!("[notches.mark]\non = 'front.waist'\nat = '{mm:.3} mm'\ndouble = true"));
        let draft = drafted(&text);
        let mark = notch(&draft, "front", "Mark");
        assert!(mark.double && mark.ticks().len() == 2);
        mark.at
    };
    let draft = drafted(&straight(""));
    let dart = &piece(&draft, "front").darts[0];
    // One millimetre apart as sewn, but the whole dart lies between them as drawn.
    let foot = distance(piece(&draft, "front").edges[0].points[0], dart.feet.0);
    let apart = distance(at(foot - 0.6), at(foot + 1.2));
    assert!((apart - dart.intake_mm - 1.8).abs() < 0.6, "{apart} {}", dart.intake_mm);
}

#[test]
fn notches_that_do_not_meet_are_found() {
    let off = straight("[notches.knee]\non = 'front.side'\nat = '5 in'\nwith = 'back.side'\nwith_at = '5 1/16 in'");
    let (held, found) = truth(&drafted(&off));
    assert!(!held && found.contains("1.6 mm apart"), "{found}");
    let same = straight("[notches.knee]\non = 'front.side'\nat = '5 in'\nwith = 'back.side'");
    assert!(truth(&drafted(&same)).0);
    // From the other end of the back.
    let turned = straight(
        "[notches.knee]\non = 'front.side'\nat = '3 in'\nwith = 'back.side'\nwith_at = 'back.side - 3 in'\nwith_from = 'end'",
    );
    assert!(!truth(&drafted(&turned)).0);
    let strangers = straight("[notches.knee]\non = 'front.side'\nat = '5 in'\nwith = 'back.centre'");
    let (held, found) = truth(&drafted(&strangers));
    assert!(!held && found.contains("no seam"), "{found}");
}

#[test]
fn between_notches_no_more_is_eased_than_the_seam_says() {
    // The back is drawn 1/2 in longer from waist to hip and eased on to the front there.
    let eased = |at: &str| {
        let text = straight(&format!(
            "[notches.knee]\non = 'front.side + front.lower'\nat = '12 in'\nwith = 'back.side + back.lower'\nwith_at = '{at}'"
        ));
        let text = text.replacen(
            "sides = 'front.side + front.lower = back.side + back.lower'",
            "sides = { edges = 'back.side + back.lower = front.side + front.lower', ease = '1/2 in' }",
            1,
        );
        truth(&drafted(&text)).1
    };
    assert!(!eased("12 1/2 in").contains("Knee"), "{}", eased("12 1/2 in"));
    assert!(!eased("12 1/4 in").contains("Knee"));
    assert!(eased("12 3/4 in").contains("Knee"));
    assert!(eased("11 7/8 in").contains("Knee"));
}

#[test]
fn a_notch_beyond_its_run_is_refused() {
    let style = Style::read(&straight("[notches.knee]\non = 'front.side'\nat = '40 in'")).unwrap();
    let mut input = Input::new(Showing::EIGHTHS);
    input.body.insert("waist_girth".into(), Length::inches(29, 4));
    input.body.insert("hip_girth".into(), Length::inches(38, 2));
    let words = draft(&style, &input).unwrap_err().to_string();
    assert!(words.contains("beyond the ends"), "{words}");
    for wrong in ["on = '2 * front.side'\nat = '1 in'", "on = 'front.side'\nat = '1 in'\nwith_at = '1 in'"] {
        assert!(Style::read(&straight(&format!("[notches.knee]\n{wrong}"))).is_err(), "{wrong}");
    }
}
