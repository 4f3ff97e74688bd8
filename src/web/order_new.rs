//! Taking an order: choose the style, then write down the garment, the day and the deposit.
//! The same forms add a garment and change what is written.

use askama::Template;
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use chrono::NaiveDate;

use crate::shop::{ClientId, Garment, GarmentFacts, Order, OrderId, OrderNumber, SetId, StyleVersion};
use crate::store::{ClientRow, ClientSearch, Reader, Sent};

use super::desk::Desk;
use super::drawing::Drawing;
use super::fault::{Fault, render};
use super::fields::{Fields, Notes};
use super::frame::{Frame, Here};
use super::garment_form::{self, GarmentForm, Offered};
use super::order_draft;
use super::order_form::{self, OrderForm};
use super::path;
use super::state::App;
use super::style_picture;

#[derive(Template)]
#[template(path = "order_new.html")]
struct Page {
    frame: Frame,
    lead: String,
    wrongs: usize,
    action: String,
    hidden: Vec<(&'static str, String)>,
    garment: Option<GarmentForm>,
    style_label: String,
    order: Option<OrderForm>,
    is_new: bool,
    button: &'static str,
    back: String,
}

#[derive(Template)]
#[template(path = "style_pick.html")]
struct Pick {
    frame: Frame,
    styles: Vec<PickLine>,
    without: String,
}

struct PickLine {
    address: String,
    label: String,
    drawing: Option<Drawing>,
}

/// What stands for "no style" in an address.
const WITHOUT: &str = "none";

/// Taking an order: the style book first, then the form.
///
/// # Errors
/// [`Fault::NotFound`] without such a client or style.
pub async fn new(State(app): State<App>, query: Fields) -> Result<Response, Fault> {
    app.read(move |book, desk| {
        let client = path::client(query.text("client"))?;
        let title = format!("New order for {}", book.client(client)?.called());
        match query.filled("style") {
            None => pick(book, desk, &title, &format!("/orders/new?client={client}")),
            Some(key) => {
                let style = style_of(book, key)?;
                let (choices, fittings) = offered(book, style.as_ref(), client, None, desk)?;
                let label = style.as_ref().map_or("", |version| version.label.as_str());
                let fields = Fields::of(garment_form::fresh(label, fittings));
                let mut garment = garment_form::new_for(client);
                garment.fittings = fittings;
                let body = book.body(client, None)?;
                garment.corrections = body.in_force();
                order_draft::reckon(&mut garment, style.as_ref(), &body, desk);
                let day = order_draft::earliest_promise(book, &garment, desk)?;
                let form = New { title: &title, client, style: style.as_ref(), choices: &choices, day };
                Ok(form.render(StatusCode::OK, desk, &fields, &Notes::default()))
            }
        }
    })
    .await
}

/// Takes the order into the book: order, garment and deposit at once.
///
/// # Errors
/// A [`Fault`] when it cannot be kept.
pub async fn take(State(app): State<App>, fields: Fields) -> Result<Response, Fault> {
    let sent = fields.clone();
    let form = fields.text("form").to_string();
    if let Some(before) = taken_before(&app, &form).await? {
        return Ok(Redirect::to(&format!("/orders/{before}")).into_response());
    }
    let read = app
        .read(move |book, desk| {
            let client = path::client(sent.text("client"))?;
            let title = format!("New order for {}", book.client(client)?.called());
            let style = style_of(book, sent.text("style"))?;
            let mut notes = Notes::default();
            let wearer = wearer(book, &sent, client, &mut notes)?;
            let (choices, _) = offered(book, style.as_ref(), wearer, None, desk)?;
            let blank = garment_form::new_for(wearer);
            let mut garment = garment_form::read(&sent, &mut notes, &choices, style.as_ref(), blank, desk);
            // The measures and corrections of today count; newer ones are adopted by hand.
            garment.set = book.newest_set(wearer)?;
            let body = book.body(wearer, None)?;
            garment.corrections = body.in_force();
            order_draft::reckon(&mut garment, style.as_ref(), &body, desk);
            let order = order_form::read(&sent, &mut notes, client, None, desk);
            let deposit = order_form::deposit(&sent, &mut notes, garment.price, desk);
            Ok(if notes.is_empty() {
                Ok((order, garment, deposit))
            } else {
                let status = StatusCode::UNPROCESSABLE_ENTITY;
                let day = order_draft::earliest_promise(book, &garment, desk)?;
                let form = New { title: &title, client, style: style.as_ref(), choices: &choices, day };
                Err(form.render(status, desk, &sent, &notes))
            })
        })
        .await?;
    let (order, garment, deposit) = match read {
        Ok(taken) => taken,
        Err(page) => return Ok(page),
    };
    let number = app
        .write_once("took the order", &form, move |book, _| {
            let (id, number) = book.add_order(&order)?;
            book.add_garment(id, &garment)?;
            if let Some(deposit) = deposit {
                book.take_payment(id, &deposit)?;
            }
            Ok(number)
        })
        .await?;
    let number = match number {
        Sent::Done(number) => number,
        Sent::Before(_) => taken_before(&app, &form).await?.ok_or(Fault::NotFound("order"))?,
    };
    Ok(Redirect::to(&format!("/orders/{number}")).into_response())
}

/// The order that this form took when it was sent before.
async fn taken_before(app: &App, form: &str) -> Result<Option<OrderNumber>, Fault> {
    let form = form.to_string();
    app.read(move |book, _| {
        let Some(action) = book.done_by_form(&form)? else { return Ok(None) };
        let order = book.order(OrderId::new(path::written(&action, "order")?))?;
        Ok(Some(order.number))
    })
    .await
}

/// Adding a garment to an order.
///
/// # Errors
/// [`Fault::NotFound`] without such an order or style.
pub async fn new_garment(State(app): State<App>, Path(number): Path<String>, query: Fields) -> Result<Response, Fault> {
    let number = path::order(&number)?;
    app.read(move |book, desk| {
        let order = book.order_numbered(number)?;
        match query.filled("style") {
            None => pick(book, desk, &format!("A garment for {number}"), &format!("/orders/{number}/garment?")),
            Some(key) => {
                let style = style_of(book, key)?;
                let (choices, fittings) = offered(book, style.as_ref(), order.facts.client, None, desk)?;
                let label = style.as_ref().map_or("", |version| version.label.as_str());
                let fields = Fields::of(garment_form::fresh(label, fittings));
                Ok(added_page(StatusCode::OK, desk, &order, style.as_ref(), &choices, &fields, &Notes::default()))
            }
        }
    })
    .await
}

/// Adds the garment.
///
/// # Errors
/// A [`Fault`] when it cannot be kept.
pub async fn add_garment(
    State(app): State<App>,
    Path(number): Path<String>,
    fields: Fields,
) -> Result<Response, Fault> {
    let number = path::order(&number)?;
    let form = fields.text("form").to_string();
    let read = app
        .read(move |book, desk| {
            let order = book.order_numbered(number)?;
            let style = style_of(book, fields.text("style"))?;
            let mut notes = Notes::default();
            let wearer = wearer(book, &fields, order.facts.client, &mut notes)?;
            let (choices, _) = offered(book, style.as_ref(), wearer, None, desk)?;
            let blank = garment_form::new_for(wearer);
            let mut garment = garment_form::read(&fields, &mut notes, &choices, style.as_ref(), blank, desk);
            garment.set = book.newest_set(wearer)?;
            let body = book.body(wearer, None)?;
            garment.corrections = body.in_force();
            order_draft::reckon(&mut garment, style.as_ref(), &body, desk);
            Ok(if notes.is_empty() {
                Ok((order.id, garment))
            } else {
                let status = StatusCode::UNPROCESSABLE_ENTITY;
                Err(added_page(status, desk, &order, style.as_ref(), &choices, &fields, &notes))
            })
        })
        .await?;
    let (order, garment) = match read {
        Ok(read) => read,
        Err(page) => return Ok(page),
    };
    let added = app.write_once("added a garment", &form, move |book, _| book.add_garment(order, &garment)).await?;
    let place = match added {
        Sent::Done((_, letter)) => format!("#{letter}"),
        Sent::Before(_) => String::new(),
    };
    Ok(Redirect::to(&format!("/orders/{number}{place}")).into_response())
}

/// Changing a garment.
///
/// # Errors
/// [`Fault::NotFound`] without such a garment.
pub async fn edit_garment(
    State(app): State<App>,
    Path((number, letter)): Path<(String, String)>,
) -> Result<Response, Fault> {
    let (number, letter) = (path::order(&number)?, path::letter(&letter)?);
    app.read(move |book, desk| {
        let order = book.order_numbered(number)?;
        let garment = order_draft::garment(book, number, letter)?;
        let style = garment.facts.style.map(|id| book.style_version(id)).transpose()?;
        let (choices, _) = offered(book, style.as_ref(), garment.facts.wearer, garment.facts.set, desk)?;
        let worn = garment.facts.wearer != order.facts.client;
        let wearer = if worn { Some(book.client(garment.facts.wearer)?.facts.name) } else { None };
        let fields = garment_form::typed(&garment.facts, desk).with("wearer", wearer);
        let page = Changed { order: &order, garment: &garment, style: style.as_ref(), version: garment.version };
        Ok(page.render(StatusCode::OK, desk, &choices, &fields, &Notes::default()))
    })
    .await
}

/// Changes the garment.
///
/// # Errors
/// A [`Fault`] when it cannot be kept: somebody else changed it in the meantime.
pub async fn change_garment(
    State(app): State<App>,
    Path((number, letter)): Path<(String, String)>,
    fields: Fields,
) -> Result<Response, Fault> {
    let (number, letter) = (path::order(&number)?, path::letter(&letter)?);
    let version = path::version(&fields)?;
    let read = app
        .read(move |book, desk| {
            let order = book.order_numbered(number)?;
            let garment = order_draft::garment(book, number, letter)?;
            let style = garment.facts.style.map(|id| book.style_version(id)).transpose()?;
            let mut notes = Notes::default();
            let wearer = wearer(book, &fields, order.facts.client, &mut notes)?;
            // Another wearer brings other measures and corrections.
            let (set, corrections) = if wearer == garment.facts.wearer {
                (garment.facts.set, garment.facts.corrections.clone())
            } else {
                (book.newest_set(wearer)?, book.body(wearer, None)?.in_force())
            };
            let (choices, _) = offered(book, style.as_ref(), wearer, set, desk)?;
            let before = GarmentFacts { wearer, set, corrections, ..garment.facts.clone() };
            let mut facts = garment_form::read(&fields, &mut notes, &choices, style.as_ref(), before, desk);
            let body = book.body(facts.wearer, facts.set)?;
            order_draft::reckon(&mut facts, style.as_ref(), &body, desk);
            Ok(if notes.is_empty() {
                Ok((garment.id, facts))
            } else {
                let page = Changed { order: &order, garment: &garment, style: style.as_ref(), version };
                Err(page.render(StatusCode::UNPROCESSABLE_ENTITY, desk, &choices, &fields, &notes))
            })
        })
        .await?;
    let (garment, facts) = match read {
        Ok(read) => read,
        Err(page) => return Ok(page),
    };
    app.write(format!("changed {letter}"), move |book, _| book.change_garment(garment, version, &facts)).await?;
    Ok(Redirect::to(&format!("/orders/{number}#{letter}")).into_response())
}

/// Changing what was agreed of an order.
///
/// # Errors
/// [`Fault::NotFound`] without such an order.
pub async fn edit(State(app): State<App>, Path(number): Path<String>) -> Result<Response, Fault> {
    let number = path::order(&number)?;
    app.read(move |book, desk| {
        let order = book.order_numbered(number)?;
        let fields = order_form::typed(&order.facts);
        Ok(edit_page(StatusCode::OK, desk, &order, order.version, &fields, &Notes::default()))
    })
    .await
}

/// Changes what was agreed.
///
/// # Errors
/// A [`Fault`] when it cannot be kept: somebody else changed it in the meantime.
pub async fn change(State(app): State<App>, Path(number): Path<String>, fields: Fields) -> Result<Response, Fault> {
    let number = path::order(&number)?;
    let version = path::version(&fields)?;
    let read = app
        .read(move |book, desk| {
            let order = book.order_numbered(number)?;
            let mut notes = Notes::default();
            let facts = order_form::read(&fields, &mut notes, order.facts.client, Some(&order.facts), desk);
            Ok(if notes.is_empty() {
                Ok((order.id, facts))
            } else {
                Err(edit_page(StatusCode::UNPROCESSABLE_ENTITY, desk, &order, version, &fields, &notes))
            })
        })
        .await?;
    let (order, facts) = match read {
        Ok(read) => read,
        Err(page) => return Ok(page),
    };
    app.write("changed the order", move |book, _| book.change_order(order, version, &facts)).await?;
    Ok(Redirect::to(&format!("/orders/{number}")).into_response())
}

fn style_of(book: &Reader, key: &str) -> Result<Option<StyleVersion>, Fault> {
    if key.is_empty() || key == WITHOUT { Ok(None) } else { Ok(Some(book.style(key)?.current)) }
}

/// Who wears a garment: who pays, unless the form names another client of the book.
fn wearer(book: &Reader, fields: &Fields, payer: ClientId, notes: &mut Notes) -> Result<ClientId, Fault> {
    let Some(name) = fields.filled("wearer") else { return Ok(payer) };
    /// As many as a note can name.
    const MOST: u32 = 5;
    let found = book.clients(&ClientSearch { words: name.into(), limit: MOST, offset: 0 })?.rows;
    let is_called = |row: &&ClientRow| row.client.facts.name == name || row.client.facts.known_as == name;
    let exact: Vec<&ClientRow> = found.iter().filter(is_called).collect();
    match (exact.as_slice(), found.as_slice()) {
        ([only], _) => return Ok(only.client.id),
        ([], [only]) => return Ok(only.client.id),
        ([], []) => notes.add(
            "wearer",
            format!("Nobody in the book is called “{name}”. Write the wearer down as a client first; then come back."),
        ),
        _ => {
            let names: Vec<&str> = found.iter().map(|row| row.client.facts.name.as_str()).collect();
            notes.add("wearer", format!("“{name}” may be {}. Write the whole name.", names.join(", ")));
        }
    }
    Ok(payer)
}

/// The choices of a style for this wearer, measured up to a set (or all that was taken).
fn offered(
    book: &Reader,
    style: Option<&StyleVersion>,
    wearer: ClientId,
    set: Option<SetId>,
    desk: &Desk,
) -> Result<(Offered, u8), Fault> {
    let (choices, fittings) = match style {
        None => (Vec::new(), 0),
        Some(version) => order_draft::offered(version, &book.body(wearer, set)?, desk),
    };
    Ok((Offered { choices, shelf: book.shelf()? }, fittings))
}

/// The style book to choose from; `to` is the address that the style is added to.
fn pick(book: &Reader, desk: &Desk, title: &str, to: &str) -> Result<Response, Fault> {
    let styles = book
        .styles()?
        .into_iter()
        .filter(|style| !style.retired)
        .map(|style| PickLine {
            address: format!("{to}&style={}", style.key),
            label: style.current.label.clone(),
            drawing: style_picture::of(&style.current, desk),
        })
        .collect();
    let page = Pick { frame: desk.frame(title, Here::Orders), styles, without: format!("{to}&style={WITHOUT}") };
    Ok(render(StatusCode::OK, &page))
}

/// A new order.
struct New<'a> {
    title: &'a str,
    client: ClientId,
    style: Option<&'a StyleVersion>,
    choices: &'a Offered,
    /// The earliest day that can be promised.
    day: Option<NaiveDate>,
}

