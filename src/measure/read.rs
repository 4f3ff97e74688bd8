//! Reading a length as a person types it.
//!
//! `31`, `31 1/4`, `31-1/4`, `31¼`, `31.25`, `31,25`, `2 ft 7 1/4 in`, `31"`,
//! `2' 7"`, `79.4 cm`, `794 mm`, `1.2 m`, `2 3/4 yd`. A number without a unit is
//! in the shop's unit. Lengths are not negative: a tape has no other side.

use super::{Length, Unit};

/// Why a text is not a length. Each message names the text and the remedy.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum LengthError {
    /// Nothing was typed.
    #[error("Nothing was written here. Write a length, such as 31 1/4 or 79.4 cm.")]
    Empty,
    /// A word or sign that is no part of a length.
    #[error("“{word}” is not part of a length. Write a number and, if need be, a unit: 31 1/4, 31 1/4 in, 79.4 cm.")]
    Word {
        /// What stood in the way.
        word: String,
    },
    /// A fraction over nought.
    #[error("“{fraction}” has nothing below the line. Write a fraction such as 1/4 or 3/8.")]
    OverNought {
        /// The fraction as typed.
        fraction: String,
    },
    /// Two numbers side by side that make no mixed number.
    #[error(
        "“{text}” does not read as one length. Write inches and a fraction as 31 1/4, feet and inches as 2 ft 7 1/4 in."
    )]
    Muddled {
        /// The whole text as typed.
        text: String,
    },
    /// A comma before three digits: thousands to some, thousandths to others.
    #[error("“{number}” can be read in two ways. Write 2500 for thousands, 2.5 for a part.")]
    TwoWays {
        /// The number as typed.
        number: String,
    },
    /// A minus before the length.
    #[error("“{text}” is less than nothing. A length is nought or more.")]
    Negative {
        /// The whole text as typed.
        text: String,
    },
    /// Longer than any cloth.
    #[error("“{text}” is longer than 100 m, the most that bodkin takes. Check the number and the unit.")]
    TooLong {
        /// The whole text as typed.
        text: String,
    },
}

/// The most characters that are looked at; nobody writes a longer length.
const LONGEST_TEXT: usize = 40;

/// Reads a length; a number without a unit is taken in `default`.
///
/// # Errors
/// [`LengthError`] with the text at fault and what to write instead.
pub fn read_length(text: &str, default: Unit) -> Result<Length, LengthError> {
    let trimmed = text.trim();
    if trimmed.is_empty() {
        return Err(LengthError::Empty);
    }
    if trimmed.chars().count() > LONGEST_TEXT {
        let word = trimmed.chars().take(LONGEST_TEXT).collect::<String>() + "…";
        return Err(LengthError::Word { word });
    }
    if trimmed.starts_with(['-', '\u{2212}']) {
        return Err(LengthError::Negative { text: trimmed.into() });
    }
    let tokens = tokens(trimmed)?;
    let parts = parts(&tokens, trimmed)?;
    let total = total(&parts, default, trimmed)?;
    if total > i128::from(Length::LONGEST.nm()) {
        return Err(LengthError::TooLong { text: trimmed.into() });
    }
    i64::try_from(total).map(Length::from_nm).map_err(|_| LengthError::TooLong { text: trimmed.into() })
}

/// One word of a typed length.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Token {
    /// A number as a ratio of whole numbers; whether it was written as a fraction.
    Number { over: i128, under: i128, fraction: bool },
    /// A unit, as nanometres in one of it, and its rank (yard 4, foot 3, inch 2, others 1).
    Unit { nm: i128, rank: u8 },
    /// A dash between a whole number and its fraction.
    Dash,
}

/// One number with the unit that followed it, if any.
#[derive(Clone, Copy, Debug)]
struct Part {
    over: i128,
    under: i128,
    unit: Option<(i128, u8)>,
}

fn tokens(text: &str) -> Result<Vec<Token>, LengthError> {
    let mut found = Vec::new();
    let mut rest = text;
    while let Some(first) = rest.chars().next() {
        if first.is_whitespace() {
            rest = rest.trim_start();
        } else if first.is_ascii_digit() || first == '.' {
            let (token, after) = number(rest)?;
            found.push(token);
            rest = after;
        } else if let Some((over, under)) = vulgar(first) {
            found.push(Token::Number { over, under, fraction: true });
            rest = &rest[first.len_utf8()..];
        } else if matches!(first, '-' | '\u{2013}') {
            found.push(Token::Dash);
            rest = &rest[first.len_utf8()..];
        } else {
            let (token, after) = unit(rest)?;
            found.push(token);
            rest = after;
        }
    }
    Ok(found)
}

