//! The arithmetic of one value, kept so that it can be written in any unit.

use crate::measure::{Length, Showing, Step, Unit};

/// A value in a working: a length, a plain number, an angle or a word.
#[derive(Clone, Debug, PartialEq)]
pub enum Amount {
    /// A length, in millimetres as computed.
    Mm(f64),
    /// A length that stands in the style as it is, in millimetres: where it is no whole
    /// part of the shop's unit it is written in the unit in which it is.
    Constant(f64),
    /// A plain number.
    Number(f64),
    /// An angle in radians.
    Angle(f64),
    /// A chosen word, or yes and no.
    Word(String),
}

/// How one value came about: a first amount, then steps such as `÷ 4 = 7 1/4`.
#[derive(Clone, Debug, PartialEq)]
pub struct Working {
    /// The text pieces in order; amounts are written in the unit asked for.
    pub terms: Vec<Term>,
}

/// One part of a working.
#[derive(Clone, Debug, PartialEq)]
pub enum Term {
    /// Words and signs as they stand: ` ÷ `, ` + `, `(`.
    Sign(String),
    /// An amount.
    Amount(Amount),
    /// A result so far, written after `=` or, when the terms as printed do not give it, `≈`.
    Result(Amount),
    /// A result that was rounded on purpose, written after `=`.
    Rounded(Amount),
    /// An amount inside words, rounded as the shop shows lengths and with its unit.
    Told(Amount),
}

impl Working {
    /// The working as a person writes it: `29 ÷ 4 = 7 1/4`. Lengths stand as
    /// exact sixty-fourths (or millimetres) where they are that, else rounded, and
    /// the result is then written after `≈`.
    #[must_use]
    pub fn text(&self, showing: Showing) -> String {
        let mut text = String::new();
        let mut exact = true;
        for term in &self.terms {
            match term {
                Term::Sign(sign) => text.push_str(sign),
                Term::Amount(amount) => {
                    exact &= is_exact(amount, showing);
                    text.push_str(&amount_text(amount, showing));
                }
                Term::Rounded(amount) => {
                    text.push_str(" = ");
                    text.push_str(&amount_text(amount, showing));
                    exact = is_exact(amount, showing);
                }
                Term::Told(Amount::Mm(mm) | Amount::Constant(mm)) => match Length::from_mm(*mm) {
                    Some(length) => text.push_str(&showing.with_unit(length)),
                    None => text.push('?'),
                },
                Term::Told(amount) => text.push_str(&amount_text(amount, showing)),
                Term::Result(amount) => {
                    text.push_str(if exact && is_exact(amount, showing) { " = " } else { " ≈ " });
                    text.push_str(&amount_text(amount, showing));
                    exact = is_exact(amount, showing);
                }
            }
        }
        text
    }
}

/// The finest step in which a working is written in this unit.
const fn finest(showing: Showing) -> Showing {
    match showing.unit() {
        Unit::Inch => Showing { step: Step::SixtyFourth },
        Unit::Centimetre => Showing::MILLIMETRES,
    }
}

fn is_exact(amount: &Amount, showing: Showing) -> bool {
    /// Computed values carry rounding of about 1e-10 mm; a nanometre is far above it.
    const SAME_MM: f64 = 1e-6;
    match amount {
        Amount::Mm(mm) => Length::from_mm(*mm)
            .is_some_and(|length| (length.rounded_to(finest(showing).step_length()).mm() - mm).abs() <= SAME_MM),
        Amount::Constant(mm) => is_exact(&Amount::Mm(*mm), showing) || in_other_unit(*mm, showing).is_some(),
        Amount::Number(number) => (number * 1000.0 - (number * 1000.0).round()).abs() < 1e-6,
        Amount::Angle(_) => false,
        Amount::Word(_) => true,
    }
}

/// The amount as written in a working.
fn amount_text(amount: &Amount, showing: Showing) -> String {
    match amount {
        Amount::Mm(mm) => match Length::from_mm(*mm) {
            Some(length) if is_exact(amount, showing) => finest(showing).number(length),
            Some(length) => showing.number(length),
            None => "?".into(),
        },
        Amount::Constant(mm) => match in_other_unit(*mm, showing) {
            Some(text) if !is_exact(&Amount::Mm(*mm), showing) => text,
            _ => amount_text(&Amount::Mm(*mm), showing),
        },
        Amount::Number(number) => plain(*number),
        Amount::Angle(radians) => format!("{}°", plain((radians.to_degrees() * 10.0).round() / 10.0)),
        Amount::Word(word) => word.clone(),
    }
}

/// A length in the unit that the shop does not draft in, with that unit, where it is exact there.
fn in_other_unit(mm: f64, showing: Showing) -> Option<String> {
    let other = match showing.unit() {
        Unit::Inch => Showing::MILLIMETRES,
        Unit::Centimetre => Showing { step: Step::SixtyFourth },
    };
    let amount = Amount::Mm(mm);
    is_exact(&amount, other).then(|| Length::from_mm(mm).map(|length| finest(other).with_unit(length))).flatten()
}

/// A number with at most three decimals and no idle noughts.
fn plain(number: f64) -> String {
    let text = format!("{number:.3}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".into() } else { text.replace('-', "−") }
}