impl New<'_> {
    fn render(&self, status: StatusCode, desk: &Desk, fields: &Fields, notes: &Notes) -> Response {
        let page = Page {
            frame: desk.frame(self.title, Here::Orders),
            lead: self.style.map_or("Work without a draft.", |version| version.label.as_str()).into(),
            wrongs: notes.count(),
            action: "/orders".into(),
            hidden: vec![
                ("client", self.client.to_string()),
                ("style", self.style.map_or(WITHOUT, |version| version.key.as_str()).into()),
            ],
            garment: Some(GarmentForm::sent(fields, notes, self.choices, desk)),
            style_label: self.style.map(|version| version.label.clone()).unwrap_or_default(),
            order: Some(OrderForm::sent(fields, notes).hinting(self.day, desk)),
            is_new: true,
            button: "Take the order",
            back: format!("/clients/{}", self.client),
        };
        render(status, &page)
    }
}

fn added_page(
    status: StatusCode,
    desk: &Desk,
    order: &Order,
    style: Option<&StyleVersion>,
    choices: &Offered,
    fields: &Fields,
    notes: &Notes,
) -> Response {
    let page = Page {
        frame: desk.frame(format!("A garment for {}", order.number), Here::Orders),
        lead: style.map_or("Work without a draft.", |version| version.label.as_str()).into(),
        wrongs: notes.count(),
        action: format!("/orders/{}/garment", order.number),
        hidden: vec![("style", style.map_or(WITHOUT, |version| version.key.as_str()).into())],
        garment: Some(GarmentForm::sent(fields, notes, choices, desk)),
        style_label: style.map(|version| version.label.clone()).unwrap_or_default(),
        order: None,
        is_new: false,
        button: "Add the garment",
        back: format!("/orders/{}", order.number),
    };
    render(status, &page)
}

