//! Timings of lay: the first lay of three garments of our own, folded and open,
//! and the checker alone. `cargo bench --bench lay`.
//!
//! `cargo bench --bench lay -- gaps [SECONDS] [sample] [STYLES]`: styles of the book at 45 and 60 in,
//! folded, open and one-way, by how much the usual budget and ten times as much stay behind a
//! search of 60 s; `sample` tries each style in one of these ways in turn (2 hours and more else).
//! `cargo bench --bench lay -- seeds STYLES`: what eight seeds find at 45 in, open, in the usual budget and
//! in ten times as much.
//! `cargo bench --bench lay -- growth`: from 5 to 200 pieces, and 12 garments of 8.

#![expect(clippy::print_stdout, reason = "a bench says what it measured")]

use std::time::Instant;

use bodkin::demo::seeded_body;
use bodkin::draft;
use bodkin::geom::Point;
use bodkin::job::lay_job;
use bodkin::lay::{
    Cloth, Grain, Lay, LayError, LayJob, Layout, Nap, Part, Strip, USUAL_BUDGET, best_layout, check, lay,
};
use bodkin::measure::{Showing, Who};
use bodkin::shop::common_practice;
use rand::SeedableRng;
use rand_pcg::Pcg64;

const IN: f64 = 25.4;

fn main() -> Result<(), LayError> {
    let asked: Vec<String> = std::env::args().skip(1).filter(|word| !word.starts_with('-')).collect();
    match asked.first().map(String::as_str) {
        Some("gaps") => gaps(&asked),
        Some("seeds") => seeds(&asked),
        Some("growth") => growth(),
        _ => first_lays(),
    }
}

/// The ways in which a style's cloth is asked to lie: folded, open, or the better of both with
/// all pieces pointing one way.
const WAYS: [(&str, Option<Layout>, Nap); 3] =
    [("folded", Some(Layout::Folded), Nap::Free), ("open", Some(Layout::Open), Nap::Free), ("one-way", None, Nap::One)];

/// How far what is found at once, and in ten times as long, lies behind what a search of so
/// many seconds finds. `asked`: the seconds, `sample` to try each style in one of the six ways
/// in turn, and the only styles to try.
fn gaps(asked: &[String]) -> Result<(), LayError> {
    let seconds = asked.iter().find_map(|word| word.parse::<f64>().ok()).unwrap_or(60.0);
    let sample = asked.iter().any(|word| word == "sample");
    let drafts = drafts();
    let named: Vec<&str> =
        drafts.iter().map(|(name, _)| *name).filter(|name| asked.iter().any(|word| word == name)).collect();
    let mut behind: Vec<[f64; 2]> = Vec::new();
    for (number, (name, draft)) in drafts.iter().enumerate() {
        if !named.is_empty() && !named.contains(name) {
            continue;
        }
        let ways = [45.0, 60.0].into_iter().flat_map(|width| WAYS.map(|way| (width, way)));
        for (at, (width, (way, layout, nap))) in ways.enumerate() {
            if sample && at != number % (2 * WAYS.len()) {
                continue;
            }
            let cloth = Cloth { nap, ..Cloth::of_width(width * IN) };
            let cloth = Cloth { layout: layout.unwrap_or(cloth.layout), ..cloth };
            let job = lay_job(draft, draft::Cloth::Main, cloth);
            match gap(&job, layout.is_some(), seconds) {
                Err(LayError::TooWide { .. }) => {}
                Err(error) => return Err(error),
                Ok((told, gaps)) => {
                    println!("{name:24} {width:.0} in {way:7}: {told}");
                    behind.push(gaps);
                }
            }
        }
    }
    for (what, which) in [("usual budget", 0), ("ten times", 1)] {
        let all: Vec<f64> = behind.iter().filter_map(|gaps| gaps.get(which)).copied().collect();
        let mean = all.iter().sum::<f64>() / f64::from(u32::try_from(all.len()).unwrap_or(1));
        println!(
            "{what}: behind by {mean:.2} % on {} lays, {:.2} % at most",
            all.len(),
            all.iter().copied().fold(0.0, f64::max)
        );
    }
    Ok(())
}

