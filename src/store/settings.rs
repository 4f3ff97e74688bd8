//! The shop's settings: one row, its closed days and its allowances.

use std::collections::BTreeMap;

use rusqlite::types::Value;

use crate::measure::{Length, Showing, Step};
use crate::shop::{SellingStep, Settings, SheetSize};

use super::cells::{Cells, day_cell, read_day, unreadable};
use super::edit::Table;
use super::{Reader, StoreError, Writer};

const TABLE: Table = Table::of("settings");
const ROW: i64 = 1;

/// The key of a way of showing lengths.
pub(super) const fn step_key(showing: Showing) -> &'static str {
    match showing.step {
        Step::Eighth => "eighth",
        // Sixty-fourths are for working, no shop takes them; the nearest is kept.
        Step::Sixteenth | Step::SixtyFourth => "sixteenth",
        Step::Millimetre => "millimetre",
    }
}

pub(super) fn showing_of(key: &str) -> Option<Showing> {
    [Showing::EIGHTHS, Showing::SIXTEENTHS, Showing::MILLIMETRES].into_iter().find(|showing| step_key(*showing) == key)
}

impl Reader<'_> {
    /// The settings; there from the first start.
    ///
    /// # Errors
    /// [`StoreError`] of the reading.
    pub fn settings(&self) -> Result<Settings, StoreError> {
        let mut settings = self.prepared("SELECT * FROM settings WHERE id = 1")?.query_row([], |row| {
            let currency = row.currency("currency")?;
            Ok(Settings {
                version: row.get("version")?,
                opened: row.get("opened")?,
                shop_name: row.get("shop_name")?,
                showing: row.keyed("step", showing_of)?,
                currency,
                zone: row.get("zone")?,
                minutes: [
                    row.get("monday")?,
                    row.get("tuesday")?,
                    row.get("wednesday")?,
                    row.get("thursday")?,
                    row.get("friday")?,
                    row.get("saturday")?,
                    row.get("sunday")?,
                ],
                closed: BTreeMap::new(),
                allowances: BTreeMap::new(),
                hour_rate: row.money("hour_rate", "currency")?,
                deposit_percent: row.get("deposit_percent")?,
                promise_percent: row.get("promise_percent")?,
                squaring: row.length("squaring_nm")?,
                selvedge: row.length("selvedge_nm")?,
                selling_step: row.keyed("selling_step", SellingStep::from_key)?,
                shrink_thousandths: row.get("shrink_thousandths")?,
                sheet: row.keyed("sheet", SheetSize::from_key)?,
                base_url: row.get("base_url")?,
            })
        })?;
        settings.closed = self
            .prepared("SELECT key, value FROM closed_day WHERE owner = 1")?
            .query_map([], |row| Ok((read_day("key", &row.get::<_, String>(0)?)?, row.get(1)?)))?
            .collect::<Result<_, _>>()?;
        settings.allowances = self.lengths("allowance", ROW)?;
        Ok(settings)
    }

    /// A random text by which this shop's calendar entries differ from any other's.
    ///
    /// # Errors
    /// [`StoreError`] of the reading.
    pub fn shop_uid(&self) -> Result<String, StoreError> {
        Ok(self.connection.query_row("SELECT shop_uid FROM settings WHERE id = 1", [], |row| row.get(0))?)
    }

    /// A table of keys and lengths of this owner.
    pub(super) fn lengths(&self, name: &'static str, owner: i64) -> Result<BTreeMap<String, Length>, StoreError> {
        Ok(self
            .prepared(&format!("SELECT key, value FROM {name} WHERE owner = ?1"))?
            .query_map([owner], |row| Ok((row.get(0)?, row.length("value")?)))?
            .collect::<Result<_, _>>()?)
    }

    /// Whether any money was written, so that the currency must stay.
    fn has_money(&self) -> Result<bool, StoreError> {
        Ok(self.connection.query_row(
            "SELECT EXISTS (SELECT 1 FROM payment) OR EXISTS (SELECT 1 FROM charge) OR EXISTS (SELECT 1 FROM quote)
                 OR EXISTS (SELECT 1 FROM garment WHERE minor IS NOT NULL OR cloth_minor IS NOT NULL)
                 OR EXISTS (SELECT 1 FROM garment_lining WHERE minor IS NOT NULL)
                 OR EXISTS (SELECT 1 FROM cloth WHERE minor IS NOT NULL)",
            [],
            |row| row.get(0),
        )?)
    }
}

impl Writer<'_> {
    /// Writes the settings as a whole; `settings.version` is the one that was seen.
    ///
    /// # Errors
    /// [`StoreError::Stale`]; [`StoreError::Refused`] when the currency would change after
    /// money was written in it, or the hourly rate is in another currency.
    pub fn set_settings(&self, settings: &Settings) -> Result<(), StoreError> {
        let before = self.settings()?;
        if before.currency != settings.currency && self.has_money()? {
            return Err(StoreError::refused(format!(
                "The book has amounts in {}, so its currency stays. For {} keep a book of its own in another folder.",
                before.currency, settings.currency
            )));
        }
        if settings.hour_rate.currency() != settings.currency {
            return Err(StoreError::refused(format!(
                "The rate by the hour is in {}, the shop in {}. Write the rate in {}.",
                settings.hour_rate.currency(),
                settings.currency,
                settings.currency
            )));
        }
        if settings.minutes.iter().any(|minutes| *minutes > 24 * 60) {
            return Err(StoreError::refused("A day has 24 hours. Write how many of them are worked."));
        }
        let [monday, tuesday, wednesday, thursday, friday, saturday, sunday] = settings.minutes;
        let edit = self.edit(TABLE, ROW, settings.version, None)?;
        edit.cells(&[
            ("opened", settings.opened.into()),
            ("shop_name", settings.shop_name.clone().into()),
            ("step", step_key(settings.showing).to_string().into()),
            ("currency", settings.currency.code().to_string().into()),
            ("zone", settings.zone.clone().into()),
            ("monday", monday.into()),
            ("tuesday", tuesday.into()),
            ("wednesday", wednesday.into()),
            ("thursday", thursday.into()),
            ("friday", friday.into()),
            ("saturday", saturday.into()),
            ("sunday", sunday.into()),
            ("hour_rate", settings.hour_rate.minor().into()),
            ("deposit_percent", settings.deposit_percent.into()),
            ("promise_percent", settings.promise_percent.into()),
            ("squaring_nm", settings.squaring.nm().into()),
            ("selvedge_nm", settings.selvedge.nm().into()),
            ("selling_step", settings.selling_step.key().to_string().into()),
            ("shrink_thousandths", settings.shrink_thousandths.into()),
            ("sheet", settings.sheet.key().to_string().into()),
            ("base_url", settings.base_url.clone().into()),
        ])?;
        let mut closed = BTreeMap::new();
        for (day, why) in &settings.closed {
            let Value::Text(day) = day_cell(*day) else { return Err(unreadable("day", "").into()) };
            closed.insert(day, Value::from(why.clone()));
        }
        edit.map("closed_day", &closed)?;
        edit.map("allowance", &length_cells(&settings.allowances))?;
        edit.done()
    }
}

/// Keys and lengths as cells.
pub(super) fn length_cells(lengths: &BTreeMap<String, Length>) -> BTreeMap<String, Value> {
    lengths.iter().map(|(key, length)| (key.clone(), length.nm().into())).collect()
}
