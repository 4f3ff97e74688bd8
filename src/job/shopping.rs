//! The shopping list: what the garments that are still to be cut need, cloth by cloth, and
//! what of it is to be bought.
//!
//! A garment's cloth is cut in one length (or from the remnants that its lay was laid on), so
//! what lies in the shop is dealt out length by length, the longest need first, each from the
//! shortest length that suffices. Three yards that lie there in two halves are not three yards.

use std::collections::{BTreeMap, BTreeSet};

use chrono::NaiveDate;

use crate::draft::{self, Draft};
use crate::lay::LayError;
use crate::measure::Length;
use crate::shop::{
    Cloth, ClothFacts, ClothId, ClothLength, ClothLengthId, GarmentFacts, LayId, Letter, Money, OrderNumber, PricedBy,
    Settings, Stage,
};

use super::laid::{cloths, enough_of, facts_of};

/// What a garment needs of one of its cloths.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ClothNeed {
    /// Which of its cloths.
    pub cloth: draft::Cloth,
    /// The width that it was reckoned at.
    pub width: Length,
    /// Whether that width was assumed.
    pub width_assumed: bool,
    /// What must be cut from the bolt, with squaring and shrinkage.
    pub cut: Length,
    /// Whether a quick lay says so: enough, and perhaps more than the lay needs that the garment's page shows.
    pub is_quick: bool,
}

/// What a garment needs of each of its cloths: surely enough, by a quick lay.
///
/// # Errors
/// [`LayError`] naming the piece, strip or cloth at fault and the remedy.
pub fn cloth_needs(draft: &Draft, facts: &GarmentFacts, settings: &Settings) -> Result<Vec<ClothNeed>, LayError> {
    let one = |cloth: draft::Cloth| {
        let own = facts_of(facts, cloth);
        let (width, need) = enough_of(draft, cloth, &own, settings)?;
        Ok(ClothNeed { cloth, width, width_assumed: own.width.is_none(), cut: need.cut_length, is_quick: true })
    };
    cloths(draft).into_iter().map(one).collect()
}

/// A garment that is still to be cut.
#[derive(Clone, Debug)]
pub struct Wanting<'a> {
    /// Its order's number.
    pub number: OrderNumber,
    /// Its letter.
    pub letter: Letter,
    /// Who wears it.
    pub wearer: &'a str,
    /// How far it is.
    pub stage: Stage,
    /// What was agreed.
    pub facts: &'a GarmentFacts,
    /// What the lays that were accepted for it need, by the cloth that they are of.
    pub accepted: BTreeMap<draft::Cloth, AcceptedFor>,
    /// What is held for it on lengths of the shop's cloths.
    pub held: BTreeMap<draft::Cloth, Length>,
    /// What it needs, or why nobody knows.
    pub needs: Result<Vec<ClothNeed>, String>,
}

/// What an accepted lay needs, of one garment or of several.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct AcceptedFor {
    /// Which lay.
    pub lay: LayId,
    /// What must be cut from the bolt for all its garments.
    pub need: Length,
    /// How many garments are cut from it.
    pub garments: u32,
    /// Whether its cloth went from the shelf to the table already, for all of them.
    pub is_taken: bool,
}

/// Where the cloth of a garment comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Supply {
    /// It is held for the garment on a length of the shop's.
    Held,
    /// A length of the shop's suffices that is held for nobody.
    There(ClothLengthId),
    /// Its own length is measured and suffices.
    Own,
    /// No one length of its own suffices, but all of them together: to be laid on them.
    Remnants,
    /// It is in, and nobody measured it.
    In,
    /// The client brings it.
    Brings,
    /// It comes on this day.
    Comes(NaiveDate),
    /// Its longest length falls short by so much.
    Short(Length),
    /// It is to be bought.
    Buy,
}

