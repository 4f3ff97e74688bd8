//! Everything that was done in the workroom, each with its time and by whom, in order.

use std::collections::{BTreeMap, BTreeSet};

use chrono::{NaiveDate, NaiveTime};
use rand::{RngExt, SeedableRng};
use rand_pcg::Pcg64;

use crate::shop::{ChargeKind, FittingState, PaymentKind, Source, Stage, Standing, Wearer};

use super::course::{Course, Paid, Turn};
use super::house::{Week, shifted};
use super::measured::Taking;
use super::people;
use super::pinned;
use super::wish::Kind;

/// Something that was done.
#[derive(Clone, Copy, Debug)]
pub(super) struct Deed {
    /// When (UTC milliseconds).
    pub(super) at_ms: i64,
    /// On which day.
    pub(super) day: NaiveDate,
    /// By whom.
    pub(super) who: Who,
    /// What.
    pub(super) what: What,
}

/// Somebody of the workroom.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Who {
    /// Measures, cuts, fits and takes orders.
    Owner,
    /// Sews.
    First,
    /// Finishes and hands over.
    Second,
}

/// What was done. Persons and orders by their place in the lists.
#[derive(Clone, Copy, Debug)]
pub(super) enum What {
    /// A client was written down.
    Meet(usize),
    /// Somebody was measured.
    Measure(Taking),
    /// An order was taken.
    Take(usize),
    /// An extra or a discount was agreed, in cedis.
    Charge(usize, ChargeKind, &'static str, i64),
    /// A fitting was arranged.
    Arrange(usize, NaiveDate, NaiveTime),
    /// The fitting arranged last was held, missed or called off.
    Settle(usize, FittingState),
    /// What the fitting of a garment showed stays noted as a standing correction.
    Correct(usize, usize, &'static str),
    /// A garment of an order was moved to a stage.
    Move(usize, usize, Stage, &'static str),
    /// So many per cent of what is still to pay were paid, or of what was paid given back.
    Pay(usize, PaymentKind, i64),
    /// The payment written last was declared void.
    Void(usize, &'static str),
    /// The order was put on hold or called off.
    Stand(usize, Standing, &'static str),
}

/// All deeds until the evening before `today`.
pub(super) fn in_order(courses: &[Course], seed: u64, today: NaiveDate, week: &Week) -> Vec<Deed> {
    let mut all = Vec::new();
    let mut known = Known { met: BTreeSet::new(), sets: BTreeMap::new() };
    for (order, course) in courses.iter().enumerate() {
        let place = u64::try_from(order).unwrap_or(0);
        let rng = Pcg64::seed_from_u64(seed ^ (place << 24) ^ 0xdeed);
        let mut told = Teller {
            order,
            course,
            week,
            yesterday: week.back(shifted(today, -1)),
            rng,
            now: (course.taken, 0),
            deeds: Vec::new(),
        };
        told.people(&mut known);
        told.whole();
        all.append(&mut told.deeds);
    }
    strangers(&mut known, &mut all, seed, today, week);
    all.sort_by_key(|deed| deed.at_ms);
    all
}

/// Who was met and when each was measured last.
struct Known {
    met: BTreeSet<usize>,
    sets: BTreeMap<usize, (NaiveDate, u32)>,
}

impl Known {
    /// The next set of a person, if the last one is too old to cut from.
    fn due(&mut self, person: usize, day: NaiveDate) -> Option<Taking> {
        // A year stands for a grown person, three months for a child; careful people measure sooner.
        let child = people::at(person).is_some_and(|who| who.wearer == Wearer::Child);
        let stands = if child { 85 } else { 170 };
        let (last, number) = self.sets.get(&person).copied().unwrap_or((day, 0));
        if number > 0 && (day - last).num_days() < stands {
            return None;
        }
        self.sets.insert(person, (day, number + 1));
        Some(Taking { person, number: number + 1, day, source: Source::Tape })
    }
}

/// People who came to be measured or to ask, and ordered nothing yet.
fn strangers(known: &mut Known, deeds: &mut Vec<Deed>, seed: u64, today: NaiveDate, week: &Week) {
    let mut rng = Pcg64::seed_from_u64(seed ^ 0x5742);
    for person in 0..people::PEOPLE.len() {
        if known.met.contains(&person) {
            continue;
        }
        let day = week.back(shifted(today, -rng.random_range(1..200)));
        deeds.push(Deed { at_ms: at_ms(day, 510), day, who: Who::Owner, what: What::Meet(person) });
        if rng.random_bool(0.7)
            && let Some(taking) = known.due(person, day)
        {
            deeds.push(Deed { at_ms: at_ms(day, 525), day, who: Who::Owner, what: What::Measure(taking) });
        }
    }
}

/// Tells one order from its beginning.
struct Teller<'a> {
    order: usize,
    course: &'a Course,
    week: &'a Week,
    yesterday: NaiveDate,
    rng: Pcg64,
    /// The day it is, and how much was done for this order on it.
    now: (NaiveDate, i64),
    deeds: Vec<Deed>,
}

impl Teller<'_> {
    /// Those of the order who are not known yet, and the measures that it needs.
    fn people(&mut self, known: &mut Known) {
        let day = self.course.taken;
        let makes = &self.course.makes;
        let mut wearers: Vec<usize> = makes.iter().map(|make| make.wearer).collect();
        wearers.dedup();
        for person in [self.course.payer].iter().chain(&wearers) {
            if known.met.insert(*person) {
                self.push(at_ms(day, 510), day, Who::Owner, What::Meet(*person));
                self.old_card(*person, known);
            }
        }
        for make in makes.iter().filter(|make| matches!(make.kind, Kind::Style(_))) {
            if let Some(taking) = known.due(make.wearer, day) {
                self.push(at_ms(day, 525), day, Who::Owner, What::Measure(taking));
            }
        }
    }

    /// Some have a card in the old box, some a list from their last dressmaker.
    fn old_card(&mut self, person: usize, known: &mut Known) {
        let source = match person % 11 {
            3 => Source::Paper,
            7 => Source::Import,
            _ => return,
        };
        let day = shifted(self.course.taken, -self.rng.random_range(190..500));
        known.sets.insert(person, (day, 1));
        let taking = Taking { person, number: 1, day, source };
        let today = self.course.taken;
        self.push(at_ms(today, 515), today, Who::Second, What::Measure(taking));
    }

    /// From the taking to where it stands.
    fn whole(&mut self) {
        let Course { taken, turn, .. } = *self.course;
        let order = self.order;
        self.on(taken, Who::Owner, What::Take(order));
        self.agreed();
        self.deposited();
        self.arranged();
        for stage in Stage::ALL.iter().copied().filter(|stage| *stage > Stage::Booked) {
            self.came_to(stage);
        }
        let after = self.week.on(shifted(self.course.until, 1)).min(self.yesterday);
        match turn {
            Turn::Hold(why) => self.on(after, Who::Owner, What::Stand(order, Standing::OnHold, why)),
            Turn::CalledOff(why) => {
                if self.course.paid != Paid::NotYet {
                    self.on(after, Who::Owner, What::Pay(order, PaymentKind::Refund, 100));
                }
                self.on(after, Who::Owner, What::Settle(order, FittingState::CalledOff));
                self.on(after, Who::Owner, What::Stand(order, Standing::Cancelled, why));
            }
            _ => {}
        }
    }

    /// Extras and discounts.
    fn agreed(&mut self) {
        let (kind, words, cedis) = match self.rng.random_range(0..18) {
            0 => (ChargeKind::Extra, "rush work", 40),
            1 => (ChargeKind::Extra, "lining from our shelf", 65),
            2 => (ChargeKind::Discount, "for the choir", 20),
            3 => (ChargeKind::Extra, "brought to the ferry", 15),
            _ => return,
        };
        self.on(self.course.taken, Who::Owner, What::Charge(self.order, kind, words, cedis));
    }

    fn deposited(&mut self) {
        let (order, taken) = (self.order, self.course.taken);
        if self.course.paid == Paid::NotYet {
            return;
        }
        self.on(taken, Who::Owner, What::Pay(order, PaymentKind::Deposit, 50));
        if self.course.paid == Paid::Twice {
            self.on(taken, Who::Second, What::Pay(order, PaymentKind::Deposit, 50));
            self.on(taken, Who::Owner, What::Void(order, "written twice, once by each of us"));
        }
    }

    /// The first fitting, where there is one.
    fn arranged(&mut self) {
        if !self.is_fitted() {
            return;
        }
        let (order, taken) = (self.order, self.course.taken);
        let time = NaiveTime::from_hms_opt(9 + self.rng.random_range(0..8), 30, 0).unwrap_or(NaiveTime::MIN);
        let first = match self.course.turn {
            Turn::Missed => Some((self.open(self.course.day_of(Stage::Tacked)), time)),
            Turn::Back(_) if self.course.reach < Stage::Fitted => Some((self.open(self.course.until), time)),
            _ if self.course.reach >= Stage::Fitted => Some((self.open(self.course.day_of(Stage::Fitted)), time)),
            _ => self.course.fits,
        };
        if let Some((day, time)) = first {
            self.on(taken, Who::Owner, What::Arrange(order, day, time));
        }
    }

    /// All garments that get there come to a stage.
    fn came_to(&mut self, stage: Stage) {
        let day = self.open(self.course.day_of(stage));
        let sent_back = matches!(self.course.turn, Turn::Back(_)) && self.is_fitted();
        // Sent back to the tacking: it was tacked on the day before, and fitted today.
        if sent_back && stage == Stage::Tacked && self.course.reach == Stage::Tacked {
            let before = self.open(shifted(day, -1)).max(self.now.0);
            self.moved(stage, before);
            self.fitted(day);
            return;
        }
        if stage == Stage::Fitted && self.course.reach >= Stage::Fitted {
            self.fitted(day);
            if self.course.turn == Turn::Lagging
                && let Some((day, time)) = self.course.fits
            {
                self.on(self.now.0, Who::Owner, What::Arrange(self.order, day, time));
            }
            return;
        }
        self.moved(stage, day);
        if stage == Stage::Tacked && self.course.turn == Turn::Missed && self.is_fitted() {
            self.on(day, Who::Owner, What::Settle(self.order, FittingState::Missed));
            self.next_fitting();
        }
        self.paid_at(stage, day);
    }

    /// The client came; what was wrong goes back to the tacking.
    fn fitted(&mut self, day: NaiveDate) {
        let order = self.order;
        if self.is_fitted() {
            self.on(day, Who::Owner, What::Settle(order, FittingState::Held));
        }
        self.moved_past(Stage::Fitted, day);
        let Turn::Back(why) = self.course.turn else {
            // Small things are altered on the spot and noted all the same.
            let first = self.places(Stage::Fitted).find(|place| self.fittings(*place) > 0);
            if let Some(place) = first.filter(|_| order % 4 == 1) {
                self.on(day, Who::Owner, What::Correct(order, place, pinned::reason(order / 4)));
            }
            return;
        };
        if !self.is_fitted() {
            return;
        }
        let back: Vec<usize> = self.places(Stage::Tacked).filter(|place| self.fittings(*place) > 0).collect();
        for place in &back {
            self.on(day, Who::Owner, What::Move(order, *place, Stage::Tacked, why));
        }
        if let Some(place) = back.first() {
            self.on(day, Who::Owner, What::Correct(order, *place, why));
        }
        self.next_fitting();
        if self.course.reach >= Stage::Fitted && self.is_fitted() {
            self.on(day, Who::Owner, What::Settle(order, FittingState::Held));
            self.moved_past(Stage::Fitted, day);
        }
    }

    /// Another fitting: the one that is ahead, or one on the day of which it was fitted.
    fn next_fitting(&mut self) {
        let noon = NaiveTime::from_hms_opt(17, 0, 0).unwrap_or(NaiveTime::MIN);
        let (day, time) = self.course.fits.unwrap_or((self.open(self.course.day_of(Stage::Fitted)), noon));
        self.on(self.now.0, Who::Owner, What::Arrange(self.order, day, time));
    }

    fn moved(&mut self, stage: Stage, day: NaiveDate) {
        let places: Vec<usize> = self.places(stage).collect();
        self.move_all(&places, stage, day);
    }

    /// Moves those too that are fitted and go back afterwards.
    fn moved_past(&mut self, stage: Stage, day: NaiveDate) {
        let goes_back = matches!(self.course.turn, Turn::Back(_)) && self.course.reach < stage;
        let from = if goes_back { self.course.reach } else { stage };
        let places: Vec<usize> = self.places(from).filter(|place| self.fittings(*place) > 0).collect();
        self.move_all(&places, stage, day);
    }

    fn move_all(&mut self, places: &[usize], stage: Stage, day: NaiveDate) {
        let who = match stage {
            Stage::Tacked | Stage::Sewn => Who::First,
            Stage::Finished | Stage::Collected => Who::Second,
            _ => Who::Owner,
        };
        for place in places {
            self.on(day, who, What::Move(self.order, *place, stage, ""));
        }
    }

    fn paid_at(&mut self, stage: Stage, day: NaiveDate) {
        let order = self.order;
        match (stage, self.course.paid) {
            (Stage::Sewn, Paid::InParts) if self.course.reach >= Stage::Sewn => {
                self.on(day, Who::Second, What::Pay(order, PaymentKind::Part, 50));
            }
            (Stage::Collected, paid) if self.course.reach == Stage::Collected => {
                let (kind, percent) = match paid {
                    _ if self.course.turn == Turn::Parted => (PaymentKind::Part, 40),
                    Paid::Owing => (PaymentKind::Part, 60),
                    _ => (PaymentKind::Balance, 100),
                };
                self.on(day, Who::Second, What::Pay(order, kind, percent));
            }
            _ => {}
        }
    }

    /// The garments that come to a stage and pass it.
    fn places(&self, stage: Stage) -> impl Iterator<Item = usize> + use<> {
        let course = self.course;
        let comes = |place: usize, fittings: u8| stage.is_passed(fittings) && course.reach_of(place, fittings) >= stage;
        let places: Vec<usize> = course
            .makes
            .iter()
            .enumerate()
            .filter(|(place, make)| comes(*place, make.fittings))
            .map(|(place, _)| place)
            .collect();
        places.into_iter()
    }

    fn fittings(&self, place: usize) -> u8 {
        self.course.makes.get(place).map_or(0, |make| make.fittings)
    }

    fn is_fitted(&self) -> bool {
        self.course.makes.iter().any(|make| make.fittings > 0)
    }

    fn open(&self, day: NaiveDate) -> NaiveDate {
        self.week.back(day).max(self.course.taken)
    }

    /// The next thing done for this order, on this day or, if it is later by now, today.
    fn on(&mut self, day: NaiveDate, who: Who, what: What) {
        self.now = if day > self.now.0 { (day, 0) } else { (self.now.0, self.now.1 + 1) };
        let minute = 545 + self.now.1 * 16 + self.rng.random_range(0..14);
        self.push(at_ms(self.now.0, minute), self.now.0, who, what);
    }

    fn push(&mut self, at_ms: i64, day: NaiveDate, who: Who, what: What) {
        self.deeds.push(Deed { at_ms, day, who, what });
    }
}

/// The instant of a minute of a day. The zone of the shop has no summer time and is UTC.
fn at_ms(day: NaiveDate, minute: i64) -> i64 {
    day.and_time(NaiveTime::MIN).and_utc().timestamp_millis() + minute * 60_000
}
