//! Lays that are being tried shorter, each on a thread of its own, so that no page waits.
//!
//! They are held in memory alone: what was found and not accepted is gone with the program.
//! A try ends when it is stopped, when its time is up, when nobody has asked for it for a
//! while, when no shorter lay is possible, and when the shop is closed. The clock is the
//! caller's, as everywhere.

use std::cell::{Cell, RefCell};
use std::collections::BTreeMap;
use std::ops::ControlFlow;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::atomic::{AtomicBool, AtomicI64, AtomicUsize, Ordering};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use axum::http::StatusCode;
use tokio::sync::watch;

use crate::job::Laid;
use crate::lay::{Doing, Lay, LayError, USUAL_BUDGET, keep_trying};

use super::fault::Fault;
use super::state::Clock;

/// Tries that run at once. Judgement: a machine of four hands is busy with them, and pages
/// still come; more would only share the same hands.
pub const MOST_AT_ONCE: usize = 4;

/// The longest try, ms. Judgement: two minutes are the patience of a person beside the table;
/// what is found later is a finger's breadth.
pub const LONGEST_MS: i64 = 2 * 60 * 1000;

/// A try that nobody has asked for in this time ends, ms. Judgement: the page without scripts
/// asks every two seconds, and a phone that was laid down for a moment asks again.
const LEFT_MS: i64 = 30 * 1000;

/// What the first search of a try may spend: about a second's work on a desk machine
/// (`benches/lay.rs`), so that every way to spread the cloth has been tried by then. Judgement.
const FIRST_BUDGET: u64 = 4 * USUAL_BUDGET as u64;

/// What a later one may spend, about half a minute's. Judgement.
const MOST_BUDGET: u64 = 32 * FIRST_BUDGET;

/// Lays found that are held of one try. Beyond that the oldest go; nobody accepts those.
const MOST_FOUND: usize = 200;

/// Tries that have ended and wait to be looked at, at most. Judgement: a few kilobytes each.
const MOST_ENDED: usize = 16;

/// A lay that was found.
pub struct Found {
    /// Counted from 1; 0 is the lay that the try began with.
    pub number: usize,
    /// The lay; it has passed the checker.
    pub lay: Lay,
    /// After how many milliseconds.
    pub after_ms: i64,
}

/// Why a try ended.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Ended {
    /// The search has nothing left to try.
    Done,
    /// Somebody stopped it.
    Stopped,
    /// Its time was up.
    TimeUp,
    /// Nobody asked for it any more.
    Left,
    /// It failed, in words.
    Failed(String),
}

impl Ended {
    /// In words for the page.
    #[must_use]
    pub fn words(&self) -> String {
        match self {
            Ended::Done => "No shorter lay is to be had: the search has nothing left to try.".into(),
            Ended::Stopped => "Stopped.".into(),
            Ended::TimeUp => "Two minutes are up, the longest that one search runs.".into(),
            Ended::Left => "Nobody looked on for half a minute, so the search was stopped.".into(),
            Ended::Failed(why) => format!("The search broke off: {why}"),
        }
    }
}

/// How far a try is, at one moment.
pub struct Stand {
    /// What the search is at, in words.
    pub doing: &'static str,
    /// The lays found from the number asked for on.
    pub found: Vec<Arc<Found>>,
    /// The shortest.
    pub best: Arc<Found>,
    /// Why it ended, if it has.
    pub ended: Option<Ended>,
}

/// One try.
pub struct Try {
    /// Which try; a number of its own each time.
    pub id: u64,
    /// What is laid, and the lay that it began with.
    pub laid: Laid,
    /// When it began, by the clock of the program.
    pub began_ms: i64,
    seed: u64,
    inner: Mutex<Inner>,
    changed: watch::Sender<()>,
    stopped: AtomicBool,
    asked_ms: AtomicI64,
    watched: AtomicUsize,
}

struct Inner {
    doing: &'static str,
    found: Vec<Arc<Found>>,
    ended: Option<Ended>,
}

impl Try {
    /// How far it is; the lays from this number on.
    #[must_use]
    pub fn stand(&self, from: usize) -> Stand {
        let inner = self.inner();
        let first = || Arc::new(Found { number: 0, lay: self.laid.lay.clone(), after_ms: 0 });
        Stand {
            doing: inner.doing,
            found: inner.found.iter().filter(|found| found.number >= from).map(Arc::clone).collect(),
            best: inner.found.last().map_or_else(first, Arc::clone),
            ended: inner.ended.clone(),
        }
    }

