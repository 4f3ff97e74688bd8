//! Which lay of a garment its pages and papers show: the accepted one as long as it serves,
//! else the first that the search finds.

use std::cell::RefCell;
use std::collections::BTreeMap;

use crate::draft::Draft;
use crate::job::{self, Laid};
use crate::lay::LayError;
use crate::shop::{AcceptedLay, ClothOf, Garment, GarmentId, LayId, Letter, OrderNumber, Stage};
use crate::store::Reader;

use super::desk::Desk;
use super::fault::Fault;
use super::to_lay::ToLay;
use super::together::{self, Chosen, Wish};
use super::writing;

/// A lay that was accepted, with all that says how it stands.
pub struct KeptLay {
    /// The lay.
    pub lay: AcceptedLay,
    /// Who accepted it, as the workroom says it.
    who: String,
    /// The garments of a joint lay; none of one garment's own.
    chosen: Vec<Chosen>,
    /// The garment that has left a joint lay.
    left: Option<String>,
    /// The garment of a joint lay that is cut without cloth for the others.
    cut_alone: Option<String>,
    /// The garments of a joint lay that were cut by it and sent back.
    sent_back: Vec<GarmentId>,
}

/// How the lay that is shown stands to the one that was accepted.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum LayStanding {
    /// None was accepted: the first lay is shown.
    First,
    /// The accepted one is shown: who accepted it, and when.
    Accepted(String),
    /// The accepted one serves no more, in words; the first lay is shown.
    Outdated(String),
    /// It is cut in one lay with other garments: that in words, and where that lay is. What is shown is
    /// the first lay of the garment by itself.
    Joint(String, String),
}

/// Joint lays that were looked over for one page: whether each serves, and if not, why. Each of its garments
/// would draft all of them again.
pub type LookedOver = RefCell<BTreeMap<LayId, Result<(), String>>>;

impl KeptLay {
    /// An accepted lay with the facts of its garments.
    ///
    /// # Errors
    /// A [`Fault`] when the book cannot be read.
    pub fn of(book: &Reader, lay: AcceptedLay) -> Result<KeptLay, Fault> {
        let person = book.person(lay.who)?;
        // An owner who was not named yet is called so by the book itself.
        let who = if person.name == "Owner" { "the owner".into() } else { person.name };
        let (mut chosen, mut left, mut cut_alone, mut sent_back) = (Vec::new(), None, None, Vec::new());
        if lay.is_joint() {
            left = book.left_lay(lay.id)?.map(|(number, letter)| format!("{number} {letter}"));
            cut_alone = book.cut_without_others(lay.id)?.map(|(number, letter)| format!("{number} {letter}"));
            sent_back = book.sent_back_from(lay.id)?;
            let garments = book.laid_together(lay.id)?;
            chosen = garments.iter().map(|(n, l)| Chosen::of(book, *n, *l)).collect::<Result<_, _>>()?;
        }
        Ok(KeptLay { lay, who, chosen, left, cut_alone, sent_back })
    }

    /// The lays that were accepted last for a garment.
    ///
    /// # Errors
    /// A [`Fault`] when the book cannot be read.
    pub fn all(
        book: &Reader,
        lays: impl IntoIterator<Item = (ClothOf, AcceptedLay)>,
    ) -> Result<BTreeMap<ClothOf, KeptLay>, Fault> {
        lays.into_iter().map(|(cloth, lay)| Ok((cloth, KeptLay::of(book, lay)?))).collect()
    }

    /// Who accepted it, and when.
    #[must_use]
    pub fn words(&self, desk: &Desk) -> String {
        format!("Accepted by {}, {}", self.who, desk.moment(self.lay.at_ms))
    }

    /// Why it is not shown.
    #[must_use]
    pub fn outdated(&self, why: &str, desk: &Desk) -> String {
        format!(
            "The {}lay that {} accepted ({}) does not fit any more: {}. This is the first lay of what is drafted now.",
            if self.lay.is_joint() { "joint " } else { "" },
            self.who,
            desk.moment(self.lay.at_ms),
            writing::true_fractions(why)
        )
    }

    /// A joint lay brought back for its garments as they are now; `wish` may ask one way of it.
    ///
    /// # Errors
    /// In words why it serves no more.
    pub fn brought_back(&self, wish: Wish, desk: &Desk) -> Result<Laid, String> {
        if let Some(left) = &self.left {
            return Err(format!("{left} was laid otherwise since, or called off"));
        }
        together::brought_back(&self.chosen, &self.lay, wish, desk)
    }

    /// Where a joint lay has its page.
    #[must_use]
    pub fn address(&self) -> String {
        let garments: Vec<String> = self.chosen.iter().map(|one| format!("{}/{}", one.number, one.letter)).collect();
        let pairs: Vec<(&str, &str)> = garments.iter().map(|garment| ("g", garment.as_str())).collect();
        format!("/cloth/joint?{}", writing::query(&pairs))
    }

