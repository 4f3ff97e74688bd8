//! What a new book holds before anybody writes in it: the owner, and settings
//! that wait for the questions of the first run. Written in the transaction of
//! migration 1, so there is no book without them.

use rusqlite::{Transaction, params};

use crate::measure::Length;
use crate::shop::{Currency, PersonId, Settings};

use super::cells::unreadable;
use super::settings::step_key;

/// The owner's row, there from the first start.
pub const OWNER: PersonId = PersonId::new(1);

/// The currency of a shop that was not asked yet.
const FIRST_CURRENCY: &str = "EUR";

/// Writes the owner, the settings and the allowances.
pub(super) fn seed(tx: &Transaction) -> rusqlite::Result<()> {
    tx.execute("INSERT INTO person (id, name, owner) VALUES (?1, 'Owner', 1)", [OWNER.get()])?;
    let currency = Currency::new(FIRST_CURRENCY).map_err(|_| unreadable("currency", FIRST_CURRENCY))?;
    let first = Settings::before_first_run(currency);
    let [monday, tuesday, wednesday, thursday, friday, saturday, sunday] = first.minutes;
    tx.execute(
        "INSERT INTO settings (id, opened, shop_name, step, currency, zone, monday, tuesday, wednesday, thursday, friday,
             saturday, sunday, hour_rate, deposit_percent, promise_percent, squaring_nm, selvedge_nm, selling_step,
             shrink_thousandths, sheet, base_url, shop_uid)
         VALUES (1, 0, ?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12, ?13, ?14, ?15, ?16, ?17, ?18, ?19, ?20,
             lower(hex(randomblob(16))))",
        params![
            first.shop_name,
            step_key(first.showing),
            first.currency.code(),
            first.zone,
            monday,
            tuesday,
            wednesday,
            thursday,
            friday,
            saturday,
            sunday,
            first.hour_rate.minor(),
            first.deposit_percent,
            first.promise_percent,
            first.squaring.nm(),
            first.selvedge.nm(),
            first.selling_step.key(),
            first.shrink_thousandths,
            first.sheet.key(),
            first.base_url,
        ],
    )?;
    let mut allowance = tx.prepare("INSERT INTO allowance (owner, key, value) VALUES (1, ?1, ?2)")?;
    for (name, length) in &first.allowances {
        allowance.execute(params![name, Length::nm(*length)])?;
    }
    Ok(())
}
