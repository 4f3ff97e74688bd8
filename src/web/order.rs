//! Order: one order, whole. Each garment with its tape and its draft, money, history.

use askama::Template;
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::Response;

use crate::shop::{Action, OrderNumber, SetId, Stage, Standing};
use crate::store::{OrderPage, Reader};

use super::desk::Desk;
use super::fault::{Fault, render};
use super::fields::{Fields, Notes};
use super::fittings_view::FittingsView;
use super::frame::{Frame, Here};
use super::garment_view::GarmentView;
use super::lay_shown::LookedOver;
use super::money_view::MoneyView;
use super::order_draft::Drafted;
use super::path;
use super::state::App;
use super::writing;

#[derive(Template)]
#[template(path = "order.html")]
struct Page {
    frame: Frame,
    number: String,
    version: i64,
    client: String,
    client_id: i64,
    promised: String,
    late: bool,
    is_open: bool,
    standing: Option<String>,
    standings: Vec<(&'static str, &'static str, bool)>,
    said: Option<String>,
    warnings: Vec<String>,
    facts: Vec<(&'static str, String)>,
    garments: Vec<GarmentView>,
    money: MoneyView,
    fittings: FittingsView,
    history: Vec<(String, String)>,
}

/// A form of the page that came back: which one, what was typed, what is wrong.
pub struct Returned {
    /// `payment`, `charge`, `fitting`, `standing`, or `stage` with the letter: `stage B`.
    pub form: String,
    /// What was typed.
    pub fields: Fields,
    /// What is wrong.
    pub notes: Notes,
}

/// Changes in the history of the page.
const MOST_CHANGES: u32 = 200;

/// The page.
///
/// # Errors
/// [`Fault::NotFound`] without such an order.
pub async fn show(State(app): State<App>, Path(number): Path<String>, query: Fields) -> Result<Response, Fault> {
    let number = path::order(&number)?;
    app.read(move |book, desk| {
        let said = match query.text("measured").parse().ok().map(SetId::new) {
            Some(set) => book.set(set).ok().map(|set| {
                format!("The measures of {} are kept, and the garment is drafted from them.", desk.day(set.facts.day))
            }),
            None => None,
        };
        page(book, desk, number, said, None)
    })
    .await
}

/// The page with a form that came back with notes.
///
/// # Errors
/// [`Fault::NotFound`] without such an order.
pub async fn returned(app: &App, number: OrderNumber, sent: Returned) -> Result<Response, Fault> {
    app.read(move |book, desk| page(book, desk, number, None, Some(sent))).await
}

fn page(
    book: &Reader,
    desk: &Desk,
    number: OrderNumber,
    said: Option<String>,
    sent: Option<Returned>,
) -> Result<Response, Fault> {
    let whole = book.order_page(number)?;
    let history = book.order_history(whole.order.id, MOST_CHANGES)?;
    let standing = whole.order.standing;
    let is_done = whole.garments.iter().all(|page| page.garment.cancelled || page.garment.stage == Stage::Collected);
    let late = standing == Standing::Open && !is_done && whole.order.facts.promised.is_some_and(|day| day < desk.today);
    let looked_over = LookedOver::default();
    let garments = whole
        .garments
        .iter()
        .map(|page| GarmentView::of(book, desk, &whole, page, sent.as_ref(), &looked_over))
        .collect::<Result<_, _>>()?;
    let page = Page {
        frame: desk.frame(format!("{number} {}", whole.client.called()), Here::Orders),
        number: number.to_string(),
        version: whole.order.version,
        client: whole.client.called().into(),
        client_id: whole.client.id.get(),
        promised: promised(&whole, desk, is_done),
        late,
        is_open: standing == Standing::Open,
        standing: standing_words(&whole),
        standings: Standing::ALL.iter().map(|one| (one.key(), one.words(), *one == standing)).collect(),
        said,
        warnings: warnings(&whole, desk, sent.as_ref()),
        facts: facts(&whole, desk),
        garments,
        money: MoneyView::of(&whole, desk, sent.as_ref()),
        fittings: FittingsView::of(&whole, desk, sent.as_ref()),
        history: history.iter().map(|action| (desk.moment(action.at_ms), told(action, desk))).collect(),
    };
    let status = if sent.is_some() { StatusCode::UNPROCESSABLE_ENTITY } else { StatusCode::OK };
    Ok(render(status, &page))
}

fn promised(whole: &OrderPage, desk: &Desk, is_done: bool) -> String {
    match whole.order.facts.promised {
        _ if is_done && !whole.garments.is_empty() => "Collected".into(),
        None => "No day promised".into(),
        Some(day) if day < desk.today => {
            format!("Promised for {}, {}: late", desk.day(day), writing::distance(day, desk.today))
        }
        Some(day) => format!("Promised for {}, {}", desk.day(day), writing::distance(day, desk.today)),
    }
}

fn standing_words(whole: &OrderPage) -> Option<String> {
    let reason = &whole.order.standing_reason;
    match whole.order.standing {
        Standing::Open => None,
        standing if reason.is_empty() => Some(format!("This order is {}.", standing.words())),
        standing => Some(format!("This order is {}: {reason}.", standing.words())),
    }
}

fn warnings(whole: &OrderPage, desk: &Desk, sent: Option<&Returned>) -> Vec<String> {
    let mut warnings: Vec<String> = sent
        .filter(|sent| sent.form == "standing")
        .and_then(|sent| sent.notes.at("reason"))
        .map(Into::into)
        .into_iter()
        .collect();
    if let Some(day) = whole.order.facts.promised.filter(|day| *day >= desk.today) {
        let closed = desk.settings.closed.get(&day);
        let weekday = usize::try_from(chrono::Datelike::weekday(&day).num_days_from_monday()).unwrap_or(0);
        let hours = desk.settings.minutes.get(weekday).copied().unwrap_or(0);
        if let Some(why) = closed {
            let why = if why.is_empty() { String::new() } else { format!(" ({why})") };
            warnings.push(format!("The shop is closed on {}{why}, the day promised.", desk.day(day)));
        } else if hours == 0 {
            warnings.push(format!("Nobody works on {}, the day promised.", desk.day(day)));
        }
    }
    warnings
}

fn facts(whole: &OrderPage, desk: &Desk) -> Vec<(&'static str, String)> {
    let facts = &whole.order.facts;
    let mut rows = vec![("Taken", desk.day(facts.taken))];
    if !facts.event.is_empty() {
        rows.push(("For", facts.event.clone()));
    }
    if let Some(day) = facts.event_day {
        rows.push(("Event", format!("{}, {}", desk.day(day), writing::distance(day, desk.today))));
    }
    if !whole.client.facts.phone.is_empty() {
        rows.push(("Phone", whole.client.facts.phone.clone()));
    }
    if !facts.note.is_empty() {
        rows.push(("Note", facts.note.clone()));
    }
    rows
}

/// An action in words, with what an edit changed.
fn told(action: &Action, desk: &Desk) -> String {
    let (showing, currency) = (desk.showing(), desk.settings.currency);
    let mut edits: Vec<String> = Vec::new();
    // A move and a payment say all in their own words; a count of edits says nothing to anybody.
    let silent = |field: &str| matches!(field, "stage" | "version" | "standing" | "standing_reason" | "state");
    for change in action.changes.iter().filter(|change| !change.field.as_deref().is_some_and(silent)) {
        edits.extend(change.told(showing, currency).map(|told| writing::true_fractions(&told)));
    }
    if edits.is_empty() { action.words.clone() } else { format!("{} ({})", action.words, edits.join("; ")) }
}
