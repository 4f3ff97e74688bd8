//! A style's text under another name, all else kept as typed.

use toml::de::DeTable;

use super::super::fault::{Fault, Span, StyleError};
use super::Style;

/// The text with this label in place of its own: the start of a new style.
///
/// # Errors
/// The first fault of a text that does not read.
pub fn relabelled(text: &str, label: &str) -> Result<String, StyleError> {
    Style::read(text)?;
    let at = |range: std::ops::Range<usize>| Span { start: range.start, end: range.end };
    let parsed = DeTable::parse(text)
        .map_err(|error| Fault::new(error.span().map_or_else(Span::default, at), error.message()).placed(text))?;
    let found = parsed.get_ref().iter().find(|(key, _)| key.get_ref() == "label").map(|(_, value)| value.span());
    let (before, after) =
        found.and_then(|span| Some((text.get(..span.start)?, text.get(span.end..)?))).ok_or_else(|| {
            Fault::new(Span::default(), "There is no label to be changed. Write label = 'Apron'.").placed(text)
        })?;
    Ok(format!("{before}{}{after}", quoted(label)))
}

/// The words as TOML writes them: in single quotes where that can be.
fn quoted(words: &str) -> String {
    if !words.contains('\'') && !words.chars().any(char::is_control) {
        return format!("'{words}'");
    }
    let inner: String = words
        .chars()
        .map(|letter| match letter {
            '"' => "\\\"".to_string(),
            '\\' => "\\\\".to_string(),
            control if control.is_control() => format!("\\u{:04X}", u32::from(control)),
            other => other.to_string(),
        })
        .collect();
    format!("\"{inner}\"")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::draft::BOOK;
    use proptest::prelude::*;

    #[test]
    fn only_the_label_is_another() {
        for style in BOOK {
            let other = relabelled(style.text, "Harbour apron").unwrap();
            assert_eq!(Style::read(&other).unwrap().label(), "Harbour apron", "{}", style.key);
            let rest = |text: &str| text.lines().filter(|line| !line.starts_with("label =")).count();
            assert_eq!(rest(&other), rest(style.text));
        }
        assert_eq!(relabelled("format = 1\nkind", "x").unwrap_err().line, 2);
    }

    proptest! {
        #[test]
        fn any_label_reads_back(label in "[a-zA-Z'\"\\\\ {}\t#=ü]{1,30}") {
            let text = relabelled(BOOK[5].text, &label).unwrap();
            let style = Style::read(&text).unwrap();
            prop_assert_eq!(style.label(), label.as_str());
        }
    }
}
