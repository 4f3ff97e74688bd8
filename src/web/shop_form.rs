//! Writing down the shop's settings.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use chrono_tz::Tz;

use crate::measure::{Length, read_length};
use crate::shop::{Currency, SellingStep, Settings, SheetSize, read_money};

use super::fields::{Field, Fields, Notes};
use super::first_run::{showing_key, showing_of};
use super::hours;

/// The fields of the settings, ready to show.
pub struct ShopForm {
    /// All single fields by name.
    fields: BTreeMap<&'static str, Field>,
    /// The hours with the names of their days.
    pub hours: Vec<(Field, &'static str)>,
    /// The allowances with their words.
    pub allowances: Vec<(Field, String)>,
    /// How many fields need another look.
    pub wrongs: usize,
}

const NAMES: [&str; 14] = [
    "shop_name",
    "showing",
    "currency",
    "zone",
    "hour_rate",
    "deposit_percent",
    "promise_percent",
    "squaring",
    "selvedge",
    "selling_step",
    "shrink",
    "sheet",
    "base_url",
    "closed",
];

impl ShopForm {
    /// The form as sent, over the settings as kept.
    #[must_use]
    pub fn sent(fields: &Fields, notes: &Notes, before: &Settings) -> ShopForm {
        ShopForm {
            fields: NAMES.iter().map(|name| (*name, Field::sent(name, fields, notes))).collect(),
            hours: hours::rows(fields, notes),
            allowances: before
                .allowances
                .keys()
                .map(|key| (Field::sent(&allowance(key), fields, notes), crate::measure::term(key)))
                .collect(),
            wrongs: notes.count(),
        }
    }

    /// A single field.
    #[must_use]
    pub fn at(&self, name: &str) -> Field {
        self.fields.get(name).cloned().unwrap_or_default()
    }

    /// The ways of showing lengths.
    #[must_use]
    pub fn showings(&self) -> Vec<(String, String)> {
        super::first_run::SHOWINGS.iter().map(|(key, words)| ((*key).into(), (*words).into())).collect()
    }

    /// The steps in which cloth is sold.
    #[must_use]
    pub fn steps(&self) -> Vec<(String, String)> {
        SellingStep::ALL.iter().map(|step| (step.key().into(), step.words().into())).collect()
    }

