//! Orders: where does each one stand? Narrowed by stage, week and words.

use askama::Template;
use axum::extract::State;
use axum::http::StatusCode;
use axum::response::Response;
use chrono::{Datelike, Days, NaiveDate};

use crate::shop::{ClientId, Stage};
use crate::store::OrderFilter;

use super::fault::{Fault, render};
use super::fields::{Field, Fields, Notes};
use super::frame::{Frame, Here};
use super::leaf::{Leaf, ROWS};
use super::order_line::OrderLine;
use super::state::App;
use super::writing;

#[derive(Template)]
#[template(path = "orders.html")]
struct Page {
    frame: Frame,
    counted: String,
    words: String,
    stage: Field,
    stages: Vec<(String, String)>,
    week: Field,
    weeks: Vec<(String, String)>,
    nothing_asked: bool,
    orders: Vec<OrderLine>,
    earlier: Option<String>,
    later: Option<String>,
}

/// The list.
///
/// # Errors
/// A [`Fault`] when the book cannot be read.
pub async fn show(State(app): State<App>, fields: Fields) -> Result<Response, Fault> {
    app.read(move |book, desk| {
        let leaf = Leaf::asked(&fields);
        let found = book.orders(&filter(&fields, &leaf, desk.today))?;
        let orders: Vec<OrderLine> = found.rows.iter().map(|row| OrderLine::of(row, desk)).collect();
        let field = |name: &str| Field::sent(name, &fields, &Notes::default());
        let page = Page {
            frame: desk.frame("Orders", Here::Orders),
            counted: leaf.counted(orders.len(), found.more, "order", "orders"),
            words: fields.text("words").into(),
            stage: field("stage"),
            stages: stages(),
            week: field("week"),
            weeks: weeks(desk.today),
            nothing_asked: fields.text("words").is_empty()
                && fields.text("stage").is_empty()
                && fields.text("week").is_empty(),
            earlier: leaf.earlier("/orders", &fields),
            later: leaf.later("/orders", &fields, found.more),
            orders,
        };
        Ok(render(StatusCode::OK, &page))
    })
    .await
}

/// What is asked for, read without complaint: an address typed by hand finds what it can.
fn filter(fields: &Fields, leaf: &Leaf, today: NaiveDate) -> OrderFilter {
    let week = |text: &str| text.parse::<NaiveDate>().ok().map(monday);
    let from = week(fields.text("week"));
    let late = fields.text("week") == "late";
    OrderFilter {
        stage: Stage::from_key(fields.text("stage")),
        client: fields.text("client").parse().ok().map(ClientId::new),
        promised_from: from,
        promised_to: if late {
            today.pred_opt()
        } else {
            from.and_then(|monday| monday.checked_add_days(Days::new(6)))
        },
        words: fields.text("words").into(),
        open: late || fields.text("stage") == OPEN,
        limit: ROWS,
        offset: leaf.offset(),
    }
}

/// Everything of which something is still to be handed over.
const OPEN: &str = "open";

fn stages() -> Vec<(String, String)> {
    let mut stages = vec![(String::new(), "any".into()), (OPEN.into(), "still to hand over".into())];
    stages.extend(Stage::ALL.iter().map(|stage| (stage.key().to_string(), stage.words().to_string())));
    stages
}

fn weeks(today: NaiveDate) -> Vec<(String, String)> {
    /// As far as people promise: two months (judgement).
    const AHEAD: u64 = 9;
    let mut weeks = vec![(String::new(), "any day".to_string()), ("late".into(), "late".into())];
    for count in 0..AHEAD {
        let Some(start) = monday(today).checked_add_days(Days::new(7 * count)) else { break };
        let words = match count {
            0 => "this week".into(),
            1 => "next week".into(),
            _ => format!("week of {}", writing::short_day(start)),
        };
        weeks.push((start.to_string(), words));
    }
    weeks
}

fn monday(day: NaiveDate) -> NaiveDate {
    day.checked_sub_days(Days::new(u64::from(day.weekday().num_days_from_monday()))).unwrap_or(day)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_week_is_from_monday_to_sunday() {
        let fields = Fields::of(vec![("week".into(), "2026-05-07".into())]);
        let today = "2026-05-03".parse().unwrap();
        let filter = filter(&fields, &Leaf::asked(&fields), today);
        assert_eq!(filter.promised_from.unwrap().to_string(), "2026-05-04");
        assert_eq!(filter.promised_to.unwrap().to_string(), "2026-05-10");
        assert!(!filter.open);
    }
}
