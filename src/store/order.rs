//! Orders: taken, changed, put on hold, cancelled; never deleted.

use std::collections::BTreeMap;

use chrono::{Datelike, NaiveDate};
use rusqlite::types::Value;
use rusqlite::{OptionalExtension, Row, params, params_from_iter};

use crate::shop::{
    AcceptedLay, Account, Charge, Client, ClientId, ClothOf, CutRecord, Fitting, Garment, GarmentId, IssuedPaper,
    Letter, Money, Order, OrderFacts, OrderId, OrderNumber, Payment, PersonId, Quote, SetId, Stage, StageMove,
    Standing, StyleVersion,
};

use super::cells::{Cells, day_cell, folded, maybe_day_cell, search_words};
use super::edit::Table;
use super::{Listed, Reader, StoreError, Writer};

pub(super) const TABLE: Table = Table { noun: "order", name: "shop_order" };

/// Which orders to list. Each filter that is set narrows the list.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct OrderFilter {
    /// With a garment at this stage, neither garment nor order cancelled.
    pub stage: Option<Stage>,
    /// Paid by this client, or with a garment that this client wears.
    pub client: Option<ClientId>,
    /// Promised on or after this day…
    pub promised_from: Option<NaiveDate>,
    /// …and on or before this one.
    pub promised_to: Option<NaiveDate>,
    /// Parts of the number, the event, what is made, or a name of who pays or wears; all of them must be found.
    pub words: String,
    /// Only those of which something is still to be handed over; they come by promised day,
    /// the others newest first.
    pub open: bool,
    /// How many rows.
    pub limit: u32,
    /// After how many.
    pub offset: u32,
}

/// An order as the list shows it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OrderRow {
    /// The order.
    pub order: Order,
    /// What the paying client is called.
    pub client_name: String,
    /// Its garments by letter.
    pub garments: Vec<GarmentRow>,
    /// What it comes to and what was paid.
    pub account: Account,
}

/// A garment as lists show it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct GarmentRow {
    /// Which garment.
    pub id: GarmentId,
    /// Its letter.
    pub letter: Letter,
    /// What it is.
    pub what: String,
    /// Who wears it.
    pub wearer: ClientId,
    /// What the wearer is called.
    pub wearer_name: String,
    /// How far it is.
    pub stage: Stage,
    /// Fittings planned.
    pub fittings: u8,
    /// Whether this garment alone was called off.
    pub cancelled: bool,
}

/// One order, whole.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OrderPage {
    /// The order.
    pub order: Order,
    /// Who pays.
    pub client: Client,
    /// Its garments by letter, each with what belongs to it.
    pub garments: Vec<GarmentPage>,
    /// Payments, oldest first, voided ones too.
    pub payments: Vec<Payment>,
    /// Extras, discounts, taxes.
    pub charges: Vec<Charge>,
    /// What it comes to and what was paid.
    pub account: Account,
    /// Fittings by day.
    pub fittings: Vec<Fitting>,
    /// Papers handed out, oldest first.
    pub papers: Vec<IssuedPaper>,
}

/// A garment with what belongs to it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct GarmentPage {
    /// The garment.
    pub garment: Garment,
    /// Who wears it.
    pub wearer: Client,
    /// The version of the style that it pins.
    pub style: Option<StyleVersion>,
    /// The newest set of measures of the wearer; newer than the pinned one when they differ.
    pub newest_set: Option<SetId>,
    /// Every move, oldest first.
    pub moves: Vec<StageMove>,
    /// Quotes, oldest first.
    pub quotes: Vec<Quote>,
    /// What was cut, the newest record.
    pub cut: Option<CutRecord>,
    /// The lays that were accepted last, by the cloth that they are of.
    pub lays: BTreeMap<ClothOf, AcceptedLay>,
}

pub(super) fn order(row: &Row) -> rusqlite::Result<Order> {
    Ok(Order {
        id: OrderId::new(row.get("id")?),
        version: row.get("version")?,
        number: OrderNumber { year: row.get("year")?, count: row.get("count")? },
        taken_by: PersonId::new(row.get("taken_by")?),
        at_ms: row.get("at_ms")?,
        standing: row.keyed("standing", Standing::from_key)?,
        standing_reason: row.get("standing_reason")?,
        facts: OrderFacts {
            client: ClientId::new(row.get("client_id")?),
            taken: row.day("taken")?,
            promised: row.maybe_day("promised")?,
            event: row.get("event")?,
            event_day: row.maybe_day("event_day")?,
            note: row.get("note")?,
        },
    })
}

