//! What was done to the book: one action for each act of a person, with what it changed.

use crate::measure::{Length, Showing};

use super::{ActionId, Currency, FittingState, Money, PersonId, Stage, Standing};

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

/// One change of one row, with cells as they are kept.
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

/// Fields whose words are not their key with blanks.
const WORDS: [(&str, &str); 17] = [
    ("minor", "price"),
    ("cloth_minor", "cloth price"),
    ("style_version_id", "style version"),
    ("set_id", "measures"),
    ("wearer_id", "wearer"),
    ("client_id", "client"),
    ("garment_id", "garment"),
    ("current_id", "version for new orders"),
    ("what", "garment"),
    ("event", "for"),
    ("event_day", "day of the event"),
    ("promised", "promised for"),
    ("standing_reason", "reason"),
    ("bag", "bag number"),
    ("left_work", "left"),
    ("step", "shown to the"),
    ("zone", "time zone"),
];

/// Fields that are yes or no.
const YES_OR_NO: [&str; 9] = [
    "cancelled",
    "cloth_brought",
    "cloth_washed",
    "cloth_one_way",
    "phone_shared",
    "left_work",
    "retired",
    "opened",
    "owner",
];

impl Change {
    /// The edit of one field as a person says it: `price: 90.00 EUR → 95.00 EUR`,
    /// `cloth width: 44 in → 45 in`, `measures: another`. `None` when the row is new:
    /// the action's own words say that.
    #[must_use]
    pub fn told(&self, showing: Showing, currency: Currency) -> Option<String> {
        let Some(field) = self.field.as_deref() else {
            return self.after.is_none().then(|| format!("took away {}", self.before.as_deref().unwrap_or_default()));
        };
        let (table, key) = field.split_once('.').unwrap_or(("", field));
        if table == "garment_correction" {
            let applied = |cell: &Option<String>| match cell.as_deref() {
                None => "–",
                Some("0") => "left out",
                Some(_) => "applied",
            };
            return Some(format!("a standing correction: {} → {}", applied(&self.before), applied(&self.after)));
        }
        let words = name(key);
        // The ids of rows say nothing to a person.
        if key.ends_with("_id") && table.is_empty() {
            return Some(format!("{words}: {}", if self.after.is_some() { "another" } else { "none" }));
        }
        let tell = |cell: &Option<String>| match cell.as_deref() {
            None | Some("") => "–".to_string(),
            Some(cell) => value(table, key, cell, showing, currency),
        };
        Some(format!("{words}: {} → {}", tell(&self.before), tell(&self.after)))
    }
}

/// What a field is called.
fn name(key: &str) -> String {
    match WORDS.iter().find(|(field, _)| *field == key) {
        Some((_, words)) => (*words).into(),
        None => key.trim_end_matches("_nm").replace('_', " "),
    }
}

/// A cell as a person writes it.
fn value(table: &str, key: &str, cell: &str, showing: Showing, currency: Currency) -> String {
    let number = cell.parse::<i64>().ok();
    let is_length = key.ends_with("_nm") || matches!(table, "garment_finished" | "garment_allowance" | "allowance");
    let keyed = match key {
        "stage" => Stage::from_key(cell).map(Stage::words),
        "standing" => Standing::from_key(cell).map(Standing::words),
        "state" => FittingState::from_key(cell).map(FittingState::words),
        _ if YES_OR_NO.contains(&key) => Some(if cell == "0" { "no" } else { "yes" }),
        _ => None,
    };
    match (keyed, number) {
        (Some(words), _) => words.into(),
        (None, Some(nm)) if is_length => showing.with_unit(Length::from_nm(nm)),
        (None, Some(minor)) if key.ends_with("minor") || key == "hour_rate" => Money::new(minor, currency).to_string(),
        _ => cell.into(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn told(field: &str, before: Option<&str>, after: Option<&str>) -> String {
        let change = Change {
            noun: "garment".into(),
            row: 1,
            field: Some(field.into()),
            before: before.map(Into::into),
            after: after.map(Into::into),
        };
        change.told(Showing::EIGHTHS, Currency::new("EUR").unwrap()).unwrap()
    }

    #[test]
    fn an_edit_is_told_as_a_person_says_it() {
        assert_eq!(told("minor", Some("9000"), Some("9500")), "price: 90.00 EUR → 95.00 EUR");
        assert_eq!(told("cloth_width_nm", None, Some("1117600000")), "cloth width: – → 44 in");
        assert_eq!(told("garment_finished.waist_to_hem", Some("635000000"), None), "waist to hem: 25 in → –");
        assert_eq!(told("garment_choice.fullness", Some("2"), Some("3")), "fullness: 2 → 3");
        assert_eq!(told("garment_correction.7", None, Some("1")), "a standing correction: – → applied");
        assert_eq!(told("garment_correction.7", Some("1"), Some("0")), "a standing correction: applied → left out");
        assert_eq!(told("stage", Some("cloth_in"), Some("cut")), "stage: cloth in → cut");
        assert_eq!(told("cloth_washed", Some("0"), Some("1")), "cloth washed: no → yes");
        assert_eq!(told("set_id", Some("4"), Some("9")), "measures: another");
        assert_eq!(told("promised", Some("2026-11-28"), Some("2026-12-05")), "promised for: 2026-11-28 → 2026-12-05");
    }

    #[test]
    fn a_new_row_is_told_by_the_action_and_a_lost_one_by_what_it_said() {
        let mut change = Change { noun: "charge".into(), row: 1, field: None, before: None, after: Some("x".into()) };
        let told = |change: &Change| change.told(Showing::EIGHTHS, Currency::new("EUR").unwrap());
        assert_eq!(told(&change), None);
        change.after = None;
        change.before = Some("extra: lining (12.00 EUR)".into());
        assert_eq!(told(&change).unwrap(), "took away extra: lining (12.00 EUR)");
    }
}
