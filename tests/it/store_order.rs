//! Orders, their garments, stages, money and lists in the book.

use bodkin::measure::{BodySide, Length, Showing};
use bodkin::shop::{
    ChargeFacts, ChargeKind, ClientFacts, ClothFacts, Currency, CutCorrection, CutId, CutRecord, FittingFacts,
    FittingState, GarmentFacts, Money, OrderFacts, PaperFacts, PaperKind, PaymentFacts, PaymentKind, Stage, Standing,
    WaitHours, Wearer,
};
use bodkin::store::{ClientSearch, OWNER, OrderFilter, StoreError};

use crate::store::{NOW, day, empty, euro, one_order, order_for, payment, refused, write};

#[test]
fn order_numbers_and_letters_run_without_gaps_even_after_a_refusal() {
    let (_folder, store) = empty();
    let (client, _) = one_order(&store);
    let late = OrderFacts { promised: Some(day("2026-11-01")), ..order_for(client) };
    let words = refused(&store, |book| book.add_order(&late));
    assert_eq!(words, "The order is promised for 2026-11-01, before it was taken on 2026-11-02. Promise a later day.");
    // An order that fails after its number was given out takes the number back with it.
    refused(&store, |book| {
        let (order, number) = book.add_order(&order_for(client))?;
        assert_eq!(number.count, 2);
        book.add_garment(order, &GarmentFacts::of(client, " "))
    });
    let next_year = OrderFacts { taken: day("2027-01-04"), promised: None, ..order_for(client) };
    let numbers = write(&store, "took orders", |book| {
        let (order, second) = book.add_order(&order_for(client))?;
        let letters = (0..28).map(|_| book.add_garment(order, &GarmentFacts::of(client, "Apron")).map(|made| made.1));
        let letters: Vec<String> =
            letters.map(|letter| letter.map(|letter| letter.to_string())).collect::<Result<_, _>>()?;
        assert_eq!((letters[0].as_str(), letters[25].as_str(), letters[27].as_str()), ("A", "Z", "AB"));
        Ok([second, book.add_order(&next_year)?.1])
    });
    assert_eq!(numbers.map(|number| number.to_string()), ["2026-0002", "2027-0001"]);
    assert_eq!(store.read(|book| book.check()).unwrap(), []);
}

#[test]
fn stages_go_forward_freely_and_back_with_a_reason() {
    let (_folder, store) = empty();
    let (_, number) = one_order(&store);
    let page = store.read(|book| book.order_page(number)).unwrap();
    let (order, garment) = (page.order.id, page.garments[0].garment.id);
    write(&store, "cut", |book| book.move_garment(garment, Stage::Booked, Stage::Cut, ""));
    // A second tap on the same button.
    let again = store.write(OWNER, NOW, "cut", |book| book.move_garment(garment, Stage::Booked, Stage::Cut, ""));
    assert!(matches!(again, Err(StoreError::Stale { what: "garment", .. })));
    let words = refused(&store, |book| book.move_garment(garment, Stage::Cut, Stage::Booked, " "));
    assert_eq!(words, "Why does Wrap skirt go back from cut to booked? Write a word or two for the history.");
    write(&store, "moved back", |book| book.move_garment(garment, Stage::Cut, Stage::Booked, "wrong cloth"));
    write(&store, "held", |book| book.set_standing(order, 1, Standing::OnHold, "waits for her cloth"));
    let words = refused(&store, |book| book.move_garment(garment, Stage::Booked, Stage::ClothIn, ""));
    assert!(words.contains("on hold (waits for her cloth)"), "{words}");
    write(&store, "cancelled", |book| book.set_standing(order, 2, Standing::Cancelled, "moved away"));
    let words = refused(&store, |book| book.move_garment(garment, Stage::Booked, Stage::ClothIn, ""));
    assert!(words.contains("is cancelled"), "{words}");
    let moves = store.read(|book| book.moves_of(garment)).unwrap();
    let path: Vec<_> = moves.iter().map(|step| (step.from, step.to, step.reason.as_str())).collect();
    assert_eq!(
        path,
        [
            (None, Stage::Booked, ""),
            (Some(Stage::Booked), Stage::Cut, ""),
            (Some(Stage::Cut), Stage::Booked, "wrong cloth")
        ]
    );
    // A cancelled order owes nothing for its garments and is no longer open.
    let page = store.read(|book| book.order_page(number)).unwrap();
    assert_eq!(page.account.due, euro(0));
    assert!(store.read(|book| book.work(day("2026-11-20"), 10)).unwrap().is_empty());
    assert_eq!(store.read(|book| book.check()).unwrap(), []);
}

