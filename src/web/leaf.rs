//! Lists are shown a leaf at a time, so that a book of many years stays quick.

use super::fields::Fields;

/// Rows of one leaf.
pub const ROWS: u32 = 50;

/// Which leaf of a list is looked at, and the way to its neighbours.
pub struct Leaf {
    number: u32,
}

impl Leaf {
    /// The leaf asked for, the first unless said otherwise.
    #[must_use]
    pub fn asked(fields: &Fields) -> Leaf {
        // Beyond this nobody turns leaves; it also keeps the offset in range.
        const LAST: u32 = 100_000;
        Leaf { number: fields.text("leaf").parse().unwrap_or(1).clamp(1, LAST) }
    }

    /// How many rows lie before it.
    #[must_use]
    pub const fn offset(&self) -> u32 {
        (self.number - 1) * ROWS
    }

    /// Whether it is the first.
    #[must_use]
    pub const fn is_first(&self) -> bool {
        self.number == 1
    }

    /// What the leaf shows: `3 orders`, `orders 1 to 50; more follow`, `orders 51 to 62`.
    #[must_use]
    pub fn counted(&self, rows: usize, more: bool, one: &str, many: &str) -> String {
        if self.is_first() && !more {
            return super::writing::count(rows, one, many);
        }
        let from = usize::try_from(self.offset()).unwrap_or(0) + 1;
        let last = if more { "; more follow" } else { "" };
        format!("{many} {from} to {}{last}", from + rows.saturating_sub(1))
    }

    /// The address of the leaf before this one.
    #[must_use]
    pub fn earlier(&self, list: &str, fields: &Fields) -> Option<String> {
        (self.number > 1).then(|| address(list, fields, self.number - 1))
    }

    /// The address of the leaf after this one, when there are more rows.
    #[must_use]
    pub fn later(&self, list: &str, fields: &Fields, more: bool) -> Option<String> {
        more.then(|| address(list, fields, self.number + 1))
    }
}

/// The list with its other questions kept.
fn address(list: &str, fields: &Fields, leaf: u32) -> String {
    let mut pairs: Vec<(&str, &str)> =
        fields.starting("").filter(|(name, text)| *name != "leaf" && !text.is_empty()).collect();
    let leaf = leaf.to_string();
    pairs.push(("leaf", &leaf));
    format!("{list}?{}", super::writing::query(&pairs))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_leaf_says_what_it_shows() {
        let leaf = |number: &str| Leaf::asked(&Fields::of(vec![("leaf".into(), number.into())]));
        assert_eq!(leaf("1").counted(1, false, "order", "orders"), "1 order");
        assert_eq!(leaf("1").counted(50, true, "order", "orders"), "orders 1 to 50; more follow");
        assert_eq!(leaf("2").counted(12, false, "order", "orders"), "orders 51 to 62");
    }

    #[test]
    fn leaves_keep_the_question() {
        let fields = Fields::of(vec![("words".into(), "ama & kofi".into()), ("leaf".into(), "2".into())]);
        let leaf = Leaf::asked(&fields);
        assert_eq!(leaf.offset(), 50);
        assert_eq!(leaf.earlier("/clients", &fields).unwrap(), "/clients?words=ama%20%26%20kofi&leaf=1");
        assert_eq!(leaf.later("/clients", &fields, false), None);
        assert_eq!(Leaf::asked(&Fields::of(vec![("leaf".into(), "-4".into())])).offset(), 0);
    }
}
