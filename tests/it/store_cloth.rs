//! Cloth in the book: what is known of a garment's cloth, what lies on the shelf, what is held and cut.

use bodkin::measure::Length;
use bodkin::shop::{
    AcceptedLay, ClientFacts, ClientId, ClothFacts, ClothId, ClothLengthId, ClothMoveKind, ClothOf, GarmentFacts,
    GarmentId, LayId, LengthFacts, LiningFacts, LiningKind, Nap, OrderId, Stage, Standing, StockFacts,
};
use bodkin::store::{OWNER, Store, Writer};
use proptest::prelude::*;

use crate::store::{NOW, day, empty, euro, order_for, refused, write};

fn yards(eighths: i64) -> Length {
    Length::from_nm(Length::inches(36, 0).nm() / 8 * eighths)
}

fn came(on: &str) -> LengthFacts {
    LengthFacts { day: day(on), washed: Some(false), flaws: String::new(), place: "shelf 2".into() }
}

fn lay_of(garment: GarmentId, need: Length) -> AcceptedLay {
    AcceptedLay {
        id: LayId::new(0),
        cloth: ClothOf::Main,
        garments: vec![garment],
        who: OWNER,
        at_ms: 0,
        width: Length::inches(45, 0),
        used: need,
        need: Some(need),
        layout: "folded".into(),
        folded: Length::ZERO,
        fold_at: Length::ZERO,
        seed: 7,
        evaluations: 1,
        placements: Vec::new(),
    }
}

/// A book with a client, an order, a cloth of the shop in two lengths (5 and 2 1/2 yd) and a skirt of it.
struct Shelf {
    _folder: tempfile::TempDir,
    store: Store,
    client: ClientId,
    order: OrderId,
    cloth: ClothId,
    bolt: ClothLengthId,
    short: ClothLengthId,
    skirt: GarmentId,
}

fn shelf() -> Shelf {
    let (folder, store) = empty();
    let (client, order, cloth, bolt, short, skirt) = write(&store, "filled the shelf", |book| {
        let client = book.add_client(&ClientFacts::named("Maren"))?;
        let (order, _) = book.add_order(&order_for(client))?;
        let cloth = book.add_cloth(&StockFacts::named("wax print, indigo shells"))?;
        let bolt = book.add_length(cloth, &came("2026-11-02"), yards(40), None)?;
        let short = book.add_length(cloth, &came("2026-11-03"), yards(20), None)?;
        let facts = GarmentFacts {
            cloth: ClothFacts { stock: Some(cloth), ..ClothFacts::UNKNOWN },
            ..GarmentFacts::of(client, "Wrap skirt")
        };
        let (skirt, _) = book.add_garment(order, &facts)?;
        Ok((client, order, cloth, bolt, short, skirt))
    });
    Shelf { _folder: folder, store, client, order, cloth, bolt, short, skirt }
}

impl Shelf {
    /// What is there, held and free of a length, in eighths of a yard.
    fn of(&self, length: ClothLengthId) -> (i64, i64, i64) {
        let length = self.store.read(|book| book.cloth_length(length)).unwrap();
        let eighths = |length: Length| length.nm() / yards(1).nm();
        (eighths(length.there), eighths(length.held_in_all()), eighths(length.free()))
    }

    fn held_on(&self, garment: GarmentId) -> Option<ClothLengthId> {
        self.store.read(|book| book.held_for(garment, ClothOf::Main)).unwrap().map(|held| held.on)
    }

    fn accept(&self, garment: GarmentId, eighths: i64) {
        write(&self.store, "accepted a lay", |book| book.accept_lay(&lay_of(garment, yards(eighths))));
    }

    fn is_sound(&self) {
        assert_eq!(self.store.read(|book| book.check()).unwrap(), []);
    }
}

