//! Sets of measures, and the body they add up to.

use std::collections::BTreeSet;

use rusqlite::{OptionalExtension, Row, params};

use crate::shop::{Body, BodyValue, ClientId, GarmentId, MeasureSet, PersonId, Reading, SetFacts, SetId, Source};

use super::cells::{Cells, day_cell};
use super::edit::Table;
use super::{Reader, StoreError, Writer};

const TABLE: Table = Table { noun: "measures", name: "measure_set" };

fn set(row: &Row) -> rusqlite::Result<MeasureSet> {
    Ok(MeasureSet {
        id: SetId::new(row.get("id")?),
        taken_by: PersonId::new(row.get("who")?),
        at_ms: row.get("at_ms")?,
        facts: SetFacts {
            wearer: ClientId::new(row.get("wearer_id")?),
            day: row.day("day")?,
            over: row.get("over_what")?,
            source: row.keyed("source", Source::from_key)?,
            note: row.get("note")?,
            figure: Vec::new(),
            readings: Vec::new(),
            corrects: row.get::<_, Option<i64>>("corrects")?.map(SetId::new),
            garment: row.get::<_, Option<i64>>("garment_id")?.map(GarmentId::new),
        },
    })
}

fn reading(row: &Row) -> rusqlite::Result<Reading> {
    Ok(Reading {
        dimension: row.get("dimension")?,
        length: row.length("nm")?,
        typed: row.get("typed")?,
        number: row.get("number")?,
        source: row.keyed("source", Source::from_key)?,
    })
}

impl Reader<'_> {
    /// One set, whole.
    ///
    /// # Errors
    /// [`StoreError::Missing`].
    pub fn set(&self, id: SetId) -> Result<MeasureSet, StoreError> {
        let found = self.prepared("SELECT * FROM measure_set WHERE id = ?1")?.query_row([id.get()], set).optional()?;
        self.with_readings(found.ok_or_else(|| StoreError::missing("set of measures", id))?)
    }

    /// All sets of a wearer, newest first, whole.
    ///
    /// # Errors
    /// [`StoreError`] of the reading.
    pub fn sets_of(&self, wearer: ClientId) -> Result<Vec<MeasureSet>, StoreError> {
        let sets: Vec<MeasureSet> = self
            .prepared("SELECT * FROM measure_set WHERE wearer_id = ?1 ORDER BY day DESC, id DESC")?
            .query_map([wearer.get()], set)?
            .collect::<Result<_, _>>()?;
        sets.into_iter().map(|set| self.with_readings(set)).collect()
    }

    /// The newest set of a wearer.
    ///
    /// # Errors
    /// [`StoreError`] of the reading.
    pub fn newest_set(&self, wearer: ClientId) -> Result<Option<SetId>, StoreError> {
        Ok(self
            .prepared("SELECT id FROM measure_set WHERE wearer_id = ?1 ORDER BY day DESC, id DESC LIMIT 1")?
            .query_row([wearer.get()], |row| row.get(0).map(SetId::new))
            .optional()?)
    }

    /// The newest value of each dimension up to and with this set (all sets when `None`), each
    /// with its day. A set that was corrected by another of those gives nothing. All standing
    /// corrections of the wearer are with it, whatever the set.
    ///
    /// # Errors
    /// [`StoreError::Missing`] when the set is not one of this wearer.
    pub fn body(&self, wearer: ClientId, up_to: Option<SetId>) -> Result<Body, StoreError> {
        let (last_day, last_id) = match up_to {
            None => ("9999-12-31".to_string(), i64::MAX),
            Some(id) => self
                .prepared("SELECT day FROM measure_set WHERE id = ?1 AND wearer_id = ?2")?
                .query_row(params![id.get(), wearer.get()], |row| row.get(0))
                .optional()?
                .map(|day| (day, id.get()))
                .ok_or_else(|| StoreError::missing("set of measures", id))?,
        };
        let mut body = Body::default();
        let mut values = self.prepared(BODY)?;
        let mut rows = values.query(params![wearer.get(), last_day, last_id])?;
        while let Some(row) = rows.next()? {
            let value = BodyValue {
                length: row.length("nm")?,
                typed: row.get("typed")?,
                day: row.day("day")?,
                source: row.keyed("source", Source::from_key)?,
                set: SetId::new(row.get("set_id")?),
            };
            body.values.insert(row.get("dimension")?, value);
        }
        let newest = self
            .prepared(
                "SELECT id, day FROM measure_set WHERE wearer_id = ?1 AND (day, id) <= (?2, ?3)
                  ORDER BY day DESC, id DESC LIMIT 1",
            )?
            .query_row(params![wearer.get(), last_day, last_id], |row| Ok((row.get::<_, i64>(0)?, row.day("day")?)))
            .optional()?;
        if let Some((id, day)) = newest {
            body.day = Some(day);
            body.figure = self.figure(id)?;
        }
        body.corrections = self.corrections_of(wearer)?;
        Ok(body)
    }

    fn with_readings(&self, mut set: MeasureSet) -> Result<MeasureSet, StoreError> {
        set.facts.readings = self
            .prepared("SELECT * FROM reading WHERE set_id = ?1 ORDER BY place")?
            .query_map([set.id.get()], reading)?
            .collect::<Result<_, _>>()?;
        set.facts.figure = self.figure(set.id.get())?;
        Ok(set)
    }

    fn figure(&self, set: i64) -> Result<Vec<String>, StoreError> {
        Ok(self
            .prepared("SELECT words FROM figure_note WHERE set_id = ?1 ORDER BY place")?
            .query_map([set], |row| row.get(0))?
            .collect::<Result<_, _>>()?)
    }

    /// The set that a fitting draft with this key became, if it did.
    pub(super) fn set_of_draft(&self, key: &str) -> Result<Option<SetId>, StoreError> {
        Ok(self
            .prepared("SELECT id FROM measure_set WHERE draft_key = ?1")?
            .query_row([key], |row| row.get(0).map(SetId::new))
            .optional()?)
    }
}

