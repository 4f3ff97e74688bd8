//! How the database carries out what a page asks: by index, never by walking a large table.

use std::cell::RefCell;
use std::collections::BTreeSet;

use chrono::NaiveDate;
use rusqlite::Connection;

use crate::shop::{
    AcceptedLay, BookText, ChargeFacts, ChargeKind, ClientFacts, ClientId, ClothFacts, ClothOf, CorrectionFacts,
    Currency, FittingFacts, FittingState, GarmentFacts, LayId, LengthFacts, LiningFacts, LiningKind, Money, OrderFacts,
    OrderId, PaymentFacts, PaymentKind, Reading, SetFacts, Source, Stage, StockFacts,
};

use crate::measure::Length;

use super::{ClientSearch, DataFolder, OWNER, OrderFilter, Store, StoreError, Writer};

thread_local! {
    static NOTED: RefCell<BTreeSet<String>> = const { RefCell::new(BTreeSet::new()) };
}

pub(super) fn note(sql: &str) {
    NOTED.with_borrow_mut(|noted| noted.insert(sql.to_string()));
}

/// What may be walked from end to end: tables of a few dozen rows, rows of one page
/// that were found before, and the short covering indices that a search by any part of
/// a word reads (20,000 orders: about 700 kB, 2 ms).
const MAY_BE_WALKED: [&str; 13] = [
    "SCAN listed",
    "SCAN person",
    "SCAN own_dimension",
    "SCAN style",
    "SCAN client USING COVERING INDEX client_find",
    "SCAN shop_order USING COVERING INDEX order_find",
    "SCAN o USING INDEX order_open", // the orders at hand, hundreds of them
    "SCAN o USING COVERING INDEX order_open",
    "SCAN settings",
    "SCAN cloth USING INDEX cloth_name", // the shelf: dozens
    "SCAN cloth_held",                   // what is held just now
    "SCAN s",                            // what is cut from one cloth of the shop, found by index
    "SCAN CONSTANT ROW",
];

/// Walked in the order of an index or of the ids, and left after one page of rows: no
/// row is passed over, because nothing narrows the list.
const LEFT_AFTER_A_PAGE: [(&str, &str); 6] = [
    ("SCAN client USING INDEX client_name", "WHERE forgotten_ms IS NULL ORDER BY name COLLATE NOCASE, id LIMIT"),
    // Walked to its end, but over the names alone: 5,000 clients in less than a millisecond.
    ("SCAN client USING INDEX client_name", "SELECT count(*) FROM client WHERE forgotten_ms IS NULL"),
    ("SCAN c USING INDEX client_name", "WHERE c.forgotten_ms IS NULL\n"),
    ("SCAN o", "WHERE 1 ORDER BY o.id DESC LIMIT"),
    // Nearly every order is collected.
    ("SCAN o", "g.stage = ?1 AND g.cancelled = 0) ORDER BY o.id DESC LIMIT"),
    ("SCAN c", "a.id = c.action_id ORDER BY c.id DESC LIMIT"),
];

fn day(text: &str) -> NaiveDate {
    text.parse().unwrap()
}

#[test]
fn no_page_walks_a_large_table() {
    let place = tempfile::tempdir().unwrap();
    let store = Store::open(&DataFolder::at(place.path())).unwrap();
    do_everything(&store);
    let noted = NOTED.with_borrow_mut(std::mem::take);
    assert!(noted.len() > 60, "only {} statements were noted", noted.len());
    let connection = Connection::open(store.folder().book()).unwrap();
    let mut walked = Vec::new();
    for sql in &noted {
        let mut plan = connection.prepare(&format!("EXPLAIN QUERY PLAN {sql}")).unwrap();
        let count = plan.parameter_count();
        let nulls = vec![rusqlite::types::Null; count];
        let lines: Vec<String> = plan
            .query_map(rusqlite::params_from_iter(nulls), |row| row.get("detail"))
            .unwrap()
            .map(Result::unwrap)
            .collect();
        for line in lines.iter().filter(|line| line.starts_with("SCAN")) {
            let paged = LEFT_AFTER_A_PAGE.iter().any(|(walk, order)| line == walk && sql.contains(order));
            if !paged && !MAY_BE_WALKED.contains(&line.as_str()) {
                walked.push(format!("{line}\n    {sql}"));
            }
        }
    }
    assert!(walked.is_empty(), "{}", walked.join("\n"));
}

