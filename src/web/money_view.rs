//! Money on the order's page: what it comes to, what was paid, what may be taken next.

use crate::shop::{ChargeKind, Payment, PaymentKind, Standing};
use crate::store::OrderPage;

use super::desk::Desk;
use super::fields::{Field, Fields, Notes};
use super::order::Returned;

/// The account, ready to show.
pub struct MoneyView {
    /// What it comes to: words and amount.
    pub lines: Vec<(String, String)>,
    /// All of it.
    pub due: String,
    /// What was paid.
    pub payments: Vec<PaymentLine>,
    /// What is left.
    pub balance: String,
    /// The forms, unless the order was called off.
    pub payment: Option<PaymentForm>,
}

/// One payment.
pub struct PaymentLine {
    /// Kind, day, method.
    pub words: String,
    /// How much.
    pub amount: String,
    /// Whether it was declared void.
    pub voided: bool,
    /// Its id, when it may still be declared void.
    pub can_void: Option<i64>,
}

/// The forms below the account.
pub struct PaymentForm {
    /// What is asked for now.
    pub heading: &'static str,
    /// How many fields need another look.
    pub wrongs: usize,
    /// How much.
    pub amount: Field,
    /// What for.
    pub kind: Field,
    /// The kinds.
    pub kinds: Vec<(String, String)>,
    /// How it was paid.
    pub method: Field,
    /// How many fields of the second form need another look.
    pub charge_wrongs: usize,
    /// What is charged.
    pub charge_words: Field,
    /// How much.
    pub charge_amount: Field,
    /// Extra, discount, tax.
    pub charge_kind: Field,
    /// The kinds.
    pub charge_kinds: Vec<(String, String)>,
}

impl MoneyView {
    /// The account of an order.
    #[must_use]
    pub fn of(whole: &OrderPage, desk: &Desk, sent: Option<&Returned>) -> MoneyView {
        let mut lines: Vec<(String, String)> = whole
            .garments
            .iter()
            .filter(|page| !page.garment.cancelled)
            .map(|page| {
                let garment = &page.garment;
                let amount = garment.facts.price.map_or_else(|| "no price yet".into(), |price| desk.money(price));
                (format!("{} · {}", garment.letter, garment.facts.what), amount)
            })
            .collect();
        lines.extend(whole.charges.iter().map(|charge| {
            let sign = if charge.facts.kind == ChargeKind::Discount { "−" } else { "" };
            (
                format!("{} ({})", charge.facts.words, charge.facts.kind.words()),
                format!("{sign}{}", desk.money(charge.facts.money)),
            )
        }));
        MoneyView {
            lines,
            due: desk.money(whole.account.due),
            payments: whole
                .payments
                .iter()
                .filter(|payment| payment.voids.is_none())
                .map(|payment| line(payment, desk))
                .collect(),
            balance: desk.money(whole.account.balance()),
            payment: (whole.order.standing != Standing::Cancelled || whole.account.paid.minor() > 0)
                .then(|| form(whole, desk, sent)),
        }
    }
}

fn line(payment: &Payment, desk: &Desk) -> PaymentLine {
    let facts = &payment.facts;
    let method = if facts.method.is_empty() { String::new() } else { format!(", {}", facts.method) };
    let sign = if facts.kind == PaymentKind::Refund { "" } else { "−" };
    PaymentLine {
        words: format!("{}, {}{method}", capital(facts.kind.words()), desk.day(facts.day)),
        amount: format!("{sign}{}", desk.money(facts.money)),
        voided: payment.voided_by.is_some(),
        can_void: payment.voided_by.is_none().then(|| payment.id.get()),
    }
}

fn form(whole: &OrderPage, desk: &Desk, sent: Option<&Returned>) -> PaymentForm {
    let none = (Fields::default(), Notes::default());
    let of = |form: &str| {
        sent.filter(|sent| sent.form == form).map_or((&none.0, &none.1), |sent| (&sent.fields, &sent.notes))
    };
    let (asked, amount) = asked(whole, desk);
    let (fields, notes) = of("payment");
    let held = |name: &str, own: &str| {
        let mut field = Field::sent(name, fields, notes);
        if fields.starting(name).next().is_none() {
            field.value = own.into();
        }
        field
    };
    let (charged, charge_notes) = of("charge");
    PaymentForm {
        heading: match asked {
            PaymentKind::Deposit => "Take the deposit",
            PaymentKind::Refund => "Give back what is too much",
            _ => "Take the balance",
        },
        wrongs: notes.count(),
        amount: held("amount", &amount),
        kind: held("kind", asked.key()),
        kinds: PaymentKind::ALL
            .iter()
            .filter(|kind| **kind != PaymentKind::Void)
            .map(|kind| (kind.key().into(), kind.words().into()))
            .collect(),
        method: held("method", ""),
        charge_wrongs: charge_notes.count(),
        charge_words: Field::sent("charge_words", charged, charge_notes),
        charge_amount: Field::sent("charge_amount", charged, charge_notes),
        charge_kind: Field::sent("charge_kind", charged, charge_notes),
        charge_kinds: ChargeKind::ALL.iter().map(|kind| (kind.key().into(), kind.words().into())).collect(),
    }
}

/// What is asked for now, and how much: the deposit first, then the balance.
fn asked(whole: &OrderPage, desk: &Desk) -> (PaymentKind, String) {
    let balance = whole.account.balance();
    if balance.minor() < 0 {
        return (PaymentKind::Refund, balance.number().trim_start_matches('-').into());
    }
    if whole.account.paid.minor() > 0 || whole.account.due.minor() == 0 {
        let amount = if balance.minor() > 0 { balance.number() } else { String::new() };
        return (PaymentKind::Balance, amount);
    }
    let share = whole.account.due.share(i64::from(desk.settings.deposit_percent), 100);
    (PaymentKind::Deposit, share.map(|share| share.number()).unwrap_or_default())
}

fn capital(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}
