//! What is done to an order from its page: stages, measures, fittings, standing.

use std::collections::{BTreeMap, BTreeSet};

use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};

use crate::shop::{ClothOf, CorrectionId, FittingFacts, FittingState, SetId, Stage, Standing};

use super::fault::Fault;
use super::fields::{Fields, Notes};
use super::fittings_view;
use super::held;
use super::order::{self, Returned};
use super::order_draft;
use super::path;
use super::state::App;

/// Moves a garment on, or back with a reason.
///
/// # Errors
/// [`Fault::NotFound`] without such a garment or stage; a [`Fault`] when it was moved in the meantime.
pub async fn stage(
    State(app): State<App>,
    Path((number, letter)): Path<(String, String)>,
    fields: Fields,
) -> Result<Response, Fault> {
    let (number, letter) = (path::order(&number)?, path::letter(&letter)?);
    let stage = |name: &str| Stage::from_key(fields.text(name)).ok_or(Fault::NotFound("stage"));
    let (from, to) = (stage("from")?, stage("to")?);
    let mut notes = Notes::default();
    let reason = notes.line(&fields, "reason");
    if to < from && reason.is_empty() {
        notes.add(
            "reason",
            format!(
                "Why does it go back from {} to {}? Write a word or two for the history.",
                from.words(),
                to.words()
            ),
        );
    }
    // What comes back of the length that was held for it; nobody need say so.
    let left = held::read_left(&app, &fields, number, letter, &mut notes).await?;
    if !notes.is_empty() {
        return order::returned(&app, number, Returned { form: format!("stage {letter}"), fields, notes }).await;
    }
    let (garment, cut) = app
        .read(move |book, desk| {
            let garment = order_draft::garment(book, number, letter)?;
            let style = garment.facts.style.map(|id| book.style_version(id)).transpose()?;
            // What was cut is kept in full: rules, figures, outlines, whatever changes later.
            let cut = match style.filter(|_| from < Stage::Cut && to >= Stage::Cut) {
                Some(style) => {
                    let body = book.body(garment.facts.wearer, garment.facts.set)?;
                    order_draft::cut_record(&garment, &style, &body, desk)
                }
                None => None,
            };
            Ok((garment.id, cut))
        })
        .await?;
    // Sent back because it was never cut, its cloth lies on the shelf as before; else it stays cut. What is
    // tacked or sewn was cut.
    let uncut = from == Stage::Cut && to < Stage::Cut && fields.filled("uncut").is_some();
    let words = if reason.is_empty() {
        format!("{letter}: {} → {}", from.words(), to.words())
    } else {
        format!("{letter}: {} → {}, {reason}", from.words(), to.words())
    };
    app.write(words, move |book, desk| {
        book.move_garment(garment, from, to, &reason)?;
        if uncut {
            book.not_cut(garment, desk.today)?;
        }
        if from < Stage::Cut && to >= Stage::Cut {
            for cloth in ClothOf::ALL {
                book.cut_held(garment, *cloth, left.get(cloth).copied(), desk.today)?;
            }
        }
        cut.map(|cut| book.add_cut(&cut)).transpose().map(drop)
    })
    .await?;
    Ok(Redirect::to(&format!("/orders/{number}#{letter}")).into_response())
}

/// Drafts a garment from another set of measures from now on.
///
/// # Errors
/// [`Fault::NotFound`] without such a garment or set.
pub async fn measures(
    State(app): State<App>,
    Path((number, letter)): Path<(String, String)>,
    fields: Fields,
) -> Result<Response, Fault> {
    let (number, letter) = (path::order(&number)?, path::letter(&letter)?);
    let set = fields.text("set").parse().map(SetId::new).map_err(|_| Fault::NotFound("set of measures"))?;
    let version = path::version(&fields)?;
    let garment = app.read(move |book, _| order_draft::garment(book, number, letter)).await?;
    let mut facts = garment.facts;
    facts.set = Some(set);
    app.write(format!("{letter}: took the newer measures"), move |book, _| {
        book.change_garment(garment.id, version, &facts)
    })
    .await?;
    Ok(Redirect::to(&format!("/orders/{number}#{letter}")).into_response())
}

/// Drafts a garment with standing corrections, or without: those of the form that are ticked
/// (`apply`) among those that were looked at (`looked`).
///
/// # Errors
/// [`Fault::NotFound`] without such a garment; a [`Fault`] when it is cut, or was changed in the meantime.
pub async fn corrections(
    State(app): State<App>,
    Path((number, letter)): Path<(String, String)>,
    fields: Fields,
) -> Result<Response, Fault> {
    let (number, letter) = (path::order(&number)?, path::letter(&letter)?);
    let version = path::version(&fields)?;
    let id = |text: &str| text.parse().map(CorrectionId::new).map_err(|_| Fault::NotFound("standing correction"));
    let applied: BTreeSet<CorrectionId> = fields.all("apply").map(id).collect::<Result<_, _>>()?;
    // The button “leave it out” says so for all of them.
    let none = fields.text("use") == "no";
    let looked: BTreeMap<CorrectionId, bool> = fields
        .all("looked")
        .map(|text| id(text).map(|id| (id, !none && applied.contains(&id))))
        .collect::<Result<_, _>>()?;
    let garment = app.read(move |book, _| order_draft::garment(book, number, letter)).await?;
    if garment.stage >= Stage::Cut {
        return Err(Fault::Refused(
            StatusCode::CONFLICT,
            format!(
                "{} is cut. Alter the cloth, or send the garment back to an earlier stage before drafting it anew.",
                garment.facts.what
            ),
        ));
    }
    app.write(format!("{letter}: chose its standing corrections"), move |book, desk| {
        order_draft::correct(book, desk, garment.id, version, &looked)
    })
    .await?;
    Ok(Redirect::to(&format!("/orders/{number}#{letter}")).into_response())
}

