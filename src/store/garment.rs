//! Garments of an order.

use std::collections::BTreeMap;

use rusqlite::types::Value;
use rusqlite::{OptionalExtension, Row};

use crate::shop::{
    AsAgreed, ClientId, ClothFacts, ClothId, ClothOf, CorrectionId, Garment, GarmentFacts, GarmentId, Letter, Nap,
    OrderId, PricedBy, SetId, Stage, Standing, StyleVersionId, WaitHours, WorkMinutes,
};

use super::cells::{Cells, maybe_day_cell, maybe_length_cell, unreadable};
use super::edit::{Edit, Table};
use super::garment_cloth;
use super::settings::length_cells;
use super::{Reader, StoreError, Writer};

pub(super) const TABLE: Table = Table::of("garment");

/// The most fittings that are planned for one garment.
const MOST_FITTINGS: u8 = 3;

/// The letter of a row.
pub(super) fn letter(row: &Row) -> rusqlite::Result<Letter> {
    let place: u16 = row.get("letter")?;
    Letter::at(place).ok_or_else(|| unreadable("letter", &place.to_string()))
}

/// The minutes of a row; all four or none.
pub(super) fn minutes(row: &Row) -> rusqlite::Result<Option<WorkMinutes>> {
    let cells = (row.get("cut_minutes")?, row.get("sew_minutes")?, row.get("fit_minutes")?, row.get("finish_minutes")?);
    Ok(match cells {
        (Some(cut), Some(sew), Some(fit), Some(finish)) => Some(WorkMinutes { cut, sew, fit, finish }),
        _ => None,
    })
}

/// The waits of a row.
pub(super) fn waits(row: &Row) -> rusqlite::Result<WaitHours> {
    Ok(WaitHours {
        cut: row.get("cut_wait_hours")?,
        tacked: row.get("tacked_wait_hours")?,
        sewn: row.get("sewn_wait_hours")?,
    })
}

fn garment(row: &Row) -> rusqlite::Result<Garment> {
    Ok(Garment {
        id: GarmentId::new(row.get("id")?),
        version: row.get("version")?,
        order: OrderId::new(row.get("order_id")?),
        letter: letter(row)?,
        stage: row.keyed("stage", Stage::from_key)?,
        cancelled: row.get("cancelled")?,
        facts: GarmentFacts {
            wearer: ClientId::new(row.get("wearer_id")?),
            what: row.get("what")?,
            style: row.get::<_, Option<i64>>("style_version_id")?.map(StyleVersionId::new),
            set: row.get::<_, Option<i64>>("set_id")?.map(SetId::new),
            choices: BTreeMap::new(),
            corrections: BTreeMap::new(),
            finished: BTreeMap::new(),
            allowances: BTreeMap::new(),
            cloth: ClothFacts {
                words: row.get("cloth_words")?,
                width: row.maybe_length("cloth_width_nm")?,
                length: row.maybe_length("cloth_length_nm")?,
                brought: row.get("cloth_brought")?,
                comes: row.maybe_day("cloth_comes")?,
                washed: row.get("cloth_washed")?,
                lengths: Vec::new(),
                nap: row.keyed("cloth_nap", Nap::from_key)?,
                repeat_along: row.maybe_length("cloth_repeat_along_nm")?,
                repeat_across: row.maybe_length("cloth_repeat_across_nm")?,
                shrink_along: row.get("cloth_shrink_along")?,
                shrink_across: row.get("cloth_shrink_across")?,
                turns_over: row.get("cloth_turns_over")?,
                fold_across: row.get("cloth_fold_across")?,
                skew: row.maybe_length("cloth_skew_nm")?,
                spare: row.maybe_length("cloth_spare_nm")?,
                flaws: row.get("cloth_flaws")?,
                stock: row.get::<_, Option<i64>>("cloth_stock_id")?.map(ClothId::new),
                price: row.maybe_money("cloth_minor", "currency")?,
                priced_by: row.keyed("cloth_priced_by", PricedBy::from_key)?,
            },
            linings: BTreeMap::new(),
            price: row.maybe_money("minor", "currency")?,
            fittings: row.get("fittings")?,
            minutes: minutes(row)?,
            waits: waits(row)?,
            bag: row.get("bag")?,
            place: row.get("place")?,
            agreed: AsAgreed {
                neck: row.get("agreed_neck")?,
                sleeve: row.get("agreed_sleeve")?,
                opening: row.get("agreed_opening")?,
                other: row.get("agreed_other")?,
            },
        },
    })
}

