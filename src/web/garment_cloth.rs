//! The cloth of a garment on its form: what is asked at the counter, what is seldom asked,
//! and lining and interfacing as cloths of their own.

use std::collections::BTreeMap;

use crate::job;
use crate::measure::Length;
use crate::shop::{Cloth, ClothFacts, ClothId, LiningFacts, LiningKind, Nap};

use super::cloth_fields::{
    Reading, naps, shown_lengths, shown_percent, shown_width, shrink_hint, tick, washed, washed_key, washings,
};
use super::desk::Desk;
use super::fields::{Field, Fields, Notes};
use super::garment_form::{sold_by, sold_length};
use super::order_form;

/// The fields of the cloth, ready to show.
pub struct ClothForm {
    /// The cloth in words.
    pub words: Field,
    /// Its width.
    pub width: Field,
    /// Its length.
    pub length: Field,
    /// The unit of a length written without one.
    pub unit: &'static str,
    /// The day on which it comes.
    pub comes: Field,
    /// Whether it was washed: `yes`, `no` or empty.
    pub washed: Field,
    /// What it costs.
    pub price: Field,
    /// By what it is priced.
    pub priced_by: &'static str,
    /// Which way pieces may point.
    pub nap: Field,
    /// Flaws, and where.
    pub flaws: Field,
    /// Whether the client brought it.
    pub brought: bool,
    /// Further lengths.
    pub lengths: Field,
    /// The repeat along and across.
    pub repeats: [Field; 2],
    /// What it loses along and across.
    pub shrinks: [Field; 2],
    /// What is lost at each end.
    pub skew: Field,
    /// For mistakes.
    pub spare: Field,
    /// Whether pieces may lie wrong side up.
    pub turns_over: bool,
    /// What is assumed where no width is written.
    pub usual_width: String,
    /// What is lost at each end usually.
    pub usual_skew: String,
    /// What is said of shrinkage.
    pub shrink_hint: String,
    /// The shop's cloth that it is cut from.
    pub stock: Field,
    /// The shop's cloths; empty when it has none.
    pub shelf: Vec<(String, String)>,
    /// Lining and interfacing.
    pub linings: Vec<LiningForm>,
}

/// The fields of lining or interfacing.
pub struct LiningForm {
    /// `Lining`, `Interfacing`.
    pub label: &'static str,
    /// In words.
    pub words: Field,
    /// Its width.
    pub width: Field,
    /// Its length.
    pub length: Field,
    /// Further lengths.
    pub lengths: Field,
    /// Whether it was washed.
    pub washed: Field,
    /// What it costs.
    pub price: Field,
    /// What it loses along and across.
    pub shrinks: [Field; 2],
    /// The shop's cloth that it is cut from.
    pub stock: Field,
    /// The name of the tick.
    pub brought_name: String,
    /// Whether the client brought it.
    pub brought: bool,
}

/// What a lining's form calls each field, behind `lining.` or `interfacing.`.
const OF_LINING: [&str; 10] =
    ["words", "width", "length", "lengths", "washed", "price", "shrink_along", "shrink_across", "brought", "stock"];

impl ClothForm {
    /// The form as sent.
    #[must_use]
    pub fn sent(fields: &Fields, notes: &Notes, shelf: &[Cloth], desk: &Desk) -> ClothForm {
        let field = |name: &str| Field::sent(name, fields, notes);
        let mut nap = field("nap");
        if nap.value.is_empty() {
            nap.value = Nap::Free.key().into();
        }
        ClothForm {
            words: field("cloth"),
            width: field("width"),
            length: field("length"),
            unit: sold_by(desk).1,
            comes: field("comes"),
            washed: field("washed"),
            price: field("cloth_price"),
            priced_by: sold_by(desk).0.words(),
            nap,
            flaws: field("flaws"),
            brought: fields.filled("brought").is_some(),
            lengths: field("lengths"),
            repeats: [field("repeat_along"), field("repeat_across")],
            shrinks: [field("shrink_along"), field("shrink_across")],
            skew: field("skew"),
            spare: field("spare"),
            turns_over: fields.filled("turns_over").is_some(),
            usual_width: {
                let [_, usual, ..] = *job::usual_widths(desk.showing());
                desk.length(usual)
            },
            usual_skew: desk.length(desk.settings.squaring),
            shrink_hint: shrink_hint(desk),
            stock: field("stock"),
            shelf: on_shelf(shelf),
            linings: LiningKind::ALL.iter().map(|kind| LiningForm::sent(*kind, fields, notes)).collect(),
        }
    }

    /// In which unit the length of the cloth is read.
    #[must_use]
    pub fn length_hint(&self) -> String {
        format!("In {} unless you write another unit; of several each: 1 3/8 and 3/4.", self.unit)
    }