#[test]
fn everything_that_is_known_of_a_garments_cloth_comes_back_as_it_was_written() {
    let shelf = shelf();
    let garment = shelf.store.read(|book| book.garment(shelf.skirt)).unwrap();
    let cloth = ClothFacts {
        words: "check, wine red".into(),
        width: Some(Length::inches(45, 0)),
        length: Some(yards(11)),
        lengths: vec![yards(6), yards(2), yards(9)],
        brought: true,
        nap: Nap::PerGarment,
        repeat_along: Some(Length::inches(4, 4)),
        repeat_across: Some(Length::tenths_of_mm(1_237)),
        shrink_along: Some(35),
        shrink_across: Some(0),
        turns_over: true,
        skew: Some(Length::inches(3, 0)),
        spare: Some(yards(4)),
        flaws: "a pulled thread 10 in from one end".into(),
        stock: Some(shelf.cloth),
        ..ClothFacts::UNKNOWN
    };
    let lining = LiningFacts {
        words: "acetate, black".into(),
        width: Some(Length::inches(54, 0)),
        length: Some(yards(12)),
        lengths: vec![yards(3)],
        washed: Some(true),
        shrink_along: Some(20),
        shrink_across: Some(15),
        price: Some(euro(650)),
        stock: Some(shelf.cloth),
        ..LiningFacts::UNKNOWN
    };
    let band = LiningFacts { brought: true, ..LiningFacts::UNKNOWN };
    let linings = [(LiningKind::Lining, lining), (LiningKind::Interfacing, band)].into();
    let facts = GarmentFacts { cloth, linings, ..garment.facts };
    let change = |version, facts: &GarmentFacts| {
        write(&shelf.store, "changed", |book| book.change_garment(shelf.skirt, version, facts));
        shelf.store.read(|book| book.garment(shelf.skirt)).unwrap()
    };
    let kept = change(garment.version, &facts);
    assert_eq!(kept.facts, facts);
    assert!(kept.facts.cloth.one_way());
    // What is unchanged is not written again; what is taken away is gone.
    let again = change(kept.version, &facts);
    assert_eq!(again.version, kept.version);
    let mut fewer = facts;
    fewer.cloth.lengths = vec![yards(6)];
    fewer.linings.remove(&LiningKind::Interfacing);
    assert_eq!(change(kept.version, &fewer).facts, fewer);
    let history = shelf.store.read(|book| book.order_history(shelf.order, 50)).unwrap();
    let told: Vec<&str> =
        history.iter().flat_map(|action| &action.changes).filter_map(|change| change.field.as_deref()).collect();
    for field in ["cloth_nap", "cloth_skew_nm", "garment_length.main.03", "garment_lining.lining.width_nm"] {
        assert!(told.contains(&field), "{field}: {told:?}");
    }
    shelf.is_sound();
}

#[test]
fn what_no_cloth_can_be_is_refused_with_value_limit_and_remedy() {
    let shelf = shelf();
    let facts = shelf.store.read(|book| book.garment(shelf.skirt)).unwrap().facts;
    let with = |cloth: ClothFacts| {
        let facts = GarmentFacts { cloth, ..facts.clone() };
        refused(&shelf.store, |book| book.change_garment(shelf.skirt, 1, &facts))
    };
    let unknown = ClothFacts::UNKNOWN;
    assert_eq!(
        with(ClothFacts { skew: Some(Length::inches(4, 0)), ..unknown.clone() }),
        "4 in are lost at each end to square the cloth; at most 3 in are. Measure a worse length shorter instead."
    );
    assert!(with(ClothFacts { shrink_across: Some(300), ..unknown.clone() }).starts_with("Cloth that loses 30 %"));
    assert!(with(ClothFacts { lengths: vec![Length::INCH; 25], ..unknown }).contains("at most 24 are kept"));
    assert!(refused(&shelf.store, |book| book.add_cloth(&StockFacts::named(" "))).contains("needs a name"));
}

