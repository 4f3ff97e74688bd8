//! One sabotage per truth: a moved point, a wrong allowance, a swapped edge turns it red.

use bodkin::draft::{BOOK, Draft, Input, Style, draft};
use bodkin::measure::{Length, Showing};

/// The styles that are spoilt: those of the book, and a gored skirt kept for this.
fn text(key: &str) -> &'static str {
    if key == "gored_skirt" {
        return include_str!("styles/gored_skirt.style.toml");
    }
    BOOK.iter().find(|b| b.key == key).unwrap().text
}

fn drafted(style: &str) -> Draft {
    let style = Style::read(style).unwrap_or_else(|e| panic!("{e}"));
    let mut input = Input::new(Showing::EIGHTHS);
    input.body.insert("bust_girth".into(), Length::inches(36, 0));
    input.body.insert("waist_girth".into(), Length::inches(29, 4));
    input.body.insert("hip_girth".into(), Length::inches(38, 2));
    draft(&style, &input).unwrap_or_else(|e| panic!("{e}"))
}

/// The style with `from` replaced by `to` once; the change must be one.
fn spoilt(key: &str, from: &str, to: &str) -> Draft {
    let whole = text(key);
    assert!(whole.contains(from), "{from}");
    drafted(&whole.replacen(from, to, 1))
}

/// The truth that starts with `what` failed, and says where.
fn red(draft: &Draft, what: &str, names: &str) {
    let truth = draft.truths.iter().find(|t| t.what.starts_with(what)).unwrap_or_else(|| panic!("no truth {what}"));
    assert!(!truth.held, "{what} should have failed: {}", truth.found);
    assert!(truth.found.contains(names), "{}", truth.found);
    assert!(!draft.sews());
}

#[test]
fn unspoilt_styles_hold() {
    for book in BOOK {
        assert!(drafted(book.text).sews(), "{}", book.key);
    }
}

#[test]
fn an_outline_that_crosses_itself() {
    // The lower side point swung over to the far side of the centre.
    let draft =
        spoilt("wrap_skirt", "side_hem (body_side_x, body_side_y)", "side_hem (-body_side_x, body_side_y - 10 in)");
    red(&draft, "Outlines close", "Back");
}

#[test]
fn a_fold_met_at_a_slant() {
    let draft = spoilt(
        "wrap_skirt",
        "centre_waist (0, 0)\nwaist   curve to side_waist (waist_across, -side_rise) arriving -waist_spring ",
        "centre_waist (0, 0)\nwaist   curve to side_waist (waist_across, -side_rise) leaving 20 deg arriving -waist_spring ",
    );
    red(&draft, "Edges meet the fold", "Back");
}

#[test]
fn a_swapped_edge() {
    let draft = spoilt(
        "wrap_skirt",
        "'back.side + back.lower = over_front.side + over_front.lower'",
        "'back.side + back.lower = over_front.leading'",
    );
    red(&draft, "Side seams, back and over-front, walk", "apart");
}

#[test]
fn unequal_allowances() {
    let draft = spoilt(
        "gored_skirt",
        "leaving (270 deg + flare) arriving (270 deg + spring)  allow seam",
        "leaving (270 deg + flare) arriving (270 deg + spring)  allow 1/2 in",
    );
    red(&draft, "Edges that join carry equal allowance", "Gore");
}

#[test]
fn a_corner_across_the_seam() {
    let draft = spoilt(
        "gored_skirt",
        "leaving (180 deg - flare) arriving (180 deg + flare)",
        "leaving 180 deg arriving 180 deg",
    );
    red(&draft, "Lines run on smoothly", "Hem");
}

#[test]
fn a_girth_that_does_not_measure_back() {
    // The hip point of the back moved out by 1/16 in: 1/8 in on the girth.
    let draft = spoilt("wrap_skirt", "through (hip_line, waist_to_hip)", "through (hip_line + 1/16 in, waist_to_hip)");
    red(&draft, "Hip measures back", "off");
}

#[test]
fn a_length_that_does_not_measure_back() {
    let draft = spoilt(
        "circle_skirt",
        "hem_radius = 'waist_radius + below_band'",
        "hem_radius = 'waist_radius + below_band - 1/4 in'",
    );
    red(&draft, "Finished length measures back", "off");
}

