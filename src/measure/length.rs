//! A length: whole nanometres in an `i64`.

use std::iter::Sum;
use std::ops::{Add, Neg, Sub};

/// A length in whole nanometres. Sums saturate at about ±9.2 million km, so
/// arithmetic on lengths that passed `read_length` (at most 100 m) is exact.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Length(i64);

impl Length {
    /// No length at all.
    pub const ZERO: Length = Length(0);
    /// One inch: 25.4 mm by the international yard agreement of 1959.
    pub const INCH: Length = Length(25_400_000);
    /// One centimetre.
    pub const CENTIMETRE: Length = Length(10_000_000);
    /// One millimetre.
    pub const MILLIMETRE: Length = Length(1_000_000);
    /// The longest length that a person may type: 100 m, a bolt and more.
    pub const LONGEST: Length = Length(100_000_000_000);

    /// A length of `nm` nanometres.
    #[must_use]
    pub const fn from_nm(nm: i64) -> Length {
        Length(nm)
    }

    /// This length in nanometres.
    #[must_use]
    pub const fn nm(self) -> i64 {
        self.0
    }

    /// The nearest length to `mm` millimetres; `None` when `mm` is not a number
    /// or is further from zero than 1,000 km.
    #[must_use]
    pub fn from_mm(mm: f64) -> Option<Length> {
        const LIMIT_MM: f64 = 1e9;
        if !mm.is_finite() || mm.abs() > LIMIT_MM {
            return None;
        }
        #[expect(clippy::cast_possible_truncation, reason = "held within 1e15 nm on the line above")]
        let nm = (mm * 1e6).round() as i64;
        Some(Length(nm))
    }

    /// This length in millimetres.
    #[must_use]
    pub fn mm(self) -> f64 {
        self.0 as f64 / 1e6
    }

    /// `count` sixty-fourths of an inch, exactly.
    #[must_use]
    pub const fn sixty_fourths(count: i64) -> Length {
        Length(count.saturating_mul(396_875))
    }

    /// `whole` inches and `eighths` eighths of an inch, exactly.
    #[must_use]
    pub const fn inches(whole: i64, eighths: i64) -> Length {
        Length::sixty_fourths(whole.saturating_mul(64).saturating_add(eighths.saturating_mul(8)))
    }

    /// `count` tenths of a millimetre, exactly.
    #[must_use]
    pub const fn tenths_of_mm(count: i64) -> Length {
        Length(count.saturating_mul(100_000))
    }

    /// The nearest multiple of `step` (halves away from zero); this length
    /// itself when `step` is not above zero.
    #[must_use]
    pub fn rounded_to(self, step: Length) -> Length {
        if step.0 <= 0 {
            return self;
        }
        let half = step.0 / 2;
        let away = if self.0 < 0 { self.0.saturating_sub(half) } else { self.0.saturating_add(half) };
        Length(away / step.0 * step.0)
    }

    /// The nearest multiple of `step` that is not below this length.
    #[must_use]
    pub fn rounded_up_to(self, step: Length) -> Length {
        if step.0 <= 0 {
            return self;
        }
        let down = self.0.div_euclid(step.0).saturating_mul(step.0);
        Length(if down == self.0 { down } else { down.saturating_add(step.0) })
    }

    /// This length without its sign.
    #[must_use]
    pub const fn abs(self) -> Length {
        Length(self.0.saturating_abs())
    }

    /// Whether this length is a whole number of sixty-fourths of an inch.
    #[must_use]
    pub const fn is_sixty_fourths(self) -> bool {
        self.0 % 396_875 == 0
    }
}

impl Add for Length {
    type Output = Length;
    fn add(self, other: Length) -> Length {
        Length(self.0.saturating_add(other.0))
    }
}

impl Sub for Length {
    type Output = Length;
    fn sub(self, other: Length) -> Length {
        Length(self.0.saturating_sub(other.0))
    }
}

impl Neg for Length {
    type Output = Length;
    fn neg(self) -> Length {
        Length(self.0.saturating_neg())
    }
}

impl Sum for Length {
    fn sum<I: Iterator<Item = Length>>(lengths: I) -> Length {
        lengths.fold(Length::ZERO, Add::add)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_eighth_and_a_tenth_are_both_exact() {
        assert_eq!(Length::inches(31, 2).nm(), 793_750_000);
        assert_eq!(Length::tenths_of_mm(7940).nm(), 794_000_000);
        assert_eq!(Length::sixty_fourths(64), Length::INCH);
    }

    #[test]
    fn rounding_goes_to_the_nearest_step_and_halves_go_away_from_zero() {
        let eighth = Length::inches(0, 1);
        assert_eq!(Length::sixty_fourths(11).rounded_to(eighth), Length::inches(0, 1));
        assert_eq!(Length::sixty_fourths(12).rounded_to(eighth), Length::inches(0, 2));
        assert_eq!(Length::sixty_fourths(-12).rounded_to(eighth), Length::inches(0, -2));
        assert_eq!(Length::sixty_fourths(9).rounded_up_to(eighth), Length::inches(0, 2));
        assert_eq!(Length::sixty_fourths(-9).rounded_up_to(eighth), Length::inches(0, -1));
    }

    #[test]
    fn no_number_is_no_length() {
        assert_eq!(Length::from_mm(f64::NAN), None);
        assert_eq!(Length::from_mm(1e10), None);
        assert_eq!(Length::from_mm(25.4), Some(Length::INCH));
    }
}