#[test]
fn money_adds_up_over_extras_discounts_voids_and_refunds() {
    let (_folder, store) = empty();
    let (_, number) = one_order(&store);
    let order = store.read(|book| book.order_numbered(number)).unwrap().id;
    let charge =
        |kind, words: &str, minor| ChargeFacts { kind, garment: None, words: words.into(), money: euro(minor) };
    let extra = write(&store, "charged", |book| {
        book.add_charge(order, &charge(ChargeKind::Discount, "an old client", 500))?;
        book.add_charge(order, &charge(ChargeKind::Tax, "tax", 850))?;
        book.add_charge(order, &charge(ChargeKind::Extra, "lining", 1200))
    });
    let wrong = write(&store, "paid", |book| book.take_payment(order, &payment(PaymentKind::Deposit, 45_000)));
    write(&store, "paid", |book| book.take_payment(order, &payment(PaymentKind::Deposit, 4500)));
    let void = write(&store, "voided", |book| book.void_payment(wrong, day("2026-11-03"), "a nought too many"));
    assert!(refused(&store, |book| book.void_payment(wrong, day("2026-11-03"), "twice")).contains("void already"));
    assert!(refused(&store, |book| book.void_payment(void, day("2026-11-03"), "a void")).contains("void already"));
    let account = store.read(|book| book.account(order)).unwrap();
    assert_eq!((account.due, account.paid, account.deposit), (euro(10_550), euro(4500), euro(4500)));
    assert_eq!(account.balance(), euro(6050));
    assert_eq!(
        refused(&store, |book| book.take_payment(order, &payment(PaymentKind::Refund, 4600))),
        "46.00 EUR cannot be given back: 45.00 EUR was paid. Write that much or less."
    );
    write(&store, "gave back", |book| book.take_payment(order, &payment(PaymentKind::Refund, 1000)));
    write(&store, "took off", |book| book.remove_charge(extra, 1));
    let account = store.read(|book| book.account(order)).unwrap();
    assert_eq!((account.due, account.paid), (euro(9350), euro(3500)));
    let payments = store.read(|book| book.payments_of(order)).unwrap();
    assert_eq!(payments.iter().map(|paid| paid.counts()).sum::<i64>(), account.paid.minor());
    assert_eq!(payments[0].voided_by, Some(void));
    // The deposit cannot be voided any more: more would have been given back than was paid.
    assert!(refused(&store, |book| book.void_payment(payments[1].id, day("2026-11-03"), "slip")).contains("35.00 EUR"));
    for bad in [payment(PaymentKind::Part, 0), payment(PaymentKind::Part, -5), payment(PaymentKind::Void, 5)] {
        refused(&store, |book| book.take_payment(order, &bad));
    }
    let dollars = Money::new(100, Currency::new("USD").unwrap());
    let foreign = PaymentFacts { money: dollars, ..payment(PaymentKind::Part, 1) };
    assert!(refused(&store, |book| book.take_payment(order, &foreign)).contains("currency of this shop"));
    let mut settings = store.read(|book| book.settings()).unwrap();
    settings.currency = dollars.currency();
    settings.hour_rate = dollars;
    assert!(refused(&store, |book| book.set_settings(&settings)).contains("its currency stays"));
    assert_eq!(store.read(|book| book.check()).unwrap(), []);
}

