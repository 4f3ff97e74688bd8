//! Which lines of a text are new beside an older one.

/// A line of two texts laid side by side.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Line<'t> {
    /// In both.
    Both(&'t str),
    /// In the older one alone.
    Gone(&'t str),
    /// In the newer one alone.
    New(&'t str),
}

/// Beyond so many pairs of lines that differ they are told as a whole: gone, then new. 2,000 by
/// 2,000 lines take some milliseconds; the longest style of the book has 400 lines.
const MOST_PAIRS: usize = 4_000_000;

/// The lines of both texts in order, by their longest common subsequence.
#[must_use]
pub fn between<'t>(old: &'t str, new: &'t str) -> Vec<Line<'t>> {
    let (old, new): (Vec<&str>, Vec<&str>) = (old.lines().collect(), new.lines().collect());
    let alike = |a: &&&str, b: &&&str| a == b;
    let before = old.iter().zip(&new).take_while(|(a, b)| alike(a, b)).count();
    let most = old.len().min(new.len()) - before;
    let after = old.iter().rev().zip(new.iter().rev()).take(most).take_while(|(a, b)| alike(a, b)).count();
    let middle =
        |lines: &[&'t str]| -> Vec<&'t str> { lines.get(before..lines.len() - after).unwrap_or_default().to_vec() };
    let mut lines: Vec<Line<'t>> = old.iter().take(before).map(|line| Line::Both(line)).collect();
    lines.extend(changed(&middle(&old), &middle(&new)));
    lines.extend(old.iter().skip(old.len() - after).map(|line| Line::Both(line)));
    lines
}

fn changed<'t>(old: &[&'t str], new: &[&'t str]) -> Vec<Line<'t>> {
    if old.len().saturating_mul(new.len()) > MOST_PAIRS {
        let gone = old.iter().map(|line| Line::Gone(line));
        return gone.chain(new.iter().map(|line| Line::New(line))).collect();
    }
    // common[a][b]: how many lines the rests from a and from b have in common.
    let width = new.len() + 1;
    let mut common = vec![0_u32; (old.len() + 1) * width];
    let at = |common: &[u32], a: usize, b: usize| common.get(a * width + b).copied().unwrap_or(0);
    for (a, left) in old.iter().enumerate().rev() {
        for (b, right) in new.iter().enumerate().rev() {
            let value = if left == right {
                at(&common, a + 1, b + 1) + 1
            } else {
                at(&common, a + 1, b).max(at(&common, a, b + 1))
            };
            if let Some(cell) = common.get_mut(a * width + b) {
                *cell = value;
            }
        }
    }
    let (mut a, mut b) = (0, 0);
    let mut lines = Vec::with_capacity(old.len().max(new.len()));
    loop {
        match (old.get(a), new.get(b)) {
            (Some(left), Some(right)) if left == right => {
                lines.push(Line::Both(left));
                a += 1;
                b += 1;
            }
            (Some(left), right) if right.is_none() || at(&common, a + 1, b) >= at(&common, a, b + 1) => {
                lines.push(Line::Gone(left));
                a += 1;
            }
            (_, Some(right)) => {
                lines.push(Line::New(right));
                b += 1;
            }
            _ => return lines,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn a_line_put_in_is_new_and_one_taken_out_is_gone() {
        let found = between("a\nb\nc\nd", "a\nc\nx\nd");
        assert_eq!(found, [Line::Both("a"), Line::Gone("b"), Line::Both("c"), Line::New("x"), Line::Both("d")]);
        assert_eq!(between("", "a"), [Line::New("a")]);
        assert_eq!(between("a\na", "a"), [Line::Both("a"), Line::Gone("a")]);
    }

    #[test]
    fn very_long_texts_are_told_as_a_whole() {
        let (old, new) = ("a\n".repeat(2100), "b\n".repeat(2100));
        assert_eq!(between(&old, &new).len(), 4200);
    }

    proptest! {
        #[test]
        fn both_texts_can_be_read_from_the_lines(old in "[ab\n]{0,40}", new in "[ab\n]{0,40}") {
            let lines = between(&old, &new);
            let of_old: Vec<&str> = lines.iter().filter_map(|line| match line {
                Line::Both(text) | Line::Gone(text) => Some(*text),
                Line::New(_) => None,
            }).collect();
            let of_new: Vec<&str> = lines.iter().filter_map(|line| match line {
                Line::Both(text) | Line::New(text) => Some(*text),
                Line::Gone(_) => None,
            }).collect();
            prop_assert_eq!(of_old, old.lines().collect::<Vec<_>>());
            prop_assert_eq!(of_new, new.lines().collect::<Vec<_>>());
        }
    }
}
