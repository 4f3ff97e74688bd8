//! Lays one of the academic instances and says how densely:
//!
//!     cargo run --release --example measure_lay -- FILE SECONDS SEED [PLACES]
//!
//! `FILE` is a JSON file with `strip_height` and `items` (`demand`, `allowed_orientations`,
//! `shape.data`); see `tests/outside/lay_peer.py`, which compares. `PLACES` is written with
//! where each item came to lie, in the units of the file.
//!
//! The clock is read here alone: the search counts evaluations, and is stopped through what
//! it tells.

#![expect(clippy::print_stdout, reason = "it says what it measured")]
#![expect(clippy::disallowed_methods, reason = "a measure reads the clock")]

use std::error::Error;
use std::ops::ControlFlow;
use std::time::Instant;

use bodkin::geom::Point;
use bodkin::lay::{Cloth, Doing, Grain, Lay, LayJob, Layout, Part, Step, keep_trying, lay};
use serde_json::{Value, json};

/// The width to which an instance is scaled, mm: outlines are made ready within 0.2 mm.
const WIDTH_MM: f64 = 4000.0;

fn main() -> Result<(), Box<dyn Error>> {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let [file, seconds, seed, places @ ..] = arguments.as_slice() else {
        return Err("measure_lay FILE SECONDS SEED [PLACES]".into());
    };
    let (seconds, seed): (f64, u64) = (seconds.parse()?, seed.parse()?);
    let instance: Value = serde_json::from_str(&std::fs::read_to_string(file)?)?;
    let (job, scale) = job(&instance).ok_or("not an instance")?;

    let start = Instant::now();
    let first = lay(&job, 1, seed)?;
    let to_first = start.elapsed().as_secs_f64();
    println!("first {:.2} after {to_first:.3} s", density(&job, &first));

    // How many evaluations the time allows is found by searching for a tenth of it. Where the
    // machine was slower then than it is later, time is left over, and it goes on anew.
    let (mut best, mut done, mut searched, mut leg) = (first, 0, 0.0, 0);
    let mut until = to_first + (seconds - to_first) * 0.1;
    while start.elapsed().as_secs_f64() < seconds * 0.99 {
        let (before, from) = (start.elapsed().as_secs_f64(), best.clone());
        let budget = if leg > 0 { whole(rate(done, searched) * (until - before).max(0.0)) } else { u64::MAX };
        let (mut here, mut stopped) = (0, false);
        best = keep_trying(&job, &from, budget, seed + leg / 2, &mut |step| {
            here = step.evaluations;
            let now = start.elapsed().as_secs_f64();
            if step.lay.is_some() && std::env::var_os("TOLD").is_some() {
                told(&job, step, now);
            }
            stopped = now >= until;
            if stopped { ControlFlow::Break(()) } else { ControlFlow::Continue(()) }
        })?;
        searched += start.elapsed().as_secs_f64() - before;
        done += here;
        // As short as can be.
        if !stopped && here < budget {
            break;
        }
        (until, leg) = (seconds, leg + 1);
    }
    println!("evaluations {done}, {:.0} a second", rate(done, searched));
    println!("seconds {:.2}", start.elapsed().as_secs_f64());
    println!("density {:.2}", density(&job, &best));
    if let [places] = places {
        std::fs::write(places, placed(&job, &best, scale).to_string())?;
    }
    Ok(())
}

fn told(job: &LayJob, step: &Step, now: f64) {
    let Some(lay) = step.lay else { return };
    let what = if step.doing == Doing::Tightening { "tightening" } else { "shorter" };
    println!("{now:7.2} s {:9} {what}: {:.2}", step.evaluations, density(job, lay));
}

/// The strip runs along the cloth: across in the file is along here.
fn job(instance: &Value) -> Option<(LayJob, f64)> {
    let scale = WIDTH_MM / instance["strip_height"].as_f64()?;
    // Copies are parts of their own: two cut at once from folded cloth would be mirrored.
    let parts = |item: &Value| -> Option<Vec<Part>> {
        let mut outline: Vec<Point> = Vec::new();
        for p in item["shape"]["data"].as_array()? {
            outline.push([p[1].as_f64()? * scale, p[0].as_f64()? * scale]);
        }
        if outline.first() == outline.last() {
            outline.pop();
        }
        let turns = item["allowed_orientations"].as_array()?.len();
        let count = usize::try_from(item["demand"].as_u64()?).ok()?;
        let part = Part {
            key: item["id"].to_string(),
            label: item["id"].to_string(),
            letter: "A".into(),
            outline,
            fold: None,
            count: 1,
            pairs: false,
            grain: if turns == 4 { Grain::Any } else { Grain::Along },
            may_flip: false,
            garment: 0,
            grain_tolerance_deg: 0,
            marks: vec![],
        };
        Some(vec![part; count])
    };
    let parts = instance["items"].as_array()?.iter().map(parts).collect::<Option<Vec<Vec<Part>>>>()?.concat();
    let cloth =
        Cloth { layout: Layout::Open, selvedge_mm: 0.0, squaring_mm: 0.0, gap_mm: 0.0, ..Cloth::of_width(WIDTH_MM) };
    Some((LayJob { parts, strips: vec![], cloth, matched: vec![] }, scale))
}

/// The share of the strip that the items cover, in per cent.
fn density(job: &LayJob, lay: &Lay) -> f64 {
    let area = |part: &Part| {
        let next = part.outline.iter().cycle().skip(1);
        part.outline.iter().zip(next).map(|(p, q)| p[0] * q[1] - q[0] * p[1]).sum::<f64>().abs() / 2.0
    };
    let all: f64 = job.parts.iter().map(|part| area(part) * f64::from(part.count)).sum();
    100.0 * all / (WIDTH_MM * lay.used_length_mm)
}

/// Each item as a closed line in the units of the file, and the length.
fn placed(job: &LayJob, lay: &Lay, scale: f64) -> Value {
    let items = lay.placements.iter().filter_map(|placement| {
        let part = job.parts.get(placement.part)?;
        let outline: Vec<[f64; 2]> = placement.outline(part).iter().map(|p| [p[1] / scale, p[0] / scale]).collect();
        Some(json!({ "id": part.key, "turn": placement.turn, "mirrored": placement.mirrored, "outline": outline }))
    });
    json!({ "length": lay.used_length_mm / scale, "scale": scale, "items": items.collect::<Vec<Value>>() })
}

#[expect(clippy::cast_precision_loss, reason = "a rate of evaluations")]
fn rate(evaluations: u64, seconds: f64) -> f64 {
    evaluations as f64 / seconds.max(1e-9)
}

#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a count of evaluations")]
fn whole(budget: f64) -> u64 {
    budget as u64
}
