//! Standing corrections in the book: noted, taken by garments, ended, forgotten.

use std::collections::BTreeMap;

use bodkin::measure::{BodySide, Length};
use bodkin::shop::{
    ClientFacts, ClientId, CorrectionFacts, CorrectionId, FittingFacts, FittingState, GarmentFacts, GarmentId, OrderId,
    PaymentKind, Stage,
};
use bodkin::store::{OWNER, Store, StoreError};

use crate::store::{NOW, day, empty, euro, one_order, order_for, payment, refused, write};

fn seen(wearer: ClientId, garment: Option<GarmentId>, dimension: &str, eighths: i64) -> CorrectionFacts {
    CorrectionFacts {
        wearer,
        garment,
        fitting: None,
        day: day("2026-11-05"),
        dimension: dimension.into(),
        side: None,
        amount: Length::inches(0, eighths),
        words: String::new(),
    }
}

/// A book with a client, an order and its garment.
fn fitted() -> (tempfile::TempDir, Store, ClientId, OrderId, GarmentId) {
    let (folder, store) = empty();
    let (client, number) = one_order(&store);
    let page = store.read(|book| book.order_page(number)).unwrap();
    (folder, store, client, page.order.id, page.garments[0].garment.id)
}

#[test]
fn what_was_seen_at_a_fitting_comes_back_with_the_garment_it_was_seen_on() {
    let (_folder, store, client, order, garment) = fitted();
    let fitting = write(&store, "arranged", |book| {
        book.add_fitting(&FittingFacts {
            order,
            garment: Some(garment),
            day: day("2026-11-05"),
            time: None,
            minutes: 30,
            state: FittingState::Held,
            note: String::new(),
        })
    });
    let hip = CorrectionFacts {
        fitting: Some(fitting),
        side: Some(BodySide::Left),
        words: "over the higher hip".into(),
        ..seen(client, Some(garment), "hip_girth", 3)
    };
    let (first, second) = write(&store, "noted", |book| {
        Ok((book.add_correction(&seen(client, None, "back_waist_length", -2))?, book.add_correction(&hip)?))
    });
    let all = store.read(|book| book.corrections_of(client)).unwrap();
    assert_eq!(all.iter().map(|one| one.id).collect::<Vec<_>>(), [first, second]);
    assert_eq!(all[1].facts, hip);
    let on = all[1].seen_on.as_ref().unwrap();
    assert_eq!(
        (on.number.to_string(), on.letter.to_string(), on.what.as_str()),
        ("2026-0001".into(), "A".into(), "Wrap skirt")
    );
    assert_eq!((all[0].origin(), all[1].origin()), ("noted 5 Nov 2026".into(), "fitting 5 Nov 2026".into()));
    assert_eq!(store.read(|book| book.body(client, None)).unwrap().corrections, all);
    // What was seen on a garment stands in the history of its order, what was not in none.
    let told = store.read(|book| book.order_history(order, 10)).unwrap();
    assert_eq!(told[0].changes.iter().filter(|change| change.noun == "correction").count(), 1);
    assert_eq!(store.read(|book| book.check()).unwrap(), []);
}

#[test]
fn what_corrects_nothing_too_much_or_somebody_else_is_refused() {
    let (_folder, store, client, _, garment) = fitted();
    let other = write(&store, "wrote", |book| book.add_client(&ClientFacts::named("Ida")));
    let said = |facts: &CorrectionFacts| refused(&store, |book| book.add_correction(facts));
    assert!(said(&seen(client, None, "waist_girth", 0)).contains("by nothing"));
    assert_eq!(
        said(&seen(client, None, "waist_girth", 33)),
        "Waist girth is off by 4 1/8 in; a correction is at most 4 in. Measure again instead."
    );
    assert!(said(&seen(client, None, "waist_to_hem", 2)).contains("Change the order"));
    assert!(said(&seen(other, Some(garment), "waist_girth", 2)).contains("Somebody else wears this garment"));
    let fitting = write(&store, "arranged", |book| {
        let (order, _) = book.add_order(&order_for(other))?;
        book.add_fitting(&FittingFacts {
            order,
            garment: None,
            day: day("2026-11-05"),
            time: None,
            minutes: 30,
            state: FittingState::Held,
            note: String::new(),
        })
    });
    let elsewhere = CorrectionFacts { fitting: Some(fitting), ..seen(client, Some(garment), "waist_girth", 2) };
    assert!(said(&elsewhere).contains("of another order"));
    // A garment takes corrections of its wearer alone.
    let ida = write(&store, "noted", |book| book.add_correction(&seen(other, None, "waist_girth", 2)));
    let known = store.read(|book| book.garment(garment)).unwrap();
    let taken = GarmentFacts { corrections: BTreeMap::from([(ida, true)]), ..known.facts };
    let words = refused(&store, |book| book.change_garment(garment, known.version, &taken));
    assert_eq!(words, "This standing correction is of somebody else. Choose one of the wearer.");
}

