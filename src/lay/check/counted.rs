//! What can be checked by counting: copies, hands, turns, lengths of strips.

use crate::geom::Point;

use super::super::words::both;
use super::super::{Grain, Lay, LayJob, Layout, Nap, Part, Placement};
use super::apart::shared_area;
use super::unfold::mirror_at;
use super::{Fault, Rule, WITHIN_MM};

/// Numbers that are numbers, and parts and strips that exist: the rest relies on it.
pub(super) fn sense(job: &LayJob, lay: &Lay) -> Vec<Fault> {
    let mut faults = Vec::new();
    let mut say = |text: String| faults.push(Fault::new(Rule::Sense, 0.0, text));
    let pieces =
        lay.placements.iter().flat_map(|p| p.at).chain(lay.bits.iter().flat_map(|b| [b.at[0], b.at[1], b.length_mm]));
    let numbers = pieces.chain([lay.width_mm, lay.folded_mm, lay.fold_at_mm, lay.used_length_mm]);
    if numbers.into_iter().any(|number| !number.is_finite()) {
        say("a place or length in the lay is not a number".into());
    }
    if lay.placements.iter().any(|p| p.part >= job.parts.len()) || lay.bits.iter().any(|b| b.strip >= job.strips.len())
    {
        say("the lay names a piece that the job does not have".into());
    }
    let cloth = &job.cloth;
    let shrunk = if cloth.washed { cloth.width_mm } else { cloth.width_mm * (1.0 - cloth.shrink_width) };
    let usable = shrunk - 2.0 * cloth.selvedge_mm;
    if (lay.width_mm - usable).abs() > 1e-6 {
        say(format!("the lay is for a width of {}, the cloth has {}", both(lay.width_mm), both(usable)));
    }
    // Further left than the middle, the flap would reach beyond the other selvedge.
    if lay.fold_at_mm < usable / 2.0 - WITHIN_MM || lay.fold_at_mm > usable {
        say(format!("the fold lies at {} of a width of {}", both(lay.fold_at_mm), both(usable)));
    }
    if lay.layout == Layout::Open && lay.folded_mm > 0.0 {
        say(format!("an open lay is folded for {}", both(lay.folded_mm)));
    }
    // Else nobody could say which side of the cloth is up.
    if lay.layout != Layout::Open && lay.folded_mm <= 0.0 {
        say("a folded lay is folded for nothing".into());
    }
    if lay.layout == Layout::Crosswise && lay.fold_at_mm < usable - WITHIN_MM {
        say(format!("folded across, the whole width is double, not only {}", both(lay.fold_at_mm)));
    }
    faults
}

/// Every copy of every part exactly once.
pub(super) fn copies(job: &LayJob, lay: &Lay) -> Vec<Fault> {
    let mut faults = Vec::new();
    for (index, part) in job.parts.iter().enumerate() {
        let cut = lay.placements.iter().filter(|p| p.part == index).flat_map(|p| [Some(p.copy), p.under]).flatten();
        let mut cut: Vec<u32> = cut.collect();
        cut.sort_unstable();
        let wanted: Vec<u32> = (1..=part.count).collect();
        if cut != wanted {
            let text = format!("“{}” is cut {} times (copies {cut:?}), {} wanted", part.label, cut.len(), part.count);
            faults.push(Fault::new(Rule::Count, 0.0, text));
        }
    }
    faults
}

