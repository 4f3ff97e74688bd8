//! How figures and days are written on a page.

use chrono::{Datelike, NaiveDate};

use crate::measure::{Length, Showing};
use crate::shop::Money;

/// A length as the trade writes it, with a true fraction: `31¼ in`, `79.4 cm`.
#[must_use]
pub fn length(showing: Showing, length: Length) -> String {
    true_fractions(&showing.with_unit(length))
}

/// The same without its unit: `31¼`.
#[must_use]
pub fn number(showing: Showing, length: Length) -> String {
    true_fractions(&showing.number(length))
}

/// A length in millimetres as computed, written in the shop's unit.
#[must_use]
pub fn millimetres(showing: Showing, mm: f64) -> String {
    Length::from_mm(mm).map_or_else(|| "–".into(), |found| length(showing, found))
}

/// The text with each `7 3/4` set as `7¾`. Fractions that have no sign of their
/// own are set with raised and lowered figures: `7⁵⁄₁₆`.
#[must_use]
pub fn true_fractions(text: &str) -> String {
    let signs: Vec<char> = text.chars().collect();
    let mut set = String::with_capacity(text.len());
    let mut at = 0;
    while let Some(&sign) = signs.get(at) {
        if !sign.is_ascii_digit() {
            set.push(sign);
            at += 1;
            continue;
        }
        let over = digits(&signs, at);
        let slash = at + over.len();
        let under = if signs.get(slash) == Some(&'/') { digits(&signs, slash + 1) } else { String::new() };
        if under.is_empty() {
            set.push_str(&over);
            at = slash;
            continue;
        }
        // The space between a whole number and its fraction goes.
        let mut back = set.chars().rev();
        if back.next() == Some(' ') && back.next().is_some_and(|sign| sign.is_ascii_digit()) {
            set.pop();
        }
        set.push_str(&fraction(&over, &under));
        at = slash + 1 + under.len();
    }
    set
}

fn digits(signs: &[char], from: usize) -> String {
    signs.iter().skip(from).take_while(|sign| sign.is_ascii_digit()).collect()
}

fn fraction(over: &str, under: &str) -> String {
    let sign = match (over, under) {
        ("1", "4") => "¼",
        ("1", "2") => "½",
        ("3", "4") => "¾",
        ("1", "8") => "⅛",
        ("3", "8") => "⅜",
        ("5", "8") => "⅝",
        ("7", "8") => "⅞",
        ("1", "3") => "⅓",
        ("2", "3") => "⅔",
        _ => {
            let figure = |text: &str, set: [char; 10]| -> String {
                text.chars()
                    .filter_map(|digit| digit.to_digit(10))
                    .filter_map(|digit| set.get(usize::try_from(digit).ok()?).copied())
                    .collect()
            };
            let raised = figure(over, ['⁰', '¹', '²', '³', '⁴', '⁵', '⁶', '⁷', '⁸', '⁹']);
            let lowered = figure(under, ['₀', '₁', '₂', '₃', '₄', '₅', '₆', '₇', '₈', '₉']);
            return format!("{raised}⁄{lowered}");
        }
    };
    sign.into()
}

/// An amount with its currency and a narrow space between thousands: `1 250.00 GHS`.
#[must_use]
pub fn money(money: Money) -> String {
    let number = money.number();
    let (whole, part) = number.split_once('.').unwrap_or((&number, ""));
    let (sign, digits) = whole.strip_prefix('-').map_or(("", whole), |digits| ("−", digits));
    let mut set = String::from(sign);
    for (place, digit) in digits.chars().enumerate() {
        if place > 0 && (digits.len() - place).is_multiple_of(3) {
            set.push('\u{202f}');
        }
        set.push(digit);
    }
    let point = if part.is_empty() { "" } else { "." };
    format!("{set}{point}{part}\u{a0}{}", money.currency())
}

/// A day as it is said: `Tue 3 May`, with the year when it is not this one.
#[must_use]
pub fn day(day: NaiveDate, today: NaiveDate) -> String {
    if day.year() == today.year() { day.format("%a %-d %b").to_string() } else { day.format("%-d %b %Y").to_string() }
}

/// A day in few letters, for the tape: `3 May`.
#[must_use]
pub fn short_day(day: NaiveDate) -> String {
    day.format("%-d %b").to_string()
}

/// How far a day is: `today`, `tomorrow`, `in 5 days`, `3 days ago`.
#[must_use]
pub fn distance(day: NaiveDate, today: NaiveDate) -> String {
    match (day - today).num_days() {
        0 => "today".into(),
        1 => "tomorrow".into(),
        -1 => "yesterday".into(),
        ahead @ 2.. => format!("in {ahead} days"),
        behind => format!("{} days ago", -behind),
    }
}

/// Names and texts as the query of an address (RFC 3986: all but unreserved signs in percent).
#[must_use]
pub fn query(pairs: &[(&str, &str)]) -> String {
    pairs.iter().map(|(name, text)| format!("{}={}", percent(name), percent(text))).collect::<Vec<_>>().join("&")
}

fn percent(text: &str) -> String {
    text.bytes()
        .map(|byte| match byte {
            b'a'..=b'z' | b'A'..=b'Z' | b'0'..=b'9' | b'-' | b'.' | b'_' | b'~' => char::from(byte).to_string(),
            _ => format!("%{byte:02X}"),
        })
        .collect()
}

/// A count with its word: `1 order`, `2 orders`.
#[must_use]
pub fn count(number: usize, one: &str, many: &str) -> String {
    if number == 1 { format!("1 {one}") } else { format!("{number} {many}") }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn fractions_are_set_as_fractions() {
        assert_eq!(true_fractions("31 ÷ 4 = 7 3/4, + 1 = 8 3/4"), "31 ÷ 4 = 7¾, + 1 = 8¾");
        assert_eq!(true_fractions("5/16 in"), "⁵⁄₁₆ in");
        assert_eq!(true_fractions("3 13/64"), "3¹³⁄₆₄");
        assert_eq!(length(Showing::EIGHTHS, Length::inches(0, 5)), "⅝ in");
        assert_eq!(length(Showing::MILLIMETRES, Length::inches(31, 2)), "79.4 cm");
        assert_eq!(true_fractions("waist 1/4 of 7 and/or 3/"), "waist ¼ of 7 and/or 3/");
    }

    #[test]
    fn amounts_are_parted_in_thousands() {
        let ghs = crate::shop::Currency::new("GHS").unwrap();
        assert_eq!(money(Money::new(125_000_050, ghs)), "1\u{202f}250\u{202f}000.50\u{a0}GHS");
        assert_eq!(money(Money::new(-99_900, ghs)), "−999.00\u{a0}GHS");
    }

    #[test]
    fn days_are_said_as_people_say_them() {
        let day_of = |text: &str| text.parse::<NaiveDate>().unwrap();
        assert_eq!(day(day_of("2026-05-03"), day_of("2026-01-01")), "Sun 3 May");
        assert_eq!(day(day_of("2025-05-03"), day_of("2026-01-01")), "3 May 2025");
        assert_eq!(distance(day_of("2026-05-03"), day_of("2026-05-05")), "2 days ago");
    }

    proptest! {
        #[test]
        fn any_text_is_set_without_harm(text in "[0-9/ a-z¼÷]{0,30}") {
            prop_assert!(!true_fractions(&text).is_empty() || text.is_empty());
        }
    }
}
