//! What is to be moved about: every piece with the ways it may lie, and for each way
//! the places that it may take on a stretch of a given length.

use crate::geom::Point;

use super::board::{Solid, single};
use super::circles::enclosed;
use super::dropping::Spot;
use super::items::Item;
use super::phase::Phase;
use super::shape::Shape;

/// How many circles are compared at once.
pub(super) const LANES: usize = 8;

/// Numbers of as many circles, side by side.
pub(super) type Lanes = [f32; LANES];

/// A shape as the search sees it, about its own middle.
#[derive(Clone, Debug)]
pub(super) struct Form {
    pub(super) solid: Solid,
    /// From the origin of the drawing to the middle, mm.
    pub(super) middle: Point,
    /// Half of its width and of its height, mm.
    pub(super) half: [f32; 2],
    /// Its circles: across, along and radius; the last ones may have none (radius nought).
    pub(super) circles: Vec<[Lanes; 3]>,
    /// The same one by one, largest first.
    pub(super) each: Vec<[f32; 3]>,
    /// The square root of the area of its hull, mm.
    pub(super) size: f32,
}

/// The values that a coordinate may take.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Track {
    pub(super) least: f64,
    pub(super) most: f64,
    pub(super) phase: Option<Phase>,
}

/// One way for a piece to lie.
#[derive(Clone, Debug)]
pub(super) struct Stance {
    /// Index into the shapes of the split.
    pub(super) shape: usize,
    /// Index into the forms of the table.
    pub(super) form: usize,
    /// Where its origin may lie across.
    pub(super) across: Track,
    /// How far its true outline reaches up from the origin (below nought) and down.
    pub(super) reach: [f64; 2],
    /// Where along the cloth the print lets its origin lie.
    pub(super) phase: Option<Phase>,
}

/// A piece and how it may lie.
#[derive(Clone, Debug)]
pub(super) struct Piece {
    pub(super) stances: Vec<Stance>,
    /// The area of its outline, mm².
    pub(super) area: f64,
}

/// Where a piece lies.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Place {
    /// Index into the stances of the piece.
    pub(super) stance: usize,
    /// Where the origin of the drawing lies, mm.
    pub(super) at: Point,
}

/// From where to where pieces may lie, mm down the cloth.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Ends {
    pub(super) top: f64,
    pub(super) bottom: f64,
}

/// All pieces of a stretch; those that stay where they are come last.
#[derive(Clone, Debug)]
pub(super) struct Table {
    pub(super) pieces: Vec<Piece>,
    pub(super) forms: Vec<Form>,
    /// How many pieces may be moved.
    pub(super) free: usize,
    /// How wide the stretch is, mm.
    pub(super) width: f64,
}

impl Table {
    /// The table of a stretch; nothing where an outline has no form at all.
    pub(super) fn of(items: &[Item], shapes: &[Shape], still: &[Spot]) -> Option<Table> {
        let mut table = Table { pieces: Vec::new(), forms: Vec::new(), free: items.len(), width: 0.0 };
        let mut forms: Vec<Option<usize>> = vec![None; shapes.len()];
        for item in items {
            let mut stances = Vec::new();
            for index in &item.shapes {
                let shape = shapes.get(*index)?;
                let most = item.right - shape.own.most[0];
                let least = if item.on_limit { most } else { (item.left - shape.own.least[0]).min(most) };
                let form = table.form(*index, shapes, &mut forms)?;
                let reach = [shape.own.least[1], shape.own.most[1]];
                let across = Track { least, most, phase: item.across };
                stances.push(Stance { shape: *index, form, across, reach, phase: item.along });
            }
            table.width = table.width.max(item.right);
            let area = item.shapes.first().and_then(|index| shapes.get(*index)).map_or(0.0, |shape| shape.grown.area);
            table.pieces.push(Piece { stances, area });
        }
        for spot in still {
            let shape = shapes.get(spot.shape)?;
            let form = table.form(spot.shape, shapes, &mut forms)?;
            let across = Track { least: spot.at[0], most: spot.at[0], phase: None };
            let stances = vec![Stance { shape: spot.shape, form, across, reach: [0.0, 0.0], phase: None }];
            table.pieces.push(Piece { stances, area: shape.grown.area });
        }
        Some(table)
    }

    fn form(&mut self, index: usize, shapes: &[Shape], known: &mut [Option<usize>]) -> Option<usize> {
        let shape = shapes.get(index)?;
        if let Some(Some(form)) = known.get(index) {
            return Some(*form);
        }
        // Several garments of one style have the same pieces.
        let same = |(other, form): (&Shape, &Option<usize>)| form.filter(|_| other.is_same_as(shape));
        let form = shapes.iter().zip(known.iter()).find_map(same);
        let form = form.or_else(|| {
            self.forms.push(Form::of(shape)?);
            self.forms.len().checked_sub(1)
        });
        *known.get_mut(index)? = form;
        form
    }

    /// The stance of a piece.
    pub(super) fn stance(&self, piece: usize, stance: usize) -> Option<&Stance> {
        self.pieces.get(piece)?.stances.get(stance)
    }

    /// The nearest place that is allowed between these ends.
    pub(super) fn allowed(&self, piece: usize, place: Place, ends: Ends) -> Place {
        let Some(stance) = self.stance(piece, place.stance) else { return place };
        Place { at: [stance.across.nearest(place.at[0]), stance.along(ends).nearest(place.at[1])], ..place }
    }

