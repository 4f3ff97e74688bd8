//! The cloth unfolded: one outline for every layer of every cut.

use crate::geom::Point;

use super::super::words::both;
use super::super::{Lay, LayJob, Layout};
use super::apart::overlap_depth;
use super::{Fault, Rule, WITHIN_MM};

/// One outline on the open cloth.
pub(super) struct Cut {
    /// The piece in words: `“Back” 1`.
    pub(super) name: String,
    /// Which piece it is: the two halves of a piece on the fold share a number.
    pub(super) piece: usize,
    /// Whether it is a length of a strip.
    pub(super) is_strip: bool,
    pub(super) outline: Vec<Point>,
}

/// Every outline on the unfolded cloth; what is wrong with the fold goes to `faults`.
pub(super) fn cuts(job: &LayJob, lay: &Lay, faults: &mut Vec<Fault>) -> Vec<Cut> {
    let mut cuts = Vec::new();
    let mut piece = 0;
    for placement in &lay.placements {
        let Some(part) = job.parts.get(placement.part) else { continue };
        let place = |p: Point| put(p, placement.mirrored, placement.turn, placement.at);
        let top: Vec<Point> = part.outline.iter().map(|p| place(*p)).collect();
        let name = |copy: u32| format!("“{}” {copy}", part.label);
        let doubled = placement.on_fold || placement.under.is_some();
        // Drawn as its half and not on the cloth's fold, it is opened out: the other half
        // lies beyond the drawn fold, wherever that is.
        let other = part.fold.filter(|_| !placement.on_fold);
        let other = other.map(|(a, b)| part.outline.iter().rev().map(|p| place(mirror_at(*p, a, b))).collect());
        let halves: Vec<Vec<Point>> = [Some(top.clone()), other].into_iter().flatten().collect();
        for half in &halves {
            faults.extend(folded_right(&name(placement.copy), half, doubled, lay));
            cuts.push(Cut { name: name(placement.copy), piece, is_strip: false, outline: half.clone() });
        }
        if placement.on_fold {
            let off = part.fold.map_or(f64::INFINITY, |(a, b)| {
                let beyond = top.iter().map(|p| over_fold(*p, lay)).fold(0.0, f64::max);
                over_fold(place(a), lay).abs().max(over_fold(place(b), lay).abs()).max(beyond)
            });
            if off > WITHIN_MM || placement.under.is_some() {
                let text = format!("{} is off the fold by {}", name(placement.copy), both(off));
                faults.push(Fault::new(Rule::Fold, off, text));
            }
            cuts.push(Cut { name: name(placement.copy), piece, is_strip: false, outline: beyond_fold(&top, lay) });
        }
        piece += 1;
        if let Some(under) = placement.under {
            for half in &halves {
                cuts.push(Cut { name: name(under), piece, is_strip: false, outline: beyond_fold(half, lay) });
            }
            piece += 1;
        }
    }
    for bit in &lay.bits {
        let Some(strip) = job.strips.get(bit.strip) else { continue };
        let corners = [[0.0, 0.0], [strip.width_mm, 0.0], [strip.width_mm, bit.length_mm], [0.0, bit.length_mm]];
        let top: Vec<Point> = corners.iter().map(|p| put(*p, false, bit.turn, bit.at)).collect();
        let name = |copy: u32| format!("a length of “{}” {copy}", strip.label);
        faults.extend(folded_right(&name(bit.copy), &top, bit.under.is_some(), lay));
        if let Some(under) = bit.under {
            cuts.push(Cut { name: name(under), piece, is_strip: true, outline: beyond_fold(&top, lay) });
            piece += 1;
        }
        cuts.push(Cut { name: name(bit.copy), piece, is_strip: true, outline: top });
        piece += 1;
    }
    cuts
}

/// How far a point lies beyond the cloth's fold, mm.
fn over_fold(p: Point, lay: &Lay) -> f64 {
    if lay.layout == Layout::Crosswise { -p[1] } else { p[0] - lay.fold_at_mm }
}

/// What is cut double lies within the folded stretch, what is cut single below it or
/// beside the flap, which reaches back from the fold as far as it is wide; it may lie
/// round the corner of the flap. Folded across, the whole width is double.
fn folded_right(name: &str, top: &[Point], doubled: bool, lay: &Lay) -> Option<Fault> {
    let last = top.iter().map(|p| p[1]).fold(f64::NEG_INFINITY, f64::max);
    let edge = match lay.layout {
        Layout::Crosswise => 0.0,
        Layout::Folded | Layout::Open => lay.fold_at_mm - (lay.width_mm - lay.fold_at_mm),
    };
    let (off, how) = if doubled {
        (last - lay.folded_mm, "is cut double beyond the folded stretch")
    } else if lay.folded_mm > 0.0 {
        let flap = [[edge, 0.0], [lay.width_mm, 0.0], [lay.width_mm, lay.folded_mm], [edge, lay.folded_mm]];
        (overlap_depth(top, &flap), "is cut single within the folded stretch")
    } else {
        return None;
    };
    (off > WITHIN_MM).then(|| Fault::new(Rule::Fold, off, format!("{name} {how} by {}", both(off))))
}

/// A drawn point on the cloth: mirrored, turned from x towards y, shifted.
pub(super) fn put(p: Point, mirrored: bool, turn: u16, at: Point) -> Point {
    let (x, y) = (if mirrored { -p[0] } else { p[0] }, p[1]);
    let angle = f64::from(turn) * std::f64::consts::PI / 180.0;
    let (distance, heading) = (x.hypot(y), y.atan2(x));
    [at[0] + distance * (heading + angle).cos(), at[1] + distance * (heading + angle).sin()]
}

/// The same outline in the under layer, once the cloth is unfolded: folded across, the
/// under layer lies above the fold at y = 0.
fn beyond_fold(outline: &[Point], lay: &Lay) -> Vec<Point> {
    let fold = lay.fold_at_mm;
    let across = lay.layout == Layout::Crosswise;
    outline.iter().rev().map(|p| if across { [p[0], -p[1]] } else { [fold + (fold - p[0]), p[1]] }).collect()
}

/// The mirror image of a point at the line through `a` and `b`.
pub(super) fn mirror_at(p: Point, a: Point, b: Point) -> Point {
    let (ux, uy) = (b[0] - a[0], b[1] - a[1]);
    let share = ((p[0] - a[0]) * ux + (p[1] - a[1]) * uy) / (ux * ux + uy * uy);
    let foot = [a[0] + share * ux, a[1] + share * uy];
    [2.0 * foot[0] - p[0], 2.0 * foot[1] - p[1]]
}
