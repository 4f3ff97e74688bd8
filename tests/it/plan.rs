//! Days: published scheduling instances, laws that hold for any work, and cases
//! as they come over the counter.

use bodkin::plan::{
    Calendar, Closing, ClothDay, Rules, Stage, Standing, Task, Why, Work, due_days, earliest_promise, made_late, plan,
    weeks,
};
use chrono::{Days, NaiveDate};
use proptest::prelude::*;

fn day(text: &str) -> NaiveDate {
    text.parse().unwrap()
}

/// Monday, 4 May 2026: the day on which all these plans begin.
fn monday() -> NaiveDate {
    day("2026-05-04")
}

fn later(count: u64) -> NaiveDate {
    monday().checked_add_days(Days::new(count)).unwrap()
}

fn work(id: i64, promised: NaiveDate, tasks: Vec<Task>) -> Work {
    Work { id, promised: Some(promised), cloth: ClothDay::Here, tasks }
}

/// A workroom that works one minute a day, so that a unit of an instance is a day.
fn one_a_day() -> Calendar {
    Calendar::of_week([1; 7])
}

const EVERY_HOUR: Rules = Rules { grace: 0, promise_percent: 100, fitting_notice: 1 };

/// The lateness in days of each job (duration, due) by our plan, in the order of completion.
fn lateness(instance: &[(u32, u64)]) -> Vec<(i64, i64)> {
    let works: Vec<Work> = instance
        .iter()
        .zip(1..)
        .map(|((minutes, due), id)| work(id, later(due - 1), vec![Task::of(Stage::Sew, *minutes)]))
        .collect();
    let plan = plan(&works, &one_a_day(), EVERY_HOUR, monday());
    let mut done: Vec<_> = plan
        .outlooks
        .iter()
        .zip(&works)
        .map(|(outlook, work)| {
            let ready = outlook.ready.unwrap();
            (ready, work.id, (ready - work.promised.unwrap()).num_days())
        })
        .collect();
    done.sort();
    done.into_iter().map(|(_, id, late)| (id, late)).collect()
}

#[test]
fn published_instances_come_out_with_their_greatest_lateness() {
    // (jobs (duration, due), order, greatest lateness, late jobs). Values worked with the
    // earliest-due-date rule and confirmed by enumeration. Sources of the data:
    // 1 Pinedo, Scheduling, section 3.3 (by way of lecture slides); 2 the same with the last
    // due day 20; 3 riptutorial, “minimising maximum lateness”; 4 Kleinberg and Tardos,
    // slides to Algorithm Design; 5 a lecture's five jobs A to E.
    type Instance = (&'static [(u32, u64)], &'static [i64], i64, usize);
    let instances: &[Instance] = &[
        (&[(7, 9), (8, 17), (4, 18), (6, 19), (6, 21)], &[1, 2, 3, 4, 5], 10, 3),
        (&[(7, 9), (8, 17), (4, 18), (6, 19), (6, 20)], &[1, 2, 3, 4, 5], 11, 3),
        (&[(3, 6), (2, 8), (1, 9), (4, 9), (3, 10), (2, 11)], &[1, 2, 3, 4, 5, 6], 4, 3),
        (&[(3, 6), (2, 8), (1, 9), (4, 9), (3, 14), (2, 15)], &[1, 2, 3, 4, 5, 6], 1, 1),
        (&[(5, 10), (10, 15), (2, 5), (8, 12), (6, 8)], &[3, 5, 1, 4, 2], 16, 3),
    ];
    for (jobs, order, greatest, late) in instances {
        let ours = lateness(jobs);
        assert_eq!(ours.iter().map(|(id, _)| *id).collect::<Vec<_>>(), *order);
        assert_eq!(ours.iter().map(|(_, late)| *late).max(), Some(*greatest));
        assert_eq!(ours.iter().filter(|(_, late)| *late > 0).count(), *late);
    }
}

