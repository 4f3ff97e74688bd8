//! Several garments from one cloth: which, on what cloth, how much to buy, and their one lay.
//! All of it is in the address, so that it can be kept and sent; nothing is written.

use std::collections::BTreeSet;

use askama::Template;
use axum::extract::State;
use axum::http::StatusCode;
use axum::response::Response;

use crate::draft::Draft;
use crate::job::{self, Joined, Laid};
use crate::measure::read_length;
use crate::shop::{ClothFacts, Letter, Nap, OrderNumber, SheetSize, Stage};
use crate::store::{Reader, WorkRow};

use super::desk::Desk;
use super::fault::{Fault, render};
use super::fields::{Field, Fields, Notes};
use super::frame::{Frame, Here};
use super::lay_paper::{Head, LayPaper};
use super::lay_picture;
use super::lay_shown::{LayFacts, LayStanding};
use super::order_draft::MOST_GARMENTS;
use super::path;
use super::state::App;
use super::writing;

/// The most garments of one lay. Judgement: a choir; more are laid in two lengths.
const MOST_JOINED: usize = 40;

/// Garments offered on the page, those chosen not counted; words narrow the list.
const MOST_OFFERED: usize = 60;

#[derive(Template)]
#[template(path = "joint.html")]
struct Page {
    frame: Frame,
    words: String,
    /// Address, words, whose, whether chosen.
    garments: Vec<Offered>,
    /// How many more there are than are shown.
    more: usize,
    width: Field,
    one_way: bool,
    why_not: Option<String>,
    found: Option<Found>,
}

struct Offered {
    value: String,
    words: String,
    whose: String,
    chosen: bool,
}

struct Found {
    verdict: String,
    width_words: String,
    lines: Vec<(String, String, bool)>,
    /// The number before the letters, and the garment.
    garments: Vec<(usize, String)>,
    /// What the garments' own cloths are, where they are not alike.
    differ: Option<String>,
    picture: String,
    paper: String,
}

/// A garment that is laid with others.
struct Chosen {
    mark: String,
    what: String,
    wearer: String,
    facts: LayFacts,
}

/// What the address asks for.
struct Asked {
    garments: Vec<(OrderNumber, Letter)>,
    fields: Fields,
}

impl Asked {
    fn of(fields: Fields) -> Result<Asked, Fault> {
        let mut seen = BTreeSet::new();
        let mut garments = Vec::new();
        for text in fields.all("g") {
            let garment = path::garment(text).ok_or(Fault::NotFound("garment"))?;
            if seen.insert((garment.0, garment.1.to_string())) {
                garments.push(garment);
            }
        }
        Ok(Asked { garments, fields })
    }

    /// The same as an address, to the picture and to the paper.
    fn query(&self) -> String {
        let mut pairs: Vec<(&str, String)> =
            self.garments.iter().map(|(number, letter)| ("g", format!("{number}/{letter}"))).collect();
        for name in ["width", "one_way"] {
            pairs.extend(self.fields.filled(name).map(|text| (name, text.to_string())));
        }
        let pairs: Vec<(&str, &str)> = pairs.iter().map(|(name, text)| (*name, text.as_str())).collect();
        writing::query(&pairs)
    }
}

/// The page: what is chosen, what may be chosen, and the one lay.
///
/// # Errors
/// [`Fault::NotFound`] when the address names a garment that is none.
pub async fn show(State(app): State<App>, query: Fields) -> Result<Response, Fault> {
    let asked = Asked::of(query)?;
    let (desk, asked, chosen, offered, more) = app
        .read(move |book, desk| {
            let chosen = chosen(book, &asked.garments)?;
            let (offered, more) = offered(book, desk, &asked)?;
            Ok((desk.clone(), asked, chosen, offered, more))
        })
        .await?;
    app.think(move || {
        let (facts, notes) = cloth(&chosen, &asked.fields, &desk);
        let mut page = Page {
            frame: desk.frame("One lay for several garments", Here::Cloth),
            words: asked.fields.text("words").into(),
            garments: offered,
            more,
            width: Field {
                name: "width".into(),
                value: match asked.fields.filled("width") {
                    Some(text) => text.into(),
                    None => facts.width.map(|width| desk.showing().number(width)).unwrap_or_default(),
                },
                note: notes.at("width").map(Into::into),
            },
            one_way: facts.nap == Nap::One,
            why_not: None,
            found: None,
        };
        let status = if notes.is_empty() { StatusCode::OK } else { StatusCode::UNPROCESSABLE_ENTITY };
        if !chosen.is_empty() && notes.is_empty() {
            match laid(&chosen, &facts, &desk) {
                Ok(laid) => page.found = Some(found(&laid, &chosen, &asked, &desk)),
                Err(why) => page.why_not = Some(writing::true_fractions(&why)),
            }
        }
        Ok(render(status, &page))
    })
    .await
}