    /// The lay of this number; the shortest where that one is not held any more.
    #[must_use]
    pub fn found(&self, number: usize) -> Arc<Found> {
        let stand = self.stand(0);
        if number == 0 {
            return Arc::new(Found { number, lay: self.laid.lay.clone(), after_ms: 0 });
        }
        stand.found.iter().find(|found| found.number == number).map_or(stand.best, Arc::clone)
    }

    /// Ends it at its next step.
    pub fn stop(&self) {
        self.stopped.store(true, Ordering::Relaxed);
        self.changed.send_replace(());
    }

    /// Whether the search goes on.
    #[must_use]
    pub fn is_running(&self) -> bool {
        self.inner().ended.is_none()
    }

    /// Whether it was told to end, be it not ended yet.
    #[must_use]
    pub fn is_stopped(&self) -> bool {
        self.stopped.load(Ordering::Relaxed)
    }

    /// Somebody looks at it, now.
    pub fn asked(&self, now_ms: i64) {
        self.asked_ms.fetch_max(now_ms, Ordering::Relaxed);
    }

    /// Looks on until what is given back is dropped: hears of every change.
    #[must_use]
    pub fn watch(self: Arc<Try>) -> Watch {
        self.watched.fetch_add(1, Ordering::Relaxed);
        let changes = self.changed.subscribe();
        Watch { of: self, changes }
    }

    fn inner(&self) -> MutexGuard<'_, Inner> {
        self.inner.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Searches until it ends; what it finds is told as it is found.
    fn run(&self, clock: &Clock) {
        let (ended, spent) = (RefCell::new(None), Cell::new(0_u64));
        let mut told = |step: &crate::lay::Step| {
            let now_ms = clock();
            spent.set(step.evaluations);
            let mut inner = self.inner();
            if step.doing != Doing::Done {
                inner.doing = step.doing.words();
            }
            if let Some(lay) = step.lay {
                let number = inner.found.last().map_or(1, |found| found.number + 1);
                if inner.found.len() >= MOST_FOUND {
                    inner.found.remove(0);
                }
                let after_ms = now_ms.saturating_sub(self.began_ms).max(0);
                inner.found.push(Arc::new(Found { number, lay: lay.clone(), after_ms }));
                drop(inner);
                self.changed.send_replace(());
            }
            let seen = self.watched.load(Ordering::Relaxed) > 0;
            let left = || now_ms.saturating_sub(self.asked_ms.load(Ordering::Relaxed)) > LEFT_MS;
            let why = if self.is_stopped() {
                Ended::Stopped
            } else if now_ms.saturating_sub(self.began_ms) >= LONGEST_MS {
                Ended::TimeUp
            } else if !seen && left() {
                Ended::Left
            } else {
                return ControlFlow::Continue(());
            };
            ended.replace(Some(why));
            ControlFlow::Break(())
        };
        let run = AssertUnwindSafe(|| -> Result<(), LayError> {
            // A search shares its budget out over the ways to spread the cloth, so it is given one
            // that ends, and again a greater one, each time from the shortest lay and another way.
            let (mut lay, mut budget, mut seed) = (self.laid.lay.clone(), FIRST_BUDGET, self.seed);
            loop {
                spent.set(0);
                lay = keep_trying(&self.laid.job, &lay, budget, seed, &mut told)?;
                // Less than half of it spent: it stands at the least length that there is.
                if ended.borrow().is_some() || spent.get() < budget / 2 {
                    return Ok(());
                }
                (budget, seed) = (budget.saturating_mul(2).min(MOST_BUDGET), seed.wrapping_add(1));
            }
        });
        let end = match catch_unwind(run) {
            Ok(Ok(())) => ended.take().unwrap_or(Ended::Done),
            Ok(Err(why)) => Ended::Failed(why.to_string()),
            Err(_) => Ended::Failed("a fault of bodkin; the lays found before it stand.".into()),
        };
        self.inner().ended = Some(end);
        self.changed.send_replace(());
    }
}

/// Somebody who looks on.
pub struct Watch {
    /// At what.
    pub of: Arc<Try>,
    /// Hears of every change.
    pub changes: watch::Receiver<()>,
}

impl Drop for Watch {
    fn drop(&mut self) {
        self.of.watched.fetch_sub(1, Ordering::Relaxed);
    }
}

/// All tries of the program, by what they lay.
pub struct Tries {
    clock: Clock,
    held: Mutex<Held>,
}

#[derive(Default)]
struct Held {
    next: u64,
    closed: bool,
    tries: BTreeMap<String, Arc<Try>>,
}

impl Tries {
    /// None yet, with the program's clock.
    #[must_use]
    pub fn new(clock: Clock) -> Tries {
        Tries { clock, held: Mutex::new(Held::default()) }
    }

