//! Client: one person. Contact, measures side by side, orders.

use std::collections::BTreeMap;

use askama::Template;
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::Response;

use crate::measure::{Length, Unit};
use crate::shop::{Client, ClientId, MeasureSet, Money, SetId, Standing};
use crate::store::{OrderRow, Reader};

use super::desk::Desk;
use super::fault::{Fault, render};
use super::fields::Fields;
use super::fitting_form;
use super::frame::{Frame, Here};
use super::measures_table::{self, Row, SetHead};
use super::order_line::OrderLine;
use super::path;
use super::standing::{self, StandingLine};
use super::state::App;
use super::writing;

#[derive(Template)]
#[template(path = "client.html")]
struct Page {
    frame: Frame,
    id: i64,
    name: String,
    known_as: String,
    called: String,
    said: Option<String>,
    hints: Vec<String>,
    unit_words: &'static str,
    sets: Vec<SetHead>,
    rows: Vec<Row>,
    earlier_sets: usize,
    orders: Vec<OrderLine>,
    more_orders: bool,
    standing: Vec<StandingLine>,
    ended: Vec<StandingLine>,
    fit_notes: String,
    figure: String,
    phone: String,
    phone_shared: bool,
    email: String,
    note: String,
    balance: Option<String>,
}

/// Columns of measures on the page; older ones are one tap away.
const MOST_SETS: usize = 5;
/// Orders on the page; the list of orders has the rest.
const MOST_ORDERS: usize = 20;
/// Orders that the balance is summed over: more than any client ever gave.
const ALL_ORDERS: u32 = 1000;

/// The page.
///
/// # Errors
/// [`Fault::NotFound`] without such a client.
pub async fn show(State(app): State<App>, Path(id): Path<String>, query: Fields) -> Result<Response, Fault> {
    let id = path::client(&id)?;
    app.read(move |book, desk| page(book, desk, id, &query)).await
}

fn page(book: &Reader, desk: &Desk, id: ClientId, query: &Fields) -> Result<Response, Fault> {
    let client = book.client(id)?;
    let sets = book.sets_of(id)?;
    let all = query.filled("all").is_some();
    let shown = sets.get(..if all { sets.len() } else { sets.len().min(MOST_SETS) }).unwrap_or_default();
    let orders = book.orders_of(id, ALL_ORDERS)?.rows;
    let measured = query.text("measured").parse().ok().map(SetId::new);
    let just = measured.and_then(|id| sets.iter().find(|set| set.id == id));
    let facts = &client.facts;
    let body = book.body(id, None)?;
    let (standing, ended) = standing::of_client(&body, desk);
    let page = Page {
        frame: desk.frame(facts.name.clone(), Here::Clients),
        id: id.get(),
        name: facts.name.clone(),
        known_as: facts.known_as.clone(),
        called: client.called().into(),
        said: just.map(|set| format!("The measures of {} are kept.", desk.day(set.facts.day))),
        hints: just.map(|set| doubts(set, &sets, &client, desk)).unwrap_or_default(),
        unit_words: match desk.showing().unit() {
            Unit::Inch => "in inches",
            Unit::Centimetre => "in centimetres",
        },
        rows: measures_table::rows(desk, shown),
        earlier_sets: sets.len() - shown.len(),
        sets: measures_table::heads(desk, shown),
        more_orders: orders.len() > MOST_ORDERS,
        orders: orders.iter().take(MOST_ORDERS).map(|row| OrderLine::of(row, desk)).collect(),
        standing,
        ended,
        fit_notes: facts.fit_notes.clone(),
        figure: body.figure.join(", "),
        phone: facts.phone.clone(),
        phone_shared: facts.phone_shared,
        email: facts.email.clone(),
        note: facts.note.clone(),
        balance: balance(&orders, desk),
    };
    Ok(render(StatusCode::OK, &page))
}

/// What does not go together in a set, looked at against what was known before it.
fn doubts(set: &MeasureSet, sets: &[MeasureSet], client: &Client, desk: &Desk) -> Vec<String> {
    let mut before: BTreeMap<String, Length> = BTreeMap::new();
    // Newest first: what is there already is newer.
    for older in sets.iter().filter(|older| older.id < set.id && older.facts.day <= set.facts.day) {
        for reading in &older.facts.readings {
            before.entry(reading.dimension.clone()).or_insert(reading.length);
        }
    }
    fitting_form::doubts_over(&set.facts.readings, &before, client.facts.wearer, desk)
        .into_iter()
        .map(|hint| writing::true_fractions(&hint.text))
        .collect()
}

/// What is still to pay over these orders; cancelled ones ask for nothing more.
fn balance(orders: &[OrderRow], desk: &Desk) -> Option<String> {
    let open = orders.iter().filter(|row| row.order.standing != Standing::Cancelled);
    let nought = Money::nought(desk.settings.currency);
    let sum = open.map(|row| row.account.balance()).try_fold(nought, Money::plus)?;
    (sum.minor() > 0).then(|| desk.money(sum))
}
