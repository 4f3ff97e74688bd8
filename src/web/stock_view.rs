//! One cloth of the shop, ready to show: its lengths, what is cut from it, what came and went.

use std::collections::BTreeMap;

use crate::measure::Length;
use crate::shop::{Cloth, ClothLength, ClothLengthId, ClothMove, ClothOf, Garment, LayId, OrderNumber};
use crate::store::Reader;

use super::cloth_fields::{self, shown_percent};
use super::cloths::{marks, measured, price};
use super::desk::Desk;
use super::fault::Fault;
use super::fields::{Field, Fields, Notes};
use super::lay_of::LayOf;
use super::writing;

/// The most moves that the page tells.
const MOST_MOVES: u32 = 100;

/// A form of the page that came back: which one, what was typed, what is wrong.
pub struct Returned {
    /// The length it is about; `None` for one that comes in.
    pub length: Option<ClothLengthId>,
    /// What was typed.
    pub fields: Fields,
    /// What is wrong.
    pub notes: Notes,
}

/// One length, with its forms.
pub struct LengthView {
    /// Its id.
    pub id: i64,
    /// Counts the edits that the page saw.
    pub version: i64,
    /// By what it is told from the others: `Length 2`; empty when there was only ever one.
    pub name: String,
    /// How long it is.
    pub there: String,
    /// What of it is free, where some is held.
    pub free: String,
    /// Since when it is there, whether it was washed, where it lies, its flaws.
    pub words: String,
    /// For whom it is held: address and words.
    pub held: Vec<(String, String)>,
    /// Said when more is held than is there.
    pub over: Option<String>,
    /// How long it is now.
    pub now: Field,
    /// How much goes.
    pub much: Field,
    /// To whom, or why.
    pub why: Field,
    /// The garment for which it is cut.
    pub garment: Field,
    /// Whether it was washed.
    pub washed: Field,
    /// Its flaws.
    pub flaws: Field,
    /// Where it lies.
    pub place: Field,
    /// How many of its fields need another look.
    pub wrongs: usize,
}

/// The form of a length that comes in.
pub struct Came {
    /// How long it is.
    pub long: Field,
    /// The day.
    pub day: Field,
    /// Whether it was washed.
    pub washed: Field,
    /// Its flaws.
    pub flaws: Field,
    /// Where it lies.
    pub place: Field,
    /// The garment of which it is left.
    pub left_of: Field,
    /// How many fields need another look.
    pub wrongs: usize,
}

/// A garment that is to be cut from this cloth.
pub struct CutFrom {
    /// Where its page is.
    pub address: String,
    /// Where it is held on another length.
    pub holding: String,
    /// The key of which of its cloths it is.
    pub of: &'static str,
    /// Number, letter and what it is.
    pub words: String,
    /// What its accepted lay needs, or that none was accepted.
    pub need: String,
    /// What is held for it by itself, beside the joint lay that has no length yet.
    pub by_itself: Option<String>,
    /// The lengths that it may be held on: id, words, whether it is held there.
    pub lengths: Vec<(String, String, bool)>,
}

/// What is written of a cloth.
#[must_use]
pub fn facts(cloth: &Cloth, desk: &Desk) -> Vec<(&'static str, String)> {
    let facts = &cloth.facts;
    let shrinks = match (shown_percent(facts.shrink_along), shown_percent(facts.shrink_across)) {
        (along, across) if along.is_empty() && across.is_empty() => String::new(),
        (along, across) => {
            let usual = "the shop’s usual".to_string();
            let said = |figure: String| if figure.is_empty() { usual.clone() } else { format!("{figure} %") };
            format!("{} along, {} across", said(along), said(across))
        }
    };
    let rows = [
        ("Cloth", marks(cloth, desk).join(", ")),
        ("About it", facts.words.clone()),
        ("Shrinks", shrinks),
        ("Sides", if facts.turns_over { "both alike".into() } else { String::new() }),
        ("Price", price(cloth, desk)),
        ("From whom", facts.from_whom.clone()),
    ];
    rows.into_iter().filter(|(_, words)| !words.is_empty()).collect()
}

/// The name of a length's field: `now.12`.
#[must_use]
pub fn field_name(of: &str, length: ClothLengthId) -> String {
    format!("{of}.{length}")
}

