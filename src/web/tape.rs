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
    /// Parts filled by themselves: from, how far, in per cent, and whether it is more than the part holds.
    parts: Vec<(String, String, bool)>,
    /// Whether the names and days stand under the ticks (else only the strip).
    full: bool,
}

#[derive(Clone, Debug, PartialEq)]
struct Mark {
    at: String,
    name: String,
    under: String,
    /// Whether the same words stand under the mark before it: a narrow page shows them once.
    again: bool,
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
            .zip(std::iter::once(None).chain(names.iter().map(|(_, under)| Some(under))))
            .map(|(((name, under), index), before)| Mark {
                at: format!("{:.3}%", per_cent(index * QUARTERS + QUARTERS / 2)),
                name: name.clone(),
                under: under.clone(),
                again: before == Some(under),
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
        Tape { words, filled, marks, between, parts: Vec::new(), full: true }
    }

    /// A tape with a share of each part filled (more than the whole is marked): the
    /// hours of a week's days. `parts` are name, words below and share.
    #[must_use]
    pub fn of_shares(parts: &[(String, String, f64)], words: String) -> Tape {
        let names: Vec<(String, String)> = parts.iter().map(|(name, under, _)| (name.clone(), under.clone())).collect();
        let each = 100.0 / f64::from(u32::try_from(parts.len().max(1)).unwrap_or(1));
        let mut tape = Tape::new(&names, None, words);
        tape.parts = parts
            .iter()
            .zip(0_u32..)
            .filter(|((_, _, share), _)| *share > 0.0)
            .map(|((_, _, share), index)| {
                let from = format!("{:.3}%", f64::from(index) * each);
                (from, format!("{:.3}%", share.min(1.0) * each), *share > 1.0)
            })
            .collect();
        // Days meet at the long ticks: the middle of a day is no mark.
        for (mark, index) in tape.marks.iter_mut().zip(1_u32..) {
            mark.at = format!("{:.3}%", f64::from(index) * each);
        }
        // Two days that are alike are still two days.
        tape.marks.iter_mut().for_each(|mark| mark.again = false);
        tape.between.clear();
        tape
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
    fn shares_fill_their_own_part_and_no_more() {
        let day = |name: &str, share| (name.to_string(), String::new(), share);
        let tape =
            Tape::of_shares(&[day("Mon", 0.5), day("Tue", 0.0), day("Wed", 3.0), day("Thu", 1.0)], String::new());
        let parts: Vec<_> = tape.parts.iter().map(|(from, far, over)| (from.as_str(), far.as_str(), *over)).collect();
        assert_eq!(parts, [("0.000%", "12.500%", false), ("50.000%", "25.000%", true), ("75.000%", "25.000%", false)]);
    }

    #[test]
    fn a_day_that_stands_under_the_mark_before_is_marked_so() {
        let again: Vec<bool> = tape(Some(1)).marks.iter().map(|mark| mark.again).collect();
        assert_eq!(again, [false, true, true, true]);
        assert!(tape(Some(2)).to_string().contains("class=\"tape-again\""));
    }

    #[test]
    fn it_is_read_out_as_words() {
        let html = tape(Some(1)).to_string();
        assert!(html.contains("cut, 2 of 4") && html.contains("3 May"), "{html}");
        assert!(!tape(Some(1)).strip().to_string().contains("3 May"));
    }
}
