//! “Keep trying”: the length of a garment's lay falls while a person looks on; stop, accept.
//!
//! The page works as plain forms and refreshes itself while the search runs; with scripts it
//! hears of each shorter lay as it is found (an event stream, `text/event-stream` of the HTML
//! standard) and takes the new picture in. What is found is held in memory (`tries`); only a
//! lay that is accepted is written.

use std::collections::VecDeque;
use std::convert::Infallible;
use std::fmt::Write;
use std::sync::Arc;
use std::time::Duration;

use askama::Template;
use axum::extract::{Path, State};
use axum::http::{HeaderMap, StatusCode};
use axum::response::sse::{Event, Sse};
use axum::response::{IntoResponse, Redirect, Response};
use futures_util::stream;

use crate::job::{self, Laid};
use crate::shop::{AcceptedLay, Letter, OrderNumber};
use crate::store::OWNER;

use super::desk::Desk;
use super::fault::{Fault, render};
use super::fields::Fields;
use super::frame::{Frame, Here};
use super::lay_picture;
use super::lay_shown::LayFacts;
use super::path;
use super::state::App;
use super::tries::{Found, LONGEST_MS, Stand, Try, Watch};
use super::writing;

/// How often a stream says that the search goes on, where nothing was found. Judgement: often
/// enough that the seconds on the page move, and that a line that broke is noticed.
const HEARTBEAT: Duration = Duration::from_secs(2);

#[derive(Template)]
#[template(path = "trying.html")]
struct Page {
    frame: Frame,
    number: String,
    letter: String,
    what: String,
    /// Which try, so that what is accepted is what was shown.
    id: u64,
    began: String,
    told: Told,
    found: Vec<(usize, String)>,
    running: bool,
    ended: Option<String>,
    can_accept: bool,
}

/// What the page and the stream tell of a lay.
struct Told {
    step: usize,
    /// The length of the lay.
    length: String,
    /// By how much it is shorter than the one that the search began with.
    shorter: String,
    /// What must be cut from the bolt, and what is bought.
    needs: String,
    buy: String,
    /// What the search is at, and for how long.
    doing: String,
    /// How much of the first length is left, in thousandths: for the tape.
    left: u16,
    /// The lay in one line of the list of those found.
    line: String,
}

impl Told {
    fn of(one: &Try, found: &Found, doing: &str, now_ms: i64) -> Told {
        let laid = one.laid.with(found.lay.clone());
        let step = laid.need.step;
        let set = |length| writing::true_fractions(&step.written(length));
        let (first, now) = (one.laid.need.lay_length, laid.need.lay_length);
        // Less than the smallest step of the tape is shorter, too.
        let shorter = match found.number {
            0 => String::new(),
            _ if now < first => set(first - now),
            _ => "a hair".into(),
        };
        let share = laid.lay.used_length_mm / one.laid.lay.used_length_mm.max(1.0);
        let length = set(now);
        Told {
            step: found.number,
            line: format!("{length}, {shorter} shorter, after {}", seconds(found.after_ms)),
            shorter: match found.number {
                0 => "nothing shorter yet".into(),
                _ => format!("{shorter} shorter than at first"),
            },
            length,
            needs: set(laid.need.cut_length),
            buy: writing::true_fractions(&step.bought(laid.need.to_buy)),
            doing: format!("{doing}, {} of {}", seconds(now_ms - one.began_ms), seconds(LONGEST_MS)),
            left: thousandths(share),
        }
    }

    /// As lines of a name and a value, for the script of the page.
    fn lines(&self) -> String {
        let mut lines = String::new();
        let left = self.left.to_string();
        let step = self.step.to_string();
        for (name, value) in [
            ("step", &step),
            ("length", &self.length),
            ("shorter", &self.shorter),
            ("needs", &self.needs),
            ("buy", &self.buy),
            ("doing", &self.doing),
            ("left", &left),
            ("line", &self.line),
        ] {
            let _ = writeln!(lines, "{name}: {value}");
        }
        lines.trim_end().into()
    }
}

