//! Paths, curves, offsets, lengths and areas in millimetres, x right, y down.
//!
//! Plain geometry that knows no garment. Points are `[x, y]` in mm.

/// A point `[x, y]` in millimetres, x to the right, y down.
pub type Point = [f64; 2];