/// One cloth of one garment.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ShoppingLine {
    /// Its order's number.
    pub number: OrderNumber,
    /// Its letter.
    pub letter: Letter,
    /// What it is.
    pub what: String,
    /// Who wears it.
    pub wearer: String,
    /// What is known of the cloth in words.
    pub words: String,
    /// What it needs, its spare for mistakes included.
    pub need: ClothNeed,
    /// Whether the need is that of an accepted lay.
    pub accepted: bool,
    /// How many other garments are cut from that lay; they have no line of their own.
    pub others: u32,
    /// Where it comes from.
    pub supply: Supply,
}

/// One cloth with the garments that are cut from it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ShoppingGroup {
    /// The shop's cloth, when it is one.
    pub stock: Option<ClothId>,
    /// What it is called; empty when nothing is written.
    pub name: String,
    /// Which cloth of a garment; the shop's own serve for any.
    pub cloth: draft::Cloth,
    /// The garments.
    pub lines: Vec<ShoppingLine>,
    /// What lies there of it, and what of that is held.
    pub there: Length,
    /// What of that is held for garments.
    pub held: Length,
    /// What is to be bought: the needs that nothing there suffices for, together.
    pub lacking: Length,
    /// That, rounded up to the step in which cloth is sold.
    pub to_buy: Length,
    /// Its price and by what, when it is known.
    pub price: Option<(Money, PricedBy)>,
    /// What it comes to, when the price is known.
    pub cost: Option<Money>,
    /// From whom it is bought.
    pub from_whom: String,
}

/// The list.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Shopping {
    /// Cloths of which something is to be bought, by name.
    pub buy: Vec<ShoppingGroup>,
    /// The shop's cloths of which enough is there for what is to be cut from them.
    pub enough: Vec<ShoppingGroup>,
    /// What clients bring, what is on its way, what falls short.
    pub look_after: Vec<ShoppingLine>,
    /// Cloths of garments that are in.
    pub settled: usize,
    /// Garments whose need nobody knows, with the reason.
    pub unknown: Vec<(OrderNumber, Letter, String, String)>,
    /// Garments that are made without a draft: what their cloth comes to, a hand reckons.
    pub by_hand: Vec<(OrderNumber, Letter, String)>,
}

/// The list for these garments, with what lies on the shelf.
#[must_use]
pub fn shopping(wanting: &[Wanting<'_>], shelf: &[(Cloth, Vec<ClothLength>)], settings: &Settings) -> Shopping {
    let mut list = Shopping::default();
    let mut groups: BTreeMap<Key, ShoppingGroup> = BTreeMap::new();
    let mut joint: BTreeSet<LayId> = BTreeSet::new();
    for garment in wanting {
        let needs = match &garment.needs {
            Ok(needs) => needs,
            Err(_) if garment.facts.style.is_none() => {
                list.by_hand.push((garment.number, garment.letter, garment.facts.what.clone()));
                continue;
            }
            Err(why) => {
                list.unknown.push((garment.number, garment.letter, garment.facts.what.clone(), why.clone()));
                continue;
            }
        };
        for need in needs {
            // A joint lay is asked for once, by the first of its garments that waits.
            let lay = garment.accepted.get(&need.cloth).filter(|lay| lay.garments > 1);
            if lay.is_some_and(|lay| lay.is_taken) {
                list.settled += 1;
                continue;
            }
            if lay.is_some_and(|lay| !joint.insert(lay.lay)) {
                continue;
            }
            let own = facts_of(garment.facts, need.cloth);
            let line = line(garment, need, &own);
            match line.supply {
                Supply::Own | Supply::In => list.settled += 1,
                Supply::Remnants | Supply::Brings | Supply::Comes(_) | Supply::Short(_) => list.look_after.push(line),
                Supply::Held | Supply::There(_) | Supply::Buy => {
                    let key = Key::of(garment, need, &own);
                    let group = groups.entry(key).or_insert_with(|| group(need.cloth, &own, shelf));
                    group.lines.push(line);
                }
            }
        }
    }
    for (_, mut group) in groups {
        let lengths = shelf.iter().find(|(cloth, _)| Some(cloth.id) == group.stock).map(|(_, lengths)| lengths);
        group.deal_out(lengths.map_or(&[], Vec::as_slice), settings);
        if group.lacking > Length::ZERO { list.buy.push(group) } else { list.enough.push(group) }
    }
    list.buy.sort_by_key(ShoppingGroup::order);
    list.enough.sort_by_key(ShoppingGroup::order);
    list
}

/// What keeps two cloths apart.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Key {
    /// One of the shop's.
    Stock(ClothId),
    /// The same words at the same width, for the same use.
    Words(draft::Cloth, String, Length),
    /// Interfacing of which nothing is written: one and the same, as most shops have it.
    Interfacing(Length),
    /// Nothing is written: each garment by itself.
    Unwritten(OrderNumber, Letter, draft::Cloth),
}

