//! The shopping list: what cloth the open orders need, and what of it is to be bought. It is
//! worked out beside the readers; what was reckoned once is not laid again until it changes.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use askama::Template;
use axum::extract::State;
use axum::http::StatusCode;
use axum::response::Response;

use crate::draft::{self, Style};
use crate::job::{self, AcceptedFor, ClothNeed, Shopping, ShoppingGroup, ShoppingLine, Supply, Wanting};
use crate::measure::Length;
use crate::shop::{Cloth, ClothLength, ClothOf, Settings, SheetSize, StyleVersionId};
use crate::store::{AcceptedNeed, ToCut};

use super::cloths::measured;
use super::desk::Desk;
use super::fault::{Fault, render};
use super::fields::Fields;
use super::frame::{Frame, Here};
use super::reckoned::{self, Needs, Reckoned, ToLayLater};
use super::state::App;
use super::writing;

/// The most garments of one list: more than any workroom has to cut (judgement).
const MOST: u32 = 2_000;

#[derive(Template)]
#[template(path = "shopping.html")]
struct Page {
    frame: Frame,
    papers: Vec<(&'static str, &'static str, bool)>,
    stylesheet: &'static str,
    worked_out: String,
    nothing: bool,
    buy: Vec<Group>,
    total: String,
    enough: Vec<Group>,
    look_after: Vec<Line>,
    unknown: Vec<(String, String, String)>,
    by_hand: Vec<(String, String)>,
    settled: String,
    /// That some needs are of quick lays as yet.
    quick: String,
}

struct Group {
    /// Where the shop's cloth has its page.
    address: Option<String>,
    name: String,
    /// What to buy.
    buy: String,
    /// Width, price, from whom, what lies there.
    words: String,
    cost: String,
    lines: Vec<Line>,
}

struct Line {
    address: String,
    mark: String,
    words: String,
    need: String,
    supply: String,
}

/// The list; `?paper=a4` or `?paper=letter`, else the shop's paper.
///
/// # Errors
/// A [`Fault`] when the book cannot be read.
pub async fn show(State(app): State<App>, query: Fields) -> Result<Response, Fault> {
    let paper = SheetSize::from_key(query.text("paper"));
    let (desk, rows, texts, shelf) = app
        .read(|book, desk| {
            let rows = book.to_cut(MOST)?;
            let versions: BTreeSet<StyleVersionId> = rows.iter().filter_map(|row| row.garment.facts.style).collect();
            let texts = book.style_texts(versions.into_iter())?;
            let shelf = book.cloths(true)?.into_iter().map(|row| (row.cloth, row.lengths)).collect::<Vec<_>>();
            Ok((desk.clone(), rows, texts, shelf))
        })
        .await?;
    let kept = Arc::clone(&app.reckoned);
    // The laying takes none of the readers, and never more than its share of the machine.
    app.think(move || {
        let list = listed(&rows, &texts, &shelf, &kept, &desk.settings);
        Ok(render(StatusCode::OK, &page(&list, &rows, &desk, paper.unwrap_or(desk.settings.sheet))))
    })
    .await
}

fn listed(
    rows: &[ToCut],
    texts: &[(StyleVersionId, String)],
    shelf: &[(Cloth, Vec<ClothLength>)],
    kept: &Arc<Reckoned>,
    settings: &Settings,
) -> Shopping {
    // A style's text is read once for all its garments, and not at all when nothing is to be laid.
    let mut styles: BTreeMap<StyleVersionId, Result<Style, String>> = BTreeMap::new();
    let wanting: Vec<Wanting> = rows
        .iter()
        .map(|row| {
            let facts = &row.garment.facts;
            Wanting {
                number: row.number,
                letter: row.garment.letter,
                wearer: &row.wearer_name,
                stage: row.garment.stage,
                facts,
                accepted: accepted(row),
                held: row.held.iter().map(|(of, held)| (job::cloth_in(*of), *held)).collect(),
                needs: needs(row, texts, &mut styles, kept, settings),
            }
        })
        .collect();
    let rest = rows.iter().zip(&wanting).filter_map(|(row, wanting)| later(row, wanting, texts, settings));
    reckoned::lay_the_rest(kept, rest.collect(), settings);
    job::shopping(&wanting, shelf, settings)
}

