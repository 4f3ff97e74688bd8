//! One integration binary: one noun, one file.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test says what it expects by unwrapping")]

mod lay;
mod lay_check;
mod plan;
mod plausible;
