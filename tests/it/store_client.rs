//! Clients, their measures and bodies in the book; searching and forgetting.

use bodkin::measure::Length;
use bodkin::shop::{ClientFacts, FittingDraft, GarmentFacts, OrderFacts, PaymentFacts, PaymentKind, Stage};
use bodkin::store::{ClientSearch, OWNER, StoreError};

use crate::store::{NOW, day, empty, euro, order_for, payment, refused, set_of, write};

#[test]
fn a_body_is_the_newest_value_of_each_dimension_up_to_the_pinned_set() {
    let (_folder, store) = empty();
    let (spring, autumn, corrected, wearer) = write(&store, "measured", |book| {
        let wearer = book.add_client(&ClientFacts::named("Maren Solberg"))?;
        let mut first = set_of(wearer, "2026-03-01", &[("waist_girth", 240), ("hip_girth", 312), ("waist_girth", 244)]);
        first.readings[2].number = 2;
        first.figure = vec!["low shoulder left".into()];
        let spring = book.add_set(&first)?;
        let autumn = book.add_set(&set_of(wearer, "2026-10-01", &[("waist_girth", 250)]))?;
        let mut slip = set_of(wearer, "2026-10-01", &[("hip_girth", 320)]);
        slip.corrects = Some(autumn);
        slip.note = "waist was taken over a coat".into();
        Ok((spring, autumn, book.add_set(&slip)?, wearer))
    });
    let body = |up_to| store.read(|book| book.body(wearer, up_to)).unwrap();
    let eighths = |up_to, key: &str| body(up_to).length(key).map(|length| length.nm() / Length::inches(0, 1).nm());
    // The second reading of the waist counts.
    assert_eq!(eighths(Some(spring), "waist_girth"), Some(244));
    assert_eq!(eighths(Some(autumn), "waist_girth"), Some(250));
    assert_eq!(eighths(Some(autumn), "hip_girth"), Some(312));
    assert_eq!(body(Some(autumn)).values["hip_girth"].day, day("2026-03-01"));
    assert_eq!(body(Some(spring)).figure, ["low shoulder left"]);
    // What was corrected gives nothing once the correction counts.
    assert_eq!(eighths(Some(corrected), "waist_girth"), Some(244));
    assert_eq!(eighths(None, "hip_girth"), Some(320));
    assert_eq!(store.read(|book| book.sets_of(wearer)).unwrap().len(), 3);
    assert_eq!(store.read(|book| book.newest_set(wearer)).unwrap(), Some(corrected));
    let other = write(&store, "wrote", |book| book.add_client(&ClientFacts::named("Ida")));
    assert!(matches!(store.read(|book| book.body(other, Some(spring))), Err(StoreError::Missing { .. })));
    let pinned = GarmentFacts { set: Some(spring), ..GarmentFacts::of(other, "Apron") };
    let words = refused(&store, |book| {
        let (order, _) = book.add_order(&order_for(other))?;
        book.add_garment(order, &pinned)
    });
    assert_eq!(words, "These measures are of somebody else. Choose a set of the wearer.");
    assert!(refused(&store, |book| book.add_set(&set_of(other, "2026-10-01", &[]))).contains("Nothing was measured"));
}

#[test]
fn a_fitting_that_is_sent_twice_is_kept_once() {
    let (_folder, store) = empty();
    let wearer = write(&store, "wrote", |book| book.add_client(&ClientFacts::named("Maren Solberg")));
    let mut draft = FittingDraft {
        key: "7f3a-11".into(),
        wearer,
        garment: None,
        who: OWNER,
        fields: [("waist_girth".to_string(), "31 1/".to_string())].into(),
        at_ms: NOW,
    };
    write(&store, "typed", |book| book.save_fitting_draft(&draft));
    draft.fields.insert("waist_girth".into(), "31 1/4".into());
    write(&store, "typed", |book| book.save_fitting_draft(&draft));
    assert_eq!(store.read(|book| book.fitting_draft("7f3a-11")).unwrap(), Some(draft.clone()));
    assert_eq!(store.read(|book| book.fitting_drafts_of(wearer)).unwrap().len(), 1);
    // Typing is no change of the book.
    assert_eq!(store.read(|book| book.recent(100)).unwrap().len(), 1);
    let set = set_of(wearer, "2026-11-01", &[("waist_girth", 250)]);
    let first = write(&store, "measured", |book| book.finish_fitting("7f3a-11", &set));
    let second = write(&store, "measured", |book| book.finish_fitting("7f3a-11", &set));
    write(&store, "typed", |book| book.save_fitting_draft(&draft));
    assert_eq!(first, second);
    assert_eq!(store.read(|book| book.fitting_draft("7f3a-11")).unwrap(), None);
    assert_eq!(store.read(|book| book.sets_of(wearer)).unwrap().len(), 1);
    draft.key = "../../etc".into();
    refused(&store, |book| book.save_fitting_draft(&draft));
}

