//! A table of a style's text with places, so that every slip can be pointed at.

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use super::super::fault::{Fault, Span, did_you_mean};
use super::super::formula::{Expr, Told, parse, parse_text};

/// So many keys a table may have, and so many `[[…]]` of one name: several times the
/// longest of the book (205 points); a slip of a program that writes styles has more.
const MOST_ENTRIES: usize = 1_000;

fn held(name: &str, count: usize, at: Span) -> Result<(), Fault> {
    if count <= MOST_ENTRIES {
        return Ok(());
    }
    Err(Fault::new(at, format!("{name} has {count} entries; at most {MOST_ENTRIES} are read. Leave some out.")))
}

/// A table with the keys in the order in which they were typed.
pub(super) struct Table<'t, 'v> {
    text: &'t str,
    name: String,
    at: Span,
    entries: Vec<(&'v str, Span, &'v Spanned<DeValue<'v>>)>,
}

fn span(range: std::ops::Range<usize>) -> Span {
    Span { start: range.start, end: range.end }
}

impl<'t, 'v> Table<'t, 'v> {
    pub fn new(text: &'t str, name: &str, at: Span, table: &'v DeTable<'v>) -> Table<'t, 'v> {
        let mut entries: Vec<_> =
            table.iter().map(|(key, value)| (key.get_ref().as_ref(), span(key.span()), value)).collect();
        entries.sort_by_key(|(_, at, _)| at.start);
        Table { text, name: name.into(), at, entries }
    }

    pub fn at(&self) -> Span {
        self.at
    }

    pub fn entries(&self) -> impl Iterator<Item = (&'v str, Span)> + '_ {
        self.entries.iter().map(|(key, at, _)| (*key, *at))
    }

    /// Refuses keys that are not among `known`, naming the nearest.
    pub fn only(&self, known: &[&str]) -> Result<(), Fault> {
        for (key, at, _) in &self.entries {
            if !known.contains(key) {
                let hint = did_you_mean(key, known.iter().copied());
                return Err(Fault::new(*at, format!("“{key}” is not known in {}.{hint}", self.name)));
            }
        }
        Ok(())
    }

    fn value(&self, key: &str) -> Option<&'v Spanned<DeValue<'v>>> {
        self.entries.iter().find(|(k, _, _)| *k == key).map(|(_, _, value)| *value)
    }

    pub fn has(&self, key: &str) -> bool {
        self.value(key).is_some()
    }

    /// A fault for something that is missing from this table.
    pub fn missing(&self, key: &str, example: &str) -> Fault {
        Fault::new(self.at, format!("{} has no “{key}”. Write it, such as {example}.", self.name))
    }

    fn wrong(&self, key: &str, value: &Spanned<DeValue<'_>>, wanted: &str) -> Fault {
        Fault::new(
            span(value.span()),
            format!("“{key}” in {} is {}, where {wanted} is wanted.", self.name, value.get_ref().type_str()),
        )
    }

    /// A string and the byte at which its content starts in the text.
    pub fn text(&self, key: &str) -> Result<Option<(&'v str, usize)>, Fault> {
        let Some(value) = self.value(key) else { return Ok(None) };
        match value.get_ref().as_str() {
            Some(content) => Ok(Some((content, self.content_start(value.span().start)))),
            None => Err(self.wrong(key, value, "text in quotes")),
        }
    }

    /// Past the opening quotes (and the line end after three of them).
    fn content_start(&self, start: usize) -> usize {
        let rest = self.text.get(start..).unwrap_or("");
        for quotes in ["'''\r\n", "'''\n", "'''", "\"\"\"\r\n", "\"\"\"\n", "\"\"\"", "'", "\""] {
            if rest.starts_with(quotes) {
                return start + quotes.len();
            }
        }
        start
    }

    pub fn words(&self, key: &str) -> Result<Option<String>, Fault> {
        Ok(self.text(key)?.map(|(text, _)| text.to_string()))
    }

    pub fn span_of(&self, key: &str) -> Span {
        self.value(key).map_or(self.at, |value| span(value.span()))
    }

    /// A formula in quotes, or a bare number.
    pub fn formula(&self, key: &str) -> Result<Option<Expr>, Fault> {
        if let Some(value) = self.value(key)
            && (value.get_ref().is_integer() || value.get_ref().is_float())
        {
            let range = value.span();
            return parse(self.text.get(range.clone()).unwrap_or(""), range.start).map(Some);
        }
        self.text(key)?.map(|(text, at)| parse(text, at)).transpose()
    }

    pub fn told(&self, key: &str) -> Result<Option<Told>, Fault> {
        self.text(key)?.map(|(text, at)| parse_text(text, at)).transpose()
    }

    pub fn yes(&self, key: &str) -> Result<bool, Fault> {
        let Some(value) = self.value(key) else { return Ok(false) };
        value.get_ref().as_bool().ok_or_else(|| self.wrong(key, value, "true or false"))
    }

    pub fn whole(&self, key: &str) -> Result<Option<u32>, Fault> {
        let Some(value) = self.value(key) else { return Ok(None) };
        value
            .get_ref()
            .as_integer()
            .and_then(|number| number.as_str().parse().ok())
            .map(Some)
            .ok_or_else(|| self.wrong(key, value, "a whole number"))
    }

    pub fn list(&self, key: &str) -> Result<Vec<(&'v str, Span)>, Fault> {
        let Some(value) = self.value(key) else { return Ok(Vec::new()) };
        let wanted = || self.wrong(key, value, "a list of texts");
        let array = value.get_ref().as_array().ok_or_else(wanted)?;
        array.iter().map(|item| Ok((item.get_ref().as_str().ok_or_else(wanted)?, span(item.span())))).collect()
    }

    pub fn table(&self, key: &str) -> Result<Option<Table<'t, 'v>>, Fault> {
        let Some(value) = self.value(key) else { return Ok(None) };
        match value.get_ref().as_table() {
            Some(table) => {
                let name = format!("[{}]", self.path(key));
                held(&name, table.len(), span(value.span()))?;
                Ok(Some(Table::new(self.text, &name, span(value.span()), table)))
            }
            None => Err(self.wrong(key, value, "a table")),
        }
    }

    /// The tables of `[[key]]`.
    pub fn tables(&self, key: &str) -> Result<Vec<Table<'t, 'v>>, Fault> {
        let Some(value) = self.value(key) else { return Ok(Vec::new()) };
        let wanted = || self.wrong(key, value, "a list of tables, each headed by [[…]],");
        let array = value.get_ref().as_array().ok_or_else(wanted)?;
        held(&format!("[[{key}]]"), array.len(), span(value.span()))?;
        array
            .iter()
            .map(|item| {
                let table = item.get_ref().as_table().ok_or_else(wanted)?;
                Ok(Table::new(self.text, &format!("[[{key}]]"), span(item.span()), table))
            })
            .collect()
    }

    fn path(&self, key: &str) -> String {
        match self.name.strip_prefix('[').and_then(|n| n.strip_suffix(']')) {
            Some(name) => format!("{name}.{key}"),
            None => key.into(),
        }
    }
}
