//! What is still to be cut, with everything that its cloth is reckoned from.

use crate::measure::Length;
use crate::shop::{Body, ClothId, Garment, GarmentId, OrderNumber, StyleVersionId};

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
    /// Width and need of the lay that was accepted, unless the garment was changed since in
    /// what its cloth depends on.
    pub accepted: Option<(Length, Length)>,
    /// What is held for it on a length of the shop's cloth.
    pub held: Option<Length>,
}

/// Garments to be cut, those promised first; the parameter is the most rows. What is on hold or
/// called off waits. A change of cloth, style, measures or choices lets an accepted lay lapse.
const TO_CUT: &str = "
    SELECT g.id, o.year, o.count, CASE w.known_as WHEN '' THEN w.name ELSE w.known_as END AS wearer_name,
           l.width_nm AS lay_width_nm, l.need_nm,
           (SELECT h.nm FROM cloth_held h WHERE h.garment_id = g.id) AS held_nm
      FROM shop_order o INDEXED BY order_open
      JOIN garment g ON g.order_id = o.id AND g.cancelled = 0 AND g.stage IN ('booked', 'cloth_in')
      JOIN client w ON w.id = g.wearer_id
      LEFT JOIN lay l ON l.id = (SELECT max(n.id) FROM lay n WHERE n.garment_id = g.id)
       AND NOT EXISTS (
           SELECT 1 FROM change c JOIN action a ON a.id = c.action_id
            WHERE c.noun = 'garment' AND c.row = g.id AND a.at_ms > l.at_ms
              AND (c.field LIKE 'cloth%' OR c.field LIKE 'garment%' OR c.field IN ('style_version_id', 'set_id', 'wearer_id')))
     WHERE o.is_open = 1 AND o.standing = 'open'
     ORDER BY o.promised IS NULL, o.promised, o.id, g.letter
     LIMIT ?1";

impl Reader<'_> {
    /// Every garment that is still to be cut, by promised day; at most this many.
    ///
    /// # Errors
    /// [`StoreError`] of the reading.
    pub fn to_cut(&self, most: u32) -> Result<Vec<ToCut>, StoreError> {
        let mut query = self.prepared(TO_CUT)?;
        let rows = query.query_map([most], |row| {
            let accepted = row.maybe_length("lay_width_nm")?.zip(row.maybe_length("need_nm")?);
            let number = OrderNumber { year: row.get("year")?, count: row.get("count")? };
            let name: String = row.get("wearer_name")?;
            Ok((GarmentId::new(row.get("id")?), number, name, accepted, row.maybe_length("held_nm")?))
        })?;
        rows.map(|row| {
            let (id, number, wearer_name, accepted, held) = row?;
            let garment = self.garment(id)?;
            let body = self.body(garment.facts.wearer, garment.facts.set)?;
            Ok(ToCut { garment, number, wearer_name, body, accepted, held })
        })
        .collect()
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

    /// Garments that are booked, not cut, and to be cut from this cloth of the shop; by promised day.
    ///
    /// # Errors
    /// [`StoreError`] of the reading.
    pub fn to_cut_from(&self, cloth: ClothId) -> Result<Vec<(OrderNumber, Garment)>, StoreError> {
        let found: Vec<(OrderNumber, GarmentId)> = self
            .prepared(
                "SELECT o.year, o.count, g.id FROM garment g JOIN shop_order o ON o.id = g.order_id
                  WHERE g.cloth_stock_id = ?1 AND g.cancelled = 0 AND g.stage IN ('booked', 'cloth_in')
                    AND o.standing <> 'cancelled'
                  ORDER BY o.promised IS NULL, o.promised, o.id, g.letter",
            )?
            .query_map([cloth.get()], |row| {
                Ok((OrderNumber { year: row.get("year")?, count: row.get("count")? }, GarmentId::new(row.get("id")?)))
            })?
            .collect::<Result<_, _>>()?;
        found.into_iter().map(|(number, id)| Ok((number, self.garment(id)?))).collect()
    }
}
