//! The write path under the axe: a child writes orders until it is killed at some
//! moment; whatever it was told is kept must be there, whole, and nothing by halves.
//!
//! A killed process is not a power cut: what the system holds survives here. That
//! the disk is waited for as well is `synchronous = FULL`, held by a test in
//! `src/store/connect.rs`.

use std::io::{BufRead, BufReader, Read, Write};
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::thread::sleep;
use std::time::Duration;

use bodkin::shop::{ClientFacts, GarmentFacts, OrderNumber, PaymentKind, Stage};
use bodkin::store::{DataFolder, OWNER, OrderFilter, Store, StoreError};

use crate::store::{NOW, euro, order_for, payment, set_of};

/// Set for the child alone: the folder that it writes in.
const FOLDER: &str = "BODKIN_TEST_KILL_FOLDER";
/// What the child does, again and again.
const WORDS: &str = "took a whole order";
/// Change rows of one such action: client; measures; order; two garments, each with a move to booked and a
/// choice; one more move with its stage; payment.
const CHANGES: usize = 1 + 1 + 1 + 2 * 3 + 2 + 1;

/// In the child this writes until it is killed; in the test run it has nothing to do.
#[test]
fn the_child_writes_until_it_is_killed() {
    let Ok(folder) = std::env::var(FOLDER) else { return };
    let store = Store::open(&DataFolder::at(Path::new(&folder))).unwrap();
    loop {
        let number = whole_order(&store).unwrap();
        // Told only after `write` has returned.
        let mut out = std::io::stdout().lock();
        writeln!(out, "kept {number}").and_then(|()| out.flush()).unwrap();
    }
}

fn whole_order(store: &Store) -> Result<OrderNumber, StoreError> {
    store.write(OWNER, NOW, WORDS, |book| {
        let client = book.add_client(&ClientFacts::named("Ida Okoro"))?;
        let set = book.add_set(&set_of(client, "2026-11-01", &[("waist_girth", 250), ("hip_girth", 312)]))?;
        let (order, number) = book.add_order(&order_for(client))?;
        for what in ["Wrap skirt", "Apron"] {
            let mut facts = GarmentFacts { set: Some(set), price: Some(euro(8000)), ..GarmentFacts::of(client, what) };
            facts.choices.insert("finished_length".into(), "25 in".into());
            let (garment, _) = book.add_garment(order, &facts)?;
            if what == "Apron" {
                book.move_garment(garment, Stage::Booked, Stage::ClothIn, "")?;
            }
        }
        book.take_payment(order, &payment(PaymentKind::Deposit, 4000))?;
        Ok(number)
    })
}

#[test]
fn a_killed_writer_loses_nothing_it_acknowledged_and_leaves_nothing_by_halves() {
    let folder = tempfile::tempdir().unwrap();
    let mut acknowledged: Vec<OrderNumber> = Vec::new();
    // How many orders to wait for, and how much longer: before the first one, between
    // two, in the middle of one, after a checkpoint of the log (every 1000 pages).
    for (orders, microseconds) in [(0, 300), (0, 4000), (1, 0), (2, 170), (5, 430), (9, 1100), (60, 730), (3, 2300)] {
        let mut child = child(folder.path());
        let mut said = BufReader::new(child.stdout.take().unwrap());
        for _ in 0..orders {
            acknowledged.push(next_kept(&mut said));
        }
        sleep(Duration::from_micros(microseconds));
        child.kill().unwrap();
        child.wait().unwrap();
        let mut rest = String::new();
        said.read_to_string(&mut rest).unwrap();
        // A line that was cut short was not told.
        let whole = rest.rsplit_once('\n').map_or("", |(whole, _)| whole);
        acknowledged.extend(whole.lines().filter_map(kept));
        look_over(folder.path(), &acknowledged);
    }
    assert!(acknowledged.len() >= 80);
}

fn child(folder: &Path) -> Child {
    Command::new(std::env::current_exe().unwrap())
        .args(["--exact", "store_kill::the_child_writes_until_it_is_killed", "--nocapture", "--test-threads=1"])
        .env(FOLDER, folder)
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .unwrap()
}

fn kept(line: &str) -> Option<OrderNumber> {
    // libtest writes its own words before the first line.
    line.rsplit_once("kept ").map(|(_, number)| number.parse().unwrap())
}

fn next_kept(said: &mut impl BufRead) -> OrderNumber {
    loop {
        let mut line = String::new();
        assert!(said.read_line(&mut line).unwrap() > 0, "the child stopped by itself");
        if let Some(number) = kept(line.trim_end()) {
            return number;
        }
    }
}

fn look_over(folder: &Path, acknowledged: &[OrderNumber]) {
    let store = Store::open(&DataFolder::at(folder)).unwrap();
    assert_eq!(store.read(|book| book.check()).unwrap(), []);
    let all = OrderFilter { limit: 100_000, ..OrderFilter::default() };
    let orders = store.read(|book| book.orders(&all)).unwrap().rows;
    for number in acknowledged {
        assert!(orders.iter().any(|row| row.order.number == *number), "{number} was told and is gone");
    }
    for row in &orders {
        let page = store.read(|book| book.order_page(row.order.number)).unwrap();
        assert_eq!(page.garments.len(), 2);
        assert_eq!(page.garments[0].garment.facts.choices.len(), 1);
        assert_eq!(page.garments[1].garment.stage, Stage::ClothIn);
        assert_eq!((page.account.due, page.account.paid), (euro(16_000), euro(4000)));
        let body = store.read(|book| book.body(row.order.facts.client, None)).unwrap();
        assert_eq!(body.values.len(), 2);
    }
    let actions = store.read(|book| book.recent(1_000_000)).unwrap();
    let taken: Vec<_> = actions.iter().filter(|action| action.words == WORDS).collect();
    assert_eq!(taken.len(), orders.len());
    for action in taken {
        assert_eq!(action.changes.len(), CHANGES, "{action:?}");
    }
}
