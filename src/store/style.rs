//! The style book: versions that never change, and which one new orders take.

use rusqlite::{OptionalExtension, Row, params};

use crate::shop::{BookText, PersonId, Style, StyleId, StyleSource, StyleVersion, StyleVersionId, style_key};

use super::cells::Cells;
use super::edit::Table;
use super::{Reader, StoreError, Writer};

const TABLE: Table = Table::of("style");
const VERSIONS: Table = Table { noun: "style version", name: "style_version" };

/// The columns of a version, with the key of its style.
const VERSION: &str = "SELECT v.*, s.key,
       (SELECT c.after_value FROM change c WHERE c.noun = 'style version' AND c.row = v.id AND c.field = 'note') AS note
  FROM style_version v JOIN style s ON s.id = v.style_id";

fn version(row: &Row) -> rusqlite::Result<StyleVersion> {
    Ok(StyleVersion {
        id: StyleVersionId::new(row.get("id")?),
        style: StyleId::new(row.get("style_id")?),
        key: row.get("key")?,
        number: row.get("number")?,
        label: row.get("label")?,
        text: row.get("text")?,
        source: row.keyed("source", StyleSource::from_key)?,
        edition: row.get("edition")?,
        at_ms: row.get("at_ms")?,
        who: PersonId::new(row.get("who")?),
        note: row.get::<_, Option<String>>("note")?.unwrap_or_default(),
    })
}

impl Reader<'_> {
    /// The style book by label, retired styles last.
    ///
    /// # Errors
    /// [`StoreError`] of the reading.
    pub fn styles(&self) -> Result<Vec<Style>, StoreError> {
        let rows: Vec<(i64, i64, bool, StyleVersion)> = self
            .prepared(
                "SELECT v.*, style.key, style.version AS edits, style.retired,
                        (SELECT c.after_value FROM change c
                          WHERE c.noun = 'style version' AND c.row = v.id AND c.field = 'note') AS note
                   FROM style JOIN style_version v ON v.id = style.current_id ORDER BY style.retired, v.label, style.key",
            )?
            .query_map([], |row| Ok((row.get("style_id")?, row.get("edits")?, row.get("retired")?, version(row)?)))?
            .collect::<Result<_, _>>()?;
        rows.into_iter()
            .map(|(id, edits, retired, current)| {
                Ok(Style {
                    id: StyleId::new(id),
                    version: edits,
                    key: current.key.clone(),
                    newer_in_book: self.newer_in_book(&current)?,
                    current,
                    retired,
                })
            })
            .collect()
    }

    /// One style by its key.
    ///
    /// # Errors
    /// [`StoreError::Missing`].
    pub fn style(&self, key: &str) -> Result<Style, StoreError> {
        self.styles()?.into_iter().find(|style| style.key == key).ok_or_else(|| StoreError::missing("style", key))
    }

    /// One version of a style.
    ///
    /// # Errors
    /// [`StoreError::Missing`].
    pub fn style_version(&self, id: StyleVersionId) -> Result<StyleVersion, StoreError> {
        self.prepared(&format!("{VERSION} WHERE v.id = ?1"))?
            .query_row([id.get()], version)
            .optional()?
            .ok_or_else(|| StoreError::missing("style version", id))
    }

    /// The version of a style that new orders take.
    ///
    /// # Errors
    /// [`StoreError::Missing`].
    pub fn version_in_use(&self, style: StyleId) -> Result<StyleVersion, StoreError> {
        self.prepared(&format!("{VERSION} WHERE v.id = (SELECT current_id FROM style WHERE id = ?1)"))?
            .query_row([style.get()], version)
            .optional()?
            .ok_or_else(|| StoreError::missing("style", style))
    }

    /// All versions of a style, newest first.
    ///
    /// # Errors
    /// [`StoreError`] of the reading.
    pub fn style_versions(&self, key: &str) -> Result<Vec<StyleVersion>, StoreError> {
        Ok(self
            .prepared(&format!("{VERSION} WHERE s.key = ?1 ORDER BY v.number DESC"))?
            .query_map([key], version)?
            .collect::<Result<_, _>>()?)
    }

    /// The book's text that is newer than an edited one.
    fn newer_in_book(&self, current: &StyleVersion) -> Result<Option<StyleVersionId>, StoreError> {
        if current.source == StyleSource::Book {
            return Ok(None);
        }
        Ok(self
            .prepared(
                "SELECT id FROM style_version WHERE style_id = ?1 AND source = 'book' AND number > ?2
                  ORDER BY number DESC LIMIT 1",
            )?
            .query_row(params![current.style.get(), current.number], |row| row.get(0).map(StyleVersionId::new))
            .optional()?)
    }

    fn style_row(&self, key: &str) -> Result<Option<(StyleId, Option<StyleVersion>)>, StoreError> {
        let found: Option<(i64, Option<i64>)> = self
            .prepared("SELECT id, current_id FROM style WHERE key = ?1")?
            .query_row([key], |row| Ok((row.get(0)?, row.get(1)?)))
            .optional()?;
        let Some((id, current)) = found else { return Ok(None) };
        let current = current.map(|id| self.style_version(StyleVersionId::new(id))).transpose()?;
        Ok(Some((StyleId::new(id), current)))
    }
}

