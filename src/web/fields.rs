//! A form as it was sent: names and texts in order, and what is wrong with them.

use std::collections::BTreeMap;

use axum::body::{Body, to_bytes};
use axum::extract::{FromRequest, Multipart, Request};
use axum::http::{StatusCode, header};

use super::fault::Fault;

/// The most bytes that a form may hold. Judgement: a fitting is 10 kB, the
/// longest note 40 kB; a style's text 60 kB.
pub const MOST_BYTES: usize = 1024 * 1024;

/// Up to here a body that is too large is read and thrown away, so that the
/// browser gets to see the words instead of a broken connection.
const MOST_BYTES_READ: usize = 16 * MOST_BYTES;

/// The most characters of a note.
pub const MOST_IN_NOTE: usize = 4000;

/// The most characters of a name and other single lines.
pub const MOST_IN_LINE: usize = 200;

/// The texts of a form by the names of their fields.
#[derive(Clone, Debug, Default)]
pub struct Fields {
    pairs: Vec<(String, String)>,
}

impl Fields {
    /// The fields of a text such as `name=Ada&town=`.
    #[must_use]
    pub fn of(pairs: Vec<(String, String)>) -> Fields {
        Fields { pairs }
    }

    /// These fields with one more, where there is a text for it.
    #[must_use]
    pub fn with(mut self, name: &str, text: Option<String>) -> Fields {
        self.pairs.extend(text.map(|text| (name.to_string(), text)));
        self
    }

    /// The text typed in a field, as it was typed; nothing when the field was not sent.
    #[must_use]
    pub fn raw(&self, name: &str) -> &str {
        self.pairs.iter().find(|(field, _)| field == name).map_or("", |(_, text)| text)
    }

    /// The text without spaces around it.
    #[must_use]
    pub fn text(&self, name: &str) -> &str {
        self.raw(name).trim()
    }

    /// The text, or nothing when it is empty.
    #[must_use]
    pub fn filled(&self, name: &str) -> Option<&str> {
        Some(self.text(name)).filter(|text| !text.is_empty())
    }

    /// Whether the field was sent, be it empty.
    #[must_use]
    pub fn has(&self, name: &str) -> bool {
        self.pairs.iter().any(|(field, _)| field == name)
    }

    /// Every text sent under one name (tick boxes).
    pub fn all<'a>(&'a self, name: &'a str) -> impl Iterator<Item = &'a str> {
        self.pairs.iter().filter(move |(field, _)| field == name).map(|(_, text)| text.as_str())
    }

    /// Every field whose name starts so, with the rest of its name.
    pub fn starting<'a>(&'a self, start: &'a str) -> impl Iterator<Item = (&'a str, &'a str)> {
        self.pairs.iter().filter_map(move |(field, text)| field.strip_prefix(start).map(|rest| (rest, text.as_str())))
    }
}

impl<S: Send + Sync> FromRequest<S> for Fields {
    type Rejection = Fault;

    async fn from_request(request: Request, state: &S) -> Result<Fields, Fault> {
        let too_large = || {
            Fault::Refused(
                StatusCode::PAYLOAD_TOO_LARGE,
                "That is more than 1 MB of text, the most that bodkin takes at once. Nothing was written. Go back (your \
                 text is still there), shorten it and send it again."
                    .into(),
            )
        };
        let (parts, body) = request.into_parts();
        let bytes = to_bytes(body, MOST_BYTES_READ).await.map_err(|_| too_large())?;
        if bytes.len() > MOST_BYTES {
            return Err(too_large());
        }
        let is_in_parts = parts.headers.get(header::CONTENT_TYPE).is_some_and(|kind| {
            kind.to_str().is_ok_and(|kind| kind.to_ascii_lowercase().starts_with("multipart/form-data"))
        });
        let request = Request::from_parts(parts, Body::from(bytes));
        if is_in_parts {
            return in_parts(Multipart::from_request(request, state).await.map_err(|_| no_form())?).await;
        }
        match axum::extract::Form::<Vec<(String, String)>>::from_request(request, state).await {
            Ok(form) => Ok(Fields { pairs: form.0 }),
            Err(_) => Err(no_form()),
        }
    }
}

fn no_form() -> Fault {
    Fault::Refused(
        StatusCode::UNSUPPORTED_MEDIA_TYPE,
        "This was not sent as a form, so it could not be read. Open the page and fill it in there.".into(),
    )
}