    /// How a width is measured, and what is taken without one.
    #[must_use]
    pub fn width_hint(&self) -> String {
        format!("From selvedge to selvedge. Where it is empty, {} is assumed.", self.usual_width)
    }

    /// By what the cloth is priced.
    #[must_use]
    pub fn price_hint(&self) -> String {
        format!("For {}.", self.priced_by)
    }

    /// How further lengths are written.
    #[must_use]
    pub fn lengths_hint(&self) -> String {
        format!("Remnants, one after another with commas: 1 3/8, 3/4 {}.", self.unit)
    }

    /// What is lost at each end, unless it is said.
    #[must_use]
    pub fn skew_hint(&self) -> String {
        format!("{} unless you write more; up to 3 in for a skewed end.", self.usual_skew)
    }

    /// Whether the cloth was washed.
    #[must_use]
    pub fn washings(&self) -> Vec<(String, String)> {
        washings()
    }

    /// Which way pieces may point.
    #[must_use]
    pub fn naps(&self) -> Vec<(String, String)> {
        naps()
    }

    /// Whether anything seldom asked is written or noted.
    #[must_use]
    pub fn open_more(&self) -> bool {
        let fields = [&self.lengths, &self.skew, &self.spare].into_iter().chain(&self.repeats).chain(&self.shrinks);
        self.turns_over || any_to_show(fields)
    }

    /// Whether anything of lining or interfacing is written or noted.
    #[must_use]
    pub fn open_linings(&self) -> bool {
        self.linings.iter().any(|lining| {
            let fields = [&lining.words, &lining.width, &lining.length, &lining.lengths, &lining.washed, &lining.price];
            lining.brought || any_to_show(fields.into_iter().chain(&lining.shrinks).chain([&lining.stock]))
        })
    }
}

/// The cloths to choose from.
fn on_shelf(shelf: &[Cloth]) -> Vec<(String, String)> {
    if shelf.is_empty() {
        return Vec::new();
    }
    let none = (String::new(), "none of the shop’s".to_string());
    std::iter::once(none).chain(shelf.iter().map(|cloth| (cloth.id.to_string(), cloth.facts.name.clone()))).collect()
}

fn any_to_show<'f>(mut fields: impl Iterator<Item = &'f Field>) -> bool {
    fields.any(|field| !field.value.is_empty() || field.note.is_some())
}

impl LiningForm {
    fn sent(kind: LiningKind, fields: &Fields, notes: &Notes) -> LiningForm {
        let name = |name: &str| format!("{}.{name}", kind.key());
        let field = |of: &str| Field::sent(&name(of), fields, notes);
        LiningForm {
            label: match kind {
                LiningKind::Lining => "Lining",
                LiningKind::Interfacing => "Interfacing",
            },
            words: field("words"),
            width: field("width"),
            length: field("length"),
            lengths: field("lengths"),
            washed: field("washed"),
            price: field("price"),
            shrinks: [field("shrink_along"), field("shrink_across")],
            stock: field("stock"),
            brought_name: name("brought"),
            brought: fields.filled(&name("brought")).is_some(),
        }
    }
}

/// The fields of a cloth as kept.
#[must_use]
pub fn typed(cloth: &ClothFacts, linings: &BTreeMap<LiningKind, LiningFacts>, desk: &Desk) -> Vec<(String, String)> {
    let width = |length: Option<Length>| length.map(|length| shown_width(length, desk)).unwrap_or_default();
    let sold = |length: Option<Length>| length.map(|length| sold_length(length, desk)).unwrap_or_default();
    let stock = |stock: Option<ClothId>| stock.map(|id| id.to_string()).unwrap_or_default();
    let mut pairs: Vec<(String, String)> = [
        ("cloth", cloth.words.clone()),
        ("width", width(cloth.width)),
        ("length", sold(cloth.length)),
        ("lengths", shown_lengths(&cloth.lengths, desk)),
        ("comes", cloth.comes.map(|day| day.to_string()).unwrap_or_default()),
        ("washed", washed_key(cloth.washed).into()),
        ("cloth_price", cloth.price.map(|price| price.number()).unwrap_or_default()),
        ("nap", cloth.nap.key().into()),
        ("flaws", cloth.flaws.clone()),
        ("repeat_along", width(cloth.repeat_along)),
        ("repeat_across", width(cloth.repeat_across)),
        ("shrink_along", shown_percent(cloth.shrink_along)),
        ("shrink_across", shown_percent(cloth.shrink_across)),
        ("skew", width(cloth.skew)),
        ("spare", sold(cloth.spare)),
        ("brought", tick(cloth.brought)),
        ("turns_over", tick(cloth.turns_over)),
        ("stock", stock(cloth.stock)),
    ]
    .map(|(name, text)| (name.to_string(), text))
    .into();
    for (kind, lining) in linings {
        let texts = [
            lining.words.clone(),
            width(lining.width),
            sold(lining.length),
            shown_lengths(&lining.lengths, desk),
            washed_key(lining.washed).into(),
            lining.price.map(|price| price.number()).unwrap_or_default(),
            shown_percent(lining.shrink_along),
            shown_percent(lining.shrink_across),
            tick(lining.brought),
            stock(lining.stock),
        ];
        pairs.extend(OF_LINING.iter().zip(texts).map(|(name, text)| (format!("{}.{name}", kind.key()), text)));
    }
    pairs
}

