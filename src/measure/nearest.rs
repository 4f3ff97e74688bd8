//! The known word nearest to a mistyped one, for errors that offer it.

/// The candidate nearest to `word`, when one is near enough to be what was meant:
/// at most one slip in three letters, or a candidate that holds the whole word
/// (`hip` for `hip_girth`). The first of equals wins.
#[must_use]
pub fn nearest<'a>(word: &str, candidates: impl Iterator<Item = &'a str>) -> Option<&'a str> {
    let wanted: Vec<char> = word.trim().to_lowercase().chars().collect();
    let trimmed: String = wanted.iter().collect();
    let stem = trimmed.strip_suffix('s').unwrap_or(&trimmed);
    let mut best: Option<(usize, &str)> = None;
    for candidate in candidates {
        let lower = candidate.to_lowercase();
        let letters: Vec<char> = lower.chars().collect();
        let slips = slips(&wanted, &letters);
        let allowed = wanted.len().max(letters.len()) / 3;
        let holds = stem.chars().count() >= 3 && lower.contains(stem);
        let near = slips <= allowed || holds;
        if near && best.is_none_or(|(least, _)| slips < least) {
            best = Some((slips, candidate));
        }
    }
    best.map(|(_, candidate)| candidate)
}

/// Letters added, left out, changed, or swapped with their neighbour: the
/// restricted edit distance (Damerau 1964), row by row.
fn slips(from: &[char], to: &[char]) -> usize {
    let mut before_last: Vec<usize> = Vec::new();
    let mut last: Vec<usize> = (0..=to.len()).collect();
    for (row, have) in from.iter().enumerate() {
        let mut this = vec![row + 1];
        for (column, want) in to.iter().enumerate() {
            let at = |line: &[usize], place: usize| line.get(place).copied().unwrap_or(usize::MAX - 1);
            let mut least = (at(&last, column + 1) + 1).min(at(&this, column) + 1);
            least = least.min(at(&last, column) + usize::from(have != want));
            if row > 0 && column > 0 && from.get(row - 1) == Some(want) && to.get(column - 1) == Some(have) {
                least = least.min(at(&before_last, column - 1) + 1);
            }
            this.push(least);
        }
        before_last = std::mem::replace(&mut last, this);
    }
    last.last().copied().unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn count(from: &str, to: &str) -> usize {
        slips(&from.chars().collect::<Vec<_>>(), &to.chars().collect::<Vec<_>>())
    }

    #[test]
    fn slips_are_counted_as_the_textbooks_do() {
        // kitten/sitting: 3 and saturday/sunday: 3 are the usual textbook pairs (common practice).
        assert_eq!(count("kitten", "sitting"), 3);
        assert_eq!(count("saturday", "sunday"), 3);
        assert_eq!(count("wiast", "waist"), 1);
        assert_eq!(count("", "abc"), 3);
    }

    #[test]
    fn a_far_word_offers_nothing() {
        let known = ["fullness", "taper", "frill_depth"];
        assert_eq!(nearest("fulness", known.into_iter()), Some("fullness"));
        assert_eq!(nearest("frill", known.into_iter()), Some("frill_depth"));
        assert_eq!(nearest("xylophone", known.into_iter()), None);
        assert_eq!(nearest("", known.into_iter()), None);
    }

    proptest! {
        #[test]
        fn the_distance_is_even_handed_and_nought_only_for_the_same(a in "[a-d]{0,7}", b in "[a-d]{0,7}") {
            prop_assert_eq!(count(&a, &b), count(&b, &a));
            prop_assert_eq!(count(&a, &b) == 0, a == b);
            prop_assert!(count(&a, &b) <= a.len().max(b.len()));
        }
    }
}