/// A share of one in thousandths; what is no share is all of it.
fn thousandths(share: f64) -> u16 {
    format!("{:.0}", share.clamp(0.0, 1.0) * 1000.0).parse().unwrap_or(1000)
}

/// `7 s`; `2 min`.
fn seconds(ms: i64) -> String {
    match ms.max(0) / 1000 {
        whole if whole >= 60 && whole % 60 == 0 => format!("{} min", whole / 60),
        whole if whole > 60 => format!("{} min {} s", whole / 60, whole % 60),
        whole => format!("{whole} s"),
    }
}

fn key(number: OrderNumber, letter: Letter) -> String {
    format!("{number}/{letter}")
}

fn page_of(number: OrderNumber, letter: Letter) -> String {
    format!("/orders/{number}/{letter}/cloth")
}

/// Begins to try shorter lays of a garment, from the one that its page shows.
///
/// # Errors
/// [`Fault::NotFound`] without such a garment; [`Fault::Refused`] when it cannot be laid, is cut,
/// or as many lays as may are being tried already.
pub async fn begin(State(app): State<App>, Path((number, letter)): Path<(String, String)>) -> Result<Response, Fault> {
    let (number, letter) = (path::order(&number)?, path::letter(&letter)?);
    let (desk, facts) = app.read(move |book, desk| Ok((desk.clone(), LayFacts::of(book, number, letter)?))).await?;
    if !facts.is_open() {
        return Err(refused("This garment is cut already, or called off: its lay is not looked for any more."));
    }
    let laid: Laid = app.think(move || facts.shown(&desk).map(|shown| shown.laid).map_err(|why| refused(&why))).await?;
    app.tries().begin(&key(number, letter), laid)?;
    Ok(Redirect::to(&format!("{}/trying", page_of(number, letter))).into_response())
}

/// How far the search is.
///
/// # Errors
/// [`Fault::NotFound`] without such a garment.
pub async fn show(State(app): State<App>, Path((number, letter)): Path<(String, String)>) -> Result<Response, Fault> {
    let (number, letter) = (path::order(&number)?, path::letter(&letter)?);
    let (desk, facts) = app.read(move |book, desk| Ok((desk.clone(), LayFacts::of(book, number, letter)?))).await?;
    let Some(one) = app.tries().of(&key(number, letter)) else {
        return Ok(Redirect::to(&page_of(number, letter)).into_response());
    };
    let stand = one.stand(0);
    let page = Page {
        frame: desk.frame(format!("A shorter lay for {number} {letter}"), Here::Orders),
        number: number.to_string(),
        letter: letter.to_string(),
        what: facts.garment.facts.what.clone(),
        id: one.id,
        began: writing::true_fractions(&one.laid.need.step.written(one.laid.need.lay_length)),
        told: Told::of(&one, &stand.best, stand.doing, desk.now_ms),
        found: newest(&one, &stand, desk.now_ms),
        running: stand.ended.is_none(),
        ended: stand.ended.map(|ended| writing::true_fractions(&ended.words())),
        can_accept: facts.is_open(),
    };
    Ok(render(StatusCode::OK, &page))
}

/// The lays found last, newest first.
fn newest(one: &Try, stand: &Stand, now_ms: i64) -> Vec<(usize, String)> {
    /// More would push the rest off the page; the script keeps as many.
    const MOST: usize = 8;
    stand.found.iter().rev().take(MOST).map(|found| (found.number, Told::of(one, found, "", now_ms).line)).collect()
}