/// What of a garment was laid quickly only, to be laid as its pages show it.
fn later(
    row: &ToCut,
    wanting: &Wanting,
    texts: &[(StyleVersionId, String)],
    settings: &Settings,
) -> Option<ToLayLater> {
    let needs = wanting.needs.as_ref().ok()?.iter();
    let cloths: Vec<ClothNeed> =
        needs.filter(|need| need.is_quick && !wanting.accepted.contains_key(&need.cloth)).cloned().collect();
    if cloths.is_empty() {
        return None;
    }
    let facts = &row.garment.facts;
    let (_, style) = texts.iter().find(|(id, _)| facts.style == Some(*id))?;
    Some(ToLayLater {
        garment: row.garment.id,
        mark: reckoned::mark(facts, &row.body, settings),
        cloths,
        style: style.clone(),
        facts: facts.clone(),
        body: row.body.clone(),
    })
}

/// The accepted lays that were laid on cloth as wide as it is written now.
fn accepted(row: &ToCut) -> BTreeMap<draft::Cloth, AcceptedFor> {
    let one = |(of, lay): (&ClothOf, &AcceptedNeed)| {
        let cloth = job::cloth_in(*of);
        let own = job::facts_of(&row.garment.facts, cloth).width;
        let found = AcceptedFor { lay: lay.lay, need: lay.need, garments: lay.garments, is_taken: lay.is_taken };
        own.is_none_or(|own| own == lay.width).then_some((cloth, found))
    };
    row.accepted.iter().filter_map(one).collect()
}

/// What a garment needs: as it was reckoned before, or reckoned now.
fn needs(
    row: &ToCut,
    texts: &[(StyleVersionId, String)],
    styles: &mut BTreeMap<StyleVersionId, Result<Style, String>>,
    kept: &Reckoned,
    settings: &Settings,
) -> Needs {
    let facts = &row.garment.facts;
    let Some(version) = facts.style else {
        return Err("It is made without a draft.".into());
    };
    let mark = reckoned::mark(facts, &row.body, settings);
    if let Some(known) = kept.of(row.garment.id, mark) {
        return known;
    }
    let style = styles.entry(version).or_insert_with(|| {
        let text = texts.iter().find(|(id, _)| *id == version).map_or("", |(_, text)| text.as_str());
        Style::read(text).map_err(|why| format!("Its style has a fault, {why}."))
    });
    let reckoned = match style {
        Err(why) => Err(why.clone()),
        Ok(style) => job::drafted(style, facts, &row.body, settings)
            .map_err(|why| why.to_string())
            .and_then(|draft| job::cloth_needs(&draft, facts, settings).map_err(|why| why.to_string())),
    };
    kept.keep(row.garment.id, mark, reckoned.clone());
    // With what its pages have laid meanwhile.
    kept.of(row.garment.id, mark).unwrap_or(reckoned)
}

fn page(list: &Shopping, rows: &[ToCut], desk: &Desk, paper: SheetSize) -> Page {
    let costs: Vec<_> = list.buy.iter().filter_map(|group| group.cost).collect();
    let sum = costs.iter().skip(1).try_fold(costs.first().copied(), |sum, cost| Some(sum?.plus(*cost))).flatten();
    let priced = writing::count(costs.len(), "cloth", "cloths");
    Page {
        frame: desk.frame("Shopping list", Here::Cloth),
        papers: SheetSize::ALL.iter().map(|size| (size.key(), size.words(), *size == paper)).collect(),
        stylesheet: match paper {
            SheetSize::A4 => "sheet-a4.css",
            SheetSize::Letter => "sheet-letter.css",
        },
        worked_out: format!(
            "Worked out {}, for {} still to be cut.",
            desk.moment(desk.now_ms),
            writing::count(rows.len(), "garment", "garments")
        ),
        nothing: rows.is_empty(),
        buy: list.buy.iter().map(|one| group(one, desk)).collect(),
        total: match sum {
            Some(sum) if costs.len() == list.buy.len() => format!("All together {}.", desk.money(sum)),
            Some(sum) => format!("{} for {priced}; the others have no price yet.", desk.money(sum)),
            None => String::new(),
        },
        enough: list.enough.iter().map(|one| group(one, desk)).collect(),
        look_after: list.look_after.iter().map(|one| line(one, desk)).collect(),
        unknown: list
            .unknown
            .iter()
            .map(|(number, letter, what, why)| {
                (
                    format!("/orders/{number}#{letter}"),
                    format!("{number} {letter} {what}"),
                    writing::true_fractions(why),
                )
            })
            .collect(),
        by_hand: list
            .by_hand
            .iter()
            .map(|(number, letter, what)| (format!("/orders/{number}#{letter}"), format!("{number} {letter} {what}")))
            .collect(),
        quick: match quick(list) {
            0 => String::new(),
            1 => "One of them is of a quick lay as yet and may come out shorter: look again in a moment.".into(),
            count => {
                format!("{count} of them are of quick lays as yet and may come out shorter: look again in a moment.")
            }
        },
        settled: match list.settled {
            0 => String::new(),
            1 => "For one more the cloth is in.".into(),
            count => format!("For {count} more the cloth is in."),
        },
    }
}

