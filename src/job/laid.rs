//! From a draft to its lay: the cloth as this garment has it, the length to buy.

use crate::draft::{self, Draft};
use crate::geom::Point;
use crate::lay::{
    self, Lay, LayError, LayJob, Layout, Need, OnLength, Rectangle, Repeat, Selling, USUAL_BUDGET, best_layout,
    lay_lengths, left_over, need, unmatched,
};
use crate::measure::{Length, Showing, Unit};
use crate::shop::{ClothFacts, ClothOf, GarmentFacts, LiningKind, Nap, SellingStep, Settings};

use super::matching::matched;

/// One cloth of a garment, laid.
#[derive(Clone, Debug, PartialEq)]
pub struct Laid {
    /// Which cloth: the main one, the lining, the interfacing.
    pub cloth: draft::Cloth,
    /// The full width that it was laid on.
    pub width: Length,
    /// Whether that width was assumed, because none is written.
    pub width_assumed: bool,
    /// What was laid.
    pub job: LayJob,
    /// The lay; it has passed the checker.
    pub lay: Lay,
    /// The length to buy, with its sum.
    pub need: Need,
}

impl Laid {
    /// By how much a length that is there falls short; nothing when it suffices.
    #[must_use]
    pub fn short_by(&self, have: Length) -> Length {
        self.need.short_by(have)
    }

    /// The same cloth with another lay of the same job, and what that one needs.
    #[must_use]
    pub fn with(&self, lay: Lay) -> Laid {
        let need = need(&lay, &self.job, self.need.step);
        Laid { lay, need, ..self.clone() }
    }

    /// How the cloth is spread and which side of it is up, in words; where a print is to
    /// match, that it is pinned layer to layer.
    #[must_use]
    pub fn spread(&self) -> &'static str {
        if self.job.matched.is_empty() { self.lay.spread() } else { self.lay.spread_matched() }
    }

    /// The seams whose print cannot match in this lay, in words.
    #[must_use]
    pub fn unmatched(&self) -> Vec<String> {
        unmatched(&self.job, &self.lay)
    }

    /// What is left of a length of this cloth once it is cut, as rectangles that something
    /// else can be cut from, greatest first.
    #[must_use]
    pub fn left_over(&self, bought: Length) -> Vec<Rectangle> {
        left_over(&self.job, &self.lay, bought.mm())
    }

    /// The same cut from several lengths of the cloth; a lay for each length that is used.
    ///
    /// # Errors
    /// [`LayError::LengthsShort`] naming what is left over and by how much they are short.
    pub fn on_lengths(&self, lengths: &[Length]) -> Result<Vec<OnLength>, LayError> {
        /// As much as four usual lays: each of some shares-out asks many small ones.
        const BUDGET: u32 = 4 * USUAL_BUDGET;
        let lengths: Vec<f64> = lengths.iter().map(|length| length.mm()).collect();
        lay_lengths(&self.job, &lengths, BUDGET, SEED)
    }
}

/// A cloth of a draft as facts name it.
#[must_use]
pub const fn cloth_of(cloth: draft::Cloth) -> ClothOf {
    match cloth {
        draft::Cloth::Main => ClothOf::Main,
        draft::Cloth::Lining => ClothOf::Lining,
        draft::Cloth::Interfacing => ClothOf::Interfacing,
    }
}

/// The cloth of a draft that facts name so.
#[must_use]
pub const fn cloth_in(cloth: ClothOf) -> draft::Cloth {
    match cloth {
        ClothOf::Main => draft::Cloth::Main,
        ClothOf::Lining => draft::Cloth::Lining,
        ClothOf::Interfacing => draft::Cloth::Interfacing,
    }
}

/// What is written of one cloth of a garment; nothing is known of a lining or interfacing
/// that has no facts of its own.
#[must_use]
pub fn facts_of(garment: &GarmentFacts, cloth: draft::Cloth) -> ClothFacts {
    let own = |kind: LiningKind| garment.linings.get(&kind).map_or(ClothFacts::UNKNOWN, |lining| lining.as_cloth());
    match cloth {
        draft::Cloth::Main => garment.cloth.clone(),
        draft::Cloth::Lining => own(LiningKind::Lining),
        draft::Cloth::Interfacing => own(LiningKind::Interfacing),
    }
}