impl Key {
    fn of(garment: &Wanting, need: &ClothNeed, own: &ClothFacts) -> Key {
        let words: Vec<String> = own.words.split_whitespace().map(str::to_lowercase).collect();
        match own.stock {
            Some(stock) => Key::Stock(stock),
            None if words.is_empty() && need.cloth == draft::Cloth::Interfacing => Key::Interfacing(need.width),
            None if words.is_empty() => Key::Unwritten(garment.number, garment.letter, need.cloth),
            None => Key::Words(need.cloth, words.join(" "), need.width),
        }
    }
}

fn line(garment: &Wanting, need: &ClothNeed, own: &ClothFacts) -> ShoppingLine {
    let accepted = garment.accepted.get(&need.cloth);
    let mut need = need.clone();
    need.is_quick &= accepted.is_none();
    need.cut = accepted.map_or(need.cut, |lay| lay.need) + own.spare.unwrap_or(Length::ZERO);
    ShoppingLine {
        number: garment.number,
        letter: garment.letter,
        what: garment.facts.what.clone(),
        wearer: garment.wearer.into(),
        words: own.words.clone(),
        supply: supply(garment, &need, own),
        need,
        accepted: accepted.is_some(),
        others: accepted.map_or(0, |lay| lay.garments.saturating_sub(1)),
    }
}

/// Where the cloth comes from, as far as the garment's own facts say.
fn supply(garment: &Wanting, need: &ClothNeed, own: &ClothFacts) -> Supply {
    let (main, need, cloth) = (need.cloth == draft::Cloth::Main, need.cut, need.cloth);
    if garment.held.contains_key(&cloth) {
        return Supply::Held;
    }
    if own.stock.is_some() {
        return Supply::Buy;
    }
    match own.all_lengths().max() {
        Some(longest) if longest >= need => Supply::Own,
        Some(_)
            if own.lengths.len() + usize::from(own.length.is_some()) > 1
                && own.all_lengths().sum::<Length>() >= need =>
        {
            Supply::Remnants
        }
        Some(longest) => Supply::Short(need - longest),
        None => match own.comes {
            _ if main && garment.stage >= Stage::ClothIn => Supply::In,
            Some(day) => Supply::Comes(day),
            None if own.brought => Supply::Brings,
            None => Supply::Buy,
        },
    }
}

/// A group with nothing in it yet.
fn group(cloth: draft::Cloth, own: &ClothFacts, shelf: &[(Cloth, Vec<ClothLength>)]) -> ShoppingGroup {
    let stock = own.stock.and_then(|id| shelf.iter().find(|(cloth, _)| cloth.id == id));
    let lengths = stock.map_or(&[][..], |(_, lengths)| lengths.as_slice());
    let facts = stock.map(|(cloth, _)| &cloth.facts);
    ShoppingGroup {
        stock: stock.map(|(cloth, _)| cloth.id),
        name: facts.map_or_else(|| own.words.clone(), |facts| facts.name.clone()),
        cloth,
        lines: Vec::new(),
        there: lengths.iter().map(|length| length.there).sum(),
        held: lengths.iter().map(ClothLength::held_in_all).sum(),
        lacking: Length::ZERO,
        to_buy: Length::ZERO,
        price: match facts {
            Some(facts) => facts.price.map(|price| (price, facts.priced_by)),
            None => own.price.map(|price| (price, own.priced_by)),
        },
        cost: None,
        from_whom: facts.map(|facts| facts.from_whom.clone()).unwrap_or_default(),
    }
}

