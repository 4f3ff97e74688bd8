//! An amount of money: whole minor units and a currency. Never a fraction.

use std::fmt;

use super::Currency;

/// An amount in whole minor units (cents, pesewas, fils) of a currency.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Money {
    minor: i64,
    currency: Currency,
}

impl Money {
    /// The most that a person may type, in minor units: 10 thousand million of a
    /// currency with two decimals, far above any order and far below the end of an `i64`.
    pub const MOST_MINOR: i64 = 1_000_000_000_000;

    /// This many minor units.
    #[must_use]
    pub const fn new(minor: i64, currency: Currency) -> Money {
        Money { minor, currency }
    }

    /// Nothing.
    #[must_use]
    pub const fn nought(currency: Currency) -> Money {
        Money { minor: 0, currency }
    }

    /// The amount in minor units.
    #[must_use]
    pub const fn minor(self) -> i64 {
        self.minor
    }

    /// The currency.
    #[must_use]
    pub const fn currency(self) -> Currency {
        self.currency
    }

    /// Both together; `None` when the currencies differ or the sum is out of range.
    #[must_use]
    pub fn plus(self, other: Money) -> Option<Money> {
        if self.currency != other.currency {
            return None;
        }
        self.minor.checked_add(other.minor).map(|minor| Money { minor, ..self })
    }

    /// This less the other; `None` when the currencies differ or it is out of range.
    #[must_use]
    pub fn minus(self, other: Money) -> Option<Money> {
        self.plus(Money { minor: other.minor.checked_neg()?, ..other })
    }

    /// `over`/`under` of this, halves away from nought; `None` when `under` is
    /// nought or the result is out of range. A rate by the hour times 40 minutes
    /// is `share(40, 60)`.
    #[must_use]
    pub fn share(self, over: i64, under: i64) -> Option<Money> {
        if under == 0 {
            return None;
        }
        let (over, under) =
            if under < 0 { (-i128::from(over), -i128::from(under)) } else { (over.into(), under.into()) };
        let product = i128::from(self.minor) * over;
        let half = if product < 0 { -under / 2 } else { under / 2 };
        i64::try_from((product + half) / under).ok().map(|minor| Money { minor, ..self })
    }

    /// The number alone: `1250.00`, `-3.500`, `900`. Reading it back gives the same amount.
    #[must_use]
    pub fn number(self) -> String {
        let decimals = u32::from(self.currency.decimals());
        let sign = if self.minor < 0 { "-" } else { "" };
        let size = self.minor.unsigned_abs();
        let one = 10_u64.pow(decimals);
        if decimals == 0 {
            return format!("{sign}{size}");
        }
        format!("{sign}{}.{:0width$}", size / one, size % one, width = decimals as usize)
    }
}

impl fmt::Display for Money {
    /// `1250.00 GHS`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} {}", self.number(), self.currency)
    }
}

/// Why a text is not an amount. Each message names the text and the remedy.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum MoneyError {
    /// Nothing was typed.
    #[error("Nothing was written here. Write an amount, such as 45 or 45.50.")]
    Empty,
    /// Not a number.
    #[error("“{text}” is not an amount. Write a number, such as 45 or 45.50.")]
    Word {
        /// The text as typed.
        text: String,
    },
    /// Below nought.
    #[error("“{text}” is less than nothing. Write an amount of nought or more; a refund is a payment of its own.")]
    Negative {
        /// The text as typed.
        text: String,
    },
    /// Another currency than the shop's.
    #[error("“{text}” is not in {currency}, the currency of this shop. Write the amount in {currency}.")]
    Currency {
        /// The text as typed.
        text: String,
        /// The currency asked for.
        currency: Currency,
    },
    /// More decimals than the currency has.
    #[error("“{text}” has more decimals than {currency} has ({decimals}). Write {currency} with at most {decimals}.")]
    Decimals {
        /// The text as typed.
        text: String,
        /// The currency asked for.
        currency: Currency,
        /// How many it has.
        decimals: u8,
    },
    /// One point or comma that may part thousands or decimals.
    #[error("“{text}” may be read in two ways. Write thousands without a sign ({plain}) and decimals after a point.")]
    TwoWays {
        /// The text as typed.
        text: String,
        /// The digits alone.
        plain: String,
    },
    /// More than any order.
    #[error("“{text}” is more than bodkin takes, {most}. Check the noughts.")]
    TooMuch {
        /// The text as typed.
        text: String,
        /// The most that may be typed.
        most: Money,
    },
}

