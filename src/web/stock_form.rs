//! Writing down a cloth of the shop, and changing what is written.

use askama::Template;
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};

use crate::shop::{ClothId, StockFacts};
use crate::store::Sent;

use super::cloth_fields::{self, Reading};
use super::desk::Desk;
use super::fault::{Fault, render};
use super::fields::{Field, Fields, Notes};
use super::frame::{Frame, Here};
use super::garment_form::sold_by;
use super::path;
use super::state::App;

#[derive(Template)]
#[template(path = "stock_form.html")]
struct Page {
    frame: Frame,
    form: StockForm,
    action: String,
    back: String,
    version: i64,
}

/// The fields of a cloth, ready to show.
struct StockForm {
    name: Field,
    words: Field,
    width: Field,
    nap: Field,
    repeats: [Field; 2],
    shrinks: [Field; 2],
    turns_over: bool,
    price: Field,
    price_hint: String,
    shrink_hint: String,
    from_whom: Field,
    wrongs: usize,
}

impl StockForm {
    fn sent(fields: &Fields, notes: &Notes, desk: &Desk) -> StockForm {
        let field = |name: &str| Field::sent(name, fields, notes);
        StockForm {
            name: field("name"),
            words: field("words"),
            width: field("width"),
            nap: field("nap"),
            repeats: [field("repeat_along"), field("repeat_across")],
            shrinks: [field("shrink_along"), field("shrink_across")],
            turns_over: fields.filled("turns_over").is_some(),
            price: field("price"),
            price_hint: format!("For {}.", sold_by(desk).0.words()),
            shrink_hint: cloth_fields::shrink_hint(desk),
            from_whom: field("from_whom"),
            wrongs: notes.count(),
        }
    }

    fn naps(&self) -> Vec<(String, String)> {
        cloth_fields::naps()
    }
}

fn typed(facts: &StockFacts, desk: &Desk) -> Fields {
    let width = |length: Option<_>| length.map(|length| cloth_fields::shown_width(length, desk)).unwrap_or_default();
    let pairs = [
        ("name", facts.name.clone()),
        ("words", facts.words.clone()),
        ("width", width(facts.width)),
        ("nap", facts.nap.key().into()),
        ("repeat_along", width(facts.repeat_along)),
        ("repeat_across", width(facts.repeat_across)),
        ("shrink_along", cloth_fields::shown_percent(facts.shrink_along)),
        ("shrink_across", cloth_fields::shown_percent(facts.shrink_across)),
        ("turns_over", if facts.turns_over { "yes".into() } else { String::new() }),
        ("price", facts.price.map(|price| price.number()).unwrap_or_default()),
        ("from_whom", facts.from_whom.clone()),
    ];
    Fields::of(pairs.into_iter().map(|(name, text)| (name.to_string(), text)).collect())
}

fn read(fields: &Fields, before: &StockFacts, desk: &Desk) -> Result<StockFacts, Notes> {
    let mut notes = Notes::default();
    let name = notes.line(fields, "name");
    if name.is_empty() {
        notes.add("name", "Write what it is called on the shelf, such as “linen, undyed”.");
    }
    let mut form = Reading { fields, notes: &mut notes, desk };
    let price = form.price("price");
    let facts = StockFacts {
        name,
        words: form.notes.note(fields, "words"),
        width: form.width("width", before.width),
        nap: form.nap("nap"),
        repeat_along: form.repeat("repeat_along", before.repeat_along),
        repeat_across: form.repeat("repeat_across", before.repeat_across),
        shrink_along: form.percent("shrink_along"),
        shrink_across: form.percent("shrink_across"),
        turns_over: fields.filled("turns_over").is_some(),
        price,
        priced_by: if price.is_none() || price == before.price { before.priced_by } else { sold_by(desk).0 },
        from_whom: form.notes.line(fields, "from_whom"),
    };
    if notes.is_empty() { Ok(facts) } else { Err(notes) }
}

/// The empty form.
///
/// # Errors
/// A [`Fault`] when the book cannot be read.
pub async fn new(State(app): State<App>) -> Result<Response, Fault> {
    let desk = app.desk().await?;
    Ok(page(StatusCode::OK, &desk, None, &Fields::default(), &Notes::default()))
}

