//! Cloth: what is in the shop? A list of the shop's cloths with what lies there of each.

use askama::Template;
use axum::extract::State;
use axum::http::StatusCode;
use axum::response::Response;

use crate::measure::Length;
use crate::shop::{Cloth, ClothLength};
use crate::store::ClothRow;

use super::cloth_fields;
use super::desk::Desk;
use super::fault::{Fault, render};
use super::fields::Fields;
use super::frame::{Frame, Here};
use super::state::App;
use super::writing;

#[derive(Template)]
#[template(path = "cloths.html")]
struct Page {
    frame: Frame,
    counted: String,
    lines: Vec<Line>,
    /// Whether those offered no more are shown.
    all: bool,
}

struct Line {
    id: i64,
    name: String,
    marks: String,
    there: String,
    held: String,
    price: String,
    retired: bool,
}

/// The list.
///
/// # Errors
/// A [`Fault`] when the book cannot be read.
pub async fn show(State(app): State<App>, query: Fields) -> Result<Response, Fault> {
    let page = app
        .read(move |book, desk| {
            let all = query.text("all") == "yes";
            let rows = book.cloths(all)?;
            Ok(Page {
                frame: desk.frame("Cloth", Here::Cloth),
                counted: match rows.len() {
                    0 => String::new(),
                    count => writing::count(count, "cloth", "cloths"),
                },
                lines: rows.iter().map(|row| line(row, desk)).collect(),
                all,
            })
        })
        .await?;
    Ok(render(StatusCode::OK, &page))
}

fn line(row: &ClothRow, desk: &Desk) -> Line {
    let facts = &row.cloth.facts;
    let held: Length = row.lengths.iter().map(ClothLength::held_in_all).sum();
    Line {
        id: row.cloth.id.get(),
        name: facts.name.clone(),
        marks: marks(&row.cloth, desk).join(", "),
        there: there(&row.lengths, desk),
        held: if held > Length::ZERO { format!("{} held", measured(held, desk)) } else { String::new() },
        price: price(&row.cloth, desk),
        retired: row.cloth.retired,
    }
}

/// A length of cloth as it is measured out: `2 yd 4 1/4 in`.
#[must_use]
pub fn measured(length: Length, desk: &Desk) -> String {
    writing::true_fractions(&crate::job::selling(desk.settings.selling_step).written(length))
}

/// What lies there, and in how many lengths.
#[must_use]
pub fn there(lengths: &[ClothLength], desk: &Desk) -> String {
    let all: Length = lengths.iter().map(|length| length.there).sum();
    match lengths.len() {
        0 => "none there".into(),
        1 => measured(all, desk),
        count => format!("{}, {count} lengths", measured(all, desk)),
    }
}

/// Width, nap and repeat in words.
#[must_use]
pub fn marks(cloth: &Cloth, desk: &Desk) -> Vec<String> {
    let facts = &cloth.facts;
    let mut marks: Vec<String> = facts.width.map(|width| format!("{} wide", desk.length(width))).into_iter().collect();
    if facts.nap != crate::shop::Nap::Free {
        marks.push(facts.nap.words().into());
    }
    marks.extend(cloth_fields::repeat_words(facts.repeat_along, facts.repeat_across, desk));
    marks
}

/// What it costs.
#[must_use]
pub fn price(cloth: &Cloth, desk: &Desk) -> String {
    let facts = &cloth.facts;
    facts.price.map(|price| format!("{} {}", desk.money(price), facts.priced_by.words())).unwrap_or_default()
}
