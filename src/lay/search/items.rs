//! A job sorted into what is dropped on the folded stretch, what on the open one,
//! and what is cut in rows.

use crate::geom::Point;

use super::super::laid::opened;
use super::super::{Grain, LayError, LayJob, Layout, Part, Strip, words::both};
use super::rows::RowBit;
use super::shape::{Outline, Shape, Span, is_its_own_mirror, turns};

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
/// and lies right side up.
pub(super) fn split(job: &LayJob, short: Short) -> Result<Split, LayError> {
    let folded = job.cloth.layout == Layout::Folded;
    let split = sorted(job, short, folded)?;
    if folded && split.folded.is_empty() { sorted(job, short, false) } else { Ok(split) }
}

fn sorted(job: &LayJob, short: Short, wrong_side_up: bool) -> Result<Split, LayError> {
    let mut sorter = Sorter { job, usable: job.cloth.usable_width_mm(), wrong_side_up, split: Split::default() };
    for (index, part) in job.parts.iter().enumerate() {
        sorter.part(index, part)?;
    }
    let spans = job.parts.iter().map(|part| Span::of(&part.outline).height());
    let longest = spans.fold(0.0, f64::max);
    for (index, strip) in job.strips.iter().enumerate() {
        sorter.strip(index, strip, longest, short)?;
    }
    let split = sorter.split;
    LayJob::few_enough(split.folded.len() + split.open.len() + split.rows.len())?;
    Ok(split)
}

struct Sorter<'a> {
    job: &'a LayJob,
    usable: f64,
    /// Whether what is cut single is chalked on the wrong side.
    wrong_side_up: bool,
    split: Split,
}

impl Sorter<'_> {
    fn part(&mut self, index: usize, part: &Part) -> Result<(), LayError> {
        if part.count == 0 {
            return Ok(());
        }
        match part.fold {
            Some(fold) => self.on_fold(index, part, fold),
            None => self.off_fold(index, part),
        }
    }

    /// A piece drawn as its half: on the fold where it can be, else opened out.
    fn on_fold(&mut self, index: usize, part: &Part, fold: (Point, Point)) -> Result<(), LayError> {
        let copies = 1..=part.count;
        if self.is_folded() {
            let half = Outline::new(part.outline.clone(), self.job.cloth.gap_mm);
            let places = self.places(part.grain, &[false, true]);
            let shapes = places.into_iter().map(|(turn, mirrored)| half.shape(turn, mirrored));
            let right = self.usable / 2.0;
            let hung = shapes.filter(|shape| shape.own.width() <= right + SLACK_MM && hangs(shape, fold));
            let shapes = self.keep(hung.collect());
            if !shapes.is_empty() {
                for copy in copies {
                    let what = What::Part { part: index, copy, under: None, on_fold: true };
                    self.split.folded.push(Item { what, shapes: shapes.clone(), left: 0.0, right, on_limit: true });
                }
                return Ok(());
            }
        }
        let whole = opened(&part.outline, fold);
        let hands = self.hands(part, self.is_own_mirror(part, &whole), false);
        let whole = Outline::new(whole, self.job.cloth.gap_mm);
        let shapes = self.single_shapes(&part.label, &whole, part.grain, hands)?;
        for copy in copies {
            self.single(What::Part { part: index, copy, under: None, on_fold: false }, &shapes);
        }
        Ok(())
    }

    /// A piece drawn whole: two at once through both layers where a left and a
    /// right are wanted, else single.
    fn off_fold(&mut self, index: usize, part: &Part) -> Result<(), LayError> {
        let outline = Outline::new(part.outline.clone(), self.job.cloth.gap_mm);
        let own_mirror = self.is_own_mirror(part, &part.outline);
        let mut next = 1;
        if self.is_folded() && part.count > 1 && (part.pairs || part.may_flip || own_mirror) {
            let places = self.places(part.grain, &[false, true]);
            let shapes = places.into_iter().map(|(turn, mirrored)| outline.shape(turn, mirrored)).collect();
            let (shapes, right) = self.doubled(shapes);
            while !shapes.is_empty() && next < part.count {
                let what = What::Part { part: index, copy: next, under: Some(next + 1), on_fold: false };
                self.split.folded.push(Item { what, shapes: shapes.clone(), left: 0.0, right, on_limit: false });
                next += 2;
            }
        }
        if next > part.count {
            return Ok(());
        }
        let drawn = self.single_shapes(&part.label, &outline, part.grain, self.hands(part, own_mirror, false))?;
        let lefts = if part.pairs && part.count > next {
            self.single_shapes(&part.label, &outline, part.grain, self.hands(part, own_mirror, true))?
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
                    self.split.folded.push(Item { what, shapes, left: 0.0, right, on_limit: false });
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
        self.job.cloth.layout == Layout::Folded
    }

    fn is_own_mirror(&self, part: &Part, whole: &[Point]) -> bool {
        is_its_own_mirror(whole, part.grain, self.job.cloth.one_way)
    }

    /// As which hands (mirrored or not) a piece cut single may be chalked, so that a
    /// right comes out, or a left. On the wrong side its mirror image is chalked.
    fn hands(&self, part: &Part, own_mirror: bool, left: bool) -> &'static [bool] {
        match (own_mirror, part.may_flip) {
            (true, _) => &[false],
            (false, true) => &[false, true],
            (false, false) if left == self.wrong_side_up => &[false],
            (false, false) => &[true],
        }
    }

    /// Every turn and hand that grain and cloth allow.
    fn places(&self, grain: Grain, hands: &[bool]) -> Vec<(u16, bool)> {
        let turned = |hand: &bool| {
            let hand = *hand;
            turns(grain, self.job.cloth.one_way, hand).iter().map(move |turn| (*turn, hand))
        };
        hands.iter().flat_map(turned).collect()
    }

    /// Keeps the shapes that fit the folded stretch with half the gap free at the
    /// fold, where the two layers meet. Gives the right-hand limit too.
    fn doubled(&mut self, shapes: Vec<Shape>) -> (Vec<usize>, f64) {
        let right = (self.usable - self.job.cloth.gap_mm) / 2.0;
        let fitting = shapes.into_iter().filter(|shape| shape.own.width() <= right + SLACK_MM).collect();
        (self.keep(fitting), right)
    }

    fn single_shapes(
        &mut self,
        label: &str,
        outline: &Outline,
        grain: Grain,
        hands: &[bool],
    ) -> Result<Vec<usize>, LayError> {
        let shapes = self.places(grain, hands).into_iter().map(|(turn, mirrored)| outline.shape(turn, mirrored));
        self.fitting(label, shapes.collect())
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
        self.split.open.push(Item { what, shapes: shapes.to_vec(), left: 0.0, right: self.usable, on_limit: false });
    }
}

impl Item {
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
