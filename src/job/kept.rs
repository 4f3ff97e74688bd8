//! The crossings: what was worked out and becomes a fact, because it was told,
//! cut, accepted or printed. From then on it stands, whatever changes later.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use crate::draft::{Choice, ChoiceKind, Draft, Input, Style};
use crate::measure::{Length, read_length};
use crate::shop::{
    AcceptedLay, AcceptedPlacement, Account, CutCorrection, CutId, CutRecord, GarmentId, LayId, Order, PaperFacts,
    PaperKind, Payment, PersonId, QuoteFacts, Settings, WorkMinutes,
};

use super::drafted::{exactly, reads};
use super::laid::{Laid, cloth_of};
use super::outlines::outlines;
use super::priced::Priced;

/// What is told to a client: the price as agreed or reckoned, how it came about,
/// the cloth to buy or bring.
#[must_use]
pub fn quote(garment: GarmentId, priced: &Priced, main: Option<&Laid>, minutes: WorkMinutes) -> QuoteFacts {
    QuoteFacts {
        garment,
        price: priced.price(),
        cloth: main.map(|laid| laid.need.to_buy),
        width: main.map(|laid| laid.width),
        minutes,
        words: priced.words(),
    }
}

/// What was cut: the rules in full, the figures they were worked with, and
/// everything that came out of them. `input` is what the draft was made from; the record
/// alone gives the same draft again, whatever the shop changes.
#[must_use]
pub fn cut_record(
    garment: GarmentId,
    who: PersonId,
    at_ms: i64,
    style: &Style,
    input: &Input,
    draft: &Draft,
) -> CutRecord {
    // The body has more than the style reads: what was not used was not cut from.
    let mut body: BTreeMap<String, Length> =
        input.body.iter().filter(|(key, _)| reads(style, key)).map(|(key, length)| (key.clone(), *length)).collect();
    let assumed = draft.assumed.iter();
    body.extend(assumed.filter_map(|assumed| Some((assumed.key.clone(), Length::from_mm(assumed.mm)?))));
    CutRecord {
        id: CutId::new(0),
        garment,
        who,
        at_ms,
        style_text: style.text().into(),
        body,
        figure: input.figure.iter().filter(|note| style.heeds(note)).cloned().collect(),
        corrections: input
            .corrections
            .iter()
            .filter(|one| reads(style, &one.key))
            .map(|one| CutCorrection {
                dimension: one.key.clone(),
                side: one.side,
                amount: one.amount,
                words: one.words.clone(),
            })
            .collect(),
        choices: settled(style, input),
        showing: input.showing,
        dimensions: draft
            .dimensions
            .iter()
            .map(|row| (row.key.clone(), row.label.clone(), row.working.text(input.showing)))
            .collect(),
        outlines: outlines(draft),
        engine: ENGINE.into(),
    }
}

/// Every choice of a style as a draft of this input takes it: what was chosen, else the
/// shop's allowance, else the style's own; lengths in words that mean the same in every shop.
fn settled(style: &Style, input: &Input) -> BTreeMap<String, String> {
    let value = |choice: &Choice| {
        let typed = input.choices.get(&choice.key).map(|text| text.trim()).filter(|text| !text.is_empty());
        match (&choice.kind, typed) {
            (ChoiceKind::Length { .. }, Some(text)) => {
                read_length(text, input.showing.unit()).map_or_else(|_| text.into(), exactly)
            }
            (ChoiceKind::Length { default, .. }, None) => {
                let shops = choice.shop.as_ref().and_then(|name| input.allowances.get(name));
                let shops = shops.map(|length| choice.held(*length));
                shops.or_else(|| Length::from_mm(*default)).map_or_else(|| format!("{default} mm"), exactly)
            }
            (ChoiceKind::Number { .. } | ChoiceKind::Word { .. }, Some(text)) => text.into(),
            (ChoiceKind::Number { default, .. }, None) => default.to_string(),
            (ChoiceKind::Word { default, .. }, None) => default.clone(),
        }
    };
    style.choices().iter().map(|choice| (choice.key.clone(), value(choice))).collect()
}

/// The edition of the engine that drafts: bodkin's own.
const ENGINE: &str = env!("CARGO_PKG_VERSION");

/// A lay that the cutter accepted, for one garment or several, in the order in which they are numbered.
/// Lengths of strips are placements too, named by their strip.
#[must_use]
pub fn accepted_lay(garments: &[GarmentId], who: PersonId, at_ms: i64, laid: &Laid) -> AcceptedLay {
    let place = |mm: f64| Length::from_mm(mm).unwrap_or_default();
    let pieces = laid.lay.placements.iter().filter_map(|placement| {
        Some(AcceptedPlacement {
            part: laid.job.parts.get(placement.part)?.key.clone(),
            copy: placement.copy.saturating_sub(1),
            under_copy: placement.under.map(|copy| copy.saturating_sub(1)),
            length: None,
            turn: placement.turn,
            mirrored: placement.mirrored,
            on_fold: placement.on_fold,
            layers: placement.layers(),
            x: place(placement.at[0]),
            y: place(placement.at[1]),
        })
    });
    let strips = laid.lay.bits.iter().filter_map(|bit| {
        Some(AcceptedPlacement {
            part: laid.job.strips.get(bit.strip)?.key.clone(),
            copy: bit.copy.saturating_sub(1),
            under_copy: bit.under.map(|copy| copy.saturating_sub(1)),
            length: Some(place(bit.length_mm)),
            turn: bit.turn,
            mirrored: false,
            on_fold: false,
            layers: if bit.under.is_some() { 2 } else { 1 },
            x: place(bit.at[0]),
            y: place(bit.at[1]),
        })
    });
    AcceptedLay {
        id: LayId::new(0),
        cloth: cloth_of(laid.cloth),
        garments: garments.to_vec(),
        who,
        at_ms,
        width: laid.width,
        used: place(laid.lay.used_length_mm),
        need: Some(laid.need.cut_length).filter(|need| *need > Length::ZERO),
        layout: laid.lay.layout.key().into(),
        folded: place(laid.lay.folded_mm),
        fold_at: place(laid.lay.fold_at_mm),
        seed: laid.lay.seed,
        evaluations: u64::from(laid.lay.evaluations),
        placements: pieces.chain(strips).collect(),
    }
}

/// A receipt for a payment, with the account as it stands after it.
#[must_use]
pub fn receipt(order: &Order, payment: &Payment, account: Account, settings: &Settings, day: NaiveDate) -> PaperFacts {
    let facts = &payment.facts;
    let by = if facts.method.is_empty() { String::new() } else { format!(", {}", facts.method) };
    let balance = account.balance();
    let rest = match balance.minor() {
        0 => "Paid in full.".into(),
        ..0 => format!("Paid in full, {} too much.", balance.share(-1, 1).unwrap_or(balance)),
        _ => format!("Balance {balance}."),
    };
    let text = format!(
        "{}\nOrder {}\n{} of {}{by}, {}\nOrder comes to {}, paid {}. {rest}",
        settings.shop_name,
        order.number,
        capital(facts.kind.words()),
        facts.money,
        facts.day.format("%-d %B %Y"),
        account.due,
        account.paid,
    );
    PaperFacts { kind: PaperKind::Receipt, order: order.id, day, money: facts.money, text }
}

fn capital(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}
