//! What is known of the cloth of a garment.

use chrono::NaiveDate;

use crate::measure::Length;

use super::{ClothId, Money, StockFacts};

keyed! {
    /// By what the cloth is priced.
    PricedBy {
        /// By the yard.
        Yard = "yard", "a yard";
        /// By the metre.
        Metre = "metre", "a metre";
    }
}

impl PricedBy {
    /// The length that the price is for.
    #[must_use]
    pub const fn length(self) -> Length {
        match self {
            PricedBy::Yard => Length::inches(36, 0),
            PricedBy::Metre => Length::from_nm(1_000_000_000),
        }
    }
}

keyed! {
    /// Which way pieces may point on a cloth.
    Nap {
        /// Pieces may be turned end for end.
        Free = "free", "either way up";
        /// The pieces of one garment point the same way; garments beside one another may differ.
        PerGarment = "per_garment", "one way for each garment";
        /// All pieces point the same way: pile, or a print that has a top.
        One = "one", "one way only";
    }
}

keyed! {
    /// A cloth of a garment beside its main one.
    LiningKind {
        /// What it is lined with.
        Lining = "lining", "lining";
        /// What stiffens collars, bands, facings.
        Interfacing = "interfacing", "interfacing";
    }
}

/// The cloth of a garment, as measured at the counter or wished for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ClothFacts {
    /// Colour and kind in words; the swatch on the sheet stands beside them.
    pub words: String,
    /// Width from selvedge to selvedge.
    pub width: Option<Length>,
    /// How much there is: measured with the client present, or bought.
    pub length: Option<Length>,
    /// Further lengths beside that one: remnants.
    pub lengths: Vec<Length>,
    /// Whether the client brought it.
    pub brought: bool,
    /// The day on which it is to come, where it is not here yet.
    pub comes: Option<NaiveDate>,
    /// Whether it was washed or steamed before it was measured; `None` when nobody knows.
    pub washed: Option<bool>,
    /// Which way pieces may point (nap or one-way print).
    pub nap: Nap,
    /// The repeat of its print, stripe or check along the cloth, where it is to be matched.
    pub repeat_along: Option<Length>,
    /// The repeat across the cloth, where it is to be matched.
    pub repeat_across: Option<Length>,
    /// What it loses along in the wash, in thousandths; `None` for the shop's one figure.
    pub shrink_along: Option<u16>,
    /// What it loses across, in thousandths; `None` for the shop's one figure.
    pub shrink_across: Option<u16>,
    /// Whether both sides are alike and she agrees that pieces may lie wrong side up.
    pub turns_over: bool,
    /// Whether the lay may use a fold across the cloth; of no effect on cloth with a nap, whose under layer
    /// would run the other way.
    pub fold_across: bool,
    /// What is lost at each end to square it, where that differs from the shop's usual inch;
    /// at most [`MOST_SKEW`].
    pub skew: Option<Length>,
    /// Cloth for mistakes, bought above the need.
    pub spare: Option<Length>,
    /// Flaws, in words, and where they are.
    pub flaws: String,
    /// What it costs by the yard or metre.
    pub price: Option<Money>,
    /// By what it is priced.
    pub priced_by: PricedBy,
    /// The shop's cloth that it is cut from.
    pub stock: Option<ClothId>,
}

/// The most that is lost at each end to square a skewed cloth: 3 in (common practice).
pub const MOST_SKEW: Length = Length::inches(3, 0);

/// The most that a cloth is reckoned to lose in the wash: 200 thousandths. Loose wool and viscose
/// come to 10 %; twice that is a slip of the pen (judgement).
pub const MOST_SHRINKAGE: u16 = 200;

/// The most further lengths of one cloth: two figures in their key; more is another order (judgement).
pub const MOST_LENGTHS: usize = 24;

impl ClothFacts {
    /// Cloth of which nothing is known yet.
    pub const UNKNOWN: ClothFacts = ClothFacts {
        words: String::new(),
        width: None,
        length: None,
        lengths: Vec::new(),
        brought: false,
        comes: None,
        washed: None,
        nap: Nap::Free,
        repeat_along: None,
        repeat_across: None,
        shrink_along: None,
        shrink_across: None,
        turns_over: false,
        fold_across: false,
        skew: None,
        spare: None,
        flaws: String::new(),
        price: None,
        priced_by: PricedBy::Yard,
        stock: None,
    };

