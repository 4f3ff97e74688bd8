//! Today: what must I do now? Work in the order in which it must happen, fittings,
//! what is late or at risk, what waits to be handed over.

use std::collections::BTreeMap;

use askama::Template;
use axum::extract::State;
use axum::http::StatusCode;
use axum::response::Response;

use crate::job::{self, OpenGarment};
use crate::plan::{self, NextTask, Outlook, Plan};
use crate::shop::{FittingState, Stage, Standing};
use crate::store::{ClientSearch, FittingRow, WorkRow};

use super::desk::Desk;
use super::fault::{Fault, render};
use super::frame::{Frame, Here};
use super::hours;
use super::order_draft;
use super::state::App;
use super::tape::Tape;
use super::writing;

#[derive(Template)]
#[template(path = "today.html")]
struct Page {
    frame: Frame,
    day: String,
    hours: String,
    week: Tape,
    is_empty: bool,
    /// Whether nobody is in the book yet.
    is_new: bool,
    fittings: Vec<Line>,
    work: Vec<Line>,
    later: Vec<Line>,
    more: usize,
    trouble: Vec<Line>,
    hand_over: Vec<Line>,
    waiting: Vec<Line>,
}

/// One line: a task, a fitting, a garment to hand over.
struct Line {
    address: String,
    what: String,
    name: String,
    under: String,
    when: String,
    late: bool,
}

/// Tasks listed after those that today's hours reach.
const MOST_LATER: usize = 12;
/// Lines of the other lists.
const MOST_LINES: usize = 25;

/// The page.
///
/// # Errors
/// A [`Fault`] when the book cannot be read.
pub async fn show(State(app): State<App>) -> Result<Response, Fault> {
    app.read(|book, desk| {
        let rows = book.work(desk.today, order_draft::MOST_GARMENTS)?;
        let fittings = book.fittings(desk.today, desk.today)?;
        // Asked only when there is no work to show.
        let is_new = rows.is_empty()
            && book.clients(&ClientSearch { words: String::new(), limit: 1, offset: 0 })?.rows.is_empty();
        Ok(render(StatusCode::OK, &Page { is_new, ..page(&rows, &fittings, desk) }))
    })
    .await
}

fn page(rows: &[WorkRow], fittings: &[FittingRow], desk: &Desk) -> Page {
    let open: Vec<OpenGarment> = rows.iter().map(order_draft::open_garment).collect();
    let plan = job::planned(&open, &desk.settings, desk.today);
    let by_id: BTreeMap<i64, &WorkRow> = rows.iter().map(|row| (row.garment.get(), row)).collect();
    let task = |task: &NextTask| by_id.get(&task.id).map(|row| task_line(row, task, desk));
    let (now, later): (Vec<&NextTask>, Vec<&NextTask>) = plan.first.iter().partition(|task| task.fits_today);
    let hand_over: Vec<Line> = rows
        .iter()
        .filter(|row| row.stage == Stage::Finished)
        .map(|row| rail_line(row, desk))
        .take(MOST_LINES)
        .collect();
    let trouble: Vec<Line> = plan
        .outlooks
        .iter()
        .filter(|outlook| outlook.standing != plan::Standing::OnTime)
        .filter_map(|outlook| by_id.get(&outlook.id).map(|row| trouble_line(row, outlook, desk)))
        .take(MOST_LINES)
        .collect();
    let waiting = rows
        .iter()
        .filter(|row| row.stage == Stage::Booked && row.standing == Standing::Open)
        .filter(|row| row.promised.is_some_and(|day| (day - desk.today).num_days() <= SOON_DAYS))
        .map(|row| line(row, &cloth_words(row, desk), promised(row, desk), is_late(row, desk)))
        .take(MOST_LINES)
        .collect();
    Page {
        frame: desk.frame("Today", Here::Today),
        day: desk.today.format("%A %-d %B").to_string(),
        hours: hours_words(&plan, desk),
        week: week(&plan, desk),
        is_empty: rows.is_empty(),
        is_new: false,
        fittings: fittings
            .iter()
            .filter(|row| row.fitting.facts.state == FittingState::Arranged)
            .map(fitting_line)
            .collect(),
        work: now.into_iter().filter_map(task).collect(),
        more: later.len().saturating_sub(MOST_LATER),
        later: later.into_iter().take(MOST_LATER).filter_map(task).collect(),
        trouble,
        hand_over,
        waiting,
    }
}

/// A booked garment promised within these days should have its cloth by now (judgement).
const SOON_DAYS: i64 = 14;

fn cloth_words(row: &WorkRow, desk: &Desk) -> String {
    row.cloth_comes.map_or_else(|| "cloth to come in".into(), |day| format!("cloth to come in {}", desk.day(day)))
}

