//! The shop's own cloth: cloths, their lengths, what came and went.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use rusqlite::types::Value;
use rusqlite::{OptionalExtension, Row, params};

use crate::measure::Length;
use crate::shop::{
    Cloth, ClothId, ClothLength, ClothLengthId, ClothMove, ClothMoveId, ClothMoveKind, ClothOf, GarmentId, Held, LayId,
    LengthFacts, MOST_SHRINKAGE, Money, Nap, OrderNumber, PersonId, PricedBy, StockFacts,
};

use super::cells::{Cells, day_cell, maybe_length_cell};
use super::edit::Table;
use super::garment::letter;
use super::{Reader, StoreError, Writer};

const CLOTH: Table = Table::of("cloth");
const LENGTH: Table = Table::of("cloth_length");
const MOVE: Table = Table::of("cloth_move");

/// A cloth as the list shows it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ClothRow {
    /// The cloth.
    pub cloth: Cloth,
    /// Its lengths that are not used up, the longest first.
    pub lengths: Vec<ClothLength>,
}

fn cloth(row: &Row) -> rusqlite::Result<Cloth> {
    Ok(Cloth {
        id: ClothId::new(row.get("id")?),
        version: row.get("version")?,
        retired: row.get("retired")?,
        facts: StockFacts {
            name: row.get("name")?,
            words: row.get("words")?,
            width: row.maybe_length("width_nm")?,
            nap: row.keyed("nap", Nap::from_key)?,
            repeat_along: row.maybe_length("repeat_along_nm")?,
            repeat_across: row.maybe_length("repeat_across_nm")?,
            shrink_along: row.get("shrink_along")?,
            shrink_across: row.get("shrink_across")?,
            turns_over: row.get("turns_over")?,
            price: row.maybe_money("minor", "currency")?,
            priced_by: row.keyed("priced_by", PricedBy::from_key)?,
            from_whom: row.get("from_whom")?,
        },
    })
}

fn length(row: &Row) -> rusqlite::Result<ClothLength> {
    Ok(ClothLength {
        id: ClothLengthId::new(row.get("id")?),
        version: row.get("version")?,
        cloth: ClothId::new(row.get("cloth_id")?),
        facts: LengthFacts {
            day: row.day("day")?,
            washed: row.get("washed")?,
            flaws: row.get("flaws")?,
            place: row.get("place")?,
        },
        there: row.length("there")?,
        held: Vec::new(),
    })
}

fn held(row: &Row) -> rusqlite::Result<Held> {
    Ok(Held {
        lay: LayId::new(row.get("lay_id")?),
        cloth: row.keyed("cloth", ClothOf::from_key)?,
        garments: row.get("garments")?,
        garment: GarmentId::new(row.get("garment_id")?),
        number: OrderNumber { year: row.get("year")?, count: row.get("count")? },
        letter: letter(row)?,
        what: row.get("what")?,
        on: ClothLengthId::new(row.get("length_id")?),
        length: row.length("nm")?,
    })
}

/// For which garment cloth moved, and by which lay it was cut.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct MovedFor {
    /// The garment.
    pub garment: Option<GarmentId>,
    /// The lay, of that garment alone or of several.
    pub lay: Option<LayId>,
}

impl MovedFor {
    const fn garment(garment: Option<GarmentId>) -> MovedFor {
        MovedFor { garment, lay: None }
    }
}

/// What is read of a length: how long it is, its moves say.
const LENGTHS: &str = "
    SELECT l.*, (SELECT COALESCE(SUM(m.nm), 0) FROM cloth_move m WHERE m.length_id = l.id) AS there
      FROM cloth_length l";

/// What is read of what is held.
const HELD: &str = "
    SELECT h.lay_id, h.length_id, h.nm, y.cloth, y.garment_id, o.year, o.count, g.letter, g.what,
           (SELECT count(*) FROM laid_garment c WHERE c.lay_id = h.lay_id) AS garments
      FROM cloth_held h
      JOIN lay y ON y.id = h.lay_id
      JOIN garment g ON g.id = y.garment_id
      JOIN shop_order o ON o.id = g.order_id";