/// What a garment needs at one width.
#[derive(Clone, Debug, PartialEq)]
pub struct WidthNeed {
    /// The full width.
    pub width: Length,
    /// The need, or why it cannot be cut from this width.
    pub need: Result<Need, LayError>,
}

/// Lays what is cut from one cloth of a draft, folded or open, whichever is
/// shorter; `facts` are those of that cloth ([`facts_of`]). The same draft, cloth and settings always give the same lay.
///
/// # Errors
/// [`LayError`] naming the piece, strip or cloth at fault and the remedy.
pub fn laid(draft: &Draft, cloth: draft::Cloth, facts: &ClothFacts, settings: &Settings) -> Result<Laid, LayError> {
    let (width, width_assumed, job) = asked(draft, cloth, facts, settings);
    let lay = best_layout(&job, USUAL_BUDGET, SEED)?;
    let need = need(&lay, &job, selling(settings.selling_step));
    Ok(Laid { cloth, width, width_assumed, job, lay, need })
}

/// What is to be laid, before any search: on which width, whether that was assumed, what.
pub(super) fn asked(
    draft: &Draft,
    cloth: draft::Cloth,
    facts: &ClothFacts,
    settings: &Settings,
) -> (Length, bool, LayJob) {
    let width = facts.width.unwrap_or_else(|| usual_width(cloth, settings.showing));
    (width, facts.width.is_none(), cloth_job(draft, cloth, facts, settings, width))
}

/// What the main cloth of a draft comes to at the usual widths. Cheaper searches
/// than [`laid`]: a list to choose a width by, not a lay to cut by.
#[must_use]
pub fn needs_by_width(draft: &Draft, facts: &ClothFacts, settings: &Settings) -> Vec<WidthNeed> {
    needs_of_by_width(draft, draft::Cloth::Main, facts, settings)
}

/// As [`needs_by_width`], for any cloth of a draft with its own facts.
#[must_use]
pub fn needs_of_by_width(
    draft: &Draft,
    cloth: draft::Cloth,
    facts: &ClothFacts,
    settings: &Settings,
) -> Vec<WidthNeed> {
    /// A quarter of the usual budget: four widths cost about as much as one lay.
    const BUDGET: u32 = USUAL_BUDGET / 4;
    by_width(draft, cloth, facts, settings, BUDGET)
}

/// As [`needs_by_width`], from first lays alone: surely enough at each width, at a fraction of
/// the time. For whoever drafts by the hundred.
#[must_use]
pub fn enough_by_width(draft: &Draft, facts: &ClothFacts, settings: &Settings) -> Vec<WidthNeed> {
    by_width(draft, draft::Cloth::Main, facts, settings, 1)
}

fn by_width(
    draft: &Draft,
    cloth: draft::Cloth,
    facts: &ClothFacts,
    settings: &Settings,
    budget: u32,
) -> Vec<WidthNeed> {
    let at = |width: Length| {
        let job = cloth_job(draft, cloth, facts, settings, width);
        best_layout(&job, budget, SEED).map(|lay| need(&lay, &job, selling(settings.selling_step)))
    };
    let mut needs: Vec<WidthNeed> = Vec::new();
    for width in usual_widths(settings.showing) {
        // Wider cloth can be cut as the narrower one was, the rest left along one selvedge.
        let need = match (at(*width), needs.last().map(|narrower| &narrower.need)) {
            (Ok(own), Some(Ok(narrower))) if narrower.cut_length < own.cut_length => Ok(narrower.clone()),
            (own, _) => own,
        };
        needs.push(WidthNeed { width: *width, need });
    }
    needs
}

/// How much of the main cloth is surely enough for a draft: what the first lay found
/// needs, which [`laid`] only shortens. A fraction of its time: for many garments at once.
///
/// # Errors
/// As [`laid`].
pub fn enough(draft: &Draft, facts: &ClothFacts, settings: &Settings) -> Result<Need, LayError> {
    enough_of(draft, draft::Cloth::Main, facts, settings).map(|(_, need)| need)
}

