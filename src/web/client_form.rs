//! Writing down a client: one field for the name, in any script.

use crate::shop::{ClientFacts, Wearer};

use super::fields::{Field, Fields, Notes};

/// The fields of a client, ready to show.
pub struct ClientForm {
    /// The whole name.
    pub name: Field,
    /// What the client is called.
    pub known_as: Field,
    /// Phone.
    pub phone: Field,
    /// Whether several people use it.
    pub phone_shared: bool,
    /// E-mail.
    pub email: Field,
    /// For whom clothes are cut.
    pub wearer: Field,
    /// Standing notes on fit.
    pub fit_notes: Field,
    /// Anything else.
    pub note: Field,
    /// How many fields need another look.
    pub wrongs: usize,
}

impl ClientForm {
    /// The form as sent.
    #[must_use]
    pub fn sent(fields: &Fields, notes: &Notes) -> ClientForm {
        let field = |name: &str| Field::sent(name, fields, notes);
        ClientForm {
            name: field("name"),
            known_as: field("known_as"),
            phone: field("phone"),
            phone_shared: fields.filled("phone_shared").is_some(),
            email: field("email"),
            wearer: field("wearer"),
            fit_notes: field("fit_notes"),
            note: field("note"),
            wrongs: notes.count(),
        }
    }

    /// The wearers to choose from.
    #[must_use]
    pub fn wearers(&self) -> Vec<(String, String)> {
        Wearer::ALL.iter().map(|wearer| (wearer.key().into(), wearer.words().into())).collect()
    }
}

/// The fields of a client as kept.
#[must_use]
pub fn typed(facts: &ClientFacts) -> Fields {
    let mut pairs = vec![
        ("name", facts.name.clone()),
        ("known_as", facts.known_as.clone()),
        ("phone", facts.phone.clone()),
        ("email", facts.email.clone()),
        ("wearer", facts.wearer.key().into()),
        ("fit_notes", facts.fit_notes.clone()),
        ("note", facts.note.clone()),
    ];
    if facts.phone_shared {
        pairs.push(("phone_shared", "yes".into()));
    }
    Fields::of(pairs.into_iter().map(|(name, text)| (name.to_string(), text)).collect())
}

/// Reads what was written about a client.
///
/// # Errors
/// A note for each field that needs another text.
pub fn read(fields: &Fields) -> Result<ClientFacts, Notes> {
    let mut notes = Notes::default();
    let facts = ClientFacts {
        name: notes.line(fields, "name"),
        known_as: notes.line(fields, "known_as"),
        phone: notes.line(fields, "phone"),
        phone_shared: fields.filled("phone_shared").is_some(),
        email: notes.line(fields, "email"),
        note: notes.note(fields, "note"),
        fit_notes: notes.note(fields, "fit_notes"),
        wearer: Wearer::from_key(fields.text("wearer")).unwrap_or(Wearer::Unsaid),
    };
    if facts.name.is_empty() {
        notes.add("name", "Write the client's name, in any script; one name is enough.");
    }
    if !facts.email.is_empty() && !facts.email.trim_matches('@').contains('@') {
        notes.add(
            "email",
            format!("“{}” is no e-mail address: it has no @ within. Put it right or leave it out.", facts.email),
        );
    }
    if !facts.phone.is_empty() && !facts.phone.chars().any(char::is_numeric) {
        notes.add("phone", format!("“{}” holds no number. Put it right or leave it out.", facts.phone));
    }
    if notes.is_empty() { Ok(facts) } else { Err(notes) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_was_kept_reads_back_from_its_form() {
        let facts = ClientFacts {
            known_as: "Ma Efua".into(),
            phone: "+233 20 000 0000".into(),
            phone_shared: true,
            wearer: Wearer::Woman,
            fit_notes: "left hip high\nno waist seam".into(),
            ..ClientFacts::named("Ẹ̀fúnṣetán <b>")
        };
        assert_eq!(read(&typed(&facts)), Ok(facts));
    }

    #[test]
    fn an_empty_form_wants_a_name_alone() {
        let notes = read(&Fields::default()).unwrap_err();
        assert_eq!((notes.count(), notes.at("name").is_some()), (1, true));
    }
}
