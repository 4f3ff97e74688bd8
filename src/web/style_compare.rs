//! Two versions of a style drafted on one body: dimensions side by side with what changed,
//! pieces laid over one another, and the lines of the text that differ.

use askama::Template;
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::Response;

use crate::draft::Draft;
use crate::measure::{Length, Showing};

use super::desk::Desk;
use super::fault::{Fault, render};
use super::fields::Fields;
use super::frame::{Frame, Here};
use super::line_changes::{self, Line};
use super::overlay::Overlay;
use super::state::App;
use super::style_body::{Choosing, On};
use super::style_preview::{Not, try_on};
use super::style_versions::numbered;
use super::writing;

#[derive(Template)]
#[template(path = "style_compare.html")]
struct Page {
    frame: Frame,
    key: String,
    label: String,
    old: u32,
    new: u32,
    numbers: Vec<u32>,
    choosing: Choosing,
    on: String,
    /// Why one of them gives no draft on this body.
    not: Vec<String>,
    /// What is drafted, measured back and cut as strips, each under its heading.
    tables: Vec<(&'static str, Vec<Row>)>,
    pieces: Vec<PieceRow>,
    checked: Vec<String>,
    text: Vec<TextLine>,
}

impl Page {
    fn changed(&self) -> usize {
        self.tables.iter().flat_map(|(_, rows)| rows).filter(|row| row.changed).count()
    }
}

/// One figure of both drafts.
struct Row {
    label: String,
    old: String,
    new: String,
    change: String,
    changed: bool,
}

struct PieceRow {
    name: String,
    words: String,
    overlay: Option<Overlay>,
}

/// A line of the text that differs, or how many in between do not.
struct TextLine {
    sign: &'static str,
    said: &'static str,
    text: String,
}

/// The comparison that the address asks for: by default the version in use with the one before.
///
/// # Errors
/// [`Fault::NotFound`] without such a style, version or client.
pub async fn show(State(app): State<App>, Path(key): Path<String>, query: Fields) -> Result<Response, Fault> {
    let (mut page, old, new, on, desk) = app
        .read(move |book, desk| {
            let style = book.style(&key)?;
            let numbers: Vec<u32> = book.style_versions(&key)?.iter().map(|version| version.number).collect();
            let new = match query.filled("new") {
                Some(number) => numbered(book, &key, number)?,
                None => style.current.clone(),
            };
            let old = match query.filled("old") {
                Some(number) => numbered(book, &key, number)?,
                None => {
                    let before = numbers.iter().find(|number| **number < new.number).or(numbers.last());
                    numbered(book, &key, &before.copied().unwrap_or(new.number).to_string())?
                }
            };
            let (on, choosing) = On::asked(book, &query)?;
            let page = Page {
                frame: desk.frame(format!("Compare versions of {}", style.current.label), Here::Styles),
                label: style.current.label,
                old: old.number,
                new: new.number,
                numbers,
                choosing,
                on: on.words(),
                not: Vec::new(),
                tables: Vec::new(),
                pieces: Vec::new(),
                checked: Vec::new(),
                text: text_lines(&old.text, &new.text),
                key,
            };
            Ok((page, old, new, on, desk.clone()))
        })
        .await?;
    // The drafting takes none of the readers.
    app.think(move || {
        match (try_on(&old.text, &on, &desk), try_on(&new.text, &on, &desk)) {
            (Ok(old), Ok(new)) => page.lay_side_by_side(&old, &new, &desk),
            (old, new) => {
                let numbers = [(page.old, old.err()), (page.new, new.err())];
                page.not = numbers
                    .into_iter()
                    .filter_map(|(number, why)| Some(format!("Version {number}: {}", why_not(why?))))
                    .collect();
            }
        }
        Ok(render(StatusCode::OK, &page))
    })
    .await
}

fn why_not(why: Not) -> String {
    writing::true_fractions(&match why {
        Not::Fault(fault) => fault.to_string(),
        Not::Drafted(words) => words,
    })
}

impl Page {
    fn lay_side_by_side(&mut self, old: &Draft, new: &Draft, desk: &Desk) {
        let showing = desk.showing();
        self.tables = vec![
            ("Drafted dimensions", rows(&dimensions(old, showing), &dimensions(new, showing), showing)),
            ("Measured back", rows(&measured(old), &measured(new), showing)),
            ("Strips", rows(&strips(old), &strips(new), showing)),
            ("Work", minutes(old, new)),
        ];
        self.tables.retain(|(_, rows)| !rows.is_empty());
        self.pieces = pieces(old, new, self.old, self.new);
        for (number, draft) in [(self.old, old), (self.new, new)] {
            let broken: Vec<_> = draft.truths.iter().filter(|truth| !truth.held).collect();
            let assumed = writing::count(draft.assumed.len(), "value", "values");
            if broken.is_empty() {
                let all = draft.truths.len();
                self.checked.push(format!("Version {number}: all {all} checks hold; {assumed} assumed."));
            }
            self.checked.extend(broken.iter().map(|truth| {
                let found = writing::true_fractions(&truth.found);
                format!("Version {number} does not hold: {}: {found}", truth.what)
            }));
        }
    }
}

/// A figure of one draft: key, words, length where it is one, else the words for it.
struct Figure {
    key: String,
    label: String,
    mm: Option<f64>,
    words: String,
}

fn dimensions(draft: &Draft, showing: Showing) -> Vec<Figure> {
    let figures = draft.dimensions.iter().map(|found| Figure {
        key: found.key.clone(),
        label: found.label.clone(),
        mm: found.mm,
        words: writing::true_fractions(&found.working.text(showing)),
    });
    figures.collect()
}

fn measured(draft: &Draft) -> Vec<Figure> {
    let figures = draft.measured.iter().map(|found| Figure {
        key: found.key.clone(),
        label: found.label.clone(),
        mm: Some(found.mm),
        words: String::new(),
    });
    figures.collect()
}

fn strips(draft: &Draft) -> Vec<Figure> {
    let mut figures = Vec::new();
    for strip in &draft.strips {
        for (part, mm) in [("length", strip.length_mm), ("cut width", strip.width_mm)] {
            figures.push(Figure {
                key: format!("{}.{part}", strip.key),
                label: format!("{}, {part}", strip.label),
                mm: Some(mm),
                words: String::new(),
            });
        }
    }
    figures
}

fn minutes(old: &Draft, new: &Draft) -> Vec<Row> {
    let all = |draft: &Draft| -> u32 { draft.steps.iter().map(|step| step.minutes).sum() };
    let (before, after) = (all(old), all(new));
    let change = i64::from(after) - i64::from(before);
    vec![Row {
        label: "All steps together".into(),
        old: format!("{before} min"),
        new: format!("{after} min"),
        change: if change == 0 { String::new() } else { format!("{change:+} min").replace('-', "−") },
        changed: change != 0,
    }]
}

/// The figures of both in the order of the newer one; what is gone comes last.
fn rows(old: &[Figure], new: &[Figure], showing: Showing) -> Vec<Row> {
    let of = |list: &'_ [Figure], key: &str| list.iter().position(|figure| figure.key == key);
    let both = new.iter().map(|after| (of(old, &after.key).and_then(|at| old.get(at)), Some(after)));
    let gone = old.iter().filter(|before| of(new, &before.key).is_none()).map(|before| (Some(before), None));
    both.chain(gone).map(|(before, after)| row(before, after, showing)).collect()
}

fn row(before: Option<&Figure>, after: Option<&Figure>, showing: Showing) -> Row {
    let told = |figure: Option<&Figure>| {
        figure.map_or_else(String::new, |figure| match figure.mm {
            Some(mm) => writing::millimetres(showing, mm),
            None => figure.words.clone(),
        })
    };
    let (old, new) = (told(before), told(after));
    let change = match (before, after) {
        (None, _) => "new".to_string(),
        (_, None) => "gone".to_string(),
        (Some(before), Some(after)) => match (before.mm, after.mm) {
            (Some(from), Some(to)) if old != new => difference(to - from, showing),
            _ if old != new => "changed".to_string(),
            _ => String::new(),
        },
    };
    Row {
        label: after.or(before).map(|figure| figure.label.clone()).unwrap_or_default(),
        changed: !change.is_empty(),
        old,
        new,
        change,
    }
}

/// By how much, with its sign: `+ ¼ in`, `− 1½ in`.
fn difference(mm: f64, showing: Showing) -> String {
    let sign = if mm < 0.0 { "−" } else { "+" };
    let size = Length::from_mm(mm.abs()).unwrap_or_default();
    // What is told differently although it hardly moved was only rounded the other way.
    if size.rounded_to(showing.step_length()) == Length::ZERO {
        return format!("{sign} a hair");
    }
    format!("{sign} {}", writing::length(showing, size))
}

fn pieces(old: &Draft, new: &Draft, old_number: u32, new_number: u32) -> Vec<PieceRow> {
    let mut rows = Vec::new();
    for after in &new.pieces {
        let before = old.pieces.iter().find(|piece| piece.key == after.key);
        let words = match before {
            None => format!("only in version {new_number}"),
            Some(before) if before.sewing == after.sewing => "the same".to_string(),
            Some(_) => format!("dotted: version {old_number}; drawn through: version {new_number}"),
        };
        let overlay = Some(Overlay::of(before.unwrap_or(after), after));
        rows.push(PieceRow { name: after.label.clone(), words, overlay });
    }
    for gone in old.pieces.iter().filter(|piece| new.pieces.iter().all(|after| after.key != piece.key)) {
        rows.push(PieceRow {
            name: gone.label.clone(),
            words: format!("only in version {old_number}"),
            overlay: Some(Overlay::of(gone, gone)),
        });
    }
    rows
}

fn text_lines(old: &str, new: &str) -> Vec<TextLine> {
    let mut lines = Vec::new();
    let mut same = 0;
    let close = |lines: &mut Vec<TextLine>, same: &mut usize| {
        if *same > 0 {
            let text = format!("{} alike", writing::count(*same, "line", "lines"));
            lines.push(TextLine { sign: " ", said: "", text });
        }
        *same = 0;
    };
    for line in line_changes::between(old, new) {
        let (sign, said, text) = match line {
            Line::Both(_) => {
                same += 1;
                continue;
            }
            Line::Gone(text) => ("−", "gone: ", text),
            Line::New(text) => ("+", "new: ", text),
        };
        close(&mut lines, &mut same);
        lines.push(TextLine { sign, said, text: text.to_string() });
    }
    close(&mut lines, &mut same);
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    fn figure(key: &str, mm: f64) -> Figure {
        Figure { key: key.into(), label: key.into(), mm: Some(mm), words: String::new() }
    }

    #[test]
    fn a_figure_that_moved_says_by_how_much() {
        let old = [figure("hem", 25.4), figure("waist", 254.0), figure("gone", 1.0)];
        let new = [figure("waist", 254.0), figure("hem", 31.75), figure("band", 50.8)];
        let rows = rows(&old, &new, Showing::EIGHTHS);
        let told: Vec<(&str, &str)> = rows.iter().map(|row| (row.label.as_str(), row.change.as_str())).collect();
        assert_eq!(told, [("waist", ""), ("hem", "+ ¼ in"), ("band", "new"), ("gone", "gone")]);
        assert_eq!(difference(-38.1, Showing::EIGHTHS), "− 1½ in");
    }

    #[test]
    fn lines_alike_are_counted_and_others_told() {
        let lines = text_lines("a\nb\nc", "a\nx\nc");
        let told: Vec<String> = lines.iter().map(|line| format!("{}{}", line.sign, line.text)).collect();
        assert_eq!(told, [" 1 line alike", "−b", "+x", " 1 line alike"]);
    }
}
