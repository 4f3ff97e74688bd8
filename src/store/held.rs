//! What of the shop's cloth is held for a lay: from its being accepted until its garments are cut.

use chrono::NaiveDate;
use rusqlite::OptionalExtension;

use crate::measure::Length;
use crate::shop::{
    AcceptedLay, ClothId, ClothLengthId, ClothMoveKind, ClothOf, Garment, GarmentId, LayId, Letter, OrderNumber, Stage,
};

use super::cells::Cells;
use super::edit::Table;
use super::garment::letter;
use super::stock::MovedFor;
use super::{Reader, StoreError, Writer};

const TABLE: Table = Table::of("cloth_held");

/// What went from a length of the shop's: which, how much, by which lay.
type Went = (ClothLengthId, Length, Option<LayId>);

/// The shop's cloth that all of these garments are cut from; nothing when one is not.
fn common_stock(garments: &[Garment], cloth: ClothOf) -> Option<ClothId> {
    let mut stocks = garments.iter().map(|garment| garment.facts.stock_of(cloth));
    let first = stocks.next().flatten()?;
    stocks.all(|stock| stock == Some(first)).then_some(first)
}

impl Reader<'_> {
    /// What went from lengths of the shop's when a garment was cut last, less what came back then or was not cut
    /// after all; with the lay that it was cut by. Nothing where it was not cut from the shelf.
    ///
    /// # Errors
    /// [`StoreError`] of the reading.
    pub fn cut_from_shelf(&self, garment: GarmentId) -> Result<Vec<Went>, StoreError> {
        // Cut, and moved on the tape, in one action: at the same moment. Whatever was measured again for a garment
        // was not cut after all.
        let mut query = self.prepared(
            "SELECT m.length_id, -sum(m.nm) AS nm, m.lay_id
               FROM cloth_move m,
                    (SELECT max(s.at_ms) AS at_ms FROM stage_move s WHERE s.garment_id = ?1
                        AND s.from_stage IN ('booked', 'cloth_in') AND s.to_stage NOT IN ('booked', 'cloth_in')) t
              WHERE m.garment_id = ?1
                AND (m.kind IN ('cut', 'offcut') AND m.at_ms = t.at_ms OR m.kind = 'measured' AND m.at_ms >= t.at_ms)
              GROUP BY m.length_id, m.lay_id HAVING sum(m.nm) < 0",
        )?;
        let rows = query.query_map([garment.get()], |row| {
            let lay: Option<i64> = row.get("lay_id")?;
            Ok((ClothLengthId::new(row.get("length_id")?), row.length("nm")?, lay.map(LayId::new)))
        })?;
        Ok(rows.collect::<Result<_, _>>()?)
    }

    /// What went from the shelf by a lay, less what came back; by length. Nothing while it is not cut.
    ///
    /// # Errors
    /// [`StoreError`] of the reading.
    pub fn taken_by(&self, lay: LayId) -> Result<Vec<(ClothLengthId, Length)>, StoreError> {
        Ok(self
            .prepared(
                "SELECT length_id, -sum(nm) AS nm FROM cloth_move WHERE lay_id = ?1
                  GROUP BY length_id HAVING sum(nm) < 0",
            )?
            .query_map([lay.get()], |row| Ok((ClothLengthId::new(row.get("length_id")?), row.length("nm")?)))?
            .collect::<Result<_, _>>()?)
    }

    /// The garments that were cut by a lay whose cloth went from the shelf, and sent back since: it serves them
    /// no more.
    ///
    /// # Errors
    /// [`StoreError`] of the reading.
    pub fn sent_back_from(&self, lay: LayId) -> Result<Vec<GarmentId>, StoreError> {
        Ok(self
            .prepared(
                "SELECT m.garment_id FROM laid_garment m JOIN garment g ON g.id = m.garment_id
                  WHERE m.lay_id = ?1 AND g.stage IN ('booked', 'cloth_in')
                    AND COALESCE((SELECT sum(v.nm) FROM cloth_move v WHERE v.lay_id = ?1), 0) < 0
                    AND EXISTS (SELECT 1 FROM stage_move s
                                 WHERE s.garment_id = m.garment_id AND s.to_stage NOT IN ('booked', 'cloth_in')
                                   AND s.at_ms >= (SELECT max(t.at_ms) FROM cloth_move t
                                                    WHERE t.lay_id = ?1 AND t.kind = 'cut'))
                  ORDER BY m.place",
            )?
            .query_map([lay.get()], |row| row.get(0).map(GarmentId::new))?
            .collect::<Result<_, _>>()?)
    }

    /// Whether what is held for a garment's own lay may stay: since then it was laid with others alone.
    pub(super) fn may_stay_held(&self, lay: LayId) -> Result<bool, StoreError> {
        Ok(self
            .prepared(
                "SELECT NOT EXISTS (
                     SELECT 1 FROM laid_garment m JOIN lay l ON l.id = m.lay_id
                       JOIN laid_garment k ON k.garment_id = m.garment_id AND k.lay_id > m.lay_id
                       JOIN lay n ON n.id = k.lay_id AND n.cloth = l.cloth
                      WHERE m.lay_id = ?1 AND (n.layout = 'set_aside'
                            OR (SELECT count(*) FROM laid_garment c WHERE c.lay_id = n.id) = 1))",
            )?
            .query_row([lay.get()], |row| row.get(0))?)
    }

    /// The first garment of a joint lay that is cut, where the cloth of all did not go from the shelf with it: the
    /// lay serves the others no more.
    ///
    /// # Errors
    /// [`StoreError`] of the reading.
    pub fn cut_without_others(&self, lay: LayId) -> Result<Option<(OrderNumber, Letter)>, StoreError> {
        Ok(self
            .prepared(
                "SELECT o.year, o.count, g.letter FROM laid_garment m
                   JOIN garment g ON g.id = m.garment_id JOIN shop_order o ON o.id = g.order_id
                  WHERE m.lay_id = ?1 AND g.stage NOT IN ('booked', 'cloth_in')
                    AND COALESCE((SELECT sum(v.nm) FROM cloth_move v WHERE v.lay_id = ?1), 0) >= 0
                  ORDER BY m.place LIMIT 1",
            )?
            .query_row([lay.get()], |row| {
                Ok((OrderNumber { year: row.get("year")?, count: row.get("count")? }, letter(row)?))
            })
            .optional()?)
    }
}