impl Reader<'_> {
    /// The shop's cloths by name with what is there of each; with those offered no more, too, when asked.
    ///
    /// # Errors
    /// [`StoreError`] of the reading.
    pub fn cloths(&self, retired: bool) -> Result<Vec<ClothRow>, StoreError> {
        let cloths: Vec<Cloth> = self
            .prepared("SELECT * FROM cloth WHERE retired <= ?1 ORDER BY name COLLATE NOCASE, id")?
            .query_map([retired], cloth)?
            .collect::<Result<_, _>>()?;
        cloths.into_iter().map(|cloth| Ok(ClothRow { lengths: self.cloth_lengths(cloth.id, false)?, cloth })).collect()
    }

    /// The cloths that are offered, by name.
    ///
    /// # Errors
    /// [`StoreError`] of the reading.
    pub fn shelf(&self) -> Result<Vec<Cloth>, StoreError> {
        Ok(self
            .prepared("SELECT * FROM cloth WHERE retired = 0 ORDER BY name COLLATE NOCASE, id")?
            .query_map([], cloth)?
            .collect::<Result<_, _>>()?)
    }

    /// One cloth.
    ///
    /// # Errors
    /// [`StoreError::Missing`].
    pub fn cloth(&self, id: ClothId) -> Result<Cloth, StoreError> {
        self.prepared("SELECT * FROM cloth WHERE id = ?1")?
            .query_row([id.get()], cloth)
            .optional()?
            .ok_or_else(|| StoreError::missing("cloth", id))
    }

    /// The lengths of a cloth, the longest first; with those that are used up, too, when asked.
    ///
    /// # Errors
    /// [`StoreError`] of the reading.
    pub fn cloth_lengths(&self, of: ClothId, used_up: bool) -> Result<Vec<ClothLength>, StoreError> {
        let mut lengths: Vec<ClothLength> = self
            .prepared(&format!("{LENGTHS} WHERE l.cloth_id = ?1"))?
            .query_map([of.get()], length)?
            .collect::<Result<_, _>>()?;
        lengths.retain(|length| used_up || length.there > Length::ZERO);
        lengths.sort_by_key(|length| (std::cmp::Reverse(length.there), length.id));
        let mut held: BTreeMap<ClothLengthId, Vec<Held>> = BTreeMap::new();
        let mut query = self.prepared(&format!(
            "{HELD} WHERE h.length_id IN (SELECT id FROM cloth_length WHERE cloth_id = ?1) ORDER BY h.id"
        ))?;
        for row in query.query_map([of.get()], self::held)? {
            let row = row?;
            held.entry(row.on).or_default().push(row);
        }
        for length in &mut lengths {
            length.held = held.remove(&length.id).unwrap_or_default();
        }
        Ok(lengths)
    }

    /// One length.
    ///
    /// # Errors
    /// [`StoreError::Missing`].
    pub fn cloth_length(&self, id: ClothLengthId) -> Result<ClothLength, StoreError> {
        let mut found = self
            .prepared(&format!("{LENGTHS} WHERE l.id = ?1"))?
            .query_row([id.get()], length)
            .optional()?
            .ok_or_else(|| StoreError::missing("length of cloth", id))?;
        found.held = self
            .prepared(&format!("{HELD} WHERE h.length_id = ?1 ORDER BY h.id"))?
            .query_map([id.get()], held)?
            .collect::<Result<_, _>>()?;
        Ok(found)
    }

    /// What is held of one cloth of a garment, by itself or with others.
    ///
    /// # Errors
    /// [`StoreError`] of the reading.
    pub fn held_for(&self, garment: GarmentId, cloth: ClothOf) -> Result<Option<Held>, StoreError> {
        let sql = format!(
            "{HELD} WHERE h.lay_id IN (SELECT m.lay_id FROM laid_garment m WHERE m.garment_id = ?1) AND y.cloth = ?2"
        );
        Ok(self.prepared(&sql)?.query_row(params![garment.get(), cloth.key()], held).optional()?)
    }

    /// What came to a cloth and went from it, newest first; at most so many.
    ///
    /// # Errors
    /// [`StoreError`] of the reading.
    pub fn cloth_moves(&self, of: ClothId, most: u32) -> Result<Vec<ClothMove>, StoreError> {
        let mut query = self.prepared(
            "SELECT m.*, o.year, o.count, g.letter FROM cloth_length l
               JOIN cloth_move m ON m.length_id = l.id
               LEFT JOIN garment g ON g.id = m.garment_id
               LEFT JOIN shop_order o ON o.id = g.order_id
              WHERE l.cloth_id = ?1 ORDER BY m.id DESC LIMIT ?2",
        )?;
        let rows = query.query_map(params![of.get(), most], |row| {
            let garment = match row.get::<_, Option<i64>>("garment_id")? {
                None => None,
                Some(_) => Some((OrderNumber { year: row.get("year")?, count: row.get("count")? }, letter(row)?)),
            };
            Ok(ClothMove {
                id: ClothMoveId::new(row.get("id")?),
                length: ClothLengthId::new(row.get("length_id")?),
                kind: row.keyed("kind", ClothMoveKind::from_key)?,
                change: row.length("nm")?,
                day: row.day("day")?,
                garment,
                words: row.get("words")?,
                who: PersonId::new(row.get("who")?),
                at_ms: row.get("at_ms")?,
            })
        })?;
        Ok(rows.collect::<Result<_, _>>()?)
    }
}

