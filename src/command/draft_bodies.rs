//! `bodkin draft STYLE|all --bodies FILE.csv`: a style, or the whole book, drafted for
//! every body of a table. One line a style; fails when a draft would not sew.

use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::io::Write as _;
use std::path::Path;

use serde_json::json;

use super::CommandError;
use super::draft::{find, input, is_figure_note, refusal};
use crate::config::Draft as Flags;
use crate::draft::{BOOK, Input, Style, draft};
use crate::measure::{self, Length, Showing};

/// A body of the table: its line and what was taken.
struct Body {
    line: u64,
    taken: BTreeMap<String, Length>,
}

/// What came of one style.
struct Tally {
    key: String,
    /// What came of it, or why it was not tried: `it is for others`.
    tried: Result<Tried, String>,
}

#[derive(Default)]
struct Tried {
    bodies: usize,
    drafted: usize,
    failed: usize,
    refused: usize,
    assumed: usize,
    /// The body with the most truths that failed: how many, its line, the first of them.
    worst: Option<(usize, u64, String)>,
    /// The first refusal: its line and words.
    first_refused: Option<(u64, String)>,
}

/// The least share of bodies, in thousandths, that a style must draft of those it is for.
const MUST_DRAFT: usize = 995;

/// Drafts for every row and prints a line a style. Of the whole book, only the styles that
/// have every choice that is given are tried.
///
/// # Errors
/// A file, column or cell that does not read, with its line; a style that would not sew for
/// somebody, or that drafts fewer than 99.5 % of the bodies it is for.
pub fn draft_bodies(flags: &Flags) -> Result<(), CommandError> {
    let showing = if flags.cm { Showing::MILLIMETRES } else { Showing::EIGHTHS };
    let who = whose(flags.who.as_deref())?;
    let bodies = flags.bodies.as_deref().map_or_else(|| Ok(Vec::new()), read)?;
    let all = flags.style == "all";
    let keys: Vec<&str> = if all { BOOK.iter().map(|b| b.key).collect() } else { vec![&flags.style] };
    let styles = keys.into_iter().map(|key| Ok((key, find(key)?))).collect::<Result<Vec<_>, CommandError>>()?;
    if all {
        known_to_some(&styles, &flags.values)?;
    }
    let mut tallies = Vec::with_capacity(styles.len());
    for (key, style) in &styles {
        let is_for = who.is_none_or(|who| style.wearer() == who || style.wearer() == "anyone");
        let lacking = if all { lacking(style, &flags.values) } else { None };
        let tried = match lacking {
            _ if !is_for => Err("it is for others".to_string()),
            Some(name) => Err(format!("it has no choice “{name}”")),
            None => Ok(tried(style, &input(style, &flags.values, showing)?, &bodies)),
        };
        tallies.push(Tally { key: (*key).into(), tried });
    }
    let text = if flags.json {
        let rows: Vec<serde_json::Value> = tallies.iter().map(as_json).collect();
        serde_json::to_string_pretty(&rows).map_err(|e| CommandError(e.to_string()))?
    } else {
        tallies.iter().map(as_line).collect::<Vec<_>>().join("\n")
    };
    let _ = writeln!(std::io::stdout(), "{text}");
    let wrong: Vec<&str> = tallies.iter().filter(|tally| !tally.holds()).map(|tally| tally.key.as_str()).collect();
    if wrong.is_empty() {
        return Ok(());
    }
    Err(CommandError(format!(
        "{}: somebody's draft would not sew, or fewer than 99.5 % of the bodies were drafted. See the lines above.",
        wrong.join(", ")
    )))
}

/// The name of the first value that is for some other style: neither a measure nor a
/// figure note nor a choice of this one.
fn lacking<'a>(style: &Style, values: &'a [String]) -> Option<&'a str> {
    let mut pairs = values.iter().filter_map(|pair| pair.split_once('='));
    let for_all =
        |name: &str, value: &str| measure::dimension(name).is_some() || (name == "figure" && is_figure_note(value));
    let lacks = |(name, value): &(&str, &str)| {
        !for_all(name.trim(), value.trim()) && style.choices().iter().all(|choice| choice.key != name.trim())
    };
    pairs.find(lacks).map(|(name, _)| name.trim())
}

