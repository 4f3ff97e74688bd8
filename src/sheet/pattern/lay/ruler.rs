//! The ruler along the edge of a lay: a mark for each step, a figure where there is room.

use crate::measure::Unit;

/// One mark.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Mark {
    /// How far along the cloth, mm.
    pub(super) at_mm: f64,
    /// Its figure with the unit, at the main marks.
    pub(super) figure: Option<String>,
}

/// Marks stand this far apart on the paper at least, mm; figures have room for their letters. Judgement.
const MARKS_APART: f64 = 2.0;
const FIGURES_APART: f64 = 13.0;

/// The marks of a length at this scale (mm of paper for each mm of cloth).
pub(super) fn marks(length_mm: f64, scale: f64, unit: Unit) -> Vec<Mark> {
    /// Longer than any bolt in inches: so many marks and no more.
    const MOST: u32 = 6000;
    // An inch, three, six, a quarter yard, a half, a yard; a centimetre, five, ten, twenty, a half metre, a metre.
    let (one_mm, steps, word) = match unit {
        Unit::Inch => (25.4, [1_u32, 3, 6, 9, 18, 36], "in"),
        Unit::Centimetre => (10.0, [1, 5, 10, 20, 50, 100], "cm"),
    };
    let wide_enough = |step: u32, apart: f64| f64::from(step) * one_mm * scale >= apart;
    let [.., longest] = steps;
    let step = steps.into_iter().find(|step| wide_enough(*step, MARKS_APART)).unwrap_or(longest);
    let main = steps.into_iter().find(|main| main.is_multiple_of(step) && wide_enough(*main, FIGURES_APART));
    let main = main.unwrap_or(longest);
    (0..MOST)
        .map(|index| index * step)
        .map(|count| (count, f64::from(count) * one_mm))
        .take_while(|(_, at_mm)| *at_mm <= length_mm + 1e-6)
        .map(|(count, at_mm)| Mark { at_mm, figure: count.is_multiple_of(main).then(|| format!("{count} {word}")) })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn marks_thin_out_as_the_scale_falls() {
        let told = |scale, unit| {
            let marks = marks(1000.0, scale, unit);
            let figures: Vec<String> = marks.iter().filter_map(|mark| mark.figure.clone()).take(3).collect();
            (marks.len(), figures.join(", "))
        };
        assert_eq!(told(1.0, Unit::Inch), (40, "0 in, 1 in, 2 in".into()));
        assert_eq!(told(0.125, Unit::Inch), (40, "0 in, 6 in, 12 in".into()));
        assert_eq!(told(0.05, Unit::Inch), (14, "0 in, 18 in, 36 in".into()));
        assert_eq!(told(1.0, Unit::Centimetre), (101, "0 cm, 5 cm, 10 cm".into()));
        assert_eq!(told(0.125, Unit::Centimetre), (21, "0 cm, 20 cm, 40 cm".into()));
    }
}
