//! A garment's lay on paper: sheets for the table beside the cloth, and a plot in true scale.

use askama::Template;
use axum::extract::State;
use axum::http::StatusCode;
use axum::response::Response;

use crate::geom::Point;
use crate::job::Laid;
use crate::lay::{self, Picture};
use crate::sheet::{self, LayMarks, LaySheet, Roll};
use crate::shop::{ClothOf, SheetSize};

use super::desk::Desk;
use super::fault::{Fault, render};
use super::fields::Fields;
use super::frame::{Frame, Here};
use super::lay_of::{LayOf, asking};
use super::lay_shown::LayStanding;
use super::laying::{Laying, refused};
use super::pattern;
use super::state::App;
use super::there::There;
use super::writing;

#[derive(Template)]
#[template(path = "lay_paper.html")]
struct LayPaper {
    frame: Frame,
    /// Where the page leads back to, and the words for it.
    back: (String, String),
    papers: Vec<(String, &'static str, bool)>,
    stylesheet: &'static str,
    /// Where the plots are, by the rolls that they are on.
    plots: Vec<(String, &'static str)>,
    whose: String,
    what: String,
    marks: Vec<(&'static str, String)>,
    /// How the cloth is spread, at which scale it is drawn, who accepted it.
    words: String,
    warning: Option<String>,
    /// That the cloth that is there is too short for it.
    lacks: Option<String>,
    sheets: Vec<String>,
    /// The letters with the names of their pieces, where the first sheet has room for them.
    key: Vec<(String, String)>,
    /// Else on a sheet of their own, by garment.
    names: Vec<(String, Vec<(String, String)>)>,
    /// The same for a phone, which has no room for the paper.
    listed: Vec<(String, Vec<(String, String)>)>,
}

/// Letters and names take so many signs on the first sheet: two lines. Judgement, seen on A4 and Letter.
const MOST_SIGNS: usize = 220;

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
pub async fn show(State(app): State<App>, of: LayOf, query: Fields) -> Result<Response, Fault> {
    let paper = SheetSize::from_key(query.text("paper"));
    let (desk, laying, there, of) = read(&app, of).await?;
    app.think(move || {
        let (laid, standing) = laying.shown(&desk).map_err(|why| refused(&why))?;
        let lacks = there.lacks(&laid, &standing);
        Ok(render(StatusCode::OK, &LayPaper { lacks, ..LayPaper::of(&of, &laying, &desk, &laid, &standing, paper) }))
    })
    .await
}

async fn read(app: &App, of: LayOf) -> Result<(Desk, Laying, There, LayOf), Fault> {
    app.read(move |book, desk| {
        let laying = Laying::of(book, &of, desk)?;
        let there = There::of(book, &laying)?;
        Ok((desk.clone(), laying, there, of))
    })
    .await
}

impl LayPaper {
    /// How many sheets are printed.
    fn count(&self) -> usize {
        self.sheets.len() + usize::from(!self.names.is_empty())
    }

    /// A lay on the paper asked for, else the shop's.
    fn of(
        of: &LayOf,
        laying: &Laying,
        desk: &Desk,
        laid: &Laid,
        standing: &LayStanding,
        paper: Option<SheetSize>,
    ) -> LayPaper {
        let paper = paper.unwrap_or(desk.settings.sheet);
        let mut picture = lay::picture(&laid.job, &laid.lay, desk.showing());
        let mut key = key(&picture);
        // On the pieces the number before the letter says whose they are; the list has the names in full.
        shorten(&mut picture, laying);
        let sheets = sheet::lay_sheets(&picture, desk.showing().unit(), room(paper));
        let set = |text: &str| writing::true_fractions(text);
        let step = laid.need.step;
        let count = sheets.len();
        let scale = sheets.first().map_or(1.0, |sheet| sheet.one_to);
        let accepted = match standing {
            LayStanding::Accepted(words) => format!(" {words}."),
            _ => String::new(),
        };
        let mark = laying.mark();
        let bare = sheet::without_grain(&picture, &sheets);
        for (_, label) in key.iter_mut().filter(|(letter, _)| bare.contains(&letter.as_str())) {
            label.push_str(" (too small for its arrow: the grain runs along the cloth)");
        }
        let listed = by_garment(key.clone(), laying);
        let signs: usize = key.iter().map(|(letter, label)| letter.len() + label.chars().count() + 4).sum();
        let (key, names) = if signs > MOST_SIGNS { (Vec::new(), listed.clone()) } else { (key, Vec::new()) };
        let (here, back, title) = match of {
            LayOf::Garment { .. } => {
                (Here::Orders, format!("Cloth of {}", laying.name()), format!("Lay of {}", laying.name()))
            }
            LayOf::Joint(_) => (Here::Cloth, "One lay for several garments".into(), "Joint lay".into()),
        };
        let describe = |(index, sheet): (usize, &LaySheet)| {
            set(&sheet.svg(&format!("The lay of {}, sheet {} of {count}, 1 to {scale:.1}", mark, index + 1)))
        };
        LayPaper {
            frame: desk.frame(title, here),
            papers: SheetSize::ALL
                .iter()
                .map(|size| (asking(&of.lay("lay"), "paper", size.key()), size.words(), *size == paper))
                .collect(),
            stylesheet: match paper {
                SheetSize::A4 => "lay-a4.css",
                SheetSize::Letter => "lay-letter.css",
            },
            plots: Roll::ALL.map(|roll| (asking(&of.lay("lay.pdf"), "roll", roll.key()), roll.words())).to_vec(),
            marks: vec![
                ("Order", mark.clone()),
                ("Width", desk.length(laid.width)),
                ("Lay", set(&step.written(laid.need.lay_length))),
                ("Cut off", set(&step.written(laid.need.cut_length))),
            ],
            words: format!("{}. Drawn 1 to {scale:.1}.{accepted} {}.", capital(laid.spread()), set(&laid.need.text())),
            warning: match standing {
                LayStanding::Outdated(words) => Some(words.clone()),
                LayStanding::Joint(words, _) => {
                    Some(format!("{words} Take that lay to the table; this one is of the garment by itself."))
                }
                LayStanding::First | LayStanding::Accepted(_) => None,
            },
            lacks: None,
            sheets: sheets.iter().enumerate().map(describe).collect(),
            key,
            names,
            listed,
            whose: laying.whose(),
            what: laying.what(),
            back: (of.page(), back),
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

/// Leaves the mark of its garment out of each piece's name; its letter has the garment's number.
fn shorten(picture: &mut Picture, laying: &Laying) {
    for (mark, _) in laying.numbered() {
        for piece in &mut picture.pieces {
            if let Some(name) = piece.label.strip_prefix(&mark).and_then(|rest| rest.strip_prefix(' ')) {
                piece.label = name.to_string();
            }
        }
    }
}

/// The letters by the garment that they belong to; its mark need not stand before each name then.
fn by_garment(key: Vec<(String, String)>, laying: &Laying) -> Vec<(String, Vec<(String, String)>)> {
    let numbered = laying.numbered();
    if numbered.is_empty() {
        return vec![("The pieces".into(), key)];
    }
    let of = |(mark, heading): (String, String)| {
        let own = key.iter().filter_map(|(letter, label)| {
            let name = label.strip_prefix(&mark)?.strip_prefix(' ')?;
            Some((letter.clone(), name.to_string()))
        });
        (heading, own.collect())
    };
    numbered.into_iter().map(of).collect()
}

fn capital(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// The lay in true scale as a PDF; `?roll=cloth`, `?roll=36`, `?roll=60`.
///
/// # Errors
/// [`Fault::NotFound`] without such a garment; [`Fault::Refused`] when there is no lay, in words.
pub async fn plot(State(app): State<App>, of: LayOf, query: Fields) -> Result<Response, Fault> {
    let roll = match query.filled("roll") {
        None => Roll::Cloth,
        Some(key) => Roll::from_key(key).ok_or_else(|| unknown(key))?,
    };
    let (desk, laying, there, of) = read(&app, of).await?;
    app.think(move || {
        let (laid, standing) = laying.shown(&desk).map_err(|why| refused(&why))?;
        let picture = lay::picture(&laid.job, &laid.lay, desk.showing());
        let marks = LayMarks {
            mark: laying.mark(),
            client: laying.whose(),
            what: laying.what(),
            day: desk.today.format("%-d %b %Y").to_string(),
            unit: desk.showing().unit(),
            width: desk.showing().with_unit(laid.width),
            length: laid.need.step.written(laid.need.lay_length),
            needs: capital(&laid.need.text()),
            spread: picture.spread.into(),
            warning: there.lacks(&laid, &standing).map(|words| format!("Too little cloth: {words}")),
        };
        let plot = sheet::lay_plot(&picture, &marks, roll).map_err(|why| pattern::refused(&why))?;
        let bytes = sheet::pattern_pdf(&plot).map_err(|why| pattern::refused(&why))?;
        Ok(pattern::file("application/pdf", &format!("lay-{}-{}.pdf", file_name(&of), roll.key()), bytes))
    })
    .await
}

fn unknown(key: &str) -> Fault {
    let known = Roll::ALL.map(Roll::key).join(", ");
    let key: String = key.chars().take(20).collect();
    refused(&format!("“{key}” is no roll that lays are plotted on. Choose one of {known}."))
}

/// What a file of this lay is called, but for the roll.
fn file_name(of: &LayOf) -> String {
    match of {
        LayOf::Garment { number, letter, cloth: ClothOf::Main } => format!("{number}-{letter}"),
        LayOf::Garment { number, letter, cloth } => format!("{number}-{letter}-{}", cloth.key()),
        LayOf::Joint(together) => {
            let first = together.garments.first().map(|(number, letter)| format!("{number}-{letter}-"));
            format!("{}and-others", first.unwrap_or_default())
        }
    }
}
