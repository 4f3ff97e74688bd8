//! Pieces that may lie over one another, and what that costs.
//!
//! How deep two pieces overlap is told by the circles within them: each pair of circles
//! adds how deep it meets, or a little that fades with the distance, so that also far ones
//! draw apart (Gardeyn, Vanden Berghe and Wauters, arXiv 2509.13329, after the penetration
//! depth of Egeblad and others 2007 and Umetani and others 2009). Each pair has a weight
//! that is raised as long as it overlaps and falls again afterwards (guided local search).

use super::board::{Board, Seen, single};
use super::table::{Form, LANES, Lanes, Place, Table};

/// Some pieces on a stretch, wherever they lie.
#[derive(Clone, Debug)]
pub(super) struct Crowd<'a> {
    pub(super) table: &'a Table,
    pub(super) places: Vec<Place>,
    board: Board,
    /// What each spans: left, top, right, bottom.
    boxes: Vec<[f32; 4]>,
    /// For each pair how deep it overlaps, by rows.
    overlaps: Vec<f32>,
    /// For each pair what an overlap weighs.
    weights: Vec<f32>,
    seen: Seen,
    /// Places looked at so far.
    pub(super) evaluations: u64,
}

/// Where two circles are this share of the pieces' size short of touching, what they add
/// is half of what it is where they touch (judgement; arXiv 2509.13329 takes a share as well).
const FADING: f32 = 0.01;

/// So many of its largest circles are asked first whether a piece surely collides (judgement).
const FIRST: usize = 4;

impl<'a> Crowd<'a> {
    /// Pieces at these places; nothing where there is no board for them.
    pub(super) fn of(table: &'a Table, places: Vec<Place>, length: f64) -> Option<Crowd<'a>> {
        let solids: Vec<_> = table.forms.iter().map(|form| form.solid.clone()).collect();
        let count = table.pieces.len();
        let board = Board::new(table.width, length, &solids, count)?;
        let mut crowd = Crowd {
            table,
            places,
            board,
            boxes: vec![[0.0; 4]; count],
            overlaps: vec![0.0; count * count],
            weights: vec![1.0; count * count],
            seen: Seen::default(),
            evaluations: 0,
        };
        for piece in 0..count {
            crowd.lay(piece);
        }
        crowd.look_again();
        Some(crowd)
    }

    /// Takes other places, and forgets what overlaps weighed.
    pub(super) fn take(&mut self, places: &[Place]) {
        let changed: Vec<usize> =
            (0..places.len()).filter(|piece| self.places.get(*piece) != places.get(*piece)).collect();
        self.places = places.to_vec();
        for piece in &changed {
            self.lay(*piece);
        }
        for piece in changed {
            self.look(piece);
        }
    }

    /// Lays every overlap on the scales alike again.
    pub(super) fn forget(&mut self) {
        self.weights.fill(1.0);
    }

    /// Moves one piece.
    pub(super) fn shift(&mut self, piece: usize, place: Place) {
        if let Some(old) = self.places.get_mut(piece) {
            *old = place;
        }
        self.lay(piece);
        self.look(piece);
    }

    /// How deep all pairs overlap together.
    pub(super) fn depth(&self) -> f32 {
        self.overlaps.iter().sum::<f32>() / 2.0
    }

    /// Which free pieces overlap others.
    pub(super) fn overlapping(&self) -> impl Iterator<Item = usize> {
        let rows = self.overlaps.chunks(self.table.pieces.len().max(1)).take(self.table.free).enumerate();
        rows.filter(|(_, row)| row.iter().any(|depth| *depth > 0.0)).map(|(piece, _)| piece)
    }

    /// How deep a piece overlaps others, weighed.
    pub(super) fn cost(&self, piece: usize) -> f32 {
        let (depths, weights) = (self.row(&self.overlaps, piece), self.row(&self.weights, piece));
        depths.iter().zip(weights).map(|(depth, weight)| depth * weight).sum()
    }

    /// Raises the weights of pairs that overlap, the deeper the more, and lets the others fall.
    pub(super) fn weigh(&mut self) {
        /// The least and the greatest factor by which a weight is raised, and the one by which
        /// it falls (judgement; of a few tried, what shortened our own garments most).
        const RAISED: [f32; 2] = [1.2, 2.0];
        const FALLING: f32 = 0.95;
        let deepest = self.overlaps.iter().copied().fold(0.0, f32::max);
        if deepest <= 0.0 {
            return;
        }
        for (weight, depth) in self.weights.iter_mut().zip(&self.overlaps) {
            *weight = if *depth > 0.0 {
                *weight * (RAISED[0] + (RAISED[1] - RAISED[0]) * depth / deepest)
            } else {
                (*weight * FALLING).max(1.0)
            };
        }
    }

    /// What a piece would cost at a place: exact up to `most`, else some value above it.
    pub(super) fn cost_at(&mut self, piece: usize, place: Place, most: f32) -> f32 {
        let Some(which) = self.table.stance(piece, place.stance).map(|stance| stance.form) else { return f32::MAX };
        let mut cost = 0.0;
        self.evaluations += 1;
        let count = self.table.pieces.len();
        let Self { table, places, board, boxes, weights, seen, .. } = self;
        let Some(form) = table.forms.get(which) else { return f32::MAX };
        let at = middle(form, place);
        let own = spanned(form, at);
        let weights = weights.get(piece * count..(piece + 1) * count).unwrap_or_default();
        seen.clear();
        seen.add(piece);
        let mut unsure = false;
        for (other, (span, weight)) in boxes.iter().zip(weights).enumerate() {
            if other == piece || own[0] >= span[2] || own[2] <= span[0] || own[1] >= span[3] || own[3] <= span[1] {
                continue;
            }
            let Some((still, apart)) = met(table, places, other, at) else { continue };
            if surely(form, still, apart) {
                seen.add(other);
                cost += weight * depth(form, still, apart, (most - cost) / weight);
                if cost > most {
                    return cost;
                }
            } else {
                unsure = true;
            }
        }
        if unsure {
            board.collisions(which, &form.solid, at, seen, |other| {
                if let (Some((still, apart)), Some(weight)) = (met(table, places, other, at), weights.get(other)) {
                    cost += weight * depth(form, still, apart, (most - cost) / weight);
                }
                cost > most
            });
        }
        cost
    }

    fn row<'b>(&self, of: &'b [f32], piece: usize) -> &'b [f32] {
        let count = self.table.pieces.len();
        of.get(piece * count..(piece + 1) * count).unwrap_or_default()
    }

    /// Lays a piece where it is said to lie.
    fn lay(&mut self, piece: usize) {
        let Some(place) = self.places.get(piece) else { return };
        let Some(stance) = self.table.stance(piece, place.stance) else { return };
        let Some(form) = self.table.forms.get(stance.form) else { return };
        let at = middle(form, *place);
        self.board.put(piece, &form.solid, at);
        if let Some(span) = self.boxes.get_mut(piece) {
            *span = spanned(form, at);
        }
    }

    /// Compares every piece with the others.
    fn look_again(&mut self) {
        for piece in 0..self.table.pieces.len() {
            self.look(piece);
        }
    }

    /// Compares a piece with the others anew.
    fn look(&mut self, piece: usize) {
        let count = self.table.pieces.len();
        let Self { table, places, board, overlaps, seen, .. } = self;
        let mut set = |other: usize, depth: f32| {
            for cell in [piece * count + other, other * count + piece] {
                if let Some(cell) = overlaps.get_mut(cell) {
                    *cell = depth;
                }
            }
        };
        (0..count).for_each(|other| set(other, 0.0));
        let Some(place) = places.get(piece) else { return };
        let Some(which) = table.stance(piece, place.stance).map(|stance| stance.form) else { return };
        let Some(form) = table.forms.get(which) else { return };
        let at = middle(form, *place);
        seen.clear();
        seen.add(piece);
        // What stays where it is overlaps nothing that stays.
        let free = piece < table.free;
        board.collisions(which, &form.solid, at, seen, |other| {
            if let Some((still, apart)) = met(table, places, other, at).filter(|_| free || other < table.free) {
                set(other, depth(form, still, apart, f32::MAX));
            }
            false
        });
    }
}

