//! Timings of draft.
fn main() {}
