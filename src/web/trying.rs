//! “Keep trying”: the length of a lay falls while a person looks on; stop, accept.
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
use axum::extract::State;
use axum::http::{HeaderMap, StatusCode};
use axum::response::sse::{Event, Sse};
use axum::response::{IntoResponse, Redirect, Response};
use futures_util::stream;

use crate::job::Laid;

use super::desk::Desk;
use super::fault::{Fault, render};
use super::fields::Fields;
use super::frame::{Frame, Here};
use super::lay_of::{LayOf, asking};
use super::lay_picture;
use super::lay_shown::LayStanding;
use super::laying::{Laying, refused};
use super::state::App;
use super::there::There;
use super::tries::{Found, LONGEST_MS, Stand, Try, Watch};
use super::writing;

/// How often a stream says that the search goes on, where nothing was found. Judgement: often
/// enough that the seconds on the page move, and that a line that broke is noticed.
const HEARTBEAT: Duration = Duration::from_secs(2);

#[derive(Template)]
#[template(path = "trying.html")]
struct Page {
    frame: Frame,
    /// What is laid.
    of: LayOf,
    what: String,
    /// The picture of the lay found last, but for its number.
    picture: String,
    /// Which try, so that what is accepted is what was shown.
    id: u64,
    began: String,
    told: Told,
    found: Vec<(usize, String)>,
    running: bool,
    ended: Option<String>,
    can_accept: bool,
    /// Whether somebody has written how much cloth is there.
    measured: bool,
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
    /// That it comes out of the cloth that is there, or by how much not; and the word for accepting it.
    there: String,
    accept: &'static str,
    /// What the search is at, and for how long.
    doing: String,
    /// How much of the first length is left, in thousandths: for the tape.
    left: u16,
    /// The lay in one line of the list of those found.
    line: String,
}

