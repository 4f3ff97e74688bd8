//! The cloth of a garment on its form: what is asked at the counter, what is seldom asked,
//! and lining and interfacing as cloths of their own.

use std::collections::BTreeMap;

use crate::measure::{Length, LengthError, Unit, read_length};
use crate::shop::{ClothFacts, LiningFacts, LiningKind, MOST_LENGTHS, MOST_SHRINKAGE, MOST_SKEW, Nap, read_money};

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
    /// What is lost at each end usually.
    pub usual_skew: String,
    /// What is reckoned usually for shrinkage.
    pub usual_shrink: String,
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
    /// The name of the tick.
    pub brought_name: String,
    /// Whether the client brought it.
    pub brought: bool,
}

/// What a lining's form calls each field, behind `lining.` or `interfacing.`.
const OF_LINING: [&str; 9] =
    ["words", "width", "length", "lengths", "washed", "price", "shrink_along", "shrink_across", "brought"];

impl ClothForm {
    /// The form as sent.
    #[must_use]
    pub fn sent(fields: &Fields, notes: &Notes, desk: &Desk) -> ClothForm {
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
            usual_skew: desk.length(desk.settings.squaring),
            usual_shrink: percent(desk.settings.shrink_thousandths),
            linings: LiningKind::ALL.iter().map(|kind| LiningForm::sent(*kind, fields, notes)).collect(),
        }
    }

    /// In which unit the length of the cloth is read.
    #[must_use]
    pub fn length_hint(&self) -> String {
        format!("In {} unless you write another unit.", self.unit)
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

    /// What is reckoned for shrinkage, unless it is said.
    #[must_use]
    pub fn shrink_hint(&self) -> String {
        format!("Percent; {} % unless you write another. None for washed cloth.", self.usual_shrink)
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
            lining.brought || any_to_show(fields.into_iter().chain(&lining.shrinks))
        })
    }
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
            brought_name: name("brought"),
            brought: fields.filled(&name("brought")).is_some(),
        }
    }
}

/// Whether a cloth was washed.
#[must_use]
pub fn washings() -> Vec<(String, String)> {
    [("", "not known"), ("yes", "washed or steamed"), ("no", "not yet")]
        .iter()
        .map(|(key, words)| ((*key).into(), (*words).into()))
        .collect()
}

/// Which way pieces may point.
#[must_use]
pub fn naps() -> Vec<(String, String)> {
    Nap::ALL.iter().map(|nap| (nap.key().into(), nap.words().into())).collect()
}

/// The fields of a cloth as kept.
#[must_use]
pub fn typed(cloth: &ClothFacts, linings: &BTreeMap<LiningKind, LiningFacts>, desk: &Desk) -> Vec<(String, String)> {
    let width = |length: Option<Length>| length.map(|length| shown_width(length, desk)).unwrap_or_default();
    let sold = |length: Option<Length>| length.map(|length| sold_length(length, desk)).unwrap_or_default();
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
        ];
        pairs.extend(OF_LINING.iter().zip(texts).map(|(name, text)| (format!("{}.{name}", kind.key()), text)));
    }
    pairs
}

fn tick(on: bool) -> String {
    if on { "yes".into() } else { String::new() }
}

fn washed_key(washed: Option<bool>) -> &'static str {
    washed.map_or("", |washed| if washed { "yes" } else { "no" })
}

fn shown_width(width: Length, desk: &Desk) -> String {
    desk.showing().with_unit(width)
}

fn shown_lengths(lengths: &[Length], desk: &Desk) -> String {
    let shown: Vec<String> = lengths.iter().map(|length| sold_length(*length, desk)).collect();
    shown.join(", ")
}

/// Thousandths as percent: `2.5`.
fn percent(thousandths: u32) -> String {
    let (whole, tenth) = (thousandths / 10, thousandths % 10);
    if tenth == 0 { whole.to_string() } else { format!("{whole}.{tenth}") }
}

/// Thousandths that may be unknown, as percent.
#[must_use]
pub fn shown_percent(thousandths: Option<u16>) -> String {
    thousandths.map(|much| percent(u32::from(much))).unwrap_or_default()
}