#[test]
fn the_rule_does_not_claim_the_least_sum_of_late_days() {
    // Pinedo's instance: 17 late days by due day, 16 at best (enumerated). Said in the docs.
    let jobs = [(7, 9), (8, 17), (4, 18), (6, 19), (6, 21)];
    assert_eq!(lateness(&jobs).iter().map(|(_, late)| (*late).max(0)).sum::<i64>(), 17);
    let best = permutations(jobs.len())
        .into_iter()
        .map(|order| {
            let mut clock = 0;
            order
                .iter()
                .map(|at| {
                    clock += i64::from(jobs[*at].0);
                    (clock - i64::try_from(jobs[*at].1).unwrap()).max(0)
                })
                .sum::<i64>()
        })
        .min();
    assert_eq!(best, Some(16));
}

fn permutations(count: usize) -> Vec<Vec<usize>> {
    if count == 0 {
        return vec![vec![]];
    }
    let shorter = permutations(count - 1);
    let with = |place: usize| {
        shorter.iter().map(move |order| {
            let mut order = order.clone();
            order.insert(place, count - 1);
            order
        })
    };
    (0..count).flat_map(with).collect()
}

/// The days on which jobs are done when they are worked strictly in this order, each
/// waiting for its first day.
fn in_order(order: &[usize], jobs: &[(u32, u64, u64)], calendar: &Calendar) -> Vec<NaiveDate> {
    let mut done = vec![monday(); jobs.len()];
    let (mut today, mut used) = (monday(), 0);
    for at in order {
        let (minutes, _, from) = jobs[*at];
        if today < later(from) {
            (today, used) = (later(from), 0);
        }
        let mut left = minutes;
        loop {
            let room = calendar.hours(today).total() - used;
            let taken = left.min(room);
            (left, used) = (left - taken, used + taken);
            if left == 0 {
                break;
            }
            (today, used) = (today.succ_opt().unwrap(), 0);
        }
        done[*at] = today;
    }
    done
}

fn greatest(done: &[NaiveDate], jobs: &[(u32, u64, u64)]) -> i64 {
    done.iter().zip(jobs).map(|(done, (_, due, _))| (*done - later(*due)).num_days()).max().unwrap()
}

fn calendars() -> impl Strategy<Value = Calendar> {
    (proptest::array::uniform7(0_u32..400), 60_u32..400, proptest::collection::vec((0_u64..60, any::<bool>()), 0..8))
        .prop_map(|(mut week, monday, closed)| {
            week[0] = monday;
            closed.into_iter().fold(Calendar::of_week(week), |calendar, (at, half)| {
                calendar.closed_on(later(at), if half { Closing::Half } else { Closing::Day })
            })
        })
}

