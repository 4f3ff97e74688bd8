//! The cloth of a garment: how much to buy, at each width, and the lay as a picture.
//! Laying takes its time, so both are requests of their own.

use std::sync::Arc;

use askama::Template;
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};

use crate::draft::Draft;
use crate::job::{self, Laid};
use crate::lay::{LEAST_LEFT_MM, Rectangle};
use crate::measure::Length;
use crate::shop::{ClothFacts, ClothOf, Letter, OrderNumber};

use super::cloths::measured;
use super::desk::Desk;
use super::fault::{Fault, render};
use super::fields::Fields;
use super::frame::{Frame, Here};
use super::from_shelf::{FromShelf, ShownLay, below_picture};
use super::lay_of::{LayOf, asking};
use super::lay_picture;
use super::lay_shown::{LayFacts, LayStanding, Shown};
use super::own_lengths::{LengthRow, OwnLengths, Suffice};
use super::path;
use super::state::App;
use super::to_lay::ToLay;
use super::tries::Try;
use super::writing;

#[derive(Template)]
#[template(path = "cloth.html")]
struct Page {
    frame: Frame,
    /// The garment and which of its cloths.
    of: LayOf,
    /// Where its order is, and the garment on it.
    order: String,
    number: String,
    letter: String,
    what: String,
    /// Its cloths, where it has more than one: address, words, whether it is this one.
    cloths: Vec<(String, &'static str, bool)>,
    why_not: Option<String>,
    verdict: String,
    is_short: bool,
    /// Where the shop's cloth that it comes from has its page, and what it is called.
    shelf: Option<(String, String)>,
    /// Whether the cloth that is there does not suffice, in one length or in all of them.
    lacks: bool,
    /// What another search for this lay found, or is finding; its address is below `of`.
    tried: Option<String>,
    /// Widths that the garment could be laid on with one tap: what is sent, and the words.
    offers: Vec<(String, String)>,
    /// Whether no width is written.
    width_assumed: bool,
    /// The width that is laid.
    laid_width: String,
    /// Who accepted the lay that is shown.
    accepted: Option<String>,
    /// That it is cut in one lay with others, and where that lay is.
    joint: Option<(String, String)>,
    /// Why an accepted lay is not shown.
    outdated: Option<String>,
    /// Whether a lay may still be chosen.
    is_open: bool,
    lines: Vec<(String, String, bool)>,
    /// What that costs, at which price.
    cost: Option<(String, String)>,
    widths: Vec<WidthRow>,
    priced: bool,
    width_words: String,
    /// Whether a fold across is tried, too; nothing where the cloth has one way, or is cut.
    across: Option<bool>,
    /// Counts the edits of the garment that the page saw.
    version: i64,
    /// What of the cloth that is there is left beyond the need.
    over: Option<String>,
    /// What is left as rectangles, and of how much cloth.
    left: Vec<String>,
    left_of: String,
    /// What smaller rectangles are not told of.
    least_left: String,
    /// Seams whose print cannot match.
    unmatched: Vec<String>,
    /// What is cut from each of several lengths; or why they do not suffice.
    lengths: Vec<LengthRow>,
    lengths_short: Option<String>,
    /// Flaws in words.
    flaws: String,
    /// Whether it may be asked what would make the cloth suffice.
    asks_ways: bool,
    /// What would make the cloth suffice; nothing when it was not asked.
    ways: Option<Vec<WayRow>>,
}

impl Page {
    fn is_main(&self) -> bool {
        matches!(self.of, LayOf::Garment { cloth: ClothOf::Main, .. })
    }

