//! Lays that were accepted.

use rusqlite::{OptionalExtension, Row, params};

use crate::shop::{AcceptedLay, AcceptedPlacement, GarmentId, LayId, PersonId};

use super::cells::{Cells, maybe_length_cell, unreadable};
use super::edit::Table;
use super::{Reader, StoreError, Writer};

const TABLE: Table = Table::of("lay");

/// The layout of a row that is no lay: it says that the one before it is set aside. Rows of
/// this table are only ever added, and so its end is a row of its own, of no length.
const SET_ASIDE: &str = "set_aside";

fn lay(row: &Row) -> rusqlite::Result<AcceptedLay> {
    let seed: String = row.get("seed")?;
    Ok(AcceptedLay {
        id: LayId::new(row.get("id")?),
        garment: GarmentId::new(row.get("garment_id")?),
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

impl Reader<'_> {
    /// The lay that was accepted last for a garment; nothing when it was set aside since.
    ///
    /// # Errors
    /// [`StoreError`] of the reading.
    pub fn newest_lay(&self, garment: GarmentId) -> Result<Option<AcceptedLay>, StoreError> {
        let found = self
            .prepared("SELECT * FROM lay WHERE garment_id = ?1 ORDER BY id DESC LIMIT 1")?
            .query_row([garment.get()], lay)
            .optional()?;
        let Some(mut lay) = found else { return Ok(None) };
        lay.placements = self
            .prepared("SELECT * FROM lay_placement WHERE lay_id = ?1 ORDER BY place")?
            .query_map([lay.id.get()], placement)?
            .collect::<Result<_, _>>()?;
        Ok(Some(lay).filter(|lay| lay.layout != SET_ASIDE))
    }
}

impl Writer<'_> {
    /// Keeps a lay that was accepted; id, person and time are set here. Where the garment is cut
    /// from the shop's cloth, a length of it that suffices is held from now on.
    ///
    /// # Errors
    /// [`StoreError::Missing`] garment.
    pub fn accept_lay(&self, lay: &AcceptedLay) -> Result<LayId, StoreError> {
        let garment = self.garment(lay.garment)?;
        let evaluations = i64::try_from(lay.evaluations).unwrap_or(i64::MAX);
        let id = self.insert(
            TABLE,
            Some(garment.order),
            &[
                ("garment_id", lay.garment.get().into()),
                ("width_nm", lay.width.nm().into()),
                ("used_nm", lay.used.nm().into()),
                ("need_nm", maybe_length_cell(lay.need)),
                ("layout", lay.layout.clone().into()),
                ("folded_nm", lay.folded.nm().into()),
                ("fold_at_nm", lay.fold_at.nm().into()),
                ("seed", lay.seed.to_string().into()),
                ("evaluations", evaluations.into()),
                ("who", self.who().get().into()),
                ("at_ms", self.at_ms().into()),
            ],
        )?;
        for (place, placed) in (0_i64..).zip(&lay.placements) {
            self.insert_part(
                "lay_placement",
                "lay_id, place, part, copy, under_copy, length_nm, turn, mirrored, on_fold, layers, x_nm, y_nm",
                params![
                    id,
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
        self.hold_for_lay(&garment, LayId::new(id), lay.need)?;
        Ok(LayId::new(id))
    }

    /// Sets the accepted lay of a garment aside: from now on it is laid anew. Nothing is
    /// written where none is accepted.
    ///
    /// # Errors
    /// [`StoreError::Missing`] garment.
    pub fn set_lay_aside(&self, garment: GarmentId) -> Result<(), StoreError> {
        let order = self.garment(garment)?.order;
        let Some(lay) = self.newest_lay(garment)? else { return Ok(()) };
        let none = || 0_i64.into();
        self.insert(
            TABLE,
            Some(order),
            &[
                ("garment_id", garment.get().into()),
                ("width_nm", lay.width.nm().into()),
                ("used_nm", none()),
                ("layout", SET_ASIDE.to_string().into()),
                ("folded_nm", none()),
                ("fold_at_nm", none()),
                ("seed", lay.seed.to_string().into()),
                ("evaluations", none()),
                ("who", self.who().get().into()),
                ("at_ms", self.at_ms().into()),
            ],
        )?;
        Ok(())
    }
}
