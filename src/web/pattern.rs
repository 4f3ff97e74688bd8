//! The pattern of a garment, to be downloaded: all of it as PDF, or one piece as SVG.
//! Nothing is written or kept; the file is named by the order's number and letter alone.

use axum::extract::{Path, State};
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse, Response};

use crate::draft::Draft;
use crate::sheet::{self, Asked, Marks, Paper, PatternError};
use crate::shop::{Letter, OrderNumber, SheetSize};
use crate::store::Reader;

use super::desk::Desk;
use super::fault::Fault;
use super::fields::Fields;
use super::order_draft;
use super::path;
use super::state::App;

/// What a pattern is drawn from.
struct Drawn {
    draft: Draft,
    marks: Marks,
    shop: SheetSize,
}

/// The papers that are offered, the shop's own chosen.
#[must_use]
pub fn papers(desk: &Desk) -> Vec<(&'static str, &'static str, bool)> {
    let own = own(desk.settings.sheet);
    Paper::ALL.iter().map(|paper| (paper.key(), paper.words(), *paper == own)).collect()
}

const fn own(sheet: SheetSize) -> Paper {
    match sheet {
        SheetSize::A4 => Paper::A4,
        SheetSize::Letter => Paper::Letter,
    }
}

/// The pattern; `?paper=a4`, `?pieces=A&pieces=C` (or `A,C`), `?opened=yes`.
///
/// # Errors
/// [`Fault::NotFound`] without such a garment; [`Fault::Refused`] when it cannot be drawn, in words.
pub async fn show(
    State(app): State<App>,
    Path((number, letter)): Path<(String, String)>,
    query: Fields,
) -> Result<Response, Fault> {
    let (number, letter) = (path::order(&number)?, path::letter(&letter)?);
    let paper = match query.filled("paper") {
        None => None,
        Some(key) => Some(Paper::from_key(key).ok_or_else(|| unknown(key))?),
    };
    let pieces = query.all("pieces").flat_map(|text| text.split(',')).map(str::trim).filter(|text| !text.is_empty());
    let pieces: Vec<String> = pieces.map(Into::into).collect();
    let opened = query.text("opened") == "yes";
    let drawn = app.read(move |book, desk| drawn(book, desk, number, letter)).await?;
    // Outside the read: many sheets take their time.
    app.think(move || {
        let paper = paper.unwrap_or(own(drawn.shop));
        let asked = Asked { pieces, opened, paper };
        let pattern = sheet::pattern(&drawn.draft, &drawn.marks, &asked).map_err(|why| refused(&why))?;
        let bytes = sheet::pattern_pdf(&pattern).map_err(|why| refused(&why))?;
        Ok(file("application/pdf", &format!("pattern-{number}-{letter}-{}.pdf", paper.key()), bytes))
    })
    .await
}

/// One piece: `…/piece/A.svg`, `?opened=yes`.
///
/// # Errors
/// [`Fault::NotFound`] without such a garment; [`Fault::Refused`] when it cannot be drawn, in words.
pub async fn piece(
    State(app): State<App>,
    Path((number, letter, piece)): Path<(String, String, String)>,
    query: Fields,
) -> Result<Response, Fault> {
    let (number, letter) = (path::order(&number)?, path::letter(&letter)?);
    let piece = piece.strip_suffix(".svg").ok_or(Fault::NotFound("piece"))?.to_string();
    let opened = query.text("opened") == "yes";
    let drawn = app.read(move |book, desk| drawn(book, desk, number, letter)).await?;
    app.think(move || {
        let known = drawn.draft.pieces.iter().find(|known| known.letter.eq_ignore_ascii_case(&piece));
        let known = known.ok_or(Fault::NotFound("piece"))?.letter.clone();
        let text = sheet::piece_svg(&drawn.draft, &drawn.marks, &known, opened).map_err(|why| refused(&why))?;
        Ok(file("image/svg+xml", &format!("piece-{number}-{letter}-{known}.svg"), text.into_bytes()))
    })
    .await
}

fn drawn(book: &Reader, desk: &Desk, number: OrderNumber, letter: Letter) -> Result<Drawn, Fault> {
    let garment = order_draft::garment(book, number, letter)?;
    let facts = &garment.facts;
    let Some(version) = facts.style.map(|id| book.style_version(id)).transpose()? else {
        let words = "This garment is made without a style, so there is no pattern of it.";
        return Err(Fault::Refused(StatusCode::UNPROCESSABLE_ENTITY, words.into()));
    };
    let body = book.body(facts.wearer, facts.set)?;
    let draft = order_draft::draft_of(facts, &version, &body, desk)
        .map_err(|why| Fault::Refused(StatusCode::UNPROCESSABLE_ENTITY, why))?;
    let marks = Marks {
        mark: format!("{number} {letter}"),
        client: book.client(facts.wearer)?.called().into(),
        what: facts.what.clone(),
        day: desk.today.format("%-d %b %Y").to_string(),
        unit: desk.showing().unit(),
    };
    Ok(Drawn { draft, marks, shop: desk.settings.sheet })
}

/// Why there is no file, on a page.
pub(super) fn refused(why: &PatternError) -> Fault {
    match why {
        PatternError::Pdf { .. } => Fault::Broken(why.to_string()),
        _ => Fault::Refused(StatusCode::UNPROCESSABLE_ENTITY, why.to_string()),
    }
}

fn unknown(key: &str) -> Fault {
    let known = Paper::ALL.map(Paper::words).join(", ");
    let key: String = key.chars().take(20).collect();
    Fault::Refused(
        StatusCode::UNPROCESSABLE_ENTITY,
        format!("“{key}” is no paper that patterns are printed on. Choose one of {known}."),
    )
}

/// A file to be kept; its name is made of a number and letters of ours.
pub(super) fn file(kind: &'static str, name: &str, bytes: Vec<u8>) -> Response {
    let kept = format!("attachment; filename=\"{name}\"");
    ([(header::CONTENT_TYPE, kind.to_string()), (header::CONTENT_DISPOSITION, kept)], bytes).into_response()
}