/// As many lefts as pairs ask for, none where none is asked for. Folded cloth lies
/// right sides together, wrong side up: what is chalked there as drawn comes out a left.
pub(super) fn hands(job: &LayJob, lay: &Lay) -> Vec<Fault> {
    let mut faults = Vec::new();
    for (index, part) in job.parts.iter().enumerate() {
        if part.may_flip || looks_the_same_mirrored(part, job.cloth.is_one_way()) {
            continue;
        }
        let here = || lay.placements.iter().filter(|p| p.part == index);
        let doubled = here().filter(|p| p.under.is_some()).count();
        let single =
            |mirrored: bool| here().filter(|p| p.under.is_none() && !p.on_fold && p.mirrored == mirrored).count();
        let wanted = if part.pairs && part.fold.is_none() { part.count / 2 } else { 0 };
        let as_wanted = |lefts: usize| u32::try_from(lefts) == Ok(wanted);
        let wrong_side_up = lay.layout != Layout::Open;
        // Two layers cut at once give one of each.
        let lefts = doubled + single(!wrong_side_up);
        if as_wanted(lefts) {
            continue;
        }
        faults.push(if wrong_side_up && as_wanted(doubled + single(true)) {
            let text = format!(
                "“{}” is chalked as drawn, but the cloth lies wrong side up: it comes out left for right",
                part.label
            );
            Fault::new(Rule::Side, 0.0, text)
        } else {
            let text = format!("“{}” comes out {lefts} times mirrored, {wanted} wanted", part.label);
            Fault::new(Rule::Hand, 0.0, text)
        });
    }
    faults
}

/// Turned only as the grain and the nap allow.
pub(super) fn turns(job: &LayJob, lay: &Lay) -> Vec<Fault> {
    let mut faults = Vec::new();
    let nap = job.cloth.nap;
    // The first piece of each garment, and whether it is turned end for end.
    let mut first: Vec<(u32, bool, &str)> = Vec::new();
    for placement in &lay.placements {
        let Some(part) = job.parts.get(placement.part) else { continue };
        let mut say = |text: String| faults.push(Fault::new(Rule::Turn, 0.0, text));
        let Some(end_for_end) = end_for_end(part, placement) else {
            say(format!("“{}” is turned by {}° against the grain", part.label, placement.turn));
            continue;
        };
        if nap != Nap::Free && part.grain == Grain::Any && placement.turn % 180 == 90 {
            say(format!("“{}” is turned across the nap", part.label));
        }
        if nap == Nap::One && end_for_end {
            say(format!("“{}” is turned by {}° on a one-way cloth", part.label, placement.turn));
        }
        match first.iter().find(|(garment, ..)| *garment == part.garment) {
            None => first.push((part.garment, end_for_end, &part.label)),
            Some((_, way, other)) if nap == Nap::PerGarment && *way != end_for_end => {
                say(format!("“{}” and “{other}” of one garment point against one another", part.label));
            }
            Some(_) => {}
        }
        if lay.layout == Layout::Crosswise && nap != Nap::Free && placement.under.is_some() {
            say(format!("“{}” is cut through a fold across: the under one's nap runs the other way", part.label));
        }
    }
    for bit in &lay.bits {
        let Some(strip) = job.strips.get(bit.strip) else { continue };
        let sound = match strip.grain {
            Grain::Along => bit.turn.is_multiple_of(180),
            Grain::Across => bit.turn % 180 == 90,
            Grain::Bias => bit.turn % 90 == 45,
            Grain::Any => bit.turn.is_multiple_of(90),
        };
        if !sound || bit.turn >= 360 {
            let text = format!("a length of “{}” is turned by {}° against the grain", strip.label, bit.turn);
            faults.push(Fault::new(Rule::Turn, 0.0, text));
        }
    }
    faults
}

/// Whether a piece is turned end for end; nothing where it lies against the grain.
pub(super) fn end_for_end(part: &Part, placement: &Placement) -> Option<bool> {
    let upright: u16 = match (part.grain, placement.mirrored) {
        (Grain::Any, _) if placement.turn % 180 == 90 => 90,
        (Grain::Along | Grain::Any, _) => 0,
        (Grain::Across, false) => 90,
        (Grain::Across, true) => 270,
        (Grain::Bias, false) => 45,
        (Grain::Bias, true) => 315,
    };
    if placement.turn >= 360 {
        return None;
    }
    let off = |way: u16| {
        let by = (placement.turn + 360 - way) % 360;
        by.min(360 - by)
    };
    let play = if placement.on_fold { 0 } else { part.grain_tolerance_deg };
    match (off(upright) <= play, off((upright + 180) % 360) <= play) {
        (true, _) => Some(false),
        (_, true) => Some(true),
        _ => None,
    }
}