/// The gaps of one job, in per cent, at once and in ten times as long, and what to tell of it.
/// A search that stands at the bound ends by itself.
fn gap(job: &LayJob, as_spread: bool, seconds: f64) -> Result<(String, [f64; 2]), LayError> {
    let found = |budget, seed| if as_spread { lay(job, budget, seed) } else { best_layout(job, budget, seed) };
    #[expect(clippy::disallowed_methods, reason = "a bench reads the clock")]
    let timed = |budget, seed| -> Result<(Lay, f64), LayError> {
        let start = Instant::now();
        Ok((found(budget, seed)?, start.elapsed().as_secs_f64()))
    };
    let (usual, first) = timed(USUAL_BUDGET, 1)?;
    let (ten, second) = timed(10 * USUAL_BUDGET, 1)?;
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a count of evaluations")]
    let most = (f64::from(ten.evaluations) / second * seconds) as u32;
    let (long, third) = timed(most, 2)?;
    let best = long.used_length_mm.min(ten.used_length_mm).min(usual.used_length_mm);
    let gaps = [&usual, &ten].map(|lay| 100.0 * (lay.used_length_mm / best - 1.0));
    let told = format!(
        "{} pieces, {:?} {:6.2} in in {first:4.2} s, behind by {:4.1} %; in {second:4.2} s by {:4.1} %; {:?} {:6.2} in after {third:4.1} s",
        long.placements.len() + long.bits.len(),
        usual.layout,
        usual.used_length_mm / IN,
        gaps[0],
        gaps[1],
        long.layout,
        best / IN,
    );
    Ok((told, gaps))
}

/// Every style of the book on a seeded body, as it drafts.
fn drafts() -> Vec<(&'static str, draft::Draft)> {
    let drafted = |book: &draft::BookStyle| {
        let style = draft::Style::read(book.text).ok()?;
        let who = match style.wearer() {
            "men" => Who::Man,
            "children" => Who::Child,
            _ => Who::Woman,
        };
        let body = seeded_body(&mut Pcg64::seed_from_u64(5), who);
        let input = draft::Input { body, allowances: common_practice(), ..draft::Input::new(Showing::EIGHTHS) };
        Some((book.key, draft::draft(&style, &input).ok()?))
    };
    draft::BOOK.iter().filter_map(drafted).collect()
}

/// What chance does to a lay: open at 45 in with eight seeds.
fn seeds(asked: &[String]) -> Result<(), LayError> {
    for (name, draft) in drafts().iter().filter(|(name, _)| asked.iter().any(|word| word == name)) {
        let cloth = Cloth { layout: Layout::Open, ..Cloth::of_width(45.0 * IN) };
        let job = lay_job(draft, draft::Cloth::Main, cloth);
        for budget in [USUAL_BUDGET, 10 * USUAL_BUDGET] {
            let lengths = (1..=8).map(|seed| Ok(lay(&job, budget, seed)?.used_length_mm / IN));
            let lengths = lengths.collect::<Result<Vec<f64>, LayError>>()?;
            let told: Vec<String> = lengths.iter().map(|length| format!("{length:.2}")).collect();
            println!("{name:24} {budget:8} positions: {}", told.join(" "));
        }
    }
    Ok(())
}

/// How time and length grow with the number of pieces.
fn growth() -> Result<(), LayError> {
    let [_, _, bodice] = jobs();
    for garments in [1_u32, 2, 4, 8, 12, 16, 25, 29] {
        let garment = |n: u32| bodice.parts.iter().map(move |part| Part { garment: n, ..part.clone() });
        let parts: Vec<Part> = (0..garments).flat_map(garment).collect();
        let pieces: u32 = parts.iter().map(|part| part.count).sum();
        let job = LayJob { parts, strips: vec![], ..bodice.clone() };
        let (first, usual) = (best_layout(&job, 1, 1)?, best_layout(&job, USUAL_BUDGET, 1)?);
        println!(
            "{garments:3} garments, {pieces:3} pieces: first {:7.1} in {:6.1} ms, usual budget {:7.1} in {:6.1} ms",
            first.used_length_mm / IN,
            milliseconds(1, || drop(best_layout(&job, 1, 1))),
            usual.used_length_mm / IN,
            milliseconds(1, || drop(best_layout(&job, USUAL_BUDGET, 1))),
        );
    }
    let memory = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    println!("{}", memory.lines().find(|line| line.starts_with("VmHWM")).unwrap_or("memory not known here"));
    Ok(())
}

