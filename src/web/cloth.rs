//! The cloth of a garment: how much to buy, at each width, and the lay as a picture.
//! Laying takes its time, so both are requests of their own.

use std::fmt::Write;

use askama::Template;
use axum::extract::{Path, State};
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse, Response};

use crate::draft::Draft;
use crate::geom::Point;
use crate::job::{self, Laid};
use crate::lay::{self, Picture};
use crate::measure::Length;
use crate::shop::{Garment, Letter, OrderNumber, StyleVersion};
use crate::store::Reader;

use super::desk::Desk;
use super::fault::{Fault, render};
use super::frame::{Frame, Here};
use super::order_draft;
use super::path;
use super::state::App;
use super::writing;

#[derive(Template)]
#[template(path = "cloth.html")]
struct Page {
    frame: Frame,
    number: String,
    letter: String,
    what: String,
    why_not: Option<String>,
    verdict: String,
    is_short: bool,
    lines: Vec<(String, String, bool)>,
    widths: Vec<(String, String)>,
    width_words: String,
}

/// A lay as an SVG of its own; a picture element sees no stylesheet, so looks are attributes.
#[derive(Template)]
#[template(path = "lay.svg", escape = "html")]
struct Drawing {
    view: String,
    cloth: String,
    selvedges: String,
    fold: Option<(String, String)>,
    /// The edge of the flap that lies under: where, how far, and on which side its words end or start.
    flap: Option<(String, String, &'static str)>,
    pieces: Vec<Drawn>,
    /// The ruler: how far along, from where to where, and its figure.
    ticks: Vec<(String, String, String, Option<String>)>,
    arrow: Option<(String, String, String)>,
    /// Which side is up, and what to buy.
    side: String,
    /// Where the words about the side stand: below the cloth.
    length: String,
    size: String,
    words: String,
}

/// Why there is no lay, in the lay's place.
#[derive(Template)]
#[template(path = "lay_none.svg", escape = "html")]
struct NoLay {
    words: String,
    lines: Vec<String>,
}

impl NoLay {
    /// Letters in a row of the picture, about as many as its width holds. Judgement.
    const ROW: usize = 52;

