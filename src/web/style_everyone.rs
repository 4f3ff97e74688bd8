//! A style drafted for all clients: for whom it breaks, who lacks measures, what is assumed.
//! A batch at a time, so that a book of thousands answers at once; a script goes on by itself.

use std::collections::BTreeMap;

use askama::Template;
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::Response;

use crate::draft::Style as Rules;
use crate::job::{self, Tried};
use crate::measure::{tape_place, term};
use crate::store::BodyRow;

use super::desk::Desk;
use super::fault::{Fault, render};
use super::fields::Fields;
use super::frame::{Frame, Here};
use super::state::App;
use super::writing;

/// Clients of one answer. Judgement: about a third of a second on a slow machine.
const BATCH: u32 = 400;

/// Beyond this nobody goes on; it also keeps the place in range.
const MOST_CLIENTS: u32 = 1_000_000;

#[derive(Template)]
#[template(path = "style_everyone.html")]
struct Page {
    frame: Frame,
    key: String,
    label: String,
    whom: String,
    /// The first client of this batch, counted from nought, and how many there are in the book.
    from: u32,
    to: u32,
    all: u32,
    next: Option<u32>,
    batch: u32,
    tally: Tally,
}

/// What came of a batch.
#[derive(Default)]
struct Tally {
    drafted: usize,
    broken: Vec<Line>,
    refused: Vec<Line>,
    lacking: Vec<Line>,
    /// Clients for whom the style is not meant.
    others: usize,
    /// Clients of whom nothing was ever measured.
    unmeasured: usize,
    /// Values that were assumed, over all drafts.
    assumed_values: usize,
    /// The dimension and for how many it was assumed.
    assumed: Vec<(String, usize)>,
}

struct Line {
    client: i64,
    called: String,
    words: Vec<String>,
}

impl Page {
    fn rows(&self) -> [(&'static str, &'static str, usize); 6] {
        let tally = &self.tally;
        [
            ("drafted", "Drafted, and every check holds", tally.drafted),
            ("broken", "Drafted, and would not sew", tally.broken.len()),
            ("refused", "Refused: the style does not suit this body", tally.refused.len()),
            ("lacking", "Measures to be taken first", tally.lacking.len()),
            ("unmeasured", "Never measured", tally.unmeasured),
            ("others", "Not tried: the style is for others", tally.others),
        ]
    }

    fn lists(&self) -> [(&'static str, &'static str, &Vec<Line>); 3] {
        [
            ("broken", "It would not sew for", &self.tally.broken),
            ("refused", "It is refused for", &self.tally.refused),
            ("lacking", "Measures to be taken", &self.tally.lacking),
        ]
    }
}

/// A batch of clients, from the place that the address names.
///
/// # Errors
/// [`Fault::NotFound`] without such a style; [`Fault::Refused`] when its text does not read.
pub async fn show(State(app): State<App>, Path(key): Path<String>, query: Fields) -> Result<Response, Fault> {
    let from: u32 = query.text("from").parse().unwrap_or(0).min(MOST_CLIENTS);
    let (style, rows, all, desk) = app
        .read(move |book, desk| {
            let style = book.style(&key)?;
            Ok((style, book.bodies(BATCH, from)?, book.count_clients()?, desk.clone()))
        })
        .await?;
    // The drafting takes none of the readers, and never more than its share of the machine.
    app.think(move || {
        let rules = Rules::read(&style.current.text).map_err(|why| {
            let words = format!("The text of {} has a fault, {why}. Edit the style first.", style.current.label);
            Fault::Refused(StatusCode::UNPROCESSABLE_ENTITY, words)
        })?;
        let to = from.saturating_add(u32::try_from(rows.rows.len()).unwrap_or(0));
        let page = Page {
            frame: desk.frame(format!("{} for everyone", style.current.label), Here::Styles),
            key: style.key,
            label: style.current.label,
            whom: match rules.wearer() {
                "anyone" => "anyone".into(),
                wearer => format!("{wearer}, and whoever is not said to be another"),
            },
            from,
            to,
            all,
            next: rows.more.then_some(to),
            batch: BATCH,
            tally: tally(&rules, &rows.rows, &desk),
        };
        Ok(render(StatusCode::OK, &page))
    })
    .await
}

fn tally(rules: &Rules, rows: &[BodyRow], desk: &Desk) -> Tally {
    let mut tally = Tally::default();
    let mut counts: BTreeMap<String, usize> = BTreeMap::new();
    let mut count = |tally: &mut Tally, assumed: Vec<String>| {
        tally.assumed_values += assumed.len();
        for key in assumed {
            *counts.entry(key).or_default() += 1;
        }
    };
    for row in rows {
        if !job::is_for(rules, row.wearer) {
            tally.others += 1;
            continue;
        }
        if row.body.values.is_empty() {
            tally.unmeasured += 1;
            continue;
        }
        let line = |words: Vec<String>| Line { client: row.client.get(), called: row.called.clone(), words };
        match job::tried(rules, row.client, &row.body, &desk.settings) {
            Tried::Holds { assumed } => {
                tally.drafted += 1;
                count(&mut tally, assumed);
            }
            Tried::Breaks { broken, assumed } => {
                let words = broken.iter().map(|(what, found)| writing::true_fractions(&format!("{what}: {found}")));
                tally.broken.push(line(words.collect()));
                count(&mut tally, assumed);
            }
            Tried::Refused(words) => tally.refused.push(line(vec![writing::true_fractions(&words)])),
            Tried::Lacks { keys } => {
                let terms: Vec<String> = keys.iter().map(|key| term(key)).collect();
                tally.lacking.push(line(vec![terms.join(", ")]));
            }
        }
    }
    let mut assumed: Vec<(String, usize)> = counts.into_iter().collect();
    assumed.sort_by_key(|(key, _)| tape_place(key));
    tally.assumed = assumed.into_iter().map(|(key, count)| (term(&key), count)).collect();
    tally
}
