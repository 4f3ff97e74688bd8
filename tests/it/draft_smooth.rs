//! Drafts go with the body: a larger girth never makes a narrower garment at its level,
//! and 1/16 in more of one measure never throws a point of an outline far away.

use std::collections::{BTreeMap, BTreeSet};

use bodkin::demo::seeded_body;
use bodkin::draft::{BOOK, Choice, ChoiceKind, Draft, Edge, Input, Style, draft};
use bodkin::geom::{Point, distance};
use bodkin::measure::{Length, Showing, Who};
use rand::SeedableRng;

/// How many bodies each style is drafted for; the same bodies each run.
const BODIES: u64 = 3;
/// The step of one measure: 1/16 in.
const STEP_MM: f64 = 25.4 / 16.0;
/// No point may move further for it: 1/4 in (drafting.md §1).
const FURTHEST_MM: f64 = 25.4 / 4.0;
/// A width measured back may come out so much less, mm: what a solved curve is off.
const SOLVED_MM: f64 = 0.05;
/// A step may meet a declared switch (one dart more); of all steps of a style at most this share.
const MOST_SWITCHED: f64 = 0.10;

type Body = BTreeMap<String, Length>;

fn bodies(style: &Style) -> Vec<Body> {
    let who = match style.wearer() {
        "men" => Who::Man,
        "children" => Who::Child,
        _ => Who::Woman,
    };
    let mut rng = rand_pcg::Pcg64::seed_from_u64(1884);
    (0..BODIES).map(|_| seeded_body(&mut rng, who)).collect()
}

/// One set of choices for each body: of every word choice the default, then the options in turn.
fn chosen(style: &Style, nth: usize) -> BTreeMap<String, String> {
    let turn = |choice: &Choice| match &choice.kind {
        ChoiceKind::Word { options, .. } if nth > 0 => {
            options.get(nth % options.len()).map(|(word, _)| (choice.key.clone(), word.clone()))
        }
        _ => None,
    };
    style.choices().iter().filter_map(turn).collect()
}

fn drafted(style: &Style, body: &Body, choices: &BTreeMap<String, String>) -> Option<Draft> {
    let mut input = Input::new(Showing::EIGHTHS);
    input.body.clone_from(body);
    input.choices.clone_from(choices);
    draft(style, &input).ok()
}

/// The body with `mm` more of one measure.
fn with_more(body: &Body, key: &str, mm: f64) -> Body {
    let mut body = body.clone();
    if let Some(length) = body.get_mut(key) {
        *length = Length::from_mm(length.mm() + mm).unwrap();
    }
    body
}

/// Body and choices as arguments by which the command line drafts them again.
fn arguments(body: &Body, style: &Style, choices: &BTreeMap<String, String>) -> String {
    let used: BTreeSet<&str> = style.needs().iter().map(String::as_str).chain(style.assumes()).collect();
    let given = body.iter().filter(|(key, _)| used.contains(key.as_str()));
    let given = given.map(|(key, length)| format!("{key}={:.4}mm", length.mm()));
    given.chain(choices.iter().map(|(key, word)| format!("{key}={word}"))).collect::<Vec<_>>().join(" ")
}

/// What is counted rather than measured. Where it differs, a switch lies between two drafts.
fn counts(draft: &Draft) -> Vec<String> {
    let pieces = draft.pieces.iter().map(|p| {
        let edges: Vec<&str> = p.edges.iter().map(|e| e.key.as_str()).collect();
        let darts: Vec<&str> = p.darts.iter().map(|d| d.edge.as_str()).collect();
        let folds: usize = p.pleats.iter().map(|pleat| pleat.folds.len()).sum();
        format!("{} × {}: {edges:?} {darts:?} {folds}", p.key, p.count)
    });
    let strips = draft.strips.iter().map(|s| format!("{} × {}", s.key, s.count));
    pieces.chain(strips).collect()
}

