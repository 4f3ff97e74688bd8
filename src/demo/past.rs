//! The year behind: orders that were taken, made and handed over.

use chrono::NaiveDate;
use rand::{RngExt, SeedableRng};
use rand_pcg::Pcg64;

use crate::shop::Stage;

use super::course::{Course, Paid, Turn};
use super::house::{Week, shifted};
use super::people;
use super::pinned;
use super::wish::Make;

/// Orders from a year ago to five weeks ago, and small ones since.
const YEAR: i64 = 116;
const LATELY: i64 = 10;

/// Reasons for calling an order off.
const WHY_OFF: [&str; 4] =
    ["the feast was put off", "she found one ready made", "moved away with the ferry", "the cloth shrank in the wash"];

const EVENTS: [&str; 8] =
    ["wedding", "naming day", "Sunday", "school", "net blessing", "choir", "birthday", "market stall"];

/// The orders.
pub(super) fn courses(seed: u64, today: NaiveDate, week: &Week) -> Vec<Course> {
    let mut rng = Pcg64::seed_from_u64(seed ^ 0x9a57);
    let payers = people::payers();
    let payer = |rng: &mut Pcg64| payers.get(rng.random_range(0..payers.len())).copied().unwrap_or(0);
    let mut courses = Vec::new();
    for place in 0..YEAR + LATELY {
        let small = place >= YEAR;
        let back = if small { 30 - (place - YEAR) * 2 } else { 364 - place * 325 / YEAR };
        let taken = week.back(shifted(today, -back));
        let payer = payer(&mut rng);
        let span = if small { rng.random_range(3..6) } else { rng.random_range(9..20) };
        let promised = week.on(shifted(taken, span));
        let lag = match rng.random_range(0..10) {
            0 => rng.random_range(1..4),
            1..4 => 0,
            _ => -1,
        };
        let finished = week.back(shifted(promised, if small { -1 } else { lag }).max(taken));
        let fetched =
            if small { 0 } else { [0, 0, 0, 1, 1, 2, 4, 6].get(rng.random_range(0..8)).copied().unwrap_or(0) };
        let until = week.on(shifted(promised.max(finished), fetched)).min(week.back(shifted(today, -1)));
        let off = !small && place % 29 == 17;
        let children = people::children(payer);
        let makes = if small {
            vec![Make::ticket(payer, rng.random_range(0..10))]
        } else {
            let count = [1, 1, 1, 1, 2, 2, 3].get(rng.random_range(0..7)).copied().unwrap_or(1);
            let mut wearers: Vec<usize> = Vec::new();
            if !children.is_empty() && rng.random_bool(0.45) {
                wearers.extend(children);
            }
            wearers.resize(wearers.len().max(count), payer);
            wearers.into_iter().map(|wearer| Make::any(&mut rng, wearer)).collect()
        };
        let event = rng.random_bool(0.35).then(|| {
            let event = EVENTS.get(rng.random_range(0..EVENTS.len())).copied().unwrap_or("Sunday");
            (event, rng.random_range(1..4))
        });
        let why = usize::try_from(place)
            .ok()
            .and_then(|place| WHY_OFF.get(place / 29))
            .copied()
            .unwrap_or("changed her mind");
        courses.push(Course {
            payer,
            taken,
            promised,
            event,
            makes,
            reach: if off { Stage::ClothIn } else { Stage::Collected },
            until: if off { week.on(shifted(taken, 2)) } else { until },
            finished,
            fits: None,
            turn: match rng.random_range(0..14) {
                _ if off => Turn::CalledOff(why),
                0 => Turn::Back(pinned::reason(usize::try_from(place).unwrap_or(0))),
                1 => Turn::Missed,
                _ => Turn::None,
            },
            paid: match rng.random_range(0..20) {
                _ if off => Paid::Usual,
                0..4 => Paid::InParts,
                4 if back < 120 => Paid::Owing,
                _ => Paid::Usual,
            },
        });
    }
    courses
}