    fn saying(words: &str) -> NoLay {
        let mut lines: Vec<String> = Vec::new();
        for word in words.split_whitespace() {
            match lines.last_mut() {
                Some(line) if line.chars().count() + 1 + word.chars().count() <= Self::ROW => {
                    line.push(' ');
                    line.push_str(word);
                }
                _ => lines.push(word.to_owned()),
            }
        }
        NoLay { words: words.to_owned(), lines }
    }
}

struct Drawn {
    path: String,
    x: String,
    y: String,
    letter: String,
    under: String,
}

/// The cloth need with its sum and the needs at other widths.
///
/// # Errors
/// [`Fault::NotFound`] without such a garment.
pub async fn show(State(app): State<App>, Path((number, letter)): Path<(String, String)>) -> Result<Response, Fault> {
    let (number, letter) = (path::order(&number)?, path::letter(&letter)?);
    let (desk, garment, laid) = app.read(move |book, desk| drafted(book, desk, number, letter)).await?;
    // Outside the read: a lay takes longer than any other page, and holds no reader meanwhile.
    app.think(move || {
        let page = page(&desk, number, letter, &garment, laid.lay(&desk));
        Ok(render(StatusCode::OK, &page))
    })
    .await
}

/// The lay as a picture; where nothing can be laid, the reason as a picture, since the
/// order's page has left room for one.
///
/// # Errors
/// [`Fault::NotFound`] without such a garment.
pub async fn picture(
    State(app): State<App>,
    Path((number, letter)): Path<(String, String)>,
) -> Result<Response, Fault> {
    let (number, letter) = (path::order(&number)?, path::letter(&letter)?);
    let (desk, _, laid) = app.read(move |book, desk| drafted(book, desk, number, letter)).await?;
    app.think(move || {
        let svg = match laid.lay(&desk) {
            Ok((_, laid)) => {
                let picture = lay::picture(&laid.job, &laid.lay, desk.showing());
                drawing(&picture, writing::true_fractions(&laid.need.text())).render()
            }
            Err(why) => NoLay::saying(&writing::true_fractions(&why)).render(),
        };
        let svg = svg.map_err(|why| Fault::Broken(why.to_string()))?;
        Ok(([(header::CONTENT_TYPE, "image/svg+xml")], svg).into_response())
    })
    .await
}

/// All that a lay is made from, read from the book.
struct Facts {
    garment: Garment,
    style: Option<StyleVersion>,
    body: crate::shop::Body,
}

impl Facts {
    fn lay(&self, desk: &Desk) -> Result<(Draft, Laid), String> {
        let style = self.style.as_ref().ok_or("This garment is made without a draft, so nothing is laid.")?;
        order_draft::laid(&self.garment.facts, style, &self.body, desk)
    }
}

fn drafted(book: &Reader, desk: &Desk, number: OrderNumber, letter: Letter) -> Result<(Desk, Garment, Facts), Fault> {
    let garment = order_draft::garment(book, number, letter)?;
    let style = garment.facts.style.map(|id| book.style_version(id)).transpose()?;
    let body = book.body(garment.facts.wearer, garment.facts.set)?;
    Ok((desk.clone(), garment.clone(), Facts { garment, style, body }))
}

fn page(
    desk: &Desk,
    number: OrderNumber,
    letter: Letter,
    garment: &Garment,
    laid: Result<(Draft, Laid), String>,
) -> Page {
    let mut page = Page {
        frame: desk.frame(format!("Cloth of {number} {letter}"), Here::Orders),
        number: number.to_string(),
        letter: letter.to_string(),
        what: garment.facts.what.clone(),
        why_not: None,
        verdict: String::new(),
        is_short: false,
        lines: Vec::new(),
        widths: Vec::new(),
        width_words: String::new(),
    };
    let (draft, laid) = match laid {
        Ok(laid) => laid,
        Err(why) => return Page { why_not: Some(writing::true_fractions(&why)), ..page },
    };
    let cloth = &garment.facts.cloth;
    let step = job::selling(desk.settings.selling_step);
    let set = |length: Length| writing::true_fractions(&step.written(length));
    page.width_words = format!(
        "Laid on cloth {} wide{}; {}.",
        desk.length(laid.width),
        if laid.width_assumed { " (assumed: write the width on the order)" } else { "" },
        laid.lay.spread()
    );
    let buy = writing::true_fractions(&step.bought(laid.need.to_buy));
    let last = laid.need.lines.len().saturating_sub(1);
    page.lines = laid
        .need
        .lines
        .iter()
        .enumerate()
        .map(|(place, line)| {
            // The last line is what is asked for in the shop, in its own step.
            let length = if place == last { buy.clone() } else { set(line.length) };
            (writing::true_fractions(&line.label), length, line.total)
        })
        .collect();
    (page.verdict, page.is_short) = match cloth.length {
        None => (format!("Buy {buy}."), false),
        Some(have) => match laid.short_by(have) {
            Length::ZERO => (format!("Needs {}, have {}: it suffices.", set(laid.need.cut_length), set(have)), false),
            short => (
                format!(
                    "Needs {}, have {}: {} too short. Do not cut.",
                    set(laid.need.cut_length),
                    set(have),
                    set(short)
                ),
                true,
            ),
        },
    };
    page.widths = job::needs_by_width(&draft, cloth, &desk.settings)
        .into_iter()
        .map(|at| {
            let need = match at.need {
                Ok(need) => format!("buy {}", writing::true_fractions(&step.bought(need.to_buy))),
                Err(why) => writing::true_fractions(&why.to_string()),
            };
            (desk.length(at.width), need)
        })
        .collect();
    page
}

/// A flap that ends so near to the selvedge is no flap: the selvedges lie on one another. Judgement.
const NEAR_MM: f64 = 1.0;

fn drawing(picture: &Picture, words: String) -> Drawing {
    let selvedge = picture.selvedge_mm;
    let length = picture.length_mm.max(1.0);
    // Letters stay legible on a long narrow lay and small enough on a short one.
    let size = (picture.width_mm / 28.0).clamp(16.0, 48.0);
    let margin = size * 5.0;
    // As far as the cloth and its selvedges are seen: a lay folded to its end only up to the fold.
    let seen = picture.cloth.iter().chain(picture.selvedges.iter().flatten()).map(|point| point[0]).fold(0.0, f64::max);
    // Its words stand right of it unless those of the fold are there.
    let flap_words = |at: f64| {
        let clear = picture.fold_at_mm.is_none_or(|fold| at + size * 7.0 < fold);
        if clear { "start" } else { "end" }
    };
    Drawing {
        view: format!(
            "{} {} {} {}",
            figure(-selvedge - size),
            figure(-size * 2.5),
            figure(seen + selvedge + size + margin),
            figure(length + size * 3.5)
        ),
        cloth: closed(&picture.cloth),
        selvedges: picture.selvedges.iter().map(|selvedge| closed(selvedge)).collect(),
        flap: picture
            .flap_edge_mm
            .filter(|at| *at > NEAR_MM)
            .map(|at| (figure(at), figure(picture.folded_mm), flap_words(at))),
        fold: picture
            .fold_at_mm
            .filter(|_| picture.folded_mm > 0.0)
            .map(|fold| (figure(fold), figure(picture.folded_mm))),
        pieces: picture
            .pieces
            .iter()
            .map(|piece| Drawn {
                path: closed(&piece.outline),
                x: figure(piece.middle[0]),
                y: figure(piece.middle[1] + size * 0.35),
                letter: piece.letter.clone(),
                under: if piece.on_fold {
                    "on fold".into()
                } else if piece.layers > 1 {
                    format!("× {}", piece.layers)
                } else if piece.turned_over {
                    "turned over".into()
                } else {
                    String::new()
                },
            })
            .collect(),
        ticks: picture
            .ticks
            .iter()
            .map(|tick| {
                let reach = if tick.label.is_some() { size } else { size * 0.5 };
                let label = tick.label.as_ref().map(|label| writing::true_fractions(label));
                (figure(tick.y_mm), figure(seen), figure(seen + reach), label)
            })
            .collect(),
        arrow: picture.one_way.then(|| (figure(seen * 0.5), figure(-size * 1.2), figure(-size * 2.3))),
        length: figure(picture.length_mm),
        // The sum ends in what to buy; the rest of it stands on the cloth page.
        side: format!(
            "{}; {}",
            if picture.wrong_side_up { "wrong side up" } else { "right side up" },
            words.rsplit("; ").next().unwrap_or_default()
        ),
        size: figure(size),
        words,
    }
}

fn closed(outline: &[Point]) -> String {
    let mut path = String::new();
    for (index, point) in outline.iter().enumerate() {
        let pen = if index == 0 { 'M' } else { 'L' };
        let _ = write!(path, "{pen}{} {}", figure(point[0]), figure(point[1]));
    }
    path.push('Z');
    path
}

fn figure(value: f64) -> String {
    let text = format!("{value:.1}");
    text.strip_suffix(".0").map_or(text.clone(), Into::into)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lay::{DrawnPiece, Tick};

    /// Cloth 1000 wide, folded at 600 as far as 800, of 1500 in all.
    fn picture() -> Picture {
        let tall =
            |left: f64, right: f64, from: f64| vec![[left, from], [right, from], [right, 1500.0], [left, 1500.0]];
        Picture {
            width_mm: 1000.0,
            selvedge_mm: 10.0,
            length_mm: 1500.0,
            folded_mm: 800.0,
            folded_across: false,
            fold_at_mm: Some(600.0),
            flap_edge_mm: Some(200.0),
            selvedges: vec![tall(-10.0, 0.0, 0.0), tall(1000.0, 1010.0, 800.0)],
            cloth: vec![[0.0, 0.0], [600.0, 0.0], [600.0, 800.0], [1000.0, 800.0], [1000.0, 1500.0], [0.0, 1500.0]],
            wrong_side_up: true,
            spread: "folded right sides together: the wrong side is up",
            one_way: true,
            pieces: vec![DrawnPiece {
                letter: "A".into(),
                label: "Back".into(),
                outline: vec![[0.0, 0.0], [300.0, 0.0], [300.0, 700.0]],
                middle: [200.0, 200.0],
                layers: 2,
                on_fold: false,
                is_strip: false,
                turned: false,
                turned_over: false,
            }],
            ticks: vec![Tick { y_mm: 0.0, label: Some("0 in".into()) }],
        }
    }

    #[test]
    fn cloth_is_drawn_only_where_it_is_seen() {
        let svg = drawing(&picture(), "lay".into()).render().unwrap();
        assert!(svg.contains("M0 0L600 0L600 800L1000 800L1000 1500L0 1500Z"), "{svg}");
        // The right-hand selvedge is folded under as far as 800.
        assert!(svg.contains("M1000 800L1010 800L1010 1500L1000 1500Z"), "{svg}");
        assert!(svg.contains("flap ends") && svg.contains("x1=\"200\" x2=\"200\" y1=\"0\" y2=\"800\""), "{svg}");
        assert!(!svg.contains("<rect"), "{svg}");
    }

    #[test]
    fn an_open_lay_and_one_folded_edge_to_edge_have_no_flap() {
        let open = Picture { folded_mm: 0.0, fold_at_mm: None, flap_edge_mm: None, ..picture() };
        let even = Picture { fold_at_mm: Some(500.0), flap_edge_mm: Some(0.0), ..picture() };
        for picture in [open, even] {
            assert!(!drawing(&picture, "lay".into()).render().unwrap().contains("flap"));
        }
    }
}
