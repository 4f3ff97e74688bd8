//! Lists over many orders: the work at hand and the fittings of some days.

use chrono::NaiveDate;
use rusqlite::{Row, params};

use crate::shop::{
    Account, ClientId, Fitting, GarmentId, Letter, Money, OrderId, OrderNumber, Stage, Standing, StyleVersionId,
    WaitHours, WorkMinutes,
};

use super::cells::{Cells, day_cell};
use super::fitting::fitting;
use super::garment::{letter, minutes, waits};
use super::{Reader, StoreError};

/// A garment that is still to be handed over, with what a plan needs to know of it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WorkRow {
    /// The order.
    pub order: OrderId,
    /// Its number.
    pub number: OrderNumber,
    /// Whether it is open or on hold; cancelled ones are not listed.
    pub standing: Standing,
    /// Who pays.
    pub client: ClientId,
    /// What the paying client is called.
    pub client_name: String,
    /// The garment.
    pub garment: GarmentId,
    /// Its letter.
    pub letter: Letter,
    /// What it is.
    pub what: String,
    /// What the wearer is called.
    pub wearer_name: String,
    /// Its style, if it has one.
    pub style: Option<StyleVersionId>,
    /// How far it is.
    pub stage: Stage,
    /// When it came there (UTC milliseconds).
    pub stage_ms: i64,
    /// Fittings planned.
    pub fittings: u8,
    /// Fittings held already, for it or for the whole order.
    pub held: u8,
    /// The minutes reckoned with, once somebody did.
    pub minutes: Option<WorkMinutes>,
    /// How long it hangs or dries in between.
    pub waits: WaitHours,
    /// The day on which the cloth is to come.
    pub cloth_comes: Option<NaiveDate>,
    /// The day the order was taken.
    pub taken: NaiveDate,
    /// The day promised.
    pub promised: Option<NaiveDate>,
    /// The next fitting that is arranged for it or for the whole order, from the asked day on.
    pub next_fitting: Option<NaiveDate>,
    /// Where it lies or hangs.
    pub place: String,
    /// The account of its order.
    pub account: Account,
}

/// A fitting with whom and what it is about.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FittingRow {
    /// The fitting.
    pub fitting: Fitting,
    /// The order's number.
    pub number: OrderNumber,
    /// Who pays.
    pub client: ClientId,
    /// What the paying client is called.
    pub client_name: String,
    /// The garment's letter, when it is about one alone.
    pub letter: Option<Letter>,
    /// The garment, or the order's garments, in words.
    pub what: String,
}

/// Garments still to be handed over, by promised day; the first parameter is today, the second the most rows.
pub(super) const WORK: &str = "
    SELECT o.id AS order_id, o.year, o.count, o.standing, o.client_id, o.taken, o.promised,
           CASE c.known_as WHEN '' THEN c.name ELSE c.known_as END AS client_name,
           CASE w.known_as WHEN '' THEN w.name ELSE w.known_as END AS wearer_name,
           g.id, g.letter, g.what, g.style_version_id, g.stage, g.fittings, g.place,
           g.cut_minutes, g.sew_minutes, g.fit_minutes, g.finish_minutes,
           g.cut_wait_hours, g.tacked_wait_hours, g.sewn_wait_hours, g.cloth_comes,
           (SELECT max(m.at_ms) FROM stage_move m WHERE m.garment_id = g.id) AS stage_ms,
           (SELECT min(f.day) FROM fitting f WHERE f.order_id = o.id AND f.state = 'arranged' AND f.day >= ?1
               AND (f.garment_id IS NULL OR f.garment_id = g.id)) AS next_fitting,
           (SELECT min(count(*), 255) FROM fitting f WHERE f.order_id = o.id AND f.state = 'held'
               AND (f.garment_id IS NULL OR f.garment_id = g.id)) AS held,
           a.due, a.paid, a.deposit
      FROM shop_order o INDEXED BY order_open
      JOIN garment g ON g.order_id = o.id AND g.cancelled = 0 AND g.stage <> 'collected'
      JOIN client c ON c.id = o.client_id
      JOIN client w ON w.id = g.wearer_id
      JOIN account a ON a.order_id = o.id
     WHERE o.is_open = 1
     ORDER BY o.promised IS NULL, o.promised, o.id, g.letter
     LIMIT ?2";