    /// The try of this key, if one is held; whoever asks keeps it going.
    #[must_use]
    pub fn of(&self, key: &str) -> Option<Arc<Try>> {
        let found = self.held().tries.get(key).map(Arc::clone)?;
        found.asked((self.clock)());
        Some(found)
    }

    /// The try of this key, if one is held, as a page tells of it that does not look on: it is kept going by
    /// nobody who only reads that it runs.
    #[must_use]
    pub fn held_for(&self, key: &str) -> Option<Arc<Try>> {
        self.held().tries.get(key).map(Arc::clone)
    }

    /// Begins a try from this lay, or gives the one that runs for the same pieces and cloth.
    /// One that has ended goes on from the shortest that it found, another way.
    ///
    /// # Errors
    /// [`Fault::Refused`] when as many as may be run already, or the shop is being closed.
    pub fn begin(&self, key: &str, laid: Laid) -> Result<Arc<Try>, Fault> {
        let now_ms = (self.clock)();
        let mut held = self.held();
        if held.closed {
            return Err(refused("bodkin is being closed, so no search is begun."));
        }
        let before = held.tries.get(key).map(Arc::clone);
        if let Some(before) = before.as_ref().filter(|before| before.laid.job == laid.job) {
            if before.is_running() && !before.is_stopped() {
                before.asked(now_ms);
                return Ok(Arc::clone(before));
            }
        } else if let Some(before) = &before {
            // It lays what is not cut any more.
            before.stop();
        }
        let others = held.tries.iter().filter(|(other, _)| *other != key);
        let busy = others.filter(|(_, one)| one.is_running() && !one.is_stopped()).count();
        if busy >= MOST_AT_ONCE {
            return Err(refused(&format!(
                "{busy} lays are being tried shorter already, the most at once. Stop one of them, or wait: each ends by \
                 itself after two minutes at most."
            )));
        }
        held.next += 1;
        let (laid, seed) = going_on(before.as_deref(), laid);
        let begun = Arc::new(Try {
            id: held.next,
            laid,
            began_ms: now_ms,
            seed,
            inner: Mutex::new(Inner { doing: "trying shorter", found: Vec::new(), ended: None }),
            changed: watch::channel(()).0,
            stopped: AtomicBool::new(false),
            asked_ms: AtomicI64::new(now_ms),
            watched: AtomicUsize::new(0),
        });
        let (runs, clock) = (Arc::clone(&begun), Arc::clone(&self.clock));
        std::thread::Builder::new()
            .name("lay".into())
            .spawn(move || runs.run(&clock))
            .map_err(|why| Fault::Broken(format!("no thread for a lay: {why}")))?;
        held.tries.insert(key.into(), Arc::clone(&begun));
        held.forget();
        Ok(begun)
    }

    /// Ends a try and forgets it.
    pub fn forget(&self, key: &str) {
        if let Some(gone) = self.held().tries.remove(key) {
            gone.stop();
        }
    }

    /// Ends all of them and begins none any more: the shop is being closed.
    pub fn close(&self) {
        let mut held = self.held();
        held.closed = true;
        held.tries.values().for_each(|one| one.stop());
    }

