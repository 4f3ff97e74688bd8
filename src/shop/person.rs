//! A person who works in the shop and may do things in the book.

use super::PersonId;

/// A person of the workroom. The first one is the owner.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Person {
    /// Who.
    pub id: PersonId,
    /// Counts the edits of this row.
    pub version: i64,
    /// The name as the workroom says it.
    pub name: String,
    /// Whether this is the owner.
    pub owner: bool,
    /// Whether the person works here no longer.
    pub left: bool,
}
