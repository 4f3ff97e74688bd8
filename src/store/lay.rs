//! Lays that were accepted.

use std::collections::BTreeMap;

use rusqlite::types::Value;
use rusqlite::{OptionalExtension, Row, params};

use crate::shop::{
    AcceptedLay, AcceptedPlacement, ClothOf, GarmentId, LayId, Letter, OrderId, OrderNumber, PersonId, Stage,
};

use super::cells::{Cells, maybe_length_cell, unreadable};
use super::edit::Table;
use super::garment::letter;
use super::{Reader, StoreError, Writer};

const TABLE: Table = Table::of("lay");

/// The layout of a row that is no lay: it says that the one before it is set aside. Rows of
/// this table are only ever added, and so its end is a row of its own, of no length.
const SET_ASIDE: &str = "set_aside";

fn lay(row: &Row) -> rusqlite::Result<AcceptedLay> {
    let seed: String = row.get("seed")?;
    Ok(AcceptedLay {
        id: LayId::new(row.get("id")?),
        cloth: row.keyed("cloth", ClothOf::from_key)?,
        garments: Vec::new(),
        who: PersonId::new(row.get("who")?),
        at_ms: row.get("at_ms")?,
        width: row.length("width_nm")?,
        used: row.length("used_nm")?,
        need: row.maybe_length("need_nm")?,
        layout: row.get("layout")?,
        folded: row.length("folded_nm")?,
        fold_at: row.length("fold_at_nm")?,
        seed: seed.parse().map_err(|_| unreadable("seed", &seed))?,
        evaluations: u64::try_from(row.get::<_, i64>("evaluations")?).unwrap_or(0),
        placements: Vec::new(),
    })
}

fn placement(row: &Row) -> rusqlite::Result<AcceptedPlacement> {
    Ok(AcceptedPlacement {
        part: row.get("part")?,
        copy: row.get("copy")?,
        under_copy: row.get("under_copy")?,
        length: row.get::<_, Option<i64>>("length_nm")?.map(crate::measure::Length::from_nm),
        turn: row.get("turn")?,
        mirrored: row.get("mirrored")?,
        on_fold: row.get("on_fold")?,
        layers: row.get("layers")?,
        x: row.length("x_nm")?,
        y: row.length("y_nm")?,
    })
}

/// By whom a lay was accepted, and when.
type Accepted = (PersonId, i64);

/// The lay of one cloth that was accepted last for a garment; the parameters are the garment and the
/// cloth's key.
const NEWEST: &str = "
    SELECT l.* FROM lay l
     WHERE l.id = (SELECT max(m.lay_id) FROM laid_garment m JOIN lay n ON n.id = m.lay_id
                    WHERE m.garment_id = ?1 AND n.cloth = ?2)";

