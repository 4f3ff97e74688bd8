//! Clients: who? A list that narrows by words.

use askama::Template;
use axum::extract::State;
use axum::http::StatusCode;
use axum::response::Response;

use crate::store::{ClientRow, ClientSearch};

use super::desk::Desk;
use super::fault::{Fault, render};
use super::fields::Fields;
use super::frame::{Frame, Here};
use super::leaf::{Leaf, ROWS};
use super::state::App;

#[derive(Template)]
#[template(path = "clients.html")]
struct Page {
    frame: Frame,
    counted: String,
    words: String,
    first: bool,
    lines: Vec<Line>,
    earlier: Option<String>,
    later: Option<String>,
}

struct Line {
    id: i64,
    name: String,
    known_as: String,
    measured: String,
    orders: String,
    balance: String,
}

/// The list.
///
/// # Errors
/// A [`Fault`] when the book cannot be read.
pub async fn show(State(app): State<App>, fields: Fields) -> Result<Response, Fault> {
    let page = app
        .read(move |book, desk| {
            let leaf = Leaf::asked(&fields);
            let search = ClientSearch { words: fields.text("words").into(), limit: ROWS, offset: leaf.offset() };
            let found = book.clients(&search)?;
            let lines: Vec<Line> = found.rows.iter().map(|row| line(row, desk)).collect();
            Ok(Page {
                frame: desk.frame("Clients", Here::Clients),
                counted: leaf.counted(lines.len(), found.more, "client", "clients"),
                words: fields.text("words").into(),
                first: leaf.is_first(),
                earlier: leaf.earlier("/clients", &fields),
                later: leaf.later("/clients", &fields, found.more),
                lines,
            })
        })
        .await?;
    Ok(render(StatusCode::OK, &page))
}

fn line(row: &ClientRow, desk: &Desk) -> Line {
    let facts = &row.client.facts;
    Line {
        id: row.client.id.get(),
        name: facts.name.clone(),
        known_as: if facts.known_as.is_empty() { facts.phone.clone() } else { facts.known_as.clone() },
        measured: row
            .last_measured
            .map_or_else(|| "not measured yet".into(), |day| format!("measured {}", desk.day(day))),
        orders: match row.open_orders {
            0 => String::new(),
            1 => "1 open order".into(),
            count => format!("{count} open orders"),
        },
        balance: if row.balance.minor() > 0 { format!("{} due", desk.money(row.balance)) } else { String::new() },
    }
}