impl Reader<'_> {
    /// One garment, whole.
    ///
    /// # Errors
    /// [`StoreError::Missing`].
    pub fn garment(&self, id: GarmentId) -> Result<Garment, StoreError> {
        let found = self.prepared("SELECT * FROM garment WHERE id = ?1")?.query_row([id.get()], garment).optional()?;
        self.with_maps(found.ok_or_else(|| StoreError::missing("garment", id))?)
    }

    /// The garments of an order by letter, cancelled ones too.
    ///
    /// # Errors
    /// [`StoreError`] of the reading.
    pub fn garments_of(&self, order: OrderId) -> Result<Vec<Garment>, StoreError> {
        let rows: Vec<Garment> = self
            .prepared("SELECT * FROM garment WHERE order_id = ?1 ORDER BY letter")?
            .query_map([order.get()], garment)?
            .collect::<Result<_, _>>()?;
        rows.into_iter().map(|garment| self.with_maps(garment)).collect()
    }

    fn with_maps(&self, mut garment: Garment) -> Result<Garment, StoreError> {
        let owner = garment.id.get();
        garment.facts.choices = self
            .prepared("SELECT key, value FROM garment_choice WHERE owner = ?1")?
            .query_map([owner], |row| Ok((row.get(0)?, row.get(1)?)))?
            .collect::<Result<_, _>>()?;
        garment.facts.corrections = self
            .prepared("SELECT key, value FROM garment_correction WHERE owner = ?1")?
            .query_map([owner], |row| Ok((CorrectionId::new(row.get(0)?), row.get(1)?)))?
            .collect::<Result<_, _>>()?;
        garment.facts.finished = self.lengths("garment_finished", owner)?;
        garment.facts.allowances = self.lengths("garment_allowance", owner)?;
        self.with_cloths(&mut garment)?;
        Ok(garment)
    }
}

