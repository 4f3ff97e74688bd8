//! Writing down a fitting: readings, finished lengths, figure notes in words.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use crate::measure::{
    BodyDimension, DimensionClass, Hint, Length, Who, changes, dimensions, figure_note, figure_notes, hints, term,
    within_possible,
};
use crate::shop::{Body, ClientId, GarmentId, Reading, SetFacts, Source, Wearer};

use super::desk::Desk;
use super::fields::{Field, Fields, Notes};
use super::length_entry::{self, LengthEntry};

/// The sections of length entries on the form.
pub struct Entries {
    /// What the ordered style needs, or the usual ones.
    pub first: Vec<LengthEntry>,
    /// All others.
    pub rest: Vec<LengthEntry>,
    /// Finished lengths.
    pub finished: Vec<LengthEntry>,
}

/// What is measured first when no order says it: the girths and lengths of the
/// usual skirt and dress (judgement).
const USUAL: [&str; 8] = [
    "bust_girth",
    "waist_girth",
    "hip_girth",
    "waist_to_hip",
    "shoulder_width",
    "back_waist_length",
    "arm_length",
    "upper_arm_girth",
];

/// The length entries, as sent, with what was measured before beside each.
#[must_use]
pub fn entries(desk: &Desk, needs: &[String], body: &Body, fields: &Fields, notes: &Notes) -> Entries {
    let showing = desk.showing();
    let entry = |key: &str, row: Option<&BodyDimension>| {
        let label = row.map_or_else(|| term(key), |row| row.term.into());
        let mut entry =
            LengthEntry::new(key, &label, row.map_or("", |row| row.how), showing).sent(fields, notes, showing);
        if let Some(value) = body.values.get(key) {
            let source =
                if value.source == Source::Tape { String::new() } else { format!(", {}", value.source.words()) };
            entry.before = format!("{} on {}{source}", desk.length(value.length), desk.day(value.day));
        }
        entry
    };
    let is_first = |key: &str| {
        if needs.is_empty() { USUAL.contains(&key) } else { needs.iter().any(|need| need == key) }
    };
    let body_rows = || dimensions().iter().filter(|row| row.class != DimensionClass::Finished);
    let mut first: Vec<LengthEntry> =
        body_rows().filter(|row| is_first(row.key)).map(|row| entry(row.key, Some(row))).collect();
    // Dimensions of the shop's own that the style needs.
    first.extend(
        needs
            .iter()
            .filter(|need| !dimensions().iter().any(|row| row.key == need.as_str()))
            .map(|need| entry(need, None)),
    );
    let rest = body_rows().filter(|row| !is_first(row.key)).map(|row| entry(row.key, Some(row))).collect();
    let finished = dimensions()
        .iter()
        .filter(|row| row.class == DimensionClass::Finished)
        .map(|row| entry(row.key, Some(row)))
        .collect();
    Entries { first, rest, finished }
}

/// Where the readings of a set may come from.
#[must_use]
pub fn sources() -> Vec<(String, String)> {
    Source::ALL
        .iter()
        .filter(|source| **source != Source::Import)
        .map(|source| (source.key().into(), source.words().into()))
        .collect()
}

/// The figure notes with those that are ticked.
#[must_use]
pub fn figure(fields: &Fields) -> Vec<(&'static str, &'static str, bool)> {
    figure_notes().iter().map(|note| (note.key, note.words, fields.all("figure").any(|key| key == note.key))).collect()
}

/// The figure notes of a body as ticks and other words, so that a new fitting starts from them.
#[must_use]
pub fn figure_typed(body: &Body) -> Vec<(String, String)> {
    let mut other = Vec::new();
    let mut pairs = Vec::new();
    for words in &body.figure {
        match figure_notes().iter().find(|note| note.words == words) {
            Some(note) => pairs.push(("figure".to_string(), note.key.to_string())),
            None => other.push(words.as_str()),
        }
    }
    pairs.push(("figure_other".to_string(), other.join("; ")));
    pairs
}

/// A field of the set itself.
#[must_use]
pub fn field(name: &str, fields: &Fields, notes: &Notes) -> Field {
    Field::sent(name, fields, notes)
}

/// Reads a fitting.
///
/// # Errors
/// A note for each field that needs another text; nothing is kept then.
pub fn read(fields: &Fields, wearer: ClientId, garment: Option<GarmentId>, desk: &Desk) -> Result<SetFacts, Notes> {
    let mut notes = Notes::default();
    let day = day(fields, desk.today, &mut notes);
    let source = Source::from_key(fields.text("source")).unwrap_or(Source::Tape);
    let readings = readings(fields, source, desk, &mut notes);
    let figure = figure_words(fields, &mut notes);
    let facts = SetFacts {
        wearer,
        day,
        over: notes.line(fields, "over"),
        source,
        note: notes.note(fields, "note"),
        figure,
        readings,
        corrects: None,
        garment,
    };
    if notes.is_empty() && facts.readings.is_empty() {
        let first = fields.starting("m.").next().map_or("day", |(key, _)| key);
        notes.add(first, "No measure was written down yet. Write at least one, or leave this page.");
    }
    if notes.is_empty() { Ok(facts) } else { Err(notes) }
}

/// What does not go together on this body as it would stand with what was typed.
#[must_use]
pub fn doubts(readings: &[Reading], before: &Body, wearer: Wearer, desk: &Desk) -> Vec<Hint> {
    doubts_over(readings, &before.lengths(), wearer, desk)
}