impl Writer<'_> {
    /// Takes the texts of this edition of the book in. A text that is in the book already is left
    /// alone; a newer one becomes current unless the shop's own version is: then it waits beside it.
    /// Returns how many versions were added.
    ///
    /// # Errors
    /// [`StoreError`] of the writing.
    pub fn offer_book(&self, texts: &[BookText], edition: &str) -> Result<u32, StoreError> {
        let mut added = 0;
        for text in texts {
            let newest: Option<(String, String)> = self
                .prepared(
                    "SELECT v.label, v.text FROM style_version v JOIN style s ON s.id = v.style_id
                      WHERE s.key = ?1 AND v.source = 'book' ORDER BY v.number DESC LIMIT 1",
                )?
                .query_row([text.key], |row| Ok((row.get(0)?, row.get(1)?)))
                .optional()?;
            if newest.is_some_and(|(label, known)| label == text.label && known == text.text) {
                continue;
            }
            let (style, current) = self.style_to_add_to(text.key)?;
            let id = self.add_version(style, text, StyleSource::Book, edition)?;
            if current.is_none_or(|current| current.source == StyleSource::Book) {
                self.make_current(style, id)?;
            }
            added += 1;
        }
        Ok(added)
    }

    /// Adds the shop's own version of a style, which becomes current; a new key makes a new style.
    /// The text is kept as typed; that it can be drafted is for the caller to see to.
    ///
    /// # Errors
    /// [`StoreError::Refused`] for a key that is not snake_case or an empty label.
    pub fn add_style_version(&self, text: BookText) -> Result<StyleVersionId, StoreError> {
        let (style, _) = self.style_to_add_to(fit_to_keep(&text)?)?;
        let id = self.add_version(style, &text, StyleSource::Own, "")?;
        self.make_current(style, id)?;
        Ok(id)
    }

    /// Adds a style that is not in the book yet, with its first version.
    ///
    /// # Errors
    /// [`StoreError::Refused`] when there is one of this key, for a key that is none or an empty label.
    pub fn new_style(&self, text: &BookText, note: &str) -> Result<StyleVersionId, StoreError> {
        let key = fit_to_keep(text)?;
        if self.style_row(key)?.is_some() {
            return Err(StoreError::refused(format!("There is a style “{key}” already. Take another key.")));
        }
        let (style, _) = self.style_to_add_to(key)?;
        self.add_noted(style, text, note)
    }

    /// Adds the shop's next version of a style that was seen in this edit, which becomes current.
    ///
    /// # Errors
    /// [`StoreError::Stale`] when somebody changed the style since; [`StoreError::Refused`] for an empty label.
    pub fn edit_style(
        &self,
        style: StyleId,
        edits: i64,
        text: &BookText,
        note: &str,
    ) -> Result<StyleVersionId, StoreError> {
        fit_to_keep(text)?;
        self.edit(TABLE, style.get(), edits, None)?;
        self.add_noted(style, text, note)
    }

    fn add_noted(&self, style: StyleId, text: &BookText, note: &str) -> Result<StyleVersionId, StoreError> {
        let id = self.add_version(style, text, StyleSource::Own, "")?;
        if !note.trim().is_empty() {
            self.changed(VERSIONS.noun, id.get(), None, Some("note"), None, Some(note.trim()))?;
        }
        self.make_current(style, id)?;
        Ok(id)
    }

    /// Makes another version the one that new orders take; orders keep theirs.
    ///
    /// # Errors
    /// [`StoreError::Stale`]; [`StoreError::Refused`] when the version is of another style.
    pub fn choose_style_version(&self, style: StyleId, edits: i64, id: StyleVersionId) -> Result<(), StoreError> {
        if self.style_version(id)?.style != style {
            return Err(StoreError::refused("This version is of another style. Choose one of this style."));
        }
        let edit = self.edit(TABLE, style.get(), edits, None)?;
        edit.cells(&[("current_id", id.get().into())])?;
        edit.done()
    }

    /// Offers a style no longer, or again.
    ///
    /// # Errors
    /// [`StoreError::Stale`], [`StoreError::Missing`].
    pub fn retire_style(&self, style: StyleId, edits: i64, retired: bool) -> Result<(), StoreError> {
        let edit = self.edit(TABLE, style.get(), edits, None)?;
        edit.cells(&[("retired", retired.into())])?;
        edit.done()
    }

    /// The style of this key, made if there is none, and its current version.
    fn style_to_add_to(&self, key: &str) -> Result<(StyleId, Option<StyleVersion>), StoreError> {
        match self.style_row(key)? {
            Some(found) => Ok(found),
            None => Ok((StyleId::new(self.insert(TABLE, None, &[("key", key.to_string().into())])?), None)),
        }
    }

    fn add_version(
        &self,
        style: StyleId,
        text: &BookText,
        source: StyleSource,
        edition: &str,
    ) -> Result<StyleVersionId, StoreError> {
        let number: u32 = self
            .prepared("SELECT COALESCE(max(number), 0) + 1 FROM style_version WHERE style_id = ?1")?
            .query_row([style.get()], |row| row.get(0))?;
        self.insert_quietly(
            VERSIONS,
            None,
            &[
                ("style_id", style.get().into()),
                ("number", number.into()),
                ("label", text.label.trim().to_string().into()),
                ("text", text.text.to_string().into()),
                ("source", source.key().to_string().into()),
                ("edition", edition.to_string().into()),
                ("who", self.who().get().into()),
                ("at_ms", self.at_ms().into()),
            ],
            &["number", "label", "source", "edition"],
        )
        .map(StyleVersionId::new)
    }

    fn make_current(&self, style: StyleId, id: StyleVersionId) -> Result<(), StoreError> {
        let edits: i64 =
            self.prepared("SELECT version FROM style WHERE id = ?1")?.query_row([style.get()], |row| row.get(0))?;
        self.choose_style_version(style, edits, id)
    }
}

/// The key of a text that can be kept.
fn fit_to_keep<'a>(text: &BookText<'a>) -> Result<&'a str, StoreError> {
    style_key(text.key).map_err(StoreError::refused)?;
    if text.label.trim().is_empty() {
        return Err(StoreError::refused("A style needs a name. Write a label line."));
    }
    Ok(text.key)
}