/// The most characters that are looked at; nobody writes a longer amount.
const LONGEST_TEXT: usize = 40;
/// Signs that people write beside an amount; the shop has one currency, so they add nothing.
const SIGNS: [char; 12] = ['$', '£', '€', '¥', '₦', '₵', '₹', '₺', '₱', '₫', '₩', '₡'];

/// Reads an amount in this currency: `45`, `45.5`, `45,50`, `1 250`, `1,250.00`, `45 EUR`, `€45`.
///
/// # Errors
/// [`MoneyError`] with the text at fault and what to write instead.
pub fn read_money(text: &str, currency: Currency) -> Result<Money, MoneyError> {
    let shown: String = text.trim().chars().take(LONGEST_TEXT).collect();
    if shown.is_empty() {
        return Err(MoneyError::Empty);
    }
    if text.trim().chars().count() > LONGEST_TEXT {
        return Err(MoneyError::Word { text: shown + "…" });
    }
    let unfit = || MoneyError::Word { text: shown.clone() };
    let number = bare_number(&shown, currency)?;
    if number.starts_with(['-', '\u{2212}']) {
        return Err(MoneyError::Negative { text: shown });
    }
    if !number.chars().all(|sign| sign.is_ascii_digit() || matches!(sign, '.' | ',')) {
        return Err(unfit());
    }
    let (whole, part) = whole_and_part(&number, currency, &shown)?;
    if whole.is_empty() && part.is_empty() {
        return Err(unfit());
    }
    let decimals = currency.decimals();
    if part.len() > usize::from(decimals) {
        return Err(MoneyError::Decimals { text: shown, currency, decimals });
    }
    let digits = format!("{whole}{part:0<width$}", width = usize::from(decimals));
    let most = Money::new(Money::MOST_MINOR, currency);
    let minor = digits.parse::<i64>().unwrap_or(i64::MAX);
    if minor > Money::MOST_MINOR {
        return Err(MoneyError::TooMuch { text: shown, most });
    }
    Ok(Money::new(minor, currency))
}

/// The text without blanks, thousands marks, and the shop's own currency beside it.
fn bare_number(shown: &str, currency: Currency) -> Result<String, MoneyError> {
    let bare: String = shown.chars().filter(|sign| !sign.is_whitespace() && !matches!(sign, '\'' | '’')).collect();
    let letters: String = bare.chars().filter(|sign| sign.is_alphabetic()).collect();
    let mut number = bare.trim_matches(SIGNS);
    if !letters.is_empty() {
        if !letters.eq_ignore_ascii_case(currency.code()) {
            let is_code = letters.len() == 3 && letters.is_ascii();
            let text = shown.to_string();
            return Err(if is_code { MoneyError::Currency { text, currency } } else { MoneyError::Word { text } });
        }
        number = number.trim_matches(|sign: char| sign.is_alphabetic()).trim_matches(SIGNS);
    }
    Ok(number.to_string())
}

