//! Needs of garments that were reckoned before, so that the shopping list of hundreds of orders
//! is laid once and not at every look. Each stands for as long as what it came from does.
//!
//! The Cloth page lays each cloth with the usual search, about a quarter of a second; a list of a hundred
//! garments cannot wait for that. It begins with quick lays, which are surely enough, has the usual ones worked
//! out beside it (`lay_the_rest`), and takes over what a Cloth page has laid meanwhile, so that list and page say the same.

use std::collections::{BTreeMap, HashMap};
use std::hash::{DefaultHasher, Hash, Hasher};
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use crate::draft::{Cloth, Style};
use crate::job::{self, ClothNeed};
use crate::measure::Length;
use crate::shop::{Body, GarmentFacts, GarmentId, Settings};

/// What a garment needs, or why nobody knows.
pub type Needs = Result<Vec<ClothNeed>, String>;

/// The most garments that are kept: more than a large workroom has open. What was kept is dropped
/// as a whole then, and reckoned again.
const MOST: usize = 5_000;

/// Needs by garment, each with the mark of what it was reckoned from.
#[derive(Debug, Default)]
pub struct Reckoned {
    known: Mutex<HashMap<GarmentId, Known>>,
    /// Whether the usual lays are being worked out.
    busy: AtomicBool,
}

/// What is known of one garment.
#[derive(Debug, Default)]
struct Known {
    mark: u64,
    /// By quick lays.
    needs: Option<Needs>,
    /// What the lays need that its pages show.
    laid: BTreeMap<Cloth, Length>,
}

/// A garment of which some cloths were laid quickly only.
pub struct ToLayLater {
    /// Which garment.
    pub garment: GarmentId,
    /// The mark of what follows.
    pub mark: u64,
    /// Which of its cloths.
    pub cloths: Vec<ClothNeed>,
    /// The text of its style.
    pub style: String,
    /// What was agreed.
    pub facts: GarmentFacts,
    /// The wearer's measures.
    pub body: Body,
}

impl Reckoned {
    /// What was reckoned from exactly this: by the lays that the garment's pages show, where those are known.
    #[must_use]
    pub fn of(&self, garment: GarmentId, mark: u64) -> Option<Needs> {
        let known = self.known();
        let known = known.get(&garment).filter(|known| known.mark == mark)?;
        let mut needs = known.needs.clone()?;
        for need in needs.iter_mut().flatten() {
            if let Some(laid) = known.laid.get(&need.cloth) {
                (need.cut, need.is_quick) = (*laid, false);
            }
        }
        Some(needs)
    }

    /// Keeps what was reckoned by quick lays.
    pub fn keep(&self, garment: GarmentId, mark: u64, reckoned: Needs) {
        self.change(garment, mark, |known| known.needs = Some(reckoned));
    }

    /// Keeps what the first lay of a cloth needs, as the garment's pages show it.
    pub fn keep_laid(&self, garment: GarmentId, mark: u64, cloth: Cloth, cut: Length) {
        self.change(garment, mark, |known| {
            known.laid.insert(cloth, cut);
        });
    }

    fn change(&self, garment: GarmentId, mark: u64, change: impl FnOnce(&mut Known)) {
        let mut all = self.known();
        if all.len() >= MOST && !all.contains_key(&garment) {
            all.clear();
        }
        let known = all.entry(garment).or_default();
        if known.mark != mark {
            *known = Known { mark, ..Known::default() };
        }
        change(known);
    }

    fn known(&self) -> MutexGuard<'_, HashMap<GarmentId, Known>> {
        self.known.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

/// Works out the usual lays of these on a thread of its own, one after another, unless that is done already; ends
/// when nobody holds what is kept any more.
pub fn lay_the_rest(kept: &Arc<Reckoned>, rest: Vec<ToLayLater>, settings: &Settings) {
    if rest.is_empty() || kept.busy.swap(true, Ordering::SeqCst) {
        return;
    }
    let (holder, settings) = (Arc::downgrade(kept), settings.clone());
    let run = move || {
        let laying = AssertUnwindSafe(|| {
            for one in &rest {
                for need in &one.cloths {
                    if holder.strong_count() == 0 {
                        return;
                    }
                    let cut = usual(one, need.cloth, &settings).unwrap_or(need.cut);
                    if let Some(kept) = holder.upgrade() {
                        kept.keep_laid(one.garment, one.mark, need.cloth, cut);
                    }
                }
            }
        });
        // A fault of the search leaves the quick lays standing; the next look at the list tries again.
        drop(catch_unwind(laying));
        if let Some(kept) = holder.upgrade() {
            kept.busy.store(false, Ordering::SeqCst);
        }
    };
    if std::thread::Builder::new().name("needs".into()).spawn(run).is_err() {
        kept.busy.store(false, Ordering::SeqCst);
    }
}

/// What the lay needs that the garment's page shows as its first.
fn usual(one: &ToLayLater, cloth: Cloth, settings: &Settings) -> Option<Length> {
    let style = Style::read(&one.style).ok()?;
    let draft = job::drafted(&style, &one.facts, &one.body, settings).ok()?;
    let laid = job::laid(&draft, cloth, &job::facts_of(&one.facts, cloth), settings).ok()?;
    Some(laid.need.cut_length)
}

/// A mark of everything that a need is reckoned from: the garment's facts, its measures, the settings.
#[must_use]
pub fn mark(facts: &GarmentFacts, body: &Body, settings: &Settings) -> u64 {
    let mut hasher = DefaultHasher::new();
    // Facts have no hash of their own; as they are written out they are told apart.
    format!("{facts:?}{body:?}{}", settings.version).hash(&mut hasher);
    hasher.finish()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::shop::{ClientId, Currency};

    #[test]
    fn what_was_reckoned_stands_until_something_changes() {
        let mut settings = Settings::before_first_run(Currency::new("EUR").unwrap());
        let mut facts = GarmentFacts::of(ClientId::new(1), "Skirt");
        let (kept, id) = (Reckoned::default(), GarmentId::new(1));
        let first = mark(&facts, &Body::default(), &settings);
        kept.keep(id, first, Err("No measures.".into()));
        assert_eq!(kept.of(id, first), Some(Err("No measures.".into())));
        facts.cloth.nap = crate::shop::Nap::One;
        let second = mark(&facts, &Body::default(), &settings);
        settings.version += 1;
        let third = mark(&facts, &Body::default(), &settings);
        assert!(first != second && second != third);
        assert_eq!((kept.of(id, second), kept.of(GarmentId::new(2), first)), (None, None));
    }

    #[test]
    fn what_a_page_has_laid_counts_before_the_quick_lay_and_for_the_same_garment_alone() {
        let (kept, id, cloth) = (Reckoned::default(), GarmentId::new(1), Cloth::Main);
        let inches = |whole| Length::inches(whole, 0);
        let quick = ClothNeed { cloth, width: inches(45), width_assumed: false, cut: inches(99), is_quick: true };
        // The page was looked at before the list, and between two looks at it.
        kept.keep_laid(id, 7, cloth, inches(90));
        assert_eq!(kept.of(id, 7), None);
        kept.keep(id, 7, Ok(vec![quick.clone()]));
        assert_eq!(kept.of(id, 7), Some(Ok(vec![ClothNeed { cut: inches(90), is_quick: false, ..quick.clone() }])));
        // Of what was changed since it says nothing.
        kept.keep(id, 8, Ok(vec![quick.clone()]));
        assert_eq!(kept.of(id, 8), Some(Ok(vec![quick])));
    }
}
