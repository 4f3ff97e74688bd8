//! Several garments on one cloth: which, what that cloth is, their one lay.

use crate::draft::Draft;
use crate::job::{self, Joined, Laid};
use crate::measure::Length;
use crate::shop::{AcceptedLay, ClothFacts, Letter, Nap, OrderNumber};
use crate::store::Reader;

use super::desk::Desk;
use super::fault::Fault;
use super::to_lay::ToLay;

/// A garment that is laid with others.
pub struct Chosen {
    /// Its order's number.
    pub number: OrderNumber,
    /// Its letter.
    pub letter: Letter,
    /// What the wearer is called.
    pub wearer: String,
    /// What the client is called whose order it is, and who brings the cloth where one does.
    pub client: String,
    /// What it is laid from.
    pub facts: ToLay,
}

impl Chosen {
    /// The garment of an address.
    ///
    /// # Errors
    /// [`Fault::NotFound`] without such a garment.
    pub fn of(book: &Reader, number: OrderNumber, letter: Letter) -> Result<Chosen, Fault> {
        let facts = ToLay::of(book, number, letter)?;
        let wearer = book.client(facts.garment.facts.wearer)?.called().to_string();
        let client = book.client(book.order(facts.garment.order)?.facts.client)?.called().to_string();
        Ok(Chosen { number, letter, wearer, client, facts })
    }

    /// The order's number and the garment's letter.
    #[must_use]
    pub fn mark(&self) -> String {
        format!("{} {}", self.number, self.letter)
    }

    /// What it is.
    #[must_use]
    pub fn what(&self) -> &str {
        &self.facts.garment.facts.what
    }

    /// What is written of its cloth.
    #[must_use]
    pub fn cloth(&self) -> &ClothFacts {
        &self.facts.garment.facts.cloth
    }
}

/// What is asked of the common cloth beyond what the garments say.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Wish {
    /// Its width.
    pub width: Option<Length>,
    /// All pieces point one way.
    pub one_way: bool,
    /// A fold across is tried.
    pub across: bool,
}

/// The common cloth: as the first garment has it of which a width is written, with what is
/// asked; one way when any of them is.
#[must_use]
pub fn common(chosen: &[Chosen], wish: Wish) -> ClothFacts {
    let first = chosen.iter().find(|one| one.cloth().width.is_some()).or_else(|| chosen.first());
    let mut facts = first.map_or(ClothFacts::UNKNOWN, |one| one.cloth().clone());
    // Nobody knows of a cloth that is yet to be bought whether it was washed.
    facts.washed = chosen.iter().all(|one| one.cloth().washed == Some(true)).then_some(true);
    let naps = || chosen.iter().map(|one| one.cloth().nap);
    facts.nap = if wish.one_way || naps().any(|nap| nap == Nap::One) {
        Nap::One
    } else if naps().any(|nap| nap == Nap::PerGarment) {
        Nap::PerGarment
    } else {
        Nap::Free
    };
    facts.fold_across = wish.across;
    // What one garment may have above its need says nothing of all of them.
    facts.spare = None;
    facts.width = wish.width.or(facts.width);
    facts
}

/// The garments drafted, each with the reason in its name where it cannot be.
fn drafts(chosen: &[Chosen], desk: &Desk) -> Result<Vec<Draft>, String> {
    let one = |one: &Chosen| one.facts.draft(desk).map_err(|why| format!("{} ({}): {why}", one.mark(), one.what()));
    chosen.iter().map(one).collect()
}

fn joined<T>(chosen: &[Chosen], desk: &Desk, lay: impl FnOnce(&[Joined]) -> Result<T, String>) -> Result<T, String> {
    let (drafts, marks) = (drafts(chosen, desk)?, chosen.iter().map(Chosen::mark).collect::<Vec<_>>());
    let joined: Vec<Joined> = marks.iter().zip(&drafts).map(|(mark, draft)| Joined { mark, draft }).collect();
    lay(&joined)
}

/// Their first lay.
///
/// # Errors
/// In words why there is none.
pub fn laid(chosen: &[Chosen], facts: &ClothFacts, desk: &Desk) -> Result<Laid, String> {
    joined(chosen, desk, |all| job::joint(all, facts, &desk.settings).map_err(|why| why.to_string()))
}

/// Why a joint lay of this width does not go with the widths that are written, where they are.
#[must_use]
pub fn written_otherwise(chosen: &[Chosen], width: Length, desk: &Desk) -> Option<String> {
    let shown = |width: Length| desk.settings.showing.with_unit(width);
    let other = |one: &Chosen| {
        let own = one.cloth().width.filter(|own| *own != width)?;
        Some(format!("the cloth of {} is written {} wide", one.mark(), shown(own)))
    };
    let others: Vec<String> = chosen.iter().filter_map(other).collect();
    (!others.is_empty()).then(|| format!("it is laid on cloth {} wide, and {}", shown(width), others.join(", ")))
}

/// The joint lay that was accepted, brought back for the garments as they are now; `wish` may ask one way of it.
///
/// # Errors
/// In words why it serves no more.
pub fn brought_back(chosen: &[Chosen], kept: &AcceptedLay, wish: Wish, desk: &Desk) -> Result<Laid, String> {
    if let Some(why) = written_otherwise(chosen, kept.width, desk) {
        return Err(why);
    }
    let facts = common(chosen, Wish { width: Some(kept.width), ..wish });
    joined(chosen, desk, |all| job::accepted_jointly(all, &facts, &desk.settings, kept))
}