#[test]
fn a_length_is_the_sum_of_its_moves_and_never_below_nought() {
    let shelf = shelf();
    assert_eq!(shelf.of(shelf.bolt), (40, 0, 40));
    write(&shelf.store, "gave", |book| book.take_cloth(shelf.bolt, yards(8), day("2026-11-05"), None, "to Ida"));
    write(&shelf.store, "measured", |book| book.measure_length(shelf.bolt, yards(31), day("2026-11-06"), ""));
    assert_eq!(shelf.of(shelf.bolt), (31, 0, 31));
    let words = refused(&shelf.store, |book| book.take_cloth(shelf.bolt, yards(32), day("2026-11-07"), None, ""));
    assert_eq!(words, "144 in cannot be taken: this length is 139 1/2 in. Take no more, or measure it again.");
    assert!(
        refused(&shelf.store, |book| book.measure_length(shelf.bolt, yards(31), day("2026-11-07"), ""))
            .contains("already")
    );
    assert!(
        refused(&shelf.store, |book| book.add_length(shelf.cloth, &came("2026-11-07"), Length::ZERO, None))
            .contains("longer than nothing")
    );
    // Used up, it is no longer shown, but what became of it is.
    write(&shelf.store, "gave", |book| book.take_cloth(shelf.bolt, yards(31), day("2026-11-08"), None, ""));
    let (lengths, moves) = shelf
        .store
        .read(|book| Ok((book.cloth_lengths(shelf.cloth, false)?, book.cloth_moves(shelf.cloth, 9)?)))
        .unwrap();
    assert_eq!(lengths.iter().map(|length| length.id).collect::<Vec<_>>(), [shelf.short]);
    let kinds: Vec<ClothMoveKind> = moves.iter().rev().map(|step| step.kind).collect();
    use ClothMoveKind::{Bought, Given, Measured};
    assert_eq!(kinds, [Bought, Bought, Given, Measured, Given]);
    shelf.is_sound();
}

#[test]
fn an_accepted_lay_holds_the_shortest_length_that_suffices_until_the_garment_is_cut() {
    let shelf = shelf();
    shelf.accept(shelf.skirt, 18);
    assert_eq!((shelf.held_on(shelf.skirt), shelf.of(shelf.short)), (Some(shelf.short), (20, 18, 2)));
    // A later lay takes the place of the earlier one.
    shelf.accept(shelf.skirt, 22);
    assert_eq!((shelf.held_on(shelf.skirt), shelf.of(shelf.short)), (Some(shelf.bolt), (20, 0, 20)));
    shelf.is_sound();
    // By hand on another length: an error names the length there is.
    let words = refused(&shelf.store, |book| book.hold(shelf.skirt, ClothOf::Main, shelf.short));
    assert!(words.contains("99 in cannot be held for Wrap skirt: 90 in of this length is free"), "{words}");
    assert_eq!(shelf.held_on(shelf.skirt), Some(shelf.bolt));
    // Cut: the whole length went to the table, and what she says came back.
    let words =
        refused(&shelf.store, |book| book.cut_held(shelf.skirt, ClothOf::Main, Some(yards(40)), day("2026-11-09")));
    assert!(words.contains("the length was 180 in before it was cut"), "{words}");
    write(&shelf.store, "cut", |book| {
        book.move_garment(shelf.skirt, Stage::Booked, Stage::Cut, "")?;
        book.cut_held(shelf.skirt, ClothOf::Main, Some(yards(17)), day("2026-11-09"))
    });
    assert_eq!((shelf.held_on(shelf.skirt), shelf.of(shelf.bolt)), (None, (17, 0, 17)));
    let moves = shelf.store.read(|book| book.cloth_moves(shelf.cloth, 2)).unwrap();
    let told: Vec<_> = moves.iter().map(|step| (step.kind, step.change, step.garment.is_some())).collect();
    assert_eq!(
        told,
        [(ClothMoveKind::Offcut, yards(17), true), (ClothMoveKind::Cut, Length::from_nm(-yards(40).nm()), true)]
    );
    assert!(
        refused(&shelf.store, |book| book.hold(shelf.skirt, ClothOf::Main, shelf.bolt)).contains("cut or called off")
    );
    shelf.is_sound();
}

