//! Lengths of strips in rows across the cloth, cut from selvedge to selvedge.

/// One length that waits for a row.
#[derive(Clone, Copy, Debug)]
pub(super) struct RowBit {
    pub(super) strip: usize,
    pub(super) copy: u32,
    pub(super) length: f64,
    pub(super) depth: f64,
}

/// A row: how deep it is and which lengths lie in it, from x = 0 on.
#[derive(Clone, Debug)]
pub(super) struct Row {
    pub(super) depth: f64,
    pub(super) bits: Vec<RowBit>,
}

/// The rows for some lengths on a cloth of this usable width: the deepest and
/// longest first, each into the first row that is deep enough and has room (first
/// fit, decreasing).
pub(super) fn rows(mut bits: Vec<RowBit>, usable: f64) -> Vec<Row> {
    /// Rounding of sums of lengths.
    const SLACK_MM: f64 = 1e-6;
    bits.sort_by(|a, b| b.depth.total_cmp(&a.depth).then(b.length.total_cmp(&a.length)));
    let mut rows: Vec<Row> = Vec::new();
    for bit in bits {
        let room = |row: &Row| {
            let taken: f64 = row.bits.iter().map(|bit| bit.length).sum();
            row.depth >= bit.depth && taken + bit.length <= usable + SLACK_MM
        };
        match rows.iter_mut().find(|row| room(row)) {
            Some(row) => row.bits.push(bit),
            None => rows.push(Row { depth: bit.depth, bits: vec![bit] }),
        }
    }
    rows
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_part_filled_row_is_shared() {
        let bit = |strip, length, depth| RowBit { strip, copy: 1, length, depth };
        let found =
            rows(vec![bit(1, 500.0, 60.0), bit(0, 1100.0, 127.0), bit(0, 200.0, 127.0), bit(1, 500.0, 60.0)], 1100.0);
        let lengths: Vec<Vec<f64>> = found.iter().map(|row| row.bits.iter().map(|bit| bit.length).collect()).collect();
        assert_eq!(lengths, [vec![1100.0], vec![200.0, 500.0], vec![500.0]]);
        assert!((found.iter().map(|row| row.depth).sum::<f64>() - 314.0).abs() < 1e-9);
    }
}
