//! What was chosen, read and held to the style's limits.

use super::super::fault::did_you_mean;
use super::super::formula::{Value, Values};
use super::super::style::{Choice, ChoiceKind, Style};
use super::input::{DraftError, Input};
use crate::measure::{Length, Showing, read_length};

/// Adds the value of every choice of the style.
pub(super) fn chosen<'s>(style: &'s Style, input: &Input, values: &mut Values<'s>) -> Result<(), DraftError> {
    let mut wrong: Vec<(String, String)> = Vec::new();
    for key in input.choices.keys() {
        if !style.choices.iter().any(|choice| choice.key == *key) {
            let hint = did_you_mean(key, style.choices.iter().map(|c| c.key.as_str()));
            wrong.push((key.clone(), format!("“{key}” is no choice of this style.{hint}")));
        }
    }
    for choice in &style.choices {
        let typed = input.choices.get(&choice.key).map(|text| text.trim()).filter(|text| !text.is_empty());
        match value(choice, typed, input) {
            Ok(value) => {
                values.insert(&choice.key, value);
            }
            Err(message) => wrong.push((choice.key.clone(), message)),
        }
    }
    if wrong.is_empty() { Ok(()) } else { Err(DraftError::Choices(wrong)) }
}

fn value<'s>(choice: &'s Choice, typed: Option<&str>, input: &Input) -> Result<Value<'s>, String> {
    let label = &choice.label;
    match &choice.kind {
        ChoiceKind::Length { default, least, most } => {
            let shops = choice.shop.as_ref().and_then(|name| input.allowances.get(name));
            let shops = shops.map(|length| choice.held(*length).mm());
            let mm = match typed {
                Some(text) => read_length(text, input.showing.unit()).map_err(|e| format!("{label}: {e}"))?.mm(),
                None => shops.unwrap_or(*default),
            };
            // A limit of 1/4 in is told as 0.6 cm, so 0.6 cm is that limit, not less than it.
            let mm = if as_told(mm, *least, input.showing) { *least } else { mm };
            let mm = if as_told(mm, *most, input.showing) { *most } else { mm };
            if mm < least - 1e-6 || mm > most + 1e-6 {
                return Err(format!(
                    "{label}: {} is outside {} to {}. Choose a length between them.",
                    told(mm, input.showing),
                    told(*least, input.showing),
                    told(*most, input.showing)
                ));
            }
            Ok(Value::mm(mm))
        }
        ChoiceKind::Number { default, least, most, whole } => {
            let number = match typed {
                Some(text) => {
                    read_number(text).ok_or_else(|| format!("{label}: “{text}” is no number. Write 2 or 2 1/2."))?
                }
                None => *default,
            };
            if *whole && (number - number.round()).abs() > 1e-9 {
                return Err(format!("{label}: {number} is not a whole number. Choose a whole one."));
            }
            if number < *least || number > *most {
                return Err(format!("{label}: {number} is outside {least} to {most}. Choose a number between them."));
            }
            Ok(Value::number(number))
        }
        ChoiceKind::Word { default, options } => {
            let Some(text) = typed else { return Ok(Value::Word(default)) };
            // Nobody writes a longer word; what is compared and said again stays short.
            let text: String = text.chars().take(60).collect();
            let wanted = text.to_lowercase().replace([' ', '-'], "_");
            if let Some((word, _)) = options.iter().find(|(word, _)| *word == wanted) {
                return Ok(Value::Word(word));
            }
            let known: Vec<&str> = options.iter().map(|(word, _)| word.as_str()).collect();
            let hint = did_you_mean(&wanted, known.iter().copied());
            Err(format!("{label}: “{text}” is not one of {}.{hint}", known.join(", ")))
        }
    }
}

fn told(mm: f64, showing: Showing) -> String {
    Length::from_mm(mm).map_or_else(|| format!("{mm} mm"), |length| showing.with_unit(length))
}

/// Whether this length is a limit as the shop's unit tells it.
fn as_told(mm: f64, limit: f64, showing: Showing) -> bool {
    let told = |length: Length| length.rounded_to(showing.step_length());
    Length::from_mm(mm)
        .zip(Length::from_mm(limit))
        .is_some_and(|(length, limit)| length == told(limit) && length != limit)
}

/// A number as people write it: `2`, `2.5`, `2,5`, `2 1/2`, `1/2`; nothing when it is none.
#[must_use]
pub fn read_number(text: &str) -> Option<f64> {
    let text = text.replace(',', ".");
    let value = match text.split_once('/') {
        None => text.parse::<f64>().ok()?,
        Some((left, under)) => {
            let (whole, over) = left.trim().rsplit_once(' ').unwrap_or(("0", left.trim()));
            let (whole, over, under): (f64, f64, f64) =
                (whole.trim().parse().ok()?, over.parse().ok()?, under.trim().parse().ok()?);
            if under <= 0.0 {
                return None;
            }
            whole + over / under
        }
    };
    (value.is_finite() && value.abs() < 1e6).then_some(value)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_as_people_write_them() {
        assert_eq!(read_number("2 1/2"), Some(2.5));
        assert_eq!(read_number("2,5"), Some(2.5));
        assert_eq!(read_number("1/2"), Some(0.5));
        assert_eq!(read_number("3"), Some(3.0));
        assert_eq!(read_number("1/0"), None);
        assert_eq!(read_number("two"), None);
        assert_eq!(read_number("inf"), None);
    }
}
