//! A large book for timings: 5,000 clients, 12,000 sets of measures, 20,000 orders over
//! some years, nearly all of them collected and paid, as after a long working life. The
//! measures are of seeded bodies and the garments of the book's styles, so that an
//! order's page has something to draft.

use bodkin::demo::seeded_body;
use bodkin::draft::{BOOK, Style};
use bodkin::measure::{Length, Showing, Who};
use bodkin::shop::{
    BookText, ClientFacts, ClientId, FittingFacts, FittingState, GarmentFacts, Money, OrderFacts, PaymentFacts,
    PaymentKind, Reading, SetFacts, SetId, Source, Stage, StyleVersionId, Wearer, WorkMinutes,
};
use bodkin::store::{OWNER, Store, StoreError, Writer};
use chrono::{Days, NaiveDate};
use rand::{Rng, RngExt, SeedableRng};

/// How large.
#[derive(Clone, Copy, Debug)]
pub struct Size {
    pub clients: usize,
    pub sets: usize,
    pub orders: usize,
    /// How many of the newest orders are still at hand.
    pub open: usize,
}

/// The size that the targets are for.
pub const LARGE: Size = Size { clients: 5_000, sets: 12_000, orders: 20_000, open: 150 };

const FIRST: [&str; 12] =
    ["Maren", "Ida", "Kofi", "Zoë", "Ольга", "小明", "Amina", "Ngọc", "Tomasz", "Leila", "Abeni", "Ruth"];
const LAST: [&str; 12] =
    ["Solberg", "Okoro", "Mensah", "O'Neill", "Климова", "王", "Haddad", "Trần", "Wójcik", "Vane", "Adeyemi", "Quay"];
const MEASURED: [&str; 10] = [
    "bust_girth",
    "upper_chest_girth",
    "waist_girth",
    "hip_girth",
    "shoulder_length",
    "back_waist_length",
    "front_waist_length",
    "waist_to_hip",
    "upper_arm_girth",
    "arm_length",
];

/// The day on which the book is looked at: today, so that a server finds work at hand.
pub fn today() -> NaiveDate {
    #[expect(clippy::disallowed_methods, reason = "a bench reads the clock")]
    chrono::Utc::now().date_naive()
}

/// Fills an empty book.
pub fn fill(store: &Store, size: Size) -> Result<(), StoreError> {
    let mut chance = rand_pcg::Pcg64::seed_from_u64(7);
    let mut clients: Vec<(ClientId, Option<SetId>)> = Vec::new();
    let mut now = 1_600_000_000_000_i64;
    let styles = store.write(OWNER, now, "opened the shop", |book| {
        let settings = book.settings()?;
        book.set_settings(&bodkin::shop::Settings { opened: true, shop_name: "A large shop".into(), ..settings })?;
        styles(book)
    })?;
    // Many to a transaction: what is timed is reading.
    for start in (0..size.clients).step_by(500) {
        now += 1;
        clients.extend(store.write(OWNER, now, "wrote clients", |book| {
            (start..size.clients.min(start + 500))
                .map(|at| Ok((client(book, &mut chance, at)?, None)))
                .collect::<Result<Vec<_>, StoreError>>()
        })?);
    }
    for start in (0..size.sets).step_by(500) {
        store.write(OWNER, now, "measured", |book| {
            for at in start..size.sets.min(start + 500) {
                let place = at % clients.len();
                clients[place].1 = Some(set(book, &mut chance, clients[place].0, at)?);
            }
            Ok(())
        })?;
    }
    let first_day = today() - Days::new(size.orders as u64 / 8);
    for start in (0..size.orders).step_by(250) {
        store.write(OWNER, now, "took orders", |book| {
            for at in start..size.orders.min(start + 250) {
                let taken = first_day + Days::new(at as u64 / 8);
                order(book, &mut chance, &styles, &clients, taken, at + size.open >= size.orders)?;
            }
            Ok(())
        })?;
    }
    Ok(())
}