/// The same over plain lengths.
#[must_use]
pub fn doubts_over(readings: &[Reading], before: &BTreeMap<String, Length>, wearer: Wearer, desk: &Desk) -> Vec<Hint> {
    let taken: BTreeMap<String, Length> =
        readings.iter().map(|reading| (reading.dimension.clone(), reading.length)).collect();
    let mut whole = before.clone();
    whole.extend(taken.clone());
    let who = who(wearer);
    let mut found = changes(before, &taken, who, desk.showing());
    // Only what was measured now: the rest was looked at on its own day.
    found.extend(
        hints(&whole, who, desk.showing())
            .into_iter()
            .filter(|hint| hint.keys.iter().any(|key| taken.contains_key(key))),
    );
    found
}

/// The readings that can be read, whatever is wrong with the others.
pub fn readings(fields: &Fields, source: Source, desk: &Desk, notes: &mut Notes) -> Vec<Reading> {
    let mut readings = Vec::new();
    for (key, _) in fields.starting("m.") {
        match length_entry::read(fields, key, desk.showing()) {
            Ok(None) => (),
            Ok(Some(length)) => match within_possible(key, length) {
                Ok(()) => readings.push(Reading {
                    dimension: key.into(),
                    length,
                    typed: length_entry::typed(fields, key),
                    number: 1,
                    source,
                }),
                Err(why) => notes.add(key, why.text(desk.showing())),
            },
            Err(why) => notes.add(key, why.to_string()),
        }
    }
    readings
}

fn day(fields: &Fields, today: NaiveDate, notes: &mut Notes) -> NaiveDate {
    match fields.filled("day").map(str::parse::<NaiveDate>) {
        None => today,
        Some(Ok(day)) if day > today => {
            notes.add("day", "That day is still to come. Write the day on which the tape was used.");
            today
        }
        Some(Ok(day)) => day,
        Some(Err(_)) => {
            notes.add("day", format!("“{}” is no day. Write it as 2026-05-03.", fields.text("day")));
            today
        }
    }
}

fn figure_words(fields: &Fields, notes: &mut Notes) -> Vec<String> {
    let ticked: Vec<_> = fields.all("figure").filter_map(figure_note).collect();
    for note in &ticked {
        if let Some(other) = note.against.and_then(|key| ticked.iter().find(|other| other.key == key)) {
            notes.add("figure", format!("“{}” and “{}” cannot both be. Keep one of them.", note.words, other.words));
        }
    }
    let mut words: Vec<String> = ticked.iter().map(|note| note.words.into()).collect();
    let other = notes.line(fields, "figure_other");
    words.extend(Some(other).filter(|other| !other.is_empty()));
    words
}

const fn who(wearer: Wearer) -> Who {
    match wearer {
        Wearer::Unsaid => Who::Unknown,
        Wearer::Woman => Who::Woman,
        Wearer::Man => Who::Man,
        Wearer::Child => Who::Child,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::shop::{Currency, Settings};

    fn desk() -> Desk {
        let settings = Settings::before_first_run(Currency::new("GHS").unwrap());
        Desk::at(settings, 1_777_800_000_000)
    }

    fn fields(pairs: &[(&str, &str)]) -> Fields {
        Fields::of(pairs.iter().map(|(name, text)| ((*name).into(), (*text).into())).collect())
    }

    fn refused(pairs: &[(&str, &str)]) -> Notes {
        read(&fields(pairs), ClientId::new(1), None, &desk()).unwrap_err()
    }

    #[test]
    fn a_reading_keeps_its_length_and_what_was_typed() {
        let sent = fields(&[
            ("m.waist_girth", "31"),
            ("e.waist_girth", "2"),
            ("figure", "stooped"),
            ("figure_other", "long neck"),
        ]);
        let set = read(&sent, ClientId::new(1), None, &desk()).unwrap();
        assert_eq!(set.readings[0].length, Length::inches(31, 2));
        assert_eq!(set.readings[0].typed, "31 1/4");
        assert_eq!(set.figure, ["Stooped", "long neck"]);
    }

    #[test]
    fn bad_input_is_noted_at_its_field() {
        assert!(refused(&[("m.waist_girth", "thirty")]).at("waist_girth").unwrap().contains("thirty"));
        assert!(refused(&[("m.waist_girth", "31 1/0")]).at("waist_girth").unwrap().contains("1/0"));
        assert!(refused(&[("m.waist_girth", "400 in")]).at("waist_girth").unwrap().contains("400 in"));
        assert!(refused(&[("m.waist_girth", "-31")]).at("waist_girth").unwrap().contains("-31"));
        assert!(refused(&[("m.waist_girth", "")]).at("waist_girth").is_some());
        assert!(refused(&[]).at("day").is_some());
        assert!(refused(&[("m.waist_girth", "31"), ("day", "2036-01-01")]).at("day").is_some());
        assert!(refused(&[("m.waist_girth", "31"), ("figure", "stooped"), ("figure", "erect")]).at("figure").is_some());
    }

    #[test]
    fn a_hip_smaller_than_the_waist_is_doubted_and_kept() {
        let sent = fields(&[("m.waist_girth", "39"), ("m.hip_girth", "31")]);
        let set = read(&sent, ClientId::new(1), None, &desk()).unwrap();
        let doubts = doubts(&set.readings, &Body::default(), Wearer::Woman, &desk());
        assert!(!doubts.is_empty() && set.readings.len() == 2);
    }

    #[test]
    fn what_the_style_needs_comes_first() {
        let none = Fields::default();
        let made =
            entries(&desk(), &["waist_girth".into(), "own_width".into()], &Body::default(), &none, &Notes::default());
        assert_eq!(made.first.iter().map(|entry| entry.key.as_str()).collect::<Vec<_>>(), ["waist_girth", "own_width"]);
        assert!(made.rest.iter().any(|entry| entry.key == "hip_girth"));
    }
}