/// Every copy of every strip whole, or long enough once joined.
pub(super) fn strips(job: &LayJob, lay: &Lay) -> Vec<Fault> {
    let mut faults = Vec::new();
    for (index, strip) in job.strips.iter().enumerate() {
        let cuts = || lay.bits.iter().filter(move |bit| bit.strip == index);
        let lengths = || cuts().flat_map(|bit| [(Some(bit.copy), bit.length_mm), (bit.under, bit.length_mm)]);
        for (copy, _) in lengths() {
            if copy.is_some_and(|copy| copy == 0 || copy > strip.count) {
                let text = format!("“{}” is cut for copy {copy:?}, {} wanted", strip.label, strip.count);
                faults.push(Fault::new(Rule::Count, 0.0, text));
            }
        }
        for wanted in 1..=strip.count {
            let mine = || lengths().filter(move |(copy, _)| *copy == Some(wanted)).map(|(_, length)| length);
            let number = mine().count();
            if number == 0 || (number > 1 && !strip.joined) {
                let text = format!("“{}” {wanted} is cut in {number} lengths", strip.label);
                faults.push(Fault::new(Rule::Count, 0.0, text));
            }
            let sewn: f64 = mine().map(|length| length - 2.0 * strip.join_mm).sum();
            let short = strip.length_mm - sewn;
            if short > WITHIN_MM || mine().any(|length| length <= 2.0 * strip.join_mm) {
                let text =
                    format!("“{}” {wanted} sews up to {}, too short by {}", strip.label, both(sewn), both(short));
                faults.push(Fault::new(Rule::Strip, short, text));
            }
        }
    }
    faults
}

/// Whether a mirrored copy covers the whole piece: about a line along the cloth, or end
/// for end where the cloth may be turned.
fn looks_the_same_mirrored(part: &Part, one_way: bool) -> bool {
    // A piece drawn as its half is that half and the other beyond the drawn fold.
    let other = |(a, b)| part.outline.iter().rev().map(|p| mirror_at(*p, a, b)).collect();
    let halves: Vec<Vec<Point>> = [Some(part.outline.clone()), part.fold.map(other)].into_iter().flatten().collect();
    let (mut least, mut most) = ([f64::INFINITY; 2], [f64::NEG_INFINITY; 2]);
    for p in halves.iter().flatten() {
        for axis in 0..2 {
            least[axis] = least[axis].min(p[axis]);
            most[axis] = most[axis].max(p[axis]);
        }
    }
    let flipped = |half: &Vec<Point>, axis: usize| -> Vec<Point> {
        let flip = |p: &Point| {
            let mut q = *p;
            q[axis] = least[axis] + most[axis] - q[axis];
            q
        };
        half.iter().rev().map(flip).collect()
    };
    let sides = halves.iter().flat_map(|half| half.iter().zip(half.iter().cycle().skip(1)));
    let around: f64 = sides.map(|(p, q)| (q[0] - p[0]).hypot(q[1] - p[1])).sum();
    let whole: f64 = halves.iter().map(|half| shared_area(half, half)).sum();
    let covers = |axis: usize| {
        let images = halves.iter().map(|half| flipped(half, axis));
        let covered: f64 = images.flat_map(|image| halves.iter().map(move |half| shared_area(half, &image))).sum();
        whole - covered <= WITHIN_MM * around
    };
    // A piece that lies across has its drawn x along the cloth.
    let along = usize::from(part.grain == Grain::Across);
    covers(along) || (!one_way && covers(1 - along))
}
