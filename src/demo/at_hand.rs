//! What is at hand this morning: every stage, two or three late, some at risk, the
//! rail with what nobody came for.

use chrono::{NaiveDate, NaiveTime};
use rand::{RngExt, SeedableRng};
use rand_pcg::Pcg64;

use crate::shop::Stage;

use super::course::{Course, Paid, Turn};
use super::house::{Week, shifted};
use super::people;
use super::wish::Make;

/// One order at hand: in days back from today, and in working days ahead.
struct Row {
    /// Taken so many days ago.
    back: i64,
    /// Promised for so many working days from now, or so many days ago.
    ahead: i64,
    reach: Stage,
    /// Came to its stage so many days ago.
    since: i64,
    /// What for: `family` is a mother with her children, else the keys of styles; `alter` an alteration.
    /// `too little cloth` is what it says.
    makes: &'static [&'static str],
    /// The next fitting: working days from now, hour, minutes.
    fits: Option<(i64, u32, u32)>,
    turn: Turn,
    paid: Paid,
    event: Option<(&'static str, i64)>,
}

const fn row(back: i64, ahead: i64, reach: Stage, since: i64, makes: &'static [&'static str]) -> Row {
    Row { back, ahead, reach, since, makes, fits: None, turn: Turn::None, paid: Paid::Usual, event: None }
}

impl Row {
    const fn fits(self, days: i64, hour: u32, minute: u32) -> Row {
        Row { fits: Some((days, hour, minute)), ..self }
    }

    const fn turn(self, turn: Turn) -> Row {
        Row { turn, ..self }
    }

    const fn paid(self, paid: Paid) -> Row {
        Row { paid, ..self }
    }

    const fn event(self, event: &'static str, after: i64) -> Row {
        Row { event: Some((event, after)), ..self }
    }
}

const ROWS: &[Row] = &[
    // On the rail.
    row(66, -47, Stage::Finished, 49, &["flared_skirt"]).event("christening", 2),
    row(43, -25, Stage::Finished, 26, &["wrap_skirt"]),
    row(29, -9, Stage::Collected, 7, &["circle_skirt", "gathered_skirt"]).turn(Turn::Parted),
    row(22, -2, Stage::Finished, 3, &["apron", "apron"]).paid(Paid::InParts),
    row(19, 1, Stage::Finished, 1, &["flared_skirt"]).event("Sunday", 2),
    row(16, 2, Stage::Finished, 1, &["straight_skirt"]),
    // Late.
    row(25, -3, Stage::Sewn, 1, &["wrap_skirt"]),
    row(22, -1, Stage::Tacked, 6, &["gathered_skirt"]).turn(Turn::Missed).fits(0, 16, 30),
    // This week.
    row(17, 2, Stage::Sewn, 1, &["gathered_skirt"]).event("naming day", 1),
    row(18, 3, Stage::Fitted, 1, &["flared_skirt", "wrap_skirt"])
        .event("wedding", 2)
        .turn(Turn::Lagging)
        .fits(0, 9, 30),
    row(15, 3, Stage::Tacked, 1, &["circle_skirt"]).fits(0, 11, 0),
    row(14, 7, Stage::Tacked, 2, &["wrap_skirt"])
        .turn(Turn::Back("hip line too tight, side seams out 3/8 in"))
        .fits(1, 10, 0),
    row(4, 2, Stage::ClothIn, 4, &["alter"]),
    // Next week.
    row(12, 7, Stage::Cut, 1, &["flared_skirt"]).fits(3, 15, 0).paid(Paid::Twice),
    row(11, 12, Stage::Cut, 2, &["gathered_skirt"]).fits(6, 11, 30),
    row(10, 14, Stage::ClothIn, 6, &["too little cloth"]).fits(9, 10, 30).event("choir", 3),
    row(9, 8, Stage::Booked, 9, &["wrap_skirt"]),
    row(8, 6, Stage::ClothIn, 8, &["flared_skirt"]),
    row(7, 8, Stage::ClothIn, 5, &["apron"]),
    // Later.
    row(7, 20, Stage::ClothIn, 7, &["family"]).event("school", 2),
    row(5, 21, Stage::ClothIn, 3, &["wrap_skirt"]).fits(15, 9, 0),
    row(4, 24, Stage::Booked, 4, &["gathered_skirt", "alter"]).fits(17, 14, 0),
    row(2, 26, Stage::ClothIn, 1, &["circle_skirt"]).fits(20, 16, 0),
    row(2, 29, Stage::Booked, 2, &["straight_skirt"]).paid(Paid::NotYet),
    row(1, 4, Stage::ClothIn, 1, &["alter"]).paid(Paid::NotYet),
    row(1, 33, Stage::Booked, 1, &["family"]).event("feast of lanterns", 4),
    // On hold, and called off.
    row(33, 6, Stage::Cut, 20, &["circle_skirt"]).turn(Turn::Hold("at sea until the end of the month")),
    row(20, 14, Stage::Booked, 20, &["flared_skirt"]).turn(Turn::Hold("waits for the lining to match")),
    row(13, 12, Stage::ClothIn, 11, &["gathered_skirt"])
        .fits(3, 16, 0)
        .turn(Turn::CalledOff("the naming day is kept abroad")),
    row(3, 25, Stage::Booked, 3, &["circle_skirt"]).turn(Turn::CalledOff("taken twice by mistake")).paid(Paid::NotYet),
];