impl LengthView {
    /// A length with its forms, one of which may have come back.
    #[must_use]
    pub fn of(length: &ClothLength, numbers: &Numbers, sent: Option<&Returned>, desk: &Desk) -> LengthView {
        let sent = sent.filter(|sent| sent.length == Some(length.id));
        let field = |of: &str, kept: &str| {
            let name = field_name(of, length.id);
            match sent {
                Some(sent) if sent.fields.has(&name) => Field::sent(&name, &sent.fields, &sent.notes),
                _ => Field { name, value: kept.into(), note: None },
            }
        };
        let facts = &length.facts;
        let mut words = vec![format!("since {}", desk.day(facts.day))];
        words.extend(facts.washed.map(|washed| if washed { "washed" } else { "not washed yet" }.to_string()));
        words.extend(Some(facts.place.clone()).filter(|place| !place.is_empty()));
        words.extend(Some(&facts.flaws).filter(|flaws| !flaws.is_empty()).map(|flaws| format!("flaws: {flaws}")));
        let over = length.over_held();
        LengthView {
            id: length.id.get(),
            version: length.version,
            name: place_of(numbers, length.id).map(|place| format!("Length {place}")).unwrap_or_default(),
            there: measured(length.there, desk),
            free: if length.held.is_empty() {
                String::new()
            } else {
                format!("{} free", measured(length.free(), desk))
            },
            words: words.join(", "),
            held: length
                .held
                .iter()
                .map(|held| {
                    let kind =
                        if held.cloth == ClothOf::Main { String::new() } else { format!(", {}", held.cloth.words()) };
                    let others = match held.garments {
                        0 | 1 => String::new(),
                        many => format!(" and {} more", many - 1),
                    };
                    let words = format!(
                        "{} {} {}{kind}{others}: {}",
                        held.number,
                        held.letter,
                        held.what,
                        measured(held.length, desk)
                    );
                    (format!("/orders/{}#{}", held.number, held.letter), words)
                })
                .collect(),
            over: (over > Length::ZERO).then(|| {
                format!(
                    "More is held than lies there, by {}. Hold some on another length, or buy.",
                    measured(over, desk)
                )
            }),
            now: field("now", ""),
            much: field("much", ""),
            why: field("why", ""),
            garment: field("garment", ""),
            washed: field("washed", cloth_fields::washed_key(facts.washed)),
            flaws: field("flaws", &facts.flaws),
            place: field("place", &facts.place),
            wrongs: sent.map_or(0, |sent| sent.notes.count()),
        }
    }

    /// Whether it was washed.
    #[must_use]
    pub fn washings(&self) -> Vec<(String, String)> {
        cloth_fields::washings()
    }
}

impl Came {
    /// The form, which may have come back.
    #[must_use]
    pub fn of(sent: Option<&Returned>, desk: &Desk) -> Came {
        let sent = sent.filter(|sent| sent.length.is_none());
        let field = |name: &str, kept: String| match sent {
            Some(sent) => Field::sent(name, &sent.fields, &sent.notes),
            None => Field { name: name.into(), value: kept, note: None },
        };
        Came {
            long: field("long", String::new()),
            day: field("day", desk.today.to_string()),
            washed: field("washed", String::new()),
            flaws: field("flaws", String::new()),
            place: field("place", String::new()),
            left_of: field("left_of", String::new()),
            wrongs: sent.map_or(0, |sent| sent.notes.count()),
        }
    }

    /// Whether it was washed.
    #[must_use]
    pub fn washings(&self) -> Vec<(String, String)> {
        cloth_fields::washings()
    }
}

/// The garments that are to be cut from a cloth, each with the lengths that suffice for it.
///
/// # Errors
/// A [`Fault`] when the book cannot be read.
pub fn cut_from(
    book: &Reader,
    garments: &[(OrderNumber, Garment, ClothOf)],
    lengths: &[ClothLength],
    numbers: &Numbers,
    desk: &Desk,
) -> Result<Vec<CutFrom>, Fault> {
    garments.iter().map(|one| CutFrom::of(book, one, lengths, numbers, desk)).collect()
}

