//! The cloth unfolded: one outline for every layer of every cut.

use crate::geom::Point;

use super::super::words::both;
use super::super::{Lay, LayJob};
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
    let fold = lay.fold_at_mm;
    let mut cuts = Vec::new();
    let mut piece = 0;
    for placement in &lay.placements {
        let Some(part) = job.parts.get(placement.part) else { continue };
        let place = |p: Point| put(p, placement.mirrored, placement.turn, placement.at);
        let top: Vec<Point> = part.outline.iter().map(|p| place(*p)).collect();
        let name = |copy: u32| format!("“{}” {copy}", part.label);
        let doubled = placement.on_fold || placement.under.is_some();
        faults.extend(folded_right(&name(placement.copy), &top, doubled, lay));
        cuts.push(Cut { name: name(placement.copy), piece, is_strip: false, outline: top.clone() });
        if placement.on_fold {
            let off = part.fold.map_or(f64::INFINITY, |(a, b)| {
                let beyond = top.iter().map(|p| p[0] - fold).fold(0.0, f64::max);
                (place(a)[0] - fold).abs().max((place(b)[0] - fold).abs()).max(beyond)
            });
            if off > WITHIN_MM || placement.under.is_some() {
                let text = format!("{} is off the fold by {}", name(placement.copy), both(off));
                faults.push(Fault::new(Rule::Fold, off, text));
            }
            cuts.push(Cut { name: name(placement.copy), piece, is_strip: false, outline: beyond_fold(&top, fold) });
        } else if let Some((a, b)) = part.fold {
            // Opened out: the other half lies beyond the drawn fold, wherever that is.
            let other: Vec<Point> = part.outline.iter().rev().map(|p| place(mirror_at(*p, a, b))).collect();
            faults.extend(folded_right(&name(placement.copy), &other, doubled, lay));
            cuts.push(Cut { name: name(placement.copy), piece, is_strip: false, outline: other });
        }
        piece += 1;
        if let Some(under) = placement.under {
            cuts.push(Cut { name: name(under), piece, is_strip: false, outline: beyond_fold(&top, fold) });
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
            cuts.push(Cut { name: name(under), piece, is_strip: true, outline: beyond_fold(&top, fold) });
            piece += 1;
        }
        cuts.push(Cut { name: name(bit.copy), piece, is_strip: true, outline: top });
        piece += 1;
    }
    cuts
}

/// What is cut double lies within the folded stretch, what is cut single below it or
/// beside the flap, which reaches back from the fold as far as it is wide; it may lie
/// round the corner of the flap.
fn folded_right(name: &str, top: &[Point], doubled: bool, lay: &Lay) -> Option<Fault> {
    let last = top.iter().map(|p| p[1]).fold(f64::NEG_INFINITY, f64::max);
    let edge = lay.fold_at_mm - (lay.width_mm - lay.fold_at_mm);
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
fn put(p: Point, mirrored: bool, turn: u16, at: Point) -> Point {
    let (x, y) = (if mirrored { -p[0] } else { p[0] }, p[1]);
    let angle = f64::from(turn) * std::f64::consts::PI / 180.0;
    let (distance, heading) = (x.hypot(y), y.atan2(x));
    [at[0] + distance * (heading + angle).cos(), at[1] + distance * (heading + angle).sin()]
}

/// The same outline in the under layer, once the cloth is unfolded.
fn beyond_fold(outline: &[Point], fold: f64) -> Vec<Point> {
    outline.iter().rev().map(|p| [fold + (fold - p[0]), p[1]]).collect()
}

/// The mirror image of a point at the line through `a` and `b`.
pub(super) fn mirror_at(p: Point, a: Point, b: Point) -> Point {
    let (ux, uy) = (b[0] - a[0], b[1] - a[1]);
    let share = ((p[0] - a[0]) * ux + (p[1] - a[1]) * uy) / (ux * ux + uy * uy);
    let foot = [a[0] + share * ux, a[1] + share * uy];
    [2.0 * foot[0] - p[0], 2.0 * foot[1] - p[1]]
}
