//! Where the cloth of a joint lay comes from: the shop's shelf, what clients bring, what is to be bought.

use std::collections::BTreeSet;

use crate::measure::Length;
use crate::shop::{Cloth, ClothLength, ClothOf, GarmentId, Held, LayId, Stage};
use crate::store::Reader;

use super::cloths::measured;
use super::desk::Desk;
use super::fault::Fault;
use super::from_shelf::{length_words, most_free, shortest};
use super::together::Chosen;
use super::writing;

/// What the book says of it.
pub struct JointCloth {
    /// The one cloth of the shop that all are cut from, with its lengths, the longest first.
    shelf: Option<(Cloth, Vec<ClothLength>)>,
    /// Whether some are cut from the shelf and not all from the same cloth of it.
    is_mixed: bool,
    /// What is held for the garments, each lay once.
    held: Vec<(Held, ClothLength)>,
    /// The lay that was accepted for all of them.
    kept: Option<LayId>,
    /// What went from the shelf by it.
    taken: Vec<(String, Length)>,
    /// The garments that were cut by it and sent back.
    sent_back: Vec<GarmentId>,
    /// Whose cloth each garment is cut from, in the order of the garments.
    sources: Vec<Source>,
}

/// Where one garment's cloth comes from.
struct Source {
    mark: String,
    owner: Owner,
    /// What the page says beside the garment; nothing where there is nothing to say.
    words: String,
    /// Why it cannot be cut yet.
    not_come: Option<String>,
}

#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Owner {
    /// The shop: from its shelf, or bought for the garment.
    Shop,
    /// A client who brings it.
    Client(String),
}

/// What the page says.
#[derive(Default)]
pub struct JointSupply {
    /// Whether a length is held for all of them, or suffices, or was cut: nothing is to be bought.
    pub is_there: bool,
    /// Whether a client brings all of it.
    pub is_brought: bool,
    /// What is held, for whom, and what is to be bought.
    pub said: Vec<String>,
    /// What keeps the lay from being cut, or speaks against it.
    pub warned: Vec<String>,
    /// What is said of each garment's cloth, in their order.
    pub of_each: Vec<String>,
    /// The garments that were cut by it and sent back.
    pub sent_back: Vec<String>,
    /// Where the shop's cloth has its page, and what it is called.
    pub shelf: Option<(String, String)>,
}

impl JointCloth {
    /// What the book says of the cloth of these garments, and of the joint lay that was accepted for them.
    ///
    /// # Errors
    /// A [`Fault`] when the book cannot be read.
    pub fn of(book: &Reader, chosen: &[Chosen], kept: Option<LayId>, desk: &Desk) -> Result<JointCloth, Fault> {
        let stocks: BTreeSet<_> = chosen.iter().map(|one| one.cloth().stock).collect();
        let common = stocks.first().copied().flatten().filter(|_| stocks.len() == 1);
        let shelf = match common {
            None => None,
            Some(stock) => Some((book.cloth(stock)?, book.cloth_lengths(stock, false)?)),
        };
        let mut held: Vec<(Held, ClothLength)> = Vec::new();
        for one in chosen {
            if let Some(found) = book.held_for(one.facts.garment.id, ClothOf::Main)?
                && held.iter().all(|(known, _)| known.lay != found.lay)
            {
                let on = book.cloth_length(found.on)?;
                held.push((found, on));
            }
        }
        let mut taken = Vec::new();
        for (length, much) in kept.map(|lay| book.taken_by(lay)).transpose()?.unwrap_or_default() {
            taken.push((book.cloth(book.cloth_length(length)?.cloth)?.facts.name, much));
        }
        let sources = chosen.iter().map(|one| Source::of(book, one, desk)).collect::<Result<_, Fault>>()?;
        Ok(JointCloth {
            shelf,
            is_mixed: common.is_none() && stocks.iter().any(Option::is_some),
            held,
            kept,
            taken,
            sent_back: kept.map(|lay| book.sent_back_from(lay)).transpose()?.unwrap_or_default(),
            sources,
        })
    }

    /// What the page says of it, for a lay that needs so much; `accepted` when the accepted one is shown.
    #[must_use]
    pub fn supply(&self, chosen: &[Chosen], need: Length, buy: &str, accepted: bool, desk: &Desk) -> JointSupply {
        let mut supply = JointSupply {
            is_brought: self.sources.iter().all(|source| source.owner != Owner::Shop),
            of_each: self.sources.iter().map(|source| source.words.clone()).collect(),
            shelf: self.shelf.as_ref().map(|(cloth, _)| (format!("/cloth/{}", cloth.id), cloth.facts.name.clone())),
            ..JointSupply::default()
        };
        if accepted && !self.taken.is_empty() {
            self.say_taken(&mut supply, chosen, desk);
            return supply;
        }
        self.say_shelf(&mut supply, need, buy, accepted, desk);
        supply.warned.extend(self.owners());
        let not_come: Vec<&str> = self.sources.iter().filter_map(|source| source.not_come.as_deref()).collect();
        if !not_come.is_empty() {
            supply.warned.push(format!("What has not come cannot be cut: {}.", not_come.join("; ")));
        }
        supply
    }