impl Told {
    fn of(one: &Try, found: &Found, there: &There, doing: &str, now_ms: i64) -> Told {
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
        let lacks = there.lacks(&laid, &LayStanding::First);
        Told {
            accept: if lacks.is_some() { "Accept it all the same" } else { "Accept this lay" },
            there: match lacks {
                Some(words) => format!("Too little cloth: {words}"),
                None if there.is_measured() => "The cloth that is there suffices for it.".into(),
                None => String::new(),
            },
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
        let (step, accept) = (self.step.to_string(), self.accept.to_string());
        for (name, value) in [
            ("step", &step),
            ("length", &self.length),
            ("shorter", &self.shorter),
            ("needs", &self.needs),
            ("buy", &self.buy),
            ("there", &self.there),
            ("accept", &accept),
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

/// Begins to try shorter lays, from the one that its page shows.
///
/// # Errors
/// [`Fault::NotFound`] without such a garment; [`Fault::Refused`] when it cannot be laid, is cut,
/// or as many lays as may are being tried already.
pub async fn begin(State(app): State<App>, of: LayOf) -> Result<Response, Fault> {
    let (desk, laying) = read(&app, &of).await?;
    if let Some(why) = laying.closed() {
        return Err(refused(&why));
    }
    let laid: Laid = app.think(move || laying.shown(&desk).map(|(laid, _)| laid).map_err(|why| refused(&why))).await?;
    app.tries().begin(&of.key(), laid)?;
    Ok(Redirect::to(&of.below("trying")).into_response())
}

async fn read(app: &App, of: &LayOf) -> Result<(Desk, Laying), Fault> {
    let of = of.clone();
    app.read(move |book, desk| Ok((desk.clone(), Laying::of(book, &of, desk)?))).await
}

/// How far the search is.
///
/// # Errors
/// [`Fault::NotFound`] without such a garment.
pub async fn show(State(app): State<App>, of: LayOf) -> Result<Response, Fault> {
    let (desk, laying) = read(&app, &of).await?;
    let Some(one) = app.tries().of(&of.key()) else {
        return Ok(Redirect::to(&of.page()).into_response());
    };
    let stand = one.stand(0);
    let there = There::written_for(&laying);
    let here = if matches!(of, LayOf::Joint(_)) { Here::Cloth } else { Here::Orders };
    let page = Page {
        frame: desk.frame(format!("A shorter lay for {}", laying.name()), here),
        what: laying.what(),
        picture: asking(&of.below("trying/lay.svg"), "step", ""),
        of,
        id: one.id,
        began: writing::true_fractions(&one.laid.need.step.written(one.laid.need.lay_length)),
        told: Told::of(&one, &stand.best, &there, stand.doing, desk.now_ms),
        found: newest(&one, &stand, &there, desk.now_ms),
        running: stand.ended.is_none(),
        ended: stand.ended.map(|ended| writing::true_fractions(&ended.words())),
        can_accept: laying.closed().is_none(),
        measured: there.is_measured(),
    };
    Ok(render(StatusCode::OK, &page))
}

/// The lays found last, newest first.
fn newest(one: &Try, stand: &Stand, there: &There, now_ms: i64) -> Vec<(usize, String)> {
    /// More would push the rest off the page; the script keeps as many.
    const MOST: usize = 8;
    let line = |found: &Arc<Found>| (found.number, Told::of(one, found, there, "", now_ms).line);
    stand.found.iter().rev().take(MOST).map(line).collect()
}

/// Each shorter lay as it is found, until the search ends. A reader who was cut off says which
/// event it had last, and hears the rest.
///
/// # Errors
/// [`Fault::NotFound`] when no search is held for this garment.
pub async fn events(State(app): State<App>, of: LayOf, headers: HeaderMap) -> Result<Response, Fault> {
    let there = There::written_for(&read(&app, &of).await?.1);
    let one = app.tries().of(&of.key()).ok_or(Fault::NotFound("search for a shorter lay"))?;
    let last = headers.get("last-event-id").and_then(|id| id.to_str().ok()).and_then(|id| id.parse().ok());
    let telling = Telling {
        watch: one.watch(),
        next: last.map_or(1, |last: usize| last.saturating_add(1)),
        waiting: VecDeque::new(),
        over: false,
        there,
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
    /// The cloth that is there, as it was written when the reader began.
    there: There,
    app: App,
}

impl Telling {
    /// The next event; nothing when all is told and the search has ended.
    async fn event(&mut self) -> Option<Event> {
        loop {
            if let Some(found) = self.waiting.pop_front() {
                self.next = found.number + 1;
                let told = Told::of(
                    &self.watch.of,
                    &found,
                    &self.there,
                    self.watch.of.stand(usize::MAX).doing,
                    self.app.now_ms(),
                );
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
                let told = Told::of(&self.watch.of, &stand.best, &self.there, stand.doing, self.app.now_ms());
                return Some(Event::default().event("still").data(told.lines()));
            }
        }
    }
}

/// The picture of one of the lays found, `?step=3`; of the shortest when none is named.
///
/// # Errors
/// [`Fault::NotFound`] when no search is held for this garment.
pub async fn picture(State(app): State<App>, of: LayOf, query: Fields) -> Result<Response, Fault> {
    let desk = app.desk().await?;
    let one = app.tries().of(&of.key()).ok_or(Fault::NotFound("search for a shorter lay"))?;
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
pub async fn stop(State(app): State<App>, of: LayOf) -> Result<Response, Fault> {
    if let Some(one) = app.tries().of(&of.key()) {
        one.stop();
    }
    Ok(Redirect::to(&of.below("trying")).into_response())
}

/// Accepts the lay that is shown: one of a search (`try` and `step`), else the first lay.
///
/// # Errors
/// [`Fault::NotFound`] without such a garment; [`Fault::Refused`] when it is cut, cannot be laid,
/// or was changed since the lay was found.
pub async fn accept(State(app): State<App>, of: LayOf, fields: Fields) -> Result<Response, Fault> {
    let (desk, laying) = read(&app, &of).await?;
    if let Some(why) = laying.closed() {
        return Err(refused(&format!("{why} Nothing was changed.")));
    }
    let found = match fields.filled("try") {
        None => None,
        Some(id) => Some(searched(&app, &of.key(), id, &fields)?),
    };
    let keep = move || {
        let laid = match found {
            Some(laid) => laid,
            None => laying.shown(&desk).map_err(|why| refused(&why))?.0,
        };
        let kept = laying.to_keep(&laid, &desk)?;
        let length = writing::true_fractions(&laid.need.step.written(laid.need.lay_length));
        Ok((kept, laying.accepted_words(&length)))
    };
    let (kept, words) = app.think(keep).await?;
    app.write(words, move |book, _| book.accept_lay(&kept).map(drop)).await?;
    app.tries().forget(&of.key());
    Ok(Redirect::to(&of.page()).into_response())
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

/// Sets the accepted lay aside: its garments are laid anew from now on.
///
/// # Errors
/// [`Fault::NotFound`] without such a garment; [`Fault::Refused`] when it is cut.
pub async fn set_aside(State(app): State<App>, of: LayOf) -> Result<Response, Fault> {
    let (_, laying) = read(&app, &of).await?;
    if let Some(why) = laying.closed() {
        return Err(refused(&why));
    }
    if let Some(by) = laying.kept_by() {
        let cloth = laying.cloth();
        app.write(laying.aside_words(), move |book, _| book.set_lay_aside(by, cloth)).await?;
    }
    Ok(Redirect::to(&of.page()).into_response())
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
