//! How long a page waits for the book, with 5,000 clients, 12,000 sets and 20,000 orders.
//!
//! `cargo bench --bench book` prints p50 and p99 of each reading in ms, the time of one
//! write, and the size of the book. A measure, not a test.

#![allow(missing_docs, clippy::unwrap_used, clippy::print_stdout, reason = "a bench prints what it finds")]
#![allow(clippy::cast_possible_truncation, reason = "sizes of an invented book")]

mod large;

use std::time::{Duration, Instant};

use bodkin::shop::{ClientId, OrderNumber, Stage};
use bodkin::store::{ClientSearch, DataFolder, OWNER, OrderFilter, Reader, Store, StoreError};

#[expect(clippy::disallowed_methods, reason = "a bench reads the clock")]
fn now() -> Instant {
    Instant::now()
}

fn main() {
    let folder = tempfile::tempdir().unwrap();
    let start = now();
    let store = Store::open(&DataFolder::at(folder.path())).unwrap();
    println!("first start         {:8.2} ms", ms(start.elapsed()));
    let start = now();
    large::fill(&store, large::LARGE).unwrap();
    println!("filled in           {:8.1} s", start.elapsed().as_secs_f64());
    drop(store);
    let start = now();
    let store = Store::open(&DataFolder::at(folder.path())).unwrap();
    println!("start               {:8.2} ms", ms(start.elapsed()));
    let bytes = std::fs::metadata(folder.path().join("shop.db")).unwrap().len();
    println!("size of the book    {:8.1} MB", bytes as f64 / 1e6);
    println!("{:20}{:>8}{:>12}", "", "p50 ms", "p99 ms");
    let page = OrderFilter { limit: 50, ..OrderFilter::default() };
    let (from, to) = (large::today(), large::today() + chrono::Days::new(6));
    let search = |words: &str, offset| ClientSearch { words: words.into(), limit: 50, offset };
    time("settings", &store, |book, _| book.settings().map(drop));
    time("work (Today)", &store, |book, _| book.work(large::today(), 1000).map(drop));
    time("fittings of a week", &store, |book, _| book.fittings(from, to).map(drop));
    time("orders, newest", &store, |book, _| book.orders(&page).map(drop));
    time("orders, open", &store, |book, _| book.orders(&OrderFilter { open: true, ..page.clone() }).map(drop));
    time("orders, 300th page", &store, |book, _| {
        book.orders(&OrderFilter { offset: 15_000, ..page.clone() }).map(drop)
    });
    for stage in [Stage::Cut, Stage::Collected] {
        let words = format!("orders, {}", stage.words());
        time(&words, &store, |book, _| book.orders(&OrderFilter { stage: Some(stage), ..page.clone() }).map(drop));
    }
    time("orders of a week", &store, |book, _| {
        book.orders(&OrderFilter { promised_from: Some(from), promised_to: Some(to), ..page.clone() }).map(drop)
    });
    for words in ["maren", "wedding", "2026-0147", "no such words"] {
        let name = format!("orders “{words}”");
        time(&name, &store, |book, _| book.orders(&OrderFilter { words: words.into(), ..page.clone() }).map(drop));
    }
    time("order, whole", &store, |book, at| book.order_page(OrderNumber { year: 2025, count: 1 + at * 7 }).map(drop));
    time("order, history", &store, |book, at| {
        let order = book.order_numbered(OrderNumber { year: 2025, count: 1 + at * 7 })?;
        book.order_history(order.id, 200).map(drop)
    });
    time("clients", &store, |book, _| book.clients(&search("", 0)).map(drop));
    time("clients, 90th page", &store, |book, _| book.clients(&search("", 4500)).map(drop));
    time("clients “sol”", &store, |book, _| book.clients(&search("sol", 0)).map(drop));
    time("clients “7946”", &store, |book, _| book.clients(&search("7946", 0)).map(drop));
    time("client, whole", &store, |book, at| {
        let id = ClientId::new(1 + i64::from(at) * 11);
        book.client(id)?;
        book.sets_of(id)?;
        book.body(id, None)?;
        book.orders_of(id, 20).map(drop)
    });
    let mut writes = Vec::new();
    for at in 0..200_i64 {
        let start = now();
        store
            .write(OWNER, at, "wrote a client", |book| {
                book.add_client(&bodkin::shop::ClientFacts::named("Maren Solberg"))
            })
            .unwrap();
        writes.push(start.elapsed());
    }
    told("one write, on disk", writes);
    let start = now();
    let findings = store.read(|book| book.check()).unwrap();
    println!("check               {:8.1} s, {} findings", start.elapsed().as_secs_f64(), findings.len());
}

fn time(name: &str, store: &Store, reading: impl Fn(&Reader, u32) -> Result<(), StoreError>) {
    let times = (0..200).map(|at| {
        let start = now();
        store.read(|book| reading(book, at)).unwrap();
        start.elapsed()
    });
    told(name, times.collect());
}

fn told(name: &str, mut times: Vec<Duration>) {
    times.sort();
    println!("{name:20}{:8.2}{:12.2}", ms(times[times.len() / 2]), ms(times[times.len() * 99 / 100]));
}

fn ms(time: Duration) -> f64 {
    time.as_secs_f64() * 1e3
}
