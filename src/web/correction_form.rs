//! Noting corrections: a few lines, each saying where, which way, how much and on which side.

use chrono::NaiveDate;

use crate::measure::{BodySide, DimensionClass, Length, dimensions};
use crate::shop::{ClientId, CorrectionFacts, FittingId, GarmentId, OwnDimension, OwnDimensionKind};

use super::desk::Desk;
use super::fields::{Field, Fields, Notes};
use super::length_entry::{self, LengthEntry};

/// Lines of the form: more than are pinned at one fitting (judgement).
const LINES: usize = 6;

/// One line of the form, ready to show.
pub struct Line {
    /// First, second, …
    pub number: usize,
    /// Whether it is shown at once: the first one, and those with something in them.
    pub open: bool,
    /// Where it is off: a body dimension.
    pub place: Field,
    /// `out` or `in`.
    pub way: Field,
    /// How much.
    pub much: LengthEntry,
    /// `both`, `left`, `right`.
    pub side: Field,
    /// Anything else.
    pub words: Field,
}

/// Places to choose from: what the garment's style reads, then the others.
pub struct Places {
    /// Key and words of those that the garment's style reads.
    pub read: Vec<(String, String)>,
    /// The others.
    pub others: Vec<(String, String)>,
}

/// Every dimension of a body that may be corrected, those of `first` apart.
#[must_use]
pub fn places(first: &[String], own: &[OwnDimension]) -> Places {
    let ours = own.iter().filter(|one| !one.retired && one.kind != OwnDimensionKind::Finished);
    let all = dimensions()
        .iter()
        .filter(|row| row.class != DimensionClass::Finished)
        .map(|row| (row.key.to_string(), row.term.to_string()))
        .chain(ours.map(|one| (one.key.clone(), one.term.clone())));
    let (read, others) = all.partition(|(key, _)| first.contains(key));
    Places { read, others }
}

/// The lines as sent.
#[must_use]
pub fn lines(fields: &Fields, notes: &Notes, desk: &Desk) -> Vec<Line> {
    let field = |name: String| Field::sent(&name, fields, notes);
    let lines = (1..=LINES).map(|number| {
        let side = field(format!("side.{number}"));
        let much = LengthEntry::new(&much(number), "How much", "", desk.showing());
        let is_noted = ["where", "way", "much", "side", "words"]
            .iter()
            .any(|name| notes.at(&format!("{name}.{number}")).is_some());
        Line {
            number,
            open: number == 1 || is_noted || is_filled(fields, number),
            place: field(format!("where.{number}")),
            way: field(format!("way.{number}")),
            much: much.sent(fields, notes, desk.showing()),
            side: if side.value.is_empty() { Field { value: "both".into(), ..side } } else { side },
            words: field(format!("words.{number}")),
        }
    });
    lines.collect()
}

/// Reads the lines that something was written in; at least one.
///
/// # Errors
/// A note for each field that needs another text; nothing is kept then.
pub fn read(
    fields: &Fields,
    wearer: ClientId,
    on: (Option<GarmentId>, Option<FittingId>),
    places: &Places,
    desk: &Desk,
) -> Result<Vec<CorrectionFacts>, Notes> {
    let mut notes = Notes::default();
    let day = day(fields, desk.today, &mut notes);
    let mut found = Vec::new();
    for number in (1..=LINES).filter(|number| is_filled(fields, *number)) {
        let dimension = place(fields, number, places, &mut notes);
        let amount = amount(fields, number, desk, &mut notes);
        let side = match fields.text(&format!("side.{number}")) {
            "" | "both" => None,
            key => {
                let side = BodySide::from_key(key);
                if side.is_none() {
                    notes.add(&format!("side.{number}"), "Choose both sides, the left or the right.");
                }
                side
            }
        };
        let words = notes.line(fields, &format!("words.{number}"));
        let (Some(dimension), Some(amount)) = (dimension, amount) else { continue };
        let facts = CorrectionFacts { wearer, garment: on.0, fitting: on.1, day, dimension, side, amount, words };
        match facts.is_fit(desk.showing()) {
            Ok(()) => found.push(facts),
            Err(why) => notes.add(&much(number), why),
        }
    }
    if notes.is_empty() && found.is_empty() {
        notes.add("where.1", "Nothing was noted yet. Choose where it is off, or leave this page.");
    }
    if notes.is_empty() { Ok(found) } else { Err(notes) }
}

/// The key of a line's length.
fn much(number: usize) -> String {
    format!("much.{number}")
}

fn is_filled(fields: &Fields, number: usize) -> bool {
    let filled = |name: &str| fields.filled(&format!("{name}.{number}")).is_some();
    let eighths = !matches!(fields.text(&format!("e.much.{number}")), "" | "0");
    filled("where") || filled("way") || filled("words") || filled("m.much") || eighths
}

