//! How long a pattern takes, from the draft to the bytes of the file: each style of the
//! book on each paper. `cargo bench --bench pattern`. A measure, not a test; wished for is
//! less than 50 ms for a skirt on A4.

#![allow(clippy::unwrap_used, clippy::print_stdout, reason = "a bench prints what it finds")]

use std::hint::black_box;
use std::time::{Duration, Instant};

use bodkin::draft::{BOOK, Draft, Input, Style, draft};
use bodkin::measure::{Length, Showing, Unit};
use bodkin::sheet::{Asked, Marks, Paper, pattern, pattern_pdf};
use bodkin::shop::common_practice;

#[expect(clippy::disallowed_methods, reason = "a bench reads the clock")]
fn now() -> Instant {
    Instant::now()
}

/// The best of so many counts.
const ROUNDS: usize = 10;

/// An invented middle-sized body, inches.
const BODY: [(&str, i64); 3] = [("waist_girth", 31), ("hip_girth", 39), ("waist_to_hip", 8)];

fn main() {
    let marks = Marks {
        mark: "2026-0147 B".into(),
        client: "Efua Mensah".into(),
        what: "Sunday skirt".into(),
        day: "3 May 2026".into(),
        unit: Unit::Inch,
    };
    println!("{:18}{:>8}{:>8}{:>8}{:>8}{:>8}", "ms", "paper", "pages", "drawn", "written", "kB");
    for book in BOOK {
        let mut input = Input { allowances: common_practice(), ..Input::new(Showing::EIGHTHS) };
        input.body = BODY.iter().map(|(key, inches)| ((*key).to_string(), Length::inches(*inches, 0))).collect();
        let Ok(draft) = draft(&Style::read(book.text).unwrap(), &input) else {
            println!("{:18}needs more than a waist and a hip", book.key);
            continue;
        };
        for paper in [Paper::A4, Paper::Roll] {
            line(book.key, &draft, &marks, paper);
        }
    }
}

fn line(key: &str, draft: &Draft, marks: &Marks, paper: Paper) {
    let asked = Asked { pieces: Vec::new(), opened: false, paper };
    let (mut drawn, mut written) = (Duration::MAX, Duration::MAX);
    let (mut pages, mut bytes) = (0, 0);
    for _ in 0..ROUNDS {
        let start = now();
        let pattern = black_box(pattern(black_box(draft), marks, &asked).unwrap());
        drawn = drawn.min(start.elapsed());
        let start = now();
        let file = black_box(pattern_pdf(&pattern).unwrap());
        written = written.min(start.elapsed());
        (pages, bytes) = (pattern.pages.len(), file.len());
    }
    let (drawn, written) = (drawn.as_secs_f64() * 1e3, written.as_secs_f64() * 1e3);
    println!("{key:18}{:>8}{pages:>8}{drawn:>8.1}{written:>8.1}{:>8}", paper.key(), bytes / 1000);
}
