//! How long a draft takes, with its working, its outlines and all truths: each style of
//! the book for 200 seeded bodies of those whom it is for, and 2,000 open orders drafted
//! anew on one core. `cargo bench --bench draft`, or `-- princess_dress` for those styles alone.
//! A measure, not a test.

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

/// Orders drafted anew, as after a change of the rules; 2 s is what a shop may wait (issue 3).
const ORDERS: usize = 2000;

fn main() {
    println!("{:20}{:>10}{:>10}{:>10}{:>10}{:>10}", "µs", "read once", "least", "mean", "most", "drafted");
    let named: Vec<String> = std::env::args().skip(1).filter(|a| !a.starts_with('-')).collect();
    for book in BOOK.iter().filter(|b| named.is_empty() || named.iter().any(|n| n == b.key)) {
        let start = now();
        let style = Style::read(book.text).unwrap();
        let read = start.elapsed();
        let mut times: Vec<Duration> = Vec::new();
        for input in &inputs(style.wearer(), 200) {
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
        let Some((least, most)) = times.iter().min().zip(times.iter().max()) else {
            println!("{:20}{:>10.0}  drafted on nobody", book.key, micro(read));
            continue;
        };
        let mean = micro(times.iter().sum()) / f64::from(u32::try_from(times.len()).unwrap());
        println!(
            "{:20}{:>10.0}{:>10.0}{mean:>10.0}{:>10.0}{:>10}",
            book.key,
            micro(read),
            micro(*least),
            micro(*most),
            times.len()
        );
    }
    orders();
}

/// Orders spread evenly over the book, each on a body of its own, on one core.
fn orders() {
    let share = ORDERS.div_ceil(BOOK.len());
    let styles = BOOK.map(|book| Style::read(book.text).unwrap());
    let open: Vec<(&Style, Input)> = styles
        .iter()
        .flat_map(|style| inputs(style.wearer(), share).into_iter().map(move |input| (style, input)))
        .take(ORDERS)
        .collect();
    let start = now();
    let drafted = open.iter().filter(|(style, input)| black_box(draft(style, black_box(input))).is_ok()).count();
    let seconds = start.elapsed().as_secs_f64();
    println!("{} open orders drafted anew on one core: {seconds:.2} s ({drafted} drafted; 2 s at most)", open.len());
}

/// Seeded bodies of those whom a style is for, with a shop's usual allowances.
fn inputs(wearer: &str, count: usize) -> Vec<Input> {
    let mut rng = Pcg64::seed_from_u64(5);
    let who = match wearer {
        "men" => Who::Man,
        "children" => Who::Child,
        _ => Who::Woman,
    };
    let one =
        |_| Input { body: seeded_body(&mut rng, who), allowances: common_practice(), ..Input::new(Showing::EIGHTHS) };
    (0..count).map(one).collect()
}

fn micro(time: Duration) -> f64 {
    time.as_secs_f64() * 1e6
}
