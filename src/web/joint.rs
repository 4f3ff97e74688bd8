//! Several garments from one cloth: which, on what cloth, how much to buy, and their one lay.
//! What is asked stands in the address, so that it can be kept and sent; nothing is written until the lay
//! is accepted.

use askama::Template;
use axum::extract::State;
use axum::http::StatusCode;
use axum::response::Response;

use crate::job::Laid;
use crate::shop::{Nap, Stage};
use crate::store::{Reader, WorkRow};

use super::cloth::tried_words;
use super::cloths::measured;
use super::desk::Desk;
use super::fault::{Fault, render};
use super::fields::Field;
use super::frame::{Frame, Here};
use super::from_shelf::below_picture;
use super::joint_cloth::{JointCloth, JointSupply};
use super::lay_of::{LayOf, Together};
use super::lay_picture;
use super::lay_shown::LayStanding;
use super::laying::JointFacts;
use super::order_draft::MOST_GARMENTS;
use super::state::App;
use super::together;
use super::writing;

/// Garments offered on the page, those chosen not counted; words narrow the list.
const MOST_OFFERED: usize = 60;

#[derive(Template)]
#[template(path = "joint.html")]
struct Page {
    frame: Frame,
    /// What is laid.
    of: LayOf,
    words: String,
    /// Address, words, whose, whether chosen.
    garments: Vec<Offered>,
    /// How many more there are than are shown.
    more: usize,
    width: Field,
    /// What is taken where no width is written.
    width_hint: String,
    one_way: bool,
    /// Whether a fold across is tried; nothing where the cloth has one way.
    across: Option<bool>,
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
    /// Where each garment has its page, its words, and what is said of its cloth; in the order of the numbers before
    /// the letters.
    garments: Vec<(String, String, String)>,
    /// What the garments' own cloths are, where they are not alike.
    differ: Option<String>,
    /// Who accepted the lay that is shown.
    accepted: Option<String>,
    /// Why an accepted lay is not shown.
    outdated: Option<String>,
    /// Why no lay can be chosen for them.
    closed: Option<String>,
    /// What must be written otherwise before this lay can be accepted.
    hindered: Option<String>,
    /// What another search for this lay found, or is finding.
    tried: Option<String>,
    /// Where its cloth comes from.
    supply: JointSupply,
}