/// The digits before and after the decimal sign, with thousands marks taken out.
fn whole_and_part(number: &str, currency: Currency, shown: &str) -> Result<(String, String), MoneyError> {
    let unfit = || MoneyError::Word { text: shown.into() };
    let digits = |text: &str| text.chars().filter(char::is_ascii_digit).collect::<String>();
    let (points, commas) = (number.matches('.').count(), number.matches(',').count());
    let in_threes = |text: &str, mark: char| {
        let mut groups = text.split(mark);
        groups.next().is_some_and(|first| (1..=3).contains(&first.len())) && groups.all(|group| group.len() == 3)
    };
    let mark = match (points, commas) {
        (0, 0) => return Ok((number.into(), String::new())),
        (1.., 1..) => {
            // Both: the last one parts the decimals, the other the thousands.
            let (decimal, other) = if number.rfind('.') > number.rfind(',') { ('.', ',') } else { (',', '.') };
            let (whole, part) = number.rsplit_once(decimal).ok_or_else(unfit)?;
            if whole.contains(decimal) || part.contains(other) || !in_threes(whole, other) {
                return Err(unfit());
            }
            return Ok((digits(whole), part.into()));
        }
        (1, 0) => '.',
        (0, 1) => ',',
        (_, _) => {
            let mark = if points > 0 { '.' } else { ',' };
            return if in_threes(number, mark) { Ok((digits(number), String::new())) } else { Err(unfit()) };
        }
    };
    let (whole, part) = number.split_once(mark).ok_or_else(unfit)?;
    let like_thousands = part.len() == 3 && (1..=3).contains(&whole.len()) && whole != "0";
    match (mark, currency.decimals()) {
        // Three digits after a point: thousands in one country, a slip of the finger in another.
        ('.', 0..=2) if like_thousands => Err(MoneyError::TwoWays { text: shown.into(), plain: digits(number) }),
        (',', 3..) if like_thousands => Err(MoneyError::TwoWays { text: shown.into(), plain: digits(number) }),
        (',', _) if like_thousands => Ok((digits(number), String::new())),
        _ => Ok((whole.into(), part.into())),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn currency(code: &str) -> Currency {
        Currency::new(code).unwrap()
    }

    fn minor(text: &str, code: &str) -> i64 {
        read_money(text, currency(code)).unwrap().minor()
    }

    #[test]
    fn every_way_of_writing_an_amount_is_read() {
        for text in
            ["1250", "1250.00", "1250,0", "1 250", "1,250", "1,250.00", "1.250,00", "1'250", "€1250", "1250 eur"]
        {
            assert_eq!(minor(text, "EUR"), 125_000, "{text}");
        }
        assert_eq!(minor("45.5", "EUR"), 4550);
        assert_eq!(minor(".5", "EUR"), 50);
        assert_eq!(minor("45", "JPY"), 45);
        assert_eq!(minor("1.250", "KWD"), 1250);
        assert_eq!(minor("45", "IQD"), 45_000);
        assert_eq!(minor("0.125", "KWD"), 125);
        assert_eq!(minor("1,000,000", "EUR"), 100_000_000);
    }

    #[test]
    fn what_is_no_amount_is_refused_in_words() {
        let refused = |text: &str| read_money(text, currency("EUR")).unwrap_err();
        assert_eq!(refused(" "), MoneyError::Empty);
        assert!(matches!(refused("-3"), MoneyError::Negative { .. }));
        assert!(matches!(refused("forty"), MoneyError::Word { .. }));
        assert!(matches!(refused("45 USD"), MoneyError::Currency { .. }));
        assert!(matches!(refused("4.5555"), MoneyError::Decimals { .. }));
        assert!(matches!(refused("1.250"), MoneyError::TwoWays { .. }));
        assert!(matches!(refused("1,25,0"), MoneyError::Word { .. }));
        assert!(matches!(refused("."), MoneyError::Word { .. }));
        assert!(matches!(refused("99999999999999999999999"), MoneyError::TooMuch { .. }));
        assert!(matches!(refused(&"9".repeat(5000)), MoneyError::Word { .. }));
        assert!(matches!(read_money("1,250", currency("KWD")), Err(MoneyError::TwoWays { .. })));
        assert!(matches!(read_money("4.5", currency("JPY")), Err(MoneyError::Decimals { .. })));
        assert_eq!(
            refused("1.250").to_string(),
            "“1.250” may be read in two ways. Write thousands without a sign (1250) and decimals after a point."
        );
    }

    #[test]
    fn amounts_of_two_currencies_do_not_add_up() {
        let euro = Money::new(100, currency("EUR"));
        assert_eq!(euro.plus(Money::new(1, currency("USD"))), None);
        assert_eq!(euro.minus(Money::new(1, currency("EUR"))), Some(Money::new(99, currency("EUR"))));
        assert_eq!(Money::new(i64::MAX, currency("EUR")).plus(euro), None);
    }

    #[test]
    fn a_share_is_rounded_to_the_nearest_coin() {
        let rate = Money::new(1000, currency("EUR"));
        assert_eq!(rate.share(40, 60).unwrap().minor(), 667);
        assert_eq!(rate.share(1, 0), None);
        assert_eq!(Money::new(-5, currency("EUR")).share(1, 2).unwrap().minor(), -3);
        assert_eq!(Money::new(i64::MAX, currency("EUR")).share(2, 1), None);
    }

    proptest! {
        #[test]
        fn a_shown_amount_reads_back(minor in 0..=Money::MOST_MINOR, code in 0..4_usize) {
            let money = Money::new(minor, currency(["EUR", "JPY", "IQD", "CLF"][code]));
            prop_assert_eq!(read_money(&money.number(), money.currency()), Ok(money));
            prop_assert_eq!(read_money(&money.to_string(), money.currency()), Ok(money));
        }

        #[test]
        fn no_text_panics(text in "\\PC{0,24}", near in "[0-9.,' €-]{0,16}(EUR|usd)?") {
            let _ = read_money(&text, currency("EUR"));
            let _ = read_money(&near, currency("EUR"));
            let _ = read_money(&near, currency("KWD"));
        }

        #[test]
        fn the_shares_of_a_sum_lose_at_most_half_a_coin_each(minor in 0..1_000_000_000_i64, parts in 1..12_i64) {
            let money = Money::new(minor, currency("EUR"));
            let share = money.share(1, parts).unwrap().minor();
            prop_assert!((share * parts - minor).abs() * 2 <= parts);
        }
    }
}