/// The lay as a picture, or why there is none.
///
/// # Errors
/// [`Fault::NotFound`] when the address names a garment that is none.
pub async fn picture(State(app): State<App>, query: Fields) -> Result<Response, Fault> {
    let asked = Asked::of(query)?;
    let (desk, asked, chosen) = app
        .read(move |book, desk| {
            let chosen = chosen(book, &asked.garments)?;
            Ok((desk.clone(), asked, chosen))
        })
        .await?;
    app.think(move || {
        let (facts, _) = cloth(&chosen, &asked.fields, &desk);
        match laid(&chosen, &facts, &desk) {
            Ok(laid) => lay_picture::of(&laid, &desk),
            Err(why) => lay_picture::none(&why),
        }
    })
    .await
}

/// The lay on paper.
///
/// # Errors
/// [`Fault::NotFound`] when the address names a garment that is none; [`Fault::Refused`] when
/// they cannot be laid, in words.
pub async fn paper(State(app): State<App>, query: Fields) -> Result<Response, Fault> {
    let paper = SheetSize::from_key(query.text("paper"));
    let asked = Asked::of(query)?;
    let (desk, asked, chosen) = app
        .read(move |book, desk| {
            let chosen = chosen(book, &asked.garments)?;
            Ok((desk.clone(), asked, chosen))
        })
        .await?;
    app.think(move || {
        let (facts, _) = cloth(&chosen, &asked.fields, &desk);
        let laid = laid(&chosen, &facts, &desk).map_err(|why| refused(&why))?;
        let whose: Vec<String> = (1..).zip(&chosen).map(|(place, one)| format!("{place} {}", one.wearer)).collect();
        let marks: Vec<&str> = chosen.iter().map(|one| one.mark.as_str()).collect();
        let head = Head {
            title: "Joint lay".into(),
            back: (format!("/cloth/joint?{}", asked.query()), "One lay for several garments".into()),
            here: format!("/cloth/joint/lay?{}", asked.query()),
            plot: None,
            whose: whose.join(", "),
            what: writing::count(chosen.len(), "garment", "garments"),
            mark: if marks.len() > 3 { format!("{} orders and garments", marks.len()) } else { marks.join(", ") },
        };
        Ok(render(StatusCode::OK, &LayPaper::of(head, &desk, &laid, &LayStanding::First, paper)))
    })
    .await
}

fn chosen(book: &Reader, garments: &[(OrderNumber, Letter)]) -> Result<Vec<Chosen>, Fault> {
    if garments.len() > MOST_JOINED {
        return Err(refused(&format!(
            "{} garments are more than the {MOST_JOINED} of one lay. Lay them in two lengths.",
            garments.len()
        )));
    }
    let one = |(number, letter): &(OrderNumber, Letter)| {
        let facts = LayFacts::of(book, *number, *letter)?;
        let wearer = book.client(facts.garment.facts.wearer)?.called().to_string();
        Ok(Chosen { mark: format!("{number} {letter}"), what: facts.garment.facts.what.clone(), wearer, facts })
    };
    garments.iter().map(one).collect()
}

/// Garments that may be laid together: drafted by a style and not cut yet; the chosen first.
fn offered(book: &Reader, desk: &Desk, asked: &Asked) -> Result<(Vec<Offered>, usize), Fault> {
    let words: Vec<String> = asked.fields.text("words").split_whitespace().map(str::to_lowercase).collect();
    let is_chosen = |row: &WorkRow| asked.garments.contains(&(row.number, row.letter));
    let named = |row: &WorkRow| {
        let all = format!("{} {} {} {}", row.number, row.what, row.wearer_name, row.client_name).to_lowercase();
        words.iter().all(|word| all.contains(word))
    };
    let rows = book.work(desk.today, MOST_GARMENTS)?;
    let open = rows.iter().filter(|row| row.style.is_some() && row.stage < Stage::Cut);
    let (first, rest): (Vec<&WorkRow>, Vec<&WorkRow>) =
        open.filter(|row| is_chosen(row) || named(row)).partition(|row| is_chosen(row));
    let more = rest.len().saturating_sub(MOST_OFFERED);
    let view = |row: &WorkRow| Offered {
        value: format!("{}/{}", row.number, row.letter),
        words: format!("{} {} · {}", row.number, row.letter, row.what),
        whose: match row.promised {
            Some(day) => format!("{}, {}", row.wearer_name, desk.day(day)),
            None => row.wearer_name.clone(),
        },
        chosen: is_chosen(row),
    };
    Ok((first.into_iter().chain(rest.into_iter().take(MOST_OFFERED)).map(view).collect(), more))
}