impl ShoppingGroup {
    /// Deals out what lies there, the longest need first, each from the shortest length that suffices.
    fn deal_out(&mut self, lengths: &[ClothLength], settings: &Settings) {
        let mut free: Vec<(Length, ClothLengthId)> = lengths.iter().map(|length| (length.free(), length.id)).collect();
        let mut wanting: Vec<&mut ShoppingLine> =
            self.lines.iter_mut().filter(|line| line.supply == Supply::Buy).collect();
        wanting.sort_by_key(|line| std::cmp::Reverse(line.need.cut));
        let mut lacking = Length::ZERO;
        for line in wanting {
            let shortest = free.iter_mut().filter(|(left, _)| *left >= line.need.cut).min_by_key(|(left, _)| *left);
            match shortest {
                Some((left, id)) => {
                    *left = *left - line.need.cut;
                    line.supply = Supply::There(*id);
                }
                None => lacking = lacking + line.need.cut,
            }
        }
        self.lacking = lacking;
        self.to_buy = lacking.rounded_up_to(settings.selling_step.length());
        self.cost = self.price.and_then(|(price, by)| price.share(self.to_buy.nm(), by.length().nm()));
    }

    /// What is held for nobody.
    #[must_use]
    pub fn free(&self) -> Length {
        if self.held >= self.there { Length::ZERO } else { self.there - self.held }
    }

    fn order(&self) -> (bool, String, draft::Cloth) {
        (self.name.is_empty(), self.name.to_lowercase(), self.cloth)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::shop::{ClientId, ClothOf, Currency, GarmentId, Held, LengthFacts, StockFacts};
    use proptest::prelude::*;

    fn settings() -> Settings {
        Settings::before_first_run(Currency::new("EUR").unwrap())
    }

    fn yards(eighths: i64) -> Length {
        Length::from_nm(Length::inches(36, 0).nm() / 8 * eighths)
    }

    fn garment(cloth: ClothFacts) -> GarmentFacts {
        GarmentFacts { cloth, ..GarmentFacts::of(ClientId::new(1), "Skirt") }
    }

    fn wants(count: u32, facts: &GarmentFacts, eighths: i64) -> Wanting<'_> {
        let cut = yards(eighths);
        let need = ClothNeed {
            cloth: draft::Cloth::Main,
            width: Length::inches(45, 0),
            width_assumed: false,
            cut,
            is_quick: true,
        };
        Wanting {
            number: OrderNumber { year: 2026, count },
            letter: Letter::A,
            wearer: "Maren",
            stage: Stage::Booked,
            facts,
            accepted: BTreeMap::new(),
            held: BTreeMap::new(),
            needs: Ok(vec![need]),
        }
    }

    fn shelf(lengths: &[(i64, i64)]) -> Vec<(Cloth, Vec<ClothLength>)> {
        let cloth = ClothId::new(7);
        let facts =
            StockFacts { price: Some(Money::new(1200, Currency::new("EUR").unwrap())), ..StockFacts::named("linen") };
        let of = |(id, (there, held)): (i64, &(i64, i64))| ClothLength {
            id: ClothLengthId::new(id),
            version: 1,
            cloth,
            facts: LengthFacts { day: NaiveDate::default(), washed: None, flaws: String::new(), place: String::new() },
            there: yards(*there),
            held: vec![Held {
                lay: LayId::new(9),
                cloth: ClothOf::Main,
                garments: 1,
                garment: GarmentId::new(1),
                number: OrderNumber { year: 2026, count: 9 },
                letter: Letter::A,
                what: String::new(),
                on: ClothLengthId::new(id),
                length: yards(*held),
            }],
        };
        vec![(Cloth { id: cloth, version: 1, retired: false, facts }, (1..).zip(lengths).map(of).collect())]
    }

    fn of_stock() -> ClothFacts {
        ClothFacts { stock: Some(ClothId::new(7)), ..ClothFacts::UNKNOWN }
    }

