//! Shop: the settings.

use askama::Template;
use axum::extract::State;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};

use super::desk::Desk;
use super::fault::{Fault, render};
use super::fields::{Fields, Notes};
use super::frame::{Frame, Here};
use super::path;
use super::shop_form::{self, ShopForm};
use super::state::App;

#[derive(Template)]
#[template(path = "shop.html")]
struct Page {
    frame: Frame,
    version: i64,
    kept: bool,
    form: ShopForm,
}

/// The settings.
///
/// # Errors
/// A [`Fault`] when the book cannot be read.
pub async fn show(State(app): State<App>, query: Fields) -> Result<Response, Fault> {
    let desk = app.desk().await?;
    let kept = query.filled("kept").is_some();
    Ok(page(StatusCode::OK, &desk, desk.settings.version, &shop_form::typed(&desk.settings), &Notes::default(), kept))
}

/// Keeps the settings.
///
/// # Errors
/// A [`Fault`] when they cannot be kept: somebody else changed them in the meantime.
pub async fn keep(State(app): State<App>, fields: Fields) -> Result<Response, Fault> {
    let desk = app.desk().await?;
    let version = path::version(&fields)?;
    match shop_form::read(&fields, &desk.settings) {
        Err(notes) => Ok(page(StatusCode::UNPROCESSABLE_ENTITY, &desk, version, &fields, &notes, false)),
        Ok(mut settings) => {
            settings.version = version;
            app.write("changed the settings", move |book, _| book.set_settings(&settings)).await?;
            Ok(Redirect::to("/shop?kept=1").into_response())
        }
    }
}

fn page(status: StatusCode, desk: &Desk, version: i64, fields: &Fields, notes: &Notes, kept: bool) -> Response {
    let form = ShopForm::sent(fields, notes, &desk.settings);
    render(status, &Page { frame: desk.frame("Shop", Here::Shop), version, kept, form })
}
