//! Cloth on the bias: strips cut at 45° to the selvedge.

/// How far a bias strip of this width reaches along the selvedge, mm: the diagonal of
/// its square.
#[must_use]
pub fn along_selvedge(width: f64) -> f64 {
    width * std::f64::consts::SQRT_2
}

/// The length of bias strip of this width that an area of cloth gives when it is joined
/// to a tube and cut round and round, mm; nominal, without the two seams.
#[must_use]
pub fn bias_length(area: f64, width: f64) -> f64 {
    if width > 0.0 { (area / width).max(0.0) } else { 0.0 }
}

/// The side of the square of cloth that gives so much bias strip of this width, mm.
#[must_use]
pub fn bias_square(length: f64, width: f64) -> f64 {
    (length * width).max(0.0).sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// Baldt, Clothing for Women (1916), ch. XXII: strip width, and the length along the
    /// selvedge in inches and eighths. Her figures are rounded and cut off by turns.
    #[test]
    fn baldts_table() {
        const TABLE: [(f64, f64, f64); 22] = [
            (0.5, 0.0, 6.0),
            (1.0, 1.0, 3.0),
            (1.5, 2.0, 1.0),
            (2.0, 2.0, 6.0),
            (2.5, 3.0, 4.0),
            (3.0, 4.0, 2.0),
            (3.5, 5.0, 0.0),
            (4.0, 5.0, 5.0),
            (4.5, 6.0, 3.0),
            (5.0, 7.0, 1.0),
            (5.5, 7.0, 6.0),
            (6.0, 8.0, 4.0),
            (6.5, 9.0, 1.0),
            (7.0, 9.0, 7.0),
            (7.5, 10.0, 5.0),
            (8.0, 11.0, 2.0),
            (8.5, 12.0, 0.0),
            (9.0, 12.0, 6.0),
            (9.5, 13.0, 3.0),
            (10.0, 14.0, 1.0),
            (10.5, 14.0, 7.0),
            (11.0, 15.0, 4.0),
        ];
        for (width, inches, eighths) in TABLE {
            let off = along_selvedge(width * 25.4) / 25.4 - (inches + eighths / 8.0);
            assert!(off.abs() <= 0.125, "{width}: {off}");
        }
    }

    /// Agreeing published guides: 20 in square in strips of 2 in gives 200 in; 12 in gives
    /// 72; 250 in of 2 in wants a square of 22.36 in.
    #[test]
    fn a_square_gives_its_area_over_the_width() {
        assert!((bias_length(400.0, 2.0) - 200.0).abs() < 1e-12);
        assert!((bias_length(144.0, 2.0) - 72.0).abs() < 1e-12);
        assert!((bias_square(250.0, 2.0) - 22.36).abs() < 0.001);
        assert!(bias_length(1.0, 0.0).abs() < 1e-12 && bias_square(-1.0, 1.0).abs() < 1e-12);
    }

    proptest! {
        #[test]
        fn the_square_gives_what_was_asked(length in 1.0_f64..20_000.0, width in 5.0_f64..300.0) {
            let side = bias_square(length, width);
            prop_assert!((bias_length(side * side, width) - length).abs() < 1e-6);
        }
    }
}
