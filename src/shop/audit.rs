//! What was done to the book: one action for each act of a person, with what it changed.

use super::{ActionId, PersonId};

/// One act of a person.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Action {
    /// Which action.
    pub id: ActionId,
    /// Who.
    pub who: PersonId,
    /// When (UTC milliseconds).
    pub at_ms: i64,
    /// What, in words: `took a deposit`.
    pub words: String,
    /// What it changed.
    pub changes: Vec<Change>,
}

/// One change of one row.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Change {
    /// The noun: `client`, `garment`, `payment`.
    pub noun: String,
    /// Its id.
    pub row: i64,
    /// What of it; `None` when the row is new or gone as a whole.
    pub field: Option<String>,
    /// What stood there before.
    pub before: Option<String>,
    /// What stands there after.
    pub after: Option<String>,
}
