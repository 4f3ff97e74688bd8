//! Showing a length as the shop writes it: inches with true fractions, or
//! centimetres to the millimetre.

use super::Length;

/// The unit in which the shop takes and writes lengths.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Unit {
    /// Inches and fractions.
    Inch,
    /// Centimetres and millimetres.
    Centimetre,
}

/// The smallest division that is shown.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Step {
    /// Eighths of an inch, the tape's own division.
    Eighth,
    /// Sixteenths of an inch.
    Sixteenth,
    /// Sixty-fourths, for working that must add up.
    SixtyFourth,
    /// Whole millimetres, written as tenths of a centimetre.
    Millimetre,
}

/// How the shop shows lengths: a unit and the smallest division of it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Showing {
    /// The smallest division shown; it says the unit too.
    pub step: Step,
}

impl Showing {
    /// Inches to the eighth, the default of a shop that works in inches.
    pub const EIGHTHS: Showing = Showing { step: Step::Eighth };
    /// Inches to the sixteenth.
    pub const SIXTEENTHS: Showing = Showing { step: Step::Sixteenth };
    /// Centimetres to the millimetre.
    pub const MILLIMETRES: Showing = Showing { step: Step::Millimetre };

    /// The unit that a number without a unit is read in.
    #[must_use]
    pub const fn unit(self) -> Unit {
        match self.step {
            Step::Millimetre => Unit::Centimetre,
            Step::Eighth | Step::Sixteenth | Step::SixtyFourth => Unit::Inch,
        }
    }

    /// The step as a length.
    #[must_use]
    pub const fn step_length(self) -> Length {
        match self.step {
            Step::Eighth => Length::sixty_fourths(8),
            Step::Sixteenth => Length::sixty_fourths(4),
            Step::SixtyFourth => Length::sixty_fourths(1),
            Step::Millimetre => Length::MILLIMETRE,
        }
    }

    /// The length rounded to the step, without a unit: `31 1/4`, `79.4`.
    /// Reading it back in this unit gives the rounded length exactly.
    #[must_use]
    pub fn number(self, length: Length) -> String {
        let rounded = length.rounded_to(self.step_length());
        let sign = if rounded < Length::ZERO { "−" } else { "" };
        let size = rounded.abs().nm();
        if self.unit() == Unit::Centimetre {
            let mm = size / Length::MILLIMETRE.nm();
            return match mm % 10 {
                0 => format!("{sign}{}", mm / 10),
                tenth => format!("{sign}{}.{tenth}", mm / 10),
            };
        }
        let whole = size / Length::INCH.nm();
        let (over, under) = lowest_terms((size % Length::INCH.nm()) / 396_875);
        match (whole, over) {
            (_, 0) => format!("{sign}{whole}"),
            (0, _) => format!("{sign}{over}/{under}"),
            _ => format!("{sign}{whole} {over}/{under}"),
        }
    }

    /// The length with its unit: `31 1/4 in`, `79.4 cm`.
    #[must_use]
    pub fn with_unit(self, length: Length) -> String {
        format!("{} {}", self.number(length), self.unit_word())
    }

    /// `in` or `cm`.
    #[must_use]
    pub const fn unit_word(self) -> &'static str {
        match self.unit() {
            Unit::Inch => "in",
            Unit::Centimetre => "cm",
        }
    }

    /// Whether showing loses nothing of this length.
    #[must_use]
    pub fn is_exact(self, length: Length) -> bool {
        length.rounded_to(self.step_length()) == length
    }
}

/// `count` sixty-fourths in lowest terms.
const fn lowest_terms(count: i64) -> (i64, i64) {
    let (mut over, mut under) = (count, 64);
    while over != 0 && over % 2 == 0 {
        over /= 2;
        under /= 2;
    }
    (over, under)
}

#[cfg(test)]
mod tests {
    use super::super::read_length;
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn fractions_are_true_and_in_lowest_terms() {
        assert_eq!(Showing::EIGHTHS.number(Length::inches(31, 2)), "31 1/4");
        assert_eq!(Showing::EIGHTHS.number(Length::inches(0, 5)), "5/8");
        assert_eq!(Showing::EIGHTHS.number(Length::inches(7, 0)), "7");
        assert_eq!(Showing::SIXTEENTHS.number(Length::sixty_fourths(4)), "1/16");
        assert_eq!(Showing::EIGHTHS.number(Length::inches(0, -3)), "−3/8");
    }

    #[test]
    fn centimetres_go_to_the_millimetre() {
        assert_eq!(Showing::MILLIMETRES.with_unit(Length::inches(31, 2)), "79.4 cm");
        assert_eq!(Showing::MILLIMETRES.number(Length::tenths_of_mm(7900)), "79");
    }

    proptest! {
        #[test]
        fn reading_what_was_shown_gives_the_same_length(count in -6000_i64..6000, kind in 0..3_usize) {
            let showing = [Showing::EIGHTHS, Showing::SIXTEENTHS, Showing::MILLIMETRES][kind];
            let length = Length::from_nm(count * showing.step_length().nm());
            let size = length.abs();
            prop_assert_eq!(read_length(&showing.number(size), showing.unit()), Ok(size));
            prop_assert_eq!(read_length(&showing.with_unit(size), Unit::Inch), Ok(size));
        }
    }
}