#[test]
fn cloth_is_let_go_when_it_is_not_needed_any_more() {
    let shelf = shelf();
    let held = |eighths| {
        shelf.accept(shelf.skirt, eighths);
        assert!(shelf.held_on(shelf.skirt).is_some());
    };
    held(10);
    write(&shelf.store, "called off", |book| book.cancel_garment(shelf.skirt, 1, true));
    assert_eq!(shelf.held_on(shelf.skirt), None);
    write(&shelf.store, "took up", |book| book.cancel_garment(shelf.skirt, 2, false));
    held(10);
    write(&shelf.store, "called off", |book| book.set_standing(shelf.order, 1, Standing::Cancelled, "moved away"));
    assert_eq!(shelf.held_on(shelf.skirt), None);
    write(&shelf.store, "took up", |book| book.set_standing(shelf.order, 2, Standing::Open, ""));
    held(10);
    write(&shelf.store, "laid anew", |book| book.set_lay_aside(shelf.skirt, ClothOf::Main));
    assert_eq!(shelf.held_on(shelf.skirt), None);
    assert_eq!(shelf.store.read(|book| book.newest_lay(shelf.skirt, ClothOf::Main)).unwrap(), None);
    held(10);
    let garment = shelf.store.read(|book| book.garment(shelf.skirt)).unwrap();
    let facts = GarmentFacts { cloth: ClothFacts::UNKNOWN, ..garment.facts };
    write(&shelf.store, "her own", |book| book.change_garment(shelf.skirt, garment.version, &facts));
    assert_eq!(shelf.held_on(shelf.skirt), None);
    // Nothing suffices: the lay is accepted all the same, and nothing is held.
    let facts = GarmentFacts { cloth: ClothFacts { stock: Some(shelf.cloth), ..ClothFacts::UNKNOWN }, ..facts };
    write(&shelf.store, "the shop's", |book| book.change_garment(shelf.skirt, garment.version + 1, &facts));
    shelf.accept(shelf.skirt, 99);
    assert_eq!(shelf.held_on(shelf.skirt), None);
    shelf.is_sound();
}

#[test]
fn a_joint_lay_holds_one_length_for_all_and_each_cloth_of_a_garment_its_own() {
    let shelf = shelf();
    let facts =
        |book: &Writer| -> Result<GarmentFacts, bodkin::store::StoreError> { Ok(book.garment(shelf.skirt)?.facts) };
    let (other, lined) = write(&shelf.store, "added two", |book| {
        let (other, _) = book.add_garment(shelf.order, &facts(book)?)?;
        let mut lined = facts(book)?;
        let lining = LiningFacts { stock: Some(shelf.cloth), ..LiningFacts::UNKNOWN };
        lined.linings.insert(LiningKind::Lining, lining);
        Ok((other, book.add_garment(shelf.order, &lined)?.0))
    });
    let joint = AcceptedLay { garments: vec![shelf.skirt, other], ..lay_of(shelf.skirt, yards(30)) };
    let accept = |lay: &AcceptedLay| write(&shelf.store, "accepted", |book| book.accept_lay(lay));
    accept(&joint);
    // Once on the shelf, whichever garment is asked.
    assert_eq!((shelf.held_on(shelf.skirt), shelf.held_on(other)), (Some(shelf.bolt), Some(shelf.bolt)));
    assert_eq!(shelf.of(shelf.bolt), (40, 30, 10));
    let rows = shelf.store.read(|book| book.to_cut(9)).unwrap();
    let needs: Vec<(u32, bool)> = rows
        .iter()
        .filter_map(|row| row.accepted.get(&ClothOf::Main))
        .map(|lay| (lay.garments, lay.is_taken))
        .collect();
    assert_eq!(needs, [(2, false), (2, false)]);
    // A lining beside it holds its own, and lets go by itself.
    accept(&lay_of(lined, yards(5)));
    accept(&AcceptedLay { cloth: ClothOf::Lining, ..lay_of(lined, yards(10)) });
    let of_lining = || shelf.store.read(|book| book.held_for(lined, ClothOf::Lining)).unwrap().map(|held| held.length);
    assert_eq!((shelf.held_on(lined), of_lining()), (Some(shelf.short), Some(yards(10))));
    assert_eq!(shelf.store.read(|book| book.to_cut_from(shelf.cloth)).unwrap().len(), 4);
    shelf.is_sound();
    write(&shelf.store, "laid anew", |book| book.set_lay_aside(lined, ClothOf::Lining));
    assert!(of_lining().is_none() && shelf.held_on(lined).is_some());
    // One leaves the joint lay: nothing is held for the other any more.
    accept(&lay_of(other, yards(8)));
    assert_eq!((shelf.held_on(shelf.skirt), shelf.held_on(other)), (None, Some(shelf.short)));
    let lay = shelf.store.read(|book| book.newest_lay(shelf.skirt, ClothOf::Main)).unwrap().unwrap();
    let left = shelf.store.read(|book| book.left_lay(lay.id)).unwrap().map(|(_, letter)| letter.to_string());
    assert_eq!((lay.is_joint(), left.as_deref()), (true, Some("B")));
    assert!(shelf.store.read(|book| book.to_cut(9)).unwrap()[0].accepted.is_empty());
    shelf.is_sound();
    // Set aside, only what was still in it is laid anew.
    write(&shelf.store, "laid anew", |book| book.set_lay_aside(shelf.skirt, ClothOf::Main));
    let newest = |garment| shelf.store.read(|book| book.newest_lay(garment, ClothOf::Main)).unwrap();
    assert!(newest(shelf.skirt).is_none() && newest(other).is_some());
    // Cut with one, the cloth is cut for all.
    accept(&joint);
    write(&shelf.store, "cut", |book| {
        book.move_garment(other, Stage::Booked, Stage::Cut, "")?;
        book.cut_held(other, ClothOf::Main, Some(yards(9)), day("2026-11-09"))
    });
    assert_eq!((shelf.held_on(shelf.skirt), shelf.of(shelf.bolt).0), (None, 9));
    let rows = shelf.store.read(|book| book.to_cut(9)).unwrap();
    assert!(rows[0].accepted[&ClothOf::Main].is_taken);
    // Laid anew after all, the one that is cut keeps the lay that it was cut by.
    write(&shelf.store, "laid anew", |book| book.set_lay_aside(shelf.skirt, ClothOf::Main));
    assert!(newest(shelf.skirt).is_none() && newest(other).is_some_and(|lay| lay.is_joint()));
    let none = AcceptedLay { garments: Vec::new(), ..lay_of(other, yards(1)) };
    assert!(refused(&shelf.store, |book| book.accept_lay(&none)).contains("one garment at least"));
    shelf.is_sound();
}