impl Reader<'_> {
    /// One order by its id.
    ///
    /// # Errors
    /// [`StoreError::Missing`].
    pub fn order(&self, id: OrderId) -> Result<Order, StoreError> {
        self.prepared("SELECT * FROM shop_order WHERE id = ?1")?
            .query_row([id.get()], order)
            .optional()?
            .ok_or_else(|| StoreError::missing("order", id))
    }

    /// One order by the number that people see.
    ///
    /// # Errors
    /// [`StoreError::Missing`].
    pub fn order_numbered(&self, number: OrderNumber) -> Result<Order, StoreError> {
        self.prepared("SELECT * FROM shop_order WHERE year = ?1 AND count = ?2")?
            .query_row(params![number.year, number.count], order)
            .optional()?
            .ok_or_else(|| StoreError::missing("order", number))
    }

    /// One order with all that belongs to it.
    ///
    /// # Errors
    /// [`StoreError::Missing`].
    pub fn order_page(&self, number: OrderNumber) -> Result<OrderPage, StoreError> {
        let order = self.order_numbered(number)?;
        let garments = self.garments_of(order.id)?.into_iter().map(|garment| self.garment_page(garment));
        Ok(OrderPage {
            client: self.client(order.facts.client)?,
            garments: garments.collect::<Result<_, _>>()?,
            payments: self.payments_of(order.id)?,
            charges: self.charges_of(order.id)?,
            account: self.account(order.id)?,
            fittings: self.fittings_of(order.id)?,
            papers: self.papers_of(order.id)?,
            order,
        })
    }

    fn garment_page(&self, garment: Garment) -> Result<GarmentPage, StoreError> {
        Ok(GarmentPage {
            wearer: self.client(garment.facts.wearer)?,
            style: garment.facts.style.map(|id| self.style_version(id)).transpose()?,
            newest_set: self.newest_set(garment.facts.wearer)?,
            moves: self.moves_of(garment.id)?,
            quotes: self.quotes_of(garment.id)?,
            cut: self.newest_cut(garment.id)?,
            lays: self.newest_lays(garment.id)?,
            garment,
        })
    }

    /// Orders that pass every filter, with their garments and accounts.
    ///
    /// # Errors
    /// [`StoreError`] of the reading.
    pub fn orders(&self, filter: &OrderFilter) -> Result<Listed<OrderRow>, StoreError> {
        let currency = self.settings()?.currency;
        let (sql, cells) = orders_query(filter);
        let rows: Vec<OrderRow> = self
            .prepared(&sql)?
            .query_map(params_from_iter(cells), |row| {
                Ok(OrderRow {
                    order: order(row)?,
                    client_name: row.get("client_name")?,
                    garments: Vec::new(),
                    account: Account {
                        due: Money::new(row.get("due")?, currency),
                        paid: Money::new(row.get("paid")?, currency),
                        deposit: Money::new(row.get("deposit")?, currency),
                    },
                })
            })?
            .collect::<Result<_, _>>()?;
        let mut listed = Listed::from_one_more(rows, filter.limit);
        for row in &mut listed.rows {
            row.garments = self.garment_rows(row.order.id)?;
        }
        Ok(listed)
    }

    /// Orders that this client pays or wears garments of, newest first.
    ///
    /// # Errors
    /// [`StoreError`] of the reading.
    pub fn orders_of(&self, client: ClientId, limit: u32) -> Result<Listed<OrderRow>, StoreError> {
        self.orders(&OrderFilter { client: Some(client), limit, ..OrderFilter::default() })
    }

    fn garment_rows(&self, order: OrderId) -> Result<Vec<GarmentRow>, StoreError> {
        Ok(self
            .prepared(
                "SELECT g.id, g.letter, g.what, g.wearer_id, g.stage, g.fittings, g.cancelled,
                        CASE c.known_as WHEN '' THEN c.name ELSE c.known_as END AS wearer_name
                   FROM garment g JOIN client c ON c.id = g.wearer_id WHERE g.order_id = ?1 ORDER BY g.letter",
            )?
            .query_map([order.get()], garment_row)?
            .collect::<Result<_, _>>()?)
    }
}