    #[test]
    fn what_lies_there_is_dealt_out_length_by_length() {
        let skirt = garment(of_stock());
        let wanting = [wants(1, &skirt, 20), wants(2, &skirt, 12), wants(3, &skirt, 10)];
        // 3 yd and 2 yd are there, of the 2 yd half a yard is held: 5 yd in all, 5 1/4 yd are needed.
        let list = shopping(&wanting, &shelf(&[(24, 0), (16, 4)]), &settings());
        let linen = &list.buy[0];
        let from: Vec<Supply> = linen.lines.iter().map(|line| line.supply).collect();
        assert_eq!(from, [Supply::There(ClothLengthId::new(1)), Supply::There(ClothLengthId::new(2)), Supply::Buy]);
        assert_eq!((linen.there, linen.free()), (yards(40), yards(36)));
        // 1 1/4 yd to buy, in quarters of a yard; at 12.00 a yard.
        assert_eq!((linen.lacking, linen.to_buy), (yards(10), yards(10)));
        assert_eq!(linen.cost.map(Money::minor), Some(1500));
        let list = shopping(&wanting, &shelf(&[(24, 0), (16, 4), (10, 0)]), &settings());
        assert!(list.buy.is_empty() && list.enough[0].lacking == Length::ZERO);
    }

    #[test]
    fn needs_of_one_cloth_are_rounded_up_together_and_each_has_its_spare() {
        let print = ClothFacts { words: "Wax  print".into(), spare: Some(yards(1)), ..ClothFacts::UNKNOWN };
        let (print, same) = (garment(print), garment(ClothFacts { words: "wax print".into(), ..ClothFacts::UNKNOWN }));
        let list = shopping(&[wants(1, &print, 11), wants(2, &same, 11)], &[], &settings());
        assert_eq!(list.buy.len(), 1);
        // 1 3/8 + 1/8 + 1 3/8 = 2 7/8 yd, and 3 yd are bought, not 1 1/2 twice.
        assert_eq!((list.buy[0].lacking, list.buy[0].to_buy), (yards(23), yards(24)));
        // Nothing written: each by itself.
        let unwritten = garment(ClothFacts::UNKNOWN);
        let list = shopping(&[wants(1, &unwritten, 11), wants(2, &unwritten, 11)], &[], &settings());
        assert_eq!(list.buy.iter().map(|group| group.to_buy).collect::<Vec<_>>(), [yards(12), yards(12)]);
        // Interfacing is one and the same in most shops.
        let band = |count| {
            let mut band = wants(count, &unwritten, 3);
            band.needs.iter_mut().flatten().for_each(|need| need.cloth = draft::Cloth::Interfacing);
            band
        };
        let list = shopping(&[band(1), band(2)], &[], &settings());
        assert_eq!(list.buy.iter().map(|group| group.to_buy).collect::<Vec<_>>(), [yards(6)]);
    }

    #[test]
    fn what_a_client_brings_is_looked_after_and_not_bought() {
        let own = |length, lengths: &[i64], brought| {
            let lengths = lengths.iter().map(|eighths| yards(*eighths)).collect();
            garment(ClothFacts { length, lengths, brought, ..ClothFacts::UNKNOWN })
        };
        let of = |facts: &GarmentFacts, stage| {
            let list = shopping(&[Wanting { stage, ..wants(1, facts, 16) }], &[], &settings());
            let bought = list.buy.len();
            (list.look_after.first().map(|line| line.supply), list.settled, bought)
        };
        let booked = Stage::Booked;
        assert_eq!(of(&own(Some(yards(16)), &[], true), booked), (None, 1, 0));
        assert_eq!(of(&own(Some(yards(14)), &[], true), booked), (Some(Supply::Short(yards(2))), 0, 0));
        assert_eq!(of(&own(Some(yards(11)), &[6], true), booked), (Some(Supply::Remnants), 0, 0));
        assert_eq!(of(&own(None, &[], true), booked), (Some(Supply::Brings), 0, 0));
        assert_eq!(of(&own(None, &[], false), Stage::ClothIn), (None, 1, 0));
        let day = NaiveDate::default();
        let ordered = garment(ClothFacts { comes: Some(day), ..ClothFacts::UNKNOWN });
        assert_eq!(of(&ordered, booked), (Some(Supply::Comes(day)), 0, 0));
    }

