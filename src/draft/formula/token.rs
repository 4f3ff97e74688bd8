//! Words of a formula: numbers, lengths, angles, names and signs.

use super::super::fault::{Fault, Span};

/// One word of a formula and where it stands in the style's text.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Token {
    pub kind: TokenKind,
    pub at: Span,
}

/// What a word is.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum TokenKind {
    /// A plain number: `4`, `2.5`, `1 1/2`.
    Number(f64),
    /// A length with its unit, in mm: `3/8 in`, `79.4 cm`.
    Length(f64),
    /// An angle in radians: `30 deg`.
    Angle(f64),
    /// A name or a word of the language.
    Name(String),
    /// Two names joined by a point: `back.side`.
    Dotted(String, String),
    /// `+ - * / ( ) , < > <= >= =`.
    Sign(&'static str),
}

/// The most words in one formula or line of an outline: more than twice the longest of the
/// book (101). A sum is a tree as deep as it is long, and is worked on a stack of 2 MB.
const MOST_TOKENS: usize = 250;

/// Splits `text`, which stands at byte `offset` of the style, into words.
pub(crate) fn tokens(text: &str, offset: usize) -> Result<Vec<Token>, Fault> {
    let mut reader = Reader { text, at: 0, offset };
    let mut found = Vec::new();
    while let Some(token) = reader.next()? {
        if found.len() >= MOST_TOKENS {
            return Err(Fault::new(
                token.at,
                format!(
                    "This formula has more than {MOST_TOKENS} words, the most that are read. Split it into dimensions."
                ),
            ));
        }
        found.push(token);
    }
    Ok(found)
}

struct Reader<'t> {
    text: &'t str,
    at: usize,
    offset: usize,
}

impl Reader<'_> {
    fn rest(&self) -> &str {
        self.text.get(self.at..).unwrap_or("")
    }

    fn span(&self, start: usize) -> Span {
        Span { start: self.offset + start, end: self.offset + self.at }
    }

    fn next(&mut self) -> Result<Option<Token>, Fault> {
        self.at += self.rest().len() - self.rest().trim_start().len();
        let start = self.at;
        let Some(first) = self.rest().chars().next() else { return Ok(None) };
        let kind = if first.is_ascii_digit() || first == '.' {
            self.number()?
        } else if first.is_alphabetic() || first == '_' {
            self.name()
        } else {
            self.sign(first)?
        };
        Ok(Some(Token { kind, at: self.span(start) }))
    }

    fn name(&mut self) -> TokenKind {
        let word = self.word();
        let mut rest = self.rest().chars();
        if rest.next() == Some('.') && rest.next().is_some_and(|c| c.is_alphabetic() || c == '_') {
            self.at += 1;
            let second = self.word();
            return TokenKind::Dotted(word, second);
        }
        TokenKind::Name(word)
    }

    fn word(&mut self) -> String {
        let rest = self.rest();
        let end = rest.find(|c: char| !(c.is_alphanumeric() || c == '_')).unwrap_or(rest.len());
        let word = rest.get(..end).unwrap_or("").to_string();
        self.at += end;
        word
    }

    fn sign(&mut self, first: char) -> Result<TokenKind, Fault> {
        const TWO: [&str; 2] = ["<=", ">="];
        const ONE: [(char, &str); 14] = [
            ('+', "+"),
            ('-', "-"),
            ('−', "-"),
            ('*', "*"),
            ('×', "*"),
            ('/', "/"),
            ('÷', "/"),
            ('(', "("),
            (')', ")"),
            (',', ","),
            ('<', "<"),
            ('>', ">"),
            ('=', "="),
            (':', ":"),
        ];
        for sign in TWO {
            if self.rest().starts_with(sign) {
                self.at += sign.len();
                return Ok(TokenKind::Sign(sign));
            }
        }
        let start = self.at;
        self.at += first.len_utf8();
        ONE.iter().find(|(c, _)| *c == first).map(|(_, sign)| TokenKind::Sign(sign)).ok_or_else(|| {
            Fault::new(
                self.span(start),
                format!("“{first}” has no meaning in a formula. Use + − × ÷, parentheses and names."),
            )
        })
    }

    /// A number with what belongs to it: `2`, `2.5`, `1 1/2`, and a unit if one
    /// follows. `3/8` is a fraction only before a unit; else it is a division.
    fn number(&mut self) -> Result<TokenKind, Fault> {
        let start = self.at;
        let mut value = self.decimal(start)?;
        let after_whole = self.at;
        if let Some((fraction, length)) = fraction(self.rest()) {
            self.at += length;
            value += fraction;
        } else if let Some((under, length)) = self.rest().strip_prefix('/').and_then(whole) {
            // 3/8 in: a fraction, since a unit follows it.
            self.at += 1 + length;
            if self.unit().is_some() && under > 0.0 {
                value /= under;
            } else {
                self.at = after_whole;
            }
        }
        let before_unit = self.at;
        match self.unit() {
            Some(Unit::Mm(mm)) => Ok(TokenKind::Length(value * mm)),
            Some(Unit::Degree) => Ok(TokenKind::Angle(value.to_radians())),
            None => {
                self.at = before_unit;
                Ok(TokenKind::Number(value))
            }
        }
        .map(|kind| {
            if !matches!(kind, TokenKind::Number(_)) {
                self.pass_unit();
            }
            kind
        })
    }

    fn decimal(&mut self, start: usize) -> Result<f64, Fault> {
        let rest = self.rest();
        let end = rest.find(|c: char| !(c.is_ascii_digit() || c == '.')).unwrap_or(rest.len());
        let text = rest.get(..end).unwrap_or("").to_string();
        self.at += end;
        if text.len() > 15 {
            return Err(Fault::new(
                self.span(start),
                format!("“{text}” has more than 15 digits. Write a shorter number."),
            ));
        }
        text.parse()
            .map_err(|_| Fault::new(self.span(start), format!("“{text}” is not a number. Write 2, 2.5 or 1 1/2.")))
    }

    /// The unit that follows, without passing it.
    fn unit(&self) -> Option<Unit> {
        let rest = self.rest().trim_start();
        let end = rest.find(|c: char| !(c.is_alphanumeric() || c == '_')).unwrap_or(rest.len());
        Some(match rest.get(..end)? {
            "in" => Unit::Mm(25.4),
            "ft" => Unit::Mm(304.8),
            "yd" => Unit::Mm(914.4),
            "mm" => Unit::Mm(1.0),
            "cm" => Unit::Mm(10.0),
            "m" => Unit::Mm(1000.0),
            "deg" => Unit::Degree,
            _ => return None,
        })
    }

    fn pass_unit(&mut self) {
        self.at += self.rest().len() - self.rest().trim_start().len();
        let _ = self.word();
    }
}

