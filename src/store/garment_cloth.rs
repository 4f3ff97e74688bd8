//! What a garment's row has no columns for: lining, interfacing, further lengths.

use std::collections::BTreeMap;

use rusqlite::Row;
use rusqlite::types::Value;

use crate::measure::{Length, Showing};
use crate::shop::{
    ClothId, Garment, GarmentFacts, LiningFacts, LiningKind, MOST_LENGTHS, MOST_SHRINKAGE, MOST_SKEW, Money, PricedBy,
};

use super::cells::{Cells, maybe_length_cell};
use super::edit::Edit;
use super::{Reader, StoreError};

/// The key of the main cloth among further lengths.
const MAIN: &str = "main";

fn lining(row: &Row) -> rusqlite::Result<LiningFacts> {
    Ok(LiningFacts {
        words: row.get("words")?,
        width: row.maybe_length("width_nm")?,
        length: row.maybe_length("length_nm")?,
        lengths: Vec::new(),
        brought: row.get("brought")?,
        washed: row.get("washed")?,
        shrink_along: row.get("shrink_along")?,
        shrink_across: row.get("shrink_across")?,
        price: row.maybe_money("minor", "currency")?,
        priced_by: row.keyed("priced_by", PricedBy::from_key)?,
        stock: row.get::<_, Option<i64>>("stock_id")?.map(ClothId::new),
    })
}

impl Reader<'_> {
    /// Adds lining, interfacing and further lengths to a garment.
    pub(super) fn with_cloths(&self, garment: &mut Garment) -> Result<(), StoreError> {
        let owner = garment.id.get();
        garment.facts.linings = self
            .prepared(
                "SELECT l.*, g.currency FROM garment_lining l JOIN garment g ON g.id = l.owner WHERE l.owner = ?1",
            )?
            .query_map([owner], |row| Ok((row.keyed("key", LiningKind::from_key)?, lining(row)?)))?
            .collect::<Result<_, _>>()?;
        // By key, and so in the order in which they were written.
        for (key, length) in self.lengths("garment_length", owner)? {
            let of = key.split_once('.').map_or(key.as_str(), |(of, _)| of);
            match LiningKind::from_key(of) {
                None => garment.facts.cloth.lengths.push(length),
                Some(kind) => {
                    if let Some(lining) = garment.facts.linings.get_mut(&kind) {
                        lining.lengths.push(length);
                    }
                }
            }
        }
        Ok(())
    }
}

/// Keeps lining, interfacing and further lengths of a garment.
pub(super) fn keep(edit: &Edit, facts: &GarmentFacts) -> Result<(), StoreError> {
    for kind in LiningKind::ALL {
        let cells = facts.linings.get(kind).map(lining_cells);
        edit.part("garment_lining", kind.key(), cells.as_ref().map(|cells| cells.as_slice()))?;
    }
    let mut lengths = further(MAIN, &facts.cloth.lengths);
    for (kind, lining) in &facts.linings {
        lengths.extend(further(kind.key(), &lining.lengths));
    }
    edit.map("garment_length", &lengths)
}

/// Further lengths by key; two figures, so that they sort as they were written.
fn further(of: &str, lengths: &[Length]) -> BTreeMap<String, Value> {
    (1..).zip(lengths).map(|(place, length): (u32, _)| (format!("{of}.{place:02}"), length.nm().into())).collect()
}

fn lining_cells(lining: &LiningFacts) -> [(&'static str, Value); 10] {
    [
        ("words", lining.words.clone().into()),
        ("width_nm", maybe_length_cell(lining.width)),
        ("length_nm", maybe_length_cell(lining.length)),
        ("brought", lining.brought.into()),
        ("washed", lining.washed.map(i64::from).into()),
        ("shrink_along", lining.shrink_along.map(i64::from).into()),
        ("shrink_across", lining.shrink_across.map(i64::from).into()),
        ("minor", lining.price.map(Money::minor).into()),
        ("priced_by", lining.priced_by.key().to_string().into()),
        ("stock_id", lining.stock.map(ClothId::get).into()),
    ]
}

/// Refuses what no cloth of a garment can be.
pub(super) fn are_fit(facts: &GarmentFacts, showing: Showing) -> Result<(), StoreError> {
    let cloth = &facts.cloth;
    if let Some(skew) = cloth.skew.filter(|skew| *skew > MOST_SKEW || *skew < Length::ZERO) {
        return Err(StoreError::refused(format!(
            "{} are lost at each end to square the cloth; at most {} are. Measure a worse length shorter instead.",
            showing.with_unit(skew),
            showing.with_unit(MOST_SKEW)
        )));
    }
    let linings = facts.linings.values();
    let mut shrinks: Vec<u16> = [cloth.shrink_along, cloth.shrink_across].into_iter().flatten().collect();
    shrinks.extend(linings.clone().flat_map(|lining| [lining.shrink_along, lining.shrink_across]).flatten());
    if let Some(much) = shrinks.into_iter().find(|much| *much > MOST_SHRINKAGE) {
        return Err(StoreError::refused(format!(
            "Cloth that loses {} % in the wash is reckoned with up to {} %. Wash it first and measure again.",
            f64::from(much) / 10.0,
            MOST_SHRINKAGE / 10
        )));
    }
    let counts = linings.map(|lining| lining.lengths.len()).chain([cloth.lengths.len()]);
    if let Some(many) = counts.max().filter(|many| *many > MOST_LENGTHS) {
        return Err(StoreError::refused(format!(
            "{many} further lengths are written; at most {MOST_LENGTHS} are kept. Leave out the shortest."
        )));
    }
    Ok(())
}
