//! The sum from a lay to the length to buy, as a person writes it.

use crate::measure::{Length, Showing};

use super::{Lay, LayJob};

/// The steps in which a shop sells cloth (common practice).
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Selling {
    /// By the eighth of a yard, 4 1/2 in.
    EighthYard,
    /// By the quarter of a yard, 9 in.
    QuarterYard,
    /// By 10 cm.
    TenCentimetres,
    /// By the half metre.
    HalfMetre,
}

/// How much cloth to buy, and how the figure came about.
#[derive(Clone, Debug, PartialEq)]
pub struct Need {
    /// Length of the lay.
    pub lay_length: Length,
    /// Both ends, squared off.
    pub squaring: Length,
    /// What the cloth will lose when washed.
    pub shrinkage: Length,
    /// Lay, ends and shrinkage: what must be cut from the bolt.
    pub cut_length: Length,
    /// Bought above the need, for mistakes.
    pub spare: Length,
    /// The cut length and the spare, rounded up to the selling step.
    pub to_buy: Length,
    /// The step that it was rounded up to.
    pub step: Selling,
    /// The sum line by line; the lines before a total add up to it exactly.
    pub lines: Vec<NeedLine>,
}

/// One line of the sum.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NeedLine {
    /// What it is: `Shrinkage 3 %`.
    pub label: String,
    /// How long.
    pub length: Length,
    /// Whether it is a total of the lines above.
    pub total: bool,
}

/// The length to buy for a lay. Each term is rounded up to 1/8 in (or 1 mm, where
/// cloth is sold by the metre), so that the lines add up as they are printed.
#[must_use]
pub fn need(lay: &Lay, job: &LayJob, step: Selling) -> Need {
    let cloth = &job.cloth;
    let up = |mm: f64| Length::from_mm(mm).unwrap_or(Length::LONGEST).rounded_up_to(step.finest());
    let lay_length = up(lay.used_length_mm);
    let nothing = lay_length == Length::ZERO;
    let squaring = if nothing { Length::ZERO } else { up(2.0 * cloth.squaring_mm) };
    let share = if cloth.washed { 0.0 } else { cloth.shrink_length };
    // What is left after shrinking is (1 − share) of what was bought.
    let shrinkage = up((lay_length + squaring).mm() * (1.0 / (1.0 - share) - 1.0));
    let cut_length = lay_length + squaring + shrinkage;
    let spare = if nothing { Length::ZERO } else { up(cloth.spare_mm) };
    let to_buy = (cut_length + spare).rounded_up_to(step.length());

    let line = |label: String, length, total| NeedLine { label, length, total };
    let mut lines = vec![line("Lay".into(), lay_length, false)];
    if squaring > Length::ZERO {
        lines.push(line("Ends squared".into(), squaring, false));
    }
    if shrinkage > Length::ZERO {
        lines.push(line(format!("Shrinkage {} %", per_cent(share)), shrinkage, false));
    }
    lines.push(line("Needed".into(), cut_length, true));
    if spare > Length::ZERO {
        lines.push(line("Spare for mistakes".into(), spare, false));
    }
    lines.push(line(format!("Buy, by {}", step.words()), to_buy, true));
    Need { lay_length, squaring, shrinkage, cut_length, spare, to_buy, step, lines }
}

impl Need {
    /// By how much a length that is there falls short of what must be cut, without any
    /// spare; nothing when it suffices.
    #[must_use]
    pub fn short_by(&self, have: Length) -> Length {
        if have >= self.cut_length { Length::ZERO } else { self.cut_length - have }
    }

    /// The sum in one line: `lay 2 yd 4 1/4 in + ends squared 2 in + shrinkage 3 %
    /// 2 1/2 in = 2 yd 8 3/4 in; buy 2 1/4 yd`.
    #[must_use]
    pub fn text(&self) -> String {
        let terms = self.lines.iter().take_while(|line| !line.total);
        let terms: Vec<String> =
            terms.map(|line| format!("{} {}", line.label.to_lowercase(), self.step.written(line.length))).collect();
        let sum = if terms.len() > 1 { format!(" = {}", self.step.written(self.cut_length)) } else { String::new() };
        let spare = if self.spare > Length::ZERO {
            format!("; {} spare for mistakes", self.step.written(self.spare))
        } else {
            String::new()
        };
        format!("{}{sum}{spare}; buy {}", terms.join(" + "), self.step.bought(self.to_buy))
    }
}

