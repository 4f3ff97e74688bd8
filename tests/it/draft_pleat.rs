//! Pleats: cloth drawn into an edge, laid to its finished length.

use bodkin::draft::{Draft, Input, PleatKind, Style, draft};
use bodkin::measure::{Length, Showing};

/// Half of a skirt of straight cloth, `cloth` wide, with pleats in its waist.
fn skirt(cloth: &str, pleats: &str) -> String {
    format!(
        "
format = 1
label = 'Pleated'
kind = 'gathered skirt'
needs = ['waist_girth', 'hip_girth']
[dimensions]
first_take = '2 1/8 in'
waist_take = '({cloth} - waist_girth / 2 - first_take) / 7'
hip_take = '({cloth} - hip_girth / 2 - first_take) / 7'
[pieces.half]
outline = '''
start at a (0, 0)
waist line to b ({cloth}, 0) allow 1/2 in
side line to c ({cloth}, 30 in) allow 1/2 in
hem line to d (0, 30 in) allow 2 in turned up
centre fold to a
'''
{pleats}
[seams]
sides = 'half.side = half.side'
[measured]
waist_girth = '2 * half.waist'
hip_girth = '2 * (width of half at 6 in)'
hem_girth = '2 * half.hem'
[labels]
half = 'Half'
"
    )
}

fn drafted(text: &str) -> Result<Draft, String> {
    let style = Style::read(text).unwrap_or_else(|e| panic!("{e}"));
    let mut input = Input::new(Showing::EIGHTHS);
    input.body.insert("waist_girth".into(), Length::inches(28, 0));
    input.body.insert("hip_girth".into(), Length::inches(40, 0));
    draft(&style, &input).map_err(|e| e.to_string())
}

fn measured(draft: &Draft, key: &str) -> f64 {
    draft.measured.iter().find(|m| m.key == key).unwrap().mm / 25.4
}

fn truth(draft: &Draft) -> (bool, String) {
    let truth = draft.truths.iter().find(|t| t.what.starts_with("Pleats close")).unwrap();
    (truth.held, truth.found.clone())
}

const CONOVER: &str = "
[pleats.first]
on = 'half.waist'
first = '1 in'
take = 'first_take'
kind = 'knife'
toward = 'start'
down = '6 in'
closes_to = 'waist_girth / 2'
[pleats.others]
on = 'half.waist'
first = '2 3/4 in'
take = 'waist_take'
take_below = 'hip_take'
count = 7
apart = '1 3/4 in'
kind = 'knife'
toward = 'start'
down = '6 in'
closes_to = 'waist_girth / 2'
";

/// Conover, A Complete Course in Dressmaking, vol. 5 Skirts (1921), pp. 63-69: 44 in of
/// cloth on the half; waist 28, hip 40 six inches down, hem to hang as 55. To pleat:
/// 30, 24 and 16 1/2 in; a first pleat of 2 1/8, then seven of "a little more than
/// 3 7/8" at the waist and 3 1/8 at the hip.
#[test]
fn conover_1921() {
    let draft = drafted(&skirt("44 in", CONOVER)).unwrap();
    let pleats = &draft.pieces[0].pleats;
    assert_eq!(pleats.len(), 8);
    assert!((pleats[0].take_mm / 25.4 - 2.125).abs() < 1e-9);
    for pleat in &pleats[1..] {
        let (waist, hip) = (pleat.take_mm / 25.4, pleat.take_below_mm / 25.4);
        assert!((waist - 3.982).abs() < 0.001 && waist > 3.875, "{waist}");
        assert!((hip - 3.125).abs() < 1e-9, "{hip}");
        // And as drawn: the two lines of the fold lie that far apart.
        let fold = &pleat.folds[0];
        assert!(((fold.folded.0[0] - fold.laid_on.0[0]) / 25.4 - waist).abs() < 1e-9);
        assert!(((fold.folded.1[0] - fold.laid_on.1[0]) / 25.4 - hip).abs() < 1e-9);
        assert!((fold.folded.1[1] / 25.4 - 6.0).abs() < 1e-9);
    }
    // Laid, the half measures 14 at the waist and 20 at the hip; below it hangs free.
    assert!((measured(&draft, "waist_girth") - 28.0).abs() < 1e-9);
    assert!((measured(&draft, "hip_girth") - 40.0).abs() < 1e-9);
    assert!((measured(&draft, "hem_girth") - 88.0).abs() < 1e-9);
    assert_eq!(truth(&draft), (true, "Half, Waist: 14 in of 44 in".into()));
    // At the bottom 16 1/2 in are left over; an eighth of it is 2 1/16 (the book: "about 2 1/8").
    assert!(((44.0_f64 - 27.5) / 8.0 - 2.0625).abs() < 1e-12);
}

