//! A straight strip, cut whole or in lengths that are joined: frill, band, tie.

use crate::geom::Point;

use super::{Grain, LayError, words::both};

/// A straight strip to be cut one or more times.
#[derive(Clone, Debug, PartialEq)]
pub struct Strip {
    /// The key in the style: `frill`.
    pub key: String,
    /// The words for it: `Frill`.
    pub label: String,
    /// The letter by which drawings name it.
    pub letter: String,
    /// Sewn length of one strip, without allowances, mm.
    pub length_mm: f64,
    /// Allowance at each end and on both sides of each join, mm.
    pub join_mm: f64,
    /// Cut width (depth) with its allowances, mm.
    pub width_mm: f64,
    /// How many such strips.
    pub count: u32,
    /// How its length lies: usually across the cloth.
    pub grain: Grain,
    /// Whether it may be joined from shorter lengths.
    pub joined: bool,
    /// Which garment of a joint lay it belongs to. A strip is the same end for end, so
    /// that a nap asks nothing of it here: the cutter chalks an arrow on it.
    pub garment: u32,
}

/// A last length shorter than this is scant to sew; the length before gives up
/// some of its own (judgement: 4 in).
const SCANT_MM: f64 = 101.6;

/// A strip along the grain that may be joined is cut whole up to 2 m, or as far as
/// the longest part reaches: it lies beside the parts, and a tie with a join in it is
/// a poor tie. Longer than that it would ask for cloth of its own (judgement).
const ALONG_MM: f64 = 2000.0;

/// The most lengths that one strip is cut in.
const MOST_LENGTHS: usize = 120;

impl Strip {
    /// The cut lengths of one strip, longest first, mm: each keeps the join
    /// allowance at both of its ends. `usable_mm` is the width between the
    /// selvedges, `longest_part_mm` how far the longest part reaches along the cloth.
    ///
    /// # Errors
    /// [`LayError::Strip`] or [`LayError::TooWide`] when it cannot be cut so.
    pub fn lengths(&self, usable_mm: f64, longest_part_mm: f64) -> Result<Vec<f64>, LayError> {
        self.sound()?;
        let most = self.most_length(usable_mm, longest_part_mm)?;
        let whole = self.length_mm + 2.0 * self.join_mm;
        if whole <= most {
            return Ok(vec![whole]);
        }
        if !self.joined {
            return Err(self.too_wide(whole, usable_mm));
        }
        let sewn_each = most - 2.0 * self.join_mm;
        if sewn_each < SCANT_MM {
            return Err(self.cannot("the cloth is too narrow for such joins. Choose a wider cloth."));
        }
        if self.grain == Grain::Along {
            return self.even_lengths(sewn_each);
        }
        let mut lengths = Vec::new();
        let mut rest = self.length_mm;
        while rest > 0.0 {
            if lengths.len() >= MOST_LENGTHS {
                return Err(self.too_many());
            }
            let mut sewn = sewn_each.min(rest);
            let left = rest - sewn;
            if left > 0.0 && left < SCANT_MM {
                sewn -= SCANT_MM - left;
            }
            lengths.push(sewn + 2.0 * self.join_mm);
            rest -= sewn;
        }
        Ok(lengths)
    }

    /// Refuses what is no strip.
    pub(super) fn sound(&self) -> Result<(), LayError> {
        /// The longest length that a person may type (measure).
        const LONGEST_MM: f64 = 100_000.0;
        let sound = |mm: f64, least: f64| mm >= least && mm <= LONGEST_MM;
        if sound(self.length_mm, 1.0) && sound(self.width_mm, 1.0) && sound(self.join_mm, 0.0) {
            return Ok(());
        }
        Err(self
            .cannot("a strip is 1 mm to 100 m long and wide, its joins nought or more. Check the rules that give it."))
    }

    /// One length of it, drawn with its own length along y.
    pub(super) fn bit_outline(&self, length_mm: f64) -> Vec<Point> {
        vec![[0.0, 0.0], [self.width_mm, 0.0], [self.width_mm, length_mm], [0.0, length_mm]]
    }

    /// The fewest lengths that sew up at most so much each, all alike: no width is
    /// filled by making one of them longer, and the joins lie even.
    fn even_lengths(&self, sewn_each: f64) -> Result<Vec<f64>, LayError> {
        let mut lengths = Vec::new();
        let mut number = 0.0;
        while lengths.len() < MOST_LENGTHS {
            lengths.push(0.0);
            number += 1.0;
            if self.length_mm <= number * sewn_each {
                lengths.fill(self.length_mm / number + 2.0 * self.join_mm);
                return Ok(lengths);
            }
        }
        Err(self.too_many())
    }

    /// The longest cut length that this cloth gives.
    fn most_length(&self, usable_mm: f64, longest_part_mm: f64) -> Result<f64, LayError> {
        let bias = usable_mm * std::f64::consts::SQRT_2 - self.width_mm;
        match self.grain {
            Grain::Across | Grain::Any => Ok(usable_mm),
            Grain::Along if self.width_mm > usable_mm => Err(self.too_wide(self.width_mm, usable_mm)),
            Grain::Along if self.joined => Ok(longest_part_mm.max(ALONG_MM)),
            Grain::Along => Ok(f64::INFINITY),
            Grain::Bias if bias <= 0.0 => Err(self.too_wide(self.width_mm / std::f64::consts::SQRT_2, usable_mm)),
            Grain::Bias => Ok(bias),
        }
    }