/// How many needs are of quick lays as yet.
fn quick(list: &Shopping) -> usize {
    let groups = list.buy.iter().chain(&list.enough).flat_map(|group| &group.lines);
    groups.chain(&list.look_after).filter(|line| line.need.is_quick).count()
}

fn group(of: &ShoppingGroup, desk: &Desk) -> Group {
    let first = of.lines.first();
    let mut words: Vec<String> = Vec::new();
    if let Some(need) = first.map(|line| &line.need) {
        let assumed = if need.width_assumed { " (assumed: ask)" } else { "" };
        words.push(format!("{} wide{assumed}", desk.length(need.width)));
    }
    if of.stock.is_some() {
        words.push(match (of.there, of.free()) {
            (Length::ZERO, _) => "none there".into(),
            (there, free) if there == free => format!("{} there", measured(there, desk)),
            (there, free) => format!("{} there, {} of it free", measured(there, desk), measured(free, desk)),
        });
    }
    words.extend(of.price.map(|(price, by)| format!("{} {}", desk.money(price), by.words())));
    words.extend(Some(of.from_whom.clone()).filter(|whom| !whom.is_empty()));
    Group {
        address: of.stock.map(|id| format!("/cloth/{id}")),
        name: name(of),
        buy: writing::true_fractions(&job::selling(desk.settings.selling_step).bought(of.to_buy)),
        words: words.join(", "),
        cost: of.cost.map(|cost| desk.money(cost)).unwrap_or_default(),
        lines: of.lines.iter().map(|one| line(one, desk)).collect(),
    }
}

fn name(of: &ShoppingGroup) -> String {
    let kind = kind(of.cloth);
    match (of.name.as_str(), of.stock) {
        ("", _) if kind.is_empty() => "Cloth not written down yet".into(),
        ("", _) => format!("{kind}, not written down yet"),
        (name, None) if !kind.is_empty() => format!("{name} ({})", kind.to_lowercase()),
        (name, _) => name.into(),
    }
}

/// What a cloth is for, unless it is the main one.
const fn kind(cloth: draft::Cloth) -> &'static str {
    match cloth {
        draft::Cloth::Main => "",
        draft::Cloth::Lining => "Lining",
        draft::Cloth::Interfacing => "Interfacing",
    }
}

fn line(of: &ShoppingLine, desk: &Desk) -> Line {
    let mut words = vec![of.what.clone(), of.wearer.clone()];
    words.extend(Some(kind(of.need.cloth).to_lowercase()).filter(|kind| !kind.is_empty()));
    if of.others > 0 {
        words.push(format!("and {} in one lay", writing::count(of.others.try_into().unwrap_or(0), "other", "others")));
    }
    Line {
        address: format!("/orders/{}/{}/cloth", of.number, of.letter),
        mark: format!("{} {}", of.number, of.letter),
        words: words.join(", "),
        need: format!("{}{}", if of.need.is_quick { "at most " } else { "" }, measured(of.need.cut, desk)),
        supply: match of.supply {
            Supply::Held => "held for it".into(),
            Supply::There(_) => "lies there".into(),
            Supply::Own | Supply::In => "is in".into(),
            Supply::Remnants => "no one length suffices, all together may: lay it on them".into(),
            Supply::Brings => "the client brings it: say how much".into(),
            Supply::Comes(day) => format!("comes {}", desk.day(day)),
            Supply::Short(by) => format!("what is there is {} short", measured(by, desk)),
            Supply::Buy => "buy".into(),
        },
    }
}
