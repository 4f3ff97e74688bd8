//! Dimensions that the shop adds to the book's own.

keyed! {
    /// What kind of length it is.
    OwnDimensionKind {
        /// Round the body.
        Girth = "girth", "girth";
        /// Along the body.
        Length = "length", "length";
        /// Across the body.
        Width = "width", "width";
        /// What the client wants: neither body nor ease.
        Finished = "finished", "finished length";
    }
}

/// A dimension of the shop's own.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OwnDimension {
    /// The key: snake_case, not one of the book's.
    pub key: String,
    /// Counts the edits of this row.
    pub version: i64,
    /// What the shop calls it.
    pub term: String,
    /// Where the tape goes.
    pub how: String,
    /// What kind of length it is.
    pub kind: OwnDimensionKind,
    /// Whether it is asked for no longer; old readings stay.
    pub retired: bool,
}