    fn held(&self) -> MutexGuard<'_, Held> {
        self.held.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

impl Drop for Tries {
    fn drop(&mut self) {
        self.close();
    }
}

impl Held {
    /// Lets the oldest go of those that have ended.
    fn forget(&mut self) {
        let mut ended: Vec<(u64, String)> =
            self.tries.iter().filter(|(_, one)| !one.is_running()).map(|(key, one)| (one.id, key.clone())).collect();
        ended.sort_unstable();
        let many = ended.len().saturating_sub(MOST_ENDED);
        for (_, key) in ended.into_iter().take(many) {
            self.tries.remove(&key);
        }
    }
}

/// Where a new try begins: the shorter of the lay given and the best of the try before, and
/// with seeds that were not tried yet.
fn going_on(before: Option<&Try>, laid: Laid) -> (Laid, u64) {
    /// Far enough apart that a try's own seeds do not meet those of the next.
    const APART: u64 = 1 << 32;
    let Some(before) = before.filter(|before| before.laid.job == laid.job) else { return (laid, 1) };
    let best = before.stand(0).best;
    let shorter = best.lay.used_length_mm < laid.lay.used_length_mm;
    (if shorter { laid.with(best.lay.clone()) } else { laid }, before.seed.wrapping_add(APART))
}

fn refused(words: &str) -> Fault {
    Fault::Refused(StatusCode::SERVICE_UNAVAILABLE, words.into())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::draft::Cloth as Kind;
    use crate::lay::{Cloth, Grain, LayJob, Part, Selling, best_layout, check, need};
    use crate::measure::Length;

    fn laid(scale: f64) -> Laid {
        let part = |(n, [w, h]): (usize, [f64; 2])| Part {
            key: format!("piece_{n}"),
            label: format!("Piece {n}"),
            letter: n.to_string(),
            outline: vec![[0.0, 0.0], [w * scale, 0.0], [w * 0.8 * scale, h * scale], [0.0, h * scale]],
            fold: None,
            count: 2,
            pairs: true,
            grain: Grain::Along,
            may_flip: false,
            garment: 0,
            grain_tolerance_deg: 0,
            marks: vec![],
        };
        let sides = [[300.0, 500.0], [250.0, 420.0], [410.0, 350.0], [120.0, 640.0], [330.0, 280.0]];
        let job = LayJob {
            parts: sides.into_iter().enumerate().map(part).collect(),
            strips: vec![],
            cloth: Cloth::of_width(900.0),
            matched: vec![],
        };
        let lay = best_layout(&job, 1, 1).unwrap();
        let need = need(&lay, &job, Selling::QuarterYard);
        Laid { cloth: Kind::Main, width: Length::inches(36, 0), width_assumed: false, job, lay, need }
    }

    /// A clock that is moved by hand.
    fn clock() -> (Clock, Arc<AtomicI64>) {
        let now = Arc::new(AtomicI64::new(1000));
        let told = Arc::clone(&now);
        (Arc::new(move || told.load(Ordering::SeqCst)), now)
    }

    fn ends(one: &Try) -> Ended {
        loop {
            if let Some(ended) = one.stand(0).ended {
                return ended;
            }
            std::thread::yield_now();
        }
    }

    #[test]
    fn what_is_found_falls_and_is_sound_and_goes_on_from_there() {
        let (clock, _) = clock();
        let tries = Tries::new(clock);
        let one = tries.begin("a", laid(1.0)).unwrap();
        while one.stand(0).found.is_empty() && one.is_running() {
            std::thread::yield_now();
        }
        one.stop();
        assert!(matches!(ends(&one), Ended::Stopped | Ended::Done));
        let stand = one.stand(1);
        let mut lengths = vec![one.laid.lay.used_length_mm];
        for found in &stand.found {
            assert_eq!(check(&one.laid.job, &found.lay), vec![]);
            lengths.push(found.lay.used_length_mm);
        }
        assert!(lengths.len() > 1 && lengths.windows(2).all(|two| two[1] < two[0]), "{lengths:?}");
        let again = tries.begin("a", laid(1.0)).unwrap();
        assert!(again.id != one.id && again.laid.lay.used_length_mm <= stand.best.lay.used_length_mm);
        assert_eq!(one.found(0).lay, one.laid.lay);
        assert_eq!(one.found(1).number, 1);
        // One that is not held is the shortest.
        assert_eq!(one.found(999).number, stand.best.number);
    }

    #[test]
    fn one_runs_for_each_garment_and_four_in_all() {
        let (clock, _) = clock();
        let tries = Tries::new(clock);
        let one = tries.begin("a", laid(1.0)).unwrap();
        assert_eq!(tries.begin("a", laid(1.0)).unwrap().id, one.id);
        let others: Vec<_> = ["b", "c", "d"].iter().map(|key| tries.begin(key, laid(1.0)).unwrap()).collect();
        let Err(Fault::Refused(StatusCode::SERVICE_UNAVAILABLE, words)) = tries.begin("e", laid(1.0)) else {
            panic!("a fifth was begun");
        };
        assert!(words.contains("4 lays") && words.contains("two minutes"), "{words}");
        others[0].stop();
        assert!(tries.begin("e", laid(1.0)).is_ok());
        // Other pieces under the same key: the old try ends.
        let other = tries.begin("a", laid(1.1)).unwrap();
        assert!(other.id != one.id);
        assert_eq!(ends(&one), Ended::Stopped);
        tries.close();
        assert_eq!(ends(&other), Ended::Stopped);
        assert!(tries.begin("f", laid(1.0)).is_err());
    }

    #[test]
    fn time_and_being_left_alone_end_a_try() {
        let (clock, now) = clock();
        let tries = Tries::new(clock);
        let one = tries.begin("a", laid(1.0)).unwrap();
        now.fetch_add(LEFT_MS + 1, Ordering::SeqCst);
        assert_eq!(ends(&one), Ended::Left);
        let other = tries.begin("b", laid(1.0)).unwrap();
        let watch = Arc::clone(&other).watch();
        now.fetch_add(LEFT_MS + 1, Ordering::SeqCst);
        assert!(other.is_running());
        now.fetch_add(LONGEST_MS, Ordering::SeqCst);
        assert_eq!(ends(&other), Ended::TimeUp);
        drop(watch);
        assert_eq!(other.watched.load(Ordering::SeqCst), 0);
    }
}