    #[test]
    fn an_accepted_lay_says_the_need_and_what_nobody_knows_is_said() {
        let skirt = garment(of_stock());
        let main = draft::Cloth::Main;
        let lay = AcceptedFor { lay: LayId::new(1), need: yards(15), garments: 1, is_taken: false };
        let laid = Wanting { accepted: [(main, lay)].into(), held: [(main, yards(15))].into(), ..wants(1, &skirt, 16) };
        let by_hand = Wanting { needs: Err("No draft.".into()), ..wants(2, &skirt, 0) };
        let drafted = GarmentFacts { style: Some(crate::shop::StyleVersionId::new(1)), ..skirt.clone() };
        let unknown = Wanting { needs: Err("No measures.".into()), ..wants(3, &drafted, 0) };
        let list = shopping(&[laid, by_hand, unknown], &shelf(&[(16, 15)]), &settings());
        let line = &list.enough[0].lines[0];
        assert_eq!((line.supply, line.need.cut, line.accepted), (Supply::Held, yards(15), true));
        assert!(!line.need.is_quick);
        assert_eq!((list.unknown.len(), list.unknown[0].0.count, list.by_hand[0].0.count), (1, 3, 2));
    }

    #[test]
    fn a_joint_lay_is_asked_for_once_and_not_again_when_it_is_taken() {
        let skirt = garment(of_stock());
        let of = |count, is_taken| {
            let lay = AcceptedFor { lay: LayId::new(4), need: yards(30), garments: 3, is_taken };
            Wanting { accepted: [(draft::Cloth::Main, lay)].into(), ..wants(count, &skirt, 12) }
        };
        let list = shopping(&[of(1, false), of(2, false), of(3, false)], &shelf(&[(8, 0)]), &settings());
        let lines = &list.buy[0].lines;
        assert_eq!((lines.len(), lines[0].others, lines[0].need.cut), (1, 2, yards(30)));
        assert_eq!((list.buy[0].lacking, list.settled), (yards(30), 0));
        // The first is cut: the cloth of the others went to the table with it.
        let list = shopping(&[of(2, true), of(3, true)], &shelf(&[(8, 0)]), &settings());
        assert!(list.buy.is_empty() && list.enough.is_empty());
        assert_eq!(list.settled, 2);
    }

    proptest! {
        /// Nothing is dealt out twice, whatever is there and wanted, and what is bought is what lacks.
        #[test]
        fn no_length_is_dealt_out_twice(
            there in proptest::collection::vec((0_i64..40, 0_i64..50), 0..6),
            needs in proptest::collection::vec(1_i64..40, 0..12),
        ) {
            let skirt = garment(of_stock());
            let wanting: Vec<Wanting> = (1..).zip(&needs).map(|(count, need)| wants(count, &skirt, *need)).collect();
            let shelf = shelf(&there);
            let list = shopping(&wanting, &shelf, &settings());
            let lines: Vec<&ShoppingLine> =
                list.buy.iter().chain(&list.enough).flat_map(|group| &group.lines).collect();
            prop_assert_eq!(lines.len(), needs.len());
            for length in &shelf[0].1 {
                let from = lines.iter().filter(|line| line.supply == Supply::There(length.id));
                let taken: Length = from.map(|line| line.need.cut).sum();
                prop_assert!(taken <= length.free());
            }
            let lacking: Length =
                lines.iter().filter(|line| line.supply == Supply::Buy).map(|line| line.need.cut).sum();
            prop_assert_eq!(list.buy.iter().map(|group| group.lacking).sum::<Length>(), lacking);
            for group in &list.buy {
                prop_assert!(group.to_buy >= group.lacking && group.to_buy - group.lacking < yards(2));
            }
        }
    }
}
