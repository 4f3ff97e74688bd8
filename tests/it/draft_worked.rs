//! The worked case of the wrap skirt: quarter widths, trued, with the arithmetic as a
//! cutter writes it. The figures are common practice; the full set stands only here.

use bodkin::draft::{BOOK, Draft, Input, Style, draft};
use bodkin::measure::{Length, Showing};

const FIGURES: [(&str, &str); 5] = [
    ("finished_length", "25 in"),
    ("frill_depth", "4 in"),
    ("fullness", "3"),
    ("taper", "1 in"),
    ("side_allowance", "1 in"),
];

fn wrap_skirt() -> Style {
    Style::read(BOOK.iter().find(|b| b.key == "wrap_skirt").unwrap().text).unwrap()
}

fn worked(more: &[(&str, &str)]) -> Draft {
    let mut input = Input::new(Showing::EIGHTHS);
    input.body.insert("waist_girth".into(), Length::inches(31, 0));
    input.body.insert("hip_girth".into(), Length::inches(39, 0));
    for (key, value) in FIGURES.iter().chain(more) {
        input.choices.insert((*key).into(), (*value).into());
    }
    draft(&wrap_skirt(), &input).unwrap()
}

fn working(draft: &Draft, key: &str) -> String {
    draft.dimensions.iter().find(|d| d.key == key).unwrap().working.text(Showing::EIGHTHS)
}

fn inches(draft: &Draft, key: &str) -> f64 {
    draft.dimensions.iter().find(|d| d.key == key).unwrap().mm.unwrap() / 25.4
}

fn edge<'d>(draft: &'d Draft, piece: &str, edge: &str) -> Option<&'d bodkin::draft::Edge> {
    draft.pieces.iter().find(|p| p.key == piece).unwrap().edges.iter().find(|e| e.key == edge)
}

fn length_in(draft: &Draft, piece: &str, key: &str) -> f64 {
    edge(draft, piece, key).unwrap().length_mm / 25.4
}

fn allowance_in(draft: &Draft, piece: &str, key: &str) -> f64 {
    edge(draft, piece, key).unwrap().allowance_mm / 25.4
}

fn close(a: f64, b: f64, within: f64) {
    assert!((a - b).abs() <= within, "{a} is not {b}");
}

#[test]
fn the_arithmetic_reads_like_a_persons() {
    let draft = worked(&[]);
    for (key, text) in [
        ("waist_line", "31 ÷ 4 = 7 3/4"),
        ("waist_line_cut", "7 3/4 + 1 = 8 3/4"),
        ("hip_line", "39 ÷ 4 = 9 3/4"),
        ("hip_line_cut", "9 3/4 + 1 = 10 3/4"),
        ("hem_line", "9 3/4 − 1 = 8 3/4"),
        ("hem_line_cut", "8 3/4 + 1 = 9 3/4"),
        ("join_length", "25 − 4 = 21"),
        ("join_length_cut", "21 + 1/2 = 21 1/2"),
        ("frill_cut_depth", "4 + 1/2 = 4 1/2, + 1/2 = 5"),
    ] {
        assert_eq!(working(&draft, key), text);
    }
    let label = |key: &str| draft.dimensions.iter().find(|d| d.key == key).unwrap().label.clone();
    assert_ne!(label("hem_line_cut"), label("hip_line"));
    assert!(label("hem_line_cut").to_lowercase().contains("not the hip"));
    close(inches(&draft, "hem_line_cut"), 9.75, 1e-9);
}

#[test]
fn the_style_has_defaults_of_its_own() {
    let style = wrap_skirt();
    for (key, value) in FIGURES.iter().take(4) {
        let mut input = Input::new(Showing::EIGHTHS);
        input.body.insert("waist_girth".into(), Length::inches(31, 0));
        input.body.insert("hip_girth".into(), Length::inches(39, 0));
        let usual = draft(&style, &input).unwrap();
        input.choices.insert((*key).into(), (*value).into());
        assert!(draft(&style, &input).unwrap() != usual, "{key}");
    }
}

#[test]
fn every_truth_holds_and_the_girths_measure_back() {
    let draft = worked(&[]);
    for truth in &draft.truths {
        assert!(truth.held, "{}: {}", truth.what, truth.found);
    }
    let measured = |key: &str| draft.measured.iter().find(|m| m.key == key).unwrap().mm / 25.4;
    // 1/64 in where a rule is solved, else equal by construction.
    close(measured("waist_girth"), 31.0, 1.0 / 64.0);
    close(measured("hip_girth"), 39.0, 0.004);
    close(measured("finished_length"), 25.0, 0.004);
    close(length_in(&draft, "back", "waist"), 7.75, 1.0 / 64.0);
    close(length_in(&draft, "over_front", "waist"), 15.5, 1.0 / 32.0);
}

