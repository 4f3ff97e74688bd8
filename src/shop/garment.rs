//! One garment of an order: who wears it, by which style, for how much, how far it is.

use std::collections::BTreeMap;
use std::fmt;
use std::str::FromStr;

use crate::measure::Length;

use super::{
    ClientId, ClothFacts, ClothId, ClothOf, CorrectionId, GarmentId, LiningFacts, LiningKind, Money, OrderId, SetId,
    Stage, StyleVersionId,
};

/// A garment as kept.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Garment {
    /// Which garment.
    pub id: GarmentId,
    /// Counts the edits of this row.
    pub version: i64,
    /// The order it belongs to.
    pub order: OrderId,
    /// Its letter in the order: `2026-0147 B`.
    pub letter: Letter,
    /// How far it is: where its last move went.
    pub stage: Stage,
    /// Whether this garment alone was called off.
    pub cancelled: bool,
    /// What was agreed.
    pub facts: GarmentFacts,
}

/// What a person writes about a garment.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct GarmentFacts {
    /// Who wears it, and so who is measured.
    pub wearer: ClientId,
    /// What it is, in words: `Wrap skirt`.
    pub what: String,
    /// The version of the style that was agreed; `None` for work without a draft.
    pub style: Option<StyleVersionId>,
    /// The newest set of measures that counts for it; a later set waits until it is adopted.
    pub set: Option<SetId>,
    /// The style's choices, each as typed, by key.
    pub choices: BTreeMap<String, String>,
    /// Standing corrections of the wearer that were looked at for this garment, and whether it
    /// is drafted with each. One that is not here was noted later and waits.
    pub corrections: BTreeMap<CorrectionId, bool>,
    /// Finished lengths that the client asked for, by dimension key.
    pub finished: BTreeMap<String, Length>,
    /// Allowances that differ from the shop's, by name.
    pub allowances: BTreeMap<String, Length>,
    /// The cloth.
    pub cloth: ClothFacts,
    /// Lining and interfacing, where anything of them is written.
    pub linings: BTreeMap<LiningKind, LiningFacts>,
    /// What was agreed as its price.
    pub price: Option<Money>,
    /// Fittings planned, 0 to 3.
    pub fittings: u8,
    /// The working minutes that were reckoned with, once somebody did.
    pub minutes: Option<WorkMinutes>,
    /// How long it hangs or dries in between, reckoned together with the minutes.
    pub waits: WaitHours,
    /// The bag or bundle number.
    pub bag: String,
    /// Where it lies or hangs: shelf, rail.
    pub place: String,
    /// What was agreed of its look.
    pub agreed: AsAgreed,
}

impl GarmentFacts {
    /// The shop's cloth that one of its cloths is cut from.
    #[must_use]
    pub fn stock_of(&self, cloth: ClothOf) -> Option<ClothId> {
        match cloth.lining() {
            None => self.cloth.stock,
            Some(kind) => self.linings.get(&kind).and_then(|lining| lining.stock),
        }
    }

    /// A garment of which only the wearer and the words are known.
    #[must_use]
    pub fn of(wearer: ClientId, what: &str) -> GarmentFacts {
        GarmentFacts {
            wearer,
            what: what.into(),
            style: None,
            set: None,
            choices: BTreeMap::new(),
            corrections: BTreeMap::new(),
            finished: BTreeMap::new(),
            allowances: BTreeMap::new(),
            cloth: ClothFacts::UNKNOWN,
            linings: BTreeMap::new(),
            price: None,
            fittings: 0,
            minutes: None,
            waits: WaitHours::default(),
            bag: String::new(),
            place: String::new(),
            agreed: AsAgreed::default(),
        }
    }
}

/// "As agreed": what the picture does not settle.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct AsAgreed {
    /// Neckline, front and back.
    pub neck: String,
    /// Sleeve.
    pub sleeve: String,
    /// Opening: zip, buttons, side.
    pub opening: String,
    /// Anything else that was agreed.
    pub other: String,
}

/// Minutes of work, by kind.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct WorkMinutes {
    /// Cutting and marking.
    pub cut: u32,
    /// Sewing.
    pub sew: u32,
    /// Fittings.
    pub fit: u32,
    /// Hems, closings, pressing.
    pub finish: u32,
}

impl WorkMinutes {
    /// All minutes together.
    #[must_use]
    pub const fn total(self) -> u32 {
        self.cut.saturating_add(self.sew).saturating_add(self.fit).saturating_add(self.finish)
    }
}

/// Whole hours that a garment hangs or dries, by the work after which it does.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct WaitHours {
    /// After the cutting.
    pub cut: u32,
    /// After the sewing that comes before the first fitting: a circle skirt drops before it is levelled.
    pub tacked: u32,
    /// After all sewing, before the finishing.
    pub sewn: u32,
}

/// The letter of a garment in its order: A to Z, then AA, AB, … ZZ.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Letter(u16);

impl Letter {
    /// The first garment's.
    pub const A: Letter = Letter(0);
    /// How many letters there are: 26 + 26 × 26.
    pub const COUNT: u16 = 702;

    /// The letter in this place, from 0; `None` past ZZ.
    #[must_use]
    pub const fn at(place: u16) -> Option<Letter> {
        if place < Letter::COUNT { Some(Letter(place)) } else { None }
    }

    /// The place of this letter, from 0.
    #[must_use]
    pub const fn place(self) -> u16 {
        self.0
    }
}

impl fmt::Display for Letter {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let sign = |place: u16| char::from(b'A' + u8::try_from(place % 26).unwrap_or(0));
        match self.0.checked_sub(26) {
            None => write!(f, "{}", sign(self.0)),
            Some(beyond) => write!(f, "{}{}", sign(beyond / 26), sign(beyond)),
        }
    }
}

impl FromStr for Letter {
    type Err = ();

    fn from_str(text: &str) -> Result<Letter, ()> {
        let place = |byte: u8| byte.is_ascii_uppercase().then(|| u16::from(byte - b'A'));
        match text.as_bytes() {
            [one] => place(*one).map(Letter).ok_or(()),
            [one, two] => Ok(Letter(26 + place(*one).ok_or(())? * 26 + place(*two).ok_or(())?)),
            _ => Err(()),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_letter_reads_back_and_they_sort_as_they_are_given() {
        let mut last = None;
        for place in 0..Letter::COUNT {
            let letter = Letter::at(place).unwrap();
            assert_eq!(letter.to_string().parse(), Ok(letter));
            assert!(last < Some(letter));
            last = Some(letter);
        }
        assert_eq!(Letter::at(702), None);
        assert_eq!(Letter::at(26).unwrap().to_string(), "AA");
        assert_eq!(Letter::at(701).unwrap().to_string(), "ZZ");
        assert_eq!("a".parse::<Letter>(), Err(()));
    }
}
