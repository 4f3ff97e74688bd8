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
}

/// A last length shorter than this is scant to sew; the length before gives up
/// some of its own (judgement: 4 in).
const SCANT_MM: f64 = 101.6;

/// A joined strip along the grain is cut in lengths of at most a metre unless a
/// part is longer, so that it lies beside the parts (judgement).
const ALONG_MM: f64 = 1000.0;

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
        let mut lengths = Vec::new();
        let mut rest = self.length_mm;
        while rest > 0.0 {
            if lengths.len() >= MOST_LENGTHS {
                return Err(self.cannot("it would take more than 120 lengths. Check the length and the fullness."));
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

    /// The longest cut length that this cloth gives.
    fn most_length(&self, usable_mm: f64, longest_part_mm: f64) -> Result<f64, LayError> {
        let bias = usable_mm * std::f64::consts::SQRT_2 - self.width_mm;
        match self.grain {
            Grain::Across => Ok(usable_mm),
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

    proptest! {
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
