//! Words set in rows.

/// A text in rows, broken between words; `fits` says whether a row has room for one word more.
/// A word that is too wide by itself has a row of its own.
#[must_use]
pub fn in_rows(text: &str, fits: impl Fn(&str, &str) -> bool) -> Vec<String> {
    let mut rows: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        match rows.last_mut() {
            Some(row) if fits(row, word) => {
                row.push(' ');
                row.push_str(word);
            }
            _ => rows.push(word.into()),
        }
    }
    rows
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_word_is_lost_and_rows_end_where_no_more_fits() {
        let short = |row: &str, word: &str| row.len() + 1 + word.len() <= 9;
        assert_eq!(in_rows("cut one  on the selvedge-side", short), ["cut one", "on the", "selvedge-side"]);
        assert!(in_rows(" ", short).is_empty());
    }
}
