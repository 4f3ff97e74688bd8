//! What of the shop's cloth is held for a garment: from its accepted lay until it is cut.

use chrono::NaiveDate;

use crate::measure::Length;
use crate::shop::{ClothLengthId, ClothMoveKind, Garment, GarmentId, LayId, Stage};

use super::edit::Table;
use super::{StoreError, Writer};

const TABLE: Table = Table::of("cloth_held");

impl Writer<'_> {
    /// Holds cloth for a lay that was just accepted, where the garment is cut from the shop's: on
    /// the shortest length that suffices, so that bolts stay whole (judgement). Where none does,
    /// nothing is held: the cloth is still to be bought.
    pub(super) fn hold_for_lay(&self, garment: &Garment, lay: LayId, need: Option<Length>) -> Result<(), StoreError> {
        self.let_go(garment.id)?;
        let Some((cloth, need)) = garment.facts.cloth.stock.zip(need) else { return Ok(()) };
        if garment.stage >= Stage::Cut {
            return Ok(());
        }
        // They come the longest first, and the last that suffices is the shortest.
        let lengths = self.cloth_lengths(cloth, false)?;
        match lengths.iter().rev().find(|length| length.free() >= need) {
            None => Ok(()),
            Some(length) => self.hold_on(garment, lay, length.id, need),
        }
    }

    /// Holds cloth for a garment on this length of the shop's: as much as its accepted lay needs.
    ///
    /// # Errors
    /// [`StoreError::Missing`]; [`StoreError::Refused`] when no lay was accepted, it is cut, the length is
    /// of another cloth, or less of it is free than is needed.
    pub fn hold(&self, garment: GarmentId, on: ClothLengthId) -> Result<(), StoreError> {
        let garment = self.garment(garment)?;
        let what = &garment.facts.what;
        let lay = self.newest_lay(garment.id)?;
        let Some((lay, need)) = lay.and_then(|lay| lay.need.map(|need| (lay.id, need))) else {
            return Err(StoreError::refused(format!(
                "No lay of {what} was accepted yet. Accept one on its cloth page."
            )));
        };
        if garment.cancelled || garment.stage >= Stage::Cut {
            return Err(StoreError::refused(format!("{what} is cut or called off: nothing is held for it.")));
        }
        self.let_go(garment.id)?;
        let length = self.cloth_length(on)?;
        if garment.facts.cloth.stock != Some(length.cloth) {
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
        self.hold_on(&garment, lay, on, need)
    }

    fn hold_on(&self, garment: &Garment, lay: LayId, on: ClothLengthId, need: Length) -> Result<(), StoreError> {
        let cells = [
            ("garment_id", garment.id.get().into()),
            ("lay_id", lay.get().into()),
            ("length_id", on.get().into()),
            ("nm", need.nm().into()),
            ("who", self.who().get().into()),
            ("at_ms", self.at_ms().into()),
        ];
        self.insert(TABLE, Some(garment.order), &cells).map(drop)
    }

    /// Lets go what is held for a garment; nothing is done when nothing is.
    ///
    /// # Errors
    /// [`StoreError::Missing`] garment.
    pub fn let_go(&self, garment: GarmentId) -> Result<(), StoreError> {
        let Some(held) = self.held_for(garment)? else { return Ok(()) };
        let order = self.garment(garment)?.order;
        let id: i64 = self
            .prepared("DELETE FROM cloth_held WHERE garment_id = ?1 RETURNING id")?
            .query_row([garment.get()], |row| row.get(0))?;
        let words = format!("{} of cloth that was held", self.settings()?.showing.with_unit(held.length));
        self.changed(TABLE.noun, id, Some(order), None, Some(&words), None)
    }

    /// The cloth held for a garment was cut: the whole length went to the table, and what is
    /// `left` of it came back; as much as was reckoned, when nobody says how much.
    ///
    /// # Errors
    /// [`StoreError::Refused`] when more comes back than went, naming the length there was.
    pub fn cut_held(&self, garment: GarmentId, left: Option<Length>, day: NaiveDate) -> Result<(), StoreError> {
        let Some(held) = self.held_for(garment)? else { return Ok(()) };
        let there = self.cloth_length(held.on)?.there;
        if there == Length::ZERO {
            return self.let_go(garment);
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
        self.let_go(garment)?;
        self.take_cloth(held.on, there, day, Some(garment), "")?;
        if left > Length::ZERO {
            self.note_cloth(held.on, ClothMoveKind::Offcut, left, day, Some(garment), "")?;
        }
        Ok(())
    }
}
