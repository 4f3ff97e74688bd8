//! Paths, curves, offsets, lengths and areas in millimetres, x right, y down.
//!
//! Plain geometry that knows no garment. A [`Point`] is `[x, y]` in mm; a heading
//! is an angle in radians from the x axis, turning towards y (so that `90°` points
//! down a piece). Everything is total: doubtful input gives an empty or straight
//! result, never a panic.

mod bias;
mod boxed;
mod curve;
mod fold;
mod hem;
mod offset;
mod polygon;

pub use bias::{along_selvedge, bias_length, bias_square};
pub use boxed::Boxed;
pub use curve::{Curve, Knot};
pub use fold::{FoldLine, along_and_off, mirrored, on_fold, opened_out, runs_off_fold};
pub use offset::{Side, allowance_outline, joined_outline};
pub use polygon::{
    area, bounds, contains, crossing, distance_to_outline, is_simple, length_along, perimeter, split_by_line,
    squared_distance_to_side, width_at,
};

/// A point `[x, y]` in millimetres, x to the right, y down.
pub type Point = [f64; 2];

/// Straight distance between two points, mm; by a plain root, for cloth is neither so long nor
/// so short that a square would leave the range of f64.
#[must_use]
pub fn distance(a: Point, b: Point) -> f64 {
    squared(a, b).sqrt()
}

/// Square of the distance between two points, mm².
fn squared(a: Point, b: Point) -> f64 {
    let (dx, dy) = (b[0] - a[0], b[1] - a[1]);
    dx * dx + dy * dy
}

/// The point turned by `angle` about `centre`; positive from x towards y.
#[must_use]
pub fn rotated(point: Point, centre: Point, angle: f64) -> Point {
    let ((sin, cos), [x, y]) = (angle.sin_cos(), [point[0] - centre[0], point[1] - centre[1]]);
    [centre[0] + x * cos - y * sin, centre[1] + x * sin + y * cos]
}

/// The heading from `a` to `b` in radians; `None` when they are the same point.
#[must_use]
pub fn heading(a: Point, b: Point) -> Option<f64> {
    (squared(a, b) > SAME_POINT_MM * SAME_POINT_MM).then(|| (b[1] - a[1]).atan2(b[0] - a[0]))
}

/// Points nearer than this are one point: a thousandth of the finest tolerance
/// that a draft keeps (0.05 mm), far above the rounding of f64 at cloth size.
pub const SAME_POINT_MM: f64 = 5e-5;

/// How far a flattened outline may leave its curve, mm: small against the 0.05 mm
/// that allowances are held to.
pub const FLATTEN_MM: f64 = 0.02;

/// The turn from heading `a` to heading `b`, in −π..π.
#[must_use]
pub fn turn(a: f64, b: f64) -> f64 {
    let full = std::f64::consts::TAU;
    let mut t = (b - a) % full;
    if t > full / 2.0 {
        t -= full;
    }
    if t <= -full / 2.0 {
        t += full;
    }
    t
}