    /// How far down the pieces reach, mm.
    pub(super) fn reach(&self, places: &[Place]) -> f64 {
        let reaches = places.iter().take(self.free).enumerate();
        reaches
            .filter_map(|(piece, place)| Some(place.at[1] + self.stance(piece, place.stance)?.reach[1]))
            .fold(0.0, f64::max)
    }
}

impl Stance {
    /// Where its origin may lie along a stretch between these ends.
    pub(super) fn along(&self, ends: Ends) -> Track {
        let least = ends.top - self.reach[0];
        Track { least, most: (ends.bottom - self.reach[1]).max(least), phase: self.phase }
    }
}

impl Track {
    /// The nearest value that is allowed.
    pub(super) fn nearest(&self, value: f64) -> f64 {
        let within = value.max(self.least).min(self.most);
        let Some(phase) = self.phase else { return within };
        let steps = ((within - phase.at_mm) / phase.repeat_mm).round();
        let first = ((self.least - phase.at_mm) / phase.repeat_mm - SLIGHT).ceil();
        let last = ((self.most - phase.at_mm) / phase.repeat_mm + SLIGHT).floor();
        phase.at_mm + steps.min(last).max(first) * phase.repeat_mm
    }

    /// The value at a share of the way, 0 to 1.
    pub(super) fn at(&self, share: f64) -> f64 {
        self.nearest(self.least + share * (self.most - self.least))
    }

    /// From the least to the most, mm.
    pub(super) fn span(&self) -> f64 {
        self.most - self.least
    }
}

/// Rounding of a count of repeats.
const SLIGHT: f64 = 1e-9;

impl Form {
    fn of(shape: &Shape) -> Option<Form> {
        let span = shape.near;
        let middle = [f64::midpoint(span.least[0], span.most[0]), f64::midpoint(span.least[1], span.most[1])];
        let about = |p: &Point| [p[0] - middle[0], p[1] - middle[1]];
        let outlines: Vec<Vec<Point>> =
            shape.outlines().into_iter().map(|outline| outline.iter().map(about).collect()).collect();
        let hull = hull(outlines.iter().flatten().copied().collect());
        let half = [single(span.width() / 2.0), single(span.height() / 2.0)];
        // Where the outline is none that can be compared, what it spans is, and more than holds it.
        let solid = match outlines.as_slice() {
            [only] => Solid::of(only),
            _ => None,
        };
        let box_of = || {
            let [x, y] = [span.width() / 2.0 + THIN_MM, span.height() / 2.0 + THIN_MM];
            Solid::of(&[[-x, -y], [x, -y], [x, y], [-x, y]])
        };
        let solid = solid.or_else(|| Solid::of(&hull)).or_else(box_of)?;
        let size = single(enclosed(&hull).abs().max(1.0).sqrt());
        let each: Vec<[f32; 3]> = shape
            .circles()
            .iter()
            .map(|c| {
                let middle = about(&c.middle);
                [single(middle[0]), single(middle[1]), single(c.radius)]
            })
            .collect();
        let lane = |chunk: &[[f32; 3]], part: usize| -> Lanes {
            std::array::from_fn(|k| chunk.get(k).and_then(|c| c.get(part)).copied().unwrap_or_default())
        };
        let circles = each.chunks(LANES).map(|chunk| [lane(chunk, 0), lane(chunk, 1), lane(chunk, 2)]).collect();
        Some(Form { solid, middle, half, circles, each, size })
    }
}

/// What is added to a span that has no breadth, mm: far below the checker's tolerance.
const THIN_MM: f64 = 0.01;

/// The convex hull, counted round (Andrew's monotone chain).
fn hull(mut points: Vec<Point>) -> Vec<Point> {
    points.sort_by(|p, q| p[0].total_cmp(&q[0]).then(p[1].total_cmp(&q[1])));
    points.dedup();
    let turn = |a: Point, b: Point, c: Point| (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]);
    let half = |points: &mut dyn Iterator<Item = Point>| {
        let mut chain: Vec<Point> = Vec::new();
        for p in points {
            while let [.., a, b] = chain.as_slice()
                && turn(*a, *b, p) <= 0.0
            {
                chain.pop();
            }
            chain.push(p);
        }
        chain.pop();
        chain
    };
    let mut round = half(&mut points.iter().copied());
    round.extend(half(&mut points.iter().rev().copied()));
    round
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_track_keeps_to_its_phase_and_its_ends() {
        let close = |found: f64, right: f64| assert!((found - right).abs() < 1e-9, "{found}, should be {right}");
        let free = Track { least: 10.0, most: 100.0, phase: None };
        for (asked, right) in [(-5.0, 10.0), (50.5, 50.5), (1e9, 100.0)] {
            close(free.nearest(asked), right);
        }
        let phase = Some(Phase { repeat_mm: 30.0, at_mm: 5.0 });
        let stepped = Track { phase, ..free };
        for (asked, right) in [(0.0, 35.0), (51.0, 65.0), (99.0, 95.0)] {
            close(stepped.nearest(asked), right);
        }
        close(stepped.at(1.0), 95.0);
        // Where none is allowed the first one after is given: the check will refuse it.
        let none = Track { least: 40.0, most: 60.0, phase };
        close(none.nearest(50.0), 65.0);
    }

    #[test]
    fn the_hull_holds_all_points() {
        let elbow = vec![[0.0, 0.0], [3.0, 0.0], [3.0, 1.0], [1.0, 1.0], [1.0, 4.0], [0.0, 4.0]];
        let round = hull(elbow);
        assert_eq!(round, [[0.0, 0.0], [3.0, 0.0], [3.0, 1.0], [1.0, 4.0], [0.0, 4.0]]);
    }
}