    fn say_taken(&self, supply: &mut JointSupply, chosen: &[Chosen], desk: &Desk) {
        supply.is_there = true;
        let taken: Vec<String> =
            self.taken.iter().map(|(name, much)| format!("{} of {name}", measured(*much, desk))).collect();
        supply.said.push(format!("It is cut: {} went from the shelf for all of its garments.", taken.join(" and ")));
        for one in chosen.iter().filter(|one| self.sent_back.contains(&one.facts.garment.id)) {
            supply.sent_back.push(one.mark());
            supply.warned.push(format!(
                "{} was cut from it and sent back: its part of the cloth is not there any more. Lay it by itself, or \
                 with others.",
                one.mark()
            ));
        }
    }

    fn say_shelf(&self, supply: &mut JointSupply, need: Length, buy: &str, accepted: bool, desk: &Desk) {
        let set = |length| measured(length, desk);
        let kept = self.held.iter().find(|(held, _)| accepted && Some(held.lay) == self.kept);
        let lays: Vec<LayId> = self.held.iter().map(|(held, _)| held.lay).collect();
        match (&self.shelf, kept) {
            (Some((cloth, _)), Some((held, on))) => {
                let (much, name, on) = (set(held.length), &cloth.facts.name, length_words(on, desk));
                supply.is_there = held.length >= need;
                supply.said.push(format!("{much} of {name} are held for all of them, on {on}."));
            }
            (Some((cloth, lengths)), _) => {
                let (name, needs) = (&cloth.facts.name, set(need));
                let found = shortest(lengths, need, &lays);
                supply.is_there = found.is_some();
                supply.said.push(match found {
                    Some(on) if accepted => format!(
                        "Nothing is held for it yet: it needs {needs} of {name}, and {} suffices. Hold it there, on the \
                         page of the cloth.",
                        length_words(on, desk)
                    ),
                    Some(on) => format!(
                        "It needs {needs} of {name}, and {} suffices: once accepted, it is held there.",
                        length_words(on, desk)
                    ),
                    None => format!(
                        "Nothing is held for it: it needs one length of {needs} of {name}, and {}. Buy {buy} in one length.",
                        most_free(lengths, &lays, desk)
                    ),
                });
            }
            (None, _) if self.is_mixed => supply.said.push(
                "Nothing is held on the shelf for it: its garments are not all cut from the same cloth of the shop."
                    .into(),
            ),
            (None, _) => {}
        }
        for (held, on) in self.held.iter().filter(|(held, _)| kept.is_none() && Some(held.lay) != self.kept) {
            let whose = format!("{} {}", held.number, held.letter);
            let (much, on) = (set(held.length), length_words(on, desk));
            supply.said.push(match held.garments {
                0 | 1 => format!(
                    "For {whose} by itself {much} are held, on {on}; that stays so until a length is held for all of them."
                ),
                many => format!(
                    "For {whose} and {} in another joint lay {much} are held, on {on}.",
                    writing::count(usize::try_from(many - 1).unwrap_or(usize::MAX), "other", "others")
                ),
            });
        }
    }

    /// That one length is no cloth of two owners.
    fn owners(&self) -> Option<String> {
        let mut owners: Vec<(&Owner, Vec<&str>)> = Vec::new();
        for source in &self.sources {
            match owners.iter_mut().find(|(owner, _)| **owner == source.owner) {
                Some((_, marks)) => marks.push(&source.mark),
                None => owners.push((&source.owner, vec![&source.mark])),
            }
        }
        let each: Vec<String> = owners
            .iter()
            .map(|(owner, marks)| {
                let marks = marks.join(", ");
                match owner {
                    Owner::Shop => format!("{marks} from the shop’s cloth"),
                    Owner::Client(name) => format!("{marks} from what {name} brings"),
                }
            })
            .collect();
        (each.len() > 1).then(|| {
            format!(
                "One length cannot be cut from the cloth of two owners: {}. Lay them together only where it is one \
                 length, bought or brought for all of them.",
                each.join("; ")
            )
        })
    }
}

impl Source {
    fn of(book: &Reader, one: &Chosen, desk: &Desk) -> Result<Source, Fault> {
        let (cloth, stage) = (one.cloth(), one.facts.garment.stage);
        let lengths: Vec<String> = cloth.all_lengths().map(|length| measured(length, desk)).collect();
        let have = lengths.join(" and ");
        let mut parts: Vec<String> = Vec::new();
        let owner = match cloth.stock {
            Some(stock) => {
                parts.push(format!("from the shelf: {}", book.cloth(stock)?.facts.name));
                Owner::Shop
            }
            None if cloth.brought => {
                parts.push(format!("{} brings the cloth", one.client));
                Owner::Client(one.client.clone())
            }
            None => Owner::Shop,
        };
        let mut not_come = None;
        if stage >= Stage::Cut {
            parts.push("cut".into());
        } else if cloth.stock.is_none() {
            // What is marked as in, or was measured without a day on which it comes, is here.
            if stage < Stage::ClothIn {
                not_come = match cloth.comes {
                    Some(day) => Some(format!("the cloth of {} comes {}", one.mark(), desk.day(day))),
                    None if cloth.brought && have.is_empty() => {
                        Some(format!("the cloth of {} was not brought yet, or not measured", one.mark()))
                    }
                    None => None,
                };
            }
            match (have.is_empty(), stage >= Stage::ClothIn) {
                (false, _) => parts.push(format!("{have} measured")),
                (true, true) => parts.push("it is in".into()),
                (true, false) => {}
            }
            if let Some(day) = cloth.comes.filter(|_| stage < Stage::ClothIn) {
                parts.push(format!("comes {}", desk.day(day)));
            }
        }
        Ok(Source { mark: one.mark(), owner, words: parts.join(", "), not_come })
    }
}
