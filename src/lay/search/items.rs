//! A job sorted into what is dropped on the folded stretch, what on the open one,
//! and what is cut in rows.

use crate::geom::Point;

use super::super::laid::opened;
use super::super::{Grain, LayError, LayJob, Layout, Part, Strip, words::both};
use super::phase::{self, Phase};
use super::rows::RowBit;
use super::shape::{Outline, Shape, Span, is_its_own_mirror, play, turns};

/// What an item is once it lies on the cloth.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum What {
    Part { part: usize, copy: u32, under: Option<u32>, on_fold: bool },
    Bit { strip: usize, copy: u32, under: Option<u32>, length: f64 },
}

/// One cut: a piece or a length, with every position it may take.
#[derive(Clone, Debug)]
pub(super) struct Item {
    pub(super) what: What,
    /// Indices into [`Split::shapes`], at least one.
    pub(super) shapes: Vec<usize>,
    /// The left-hand limit of its outline, mm.
    pub(super) left: f64,
    /// The right-hand limit of its outline, mm.
    pub(super) right: f64,
    /// Whether it lies hard against its right-hand limit (on the fold).
    pub(super) on_limit: bool,
    /// Where along the cloth its origin may lie, so that the print matches.
    pub(super) along: Option<Phase>,
    /// Where across the cloth its origin may lie.
    pub(super) across: Option<Phase>,
}

/// A job sorted for the search.
#[derive(Debug, Default)]
pub(super) struct Split {
    pub(super) shapes: Vec<Shape>,
    pub(super) folded: Vec<Item>,
    pub(super) open: Vec<Item>,
    pub(super) rows: Vec<RowBit>,
}

/// Where lengths across the cloth that are shorter than the cloth is wide go.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Short {
    /// Into rows with the others.
    Rows,
    /// Beside the pieces.
    Beside,
}

/// Sorts a job. Where nothing comes to be cut double the cloth is not folded after all
/// and lies right side up. The garments named in `turned` point the other way (cloth
/// whose nap asks one way of each garment only).
pub(super) fn split(job: &LayJob, short: Short, turned: &[u32]) -> Result<Split, LayError> {
    let layout = job.cloth.layout;
    let split = sorted(job, short, turned, layout)?;
    let is_as_spread = layout == Layout::Open || !split.folded.is_empty();
    if is_as_spread { Ok(split) } else { sorted(job, short, turned, Layout::Open) }
}

fn sorted(job: &LayJob, short: Short, turned: &[u32], layout: Layout) -> Result<Split, LayError> {
    let usable = job.cloth.usable_width_mm();
    let mut sorter = Sorter { job, usable, layout, turned, split: Split::default() };
    for (index, part) in job.parts.iter().enumerate() {
        sorter.part(index, part)?;
    }
    let spans = job.parts.iter().map(|part| Span::of(&part.outline).height());
    let longest = spans.fold(0.0, f64::max);
    for (index, strip) in job.strips.iter().enumerate() {
        sorter.strip(index, strip, longest, short)?;
    }
    let mut split = sorter.split;
    LayJob::few_enough(split.folded.len() + split.open.len() + split.rows.len())?;
    phase::set(job, &mut split);
    Ok(split)
}

struct Sorter<'a> {
    job: &'a LayJob,
    usable: f64,
    /// How the cloth is spread; folded, what is cut single is chalked on the wrong side.
    layout: Layout,
    /// The garments that point the other way.
    turned: &'a [u32],
    split: Split,
}

