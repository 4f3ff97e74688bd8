//! Does the cloth that is there suffice, and if not, what would make it fit?
//!
//! The ways are tried, not guessed: the garment is drafted anew with one thing changed,
//! must hold every truth that it held before, and is laid. What the client sees (length,
//! fullness, sleeves, tiers) may be proposed; ease, allowances and what a style keeps
//! aside may not: they are what makes it fit and sew.

use crate::draft::{self, Choice, ChoiceKind, Draft, Style};
use crate::geom::Point;
use crate::lay::{self, LayJob, Need, USUAL_BUDGET, best_layout, need};
use crate::measure::{Length, Showing, Unit};
use crate::shop::{Body, GarmentFacts, Settings};

use super::drafted::exactly;
use super::{cloth_job, drafted, selling};

/// What a length of cloth comes to for a garment.
#[derive(Clone, Debug, PartialEq)]
pub struct Suffices {
    /// How much there is.
    pub have: Length,
    /// How much must be cut from it.
    pub need: Need,
    /// By how much it falls short; nothing when it suffices.
    pub short_by: Length,
    /// What is left beyond the need; nothing when it falls short.
    pub over: Length,
    /// What would make it fit, each by itself; none when it suffices, or when nothing helps.
    pub ways: Vec<Way>,
}

/// One change with which the cloth suffices.
#[derive(Clone, Debug, PartialEq)]
pub struct Way {
    /// What changes, in words: `Fullness 2 instead of 3`.
    pub words: String,
    /// The choice to write for it and its value as typed; none where it is not a choice of the style.
    pub choice: Option<(String, String)>,
    /// How much must be cut then.
    pub need: Length,
}

/// Asks of the cloth that is written for a garment, whose draft and lay are known, whether
/// it suffices, and when it does not, what would make it. `None` where no length is written.
#[must_use]
pub fn suffices(
    style: &Style,
    (garment, body, settings): (&GarmentFacts, &Body, &Settings),
    (draft, laid): (&Draft, &super::Laid),
) -> Option<Suffices> {
    let have = garment.cloth.length?;
    let (need, short_by) = (laid.need.clone(), laid.need.short_by(have));
    let over = if short_by > Length::ZERO { Length::ZERO } else { have - need.cut_length };
    let mut ways = Vec::new();
    if short_by > Length::ZERO {
        let asked = Asked { style, garment, body, settings, draft, width: laid.width, have };
        ways.extend(style.choices().iter().filter(|choice| may_change(choice)).filter_map(|choice| asked.by(choice)));
        ways.extend(asked.either_side_up());
        ways.extend(asked.seamed());
    }
    Some(Suffices { have, need, short_by, over, ways })
}

/// Choices that the client sees on the garment and may give up.
fn may_change(choice: &Choice) -> bool {
    let fit = ["ease", "allowance", "seam"].iter().any(|word| choice.key.contains(word));
    !choice.aside && choice.shop.is_none() && !fit
}

struct Asked<'a> {
    style: &'a Style,
    garment: &'a GarmentFacts,
    body: &'a Body,
    settings: &'a Settings,
    draft: &'a Draft,
    width: Length,
    have: Length,
}

/// What a trial of a lay may spend: a fifth of a first lay's, for there are dozens (judgement).
const BUDGET: u32 = USUAL_BUDGET / 5;
/// The seed of every trial; any serves.
const SEED: u64 = 1;