    /// How a joint lay stands, for one of its garments.
    fn jointly(&self, own: &Garment, looked_over: &LookedOver, desk: &Desk) -> LayStanding {
        // What is cut shows the lay that it was accepted in.
        if let Some(cut) = self.cut_alone.as_ref().filter(|_| own.stage < Stage::Cut) {
            return LayStanding::Outdated(format!(
                "{cut} is cut already, and nothing was taken from the shelf for the others; the joint lay that {} \
                 accepted ({}) does not serve any more. This is the first lay of what is drafted now.",
                self.who,
                desk.moment(self.lay.at_ms)
            ));
        }
        if self.sent_back.contains(&own.id) {
            return LayStanding::Outdated(format!(
                "It was cut by the joint lay that {} accepted ({}) and sent back; its part of that cloth is not there any \
                 more. This is the first lay of what is drafted now, by itself.",
                self.who,
                desk.moment(self.lay.at_ms)
            ));
        }
        let known = looked_over.borrow().get(&self.lay.id).cloned();
        let serves = known.unwrap_or_else(|| self.brought_back(Wish::default(), desk).map(drop));
        looked_over.borrow_mut().insert(self.lay.id, serves.clone());
        if let Err(why) = serves {
            return LayStanding::Outdated(self.outdated(&why, desk));
        }
        let others: Vec<String> =
            self.chosen.iter().filter(|one| one.facts.garment.id != own.id).map(Chosen::mark).collect();
        let others = match others.as_slice() {
            [rest @ .., last] if !rest.is_empty() && rest.len() < 3 => format!("{} and {last}", rest.join(", ")),
            [one] => one.clone(),
            many => writing::count(many.len(), "other garment", "other garments"),
        };
        let words = format!("Cut in one lay with {others}. {}", self.words(desk));
        LayStanding::Joint(words, self.address())
    }
}

/// All that the lays of a garment are made from, and those that were accepted.
pub struct LayFacts {
    /// The garment.
    pub to_lay: ToLay,
    kept: BTreeMap<ClothOf, KeptLay>,
}

/// A lay that is shown.
pub struct Shown {
    /// What was drafted.
    pub draft: Draft,
    /// The cloth, laid.
    pub laid: Laid,
    /// Whether that was accepted.
    pub standing: LayStanding,
}

impl LayFacts {
    /// The facts of one garment.
    ///
    /// # Errors
    /// [`Fault::NotFound`] without such a garment.
    pub fn of(book: &Reader, number: OrderNumber, letter: Letter) -> Result<LayFacts, Fault> {
        let to_lay = ToLay::of(book, number, letter)?;
        let kept = KeptLay::all(book, book.newest_lays(to_lay.garment.id)?)?;
        Ok(LayFacts { to_lay, kept })
    }

    /// Whether a lay of this cloth was accepted, be it of use still or not.
    #[must_use]
    pub fn has_kept(&self, cloth: ClothOf) -> bool {
        self.kept.contains_key(&cloth)
    }

    /// The garment drafted, and one of its cloths laid.
    ///
    /// # Errors
    /// In words why there is no lay.
    pub fn shown(&self, cloth: ClothOf, desk: &Desk) -> Result<Shown, String> {
        let draft = self.to_lay.draft(desk)?;
        let laid = laid(&draft, &self.to_lay.garment, cloth, &self.kept, desk);
        let (laid, standing) = laid.map_err(|why| why.to_string())?;
        Ok(Shown { draft, laid, standing })
    }
}

/// One cloth of a draft with the lay that is shown.
///
/// # Errors
/// [`LayError`] naming the piece, strip or cloth at fault and the remedy.
pub fn laid(
    draft: &Draft,
    garment: &Garment,
    cloth: ClothOf,
    kept: &BTreeMap<ClothOf, KeptLay>,
    desk: &Desk,
) -> Result<(Laid, LayStanding), LayError> {
    let kind = job::cloth_in(cloth);
    let facts = job::facts_of(&garment.facts, kind);
    let standing = match kept.get(&cloth) {
        None => LayStanding::First,
        Some(kept) if kept.lay.is_joint() => kept.jointly(garment, &LookedOver::default(), desk),
        Some(kept) => match job::accepted(draft, kind, &facts, &desk.settings, &kept.lay) {
            Ok(laid) => return Ok((laid, LayStanding::Accepted(kept.words(desk)))),
            Err(why) => LayStanding::Outdated(kept.outdated(&why, desk)),
        },
    };
    let laid = job::laid(draft, kind, &facts, &desk.settings)?;
    Ok((laid, standing))
}

/// How an accepted lay stands, without laying anything anew.
#[must_use]
pub fn standing(
    draft: &Draft,
    garment: &Garment,
    kept: &KeptLay,
    looked_over: &LookedOver,
    desk: &Desk,
) -> LayStanding {
    if kept.lay.is_joint() {
        return kept.jointly(garment, looked_over, desk);
    }
    let kind = job::cloth_in(kept.lay.cloth);
    match job::accepted(draft, kind, &job::facts_of(&garment.facts, kind), &desk.settings, &kept.lay) {
        Ok(_) => LayStanding::Accepted(kept.words(desk)),
        Err(why) => LayStanding::Outdated(kept.outdated(&why, desk)),
    }
}