/// As [`enough`], for any cloth of a draft with its own facts; with the width that was laid.
pub(super) fn enough_of(
    draft: &Draft,
    cloth: draft::Cloth,
    facts: &ClothFacts,
    settings: &Settings,
) -> Result<(Length, Need), LayError> {
    let width = facts.width.unwrap_or_else(|| usual_width(cloth, settings.showing));
    let job = cloth_job(draft, cloth, facts, settings, width);
    // No budget: the first lay is finished whatever it costs, and nothing after it is tried.
    best_layout(&job, 1, SEED).map(|lay| (width, need(&lay, &job, selling(settings.selling_step))))
}

/// The seed of every first lay. Any number serves; one and the same, so that a page shows the same lay twice.
pub(super) const SEED: u64 = 1;

/// The cloths that something of this draft is cut from.
#[must_use]
pub fn cloths(draft: &Draft) -> Vec<draft::Cloth> {
    let mut cloths: Vec<draft::Cloth> =
        draft.pieces.iter().map(|piece| piece.cloth).chain(draft.strips.iter().map(|strip| strip.cloth)).collect();
    cloths.sort_unstable();
    cloths.dedup();
    cloths
}

/// Everything that is cut from one cloth of a garment, on that cloth at this width: may be
/// turned wrong side up where the facts say so.
#[must_use]
pub fn cloth_job(draft: &Draft, cloth: draft::Cloth, facts: &ClothFacts, settings: &Settings, width: Length) -> LayJob {
    let mut job = lay_job(draft, cloth, bolt(cloth, facts, settings, width));
    let turns_over = facts.turns_over && cloth == draft::Cloth::Main;
    job.parts.iter_mut().for_each(|part| part.may_flip = turns_over);
    job
}

/// Everything that is cut from one cloth, as the layer takes it. Pieces lie on the grain, as far
/// off it as their style lets them; where the cloth has a repeat, the seams of the draft say what is to match.
#[must_use]
pub fn lay_job(draft: &Draft, cloth: draft::Cloth, bolt: lay::Cloth) -> LayJob {
    let pieces = draft.pieces.iter().filter(|piece| piece.cloth == cloth).map(|piece| lay::Part {
        key: piece.key.clone(),
        label: piece.label.clone(),
        letter: piece.letter.clone(),
        outline: piece.cutting.clone(),
        fold: piece.fold.map(|fold| cut_fold(&piece.cutting, fold)),
        count: piece.count,
        pairs: piece.pairs,
        grain: grain(piece.grain),
        may_flip: false,
        garment: 0,
        grain_tolerance_deg: piece.off_grain_deg,
        marks: Vec::new(),
    });
    let strips = draft.strips.iter().filter(|strip| strip.cloth == cloth).map(|strip| lay::Strip {
        key: strip.key.clone(),
        label: strip.label.clone(),
        letter: strip.letter.clone(),
        length_mm: strip.length_mm,
        join_mm: strip.join_mm,
        width_mm: strip.width_mm,
        count: strip.count,
        grain: grain(strip.grain),
        joined: strip.joined,
        garment: 0,
    });
    let mut parts: Vec<lay::Part> = pieces.collect();
    let matched = if bolt.repeat.is_some() { matched(draft, &mut parts) } else { Vec::new() };
    LayJob { parts, strips: strips.collect(), cloth: bolt, matched }
}

/// The fold as far as the piece is cut: a draft's fold ends at the seam, the cloth's
/// at the edge of the allowance.
fn cut_fold(cutting: &[Point], (from, to): (Point, Point)) -> (Point, Point) {
    /// What lies on the fold does so within this (architecture: 0.05 mm).
    const ON_MM: f64 = 0.05;
    let along = [to[0] - from[0], to[1] - from[1]];
    let length = along[0].hypot(along[1]);
    if length <= ON_MM {
        return (from, to);
    }
    let off = |p: &&Point| (((p[0] - from[0]) * along[1] - (p[1] - from[1]) * along[0]) / length).abs() <= ON_MM;
    let reach = |p: &&Point| (p[0] - from[0]) * along[0] + (p[1] - from[1]) * along[1];
    let on_fold = || cutting.iter().filter(off);
    let first = on_fold().min_by(|p, q| reach(p).total_cmp(&reach(q)));
    let last = on_fold().max_by(|p, q| reach(p).total_cmp(&reach(q)));
    (first.copied().unwrap_or(from), last.copied().unwrap_or(to))
}