/// Each shorter lay as it is found, until the search ends. A reader who was cut off says which
/// event it had last, and hears the rest.
///
/// # Errors
/// [`Fault::NotFound`] when no search is held for this garment.
pub async fn events(
    State(app): State<App>,
    Path((number, letter)): Path<(String, String)>,
    headers: HeaderMap,
) -> Result<Response, Fault> {
    let (number, letter) = (path::order(&number)?, path::letter(&letter)?);
    let one = app.tries().of(&key(number, letter)).ok_or(Fault::NotFound("search for a shorter lay"))?;
    let last = headers.get("last-event-id").and_then(|id| id.to_str().ok()).and_then(|id| id.parse().ok());
    let telling = Telling {
        watch: one.watch(),
        next: last.map_or(1, |last: usize| last.saturating_add(1)),
        waiting: VecDeque::new(),
        over: false,
        app,
    };
    let events = stream::unfold(telling, |mut telling| async move {
        let event = telling.event().await?;
        Some((Ok::<Event, Infallible>(event), telling))
    });
    Ok(Sse::new(events).into_response())
}

/// A stream of events that somebody reads.
struct Telling {
    watch: Watch,
    /// The number of the next lay that was not told yet.
    next: usize,
    waiting: VecDeque<Arc<Found>>,
    over: bool,
    app: App,
}

impl Telling {
    /// The next event; nothing when all is told and the search has ended.
    async fn event(&mut self) -> Option<Event> {
        loop {
            if let Some(found) = self.waiting.pop_front() {
                self.next = found.number + 1;
                let told = Told::of(&self.watch.of, &found, self.watch.of.stand(usize::MAX).doing, self.app.now_ms());
                return Some(Event::default().event("shorter").id(found.number.to_string()).data(told.lines()));
            }
            if self.over {
                return None;
            }
            // Marked as seen first: what changes after this is heard of below.
            self.watch.changes.borrow_and_update();
            let stand = self.watch.of.stand(self.next);
            self.waiting.extend(stand.found.iter().map(Arc::clone));
            if !self.waiting.is_empty() {
                continue;
            }
            if let Some(ended) = stand.ended {
                self.over = true;
                return Some(Event::default().event("ended").data(ended.words()));
            }
            let changed = tokio::time::timeout(HEARTBEAT, self.watch.changes.changed()).await;
            self.watch.of.asked(self.app.now_ms());
            if changed.is_err() {
                let told = Told::of(&self.watch.of, &stand.best, stand.doing, self.app.now_ms());
                return Some(Event::default().event("still").data(told.lines()));
            }
        }
    }
}

/// The picture of one of the lays found, `?step=3`; of the shortest when none is named.
///
/// # Errors
/// [`Fault::NotFound`] when no search is held for this garment.
pub async fn picture(
    State(app): State<App>,
    Path((number, letter)): Path<(String, String)>,
    query: Fields,
) -> Result<Response, Fault> {
    let (number, letter) = (path::order(&number)?, path::letter(&letter)?);
    let desk = app.desk().await?;
    let one = app.tries().of(&key(number, letter)).ok_or(Fault::NotFound("search for a shorter lay"))?;
    let lay = shown(&one, &query);
    app.think(move || lay_picture::of(&one.laid.with(lay.lay.clone()), &desk)).await
}

/// The lay of the step that a form or address names, else the shortest.
fn shown(one: &Try, fields: &Fields) -> Arc<Found> {
    fields.text("step").parse().map_or_else(|_| one.stand(usize::MAX).best, |step| one.found(step))
}

/// Stops the search; what it found is still shown.
///
/// # Errors
/// [`Fault::NotFound`] when the address names no garment.
pub async fn stop(State(app): State<App>, Path((number, letter)): Path<(String, String)>) -> Result<Response, Fault> {
    let (number, letter) = (path::order(&number)?, path::letter(&letter)?);
    if let Some(one) = app.tries().of(&key(number, letter)) {
        one.stop();
    }
    Ok(Redirect::to(&format!("{}/trying", page_of(number, letter))).into_response())
}

