//! A lay as the pages for trying, accepting and printing take it: of one cloth of a garment, or of several
//! garments on one cloth.

use axum::http::StatusCode;

use crate::job::{self, Laid};
use crate::shop::{AcceptedLay, ClothOf, GarmentId, LayId};
use crate::store::{OWNER, Reader};

use super::cloth_fields::Reading;
use super::desk::Desk;
use super::fault::Fault;
use super::fields::Notes;
use super::lay_of::{LayOf, Together};
use super::lay_shown::{KeptLay, LayFacts, LayStanding};
use super::together::{self, Chosen, Wish};
use super::writing;

/// The most garments of one lay. Judgement: a choir; more are laid in two lengths.
const MOST_JOINED: usize = 40;

/// So many garments of a joint lay are named in a heading; of more, their number. Judgement: one line.
const MOST_NAMED: usize = 3;

/// What is laid, with its facts.
pub enum Laying {
    /// One cloth of a garment.
    Garment {
        /// Its facts.
        facts: Box<LayFacts>,
        /// Which of its cloths.
        cloth: ClothOf,
        /// The order's number and the garment's letter.
        mark: String,
        /// What the wearer is called.
        wearer: String,
    },
    /// Several garments on one cloth.
    Joint(Box<JointFacts>),
}

/// The facts of a joint lay.
pub struct JointFacts {
    /// The garments in the order in which they are numbered.
    pub chosen: Vec<Chosen>,
    /// What is asked of their cloth.
    pub wish: Wish,
    /// What is wrong with that.
    pub notes: Notes,
    /// The joint lay that was accepted for these garments and no others, and one that is still in it.
    kept: Option<(GarmentId, KeptLay)>,
}

impl JointFacts {
    /// The facts of what an address asks for.
    ///
    /// # Errors
    /// [`Fault::NotFound`] without such a garment; [`Fault::Refused`] when they are too many.
    pub fn of(book: &Reader, asked: &Together, desk: &Desk) -> Result<JointFacts, Fault> {
        if asked.garments.len() > MOST_JOINED {
            return Err(refused(&format!(
                "{} garments are more than the {MOST_JOINED} of one lay. Lay them in two lengths.",
                asked.garments.len()
            )));
        }
        let chosen = asked.garments.iter().map(|(number, letter)| Chosen::of(book, *number, *letter));
        let mut chosen: Vec<Chosen> = chosen.collect::<Result<_, _>>()?;
        let mut notes = Notes::default();
        let width = Reading { fields: &asked.fields, notes: &mut notes, desk }.width("width", None);
        let ticked = |name: &str| asked.fields.filled(name).is_some();
        let wish = Wish { width, one_way: ticked("one_way"), across: ticked("across") };
        let ids: Vec<GarmentId> = chosen.iter().map(|one| one.facts.garment.id).collect();
        let same = |lay: &AcceptedLay| {
            lay.is_joint() && lay.garments.len() == ids.len() && ids.iter().all(|id| lay.garments.contains(id))
        };
        let mut kept = None;
        for id in &ids {
            kept = kept.or(book.newest_lay(*id, ClothOf::Main)?.filter(same).map(|lay| (*id, lay)));
        }
        let kept = match kept {
            None => None,
            Some((by, lay)) => {
                // They are numbered as they were when it was accepted, in whatever order they are asked for.
                chosen.sort_by_key(|one| lay.garments.iter().position(|id| *id == one.facts.garment.id));
                Some((by, KeptLay::of(book, lay)?))
            }
        };
        Ok(JointFacts { chosen, wish, notes, kept })
    }

    /// The lay that is shown: the accepted one where it serves and no other width is asked for, else the first.
    ///
    /// # Errors
    /// In words why there is none.
    pub fn shown(&self, desk: &Desk) -> Result<(Laid, LayStanding), String> {
        if let Some(wrong) = self.notes.first() {
            return Err(wrong.into());
        }
        let kept = self.kept.as_ref().map(|(_, kept)| kept);
        let standing = match kept.filter(|kept| self.wish.width.is_none_or(|width| width == kept.lay.width)) {
            None => LayStanding::First,
            Some(kept) => match kept.brought_back(self.wish, desk) {
                Ok(laid) => return Ok((laid, LayStanding::Accepted(kept.words(desk)))),
                Err(why) => LayStanding::Outdated(kept.outdated(&why, desk)),
            },
        };
        let laid = together::laid(&self.chosen, &together::common(&self.chosen, self.wish), desk)?;
        Ok((laid, standing))
    }