impl Asked<'_> {
    /// The least change of one choice with which the cloth suffices.
    fn by(&self, choice: &Choice) -> Option<Way> {
        let typed = self.garment.choices.get(&choice.key).map(|text| text.trim()).filter(|text| !text.is_empty());
        match &choice.kind {
            ChoiceKind::Length { default, least, .. } => {
                let from = self.worked(choice).unwrap_or(*default);
                let (step, written) = self.length_steps(from);
                self.lessened(choice, (from, *least), step, &written)
            }
            ChoiceKind::Number { default, least, whole, .. } => {
                let from = typed.and_then(draft::read_number).unwrap_or(*default);
                // Fullness goes by quarters (common practice).
                let step = if *whole { 1.0 } else { 0.25 };
                self.lessened(choice, (from, *least), step, &|number| {
                    (format!("{number}"), fraction(number), fraction(from))
                })
            }
            ChoiceKind::Word { default, options } => {
                let now = typed.map_or_else(|| default.clone(), |text| text.to_lowercase().replace([' ', '-'], "_"));
                let label = |word: &str| {
                    options
                        .iter()
                        .find(|(key, _)| key == word)
                        .map_or_else(|| word.to_owned(), |(_, label)| label.clone())
                };
                let others = options.iter().filter(|(word, _)| *word != now);
                let found = others.filter_map(|(word, _)| Some((word, self.fits(&choice.key, word)?)));
                let (word, need) = found.max_by_key(|(_, need)| *need)?;
                let words = format!("{}: {} instead of {}", choice.label, label(word), label(&now));
                Some(Way { words, choice: Some((choice.key.clone(), word.clone())), need })
            }
        }
    }

    /// The value that a choice has in the present draft, mm: a length asked for at a fitting
    /// may stand for it.
    fn worked(&self, choice: &Choice) -> Option<f64> {
        let input = super::input(self.style, self.garment, self.body, self.settings);
        let typed = input.choices.get(&choice.key)?;
        crate::measure::read_length(typed, self.settings.showing.unit()).ok().map(Length::mm)
    }

    /// Lengths go by half inches or whole centimetres, as a client is asked (judgement); how one is typed
    /// and told, and how the present one is told.
    fn length_steps(&self, from: f64) -> (f64, impl Fn(f64) -> (String, String, String)) {
        let showing = self.settings.showing;
        let step = match showing.unit() {
            Unit::Inch => Length::inches(0, 4),
            Unit::Centimetre => Length::CENTIMETRE,
        };
        let told = move |mm: f64| Length::from_mm(mm).map_or_else(String::new, |length| showing.with_unit(length));
        let typed = move |mm: f64| Length::from_mm(mm).map_or_else(String::new, exactly);
        (step.mm(), move |mm| (typed(mm), told(mm), told(from)))
    }

    /// The greatest value below the present one, in whole steps, with which the cloth
    /// suffices; found by halving, since less of it takes less cloth.
    fn lessened(
        &self,
        choice: &Choice,
        (from, least): (f64, f64),
        step: f64,
        written: &dyn Fn(f64) -> (String, String, String),
    ) -> Option<Way> {
        /// A choice is halved at most so often: 2^12 steps are beyond any choice's range.
        const HALVINGS: u32 = 12;
        // On the step itself: 24 1/2 in, not 24 5/8 in.
        let at = |steps: f64| steps * step;
        let (mut low, mut high) = ((least / step - 1e-6).ceil(), (from / step - 1e-6).ceil());
        if low >= high {
            return None;
        }
        let mut best = (low, self.fits(&choice.key, &written(at(low)).0)?);
        for _ in 0..HALVINGS {
            let middle = ((low + high) / 2.0).floor();
            if middle <= low || middle >= high {
                break;
            }
            match self.fits(&choice.key, &written(at(middle)).0) {
                Some(need) => (low, best) = (middle, (middle, need)),
                None => high = middle,
            }
        }
        let (typed, told, before) = written(at(best.0));
        let words = format!("{} {told} instead of {before}", choice.label);
        Some(Way { words, choice: Some((choice.key.clone(), typed)), need: best.1 })
    }

    /// What must be cut with this choice, if the garment still sews as it did and the cloth suffices.
    fn fits(&self, key: &str, typed: &str) -> Option<Length> {
        let mut garment = self.garment.clone();
        garment.choices.insert(key.to_owned(), typed.to_owned());
        let changed = drafted(self.style, &garment, self.body, self.settings).ok()?;
        let broke = |draft: &Draft| -> Vec<String> {
            draft.truths.iter().filter(|truth| !truth.held).map(|truth| truth.what.clone()).collect()
        };
        let before = broke(self.draft);
        broke(&changed).iter().all(|what| before.contains(what)).then(|| self.laid(&self.job(&changed)))?
    }

    fn job(&self, draft: &Draft) -> LayJob {
        cloth_job(draft, draft::Cloth::Main, &self.garment.cloth, self.settings, self.width)
    }

    /// What must be cut for a job, if the cloth suffices for it.
    fn laid(&self, job: &LayJob) -> Option<Length> {
        let lay = best_layout(job, BUDGET, SEED).ok()?;
        let cut = need(&lay, job, selling(self.settings.selling_step)).cut_length;
        (cut <= self.have).then_some(cut)
    }

    /// Pieces turned wrong side up, where the cloth's sides are alike.
    fn either_side_up(&self) -> Option<Way> {
        let mut job = self.job(self.draft);
        if job.parts.iter().all(|part| part.may_flip) {
            return None;
        }
        for part in &mut job.parts {
            part.may_flip = true;
        }
        let words = "Pieces turned wrong side up, if both sides of the cloth are alike and she agrees".into();
        Some(Way { words, choice: None, need: self.laid(&job)? })
    }

    /// The piece on the fold that gains most by a seam there instead.
    fn seamed(&self) -> Option<Way> {
        let job = self.job(self.draft);
        let tried = job.parts.iter().enumerate().filter(|(_, part)| part.fold.is_some()).filter_map(|(n, part)| {
            let halved = halved(part)?;
            let mut job = job.clone();
            *job.parts.get_mut(n)? = halved;
            Some((part.label.clone(), self.laid(&job)?))
        });
        let (label, need) = tried.min_by_key(|(_, need)| *need)?;
        let allowance = told(SEAM_MM, self.settings.showing);
        let words = format!("{label} in two halves with a seam in the middle ({allowance} added to each)");
        Some(Way { words, choice: None, need })
    }
}

