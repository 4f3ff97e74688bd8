//! Quotes: what was told to a client.

use rusqlite::Row;

use crate::shop::{GarmentId, PersonId, Quote, QuoteFacts, QuoteId, WorkMinutes};

use super::cells::{Cells, maybe_length_cell};
use super::edit::Table;
use super::{Reader, StoreError, Writer};

const TABLE: Table = Table::of("quote");

fn quote(row: &Row) -> rusqlite::Result<Quote> {
    Ok(Quote {
        id: QuoteId::new(row.get("id")?),
        who: PersonId::new(row.get("who")?),
        at_ms: row.get("at_ms")?,
        facts: QuoteFacts {
            garment: GarmentId::new(row.get("garment_id")?),
            price: row.money("minor", "currency")?,
            cloth: row.maybe_length("cloth_nm")?,
            width: row.maybe_length("width_nm")?,
            minutes: WorkMinutes {
                cut: row.get("cut_minutes")?,
                sew: row.get("sew_minutes")?,
                fit: row.get("fit_minutes")?,
                finish: row.get("finish_minutes")?,
            },
            words: row.get("words")?,
        },
    })
}

impl Reader<'_> {
    /// The quotes of a garment, oldest first.
    ///
    /// # Errors
    /// [`StoreError`] of the reading.
    pub fn quotes_of(&self, garment: GarmentId) -> Result<Vec<Quote>, StoreError> {
        Ok(self
            .prepared("SELECT * FROM quote WHERE garment_id = ?1 ORDER BY id")?
            .query_map([garment.get()], quote)?
            .collect::<Result<_, _>>()?)
    }
}

impl Writer<'_> {
    /// Keeps what was told. It changes neither the garment's price nor an older quote.
    ///
    /// # Errors
    /// [`StoreError::Missing`] garment; [`StoreError::Refused`] for another currency.
    pub fn add_quote(&self, facts: &QuoteFacts) -> Result<QuoteId, StoreError> {
        let garment = self.garment(facts.garment)?;
        self.is_in(facts.price, self.settings()?.currency)?;
        self.insert(
            TABLE,
            Some(garment.order),
            &[
                ("garment_id", facts.garment.get().into()),
                ("minor", facts.price.minor().into()),
                ("currency", facts.price.currency().code().to_string().into()),
                ("cloth_nm", maybe_length_cell(facts.cloth)),
                ("width_nm", maybe_length_cell(facts.width)),
                ("cut_minutes", facts.minutes.cut.into()),
                ("sew_minutes", facts.minutes.sew.into()),
                ("fit_minutes", facts.minutes.fit.into()),
                ("finish_minutes", facts.minutes.finish.into()),
                ("words", facts.words.clone().into()),
                ("who", self.who().get().into()),
                ("at_ms", self.at_ms().into()),
            ],
        )
        .map(QuoteId::new)
    }
}