    /// The joint lay of these garments that was accepted, be it of use still or not.
    #[must_use]
    pub fn kept_lay(&self) -> Option<LayId> {
        self.kept.as_ref().map(|(_, kept)| kept.lay.id)
    }

    /// Why no lay may be chosen for them; nothing when one may.
    #[must_use]
    pub fn closed(&self) -> Option<String> {
        if let Some(wrong) = self.notes.first() {
            return Some(wrong.into());
        }
        if self.chosen.len() < 2 {
            return Some("A joint lay is of two garments at least. Choose them on its page.".into());
        }
        let closed = self.chosen.iter().find(|one| !one.facts.is_open())?;
        Some(format!(
            "{} is cut already, or called off: the lay of these garments is not looked for any more.",
            closed.mark()
        ))
    }
}

impl Laying {
    /// What an address asks for, read from the book.
    ///
    /// # Errors
    /// [`Fault::NotFound`] without such a garment; [`Fault::Refused`] when too many are to be laid together.
    pub fn of(book: &Reader, of: &LayOf, desk: &Desk) -> Result<Laying, Fault> {
        match of {
            LayOf::Garment { number, letter, cloth } => {
                let facts = Box::new(LayFacts::of(book, *number, *letter)?);
                let wearer = book.client(facts.to_lay.garment.facts.wearer)?.called().to_string();
                Ok(Laying::Garment { facts, cloth: *cloth, mark: format!("{number} {letter}"), wearer })
            }
            LayOf::Joint(together) => Ok(Laying::Joint(Box::new(JointFacts::of(book, together, desk)?))),
        }
    }

    /// Why no lay may be chosen any more; nothing when one may.
    #[must_use]
    pub fn closed(&self) -> Option<String> {
        match self {
            Laying::Garment { facts, .. } => (!facts.to_lay.is_open()).then(|| {
                "This garment is cut already, or called off: its lay stays as it is and is not looked for any more."
                    .into()
            }),
            Laying::Joint(joint) => joint.closed(),
        }
    }

    /// The lay that is shown, and how it stands.
    ///
    /// # Errors
    /// In words why there is none.
    pub fn shown(&self, desk: &Desk) -> Result<(Laid, LayStanding), String> {
        match self {
            Laying::Garment { facts, cloth, .. } => facts.shown(*cloth, desk).map(|shown| (shown.laid, shown.standing)),
            Laying::Joint(joint) => joint.shown(desk),
        }
    }

    /// What is kept of a lay, if it serves for the garments as they are now.
    ///
    /// # Errors
    /// [`Fault::Refused`] in words why it does not.
    pub fn to_keep(&self, laid: &Laid, desk: &Desk) -> Result<AcceptedLay, Fault> {
        let kept = job::accepted_lay(&self.garments(), OWNER, desk.now_ms, laid);
        let serves = match self {
            Laying::Garment { facts, cloth, .. } => {
                let draft = facts.to_lay.draft(desk).map_err(|why| refused(&why))?;
                let kind = job::cloth_in(*cloth);
                let own = job::facts_of(&facts.to_lay.garment.facts, kind);
                job::accepted(&draft, kind, &own, &desk.settings, &kept)
            }
            Laying::Joint(joint) => together::brought_back(&joint.chosen, &kept, joint.wish, desk),
        };
        match serves {
            Ok(_) => Ok(kept),
            Err(why) => {
                let why = match self {
                    Laying::Garment { .. } => format!(
                        "The garment was changed since this lay was found, and it does not fit any more: {why}. Nothing \
                         was accepted; open the garment's cloth and lay it again."
                    ),
                    Laying::Joint(_) => format!(
                        "This lay does not go with what is written of its garments: {why}. Nothing was accepted; change \
                         what is written, or lay them again."
                    ),
                };
                Err(Fault::Refused(StatusCode::CONFLICT, writing::true_fractions(&why)))
            }
        }
    }

    /// The garments in the order in which they are numbered.
    #[must_use]
    pub fn garments(&self) -> Vec<GarmentId> {
        match self {
            Laying::Garment { facts, .. } => vec![facts.to_lay.garment.id],
            Laying::Joint(joint) => joint.chosen.iter().map(|one| one.facts.garment.id).collect(),
        }
    }

    /// A garment by which the accepted lay is found; none where none was accepted.
    #[must_use]
    pub fn kept_by(&self) -> Option<GarmentId> {
        match self {
            Laying::Garment { facts, cloth, .. } => facts.has_kept(*cloth).then_some(facts.to_lay.garment.id),
            Laying::Joint(joint) => joint.kept.as_ref().map(|(by, _)| *by),
        }
    }

