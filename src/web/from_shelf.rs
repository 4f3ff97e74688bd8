//! One cloth of a garment that comes from the shop's shelf: what its cloth page says of it.

use crate::lay::Need;
use crate::measure::Length;
use crate::shop::{Cloth, ClothLength, ClothOf, Garment, Held, LayId, Stage};
use crate::store::Reader;

use super::cloths::measured;
use super::desk::Desk;
use super::fault::Fault;

/// The shop's cloth that a garment is cut from, with what is held of it.
pub struct FromShelf {
    cloth: Cloth,
    /// The longest first.
    lengths: Vec<ClothLength>,
    held: Option<(Held, ClothLength)>,
    /// The lay that was accepted last.
    lay: Option<LayId>,
    is_cut: bool,
}

/// How the lay that is shown stands to what is held.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ShownLay {
    /// It was accepted.
    Accepted,
    /// It was not.
    First,
    /// The garment is cut in one lay with others; what is shown is its own.
    Joint,
}

impl FromShelf {
    /// What is there for this cloth of a garment; nothing where it does not come from the shelf.
    ///
    /// # Errors
    /// A [`Fault`] when the book cannot be read.
    pub fn of(book: &Reader, garment: &Garment, cloth: ClothOf) -> Result<Option<FromShelf>, Fault> {
        let Some(stock) = garment.facts.stock_of(cloth) else { return Ok(None) };
        let held = match book.held_for(garment.id, cloth)? {
            None => None,
            Some(held) => {
                let on = book.cloth_length(held.on)?;
                Some((held, on))
            }
        };
        Ok(Some(FromShelf {
            cloth: book.cloth(stock)?,
            lengths: book.cloth_lengths(stock, false)?,
            held,
            lay: book.newest_lay(garment.id, cloth)?.map(|lay| lay.id),
            is_cut: garment.stage >= Stage::Cut,
        }))
    }

    /// Where the cloth has its page.
    #[must_use]
    pub fn address(&self) -> String {
        format!("/cloth/{}", self.cloth.id)
    }

    /// What it is called on the shelf.
    #[must_use]
    pub fn name(&self) -> &str {
        &self.cloth.facts.name
    }

    /// Whether what this lay needs is there, and where, or what is to be bought; and whether it is not.
    #[must_use]
    pub fn verdict(&self, need: Length, buy: &str, shown: ShownLay, desk: &Desk) -> (String, bool) {
        let set = |length| measured(length, desk);
        let (name, needs) = (self.name(), set(need));
        if self.is_cut {
            return (format!("Cut from the shelf: the lay needs {needs} of {name}."), false);
        }
        if shown == ShownLay::Joint {
            return (format!("From the shelf: needs {needs} of {name}."), false);
        }
        let own = self.held.as_ref().filter(|(held, _)| Some(held.lay) == self.lay);
        if let Some((held, on)) = own {
            let (much, on) = (set(held.length), length_words(on, desk));
            return if held.length >= need {
                (format!("From the shelf: needs {needs} of {name}, and {much} are held for it on {on}."), false)
            } else {
                let short = set(need - held.length);
                let words = format!(
                    "From the shelf: needs {needs} of {name}; the {much} held for it on {on} are {short} too short. \
                     Accept the lay anew."
                );
                (words, true)
            };
        }
        let lays: Vec<LayId> = self.held.iter().map(|(held, _)| held.lay).collect();
        match shortest(&self.lengths, need, &lays) {
            Some(length) => {
                let remedy = match shown {
                    ShownLay::Accepted => "Hold it there, on the page of the cloth.",
                    _ => "Accept the lay, and it is held for it.",
                };
                let on = length_words(length, desk);
                (format!("From the shelf: needs {needs} of {name}; {on} suffices. {remedy}"), false)
            }
            None => {
                let most = most_free(&self.lengths, &lays, desk);
                (format!("From the shelf: needs {needs} of {name}, and {most}. Buy {buy}."), true)
            }
        }
    }
}

/// What stands below the picture of a lay: its sum, which ends in what to buy, or in what it needs where the cloth is
/// there.
#[must_use]
pub fn below_picture(need: &Need, is_there: bool) -> String {
    let sum = need.text();
    match sum.split_once("; buy ").filter(|_| is_there) {
        None => sum,
        Some((before, _)) => format!("{before}; needs {}", need.step.written(need.cut_length)),
    }
}

/// The shortest length that suffices once these lays let go of what they hold.
#[must_use]
pub fn shortest<'l>(lengths: &'l [ClothLength], need: Length, lays: &[LayId]) -> Option<&'l ClothLength> {
    // They come the longest first.
    lengths.iter().rev().find(|length| length.free_for(lays) >= need)
}

/// How much of the longest is free: the end of a sentence that says what does not suffice.
#[must_use]
pub fn most_free(lengths: &[ClothLength], lays: &[LayId], desk: &Desk) -> String {
    let free = lengths.iter().map(|length| length.free_for(lays)).max().unwrap_or(Length::ZERO);
    match (lengths.is_empty(), free) {
        (true, _) => "none of it lies there".into(),
        (false, Length::ZERO) => "all that lies there is held for others".into(),
        (false, free) => format!("no length suffices: the most that is free of one is {}", measured(free, desk)),
    }
}

/// A length by how long it is and where it lies.
#[must_use]
pub fn length_words(length: &ClothLength, desk: &Desk) -> String {
    let there = measured(length.there, desk);
    match length.facts.place.as_str() {
        "" => format!("the length of {there}"),
        place => format!("the length of {there} ({place})"),
    }
}