/// Readings of a wearer, oldest set first, so that the last one of each dimension counts.
pub(super) const BODY: &str = "
    SELECT s.day, r.set_id, r.dimension, r.nm, r.typed, r.source
      FROM measure_set s JOIN reading r ON r.set_id = s.id
     WHERE s.wearer_id = ?1 AND (s.day, s.id) <= (?2, ?3)
       AND NOT EXISTS (SELECT 1 FROM measure_set n
                        WHERE n.corrects = s.id AND (n.day, n.id) <= (?2, ?3))
     ORDER BY s.day, s.id, r.number, r.place";

impl Writer<'_> {
    /// Adds a set of measures. It is never changed; a correction is a newer set that names it.
    ///
    /// # Errors
    /// [`StoreError::Refused`] when it holds nothing, counts a reading twice or corrects another wearer's set.
    pub fn add_set(&self, facts: &SetFacts) -> Result<SetId, StoreError> {
        self.add_set_of(facts, None)
    }

    /// Adds a set that came from a fitting draft, if from one.
    pub(super) fn add_set_of(&self, facts: &SetFacts, draft: Option<&str>) -> Result<SetId, StoreError> {
        if facts.readings.is_empty() && facts.figure.is_empty() {
            return Err(StoreError::refused("Nothing was measured. Write at least one measure or one figure note."));
        }
        if self.client(facts.wearer)?.forgotten_ms.is_some() {
            return Err(StoreError::refused("This client was forgotten. Write a new client and measure again."));
        }
        if let Some(old) = facts.corrects
            && self.set(old)?.facts.wearer != facts.wearer
        {
            return Err(StoreError::refused(
                "A set can only correct one of the same person. Measure that person anew.",
            ));
        }
        let mut seen = BTreeSet::new();
        for reading in &facts.readings {
            if !seen.insert((&reading.dimension, reading.number)) {
                return Err(StoreError::refused(format!(
                    "“{}” has two readings of number {}. Count the second one on.",
                    reading.dimension, reading.number
                )));
            }
        }
        let id = self.insert(
            TABLE,
            None,
            &[
                ("wearer_id", facts.wearer.get().into()),
                ("day", day_cell(facts.day)),
                ("over_what", facts.over.clone().into()),
                ("source", facts.source.key().to_string().into()),
                ("note", facts.note.clone().into()),
                ("corrects", facts.corrects.map(SetId::get).into()),
                ("garment_id", facts.garment.map(GarmentId::get).into()),
                ("draft_key", draft.map(str::to_string).into()),
                ("who", self.who().get().into()),
                ("at_ms", self.at_ms().into()),
            ],
        )?;
        for (place, reading) in (0_i64..).zip(&facts.readings) {
            self.insert_part(
                "reading",
                "set_id, place, dimension, number, nm, typed, source",
                params![
                    id,
                    place,
                    reading.dimension,
                    reading.number,
                    reading.length.nm(),
                    reading.typed,
                    reading.source.key()
                ],
            )?;
        }
        for (place, words) in (0_i64..).zip(&facts.figure) {
            self.insert_part("figure_note", "set_id, place, words", params![id, place, words])?;
        }
        Ok(SetId::new(id))
    }
}
