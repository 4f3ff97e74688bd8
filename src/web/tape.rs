//! The tape: a strip of unbleached cotton with an ink tick for each mark, filled
//! up to where the work stands, the days under the ticks.

use askama::Template;

/// A tape of equal parts, one for each mark.
#[derive(Clone, Debug, PartialEq, Template)]
#[template(path = "tape.html")]
pub struct Tape {
    /// All that the tape says, for those who do not see it.
    words: String,
    /// How far it is filled, in per cent of its length.
    filled: String,
    marks: Vec<Mark>,
    /// The short ticks between the marks, in per cent, and whether they lie in the filled part.
    between: Vec<(String, bool)>,
    /// Whether the names and days stand under the ticks (else only the strip).
    full: bool,
}

#[derive(Clone, Debug, PartialEq)]
struct Mark {
    at: String,
    name: String,
    under: String,
    reached: bool,
    here: bool,
}

/// Short ticks between two marks: quarters, as on a tape.
const QUARTERS: u32 = 4;

impl Tape {
    /// A tape with a name and a day (or nothing) for each mark, filled up to the
    /// mark at `here`; not at all when `here` is `None`.
    #[must_use]
    pub fn new(names: &[(String, String)], here: Option<usize>, words: String) -> Tape {
        let parts = u32::try_from(names.len().max(1)).unwrap_or(1);
        let reached = here.and_then(|here| u32::try_from(here).ok());
        // Marks stand in the middle of equal parts, so that names can stand in equal columns below.
        let per_cent = |quarter: u32| f64::from(quarter) * 100.0 / f64::from(parts * QUARTERS);
        let filled_quarters = reached.map_or(0, |here| here * QUARTERS + QUARTERS / 2);
        let marks = names
            .iter()
            .zip(0_u32..)
            .map(|((name, under), index)| Mark {
                at: format!("{:.3}%", per_cent(index * QUARTERS + QUARTERS / 2)),
                name: name.clone(),
                under: under.clone(),
                reached: reached.is_some_and(|here| index <= here),
                here: reached == Some(index),
            })
            .collect();
        let between = (1..parts * QUARTERS)
            .filter(|quarter| quarter % QUARTERS != QUARTERS / 2)
            .map(|quarter| (format!("{:.3}%", per_cent(quarter)), quarter < filled_quarters))
            .collect();
        // The last mark reached means that the whole tape is used.
        let whole = reached.is_some_and(|here| here + 1 == parts);
        let filled = if whole { "100%".into() } else { format!("{:.3}%", per_cent(filled_quarters)) };
        Tape { words, filled, marks, between, full: true }
    }

    /// The strip alone, for lists.
    #[must_use]
    pub fn strip(mut self) -> Tape {
        self.full = false;
        self
    }
}

impl askama::filters::HtmlSafe for Tape {}

#[cfg(test)]
mod tests {
    use super::*;

    fn tape(here: Option<usize>) -> Tape {
        let names = ["booked", "cut", "sewn", "collected"].map(|name| (name.to_string(), "3 May".to_string()));
        Tape::new(&names, here, "cut, 2 of 4".into())
    }

    #[test]
    fn it_is_filled_up_to_where_the_work_stands() {
        assert_eq!(tape(None).filled, "0.000%");
        assert_eq!(tape(Some(1)).filled, "37.500%");
        assert_eq!(tape(Some(3)).filled, "100%");
        assert_eq!(tape(Some(1)).marks.iter().filter(|mark| mark.reached).count(), 2);
    }

    #[test]
    fn it_is_read_out_as_words() {
        let html = tape(Some(1)).to_string();
        assert!(html.contains("cut, 2 of 4") && html.contains("3 May"), "{html}");
        assert!(!tape(Some(1)).strip().to_string().contains("3 May"));
    }
}