fn place(fields: &Fields, number: usize, places: &Places, notes: &mut Notes) -> Option<String> {
    let name = format!("where.{number}");
    let key = fields.text(&name);
    let known = places.read.iter().chain(&places.others).any(|(known, _)| known == key);
    if !known {
        notes.add(&name, "Where is it off? Choose the measure that it changes.");
    }
    known.then(|| key.to_string())
}

/// How much, with its sign.
fn amount(fields: &Fields, number: usize, desk: &Desk, notes: &mut Notes) -> Option<Length> {
    let way = format!("way.{number}");
    let out = match fields.text(&way) {
        "out" => Some(true),
        "in" => Some(false),
        _ => {
            notes.add(&way, "Which way? Choose out or in.");
            None
        }
    };
    let length = notes.take(&much(number), length_entry::read(fields, &much(number), desk.showing()));
    if length == Some(None) {
        notes.add(&much(number), "How much? Write a length, such as 3/8.");
    }
    let length = length.flatten()?;
    Some(if out? { length } else { -length })
}

fn day(fields: &Fields, today: NaiveDate, notes: &mut Notes) -> NaiveDate {
    match fields.filled("day").map(str::parse::<NaiveDate>) {
        None => today,
        Some(Ok(day)) if day > today => {
            notes.add("day", "That day is still to come. Write the day on which it was seen.");
            today
        }
        Some(Ok(day)) => day,
        Some(Err(_)) => {
            notes.add("day", format!("“{}” is no day. Write it as 2026-05-03.", fields.text("day")));
            today
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::shop::{Currency, Settings};

    fn desk() -> Desk {
        Desk::at(Settings::before_first_run(Currency::new("GHS").unwrap()), 1_777_800_000_000)
    }

    fn sent(pairs: &[(&str, &str)]) -> Result<Vec<CorrectionFacts>, Notes> {
        let fields = Fields::of(pairs.iter().map(|(name, text)| ((*name).into(), (*text).into())).collect());
        read(&fields, ClientId::new(1), (None, None), &places(&[], &[]), &desk())
    }

    #[test]
    fn each_line_is_a_correction_with_its_sign_and_side() {
        let found = sent(&[
            ("day", "2026-05-02"),
            ("where.1", "waist_girth"),
            ("way.1", "out"),
            ("e.much.1", "4"),
            ("side.1", "both"),
            ("where.3", "shoulder_length"),
            ("way.3", "in"),
            ("m.much.3", "1/8"),
            ("side.3", "right"),
            ("words.3", "pad it"),
        ])
        .unwrap();
        assert_eq!(
            (found[0].amount, found[0].side, found[0].day.to_string()),
            (Length::inches(0, 4), None, "2026-05-02".into())
        );
        assert_eq!((found[1].amount, found[1].side), (Length::inches(0, -1), Some(BodySide::Right)));
        assert_eq!((found.len(), found[1].words.as_str()), (2, "pad it"));
    }

    #[test]
    fn what_is_missing_or_wrong_is_noted_at_its_field() {
        let noted = |pairs: &[(&str, &str)], field: &str| sent(pairs).unwrap_err().at(field).unwrap().to_string();
        assert!(noted(&[], "where.1").contains("Nothing was noted"));
        assert!(noted(&[("m.much.2", "1/2")], "where.2").contains("Where"));
        assert!(noted(&[("m.much.2", "1/2")], "way.2").contains("Which way"));
        let waist = [("where.1", "waist_girth"), ("way.1", "in")];
        assert!(noted(&waist, "much.1").contains("How much"));
        let with = |name: &'static str, text: &'static str| [waist[0], waist[1], (name, text)];
        assert!(noted(&with("m.much.1", "half"), "much.1").contains("half"));
        assert!(noted(&with("m.much.1", "9"), "much.1").contains("at most 4 in"));
        assert!(noted(&with("day", "2031-01-01"), "day").contains("still to come"));
        assert!(noted(&with("side.1", "top"), "side.1").contains("left"));
        // A finished length is none of the body.
        assert!(noted(&[("where.1", "waist_to_hem")], "where.1").contains("Choose the measure"));
    }

    #[test]
    fn what_the_style_reads_comes_first() {
        let own = OwnDimension {
            key: "yoke_depth".into(),
            version: 1,
            term: "Yoke depth".into(),
            how: String::new(),
            kind: OwnDimensionKind::Length,
            retired: false,
        };
        let found = places(&["waist_girth".into(), "yoke_depth".into()], &[own]);
        let read: Vec<_> = found.read.iter().map(|(key, _)| key.as_str()).collect();
        assert_eq!(read, ["waist_girth", "yoke_depth"]);
        assert!(found.others.iter().any(|(key, _)| key == "hip_girth"));
        assert!(!found.others.iter().any(|(key, _)| key == "waist_to_hem" || key == "waist_girth"));
    }
}
