//! The book on disk: opened, written by several people, told about. Helpers for the other files.

use bodkin::measure::Length;
use bodkin::shop::{
    ClientFacts, ClientId, Currency, GarmentFacts, Money, OrderFacts, OrderNumber, PaymentFacts, PaymentKind, Reading,
    SetFacts, Source, Stage,
};
use bodkin::store::{DataFolder, OWNER, OrderFilter, Sent, Store, StoreError, Writer};
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

/// The words with which something is refused.
pub fn refused<T>(store: &Store, writing: impl FnOnce(&Writer) -> Result<T, StoreError>) -> String {
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
pub fn one_order(store: &Store) -> (ClientId, OrderNumber) {
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

#[test]
fn two_people_editing_one_client_lose_nothing_of_the_first() {
    let (_folder, store) = empty();
    let id = write(&store, "wrote a client", |book| book.add_client(&ClientFacts::named("Maren Solberg")));
    let helper = write(&store, "added a helper", |book| book.add_person("Ama"));
    let seen = store.read(|book| book.client(id)).unwrap();
    let phone = ClientFacts { phone: "+44 20 7946 0958".into(), ..seen.facts.clone() };
    store.write(helper, NOW + 5, "changed a client", |book| book.change_client(id, seen.version, &phone)).unwrap();
    let name = ClientFacts { name: "Maren Berg".into(), ..seen.facts };
    let stale = store.write(OWNER, NOW + 9, "changed a client", |book| book.change_client(id, seen.version, &name));
    match stale {
        Err(StoreError::Stale { what: "client", by, at_ms }) => assert_eq!((by.as_str(), at_ms), ("Ama", NOW + 5)),
        other => panic!("{other:?}"),
    }
    let now = store.read(|book| book.client(id)).unwrap();
    assert_eq!((now.facts.clone(), now.version), (phone.clone(), 2));
    // Saving without a change is no edit: nobody's form becomes stale by it, and nothing is told.
    write(&store, "changed a client", |book| book.change_client(id, 2, &phone));
    assert_eq!(store.read(|book| book.client(id)).unwrap().version, 2);
    assert_eq!(store.read(|book| book.history("client", id.get(), 100)).unwrap().len(), 2);
}

#[test]
fn every_write_tells_who_when_before_and_after() {
    let (_folder, store) = empty();
    let (client, number) = one_order(&store);
    let page = store.read(|book| book.order_page(number)).unwrap();
    let garment = &page.garments[0].garment;
    let mut facts = garment.facts.clone();
    facts.price = Some(euro(9500));
    facts.choices.insert("fullness".into(), "2".into());
    write(&store, "changed a garment", |book| book.change_garment(garment.id, garment.version, &facts));
    let history = store.read(|book| book.order_history(page.order.id, 100)).unwrap();
    let told: Vec<(&str, usize)> = history.iter().map(|act| (act.words.as_str(), act.changes.len())).collect();
    // The order, its garment and the move that booked it; the client belongs to no order.
    assert_eq!(told, [("changed a garment", 2), ("took an order", 3)]);
    let price = &history[0].changes[0];
    assert_eq!((price.noun.as_str(), price.field.as_deref()), ("garment", Some("minor")));
    assert_eq!((price.before.as_deref(), price.after.as_deref()), (Some("9000"), Some("9500")));
    let choice = &history[0].changes[1];
    assert_eq!(choice.field.as_deref(), Some("garment_choice.fullness"));
    assert_eq!((choice.before.as_deref(), choice.after.as_deref()), (None, Some("2")));
    assert_eq!((history[0].who, history[0].at_ms), (OWNER, NOW));
    let born = store.read(|book| book.history("client", client.get(), 10)).unwrap();
    assert_eq!(born[0].changes[0].after.as_deref(), Some("name: Maren Solberg\nphone_shared: 0\nwearer: unsaid"));
    // What fails is told nowhere.
    let before = store.read(|book| book.recent(1000)).unwrap().len();
    refused(&store, |book| {
        book.add_client(&ClientFacts::named("Nobody"))?;
        book.add_client(&ClientFacts::named(""))
    });
    assert_eq!(store.read(|book| book.recent(1000)).unwrap().len(), before);
}

#[test]
fn a_write_that_panics_keeps_nothing_and_the_book_goes_on() {
    let (_folder, store) = empty();
    let torn = std::panic::catch_unwind(std::panic::AssertUnwindSafe(|| {
        let _ = store.write(OWNER, NOW, "wrote", |book| {
            book.add_client(&ClientFacts::named("Half"))?;
            panic!("in the middle");
            #[expect(unreachable_code, reason = "names the type")]
            Ok(())
        });
    }));
    assert!(torn.is_err());
    assert!(store.read(|book| book.recent(10)).unwrap().is_empty());
    one_order(&store);
    assert_eq!(store.read(|book| book.check()).unwrap(), []);
}

#[test]
fn many_readers_and_a_writer_do_not_stand_in_each_others_way() {
    let (_folder, store) = empty();
    let (_, number) = one_order(&store);
    std::thread::scope(|scope| {
        for _ in 0..8 {
            scope.spawn(|| {
                for _ in 0..20 {
                    // Within one reading nothing moves.
                    store
                        .read(|book| {
                            let before = book.recent(10_000)?.len();
                            let page = book.order_page(number)?;
                            assert_eq!(page.garments.len(), 1);
                            assert_eq!(book.recent(10_000)?.len(), before);
                            Ok(())
                        })
                        .unwrap();
                }
            });
        }
        for _ in 0..20 {
            one_order(&store);
        }
    });
    assert_eq!(
        store.read(|book| book.orders(&OrderFilter { limit: 100, ..OrderFilter::default() })).unwrap().rows.len(),
        21
    );
}

#[test]
fn a_form_that_is_sent_twice_is_done_once() {
    let (_folder, store) = empty();
    let (_, number) = one_order(&store);
    let order = store.read(|book| book.order_numbered(number)).unwrap().id;
    let send = |form: &str| {
        let deposit = payment(PaymentKind::Deposit, 4500);
        store.write_once(OWNER, NOW, "took a deposit", form, |book| book.take_payment(order, &deposit)).unwrap()
    };
    let Sent::Done(first) = send("a1") else { panic!("was not done") };
    match send("a1") {
        Sent::Before(action) => {
            assert_eq!(action.words, "took a deposit");
            assert_eq!((action.changes[0].noun.as_str(), action.changes[0].row), ("payment", first.get()));
        }
        Sent::Done(_) => panic!("was done twice"),
    }
    assert!(matches!(send("a2"), Sent::Done(_)));
    assert_eq!(store.read(|book| book.payments_of(order)).unwrap().len(), 2);
    // A form that failed was not done: it may be sent again.
    let failed = store.write_once(OWNER, NOW, "wrote", "a3", |book| book.add_client(&ClientFacts::named("")));
    assert!(matches!(failed, Err(StoreError::Refused { .. })));
    let again = store.write_once(OWNER, NOW, "wrote", "a3", |book| book.add_client(&ClientFacts::named("Ida")));
    assert!(matches!(again, Ok(Sent::Done(_))));
}