#[test]
fn orders_are_listed_by_stage_client_week_and_words() {
    let (_folder, store) = empty();
    let (mother, _) = one_order(&store);
    let (child, second, garment) = write(&store, "took an order", |book| {
        let child = book.add_client(&ClientFacts { wearer: Wearer::Child, ..ClientFacts::named("Ida Solberg") })?;
        let facts =
            OrderFacts { event: "First day at school".into(), promised: Some(day("2026-12-05")), ..order_for(mother) };
        let (order, number) = book.add_order(&facts)?;
        let (garment, _) = book.add_garment(order, &GarmentFacts::of(child, "Frock"))?;
        Ok((child, number, garment))
    });
    write(&store, "cut", |book| book.move_garment(garment, Stage::Booked, Stage::Cut, ""));
    let listed = |filter: OrderFilter| -> Vec<String> {
        let filter = OrderFilter { limit: 50, ..filter };
        store.read(|book| book.orders(&filter)).unwrap().rows.iter().map(|row| row.order.number.to_string()).collect()
    };
    let all = OrderFilter::default();
    assert_eq!(listed(all.clone()), ["2026-0002", "2026-0001"]);
    assert_eq!(listed(OrderFilter { open: true, ..all.clone() }), ["2026-0001", "2026-0002"]);
    assert_eq!(listed(OrderFilter { stage: Some(Stage::Cut), ..all.clone() }), ["2026-0002"]);
    assert_eq!(listed(OrderFilter { client: Some(child), ..all.clone() }), ["2026-0002"]);
    assert_eq!(listed(OrderFilter { client: Some(mother), ..all.clone() }).len(), 2);
    let week =
        OrderFilter { promised_from: Some(day("2026-11-23")), promised_to: Some(day("2026-11-29")), ..all.clone() };
    assert_eq!(listed(week), ["2026-0001"]);
    for (words, expected) in [
        ("school", 1),
        ("2026-0002", 1),
        ("maren", 2),
        ("MAREN school", 1),
        ("ida", 1),
        ("frock", 1),
        ("skirt", 1),
        ("nobody", 0),
        ("2026", 2),
    ] {
        assert_eq!(listed(OrderFilter { words: words.into(), ..all.clone() }).len(), expected, "{words}");
    }
    let work = store.read(|book| book.work(day("2026-11-20"), 10)).unwrap();
    assert_eq!(work.iter().map(|row| row.number).collect::<Vec<_>>()[1], second);
    assert_eq!((work[1].wearer_name.as_str(), work[1].client_name.as_str()), ("Ida Solberg", "Maren Solberg"));
    let row =
        &store.read(|book| book.clients(&ClientSearch { words: "maren".into(), limit: 9, offset: 0 })).unwrap().rows[0];
    assert_eq!((row.open_orders, row.balance, row.last_measured), (2, euro(9000), None));
}

#[test]
fn fittings_are_listed_by_day_and_lead_the_work() {
    let (_folder, store) = empty();
    let (_, number) = one_order(&store);
    let page = store.read(|book| book.order_page(number)).unwrap();
    let fitting = FittingFacts {
        order: page.order.id,
        garment: Some(page.garments[0].garment.id),
        day: day("2026-11-21"),
        time: chrono::NaiveTime::from_hms_opt(14, 30, 0),
        minutes: 30,
        state: FittingState::Arranged,
        note: String::new(),
    };
    let id = write(&store, "arranged", |book| {
        book.add_fitting(&FittingFacts { garment: None, time: None, ..fitting.clone() })?;
        book.add_fitting(&fitting)
    });
    let of_day = |on: &str| store.read(|book| book.fittings(day(on), day(on))).unwrap();
    let rows = of_day("2026-11-21");
    assert_eq!(
        rows.iter().map(|row| (row.fitting.facts.time, row.letter.is_some())).collect::<Vec<_>>(),
        [(fitting.time, true), (None, false)]
    );
    assert_eq!((rows[0].what.as_str(), rows[1].what.as_str()), ("Wrap skirt", "Wrap skirt"));
    assert_eq!(store.read(|book| book.work(day("2026-11-20"), 9)).unwrap()[0].next_fitting, Some(day("2026-11-21")));
    // Held ones are counted: this garment's, and those of the whole order.
    let held = |store: &bodkin::store::Store| store.read(|book| book.work(day("2026-11-20"), 9)).unwrap()[0].held;
    assert_eq!(held(&store), 0);
    let came = FittingFacts { state: FittingState::Held, ..fitting.clone() };
    write(&store, "came", |book| book.change_fitting(id, 1, &came));
    write(&store, "came again", |book| book.add_fitting(&FittingFacts { garment: None, ..came.clone() }));
    assert_eq!(held(&store), 2);
    let missed = FittingFacts { state: FittingState::Missed, ..fitting };
    write(&store, "missed", |book| book.change_fitting(id, 2, &missed));
    assert_eq!(held(&store), 1);
    assert_eq!(of_day("2026-11-21")[0].fitting.facts.state, FittingState::Missed);
    assert!(of_day("2026-11-22").is_empty());
}