#[test]
fn a_garment_keeps_what_it_took_whatever_is_noted_or_ended_later() {
    let (_folder, store, client, order, garment) = fitted();
    let waist = write(&store, "noted", |book| book.add_correction(&seen(client, Some(garment), "waist_girth", 4)));
    // The first garment was made before: nothing of it moves.
    assert!(store.read(|book| book.garment(garment)).unwrap().facts.corrections.is_empty());
    let (second, _) = write(&store, "took another", |book| {
        let corrections = book.body(client, None)?.in_force();
        book.add_garment(order, &GarmentFacts { corrections, ..GarmentFacts::of(client, "Gored skirt") })
    });
    let taken = |garment| store.read(|book| book.garment(garment)).unwrap().facts.corrections;
    assert_eq!(taken(second), BTreeMap::from([(waist, true)]));
    let hip = write(&store, "noted", |book| book.add_correction(&seen(client, Some(second), "hip_girth", -2)));
    write(&store, "ended", |book| book.end_correction(waist, day("2026-11-20"), "measured anew"));
    assert_eq!(taken(second), BTreeMap::from([(waist, true)]));
    let body = store.read(|book| book.body(client, None)).unwrap();
    assert_eq!(body.in_force(), BTreeMap::from([(hip, true)]));
    let end = body.corrections[0].ended.clone().unwrap();
    assert_eq!((end.day, end.reason.as_str()), (day("2026-11-20"), "measured anew"));
    // It ends once, and not before it was seen.
    assert!(refused(&store, |book| book.end_correction(waist, day("2026-11-21"), "")).contains("ended on 2026-11-20"));
    assert!(refused(&store, |book| book.end_correction(hip, day("2026-11-04"), "")).contains("later day"));
    let missing =
        store.write(OWNER, NOW, "ended", |book| book.end_correction(CorrectionId::new(99), day("2026-11-21"), ""));
    assert!(matches!(missing, Err(StoreError::Missing { .. })));
    // Taken, left out, and told in the history of the order.
    let known = store.read(|book| book.garment(second)).unwrap();
    let changed = GarmentFacts { corrections: BTreeMap::from([(waist, false), (hip, true)]), ..known.facts.clone() };
    write(&store, "chose", |book| book.change_garment(second, known.version, &changed));
    assert_eq!(taken(second), changed.corrections);
    let history = store.read(|book| book.order_history(order, 2)).unwrap();
    let told: Vec<_> = history[0]
        .changes
        .iter()
        .filter_map(|change| change.told(bodkin::measure::Showing::EIGHTHS, euro(0).currency()))
        .collect();
    assert_eq!(told, ["a standing correction: applied → left out", "a standing correction: – → applied"]);
    write(&store, "chose", |book| book.change_garment(second, known.version + 1, &known.facts));
    assert_eq!(taken(second), known.facts.corrections);
    assert_eq!(store.read(|book| book.check()).unwrap(), []);
}

#[test]
fn nothing_of_a_correction_is_left_of_a_client_who_was_forgotten() {
    let (folder, store, client, order, garment) = fitted();
    let other = write(&store, "wrote", |book| book.add_client(&ClientFacts::named("Ida")));
    write(&store, "noted", |book| {
        let words = "Quintessa leans over her stall";
        let noted = CorrectionFacts { words: words.into(), ..seen(client, Some(garment), "waist_girth", 4) };
        let waist = book.add_correction(&noted)?;
        let hip = book.add_correction(&CorrectionFacts { garment: None, ..noted.clone() })?;
        book.add_correction(&seen(other, None, "hip_girth", 4))?;
        let known = book.garment(garment)?;
        let corrections = BTreeMap::from([(waist, true), (hip, false)]);
        book.change_garment(garment, known.version, &GarmentFacts { corrections, ..known.facts })?;
        book.end_correction(hip, day("2026-11-20"), "Quintessa was measured anew")?;
        book.add_cut(&bodkin::shop::CutRecord {
            figure: vec!["stooped".into()],
            id: bodkin::shop::CutId::new(0),
            garment,
            who: OWNER,
            at_ms: NOW,
            style_text: String::new(),
            body: BTreeMap::new(),
            corrections: vec![bodkin::shop::CutCorrection {
                dimension: "waist_girth".into(),
                side: None,
                amount: Length::inches(0, 4),
                words: "fitting of Quintessa".into(),
            }],
            choices: BTreeMap::new(),
            showing: bodkin::measure::Showing::EIGHTHS,
            dimensions: Vec::new(),
            outlines: String::new(),
            engine: "1".into(),
        })?;
        book.move_garment(garment, Stage::Booked, Stage::Collected, "")?;
        book.take_payment(order, &payment(PaymentKind::Balance, 9000))
    });
    store.forget(OWNER, NOW + 7, client).unwrap();
    let (left, others, cut) = store
        .read(|book| Ok((book.corrections_of(client)?, book.corrections_of(other)?, book.newest_cut(garment)?)))
        .unwrap();
    assert_eq!((left.len(), others.len()), (0, 1));
    assert!(cut.unwrap().corrections.is_empty());
    assert!(store.read(|book| book.garment(garment)).unwrap().facts.corrections.is_empty());
    assert_eq!(store.read(|book| book.check()).unwrap(), []);
    // Not a byte of the words is left, neither in the book nor in the log beside it.
    for file in
        std::fs::read_dir(folder.path()).unwrap().map(|entry| entry.unwrap().path()).filter(|path| path.is_file())
    {
        let bytes = std::fs::read(&file).unwrap();
        assert!(!bytes.windows(9).any(|window| window == b"Quintessa"), "{}", file.display());
    }
    // The amounts are gone from the history too; what is not the client's stays.
    let changes = store.read(|book| book.recent(100)).unwrap();
    let told = changes.iter().flat_map(|action| &action.changes).filter(|change| change.noun.starts_with("correction"));
    assert_eq!(told.filter(|change| change.after.is_some()).count(), 1);
    assert!(refused(&store, |book| book.add_correction(&seen(client, None, "waist_girth", 4))).contains("forgotten"));
}