/// The styles of the book and what each is called.
fn styles(book: &Writer) -> Result<Vec<(StyleVersionId, String)>, StoreError> {
    let labels: Vec<String> = BOOK
        .iter()
        .map(|style| Style::read(style.text).map_or_else(|_| style.key.into(), |read| read.label().to_string()))
        .collect();
    let texts: Vec<BookText> =
        BOOK.iter().zip(&labels).map(|(style, label)| BookText { key: style.key, label, text: style.text }).collect();
    book.offer_book(&texts, "bench")?;
    BOOK.iter().zip(labels).map(|(style, label)| Ok((book.style(style.key)?.current.id, label))).collect()
}

fn client(book: &Writer, chance: &mut impl Rng, at: usize) -> Result<ClientId, StoreError> {
    let name = format!("{} {} {at}", FIRST[chance.random_range(0..12)], LAST[chance.random_range(0..12)]);
    let phone = format!("+44 20 {:04} {:04}", chance.random_range(0..10_000), at % 10_000);
    book.add_client(&ClientFacts { phone, wearer: Wearer::Woman, ..ClientFacts::named(&name) })
}

fn set(book: &Writer, chance: &mut impl Rng, wearer: ClientId, at: usize) -> Result<SetId, StoreError> {
    let body = seeded_body(chance, Who::Woman);
    let readings = MEASURED.iter().filter_map(|dimension| {
        let length = body.get(*dimension)?.rounded_to(Length::inches(0, 1));
        let typed = Showing::EIGHTHS.number(length);
        Some(Reading { dimension: (*dimension).into(), length, typed, number: 1, source: Source::Tape })
    });
    book.add_set(&SetFacts {
        wearer,
        day: today() - Days::new((12_000 - at.min(11_999)) as u64 / 6),
        over: String::new(),
        source: Source::Tape,
        note: String::new(),
        figure: Vec::new(),
        readings: readings.collect(),
        corrects: None,
        garment: None,
    })
}

fn order(
    book: &Writer,
    chance: &mut impl Rng,
    styles: &[(StyleVersionId, String)],
    clients: &[(ClientId, Option<SetId>)],
    taken: NaiveDate,
    open: bool,
) -> Result<(), StoreError> {
    let currency = book.settings()?.currency;
    let (client, set) = clients[chance.random_range(0..clients.len())];
    let promised = taken + Days::new(chance.random_range(7..30));
    let event = ["", "", "", "wedding", "school", "Sunday"][chance.random_range(0..6)].to_string();
    let facts = OrderFacts { client, taken, promised: Some(promised), event, event_day: None, note: String::new() };
    let (order, _) = book.add_order(&facts)?;
    let mut due = 0;
    for _ in 0..[1, 1, 1, 2][chance.random_range(0..4)] {
        let price = chance.random_range(30..200) * 100;
        due += price;
        let (style, what) = &styles[chance.random_range(0..styles.len())];
        let mut garment = GarmentFacts::of(client, what);
        garment.style = Some(*style);
        garment.minutes = Some(WorkMinutes { cut: 60, sew: 200, fit: 30, finish: 50 });
        garment.set = set;
        garment.fittings = chance.random_range(0..2);
        garment.price = Some(Money::new(price, currency));
        garment.choices.insert("finished_length".into(), "25 in".into());
        let fittings = garment.fittings;
        let (id, _) = book.add_garment(order, &garment)?;
        let last = if open { chance.random_range(0..7) } else { 7 };
        let mut stage = Stage::Booked;
        while let Some(next) = stage.next(fittings).filter(|next| next.place() <= last) {
            book.move_garment(id, stage, next, "")?;
            stage = next;
        }
    }
    let pay = |kind, minor| PaymentFacts {
        kind,
        money: Money::new(minor, currency),
        day: taken,
        method: "cash".into(),
        note: String::new(),
    };
    book.take_payment(order, &pay(PaymentKind::Deposit, due / 2))?;
    if open {
        book.add_fitting(&FittingFacts {
            order,
            garment: None,
            day: today() + Days::new(chance.random_range(0..14)),
            time: None,
            minutes: 30,
            state: FittingState::Arranged,
            note: String::new(),
        })?;
    } else {
        book.take_payment(order, &pay(PaymentKind::Balance, due - due / 2))?;
    }
    Ok(())
}