impl Writer<'_> {
    /// Writes a cloth of the shop.
    ///
    /// # Errors
    /// [`StoreError::Refused`] without a name, with a price in another currency, or when it loses too much in the wash.
    pub fn add_cloth(&self, facts: &StockFacts) -> Result<ClothId, StoreError> {
        let cells = self.stock_cells(facts)?;
        self.insert(CLOTH, None, &cells).map(ClothId::new)
    }

    /// Writes what changed about a cloth; `version` is the one that was seen.
    ///
    /// # Errors
    /// [`StoreError::Stale`], [`StoreError::Missing`]; [`StoreError::Refused`] as when adding it.
    pub fn change_cloth(&self, id: ClothId, version: i64, facts: &StockFacts) -> Result<(), StoreError> {
        let edit = self.edit(CLOTH, id.get(), version, None)?;
        edit.cells(&self.stock_cells(facts)?)?;
        edit.done()
    }

    /// Offers a cloth no more, or again. What lies there of it stays.
    ///
    /// # Errors
    /// [`StoreError::Stale`], [`StoreError::Missing`].
    pub fn retire_cloth(&self, id: ClothId, version: i64, retired: bool) -> Result<(), StoreError> {
        let edit = self.edit(CLOTH, id.get(), version, None)?;
        edit.cells(&[("retired", retired.into())])?;
        edit.done()
    }

    fn stock_cells(&self, facts: &StockFacts) -> Result<Vec<(&'static str, Value)>, StoreError> {
        if facts.name.trim().is_empty() {
            return Err(StoreError::refused("A cloth needs a name. Write what it is called on the shelf."));
        }
        if let Some(much) = facts.shrink_along.max(facts.shrink_across).filter(|much| *much > MOST_SHRINKAGE) {
            return Err(StoreError::refused(format!(
                "Cloth that loses {} % in the wash is reckoned with up to {} %. Wash it first and measure again.",
                f64::from(much) / 10.0,
                MOST_SHRINKAGE / 10
            )));
        }
        let currency = self.settings()?.currency;
        if let Some(price) = facts.price {
            self.is_in(price, currency)?;
        }
        Ok(vec![
            ("name", facts.name.trim().to_string().into()),
            ("words", facts.words.clone().into()),
            ("width_nm", maybe_length_cell(facts.width)),
            ("nap", facts.nap.key().to_string().into()),
            ("repeat_along_nm", maybe_length_cell(facts.repeat_along)),
            ("repeat_across_nm", maybe_length_cell(facts.repeat_across)),
            ("shrink_along", facts.shrink_along.map(i64::from).into()),
            ("shrink_across", facts.shrink_across.map(i64::from).into()),
            ("turns_over", facts.turns_over.into()),
            ("minor", facts.price.map(Money::minor).into()),
            ("currency", currency.code().to_string().into()),
            ("priced_by", facts.priced_by.key().to_string().into()),
            ("from_whom", facts.from_whom.clone().into()),
        ])
    }

    /// A length comes in: bought, or left over from a garment.
    ///
    /// # Errors
    /// [`StoreError::Missing`] cloth or garment; [`StoreError::Refused`] when it has no length.
    pub fn add_length(
        &self,
        of: ClothId,
        facts: &LengthFacts,
        long: Length,
        left_of: Option<GarmentId>,
    ) -> Result<ClothLengthId, StoreError> {
        self.cloth(of)?;
        if long <= Length::ZERO {
            return Err(StoreError::refused("A length of cloth is longer than nothing. Write how long it is."));
        }
        let mut cells = vec![("cloth_id", of.get().into())];
        cells.extend(length_cells(facts));
        let id = ClothLengthId::new(self.insert(LENGTH, None, &cells)?);
        let kind = if left_of.is_some() { ClothMoveKind::Offcut } else { ClothMoveKind::Bought };
        self.note_cloth(id, kind, long, facts.day, MovedFor::garment(left_of), "")?;
        Ok(id)
    }

    /// Writes what changed about a length: where it lies, its flaws, whether it was washed.
    ///
    /// # Errors
    /// [`StoreError::Stale`], [`StoreError::Missing`].
    pub fn change_length(&self, id: ClothLengthId, version: i64, facts: &LengthFacts) -> Result<(), StoreError> {
        let edit = self.edit(LENGTH, id.get(), version, None)?;
        edit.cells(&length_cells(facts))?;
        edit.done()
    }

    /// A length was measured again: it is as long as the tape says, be that nothing.
    ///
    /// # Errors
    /// [`StoreError::Missing`]; [`StoreError::Refused`] below nought, or when it is as long already.
    pub fn measure_length(
        &self,
        id: ClothLengthId,
        now: Length,
        day: NaiveDate,
        words: &str,
    ) -> Result<(), StoreError> {
        let there = self.cloth_length(id)?.there;
        let showing = self.settings()?.showing;
        if now < Length::ZERO {
            return Err(StoreError::refused(format!(
                "A length of cloth is not {}; it is nothing at the least.",
                showing.with_unit(now)
            )));
        }
        if now == there {
            return Err(StoreError::refused(format!("It is {} long already.", showing.with_unit(now))));
        }
        self.note_cloth(id, ClothMoveKind::Measured, now - there, day, MovedFor::default(), words)
    }

    /// Some of a length goes: cut for a garment, or given away.
    ///
    /// # Errors
    /// [`StoreError::Missing`]; [`StoreError::Refused`] when it is nothing, or more than there is.
    pub fn take_cloth(
        &self,
        id: ClothLengthId,
        much: Length,
        day: NaiveDate,
        garment: Option<GarmentId>,
        words: &str,
    ) -> Result<(), StoreError> {
        let there = self.cloth_length(id)?.there;
        let showing = self.settings()?.showing;
        if much <= Length::ZERO {
            return Err(StoreError::refused("Nothing was taken. Write how much goes."));
        }
        if much > there {
            return Err(StoreError::refused(format!(
                "{} cannot be taken: this length is {}. Take no more, or measure it again.",
                showing.with_unit(much),
                showing.with_unit(there)
            )));
        }
        let kind = if garment.is_some() { ClothMoveKind::Cut } else { ClothMoveKind::Given };
        let change = Length::from_nm(0_i64.saturating_sub(much.nm()));
        self.note_cloth(id, kind, change, day, MovedFor::garment(garment), words)
    }

    /// Writes the row of a move.
    pub(super) fn note_cloth(
        &self,
        length: ClothLengthId,
        kind: ClothMoveKind,
        change: Length,
        day: NaiveDate,
        moved_for: MovedFor,
        words: &str,
    ) -> Result<(), StoreError> {
        let MovedFor { garment, lay } = moved_for;
        let order = garment.map(|garment| self.garment(garment)).transpose()?.map(|garment| garment.order);
        let cells = [
            ("length_id", length.get().into()),
            ("kind", kind.key().to_string().into()),
            ("nm", change.nm().into()),
            ("day", day_cell(day)),
            ("garment_id", garment.map(GarmentId::get).into()),
            ("words", words.trim().to_string().into()),
            ("lay_id", lay.map(LayId::get).into()),
            ("who", self.who().get().into()),
            ("at_ms", self.at_ms().into()),
        ];
        self.insert(MOVE, order, &cells).map(drop)
    }
}

fn length_cells(facts: &LengthFacts) -> [(&'static str, Value); 4] {
    [
        ("day", day_cell(facts.day)),
        ("washed", facts.washed.map(i64::from).into()),
        ("flaws", facts.flaws.clone().into()),
        ("place", facts.place.clone().into()),
    ]
}