/// The page: what is chosen, what may be chosen, and the one lay.
///
/// # Errors
/// [`Fault::NotFound`] when the address names a garment that is none.
pub async fn show(State(app): State<App>, of: LayOf) -> Result<Response, Fault> {
    let tried = app.tries().held_for(&of.key());
    let LayOf::Joint(asked) = of else { return Err(Fault::NotFound("page")) };
    let (desk, asked, joint, cloth, offered, more) = app
        .read(move |book, desk| {
            let joint = JointFacts::of(book, &asked, desk)?;
            let cloth = JointCloth::of(book, &joint.chosen, joint.kept_lay(), desk)?;
            let (offered, more) = offered(book, desk, &asked)?;
            Ok((desk.clone(), asked, joint, cloth, offered, more))
        })
        .await?;
    app.think(move || {
        let facts = together::common(&joint.chosen, joint.wish);
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
                note: joint.notes.at("width").map(Into::into),
            },
            width_hint: "Empty: as it is written of the first garment.".into(),
            one_way: facts.nap == Nap::One,
            across: (!facts.one_way()).then_some(joint.wish.across),
            why_not: None,
            found: None,
            of: LayOf::Joint(asked),
        };
        let status = if joint.notes.is_empty() { StatusCode::OK } else { StatusCode::UNPROCESSABLE_ENTITY };
        if !joint.chosen.is_empty() && joint.notes.is_empty() {
            match joint.shown(&desk) {
                Ok((laid, standing)) => {
                    if laid.width_assumed {
                        page.width_hint = format!(
                            "No width is written, so {} is assumed: write that of the cloth.",
                            desk.length(laid.width)
                        );
                    }
                    let tried = tried.and_then(|one| tried_words(&one, &laid));
                    page.found = Some(Found { tried, ..found(&laid, standing, &joint, &cloth, &desk) });
                }
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
pub async fn picture(State(app): State<App>, of: LayOf) -> Result<Response, Fault> {
    let LayOf::Joint(asked) = of else { return Err(Fault::NotFound("page")) };
    let (desk, joint, cloth) = app
        .read(move |book, desk| {
            let joint = JointFacts::of(book, &asked, desk)?;
            let cloth = JointCloth::of(book, &joint.chosen, joint.kept_lay(), desk)?;
            Ok((desk.clone(), joint, cloth))
        })
        .await?;
    app.think(move || match joint.shown(&desk) {
        Ok((laid, standing)) => {
            let accepted = matches!(standing, LayStanding::Accepted(_));
            let supply = cloth.supply(&joint.chosen, laid.need.cut_length, "", accepted, &desk);
            lay_picture::drawn(&laid.job, &laid.lay, &below_picture(&laid.need, supply.is_there), &desk)
        }
        Err(why) => lay_picture::none(&why),
    })
    .await
}

/// Garments that may be laid together: drafted by a style and not cut yet; the chosen first.
fn offered(book: &Reader, desk: &Desk, asked: &Together) -> Result<(Vec<Offered>, usize), Fault> {
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

fn found(laid: &Laid, standing: LayStanding, joint: &JointFacts, cloth: &JointCloth, desk: &Desk) -> Found {
    let step = laid.need.step;
    let set = |length| writing::true_fractions(&step.written(length));
    let buy = writing::true_fractions(&step.bought(laid.need.to_buy));
    let last = laid.need.lines.len().saturating_sub(1);
    let chosen = &joint.chosen;
    let mut cloths: Vec<String> = chosen
        .iter()
        .map(|one| {
            let cloth = one.cloth();
            let width = cloth.width.map_or_else(|| "width not written".into(), |width| desk.length(width));
            if cloth.words.is_empty() { width } else { format!("{} ({width})", cloth.words) }
        })
        .collect();
    cloths.sort();
    cloths.dedup();
    let (accepted, outdated) = match standing {
        LayStanding::Accepted(words) => (Some(words), None),
        LayStanding::Outdated(words) => (None, Some(words)),
        LayStanding::First | LayStanding::Joint(..) => (None, None),
    };
    let need = laid.need.cut_length;
    let supply = cloth.supply(chosen, need, &buy, accepted.is_some(), desk);
    let count = writing::count(chosen.len(), "garment", "garments");
    Found {
        verdict: if supply.is_there {
            format!("{count} from one cloth of the shop: {}.", measured(need, desk))
        } else if supply.is_brought {
            format!("{count} from one cloth that is brought: {} as one length.", measured(need, desk))
        } else {
            format!("{count} from one cloth: buy {buy}.")
        },
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
                // Of what is there only the sum is rounded.
                let label =
                    if supply.is_there { line.label.replacen("Buy,", "Rounded up,", 1) } else { line.label.clone() };
                (writing::true_fractions(&label), length, line.total)
            })
            .collect(),
        garments: chosen
            .iter()
            .zip(&supply.of_each)
            .map(|(one, words)| {
                let address = format!("/orders/{}#{}", one.number, one.letter);
                (address, format!("{} · {}, {}", one.mark(), one.what(), one.wearer), words.clone())
            })
            .collect(),
        differ: (cloths.len() > 1).then(|| format!("Their cloths are not written alike: {}.", cloths.join("; "))),
        hindered: together::written_otherwise(chosen, laid.width, desk)
            .map(|why| format!("It can be accepted once the width is written alike: {why}.")),
        closed: joint.closed(),
        tried: None,
        supply,
        accepted,
        outdated,
    }
}