/// A form with a file in it: the file's text under its field's name, and the name of the file
/// under that name with `.name` after it; of a file that is no text only `.unreadable`.
async fn in_parts(mut parts: Multipart) -> Result<Fields, Fault> {
    let mut pairs = Vec::new();
    while let Some(part) = parts.next_field().await.map_err(|_| no_form())? {
        let name = part.name().unwrap_or_default().to_string();
        let file = part.file_name().map(str::to_string);
        let bytes = part.bytes().await.map_err(|_| no_form())?;
        // What is no text is told to the page, which has the rest of the form to give back.
        match (String::from_utf8(bytes.to_vec()), &file) {
            (Ok(text), _) => pairs.push((name.clone(), text)),
            (Err(_), Some(_)) => pairs.push((format!("{name}.unreadable"), "1".into())),
            (Err(_), None) => return Err(no_form()),
        }
        pairs.extend(file.map(|file| (format!("{name}.name"), file)));
    }
    Ok(Fields { pairs })
}

/// What is wrong with a form, a note for each field.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Notes {
    notes: BTreeMap<String, String>,
}

impl Notes {
    /// Notes that a field needs another text.
    pub fn add(&mut self, field: &str, note: impl Into<String>) {
        self.notes.entry(field.into()).or_insert(note.into());
    }

    /// The note at a field.
    #[must_use]
    pub fn at(&self, field: &str) -> Option<&str> {
        self.notes.get(field).map(String::as_str)
    }

    /// One of the notes; nothing when nothing is wrong.
    #[must_use]
    pub fn first(&self) -> Option<&str> {
        self.notes.values().next().map(String::as_str)
    }

    /// Whether nothing is wrong.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.notes.is_empty()
    }

    /// How many notes there are.
    #[must_use]
    pub fn count(&self) -> usize {
        self.notes.len()
    }

    /// The value, or its error noted at the field.
    pub fn take<T, E: std::fmt::Display>(&mut self, field: &str, value: Result<T, E>) -> Option<T> {
        match value {
            Ok(value) => Some(value),
            Err(why) => {
                self.add(field, why.to_string());
                None
            }
        }
    }

    /// A line of text within the limit; noted and cut off nowhere when it is longer.
    pub fn line(&mut self, fields: &Fields, field: &str) -> String {
        self.within(fields, field, MOST_IN_LINE)
    }

    /// A note of several lines within the limit.
    pub fn note(&mut self, fields: &Fields, field: &str) -> String {
        self.within(fields, field, MOST_IN_NOTE)
    }

    fn within(&mut self, fields: &Fields, field: &str, most: usize) -> String {
        let text = fields.text(field);
        let count = text.chars().count();
        if count > most {
            self.add(field, format!("This has {count} letters; at most {most} fit here. Shorten it."));
        } else if text.chars().any(|c| c.is_control() && !matches!(c, '\n' | '\r' | '\t')) {
            self.add(field, "This holds a sign that cannot be printed. Type it again rather than pasting it.");
        }
        text.replace("\r\n", "\n")
    }
}

/// One field of a form on the page: what was typed, and its note.
#[derive(Clone, Debug, Default)]
pub struct Field {
    /// The name of the field.
    pub name: String,
    /// The text in it.
    pub value: String,
    /// What is wrong with it, if anything.
    pub note: Option<String>,
}

impl Field {
    /// The field as sent, with its note.
    #[must_use]
    pub fn sent(name: &str, fields: &Fields, notes: &Notes) -> Field {
        Field { name: name.into(), value: fields.raw(name).into(), note: notes.at(name).map(Into::into) }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_long_line_is_noted_with_its_length_and_the_limit() {
        let fields = Fields::of(vec![("name".into(), "ä".repeat(201))]);
        let mut notes = Notes::default();
        notes.line(&fields, "name");
        assert!(notes.at("name").unwrap().contains("201") && notes.at("name").unwrap().contains("200"));
        assert_eq!(notes.count(), 1);
    }

    #[test]
    fn the_first_note_at_a_field_stays() {
        let mut notes = Notes::default();
        notes.add("a", "first");
        notes.add("a", "second");
        assert_eq!(notes.at("a"), Some("first"));
    }
}
