//! What is still to be cut, with everything that its cloth is reckoned from.

use std::collections::BTreeMap;

use crate::measure::Length;
use crate::shop::{Body, ClothId, ClothOf, Garment, GarmentId, LayId, OrderNumber, StyleVersionId};

use super::cells::Cells;
use super::{Reader, StoreError};

/// A garment that is booked and not cut yet.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ToCut {
    /// The garment, whole.
    pub garment: Garment,
    /// Its order's number.
    pub number: OrderNumber,
    /// What the wearer is called.
    pub wearer_name: String,
    /// The wearer's measures up to those that the garment pins.
    pub body: Body,
    /// The lays that were accepted, by the cloth that they are of, unless a garment of theirs was changed
    /// since in what its cloth depends on.
    pub accepted: BTreeMap<ClothOf, AcceptedNeed>,
    /// What is held on lengths of the shop's cloths for those lays.
    pub held: BTreeMap<ClothOf, Length>,
}

/// What an accepted lay needs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct AcceptedNeed {
    /// Which lay.
    pub lay: LayId,
    /// The width that it was laid on.
    pub width: Length,
    /// What must be cut from the bolt, for all garments of the lay.
    pub need: Length,
    /// How many garments are cut from it, this one counted.
    pub garments: u32,
    /// Whether its cloth went from the shelf to the table already, for all of them.
    pub is_taken: bool,
}

/// Garments to be cut, those promised first; the parameter is the most rows. What is on hold or
/// called off waits.
const TO_CUT: &str = "
    SELECT g.id, o.year, o.count, CASE w.known_as WHEN '' THEN w.name ELSE w.known_as END AS wearer_name
      FROM shop_order o INDEXED BY order_open
      JOIN garment g ON g.order_id = o.id AND g.cancelled = 0 AND g.stage IN ('booked', 'cloth_in')
      JOIN client w ON w.id = g.wearer_id
     WHERE o.is_open = 1 AND o.standing = 'open'
     ORDER BY o.promised IS NULL, o.promised, o.id, g.letter
     LIMIT ?1";

/// The lays of a garment that serve still: none of their garments was laid otherwise since, called off, or
/// changed in cloth, style, measures or choices. A joint lay of which one garment is cut serves the others only when
/// its cloth went from the shelf for all, and not for one that was cut from it and sent back; what becomes of the
/// others is then all one.
const SERVING: &str = "
    SELECT l.id, l.cloth, l.width_nm, l.need_nm,
           (SELECT count(*) FROM laid_garment c WHERE c.lay_id = l.id) AS garments,
           COALESCE((SELECT sum(v.nm) FROM cloth_move v WHERE v.lay_id = l.id), 0) < 0 AS is_taken
      FROM laid_garment m JOIN lay l ON l.id = m.lay_id
     WHERE m.garment_id = ?1 AND l.need_nm IS NOT NULL
       AND (garments = 1 OR CASE WHEN is_taken
           THEN NOT EXISTS (SELECT 1 FROM stage_move s
                             WHERE s.garment_id = ?1 AND s.to_stage NOT IN ('booked', 'cloth_in')
                               AND s.at_ms >= (SELECT max(t.at_ms) FROM cloth_move t
                                                WHERE t.lay_id = l.id AND t.kind = 'cut'))
           ELSE NOT EXISTS (SELECT 1 FROM laid_garment c JOIN garment x ON x.id = c.garment_id
                             WHERE c.lay_id = l.id AND x.stage NOT IN ('booked', 'cloth_in')) END)
       AND NOT EXISTS (
           SELECT 1 FROM laid_garment k JOIN garment g ON g.id = k.garment_id
            WHERE k.lay_id = l.id AND (k.garment_id = ?1 OR NOT is_taken)
              AND (g.cancelled = 1
                   OR EXISTS (SELECT 1 FROM laid_garment p JOIN lay n ON n.id = p.lay_id
                               WHERE p.garment_id = k.garment_id AND p.lay_id > l.id AND n.cloth = l.cloth)
                   OR EXISTS (SELECT 1 FROM change c JOIN action a ON a.id = c.action_id
                               WHERE c.noun = 'garment' AND c.row = k.garment_id AND a.at_ms > l.at_ms
                                 AND (c.field LIKE 'cloth%' OR c.field LIKE 'garment%'
                                      OR c.field IN ('style_version_id', 'set_id', 'wearer_id')))))";