    /// Where the picture of one of several lengths is.
    fn length(&self, place: &usize) -> String {
        asking(&self.of.lay("lay.svg"), "length", &place.to_string())
    }
}

/// One of the usual widths.
struct WidthRow {
    width: String,
    need: String,
    cost: String,
    /// At which price it costs what the garment's own width costs.
    even: String,
    /// Least cloth, least money.
    best: &'static str,
    /// Whether it cannot be cut from this width; `need` says why.
    is_refused: bool,
}

/// One change with which the cloth suffices.
struct WayRow {
    words: String,
    needs: String,
    /// Whether it is a choice of the style, to be changed on the garment.
    is_choice: bool,
}

/// The cloth need with its sum and the needs at other widths; `?ways=yes` asks what would make
/// the cloth that is there suffice, which takes its time.
///
/// # Errors
/// [`Fault::NotFound`] without such a garment.
pub async fn show(State(app): State<App>, of: LayOf, query: Fields) -> Result<Response, Fault> {
    let ask = query.text("ways") == "yes";
    let (desk, asked, of) = read(&app, of).await?;
    let (tried, reckoned) = (app.tries().held_for(&of.key()), Arc::clone(&app.reckoned));
    // Outside the read: a lay takes longer than any other page, and holds no reader meanwhile.
    app.think(move || {
        let bare = bare(&desk, &asked, of);
        let page = match asked.facts.shown(asked.cloth, &desk) {
            Ok(shown) => {
                if !matches!(shown.standing, LayStanding::Accepted(_)) {
                    // The shopping list says what this page says.
                    let (to_lay, laid) = (&asked.facts.to_lay, &shown.laid);
                    reckoned.keep_laid(to_lay.garment.id, to_lay.mark(&desk), laid.cloth, laid.need.cut_length);
                }
                let found = OwnLengths::of(&asked.own, &shown.laid).suffice();
                let page =
                    answered(filled(bare, &desk, &asked, (&shown, &found)), &desk, &asked, (&shown, &found), ask);
                let lacks = page.is_short || page.lengths_short.is_some();
                Page { lacks, tried: tried.and_then(|one| tried_words(&one, &shown.laid)), ..page }
            }
            Err(why) => unlaid(bare, &why, &desk, &asked),
        };
        Ok(render(StatusCode::OK, &page))
    })
    .await
}

/// One cloth of a garment, as the address asks for it.
struct Asked {
    facts: LayFacts,
    number: OrderNumber,
    letter: Letter,
    cloth: ClothOf,
    /// What is written of that cloth.
    own: ClothFacts,
    /// The shop's cloth, where it comes from the shelf.
    shelf: Option<FromShelf>,
}

async fn read(app: &App, of: LayOf) -> Result<(Desk, Asked, LayOf), Fault> {
    let LayOf::Garment { number, letter, cloth } = of else { return Err(Fault::NotFound("garment")) };
    app.read(move |book, desk| {
        let facts = LayFacts::of(book, number, letter)?;
        let own = job::facts_of(&facts.to_lay.garment.facts, job::cloth_in(cloth));
        let shelf = FromShelf::of(book, &facts.to_lay.garment, cloth)?;
        Ok((desk.clone(), Asked { facts, number, letter, cloth, own, shelf }, of))
    })
    .await
}

fn bare(desk: &Desk, asked: &Asked, of: LayOf) -> Page {
    let (number, letter, cloth) = (asked.number, asked.letter, asked.cloth);
    let to_lay = &asked.facts.to_lay;
    Page {
        frame: desk.frame(format!("{} of {number} {letter}", name(cloth)), Here::Orders),
        of,
        order: format!("/orders/{number}#{letter}"),
        number: number.to_string(),
        letter: letter.to_string(),
        what: to_lay.garment.facts.what.clone(),
        cloths: Vec::new(),
        why_not: None,
        verdict: String::new(),
        is_short: false,
        shelf: None,
        lacks: false,
        tried: None,
        offers: Vec::new(),
        width_assumed: false,
        laid_width: String::new(),
        accepted: None,
        joint: None,
        outdated: None,
        is_open: to_lay.is_open(),
        lines: Vec::new(),
        cost: None,
        widths: Vec::new(),
        priced: asked.own.price.is_some(),
        width_words: String::new(),
        across: to_lay.may_fold_across(cloth),
        version: to_lay.garment.version,
        over: None,
        left: Vec::new(),
        left_of: String::new(),
        least_left: writing::millimetres(desk.showing(), LEAST_LEFT_MM),
        unmatched: Vec::new(),
        lengths: Vec::new(),
        lengths_short: None,
        flaws: asked.own.flaws.clone(),
        asks_ways: false,
        ways: None,
    }
}

/// What a page of this cloth is headed.
const fn name(cloth: ClothOf) -> &'static str {
    match cloth {
        ClothOf::Main => "Cloth",
        ClothOf::Lining => "Lining",
        ClothOf::Interfacing => "Interfacing",
    }
}