/// The orders.
pub(super) fn courses(seed: u64, today: NaiveDate, week: &Week) -> Vec<Course> {
    let mut rng = Pcg64::seed_from_u64(seed ^ 0x4a2d);
    let yesterday = week.back(shifted(today, -1));
    let mothers: Vec<usize> =
        people::payers().into_iter().filter(|payer| !people::children(*payer).is_empty()).collect();
    let mut others: Vec<usize> = people::payers()
        .into_iter()
        .filter(|payer| !mothers.contains(payer) && people::at(*payer).is_some_and(super::people::Person::is_a_woman))
        .collect();
    let mut mothers = mothers;
    let mut courses = Vec::new();
    for row in ROWS {
        // Everybody at most once: a busy week has many faces.
        let from = if row.makes.contains(&"family") { &mut mothers } else { &mut others };
        let payer = if from.is_empty() { 0 } else { from.remove(rng.random_range(0..from.len())) };
        let mut makes = Vec::new();
        for key in row.makes {
            match *key {
                "family" => makes
                    .extend(people::children(payer).into_iter().map(|child| Make::of(child, "gathered_skirt", false))),
                "alter" => makes.push(Make::ticket(payer, rng.random_range(0..10))),
                // Found out in time: not cut yet.
                "too little cloth" => {
                    makes.push(Make { short: true, ..Make::of(payer, "circle_skirt", true) });
                }
                style => makes.push(Make::of(payer, style, rng.random_bool(0.5))),
            }
        }
        let taken = week.back(shifted(today, -row.back)).min(yesterday);
        let until = week.back(shifted(today, -row.since)).min(yesterday).max(taken);
        let promised =
            if row.ahead < 0 { week.on(shifted(today, row.ahead)) } else { week.ahead(today, row.ahead) }.max(taken);
        courses.push(Course {
            payer,
            taken,
            promised,
            event: row.event,
            makes,
            reach: row.reach,
            until,
            finished: if row.reach == Stage::Collected { week.back(shifted(until, -1)).max(taken) } else { until },
            fits: row.fits.map(|(days, hour, minute)| {
                (week.ahead(today, days), NaiveTime::from_hms_opt(hour, minute, 0).unwrap_or(NaiveTime::MIN))
            }),
            turn: row.turn,
            paid: row.paid,
        });
    }
    courses
}