#[test]
fn what_was_cut_laid_quoted_and_printed_comes_back_as_it_was() {
    let (_folder, store) = empty();
    let (client, number) = one_order(&store);
    let page = store.read(|book| book.order_page(number)).unwrap();
    let garment = page.garments[0].garment.id;
    let record = CutRecord {
        figure: vec!["stooped".into()],
        id: CutId::new(0),
        garment,
        who: OWNER,
        at_ms: NOW,
        style_text: "format = 1".into(),
        body: [("waist_girth".to_string(), Length::inches(31, 2))].into(),
        corrections: vec![
            CutCorrection {
                dimension: "waist_girth".into(),
                side: None,
                amount: Length::inches(0, 4),
                words: "fitting 3 May 2026".into(),
            },
            CutCorrection {
                dimension: "waist_to_hip".into(),
                side: Some(BodySide::Right),
                amount: Length::inches(0, -1),
                words: "noted 4 May 2026".into(),
            },
        ],
        choices: [("fullness".to_string(), "3".to_string())].into(),
        showing: Showing::SIXTEENTHS,
        dimensions: vec![("waist_line".into(), "Waist line".into(), "31 1/4 ÷ 4 = 7 13/16".into())],
        outlines: "{}".into(),
        engine: "1".into(),
    };
    let cut = write(&store, "cut", |book| book.add_cut(&record));
    let paper = |kind| PaperFacts {
        kind,
        order: page.order.id,
        day: day("2026-11-02"),
        money: euro(4500),
        text: "Paid".into(),
    };
    let numbers = write(&store, "printed", |book| {
        let first = book.issue_paper(&paper(PaperKind::Receipt))?.1;
        Ok([first, book.issue_paper(&paper(PaperKind::Receipt))?.1, book.issue_paper(&paper(PaperKind::Quote))?.1])
    });
    assert_eq!(numbers, [1, 2, 1]);
    let mut cloth =
        ClothFacts { words: "blue wax print".into(), brought: true, washed: Some(true), ..ClothFacts::UNKNOWN };
    cloth.price = Some(euro(1250));
    cloth.width = Some(Length::inches(45, 0));
    let mut facts = GarmentFacts { cloth, ..page.garments[0].garment.facts.clone() };
    facts.cloth.comes = Some(day("2026-11-09"));
    facts.waits = WaitHours { cut: 1, tacked: 24, sewn: 48 };
    facts.finished.insert("waist_to_hem".into(), Length::inches(25, 0));
    facts.allowances.insert("hem".into(), Length::inches(2, 0));
    write(&store, "changed", |book| book.change_garment(garment, 1, &facts));
    let page = store.read(|book| book.order_page(number)).unwrap();
    assert_eq!(page.garments[0].cut, Some(CutRecord { id: cut, ..record }));
    assert_eq!(page.garments[0].garment.facts, facts);
    let row = store.read(|book| book.work(day("2026-11-02"), 9)).unwrap().remove(0);
    assert_eq!((row.waits, row.cloth_comes), (facts.waits, facts.cloth.comes));
    assert_eq!(page.papers.len(), 3);
    assert_eq!(page.client.id, client);
}

#[test]
fn an_order_is_open_until_its_last_garment_is_handed_over_or_called_off() {
    let (_folder, store) = empty();
    let (client, number) = one_order(&store);
    let skirt = store.read(|book| book.order_page(number)).unwrap();
    let (order, skirt) = (skirt.order.id, skirt.garments[0].garment.id);
    let apron = write(&store, "added", |book| book.add_garment(order, &GarmentFacts::of(client, "Apron"))).0;
    let open = |store: &bodkin::store::Store| {
        let filter = OrderFilter { open: true, limit: 9, ..OrderFilter::default() };
        store.read(|book| book.orders(&filter)).unwrap().rows.len()
    };
    write(&store, "handed over", |book| book.move_garment(skirt, Stage::Booked, Stage::Collected, ""));
    assert_eq!(open(&store), 1);
    write(&store, "called off", |book| book.cancel_garment(apron, 1, true));
    assert_eq!(open(&store), 0);
    assert!(refused(&store, |book| book.cancel_garment(skirt, 1, true)).contains("was collected"));
    write(&store, "took up again", |book| book.cancel_garment(apron, 2, false));
    assert_eq!(open(&store), 1);
    write(&store, "cancelled", |book| book.set_standing(order, 1, Standing::Cancelled, "moved away"));
    assert_eq!(open(&store), 0);
    assert!(
        refused(&store, |book| book.add_garment(order, &GarmentFacts::of(client, "Apron"))).contains("is cancelled")
    );
}