/// A garment that is being changed.
struct Changed<'a> {
    order: &'a Order,
    garment: &'a Garment,
    style: Option<&'a StyleVersion>,
    version: i64,
}

impl Changed<'_> {
    fn render(&self, status: StatusCode, desk: &Desk, choices: &Offered, fields: &Fields, notes: &Notes) -> Response {
        let (number, letter) = (self.order.number, self.garment.letter);
        let page = Page {
            frame: desk.frame(format!("Change {number} {letter}"), Here::Orders),
            lead: self.style.map_or("Work without a draft.", |version| version.label.as_str()).into(),
            wrongs: notes.count(),
            action: format!("/orders/{number}/{letter}/edit"),
            hidden: vec![("version", self.version.to_string())],
            garment: Some(GarmentForm::sent(fields, notes, choices, desk)),
            style_label: self.style.map(|version| version.label.clone()).unwrap_or_default(),
            order: None,
            is_new: false,
            button: "Keep",
            back: format!("/orders/{number}"),
        };
        super::fault::render(status, &page)
    }
}

fn edit_page(status: StatusCode, desk: &Desk, order: &Order, version: i64, fields: &Fields, notes: &Notes) -> Response {
    let page = Page {
        frame: desk.frame(format!("Change {}", order.number), Here::Orders),
        lead: String::new(),
        wrongs: notes.count(),
        action: format!("/orders/{}/edit", order.number),
        hidden: vec![("version", version.to_string())],
        garment: None,
        style_label: String::new(),
        order: Some(OrderForm::sent(fields, notes)),
        is_new: false,
        button: "Keep",
        back: format!("/orders/{}", order.number),
    };
    render(status, &page)
}