impl Reader<'_> {
    /// Every garment that is still to be cut, by promised day; at most this many.
    ///
    /// # Errors
    /// [`StoreError`] of the reading.
    pub fn to_cut(&self, most: u32) -> Result<Vec<ToCut>, StoreError> {
        let mut query = self.prepared(TO_CUT)?;
        let rows = query.query_map([most], |row| {
            let number = OrderNumber { year: row.get("year")?, count: row.get("count")? };
            let name: String = row.get("wearer_name")?;
            Ok((GarmentId::new(row.get("id")?), number, name))
        })?;
        rows.map(|row| {
            let (id, number, wearer_name) = row?;
            let garment = self.garment(id)?;
            let body = self.body(garment.facts.wearer, garment.facts.set)?;
            let accepted = self.accepted_needs(id)?;
            let held = self.held_lengths(id, &accepted)?;
            Ok(ToCut { garment, number, wearer_name, body, accepted, held })
        })
        .collect()
    }

    fn accepted_needs(&self, garment: GarmentId) -> Result<BTreeMap<ClothOf, AcceptedNeed>, StoreError> {
        Ok(self
            .prepared(SERVING)?
            .query_map([garment.get()], |row| {
                let accepted = AcceptedNeed {
                    lay: LayId::new(row.get("id")?),
                    width: row.length("width_nm")?,
                    need: row.length("need_nm")?,
                    garments: row.get("garments")?,
                    is_taken: row.get("is_taken")?,
                };
                Ok((row.keyed("cloth", ClothOf::from_key)?, accepted))
            })?
            .collect::<Result<_, _>>()?)
    }

    /// What is held for the lays that serve; what is held for a garment by itself is not held for a joint lay.
    fn held_lengths(
        &self,
        garment: GarmentId,
        accepted: &BTreeMap<ClothOf, AcceptedNeed>,
    ) -> Result<BTreeMap<ClothOf, Length>, StoreError> {
        let mut held = BTreeMap::new();
        for cloth in ClothOf::ALL {
            let serves = |lay: LayId| accepted.get(cloth).is_none_or(|accepted| accepted.lay == lay);
            if let Some(one) = self.held_for(garment, *cloth)?.filter(|one| serves(one.lay)) {
                held.insert(*cloth, one.length);
            }
        }
        Ok(held)
    }

    /// The texts of these versions of styles.
    ///
    /// # Errors
    /// [`StoreError::Missing`].
    pub fn style_texts(
        &self,
        versions: impl Iterator<Item = StyleVersionId>,
    ) -> Result<Vec<(StyleVersionId, String)>, StoreError> {
        versions.map(|id| Ok((id, self.style_version(id)?.text))).collect()
    }

    /// Garments that are booked, not cut, and to be cut from this cloth of the shop, with which of their
    /// cloths it is; by promised day.
    ///
    /// # Errors
    /// [`StoreError`] of the reading.
    pub fn to_cut_from(&self, cloth: ClothId) -> Result<Vec<(OrderNumber, Garment, ClothOf)>, StoreError> {
        let found: Vec<(OrderNumber, GarmentId, ClothOf)> = self
            .prepared(
                "SELECT o.year, o.count, g.id, s.cloth
                   FROM (SELECT id, 'main' AS cloth FROM garment WHERE cloth_stock_id = ?1
                         UNION ALL SELECT owner, key FROM garment_lining WHERE stock_id = ?1) s
                   JOIN garment g ON g.id = s.id JOIN shop_order o ON o.id = g.order_id
                  WHERE g.cancelled = 0 AND g.stage IN ('booked', 'cloth_in') AND o.standing <> 'cancelled'
                  ORDER BY o.promised IS NULL, o.promised, o.id, g.letter, s.cloth",
            )?
            .query_map([cloth.get()], |row| {
                let number = OrderNumber { year: row.get("year")?, count: row.get("count")? };
                Ok((number, GarmentId::new(row.get("id")?), row.keyed("cloth", ClothOf::from_key)?))
            })?
            .collect::<Result<_, _>>()?;
        found.into_iter().map(|(number, id, of)| Ok((number, self.garment(id)?, of))).collect()
    }
}