/// Takes a new cloth into the book.
///
/// # Errors
/// A [`Fault`] when it cannot be kept.
pub async fn add(State(app): State<App>, fields: Fields) -> Result<Response, Fault> {
    let desk = app.desk().await?;
    match read(&fields, &StockFacts::named(""), &desk) {
        Err(notes) => Ok(page(StatusCode::UNPROCESSABLE_ENTITY, &desk, None, &fields, &notes)),
        Ok(facts) => {
            let form = fields.text("form");
            let id = match app.write_once("wrote down a cloth", form, move |book, _| book.add_cloth(&facts)).await? {
                Sent::Done(id) => id.get(),
                Sent::Before(action) => path::written(&action, "cloth")?,
            };
            Ok(Redirect::to(&format!("/cloth/{id}")).into_response())
        }
    }
}

/// The form with what is written.
///
/// # Errors
/// [`Fault::NotFound`] without such a cloth.
pub async fn show(State(app): State<App>, Path(id): Path<String>) -> Result<Response, Fault> {
    let id = path::cloth(&id)?;
    let (desk, cloth) = app.read(move |book, desk| Ok((desk.clone(), book.cloth(id)?))).await?;
    let fields = typed(&cloth.facts, &desk);
    Ok(page(StatusCode::OK, &desk, Some((id, cloth.version)), &fields, &Notes::default()))
}

/// Changes what is written.
///
/// # Errors
/// A [`Fault`] when it cannot be kept: somebody else changed it in the meantime.
pub async fn change(State(app): State<App>, Path(id): Path<String>, fields: Fields) -> Result<Response, Fault> {
    let id = path::cloth(&id)?;
    let version = path::version(&fields)?;
    let (desk, cloth) = app.read(move |book, desk| Ok((desk.clone(), book.cloth(id)?))).await?;
    match read(&fields, &cloth.facts, &desk) {
        Err(notes) => Ok(page(StatusCode::UNPROCESSABLE_ENTITY, &desk, Some((id, version)), &fields, &notes)),
        Ok(facts) => {
            app.write("changed a cloth", move |book, _| book.change_cloth(id, version, &facts)).await?;
            Ok(Redirect::to(&format!("/cloth/{id}")).into_response())
        }
    }
}

fn page(status: StatusCode, desk: &Desk, known: Option<(ClothId, i64)>, fields: &Fields, notes: &Notes) -> Response {
    let (title, action, back) = match known {
        None => ("New cloth", "/cloth/new".to_string(), "/cloth".to_string()),
        Some((id, _)) => ("Change cloth", format!("/cloth/{id}/edit"), format!("/cloth/{id}")),
    };
    let form = StockForm::sent(fields, notes, desk);
    let version = known.map_or(0, |(_, version)| version);
    render(status, &Page { frame: desk.frame(title, Here::Cloth), form, action, back, version })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::measure::Length;
    use crate::shop::{Currency, Money, Nap, Settings};

    #[test]
    fn what_was_kept_reads_back_from_its_form() {
        let desk = Desk::at(Settings::before_first_run(Currency::new("GHS").unwrap()), 1_777_800_000_000);
        let facts = StockFacts {
            words: "linen, the face is the smoother side".into(),
            // No whole eighth of what the form shows.
            width: Some(Length::tenths_of_mm(13_721)),
            nap: Nap::One,
            repeat_along: Some(Length::inches(12, 4)),
            shrink_along: Some(45),
            turns_over: true,
            price: Some(Money::new(9050, desk.settings.currency)),
            from_whom: "the stall by the station".into(),
            ..StockFacts::named("linen, sea green")
        };
        assert_eq!(read(&typed(&facts, &desk), &facts, &desk), Ok(facts));
        let wrong = Fields::of(
            [("width", "wide"), ("nap", "up"), ("repeat_along", "9 ft"), ("shrink_across", "-1"), ("price", "dear")]
                .map(|(name, text)| (name.to_string(), text.to_string()))
                .into(),
        );
        let notes = read(&wrong, &StockFacts::named(""), &desk).unwrap_err();
        for field in ["name", "width", "nap", "repeat_along", "shrink_across", "price"] {
            assert!(notes.at(field).is_some(), "{field}");
        }
    }
}
