//! Forward from today: what is done on which day, most urgent first.
//!
//! Every day the minutes go to the tasks that can be worked, in order of their due
//! day; a task may be laid aside for a more urgent one. With one pair of hands
//! this is the earliest-due-date rule, which makes the greatest lateness as small
//! as it can be (Jackson 1955; with waiting for cloth and laying aside, Horn 1974,
//! recalled from memory). It does not make the number of late garments, nor the
//! sum of their late days, the smallest.

use std::cmp::Reverse;
use std::collections::{BTreeMap, BinaryHeap};

use chrono::NaiveDate;

use super::backward::DueDays;
use super::calendar::{Calendar, HORIZON_DAYS, Hours, after};
use super::work::{ClothDay, Hands, Rules, Stage, Task, Work};

/// When the tasks of one garment come out.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Course {
    /// The day on which each task is done; shorter than the tasks when three years do not hold them.
    pub done: Vec<NaiveDate>,
    /// The day from which the first task can be worked.
    pub from: Option<NaiveDate>,
    /// Minutes worked on the garment on the first day of the plan.
    pub today: u32,
}

/// What a plan makes of every garment, and of every day.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Run {
    /// One course a garment, in the order given.
    pub courses: Vec<Course>,
    /// Minutes worked, by day; days without work are left out.
    pub worked: BTreeMap<NaiveDate, u32>,
}

/// Lays all work into the calendar from `today` on, with `percent` of the hours.
pub(super) fn run(
    works: &[Work],
    due: &[DueDays],
    calendar: &Calendar,
    rules: Rules,
    today: NaiveDate,
    percent: u32,
) -> Run {
    let mut bench = Bench {
        works,
        due,
        rules,
        left: works.iter().map(|work| work.tasks.first().map_or(0, |task| task.minutes)).collect(),
        courses: vec![Course::default(); works.len()],
        waiting: BTreeMap::new(),
        owner: BinaryHeap::new(),
        any: BinaryHeap::new(),
    };
    for (index, work) in works.iter().enumerate() {
        bench.admit(index, work, today);
    }
    let mut worked = BTreeMap::new();
    for more in 0..HORIZON_DAYS {
        if bench.is_done() {
            break;
        }
        let day = after(today, more);
        let spent = bench.work(day, calendar.hours(day).percent(percent), today);
        if spent > 0 {
            worked.insert(day, spent);
        }
    }
    Run { courses: bench.courses, worked }
}

/// The rank of a task: an arranged fitting of the day first, then the due day,
/// then the promised day, then the garment's number; last its place in the list.
type Rank = (bool, NaiveDate, NaiveDate, i64, usize);

/// The state of a plan while days go by.
struct Bench<'a> {
    works: &'a [Work],
    due: &'a [DueDays],
    rules: Rules,
    /// Minutes left of the present task of each garment.
    left: Vec<u32>,
    courses: Vec<Course>,
    /// Garments whose next task cannot begin before a day.
    waiting: BTreeMap<NaiveDate, Vec<usize>>,
    /// Tasks that can be worked and need the owner.
    owner: BinaryHeap<Reverse<Rank>>,
    /// Tasks that can be worked by anybody.
    any: BinaryHeap<Reverse<Rank>>,
}

