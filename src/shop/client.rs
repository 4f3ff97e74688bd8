//! A client: somebody who pays, somebody who is measured, or both.

use crate::measure::Who;

use super::ClientId;

keyed! {
    /// For whom clothes are cut, as far as rules of thumb need it.
    Wearer {
        /// Not said; no rule of thumb is used.
        Unsaid = "unsaid", "not said";
        /// A woman.
        Woman = "woman", "woman";
        /// A man.
        Man = "man", "man";
        /// A child.
        Child = "child", "child";
    }
}

impl Wearer {
    /// For whom the bands of plausible measures are looked up.
    #[must_use]
    pub const fn who(self) -> Who {
        match self {
            Wearer::Unsaid => Who::Unknown,
            Wearer::Woman => Who::Woman,
            Wearer::Man => Who::Man,
            Wearer::Child => Who::Child,
        }
    }
}

/// A client as kept.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Client {
    /// Who.
    pub id: ClientId,
    /// Counts the edits of this row.
    pub version: i64,
    /// What is written about the client.
    pub facts: ClientFacts,
    /// When the client was forgotten (UTC milliseconds): nothing personal is left then.
    pub forgotten_ms: Option<i64>,
}

impl Client {
    /// What the workroom calls the client: known as, else the name.
    #[must_use]
    pub fn called(&self) -> &str {
        if self.facts.known_as.is_empty() { &self.facts.name } else { &self.facts.known_as }
    }
}

/// What a person writes about a client; any script, one field for the name.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ClientFacts {
    /// The whole name as the client writes it.
    pub name: String,
    /// What the client is called, when that is something else; also how to say it.
    pub known_as: String,
    /// The phone number as typed.
    pub phone: String,
    /// Whether several people use that phone, so that a message must name no work and no price.
    pub phone_shared: bool,
    /// The e-mail address as typed.
    pub email: String,
    /// Anything else.
    pub note: String,
    /// Standing notes on fit: what every garment for this client must heed.
    pub fit_notes: String,
    /// For whom clothes are cut.
    pub wearer: Wearer,
}

impl ClientFacts {
    /// A client of whom only the name is known.
    #[must_use]
    pub fn named(name: &str) -> ClientFacts {
        ClientFacts {
            name: name.into(),
            known_as: String::new(),
            phone: String::new(),
            phone_shared: false,
            email: String::new(),
            note: String::new(),
            fit_notes: String::new(),
            wearer: Wearer::Unsaid,
        }
    }
}