#[test]
fn pieces_are_cut_as_the_case_says() {
    let draft = worked(&[]);
    let piece = |key: &str| draft.pieces.iter().find(|p| p.key == key).unwrap();
    for (key, fold) in [
        ("back", true),
        ("under_front", true),
        ("over_front", false),
        ("back_facing", true),
        ("under_front_facing", true),
        ("over_front_facing", false),
    ] {
        assert_eq!((piece(key).count, piece(key).on_fold), (1, fold), "{key}");
    }
    // One side of the over-front is a side seam, the other the leading edge with the join's allowance.
    close(allowance_in(&draft, "over_front", "side"), 1.0, 1e-9);
    close(allowance_in(&draft, "over_front", "leading"), 0.5, 1e-9);
    for key in ["back", "under_front", "over_front"] {
        close(allowance_in(&draft, key, "waist"), 0.5, 1e-9);
        close(allowance_in(&draft, key, "hem"), 0.5, 1e-9);
    }
    close(length_in(&draft, "back", "centre"), 21.0, 0.004);
    close(length_in(&draft, "back_facing", "centre"), 2.5, 0.004);
    close(length_in(&draft, "over_front_facing", "side"), 2.5, 1.0 / 32.0);
}

#[test]
fn the_leading_edge_curves_slightly_outward() {
    let draft = worked(&[("tie_falls", "right")]);
    let leading = &edge(&draft, "over_front", "leading").unwrap().points;
    let (a, b) = (leading[0], leading[leading.len() - 1]);
    let chord = bodkin::geom::distance(a, b);
    let bulge = leading
        .iter()
        .map(|p| ((b[0] - a[0]) * (p[1] - a[1]) - (b[1] - a[1]) * (p[0] - a[0])) / chord)
        .fold(0.0_f64, |most, off| if off.abs() > most.abs() { off } else { most });
    // Outward is away from the piece, to the left of the way up from hem to waist.
    assert!(bulge < -6.0 && bulge > -40.0, "{bulge}");
}

#[test]
fn the_tie_falls_left_or_right() {
    let (left, right) = (worked(&[("tie_falls", "left")]), worked(&[("tie_falls", "right")]));
    let points = |d: &Draft| edge(d, "over_front", "leading").unwrap().points.clone();
    for (a, b) in points(&left).iter().zip(points(&right)) {
        close(a[0], -b[0], 1e-9);
        close(a[1], b[1], 1e-9);
    }
    assert!(left.sews() && right.sews());
}

#[test]
fn the_frill_is_fullness_times_the_edges_it_joins() {
    let along = ["leading_edge", "leading_edge_and_over_front_hem", "leading_edge_and_whole_hem"];
    for (fullness, factor) in [("3", 3.0), ("2", 2.0)] {
        for (n, frill_along) in along.iter().enumerate() {
            let draft = worked(&[("fullness", fullness), ("frill_along", frill_along)]);
            assert!(draft.sews(), "{frill_along}: {:?}", draft.truths.iter().filter(|t| !t.held).collect::<Vec<_>>());
            let mut edges = length_in(&draft, "over_front", "leading");
            if n > 0 {
                edges += length_in(&draft, "over_front", "rounded") + length_in(&draft, "over_front", "hem");
            }
            if n > 1 {
                edges += 2.0 * (length_in(&draft, "back", "hem") + length_in(&draft, "under_front", "hem"));
            }
            let frill = draft.strips.iter().find(|s| s.key == "frill").unwrap();
            close(frill.length_mm / 25.4, factor * edges, 0.004);
            close(frill.width_mm / 25.4, 5.0, 1e-9);
        }
    }
}

#[test]
fn a_piece_without_frill_gets_the_whole_length_and_its_own_hem() {
    let draft = worked(&[("frill_along", "leading_edge_and_over_front_hem")]);
    close(length_in(&draft, "back", "centre"), 25.0, 0.004);
    close(allowance_in(&draft, "back", "hem"), 1.0, 1e-9);
    close(allowance_in(&draft, "over_front", "hem"), 0.5, 1e-9);
    let measured = draft.measured.iter().find(|m| m.key == "finished_length").unwrap();
    close(measured.mm / 25.4, 25.0, 0.004);
}

#[test]
fn two_ties_and_facings_two_and_a_half_deep() {
    let draft = worked(&[]);
    let ties: Vec<_> = draft.strips.iter().filter(|s| s.key.contains("tie")).collect();
    assert_eq!(ties.iter().map(|t| t.count).sum::<u32>(), 2);
    for tie in ties {
        close(tie.width_mm / 25.4, 2.5, 1e-9);
    }
    let steps: String = draft.steps.iter().map(|s| s.text.text(Showing::EIGHTHS)).collect();
    assert!(steps.contains("1/2 in below the raw edge"));
    assert!(draft.notions.iter().any(|n| n.text.text(Showing::EIGHTHS).contains("Press stud")));
}

#[test]
fn a_hip_far_over_the_waist_is_noted_and_left_as_it_is() {
    let draft = worked(&[]);
    let note = draft.notes.iter().find(|n| n.warning).unwrap().text.text(Showing::EIGHTHS);
    assert!(note.contains("8 in") && note.contains("2 in") && note.contains("back dart"), "{note}");
    assert!(draft.notes.iter().any(|n| n.text.text(Showing::EIGHTHS).contains("Hip ease 0")));
    close(inches(&draft, "hip_line"), 9.75, 1e-9);
}