/// The lay as a picture, `?length=1` that of one of several lengths; where nothing can be laid, the reason as a picture, since the
/// order's page has left room for one.
///
/// # Errors
/// [`Fault::NotFound`] without such a garment.
pub async fn picture(State(app): State<App>, of: LayOf, query: Fields) -> Result<Response, Fault> {
    let length: Option<usize> = query.filled("length").and_then(|text| text.parse().ok());
    let (desk, asked, _) = read(&app, of).await?;
    app.think(move || match (asked.facts.shown(asked.cloth, &desk), length) {
        (Ok(shown), None) => {
            let laid = &shown.laid;
            let buy = writing::true_fractions(&laid.need.step.bought(laid.need.to_buy));
            let is_there = match &asked.shelf {
                Some(_) => !verdict(&desk, &asked, &shown, &buy, &Suffice::Unmeasured).1,
                None => OwnLengths::of(&asked.own, laid).one().is_some(),
            };
            lay_picture::drawn(&laid.job, &laid.lay, &below_picture(&laid.need, is_there), &desk)
        }
        (Ok(shown), Some(length)) => {
            let own = OwnLengths::of(&asked.own, &shown.laid);
            match own.suffice() {
                Suffice::Together(found) => {
                    let one =
                        found.iter().find(|one| one.length == length).ok_or(Fault::NotFound("length of cloth"))?;
                    let (takes, have) = (measured(own.takes(one), &desk), measured(own.length(one), &desk));
                    lay_picture::drawn(&one.job, &one.lay, &format!("takes {takes} of {have}"), &desk)
                }
                Suffice::Short(Some(why)) => lay_picture::none(&why),
                _ => Err(Fault::NotFound("length of cloth")),
            }
        }
        (Err(why), _) => lay_picture::none(&why),
    })
    .await
}

/// Lets the lay use a fold across the cloth, or no more.
///
/// # Errors
/// [`Fault::NotFound`] without such a garment; [`Fault::Refused`] when it is cut or its cloth has one way; a
/// [`Fault`] when it was changed in the meantime.
pub async fn fold(
    State(app): State<App>,
    Path((number, letter)): Path<(String, String)>,
    fields: Fields,
) -> Result<Response, Fault> {
    let (number, letter) = (path::order(&number)?, path::letter(&letter)?);
    let across = fields.text("across") == "yes";
    let version = path::version(&fields)?;
    let to_lay = app.read(move |book, _| ToLay::of(book, number, letter)).await?;
    if to_lay.may_fold_across(ClothOf::Main).is_none() {
        let words = "A fold across turns the under layer end for end: it is for cloth without nap or one-way print, and \
                     for a garment that is not cut yet. Nothing was changed.";
        return Err(Fault::Refused(StatusCode::UNPROCESSABLE_ENTITY, words.into()));
    }
    let (garment, mut now) = (to_lay.garment.id, to_lay.garment.facts);
    now.cloth.fold_across = across;
    let words = if across { "may fold its cloth across" } else { "does not fold its cloth across" };
    app.write(format!("{letter}: {words}"), move |book, _| book.change_garment(garment, version, &now)).await?;
    Ok(Redirect::to(&format!("/orders/{number}/{letter}/cloth")).into_response())
}

/// What is known where nothing can be laid: the garment's cloths, and the widths that would serve.
fn unlaid(mut page: Page, why: &str, desk: &Desk, asked: &Asked) -> Page {
    page.why_not = Some(writing::true_fractions(why));
    if let Ok(draft) = asked.facts.to_lay.draft(desk) {
        page.cloths = cloths(asked, &draft);
        let needs = needs(desk, asked, &draft);
        page.widths = widths(desk, asked, &needs, None);
        page.offers = offers(desk, asked, &needs);
    }
    page
}

/// The usual widths that a garment which is not cut yet can be laid on.
fn offers(desk: &Desk, asked: &Asked, needs: &[job::WidthNeed]) -> Vec<(String, String)> {
    let serve = needs.iter().filter(|at| asked.facts.to_lay.is_open() && at.need.is_ok());
    serve.map(|at| (desk.showing().with_unit(at.width), desk.length(at.width))).collect()
}

