//! Stages as people see them: the tape of a garment, and what may be done next.

use crate::shop::{Stage, StageMove};

use super::desk::Desk;
use super::tape::Tape;
use super::writing;

/// The stages that a garment with this many fittings goes through.
pub fn passed(fittings: u8) -> impl Iterator<Item = Stage> {
    Stage::ALL.iter().copied().filter(move |stage| stage.is_passed(fittings))
}

/// The tape of a garment with the day of each stage reached.
#[must_use]
pub fn tape(stage: Stage, fittings: u8, moves: &[StageMove], desk: &Desk) -> Tape {
    // A garment that is tacked although no fitting is planned any longer still shows where it stands.
    let stages: Vec<Stage> =
        Stage::ALL.iter().copied().filter(|one| one.is_passed(fittings) || *one == stage).collect();
    let names: Vec<(String, String)> = stages
        .iter()
        .map(|one| {
            let day = (*one <= stage).then(|| moves.iter().rev().find(|step| step.to == *one)).flatten();
            (one.words().to_string(), day.map_or_else(String::new, |step| writing::short_day(desk.day_of(step.at_ms))))
        })
        .collect();
    let here = stages.iter().position(|one| *one == stage);
    let place = here.map_or(0, |here| here + 1);
    let reached: Vec<String> =
        names.iter().filter(|(_, day)| !day.is_empty()).map(|(name, day)| format!("{name} {day}")).collect();
    let words = format!("{}, {place} of {}", stage.words(), stages.len());
    let words = if reached.is_empty() { words } else { format!("{words}: {}", reached.join(", ")) };
    Tape::new(&names, here, words)
}

/// What is said when a garment has reached a stage: the words on the button.
#[must_use]
pub const fn done_words(stage: Stage) -> &'static str {
    match stage {
        Stage::Booked => "Book it",
        Stage::ClothIn => "The cloth is in",
        Stage::Cut => "It is cut",
        Stage::Tacked => "It is tacked",
        Stage::Fitted => "It is fitted",
        Stage::Sewn => "It is sewn",
        Stage::Finished => "It is finished",
        Stage::Collected => "Hand it over",
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::shop::{Currency, GarmentId, MoveId, PersonId, Settings};

    #[test]
    fn the_tape_has_the_day_of_the_last_time_at_each_stage_reached() {
        let desk = Desk::at(Settings::before_first_run(Currency::new("GHS").unwrap()), 1_777_800_000_000);
        let day = |count: i64| 1_777_800_000_000 + count * 86_400_000;
        let step = |to, at_ms| StageMove {
            id: MoveId::new(1),
            garment: GarmentId::new(1),
            from: None,
            to,
            reason: String::new(),
            who: PersonId::new(1),
            at_ms,
        };
        let moves = [
            step(Stage::Booked, day(0)),
            step(Stage::Cut, day(1)),
            step(Stage::Sewn, day(2)),
            step(Stage::Cut, day(3)),
        ];
        let html = tape(Stage::Cut, 0, &moves, &desk).to_string();
        assert!(html.contains("cut, 3 of 6: booked 3 May, cut 6 May"), "{html}");
        assert_eq!(passed(1).count(), 8);
        assert!(tape(Stage::Tacked, 0, &[], &desk).to_string().contains("tacked, 4 of 7"));
    }
}