impl Bench<'_> {
    fn admit(&mut self, index: usize, work: &Work, today: NaiveDate) {
        let Some(first) = work.tasks.first() else { return };
        let mut from = match first.stage {
            Stage::Fit => first.on.map_or(today, |on| on.max(today)),
            Stage::Cut | Stage::Sew | Stage::Finish => today,
        };
        if first.stage == Stage::Cut {
            from = match work.cloth {
                ClothDay::Here => from,
                ClothDay::Expected(cloth) if cloth >= today => from.max(cloth),
                // Not here, and nobody knows when: it takes nothing of today's hours. That it comes
                // tomorrow is the best that can happen, and whatever waits for it is planned so.
                ClothDay::Expected(_) | ClothDay::Awaited => after(today, 1),
            };
        }
        if let Some(course) = self.courses.get_mut(index) {
            course.from = Some(from);
        }
        self.waiting.entry(from).or_default().push(index);
    }

    fn is_done(&self) -> bool {
        self.waiting.is_empty() && self.owner.is_empty() && self.any.is_empty()
    }

    /// Works one day; the minutes spent.
    fn work(&mut self, day: NaiveDate, hours: Hours, today: NaiveDate) -> u32 {
        self.call_up(day);
        let (mut owner, mut helpers, mut spent) = (hours.owner, hours.helpers, 0);
        while let Some((rank, hands)) = self.take(owner, helpers) {
            let index = rank.4;
            let room = if hands == Hands::Owner { owner } else { owner.saturating_add(helpers) };
            let Some(left) = self.left.get_mut(index) else { continue };
            let minutes = (*left).min(room);
            *left -= minutes;
            let rest = *left;
            let by_helpers = if hands == Hands::Any { minutes.min(helpers) } else { 0 };
            helpers -= by_helpers;
            owner -= minutes - by_helpers;
            spent += minutes;
            if day == today
                && let Some(course) = self.courses.get_mut(index)
            {
                course.today += minutes;
            }
            if rest == 0 {
                self.finish_task(index, day);
            } else {
                self.push(index);
            }
        }
        spent
    }

    /// Moves what can begin on this day among the tasks that can be worked.
    fn call_up(&mut self, day: NaiveDate) {
        while let Some(entry) = self.waiting.first_entry() {
            if *entry.key() > day {
                break;
            }
            for index in entry.remove() {
                self.push(index);
            }
        }
    }

    /// The most urgent task for which there are hands today.
    fn take(&mut self, owner: u32, helpers: u32) -> Option<(Rank, Hands)> {
        let mine = self.owner.peek().filter(|_| owner > 0).map(|top| top.0);
        let theirs = self.any.peek().filter(|_| owner > 0 || helpers > 0).map(|top| top.0);
        let take_mine = match (mine, theirs) {
            (Some(mine), Some(theirs)) => mine < theirs,
            (mine, _) => mine.is_some(),
        };
        let (heap, hands) = if take_mine { (&mut self.owner, Hands::Owner) } else { (&mut self.any, Hands::Any) };
        if !take_mine && theirs.is_none() {
            return None;
        }
        heap.pop().map(|top| (top.0, hands))
    }

    fn task(&self, index: usize) -> Option<&Task> {
        let place = self.courses.get(index)?.done.len();
        self.works.get(index)?.tasks.get(place)
    }

    fn push(&mut self, index: usize) {
        let Some(task) = self.task(index).copied() else { return };
        let Some(work) = self.works.get(index) else { return };
        let place = self.courses.get(index).map_or(0, |course| course.done.len());
        let by = self.due.get(index).and_then(|due| due.by.get(place)).copied();
        // Without a promise it waits for all that was promised.
        let due = by.or(work.promised).unwrap_or(NaiveDate::MAX);
        let arranged = task.stage == Stage::Fit && task.on.is_some();
        let rank = (!arranged, due, work.promised.unwrap_or(NaiveDate::MAX), work.id, index);
        match task.stage.hands() {
            Hands::Owner => self.owner.push(Reverse(rank)),
            Hands::Any => self.any.push(Reverse(rank)),
        }
    }

    /// Notes a task as done and sets the next one to wait for its day.
    fn finish_task(&mut self, index: usize, day: NaiveDate) {
        let hangs = self.task(index).map_or(0, |task| task.hangs);
        if let Some(course) = self.courses.get_mut(index) {
            course.done.push(day);
        }
        let Some(next) = self.task(index).copied() else { return };
        if let Some(left) = self.left.get_mut(index) {
            *left = next.minutes;
        }
        let mut from = after(day, hangs);
        if next.stage == Stage::Fit {
            let soonest = after(from, 1);
            let asked = after(from, self.rules.fitting_notice.max(1));
            from = next.on.map_or(asked, |on| on.max(soonest));
        }
        if from <= day {
            self.push(index);
        } else {
            self.waiting.entry(from).or_default().push(index);
        }
    }
}
