//! The shop's own cloth: what lies on the shelf, what came and went, what is held for a garment.

use chrono::NaiveDate;

use crate::measure::Length;

use super::{
    ClothId, ClothLengthId, ClothMoveId, ClothOf, GarmentId, LayId, Letter, Money, Nap, OrderNumber, PersonId, PricedBy,
};

/// A cloth of the shop as kept: one kind, colour and width.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Cloth {
    /// Which cloth.
    pub id: ClothId,
    /// Counts the edits of this row.
    pub version: i64,
    /// Whether it is offered no more.
    pub retired: bool,
    /// What is written of it.
    pub facts: StockFacts,
}

/// What a person writes about a cloth of the shop.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StockFacts {
    /// What it is called on the shelf.
    pub name: String,
    /// Fibre, weight, which side is the face.
    pub words: String,
    /// Width from selvedge to selvedge.
    pub width: Option<Length>,
    /// Which way pieces may point.
    pub nap: Nap,
    /// The repeat of its print, stripe or check along the cloth.
    pub repeat_along: Option<Length>,
    /// The repeat across the cloth.
    pub repeat_across: Option<Length>,
    /// What it loses along in the wash, in thousandths; `None` for the shop's one figure.
    pub shrink_along: Option<u16>,
    /// What it loses across, in thousandths; `None` for the shop's one figure.
    pub shrink_across: Option<u16>,
    /// Whether both sides are alike.
    pub turns_over: bool,
    /// What it costs by the yard or metre.
    pub price: Option<Money>,
    /// By what it is priced.
    pub priced_by: PricedBy,
    /// From whom it is bought.
    pub from_whom: String,
}

impl StockFacts {
    /// A cloth of which only the name is known.
    #[must_use]
    pub fn named(name: &str) -> StockFacts {
        StockFacts {
            name: name.into(),
            words: String::new(),
            width: None,
            nap: Nap::Free,
            repeat_along: None,
            repeat_across: None,
            shrink_along: None,
            shrink_across: None,
            turns_over: false,
            price: None,
            priced_by: PricedBy::Yard,
            from_whom: String::new(),
        }
    }
}

/// A length that lies there by itself: a bolt, a cut length, an offcut.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ClothLength {
    /// Which length.
    pub id: ClothLengthId,
    /// Counts the edits of this row.
    pub version: i64,
    /// The cloth.
    pub cloth: ClothId,
    /// What is written of it.
    pub facts: LengthFacts,
    /// How long it is now: the sum of its moves.
    pub there: Length,
    /// What of it is held for garments.
    pub held: Vec<Held>,
}

impl ClothLength {
    /// What is held of it.
    #[must_use]
    pub fn held_in_all(&self) -> Length {
        self.held.iter().fold(Length::ZERO, |sum, held| sum + held.length)
    }

    /// What is not held for anybody; nothing when more is held than there is.
    #[must_use]
    pub fn free(&self) -> Length {
        let held = self.held_in_all();
        if held >= self.there { Length::ZERO } else { self.there - held }
    }

    /// What is free once these lays let go of it.
    #[must_use]
    pub fn free_for(&self, lays: &[LayId]) -> Length {
        let others = self.held.iter().filter(|held| !lays.contains(&held.lay));
        let held = others.fold(Length::ZERO, |sum, held| sum + held.length);
        if held >= self.there { Length::ZERO } else { self.there - held }
    }

    /// By how much less is there than is held; nothing usually.
    #[must_use]
    pub fn over_held(&self) -> Length {
        let held = self.held_in_all();
        if held > self.there { held - self.there } else { Length::ZERO }
    }
}

/// What a person writes about a length.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LengthFacts {
    /// The day on which it came.
    pub day: NaiveDate,
    /// Whether it was washed or steamed; `None` when nobody knows.
    pub washed: Option<bool>,
    /// Flaws, in words, and where they are.
    pub flaws: String,
    /// Where it lies.
    pub place: String,
}

/// What of a length is held for a lay that was accepted.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Held {
    /// The lay.
    pub lay: LayId,
    /// Which cloth of the garment it is for.
    pub cloth: ClothOf,
    /// How many garments are cut from that lay, this one counted.
    pub garments: u32,
    /// The garment; of a joint lay the first.
    pub garment: GarmentId,
    /// Its order's number.
    pub number: OrderNumber,
    /// Its letter.
    pub letter: Letter,
    /// What it is.
    pub what: String,
    /// The length that it is held on.
    pub on: ClothLengthId,
    /// How much.
    pub length: Length,
}

keyed! {
    /// What came to a length of cloth, or went from it.
    ClothMoveKind {
        /// It was bought.
        Bought = "bought", "bought";
        /// It was measured again, and is as long as the tape says.
        Measured = "measured", "measured again";
        /// It went to the cutting table.
        Cut = "cut", "cut";
        /// It came back from there.
        Offcut = "offcut", "left over";
        /// It was given away or sold.
        Given = "given", "given away";
    }
}

/// A move of a length of cloth as kept; never changed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ClothMove {
    /// Which move.
    pub id: ClothMoveId,
    /// The length.
    pub length: ClothLengthId,
    /// What happened.
    pub kind: ClothMoveKind,
    /// By how much it changed: above nought came, below went.
    pub change: Length,
    /// The day.
    pub day: NaiveDate,
    /// The garment for which it was cut, or of which it is left: its order and letter.
    pub garment: Option<(OrderNumber, Letter)>,
    /// Anything else about it.
    pub words: String,
    /// Who.
    pub who: PersonId,
    /// When it was written (UTC milliseconds).
    pub at_ms: i64,
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_held_is_not_free_and_never_below_nought() {
        let held = |inches| Held {
            lay: LayId::new(1),
            cloth: ClothOf::Main,
            garments: 1,
            garment: GarmentId::new(1),
            number: OrderNumber { year: 2026, count: 1 },
            letter: Letter::A,
            what: String::new(),
            on: ClothLengthId::new(1),
            length: Length::inches(inches, 0),
        };
        let mut length = ClothLength {
            id: ClothLengthId::new(1),
            version: 1,
            cloth: ClothId::new(1),
            facts: LengthFacts { day: NaiveDate::default(), washed: None, flaws: String::new(), place: String::new() },
            there: Length::inches(100, 0),
            held: vec![held(60), held(30)],
        };
        assert_eq!((length.free(), length.over_held()), (Length::inches(10, 0), Length::ZERO));
        assert_eq!(length.free_for(&[LayId::new(1)]), Length::inches(100, 0));
        assert_eq!(length.free_for(&[LayId::new(2)]), length.free());
        length.there = Length::inches(80, 0);
        assert_eq!((length.free(), length.over_held()), (Length::ZERO, Length::inches(10, 0)));
    }
}
