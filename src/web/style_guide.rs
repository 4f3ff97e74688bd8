//! The guide to writing a style: two garments built step by step, each drawing made from the
//! text that stands beside it, and every word of the format.

use askama::Template;
use axum::extract::State;
use axum::http::StatusCode;
use axum::response::Response;

use crate::draft::{GUIDE_APRON, GUIDE_SKIRT, GuideStep, kinds};

use super::desk::Desk;
use super::fault::{Fault, render};
use super::frame::{Frame, Here};
use super::line_changes::{self, Line};
use super::state::App;
use super::style_body::On;
use super::style_preview::Preview;
use super::usual_body::Build;

#[derive(Template)]
#[template(path = "style_guide.html")]
struct Page {
    frame: Frame,
    garments: Vec<(&'static str, &'static str, Vec<Step>)>,
}

impl Page {
    /// The kinds of garment, in words.
    fn kinds(&self) -> String {
        kinds().join(", ")
    }
}

struct Step {
    heading: &'static str,
    words: &'static str,
    /// The text so far: a line and whether it is new in this step.
    lines: Vec<(String, bool)>,
    preview: Preview,
}

/// The page.
///
/// # Errors
/// A [`Fault`] when the book cannot be read.
pub async fn show(State(app): State<App>) -> Result<Response, Fault> {
    let desk = app.desk().await?;
    app.think(move || {
        let page = Page {
            frame: desk.frame("How a style is written", Here::Styles),
            garments: vec![
                ("apron", "An apron", steps(&GUIDE_APRON, &desk)),
                ("skirt", "A skirt with darts", steps(&GUIDE_SKIRT, &desk)),
            ],
        };
        Ok(render(StatusCode::OK, &page))
    })
    .await
}

fn steps(steps: &[GuideStep], desk: &Desk) -> Vec<Step> {
    let mut before = "";
    let mut told = Vec::with_capacity(steps.len());
    for step in steps {
        let lines = line_changes::between(before, step.text)
            .into_iter()
            .filter_map(|line| match line {
                Line::Gone(_) => None,
                Line::Both(text) => Some((text.to_string(), false)),
                // In the first step all is new, and nothing needs to be marked.
                Line::New(text) => Some((text.to_string(), !before.is_empty())),
            })
            .collect();
        told.push(Step {
            heading: step.heading,
            words: step.words,
            lines,
            preview: Preview::of(step.text, &On::Usual(Build::Usual), desk),
        });
        before = step.text;
    }
    told
}