    /// Whether pieces of one garment must all point the same way.
    #[must_use]
    pub fn one_way(&self) -> bool {
        self.nap != Nap::Free
    }

    /// Whether a fold across the cloth is tried: it is asked for, and the cloth has no nap and no
    /// print with a top.
    #[must_use]
    pub fn may_fold_across(&self) -> bool {
        self.fold_across && !self.one_way()
    }

    /// Takes over what is known of the shop's cloth that it is to be cut from, where nothing else
    /// is written here. From then on it stands, whatever changes on the shelf.
    pub fn take_from(&mut self, stock: &StockFacts) {
        if self.words.is_empty() {
            self.words.clone_from(&stock.name);
        }
        self.width = self.width.or(stock.width);
        if self.nap == Nap::Free {
            self.nap = stock.nap;
        }
        self.repeat_along = self.repeat_along.or(stock.repeat_along);
        self.repeat_across = self.repeat_across.or(stock.repeat_across);
        self.shrink_along = self.shrink_along.or(stock.shrink_along);
        self.shrink_across = self.shrink_across.or(stock.shrink_across);
        if self.price.is_none() {
            (self.price, self.priced_by) = (stock.price, stock.priced_by);
        }
    }

    /// Every length that is there, the first one first.
    pub fn all_lengths(&self) -> impl Iterator<Item = Length> + '_ {
        self.length.into_iter().chain(self.lengths.iter().copied())
    }
}

/// The lining or interfacing of a garment: a cloth of its own. It has no nap, and nothing on it is matched.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LiningFacts {
    /// Colour and kind in words.
    pub words: String,
    /// Width from selvedge to selvedge.
    pub width: Option<Length>,
    /// How much there is.
    pub length: Option<Length>,
    /// Further lengths beside that one.
    pub lengths: Vec<Length>,
    /// Whether the client brought it.
    pub brought: bool,
    /// Whether it was washed or steamed before it was measured; `None` when nobody knows.
    pub washed: Option<bool>,
    /// What it loses along in the wash, in thousandths; `None` for the shop's one figure.
    pub shrink_along: Option<u16>,
    /// What it loses across, in thousandths; `None` for the shop's one figure.
    pub shrink_across: Option<u16>,
    /// What it costs by the yard or metre.
    pub price: Option<Money>,
    /// By what it is priced.
    pub priced_by: PricedBy,
    /// The shop's cloth that it is cut from.
    pub stock: Option<ClothId>,
}

impl LiningFacts {
    /// A cloth of which nothing is known yet.
    pub const UNKNOWN: LiningFacts = LiningFacts {
        words: String::new(),
        width: None,
        length: None,
        lengths: Vec::new(),
        brought: false,
        washed: None,
        shrink_along: None,
        shrink_across: None,
        price: None,
        priced_by: PricedBy::Yard,
        stock: None,
    };

    /// Takes over what is known of the shop's cloth, as [`ClothFacts::take_from`] does.
    pub fn take_from(&mut self, stock: &StockFacts) {
        if self.words.is_empty() {
            self.words.clone_from(&stock.name);
        }
        self.width = self.width.or(stock.width);
        self.shrink_along = self.shrink_along.or(stock.shrink_along);
        self.shrink_across = self.shrink_across.or(stock.shrink_across);
        if self.price.is_none() {
            (self.price, self.priced_by) = (stock.price, stock.priced_by);
        }
    }

    /// The same as the cloth of a garment is told: without nap, repeat or spare.
    #[must_use]
    pub fn as_cloth(&self) -> ClothFacts {
        ClothFacts {
            words: self.words.clone(),
            width: self.width,
            length: self.length,
            lengths: self.lengths.clone(),
            brought: self.brought,
            washed: self.washed,
            shrink_along: self.shrink_along,
            shrink_across: self.shrink_across,
            price: self.price,
            priced_by: self.priced_by,
            stock: self.stock,
            ..ClothFacts::UNKNOWN
        }
    }
}
