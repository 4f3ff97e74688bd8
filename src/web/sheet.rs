//! The job sheet of a garment as a page that is printed: A4 or Letter, cutter's
//! side and sewer's side.

use std::collections::BTreeMap;

use askama::Template;
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};

use crate::draft::{Cloth, Draft, DraftError, Style};
use crate::job::{self, Laid};
use crate::lay::LayError;
use crate::sheet::{Alert, AlertKind, Code, Facts, Figure, JobSheet, figures, job_sheet};
use crate::shop::{Body, ClothOf, Garment, Letter, OrderNumber, SheetSize};
use crate::store::{GarmentPage, OrderPage, Reader};

use super::desk::Desk;
use super::fault::{Fault, render};
use super::fields::Fields;
use super::frame::{Frame, Here};
use super::lay_shown::{self, KeptLay, LayStanding};
use super::path;
use super::sheet_lay::SheetLay;
use super::sheet_piece::PieceDrawing;
use super::state::App;
use super::writing;

#[derive(Template)]
#[template(path = "sheet.html")]
struct Page {
    frame: Frame,
    number: String,
    letter: String,
    papers: Vec<(&'static str, &'static str, bool)>,
    stylesheet: &'static str,
    sheet: JobSheet,
    lays: Vec<SheetLay>,
    /// Who accepted the lay of the main cloth, and when; or that it is not the one it is cut by.
    accepted: Option<String>,
    large: Vec<PieceDrawing>,
    small: Vec<PieceDrawing>,
    figures: [Figure; 2],
    stages: Vec<(String, bool)>,
}

impl Page {
    /// The text with true fractions.
    fn set(&self, text: &str) -> String {
        writing::true_fractions(text)
    }

    /// How large the name is written: as large as its length leaves room for.
    fn size(&self) -> &'static str {
        match self.sheet.head.name.chars().count() {
            ..=12 => "short-name",
            13..=24 => "long-name",
            _ => "very-long-name",
        }
    }

    /// Minutes as hours and minutes.
    fn hours(&self) -> String {
        let (hours, rest) = (self.sheet.minutes / 60, self.sheet.minutes % 60);
        if rest == 0 { format!("{hours} h") } else { format!("{hours} h {rest} min") }
    }

    /// The box that the square code is drawn in.
    fn code_view(&self, code: &Code) -> String {
        format!("0 0 {0} {0}", code.side)
    }
}

/// The sheet; `?paper=a4` or `?paper=letter`, else the shop's paper.
///
/// # Errors
/// [`Fault::NotFound`] without such a garment.
pub async fn show(
    State(app): State<App>,
    Path((number, letter)): Path<(String, String)>,
    query: Fields,
) -> Result<Response, Fault> {
    let (number, letter) = (path::order(&number)?, path::letter(&letter)?);
    let paper = SheetSize::from_key(query.text("paper"));
    let (desk, gathered) = app.read(move |book, desk| Ok((desk.clone(), gathered(book, number, letter)?))).await?;
    // Outside the read: the sheet is drafted and laid.
    app.think(move || {
        let paper = paper.unwrap_or(desk.settings.sheet);
        Ok(render(StatusCode::OK, &view(&desk, &gathered, paper)))
    })
    .await
}

/// Where the code on a sheet leads: the garment on its order's page.
///
/// # Errors
/// [`Fault::NotFound`] when the address names no garment.
pub async fn garment(Path((number, letter)): Path<(String, String)>) -> Result<Response, Fault> {
    let (number, letter) = (path::order(&number)?, path::letter(&letter)?);
    Ok(Redirect::to(&format!("/orders/{number}#{letter}")).into_response())
}

/// What a sheet is made from, read from the book.
struct Gathered {
    whole: OrderPage,
    page: GarmentPage,
    body: Body,
    /// The lays that were accepted.
    kept: BTreeMap<ClothOf, KeptLay>,
}

fn gathered(book: &Reader, number: OrderNumber, letter: Letter) -> Result<Gathered, Fault> {
    let whole = book.order_page(number)?;
    let page = whole.garments.iter().find(|page| page.garment.letter == letter);
    let page = page.cloned().ok_or(Fault::NotFound("garment"))?;
    let body = book.body(page.garment.facts.wearer, page.garment.facts.set)?;
    let kept = KeptLay::all(book, page.lays.clone())?;
    Ok(Gathered { whole, page, body, kept })
}