/// Reads the cloth over what was kept before.
pub fn read(fields: &Fields, notes: &mut Notes, before: &ClothFacts, desk: &Desk) -> ClothFacts {
    let mut form = Reading { fields, notes, desk };
    let price = form.price("cloth_price");
    ClothFacts {
        words: form.notes.line(fields, "cloth"),
        width: form.width("width", before.width),
        length: form.length("length", before.length),
        lengths: form.lengths("lengths", &before.lengths),
        brought: fields.filled("brought").is_some(),
        comes: order_form::day(fields, "comes", form.notes),
        washed: washed(fields.text("washed")),
        nap: form.nap("nap"),
        repeat_along: form.repeat("repeat_along", before.repeat_along),
        repeat_across: form.repeat("repeat_across", before.repeat_across),
        shrink_along: form.percent("shrink_along"),
        shrink_across: form.percent("shrink_across"),
        turns_over: fields.filled("turns_over").is_some(),
        skew: form.skew("skew", before.skew),
        spare: form.length("spare", before.spare).filter(|spare| *spare > Length::ZERO),
        flaws: form.notes.line(fields, "flaws"),
        price,
        priced_by: if price == before.price && price.is_some() { before.priced_by } else { sold_by(desk).0 },
        stock: before.stock,
    }
}

/// Reads lining and interfacing over what was kept before; one of which nothing is written is none.
pub fn read_linings(
    fields: &Fields,
    notes: &mut Notes,
    before: &BTreeMap<LiningKind, LiningFacts>,
    desk: &Desk,
) -> BTreeMap<LiningKind, LiningFacts> {
    let mut linings = BTreeMap::new();
    for kind in LiningKind::ALL {
        let unknown = LiningFacts::UNKNOWN;
        let before = before.get(kind).unwrap_or(&unknown);
        let [words, width, length, lengths, was_washed, price, along, across, brought] =
            OF_LINING.map(|name| format!("{}.{name}", kind.key()));
        let mut form = Reading { fields, notes: &mut *notes, desk };
        let price = form.price(&price);
        let read = LiningFacts {
            words: form.notes.line(fields, &words),
            width: form.width(&width, before.width),
            length: form.length(&length, before.length),
            lengths: form.lengths(&lengths, &before.lengths),
            brought: fields.filled(&brought).is_some(),
            washed: washed(fields.text(&was_washed)),
            shrink_along: form.percent(&along),
            shrink_across: form.percent(&across),
            price,
            priced_by: if price.is_none() || price == before.price { before.priced_by } else { sold_by(desk).0 },
            stock: before.stock,
        };
        let nothing = LiningFacts { priced_by: read.priced_by, ..LiningFacts::UNKNOWN };
        if read != nothing {
            linings.insert(*kind, read);
        }
    }
    linings
}

/// Whether a cloth was washed, from its field.
#[must_use]
pub fn washed(text: &str) -> Option<bool> {
    match text {
        "yes" => Some(true),
        "no" => Some(false),
        _ => None,
    }
}

/// A form of a cloth being read.
pub struct Reading<'f> {
    /// What was sent.
    pub fields: &'f Fields,
    /// What is wrong with it.
    pub notes: &'f mut Notes,
    /// The shop.
    pub desk: &'f Desk,
}