/// The point that lies the share `at` of the length along an edge.
fn along(edge: &Edge, at: f64) -> Point {
    let points = &edge.points;
    let total: f64 = points.windows(2).map(|w| distance(w[0], w[1])).sum();
    let mut left = total * at;
    for w in points.windows(2) {
        let step = distance(w[0], w[1]);
        if left <= step && step > 0.0 {
            let t = left / step;
            return [w[0][0] + t * (w[1][0] - w[0][0]), w[0][1] + t * (w[1][1] - w[0][1])];
        }
        left -= step;
    }
    points[points.len() - 1]
}

/// The point of `after` that lies furthest from where it lay in `before`: how far, mm, and where.
fn furthest(before: &Draft, after: &Draft) -> (f64, String) {
    let mut worst = (0.0, String::new());
    for (a, b) in before.pieces.iter().zip(&after.pieces) {
        for (e, f) in a.edges.iter().zip(&b.edges) {
            for ninth in 0..=8_u8 {
                let at = f64::from(ninth) / 8.0;
                let moved = distance(along(e, at), along(f, at));
                if moved > worst.0 {
                    worst = (moved, format!("{}.{} at {at:.3} of its length", a.key, e.key));
                }
            }
        }
    }
    worst
}

#[test]
fn a_sixteenth_more_moves_no_point_by_a_quarter_inch() {
    let mut jumps = Vec::new();
    for book in BOOK {
        let style = Style::read(book.text).unwrap();
        let (mut steps, mut switched) = (0_u32, 0_u32);
        for (nth, body) in bodies(&style).into_iter().enumerate() {
            let choices = chosen(&style, nth);
            let Some(before) = drafted(&style, &body, &choices) else { continue };
            let keys: BTreeSet<&str> = style.needs().iter().map(String::as_str).chain(style.assumes()).collect();
            for key in keys.into_iter().filter(|key| body.contains_key(*key)) {
                let Some(after) = drafted(&style, &with_more(&body, key, STEP_MM), &choices) else {
                    jumps.push(format!(
                        "{}: {key}+1/16in is refused: {}",
                        book.key,
                        arguments(&body, &style, &choices)
                    ));
                    continue;
                };
                steps += 1;
                if counts(&before) != counts(&after) {
                    switched += 1;
                    continue;
                }
                let (mm, place) = furthest(&before, &after);
                if mm > FURTHEST_MM {
                    jumps.push(format!(
                        "{}: {key}+1/16in moves {place} by {mm:.2} mm: {}",
                        book.key,
                        arguments(&body, &style, &choices)
                    ));
                }
            }
        }
        assert!(steps > 0, "{} drafts nobody", book.key);
        let share = f64::from(switched) / f64::from(steps);
        assert!(share <= MOST_SWITCHED, "{}: {switched} of {steps} steps met a switch", book.key);
    }
    assert!(jumps.is_empty(), "{}\n{}", jumps.len(), jumps.join("\n"));
}

#[test]
fn a_larger_girth_never_comes_out_narrower() {
    let mut narrower = Vec::new();
    for book in BOOK {
        let style = Style::read(book.text).unwrap();
        for (nth, body) in bodies(&style).into_iter().enumerate() {
            let choices = chosen(&style, nth);
            let Some(before) = drafted(&style, &body, &choices) else { continue };
            let girths = before.measured.iter().filter(|m| m.key.ends_with("_girth") && body.contains_key(&m.key));
            for measured in girths {
                // A little, and a size.
                for mm in [STEP_MM, 25.4, 50.8] {
                    let Some(after) = drafted(&style, &with_more(&body, &measured.key, mm), &choices) else { continue };
                    let then = after.measured.iter().find(|m| m.key == measured.key);
                    let Some(then) = then.filter(|_| counts(&before) == counts(&after)) else { continue };
                    if then.mm < measured.mm - SOLVED_MM {
                        narrower.push(format!(
                            "{}: {} + {mm:.1} mm: {:.2} then {:.2} mm: {}",
                            book.key,
                            measured.key,
                            measured.mm,
                            then.mm,
                            arguments(&body, &style, &choices)
                        ));
                    }
                }
            }
        }
    }
    assert!(narrower.is_empty(), "{}\n{}", narrower.len(), narrower.join("\n"));
}