fn first_lays() -> Result<(), LayError> {
    for (name, job) in ["wrap skirt", "six gores", "bodice and sleeves"].into_iter().zip(jobs()) {
        for layout in [Layout::Folded, Layout::Open] {
            let job = LayJob { cloth: Cloth { layout, ..job.cloth }, ..job.clone() };
            let first = lay(&job, 1, 1)?;
            let found = lay(&job, USUAL_BUDGET, 1)?;
            println!(
                "{name:20} {layout:?}: first {:6.1} in {:5.1} ms; usual budget {:6.1} in {:5.1} ms ({} tries); check {:4.1} ms",
                first.used_length_mm / IN,
                milliseconds(10, || drop(lay(&job, 1, 1))),
                found.used_length_mm / IN,
                milliseconds(10, || drop(lay(&job, USUAL_BUDGET, 1))),
                found.evaluations,
                milliseconds(10, || drop(check(&job, &found))),
            );
        }
    }
    Ok(())
}

/// Three garments of our own.
pub fn jobs() -> [LayJob; 3] {
    [wrap_skirt(), gores(), bodice()]
}

/// The least of several runs.
fn milliseconds(times: u32, work: impl Fn()) -> f64 {
    #[expect(clippy::disallowed_methods, reason = "a bench reads the clock")]
    let run = || {
        let start = Instant::now();
        work();
        start.elapsed().as_secs_f64() * 1e3
    };
    (0..times).map(|_| run()).fold(f64::INFINITY, f64::min)
}

fn part(label: &str, count: u32, pairs: bool, outline: Vec<Point>) -> Part {
    let letter = label.chars().take(1).collect();
    let (key, label) = (label.to_lowercase(), label.to_owned());
    Part {
        key,
        label,
        letter,
        outline,
        fold: None,
        count,
        pairs,
        grain: Grain::Along,
        may_flip: false,
        garment: 0,
        grain_tolerance_deg: 0,
        marks: vec![],
    }
}

fn strip(label: &str, count: u32, length_in: f64, width_in: f64, joined: bool) -> Strip {
    Strip {
        key: label.to_lowercase(),
        label: label.into(),
        letter: "S".into(),
        length_mm: length_in * IN,
        join_mm: 0.5 * IN,
        width_mm: width_in * IN,
        count,
        grain: Grain::Across,
        joined,
        garment: 0,
    }
}

/// Points along a curve given in inches by a share from 0 to 1.
fn curve(steps: u32, at: impl Fn(f64) -> [f64; 2]) -> impl Iterator<Item = Point> {
    (0..=steps).map(move |step| at(f64::from(step) / f64::from(steps)).map(|inches| inches * IN))
}

fn on_fold(part: Part, length_in: f64) -> Part {
    Part { fold: Some(([0.0, 0.0], [0.0, length_in * IN])), ..part }
}

fn cloth() -> Cloth {
    Cloth { nap: Nap::One, ..Cloth::of_width(45.0 * IN) }
}

