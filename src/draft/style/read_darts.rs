//! Reading points, darts, turned darts and the figure notes that a style heeds.

use super::super::fault::{Fault, Span, did_you_mean};
use super::outline::one_place;
use super::read::{Part, edge_named, required};
use super::rules::{DartFrom, DartRule, PointRule, TurnRule};
use crate::measure::{BodySide, figure_notes as known_notes};

pub(super) fn point(table: &Part<'_, '_>, key: &str, _: Span) -> Result<PointRule, Fault> {
    Ok(PointRule { key: key.into(), place: place(table, key)? })
}

fn place(table: &Part<'_, '_>, key: &str) -> Result<super::super::formula::Place, Fault> {
    let (text, offset) = table.text(key)?.ok_or_else(|| table.missing(key, &format!("{key} = '(2 in, 0)'")))?;
    one_place(text, offset)
}

fn toward_start(table: &Part<'_, '_>) -> Result<bool, Fault> {
    match table.words("toward")?.as_deref() {
        Some("start") => Ok(true),
        Some("end") => Ok(false),
        _ => Err(Fault::new(
            table.span_of("toward"),
            "“toward” says to which end of the edge the dart is folded: 'start' or 'end'.",
        )),
    }
}

pub(super) fn dart(table: &Part<'_, '_>, key: &str) -> Result<DartRule, Fault> {
    let when = table.formula("when")?;
    if let Some(piece) = table.words("in")? {
        table.only(&["when", "in", "widest", "top", "bottom", "intake"])?;
        let (widest, top, bottom) = (place(table, "widest")?, place(table, "top")?, place(table, "bottom")?);
        let from = DartFrom::Inside { widest, top, bottom };
        return Ok(DartRule {
            key: key.into(),
            when,
            piece,
            from,
            intake: required(table, "intake")?,
            toward_start: true,
        });
    }
    table.only(&["when", "on", "at", "intake", "length", "toward"])?;
    let (piece, edge) = edge_named(table, "on")?;
    Ok(DartRule {
        key: key.into(),
        when,
        piece,
        from: DartFrom::Edge { edge, at: required(table, "at")?, length: required(table, "length")? },
        intake: required(table, "intake")?,
        toward_start: toward_start(table)?,
    })
}

pub(super) fn turn(table: &Part<'_, '_>, key: &str) -> Result<TurnRule, Fault> {
    table.only(&["when", "dart", "to", "at", "share", "stops", "toward", "as"])?;
    let (piece, dart) = edge_named(table, "dart")?;
    let (other, edge) = edge_named(table, "to")?;
    if other != piece {
        let message = format!("The dart is in “{piece}”; it can only be turned to an edge of that piece.");
        return Err(Fault::new(table.span_of("to"), message));
    }
    let flare = match table.words("as")?.as_deref() {
        None | Some("dart") => false,
        Some("flare") => true,
        Some(other) => {
            return Err(Fault::new(table.span_of("as"), format!("“{other}”: a dart is turned as 'dart' or 'flare'.")));
        }
    };
    Ok(TurnRule {
        key: key.into(),
        when: table.formula("when")?,
        piece,
        dart,
        dart_at: table.span_of("dart"),
        edge,
        at: required(table, "at")?,
        share: table.formula("share")?,
        stops: table.formula("stops")?,
        toward_start: flare || toward_start(table)?,
        flare,
    })
}

/// The figure notes that a style may heed: those of a fitting, the sided ones by the
/// side that is drafted.
pub(crate) fn heedable() -> impl Iterator<Item = &'static str> {
    known_notes().iter().filter_map(|note| match note.key {
        "low_shoulder_left" => Some("low_shoulder"),
        "high_hip_left" => Some("high_hip"),
        "low_shoulder_right" | "high_hip_right" => None,
        key => Some(key),
    })
}

/// `figure = ['stooped', 'low_shoulder']`.
pub(super) fn figure_notes(root: &Part<'_, '_>) -> Result<Vec<String>, Fault> {
    root.list("figure")?
        .into_iter()
        .map(|(key, at)| {
            if heedable().any(|known| known == key) {
                return Ok(key.to_string());
            }
            let hint = did_you_mean(key, heedable());
            let all: Vec<&str> = heedable().collect();
            Err(Fault::new(at, format!("“{key}” is no figure note: {}.{hint}", all.join(", "))))
        })
        .collect()
}

/// `side = 'right'`: the side of the wearer that a piece belongs to as drawn, face up.
pub(super) fn side(table: &Part<'_, '_>) -> Result<Option<BodySide>, Fault> {
    match table.words("side")?.as_deref() {
        None => Ok(None),
        Some("left") => Ok(Some(BodySide::Left)),
        Some("right") => Ok(Some(BodySide::Right)),
        Some(other) => {
            let message =
                format!("“{other}” is no side: 'left' or 'right', of the wearer, the piece as drawn and face up.");
            Err(Fault::new(table.span_of("side"), message))
        }
    }
}
