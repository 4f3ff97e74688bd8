//! The wearer's own left and right.

/// One side of a body, as its wearer says it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum BodySide {
    /// The wearer's left.
    Left,
    /// The wearer's right.
    Right,
}

impl BodySide {
    /// The stored key; it never changes.
    #[must_use]
    pub const fn key(self) -> &'static str {
        match self {
            BodySide::Left => "left",
            BodySide::Right => "right",
        }
    }

    /// The side of this key.
    #[must_use]
    pub fn from_key(key: &str) -> Option<BodySide> {
        [BodySide::Left, BodySide::Right].into_iter().find(|side| side.key() == key)
    }
}