/// How the lays of a garment's cloths stand.
type Standings = Vec<(ClothOf, LayStanding)>;

/// Each cloth of a draft laid, as it was accepted; and how the lays of those stand.
fn lays(desk: &Desk, from: &Gathered, draft: &Draft) -> (Vec<Result<Laid, LayError>>, Standings) {
    let mut standings = Vec::new();
    let laid = |kind: Cloth| {
        let cloth = job::cloth_of(kind);
        let (laid, how) = lay_shown::laid(draft, &from.page.garment, cloth, &from.kept, desk)?;
        standings.push((cloth, how));
        Ok(laid)
    };
    let lays = job::cloths(draft).into_iter().map(laid).collect();
    (lays, standings)
}

/// What a sheet says of the accepted lay of its main cloth behind its name; what is not right stands among
/// the alerts.
fn told(standings: Standings, alerts: &mut Vec<Alert>) -> Option<String> {
    let mut accepted = None;
    for (cloth, standing) in standings {
        let text = match standing {
            LayStanding::First => continue,
            LayStanding::Accepted(words) => {
                if cloth == ClothOf::Main {
                    accepted = Some(format!("; a{}", words.trim_start_matches('A')));
                }
                continue;
            }
            LayStanding::Joint(words, _) => {
                accepted = Some("; of this garment by itself".into());
                format!("{words}. Take the sheets of the joint lay to the table.")
            }
            LayStanding::Outdated(words) => words,
        };
        let place = alerts.iter().position(|alert| !alert.kind.stops()).unwrap_or(alerts.len());
        alerts.insert(place, Alert { kind: AlertKind::OtherLay, text });
    }
    accepted
}

fn view(desk: &Desk, from: &Gathered, paper: SheetSize) -> Page {
    let Gathered { whole, page, body, .. } = from;
    let garment = &page.garment;
    let style = page.style.as_ref().map(|version| Style::read(&version.text));
    let read = style.as_ref().and_then(|style| style.as_ref().ok());
    let draft = style.as_ref().map(|style| match style {
        Ok(style) => job::drafted(style, &garment.facts, body, &desk.settings),
        Err(why) => Err(DraftError::Rule(why.clone())),
    });
    let (lays, standings) = match &draft {
        Some(Ok(draft)) => lays(desk, from, draft),
        _ => (Vec::new(), Vec::new()),
    };
    let facts = Facts {
        order: &whole.order,
        garment,
        wearer: &page.wearer,
        style: read,
        body,
        fittings: &whole.fittings,
        settings: &desk.settings,
        today: desk.today,
    };
    let mut sheet = job_sheet(&facts, draft.as_ref(), &lays);
    let accepted = told(standings, &mut sheet.alerts);
    let (large, small) = PieceDrawing::of_all(&sheet.pieces, paper);
    let mark = &sheet.head.mark;
    Page {
        frame: desk.frame(format!("Job sheet {mark}, {}", sheet.head.name), Here::Orders),
        number: whole.order.number.to_string(),
        letter: garment.letter.to_string(),
        papers: SheetSize::ALL.iter().map(|size| (size.key(), size.words(), *size == paper)).collect(),
        stylesheet: match paper {
            SheetSize::A4 => "sheet-a4.css",
            SheetSize::Letter => "sheet-letter.css",
        },
        lays: sheet
            .lays
            .iter()
            .zip(0..)
            .map(|((name, picture), place)| SheetLay::of(name, picture, paper, place == 0))
            .collect(),
        accepted,
        large,
        small,
        figures: figures(),
        stages: stages(garment),
        sheet,
    }
}

/// The stages that the garment passes, and whether each lies behind it.
fn stages(garment: &Garment) -> Vec<(String, bool)> {
    crate::shop::Stage::ALL
        .iter()
        .filter(|stage| stage.is_passed(garment.facts.fittings))
        .map(|stage| (stage.words().into(), *stage <= garment.stage))
        .collect()
}