impl Reading<'_> {
    /// What was kept, when it is shown rounded and comes back as it was shown; else what is typed.
    fn kept_or(
        &mut self,
        name: &str,
        kept: Option<Length>,
        shown: fn(Length, &Desk) -> String,
        read: fn(&str, &Desk) -> Result<Length, LengthError>,
    ) -> Option<Length> {
        let text = self.fields.filled(name)?;
        if let Some(kept) = kept.filter(|kept| shown(*kept, self.desk) == text) {
            return Some(kept);
        }
        self.notes.take(name, read(text, self.desk))
    }

    /// The width of a cloth.
    pub fn width(&mut self, name: &str, kept: Option<Length>) -> Option<Length> {
        let width = self.kept_or(name, kept, shown_width, |text, desk| read_length(text, desk.showing().unit()))?;
        // Ribbons are narrower, sheeting is at most 3.2 m: judgement.
        if width < Length::inches(8, 0) || width > Length::inches(150, 0) {
            self.notes.add(
                name,
                format!(
                    "Cloth {} wide is not woven; 8 in (20 cm) to 150 in (380 cm) is. Check the unit.",
                    self.desk.length(width)
                ),
            );
        }
        Some(width)
    }

    /// A length of cloth, as it is sold.
    pub fn length(&mut self, name: &str, kept: Option<Length>) -> Option<Length> {
        self.kept_or(name, kept, sold_length, read_sold)
    }

    /// Several lengths of cloth, with commas or “and” between them.
    fn lengths(&mut self, name: &str, kept: &[Length]) -> Vec<Length> {
        let text = self.fields.text(name);
        if text == shown_lengths(kept, self.desk) {
            return kept.to_vec();
        }
        let parts = text.split([',', ';', '\n']).flat_map(|part| part.split(" and ")).map(str::trim);
        let mut lengths = Vec::new();
        for part in parts.filter(|part| !part.is_empty()) {
            lengths.extend(self.notes.take(name, read_sold(part, self.desk)).filter(|length| *length > Length::ZERO));
        }
        if lengths.len() > MOST_LENGTHS {
            let words = format!(
                "These are {} lengths; at most {MOST_LENGTHS} are kept. Leave out the shortest.",
                lengths.len()
            );
            self.notes.add(name, words);
        }
        lengths
    }

    /// The repeat of a print.
    pub fn repeat(&mut self, name: &str, kept: Option<Length>) -> Option<Length> {
        /// The largest panels that are printed are about two yards long (judgement).
        const MOST: Length = Length::inches(80, 0);
        let repeat = self
            .kept_or(name, kept, shown_width, |text, desk| read_length(text, desk.showing().unit()))
            .filter(|repeat| *repeat > Length::ZERO)?;
        if repeat > MOST {
            let words = format!(
                "A repeat of {} is longer than any print; at most {} is taken. Measure from one motif to the next alike.",
                self.desk.length(repeat),
                self.desk.length(MOST)
            );
            self.notes.add(name, words);
        }
        Some(repeat)
    }

    /// What is lost at each end.
    fn skew(&mut self, name: &str, kept: Option<Length>) -> Option<Length> {
        let skew = self.kept_or(name, kept, shown_width, |text, desk| read_length(text, desk.showing().unit()))?;
        if skew > MOST_SKEW {
            let words = format!(
                "{} at each end is more than squaring takes; at most {} is reckoned. Square it first, then measure its length.",
                self.desk.length(skew),
                self.desk.length(MOST_SKEW)
            );
            self.notes.add(name, words);
        }
        Some(skew)
    }

    /// Percent, kept in thousandths.
    pub fn percent(&mut self, name: &str) -> Option<u16> {
        let text = self.fields.filled(name)?;
        let figure = text.trim_end_matches('%').trim().replace(',', ".");
        let (whole, tenths) = figure.split_once('.').unwrap_or((&figure, "0"));
        let digits = |text: &str, most: usize| {
            (!text.is_empty() && text.len() <= most && text.bytes().all(|byte| byte.is_ascii_digit()))
                .then(|| text.parse::<u16>().ok())
                .flatten()
        };
        let read = digits(whole, 3).zip(digits(tenths, 1)).map(|(whole, tenth)| whole * 10 + tenth);
        let fit = read.filter(|thousandths| *thousandths <= MOST_SHRINKAGE);
        if fit.is_none() {
            let most = MOST_SHRINKAGE / 10;
            self.notes
                .add(name, format!("“{text}” is no shrinkage from 0 to {most} %. Write a number such as 3 or 2.5."));
        }
        fit
    }

    /// What it costs.
    pub fn price(&mut self, name: &str) -> Option<crate::shop::Money> {
        let text = self.fields.filled(name)?;
        self.notes.take(name, read_money(text, self.desk.settings.currency))
    }

    /// Which way pieces may point.
    pub fn nap(&mut self, name: &str) -> Nap {
        match self.fields.text(name) {
            "" => Nap::Free,
            key => Nap::from_key(key).unwrap_or_else(|| {
                self.notes.add(name, format!("“{key}” is no way that pieces lie. Choose one of the list."));
                Nap::Free
            }),
        }
    }
}

/// A length of cloth: a bare number is in yards or metres, as the shop buys.
///
/// # Errors
/// [`LengthError`] with the text at fault.
pub fn read_sold(text: &str, desk: &Desk) -> Result<Length, LengthError> {
    let unit = sold_by(desk).1;
    let bare = text.chars().all(|sign| !sign.is_alphabetic() && !matches!(sign, '"' | '\'' | '″' | '′' | '”'));
    if bare { read_length(&format!("{text} {unit}"), Unit::Inch) } else { read_length(text, Unit::Inch) }
}