/// Reads the cloth over what was kept before.
pub fn read(fields: &Fields, notes: &mut Notes, before: &ClothFacts, shelf: &[Cloth], desk: &Desk) -> ClothFacts {
    let chosen = stock(fields, notes, "stock", before.stock, shelf);
    let mut form = Reading { fields, notes, desk };
    let price = form.price("cloth_price");
    let (length, lengths) = form.length_and_further(("length", "lengths"), (before.length, before.lengths.as_slice()));
    let mut cloth = ClothFacts {
        words: form.notes.line(fields, "cloth"),
        width: form.width("width", before.width),
        length,
        lengths,
        brought: fields.filled("brought").is_some(),
        comes: order_form::day(fields, "comes", form.notes),
        washed: washed(fields.text("washed")),
        nap: form.nap("nap"),
        repeat_along: form.repeat("repeat_along", before.repeat_along),
        repeat_across: form.repeat("repeat_across", before.repeat_across),
        shrink_along: form.percent("shrink_along"),
        shrink_across: form.percent("shrink_across"),
        turns_over: fields.filled("turns_over").is_some(),
        // Asked on the cloth's page, beside the lay that it changes.
        fold_across: before.fold_across,
        skew: form.skew("skew", before.skew),
        spare: form.length("spare", before.spare).filter(|spare| *spare > Length::ZERO),
        flaws: form.notes.line(fields, "flaws"),
        price,
        priced_by: if price == before.price && price.is_some() { before.priced_by } else { sold_by(desk).0 },
        stock: chosen,
    };
    if let Some(stock) = newly(chosen, before.stock, shelf) {
        cloth.take_from(&stock.facts);
    }
    cloth
}

/// The shop's cloth that was chosen; one that is offered no more stays where it was.
fn stock(fields: &Fields, notes: &mut Notes, name: &str, before: Option<ClothId>, shelf: &[Cloth]) -> Option<ClothId> {
    if !fields.has(name) {
        return before;
    }
    let text = fields.filled(name)?;
    let chosen = text.parse().ok().map(ClothId::new);
    let known = chosen.filter(|id| before == Some(*id) || shelf.iter().any(|cloth| cloth.id == *id));
    if known.is_none() {
        notes.add(name, "This cloth is not on the shelf. Choose one of the list.");
    }
    known
}

/// The cloth of the shelf that is chosen now and was not before.
fn newly(chosen: Option<ClothId>, before: Option<ClothId>, shelf: &[Cloth]) -> Option<&Cloth> {
    chosen.filter(|id| before != Some(*id)).and_then(|id| shelf.iter().find(|cloth| cloth.id == id))
}

/// Reads lining and interfacing over what was kept before; one of which nothing is written is none.
pub fn read_linings(
    fields: &Fields,
    notes: &mut Notes,
    before: &BTreeMap<LiningKind, LiningFacts>,
    shelf: &[Cloth],
    desk: &Desk,
) -> BTreeMap<LiningKind, LiningFacts> {
    let mut linings = BTreeMap::new();
    for kind in LiningKind::ALL {
        let unknown = LiningFacts::UNKNOWN;
        let before = before.get(kind).unwrap_or(&unknown);
        let [words, width, length, further, was_washed, price, along, across, brought, from_shelf] =
            OF_LINING.map(|name| format!("{}.{name}", kind.key()));
        let chosen = stock(fields, notes, &from_shelf, before.stock, shelf);
        let mut form = Reading { fields, notes: &mut *notes, desk };
        let price = form.price(&price);
        let (length, lengths) = form.length_and_further((&length, &further), (before.length, &before.lengths));
        let mut read = LiningFacts {
            words: form.notes.line(fields, &words),
            width: form.width(&width, before.width),
            length,
            lengths,
            brought: fields.filled(&brought).is_some(),
            washed: washed(fields.text(&was_washed)),
            shrink_along: form.percent(&along),
            shrink_across: form.percent(&across),
            price,
            priced_by: if price.is_none() || price == before.price { before.priced_by } else { sold_by(desk).0 },
            stock: chosen,
        };
        if let Some(stock) = newly(chosen, before.stock, shelf) {
            read.take_from(&stock.facts);
        }
        let nothing = LiningFacts { priced_by: read.priced_by, ..LiningFacts::UNKNOWN };
        if read != nothing {
            linings.insert(*kind, read);
        }
    }
    linings
}