/// Everything that is done with the shop's cloth, once.
fn stock(book: &Writer, client: ClientId, order: OrderId) -> Result<(), StoreError> {
    let linen = book.add_cloth(&StockFacts::named("linen"))?;
    book.change_cloth(linen, 1, &StockFacts { words: "sea green".into(), ..StockFacts::named("linen") })?;
    book.retire_cloth(linen, 2, true)?;
    let came = LengthFacts { day: day("2026-11-02"), washed: None, flaws: String::new(), place: String::new() };
    let bolt = book.add_length(linen, &came, Length::inches(200, 0), None)?;
    book.change_length(bolt, 1, &LengthFacts { place: "shelf".into(), ..came })?;
    book.measure_length(bolt, Length::inches(198, 0), day("2026-11-03"), "")?;
    book.take_cloth(bolt, Length::INCH, day("2026-11-03"), None, "swatches")?;
    let cloth = ClothFacts { stock: Some(linen), lengths: vec![Length::INCH], ..ClothFacts::UNKNOWN };
    let mut facts = GarmentFacts { cloth, ..GarmentFacts::of(client, "Skirt") };
    facts.linings.insert(LiningKind::Lining, LiningFacts::UNKNOWN);
    let (skirt, _) = book.add_garment(order, &facts)?;
    book.accept_lay(&AcceptedLay {
        id: LayId::new(0),
        cloth: ClothOf::Main,
        garments: vec![skirt],
        who: OWNER,
        at_ms: 0,
        width: Length::inches(45, 0),
        used: Length::inches(40, 0),
        need: Some(Length::inches(42, 0)),
        layout: "open".into(),
        folded: Length::ZERO,
        fold_at: Length::ZERO,
        seed: 1,
        evaluations: 1,
        placements: Vec::new(),
    })?;
    book.hold(skirt, ClothOf::Main, bolt)?;
    book.cut_held(skirt, ClothOf::Main, None, day("2026-11-04"))?;
    facts.linings.clear();
    book.change_garment(skirt, 1, &facts).or_else(|_| book.change_garment(skirt, 2, &facts))
}

