//! Facts to cells and back: days, lengths, money and keys as the rows have them.

use chrono::{NaiveDate, NaiveTime};
use rusqlite::Row;
use rusqlite::types::{Type, Value};

use crate::measure::Length;
use crate::shop::{Currency, Money};

const DAY: &str = "%Y-%m-%d";
const TIME: &str = "%H:%M";

/// Reading one cell of a row as a fact.
pub(super) trait Cells {
    /// A keyed enumeration.
    fn keyed<T>(&self, column: &str, from_key: fn(&str) -> Option<T>) -> rusqlite::Result<T>;
    /// A length.
    fn length(&self, column: &str) -> rusqlite::Result<Length>;
    /// A length that may be unknown.
    fn maybe_length(&self, column: &str) -> rusqlite::Result<Option<Length>>;
    /// A local day.
    fn day(&self, column: &str) -> rusqlite::Result<NaiveDate>;
    /// A local day that may be unknown.
    fn maybe_day(&self, column: &str) -> rusqlite::Result<Option<NaiveDate>>;
    /// A local time that may be unknown.
    fn maybe_time(&self, column: &str) -> rusqlite::Result<Option<NaiveTime>>;
    /// A currency.
    fn currency(&self, column: &str) -> rusqlite::Result<Currency>;
    /// Money in the column's minor units and the currency beside it.
    fn money(&self, minor: &str, currency: &str) -> rusqlite::Result<Money>;
    /// Money that may be unknown.
    fn maybe_money(&self, minor: &str, currency: &str) -> rusqlite::Result<Option<Money>>;
}

impl Cells for Row<'_> {
    fn keyed<T>(&self, column: &str, from_key: fn(&str) -> Option<T>) -> rusqlite::Result<T> {
        let key: String = self.get(column)?;
        from_key(&key).ok_or_else(|| unreadable(column, &key))
    }

    fn length(&self, column: &str) -> rusqlite::Result<Length> {
        self.get(column).map(Length::from_nm)
    }

    fn maybe_length(&self, column: &str) -> rusqlite::Result<Option<Length>> {
        Ok(self.get::<_, Option<i64>>(column)?.map(Length::from_nm))
    }

    fn day(&self, column: &str) -> rusqlite::Result<NaiveDate> {
        read_day(column, &self.get::<_, String>(column)?)
    }

    fn maybe_day(&self, column: &str) -> rusqlite::Result<Option<NaiveDate>> {
        self.get::<_, Option<String>>(column)?.map(|text| read_day(column, &text)).transpose()
    }

    fn maybe_time(&self, column: &str) -> rusqlite::Result<Option<NaiveTime>> {
        self.get::<_, Option<String>>(column)?
            .map(|text| NaiveTime::parse_from_str(&text, TIME).map_err(|_| unreadable(column, &text)))
            .transpose()
    }

    fn currency(&self, column: &str) -> rusqlite::Result<Currency> {
        let code: String = self.get(column)?;
        Currency::new(&code).map_err(|_| unreadable(column, &code))
    }

    fn money(&self, minor: &str, currency: &str) -> rusqlite::Result<Money> {
        Ok(Money::new(self.get(minor)?, self.currency(currency)?))
    }

    fn maybe_money(&self, minor: &str, currency: &str) -> rusqlite::Result<Option<Money>> {
        let currency = self.currency(currency)?;
        Ok(self.get::<_, Option<i64>>(minor)?.map(|minor| Money::new(minor, currency)))
    }
}

/// A day from its cell.
pub(super) fn read_day(column: &str, text: &str) -> rusqlite::Result<NaiveDate> {
    NaiveDate::parse_from_str(text, DAY).map_err(|_| unreadable(column, text))
}

/// A cell that holds what no fact can be.
pub(super) fn unreadable(column: &str, text: &str) -> rusqlite::Error {
    let shown: String = text.chars().take(40).collect();
    rusqlite::Error::FromSqlConversionFailure(0, Type::Text, format!("{column} is “{shown}”").into())
}

/// The cell of a day.
pub(super) fn day_cell(day: NaiveDate) -> Value {
    day.format(DAY).to_string().into()
}

/// The cell of a day that may be unknown.
pub(super) fn maybe_day_cell(day: Option<NaiveDate>) -> Value {
    day.map_or(Value::Null, day_cell)
}

/// The cell of a time that may be unknown.
pub(super) fn maybe_time_cell(time: Option<NaiveTime>) -> Value {
    time.map_or(Value::Null, |time| time.format(TIME).to_string().into())
}

/// The cell of a length that may be unknown.
pub(super) fn maybe_length_cell(length: Option<Length>) -> Value {
    length.map(Length::nm).into()
}

/// What is searched: small letters, marks above and below left out, digits of a phone together.
pub(super) fn folded(words: &str) -> String {
    words.to_lowercase().chars().filter(|sign| !('\u{300}'..='\u{36f}').contains(sign)).collect()
}

/// The digits alone, when the text is a number as people write phone numbers.
pub(super) fn phone_digits(text: &str) -> String {
    text.chars().filter_map(|sign| sign.to_digit(10)).filter_map(|digit| char::from_digit(digit, 10)).collect()
}

/// One word of a search.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Word {
    /// As it stands in numbers of orders and in words.
    pub text: String,
    /// As it stands among the digits of a phone; the text itself when it is no number.
    pub phone: String,
}

/// The words of a search, folded, at most six of them; `(020) 7946` finds `+44 20 7946`.
pub(super) fn search_words(typed: &str) -> Vec<Word> {
    typed
        .split_whitespace()
        .take(6)
        .map(|word| {
            let text = folded(word);
            let digits = phone_digits(word);
            // The nought before an area code gives way to a country code.
            let digits = digits.trim_start_matches('0');
            let is_number = word.chars().all(|sign| sign.is_ascii_digit() || "+-()./".contains(sign));
            let phone = if is_number && !digits.is_empty() { digits.into() } else { text.clone() };
            Word { text, phone }
        })
        .filter(|word| !word.text.is_empty())
        .collect()
}