impl CutFrom {
    fn of(
        book: &Reader,
        (number, garment, cloth): &(OrderNumber, Garment, ClothOf),
        lengths: &[ClothLength],
        numbers: &Numbers,
        desk: &Desk,
    ) -> Result<CutFrom, Fault> {
        let lay = book.newest_lay(garment.id, *cloth)?;
        // A joint lay is held by the first of its garments, for all of them.
        let first = lay.as_ref().and_then(|lay| lay.garments.first()).is_none_or(|first| *first == garment.id);
        let with = match &lay {
            Some(lay) if lay.is_joint() => {
                let names = book.laid_together(lay.id)?;
                let lead = names.first().map(|(number, letter)| format!("{number} {letter}")).unwrap_or_default();
                Some((writing::count(lay.garments.len() - 1, "other", "others"), lead))
            }
            _ => None,
        };
        // What its garments hold by themselves is not held for a joint lay, and goes once a length is held for that.
        let mut held = Vec::new();
        for one in lay.as_ref().map_or(&[garment.id][..], |lay| &lay.garments) {
            held.extend(book.held_for(*one, *cloth)?);
        }
        let lays: Vec<LayId> = held.iter().map(|held| held.lay).collect();
        let own = held.iter().find(|held| with.is_some() && held.garments == 1 && held.garment == garment.id);
        let on = |length: &ClothLength| {
            own.is_none() && length.held.iter().any(|held| held.garment == garment.id && held.cloth == *cloth)
        };
        let need = lay.as_ref().and_then(|lay| lay.need);
        let suffices = |length: &ClothLength| on(length) || need.is_some_and(|need| length.free_for(&lays) >= need);
        let offered = lengths.iter().filter(|length| first && suffices(length)).map(|length| {
            let words = match place_of(numbers, length.id) {
                Some(place) => format!("length {place}, {}", measured(length.there, desk)),
                None => format!("the length of {}", measured(length.there, desk)),
            };
            (length.id.to_string(), words, on(length))
        });
        let of = LayOf::Garment { number: *number, letter: garment.letter, cloth: *cloth };
        let kind = if *cloth == ClothOf::Main { String::new() } else { format!(", {}", cloth.words()) };
        Ok(CutFrom {
            address: of.page(),
            holding: format!("/orders/{number}/{}/held", garment.letter),
            of: cloth.key(),
            words: format!("{number} {} {}{kind}", garment.letter, garment.facts.what),
            need: match (need, with) {
                (None, _) => "no lay accepted yet".into(),
                (Some(need), None) => format!("needs {}", measured(need, desk)),
                (Some(need), Some((others, _))) if first => {
                    format!("needs {}, in one lay with {others}", measured(need, desk))
                }
                (Some(_), Some((_, lead))) => format!("in one lay with {lead}"),
            },
            by_itself: own.map(|held| {
                format!("{} are held for it by itself, until a length is held for all.", measured(held.length, desk))
            }),
            lengths: offered.collect(),
        })
    }
}

/// The place of each length of a cloth, from 1, in the order in which they came.
pub type Numbers = BTreeMap<ClothLengthId, usize>;

/// The places of all lengths that a cloth ever had.
#[must_use]
pub fn numbers(lengths: &[ClothLength]) -> Numbers {
    let mut ids: Vec<ClothLengthId> = lengths.iter().map(|length| length.id).collect();
    ids.sort_unstable();
    ids.into_iter().zip(1..).collect()
}

/// The place of a length, where there is more than one.
fn place_of(numbers: &Numbers, length: ClothLengthId) -> Option<usize> {
    numbers.get(&length).copied().filter(|_| numbers.len() > 1)
}

/// What came and went, in words, newest first.
///
/// # Errors
/// A [`Fault`] when the book cannot be read.
pub fn moves(book: &Reader, cloth: &Cloth, numbers: &Numbers, desk: &Desk) -> Result<Vec<(String, String)>, Fault> {
    let moves = book.cloth_moves(cloth.id, MOST_MOVES)?;
    let told = |step: &ClothMove| {
        let came = step.change > Length::ZERO;
        let sign = if came { "+" } else { "−" };
        let way = if came { "of" } else { "for" };
        let garment = step.garment.map(|(number, letter)| format!(" {way} {number} {letter}")).unwrap_or_default();
        let which = place_of(numbers, step.length).map(|place| format!(" (length {place})")).unwrap_or_default();
        let words = if step.words.is_empty() { String::new() } else { format!(": {}", step.words) };
        format!("{sign}{} {}{garment}{which}{words}", measured(step.change.abs(), desk), step.kind.words())
    };
    Ok(moves.iter().map(|step| (desk.day(step.day), told(step))).collect())
}
