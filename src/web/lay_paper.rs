//! A garment's lay on paper: sheets for the table beside the cloth, and a plot in true scale.

use askama::Template;
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::Response;

use crate::geom::Point;
use crate::job::Laid;
use crate::lay::{self, Picture};
use crate::sheet::{self, LayMarks, LaySheet, Roll};
use crate::shop::{Letter, OrderNumber, SheetSize};

use super::desk::Desk;
use super::fault::{Fault, render};
use super::fields::Fields;
use super::frame::{Frame, Here};
use super::lay_shown::{LayFacts, LayStanding, Shown};
use super::path;
use super::pattern;
use super::state::App;
use super::writing;

#[derive(Template)]
#[template(path = "lay_paper.html")]
pub(super) struct LayPaper {
    frame: Frame,
    /// Where the page leads back to, and the words for it.
    back: (String, String),
    /// The page itself, for the other papers.
    here: String,
    papers: Vec<(&'static str, &'static str, bool)>,
    stylesheet: &'static str,
    /// Where the plot is, and the rolls that it is offered on.
    plot: Option<(String, Vec<(&'static str, &'static str)>)>,
    whose: String,
    what: String,
    marks: Vec<(&'static str, String)>,
    /// How the cloth is spread, at which scale it is drawn, who accepted it.
    words: String,
    warning: Option<String>,
    sheets: Vec<String>,
    /// The letters with the names of their pieces.
    key: Vec<(String, String)>,
}

/// What a lay on paper says of itself.
pub(super) struct Head {
    /// The title of the page.
    pub(super) title: String,
    /// Where it leads back to, and the words for it.
    pub(super) back: (String, String),
    /// Its own address.
    pub(super) here: String,
    /// Where the plot is.
    pub(super) plot: Option<String>,
    /// Whose it is, in the largest letters.
    pub(super) whose: String,
    /// What it is.
    pub(super) what: String,
    /// The order's number and the garment's letter.
    pub(super) mark: String,
}

/// The room for the drawing on a sheet that lies on its side, mm: the paper within margins of
/// 10 mm, less the head and, on the first, the names.
const fn room(paper: SheetSize) -> Point {
    match paper {
        SheetSize::A4 => [277.0, 154.0],
        SheetSize::Letter => [259.0, 158.0],
    }
}

/// The lay on sheets; `?paper=a4` or `?paper=letter`, else the shop's paper.
///
/// # Errors
/// [`Fault::NotFound`] without such a garment; [`Fault::Refused`] when there is no lay, in words.
pub async fn show(
    State(app): State<App>,
    Path((number, letter)): Path<(String, String)>,
    query: Fields,
) -> Result<Response, Fault> {
    let (number, letter) = (path::order(&number)?, path::letter(&letter)?);
    let paper = SheetSize::from_key(query.text("paper"));
    let (desk, facts, client) = app.read(move |book, desk| gathered(book, desk, number, letter)).await?;
    app.think(move || {
        let shown = facts.shown(&desk).map_err(|why| refused(&why))?;
        let base = format!("/orders/{number}/{letter}");
        let head = Head {
            title: format!("Lay of {number} {letter}"),
            back: (format!("{base}/cloth"), format!("Cloth of {number} {letter}")),
            here: format!("{base}/lay"),
            plot: Some(format!("{base}/lay.pdf")),
            whose: client,
            what: facts.garment.facts.what.clone(),
            mark: format!("{number} {letter}"),
        };
        Ok(render(StatusCode::OK, &LayPaper::of(head, &desk, &shown.laid, &shown.standing, paper)))
    })
    .await
}

fn gathered(
    book: &crate::store::Reader,
    desk: &Desk,
    number: OrderNumber,
    letter: Letter,
) -> Result<(Desk, LayFacts, String), Fault> {
    let facts = LayFacts::of(book, number, letter)?;
    let client = book.client(facts.garment.facts.wearer)?.called().to_string();
    Ok((desk.clone(), facts, client))
}

impl LayPaper {
    /// A lay on the paper asked for, else the shop's.
    pub(super) fn of(
        head: Head,
        desk: &Desk,
        laid: &Laid,
        standing: &LayStanding,
        paper: Option<SheetSize>,
    ) -> LayPaper {
        let paper = paper.unwrap_or(desk.settings.sheet);
        let picture = lay::picture(&laid.job, &laid.lay, desk.showing());
        let sheets = sheet::lay_sheets(&picture, desk.showing().unit(), room(paper));
        let set = |text: &str| writing::true_fractions(text);
        let step = laid.need.step;
        let count = sheets.len();
        let scale = sheets.first().map_or(1.0, |sheet| sheet.one_to);
        let accepted = match standing {
            LayStanding::Accepted(words) => format!(" {words}."),
            _ => String::new(),
        };
        let describe = |(index, sheet): (usize, &LaySheet)| {
            set(&sheet.svg(&format!("The lay of {}, sheet {} of {count}, 1 to {scale:.1}", head.mark, index + 1)))
        };
        LayPaper {
            frame: desk.frame(head.title.clone(), Here::Orders),
            papers: SheetSize::ALL.iter().map(|size| (size.key(), size.words(), *size == paper)).collect(),
            stylesheet: match paper {
                SheetSize::A4 => "lay-a4.css",
                SheetSize::Letter => "lay-letter.css",
            },
            plot: head.plot.clone().map(|to| (to, Roll::ALL.map(|roll| (roll.key(), roll.words())).to_vec())),
            marks: vec![
                ("Order", head.mark.clone()),
                ("Width", desk.length(laid.width)),
                ("Lay", set(&step.written(laid.need.lay_length))),
                ("Cut off", set(&step.written(laid.need.cut_length))),
            ],
            words: format!("{}. Drawn 1 to {scale:.1}.{accepted} {}.", capital(laid.spread()), set(&laid.need.text())),
            warning: match standing {
                LayStanding::Outdated(words) => Some(words.clone()),
                _ => None,
            },
            sheets: sheets.iter().enumerate().map(describe).collect(),
            key: key(&picture),
            whose: head.whose,
            what: head.what,
            back: head.back,
            here: head.here,
        }
    }
}

/// Each letter with the name of its piece, once.
fn key(picture: &Picture) -> Vec<(String, String)> {
    let mut key: Vec<(String, String)> =
        picture.pieces.iter().map(|piece| (piece.letter.clone(), piece.label.clone())).collect();
    key.sort();
    key.dedup();
    key
}

fn capital(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// The lay in true scale as a PDF; `?roll=cloth`, `?roll=36`, `?roll=60`.
///
/// # Errors
/// [`Fault::NotFound`] without such a garment; [`Fault::Refused`] when there is no lay, in words.
pub async fn plot(
    State(app): State<App>,
    Path((number, letter)): Path<(String, String)>,
    query: Fields,
) -> Result<Response, Fault> {
    let (number, letter) = (path::order(&number)?, path::letter(&letter)?);
    let roll = match query.filled("roll") {
        None => Roll::Cloth,
        Some(key) => Roll::from_key(key).ok_or_else(|| unknown(key))?,
    };
    let (desk, facts, client) = app.read(move |book, desk| gathered(book, desk, number, letter)).await?;
    app.think(move || {
        let Shown { laid, .. } = facts.shown(&desk).map_err(|why| refused(&why))?;
        let picture = lay::picture(&laid.job, &laid.lay, desk.showing());
        let marks = LayMarks {
            mark: format!("{number} {letter}"),
            client,
            what: facts.garment.facts.what.clone(),
            day: desk.today.format("%-d %b %Y").to_string(),
            unit: desk.showing().unit(),
            width: desk.showing().with_unit(laid.width),
            length: laid.need.step.written(laid.need.lay_length),
            needs: capital(&laid.need.text()),
            spread: picture.spread.into(),
        };
        let plot = sheet::lay_plot(&picture, &marks, roll).map_err(|why| pattern::refused(&why))?;
        let bytes = sheet::pattern_pdf(&plot).map_err(|why| pattern::refused(&why))?;
        Ok(pattern::file("application/pdf", &format!("lay-{number}-{letter}-{}.pdf", roll.key()), bytes))
    })
    .await
}

fn unknown(key: &str) -> Fault {
    let known = Roll::ALL.map(Roll::key).join(", ");
    let key: String = key.chars().take(20).collect();
    refused(&format!("“{key}” is no roll that lays are plotted on. Choose one of {known}."))
}

fn refused(words: &str) -> Fault {
    Fault::Refused(StatusCode::UNPROCESSABLE_ENTITY, writing::true_fractions(words))
}