/// Every page's reading and every kind of writing, once.
fn do_everything(store: &Store) {
    let euro = |minor| Money::new(minor, Currency::new("EUR").unwrap());
    let (client, number, order, set) = store
        .write(OWNER, 0, "did everything", |book| {
            let client = book.add_client(&ClientFacts::named("Maren Solberg"))?;
            let seen = book.client(client)?;
            book.change_client(client, seen.version, &ClientFacts { phone: "1".into(), ..seen.facts })?;
            let reading = Reading {
                dimension: "waist_girth".into(),
                length: crate::measure::Length::INCH,
                typed: "1".into(),
                number: 1,
                source: Source::Tape,
            };
            let set = book.add_set(&SetFacts {
                wearer: client,
                day: day("2026-11-01"),
                over: String::new(),
                source: Source::Tape,
                note: String::new(),
                figure: vec!["stooped".into()],
                readings: vec![reading],
                corrects: None,
                garment: None,
            })?;
            book.offer_book(&[BookText { key: "apron", label: "Apron", text: "" }], "1")?;
            let facts = OrderFacts {
                client,
                taken: day("2026-11-02"),
                promised: Some(day("2026-11-28")),
                event: String::new(),
                event_day: None,
                note: String::new(),
            };
            let (order, number) = book.add_order(&facts)?;
            book.change_order(order, 1, &OrderFacts { event: "wedding".into(), ..facts })?;
            let mut garment =
                GarmentFacts { set: Some(set), price: Some(euro(100)), ..GarmentFacts::of(client, "Apron") };
            garment.style = Some(book.style("apron")?.current.id);
            let (id, _) = book.add_garment(order, &garment)?;
            garment.choices.insert("fullness".into(), "2".into());
            let noted = book.add_correction(&CorrectionFacts {
                wearer: client,
                garment: Some(id),
                fitting: None,
                day: day("2026-11-05"),
                dimension: "waist_girth".into(),
                side: None,
                amount: crate::measure::Length::INCH,
                words: String::new(),
            })?;
            garment.corrections.insert(noted, true);
            book.change_garment(id, 1, &garment)?;
            book.end_correction(noted, day("2026-11-20"), "measured anew")?;
            book.move_garment(id, Stage::Booked, Stage::Cut, "")?;
            let money = PaymentFacts {
                kind: PaymentKind::Part,
                money: euro(10),
                day: day("2026-11-02"),
                method: String::new(),
                note: String::new(),
            };
            let paid = book.take_payment(order, &money)?;
            book.void_payment(paid, day("2026-11-02"), "slip")?;
            let line = ChargeFacts { kind: ChargeKind::Extra, garment: None, words: "lining".into(), money: euro(5) };
            let charge = book.add_charge(order, &line)?;
            book.remove_charge(charge, 1)?;
            book.add_fitting(&FittingFacts {
                order,
                garment: Some(id),
                day: day("2026-11-21"),
                time: None,
                minutes: 30,
                state: FittingState::Arranged,
                note: String::new(),
            })?;
            stock(book, client, order)?;
            book.set_settings(&crate::shop::Settings { opened: true, ..book.settings()? })?;
            Ok((client, number, order, set))
        })
        .unwrap();
    store
        .read(|book| {
            let cloth = book.cloths(true)?.remove(0).cloth.id;
            book.shelf()?;
            book.cloth(cloth)?;
            book.cloth_lengths(cloth, true)?;
            book.cloth_moves(cloth, 50)?;
            book.to_cut(500)?;
            book.to_cut_from(cloth)?;
            book.people()?;
            book.own_dimensions()?;
            book.sets_of(client)?;
            book.body(client, Some(set))?;
            book.body(client, None)?;
            book.fitting_drafts_of(client)?;
            book.fitting_draft("a")?;
            book.order_page(number)?;
            book.order_history(order, 50)?;
            book.history("client", client.get(), 50)?;
            book.recent(50)?;
            book.done_by_form("a")?;
            book.work(day("2026-11-20"), 500)?;
            book.fittings(day("2026-11-20"), day("2026-11-27"))?;
            book.style_versions("apron")?;
            book.version_in_use(book.style("apron")?.id)?;
            book.bodies(50, 0)?;
            book.count_clients()?;
            for words in ["", "maren", "maren 77"] {
                book.clients(&ClientSearch { words: words.into(), limit: 50, offset: 0 })?;
            }
            let all = OrderFilter { limit: 50, ..OrderFilter::default() };
            let (from, to) = (Some(day("2026-11-23")), Some(day("2026-11-29")));
            for filter in [
                all.clone(),
                OrderFilter { open: true, ..all.clone() },
                OrderFilter { stage: Some(Stage::Cut), ..all.clone() },
                OrderFilter { stage: Some(Stage::Collected), ..all.clone() },
                OrderFilter { client: Some(client), ..all.clone() },
                OrderFilter { promised_from: from, promised_to: to, ..all.clone() },
                OrderFilter { words: "maren 77".into(), ..all.clone() },
                OrderFilter {
                    words: "m".into(),
                    stage: Some(Stage::Cut),
                    open: true,
                    promised_from: from,
                    promised_to: to,
                    ..all
                },
            ] {
                book.orders(&filter)?;
            }
            Ok(())
        })
        .unwrap();
}
