//! An order as lists show it: who, what, the tape of each garment, when, what is due.

use crate::shop::Standing;
use crate::store::OrderRow;

use super::desk::Desk;
use super::stages;
use super::tape::Tape;
use super::writing;

/// One line of a list.
pub struct OrderLine {
    /// The number.
    pub number: String,
    /// Who pays.
    pub client: String,
    /// What is made.
    pub what: String,
    /// How far each garment is.
    pub tapes: Vec<Tape>,
    /// When it was promised, or how it stands.
    pub promised: String,
    /// Whether the promise is past.
    pub late: bool,
    /// What is still to pay.
    pub balance: String,
}

/// More garments than these are counted, not drawn.
const MOST_TAPES: usize = 3;

impl OrderLine {
    /// The line of this order.
    #[must_use]
    pub fn of(row: &OrderRow, desk: &Desk) -> OrderLine {
        let alive: Vec<_> = row.garments.iter().filter(|garment| !garment.cancelled).collect();
        let is_done = alive.iter().all(|garment| garment.stage == crate::shop::Stage::Collected);
        let is_open = row.order.standing == Standing::Open && !is_done;
        let late = is_open && row.order.facts.promised.is_some_and(|day| day < desk.today);
        let mut what = alive.iter().map(|garment| garment.what.as_str()).collect::<Vec<_>>().join(", ");
        if let Some(more) = alive.len().checked_sub(MOST_TAPES).filter(|more| *more > 0) {
            what = format!("{} garments ({more} not drawn): {what}", alive.len());
        }
        let balance = row.account.balance();
        OrderLine {
            number: row.order.number.to_string(),
            client: row.client_name.clone(),
            what,
            tapes: alive
                .iter()
                .take(MOST_TAPES)
                .map(|garment| stages::tape(garment.stage, garment.fittings, &[], desk).strip())
                .collect(),
            promised: match (row.order.standing, row.order.facts.promised) {
                (Standing::Cancelled | Standing::OnHold, _) => row.order.standing.words().into(),
                (Standing::Open, _) if is_done && !alive.is_empty() => "collected".into(),
                (Standing::Open, None) => "no day promised".into(),
                (Standing::Open, Some(day)) if late => format!("{}, late", desk.day(day)),
                (Standing::Open, Some(day)) => format!("{}, {}", desk.day(day), writing::distance(day, desk.today)),
            },
            late,
            balance: if balance.minor() > 0 && row.order.standing != Standing::Cancelled {
                format!("{} due", desk.money(balance))
            } else {
                String::new()
            },
        }
    }
}