/// Puts an order on hold, calls it off, or takes it up again.
///
/// # Errors
/// [`Fault::NotFound`] without such an order; a [`Fault`] when it was changed in the meantime.
pub async fn standing(State(app): State<App>, Path(number): Path<String>, fields: Fields) -> Result<Response, Fault> {
    let number = path::order(&number)?;
    let standing = Standing::from_key(fields.text("standing")).ok_or(Fault::NotFound("standing"))?;
    let version = path::version(&fields)?;
    let mut notes = Notes::default();
    let reason = notes.line(&fields, "reason");
    if standing != Standing::Open && reason.is_empty() {
        notes.add("reason", format!("Why is the order {}? Write a word or two for the history.", standing.words()));
    }
    if !notes.is_empty() {
        return order::returned(&app, number, Returned { form: "standing".into(), fields, notes }).await;
    }
    let id = app.read(move |book, _| Ok(book.order_numbered(number)?.id)).await?;
    let words = match standing {
        Standing::Open => "took the order up again".to_string(),
        _ => format!("order {}: {reason}", standing.words()),
    };
    app.write(words, move |book, _| book.set_standing(id, version, standing, &reason)).await?;
    Ok(Redirect::to(&format!("/orders/{number}")).into_response())
}

/// Arranges a fitting.
///
/// # Errors
/// [`Fault::NotFound`] without such an order; a [`Fault`] when it cannot be kept.
pub async fn arrange(State(app): State<App>, Path(number): Path<String>, fields: Fields) -> Result<Response, Fault> {
    let number = path::order(&number)?;
    let sent = fields.clone();
    let read = app
        .read(move |book, desk| {
            let order = book.order_numbered(number)?;
            let known: Vec<_> = book.garments_of(order.id)?.iter().map(|garment| garment.id).collect();
            Ok(fittings_view::read(&sent, order.id, &known, desk))
        })
        .await?;
    match read {
        Err(notes) => order::returned(&app, number, Returned { form: "fitting".into(), fields, notes }).await,
        Ok(facts) => {
            let words = format!("arranged a fitting for {}", facts.day.format("%-d %b %Y"));
            app.write_once(words, fields.text("form"), move |book, _| book.add_fitting(&facts)).await?;
            Ok(Redirect::to(&format!("/orders/{number}#fittings")).into_response())
        }
    }
}

/// Says what became of a fitting.
///
/// # Errors
/// [`Fault::NotFound`] without such a fitting or word; a [`Fault`] when it was changed in the meantime.
pub async fn fitting(
    State(app): State<App>,
    Path((number, fitting)): Path<(String, String)>,
    fields: Fields,
) -> Result<Response, Fault> {
    let number = path::order(&number)?;
    let state = FittingState::from_key(fields.text("state")).ok_or(Fault::NotFound("state of a fitting"))?;
    let version = path::version(&fields)?;
    let known = app
        .read(move |book, _| {
            let order = book.order_numbered(number)?;
            let found = book.fittings_of(order.id)?.into_iter().find(|one| one.id.to_string() == fitting);
            found.ok_or(Fault::NotFound("fitting"))
        })
        .await?;
    let facts = FittingFacts { state, ..known.facts };
    app.write(format!("fitting of {}: {}", facts.day.format("%-d %b %Y"), state.words()), move |book, _| {
        book.change_fitting(known.id, version, &facts)
    })
    .await?;
    Ok(Redirect::to(&format!("/orders/{number}#fittings")).into_response())
}

/// Calls one garment off, or takes it up again.
///
/// # Errors
/// [`Fault::NotFound`] without such a garment; a [`Fault`] when it was changed in the meantime.
pub async fn cancel(
    State(app): State<App>,
    Path((number, letter)): Path<(String, String)>,
    fields: Fields,
) -> Result<Response, Fault> {
    let (number, letter) = (path::order(&number)?, path::letter(&letter)?);
    let cancelled = fields.text("cancelled") == "yes";
    let version = path::version(&fields)?;
    let garment = app.read(move |book, _| order_draft::garment(book, number, letter)).await?;
    let words = if cancelled { format!("called {letter} off") } else { format!("took {letter} up again") };
    app.write(words, move |book, _| book.cancel_garment(garment.id, version, cancelled)).await?;
    Ok(Redirect::to(&format!("/orders/{number}#{letter}")).into_response())
}