#[test]
fn what_a_garment_holds_by_itself_stays_until_a_joint_lay_has_a_length() {
    let shelf = shelf();
    let other = write(&shelf.store, "added", |book| {
        let facts = book.garment(shelf.skirt)?.facts;
        Ok(book.add_garment(shelf.order, &facts)?.0)
    });
    let accept = |lay: &AcceptedLay| write(&shelf.store, "accepted", |book| book.accept_lay(lay));
    let newest = |garment| shelf.store.read(|book| book.newest_lay(garment, ClothOf::Main)).unwrap();
    let joint = |eighths| AcceptedLay { garments: vec![other, shelf.skirt], ..lay_of(other, yards(eighths)) };
    shelf.accept(shelf.skirt, 18);
    write(&shelf.store, "on the bolt", |book| book.hold(shelf.skirt, ClothOf::Main, shelf.bolt));
    let own = newest(shelf.skirt).unwrap();
    // No length suffices for both: its own stays, and the list does not take it for that of the joint lay.
    accept(&joint(41));
    assert_eq!((shelf.held_on(shelf.skirt), shelf.held_on(other)), (Some(shelf.bolt), None));
    assert_eq!(shelf.of(shelf.bolt), (40, 18, 22));
    let rows = shelf.store.read(|book| book.to_cut(9)).unwrap();
    assert!(rows.iter().all(|row| row.held.is_empty() && row.accepted[&ClothOf::Main].garments == 2));
    shelf.is_sound();
    // Nor does another joint lay that finds no length, and not when it is laid anew: then its own lay is taken up
    // as it was, on the length that it was held on.
    accept(&joint(44));
    assert_eq!(shelf.of(shelf.bolt), (40, 18, 22));
    let later = |deed: &dyn Fn(&Writer) -> Result<(), bodkin::store::StoreError>| {
        shelf.store.write(OWNER, NOW + 9, "later", |book| deed(book)).unwrap();
    };
    later(&|book| book.set_lay_aside(other, ClothOf::Main));
    assert_eq!((shelf.held_on(shelf.skirt), newest(other)), (Some(shelf.bolt), None));
    let again = newest(shelf.skirt).unwrap();
    assert_eq!(AcceptedLay { id: own.id, ..again }, own);
    let rows = shelf.store.read(|book| book.to_cut(9)).unwrap();
    assert_eq!(rows[0].held.get(&ClothOf::Main), Some(&yards(18)));
    shelf.is_sound();
    // Cut by its own cloth and not cut after all, it is held again, whatever was laid jointly.
    accept(&joint(41));
    later(&|book| {
        book.move_garment(shelf.skirt, Stage::Booked, Stage::Cut, "")?;
        book.cut_held(shelf.skirt, ClothOf::Main, Some(yards(22)), day("2026-11-09"))
    });
    assert_eq!(shelf.of(shelf.bolt), (22, 0, 22));
    later(&|book| {
        book.move_garment(shelf.skirt, Stage::Cut, Stage::Booked, "wrong tap")?;
        book.not_cut(shelf.skirt, day("2026-11-09"))
    });
    assert_eq!((shelf.held_on(shelf.skirt), shelf.of(shelf.bolt)), (Some(shelf.bolt), (40, 18, 22)));
    shelf.is_sound();
    // A length that suffices with what it holds itself is held for all, and once.
    accept(&joint(30));
    assert_eq!((shelf.held_on(shelf.skirt), shelf.held_on(other)), (Some(shelf.bolt), Some(shelf.bolt)));
    assert_eq!(shelf.of(shelf.bolt), (40, 30, 10));
    shelf.is_sound();
    // By hand, too: what each holds by itself goes first.
    accept(&lay_of(other, yards(18)));
    accept(&lay_of(shelf.skirt, yards(20)));
    accept(&joint(60));
    write(&shelf.store, "measured", |book| book.measure_length(shelf.bolt, yards(64), day("2026-11-10"), ""));
    write(&shelf.store, "by hand", |book| book.hold(other, ClothOf::Main, shelf.bolt));
    assert_eq!((shelf.of(shelf.bolt), shelf.of(shelf.short).1), ((64, 60, 4), 0));
    shelf.is_sound();
}