fn line(row: &WorkRow, what: &str, when: String, late: bool) -> Line {
    let worn = if row.wearer_name == row.client_name { String::new() } else { format!(" for {}", row.wearer_name) };
    Line {
        address: format!("/orders/{}#{}", row.number, row.letter),
        what: what.into(),
        name: row.client_name.clone(),
        under: format!("{} {} · {}{worn}", row.number, row.letter, row.what),
        when,
        late,
    }
}

fn task_line(row: &WorkRow, task: &NextTask, desk: &Desk) -> Line {
    let minutes =
        if task.minutes < 60 { format!("{} min", task.minutes) } else { format!("{} h", hours::text(task.minutes)) };
    let past = task.by.filter(|by| *by < desk.today);
    let when = match (task.on, task.by) {
        // Late is said, not only coloured.
        (_, Some(by)) if past.is_some() => format!("late: by {}", desk.day(by)),
        (Some(on), _) => format!("on {}", desk.day(on)),
        (None, Some(by)) => format!("by {}", desk.day(by)),
        (None, None) => "no day promised".into(),
    };
    line(row, &format!("{}, {minutes}", task.stage.word()), when, past.is_some())
}

fn rail_line(row: &WorkRow, desk: &Desk) -> Line {
    let days = (desk.today - desk.day_of(row.stage_ms)).num_days();
    let balance = row.account.balance();
    let mut words = promised(row, desk);
    if is_late(row, desk) {
        words = format!("late: {words}");
    }
    if balance.minor() > 0 {
        words = format!("{words}; {} due", desk.money(balance));
    }
    // From a week on the rail is remarked on: common practice.
    let rail = if days >= 7 { format!("hand over, {days} days on the rail") } else { "hand over".into() };
    let place = if row.place.is_empty() { rail } else { format!("{rail} ({})", row.place) };
    line(row, &place, words, is_late(row, desk))
}

fn trouble_line(row: &WorkRow, outlook: &Outlook, desk: &Desk) -> Line {
    let what = if outlook.standing == plan::Standing::Late { "late" } else { "at risk" };
    let mut found = line(row, what, promised(row, desk), outlook.standing == plan::Standing::Late);
    found.under = format!("{}: {}", found.under, outlook.why_text());
    found
}

fn fitting_line(row: &FittingRow) -> Line {
    let letter = row.letter.map(|letter| format!(" {letter}")).unwrap_or_default();
    Line {
        address: format!("/orders/{}", row.number),
        what: row.fitting.facts.time.map_or_else(|| "any time".into(), |time| time.format("%H:%M").to_string()),
        name: row.client_name.clone(),
        under: format!("{}{letter} · {}", row.number, row.what),
        when: format!("{} min", row.fitting.facts.minutes),
        late: false,
    }
}

fn promised(row: &WorkRow, desk: &Desk) -> String {
    match row.promised {
        None => "no day promised".into(),
        Some(day) => format!("promised {}, {}", desk.day(day), writing::distance(day, desk.today)),
    }
}

fn is_late(row: &WorkRow, desk: &Desk) -> bool {
    row.promised.is_some_and(|day| day < desk.today)
}

/// Today's work against today's hours.
fn hours_words(plan: &Plan, desk: &Desk) -> String {
    let all = job::calendar(&desk.settings).hours(desk.today).total();
    if all == 0 {
        return "Nobody works today.".into();
    }
    let planned = plan.days.iter().find(|load| load.day == desk.today).map_or(0, |load| load.planned);
    match planned {
        0 => format!("No work is planned for today's {}.", said(all)),
        _ => format!("{} of work are planned for today's {}.", said(planned), said(all)),
    }
}

fn said(minutes: u32) -> String {
    if minutes < 60 { format!("{minutes} minutes") } else { format!("{} h", hours::text(minutes)) }
}

/// The next seven days as a tape, each filled by the share of its hours that the work at hand takes.
fn week(plan: &Plan, desk: &Desk) -> Tape {
    let calendar = job::calendar(&desk.settings);
    let mut parts = Vec::new();
    let mut words = Vec::new();
    for day in desk.today.iter_days().take(7) {
        let hours = calendar.hours(day).total();
        let planned = plan.days.iter().find(|load| load.day == day).map_or(0, |load| load.planned);
        let under = match (hours, planned) {
            (0, _) => "closed".to_string(),
            (_, 0) => format!("free ({})", hours::text(hours)),
            _ => format!("{} of\u{a0}{}", hours::text(planned), hours::text(hours)),
        };
        let share = if hours == 0 { 0.0 } else { f64::from(planned) / f64::from(hours) };
        words.push(format!("{} {under}", day.format("%a")));
        parts.push((day.format("%a %-d").to_string(), under, share));
    }
    Tape::of_shares(&parts, format!("Hours of work planned in the next seven days: {}", words.join(", ")))
}