/// The allowance of a seam in the middle, mm: 5/8 in, as a plain seam is pressed open
/// (common practice).
const SEAM_MM: f64 = 15.875;

fn told(mm: f64, showing: Showing) -> String {
    Length::from_mm(mm).map_or_else(String::new, |length| showing.with_unit(length))
}

/// A part cut as two halves with an allowance where it lay on the fold.
fn halved(part: &lay::Part) -> Option<lay::Part> {
    let (a, b) = part.fold?;
    let length = (b[0] - a[0]).hypot(b[1] - a[1]);
    if length <= 0.0 {
        return None;
    }
    let near = |p: &Point, q: Point| (p[0] - q[0]).hypot(p[1] - q[1]) < 0.1;
    // Out of the piece: away from its middle.
    let count = f64::from(u32::try_from(part.outline.len()).ok()?);
    let middle = part.outline.iter().fold([0.0, 0.0], |sum, p| [sum[0] + p[0] / count, sum[1] + p[1] / count]);
    let mut out = [(b[1] - a[1]) / length * SEAM_MM, -(b[0] - a[0]) / length * SEAM_MM];
    if out[0] * (middle[0] - a[0]) + out[1] * (middle[1] - a[1]) > 0.0 {
        out = [-out[0], -out[1]];
    }
    let mut outline: Vec<Point> = Vec::with_capacity(part.outline.len() + 2);
    let next = part.outline.iter().cycle().skip(1);
    for (p, q) in part.outline.iter().zip(next) {
        outline.push(*p);
        if (near(p, a) && near(q, b)) || (near(p, b) && near(q, a)) {
            outline.push([p[0] + out[0], p[1] + out[1]]);
            outline.push([q[0] + out[0], q[1] + out[1]]);
        }
    }
    let seamed = outline.len() == part.outline.len() + 2;
    seamed.then(|| lay::Part { outline, fold: None, count: part.count * 2, pairs: true, ..part.clone() })
}

