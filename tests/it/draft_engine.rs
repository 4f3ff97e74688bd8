//! The engine's parts on small styles of their own: points, darts drawn in the
//! outline and turned, figure notes, unknowns found together. Figures by geometry.

use std::collections::BTreeMap;

use bodkin::draft::{Draft, Input, Style, draft};
use bodkin::measure::{Length, Showing};

/// A bodice front with a dart of 15° drawn open in the shoulder, its apex at (90, 270) mm.
const FRONT: &str = r"
format = 1
label = 'Front'
kind = 'fitted bodice'
needs = ['bust_girth']
figure = ['stooped', 'low_shoulder']
opens = 'all the way'
[choices]
finished_length = { kind = 'length', default = '16 in', most = '20 in' }
where = { kind = 'word', default = 'shoulder', options = ['shoulder', 'side', 'flare', 'both'] }
[dimensions]
half = 'bust_girth / 4'
low = 'if low_shoulder then 1 cm else 0 cm'
[points]
neck_point = '(7 cm, 0)'
near = 'neck_point moved 6 cm at 20 deg'
apex = '(9 cm, 27 cm)'
far = 'near turned 15 deg about apex'
tip = 'far moved 6 cm at 20 deg'
[pieces.front]
side = 'left'
marks.bust_point = 'apex'
marks.side_bust = '(half, 27 cm)'
outline = '''
start        at neck (0, 8 cm)
neck         curve to neck_point leaving 0 deg arriving -80 deg    allow 1/4 in
shoulder_in  line to near                                          allow 1/2 in
bust         dart to far about apex toward start                   allow 1/2 in
shoulder_out line to tip                                           allow 1/2 in
armhole      curve to underarm (half, 22 cm + low) leaving 100 deg arriving 20 deg allow 1/4 in
side         line to side_waist (half, 42 cm)                      allow 1 in
waist        line to centre_waist (0, 42 cm)                       allow 1 in
centre       fold to neck
'''
[turns.side_dart]
dart = 'front.bust'
when = 'where is side or where is both'
to = 'front.side'
at = '6 cm'
share = 'if where is both then 1/2 else 1'
stops = '2.5 cm'
toward = 'end'
[turns.flare]
dart = 'front.bust'
when = 'where is flare'
to = 'front.waist'
at = 'half - 9 cm'
as = 'flare'
[measured]
bust_girth = 'x of front.bust_point + distance from front.bust_point to front.side_bust'
";

fn drafted(text: &str, choices: &[(&str, &str)], figure: &[&str]) -> Draft {
    let style = Style::read(text).unwrap();
    let mut input = Input::new(Showing::MILLIMETRES);
    input.body = BTreeMap::from([("bust_girth".to_string(), Length::from_mm(900.0).unwrap())]);
    input.choices = choices.iter().map(|(k, v)| ((*k).to_string(), (*v).to_string())).collect();
    input.figure = figure.iter().map(|note| (*note).to_string()).collect();
    draft(&style, &input).unwrap()
}

/// What failed but for what this small style leaves out: seams, waist and length.
fn failed(draft: &Draft) -> Vec<&str> {
    let out = |t: &&bodkin::draft::Truth| !t.held && t.what != "Seams walk" && !t.what.ends_with("measures back");
    draft.truths.iter().filter(out).map(|t| t.what.as_str()).collect()
}

fn angle(apex: [f64; 2], a: [f64; 2], b: [f64; 2]) -> f64 {
    let heading = |p: [f64; 2]| (p[1] - apex[1]).atan2(p[0] - apex[0]);
    (heading(b) - heading(a)).to_degrees().abs()
}

fn far(a: [f64; 2], b: [f64; 2]) -> f64 {
    (a[0] - b[0]).hypot(a[1] - b[1])
}

fn length(draft: &Draft, edge: &str) -> f64 {
    draft.pieces[0].edges.iter().find(|e| e.key == edge).map_or(0.0, |e| e.length_mm)
}

#[test]
fn a_dart_drawn_in_the_outline_folds_true() {
    let draft = drafted(FRONT, &[], &[]);
    let dart = &draft.pieces[0].darts[0];
    assert_eq!(dart.edge, "bust");
    assert!((angle(dart.apex, dart.feet.0, dart.feet.1) - 15.0).abs() < 1e-6);
    assert!((far(dart.feet.0, dart.apex) - far(dart.feet.1, dart.apex)).abs() < 1e-9);
    let truth = draft.truths.iter().find(|t| t.what == "Folded darts true").unwrap();
    assert!(truth.held, "{}", truth.found);
    assert!(failed(&draft).is_empty(), "{:?}", failed(&draft));
}

#[test]
fn turned_to_the_side_the_dart_keeps_its_angle_and_the_girth_its_length() {
    let (before, after) = (drafted(FRONT, &[], &[]), drafted(FRONT, &[("where", "side")], &[]));
    let piece = &after.pieces[0];
    assert_eq!(piece.darts.len(), 1);
    let dart = &piece.darts[0];
    assert_eq!(dart.edge, "side");
    // From the old apex the opening is as wide as the dart was; the new apex stops 2.5 cm short.
    assert!((angle([90.0, 270.0], dart.feet.0, dart.feet.1) - 15.0).abs() < 0.02, "{dart:?}");
    assert!((far(dart.apex, [90.0, 270.0]) - 25.0).abs() < 1e-6);
    // The shoulder is closed to one line of twice 6 cm, but for what is blended at the old dart.
    assert!((length(&after, "shoulder_in") + length(&after, "shoulder_out") - 120.0).abs() < 0.8);
    assert!((length(&after, "side") - length(&before, "side")).abs() < 0.4);
    let bust = |d: &Draft| d.measured.iter().find(|m| m.key == "bust_girth").unwrap().mm;
    assert!((bust(&before) - 225.0).abs() < 1e-6 && (bust(&after) - 225.0).abs() < 1e-6, "{}", bust(&after));
    assert!(failed(&after).is_empty(), "{:?}", failed(&after));
}