/// Where the middle of a form lies.
fn middle(form: &Form, place: Place) -> [f32; 2] {
    [single(place.at[0] + form.middle[0]), single(place.at[1] + form.middle[1])]
}

fn spanned(form: &Form, at: [f32; 2]) -> [f32; 4] {
    [at[0] - form.half[0], at[1] - form.half[1], at[0] + form.half[0], at[1] + form.half[1]]
}

/// Another piece, and how far from its middle `at` is.
fn met<'t>(table: &'t Table, places: &[Place], other: usize, at: [f32; 2]) -> Option<(&'t Form, [f32; 2])> {
    let place = places.get(other)?;
    let still = table.forms.get(table.stance(other, place.stance)?.form)?;
    let lies = middle(still, *place);
    Some((still, [at[0] - lies[0], at[1] - lies[1]]))
}

/// Whether large circles of both meet: then the pieces surely overlap.
fn surely(one: &Form, other: &Form, apart: [f32; 2]) -> bool {
    let Some([xs, ys, radii]) = other.circles.first() else { return false };
    one.each.iter().take(FIRST).any(|[x, y, radius]| {
        let (x, y) = (x + apart[0], y + apart[1]);
        let over: Lanes = std::array::from_fn(|k| {
            let (dx, dy, reach) = (x - xs[k], y - ys[k], radius + radii[k]);
            reach * reach - dx * dx - dy * dy
        });
        over.iter().any(|over| *over > 0.0)
    })
}

/// How deep two pieces that collide overlap: above nought, exact up to `most`, else some
/// value above it (the circles only add to it, the largest first).
fn depth(one: &Form, other: &Form, apart: [f32; 2], most: f32) -> f32 {
    /// Rounding, so that what is called above `most` is.
    const SURELY: f32 = 1.001;
    let size = (one.size * other.size).sqrt();
    let fade = FADING * size;
    let enough = (most / size) * (most / size) * SURELY;
    let mut sums: Lanes = [0.0; LANES];
    for [x, y, radius] in &one.each {
        let (x, y) = (x + apart[0], y + apart[1]);
        for [xs, ys, radii] in &other.circles {
            let added: Lanes = std::array::from_fn(|k| {
                let (dx, dy) = (x - xs[k], y - ys[k]);
                let over = radius + radii[k] - (dx * dx + dy * dy).sqrt();
                let faded = fade * fade / (2.0 * fade - over.min(fade));
                over.max(faded) * radius.min(radii[k])
            });
            for (sum, added) in sums.iter_mut().zip(added) {
                *sum += added;
            }
        }
        if sums.iter().sum::<f32>() > enough {
            break;
        }
    }
    (sums.iter().sum::<f32>() + f32::MIN_POSITIVE).sqrt() * size
}