/// Refuses a name that no style of the book knows.
fn known_to_some(styles: &[(&str, Style)], values: &[String]) -> Result<(), CommandError> {
    for pair in values {
        let one = std::slice::from_ref(pair);
        if styles.iter().any(|(_, style)| lacking(style, one).is_none()) {
            continue;
        }
        let name = pair.split_once('=').map_or(pair.as_str(), |(name, _)| name).trim();
        let choices = styles.iter().flat_map(|(_, style)| style.choices().iter().map(|choice| choice.key.as_str()));
        let hint = measure::nearest(name, choices.chain(measure::dimensions().iter().map(|d| d.key)))
            .map_or_else(String::new, |key| format!(" Did you mean “{key}”?"));
        return Err(CommandError(format!(
            "“{name}” is neither a measure nor a choice of any style of the book.{hint}"
        )));
    }
    Ok(())
}

fn whose(word: Option<&str>) -> Result<Option<&str>, CommandError> {
    const WHO: [&str; 3] = ["women", "men", "children"];
    match word {
        Some(word) if !WHO.contains(&word) => {
            let hint = measure::nearest(word, WHO.into_iter())
                .map_or_else(String::new, |near| format!(" Did you mean “{near}”?"));
            Err(CommandError(format!("--who takes women, men or children, not “{word}”.{hint}")))
        }
        word => Ok(word),
    }
}

/// Reads the table: every column is a measure with its unit, every row a body; an empty
/// cell was not taken.
fn read(path: &Path) -> Result<Vec<Body>, CommandError> {
    let name = path.display();
    let fault = |words: String| CommandError(format!("{name}: {words}"));
    let text = std::fs::read_to_string(path).map_err(|e| fault(format!("cannot be read: {e}.")))?;
    // Where lines end as a spreadsheet writes them (\r\n) the reader would count one too few.
    let text = text.replace("\r\n", "\n");
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let columns: Vec<(String, f64)> = reader
        .headers()
        .map_err(|e| fault(e.to_string()))?
        .iter()
        .map(|column| known(column.trim()).map_err(&fault))
        .collect::<Result<_, _>>()?;
    let twice =
        columns.iter().enumerate().find(|(at, (key, _))| columns.iter().take(*at).any(|(other, _)| other == key));
    if let Some((_, (key, _))) = twice {
        return Err(fault(format!("two columns give {key}. Leave one of them out.")));
    }
    let mut bodies = Vec::new();
    for row in reader.records() {
        let row = row.map_err(|e| fault(e.to_string()))?;
        let line = row.position().map_or(0, csv::Position::line);
        let mut taken = BTreeMap::new();
        for ((key, unit), cell) in columns.iter().zip(&row).filter(|(_, cell)| !cell.trim().is_empty()) {
            let length = cell.trim().parse::<f64>().ok().and_then(|figure| Length::from_mm(figure * unit));
            let length = length
                .ok_or_else(|| fault(format!("line {line}: “{}” for {key} is no number. Write 31.25.", cell.trim())))?;
            measure::within_possible(key, length).map_err(|e| fault(format!("line {line}: {key}: {e}")))?;
            taken.insert(key.clone(), length);
        }
        bodies.push(Body { line, taken });
    }
    if bodies.is_empty() {
        return Err(fault("holds no body. Write one a row under the names of the columns.".into()));
    }
    Ok(bodies)
}

/// A column's measure, and its unit in mm.
fn known(column: &str) -> Result<(String, f64), String> {
    const UNITS: [(&str, f64); 3] = [("_mm", 1.0), ("_cm", 10.0), ("_in", 25.4)];
    let unit = UNITS.iter().find_map(|(end, mm)| Some((column.strip_suffix(end)?, *mm)));
    match unit {
        Some((key, mm)) if measure::dimension(key).is_some() => Ok((key.into(), mm)),
        _ => {
            let bare = unit.map_or(column, |(key, _)| key);
            let near = measure::nearest(bare, measure::dimensions().iter().map(|d| d.key));
            let hint = near.map_or_else(String::new, |key| format!(" Did you mean “{key}_mm”?"));
            Err(format!("the column “{column}” is no measure with its unit (waist_girth_mm, hip_girth_in).{hint}"))
        }
    }
}