/// Two pieces on the fold, one with a curved leading edge, facings, ties, a frill.
fn wrap_skirt() -> LayJob {
    let half: Vec<Point> = curve(1, |t| [0.0, 22.0 * (1.0 - t)])
        .chain(curve(60, |t| [9.0 * t, -0.5 * t * t]))
        .chain(curve(90, |t| [9.0 + 2.0 * t * (2.0 - t) - 1.0 * t * t, -0.5 + 22.5 * t]))
        .collect();
    let over: Vec<Point> = curve(60, |t| [18.0 * t, -0.5 * t * t])
        .chain(curve(90, |t| [18.0 + 2.0 * t * (2.0 - t) - t * t, -0.5 + 22.5 * t]))
        .chain(curve(2, |t| [19.0 - 13.0 * t, 22.0]))
        .chain(curve(120, |t| [6.0 * (1.0 - t).powi(2) - 1.2 * (t * std::f64::consts::PI).sin(), 22.0 * (1.0 - t)]))
        .collect();
    let facing: Vec<Point> = curve(1, |t| [0.0, 2.5 * (1.0 - t)])
        .chain(curve(60, |t| [9.0 * t, -0.5 * t * t]))
        .chain(curve(60, |t| [9.2 * (1.0 - t), 2.5 - 0.5 * (1.0 - t).powi(2)]))
        .collect();
    let parts = vec![
        on_fold(part("Back", 1, false, half.clone()), 22.0),
        on_fold(part("Under-front", 1, false, half), 22.0),
        part("Over-front", 1, false, over),
        on_fold(part("Facing", 2, false, facing), 2.5),
    ];
    LayJob {
        parts,
        strips: vec![strip("Frill", 1, 93.0, 5.0, true), strip("Tie", 2, 30.0, 2.5, false)],
        cloth: cloth(),
        matched: vec![],
    }
}

/// Six flared gores and a waistband, on cloth without a nap.
fn gores() -> LayJob {
    let gore: Vec<Point> = curve(40, |t| [-2.5 + 5.0 * t, 0.3 * (1.0 - (2.0 * t - 1.0).powi(2))])
        .chain(curve(60, |t| [2.5 + 2.0 * t + 4.0 * t * t, 28.0 * t]))
        .chain(curve(60, |t| [8.5 - 17.0 * t, 28.0 + 1.2 * (1.0 - (2.0 * t - 1.0).powi(2))]))
        .chain(curve(60, |t| [-8.5 + 8.0 * t - 2.0 * t * t, 28.0 * (1.0 - t)]))
        .collect();
    let cloth = Cloth { nap: Nap::Free, ..cloth() };
    LayJob {
        parts: vec![part("Gore", 6, true, gore)],
        strips: vec![strip("Band", 1, 30.0, 3.5, false)],
        cloth,
        matched: vec![],
    }
}

/// Front on the fold, back and sleeve in pairs, facings.
fn bodice() -> LayJob {
    let quarter = std::f64::consts::FRAC_PI_2;
    let body = |neck: f64| -> Vec<Point> {
        curve(1, |t| [0.0, 17.0 - (17.0 - neck) * t])
            .chain(curve(40, |t| [3.0 * (t * quarter).sin(), neck * (t * quarter).cos()]))
            .chain(curve(1, |t| [3.0 + 4.5 * t, 1.5 * t]))
            .chain(curve(60, |t| [7.5 + 3.0 * t.powi(3) - 1.2 * (t * 2.0 * quarter).sin(), 1.5 + 7.5 * t]))
            .chain(curve(1, |t| [10.5 - t, 9.0 + 8.0 * t]))
            .collect()
    };
    let sleeve: Vec<Point> = curve(120, |t| [-7.5 + 15.0 * t, 6.0 * (t * 4.0 * quarter).cos().mul_add(0.5, 0.5)])
        .chain(curve(60, |t| [7.5 - 2.0 * t, 6.0 + 16.0 * t]))
        .chain(curve(60, |t| [-5.5 - 2.0 * t, 22.0 - 16.0 * t]))
        .collect();
    let front = body(3.5);
    let mut front = Part { fold: None, ..part("Front", 1, false, front) };
    front.fold = Some(([0.0, 17.0 * IN], [0.0, 3.5 * IN]));
    let parts = vec![
        front,
        part("Back", 2, true, body(1.0)),
        part("Sleeve", 2, true, sleeve),
        part("Cuff", 2, true, vec![[0.0, 0.0], [10.0 * IN, 0.0], [10.0 * IN, 3.0 * IN], [0.0, 3.0 * IN]]),
    ];
    LayJob { parts, strips: vec![strip("Neck facing", 1, 20.0, 2.0, true)], cloth: cloth(), matched: vec![] }
}