    fn too_wide(&self, needs_mm: f64, usable_mm: f64) -> LayError {
        LayError::TooWide { label: self.label.clone(), needs: both(needs_mm), usable: both(usable_mm) }
    }

    fn too_many(&self) -> LayError {
        self.cannot("it would take more than 120 lengths. Check the length and the fullness.")
    }

    fn cannot(&self, why: &'static str) -> LayError {
        let (length, width, join) = (both(self.length_mm), both(self.width_mm), both(self.join_mm));
        LayError::Strip { label: self.label.clone(), length, width, join, why }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const IN: f64 = 25.4;

    fn frill(length_in: f64) -> Strip {
        Strip {
            key: "frill".into(),
            label: "Frill".into(),
            letter: "F".into(),
            length_mm: length_in * IN,
            join_mm: IN / 2.0,
            width_mm: 5.0 * IN,
            count: 1,
            grain: Grain::Across,
            joined: true,
            garment: 0,
        }
    }

    #[test]
    fn a_frill_of_93_in_on_44_in_takes_three_lengths() {
        // Each full length sews 44 − 1 = 43; 93 − 2 × 43 = 7, cut 8.
        let inches: Vec<f64> = frill(93.0).lengths(44.0 * IN, 0.0).unwrap().iter().map(|mm| mm / IN).collect();
        assert_eq!(inches.len(), 3);
        for (found, right) in inches.iter().zip([44.0, 44.0, 8.0]) {
            assert!((found - right).abs() < 1e-9, "{inches:?}");
        }
    }

    #[test]
    fn a_scant_last_length_is_evened_out() {
        // 44 sewn: one length gives 43; the last inch takes 3 more from the first.
        let lengths = frill(44.0).lengths(44.0 * IN, 0.0).unwrap();
        assert_eq!(lengths.len(), 2);
        assert!((lengths.iter().sum::<f64>() / IN - 46.0).abs() < 1e-9);
        assert!(lengths.iter().all(|mm| *mm >= SCANT_MM + IN - 1e-9));
    }

    #[test]
    fn what_may_not_be_joined_must_fit() {
        let tie = Strip { joined: false, ..frill(51.0) };
        assert!(matches!(tie.lengths(44.0 * IN, 0.0), Err(LayError::TooWide { .. })));
        let along = Strip { grain: Grain::Along, ..tie };
        assert_eq!(along.lengths(44.0 * IN, 0.0).unwrap(), [52.0 * IN]);
        let nothing = Strip { length_mm: 0.0, ..frill(1.0) };
        assert!(nothing.lengths(44.0 * IN, 0.0).unwrap_err().to_string().contains("“Frill” is 0 in (0 cm) long"));
        assert!(frill(3000.0).lengths(8.0 * IN, 0.0).is_err());
    }

    #[test]
    fn a_tie_along_the_grain_comes_out_whole_up_to_2_m() {
        let tie = |sewn_in: f64| Strip { grain: Grain::Along, ..frill(sewn_in) };
        // Longer than the cloth is wide and than every part, and yet not joined.
        let whole = tie(49.5).lengths(44.0 * IN, 25.0 * IN).unwrap();
        assert!(whole.len() == 1 && (whole[0] - 50.5 * IN).abs() < 1e-9, "{whole:?}");
        // 2 m is 78.74 in: 77.7 sewn is whole, 77.8 is two of 38.9, alike.
        assert_eq!(tie(77.7).lengths(44.0 * IN, 0.0).unwrap().len(), 1);
        let joined = tie(77.8).lengths(44.0 * IN, 0.0).unwrap();
        assert_eq!(joined.len(), 2);
        assert!(joined.iter().all(|mm| (mm / IN - 39.9).abs() < 1e-9), "{joined:?}");
        // Beside a longer part it may be as long as that.
        assert_eq!(tie(90.0).lengths(44.0 * IN, 91.0 * IN).unwrap().len(), 1);
    }

    proptest! {
        #[test]
        fn lengths_along_the_grain_are_few_and_alike(length in 2.0..900.0_f64, longest in 0.0..120.0_f64) {
            let strip = Strip { grain: Grain::Along, ..frill(length) };
            let lengths = strip.lengths(44.0 * IN, longest * IN).unwrap();
            let sewn: f64 = lengths.iter().map(|cut| cut - IN).sum();
            prop_assert!((sewn - length * IN).abs() < 1e-6);
            prop_assert!(lengths.iter().all(|cut| (cut - lengths[0]).abs() < 1e-9));
            let most = (longest * IN).max(2000.0) - IN;
            let fewest = (length * IN / most).ceil();
            prop_assert!((lengths.len() as f64 - fewest).abs() < 0.5);
        }

        #[test]
        fn the_lengths_sew_up_to_the_strip(length in 2.0..900.0_f64, usable in 20.0..60.0_f64) {
            let (strip, usable) = (frill(length), usable * IN);
            let lengths = strip.lengths(usable, 0.0).unwrap();
            let sewn: f64 = lengths.iter().map(|cut| cut - IN).sum();
            prop_assert!((sewn - length * IN).abs() < 1e-6);
            prop_assert!(lengths.iter().all(|cut| *cut <= usable + 1e-9 && *cut > IN));
            let fewest = (length * IN / (usable - IN)).ceil();
            prop_assert!((lengths.len() as f64 - fewest).abs() < 1.5);
        }
    }
}
