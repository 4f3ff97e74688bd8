//! Money of an order from its page: payments taken, given back or made void, extras and discounts.

use axum::extract::{Path, State};
use axum::response::{IntoResponse, Redirect, Response};

use crate::shop::{
    Account, ChargeFacts, ChargeKind, OrderId, OrderNumber, PaymentFacts, PaymentId, PaymentKind, read_money,
};

use super::desk::Desk;
use super::fault::Fault;
use super::fields::{Fields, Notes};
use super::order::{self, Returned};
use super::path;
use super::state::App;

/// Takes a payment, or gives one back.
///
/// # Errors
/// [`Fault::NotFound`] without such an order; a [`Fault`] when it cannot be kept.
pub async fn payment(State(app): State<App>, Path(number): Path<String>, fields: Fields) -> Result<Response, Fault> {
    let number = path::order(&number)?;
    let form = fields.text("form").to_string();
    let Some((desk, id, account)) = account(&app, number, &form).await? else {
        // A second tap: it was done the first time.
        return Ok(Redirect::to(&format!("/orders/{number}#money")).into_response());
    };
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
    app.write_once(format!("{} of {money}", kind.words()), &form, move |book, _| book.take_payment(id, &facts)).await?;
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
    let form = fields.text("form").to_string();
    let Some((desk, id, account)) = account(&app, number, &form).await? else {
        // A second tap: it was done the first time.
        return Ok(Redirect::to(&format!("/orders/{number}#money")).into_response());
    };
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
    app.write_once(format!("{} of {money}", kind.words()), &form, move |book, _| book.add_charge(id, &facts)).await?;
    Ok(Redirect::to(&format!("/orders/{number}#money")).into_response())
}

/// The order's account; `None` when this form was already done.
async fn account(app: &App, number: OrderNumber, form: &str) -> Result<Option<(Desk, OrderId, Account)>, Fault> {
    let form = form.to_string();
    app.read(move |book, desk| {
        let order = book.order_numbered(number)?;
        if !form.is_empty() && book.done_by_form(&form)?.is_some() {
            return Ok(None);
        }
        Ok(Some((desk.clone(), order.id, book.account(order.id)?)))
    })
    .await
}
