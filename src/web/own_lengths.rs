//! The lengths of a garment's own cloth: whether one of them suffices, several together, or none.

use crate::job::Laid;
use crate::lay::{self, OnLength, left_over};
use crate::measure::Length;
use crate::shop::ClothFacts;

use super::cloths::measured;
use super::desk::Desk;
use super::writing;

/// The lengths that are there of a garment's own cloth, beside the lay that is shown.
pub struct OwnLengths<'l> {
    all: Vec<Length>,
    laid: &'l Laid,
}

/// What they come to.
pub enum Suffice {
    /// Nothing is measured.
    Unmeasured,
    /// This one suffices by itself: of several the shortest.
    One(Length),
    /// They suffice when it is cut from several of them; how.
    Together(Vec<OnLength>),
    /// They do not suffice; why, where they were tried together.
    Short(Option<String>),
}

/// One of several lengths from which it is cut.
pub struct LengthRow {
    /// Which of them, from 0.
    pub place: usize,
    /// How long it is.
    pub length: String,
    /// What is cut from it, and how much that takes.
    pub words: String,
}

impl<'l> OwnLengths<'l> {
    /// Those of this cloth.
    #[must_use]
    pub fn of(cloth: &ClothFacts, laid: &'l Laid) -> OwnLengths<'l> {
        OwnLengths { all: cloth.all_lengths().collect(), laid }
    }

    /// The shortest that suffices by itself.
    #[must_use]
    pub fn one(&self) -> Option<Length> {
        self.all.iter().copied().filter(|length| self.laid.short_by(*length) == Length::ZERO).min()
    }

    /// What they come to. Several are laid together only where no one suffices: that takes its time.
    #[must_use]
    pub fn suffice(&self) -> Suffice {
        match (self.one(), self.all.len()) {
            (_, 0) => Suffice::Unmeasured,
            (Some(one), _) => Suffice::One(one),
            (None, 1) => Suffice::Short(None),
            (None, _) => match self.laid.on_lengths(&self.all) {
                Ok(found) => Suffice::Together(found),
                Err(why) => Suffice::Short(Some(writing::true_fractions(&why.to_string()))),
            },
        }
    }

    /// What is said first: to buy this, or whether what is there suffices; and whether it does not.
    #[must_use]
    pub fn verdict(&self, found: &Suffice, buy: &str, desk: &Desk) -> (String, bool) {
        let set = |length: Length| measured(length, desk);
        let need = self.laid.need.cut_length;
        let needs = set(need);
        match (found, self.all.as_slice()) {
            (Suffice::Unmeasured, _) | (_, []) => (format!("Buy {buy}."), false),
            (Suffice::One(_), [have]) => (format!("Needs {needs}, have {}: it suffices.", set(*have)), false),
            (Suffice::Short(_), [have]) => {
                let (have, short) = (set(*have), set(self.laid.short_by(*have)));
                (format!("Needs {needs}, have {have}: {short} too short. Do not cut."), true)
            }
            (Suffice::One(one), _) => {
                let words = format!("Needs {needs}, have {}: the length of {} suffices.", self.have(desk), set(*one));
                (words, false)
            }
            (Suffice::Together(_), _) => {
                let words = "it suffices, cut from several lengths";
                (format!("Needs {needs} as one length, have {}: {words}.", self.have(desk)), false)
            }
            (Suffice::Short(_), _) => {
                let words = "they do not suffice. Do not cut";
                (format!("Needs {needs} as one length, have {}: {words}.", self.have(desk)), true)
            }
        }
    }

    /// All of them in words: `1 3/8 yd and 3/4 yd`.
    fn have(&self, desk: &Desk) -> String {
        let all: Vec<String> = self.all.iter().map(|length| measured(*length, desk)).collect();
        match all.as_slice() {
            [rest @ .., last] if !rest.is_empty() => format!("{} and {last}", rest.join(", ")),
            _ => all.concat(),
        }
    }

    /// What is cut from one of them takes so much of it, squared ends and shrinkage counted.
    #[must_use]
    pub fn takes(&self, one: &OnLength) -> Length {
        let takes = lay::need(&one.lay, &one.job, self.laid.need.step).cut_length;
        // Each term of the sum is rounded up; what lies on a length takes no more than there is.
        takes.min(self.length(one))
    }

    /// How long it is.
    #[must_use]
    pub fn length(&self, one: &OnLength) -> Length {
        self.all.get(one.length).copied().unwrap_or(Length::ZERO)
    }

    /// A row for one of several.
    #[must_use]
    pub fn row(&self, one: &OnLength, desk: &Desk) -> LengthRow {
        let picture = lay::picture(&one.job, &one.lay, desk.showing());
        let mut letters: Vec<&str> = picture.pieces.iter().map(|piece| piece.letter.as_str()).collect();
        letters.sort_unstable();
        letters.dedup();
        LengthRow {
            place: one.length,
            length: measured(self.length(one), desk),
            words: format!("{}; takes {} of it", letters.join(", "), measured(self.takes(one), desk)),
        }
    }

    /// What is left of each of several, beside the pieces.
    #[must_use]
    pub fn left(&self, found: &[OnLength], desk: &Desk) -> Vec<String> {
        let side = |mm: f64| writing::millimetres(desk.showing(), mm);
        let of = |one: &OnLength| {
            let length = self.length(one);
            let words = measured(length, desk);
            left_over(&one.job, &one.lay, length.mm())
                .iter()
                .map(|left| format!("{} wide, {} long, of {words}", side(left.width_mm), side(left.length_mm)))
                .collect::<Vec<_>>()
        };
        found.iter().flat_map(of).collect()
    }
}