/// Every body drafted, shared out over the cores; a part that broke off counts as refused.
fn tried(style: &Style, given: &Input, bodies: &[Body]) -> Tried {
    let cores = std::thread::available_parallelism().map_or(1, std::num::NonZero::get);
    let each = bodies.len().div_ceil(cores).max(1);
    std::thread::scope(|scope| {
        let parts: Vec<_> = bodies.chunks(each).map(|part| scope.spawn(|| some(style, given, part))).collect();
        let tried = parts.into_iter().filter_map(|part| part.join().ok()).fold(Tried::default(), Tried::and);
        let lost = bodies.len() - tried.bodies;
        Tried { bodies: bodies.len(), refused: tried.refused + lost, ..tried }
    })
}

fn some(style: &Style, given: &Input, bodies: &[Body]) -> Tried {
    let mut tried = Tried { bodies: bodies.len(), ..Tried::default() };
    let mut input = given.clone();
    for body in bodies {
        input.body = given.body.clone();
        input.body.extend(body.taken.iter().map(|(key, length)| (key.clone(), *length)));
        match draft(style, &input) {
            Ok(draft) => {
                tried.drafted += 1;
                tried.assumed += draft.assumed.len();
                let mut broken = draft.truths.iter().filter(|truth| !truth.held);
                if let Some(first) = broken.next() {
                    tried.failed += 1;
                    let count = 1 + broken.count();
                    if tried.worst.as_ref().is_none_or(|(most, _, _)| count > *most) {
                        tried.worst = Some((count, body.line, format!("{}: {}", first.what, first.found)));
                    }
                }
            }
            Err(error) => {
                tried.refused += 1;
                tried.first_refused.get_or_insert_with(|| (body.line, refusal(style, &error)));
            }
        }
    }
    tried
}

impl Tried {
    fn and(mut self, other: Tried) -> Tried {
        self.bodies += other.bodies;
        self.drafted += other.drafted;
        self.failed += other.failed;
        self.refused += other.refused;
        self.assumed += other.assumed;
        let most = |worst: &Option<(usize, u64, String)>| worst.as_ref().map_or(0, |(count, _, _)| *count);
        if most(&other.worst) > most(&self.worst) {
            self.worst = other.worst;
        }
        self.first_refused = self.first_refused.or(other.first_refused);
        self
    }
}

impl Tally {
    /// Every draft sews, and nearly everybody is drafted for.
    fn holds(&self) -> bool {
        self.tried.as_ref().map_or(true, |t| t.failed == 0 && t.drafted * 1000 >= t.bodies * MUST_DRAFT)
    }
}

fn as_line(tally: &Tally) -> String {
    let t = match &tally.tried {
        Ok(tried) => tried,
        Err(why) => return format!("{}: not tried, {why}", tally.key),
    };
    let mut line = format!(
        "{}: {} bodies, {} drafted, {} failed, {} refused, {} values assumed",
        tally.key, t.bodies, t.drafted, t.failed, t.refused, t.assumed
    );
    if let Some((_, at, words)) = &t.worst {
        let _ = write!(line, "; worst on line {at}: {words}");
    }
    if let Some((at, words)) = &t.first_refused {
        let _ = write!(line, "; refused first on line {at}: {words}");
    }
    line
}

fn as_json(tally: &Tally) -> serde_json::Value {
    let t = match &tally.tried {
        Ok(tried) => tried,
        Err(why) => return json!({"style": tally.key, "tried": false, "why_not": why}),
    };
    json!({
        "style": tally.key, "tried": true, "bodies": t.bodies, "drafted": t.drafted, "failed": t.failed,
        "refused": t.refused, "assumed": t.assumed, "holds": tally.holds(),
        "worst": t.worst.as_ref().map(|(count, line, words)| json!({"line": line, "failed": count, "truth": words})),
        "first_refused": t.first_refused.as_ref().map(|(line, words)| json!({"line": line, "words": words})),
    })
}