#[test]
fn a_dart_split_in_two_halves_its_angle() {
    let draft = drafted(FRONT, &[("where", "both")], &[]);
    let darts = &draft.pieces[0].darts;
    assert_eq!(darts.len(), 2);
    for dart in darts {
        assert!((angle([90.0, 270.0], dart.feet.0, dart.feet.1) - 7.5).abs() < 0.02, "{dart:?}");
    }
}

#[test]
fn turned_into_flare_the_waist_grows_by_the_wedge() {
    let (before, after) = (drafted(FRONT, &[], &[]), drafted(FRONT, &[("where", "flare")], &[]));
    assert!(after.pieces[0].darts.is_empty());
    // The apex lies 150 mm over the waist: 15° there is a chord of 2 × 150 × sin 7.5°, an arc a little more.
    let (chord, arc) = (2.0 * 150.0 * 7.5_f64.to_radians().sin(), 150.0 * 15.0_f64.to_radians());
    let grown = length(&after, "waist") - length(&before, "waist");
    assert!((chord..=arc + 0.2).contains(&grown), "{chord} {grown} {arc}");
}

#[test]
fn a_low_shoulder_is_drafted_on_its_own_side() {
    let both = drafted(FRONT, &[], &["low_shoulder_left"]);
    assert_eq!(both.pieces.len(), 1);
    let piece = &both.pieces[0];
    assert!(!piece.on_fold && piece.edges.iter().all(|e| !e.is_fold));
    let end = |key: &str| piece.edges.iter().find(|e| e.key == key).unwrap();
    let lowest = |key: &str| end(key).points.iter().map(|p| p[1]).fold(0.0, f64::max);
    // The drawn half belongs to her left, at x > 0; its underarm lies 1 cm lower.
    assert!((lowest("armhole_left") - lowest("armhole_right") - 10.0).abs() < 0.5);
    assert!(end("armhole_left").points.iter().all(|p| p[0] > 0.0));
    assert!(end("armhole_right").points.iter().all(|p| p[0] < 0.0));
    let one = drafted(FRONT, &[], &[]);
    let area = |d: &Draft| {
        let p = &d.pieces[0].sewing;
        p.iter().zip(p.iter().cycle().skip(1)).map(|(a, b)| (a[0] * b[1] - b[0] * a[1]) / 2.0).sum::<f64>().abs()
    };
    assert!(area(&both) < 2.0 * area(&one) && area(&both) > 1.95 * area(&one));
    // A note that is not heeded changes nothing.
    assert_eq!(drafted(FRONT, &[], &["full_seat"]).pieces, one.pieces);
}

#[test]
fn unknowns_are_found_together() {
    // Half an ellipse-like crown over a base: height and shift so that both halves have their lengths.
    let crown = r"
format = 1
label = 'Crown'
kind = 'apron'
needs = ['bust_girth']
[choices]
finished_length = { kind = 'length', default = '16 in', most = '20 in' }
[dimensions]
back_half = '200 mm'
front_half = '215 mm'
[solve.crown_height]
least = '5 cm'
most = '25 cm'
until = 'length of crown.back = back_half'
[solve.shift]
with = 'crown_height'
least = '-4 cm'
most = '4 cm'
until = 'length of crown.front = front_half'
[pieces.crown]
outline = '''
start at back_under (-16 cm, 0)
back  curve to apex (shift, -crown_height) leaving 0 deg arriving 0 deg
front curve to front_under (16 cm, 0) leaving 0 deg arriving 0 deg
base  line to back_under
'''
[measured]
hip_girth = 'crown.base'
finished_length = 'crown.base'
";
    let draft = drafted(crown, &[], &[]);
    assert!((length(&draft, "back") - 200.0).abs() < 0.002 && (length(&draft, "front") - 215.0).abs() < 0.002);
    let text = crown.replace("'215 mm'", "'600 mm'");
    let style = Style::read(&text).unwrap();
    let mut input = Input::new(Showing::MILLIMETRES);
    input.body = BTreeMap::from([("bust_girth".to_string(), Length::from_mm(900.0).unwrap())]);
    let words = draft_error(&style, &input);
    assert!(words.contains("cannot be found together"), "{words}");
}

fn draft_error(style: &Style, input: &Input) -> String {
    bodkin::draft::draft(style, input).unwrap_err().to_string()
}

#[test]
fn what_needs_itself_is_told_at_its_place() {
    let ring = FRONT.replace("half = 'bust_girth / 4'", "half = 'length of front.side'");
    let error = Style::read(&ring).unwrap_err();
    assert!(error.message.contains("worked from itself") && error.message.contains("front"), "{error}");
    assert_eq!(error.line, 12);
    let lost = FRONT.replace("line to near ", "line to nearr ");
    assert!(Style::read(&lost).unwrap_err().message.contains("Did you mean “near”"));
    let away = FRONT.replace("dart = 'front.bust'", "dart = 'front.dart'");
    assert!(Style::read(&away).unwrap_err().message.contains("no dart “dart” to turn"));
}

#[test]
fn what_is_declared_cannot_come_from_the_pieces_by_a_detour() {
    let sly = FRONT.replace("low = 'if", "sly = 'length of front.waist - 10 cm'\nlow = 'if").replace(
        "[measured]\nbust_girth = 'x of",
        "[measured]\nwaist_girth = { from = 'front.waist', ease = 'sly' }\nbust_girth = 'x of",
    );
    let error = Style::read(&sly).unwrap_err();
    assert!(error.message.contains("must not come from them"), "{error}");
}
