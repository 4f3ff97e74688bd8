//! The measures that the draft stands on, in tape order, and the finished lengths.

use crate::draft::Draft;
use crate::job::{applied, used};
use crate::measure::Length;
use crate::plan::said;

use super::agreed::finished;
use super::job_sheet::Facts;

/// Body measures and finished lengths.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Measures {
    /// The day on which most of them were taken; rows of another day say theirs.
    pub day: Option<String>,
    /// The body's, in tape order.
    pub body: Vec<MeasureRow>,
    /// What she wants: words and figure.
    pub finished: Vec<(String, String)>,
}

/// One body measure.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MeasureRow {
    /// The words for it.
    pub term: String,
    /// The figure; a blank to write on when it is not taken.
    pub figure: Option<String>,
    /// The day, when it is another than that of the set.
    pub day: Option<String>,
    /// `assumed`, `not our tape`, `drafted as 29 1/2`, …
    pub mark: Option<String>,
    /// Whether the cloth must not be cut before the tape went round.
    pub take_first: bool,
}

pub(super) fn measures(facts: &Facts<'_>, draft: Option<&Draft>) -> Measures {
    let showing = facts.settings.showing;
    let rows = facts
        .style
        .map_or_else(Vec::new, |style| used(style, draft, facts.body, facts.wearer.facts.wearer, facts.today));
    let days: Vec<_> = rows.iter().filter_map(|row| row.day).collect();
    // The day that most rows share, the newest of equals.
    let main = days.iter().copied().max_by_key(|day| (days.iter().filter(|other| *other == day).count(), *day));
    // A figure that is drafted as another one says so: the cutter meets both.
    let drafted_as = |key: &str| {
        let is_corrected = applied(&facts.garment.facts, facts.body).any(|one| one.facts.dimension == key);
        let line = draft.filter(|_| is_corrected)?.dimensions.iter().find(|line| line.key == key)?;
        Some(format!("drafted as {}", showing.number(Length::from_mm(line.mm?)?)))
    };
    let dated = |day: chrono::NaiveDate| format!("{} {}", said(day), day.format("%Y"));
    Measures {
        day: main.map(dated),
        body: rows
            .into_iter()
            .map(|row| MeasureRow {
                figure: row.length.map(|length| showing.number(length)),
                day: row.day.filter(|day| main != Some(*day)).map(dated),
                take_first: row.mark.is_some_and(|mark| mark.before_cutting()),
                mark: marked(row.mark.map(|mark| mark.to_string()), drafted_as(&row.key)),
                term: row.term,
            })
            .collect(),
        finished: finished(facts),
    }
}

fn marked(one: Option<String>, other: Option<String>) -> Option<String> {
    let marks: Vec<String> = [one, other].into_iter().flatten().collect();
    (!marks.is_empty()).then(|| marks.join("; "))
}
