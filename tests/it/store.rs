//! The book on disk: written, read, refused, copied.

use bodkin::measure::Length;
use bodkin::shop::{
    ClientFacts, ClientId, Currency, GarmentFacts, Money, OrderFacts, OrderNumber, PaymentFacts, PaymentKind, Reading,
    SetFacts, Source, Stage,
};
use bodkin::store::{DataFolder, OWNER, OrderFilter, Store, StoreError, Writer};
use chrono::NaiveDate;

/// A moment in these tests: what matters is that it comes back.
pub const NOW: i64 = 1_794_000_000_000;

/// An empty book in a folder that goes away with the test.
pub fn empty() -> (tempfile::TempDir, Store) {
    let folder = tempfile::tempdir().unwrap();
    let store = Store::open(&DataFolder::at(folder.path())).unwrap();
    (folder, store)
}

pub fn day(text: &str) -> NaiveDate {
    text.parse().unwrap()
}

pub fn euro(minor: i64) -> Money {
    Money::new(minor, Currency::new("EUR").unwrap())
}

/// Does something as the owner.
pub fn write<T>(store: &Store, words: &str, writing: impl FnOnce(&Writer) -> Result<T, StoreError>) -> T {
    store.write(OWNER, NOW, words, writing).unwrap()
}

fn refused<T>(store: &Store, writing: impl FnOnce(&Writer) -> Result<T, StoreError>) -> String {
    match store.write(OWNER, NOW, "tried", writing) {
        Err(StoreError::Refused { words }) => words,
        Err(other) => panic!("another error: {other}"),
        Ok(_) => panic!("was not refused"),
    }
}

pub fn order_for(client: ClientId) -> OrderFacts {
    OrderFacts {
        client,
        taken: day("2026-11-02"),
        promised: Some(day("2026-11-28")),
        event: String::new(),
        event_day: None,
        note: String::new(),
    }
}

pub fn set_of(wearer: ClientId, on: &str, readings: &[(&str, i64)]) -> SetFacts {
    let readings = readings.iter().map(|(dimension, eighths)| Reading {
        dimension: (*dimension).into(),
        length: Length::inches(0, *eighths),
        typed: format!("{eighths}/8"),
        number: 1,
        source: Source::Tape,
    });
    SetFacts {
        wearer,
        day: day(on),
        over: "a thin dress".into(),
        source: Source::Tape,
        note: String::new(),
        figure: Vec::new(),
        readings: readings.collect(),
        corrects: None,
        garment: None,
    }
}

pub fn payment(kind: PaymentKind, minor: i64) -> PaymentFacts {
    PaymentFacts { kind, money: euro(minor), day: day("2026-11-02"), method: "cash".into(), note: String::new() }
}

/// A client with one order of one garment at 90.00.
fn one_order(store: &Store) -> (ClientId, OrderNumber) {
    write(store, "took an order", |book| {
        let client = book.add_client(&ClientFacts::named("Maren Solberg"))?;
        let (order, number) = book.add_order(&order_for(client))?;
        let garment = GarmentFacts { price: Some(euro(9000)), ..GarmentFacts::of(client, "Wrap skirt") };
        book.add_garment(order, &garment)?;
        Ok((client, number))
    })
}

#[test]
fn a_new_book_has_an_owner_and_waits_for_its_first_run() {
    let (_folder, store) = empty();
    let (people, settings, uid) = store.read(|book| Ok((book.people()?, book.settings()?, book.shop_uid()?))).unwrap();
    assert_eq!(people.len(), 1);
    assert!(people[0].owner && people[0].id == OWNER);
    assert!(!settings.opened);
    assert_eq!(settings.allowances, bodkin::shop::common_practice());
    assert_eq!(uid.len(), 32);
    assert_eq!(store.read(|book| book.check()).unwrap(), []);
}

#[test]
fn what_was_written_is_there_after_opening_again() {
    let (folder, store) = empty();
    let mut settings = store.read(|book| book.settings()).unwrap();
    settings.opened = true;
    settings.shop_name = "Harbour Thread".into();
    settings.closed.insert(day("2026-12-25"), "Christmas".into());
    settings.allowances.insert("hem".into(), Length::inches(2, 0));
    write(&store, "opened the shop", |book| book.set_settings(&settings));
    let (_, number) = one_order(&store);
    drop(store);
    let store = Store::open(&DataFolder::at(folder.path())).unwrap();
    settings.version = 2;
    assert_eq!(store.read(|book| book.settings()).unwrap(), settings);
    assert_eq!(store.read(|book| book.order_page(number)).unwrap().garments.len(), 1);
    assert_eq!(store.read(|book| book.check()).unwrap(), []);
}

#[test]
fn an_order_goes_from_booked_to_collected_and_is_paid() {
    let (_folder, store) = empty();
    let (client, number) = one_order(&store);
    let page = store.read(|book| book.order_page(number)).unwrap();
    assert_eq!(page.order.number.to_string(), "2026-0001");
    let (order, garment) = (page.order.id, page.garments[0].garment.id);
    write(&store, "took a deposit", |book| book.take_payment(order, &payment(PaymentKind::Deposit, 4500)));
    let mut stage = Stage::Booked;
    while let Some(next) = stage.next(1) {
        write(&store, "moved a garment", |book| book.move_garment(garment, stage, next, ""));
        stage = next;
    }
    write(&store, "took the balance", |book| book.take_payment(order, &payment(PaymentKind::Balance, 4500)));
    let page = store.read(|book| book.order_page(number)).unwrap();
    assert_eq!(page.garments[0].garment.stage, Stage::Collected);
    assert_eq!(page.garments[0].moves.len(), 8);
    assert_eq!(page.account.balance(), euro(0));
    assert_eq!(page.account.deposit, euro(4500));
    let open = OrderFilter { open: true, limit: 50, ..OrderFilter::default() };
    assert!(store.read(|book| book.orders(&open)).unwrap().rows.is_empty());
    assert_eq!(store.read(|book| book.orders_of(client, 10)).unwrap().rows.len(), 1);
    assert!(store.read(|book| book.work(day("2026-11-20"), 500)).unwrap().is_empty());
    assert_eq!(store.read(|book| book.check()).unwrap(), []);
}
