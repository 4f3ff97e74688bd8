//! Measures side by side: a column for each day, a row for each dimension, what
//! changed in bold with its difference.

use crate::measure::{Length, tape_place, term};
use crate::shop::{MeasureSet, Source};

use super::desk::Desk;
use super::writing;

/// The head of one column.
pub struct SetHead {
    /// The day.
    pub day: String,
    /// Where the set comes from, when it is not our tape.
    pub source: Option<&'static str>,
    /// Over what it was taken, figure, note.
    pub words: String,
}

/// One row.
pub struct Row {
    /// The dimension.
    pub term: String,
    /// Its values, in the order of the columns.
    pub cells: Vec<Cell>,
}

/// One figure.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Cell {
    /// The value, or nothing.
    pub text: String,
    /// The difference to the last one before: `+¼`.
    pub change: String,
    /// Whether it differs from the one before.
    pub changed: bool,
}

/// The heads of these sets, newest first.
#[must_use]
pub fn heads(desk: &Desk, sets: &[MeasureSet]) -> Vec<SetHead> {
    sets.iter()
        .map(|set| {
            let facts = &set.facts;
            let over = if facts.over.is_empty() { String::new() } else { format!("over {}", facts.over) };
            let words = [over, facts.figure.join(", "), facts.note.clone()];
            SetHead {
                day: desk.day(facts.day),
                source: (facts.source != Source::Tape).then(|| facts.source.words()),
                words: words.into_iter().filter(|part| !part.is_empty()).collect::<Vec<_>>().join(" · "),
            }
        })
        .collect()
}

/// The rows of these sets (newest first), in tape order.
#[must_use]
pub fn rows(desk: &Desk, sets: &[MeasureSet]) -> Vec<Row> {
    let mut keys: Vec<&str> =
        sets.iter().flat_map(|set| set.facts.readings.iter().map(|reading| reading.dimension.as_str())).collect();
    keys.sort_by_key(|key| (tape_place(key), *key));
    keys.dedup();
    keys.iter()
        .map(|key| {
            let values: Vec<Option<Length>> = sets.iter().map(|set| value(set, key)).collect();
            let cells = (0..values.len()).map(|column| cell(desk, &values, column)).collect();
            Row { term: term(key), cells }
        })
        .collect()
}

/// The last reading of a dimension in a set counts.
fn value(set: &MeasureSet, key: &str) -> Option<Length> {
    set.facts
        .readings
        .iter()
        .filter(|reading| reading.dimension == key)
        .max_by_key(|reading| reading.number)
        .map(|reading| reading.length)
}

fn cell(desk: &Desk, values: &[Option<Length>], column: usize) -> Cell {
    let Some(now) = values.get(column).copied().flatten() else { return Cell::default() };
    let text = desk.number(now);
    let before = values.iter().skip(column + 1).flatten().next();
    let Some(before) = before.filter(|before| **before != now) else { return Cell { text, ..Cell::default() } };
    let sign = if now > *before { "+" } else { "−" };
    Cell { text, change: format!("{sign}{}", writing::number(desk.showing(), (now - *before).abs())), changed: true }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::shop::{ClientId, Currency, PersonId, Reading, SetFacts, SetId, Settings};

    fn set(waist: Option<Length>, hip: Option<Length>) -> MeasureSet {
        let reading = |dimension: &str, length: Option<Length>| {
            length.map(|length| Reading {
                dimension: dimension.into(),
                length,
                typed: String::new(),
                number: 1,
                source: Source::Tape,
            })
        };
        let facts = SetFacts {
            wearer: ClientId::new(1),
            day: "2026-05-03".parse().unwrap(),
            over: String::new(),
            source: Source::Paper,
            note: String::new(),
            figure: vec!["Stooped".into()],
            readings: reading("hip_girth", hip).into_iter().chain(reading("waist_girth", waist)).collect(),
            corrects: None,
            garment: None,
        };
        MeasureSet { id: SetId::new(1), taken_by: PersonId::new(1), at_ms: 0, facts }
    }

    #[test]
    fn what_changed_is_compared_with_the_last_one_taken() {
        let desk = Desk::at(Settings::before_first_run(Currency::new("GHS").unwrap()), 1_777_800_000_000);
        let sets = [
            set(Some(Length::inches(31, 2)), None),
            set(None, Some(Length::inches(39, 0))),
            set(Some(Length::inches(31, 4)), Some(Length::inches(39, 0))),
        ];
        let rows = rows(&desk, &sets);
        assert_eq!(rows.iter().map(|row| row.term.as_str()).collect::<Vec<_>>(), ["Waist girth", "Hip girth"]);
        assert_eq!(rows[0].cells[0], Cell { text: "31¼".into(), change: "−¼".into(), changed: true });
        assert_eq!(rows[0].cells[1], Cell::default());
        assert_eq!(rows[1].cells[1], Cell { text: "39".into(), ..Cell::default() });
        assert_eq!(heads(&desk, &sets)[0].words, "Stooped");
    }
}
