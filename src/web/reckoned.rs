//! Needs of garments that were reckoned before, so that the shopping list of hundreds of orders
//! is laid once and not at every look. Each stands for as long as what it came from does.

use std::collections::HashMap;
use std::hash::{DefaultHasher, Hash, Hasher};
use std::sync::{Mutex, PoisonError};

use crate::job::ClothNeed;
use crate::shop::{Body, GarmentFacts, GarmentId, Settings};

/// What a garment needs, or why nobody knows.
pub type Needs = Result<Vec<ClothNeed>, String>;

/// The most garments that are kept: more than a large workroom has open. What was kept is dropped
/// as a whole then, and reckoned again.
const MOST: usize = 5_000;

/// Needs by garment, each with the mark of what it was reckoned from.
#[derive(Debug, Default)]
pub struct Reckoned {
    needs: Mutex<HashMap<GarmentId, (u64, Needs)>>,
}

impl Reckoned {
    /// What was reckoned from exactly this.
    #[must_use]
    pub fn of(&self, garment: GarmentId, mark: u64) -> Option<Needs> {
        let needs = self.needs.lock().unwrap_or_else(PoisonError::into_inner);
        needs.get(&garment).filter(|(kept, _)| *kept == mark).map(|(_, needs)| needs.clone())
    }

    /// Keeps what was reckoned.
    pub fn keep(&self, garment: GarmentId, mark: u64, reckoned: Needs) {
        let mut needs = self.needs.lock().unwrap_or_else(PoisonError::into_inner);
        if needs.len() >= MOST {
            needs.clear();
        }
        needs.insert(garment, (mark, reckoned));
    }
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
}