/// `2`, `2 3/4`: quarters as they are said.
fn fraction(number: f64) -> String {
    let quarters = (number * 4.0).round();
    if (quarters / 4.0 - number).abs() > 1e-9 {
        return format!("{number}");
    }
    let (whole, part) = ((quarters / 4.0).floor(), quarters.rem_euclid(4.0));
    let words = if part > 2.5 {
        "3/4"
    } else if part > 1.5 {
        "1/2"
    } else if part > 0.5 {
        "1/4"
    } else {
        return format!("{whole}");
    };
    if whole > 0.0 { format!("{whole} {words}") } else { words.into() }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::draft::BOOK;
    use crate::shop::{BodyValue, ClientId, Currency, SetId, Source};

    fn asked(have: Length) -> Suffices {
        let style = Style::read(BOOK.iter().find(|style| style.key == "wrap_skirt").unwrap().text).unwrap();
        let mut body = Body::default();
        for (key, inches) in [("waist_girth", 31), ("hip_girth", 43)] {
            let value = BodyValue {
                length: Length::inches(inches, 0),
                typed: inches.to_string(),
                day: chrono::NaiveDate::default(),
                source: Source::Tape,
                set: SetId::new(1),
            };
            body.values.insert(key.into(), value);
        }
        let mut garment = GarmentFacts::of(ClientId::new(1), "Wrap skirt");
        garment.cloth.length = Some(have);
        garment.cloth.width = Some(Length::inches(45, 0));
        let settings = Settings::before_first_run(Currency::new("EUR").unwrap());
        let draft = drafted(&style, &garment, &body, &settings).unwrap();
        let laid = super::super::laid(&draft, draft::Cloth::Main, &garment.cloth, &settings).unwrap();
        suffices(&style, (&garment, &body, &settings), (&draft, &laid)).unwrap()
    }

    #[test]
    fn enough_is_enough_and_nothing_is_given_up() {
        let plenty = asked(Length::inches(400, 0));
        assert_eq!((plenty.short_by, plenty.ways.len()), (Length::ZERO, 0));
        assert_eq!(plenty.over + plenty.need.cut_length, Length::inches(400, 0));
    }

    #[test]
    fn short_cloth_is_answered_with_less_frill_or_less_fullness() {
        let need = asked(Length::inches(400, 0)).need.cut_length;
        let have = need - Length::inches(4, 0);
        let short = asked(have);
        assert_eq!(short.short_by, Length::inches(4, 0));
        let keys: Vec<&str> = short.ways.iter().filter_map(|way| Some(way.choice.as_ref()?.0.as_str())).collect();
        assert!(keys.contains(&"fullness") && keys.contains(&"finished_length"), "{:?}", short.ways);
        assert!(!keys.iter().any(|key| key.contains("ease") || key.contains("allowance")), "{keys:?}");
        assert!(short.ways.iter().all(|way| way.need <= have), "{:?}", short.ways);
    }

    #[test]
    fn nothing_makes_a_scrap_into_a_skirt() {
        let scrap = asked(Length::inches(6, 0));
        assert!(scrap.ways.is_empty(), "{:?}", scrap.ways);
        assert!(scrap.short_by > Length::inches(20, 0));
    }

    #[test]
    fn a_half_gets_its_allowance_where_the_fold_was() {
        let part = lay::Part {
            key: "back".into(),
            label: "Back".into(),
            letter: "A".into(),
            outline: vec![[0.0, 0.0], [100.0, 0.0], [120.0, 500.0], [0.0, 500.0]],
            fold: Some(([0.0, 500.0], [0.0, 0.0])),
            count: 1,
            pairs: false,
            grain: lay::Grain::Along,
            may_flip: false,
            garment: 0,
            grain_tolerance_deg: 0,
            marks: vec![],
        };
        let half = halved(&part).unwrap();
        assert_eq!((half.count, half.pairs, half.fold), (2, true, None));
        let (before, after) = (crate::geom::area(&part.outline).abs(), crate::geom::area(&half.outline).abs());
        assert!((after - before - 500.0 * SEAM_MM).abs() < 1e-6, "{after} {before}");
    }

    #[test]
    fn quarters_are_said_as_quarters() {
        assert_eq!([2.0, 2.75, 0.5, 1.1].map(fraction), ["2", "2 3/4", "1/2", "1.1"]);
    }
}