#[test]
fn clients_are_found_by_any_part_in_any_script() {
    let (_folder, store) = empty();
    write(&store, "wrote clients", |book| {
        for (name, known_as, phone) in [
            ("Zoë O'Neill", "", "+44 20 7946 0958"),
            ("Ольга Климова", "", ""),
            ("王小明", "Ming", ""),
            ("فاطمة الزهراء", "", "0612345678"),
            ("Ngọc Trần", "", ""),
            ("maren solberg", "", ""),
            ("100% Cotton_Stand", "", ""),
        ] {
            let facts = ClientFacts { known_as: known_as.into(), phone: phone.into(), ..ClientFacts::named(name) };
            book.add_client(&facts)?;
        }
        Ok(())
    });
    let found = |words: &str| -> Vec<String> {
        let search = ClientSearch { words: words.into(), limit: 50, offset: 0 };
        store.read(|book| book.clients(&search)).unwrap().rows.into_iter().map(|row| row.client.facts.name).collect()
    };
    assert_eq!(found("zoë"), ["Zoë O'Neill"]);
    assert_eq!(found("7946"), ["Zoë O'Neill"]);
    assert_eq!(found("(020) 7946"), ["Zoë O'Neill"]);
    assert_eq!(found("20 7946-0958"), ["Zoë O'Neill"]);
    assert_eq!(found("0612"), ["فاطمة الزهراء"]);
    assert_eq!(found("климова ольга"), ["Ольга Климова"]);
    assert_eq!(found("小明"), ["王小明"]);
    assert_eq!(found("ming"), ["王小明"]);
    assert_eq!(found("الزهراء"), ["فاطمة الزهراء"]);
    assert_eq!(found("NGỌC"), ["Ngọc Trần"]);
    assert_eq!(found("%"), ["100% Cotton_Stand"]);
    assert_eq!(found("_"), ["100% Cotton_Stand"]);
    assert_eq!(found("' OR 1=1 --"), Vec::<String>::new());
    assert_eq!(found("").len(), 7);
    // By name, small and capital letters together.
    assert_eq!(found("")[1], "maren solberg");
    let page = |offset| {
        let listed =
            store.read(|book| book.clients(&ClientSearch { limit: 3, offset, ..ClientSearch::default() })).unwrap();
        (listed.rows.len(), listed.more)
    };
    assert_eq!((page(0), page(3), page(6)), ((3, true), (3, true), (1, false)));
}

#[test]
fn a_forgotten_client_leaves_numbers_and_no_words() {
    let (folder, store) = empty();
    let secret = "Quintessa Vane";
    let (client, order, number) = write(&store, "took an order", |book| {
        let facts = ClientFacts { fit_notes: "Quintessa stoops".into(), ..ClientFacts::named(secret) };
        let client = book.add_client(&facts)?;
        let mut measured = set_of(client, "2026-11-01", &[("waist_girth", 253)]);
        measured.figure = vec!["Quintessa is stooped".into()];
        let set = book.add_set(&measured)?;
        let (order, number) =
            book.add_order(&OrderFacts { event: "wedding of Quintessa".into(), ..order_for(client) })?;
        let mut skirt =
            GarmentFacts { set: Some(set), price: Some(euro(9000)), ..GarmentFacts::of(client, "Wrap skirt") };
        skirt.agreed.neck = "as Quintessa drew it".into();
        book.add_garment(order, &skirt)?;
        Ok((client, order, number))
    });
    let words = match store.forget(OWNER, NOW, client) {
        Err(StoreError::Refused { words }) => words,
        other => panic!("{other:?}"),
    };
    assert!(words.contains("Order 2026-0001") && words.contains("open or not settled"), "{words}");
    let garment = store.read(|book| book.order_page(number)).unwrap().garments[0].garment.id;
    write(&store, "handed over", |book| book.move_garment(garment, Stage::Booked, Stage::Collected, ""));
    let paid = PaymentFacts { note: "from Quintessa's aunt".into(), ..payment(PaymentKind::Balance, 9000) };
    write(&store, "paid", |book| book.take_payment(order, &paid));
    store.forget(OWNER, NOW + 7, client).unwrap();
    let search = ClientSearch { limit: 10, ..ClientSearch::default() };
    assert!(store.read(|book| book.clients(&search)).unwrap().rows.is_empty());
    assert_eq!(store.read(|book| book.client(client)).unwrap().forgotten_ms, Some(NOW + 7));
    assert!(store.read(|book| book.body(client, None)).unwrap().values.is_empty());
    let account = store.read(|book| book.account(order)).unwrap();
    assert_eq!((account.due, account.paid), (euro(9000), euro(9000)));
    assert!(refused(&store, |book| book.add_order(&order_for(client))).contains("forgotten"));
    assert_eq!(store.read(|book| book.check()).unwrap(), []);
    // Not a byte of it is left, neither in the book nor in the log beside it.
    for file in
        std::fs::read_dir(folder.path()).unwrap().map(|entry| entry.unwrap().path()).filter(|path| path.is_file())
    {
        let bytes = std::fs::read(&file).unwrap();
        let found = bytes.windows(9).any(|window| window.eq_ignore_ascii_case(b"Quintessa"));
        assert!(!found, "{} still holds the name", file.display());
    }
}

#[test]
fn a_text_longer_than_anybody_writes_is_refused() {
    let (_folder, store) = empty();
    let long = "x".repeat(2_000_000);
    let words =
        refused(&store, |book| book.add_client(&ClientFacts { note: long.clone(), ..ClientFacts::named("Ida") }));
    assert_eq!(words, "The field “note” has 2000000 characters; at most 20000 are kept. Shorten it.");
    let words = refused(&store, |book| book.add_client(&ClientFacts::named(&long)));
    assert!(words.starts_with("The field “name” has 2000000 characters"), "{words}");
    let id = write(&store, "wrote", |book| book.add_client(&ClientFacts::named("Ida")));
    let notes = ClientFacts { fit_notes: long, ..ClientFacts::named("Ida") };
    assert!(refused(&store, |book| book.change_client(id, 1, &notes)).starts_with("The field “fit notes” has"));
}
