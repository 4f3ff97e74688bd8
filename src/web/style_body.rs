//! On whom a style is tried: a client, or an invented body; chosen on a form.

use crate::draft::{Input, Style};
use crate::job;
use crate::shop::{Body, Client, ClientId, GarmentFacts};
use crate::store::{ClientSearch, Reader};

use super::desk::Desk;
use super::fault::Fault;
use super::fields::Fields;
use super::path;
use super::usual_body::{self, Build};

/// On whom it is tried.
pub enum On {
    /// An invented body.
    Usual(Build),
    /// A client with the measures that were taken.
    Client(Box<(Client, Body)>),
}

/// The choice as the form shows it.
pub struct Choosing {
    /// Value, words, whether it is the one.
    pub rows: Vec<(String, String, bool)>,
    /// The words that are looked for among the clients.
    pub who: String,
    /// Whether nobody was found.
    pub nobody: bool,
}

/// As many found clients as one looks through at a glance.
const MOST_FOUND: u32 = 8;

impl On {
    /// Whom the form asks for. One client alone who fits the words typed is chosen at once.
    ///
    /// # Errors
    /// [`Fault::NotFound`] without such a client.
    pub fn asked(book: &Reader, fields: &Fields) -> Result<(On, Choosing), Fault> {
        let mut who = fields.text("who").to_string();
        let mut found: Vec<(ClientId, String)> = Vec::new();
        if !who.is_empty() {
            let search = ClientSearch { words: who.clone(), limit: MOST_FOUND, offset: 0 };
            found.extend(book.clients(&search)?.rows.into_iter().map(|row| (row.client.id, row.client.facts.name)));
        }
        let nobody = !who.is_empty() && found.is_empty();
        let mut chosen = match fields.text("on") {
            "" => None,
            build if Build::ALL.iter().any(|one| one.key() == build) => None,
            id => Some(path::client(id)?),
        };
        if let [(id, _)] = found.as_slice() {
            chosen = Some(*id);
            who.clear();
            found.clear();
        }
        let build = Build::ALL.into_iter().find(|build| build.key() == fields.text("on")).unwrap_or(Build::Usual);
        let on = match chosen {
            None => On::Usual(build),
            Some(id) => {
                let client = book.client(id)?;
                if client.forgotten_ms.is_some() {
                    return Err(Fault::NotFound("client"));
                }
                On::Client(Box::new((client, book.body(id, None)?)))
            }
        };
        let mut rows: Vec<(String, String, bool)> = Build::ALL
            .into_iter()
            .map(|one| (one.key().to_string(), one.words().to_string(), matches!(on, On::Usual(at) if at == one)))
            .collect();
        if let On::Client(client) = &on {
            rows.push((client.0.id.to_string(), client.0.called().to_string(), true));
        }
        let others = found.into_iter().filter(|(id, _)| Some(*id) != chosen);
        rows.extend(others.map(|(id, name)| (id.to_string(), name, false)));
        Ok((on, Choosing { rows, who, nobody }))
    }

    /// The words for whom it is.
    #[must_use]
    pub fn words(&self) -> String {
        match self {
            On::Usual(build) => build.words().to_lowercase(),
            On::Client(client) => client.0.called().to_string(),
        }
    }

    /// What the style is drafted from: no choices but the finished lengths that were taken.
    #[must_use]
    pub fn input(&self, style: &Style, desk: &Desk) -> Input {
        match self {
            On::Usual(build) => usual_input(style, *build, desk),
            On::Client(client) => job::input(style, &GarmentFacts::of(client.0.id, ""), &client.1, &desk.settings),
        }
    }
}

/// A style for an invented body, with the shop's allowances.
#[must_use]
pub fn usual_input(style: &Style, build: Build, desk: &Desk) -> Input {
    let mut input = Input::new(desk.showing());
    input.body = usual_body::of(style.wearer(), build, desk.showing());
    input.allowances = desk.settings.allowances.clone();
    input
}
