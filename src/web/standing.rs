//! Standing corrections as pages tell them: of a client, and of one garment.

use crate::shop::{Body, Correction, CorrectionId, Stage};
use crate::store::GarmentPage;

use super::desk::Desk;
use super::order_draft;

/// One standing correction, ready to show.
pub struct StandingLine {
    /// Its id.
    pub id: i64,
    /// What is corrected: `Waist girth, left: let out ½ in`.
    pub text: String,
    /// When and on what it was seen.
    pub origin: String,
    /// The garment on which it was seen: address and words.
    pub garment: Option<(String, String)>,
    /// Anything else about it.
    pub note: String,
    /// What gives doubt whether it still holds.
    pub doubt: Option<String>,
    /// When and why it ended.
    pub ended: Option<String>,
}

impl StandingLine {
    /// The correction on this body, as it is known now.
    #[must_use]
    pub fn of(one: &Correction, now: &Body, desk: &Desk) -> StandingLine {
        let garment = one.seen_on.as_ref().map(|on| {
            (format!("/orders/{}#{}", on.number, on.letter), format!("{}, {} {}", on.what, on.number, on.letter))
        });
        let how = if garment.is_some() { "seen on" } else { "noted on" };
        StandingLine {
            id: one.id.get(),
            text: words(one, desk),
            origin: format!("{how} {}", desk.day(one.facts.day)),
            garment,
            note: one.facts.words.clone(),
            doubt: doubt(one, now, desk),
            ended: one.ended.as_ref().map(|end| {
                let why = if end.reason.is_empty() { String::new() } else { format!(": {}", end.reason) };
                format!("ended {}{why}", desk.day(end.day))
            }),
        }
    }
}

fn words(one: &Correction, desk: &Desk) -> String {
    super::writing::true_fractions(&one.facts.text(desk.showing()))
}

/// A correction in force whose measure was taken anew.
fn doubt(one: &Correction, now: &Body, desk: &Desk) -> Option<String> {
    let day = now.measured_since(one).filter(|_| one.is_in_force())?;
    Some(format!("Measured since, on {}: look whether it still holds.", desk.day(day)))
}

/// The standing corrections of a client: those in force, and those that ended.
#[must_use]
pub fn of_client(now: &Body, desk: &Desk) -> (Vec<StandingLine>, Vec<StandingLine>) {
    let line = |one| StandingLine::of(one, now, desk);
    let (standing, ended): (Vec<_>, Vec<_>) = now.corrections.iter().partition(|one| one.is_in_force());
    (standing.into_iter().map(line).collect(), ended.into_iter().map(line).collect())
}

/// The standing corrections of a garment's wearer, as they bear on this garment.
pub struct GarmentStanding {
    /// Those that it is drafted with or could be: line, whether it is, and whether its style reads that measure.
    pub lines: Vec<(StandingLine, bool, bool)>,
    /// Those in force that nobody looked at for this garment.
    pub newer: Vec<(i64, String)>,
    /// What its own fittings showed after it was cut, until it is sewn: to be altered on the cloth.
    pub pinned: Vec<String>,
    /// Whether they may still be chosen: before it is cut.
    pub open: bool,
}

impl GarmentStanding {
    /// How many it is drafted with.
    #[must_use]
    pub fn applied(&self) -> usize {
        self.lines.iter().filter(|(_, applied, read)| *applied && *read).count()
    }

    /// Whether one that it is drafted with may hold no more: its measure was taken anew, and may
    /// have the correction in it.
    #[must_use]
    pub fn doubtful(&self) -> bool {
        self.open && self.lines.iter().any(|(line, applied, read)| *applied && *read && line.doubt.is_some())
    }

    /// The corrections of the wearer of this garment; `now` is the wearer's body as it is known today.
    #[must_use]
    pub fn of(page: &GarmentPage, now: &Body, desk: &Desk) -> GarmentStanding {
        let (garment, taken) = (&page.garment, &page.garment.facts.corrections);
        let reads = order_draft::reader(page.style.as_ref());
        let open = garment.stage < Stage::Cut && !garment.cancelled;
        let has = |id: CorrectionId| taken.get(&id).copied();
        let known = now.corrections.iter().filter(|one| has(one.id).is_some_and(|on| on || one.is_in_force()));
        let waits = |one: &&Correction| open && page.style.is_some() && one.is_in_force() && has(one.id).is_none();
        let is_worked = (Stage::Cut..Stage::Sewn).contains(&garment.stage) && !garment.cancelled;
        let seen_on_it = now
            .corrections
            .iter()
            .filter(|one| is_worked && one.is_in_force() && one.facts.garment == Some(garment.id));
        GarmentStanding {
            lines: if page.style.is_none() {
                Vec::new()
            } else {
                known
                    .map(|one| {
                        let applied = has(one.id).unwrap_or(false);
                        (StandingLine::of(one, now, desk), applied, reads(&one.facts.dimension))
                    })
                    .collect()
            },
            newer: now.corrections.iter().filter(waits).map(|one| (one.id.get(), words(one, desk))).collect(),
            pinned: seen_on_it
                .filter(|one| has(one.id) != Some(true))
                .map(|one| format!("{} ({})", words(one, desk), desk.day(one.facts.day)))
                .collect(),
            open,
        }
    }
}
