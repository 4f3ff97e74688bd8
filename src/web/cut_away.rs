//! What the order's page says of cloth that went from the shelf when a garment was cut: while it is cut, and once
//! it was sent back.

use std::collections::BTreeSet;

use crate::shop::{AcceptedLay, ClothOf, Garment, Stage, StageMove};
use crate::store::Reader;

use super::cloths::measured;
use super::desk::Desk;
use super::fault::Fault;
use super::from_shelf::{length_words, most_free, shortest};
use super::writing;

/// Cloth that was cut away.
pub struct CutAway {
    /// How much of which cloth: `1 yd 9 in of Linen`.
    pub cloth: String,
    /// Where the garment was sent back to before the cutting: when it was cut, and that its cloth is gone; then
    /// what it needs now, with an address and its words.
    pub sent_back: Option<SentBack>,
}

/// What is said of a garment that was sent back.
pub struct SentBack {
    /// That its cloth is not there any more.
    pub words: String,
    /// What each of its cloths needs now: words, address and the words of the link.
    pub needs: Vec<(String, String, &'static str)>,
}

impl CutAway {
    /// What went from the shelf when the garment was cut and did not come back; nothing where nothing did.
    ///
    /// # Errors
    /// A [`Fault`] when the book cannot be read.
    pub fn of(
        book: &Reader,
        (garment, order): (&Garment, &str),
        moves: &[StageMove],
        desk: &Desk,
    ) -> Result<Option<CutAway>, Fault> {
        let (mut parts, mut cloths, mut others) = (Vec::new(), BTreeSet::new(), 0_usize);
        for (length, much, by) in book.cut_from_shelf(garment.id)? {
            let name = book.cloth(book.cloth_length(length)?.cloth)?.facts.name;
            parts.push(format!("{} of {name}", measured(much, desk)));
            let lay = by.map(|by| book.lay(by)).transpose()?;
            others = others.max(lay.as_ref().map_or(0, |lay| lay.garments.len().saturating_sub(1)));
            cloths.insert(lay.map_or(ClothOf::Main, |lay| lay.cloth));
        }
        if parts.is_empty() {
            return Ok(None);
        }
        let cloth = parts.join(" and ");
        if garment.stage >= Stage::Cut {
            return Ok(Some(CutAway { cloth, sent_back: None }));
        }
        let cut =
            moves.iter().rev().find(|step| step.to >= Stage::Cut && step.from.is_none_or(|from| from < Stage::Cut));
        let when = cut.map(|step| format!(", {},", desk.day(desk.day_of(step.at_ms)))).unwrap_or_default();
        let with = match others {
            0 => String::new(),
            many => format!(", for it and {}", writing::count(many, "other in one lay", "others in one lay")),
        };
        let words = format!(
            "It was cut{when} and sent back: {cloth} went from the shelf then{with}, and is not there any more."
        );
        let needs =
            cloths.into_iter().map(|cloth| need(book, garment, order, cloth, desk)).collect::<Result<_, _>>()?;
        Ok(Some(CutAway { cloth, sent_back: Some(SentBack { words, needs }) }))
    }
}

/// What one cloth of a garment that was sent back needs now.
fn need(
    book: &Reader,
    garment: &Garment,
    order: &str,
    cloth: ClothOf,
    desk: &Desk,
) -> Result<(String, String, &'static str), Fault> {
    let what = match cloth {
        ClothOf::Main => "It",
        ClothOf::Lining => "Its lining",
        ClothOf::Interfacing => "Its interfacing",
    };
    let of = if cloth == ClothOf::Main { String::new() } else { format!("?of={}", cloth.key()) };
    let own_page = (format!("/orders/{order}/{}/cloth{of}", garment.letter), "Its cloth page");
    let says = |words: String, (address, link): (String, &'static str)| Ok((words, address, link));
    let newest = book.newest_lay(garment.id, cloth)?;
    let need = match &newest {
        Some(lay) if lay.is_joint() && book.sent_back_from(lay.id)?.contains(&garment.id) => {
            let words = format!("{what} needs cloth of its own now: lay it by itself, or with others.");
            return says(words, own_page);
        }
        Some(AcceptedLay { need: Some(need), .. }) => *need,
        _ => return says(format!("{what} needs cloth anew: lay it, and its page says how much."), own_page),
    };
    let needs = measured(need, desk);
    let Some(stock) = garment.facts.stock_of(cloth) else {
        return says(format!("{what} needs {needs} anew, and is not cut from the shelf any more."), own_page);
    };
    let shelf = (format!("/cloth/{stock}"), "The cloth’s page");
    if let Some(held) = book.held_for(garment.id, cloth)? {
        let on = length_words(&book.cloth_length(held.on)?, desk);
        return says(format!("{} are held for it again, on {on}.", measured(held.length, desk)), shelf);
    }
    let lengths = book.cloth_lengths(stock, false)?;
    match shortest(&lengths, need, &[]) {
        Some(on) => {
            let on = length_words(on, desk);
            says(format!("{what} needs {needs} anew; {on} suffices, and is not held for it yet."), shelf)
        }
        None => {
            let most = most_free(&lengths, &[], desk);
            says(format!("{what} needs {needs} anew, and {most}: buy it."), shelf)
        }
    }
}