impl Writer<'_> {
    /// Adds a garment to an order; it is booked under the order's next letter.
    ///
    /// # Errors
    /// [`StoreError::Refused`] when the order is cancelled, the letters have run out, a price is in
    /// another currency, or what was written breaks a rule of the book.
    pub fn add_garment(&self, order: OrderId, facts: &GarmentFacts) -> Result<(GarmentId, Letter), StoreError> {
        let standing = self.order(order)?;
        if standing.standing == Standing::Cancelled {
            return Err(StoreError::refused(format!(
                "Order {} is cancelled. Take it up again first, or write a new one.",
                standing.number
            )));
        }
        self.is_fit(facts)?;
        let place: u16 = self
            .prepared("SELECT COALESCE(max(letter), -1) + 1 FROM garment WHERE order_id = ?1")?
            .query_row([order.get()], |row| row.get(0))?;
        let letter = Letter::at(place).ok_or_else(|| {
            StoreError::refused(format!("An order holds at most {} garments. Write a second order.", Letter::COUNT))
        })?;
        let mut cells = self.garment_cells(facts)?;
        cells.extend([
            ("order_id", order.get().into()),
            ("letter", letter.place().into()),
            ("stage", Stage::Booked.key().to_string().into()),
        ]);
        let id = GarmentId::new(self.insert(TABLE, Some(order), &cells)?);
        maps(&self.edit(TABLE, id.get(), 1, Some(order))?, facts)?;
        self.note_move(order, id, None, Stage::Booked, "")?;
        self.settle_find(order)?;
        self.settle_open(order)?;
        Ok((id, letter))
    }

    /// Writes what changed about a garment; `version` is the one that was seen. A price, set or
    /// style changes only here, and never by itself.
    ///
    /// # Errors
    /// [`StoreError::Stale`], [`StoreError::Missing`]; [`StoreError::Refused`] as when adding it.
    pub fn change_garment(&self, id: GarmentId, version: i64, facts: &GarmentFacts) -> Result<(), StoreError> {
        let before = self.garment(id)?;
        self.is_fit(facts)?;
        let edit = self.edit(TABLE, id.get(), version, Some(before.order))?;
        edit.cells(&self.garment_cells(facts)?)?;
        maps(&edit, facts)?;
        edit.done()?;
        for cloth in ClothOf::ALL {
            if before.facts.stock_of(*cloth) != facts.stock_of(*cloth) {
                self.let_go(id, *cloth)?;
            }
        }
        if before.facts.what == facts.what { Ok(()) } else { self.settle_find(before.order) }
    }

    /// Calls one garment off, or takes it up again; the rest of the order goes on.
    ///
    /// # Errors
    /// [`StoreError::Stale`]; [`StoreError::Refused`] when it was handed over already.
    pub fn cancel_garment(&self, id: GarmentId, version: i64, cancelled: bool) -> Result<(), StoreError> {
        let before = self.garment(id)?;
        if cancelled && before.stage == Stage::Collected {
            return Err(StoreError::refused(format!(
                "{} was collected. Move it back with a reason before calling it off.",
                before.facts.what
            )));
        }
        let edit = self.edit(TABLE, id.get(), version, Some(before.order))?;
        edit.cells(&[("cancelled", cancelled.into())])?;
        edit.done()?;
        if cancelled {
            self.let_all_go(id)?;
        }
        self.settle_open(before.order)
    }

    fn is_fit(&self, facts: &GarmentFacts) -> Result<(), StoreError> {
        if facts.what.trim().is_empty() {
            return Err(StoreError::refused("A garment needs a name. Write what it is, such as wrap skirt."));
        }
        if facts.fittings > MOST_FITTINGS {
            return Err(StoreError::refused(format!(
                "{} fittings are planned; at most {MOST_FITTINGS} can be. Arrange further ones as they come.",
                facts.fittings
            )));
        }
        if self.client(facts.wearer)?.forgotten_ms.is_some() {
            return Err(StoreError::refused("The wearer was forgotten. Write a new client and measure again."));
        }
        if let Some(set) = facts.set
            && self.set(set)?.facts.wearer != facts.wearer
        {
            return Err(StoreError::refused("These measures are of somebody else. Choose a set of the wearer."));
        }
        garment_cloth::are_fit(facts, self.settings()?.showing)?;
        self.are_of_wearer(facts.wearer, facts.corrections.keys().copied())
    }

    fn garment_cells(&self, facts: &GarmentFacts) -> Result<Vec<(&'static str, Value)>, StoreError> {
        let currency = self.settings()?.currency;
        let linings = facts.linings.values().filter_map(|lining| lining.price);
        for money in [facts.price, facts.cloth.price].into_iter().flatten().chain(linings) {
            self.is_in(money, currency)?;
        }
        let minutes = |part: fn(WorkMinutes) -> u32| Value::from(facts.minutes.map(|minutes| i64::from(part(minutes))));
        let cloth = &facts.cloth;
        Ok(vec![
            ("wearer_id", facts.wearer.get().into()),
            ("what", facts.what.trim().to_string().into()),
            ("style_version_id", facts.style.map(StyleVersionId::get).into()),
            ("set_id", facts.set.map(SetId::get).into()),
            ("cloth_words", cloth.words.clone().into()),
            ("cloth_width_nm", maybe_length_cell(cloth.width)),
            ("cloth_length_nm", maybe_length_cell(cloth.length)),
            ("cloth_brought", cloth.brought.into()),
            ("cloth_comes", maybe_day_cell(cloth.comes)),
            ("cloth_washed", cloth.washed.map(i64::from).into()),
            ("cloth_nap", cloth.nap.key().to_string().into()),
            ("cloth_repeat_along_nm", maybe_length_cell(cloth.repeat_along)),
            ("cloth_repeat_across_nm", maybe_length_cell(cloth.repeat_across)),
            ("cloth_shrink_along", cloth.shrink_along.map(i64::from).into()),
            ("cloth_shrink_across", cloth.shrink_across.map(i64::from).into()),
            ("cloth_turns_over", cloth.turns_over.into()),
            ("cloth_fold_across", cloth.fold_across.into()),
            ("cloth_skew_nm", maybe_length_cell(cloth.skew)),
            ("cloth_spare_nm", maybe_length_cell(cloth.spare)),
            ("cloth_flaws", cloth.flaws.clone().into()),
            ("cloth_stock_id", cloth.stock.map(ClothId::get).into()),
            ("cloth_minor", cloth.price.map(|money| money.minor()).into()),
            ("cloth_priced_by", cloth.priced_by.key().to_string().into()),
            ("minor", facts.price.map(|money| money.minor()).into()),
            ("currency", currency.code().to_string().into()),
            ("fittings", facts.fittings.into()),
            ("cut_minutes", minutes(|all| all.cut)),
            ("sew_minutes", minutes(|all| all.sew)),
            ("fit_minutes", minutes(|all| all.fit)),
            ("finish_minutes", minutes(|all| all.finish)),
            ("cut_wait_hours", facts.waits.cut.into()),
            ("tacked_wait_hours", facts.waits.tacked.into()),
            ("sewn_wait_hours", facts.waits.sewn.into()),
            ("bag", facts.bag.clone().into()),
            ("place", facts.place.clone().into()),
            ("agreed_neck", facts.agreed.neck.clone().into()),
            ("agreed_sleeve", facts.agreed.sleeve.clone().into()),
            ("agreed_opening", facts.agreed.opening.clone().into()),
            ("agreed_other", facts.agreed.other.clone().into()),
        ])
    }
}

fn maps(edit: &Edit, facts: &GarmentFacts) -> Result<(), StoreError> {
    let choices = facts.choices.iter().map(|(key, typed)| (key.clone(), typed.clone().into())).collect();
    edit.map("garment_choice", &choices)?;
    let corrections = facts.corrections.iter().map(|(id, applied)| (id.to_string(), (*applied).into())).collect();
    edit.map("garment_correction", &corrections)?;
    edit.map("garment_finished", &length_cells(&facts.finished))?;
    edit.map("garment_allowance", &length_cells(&facts.allowances))?;
    garment_cloth::keep(edit, facts)
}