impl Selling {
    /// The step as a length.
    #[must_use]
    pub const fn length(self) -> Length {
        match self {
            Selling::EighthYard => Length::inches(4, 4),
            Selling::QuarterYard => Length::inches(9, 0),
            Selling::TenCentimetres => Length::tenths_of_mm(1000),
            Selling::HalfMetre => Length::tenths_of_mm(5000),
        }
    }

    /// The step in words: `1/4 yd`.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Selling::EighthYard => "1/8 yd",
            Selling::QuarterYard => "1/4 yd",
            Selling::TenCentimetres => "10 cm",
            Selling::HalfMetre => "50 cm",
        }
    }

    /// A length of cloth as it is measured out: `2 yd 4 1/4 in`, `31 1/4 in`, `1.94 m`.
    #[must_use]
    pub fn written(self, length: Length) -> String {
        if self.is_metric() {
            return metres(length.rounded_to(Length::MILLIMETRE));
        }
        let length = length.rounded_to(Length::inches(0, 1));
        let (yards, rest) = (length.nm() / YARD.nm(), Length::from_nm(length.nm() % YARD.nm()));
        match (yards, rest) {
            (0, _) => Showing::EIGHTHS.with_unit(rest),
            (_, Length::ZERO) => format!("{yards} yd"),
            _ => format!("{yards} yd {}", Showing::EIGHTHS.with_unit(rest)),
        }
    }

    /// A length rounded to the step as it is asked for in the shop: `2 1/4 yd`, `2.1 m`.
    #[must_use]
    pub fn bought(self, length: Length) -> String {
        if self.is_metric() {
            return metres(length.rounded_to(Length::CENTIMETRE));
        }
        // A yard is 36 in, so that an eighth of a yard is 36 eighths of an inch:
        // the same fraction, written of an inch 36 times smaller.
        let eighths = length.nm() / Selling::EighthYard.length().nm();
        format!("{} yd", Showing::EIGHTHS.number(Length::inches(0, eighths)))
    }

    const fn is_metric(self) -> bool {
        matches!(self, Selling::TenCentimetres | Selling::HalfMetre)
    }

    /// What the terms of the sum are rounded up to.
    const fn finest(self) -> Length {
        if self.is_metric() { Length::MILLIMETRE } else { Length::inches(0, 1) }
    }
}

/// 36 in by the international yard agreement of 1959.
const YARD: Length = Length::inches(36, 0);

/// `1.94 m`, `0.8 m`, `2 m`, to the millimetre and without idle noughts.
fn metres(length: Length) -> String {
    let mm = length.nm() / Length::MILLIMETRE.nm();
    let text = format!("{}.{:03}", mm / 1000, mm % 1000);
    format!("{} m", text.trim_end_matches('0').trim_end_matches('.'))
}

/// A share in per cent with at most one decimal: `3`, `2.5`.
fn per_cent(share: f64) -> String {
    let text = format!("{:.1}", share * 100.0);
    text.trim_end_matches(".0").to_owned()
}

#[cfg(test)]
mod tests {
    use super::super::{Cloth, Layout};
    use super::*;
    use proptest::prelude::*;

    fn of(used_mm: f64, cloth: Cloth, step: Selling) -> Need {
        let lay = Lay {
            layout: Layout::Open,
            width_mm: cloth.usable_width_mm(),
            folded_mm: 0.0,
            fold_at_mm: cloth.usable_width_mm() / 2.0,
            used_length_mm: used_mm,
            placements: vec![],
            bits: vec![],
            evaluations: 0,
            seed: 0,
        };
        need(&lay, &LayJob { parts: vec![], strips: vec![], cloth, matched: vec![] }, step)
    }