enum Unit {
    Mm(f64),
    Degree,
}

/// ` 1/2` after a whole number: the fraction and how many bytes it takes.
fn fraction(rest: &str) -> Option<(f64, usize)> {
    let trimmed = rest.trim_start_matches(' ');
    let gap = rest.len() - trimmed.len();
    if gap == 0 {
        return None;
    }
    let (over, over_length) = whole(trimmed)?;
    let (under, under_length) = whole(trimmed.get(over_length..)?.strip_prefix('/')?)?;
    (under > 0.0 && over < under).then_some((over / under, gap + over_length + 1 + under_length))
}

/// A whole number at the start: its value and how many bytes it takes.
fn whole(text: &str) -> Option<(f64, usize)> {
    let end = text.find(|c: char| !c.is_ascii_digit()).unwrap_or(text.len());
    let digits = text.get(..end)?;
    (1..=6).contains(&digits.len()).then(|| digits.parse().ok().map(|value| (value, end)))?
}

#[cfg(test)]
mod tests {
    use super::*;

    fn kinds(text: &str) -> Vec<TokenKind> {
        tokens(text, 0).unwrap().into_iter().map(|t| t.kind).collect()
    }

    #[test]
    fn fractions_belong_to_their_unit_and_divisions_do_not() {
        assert_eq!(kinds("3/8 in"), [TokenKind::Length(25.4 * 3.0 / 8.0)]);
        assert_eq!(kinds("1 1/4 in"), [TokenKind::Length(31.75)]);
        assert_eq!(kinds("1 1/2"), [TokenKind::Number(1.5)]);
        assert_eq!(kinds("30 deg"), [TokenKind::Angle(30_f64.to_radians())]);
        assert_eq!(kinds("3 / 4"), [TokenKind::Number(3.0), TokenKind::Sign("/"), TokenKind::Number(4.0)]);
        assert_eq!(kinds("x/4"), [TokenKind::Name("x".into()), TokenKind::Sign("/"), TokenKind::Number(4.0)]);
        assert_eq!(
            kinds("back.side × 2"),
            [TokenKind::Dotted("back".into(), "side".into()), TokenKind::Sign("*"), TokenKind::Number(2.0)]
        );
        assert_eq!(kinds("8 inner"), [TokenKind::Number(8.0), TokenKind::Name("inner".into())]);
    }

    #[test]
    fn a_strange_sign_is_named_with_its_place() {
        let fault = tokens("a ? b", 10).unwrap_err();
        assert_eq!(fault.at, Span { start: 12, end: 13 });
        assert!(fault.message.contains('?'));
    }
}