fn tasks() -> impl Strategy<Value = Vec<Task>> {
    (0_u32..300, 1_u32..900, 0_u32..200, 0_u32..60).prop_map(|(cut, sew, finish, hang)| {
        vec![Task::of(Stage::Cut, cut), Task::of(Stage::Sew, sew).hanging_hours(hang), Task::of(Stage::Finish, finish)]
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    /// No order at all has a smaller greatest lateness, whatever is closed and whenever the cloth comes.
    #[test]
    fn no_other_order_is_less_late(
        jobs in proptest::collection::vec((1_u32..500, 0_u64..20, 0_u64..12), 1..7),
        calendar in calendars(),
    ) {
        let works: Vec<Work> = jobs.iter().zip(0..).map(|((minutes, due, from), id)| Work {
            id,
            promised: Some(later(*due)),
            cloth: ClothDay::Expected(later(*from)),
            tasks: vec![Task::of(Stage::Cut, *minutes)],
        }).collect();
        // Due days on closed days are met on the open day before; compare with that.
        let due: Vec<_> = jobs.iter().map(|(minutes, due, from)| {
            let open = calendar.open_back(later(*due), 0).unwrap();
            (*minutes, u64::try_from((open - monday()).num_days().max(0)).unwrap(), *from)
        }).collect();
        prop_assume!(works.iter().all(|work| due_days(work, &calendar, EVERY_HOUR).finish_by.unwrap() >= monday()));
        let ours: Vec<_> = plan(&works, &calendar, EVERY_HOUR, monday()).outlooks.iter().map(|at| at.ready.unwrap()).collect();
        let least = permutations(jobs.len()).iter().map(|order| greatest(&in_order(order, &due, &calendar), &due)).min();
        prop_assert!(Some(greatest(&ours, &due)) <= least, "{least:?}");
    }

    /// Begun on the last day that the backward days allow, everything is done by its day;
    /// begun an open day later, it is not finished by the day.
    #[test]
    fn back_and_forward_agree(tasks in tasks(), calendar in calendars(), helpers in 0_u32..300, due in 30_u64..90) {
        let calendar = calendar.with_helpers([helpers, helpers, 0, helpers, 0, 0, 0]);
        let work = work(1, later(due), tasks);
        let rules = Rules::default();
        let days = due_days(&work, &calendar, rules);
        let (start, finish) = (days.start_by.unwrap(), days.finish_by.unwrap());
        let begun = plan(std::slice::from_ref(&work), &calendar, rules, start);
        for (done, by) in begun.outlooks[0].done.iter().zip(&days.by) {
            prop_assert!(done <= by, "{done} {by}");
        }
        prop_assert!(begun.outlooks[0].ready.unwrap() <= finish);
        let too_late = calendar.open_from(start.succ_opt().unwrap()).unwrap();
        let begun = plan(std::slice::from_ref(&work), &calendar, rules, too_late);
        let cut_now = calendar.hours(start).owner > 0;
        prop_assert!(!cut_now || begun.outlooks[0].ready.unwrap() > finish);
    }

    /// All minutes are worked, never on a closed day and never more than the share of the hours.
    #[test]
    fn closed_days_hold_no_work_and_no_minute_is_lost(
        garments in proptest::collection::vec((tasks(), 0_u64..60), 0..20), calendar in calendars(), percent in 40_u32..=100,
    ) {
        let works: Vec<Work> = garments.into_iter().zip(0..)
            .map(|((tasks, due), id)| work(id, later(due), tasks)).collect();
        let rules = Rules { promise_percent: percent, ..Rules::default() };
        let plan = plan(&works, &calendar, rules, monday());
        for load in &plan.days {
            prop_assert!(load.planned == 0 || calendar.is_open(load.day));
            prop_assert!(load.planned <= load.hours * percent / 100);
        }
        let all: u64 = works.iter().map(Work::minutes).sum();
        prop_assert_eq!(plan.days.iter().map(|load| u64::from(load.planned)).sum::<u64>(), all);
        prop_assert_eq!(plan.days.iter().map(|load| u64::from(load.due)).sum::<u64>(), all);
        for (outlook, work) in plan.outlooks.iter().zip(&works) {
            prop_assert_eq!(outlook.done.len(), work.tasks.len());
            prop_assert!(outlook.done.is_sorted());
            prop_assert!(outlook.ready_at_best <= outlook.ready);
            prop_assert_eq!(outlook.why.is_empty(), outlook.standing == Standing::OnTime);
        }
    }

    /// The day found is the first of all days that is kept and takes nobody's grace.
    #[test]
    fn the_promised_day_is_the_earliest_that_harms_nobody(
        garments in proptest::collection::vec((1_u32..600, 0_u64..25), 0..6), minutes in 1_u32..600, calendar in calendars(),
    ) {
        let one = |minutes| vec![Task::of(Stage::Sew, minutes)];
        let works: Vec<Work> = garments.into_iter().zip(0..)
            .map(|((minutes, due), id)| work(id, later(due), one(minutes))).collect();
        let rules = Rules::default();
        let asked = |promised: NaiveDate| work(99, promised, one(minutes));
        let found = earliest_promise(&asked(monday()), &works, &calendar, rules, monday()).unwrap();
        let before = plan(&works, &calendar, rules, monday());
        let kept = |promised: NaiveDate| {
            let with: Vec<Work> = works.iter().cloned().chain([asked(promised)]).collect();
            let after = plan(&with, &calendar, rules, monday()).outlooks;
            let harmed = after.iter().zip(&before.outlooks)
                .any(|(after, before)| after.ready > before.ready && after.ready > after.due.finish_by);
            after.last().unwrap().ready <= calendar.open_back(promised, rules.grace) && !harmed
        };
        prop_assert!(kept(found.day), "{found:?} is not kept");
        let earlier = monday().iter_days().take_while(|day| *day < found.day).filter(|day| calendar.is_open(*day));
        for day in earlier {
            prop_assert!(!kept(day), "{day} would do, {} was found", found.day);
        }
    }
}

/// Six hours Monday to Friday, four on Saturday; 70 % of it is promised: 252 and 168 minutes.
fn workroom() -> Calendar {
    Calendar::of_week([360, 360, 360, 360, 360, 240, 0])
}

fn dress(promised: &str, fitting: Option<&str>) -> Work {
    let fit = Task { on: fitting.map(day), ..Task::of(Stage::Fit, 30) };
    work(7, day(promised), vec![Task::of(Stage::Cut, 90), Task::of(Stage::Sew, 300), fit, Task::of(Stage::Finish, 90)])
}

#[test]
fn days_go_back_from_the_promised_day() {
    // Promised Saturday 16 May: finished on Friday 15th, fitted by the same day (30 + 90 minutes of
    // 252), sewn by Thursday 14th (252 minutes and 48 on Wednesday), cut by Wednesday 13th.
    let work = dress("2026-05-16", None);
    let days = due_days(&work, &workroom(), Rules::default());
    assert_eq!(days.finish_by, Some(day("2026-05-15")));
    assert_eq!(days.next(&work, Stage::Finish), Some(day("2026-05-15")));
    assert_eq!(days.next(&work, Stage::Fit), Some(day("2026-05-15")));
    assert_eq!(days.next(&work, Stage::Sew), Some(day("2026-05-14")));
    assert_eq!(days.next(&work, Stage::Cut), Some(day("2026-05-13")));
    assert_eq!(days.start_by, Some(day("2026-05-13")));
    // The fitting arranged for Tuesday 12th: sewn on Monday 11th, cut by Saturday 9th.
    let work = dress("2026-05-16", Some("2026-05-12"));
    let days = due_days(&work, &workroom(), Rules::default());
    assert_eq!(days.next(&work, Stage::Sew), Some(day("2026-05-11")));
    assert_eq!(days.next(&work, Stage::Cut), Some(day("2026-05-09")));
}

#[test]
fn a_fitting_waits_for_its_day_and_finishing_waits_for_the_fitting() {
    let plan = plan(&[dress("2026-05-16", Some("2026-05-12"))], &workroom(), Rules::default(), monday());
    let outlook = &plan.outlooks[0];
    assert_eq!(outlook.done, ["2026-05-04", "2026-05-05", "2026-05-12", "2026-05-12"].map(day));
    assert_eq!(outlook.standing, Standing::OnTime);
}

#[test]
fn a_circle_skirt_hangs_before_its_hem() {
    let tasks = vec![Task::of(Stage::Sew, 60).hanging_hours(48), Task::of(Stage::Finish, 60)];
    let work = work(1, later(20), tasks);
    let plan = plan(&[work], &workroom(), Rules::default(), monday());
    assert_eq!(plan.outlooks[0].done, [later(0), later(2)]);
}

#[test]
fn late_and_at_risk_say_why() {
    let of = |work: Work| {
        let outlook = plan(&[work], &workroom(), Rules::default(), monday()).outlooks.remove(0);
        (outlook.standing, outlook.why_text())
    };
    let (standing, why) = of(dress("2026-05-05", None));
    assert_eq!(standing, Standing::Late);
    assert!(why.starts_with("ready Wed 6 May at the earliest, 1 day after the promised Tue 5 May"), "{why}");
    let (standing, why) = of(dress("2026-05-02", None));
    assert_eq!(standing, Standing::Late);
    assert!(why.starts_with("promised for Sat 2 May and not finished; ready Wed 6 May"), "{why}");
    let (standing, why) = of(Work { cloth: ClothDay::Expected(day("2026-05-14")), ..dress("2026-05-16", None) });
    assert_eq!(standing, Standing::AtRisk);
    assert!(why.contains("cloth comes Thu 14 May, but it should be cut by Wed 13 May"), "{why}");
    // Cloth that nobody announced frets only when its cutting is a week away or less.
    let (standing, why) = of(Work { cloth: ClothDay::Awaited, ..dress("2026-05-30", None) });
    assert_eq!((standing, why.as_str()), (Standing::OnTime, ""));
    let (standing, why) = of(Work { cloth: ClothDay::Awaited, ..dress("2026-05-13", None) });
    assert_eq!((standing, why.as_str()), (Standing::AtRisk, "the cloth is not here and no day is written for it"));
    let (standing, why) = of(Work { cloth: ClothDay::Expected(day("2026-05-02")), ..dress("2026-05-30", None) });
    assert_eq!(standing, Standing::AtRisk);
    assert_eq!(why, "the cloth was to come Sat 2 May and is not here; ask after it");
    let (standing, why) = of(dress("2026-05-30", Some("2026-05-05")));
    assert_eq!(standing, Standing::AtRisk);
    assert_eq!(why, "fitting Tue 5 May, but it is ready to be fitted only after Tue 5 May");
    let (standing, why) = of(dress("2026-05-16", Some("2026-05-10")));
    assert_eq!((standing, why.as_str()), (Standing::AtRisk, "fitting Sun 10 May, when the shop is closed"));
    let (standing, why) = of(dress("2026-05-16", Some("2026-05-01")));
    assert_eq!(standing, Standing::AtRisk);
    assert_eq!(why, "the fitting of Fri 1 May was not held; arrange another");
}

#[test]
fn a_shop_without_hours_is_told_so() {
    let plan = plan(&[dress("2026-05-16", None)], &Calendar::of_week([0; 7]), Rules::default(), monday());
    assert_eq!(plan.outlooks[0].why, vec![Why::NoHours]);
    assert_eq!(
        earliest_promise(&dress("2026-05-16", None), &[], &Calendar::of_week([0; 7]), Rules::default(), monday()),
        None
    );
}

#[test]
fn a_rush_order_shows_whom_it_makes_late() {
    // 252 minutes a day are promised; the skirt takes all of Monday and Tuesday.
    let skirt = work(1, day("2026-05-06"), vec![Task::of(Stage::Sew, 504)]);
    let gown = work(2, day("2026-05-30"), vec![Task::of(Stage::Sew, 504)]);
    let rush = work(3, day("2026-05-05"), vec![Task::of(Stage::Sew, 504)]);
    let both = [gown, skirt];
    let late = made_late(&rush, &both, &workroom(), Rules::default(), monday());
    assert_eq!(late.len(), 1);
    assert_eq!((late[0].id, late[0].before, late[0].after), (1, Some(day("2026-05-05")), Some(day("2026-05-07"))));
    // Without harm: after the skirt, before the gown: Wednesday and Thursday, a day's grace.
    let promise = earliest_promise(&rush, &both, &workroom(), Rules::default(), monday()).unwrap();
    assert_eq!((promise.ready, promise.day), (day("2026-05-07"), day("2026-05-08")));
}

#[test]
fn helpers_sew_but_do_not_cut() {
    let calendar = Calendar::of_week([100; 7]).with_helpers([200; 7]);
    let garment = |id| work(id, later(9), vec![Task::of(Stage::Cut, 100), Task::of(Stage::Sew, 200)]);
    let plan = plan(&[garment(1), garment(2)], &calendar, EVERY_HOUR, monday());
    // One is cut a day, by the owner; the helpers sew it on the same day.
    assert_eq!(plan.outlooks[0].done, [later(0), later(0)]);
    assert_eq!(plan.outlooks[1].done, [later(1), later(1)]);
}

#[test]
fn today_lists_what_can_be_done_most_urgent_first() {
    let works = [
        work(1, day("2026-05-20"), vec![Task::of(Stage::Sew, 300)]),
        work(2, day("2026-05-08"), vec![Task::of(Stage::Finish, 60)]),
        work(3, day("2026-05-30"), vec![Task::fitting(30, monday()), Task::of(Stage::Finish, 60)]),
        Work { cloth: ClothDay::Awaited, ..work(4, day("2026-05-06"), vec![Task::of(Stage::Cut, 60)]) },
        Work { cloth: ClothDay::Expected(later(1)), ..work(5, day("2026-05-07"), vec![Task::of(Stage::Cut, 60)]) },
        work(6, day("2026-05-06"), vec![]),
        work(7, day("2026-05-25"), vec![Task::of(Stage::Sew, 300)]),
    ];
    let plan = plan(&works, &workroom(), Rules::default(), monday());
    let list: Vec<_> = plan.first.iter().map(|next| (next.id, next.stage, next.fits_today)).collect();
    assert_eq!(list, [(3, Stage::Fit, true), (2, Stage::Finish, true), (1, Stage::Sew, true), (7, Stage::Sew, false)]);
}

#[test]
fn cloth_that_is_not_here_takes_none_of_todays_hours() {
    // The cut is due first and would take the whole of Monday; but there is nothing to cut.
    let cut = Work { cloth: ClothDay::Awaited, ..work(1, later(1), vec![Task::of(Stage::Cut, 360)]) };
    let sew = work(2, later(9), vec![Task::of(Stage::Sew, 100)]);
    for cloth in [ClothDay::Awaited, ClothDay::Expected(later(1)), ClothDay::Expected(day("2026-05-01"))] {
        let plan = plan(&[Work { cloth, ..cut.clone() }, sew.clone()], &workroom(), Rules::default(), monday());
        let list: Vec<_> = plan.first.iter().map(|next| (next.id, next.fits_today)).collect();
        assert_eq!(list, [(2, true)], "{cloth:?}");
        assert_eq!(plan.outlooks[1].done, [monday()], "{cloth:?}");
        assert!(plan.outlooks[0].done[0] > monday(), "{cloth:?}");
    }
    // Here, it goes first and leaves nothing for the other.
    let plan = plan(&[Work { cloth: ClothDay::Here, ..cut }, sew], &workroom(), EVERY_HOUR, monday());
    assert_eq!(plan.first.iter().map(|next| (next.id, next.fits_today)).collect::<Vec<_>>(), [(1, true), (2, false)]);
}

#[test]
fn weeks_show_work_against_hours() {
    let works = [work(1, day("2026-05-09"), vec![Task::of(Stage::Sew, 2000)])];
    let plan = plan(&works, &workroom(), Rules::default(), day("2026-05-06"));
    let weeks = weeks(&plan.days, &workroom(), day("2026-05-06"), 3);
    assert_eq!(weeks.len(), 3);
    // From Wednesday on: 3 × 360 + 240 minutes, of which 70 % are planned; all of it is due.
    assert_eq!((weeks[0].monday, weeks[0].hours, weeks[0].planned, weeks[0].due), (monday(), 1320, 924, 2000));
    assert_eq!((weeks[1].hours, weeks[1].planned, weeks[1].due), (2040, 1076, 0));
    assert_eq!(weeks[2].planned, 0);
}

#[test]
fn two_thousand_garments_are_planned() {
    let works: Vec<Work> = (0..2000)
        .map(|id| {
            let due = later(u64::try_from(id % 400).unwrap());
            work(
                id,
                due,
                vec![
                    Task::of(Stage::Cut, 10),
                    Task::of(Stage::Sew, 30),
                    Task::of(Stage::Fit, 5),
                    Task::of(Stage::Finish, 15),
                ],
            )
        })
        .collect();
    let plan = plan(&works, &workroom(), Rules::default(), monday());
    assert_eq!(plan.outlooks.iter().filter(|outlook| outlook.done.len() == 4).count(), 2000);
    assert_eq!(plan.first.len(), 2000);
    assert!(earliest_promise(&dress("2026-05-16", None), &works, &workroom(), Rules::default(), monday()).is_some());
}