#[test]
fn an_ease_out_of_its_senses() {
    let draft = spoilt(
        "gored_skirt",
        "hip_ease = { kind = 'length', default = '2 in', least = '1 in'",
        "hip_ease = { kind = 'length', default = '1/2 in', least = '0 in'",
    );
    red(&draft, "Hip measures back", "kind of garment");
}

#[test]
fn a_girth_that_is_not_measured_at_all() {
    let draft =
        spoilt("gathered_skirt", "hip_girth = { from = 'length of tier_1', ease = 'tier_1_length - hip_girth' }\n", "");
    red(&draft, "Hip measures back", "[measured]");
}

#[test]
fn an_opening_too_small_for_the_hip() {
    let draft =
        spoilt("circle_skirt", "opening = 'waistband.join + 2 * zip_used'", "opening = 'waistband.join + 1 in'");
    red(&draft, "She can get into it", "Hips");
}

#[test]
fn no_opening_at_all() {
    let draft = spoilt("wrap_skirt", "opens = 'all the way'\n", "");
    red(&draft, "She can get into it", "[passes]");
}

#[test]
fn a_style_cannot_measure_itself_from_its_rules() {
    let cheat = text("gored_skirt").replacen(
        "'waistband.join', ease = 'waist_ease'",
        "'waist_girth + waist_ease', ease = 'waist_ease'",
        1,
    );
    let error = Style::read(&cheat).unwrap_err();
    assert!(error.message.contains("measured from the drawn pieces"), "{error}");
}

#[test]
fn an_ease_cannot_be_taken_from_the_pieces() {
    let refused = |key: &str, from: &str, to: &str| {
        let whole = text(key);
        assert!(whole.contains(from), "{from}");
        Style::read(&whole.replacen(from, to, 1)).unwrap_err().message
    };
    let message = refused(
        "gored_skirt",
        "ease = 'hip_ease'",
        "ease = '(count of gore) * (width of gore at hip_down) - hip_girth'",
    );
    assert!(message.contains("must not be taken from the drawn pieces"), "{message}");
    let message = refused("gored_skirt", "ease = '-eased_on'", "ease = 'waistband.join - gore_count * gore.waist'");
    assert!(message.contains("must not be taken from the drawn pieces"), "{message}");
    let message = refused("circle_skirt", "opening = 'waistband.join + 2 * zip_used'", "opening = '100 in'");
    assert!(message.contains("measures no piece"), "{message}");
}

#[test]
fn a_style_without_seams() {
    let whole = text("gored_skirt");
    let (head, rest) = whole.split_once("[seams]").unwrap();
    let (_, tail) = rest.split_once("[measured]").unwrap();
    red(&drafted(&format!("{head}[measured]{tail}")), "Seams walk", "[seams]");
}

#[test]
fn a_longer_over_front() {
    let draft = spoilt(
        "wrap_skirt",
        "over_side_y = { rule = 'over_length + hem_drop'",
        "over_side_y = { rule = 'over_length + hem_drop + 1 in'",
    );
    red(&draft, "Side seams, back and over-front, walk", "apart");
}

#[test]
fn a_frill_cut_without_its_join() {
    let draft = spoilt("wrap_skirt", "width = 'frill_depth + frill_join + frill_hem'", "width = 'frill_depth'");
    red(&draft, "Finished length measures back", "off");
}

#[test]
fn a_dart_that_runs_off_its_edge() {
    let crooked = text("straight_skirt").replacen("at = 'front_waist / (front_darts + 1)'", "at = '40 in'", 1);
    let style = Style::read(&crooked).unwrap();
    let mut input = Input::new(Showing::EIGHTHS);
    input.body.insert("waist_girth".into(), Length::inches(29, 4));
    input.body.insert("hip_girth".into(), Length::inches(38, 2));
    let words = draft(&style, &input).unwrap_err().to_string();
    assert!(words.contains("does not fit on its edge"), "{words}");
}

#[test]
fn a_hem_too_deep_for_its_flare() {
    let draft = spoilt("circle_skirt", "hem_turned = 'min(hem_allowance, hem_radius / 42)'", "hem_turned = '1 1/2 in'");
    red(&draft, "Hem lies flat", "shallower");
}
