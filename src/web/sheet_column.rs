//! Chalk figures that would stand on one another in a drawing, set in a column beside it:
//! each with its words, and a thin line from its chalk line.

use crate::geom::Point;
use crate::sheet::{ChalkLine, in_rows};

use super::sheet_piece::{FIGURE, SMALL, SPACE, Words, wide};

/// Words beside a figure are broken so that they are no wider than this, mm, as long as one
/// word fits: some eleven letters, the longest usual words.
const WORDS_WIDE: f64 = 15.6;
/// Between the rows of words, mm.
const ROW: f64 = SMALL * 1.1;
/// Between the drawing and its column, mm: the thin lines are seen to run across.
const BEFORE: f64 = 2.6;
/// So much must two texts lie over one another before it disturbs, mm: their boxes are reckoned
/// from an average letter.
const TOUCHING: f64 = 0.4;

/// The place that a text takes: its least and its greatest corner.
pub(super) type Taken = (Point, Point);

/// The place of a text that stands on `base`, about its middle; turned, it runs upward.
pub(super) fn taken(base: Point, text: &str, size: f64, turned: bool) -> Taken {
    let (half, high) = (wide(text, size) / 2.0, size * 0.74);
    if turned {
        ([base[0] - high, base[1] - half], [base[0], base[1] + half])
    } else {
        ([base[0] - half, base[1] - high], [base[0] + half, base[1]])
    }
}

/// Whether two of these texts stand on one another, or one stands out of the drawing.
pub(super) fn collide(texts: &[Taken], size: Point) -> bool {
    let over = |a: &Taken, b: &Taken, axis: usize| a.1[axis].min(b.1[axis]) - a.0[axis].max(b.0[axis]) > TOUCHING;
    let out = |one: &Taken| (0..2).any(|axis| one.0[axis] < -TOUCHING || one.1[axis] > size[axis] + TOUCHING);
    texts
        .iter()
        .enumerate()
        .any(|(n, one)| out(one) || texts.iter().skip(n + 1).any(|other| over(one, other, 0) && over(one, other, 1)))
}

/// One figure of a column.
pub(super) struct Entry {
    /// The rows of its words.
    pub(super) labels: Vec<Words>,
    /// The figure.
    pub(super) figure: Words,
    /// The thin line from the chalk line to it.
    pub(super) leader: (Point, Point),
}

/// How wide the column is, with the gap before it, mm.
pub(super) fn width(lines: &[ChalkLine]) -> f64 {
    let words = lines.iter().flat_map(|line| broken(&line.label)).map(|row| wide(&row, SMALL)).fold(0.0, f64::max);
    BEFORE + figures_wide(lines) + SPACE + words
}

fn figures_wide(lines: &[ChalkLine]) -> f64 {
    /// Bold figures are so much wider than the average letter.
    const BOLD: f64 = 1.2;
    lines.iter().map(|line| wide(&line.figure, FIGURE) * BOLD).fold(0.0, f64::max)
}

/// The column to the right of `left`, between nought and `height`: each figure as near as can be to
/// where its chalk line ends (`from`, on the paper), in the order of those ends.
pub(super) fn column(lines: &[ChalkLine], from: &[Point], (left, height): (f64, f64)) -> Vec<Entry> {
    let mut order: Vec<(&ChalkLine, Point)> = lines.iter().zip(from.iter().copied()).collect();
    order.sort_by(|a, b| a.1[1].total_cmp(&b.1[1]));
    let rows: Vec<Vec<String>> = order.iter().map(|(line, _)| broken(&line.label)).collect();
    let high = |rows: &[String]| (FIGURE * 1.05).max(ROW * rows.len() as f64 + 0.5);
    // Down past the one before, then up again from the foot.
    let mut tops: Vec<f64> = Vec::with_capacity(order.len());
    let mut free = 0.0_f64;
    for ((_, end), rows) in order.iter().zip(&rows) {
        let top = (end[1] - high(rows) / 2.0).max(free);
        free = top + high(rows);
        tops.push(top);
    }
    let mut foot = height;
    for (top, rows) in tops.iter_mut().zip(&rows).rev() {
        *top = top.min(foot - high(rows));
        foot = *top;
    }
    let figures = left + BEFORE;
    let words = figures + figures_wide(lines) + SPACE;
    let placed = order.iter().zip(rows).zip(tops);
    placed
        .map(|(((line, end), rows), top)| {
            let middle = top + high(&rows) / 2.0;
            let first = middle - ROW * rows.len() as f64 / 2.0 + SMALL * 0.9;
            let labels = rows.iter().zip(0_u32..);
            Entry {
                labels: labels.map(|(row, n)| Words::starting([words, first + ROW * f64::from(n)], row)).collect(),
                figure: Words::starting([figures, middle + FIGURE * 0.36], &line.figure),
                leader: (*end, [figures - 0.6, middle]),
            }
        })
        .collect()
}

/// Words in rows no wider than [`WORDS_WIDE`].
fn broken(label: &str) -> Vec<String> {
    in_rows(label, |row, word| wide(row, SMALL) + wide(word, SMALL) + SMALL * 0.3 <= WORDS_WIDE)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn line(label: &str) -> ChalkLine {
        ChalkLine { label: label.into(), figure: "10 1/2".into(), from: [0.0; 2], to: [1.0, 0.0] }
    }

    #[test]
    fn texts_on_one_another_or_over_the_rim_are_seen() {
        let at = |x: f64, y: f64| taken([x, y], "Hip line", SMALL, false);
        assert!(!collide(&[at(20.0, 20.0), at(20.0, 24.0)], [40.0, 40.0]));
        assert!(collide(&[at(20.0, 20.0), at(22.0, 21.0)], [40.0, 40.0]));
        assert!(collide(&[at(1.0, 20.0)], [40.0, 40.0]));
        // Upright it is as high as it is wide.
        assert!(collide(&[taken([20.0, 2.0], "Hip line", SMALL, true)], [40.0, 40.0]));
    }

    #[test]
    fn figures_stand_in_their_order_clear_of_one_another_and_within_the_height() {
        let lines = [line("Knee line"), line("Front waist drawn straight across, darts open"), line("Hip line")];
        let ends = [[9.0, 39.0], [9.0, 1.0], [9.0, 38.0]];
        let entries = column(&lines, &ends, (20.0, 40.0));
        let bases: Vec<f64> = entries.iter().map(|one| one.figure.y.parse().unwrap()).collect();
        assert!(bases.windows(2).all(|two| two[1] - two[0] >= FIGURE) && bases[2] < 40.0, "{bases:?}");
        assert_eq!(entries.iter().map(|one| one.labels.len()).collect::<Vec<_>>(), [5, 1, 1]);
        assert_eq!(entries[1].labels[0].text, "Hip line");
        assert!(crate::geom::distance(entries[0].leader.0, [9.0, 1.0]) < 1e-9);
    }

    #[test]
    fn words_are_broken_where_they_must() {
        assert_eq!(broken("Hip line"), ["Hip line"]);
        assert_eq!(broken("Waistband, sewn"), ["Waistband,", "sewn"]);
        assert!(broken("").is_empty());
    }
}