    /// The papers.
    #[must_use]
    pub fn sheets(&self) -> Vec<(String, String)> {
        SheetSize::ALL.iter().map(|sheet| (sheet.key().into(), sheet.words().into())).collect()
    }
}

/// The fields of the settings as kept.
#[must_use]
pub fn typed(settings: &Settings) -> Fields {
    let length = |length: Length| settings.showing.with_unit(length);
    let closed: Vec<String> = settings.closed.iter().map(|(day, why)| format!("{day} {why}").trim().into()).collect();
    let mut pairs: Vec<(String, String)> = [
        ("shop_name", settings.shop_name.clone()),
        ("showing", showing_key(settings.showing).into()),
        ("currency", settings.currency.code().into()),
        ("zone", settings.zone.clone()),
        ("hour_rate", settings.hour_rate.number()),
        ("deposit_percent", settings.deposit_percent.to_string()),
        ("promise_percent", settings.promise_percent.to_string()),
        ("squaring", length(settings.squaring)),
        ("selvedge", length(settings.selvedge)),
        ("selling_step", settings.selling_step.key().into()),
        ("shrink", thousandths(settings.shrink_thousandths)),
        ("sheet", settings.sheet.key().into()),
        ("base_url", settings.base_url.clone()),
        ("closed", closed.join("\n")),
    ]
    .map(|(name, text)| (name.to_string(), text))
    .into();
    pairs.extend(hours::typed(&settings.minutes));
    pairs.extend(settings.allowances.iter().map(|(key, value)| (allowance(key), length(*value))));
    Fields::of(pairs)
}

/// Reads the settings over those that were kept.
///
/// # Errors
/// A note for each field that needs another text.
pub fn read(fields: &Fields, before: &Settings) -> Result<Settings, Notes> {
    let mut notes = Notes::default();
    let shop_name = notes.line(fields, "shop_name");
    if shop_name.is_empty() {
        notes.add("shop_name", "Write the name over the door, or your own.");
    }
    let showing = showing_of(fields.text("showing")).unwrap_or(before.showing);
    let currency = notes.take("currency", Currency::new(fields.text("currency"))).unwrap_or(before.currency);
    let zone = fields.text("zone");
    if zone.parse::<Tz>().is_err() {
        notes.add("zone", format!("“{zone}” is no time zone. Write one such as Africa/Accra or Europe/Lisbon."));
    }
    let minutes = hours::read(fields, &mut notes);
    let hour_rate = notes.take("hour_rate", read_money(fields.text("hour_rate"), currency));
    let deposit_percent = percent(fields, "deposit_percent", 0, &mut notes);
    let promise_percent = percent(fields, "promise_percent", 1, &mut notes);
    let mut length = |name: &str, shown: Length| {
        // Shown rounded and sent back unchanged is not a change.
        if fields.text(name) == before.showing.with_unit(shown) {
            return shown;
        }
        let read = notes.take(name, read_length(fields.text(name), showing.unit())).unwrap_or(shown);
        if read > Length::inches(20, 0) {
            notes.add(
                name,
                format!("“{}” is more than 20 in (50 cm), the most for this. Check the unit.", fields.text(name)),
            );
        }
        read
    };
    let squaring = length("squaring", before.squaring);
    let selvedge = length("selvedge", before.selvedge);
    let allowances =
        before.allowances.iter().map(|(key, shown)| (key.clone(), length(&allowance(key), *shown))).collect();
    let shrink_thousandths = shrink(fields, &mut notes);
    let closed = closed(fields, &mut notes);
    let base_url = notes.line(fields, "base_url");
    match (hour_rate, notes.is_empty()) {
        (Some(hour_rate), true) => Ok(Settings {
            version: before.version,
            opened: true,
            shop_name,
            showing,
            currency,
            zone: zone.into(),
            minutes,
            closed,
            allowances,
            hour_rate,
            deposit_percent,
            promise_percent,
            squaring,
            selvedge,
            selling_step: SellingStep::from_key(fields.text("selling_step")).unwrap_or(before.selling_step),
            shrink_thousandths,
            sheet: SheetSize::from_key(fields.text("sheet")).unwrap_or(before.sheet),
            base_url,
        }),
        _ => Err(notes),
    }
}

fn allowance(key: &str) -> String {
    format!("allowance.{key}")
}

fn percent(fields: &Fields, name: &str, least: u8, notes: &mut Notes) -> u8 {
    let text = fields.text(name).trim_end_matches('%').trim();
    text.parse().ok().filter(|percent| (least..=100).contains(percent)).unwrap_or_else(|| {
        notes.add(name, format!("“{}” is no share. Write a whole number from {least} to 100.", fields.text(name)));
        least
    })
}

/// Percent with one decimal, kept as thousandths.
fn shrink(fields: &Fields, notes: &mut Notes) -> u32 {
    let text = fields.text("shrink").trim_end_matches('%').trim().replace(',', ".");
    let (whole, part) = text.split_once('.').unwrap_or((&text, "0"));
    let read = match (whole.parse::<u32>(), part.len(), part.parse::<u32>()) {
        (Ok(whole), 1, Ok(tenths)) => whole.checked_mul(10).and_then(|thousandths| thousandths.checked_add(tenths)),
        _ => None,
    };
    read.filter(|thousandths| *thousandths <= 200).unwrap_or_else(|| {
        notes.add(
            "shrink",
            format!("“{}” is no shrinkage. Write percent from 0 to 20, such as 3 or 3.5.", fields.text("shrink")),
        );
        0
    })
}

fn thousandths(count: u32) -> String {
    match count % 10 {
        0 => (count / 10).to_string(),
        tenths => format!("{}.{tenths}", count / 10),
    }
}

/// One day a line, with what for: `2026-12-25 Christmas`.
fn closed(fields: &Fields, notes: &mut Notes) -> BTreeMap<NaiveDate, String> {
    let mut days = BTreeMap::new();
    for line in notes.note(fields, "closed").lines().map(str::trim).filter(|line| !line.is_empty()) {
        let (day, why) = line.split_once(char::is_whitespace).unwrap_or((line, ""));
        match day.parse() {
            Ok(day) => {
                days.insert(day, why.trim().to_string());
            }
            Err(_) => {
                notes.add("closed", format!("“{line}” does not begin with a day. Write each as 2026-12-25 Christmas."))
            }
        }
    }
    days
}

#[cfg(test)]
mod tests {
    use super::*;

    fn kept() -> Settings {
        let mut settings = Settings::before_first_run(Currency::new("GHS").unwrap());
        settings.shop_name = "Netmenders' Lane".into();
        settings.opened = true;
        settings.closed.insert("2026-12-25".parse().unwrap(), "Christmas".into());
        settings.selvedge = Length::tenths_of_mm(63);
        settings
    }

    #[test]
    fn what_was_kept_reads_back_from_its_form() {
        assert_eq!(read(&typed(&kept()), &kept()), Ok(kept()));
    }

    #[test]
    fn what_is_wrong_is_noted_at_its_field() {
        let notes = read(&Fields::default(), &kept()).unwrap_err();
        for field in
            ["shop_name", "currency", "zone", "hour_rate", "deposit_percent", "shrink", "hours.0", "allowance.hem"]
        {
            assert!(notes.at(field).is_some(), "{field}");
        }
        let mut pairs: Vec<(String, String)> = typed(&kept()).starting("").map(|(a, b)| (a.into(), b.into())).collect();
        for (name, text) in &mut pairs {
            match name.as_str() {
                "closed" => *text = "Christmas".into(),
                "shrink" => *text = "31".into(),
                "allowance.hem" => *text = "40 in".into(),
                "promise_percent" => *text = "0".into(),
                _ => (),
            }
        }
        let notes = read(&Fields::of(pairs), &kept()).unwrap_err();
        assert_eq!(notes.count(), 4, "{notes:?}");
    }
}
