//! `[linings.X]`: the lining of a piece, taken from the finished piece.

use super::super::fault::Fault;
use super::super::formula::Expr;
use super::table::Table;

/// How a piece is lined.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct LiningRule {
    pub key: String,
    pub when: Option<Expr>,
    /// The piece that is lined.
    pub piece: String,
    /// The edge that is drawn shorter (with those that are turned up beside it), and by how much.
    pub shorten: String,
    pub by: Expr,
    /// The hem allowance of the lining.
    pub allow: Option<Expr>,
    /// The edge that gets a pleat for ease of movement, and how much on each half.
    pub pleat_on: Option<String>,
    pub pleat: Option<Expr>,
}

impl LiningRule {
    pub(super) fn read(table: &Table<'_, '_>, key: &str) -> Result<LiningRule, Fault> {
        table.only(&["when", "of", "shorten", "by", "allow", "pleat_on", "pleat"])?;
        let pleat_on = table.words("pleat_on")?;
        let pleat = table.formula("pleat")?;
        if pleat_on.is_some() != pleat.is_some() {
            return Err(table.missing(
                if pleat.is_some() { "pleat_on" } else { "pleat" },
                if pleat.is_some() { "pleat_on = 'centre'" } else { "pleat = '1/2 in'" },
            ));
        }
        Ok(LiningRule {
            key: key.into(),
            when: table.formula("when")?,
            piece: table.words("of")?.ok_or_else(|| table.missing("of", "of = 'front'"))?,
            shorten: table.words("shorten")?.ok_or_else(|| table.missing("shorten", "shorten = 'hem'"))?,
            by: table.formula("by")?.ok_or_else(|| table.missing("by", "by = '1 in'"))?,
            allow: table.formula("allow")?,
            pleat_on,
            pleat,
        })
    }

    /// Its formulas.
    pub(super) fn formulas(&self) -> impl Iterator<Item = &Expr> {
        [Some(&self.by), self.when.as_ref(), self.allow.as_ref(), self.pleat.as_ref()].into_iter().flatten()
    }
}