/// A whole number, a decimal (point or comma) or a fraction at the start of `text`.
fn number(text: &str) -> Result<(Token, &str), LengthError> {
    let end = text.find(|c: char| !c.is_ascii_digit()).unwrap_or(text.len());
    let (digits, rest) = text.split_at(end);
    let unfit = || LengthError::Word { word: text.into() };
    let whole = |digits: &str| -> Result<i128, LengthError> {
        match digits.len() {
            0 => Ok(0),
            1..=12 => digits.parse().map_err(|_| unfit()),
            _ => Err(LengthError::TooLong { text: text.into() }),
        }
    };
    if let Some(below) = rest.strip_prefix(['/', '\u{2044}']) {
        let end = below.find(|c: char| !c.is_ascii_digit()).unwrap_or(below.len());
        let (under, rest) = below.split_at(end);
        if under.is_empty() {
            return Err(unfit());
        }
        let (over, under_value) = (whole(digits)?, whole(under)?);
        if under_value == 0 {
            return Err(LengthError::OverNought { fraction: format!("{digits}/{under}") });
        }
        return Ok((Token::Number { over, under: under_value, fraction: true }, rest));
    }
    let comma = rest.starts_with(',');
    if let Some(after) = rest.strip_prefix(['.', ',']) {
        let end = after.find(|c: char| !c.is_ascii_digit()).unwrap_or(after.len());
        let (decimals, rest) = after.split_at(end);
        if decimals.is_empty() || decimals.len() > 9 {
            return Err(unfit());
        }
        if comma && decimals.len() == 3 {
            return Err(LengthError::TwoWays { number: format!("{digits},{decimals}") });
        }
        let under = 10_i128.pow(u32::try_from(decimals.len()).map_err(|_| unfit())?);
        let over = whole(digits)? * under + whole(decimals)?;
        return Ok((Token::Number { over, under, fraction: false }, rest));
    }
    Ok((Token::Number { over: whole(digits)?, under: 1, fraction: false }, rest))
}

/// The vulgar fraction that one character stands for.
fn vulgar(sign: char) -> Option<(i128, i128)> {
    Some(match sign {
        '¼' => (1, 4),
        '½' => (1, 2),
        '¾' => (3, 4),
        '⅛' => (1, 8),
        '⅜' => (3, 8),
        '⅝' => (5, 8),
        '⅞' => (7, 8),
        '⅓' => (1, 3),
        '⅔' => (2, 3),
        _ => return None,
    })
}

/// A unit word or sign at the start of `text`.
fn unit(text: &str) -> Result<(Token, &str), LengthError> {
    const INCH: i128 = Length::INCH.nm() as i128;
    const SIGNS: [(&str, i128, u8); 6] =
        [("''", INCH, 2), ("\"", INCH, 2), ("″", INCH, 2), ("”", INCH, 2), ("'", 12 * INCH, 3), ("′", 12 * INCH, 3)];
    for (sign, nm, rank) in SIGNS {
        if let Some(rest) = text.strip_prefix(sign) {
            return Ok((Token::Unit { nm, rank }, rest));
        }
    }
    let end = text.find(|c: char| !c.is_alphabetic()).unwrap_or(text.len());
    let (word, rest) = text.split_at(end);
    let (nm, rank) = match word.to_lowercase().as_str() {
        "in" | "inch" | "inches" | "ins" => (INCH, 2),
        "ft" | "foot" | "feet" => (12 * INCH, 3),
        "yd" | "yds" | "yard" | "yards" => (36 * INCH, 4),
        "cm" => (10_000_000, 1),
        "mm" => (1_000_000, 1),
        "m" => (1_000_000_000, 1),
        _ => {
            let end = text.find(char::is_whitespace).unwrap_or(text.len());
            return Err(LengthError::Word { word: text[..end].into() });
        }
    };
    // A full stop after a unit ("31 in.") is a habit, not a mistake.
    Ok((Token::Unit { nm, rank }, rest.strip_prefix('.').unwrap_or(rest)))
}

/// Numbers joined to mixed numbers, each with the unit that follows it.
fn parts(tokens: &[Token], text: &str) -> Result<Vec<Part>, LengthError> {
    let muddled = || LengthError::Muddled { text: text.into() };
    let mut parts: Vec<Part> = Vec::new();
    let mut rest = tokens;
    while let Some((first, after)) = rest.split_first() {
        let Token::Number { over, under, fraction } = *first else { return Err(muddled()) };
        let mut part = Part { over, under, unit: None };
        rest = after;
        // "31 1/4" and "31-1/4": a whole number, then a fraction below one.
        let (dash, next) = match rest {
            [Token::Dash, next, ..] => (true, Some(next)),
            [next, ..] => (false, Some(next)),
            [] => (false, None),
        };
        if let Some(Token::Number { over: top, under: bottom, fraction: true }) = next.copied() {
            if fraction || under != 1 || top >= bottom {
                return Err(muddled());
            }
            part = Part { over: over * bottom + top, under: bottom, unit: None };
            rest = rest.get(if dash { 2 } else { 1 }..).unwrap_or_default();
        } else if dash {
            return Err(muddled());
        }
        if let [Token::Unit { nm, rank }, after @ ..] = rest {
            part.unit = Some((*nm, *rank));
            rest = after;
        }
        parts.push(part);
    }
    Ok(parts)
}