fn garment_row(row: &Row) -> rusqlite::Result<GarmentRow> {
    Ok(GarmentRow {
        id: GarmentId::new(row.get("id")?),
        letter: super::garment::letter(row)?,
        what: row.get("what")?,
        wearer: ClientId::new(row.get("wearer_id")?),
        wearer_name: row.get("wearer_name")?,
        stage: row.keyed("stage", Stage::from_key)?,
        fittings: row.get("fittings")?,
        cancelled: row.get("cancelled")?,
    })
}

/// The list's query and its cells. The ids of one page are found first, by index;
/// sums and names are fetched for these alone (CROSS JOIN: in the order written, since the
/// planner does not see how few a limit leaves).
pub(super) fn orders_query(filter: &OrderFilter) -> (String, Vec<Value>) {
    let mut cells: Vec<Value> = Vec::new();
    let mut place = |cell: Value| {
        cells.push(cell);
        format!("?{}", cells.len())
    };
    let mut wheres: Vec<String> = Vec::new();
    if filter.open {
        wheres.push("o.is_open = 1".into());
    }
    if let Some(stage) = filter.stage {
        let at = place(stage.key().to_string().into());
        wheres.push(if stage == Stage::Collected {
            // Nearly every order: ask each in turn until the page is full.
            format!(
                "o.standing <> 'cancelled' AND EXISTS
                     (SELECT 1 FROM garment g WHERE g.order_id = o.id AND g.stage = {at} AND g.cancelled = 0)"
            )
        } else {
            // A few at a time: look them up.
            format!(
                "o.standing <> 'cancelled' AND o.id IN (SELECT order_id FROM garment WHERE stage = {at} AND cancelled = 0)"
            )
        });
    }
    if let Some(client) = filter.client {
        let at = place(client.get().into());
        wheres.push(format!(
            "o.id IN (SELECT id FROM shop_order WHERE client_id = {at}
                      UNION SELECT order_id FROM garment WHERE wearer_id = {at})"
        ));
    }
    if let Some(day) = filter.promised_from {
        wheres.push(format!("o.promised >= {}", place(day_cell(day))));
    }
    if let Some(day) = filter.promised_to {
        wheres.push(format!("o.promised <= {}", place(day_cell(day))));
    }
    for word in search_words(&filter.words) {
        let (at, phone) = (place(word.text.into()), place(word.phone.into()));
        let named = format!("SELECT id FROM client INDEXED BY client_find WHERE instr(find, {phone}) > 0");
        wheres.push(format!(
            "o.id IN (SELECT id FROM shop_order INDEXED BY order_find WHERE instr(find, {at}) > 0
                      UNION SELECT s.id FROM shop_order s INDEXED BY order_client WHERE s.client_id IN ({named})
                      UNION SELECT g.order_id FROM garment g INDEXED BY garment_wearer WHERE g.wearer_id IN ({named}))"
        ));
    }
    let by_day = filter.open || filter.promised_from.is_some() || filter.promised_to.is_some();
    let order_by = if by_day { "o.promised IS NULL, o.promised, o.id" } else { "o.id DESC" };
    let narrowed = if wheres.is_empty() { "1".into() } else { wheres.join("\n   AND ") };
    let limit = place(i64::from(filter.limit).saturating_add(1).into());
    let offset = place(filter.offset.into());
    let sql = format!(
        "WITH listed AS MATERIALIZED (
             SELECT o.id FROM shop_order o WHERE {narrowed} ORDER BY {order_by} LIMIT {limit} OFFSET {offset})
         SELECT o.*, a.due, a.paid, a.deposit, CASE c.known_as WHEN '' THEN c.name ELSE c.known_as END AS client_name
           FROM listed CROSS JOIN shop_order o ON o.id = listed.id CROSS JOIN account a ON a.order_id = o.id
           CROSS JOIN client c ON c.id = o.client_id
          ORDER BY {order_by}"
    );
    (sql, cells)
}

