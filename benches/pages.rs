//! Timings of pages.
fn main() {}
