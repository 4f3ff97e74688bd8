//! A currency: its ISO 4217 code and how many decimals its smallest coin has.

use std::fmt;

/// A currency by its ISO 4217 code.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Currency([u8; 3]);

/// A text that is no currency code.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("“{text}” is not a currency code. Write the three letters of the currency, such as EUR, GHS or KES.")]
pub struct CurrencyError {
    /// The text as typed.
    pub text: String,
}

/// ISO 4217, minor units other than two decimals: none for these…
const NO_DECIMALS: [&str; 16] =
    ["BIF", "CLP", "DJF", "GNF", "ISK", "JPY", "KMF", "KRW", "PYG", "RWF", "UGX", "VND", "VUV", "XAF", "XOF", "XPF"];
/// …three for these. IQD has three in ISO 4217, whatever locale tables say…
const THREE_DECIMALS: [&str; 7] = ["BHD", "IQD", "JOD", "KWD", "LYD", "OMR", "TND"];
/// …and four for these.
const FOUR_DECIMALS: [&str; 2] = ["CLF", "UYW"];

impl Currency {
    /// The currency of this code, in any case.
    ///
    /// # Errors
    /// [`CurrencyError`] when the text is not three Latin letters.
    pub fn new(code: &str) -> Result<Currency, CurrencyError> {
        match code.trim().as_bytes() {
            [a, b, c] if [a, b, c].iter().all(|byte| byte.is_ascii_alphabetic()) => {
                Ok(Currency([a.to_ascii_uppercase(), b.to_ascii_uppercase(), c.to_ascii_uppercase()]))
            }
            _ => Err(CurrencyError { text: code.chars().take(40).collect() }),
        }
    }

    /// The three letters.
    #[must_use]
    pub fn code(&self) -> &str {
        std::str::from_utf8(&self.0).unwrap_or("XXX")
    }

    /// How many decimals an amount has (the exponent of ISO 4217).
    #[must_use]
    pub fn decimals(self) -> u8 {
        let is_in = |codes: &[&str]| codes.contains(&self.code());
        match () {
            () if is_in(&NO_DECIMALS) => 0,
            () if is_in(&THREE_DECIMALS) => 3,
            () if is_in(&FOUR_DECIMALS) => 4,
            () => 2,
        }
    }
}

impl fmt::Display for Currency {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.code())
    }
}

impl fmt::Debug for Currency {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.code())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn decimals_are_those_of_iso_4217() {
        let decimals = |code| Currency::new(code).unwrap().decimals();
        for (code, expected) in [
            ("EUR", 2),
            ("USD", 2),
            ("GBP", 2),
            ("HUF", 2),
            ("JPY", 0),
            ("KRW", 0),
            ("ISK", 0),
            ("XAF", 0),
            ("BHD", 3),
            ("KWD", 3),
            ("TND", 3),
            ("IQD", 3),
            ("CLF", 4),
        ] {
            assert_eq!(decimals(code), expected, "{code}");
        }
    }

    #[test]
    fn a_code_is_three_letters() {
        assert_eq!(Currency::new(" ghs ").unwrap().code(), "GHS");
        assert_eq!(
            Currency::new("€").unwrap_err().to_string(),
            "“€” is not a currency code. Write the three letters of the currency, such as EUR, GHS or KES."
        );
    }
}