/// The common cloth: as the first garment has it of which a width is written, with what the form
/// says; one way when any of them is.
fn cloth(chosen: &[Chosen], fields: &Fields, desk: &Desk) -> (ClothFacts, Notes) {
    let own = |one: &Chosen| one.facts.garment.facts.cloth.clone();
    let first = chosen.iter().find(|one| one.facts.garment.facts.cloth.width.is_some()).or_else(|| chosen.first());
    let mut facts = first.map_or(ClothFacts::UNKNOWN, own);
    // Nobody knows of a cloth that is yet to be bought whether it was washed.
    facts.washed = chosen.iter().all(|one| one.facts.garment.facts.cloth.washed == Some(true)).then_some(true);
    let naps = || chosen.iter().map(|one| one.facts.garment.facts.cloth.nap);
    facts.nap = if fields.filled("one_way").is_some() || naps().any(|nap| nap == Nap::One) {
        Nap::One
    } else if naps().any(|nap| nap == Nap::PerGarment) {
        Nap::PerGarment
    } else {
        Nap::Free
    };
    // What one garment may have above its need says nothing of all of them.
    facts.spare = None;
    let mut notes = Notes::default();
    if let Some(text) = fields.filled("width") {
        facts.width = notes.take("width", read_length(text, desk.showing().unit())).or(facts.width);
    }
    (facts, notes)
}

fn laid(chosen: &[Chosen], facts: &ClothFacts, desk: &Desk) -> Result<Laid, String> {
    let drafts: Vec<Draft> = chosen
        .iter()
        .map(|one| one.facts.draft(desk).map_err(|why| format!("{} ({}): {why}", one.mark, one.what)))
        .collect::<Result<_, _>>()?;
    let joined: Vec<Joined> =
        chosen.iter().zip(&drafts).map(|(one, draft)| Joined { mark: &one.mark, draft }).collect();
    job::joint(&joined, facts, &desk.settings).map_err(|why| why.to_string())
}

fn found(laid: &Laid, chosen: &[Chosen], asked: &Asked, desk: &Desk) -> Found {
    let step = laid.need.step;
    let set = |length| writing::true_fractions(&step.written(length));
    let buy = writing::true_fractions(&step.bought(laid.need.to_buy));
    let last = laid.need.lines.len().saturating_sub(1);
    let query = asked.query();
    let mut cloths: Vec<String> = chosen
        .iter()
        .map(|one| {
            let cloth = &one.facts.garment.facts.cloth;
            let width = cloth.width.map_or_else(|| "width not written".into(), |width| desk.length(width));
            if cloth.words.is_empty() { width } else { format!("{} ({width})", cloth.words) }
        })
        .collect();
    cloths.sort();
    cloths.dedup();
    Found {
        verdict: format!("{} from one cloth: buy {buy}.", writing::count(chosen.len(), "garment", "garments")),
        width_words: format!(
            "Laid on cloth {} wide{}; {}.",
            desk.length(laid.width),
            if laid.width_assumed { " (assumed: write the width)" } else { "" },
            laid.spread()
        ),
        lines: laid
            .need
            .lines
            .iter()
            .enumerate()
            .map(|(place, line)| {
                let length = if place == last { buy.clone() } else { set(line.length) };
                (writing::true_fractions(&line.label), length, line.total)
            })
            .collect(),
        garments: (1..)
            .zip(chosen)
            .map(|(place, one)| (place, format!("{} · {}, {}", one.mark, one.what, one.wearer)))
            .collect(),
        differ: (cloths.len() > 1).then(|| format!("Their cloths are not written alike: {}.", cloths.join("; "))),
        picture: format!("/cloth/joint/lay.svg?{query}"),
        paper: format!("/cloth/joint/lay?{query}"),
    }
}

fn refused(words: &str) -> Fault {
    Fault::Refused(StatusCode::UNPROCESSABLE_ENTITY, writing::true_fractions(words))
}
