//! Records of what was cut.

use std::collections::BTreeMap;

use rusqlite::{OptionalExtension, Row, params};

use crate::measure::Length;
use crate::shop::{CutCorrection, CutId, CutRecord, GarmentId, PersonId};

use super::cells::Cells;
use super::correction::{side, side_key};
use super::edit::Table;
use super::settings::{showing_of, step_key};
use super::{Reader, StoreError, Writer};

const TABLE: Table = Table { noun: "cut", name: "cut_record" };

fn cut(row: &Row) -> rusqlite::Result<CutRecord> {
    Ok(CutRecord {
        id: CutId::new(row.get("id")?),
        garment: GarmentId::new(row.get("garment_id")?),
        who: PersonId::new(row.get("who")?),
        at_ms: row.get("at_ms")?,
        style_text: row.get("style_text")?,
        body: BTreeMap::new(),
        figure: Vec::new(),
        corrections: Vec::new(),
        choices: BTreeMap::new(),
        showing: row.keyed("step", showing_of)?,
        dimensions: Vec::new(),
        outlines: row.get("outlines")?,
        engine: row.get("engine")?,
    })
}

impl Reader<'_> {
    /// The newest record of what was cut of a garment.
    ///
    /// # Errors
    /// [`StoreError`] of the reading.
    pub fn newest_cut(&self, garment: GarmentId) -> Result<Option<CutRecord>, StoreError> {
        let found = self
            .prepared("SELECT * FROM cut_record WHERE garment_id = ?1 ORDER BY id DESC LIMIT 1")?
            .query_row([garment.get()], cut)
            .optional()?;
        let Some(mut record) = found else { return Ok(None) };
        let mut figures =
            self.prepared("SELECT kind, key, nm, label, words FROM cut_figure WHERE cut_id = ?1 ORDER BY kind, place")?;
        let mut rows = figures.query([record.id.get()])?;
        while let Some(row) = rows.next()? {
            let key: String = row.get("key")?;
            match row.get::<_, String>("kind")?.as_str() {
                "body" => drop(record.body.insert(key, Length::from_nm(row.get("nm")?))),
                "choice" => drop(record.choices.insert(key, row.get("words")?)),
                _ => record.dimensions.push((key, row.get("label")?, row.get("words")?)),
            }
        }
        record.figure = self
            .prepared("SELECT note FROM cut_note WHERE cut_id = ?1 ORDER BY place")?
            .query_map([record.id.get()], |row| row.get(0))?
            .collect::<Result<_, _>>()?;
        record.corrections = self
            .prepared("SELECT dimension, side, nm, words FROM cut_correction WHERE cut_id = ?1 ORDER BY place")?
            .query_map([record.id.get()], |row| {
                Ok(CutCorrection {
                    dimension: row.get("dimension")?,
                    side: side(row)?,
                    amount: row.length("nm")?,
                    words: row.get("words")?,
                })
            })?
            .collect::<Result<_, _>>()?;
        Ok(Some(record))
    }
}

impl Writer<'_> {
    /// Keeps what was cut; id, person and time are set here.
    ///
    /// # Errors
    /// [`StoreError::Missing`] garment.
    pub fn add_cut(&self, record: &CutRecord) -> Result<CutId, StoreError> {
        const COLUMNS: &str = "cut_id, kind, place, key, nm, label, words";
        let garment = self.garment(record.garment)?;
        let id = self.insert_quietly(
            TABLE,
            Some(garment.order),
            &[
                ("garment_id", record.garment.get().into()),
                ("style_text", record.style_text.clone().into()),
                ("step", step_key(record.showing).to_string().into()),
                ("outlines", record.outlines.clone().into()),
                ("engine", record.engine.clone().into()),
                ("who", self.who().get().into()),
                ("at_ms", self.at_ms().into()),
            ],
            &["garment_id", "engine"],
        )?;
        for (place, (key, length)) in (0_i64..).zip(&record.body) {
            self.insert_part("cut_figure", COLUMNS, params![id, "body", place, key, length.nm(), "", ""])?;
        }
        for (place, (key, typed)) in (0_i64..).zip(&record.choices) {
            self.insert_part("cut_figure", COLUMNS, params![id, "choice", place, key, None::<i64>, "", typed])?;
        }
        for (place, (key, label, working)) in (0_i64..).zip(&record.dimensions) {
            self.insert_part("cut_figure", COLUMNS, params![id, "dimension", place, key, None::<i64>, label, working])?;
        }
        for (place, note) in (0_i64..).zip(&record.figure) {
            self.insert_part("cut_note", "cut_id, place, note", params![id, place, note])?;
        }
        for (place, one) in (0_i64..).zip(&record.corrections) {
            self.insert_part(
                "cut_correction",
                "cut_id, place, dimension, side, nm, words",
                params![id, place, one.dimension, side_key(one.side), one.amount.nm(), one.words],
            )?;
        }
        Ok(CutId::new(id))
    }
}
