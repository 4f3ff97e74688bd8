//! Fields of a cloth that several forms have: widths, lengths, repeats, shrinkage, prices.

use crate::measure::{Length, LengthError, Unit, read_length};
use crate::shop::{MOST_LENGTHS, MOST_SHRINKAGE, MOST_SKEW, Money, Nap, read_money};

use super::desk::Desk;
use super::fields::{Fields, Notes};
use super::garment_form::{sold_by, sold_length};

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

/// Whether a cloth was washed, from its field.
#[must_use]
pub fn washed(text: &str) -> Option<bool> {
    match text {
        "yes" => Some(true),
        "no" => Some(false),
        _ => None,
    }
}

/// What stands in the field of a tick.
#[must_use]
pub fn tick(on: bool) -> String {
    if on { "yes".into() } else { String::new() }
}

/// What stands in the field of whether it was washed.
#[must_use]
pub fn washed_key(washed: Option<bool>) -> &'static str {
    washed.map_or("", |washed| if washed { "yes" } else { "no" })
}

/// A width as its field shows it.
#[must_use]
pub fn shown_width(width: Length, desk: &Desk) -> String {
    desk.showing().with_unit(width)
}

/// Further lengths as their field shows them.
#[must_use]
pub fn shown_lengths(lengths: &[Length], desk: &Desk) -> String {
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

/// What is reckoned for shrinkage, unless it is said.
#[must_use]
pub fn shrink_hint(desk: &Desk) -> String {
    let usual = percent(desk.settings.shrink_thousandths);
    format!("Percent; {usual} % unless you write another. None for washed cloth.")
}

/// The repeat of a print in words.
pub fn repeat_words(along: Option<Length>, across: Option<Length>, desk: &Desk) -> impl Iterator<Item = String> {
    let one = |repeat: Option<Length>, way: &str| repeat.map(|repeat| format!("repeat {} {way}", desk.length(repeat)));
    [one(along, "along"), one(across, "across")].into_iter().flatten()
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

    /// How much there is, and the further lengths of another field; several may be typed where one is asked for.
    pub fn length_and_further(
        &mut self,
        (name, further): (&str, &str),
        (kept, kept_further): (Option<Length>, &[Length]),
    ) -> (Option<Length>, Vec<Length>) {
        let text = self.fields.text(name);
        let parts: Vec<&str> = parts(text).collect();
        if parts.len() < 2 || read_sold(text, self.desk).is_ok() {
            let length = self.length(name, kept);
            if length == Some(Length::ZERO) {
                let words = "is no length of cloth. Write how much there is, or nothing until it is measured.";
                self.notes.add(name, format!("“{text}” {words}"));
            }
            return (length, self.lengths(further, kept_further));
        }
        let mut lengths = Vec::new();
        for part in parts {
            match read_sold(part, self.desk) {
                Ok(length) => lengths.extend(Some(length).filter(|length| *length > Length::ZERO)),
                Err(why) => self.notes.add(name, format!("“{part}” is not read: {why}")),
            }
        }
        lengths.extend(self.lengths(further, kept_further));
        let first = if lengths.is_empty() { None } else { Some(lengths.remove(0)) };
        if self.notes.at(further).is_none() {
            self.no_more_than_kept(name, &lengths);
        }
        (first, lengths)
    }

    /// Several lengths of cloth, with commas or “and” between them.
    pub fn lengths(&mut self, name: &str, kept: &[Length]) -> Vec<Length> {
        let text = self.fields.text(name);
        if text == shown_lengths(kept, self.desk) {
            return kept.to_vec();
        }
        let mut lengths = Vec::new();
        for part in parts(text) {
            lengths.extend(self.notes.take(name, read_sold(part, self.desk)).filter(|length| *length > Length::ZERO));
        }
        self.no_more_than_kept(name, &lengths);
        lengths
    }

    fn no_more_than_kept(&mut self, name: &str, lengths: &[Length]) {
        if lengths.len() > MOST_LENGTHS {
            let words = format!(
                "These are {} lengths; at most {MOST_LENGTHS} are kept. Leave out the shortest.",
                lengths.len()
            );
            self.notes.add(name, words);
        }
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
    pub fn skew(&mut self, name: &str, kept: Option<Length>) -> Option<Length> {
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
    pub fn price(&mut self, name: &str) -> Option<Money> {
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

/// The lengths of a text, with commas, “and”, “+” or “&” between them.
fn parts(text: &str) -> impl Iterator<Item = &str> {
    let parts = text.split([',', ';', '\n', '+', '&']).flat_map(|part| part.split(" and "));
    parts.map(str::trim).filter(|part| !part.is_empty())
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
