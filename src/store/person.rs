//! The people of the workroom.

use rusqlite::{OptionalExtension, Row};

use crate::shop::{Person, PersonId};

use super::edit::Table;
use super::{Reader, StoreError, Writer};

const TABLE: Table = Table::of("person");

fn person(row: &Row) -> rusqlite::Result<Person> {
    Ok(Person {
        id: PersonId::new(row.get("id")?),
        version: row.get("version")?,
        name: row.get("name")?,
        owner: row.get("owner")?,
        left: row.get("left_work")?,
    })
}

impl Reader<'_> {
    /// Everybody who works or worked here, the owner first.
    ///
    /// # Errors
    /// [`StoreError`] of the reading.
    pub fn people(&self) -> Result<Vec<Person>, StoreError> {
        let mut all = self.prepared("SELECT * FROM person ORDER BY id")?;
        Ok(all.query_map([], person)?.collect::<Result<_, _>>()?)
    }

    /// One person.
    ///
    /// # Errors
    /// [`StoreError::Missing`].
    pub fn person(&self, id: PersonId) -> Result<Person, StoreError> {
        self.prepared("SELECT * FROM person WHERE id = ?1")?
            .query_row([id.get()], person)
            .optional()?
            .ok_or_else(|| StoreError::missing("person", id))
    }
}

impl Writer<'_> {
    /// Adds a helper.
    ///
    /// # Errors
    /// [`StoreError::Refused`] without a name.
    pub fn add_person(&self, name: &str) -> Result<PersonId, StoreError> {
        let name = a_name(name)?;
        self.insert(TABLE, None, &[("name", name.into()), ("owner", false.into())]).map(PersonId::new)
    }

    /// Renames a person or says that the person has left.
    ///
    /// # Errors
    /// [`StoreError::Stale`]; [`StoreError::Refused`] without a name or when the owner would leave.
    pub fn change_person(&self, person: &Person) -> Result<(), StoreError> {
        let name = a_name(&person.name)?;
        if person.left && self.person(person.id)?.owner {
            return Err(StoreError::refused(format!("{name} owns the shop and cannot leave it.")));
        }
        let edit = self.edit(TABLE, person.id.get(), person.version, None)?;
        edit.cells(&[("name", name.into()), ("left_work", person.left.into())])?;
        edit.done()
    }
}

fn a_name(name: &str) -> Result<String, StoreError> {
    match name.trim() {
        "" => Err(StoreError::refused("A person needs a name. Write what the workroom calls them.")),
        name => Ok(name.into()),
    }
}