#[test]
fn pleats_that_do_not_close_to_their_length() {
    let (held, found) =
        truth(&drafted(&skirt("44 in", &CONOVER.replace("'waist_take'", "'waist_take + 1/16 in'"))).unwrap());
    assert!(!held && found.contains("off"), "{found}");
    let (held, found) =
        truth(&drafted(&skirt("44 in", &CONOVER.replace("closes_to = 'waist_girth / 2'", ""))).unwrap());
    assert!(!held && found.contains("told nowhere"), "{found}");
    let (held, found) = truth(&drafted(&skirt("44 in", &CONOVER.replace("'hip_take'", "'hip_take + 3 in'"))).unwrap());
    assert!(!held && found.contains("cross"), "{found}");
    let words = drafted(&skirt("44 in", &CONOVER.replace("count = 7", "count = 12"))).unwrap_err();
    assert!(words.contains("do not fit"), "{words}");
    let words = drafted(&skirt("44 in", &CONOVER.replace("count = 7", "count = 1000000"))).unwrap_err();
    assert!(words.contains("at most 400"), "{words}");
}

/// Pleats that meet take three times the finished length (Hapgood, School Needlework,
/// 1893: notches 1 1/2 in apart give pleats of 1/2 in).
#[test]
fn pleats_that_meet_take_three_times_the_length() {
    let pleats = "
[pleats.all]
on = 'half.waist'
first = '1/2 in'
take = '1 in'
count = 28
apart = '1/2 in'
toward = 'end'
down = '3 in'
closes_to = '14 in'
";
    let draft = drafted(&skirt("42 in", pleats)).unwrap();
    assert!(truth(&draft).0, "{}", truth(&draft).1);
    let folds: Vec<f64> = draft.pieces[0].pleats.iter().map(|p| p.folds[0].folded.0[0] / 25.4).collect();
    assert!(folds.windows(2).all(|w| (w[1] - w[0] - 1.5).abs() < 1e-9), "{folds:?}");
}

#[test]
fn box_and_inverted_pleats_are_two_folds_each() {
    let one = |kind: &str| {
        let pleats = format!(
            "[pleats.one]\non = 'half.waist'\nfirst = '7 in'\ntake = '8 in'\nkind = '{kind}'\ndown = '5 in'\ncloses_to = '14 in'"
        );
        let draft = drafted(&skirt("22 in", &pleats)).unwrap();
        assert!(truth(&draft).0, "{}", truth(&draft).1);
        let pleat = draft.pieces[0].pleats[0].clone();
        let at: Vec<(f64, f64)> = pleat.folds.iter().map(|f| (f.folded.0[0] / 25.4, f.laid_on.0[0] / 25.4)).collect();
        (pleat.kind, at)
    };
    let near = |a: &[(f64, f64)], b: [(f64, f64); 2]| {
        a.iter().zip(b).all(|(p, q)| (p.0 - q.0).abs() < 1e-9 && (p.1 - q.1).abs() < 1e-9)
    };
    // Inverted: both outer lines are folded and meet over the middle of the cloth.
    let (kind, at) = one("inverted");
    assert!(kind == PleatKind::Inverted && near(&at, [(7.0, 11.0), (15.0, 11.0)]), "{at:?}");
    // Box: a panel of 4 in stands between the folded lines, laid outward.
    let (kind, at) = one("box");
    assert!(kind == PleatKind::Box && near(&at, [(9.0, 5.0), (13.0, 17.0)]), "{at:?}");
}

#[test]
fn a_pleat_is_read_with_care() {
    let read = |pleat: &str| Style::read(&skirt("22 in", &format!("[pleats.one]\non = 'half.waist'\n{pleat}")));
    for wrong in [
        "first = '1 in'\ntake = '1 in'\ndown = '1 in'",
        "first = '1 in'\ntake = '1 in'\ndown = '1 in'\nkind = 'boxed'",
        "first = '1 in'\ntake = '1 in'\ndown = '1 in'\nkind = 'box'\ntoward = 'end'",
        "first = '1 in'\ntake = '1 in'\ntoward = 'end'",
        "first = '1 in'\ntake = '1 in'\ntoward = 'end'\ndown = '1 in'\ncount = 2",
        "first = '1 in'\ntake = 'half.hem / 7'\ntoward = 'end'\ndown = '1 in'",
    ] {
        assert!(read(wrong).is_err(), "{wrong}");
    }
    assert!(read("first = '1 in'\ntake = '1 in'\ntoward = 'end'\ndown = '1 in'").is_ok());
}