    #[test]
    fn the_sum_reads_like_a_persons() {
        let cloth = Cloth { shrink_length: 0.03, ..Cloth::of_width(1143.0) };
        let spared = of(76.25 * 25.4, Cloth { spare_mm: 4.5 * 25.4, ..cloth }, Selling::QuarterYard);
        assert!(
            spared.text().ends_with("= 2 yd 8 3/4 in; 4 1/2 in spare for mistakes; buy 2 1/2 yd"),
            "{}",
            spared.text()
        );
        assert_eq!(
            spared.lines.iter().map(|line| line.total).collect::<Vec<_>>(),
            [false, false, false, true, false, true]
        );
        assert_eq!(spared.short_by(Length::inches(81, 0)), Length::ZERO);
        let need = of(76.25 * 25.4, cloth, Selling::QuarterYard);
        // 78 1/4 ÷ 0.97 = 80.67, a loss of 2.42, up to 2 1/2; 80 3/4 is under 81 = 2 1/4 yd.
        assert_eq!(
            need.text(),
            "lay 2 yd 4 1/4 in + ends squared 2 in + shrinkage 3 % 2 1/2 in = 2 yd 8 3/4 in; buy 2 1/4 yd"
        );
        assert_eq!(need.short_by(Length::inches(80, 0)), Length::inches(0, 6));
        assert_eq!(need.short_by(Length::inches(81, 0)), Length::ZERO);
    }

    #[test]
    fn washed_cloth_shrinks_no_more_and_metres_are_metres() {
        let cloth = Cloth { shrink_length: 0.05, washed: true, squaring_mm: 25.0, ..Cloth::of_width(1400.0) };
        let need = of(1893.2, cloth, Selling::TenCentimetres);
        assert_eq!(need.text(), "lay 1.894 m + ends squared 0.05 m = 1.944 m; buy 2 m");
        assert_eq!(of(1500.0, cloth, Selling::HalfMetre).to_buy, Length::tenths_of_mm(20_000));
        assert_eq!(Selling::EighthYard.bought(Length::inches(40, 4)), "1 1/8 yd");
    }

    /// What is cut for 100 cm of cloth that loses 3, 5, 10 %: 103.09, 105.26, 111.11 cm
    /// (length ÷ (1 − share)), here up to whole millimetres.
    #[test]
    fn shrinkage_is_reckoned_on_what_is_bought() {
        for (share, cut_mm) in [(0.03, 1031.0), (0.05, 1053.0), (0.1, 1112.0)] {
            let cloth = Cloth { shrink_length: share, squaring_mm: 0.0, ..Cloth::of_width(1143.0) };
            let need = of(1000.0, cloth, Selling::TenCentimetres);
            assert!((need.cut_length.mm() - cut_mm).abs() < 1e-6, "{share}: {}", need.text());
        }
    }

    #[test]
    fn nothing_to_lay_is_nothing_to_buy() {
        let need = of(0.0, Cloth::of_width(1120.0), Selling::QuarterYard);
        assert_eq!((need.cut_length, need.to_buy), (Length::ZERO, Length::ZERO));
    }

    proptest! {
        #[test]
        fn lines_add_up_and_the_shrunk_cloth_still_holds_the_lay(
            used in 1.0..9000.0_f64, shrink in 0.0..0.2_f64, kind in 0..4_usize, spare_mm in 0.0..400.0_f64,
        ) {
            let steps = [Selling::EighthYard, Selling::QuarterYard, Selling::TenCentimetres, Selling::HalfMetre];
            let cloth = Cloth { shrink_length: shrink, spare_mm, ..Cloth::of_width(1143.0) };
            let need = of(used, cloth, steps[kind]);
            let sum: Length = need.lines.iter().take_while(|line| !line.total).map(|line| line.length).sum();
            prop_assert_eq!(sum, need.cut_length);
            let terms: Length = need.lines.iter().filter(|line| !line.total).map(|line| line.length).sum();
            prop_assert_eq!(terms, need.cut_length + need.spare);
            prop_assert!(need.to_buy.mm() * (1.0 - shrink) >= used + 2.0 * cloth.squaring_mm - 1e-6);
            prop_assert!(need.to_buy - need.cut_length - need.spare < steps[kind].length());
            prop_assert_eq!(need.to_buy.nm() % steps[kind].length().nm(), 0);
        }
    }
}
