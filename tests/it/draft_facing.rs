//! Facings taken from darted edges, and linings, from the finished pieces.

use bodkin::draft::{BOOK, Draft, Input, Piece, Style, draft};
use bodkin::geom::{area, distance};
use bodkin::measure::{Length, Showing};

fn drafted(text: &str) -> Result<Draft, String> {
    let style = Style::read(text).unwrap_or_else(|e| panic!("{e}"));
    let mut input = Input::new(Showing::EIGHTHS);
    input.body.insert("waist_girth".into(), Length::inches(28, 4));
    input.body.insert("hip_girth".into(), Length::inches(40, 2));
    draft(&style, &input).map_err(|e| e.to_string())
}

/// The straight skirt with more in it.
fn straight(more: &str, seams: &str) -> String {
    let book = BOOK.iter().find(|b| b.key == "straight_skirt").unwrap().text;
    book.replacen("[seams]", &format!("{more}\n[seams]\n{seams}"), 1)
}

fn piece<'a>(draft: &'a Draft, key: &str) -> &'a Piece {
    draft.pieces.iter().find(|p| p.key == key).unwrap()
}

fn failed(draft: &Draft) -> Vec<String> {
    draft.truths.iter().filter(|t| !t.held).map(|t| format!("{}: {}", t.what, t.found)).collect()
}

const FACED: &str = "
[facings.front_facing]
of = 'front.waist'
depth = '2 1/2 in'
[facings.back_facing]
of = 'back.waist'
depth = '2 1/2 in'
";
const FACED_SEAMS: &str = "
front_faced = 'front_facing.waist = front.waist'
back_faced = 'back_facing.waist = back.waist'
faced_sides = 'front_facing.side = back_facing.side'
";

#[test]
fn a_facing_of_a_darted_waist_is_taken_with_the_darts_closed() {
    let draft = drafted(&straight(FACED, FACED_SEAMS)).unwrap();
    assert_eq!(failed(&draft), Vec::<String>::new());
    for (whole, faced) in [("front", "front_facing"), ("back", "back_facing")] {
        let (whole, faced) = (piece(&draft, whole), piece(&draft, faced));
        assert!(!whole.darts.is_empty() && faced.darts.is_empty());
        let length = |p: &Piece| p.edges.iter().find(|e| e.key == "waist").unwrap().length_mm;
        assert!((length(whole) - length(faced)).abs() < 0.1);
        // A strip of its depth, and what it flares below; with the darts open a third more.
        let strip = 63.5 * length(faced);
        let share = area(&faced.sewing).abs() / strip;
        assert!((1.0..1.15).contains(&share), "{share}");
    }
    // The waist bends upward over every closed dart, so the facing is curved more than the skirt.
    let faced = piece(&draft, "back_facing");
    let waist = &faced.edges.iter().find(|e| e.key == "waist").unwrap().points;
    let chord = distance(waist[0], waist[waist.len() - 1]);
    assert!(chord < faced.edges.iter().find(|e| e.key == "waist").unwrap().length_mm - 1.0);
}

#[test]
fn an_inner_layer_is_less_by_the_turn_of_the_cloth() {
    let less = FACED.replace("depth", "less = '1/16 in'\ndepth");
    let draft = drafted(&straight(&less, FACED_SEAMS)).unwrap();
    assert_eq!(failed(&draft), Vec::<String>::new());
    let plain = drafted(&straight(FACED, FACED_SEAMS)).unwrap();
    let top = |draft: &Draft| piece(draft, "front_facing").edges.iter().find(|e| e.key == "centre").unwrap().length_mm;
    assert!((top(&plain) - top(&draft) - 25.4 / 16.0).abs() < 0.01, "{} {}", top(&plain), top(&draft));
    // Without the words for it, so much is a fault.
    let book = straight(&FACED.replace("2 1/2 in", "2 1/2 in"), FACED_SEAMS);
    let off = book.replacen(
        "front_faced = 'front_facing.waist = front.waist'",
        "front_faced = 'front_facing.lower = front.waist'",
        1,
    );
    assert!(failed(&drafted(&off).unwrap()).iter().any(|f| f.contains("apart")));
}
