//! What goes wrong with a request, said on a page in words.

use std::any::Any;

use askama::Template;
use axum::http::{StatusCode, header};
use axum::response::{Html, IntoResponse, Redirect, Response};

use crate::store::StoreError;

use super::frame::{Frame, Here};

/// Why a page cannot be shown or a form not be taken as a whole.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Fault {
    /// There is no such thing: `order`, `client`.
    NotFound(&'static str),
    /// The shop has not been opened yet: the three questions come first.
    NotOpened,
    /// The request is refused for the reason given.
    Refused(StatusCode, String),
    /// Something that should not happen did; the words go to the log, not to the page.
    Broken(String),
}

#[derive(Template)]
#[template(path = "fault.html")]
struct Page {
    frame: Frame,
    heading: String,
    words: String,
}

impl IntoResponse for Fault {
    fn into_response(self) -> Response {
        match self {
            Fault::NotOpened => Redirect::to("/shop/open").into_response(),
            Fault::NotFound(what) => page(
                StatusCode::NOT_FOUND,
                &format!("No such {what}"),
                &format!("There is no {what} at this address. Look for it from Today."),
            ),
            Fault::Refused(status, words) => {
                let heading = match status {
                    StatusCode::CONFLICT => "Changed in the meantime",
                    _ => "Not done",
                };
                page(status, heading, &words)
            }
            Fault::Broken(why) => {
                log(&why);
                page(
                    StatusCode::INTERNAL_SERVER_ERROR,
                    "This went wrong",
                    "bodkin could not do this; what was kept before is unharmed. Go back and try once more. If it \
                     happens again, close bodkin, keep a copy of the data folder and start it anew.",
                )
            }
        }
    }
}

impl From<StoreError> for Fault {
    fn from(why: StoreError) -> Fault {
        match why {
            StoreError::Missing { what, .. } => Fault::NotFound(what),
            StoreError::Stale { .. } => Fault::Refused(StatusCode::CONFLICT, why.to_string()),
            StoreError::Refused { words } => Fault::Refused(StatusCode::UNPROCESSABLE_ENTITY, words),
            StoreError::DiskFull => Fault::Refused(StatusCode::INSUFFICIENT_STORAGE, why.to_string()),
            StoreError::Busy => Fault::Refused(StatusCode::SERVICE_UNAVAILABLE, why.to_string()),
            other => Fault::Broken(other.to_string()),
        }
    }
}

/// Answers an address that is no page.
pub async fn no_such_page() -> Fault {
    Fault::NotFound("page")
}

/// Answers a page that is asked for in the wrong manner.
pub async fn no_such_move() -> Fault {
    Fault::Refused(
        StatusCode::METHOD_NOT_ALLOWED,
        "This page cannot be asked for in this manner. Open it from its link.".into(),
    )
}

/// Answers after a panic, which is a fault of ours.
pub fn broken_down(why: Box<dyn Any + Send + 'static>) -> Response {
    let words = why.downcast_ref::<String>().cloned().or_else(|| why.downcast_ref::<&str>().map(|text| (*text).into()));
    Fault::Broken(format!("panic: {}", words.unwrap_or_default())).into_response()
}

/// A rendered page with its status.
pub fn render(status: StatusCode, template: &impl Template) -> Response {
    match template.render() {
        Ok(html) => (status, Html(html)).into_response(),
        Err(why) => {
            log(&format!("template: {why}"));
            // No template here: one has just failed.
            (
                status,
                [(header::CONTENT_TYPE, "text/plain; charset=utf-8")],
                "This page could not be written. Go back and try once more.",
            )
                .into_response()
        }
    }
}

fn page(status: StatusCode, heading: &str, words: &str) -> Response {
    let frame = Frame::new(heading, "", Here::Nowhere);
    render(status, &Page { frame, heading: heading.into(), words: words.into() })
}

/// Logs go to standard error and hold no names and no figures of people.
fn log(why: &str) {
    use std::io::Write;
    let _ = writeln!(std::io::stderr(), "bodkin: {why}");
}
