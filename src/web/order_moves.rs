//! What is done to an order from its page: stages, measures, standing, money.

use axum::extract::{Path, State};
use axum::response::{IntoResponse, Redirect, Response};

use crate::shop::{ChargeFacts, ChargeKind, PaymentFacts, PaymentId, PaymentKind, SetId, Stage, Standing, read_money};

use super::fault::Fault;
use super::fields::{Fields, Notes};
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
    let words = if reason.is_empty() {
        format!("{letter}: {} → {}", from.words(), to.words())
    } else {
        format!("{letter}: {} → {}, {reason}", from.words(), to.words())
    };
    app.write(words, move |book, _| {
        book.move_garment(garment, from, to, &reason)?;
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

/// Takes a payment, or gives one back.
///
/// # Errors
/// [`Fault::NotFound`] without such an order; a [`Fault`] when it cannot be kept.
pub async fn payment(State(app): State<App>, Path(number): Path<String>, fields: Fields) -> Result<Response, Fault> {
    let number = path::order(&number)?;
    let (desk, id, account) = app
        .read(move |book, desk| {
            let order = book.order_numbered(number)?;
            Ok((desk.clone(), order.id, book.account(order.id)?))
        })
        .await?;
    let mut notes = Notes::default();
    let kind = PaymentKind::from_key(fields.text("kind")).filter(|kind| *kind != PaymentKind::Void);
    if kind.is_none() {
        notes.add("kind", "Choose what the payment is for.");
    }
    let money = notes.take("amount", read_money(fields.text("amount"), desk.settings.currency));
    let method = notes.line(&fields, "method");
    if let (Some(money), Some(kind)) = (money, kind) {
        let balance = account.balance();
        if money.minor() == 0 {
            notes.add("amount", "Nothing is no payment. Write what was paid.");
        } else if kind == PaymentKind::Refund && money.minor() > account.paid.minor() {
            notes.add(
                "amount",
                format!(
                    "{} cannot be given back: {} was paid. Write that much or less.",
                    desk.money(money),
                    desk.money(account.paid)
                ),
            );
        } else if kind != PaymentKind::Refund && money.minor() > balance.minor() && account.due.minor() > 0 {
            notes.add(
                "amount",
                format!(
                    "{} is more than the balance of {}. Take that much, or add an extra first.",
                    desk.money(money),
                    desk.money(balance)
                ),
            );
        }
    }
    let (Some(money), Some(kind), true) = (money, kind, notes.is_empty()) else {
        return order::returned(&app, number, Returned { form: "payment".into(), fields, notes }).await;
    };
    let facts = PaymentFacts { kind, money, day: desk.today, method, note: String::new() };
    app.write(format!("{} of {money}", kind.words()), move |book, _| book.take_payment(id, &facts)).await?;
    Ok(Redirect::to(&format!("/orders/{number}#money")).into_response())
}

/// Declares a payment void.
///
/// # Errors
/// [`Fault::NotFound`] without such a payment; [`Fault::Refused`] without a reason.
pub async fn void(
    State(app): State<App>,
    Path((number, payment)): Path<(String, String)>,
    fields: Fields,
) -> Result<Response, Fault> {
    let number = path::order(&number)?;
    let payment = payment.parse().map(PaymentId::new).map_err(|_| Fault::NotFound("payment"))?;
    app.read(move |book, _| {
        let order = book.order_numbered(number)?;
        let known = book.payments_of(order.id)?.iter().any(|one| one.id == payment);
        if known { Ok(()) } else { Err(Fault::NotFound("payment")) }
    })
    .await?;
    let reason = Notes::default().line(&fields, "reason");
    app.write(format!("made a payment void: {reason}"), move |book, desk| {
        book.void_payment(payment, desk.today, &reason)
    })
    .await?;
    Ok(Redirect::to(&format!("/orders/{number}#money")).into_response())
}

/// Adds an extra, a discount or a tax.
///
/// # Errors
/// [`Fault::NotFound`] without such an order; a [`Fault`] when it cannot be kept.
pub async fn charge(State(app): State<App>, Path(number): Path<String>, fields: Fields) -> Result<Response, Fault> {
    let number = path::order(&number)?;
    let (desk, id, account) = app
        .read(move |book, desk| {
            let order = book.order_numbered(number)?;
            Ok((desk.clone(), order.id, book.account(order.id)?))
        })
        .await?;
    let mut notes = Notes::default();
    let kind = ChargeKind::from_key(fields.text("charge_kind")).unwrap_or(ChargeKind::Extra);
    let words = notes.line(&fields, "charge_words");
    if words.is_empty() {
        notes.add("charge_words", "Write what it is for, such as lining or rush work.");
    }
    let money = notes.take("charge_amount", read_money(fields.text("charge_amount"), desk.settings.currency));
    if money.is_some_and(|money| money.minor() == 0) {
        notes.add("charge_amount", "Nothing changes nothing. Write an amount.");
    }
    if let Some(money) = money.filter(|money| kind == ChargeKind::Discount && money.minor() > account.due.minor()) {
        notes.add(
            "charge_amount",
            format!(
                "A discount of {} is more than is due, {}. Check the amount.",
                desk.money(money),
                desk.money(account.due)
            ),
        );
    }
    let (Some(money), true) = (money, notes.is_empty()) else {
        return order::returned(&app, number, Returned { form: "charge".into(), fields, notes }).await;
    };
    let facts = ChargeFacts { kind, garment: None, words, money };
    app.write(format!("{} of {money}", kind.words()), move |book, _| book.add_charge(id, &facts)).await?;
    Ok(Redirect::to(&format!("/orders/{number}#money")).into_response())
}