impl Reader<'_> {
    /// The lay of one cloth that was accepted last for a garment, by itself or with others; nothing when
    /// it was set aside since.
    ///
    /// # Errors
    /// [`StoreError`] of the reading.
    pub fn newest_lay(&self, garment: GarmentId, cloth: ClothOf) -> Result<Option<AcceptedLay>, StoreError> {
        let found = self.prepared(NEWEST)?.query_row(params![garment.get(), cloth.key()], lay).optional()?;
        found.filter(|lay| lay.layout != SET_ASIDE).map(|lay| self.with_parts(lay)).transpose()
    }

    /// One lay.
    ///
    /// # Errors
    /// [`StoreError::Missing`].
    pub fn lay(&self, id: LayId) -> Result<AcceptedLay, StoreError> {
        let found = self.prepared("SELECT * FROM lay WHERE id = ?1")?.query_row([id.get()], lay).optional()?;
        self.with_parts(found.ok_or_else(|| StoreError::missing("lay", id))?)
    }

    /// A lay with its garments and placements.
    fn with_parts(&self, mut lay: AcceptedLay) -> Result<AcceptedLay, StoreError> {
        lay.garments = self
            .prepared("SELECT garment_id FROM laid_garment WHERE lay_id = ?1 ORDER BY place")?
            .query_map([lay.id.get()], |row| row.get(0).map(GarmentId::new))?
            .collect::<Result<_, _>>()?;
        lay.placements = self
            .prepared("SELECT * FROM lay_placement WHERE lay_id = ?1 ORDER BY place")?
            .query_map([lay.id.get()], placement)?
            .collect::<Result<_, _>>()?;
        Ok(lay)
    }

    /// The lays that were accepted last for a garment, by the cloth that they are of.
    ///
    /// # Errors
    /// [`StoreError`] of the reading.
    pub fn newest_lays(&self, garment: GarmentId) -> Result<BTreeMap<ClothOf, AcceptedLay>, StoreError> {
        let mut lays = BTreeMap::new();
        for cloth in ClothOf::ALL {
            if let Some(lay) = self.newest_lay(garment, *cloth)? {
                lays.insert(*cloth, lay);
            }
        }
        Ok(lays)
    }

    /// The garments of a lay as their sheets name them, in the order in which they are numbered.
    ///
    /// # Errors
    /// [`StoreError`] of the reading.
    pub fn laid_together(&self, lay: LayId) -> Result<Vec<(OrderNumber, Letter)>, StoreError> {
        Ok(self
            .prepared(
                "SELECT o.year, o.count, g.letter FROM laid_garment m JOIN garment g ON g.id = m.garment_id
                   JOIN shop_order o ON o.id = g.order_id WHERE m.lay_id = ?1 ORDER BY m.place",
            )?
            .query_map([lay.get()], |row| {
                Ok((OrderNumber { year: row.get("year")?, count: row.get("count")? }, letter(row)?))
            })?
            .collect::<Result<_, _>>()?)
    }

    /// The first garment of a lay that has left it: it was laid otherwise since, or called off. What was cut by it
    /// when its cloth went from the shelf for all has not.
    ///
    /// # Errors
    /// [`StoreError`] of the reading.
    pub fn left_lay(&self, lay: LayId) -> Result<Option<(OrderNumber, Letter)>, StoreError> {
        Ok(self
            .prepared(
                "SELECT o.year, o.count, g.letter FROM laid_garment m JOIN lay l ON l.id = m.lay_id
                   JOIN garment g ON g.id = m.garment_id JOIN shop_order o ON o.id = g.order_id
                  WHERE m.lay_id = ?1 AND (g.cancelled = 1 OR o.standing = 'cancelled' OR EXISTS (
                        SELECT 1 FROM laid_garment k JOIN lay n ON n.id = k.lay_id
                         WHERE k.garment_id = m.garment_id AND k.lay_id > m.lay_id AND n.cloth = l.cloth))
                    AND NOT (COALESCE((SELECT sum(v.nm) FROM cloth_move v WHERE v.lay_id = ?1), 0) < 0 AND EXISTS (
                        SELECT 1 FROM stage_move s
                         WHERE s.garment_id = m.garment_id AND s.to_stage NOT IN ('booked', 'cloth_in')
                           AND s.at_ms >= (SELECT max(t.at_ms) FROM cloth_move t
                                            WHERE t.lay_id = ?1 AND t.kind = 'cut')))
                  ORDER BY m.place LIMIT 1",
            )?
            .query_row([lay.get()], |row| {
                Ok((OrderNumber { year: row.get("year")?, count: row.get("count")? }, letter(row)?))
            })
            .optional()?)
    }
}

