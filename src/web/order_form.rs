//! Writing down an order: the day promised, for what, and the deposit.

use chrono::NaiveDate;

use crate::shop::{ClientId, Money, OrderFacts, PaymentFacts, PaymentKind, read_money};

use super::desk::Desk;
use super::fields::{Field, Fields, Notes};

/// The fields of an order, ready to show.
pub struct OrderForm {
    /// The day promised.
    pub promised: Field,
    /// Which day can be promised.
    pub promise_hint: String,
    /// For what.
    pub event: Field,
    /// The day of the event.
    pub event_day: Field,
    /// Anything else.
    pub note: Field,
    /// The deposit taken.
    pub deposit: Field,
    /// How it was paid.
    pub method: Field,
}

impl OrderForm {
    /// The form with the earliest day that makes nobody late.
    #[must_use]
    pub fn hinting(self, day: Option<NaiveDate>, desk: &Desk) -> OrderForm {
        let promise_hint = day
            .map(|day| format!("From {} on nobody else is made late, if the cloth is here.", desk.day(day)))
            .unwrap_or_default();
        OrderForm { promise_hint, ..self }
    }

    /// The form as sent.
    #[must_use]
    pub fn sent(fields: &Fields, notes: &Notes) -> OrderForm {
        let field = |name: &str| Field::sent(name, fields, notes);
        OrderForm {
            promised: field("promised"),
            promise_hint: String::new(),
            event: field("event"),
            event_day: field("event_day"),
            note: field("order_note"),
            deposit: field("deposit"),
            method: field("method"),
        }
    }
}

/// The fields of an order as kept.
#[must_use]
pub fn typed(facts: &OrderFacts) -> Fields {
    let day = |day: Option<NaiveDate>| day.map(|day| day.to_string()).unwrap_or_default();
    Fields::of(
        [
            ("promised", day(facts.promised)),
            ("event", facts.event.clone()),
            ("event_day", day(facts.event_day)),
            ("order_note", facts.note.clone()),
        ]
        .map(|(name, text)| (name.to_string(), text))
        .into(),
    )
}

/// Reads an order of this client. A promise may stand in the past only where it stood before.
pub fn read(
    fields: &Fields,
    notes: &mut Notes,
    client: ClientId,
    before: Option<&OrderFacts>,
    desk: &Desk,
) -> OrderFacts {
    let taken = before.map_or(desk.today, |facts| facts.taken);
    let kept = before.and_then(|facts| facts.promised);
    let promised = day(fields, "promised", notes);
    if let Some(past) = promised.filter(|day| *day < desk.today && kept != Some(*day)) {
        notes.add(
            "promised",
            format!("{} is past; today is {}. Promise a day from today on.", desk.day(past), desk.day(desk.today)),
        );
    }
    let event_day = day(fields, "event_day", notes);
    if let (Some(event), Some(promise)) = (event_day, promised)
        && event < promise
    {
        notes.add(
            "promised",
            format!("The event is on {}, before this day. Promise {} or earlier.", desk.day(event), desk.day(event)),
        );
    }
    OrderFacts {
        client,
        taken,
        promised,
        event: notes.line(fields, "event"),
        event_day,
        note: notes.note(fields, "order_note"),
    }
}

/// Reads the deposit that is taken with the order; `None` when none is.
pub fn deposit(fields: &Fields, notes: &mut Notes, price: Option<Money>, desk: &Desk) -> Option<PaymentFacts> {
    let money =
        fields.filled("deposit").and_then(|text| notes.take("deposit", read_money(text, desk.settings.currency)))?;
    if money.minor() == 0 {
        return None;
    }
    if let Some(price) = price.filter(|price| money.minor() > price.minor()) {
        notes.add(
            "deposit",
            format!("A deposit of {} is more than the price of {}. Check both.", desk.money(money), desk.money(price)),
        );
    }
    let method = notes.line(fields, "method");
    Some(PaymentFacts { kind: PaymentKind::Deposit, money, day: desk.today, method, note: String::new() })
}

/// Reads a day that may be left open.
pub fn day(fields: &Fields, name: &str, notes: &mut Notes) -> Option<NaiveDate> {
    let text = fields.filled(name)?;
    let day = text.parse::<NaiveDate>().ok();
    if day.is_none() {
        notes.add(name, format!("“{text}” is no day. Write it as 2026-05-03."));
    }
    day
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::shop::{Currency, Settings};

    fn desk() -> Desk {
        // 2026-05-03
        Desk::at(Settings::before_first_run(Currency::new("GHS").unwrap()), 1_777_800_000_000)
    }

    fn noted(pairs: &[(&str, &str)], before: Option<&OrderFacts>) -> Notes {
        let fields = Fields::of(pairs.iter().map(|(name, text)| ((*name).into(), (*text).into())).collect());
        let mut notes = Notes::default();
        read(&fields, &mut notes, ClientId::new(1), before, &desk());
        deposit(&fields, &mut notes, Some(Money::new(10_000, desk().settings.currency)), &desk());
        notes
    }

    #[test]
    fn a_promise_in_the_past_is_refused_unless_it_stood_there() {
        assert!(noted(&[("promised", "2026-05-02")], None).at("promised").unwrap().contains("today"));
        assert!(noted(&[("promised", "2026-05-03")], None).is_empty());
        let mut before = read(&Fields::default(), &mut Notes::default(), ClientId::new(1), None, &desk());
        before.promised = "2026-05-02".parse().ok();
        assert!(noted(&[("promised", "2026-05-02")], Some(&before)).is_empty());
        assert!(noted(&[("promised", "soon")], None).at("promised").unwrap().contains("soon"));
    }

    #[test]
    fn a_promise_after_the_wedding_and_too_large_a_deposit_are_noted() {
        assert!(noted(&[("promised", "2026-06-02"), ("event_day", "2026-06-01")], None).at("promised").is_some());
        assert!(noted(&[("deposit", "101")], None).at("deposit").is_some());
        assert!(noted(&[("deposit", "100")], None).is_empty());
        assert!(noted(&[("deposit", "")], None).is_empty());
    }
}