/// The parts added up in nanometres: one part, or falling yards, feet and inches.
fn total(parts: &[Part], default: Unit, text: &str) -> Result<i128, LengthError> {
    let muddled = || LengthError::Muddled { text: text.into() };
    let mut sum: i128 = 0;
    let mut last_rank = u8::MAX;
    for part in parts {
        let (nm, rank) = match part.unit {
            Some(unit) => unit,
            // "2' 7" is read as feet and inches, whatever the shop's unit.
            None if last_rank == 3 => (i128::from(Length::INCH.nm()), 2),
            None if parts.len() > 1 => return Err(muddled()),
            None if default == Unit::Inch => (i128::from(Length::INCH.nm()), 2),
            None => (i128::from(Length::CENTIMETRE.nm()), 1),
        };
        if rank >= last_rank || (parts.len() > 1 && rank == 1) {
            return Err(muddled());
        }
        last_rank = rank;
        sum += (part.over * nm + part.under / 2) / part.under;
    }
    Ok(sum)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn inches(text: &str) -> Length {
        read_length(text, Unit::Inch).unwrap()
    }

    #[test]
    fn every_way_of_writing_a_length_is_read() {
        let quarter = Length::inches(31, 2);
        for text in [
            "31 1/4",
            "31-1/4",
            "31¼",
            "31 ¼",
            "31.25",
            "31,25",
            "2 ft 7 1/4 in",
            "2' 7 1/4\"",
            "2'7¼",
            "31 1/4\"",
            " 31 1/4 in. ",
            "31.25 inches",
            "31 2/8",
            "31–1/4",
        ] {
            assert_eq!(inches(text), quarter, "{text}");
        }
        assert_eq!(inches("31"), Length::inches(31, 0));
        assert_eq!(inches("31\""), Length::inches(31, 0));
        assert_eq!(inches("79.4 cm"), Length::tenths_of_mm(7940));
        assert_eq!(inches("794 mm"), Length::tenths_of_mm(7940));
        assert_eq!(inches("79.4cm"), Length::tenths_of_mm(7940));
        assert_eq!(inches("1.2 m"), Length::tenths_of_mm(12_000));
        assert_eq!(inches("2 3/4 yd"), Length::inches(99, 0));
        assert_eq!(inches("3/8"), Length::inches(0, 3));
        assert_eq!(inches("½"), Length::inches(0, 4));
        assert_eq!(inches(".5"), Length::inches(0, 4));
        assert_eq!(inches("0"), Length::ZERO);
    }

    #[test]
    fn the_shop_unit_is_the_default_and_a_written_unit_wins() {
        assert_eq!(read_length("79.4", Unit::Centimetre), Ok(Length::tenths_of_mm(7940)));
        assert_eq!(read_length("31 1/4 in", Unit::Centimetre), Ok(Length::inches(31, 2)));
    }

    #[test]
    fn what_is_no_length_is_refused_in_words() {
        let refused = |text: &str| read_length(text, Unit::Inch).unwrap_err();
        assert_eq!(refused("  "), LengthError::Empty);
        assert!(matches!(refused("abc"), LengthError::Word { word } if word == "abc"));
        assert!(matches!(refused("31 1/0"), LengthError::OverNought { fraction } if fraction == "1/0"));
        assert!(matches!(refused("2,500 mm"), LengthError::TwoWays { number } if number == "2,500"));
        assert!(matches!(refused("-3"), LengthError::Negative { .. }));
        assert!(matches!(refused("31 32"), LengthError::Muddled { .. }));
        assert!(matches!(refused("31 5/4"), LengthError::Muddled { .. }));
        assert!(matches!(refused("7 in 2 ft"), LengthError::Muddled { .. }));
        assert!(matches!(refused("31 1/4 1/4"), LengthError::Muddled { .. }));
        assert!(matches!(refused("101 m"), LengthError::TooLong { .. }));
        assert!(matches!(refused("99999999999999999999"), LengthError::TooLong { .. }));
        assert!(matches!(refused("31 1/"), LengthError::Word { .. }));
        assert!(matches!(refused("1."), LengthError::Word { .. }));
        assert!(matches!(refused("31 stone"), LengthError::Word { word } if word == "stone"));
        assert!(matches!(refused(&"9".repeat(5000)), LengthError::Word { .. }));
    }

    proptest! {
        #[test]
        fn no_text_panics(text in "\\PC{0,24}") {
            let _ = read_length(&text, Unit::Inch);
            let _ = read_length(&text, Unit::Centimetre);
        }

        #[test]
        fn near_lengths_never_panic(text in "[0-9 /.,'\"¼½-]{0,14}(in|cm|ft|yd)?[0-9 /]{0,6}") {
            let _ = read_length(&text, Unit::Inch);
        }
    }
}