/// What a search that is held for this very lay has come to.
pub(super) fn tried_words(one: &Try, laid: &Laid) -> Option<String> {
    if one.laid.job != laid.job {
        return None;
    }
    let stand = one.stand(usize::MAX);
    let found = laid.with(stand.best.lay.clone());
    let set = |length: Length| writing::true_fractions(&laid.need.step.written(length));
    let saved = (found.need.lay_length < laid.need.lay_length).then(|| {
        let less = set(laid.need.lay_length - found.need.lay_length);
        format!("a lay of {}, {less} shorter than the one below", set(found.need.lay_length))
    });
    let buys = (found.need.to_buy < laid.need.to_buy)
        .then(|| format!("; buy {} then", writing::true_fractions(&laid.need.step.bought(found.need.to_buy))));
    let buys = buys.unwrap_or_default();
    Some(match (stand.ended.is_none(), saved) {
        (true, None) => "A shorter lay is being looked for; nothing yet.".into(),
        (true, Some(saved)) => format!("A shorter lay is being looked for. So far it has {saved}{buys}."),
        (false, Some(saved)) => format!("Keep trying found {saved}{buys}."),
        (false, None) => return None,
    })
}

fn filled(mut page: Page, desk: &Desk, asked: &Asked, (shown, found): (&Shown, &Suffice)) -> Page {
    let (laid, cloth) = (&shown.laid, &asked.own);
    page.cloths = cloths(asked, &shown.draft);
    match &shown.standing {
        LayStanding::First => {}
        LayStanding::Joint(words, address) => page.joint = Some((words.clone(), address.clone())),
        LayStanding::Accepted(words) => page.accepted = Some(words.clone()),
        LayStanding::Outdated(words) => page.outdated = Some(words.clone()),
    }
    let step = job::selling(desk.settings.selling_step);
    let set = |length: Length| writing::true_fractions(&step.written(length));
    page.width_words = format!(
        "Laid on cloth {} wide{}; {}.",
        desk.length(laid.width),
        if laid.width_assumed { " (assumed)" } else { "" },
        laid.spread()
    );
    page.laid_width = desk.length(laid.width);
    let buy = writing::true_fractions(&step.bought(laid.need.to_buy));
    (page.verdict, page.is_short) = verdict(desk, asked, shown, &buy, found);
    page.shelf = asked.shelf.as_ref().map(|shelf| (shelf.address(), shelf.name().to_string()));
    let is_bought = page.is_short || asked.shelf.is_none() && !matches!(found, Suffice::One(_));
    let last = laid.need.lines.len().saturating_sub(1);
    page.lines = laid
        .need
        .lines
        .iter()
        .enumerate()
        .map(|(place, line)| {
            // The last line is what is asked for in the shop, in its own step.
            let length = if place == last { buy.clone() } else { set(line.length) };
            // Of what is there only the sum is rounded.
            let label = if is_bought { line.label.clone() } else { line.label.replacen("Buy,", "Rounded up,", 1) };
            (writing::true_fractions(&label), length, line.total)
        })
        .collect();
    page.cost = job::cloth_cost(cloth, laid.need.to_buy)
        .zip(cloth.price)
        .map(|(cost, price)| (format!("Cost at {} {}", desk.money(price), cloth.priced_by.words()), desk.money(cost)));
    let needs = needs(desk, asked, &shown.draft);
    page.widths = widths(desk, asked, &needs, Some(laid));
    if laid.width_assumed && asked.facts.to_lay.is_open() {
        page.width_assumed = true;
        page.offers = offers(desk, asked, &needs);
    }
    page
}

/// What is to be bought, or whether what is there suffices; and whether it does not.
fn verdict(desk: &Desk, asked: &Asked, shown: &Shown, buy: &str, found: &Suffice) -> (String, bool) {
    let laid = &shown.laid;
    let need = laid.need.cut_length;
    if let Some(shelf) = &asked.shelf {
        let standing = match shown.standing {
            LayStanding::Accepted(_) => ShownLay::Accepted,
            LayStanding::Joint(..) => ShownLay::Joint,
            LayStanding::First | LayStanding::Outdated(_) => ShownLay::First,
        };
        return shelf.verdict(need, buy, standing, desk);
    }
    OwnLengths::of(&asked.own, laid).verdict(found, buy, desk)
}

/// The cloths of the garment, where it has more than one.
fn cloths(asked: &Asked, draft: &Draft) -> Vec<(String, &'static str, bool)> {
    let all = job::cloths(draft);
    if all.len() < 2 {
        return Vec::new();
    }
    let one = |kind: crate::draft::Cloth| {
        let cloth = job::cloth_of(kind);
        let page = LayOf::Garment { number: asked.number, letter: asked.letter, cloth }.page();
        (page, name(cloth), cloth == asked.cloth)
    };
    all.into_iter().map(one).collect()
}

fn needs(desk: &Desk, asked: &Asked, draft: &Draft) -> Vec<job::WidthNeed> {
    job::needs_of_by_width(draft, job::cloth_in(asked.cloth), &asked.own, &desk.settings)
}