impl Writer<'_> {
    /// Keeps a lay that was accepted; id, person and time are set here. Where its garments are cut
    /// from one of the shop's cloths, a length of it that suffices is held from now on.
    ///
    /// # Errors
    /// [`StoreError::Missing`] garment; [`StoreError::Refused`] when it is of no garment.
    pub fn accept_lay(&self, lay: &AcceptedLay) -> Result<LayId, StoreError> {
        let id = self.keep_lay(lay, (self.who(), self.at_ms()))?;
        self.hold_for_lay(lay, id)?;
        Ok(id)
    }

    /// Writes a lay as accepted by this person at this time.
    fn keep_lay(&self, lay: &AcceptedLay, accepted: Accepted) -> Result<LayId, StoreError> {
        let evaluations = i64::try_from(lay.evaluations).unwrap_or(i64::MAX);
        let id = self.add_lay(
            &lay.garments,
            accepted,
            &[
                ("cloth", lay.cloth.key().to_string().into()),
                ("width_nm", lay.width.nm().into()),
                ("used_nm", lay.used.nm().into()),
                ("need_nm", maybe_length_cell(lay.need)),
                ("layout", lay.layout.clone().into()),
                ("folded_nm", lay.folded.nm().into()),
                ("fold_at_nm", lay.fold_at.nm().into()),
                ("seed", lay.seed.to_string().into()),
                ("evaluations", evaluations.into()),
            ],
        )?;
        for (place, placed) in (0_i64..).zip(&lay.placements) {
            self.insert_part(
                "lay_placement",
                "lay_id, place, part, copy, under_copy, length_nm, turn, mirrored, on_fold, layers, x_nm, y_nm",
                params![
                    id.get(),
                    place,
                    placed.part,
                    placed.copy,
                    placed.under_copy,
                    placed.length.map(crate::measure::Length::nm),
                    placed.turn,
                    placed.mirrored,
                    placed.on_fold,
                    placed.layers,
                    placed.x.nm(),
                    placed.y.nm()
                ],
            )?;
        }
        Ok(id)
    }

    /// Writes the row of a lay with its garments; each of their orders hears of it.
    fn add_lay(
        &self,
        garments: &[GarmentId],
        (who, at_ms): Accepted,
        cells: &[(&'static str, Value)],
    ) -> Result<LayId, StoreError> {
        let orders: Vec<OrderId> =
            garments.iter().map(|id| Ok(self.garment(*id)?.order)).collect::<Result<_, StoreError>>()?;
        let (Some(first), Some(order)) = (garments.first(), orders.first()) else {
            return Err(StoreError::refused("A lay is of one garment at least. Choose one."));
        };
        let mut row: Vec<(&'static str, Value)> = vec![("garment_id", first.get().into())];
        row.extend(cells.iter().cloned());
        row.extend([("who", who.get().into()), ("at_ms", at_ms.into())]);
        let id = self.insert(TABLE, Some(*order), &row)?;
        for (place, garment) in (1_i64..).zip(garments) {
            self.insert_part("laid_garment", "lay_id, place, garment_id", params![id, place, garment.get()])?;
        }
        let mut told = vec![*order];
        for order in orders {
            if !told.contains(&order) {
                self.changed(TABLE.noun, id, Some(order), Some("garments"), None, Some("laid with others"))?;
                told.push(order);
            }
        }
        Ok(LayId::new(id))
    }

    /// Sets the accepted lay of one cloth of a garment aside, for all garments that are still in it and not cut:
    /// from now on they are laid anew. A garment for whose own lay cloth stayed held beside a joint one goes back to
    /// that lay. Nothing is written where none is accepted.
    ///
    /// # Errors
    /// [`StoreError::Missing`] garment.
    pub fn set_lay_aside(&self, garment: GarmentId, cloth: ClothOf) -> Result<(), StoreError> {
        let Some(lay) = self.newest_lay(garment, cloth)? else { return Ok(()) };
        if self.held_for(garment, cloth)?.is_some_and(|held| held.lay == lay.id) {
            self.let_go(garment, cloth)?;
        }
        let mut garments = Vec::new();
        for one in &lay.garments {
            // What is cut keeps the lay that it was cut by.
            let is_cut = *one != garment && self.garment(*one)?.stage >= Stage::Cut;
            if !is_cut && self.newest_lay(*one, cloth)?.is_some_and(|newest| newest.id == lay.id) {
                garments.push(*one);
            }
        }
        let none = || 0_i64.into();
        let cells = [
            ("cloth", cloth.key().to_string().into()),
            ("width_nm", lay.width.nm().into()),
            ("used_nm", none()),
            ("layout", SET_ASIDE.to_string().into()),
            ("folded_nm", none()),
            ("fold_at_nm", none()),
            ("seed", lay.seed.to_string().into()),
            ("evaluations", none()),
        ];
        self.add_lay(&garments, (self.who(), self.at_ms()), &cells)?;
        garments.into_iter().try_for_each(|garment| self.back_to_own_lay(garment, cloth))
    }

    /// A garment for which cloth is held by itself takes up the lay that it is held for, as it was accepted.
    fn back_to_own_lay(&self, garment: GarmentId, cloth: ClothOf) -> Result<(), StoreError> {
        let Some(held) = self.held_for(garment, cloth)?.filter(|held| held.garments == 1) else { return Ok(()) };
        let own = self.lay(held.lay)?;
        self.let_go(garment, cloth)?;
        let id = self.keep_lay(&own, (own.who, own.at_ms))?;
        self.hold_on(&self.garment(garment)?, id, held.on, held.length)
    }
}
