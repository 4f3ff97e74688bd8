//! The cloth of a garment: how much to buy, at each width, and the lay as a picture.
//! Laying takes its time, so both are requests of their own.

use askama::Template;
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::Response;

use crate::job;
use crate::measure::Length;

use super::desk::Desk;
use super::fault::{Fault, render};
use super::frame::{Frame, Here};
use super::lay_picture;
use super::lay_shown::{LayFacts, LayStanding, Shown};
use super::path;
use super::state::App;
use super::writing;

#[derive(Template)]
#[template(path = "cloth.html")]
struct Page {
    frame: Frame,
    number: String,
    letter: String,
    what: String,
    why_not: Option<String>,
    verdict: String,
    is_short: bool,
    /// Who accepted the lay that is shown.
    accepted: Option<String>,
    /// Why an accepted lay is not shown.
    outdated: Option<String>,
    /// Whether a lay may still be chosen.
    is_open: bool,
    lines: Vec<(String, String, bool)>,
    widths: Vec<(String, String)>,
    width_words: String,
}

/// The cloth need with its sum and the needs at other widths.
///
/// # Errors
/// [`Fault::NotFound`] without such a garment.
pub async fn show(State(app): State<App>, Path((number, letter)): Path<(String, String)>) -> Result<Response, Fault> {
    let (number, letter) = (path::order(&number)?, path::letter(&letter)?);
    let (desk, facts) = app.read(move |book, desk| Ok((desk.clone(), LayFacts::of(book, number, letter)?))).await?;
    // Outside the read: a lay takes longer than any other page, and holds no reader meanwhile.
    app.think(move || {
        let bare = Page {
            frame: desk.frame(format!("Cloth of {number} {letter}"), Here::Orders),
            number: number.to_string(),
            letter: letter.to_string(),
            what: facts.garment.facts.what.clone(),
            why_not: None,
            verdict: String::new(),
            is_short: false,
            accepted: None,
            outdated: None,
            is_open: facts.is_open(),
            lines: Vec::new(),
            widths: Vec::new(),
            width_words: String::new(),
        };
        let page = match facts.shown(&desk) {
            Ok(shown) => filled(bare, &desk, &facts, &shown),
            Err(why) => Page { why_not: Some(writing::true_fractions(&why)), ..bare },
        };
        Ok(render(StatusCode::OK, &page))
    })
    .await
}

/// The lay as a picture; where nothing can be laid, the reason as a picture, since the
/// order's page has left room for one.
///
/// # Errors
/// [`Fault::NotFound`] without such a garment.
pub async fn picture(
    State(app): State<App>,
    Path((number, letter)): Path<(String, String)>,
) -> Result<Response, Fault> {
    let (number, letter) = (path::order(&number)?, path::letter(&letter)?);
    let (desk, facts) = app.read(move |book, desk| Ok((desk.clone(), LayFacts::of(book, number, letter)?))).await?;
    app.think(move || match facts.shown(&desk) {
        Ok(shown) => lay_picture::of(&shown.laid, &desk),
        Err(why) => lay_picture::none(&why),
    })
    .await
}

fn filled(mut page: Page, desk: &Desk, facts: &LayFacts, shown: &Shown) -> Page {
    let (laid, cloth) = (&shown.laid, &facts.garment.facts.cloth);
    match &shown.standing {
        LayStanding::First => {}
        LayStanding::Accepted(words) => page.accepted = Some(words.clone()),
        LayStanding::Outdated(words) => page.outdated = Some(words.clone()),
    }
    let step = job::selling(desk.settings.selling_step);
    let set = |length: Length| writing::true_fractions(&step.written(length));
    page.width_words = format!(
        "Laid on cloth {} wide{}; {}.",
        desk.length(laid.width),
        if laid.width_assumed { " (assumed: write the width on the order)" } else { "" },
        laid.lay.spread()
    );
    let buy = writing::true_fractions(&step.bought(laid.need.to_buy));
    let last = laid.need.lines.len().saturating_sub(1);
    page.lines = laid
        .need
        .lines
        .iter()
        .enumerate()
        .map(|(place, line)| {
            // The last line is what is asked for in the shop, in its own step.
            let length = if place == last { buy.clone() } else { set(line.length) };
            (writing::true_fractions(&line.label), length, line.total)
        })
        .collect();
    (page.verdict, page.is_short) = match cloth.length {
        None => (format!("Buy {buy}."), false),
        Some(have) => match laid.short_by(have) {
            Length::ZERO => (format!("Needs {}, have {}: it suffices.", set(laid.need.cut_length), set(have)), false),
            short => (
                format!(
                    "Needs {}, have {}: {} too short. Do not cut.",
                    set(laid.need.cut_length),
                    set(have),
                    set(short)
                ),
                true,
            ),
        },
    };
    page.widths = job::needs_by_width(&shown.draft, cloth, &desk.settings)
        .into_iter()
        .map(|at| {
            let need = match at.need {
                Ok(need) => format!("buy {}", writing::true_fractions(&step.bought(need.to_buy))),
                Err(why) => writing::true_fractions(&why.to_string()),
            };
            (desk.length(at.width), need)
        })
        .collect();
    page
}
