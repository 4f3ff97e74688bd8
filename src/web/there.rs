//! The cloth that is there for a lay, and in words what a lay that is longer than it lacks.

use crate::job::{self, Laid};
use crate::measure::Length;
use crate::store::Reader;

use super::fault::Fault;
use super::lay_shown::LayStanding;
use super::laying::Laying;
use super::writing;

/// The lengths of cloth that are there for a lay.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct There {
    /// What is written on the garment: its length and remnants.
    own: Vec<Length>,
    /// The length of the shop's on which it is held.
    held: Option<Length>,
}

impl There {
    /// What is written of the cloth of what is laid. Of a joint lay each garment says what it has for itself
    /// alone, so nothing is known of the common cloth.
    #[must_use]
    pub fn written_for(laying: &Laying) -> There {
        match laying {
            Laying::Garment { facts, cloth, .. } => {
                let own = job::facts_of(&facts.to_lay.garment.facts, job::cloth_in(*cloth));
                There { own: own.all_lengths().collect(), held: None }
            }
            Laying::Joint(_) => There::default(),
        }
    }

    /// Whether anybody has written how much is there.
    #[must_use]
    pub fn is_measured(&self) -> bool {
        !self.own.is_empty()
    }

    /// What is written, and what is held on the shelf for the lay that was accepted.
    ///
    /// # Errors
    /// A [`Fault`] when the book cannot be read.
    pub fn of(book: &Reader, laying: &Laying) -> Result<There, Fault> {
        let mut there = There::written_for(laying);
        if let Some(by) = laying.kept_by()
            && let Some(held) = book.held_for(by, laying.cloth())?
        {
            there.held = Some(book.cloth_length(held.on)?.there);
        }
        Ok(there)
    }

    /// What is to be said of a lay that does not come out of the cloth that is there; nothing where it does, or
    /// where nobody has written how much is there.
    #[must_use]
    pub fn lacks(&self, laid: &Laid, standing: &LayStanding) -> Option<String> {
        let set = |length: Length| writing::true_fractions(&laid.need.step.written(length));
        let needs = set(laid.need.cut_length);
        // What is held is held for the accepted lay; another one has no claim to it.
        let held = self.held.filter(|_| matches!(standing, LayStanding::Accepted(_)));
        let (longest, where_) = match (self.own.iter().max(), held) {
            (Some(longest), _) => (*longest, "are there"),
            (None, Some(held)) => (held, "are on the length that is held for it"),
            (None, None) => return None,
        };
        let short = laid.short_by(longest);
        if short == Length::ZERO {
            return None;
        }
        let all: Length = self.own.iter().copied().sum();
        Some(if self.own.len() > 1 && laid.short_by(all) == Length::ZERO {
            format!(
                "this lay takes {needs} in one length, and the longest there is {}. The Cloth page says what is cut from \
                 each.",
                set(longest)
            )
        } else {
            format!("this lay takes {needs}, and {} {where_}: {} too short. Do not cut.", set(longest), set(short))
        })
    }
}