#[test]
fn what_is_to_be_cut_comes_with_the_lay_that_was_accepted_unless_it_changed_since() {
    let shelf = shelf();
    let rows = || shelf.store.read(|book| book.to_cut(9)).unwrap();
    assert!(rows()[0].accepted.is_empty());
    shelf.accept(shelf.skirt, 18);
    let row = rows().remove(0);
    let accepted = row.accepted[&ClothOf::Main];
    assert_eq!((accepted.width, accepted.need, accepted.garments), (Length::inches(45, 0), yards(18), 1));
    assert_eq!((row.held.get(&ClothOf::Main), row.wearer_name.as_str()), (Some(&yards(18)), "Maren"));
    let mut facts = row.garment.facts;
    facts.bag = "12".into();
    let later = |facts: &GarmentFacts, version| {
        let change = |book: &Writer| book.change_garment(shelf.skirt, version, facts);
        shelf.store.write(OWNER, NOW + 1, "changed", change).unwrap();
    };
    later(&facts, row.garment.version);
    assert!(!rows()[0].accepted.is_empty());
    facts.choices.insert("fullness".into(), "3".into());
    later(&facts, row.garment.version + 1);
    assert!(rows()[0].accepted.is_empty());
    write(&shelf.store, "put on hold", |book| book.set_standing(shelf.order, 1, Standing::OnHold, "abroad"));
    assert!(rows().is_empty());
    assert_eq!(shelf.store.read(|book| book.to_cut_from(shelf.cloth)).unwrap().len(), 1);
}

