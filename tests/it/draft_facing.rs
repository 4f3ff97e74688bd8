//! Facings taken from darted edges, and linings, from the finished pieces.

use bodkin::draft::{Draft, Input, Piece, Style, draft};
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
    let book = include_str!("styles/straight_skirt.style.toml");
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
    let book = straight(FACED, FACED_SEAMS);
    let off = book.replacen(
        "front_faced = 'front_facing.waist = front.waist'",
        "front_faced = 'front_facing.lower = front.waist'",
        1,
    );
    assert!(failed(&drafted(&off).unwrap()).iter().any(|f| f.contains("apart")));
}

const LINED: &str = "
[linings.front_lining]
of = 'front'
shorten = 'hem'
by = '1 in'
allow = '1 in'
[linings.back_lining]
of = 'back'
shorten = 'hem'
by = '1 in'
allow = '1 in'
pleat_on = 'centre'
pleat = '1/2 in'
";

#[test]
fn a_lining_is_an_inch_shorter_with_its_darts_as_tucks() {
    let draft = drafted(&straight(
        LINED,
        "lining_sides = 'front_lining.side + front_lining.lower = back_lining.side + back_lining.lower'",
    ))
    .unwrap();
    assert_eq!(failed(&draft), Vec::<String>::new());
    let (front, lining) = (piece(&draft, "front"), piece(&draft, "front_lining"));
    assert_eq!(lining.cloth, bodkin::draft::Cloth::Lining);
    assert_eq!(lining.darts.len(), front.darts.len());
    assert!(lining.darts.iter().all(|d| d.label.ends_with("laid as a tuck")), "{}", lining.darts[0].label);
    let length = |p: &Piece, key: &str| p.edges.iter().find(|e| e.key == key).unwrap().length_mm;
    assert!((length(front, "centre") - length(lining, "centre") - 25.4).abs() < 1e-6);
    assert!((length(front, "lower") - length(lining, "lower") - 25.4).abs() < 1e-6);
    assert!((length(front, "waist") - length(lining, "waist")).abs() < 1e-6);
    assert!((length(front, "hem") - length(lining, "hem")).abs() < 1e-6);
    assert!(lining.fold.is_some() && lining.pleats.is_empty());
    let hem = lining.edges.iter().find(|e| e.key == "hem").unwrap();
    assert!(hem.turned_up && (hem.allowance_mm - 25.4).abs() < 1e-9);
}

#[test]
fn the_pleat_of_a_lining_is_laid_at_the_waist_and_hangs_free_below() {
    let draft = drafted(&straight(LINED, "")).unwrap();
    let (back, lining) = (piece(&draft, "back"), piece(&draft, "back_lining"));
    let length = |p: &Piece, key: &str| p.edges.iter().find(|e| e.key == key).unwrap().length_mm;
    assert!((length(back, "waist") - length(lining, "waist")).abs() < 1e-6);
    let [pleat] = &lining.pleats[..] else { panic!("one pleat") };
    assert!((pleat.take_mm - 12.7).abs() < 1e-9);
    // From the finished centre line out to the new one, an inch and more above the hem.
    let fold = &pleat.folds[0];
    assert!(fold.folded.0[0].abs() < 1e-4 && (fold.laid_on.0[0] + 12.7).abs() < 1e-4, "{fold:?}");
    assert!((fold.folded.1[1] - fold.folded.0[1] - 50.8).abs() < 1e-6, "{fold:?}");
    // The head of the vent ends where the centre now runs: no line runs out and back.
    let head = |p: &Piece| p.edges.iter().find(|e| e.key == "vent_head").unwrap().points.last().unwrap()[0];
    assert!((head(back) - head(lining) - 12.7).abs() < 1e-3, "{}", head(lining));
    let least = |p: &Piece| p.sewing.iter().filter(|p| p[1] < 100.0).map(|p| p[0]).fold(f64::INFINITY, f64::min);
    assert!((least(back) - least(lining) - 12.7).abs() < 1e-4);
    let without = LINED.replace("pleat_on = 'centre'\npleat = '1/2 in'", "");
    let plain = drafted(&straight(&without, "")).unwrap();
    assert!(area(&piece(&plain, "back_lining").sewing).abs() < area(&lining.sewing).abs() - 12.0 * 300.0);
}

#[test]
fn what_cannot_be_lined_so_is_refused() {
    let words = drafted(&straight(&LINED.replace("'centre'", "'waist'"), "")).unwrap_err();
    assert!(words.contains("straight edge"), "{words}");
    let words = drafted(&straight(&LINED.replacen("by = '1 in'", "by = '-1 in'", 1), "")).unwrap_err();
    assert!(words.contains("less than nothing"), "{words}");
    let words = drafted(&straight(&LINED.replacen("by = '1 in'", "by = '40 in'", 1), "")).unwrap_err();
    assert!(words.contains("shorter at"), "{words}");
    assert!(Style::read(&straight(&LINED.replace("'hem'", "'him'"), "")).is_err());
}
