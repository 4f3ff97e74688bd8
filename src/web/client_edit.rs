//! Writing down a new client, and changing what is written.

use askama::Template;
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};

use crate::shop::ClientId;

use crate::store::Sent;

use super::client_form::{self, ClientForm};
use super::desk::Desk;
use super::fault::{Fault, render};
use super::fields::{Fields, Notes};
use super::frame::{Frame, Here};
use super::path;
use super::state::App;

#[derive(Template)]
#[template(path = "client_form.html")]
struct Page {
    frame: Frame,
    form: ClientForm,
    action: String,
    back: String,
    version: i64,
}

/// The empty form.
///
/// # Errors
/// A [`Fault`] when the book cannot be read.
pub async fn new(State(app): State<App>) -> Result<Response, Fault> {
    let desk = app.desk().await?;
    Ok(page(StatusCode::OK, &desk, None, &Fields::default(), &Notes::default()))
}

/// Takes a new client into the book.
///
/// # Errors
/// A [`Fault`] when it cannot be kept.
pub async fn add(State(app): State<App>, fields: Fields) -> Result<Response, Fault> {
    let desk = app.desk().await?;
    match client_form::read(&fields) {
        Err(notes) => Ok(page(StatusCode::UNPROCESSABLE_ENTITY, &desk, None, &fields, &notes)),
        Ok(facts) => {
            let form = fields.text("form");
            let id = match app.write_once("wrote down a client", form, move |book, _| book.add_client(&facts)).await? {
                Sent::Done(id) => id.get(),
                Sent::Before(action) => path::written(&action, "client")?,
            };
            Ok(Redirect::to(&format!("/clients/{id}")).into_response())
        }
    }
}

/// The form with what is written.
///
/// # Errors
/// [`Fault::NotFound`] without such a client.
pub async fn show(State(app): State<App>, Path(id): Path<String>) -> Result<Response, Fault> {
    let id = path::client(&id)?;
    let (desk, client) = app.read(move |book, desk| Ok((desk.clone(), book.client(id)?))).await?;
    let fields = client_form::typed(&client.facts);
    Ok(page(StatusCode::OK, &desk, Some((id, client.version)), &fields, &Notes::default()))
}

/// Changes what is written.
///
/// # Errors
/// A [`Fault`] when it cannot be kept: somebody else changed it in the meantime.
pub async fn change(State(app): State<App>, Path(id): Path<String>, fields: Fields) -> Result<Response, Fault> {
    let id = path::client(&id)?;
    let desk = app.desk().await?;
    let version = path::version(&fields)?;
    match client_form::read(&fields) {
        Err(notes) => Ok(page(StatusCode::UNPROCESSABLE_ENTITY, &desk, Some((id, version)), &fields, &notes)),
        Ok(facts) => {
            app.write("changed a client", move |book, _| book.change_client(id, version, &facts)).await?;
            Ok(Redirect::to(&format!("/clients/{id}")).into_response())
        }
    }
}

fn page(status: StatusCode, desk: &Desk, known: Option<(ClientId, i64)>, fields: &Fields, notes: &Notes) -> Response {
    let (title, action, back) = match known {
        None => ("New client", "/clients".to_string(), "/clients".to_string()),
        Some((id, _)) => ("Change client", format!("/clients/{id}/edit"), format!("/clients/{id}")),
    };
    let form = ClientForm::sent(fields, notes);
    let version = known.map_or(0, |(_, version)| version);
    render(status, &Page { frame: desk.frame(title, Here::Clients), form, action, back, version })
}