    /// Which of their cloths.
    #[must_use]
    pub fn cloth(&self) -> ClothOf {
        match self {
            Laying::Garment { cloth, .. } => *cloth,
            Laying::Joint(_) => ClothOf::Main,
        }
    }

    /// What it is called: `2026-0147 B`, `2026-0147 B, lining`, `3 garments`.
    #[must_use]
    pub fn name(&self) -> String {
        match self {
            Laying::Garment { mark, cloth: ClothOf::Main, .. } => mark.clone(),
            Laying::Garment { mark, cloth, .. } => format!("{mark}, {}", cloth.words()),
            Laying::Joint(joint) => writing::count(joint.chosen.len(), "garment", "garments"),
        }
    }

    /// What is made.
    #[must_use]
    pub fn what(&self) -> String {
        match self {
            Laying::Garment { facts, .. } => facts.to_lay.garment.facts.what.clone(),
            Laying::Joint(joint) => {
                let whats: Vec<&str> = joint.chosen.iter().map(Chosen::what).take(MOST_NAMED).collect();
                match joint.chosen.len().saturating_sub(MOST_NAMED) {
                    0 => whats.join(", "),
                    more => format!("{} and {more} more", whats.join(", ")),
                }
            }
        }
    }

    /// For whom, numbered where they are several.
    #[must_use]
    pub fn whose(&self) -> String {
        match self {
            Laying::Garment { wearer, .. } => wearer.clone(),
            Laying::Joint(joint) => {
                if joint.chosen.len() > MOST_NAMED {
                    return format!("Joint lay, {}", self.name());
                }
                let whose: Vec<String> =
                    (1..).zip(&joint.chosen).map(|(place, one)| format!("{place} {}", one.wearer)).collect();
                whose.join(", ")
            }
        }
    }

    /// The order's number and the garment's letter, of several those of all while they are few.
    #[must_use]
    pub fn mark(&self) -> String {
        match self {
            Laying::Garment { .. } => self.name(),
            Laying::Joint(joint) => {
                let marks: Vec<String> = joint.chosen.iter().map(Chosen::mark).collect();
                if marks.len() > MOST_NAMED { format!("{} garments", marks.len()) } else { marks.join(", ") }
            }
        }
    }

    /// The garments as a lay numbers them, each with its mark before the names of its pieces; none of one garment.
    #[must_use]
    pub fn numbered(&self) -> Vec<(String, String)> {
        match self {
            Laying::Garment { .. } => Vec::new(),
            Laying::Joint(joint) => (1..)
                .zip(&joint.chosen)
                .map(|(place, one)| (one.mark(), format!("{place} · {} · {}, {}", one.mark(), one.what(), one.wearer)))
                .collect(),
        }
    }

    /// What the history says of an accepted lay of this length.
    #[must_use]
    pub fn accepted_words(&self, length: &str) -> String {
        match self {
            Laying::Garment { facts, cloth: ClothOf::Main, .. } => {
                format!("{}: accepted a lay of {length}", facts.to_lay.garment.letter)
            }
            Laying::Garment { facts, cloth, .. } => {
                format!("{}: accepted a lay of {length} for its {}", facts.to_lay.garment.letter, cloth.words())
            }
            Laying::Joint(joint) => format!("accepted a joint lay of {length} for {}", marks(joint)),
        }
    }

    /// What the history says when the accepted lay is set aside.
    #[must_use]
    pub fn aside_words(&self) -> String {
        match self {
            Laying::Garment { facts, cloth: ClothOf::Main, .. } => {
                format!("{}: set the accepted lay aside", facts.to_lay.garment.letter)
            }
            Laying::Garment { facts, cloth, .. } => {
                format!("{}: set the accepted lay of its {} aside", facts.to_lay.garment.letter, cloth.words())
            }
            Laying::Joint(joint) => format!("set the joint lay of {} aside", marks(joint)),
        }
    }
}

/// All of the garments by their marks.
fn marks(joint: &JointFacts) -> String {
    let marks: Vec<String> = joint.chosen.iter().map(Chosen::mark).collect();
    marks.join(", ")
}

/// A refusal in words.
#[must_use]
pub fn refused(words: &str) -> Fault {
    Fault::Refused(StatusCode::UNPROCESSABLE_ENTITY, writing::true_fractions(words))
}
