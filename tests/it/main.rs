//! One integration binary: one noun, one file.

mod plausible;