/// The needs at the usual widths, what they cost, and which is least; `laid` is what the page shows.
fn widths(desk: &Desk, asked: &Asked, needs: &[job::WidthNeed], laid: Option<&Laid>) -> Vec<WidthRow> {
    let cloth = &asked.own;
    let step = job::selling(desk.settings.selling_step);
    let bought = needs.iter().filter_map(|at| at.need.as_ref().ok()).map(|need| need.to_buy);
    let (least, most) = (bought.clone().min(), bought.max());
    // What is the same at every width is least nowhere.
    let all_alike = least == most;
    let row = |at: &job::WidthNeed| {
        let need = match &at.need {
            Ok(need) => need,
            Err(why) => {
                let need = writing::true_fractions(&why.to_string());
                let (width, nothing) = (desk.length(at.width), String::new);
                return WidthRow { width, need, cost: nothing(), even: nothing(), best: "", is_refused: true };
            }
        };
        let cost = job::cloth_cost(cloth, need.to_buy);
        // Of the same width nobody asks at which price it would cost the same.
        let other = cloth.price.zip(laid.filter(|laid| at.width != laid.width));
        let even = other.and_then(|(price, laid)| job::even_price(price, laid.need.to_buy, need.to_buy));
        WidthRow {
            width: desk.length(at.width),
            need: format!("buy {}", writing::true_fractions(&step.bought(need.to_buy))),
            cost: cost.map(|cost| desk.money(cost)).unwrap_or_default(),
            even: even.map(|price| format!("{} {}", desk.money(price), cloth.priced_by.words())).unwrap_or_default(),
            best: match (Some(need.to_buy) == least && !all_alike, cloth.price.is_some()) {
                (true, true) => "least, cheapest at this price",
                (true, false) => "least",
                (false, _) => "",
            },
            is_refused: false,
        }
    };
    needs.iter().map(row).collect()
}

/// What is left over, or what would make the cloth suffice, where that is asked.
fn answered(mut page: Page, desk: &Desk, asked: &Asked, (shown, found): (&Shown, &Suffice), ask: bool) -> Page {
    let step = job::selling(desk.settings.selling_step);
    let set = |length: Length| writing::true_fractions(&step.written(length));
    if let (Suffice::One(have), None) = (found, &asked.shelf) {
        page.over = Some(*have - shown.laid.need.cut_length).filter(|over| *over > Length::ZERO).map(set);
    }
    let laid = &shown.laid;
    page.unmatched = laid.unmatched().iter().map(|words| writing::true_fractions(words)).collect();
    let side = |mm: f64| writing::millimetres(desk.showing(), mm);
    let left_of = |of: Length| -> Vec<String> {
        let words = |left: &Rectangle| format!("{} wide, {} long", side(left.width_mm), side(left.length_mm));
        laid.left_over(of).iter().map(words).collect()
    };
    let own = OwnLengths::of(&asked.own, laid);
    (page.left_of, page.left) = match found {
        _ if asked.shelf.is_some() && !page.is_short => {
            let cut = laid.need.cut_length;
            (format!("the {} that are cut off", set(cut)), left_of(cut))
        }
        Suffice::One(have) if asked.shelf.is_none() => (format!("the {} that are there", set(*have)), left_of(*have)),
        Suffice::Together(found) if asked.shelf.is_none() => {
            page.lengths = found.iter().map(|one| own.row(one, desk)).collect();
            ("these lengths".into(), own.left(found, desk))
        }
        _ => {
            let buy = laid.need.to_buy;
            (format!("{} as bought", writing::true_fractions(&step.bought(buy))), left_of(buy))
        }
    };
    if let (Suffice::Short(why), None) = (found, &asked.shelf) {
        page.lengths_short.clone_from(why);
    }
    // A change of style is asked of the main cloth alone.
    page.asks_ways =
        page.is_short && asked.cloth == ClothOf::Main && asked.shelf.is_none() && asked.own.length.is_some();
    if !(ask && page.asks_ways) {
        return page;
    }
    page.ways = asked.facts.to_lay.suffices(&shown.draft, laid, desk).map(|answer| {
        let row = |way: &job::Way| WayRow {
            words: writing::true_fractions(&way.words),
            needs: set(way.need),
            is_choice: way.choice.is_some(),
        };
        answer.ways.iter().map(row).collect()
    });
    page
}
