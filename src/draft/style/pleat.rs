//! `[pleats.X]`: pleats folded out of an edge that is drawn with the cloth in it.

use super::super::fault::Fault;
use super::super::formula::Expr;
use super::super::marked::PleatKind;
use super::read::edge_named;
use super::table::Table;

/// Pleats of one kind on one edge.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct PleatRule {
    pub key: String,
    pub when: Option<Expr>,
    pub piece: String,
    pub edge: String,
    /// How far along the edge the first lies, all pleats and darts closed.
    pub first: Expr,
    /// Cloth in one pleat at the edge, and at the lower end of its lines.
    pub take: Expr,
    pub take_below: Option<Expr>,
    pub count: Option<Expr>,
    /// From one to the next, closed.
    pub apart: Option<Expr>,
    pub kind: PleatKind,
    /// Whether a knife pleat is turned to the start of the edge.
    pub toward_start: bool,
    /// How far down they are stitched or marked.
    pub down: Expr,
    /// The finished length of the edge, when no seam tells it.
    pub closes_to: Option<Expr>,
}

impl PleatRule {
    pub(super) fn read(table: &Table<'_, '_>, key: &str) -> Result<PleatRule, Fault> {
        table.only(&[
            "when",
            "on",
            "first",
            "take",
            "take_below",
            "count",
            "apart",
            "kind",
            "toward",
            "down",
            "closes_to",
        ])?;
        let (piece, edge) = edge_named(table, "on")?;
        let kind = match table.words("kind")?.as_deref() {
            None | Some("knife") => PleatKind::Knife,
            Some("box") => PleatKind::Box,
            Some("inverted") => PleatKind::Inverted,
            Some(other) => {
                let message = format!("“{other}” is no kind of pleat: knife, box or inverted.");
                return Err(Fault::new(table.span_of("kind"), message));
            }
        };
        let toward_start = match (table.words("toward")?.as_deref(), kind) {
            (Some("start"), PleatKind::Knife) => true,
            (Some("end"), PleatKind::Knife) | (None, PleatKind::Box | PleatKind::Inverted) => false,
            (_, PleatKind::Knife) => {
                let message = "“toward” says to which end of the edge a knife pleat is turned: 'start' or 'end'.";
                return Err(Fault::new(table.span_of("toward"), message));
            }
            (Some(_), _) => {
                let message = "Only a knife pleat is turned to one side. Leave “toward” off.";
                return Err(Fault::new(table.span_of("toward"), message));
            }
        };
        let must = |name: &str| table.formula(name)?.ok_or_else(|| table.missing(name, &format!("{name} = '2 in'")));
        let (count, apart) = (table.formula("count")?, table.formula("apart")?);
        if count.is_some() && apart.is_none() {
            return Err(table.missing("apart", "apart = '1 in'"));
        }
        Ok(PleatRule {
            key: key.into(),
            when: table.formula("when")?,
            piece,
            edge,
            first: must("first")?,
            take: must("take")?,
            take_below: table.formula("take_below")?,
            count,
            apart,
            kind,
            toward_start,
            down: must("down")?,
            closes_to: table.formula("closes_to")?,
        })
    }

    /// Its formulas; all are rules, none measures a piece.
    pub(super) fn formulas(&self) -> impl Iterator<Item = &Expr> {
        let must = [&self.first, &self.take, &self.down];
        let may = [&self.when, &self.take_below, &self.count, &self.apart, &self.closes_to];
        must.into_iter().chain(may.into_iter().flatten())
    }
}