/// Fittings of some days.
pub(super) const FITTINGS: &str = "
    SELECT f.*, o.year, o.count AS order_count, o.client_id, g.letter,
           CASE c.known_as WHEN '' THEN c.name ELSE c.known_as END AS client_name,
           COALESCE(g.what, (SELECT group_concat(h.what, ', ') FROM garment h WHERE h.order_id = o.id AND h.cancelled = 0), '') AS what
      FROM fitting f
      JOIN shop_order o ON o.id = f.order_id
      JOIN client c ON c.id = o.client_id
      LEFT JOIN garment g ON g.id = f.garment_id
     WHERE f.day BETWEEN ?1 AND ?2
     ORDER BY f.day, f.time IS NULL, f.time, f.id";

impl Reader<'_> {
    /// Every garment that is still to be handed over, by promised day, those without one last;
    /// at most this many. Garments of orders on hold are among them.
    ///
    /// # Errors
    /// [`StoreError`] of the reading.
    pub fn work(&self, today: NaiveDate, most: u32) -> Result<Vec<WorkRow>, StoreError> {
        let currency = self.settings()?.currency;
        let money = |row: &Row, column: &str| Ok::<_, rusqlite::Error>(Money::new(row.get(column)?, currency));
        let mut query = self.prepared(WORK)?;
        let rows = query.query_map(params![day_cell(today), most], |row| {
            Ok(WorkRow {
                order: OrderId::new(row.get("order_id")?),
                number: OrderNumber { year: row.get("year")?, count: row.get("count")? },
                standing: row.keyed("standing", Standing::from_key)?,
                client: ClientId::new(row.get("client_id")?),
                client_name: row.get("client_name")?,
                garment: GarmentId::new(row.get("id")?),
                letter: letter(row)?,
                what: row.get("what")?,
                wearer_name: row.get("wearer_name")?,
                style: row.get::<_, Option<i64>>("style_version_id")?.map(StyleVersionId::new),
                stage: row.keyed("stage", Stage::from_key)?,
                stage_ms: row.get("stage_ms")?,
                fittings: row.get("fittings")?,
                held: row.get("held")?,
                minutes: minutes(row)?,
                waits: waits(row)?,
                cloth_comes: row.maybe_day("cloth_comes")?,
                taken: row.day("taken")?,
                promised: row.maybe_day("promised")?,
                next_fitting: row.maybe_day("next_fitting")?,
                place: row.get("place")?,
                account: Account {
                    due: money(row, "due")?,
                    paid: money(row, "paid")?,
                    deposit: money(row, "deposit")?,
                },
            })
        })?;
        Ok(rows.collect::<Result<_, _>>()?)
    }

    /// The fittings from one day to another, both included, whatever became of them.
    ///
    /// # Errors
    /// [`StoreError`] of the reading.
    pub fn fittings(&self, from: NaiveDate, to: NaiveDate) -> Result<Vec<FittingRow>, StoreError> {
        let mut query = self.prepared(FITTINGS)?;
        let rows = query.query_map(params![day_cell(from), day_cell(to)], |row| {
            Ok(FittingRow {
                fitting: fitting(row)?,
                number: OrderNumber { year: row.get("year")?, count: row.get("order_count")? },
                client: ClientId::new(row.get("client_id")?),
                client_name: row.get("client_name")?,
                letter: row.get::<_, Option<u16>>("letter")?.and_then(Letter::at),
                what: row.get("what")?,
            })
        })?;
        Ok(rows.collect::<Result<_, _>>()?)
    }
}