impl Sorter<'_> {
    fn part(&mut self, index: usize, part: &Part) -> Result<(), LayError> {
        if part.count == 0 {
            return Ok(());
        }
        match part.fold {
            Some(fold) => self.on_fold(index, part, fold),
            None => self.whole(index, part, part.outline.clone()),
        }
    }

    /// A piece drawn as its half: on the lengthwise fold where it can be, else opened out.
    fn on_fold(&mut self, index: usize, part: &Part, fold: (Point, Point)) -> Result<(), LayError> {
        if self.layout == Layout::Folded {
            let half = Outline::new(part.outline.clone(), self.job.cloth.gap_mm);
            // On the fold it lies straight.
            let straight = self.upright_places(index, part, &[false, true]);
            let shapes = straight.into_iter().map(|(turn, mirrored)| half.shape(turn, mirrored));
            let right = self.usable / 2.0;
            let hung = shapes.filter(|shape| shape.own.width() <= right + SLACK_MM && hangs(shape, fold));
            let shapes = self.keep(hung.collect());
            if !shapes.is_empty() {
                for copy in 1..=part.count {
                    let what = What::Part { part: index, copy, under: None, on_fold: true };
                    self.split.folded.push(Item { on_limit: true, ..Item::of(what, &shapes, right) });
                }
                return Ok(());
            }
        }
        self.whole(index, part, opened(&part.outline, fold))
    }

    /// A whole piece: two at once through both layers where a left and a right are wanted
    /// (or are the same), else single.
    fn whole(&mut self, index: usize, part: &Part, whole: Vec<Point>) -> Result<(), LayError> {
        let own_mirror = is_its_own_mirror(&whole, part.grain, self.job.cloth.is_one_way());
        let outline = Outline::new(whole, self.job.cloth.gap_mm);
        let pairs = part.pairs && part.fold.is_none();
        let mut next = 1;
        if self.is_folded() && part.count > 1 && (pairs || part.may_flip || own_mirror) {
            // Where the print must match across, one hand for all: see `phase`.
            let hands: &[bool] = if phase::holds_hand(self.job, index) { &[true] } else { &[false, true] };
            let places = self.places(index, part, hands);
            let shapes = places.into_iter().map(|(turn, mirrored)| outline.shape(turn, mirrored)).collect();
            let (shapes, right) = self.doubled(shapes);
            while !shapes.is_empty() && next < part.count {
                let what = What::Part { part: index, copy: next, under: Some(next + 1), on_fold: false };
                self.split.folded.push(Item::of(what, &shapes, right));
                next += 2;
            }
        }
        if next > part.count {
            return Ok(());
        }
        let drawn = self.single_shapes(index, part, &outline, self.hands(index, part, own_mirror, false))?;
        let lefts = if pairs && part.count > next {
            self.single_shapes(index, part, &outline, self.hands(index, part, own_mirror, true))?
        } else {
            drawn.clone()
        };
        for copy in next..=part.count {
            let shapes = if copy % 2 == 0 { &lefts } else { &drawn };
            self.single(What::Part { part: index, copy, under: None, on_fold: false }, shapes);
        }
        Ok(())
    }

    fn strip(&mut self, index: usize, strip: &Strip, longest: f64, short: Short) -> Result<(), LayError> {
        if strip.count == 0 {
            return Ok(());
        }
        let lengths = strip.lengths(self.usable, longest)?;
        let mut waiting: Vec<(u32, f64)> = Vec::new();
        for length in lengths {
            let beside = strip.grain != Grain::Across || (short == Short::Beside && length < self.usable - SLACK_MM);
            for copy in 1..=strip.count {
                if beside {
                    waiting.push((copy, length));
                } else {
                    self.split.rows.push(RowBit { strip: index, copy, length, depth: strip.width_mm });
                }
            }
        }
        let pieces_below = !self.split.open.is_empty() || strip.grain != Grain::Across;
        while let Some((copy, length)) = waiting.pop() {
            let outline = Outline::new(strip.bit_outline(length), self.job.cloth.gap_mm);
            let twin = waiting.iter().rposition(|(_, other)| (other - length).abs() < SLACK_MM);
            if let Some(twin) = twin.filter(|_| self.is_folded() && !self.split.folded.is_empty()) {
                let shapes = bit_turns(strip.grain).iter().map(|turn| outline.shape(*turn, false)).collect();
                let (shapes, right) = self.doubled(shapes);
                if !shapes.is_empty() {
                    let (under, _) = waiting.remove(twin);
                    let what = What::Bit { strip: index, copy, under: Some(under), length };
                    self.split.folded.push(Item::of(what, &shapes, right));
                    continue;
                }
            }
            if !pieces_below {
                self.split.rows.push(RowBit { strip: index, copy, length, depth: strip.width_mm });
                continue;
            }
            let shapes: Vec<Shape> = bit_turns(strip.grain).iter().map(|turn| outline.shape(*turn, false)).collect();
            let shapes = self.fitting(&strip.label, shapes)?;
            self.single(What::Bit { strip: index, copy, under: None, length }, &shapes);
        }
        Ok(())
    }

    fn is_folded(&self) -> bool {
        self.layout != Layout::Open
    }

    /// As which hands (mirrored or not) a piece cut single may be chalked, so that a
    /// right comes out, or a left. On the wrong side its mirror image is chalked.
    fn hands(&self, index: usize, part: &Part, own_mirror: bool, left: bool) -> &'static [bool] {
        match (own_mirror, part.may_flip && !phase::holds_hand(self.job, index)) {
            (true, _) => &[false],
            (false, true) => &[false, true],
            (false, false) if left == self.is_folded() => &[false],
            (false, false) => &[true],
        }
    }

    /// Every turn and hand that grain and cloth allow, straight on the grain.
    fn upright_places(&self, index: usize, part: &Part, hands: &[bool]) -> Vec<(u16, bool)> {
        // A stripe that meets its like must run the same way up on both pieces.
        let one_way = self.job.cloth.is_one_way() || phase::matches(self.job, index);
        let about = if self.turned.contains(&part.garment) { 180 } else { 0 };
        let turned = |hand: &bool| {
            let hand = *hand;
            turns(part.grain, one_way, hand).iter().map(move |turn| ((turn + about) % 360, hand))
        };
        hands.iter().flat_map(turned).collect()
    }

    /// The same with the play that the piece has on the grain; none where a print
    /// would show it.
    fn places(&self, index: usize, part: &Part, hands: &[bool]) -> Vec<(u16, bool)> {
        let tolerance = if phase::matches(self.job, index) { 0 } else { part.grain_tolerance_deg };
        let straight = self.upright_places(index, part, hands);
        straight
            .into_iter()
            .flat_map(|(turn, hand)| play(turn, tolerance).into_iter().map(move |turn| (turn, hand)))
            .collect()
    }

    /// Keeps the shapes that fit the folded stretch with half the gap free at the
    /// lengthwise fold, where the two layers meet. Gives the right-hand limit too.
    fn doubled(&mut self, shapes: Vec<Shape>) -> (Vec<usize>, f64) {
        let lengthwise = (self.usable - self.job.cloth.gap_mm) / 2.0;
        let right = if self.layout == Layout::Crosswise { self.usable } else { lengthwise };
        let fitting = shapes.into_iter().filter(|shape| shape.own.width() <= right + SLACK_MM).collect();
        (self.keep(fitting), right)
    }

    fn single_shapes(
        &mut self,
        index: usize,
        part: &Part,
        outline: &Outline,
        hands: &[bool],
    ) -> Result<Vec<usize>, LayError> {
        let places = self.places(index, part, hands);
        let shapes = places.into_iter().map(|(turn, mirrored)| outline.shape(turn, mirrored));
        self.fitting(&part.label, shapes.collect())
    }

    /// Keeps the shapes that fit the width of the cloth.
    fn fitting(&mut self, label: &str, shapes: Vec<Shape>) -> Result<Vec<usize>, LayError> {
        let least = shapes.iter().map(|shape| shape.own.width()).fold(f64::INFINITY, f64::min);
        if least > self.usable + SLACK_MM {
            return Err(LayError::TooWide { label: label.into(), needs: both(least), usable: both(self.usable) });
        }
        Ok(self.keep(shapes.into_iter().filter(|shape| shape.own.width() <= self.usable + SLACK_MM).collect()))
    }

    fn keep(&mut self, shapes: Vec<Shape>) -> Vec<usize> {
        let first = self.split.shapes.len();
        self.split.shapes.extend(shapes);
        (first..self.split.shapes.len()).collect()
    }

    fn single(&mut self, what: What, shapes: &[usize]) {
        self.split.open.push(Item::of(what, shapes, self.usable));
    }
}