#[test]
fn forgetting_a_client_empties_the_words_about_the_cloth_and_keeps_the_lengths() {
    let shelf = shelf();
    let garment = shelf.store.read(|book| book.garment(shelf.skirt)).unwrap();
    let mut facts = garment.facts;
    facts.cloth.flaws = "Quintessa tore it".into();
    facts.linings.insert(LiningKind::Lining, LiningFacts { words: "from Quintessa".into(), ..LiningFacts::UNKNOWN });
    write(&shelf.store, "changed", |book| book.change_garment(shelf.skirt, 1, &facts));
    shelf.accept(shelf.skirt, 18);
    write(&shelf.store, "handed over", |book| {
        book.move_garment(shelf.skirt, Stage::Booked, Stage::Collected, "")?;
        book.cut_held(shelf.skirt, ClothOf::Main, None, day("2026-11-09"))?;
        book.take_cloth(shelf.bolt, yards(1), day("2026-11-10"), Some(shelf.skirt), "a patch for Quintessa")
    });
    shelf.store.forget(OWNER, NOW + 7, shelf.client).unwrap();
    assert_eq!((shelf.of(shelf.short), shelf.of(shelf.bolt)), ((2, 0, 2), (39, 0, 39)));
    shelf.is_sound();
    let file = std::fs::read(shelf.store.folder().book()).unwrap();
    assert!(!file.windows(9).any(|window| window == b"Quintessa"));
}

#[test]
fn nothing_is_held_for_a_joint_lay_that_a_garment_has_left() {
    let shelf = shelf();
    let other = write(&shelf.store, "added", |book| {
        let facts = book.garment(shelf.skirt)?.facts;
        Ok(book.add_garment(shelf.order, &facts)?.0)
    });
    let together = AcceptedLay { garments: vec![other, shelf.skirt], ..lay_of(other, yards(60 * 8)) };
    write(&shelf.store, "laid together", |book| book.accept_lay(&together).map(drop));
    write(&shelf.store, "laid alone", |book| book.accept_lay(&lay_of(other, yards(8))).map(drop));
    let held = |garment| shelf.store.read(|book| book.held_for(garment, ClothOf::Main)).unwrap().map(|held| held.lay);
    let own = held(other);
    assert!(own.is_some());
    let refused =
        shelf.store.write(OWNER, NOW, "held", |book| book.hold(shelf.skirt, ClothOf::Main, shelf.bolt)).unwrap_err();
    assert!(refused.to_string().contains("was laid otherwise since"), "{refused}");
    assert_eq!((held(other), held(shelf.skirt)), (own, None));
    shelf.is_sound();
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    /// Whatever is done to a length, it never goes below nought, and what is free is never more than there is.
    #[test]
    fn any_moves_leave_the_book_sound(moves in proptest::collection::vec((0_u8..9, 0_i64..50), 1..14)) {
        let shelf = shelf();
        let other = write(&shelf.store, "added", |book| {
            let facts = book.garment(shelf.skirt)?.facts;
            Ok(book.add_garment(shelf.order, &facts)?.0)
        });
        for (kind, eighths) in moves {
            let much = yards(eighths);
            let day = day("2026-11-09");
            // What is refused changes nothing; the rest is done.
            let _ = shelf.store.write(OWNER, NOW, "did something", |book| match kind {
                0 => book.take_cloth(shelf.bolt, much, day, None, ""),
                1 => book.measure_length(shelf.short, much, day, ""),
                2 => book.accept_lay(&lay_of(shelf.skirt, yards(eighths + 1))).map(drop),
                3 => book.cut_held(shelf.skirt, ClothOf::Main, Some(much), day),
                4 => book.hold(shelf.skirt, ClothOf::Main, shelf.bolt),
                5 => {
                    let garments = vec![other, shelf.skirt];
                    book.accept_lay(&AcceptedLay { garments, ..lay_of(other, yards(eighths + 1)) }).map(drop)
                }
                6 => book.accept_lay(&lay_of(other, yards(eighths + 1))).map(drop),
                7 => book.set_lay_aside(other, ClothOf::Main),
                _ => book.add_length(shelf.cloth, &came("2026-11-09"), much, Some(shelf.skirt)).map(drop),
            });
            for length in shelf.store.read(|book| book.cloth_lengths(shelf.cloth, true)).unwrap() {
                prop_assert!(length.there >= Length::ZERO && length.free() <= length.there);
            }
        }
        prop_assert_eq!(shelf.store.read(|book| book.check()).unwrap(), vec![]);
    }
}