/// Accepts the lay that is shown: one of a search (`try` and `step`), else the first lay.
///
/// # Errors
/// [`Fault::NotFound`] without such a garment; [`Fault::Refused`] when it is cut, cannot be laid,
/// or was changed since the lay was found.
pub async fn accept(
    State(app): State<App>,
    Path((number, letter)): Path<(String, String)>,
    fields: Fields,
) -> Result<Response, Fault> {
    let (number, letter) = (path::order(&number)?, path::letter(&letter)?);
    let (desk, facts) = app.read(move |book, desk| Ok((desk.clone(), LayFacts::of(book, number, letter)?))).await?;
    if !facts.is_open() {
        return Err(refused("This garment is cut already, or called off: nothing was changed."));
    }
    let found = match fields.filled("try") {
        None => None,
        Some(id) => Some(searched(&app, &key(number, letter), id, &fields)?),
    };
    let (kept, length) = app.think(move || to_keep(&facts, &desk, found)).await?;
    app.write(format!("{letter}: accepted a lay of {length}"), move |book, _| book.accept_lay(&kept).map(drop)).await?;
    app.tries().forget(&key(number, letter));
    Ok(Redirect::to(&page_of(number, letter)).into_response())
}

/// The lay that a form of the search's page names.
fn searched(app: &App, key: &str, id: &str, fields: &Fields) -> Result<Laid, Fault> {
    let gone = "The search that found this lay is over and forgotten, or another was begun since. Nothing was accepted; \
                open the garment's cloth and try again.";
    let one = app.tries().of(key).filter(|one| one.id.to_string() == id);
    let one = one.ok_or_else(|| Fault::Refused(StatusCode::CONFLICT, gone.into()))?;
    let found = shown(&one, fields);
    Ok(one.laid.with(found.lay.clone()))
}

/// What is kept, with its length in words, if it serves for the garment as it is now.
fn to_keep(facts: &LayFacts, desk: &Desk, found: Option<Laid>) -> Result<(AcceptedLay, String), Fault> {
    let garment = &facts.garment;
    let laid = match found {
        Some(laid) => laid,
        None => facts.shown(desk).map_err(|why| refused(&why))?.laid,
    };
    let kept = job::accepted_lay(garment.id, OWNER, desk.now_ms, &laid);
    let draft = facts.draft(desk).map_err(|why| refused(&why))?;
    match job::accepted(&draft, &garment.facts.cloth, &desk.settings, &kept) {
        Ok(_) => Ok((kept, writing::true_fractions(&laid.need.step.written(laid.need.lay_length)))),
        Err(why) => Err(Fault::Refused(
            StatusCode::CONFLICT,
            writing::true_fractions(&format!(
                "The garment was changed since this lay was found, and it does not fit any more: {why}. Nothing was \
                 accepted; open the garment's cloth and lay it again."
            )),
        )),
    }
}

/// Sets the accepted lay aside: the garment is laid anew from now on.
///
/// # Errors
/// [`Fault::NotFound`] without such a garment; [`Fault::Refused`] when it is cut.
pub async fn set_aside(
    State(app): State<App>,
    Path((number, letter)): Path<(String, String)>,
) -> Result<Response, Fault> {
    let (number, letter) = (path::order(&number)?, path::letter(&letter)?);
    let facts = app.read(move |book, _| LayFacts::of(book, number, letter)).await?;
    if !facts.is_open() {
        return Err(refused("This garment is cut already, or called off: its lay stays as it was accepted."));
    }
    let garment = facts.garment.id;
    app.write(format!("{letter}: set the accepted lay aside"), move |book, _| book.set_lay_aside(garment)).await?;
    Ok(Redirect::to(&page_of(number, letter)).into_response())
}

fn refused(words: &str) -> Fault {
    Fault::Refused(StatusCode::UNPROCESSABLE_ENTITY, writing::true_fractions(words))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn seconds_and_shares_are_written_short() {
        assert_eq!(
            [-5, 999, 59_999, 60_000, 61_000, 120_000].map(seconds),
            ["0 s", "0 s", "59 s", "1 min", "1 min 1 s", "2 min"]
        );
        assert_eq!([-1.0, 0.5, 0.9994, 1.0, 7.0, f64::NAN].map(thousandths), [0, 500, 999, 1000, 1000, 1000]);
    }
}