impl Item {
    /// An item that may lie anywhere as far right as `right`.
    fn of(what: What, shapes: &[usize], right: f64) -> Item {
        Item { what, shapes: shapes.to_vec(), left: 0.0, right, on_limit: false, along: None, across: None }
    }

    /// The same item between other limits; nothing where it does not fit.
    pub(super) fn between(&self, left: f64, right: f64, shapes: &[Shape]) -> Option<Item> {
        let fits =
            |shape: &&usize| shapes.get(**shape).is_some_and(|shape| shape.own.width() <= right - left + SLACK_MM);
        let fitting: Vec<usize> = self.shapes.iter().filter(fits).copied().collect();
        (!fitting.is_empty()).then(|| Item { shapes: fitting, left, right, ..self.clone() })
    }

    /// The least width that it takes, mm.
    pub(super) fn least_width(&self, shapes: &[Shape]) -> f64 {
        let widths = self.shapes.iter().filter_map(|shape| shapes.get(*shape)).map(|shape| shape.own.width());
        widths.fold(f64::INFINITY, f64::min)
    }
}

/// Rounding of coordinates, far below the checker's tolerance.
const SLACK_MM: f64 = 1e-6;

/// Whether a half in this position has its fold upright at its right-hand side.
fn hangs(shape: &Shape, (a, b): (Point, Point)) -> bool {
    /// Below the 0.05 mm that the checker allows on the fold.
    const OFF_MM: f64 = 0.02;
    let ends = super::super::laid::moved(&[a, b], shape.turn, shape.mirrored, [0.0, 0.0]);
    ends.iter().all(|end| (end[0] - shape.own.most[0]).abs() <= OFF_MM)
}

/// How a length of strip may be turned.
const fn bit_turns(grain: Grain) -> &'static [u16] {
    match grain {
        Grain::Along => &[0],
        Grain::Across => &[90],
        Grain::Any => &[0, 90],
        Grain::Bias => &[45, 135],
    }
}