impl Writer<'_> {
    /// A garment was not cut after all: what went from the shelf for it comes back as it was, and is held
    /// again for the lay that still stands where it suffices.
    ///
    /// # Errors
    /// [`StoreError::Missing`] garment.
    pub fn not_cut(&self, garment: GarmentId, day: NaiveDate) -> Result<(), StoreError> {
        let cut = self.cut_from_shelf(garment)?;
        for (length, much, lay) in &cut {
            let moved_for = MovedFor { garment: Some(garment), lay: *lay };
            self.note_cloth(*length, ClothMoveKind::Measured, *much, day, moved_for, "not cut after all")?;
        }
        for lay in self.newest_lays(garment)?.into_values() {
            let stands = self.laid_otherwise(&self.whole(&lay.garments)?, lay.id, lay.cloth)?.is_none();
            if stands && self.left_lay(lay.id)?.is_none() {
                self.hold_for_lay(&lay, lay.id)?;
            }
        }
        // What was held for it by itself is so again, while a joint lay that was accepted since has no length.
        for (length, _, by) in cut {
            let Some(lay) = by.map(|by| self.lay(by)).transpose()? else { continue };
            let is_own = lay.garments == [garment] && self.may_stay_held(lay.id)?;
            if is_own && self.held_for(garment, lay.cloth)?.is_none() {
                let need = lay.need.filter(|need| self.cloth_length(length).is_ok_and(|on| on.free() >= *need));
                need.map(|need| self.hold_on(&self.garment(garment)?, lay.id, length, need)).transpose()?;
            }
        }
        Ok(())
    }

    /// Holds cloth for a lay that was just accepted, where its garments are cut from one of the shop's: on
    /// the shortest length that suffices, so that bolts stay whole (judgement). Where none does,
    /// nothing is held for it: the cloth is still to be bought. What a garment of a joint lay holds by itself
    /// stays until then.
    pub(super) fn hold_for_lay(&self, lay: &AcceptedLay, id: LayId) -> Result<(), StoreError> {
        let garments = self.whole(&lay.garments)?;
        let found = self.length_for(&garments, lay)?;
        for garment in &garments {
            let held = self.held_for(garment.id, lay.cloth)?;
            let stays = found.is_none() && lay.is_joint() && held.is_some_and(|held| held.garments == 1);
            if !stays {
                self.let_go(garment.id, lay.cloth)?;
            }
        }
        match found.zip(garments.first()).zip(lay.need) {
            Some(((on, first), need)) => self.hold_on(first, id, on, need),
            None => Ok(()),
        }
    }

    /// The shortest length of the shop's that suffices for all garments of a lay, with what is held for them already.
    fn length_for(&self, garments: &[Garment], lay: &AcceptedLay) -> Result<Option<ClothLengthId>, StoreError> {
        let Some((cloth, need)) = common_stock(garments, lay.cloth).zip(lay.need) else { return Ok(None) };
        if garments.iter().any(|garment| garment.stage >= Stage::Cut) {
            return Ok(None);
        }
        let mut own = Vec::new();
        for garment in garments {
            own.extend(self.held_for(garment.id, lay.cloth)?.map(|held| held.lay));
        }
        // They come the longest first, and the last that suffices is the shortest.
        let lengths = self.cloth_lengths(cloth, false)?;
        Ok(lengths.iter().rev().find(|length| length.free_for(&own) >= need).map(|length| length.id))
    }

    /// The first of the garments of a lay for which another one was accepted since.
    fn laid_otherwise<'g>(
        &self,
        garments: &'g [Garment],
        lay: LayId,
        cloth: ClothOf,
    ) -> Result<Option<&'g Garment>, StoreError> {
        for garment in garments {
            if self.newest_lay(garment.id, cloth)?.is_none_or(|newest| newest.id != lay) {
                return Ok(Some(garment));
            }
        }
        Ok(None)
    }

    fn whole(&self, garments: &[GarmentId]) -> Result<Vec<Garment>, StoreError> {
        garments.iter().map(|id| self.garment(*id)).collect()
    }

    /// Holds one cloth of a garment on this length of the shop's: as much as its accepted lay needs, for
    /// all garments of that lay.
    ///
    /// # Errors
    /// [`StoreError::Missing`]; [`StoreError::Refused`] when no lay was accepted, something of it is cut, the
    /// length is of another cloth, or less of it is free than is needed.
    pub fn hold(&self, garment: GarmentId, cloth: ClothOf, on: ClothLengthId) -> Result<(), StoreError> {
        let garment = self.garment(garment)?;
        let what = &garment.facts.what;
        let lay = self.newest_lay(garment.id, cloth)?;
        let Some((lay, need)) = lay.and_then(|lay| lay.need.map(|need| (lay, need))) else {
            return Err(StoreError::refused(format!(
                "No lay of {what} was accepted yet. Accept one on its cloth page."
            )));
        };
        let garments = self.whole(&lay.garments)?;
        if let Some(other) = self.laid_otherwise(&garments, lay.id, cloth)? {
            let what = &other.facts.what;
            return Err(StoreError::refused(format!(
                "{what} was laid otherwise since, so the lay together is no more. Accept a lay for the garment that is \
                 cut now, by itself or with others."
            )));
        }
        if let Some(done) = garments.iter().find(|one| one.cancelled || one.stage >= Stage::Cut) {
            let what = &done.facts.what;
            return Err(StoreError::refused(format!("{what} is cut or called off: nothing is held for it.")));
        }
        for one in &garments {
            self.let_go(one.id, cloth)?;
        }
        let length = self.cloth_length(on)?;
        if common_stock(&garments, cloth) != Some(length.cloth) {
            return Err(StoreError::refused(format!("{what} is cut from another cloth. Change its cloth first.")));
        }
        let free = length.free();
        if free < need {
            let showing = self.settings()?.showing;
            return Err(StoreError::refused(format!(
                "{} cannot be held for {what}: {} of this length is free ({} there, {} held). Choose a longer one or buy.",
                showing.with_unit(need),
                showing.with_unit(free),
                showing.with_unit(length.there),
                showing.with_unit(length.held_in_all())
            )));
        }
        self.hold_on(garments.first().unwrap_or(&garment), lay.id, on, need)
    }

    pub(super) fn hold_on(
        &self,
        garment: &Garment,
        lay: LayId,
        on: ClothLengthId,
        need: Length,
    ) -> Result<(), StoreError> {
        let cells = [
            ("lay_id", lay.get().into()),
            ("length_id", on.get().into()),
            ("nm", need.nm().into()),
            ("who", self.who().get().into()),
            ("at_ms", self.at_ms().into()),
        ];
        self.insert(TABLE, Some(garment.order), &cells).map(drop)
    }

    /// Lets go what is held of one cloth of a garment, for all garments of that lay; nothing is done when
    /// nothing is held.
    ///
    /// # Errors
    /// [`StoreError::Missing`] garment.
    pub fn let_go(&self, garment: GarmentId, cloth: ClothOf) -> Result<(), StoreError> {
        let Some(held) = self.held_for(garment, cloth)? else { return Ok(()) };
        let order = self.garment(garment)?.order;
        let id: i64 = self
            .prepared("DELETE FROM cloth_held WHERE lay_id = ?1 RETURNING id")?
            .query_row([held.lay.get()], |row| row.get(0))?;
        let words = format!("{} of cloth that was held", self.settings()?.showing.with_unit(held.length));
        self.changed(TABLE.noun, id, Some(order), None, Some(&words), None)
    }

    /// Lets go whatever is held for a garment.
    ///
    /// # Errors
    /// [`StoreError::Missing`] garment.
    pub fn let_all_go(&self, garment: GarmentId) -> Result<(), StoreError> {
        ClothOf::ALL.iter().try_for_each(|cloth| self.let_go(garment, *cloth))
    }

    /// The cloth held for a garment was cut, with all that is cut from the same lay: the whole length went to
    /// the table, and what is `left` of it came back; as much as was reckoned, when nobody says how much.
    ///
    /// # Errors
    /// [`StoreError::Refused`] when more comes back than went, naming the length there was.
    pub fn cut_held(
        &self,
        garment: GarmentId,
        cloth: ClothOf,
        left: Option<Length>,
        day: NaiveDate,
    ) -> Result<(), StoreError> {
        let Some(held) = self.held_for(garment, cloth)? else { return Ok(()) };
        let there = self.cloth_length(held.on)?.there;
        if there == Length::ZERO {
            return self.let_go(garment, cloth);
        }
        let reckoned = if there > held.length { there - held.length } else { Length::ZERO };
        let left = left.unwrap_or(reckoned);
        if left < Length::ZERO || left >= there {
            let showing = self.settings()?.showing;
            return Err(StoreError::refused(format!(
                "{} cannot be left: the length was {} before it was cut. Write what came back, or nothing.",
                showing.with_unit(left),
                showing.with_unit(there)
            )));
        }
        self.let_go(garment, cloth)?;
        let moved_for = MovedFor { garment: Some(garment), lay: Some(held.lay) };
        let taken = Length::from_nm(0_i64.saturating_sub(there.nm()));
        self.note_cloth(held.on, ClothMoveKind::Cut, taken, day, moved_for, "")?;
        if left > Length::ZERO {
            self.note_cloth(held.on, ClothMoveKind::Offcut, left, day, moved_for, "")?;
        }
        Ok(())
    }
}
