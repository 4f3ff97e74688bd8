//! Cloth: what the lay needs, what there is, what is ticked before the scissors.

use crate::job::{Laid, facts_of};
use crate::measure::Length;

use super::job_sheet::{Facts, cloth_words};

/// One cloth of the garment.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ClothRow {
    /// The cloth in words: `Cloth`, `Lining`.
    pub name: String,
    /// What the lay needs, as cloth is measured out: `2 yd 4 1/4 in`.
    pub needs: String,
    /// What to buy: `2 1/4 yd`.
    pub buy: String,
    /// The width it was reckoned at, with its unit.
    pub width: String,
    /// Whether that width was assumed.
    pub width_assumed: bool,
    /// The sum from the lay to the length to buy.
    pub sum: String,
    /// What there is, when it was measured: each length of it.
    pub have: Option<String>,
    /// Whether one length of that suffices; `None` when nothing was measured, or several lengths that may suffice
    /// together.
    pub enough: Option<bool>,
    /// Whether it was washed before it was measured; `None` when nobody knows.
    pub washed: Option<bool>,
    /// `folded` or `open`.
    pub layout: &'static str,
}

pub(super) fn needed(facts: &Facts<'_>, laid: &[&Laid]) -> Vec<ClothRow> {
    let showing = facts.settings.showing;
    laid.iter()
        .map(|laid| {
            let cloth = facts_of(&facts.garment.facts, laid.cloth);
            let have: Vec<String> = cloth.all_lengths().map(|have| laid.need.step.written(have)).collect();
            let one = cloth.all_lengths().any(|have| laid.short_by(have) == Length::ZERO);
            ClothRow {
                name: cloth_words(laid.cloth),
                needs: laid.need.step.written(laid.need.cut_length),
                buy: laid.need.step.bought(laid.need.to_buy),
                width: showing.with_unit(laid.width),
                width_assumed: laid.width_assumed,
                sum: laid.need.text(),
                enough: (one || have.len() == 1).then_some(one),
                have: Some(have.join(" and ")).filter(|have| !have.is_empty()),
                washed: cloth.washed,
                layout: laid.lay.layout.words(),
            }
        })
        .collect()
}
