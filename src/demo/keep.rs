//! Doing the deeds in the book, each as one action of the person who did it.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use rand::{RngExt, SeedableRng};
use rand_pcg::Pcg64;

use crate::draft::{BOOK, Draft, Style};
use crate::job;
use crate::shop::{
    BookText, ChargeFacts, ClientId, ClothFacts, FittingFacts, FittingId, FittingState, Garment, GarmentFacts,
    GarmentId, Money, OrderFacts, OrderId, PaymentFacts, PaymentId, PaymentKind, PersonId, Settings, Stage,
    StyleVersionId, Wearer,
};
use crate::store::{Actions, OWNER, StoreError, Writer};

use super::cloths;
use super::course::Course;
use super::deed::{Deed, What, Who};
use super::house::{self, cedis, shifted};
use super::measured;
use super::people;
use super::pinned;
use super::shelf::Shelf;
use super::wish::{Kind, Make, Wish, picked};

/// Who keeps the book while it is filled.
pub(super) struct Keeper<'a> {
    actions: &'a Actions<'a>,
    styles: &'a [(&'static str, Style)],
    courses: &'a [Course],
    seed: u64,
    today: NaiveDate,
    versions: BTreeMap<&'static str, StyleVersionId>,
    helpers: [PersonId; 2],
    clients: BTreeMap<usize, ClientId>,
    orders: BTreeMap<usize, Taken>,
    shelf: Shelf,
}

/// An order in the book.
struct Taken {
    id: OrderId,
    garments: Vec<(GarmentId, ClothFacts)>,
    fitting: Option<FittingId>,
    payment: Option<PaymentId>,
}