/// A bolt of this width as its facts and the shop's habits have it.
/// Cloth of which nobody knows whether it was washed is reckoned as unwashed.
/// Only the main cloth has a nap or a print that is matched; interfacing does not shrink
/// unless its facts say so (it is tested on a scrap first). Where nothing else is written,
/// the shop's one figure stands for the length and for the width: most
/// cloth loses less across than along (common practice), so it errs to the safe side,
/// where what was laid still has its room once the cloth was washed.
#[must_use]
pub fn bolt(cloth: draft::Cloth, facts: &ClothFacts, settings: &Settings, width: Length) -> lay::Cloth {
    let main = cloth == draft::Cloth::Main;
    let usual = if cloth == draft::Cloth::Interfacing { 0 } else { settings.shrink_thousandths };
    let shrink = |written: Option<u16>| f64::from(written.map_or(usual, u32::from)) / 1000.0;
    let repeat =
        Repeat { along_mm: facts.repeat_along.map(Length::mm), across_mm: facts.repeat_across.map(Length::mm) };
    let is_matched = main && (repeat.along_mm.is_some() || repeat.across_mm.is_some());
    lay::Cloth {
        selvedge_mm: settings.selvedge.mm(),
        nap: if main { nap(facts.nap) } else { lay::Nap::Free },
        repeat: is_matched.then_some(repeat),
        layout: Layout::Folded,
        crosswise_too: main && facts.may_fold_across(),
        shrink_length: shrink(facts.shrink_along),
        shrink_width: shrink(facts.shrink_across),
        squaring_mm: facts.skew.unwrap_or(settings.squaring).mm(),
        washed: facts.washed == Some(true),
        spare_mm: facts.spare.map_or(0.0, Length::mm),
        ..lay::Cloth::of_width(width.mm())
    }
}

const fn nap(nap: Nap) -> lay::Nap {
    match nap {
        Nap::Free => lay::Nap::Free,
        Nap::PerGarment => lay::Nap::PerGarment,
        Nap::One => lay::Nap::One,
    }
}

/// Widths usually met (trade.md, "Cloth"): 36, 45, 54, 60 in, or 90, 115, 140, 150 cm.
#[must_use]
pub const fn usual_widths(showing: Showing) -> &'static [Length; 4] {
    const INCHES: [Length; 4] =
        [Length::inches(36, 0), Length::inches(45, 0), Length::inches(54, 0), Length::inches(60, 0)];
    const CENTIMETRES: [Length; 4] = [
        Length::tenths_of_mm(9_000),
        Length::tenths_of_mm(11_500),
        Length::tenths_of_mm(14_000),
        Length::tenths_of_mm(15_000),
    ];
    match showing.unit() {
        Unit::Inch => &INCHES,
        Unit::Centimetre => &CENTIMETRES,
    }
}

/// The width taken where none is written: 45 in or 115 cm, as prints are; 36 in or
/// 90 cm for interfacing (common practice).
const fn usual_width(cloth: draft::Cloth, showing: Showing) -> Length {
    let [narrow, usual, ..] = *usual_widths(showing);
    match cloth {
        draft::Cloth::Interfacing => narrow,
        draft::Cloth::Main | draft::Cloth::Lining => usual,
    }
}

/// The shop's selling step as the layer names it.
#[must_use]
pub const fn selling(step: SellingStep) -> Selling {
    match step {
        SellingStep::EighthYard => Selling::EighthYard,
        SellingStep::QuarterYard => Selling::QuarterYard,
        SellingStep::TenCentimetres => Selling::TenCentimetres,
        SellingStep::HalfMetre => Selling::HalfMetre,
    }
}

const fn grain(grain: draft::Grain) -> lay::Grain {
    match grain {
        draft::Grain::Along => lay::Grain::Along,
        draft::Grain::Across => lay::Grain::Across,
        draft::Grain::Bias => lay::Grain::Bias,
    }
}