impl Writer<'_> {
    /// Takes an order; its number is the next of the year in which it was taken.
    ///
    /// # Errors
    /// [`StoreError::Missing`] client; [`StoreError::Refused`] when it is promised before it is taken.
    pub fn add_order(&self, facts: &OrderFacts) -> Result<(OrderId, OrderNumber), StoreError> {
        self.is_in_order(facts)?;
        let year = facts.taken.year();
        let count: u32 = self
            .prepared("SELECT COALESCE(max(count), 0) + 1 FROM shop_order WHERE year = ?1")?
            .query_row([year], |row| row.get(0))?;
        let number = OrderNumber { year, count };
        let mut cells = cells(facts);
        cells.extend([
            ("find", number.to_string().into()),
            ("year", year.into()),
            ("count", count.into()),
            ("taken_by", self.who().get().into()),
            ("at_ms", self.at_ms().into()),
        ]);
        let id = OrderId::new(self.insert(TABLE, None, &cells)?);
        self.settle_find(id)?;
        Ok((id, number))
    }

    /// Writes what changed about an order; `version` is the one that was seen. The number stays.
    ///
    /// # Errors
    /// [`StoreError::Stale`], [`StoreError::Missing`]; [`StoreError::Refused`] as when taking it.
    pub fn change_order(&self, id: OrderId, version: i64, facts: &OrderFacts) -> Result<(), StoreError> {
        self.is_in_order(facts)?;
        let edit = self.edit(TABLE, id.get(), version, Some(id))?;
        edit.cells(&cells(facts))?;
        edit.done()?;
        self.settle_find(id)
    }

    /// Puts an order on hold, cancels it, or takes it up again, with the reason.
    ///
    /// # Errors
    /// [`StoreError::Stale`]; [`StoreError::Refused`] without a reason for holding or cancelling.
    pub fn set_standing(&self, id: OrderId, version: i64, standing: Standing, reason: &str) -> Result<(), StoreError> {
        let reason = reason.trim();
        if standing != Standing::Open && reason.is_empty() {
            let words = standing.words();
            return Err(StoreError::refused(format!("Why is the order {words}? Write a word or two for the history.")));
        }
        let edit = self.edit(TABLE, id.get(), version, Some(id))?;
        edit.cells(&[("standing", standing.key().to_string().into()), ("standing_reason", reason.to_string().into())])?;
        edit.done()?;
        if standing == Standing::Cancelled {
            for garment in self.garments_of(id)? {
                self.let_all_go(garment.id)?;
            }
        }
        self.settle_open(id)
    }

    /// Works out anew whether anything of this order is still to be handed over.
    pub(super) fn settle_open(&self, id: OrderId) -> Result<(), StoreError> {
        self.prepared(&format!("UPDATE shop_order SET is_open = {IS_OPEN} WHERE id = ?1"))?.execute([id.get()])?;
        Ok(())
    }

    /// Writes anew what a search of orders looks into: number, event, and what is made.
    pub(super) fn settle_find(&self, id: OrderId) -> Result<(), StoreError> {
        let order = self.order(id)?;
        let mut lines = vec![order.number.to_string(), folded(&order.facts.event)];
        let mut made = self.prepared("SELECT what FROM garment WHERE order_id = ?1 ORDER BY letter")?;
        for what in made.query_map([id.get()], |row| row.get::<_, String>(0))? {
            lines.push(folded(&what?));
        }
        self.prepared("UPDATE shop_order SET find = ?1 WHERE id = ?2")?.execute(params![lines.join("\n"), id.get()])?;
        Ok(())
    }

    fn is_in_order(&self, facts: &OrderFacts) -> Result<(), StoreError> {
        if self.client(facts.client)?.forgotten_ms.is_some() {
            return Err(StoreError::refused("This client was forgotten. Write a new client for the order."));
        }
        if let Some(promised) = facts.promised.filter(|promised| *promised < facts.taken) {
            return Err(StoreError::refused(format!(
                "The order is promised for {promised}, before it was taken on {}. Promise a later day.",
                facts.taken
            )));
        }
        if !(1000..=9999).contains(&facts.taken.year()) {
            return Err(StoreError::refused(format!(
                "{} is no day for an order. Write the year in full.",
                facts.taken
            )));
        }
        Ok(())
    }
}

/// Whether something of an order is still to be handed over, from the facts alone.
pub(super) const IS_OPEN: &str = "(standing <> 'cancelled' AND (
        EXISTS (SELECT 1 FROM garment g WHERE g.order_id = shop_order.id AND g.cancelled = 0 AND g.stage <> 'collected')
        OR NOT EXISTS (SELECT 1 FROM garment g WHERE g.order_id = shop_order.id AND g.cancelled = 0)))";

fn cells(facts: &OrderFacts) -> Vec<(&'static str, Value)> {
    vec![
        ("client_id", facts.client.get().into()),
        ("taken", day_cell(facts.taken)),
        ("promised", maybe_day_cell(facts.promised)),
        ("event", facts.event.clone().into()),
        ("event_day", maybe_day_cell(facts.event_day)),
        ("note", facts.note.clone().into()),
    ]
}
