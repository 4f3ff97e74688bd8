//! A lay as a picture of its own (SVG), and the reason in its place where there is none.

use std::fmt::Write;

use askama::Template;
use axum::http::header;
use axum::response::{IntoResponse, Response};

use crate::geom::Point;
use crate::job::Laid;
use crate::lay::{self, Lay, LayJob, Picture};

use super::desk::Desk;
use super::fault::Fault;
use super::writing;

/// The picture of a lay, with what to buy below it.
///
/// # Errors
/// [`Fault::Broken`] when it cannot be written.
pub fn of(laid: &Laid, desk: &Desk) -> Result<Response, Fault> {
    drawn(&laid.job, &laid.lay, &laid.need.text(), desk)
}

/// The picture of a lay with these words below it.
///
/// # Errors
/// [`Fault::Broken`] when it cannot be written.
pub fn drawn(job: &LayJob, lay: &Lay, words: &str, desk: &Desk) -> Result<Response, Fault> {
    let picture = lay::picture(job, lay, desk.showing());
    answer(&drawing(&picture, writing::true_fractions(words)))
}

/// Why there is no lay, as a picture: the page has left room for one.
///
/// # Errors
/// [`Fault::Broken`] when it cannot be written.
pub fn none(why: &str) -> Result<Response, Fault> {
    answer(&NoLay::saying(&writing::true_fractions(why)))
}

fn answer(picture: &impl Template) -> Result<Response, Fault> {
    let svg = picture.render().map_err(|why| Fault::Broken(why.to_string()))?;
    Ok(([(header::CONTENT_TYPE, "image/svg+xml")], svg).into_response())
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
            figure(length + size * 4.0)
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
