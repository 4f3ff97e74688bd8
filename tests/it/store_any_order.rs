//! Whatever people do in whatever order, the book stays whole and its sums agree with
//! sums made here, apart from it.

use bodkin::shop::{ChargeFacts, ChargeKind, ClientFacts, GarmentFacts, OrderId, PaymentKind, Stage, Standing};
use bodkin::store::{OWNER, Store, StoreError};
use proptest::prelude::*;

use crate::store::{NOW, day, empty, euro, order_for, payment};

/// One act with its numbers; which rows it is about is taken modulo what there is.
#[derive(Clone, Debug)]
enum Act {
    Order,
    Garment { order: usize, price: Option<i64> },
    Reprice { garment: usize, price: i64, version: i64 },
    Move { garment: usize, from: usize, to: usize, reason: bool },
    CancelGarment { garment: usize, cancelled: bool },
    Stand { order: usize, standing: usize },
    Pay { order: usize, kind: usize, minor: i64 },
    Void { order: usize, payment: usize },
    Charge { order: usize, kind: usize, minor: i64 },
    Uncharge { order: usize },
}

fn act() -> impl Strategy<Value = Act> {
    let row = 0..3_usize;
    prop_oneof![
        1 => Just(Act::Order),
        1 => (row.clone(), proptest::option::of(0..50_000_i64)).prop_map(|(order, price)| Act::Garment { order, price }),
        2 => (row.clone(), 0..50_000_i64, 1..4_i64).prop_map(|(garment, price, version)| Act::Reprice {
            garment,
            price,
            version
        }),
        6 => (row.clone(), 0..8_usize, prop_oneof![0..8_usize, Just(7)], any::<bool>()).prop_map(|(garment, from, to, reason)| Act::Move {
            garment,
            from,
            to,
            reason
        }),
        3 => (row.clone(), any::<bool>()).prop_map(|(garment, cancelled)| Act::CancelGarment { garment, cancelled }),
        1 => (row.clone(), 0..3_usize).prop_map(|(order, standing)| Act::Stand { order, standing }),
        2 => (row.clone(), 0..5_usize, -5..60_000_i64).prop_map(|(order, kind, minor)| Act::Pay { order, kind, minor }),
        1 => (row.clone(), 0..4_usize).prop_map(|(order, payment)| Act::Void { order, payment }),
        1 => (row.clone(), 0..3_usize, 0..9_000_i64).prop_map(|(order, kind, minor)| Act::Charge { order, kind, minor }),
        1 => row.prop_map(|order| Act::Uncharge { order }),
    ]
}

fn do_it(store: &Store, act: &Act) -> Result<(), StoreError> {
    let orders: Vec<OrderId> = store.read(|book| Ok(all(book)?.iter().map(|page| page.order.id).collect()))?;
    let order_at = |at: usize| orders[at % orders.len()];
    let pages = store.read(all)?;
    let garments: Vec<_> = pages.iter().flat_map(|page| page.garments.iter().map(|one| one.garment.clone())).collect();
    let page_at = |at: usize| &pages[at % pages.len()];
    store.write(OWNER, NOW, "did something", |book| match act {
        Act::Order => book.add_order(&order_for(pages[0].client.id)).map(drop),
        Act::Garment { order, price } => {
            let facts = GarmentFacts { price: price.map(euro), ..GarmentFacts::of(pages[0].client.id, "Apron") };
            book.add_garment(order_at(*order), &facts).map(drop)
        }
        _ if garments.is_empty() => Ok(()),
        Act::Reprice { garment, price, version } => {
            let garment = &garments[garment % garments.len()];
            let facts = GarmentFacts { price: Some(euro(*price)), ..garment.facts.clone() };
            book.change_garment(garment.id, *version, &facts)
        }
        Act::Move { garment, from, to, reason } => {
            let garment = &garments[garment % garments.len()];
            // Most of them know where it is.
            let from = if *from > 0 { garment.stage } else { Stage::Cut };
            book.move_garment(garment.id, from, Stage::ALL[*to], if *reason { "because" } else { "" })
        }
        Act::CancelGarment { garment, cancelled } => {
            let garment = &garments[garment % garments.len()];
            book.cancel_garment(garment.id, garment.version, *cancelled)
        }
        Act::Stand { order, standing } => {
            let order = &page_at(*order).order;
            book.set_standing(order.id, order.version, Standing::ALL[*standing], "because")
        }
        Act::Pay { order, kind, minor } => {
            book.take_payment(order_at(*order), &payment(PaymentKind::ALL[*kind], *minor)).map(drop)
        }
        Act::Void { order, payment } => match page_at(*order).payments.get(*payment) {
            Some(paid) => book.void_payment(paid.id, day("2026-11-03"), "slip").map(drop),
            None => Ok(()),
        },
        Act::Charge { order, kind, minor } => {
            let kind = ChargeKind::ALL[*kind];
            let facts = ChargeFacts { kind, garment: None, words: "lining".into(), money: euro(*minor) };
            book.add_charge(order_at(*order), &facts).map(drop)
        }
        Act::Uncharge { order } => match page_at(*order).charges.first() {
            Some(charge) => book.remove_charge(charge.id, charge.version),
            None => Ok(()),
        },
    })
}

fn all(book: &bodkin::store::Reader) -> Result<Vec<bodkin::store::OrderPage>, StoreError> {
    let filter = bodkin::store::OrderFilter { limit: 1000, ..Default::default() };
    let rows = book.orders(&filter)?.rows;
    rows.iter().rev().map(|row| book.order_page(row.order.number)).collect()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, ..ProptestConfig::default() })]

    #[test]
    fn the_book_stays_whole(acts in proptest::collection::vec(act(), 5..50)) {
        let (_folder, store) = empty();
        store
            .write(OWNER, NOW, "began", |book| {
                let client = book.add_client(&ClientFacts::named("Maren Solberg"))?;
                let (order, _) = book.add_order(&order_for(client))?;
                for what in ["Apron", "Wrap skirt"] {
                    book.add_garment(order, &GarmentFacts { price: Some(euro(7000)), ..GarmentFacts::of(client, what) })?;
                }
                Ok(())
            })
            .unwrap();
        for act in &acts {
            match do_it(&store, act) {
                Ok(()) | Err(StoreError::Refused { .. } | StoreError::Stale { .. }) => {}
                Err(other) => panic!("{act:?}: {other}"),
            }
        }
        prop_assert_eq!(store.read(|book| book.check()).unwrap(), []);
        let pages = store.read(all).unwrap();
        for page in &pages {
            let counts = page.order.standing != Standing::Cancelled;
            let prices: i64 = page
                .garments
                .iter()
                .filter(|one| counts && !one.garment.cancelled)
                .filter_map(|one| one.garment.facts.price.map(|price| price.minor()))
                .sum();
            let charges: i64 = page.charges.iter().map(|charge| charge.counts()).sum();
            let paid: i64 = page.payments.iter().map(|payment| payment.counts()).sum();
            prop_assert_eq!((page.account.due, page.account.paid), (euro(prices + charges), euro(paid)));
            prop_assert!(paid >= 0);
            for one in &page.garments {
                prop_assert_eq!(one.moves.last().map(|last| last.to), Some(one.garment.stage));
            }
        }
        // The client's balance is that of all orders together.
        let owed: i64 = pages.iter().map(|page| page.account.balance().minor()).sum();
        let listed = store.read(|book| book.clients(&bodkin::store::ClientSearch { limit: 5, ..Default::default() })).unwrap();
        prop_assert_eq!(listed.rows[0].balance, euro(owed));
    }
}
