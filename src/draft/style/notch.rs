//! `[notches.X]`: a mark on one run of edges that meets a mark on another.

use super::super::fault::Fault;
use super::super::formula::{Binary, Expr, Node};
use super::table::Table;

/// A notch on a run of edges, with the one that it meets.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct NotchRule {
    pub key: String,
    pub when: Option<Expr>,
    /// The run of edges: `front.side + front.lower`.
    pub on: Expr,
    /// How far along it from its start, darts and pleats closed.
    pub at: Expr,
    /// The run that it is sewn to.
    pub with: Option<Expr>,
    /// How far along that, when not the same.
    pub with_at: Option<Expr>,
    /// Whether that is measured from the start of the other run; when it is not said,
    /// both are from the start and the ends are found from how the pieces lie.
    pub with_start: Option<bool>,
    pub double: bool,
}

impl NotchRule {
    pub(super) fn read(table: &Table<'_, '_>, key: &str) -> Result<NotchRule, Fault> {
        table.only(&["when", "on", "at", "with", "with_at", "with_from", "double"])?;
        let example = |name: &str, how: &str| table.missing(name, &format!("{name} = '{how}'"));
        let on = table.formula("on")?.ok_or_else(|| example("on", "front.side"))?;
        let with = table.formula("with")?;
        for run in [Some(&on), with.as_ref()].into_iter().flatten() {
            is_run(run)?;
        }
        let with_at = table.formula("with_at")?;
        if with.is_none() && with_at.is_some() {
            return Err(Fault::new(
                table.span_of("with_at"),
                "“with_at” stands without “with”: name the run it is on.",
            ));
        }
        let with_start = match table.words("with_from")?.as_deref() {
            None => None,
            Some("start") => Some(true),
            Some("end") => Some(false),
            Some(other) => {
                let message = format!("“{other}”: a notch is measured from the 'start' or the 'end' of the run.");
                return Err(Fault::new(table.span_of("with_from"), message));
            }
        };
        let at = table.formula("at")?.ok_or_else(|| example("at", "8 in"))?;
        let when = table.formula("when")?;
        Ok(NotchRule { key: key.into(), when, on, at, with, with_at, with_start, double: table.yes("double")? })
    }

    /// Its formulas.
    pub(super) fn formulas(&self) -> impl Iterator<Item = &Expr> {
        [&self.on, &self.at].into_iter().chain(&self.with).chain(&self.with_at).chain(&self.when)
    }
}

/// A sum of edges and nothing else.
fn is_run(expr: &Expr) -> Result<(), Fault> {
    match &expr.node {
        Node::EdgeLength(..) => Ok(()),
        Node::Binary(Binary::Add, a, b) => is_run(a).and_then(|()| is_run(b)),
        _ => Err(Fault::new(expr.at, "A notch stands on a run of edges, such as front.side + front.lower.")),
    }
}