impl<'a> Keeper<'a> {
    /// A keeper of an empty book.
    pub(super) fn new(
        actions: &'a Actions<'a>,
        styles: &'a [(&'static str, Style)],
        courses: &'a [Course],
        seed: u64,
        today: NaiveDate,
    ) -> Keeper<'a> {
        Keeper {
            actions,
            styles,
            courses,
            seed,
            today,
            versions: BTreeMap::new(),
            helpers: [OWNER; 2],
            clients: BTreeMap::new(),
            orders: BTreeMap::new(),
            shelf: Shelf::default(),
        }
    }

    /// Opens the shop and does everything.
    pub(super) fn keep(mut self, deeds: &[Deed]) -> Result<(), StoreError> {
        let opened = shifted(self.today, -380).and_time(chrono::NaiveTime::MIN).and_utc().timestamp_millis();
        self.open(opened)?;
        for deed in deeds {
            let [first, second] = self.helpers;
            let who = match deed.who {
                Who::Owner => OWNER,
                Who::First => first,
                Who::Second => second,
            };
            let words = self.words(&deed.what);
            self.actions.write(who, deed.at_ms, &words, |book| self.act(book, deed))?;
        }
        Ok(())
    }

    fn open(&mut self, at_ms: i64) -> Result<(), StoreError> {
        let week = house::Week::of(self.today);
        self.actions.write(OWNER, at_ms, "opened the shop", |book| {
            book.set_settings(&week.settings(book.settings()?))?;
            let mut owner = book.person(OWNER)?;
            owner.name = house::OWNER_NAME.into();
            book.change_person(&owner)
        })?;
        for (place, name) in self.helpers.iter_mut().zip(house::HELPERS) {
            *place = self.actions.write(OWNER, at_ms, "took on a helper", |book| book.add_person(name))?;
        }
        let day = shifted(self.today, -380);
        let shelf = &mut self.shelf;
        self.actions.write(OWNER, at_ms, "wrote down what lies on the shelf", |book| shelf.fill(book, day))?;
        self.actions.write(OWNER, at_ms, "opened the style book", |book| {
            let texts: Vec<BookText> = BOOK
                .iter()
                .zip(self.styles)
                .map(|(style, (_, read))| BookText { key: style.key, label: read.label(), text: style.text })
                .collect();
            book.offer_book(&texts, env!("CARGO_PKG_VERSION"))?;
            for style in BOOK {
                self.versions.insert(style.key, book.style(style.key)?.current.id);
            }
            Ok(())
        })
    }

    /// The draft of a garment as it is agreed now.
    fn draft_of(&self, book: &Writer, garment: &Garment) -> Result<Option<(&Style, Draft)>, StoreError> {
        let Some(version) = garment.facts.style else { return Ok(None) };
        let key = self.versions.iter().find(|(_, id)| **id == version).map(|(key, _)| *key);
        let Some((_, style)) = self.styles.iter().find(|(known, _)| Some(*known) == key) else { return Ok(None) };
        let body = book.body(garment.facts.wearer, garment.facts.set)?;
        let draft = job::drafted(style, &garment.facts, &body, &book.settings()?).ok();
        Ok(draft.map(|draft| (style, draft)))
    }

    fn words(&self, what: &What) -> String {
        match what {
            What::Meet(_) => "wrote a client".into(),
            What::Measure(_) => "measured".into(),
            What::Take(_) => "took the order".into(),
            What::Charge(_, kind, words, _) => format!("{}: {words}", kind.words()),
            What::Arrange(_, day, _) => format!("arranged a fitting for {}", day.format("%-d %B")),
            What::Settle(_, state) => format!("fitting {}", state.words()),
            What::Correct(..) => "noted corrections".into(),
            What::Move(_, _, stage, "") => format!("moved on to {}", stage.words()),
            What::Move(_, _, stage, reason) => format!("back to {}: {reason}", stage.words()),
            What::Pay(_, kind, _) => format!("took a {}", kind.words()),
            What::Void(_, why) => format!("made a payment void: {why}"),
            What::Stand(_, standing, why) => format!("order {}: {why}", standing.words()),
        }
    }

    fn act(&mut self, book: &Writer, deed: &Deed) -> Result<(), StoreError> {
        match deed.what {
            What::Meet(place) => {
                let person = found(people::at(place), "person", place)?;
                self.clients.insert(place, book.add_client(&people::facts(place, person))?);
                Ok(())
            }
            What::Measure(taking) => {
                let person = found(people::at(taking.person), "person", taking.person)?;
                let wearer = self.client(taking.person)?;
                book.add_set(&measured::set(&taking, person, wearer, self.seed))?;
                // With new figures every other correction is looked at, and holds no more.
                let standing = book.corrections_of(wearer)?.into_iter().filter(|one| one.is_in_force());
                for one in standing.filter(|_| taking.person.is_multiple_of(2)) {
                    book.end_correction(one.id, deed.day, "measured anew")?;
                }
                Ok(())
            }
            What::Take(order) => self.take(book, order),
            What::Charge(order, kind, words, price) => {
                let money = Money::new(cedis(price), book.settings()?.currency);
                let facts = ChargeFacts { kind, garment: None, words: words.into(), money };
                book.add_charge(self.order(order)?.id, &facts).map(drop)
            }
            What::Arrange(order, day, time) => {
                let taken = self.order(order)?;
                let facts = FittingFacts {
                    order: taken.id,
                    garment: None,
                    day,
                    time: Some(time),
                    minutes: 30,
                    state: FittingState::Arranged,
                    note: String::new(),
                };
                taken.fitting = Some(book.add_fitting(&facts)?);
                Ok(())
            }
            What::Settle(order, state) => self.settle(book, order, state),
            What::Correct(order, place, why) => {
                let garment = found(self.order(order)?.garments.get(place), "garment", place)?.0;
                let wearer = book.garment(garment)?.facts.wearer;
                match pinned::correction(why, wearer, garment, deed.day) {
                    Some(facts) => book.add_correction(&facts).map(drop),
                    None => Ok(()),
                }
            }
            What::Move(order, place, stage, reason) => self.moved(book, deed, order, place, stage, reason),
            What::Pay(order, kind, percent) => self.pay(book, deed, order, kind, percent),
            What::Void(order, why) => {
                let taken = self.order(order)?;
                let payment = found(taken.payment, "payment", order)?;
                book.void_payment(payment, deed.day, why).map(drop)
            }
            What::Stand(order, standing, why) => {
                let order = book.order(self.order(order)?.id)?;
                book.set_standing(order.id, order.version, standing, why)
            }
        }
    }

    fn take(&mut self, book: &Writer, place: usize) -> Result<(), StoreError> {
        let course = found(self.courses.get(place), "order", place)?;
        let mut rng = Pcg64::seed_from_u64(self.seed ^ 0x7a4e ^ (u64::try_from(place).unwrap_or(0) << 16));
        let settings = book.settings()?;
        let (event, event_day) = match course.event {
            Some((event, after)) => (event.to_string(), Some(shifted(course.promised, after))),
            None => (String::new(), None),
        };
        let (id, _) = book.add_order(&OrderFacts {
            client: self.client(course.payer)?,
            taken: course.taken,
            promised: Some(course.promised),
            event,
            event_day,
            note: picked(
                &mut rng,
                &["", "", "", "Ring when it is on the rail.", "Her sister may collect.", "Scraps go back."],
            )
            .into(),
        })?;
        let mut garments = Vec::new();
        for make in &course.makes {
            let (mut facts, cloth, priced) = self.garment(book, make, &settings, &mut rng)?;
            // What is ordered from the mainland comes within eight days; later than that nobody knows.
            let comes = shifted(course.taken, 8);
            facts.cloth.comes = Some(comes).filter(|comes| {
                facts.style.is_some() && facts.cloth.stock.is_none() && !make.brought && *comes >= self.today
            });
            let (garment, _) = book.add_garment(id, &facts)?;
            if let (Some(priced), Some(minutes)) = (priced, facts.minutes)
                && rng.random_bool(0.6)
            {
                book.add_quote(&job::quote(garment, &priced, None, minutes))?;
            }
            garments.push((garment, cloth));
        }
        self.orders.insert(place, Taken { id, garments, fitting: None, payment: None });
        Ok(())
    }

    /// A garment as it is ordered, the cloth that comes for it, and the price worked out.
    fn garment(
        &self,
        book: &Writer,
        make: &Make,
        settings: &Settings,
        rng: &mut Pcg64,
    ) -> Result<(GarmentFacts, ClothFacts, Option<job::Priced>), StoreError> {
        let wearer = self.client(make.wearer)?;
        let mut facts = GarmentFacts::of(wearer, "");
        facts.fittings = make.fittings;
        let key = match make.kind {
            Kind::Style(key) => key,
            Kind::Ticket(ticket) => {
                facts.what = ticket.what.into();
                facts.agreed.other = ticket.agreed.into();
                facts.minutes = Some(ticket.work());
                facts.price = Some(Money::new(cedis(ticket.price), settings.currency));
                return Ok((facts, ClothFacts::UNKNOWN, None));
            }
        };
        let style = &found(self.styles.iter().find(|(known, _)| *known == key), "style", key)?.1;
        facts.style = self.versions.get(key).copied();
        facts.what = style.label().into();
        facts.set = book.newest_set(wearer)?;
        let body = book.body(wearer, facts.set)?;
        facts.corrections = body.in_force();
        let who = people::at(make.wearer).map_or(Wearer::Unsaid, |person| person.wearer);
        let drafted = |facts: &GarmentFacts| job::drafted(style, facts, &body, settings).ok().filter(Draft::sews);
        let mut draft = None;
        // A wish that the style cannot fulfil is talked over at the counter.
        for wish in (0..TRIES).map(|_| Wish::of(rng, key, who)).collect::<Vec<_>>().into_iter().chain([Wish::plain()]) {
            (facts.choices, facts.finished, facts.agreed) = (wish.choices, wish.finished, wish.agreed);
            draft = drafted(&facts);
            if draft.is_some() {
                break;
            }
        }
        let Some(draft) = draft else { return Ok((facts, ClothFacts::UNKNOWN, None)) };
        let minutes = job::minutes(&draft, make.fittings);
        facts.minutes = Some(minutes);
        facts.waits = job::waits(&draft);
        let mut cloth = cloths::cloth(rng, &draft, make.brought, make.short, settings);
        let reckoned_length = cloth.length;
        self.shelf.serve(&draft, &mut cloth, &mut facts);
        facts.cloth = cloth.clone();
        let priced = job::priced(&facts, reckoned_length, minutes, &[], settings).ok();
        // Asked in fives, upwards.
        let reckoned = priced.as_ref().map_or(0, |priced| priced.reckoned.minor());
        facts.price = Some(Money::new((reckoned + cedis(5) - 1) / cedis(5) * cedis(5), settings.currency));
        // What is not here yet is not measured yet.
        (facts.cloth.length, facts.cloth.lengths, facts.cloth.washed) = (None, Vec::new(), None);
        facts.cloth.flaws = String::new();
        Ok((facts, cloth, priced))
    }

    fn moved(
        &mut self,
        book: &Writer,
        deed: &Deed,
        order: usize,
        place: usize,
        stage: Stage,
        reason: &str,
    ) -> Result<(), StoreError> {
        let seed = self.seed;
        let (id, cloth) = found(self.order(order)?.garments.get(place), "garment", place)?.clone();
        let garment = book.garment(id)?;
        let mut facts = garment.facts.clone();
        let mut accepts = false;
        match stage {
            Stage::ClothIn if facts.style.is_some() => {
                facts.cloth = cloth;
                accepts = facts.cloth.stock.is_some();
            }
            Stage::ClothIn => {}
            Stage::Cut if garment.stage < stage => {
                facts.bag = format!("bag {}", 1 + id.get() % 40);
                self.cut(book, deed, &garment)?;
            }
            Stage::Finished => {
                let hook = Pcg64::seed_from_u64(seed ^ id.get().unsigned_abs()).random_range(1..30);
                facts.place = format!("rail, hook {hook}");
            }
            Stage::Collected => (facts.place, facts.bag) = (String::new(), String::new()),
            _ => {}
        }
        if facts != garment.facts {
            book.change_garment(id, garment.version, &facts)?;
        }
        if accepts {
            let garment = book.garment(id)?;
            if let Some((_, draft)) = self.draft_of(book, &garment)? {
                self.shelf.accept(book, &garment, &draft, &book.settings()?, deed.at_ms)?;
            }
        }
        book.move_garment(id, garment.stage, stage, reason)?;
        if garment.stage < Stage::Cut && stage >= Stage::Cut {
            self.shelf.cut(book, &garment, deed.day)
        } else {
            Ok(())
        }
    }

    /// What was cut is kept in full.
    fn cut(&self, book: &Writer, deed: &Deed, garment: &Garment) -> Result<(), StoreError> {
        let Some((style, draft)) = self.draft_of(book, garment)? else { return Ok(()) };
        let body = book.body(garment.facts.wearer, garment.facts.set)?;
        let input = job::input(style, &garment.facts, &body, &book.settings()?);
        book.add_cut(&job::cut_record(garment.id, OWNER, deed.at_ms, style, &input, &draft)).map(drop)
    }

    fn settle(&mut self, book: &Writer, order: usize, state: FittingState) -> Result<(), StoreError> {
        let taken = self.order(order)?;
        let Some(id) = taken.fitting.take() else { return Ok(()) };
        let fittings = book.fittings_of(taken.id)?;
        let fitting = found(fittings.into_iter().find(|fitting| fitting.id == id), "fitting", order)?;
        book.change_fitting(id, fitting.version, &FittingFacts { state, ..fitting.facts })
    }

    fn pay(
        &mut self,
        book: &Writer,
        deed: &Deed,
        order: usize,
        kind: PaymentKind,
        percent: i64,
    ) -> Result<(), StoreError> {
        let taken = self.order(order)?;
        let settings = book.settings()?;
        let account = book.account(taken.id)?;
        // Of the price for a deposit; a second one by mistake is as large as the first.
        let of = match kind {
            PaymentKind::Deposit => account.due,
            PaymentKind::Refund => account.paid,
            _ => account.balance(),
        };
        let whole = of.minor() * percent / 100;
        // Part of a price is paid in whole cedis.
        let minor = if percent == 100 { whole } else { whole / cedis(1) * cedis(1) };
        if minor <= 0 {
            return Ok(());
        }
        let method = ["cash", "mobile money", "cash", "bank"];
        let facts = PaymentFacts {
            kind,
            money: Money::new(minor, settings.currency),
            day: deed.day,
            method: method.get(order % method.len()).copied().unwrap_or("cash").into(),
            note: if kind == PaymentKind::Refund { "called off before cutting".into() } else { String::new() },
        };
        let id = book.take_payment(taken.id, &facts)?;
        taken.payment = Some(id);
        if matches!(kind, PaymentKind::Balance | PaymentKind::Part) {
            let payments = book.payments_of(taken.id)?;
            let payment = found(payments.iter().find(|payment| payment.id == id), "payment", order)?;
            let whole = book.order(taken.id)?;
            book.issue_paper(&job::receipt(&whole, payment, book.account(taken.id)?, &settings, deed.day))?;
        }
        Ok(())
    }

    fn client(&self, place: usize) -> Result<ClientId, StoreError> {
        found(self.clients.get(&place).copied(), "client", place)
    }

    fn order(&mut self, place: usize) -> Result<&mut Taken, StoreError> {
        found(self.orders.get_mut(&place), "order", place)
    }
}

/// Wishes tried before the style is taken as it is.
const TRIES: usize = 4;

fn found<T>(one: Option<T>, what: &'static str, which: impl ToString) -> Result<T, StoreError> {
    one.ok_or_else(|| StoreError::Missing { what, which: which.to_string() })
}
