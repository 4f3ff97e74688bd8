//! How long a draft takes, with its working, its outlines and all truths: each style of
//! the book for 200 seeded bodies. `cargo bench --bench draft`. A measure, not a test.

#![allow(clippy::unwrap_used, clippy::print_stdout, reason = "a bench prints what it finds")]

use std::hint::black_box;
use std::time::{Duration, Instant};

use bodkin::demo::seeded_body;
use bodkin::draft::{BOOK, Input, Style, draft};
use bodkin::measure::{Showing, Who};
use bodkin::shop::common_practice;
use rand::SeedableRng;
use rand_pcg::Pcg64;

#[expect(clippy::disallowed_methods, reason = "a bench reads the clock")]
fn now() -> Instant {
    Instant::now()
}

/// Rounds over all bodies; the best time of each body counts.
const ROUNDS: usize = 20;

fn main() {
    let mut rng = Pcg64::seed_from_u64(5);
    let inputs: Vec<Input> = (0..200)
        .map(|_| Input {
            body: seeded_body(&mut rng, Who::Woman),
            allowances: common_practice(),
            ..Input::new(Showing::EIGHTHS)
        })
        .collect();
    println!("{:16}{:>10}{:>10}{:>10}{:>10}{:>10}", "µs", "read once", "least", "mean", "most", "drafted");
    for book in BOOK {
        let start = now();
        let style = Style::read(book.text).unwrap();
        let read = start.elapsed();
        let mut times: Vec<Duration> = Vec::new();
        for input in &inputs {
            let timed = || {
                let start = now();
                let drafted = black_box(draft(&style, black_box(input)));
                (start.elapsed(), drafted.is_ok())
            };
            let runs: Vec<(Duration, bool)> = (0..ROUNDS).map(|_| timed()).collect();
            // Refused bodies are not drafted: they would flatter the mean.
            if runs.iter().all(|(_, drafted)| *drafted) {
                times.extend(runs.iter().map(|(time, _)| *time).min());
            }
        }
        let sum: Duration = times.iter().sum();
        println!(
            "{:16}{:>10.0}{:>10.0}{:>10.0}{:>10.0}{:>10}",
            book.key,
            micro(read),
            micro(*times.iter().min().unwrap()),
            micro(sum) / f64::from(u32::try_from(times.len()).unwrap()),
            micro(*times.iter().max().unwrap()),
            times.len()
        );
    }
}

fn micro(time: Duration) -> f64 {
    time.as_secs_f64() * 1e6
}
