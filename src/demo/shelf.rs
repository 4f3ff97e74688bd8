//! What lies on the workroom's own shelf, and how it comes and goes: some cloths are kept in
//! stock, what is cut from them is taken from the shortest length that suffices, an offcut comes
//! back, a bolt is bought when it runs low, and for what is about to be cut a lay was accepted.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use crate::draft::{self, Draft};
use crate::job::{self, Laid};
use crate::lay;
use crate::measure::Length;
use crate::shop::{
    ClothFacts, ClothId, ClothOf, Garment, GarmentFacts, LengthFacts, LiningFacts, LiningKind, Money, Nap, PricedBy,
    Settings, StockFacts,
};
use crate::store::{StoreError, Writer};

use super::house::cedis;

const YARD: i64 = Length::inches(36, 0).nm();

/// Name, width in inches, price of a yard, whether it is one-way, what is said of it, from whom.
const KEPT: [(&str, i64, i64, bool, &str, &str); 6] = [
    (
        "cotton poplin, navy",
        58,
        32,
        false,
        "School and work clothes; the smoother side is the face.",
        "Quay Street Drapers",
    ),
    ("cotton poplin, white", 58, 30, false, "For linings of bodices, too.", "Quay Street Drapers"),
    ("linen, undyed", 54, 85, false, "Frays: overlock first.", "the mill boat, every second month"),
    ("corduroy, moss", 56, 68, true, "Cut with the pile running up.", "the mill boat, every second month"),
    (LINING, 54, 26, false, "Slippery: pin within the allowance.", "Quay Street Drapers"),
    (INTERFACING, 36, 18, false, "Woven, iron-on; test it on a scrap.", "Quay Street Drapers"),
];

/// What garments of this workroom are lined with, unless another cloth is asked for.
const LINING: &str = "acetate lining, grey";

/// What stiffens its waistbands and facings.
const INTERFACING: &str = "interfacing, medium";

/// The shelf as it is being kept.
#[derive(Debug, Default)]
pub(super) struct Shelf {
    cloths: BTreeMap<&'static str, ClothId>,
}

impl Shelf {
    /// Writes down the cloths with a bolt or two of each.
    pub(super) fn fill(&mut self, book: &Writer, day: NaiveDate) -> Result<(), StoreError> {
        let currency = book.settings()?.currency;
        for (at, (name, width, price, one_way, words, from_whom)) in (0_i64..).zip(KEPT) {
            let id = book.add_cloth(&StockFacts {
                words: words.into(),
                width: Some(Length::inches(width, 0)),
                nap: if one_way { Nap::One } else { Nap::Free },
                // Poplin and linen are known from long use; of the rest the shop's one figure is taken.
                shrink_along: if name.starts_with("linen") { Some(50) } else { None },
                turns_over: name.starts_with("linen"),
                price: Some(Money::new(cedis(price), currency)),
                priced_by: PricedBy::Yard,
                from_whom: from_whom.into(),
                ..StockFacts::named(name)
            })?;
            book.add_length(id, &came(day, at), Length::from_nm((11 + at % 3 * 4) * YARD), None)?;
            self.cloths.insert(name, id);
        }
        // A remnant with a flaw, as it lies at the bottom of many a drawer.
        if let Some(linen) = self.cloths.get("linen, undyed") {
            let flawed = LengthFacts {
                flaws: "a slub 4 in from the end without the knot".into(),
                place: "bottom drawer".into(),
                washed: Some(true),
                ..came(day, 0)
            };
            book.add_length(*linen, &flawed, Length::inches(49, 4), None)?;
        }
        Ok(())
    }

    /// Where the cloth of a garment is one that the workroom keeps, it is cut from the shelf; lining
    /// and interfacing always are.
    pub(super) fn serve(&self, draft: &Draft, cloth: &mut ClothFacts, facts: &mut GarmentFacts) {
        if !cloth.brought
            && let Some(id) = self.cloths.get(cloth.words.as_str())
        {
            (cloth.stock, cloth.length, cloth.comes) = (Some(*id), None, None);
        }
        for (kind, of, name) in [
            (LiningKind::Lining, draft::Cloth::Lining, LINING),
            (LiningKind::Interfacing, draft::Cloth::Interfacing, INTERFACING),
        ] {
            let kept = KEPT.iter().find(|(known, ..)| *known == name).zip(self.cloths.get(name));
            if let Some(((_, width, ..), id)) = kept.filter(|_| job::cloths(draft).contains(&of)) {
                let lining = LiningFacts {
                    words: name.into(),
                    width: Some(Length::inches(*width, 0)),
                    stock: Some(*id),
                    ..LiningFacts::UNKNOWN
                };
                facts.linings.insert(kind, lining);
            }
        }
    }

    /// A lay is accepted for a garment that is about to be cut from the shelf, which holds its cloth.
    pub(super) fn accept(
        &self,
        book: &Writer,
        garment: &Garment,
        draft: &Draft,
        settings: &Settings,
        at_ms: i64,
    ) -> Result<(), StoreError> {
        let facts = &garment.facts.cloth;
        let (Some(_), Some(width)) = (facts.stock, facts.width) else { return Ok(()) };
        let asked = job::lay_job(draft, draft::Cloth::Main, job::bolt(draft::Cloth::Main, facts, settings, width));
        // The first lay that was found: nobody kept trying.
        let Ok(found) = lay::best_layout(&asked, 1, 1) else { return Ok(()) };
        let need = lay::need(&found, &asked, job::selling(settings.selling_step));
        let laid = Laid { cloth: draft::Cloth::Main, width, width_assumed: false, job: asked, lay: found, need };
        self.stock_up(book, garment, laid.need.cut_length)?;
        book.accept_lay(&job::accepted_lay(&[garment.id], crate::store::OWNER, at_ms, &laid)).map(drop)
    }

    /// What is held for a garment was cut; now and then an inch or two less is left than was reckoned.
    pub(super) fn cut(&self, book: &Writer, garment: &Garment, day: NaiveDate) -> Result<(), StoreError> {
        let Some(held) = book.held_for(garment.id, ClothOf::Main)? else { return Ok(()) };
        let there = book.cloth_length(held.on)?.there;
        let reckoned = there.nm() - held.length.nm();
        let less = Length::inches(garment.id.get() % 3, 0).nm();
        let left = Some(reckoned - less).filter(|left| *left > 0 && garment.id.get() % 2 == 0);
        book.cut_held(garment.id, ClothOf::Main, left.map(Length::from_nm), day)
    }

    /// Buys a bolt when no length suffices any more.
    fn stock_up(&self, book: &Writer, garment: &Garment, need: Length) -> Result<(), StoreError> {
        let Some(cloth) = garment.facts.cloth.stock else { return Ok(()) };
        if book.cloth_lengths(cloth, false)?.iter().any(|length| length.free() >= need) {
            return Ok(());
        }
        let day = book.order(garment.order)?.facts.taken;
        book.add_length(cloth, &came(day, garment.id.get()), Length::from_nm(10 * YARD), None).map(drop)
    }
}

fn came(day: NaiveDate, at: i64) -> LengthFacts {
    LengthFacts { day, washed: Some(false), flaws: String::new(), place: format!("shelf {}", 1 + at % 4) }
}
