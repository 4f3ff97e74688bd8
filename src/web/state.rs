//! What every handler holds: the book, the clock, the turns of those who read, and the lays
//! that are being tried shorter.
//!
//! The book blocks, so it is read and written on threads of its own; four pages
//! read at once, others wait their turn without holding a thread.

use std::sync::Arc;

use tokio::sync::Semaphore;

use crate::shop::{PersonId, Settings};
use crate::store::{OWNER, Reader, Sent, Store, StoreError, Writer};

use super::desk::Desk;
use super::fault::Fault;
use super::first_run::Answers;
use super::reckoned::Reckoned;
use super::tries::Tries;

/// Gives the time in milliseconds since 1970, UTC. The clock is the caller's.
pub type Clock = Arc<dyn Fn() -> i64 + Send + Sync>;

/// The state of the service.
#[derive(Clone)]
pub struct App {
    store: Arc<Store>,
    clock: Clock,
    turns: Arc<Semaphore>,
    thinkers: Arc<Semaphore>,
    tries: Arc<Tries>,
    /// Needs of garments that were reckoned already.
    pub reckoned: Arc<Reckoned>,
}

/// As many as the book has readers.
const TURNS: usize = 4;
/// Lays at once: two leave a small machine a hand free for pages (judgement).
const THINKERS: usize = 2;

impl App {
    /// The service of this book, with this clock.
    #[must_use]
    pub fn new(store: Arc<Store>, clock: Clock) -> App {
        let tries = Arc::new(Tries::new(Arc::clone(&clock)));
        let (turns, thinkers) = (Arc::new(Semaphore::new(TURNS)), Arc::new(Semaphore::new(THINKERS)));
        App { store, clock, turns, thinkers, tries, reckoned: Arc::default() }
    }

    /// The lays that are being tried shorter.
    #[must_use]
    pub(super) fn tries(&self) -> &Tries {
        &self.tries
    }

    /// Ends what goes on in the background: the shop is being closed.
    pub fn close(&self) {
        self.tries.close();
    }

    /// The time, UTC milliseconds.
    #[must_use]
    pub(super) fn now_ms(&self) -> i64 {
        (self.clock)()
    }

    /// Reads for one page in one transaction.
    ///
    /// # Errors
    /// [`Fault::NotOpened`] before the first run; what the reading says.
    pub async fn read<T: Send + 'static>(
        &self,
        reading: impl FnOnce(&Reader, &Desk) -> Result<T, Fault> + Send + 'static,
    ) -> Result<T, Fault> {
        let now_ms = (self.clock)();
        self.blocking(move |store| {
            store.read(|book| {
                let desk = Desk::at(book.settings()?, now_ms);
                Ok(if desk.settings.opened { reading(book, &desk) } else { Err(Fault::NotOpened) })
            })?
        })
        .await
    }

    /// Does one thing of the person at the counter in one transaction.
    ///
    /// # Errors
    /// What the writing says; nothing of it is kept then.
    pub async fn write<T: Send + 'static>(
        &self,
        words: impl Into<String>,
        writing: impl FnOnce(&Writer, &Desk) -> Result<T, StoreError> + Send + 'static,
    ) -> Result<T, Fault> {
        let now_ms = (self.clock)();
        let words = words.into();
        self.blocking(move |store| {
            Ok(store.write(AT_THE_COUNTER, now_ms, &words, |book| {
                let desk = Desk::at(book.settings()?, now_ms);
                writing(book, &desk)
            })?)
        })
        .await
    }

    /// As [`App::write`], for a form that says its own key: sent twice, it is done once.
    ///
    /// # Errors
    /// What the writing says; nothing of it is kept then.
    pub async fn write_once<T: Send + 'static>(
        &self,
        words: impl Into<String>,
        form: &str,
        writing: impl FnOnce(&Writer, &Desk) -> Result<T, StoreError> + Send + 'static,
    ) -> Result<Sent<T>, Fault> {
        if form.is_empty() {
            return self.write(words, writing).await.map(Sent::Done);
        }
        let now_ms = (self.clock)();
        let (words, form) = (words.into(), form.to_string());
        self.blocking(move |store| {
            Ok(store.write_once(AT_THE_COUNTER, now_ms, &words, &form, |book| {
                let desk = Desk::at(book.settings()?, now_ms);
                writing(book, &desk)
            })?)
        })
        .await
    }

    /// The shop at this moment.
    ///
    /// # Errors
    /// [`Fault::NotOpened`] before the first run.
    pub async fn desk(&self) -> Result<Desk, Fault> {
        self.read(|_, desk| Ok(desk.clone())).await
    }

    /// The settings, whether or not the shop was opened.
    ///
    /// # Errors
    /// A [`Fault`] when they cannot be read.
    pub async fn settings_before(&self) -> Result<Settings, Fault> {
        self.blocking(|store| Ok(store.read(|book| book.settings())?)).await
    }

    /// Keeps the answers of the first run; those of a shop that is open already are left alone.
    ///
    /// # Errors
    /// A [`Fault`] when they cannot be kept.
    pub async fn open_shop(&self, answers: Answers) -> Result<(), Fault> {
        self.write("opened the shop", |book, desk| {
            if desk.settings.opened {
                return Ok(());
            }
            book.set_settings(&answers.settings(desk.settings.clone()))
        })
        .await
    }

    /// Works something out that takes longer than a page may, on a thread of its own;
    /// no more at once than the machine has hands for.
    ///
    /// # Errors
    /// What the work says.
    pub async fn think<T: Send + 'static>(
        &self,
        work: impl FnOnce() -> Result<T, Fault> + Send + 'static,
    ) -> Result<T, Fault> {
        let turn = Arc::clone(&self.thinkers).acquire_owned().await.map_err(|why| Fault::Broken(why.to_string()))?;
        tokio::task::spawn_blocking(move || {
            let _turn = turn;
            work()
        })
        .await
        .map_err(|why| Fault::Broken(why.to_string()))?
    }

    async fn blocking<T: Send + 'static>(
        &self,
        work: impl FnOnce(&Store) -> Result<T, Fault> + Send + 'static,
    ) -> Result<T, Fault> {
        let turn = Arc::clone(&self.turns).acquire_owned().await.map_err(|why| Fault::Broken(why.to_string()))?;
        let store = Arc::clone(&self.store);
        tokio::task::spawn_blocking(move || {
            let _turn = turn;
            work(&store)
        })
        .await
        .map_err(|why| Fault::Broken(why.to_string()))?
    }
}

/// Until helpers sign in, everything at the counter is done by the owner.
const AT_THE_COUNTER: PersonId = OWNER;
