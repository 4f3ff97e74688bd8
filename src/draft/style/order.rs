//! The order of working: each dimension, point and piece when what it needs is there.
//!
//! A dimension may measure a piece (a sleeve needs the armhole), a piece may need a
//! solved figure, and a solve measures pieces. The order is found once, when the text
//! is read; what needs itself is a fault at its place.

use std::collections::{BTreeMap, BTreeSet};

use super::super::fault::{Fault, Span};
use super::super::formula::{Expr, Node, Place};
use super::rules::{DartFrom, PieceRule, SolveRule, Style};

/// One thing to be worked, by its place in the style's lists.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Work {
    Dimension(usize),
    Point(usize),
    Refusal(usize),
    Piece(usize),
    /// Unknowns found together, and what is worked anew for each guess.
    Solve {
        unknowns: Vec<usize>,
        anew: Vec<Work>,
    },
}

/// What formulas and places mention.
#[derive(Default)]
struct Needs<'s> {
    values: BTreeSet<&'s str>,
    pieces: BTreeSet<&'s str>,
}

impl<'s> Needs<'s> {
    fn expr(&mut self, expr: &'s Expr) {
        expr.visit(&mut |part| match &part.node {
            Node::Name(name) => {
                self.values.insert(name);
            }
            Node::EdgeLength(piece, _) | Node::Width(piece, _) | Node::Height(piece, _) | Node::Below { piece, .. } => {
                self.pieces.insert(piece);
            }
            Node::Coordinate { of, .. } => self.named(of),
            Node::Distance(a, b) | Node::Direction(a, b) => {
                self.named(a);
                self.named(b);
            }
            _ => {}
        });
    }

    fn named(&mut self, place: &'s Place) {
        place.named(&mut |place| match place {
            Place::Named(name, _) => {
                self.values.insert(name);
            }
            Place::Drawn { piece, .. } => {
                self.pieces.insert(piece);
            }
            _ => {}
        });
    }

    fn place(&mut self, place: &'s Place) {
        self.named(place);
        place.visit(&mut |expr| self.expr_once(expr));
    }

    /// One part alone: `visit` of the place goes through every part itself.
    fn expr_once(&mut self, part: &'s Expr) {
        match &part.node {
            Node::Name(name) => {
                self.values.insert(name);
            }
            Node::EdgeLength(..) | Node::Width(..) | Node::Height(..) | Node::Below { .. } => self.expr(part),
            Node::Coordinate { .. } | Node::Distance(..) | Node::Direction(..) => self.expr(part),
            _ => {}
        }
    }

    fn all(&mut self, exprs: impl IntoIterator<Item = &'s Expr>) {
        exprs.into_iter().for_each(|expr| self.expr(expr));
    }

    fn piece(&mut self, style: &'s Style, rule: &'s PieceRule) {
        rule.outline.places().for_each(|place| self.place(place));
        self.all(rule.outline.formulas());
        self.all(rule.when.iter().chain(&rule.count).chain(&rule.turned_over));
        for (_, from, to) in &rule.chalk {
            self.place(from);
            self.place(to);
        }
        rule.marks.iter().for_each(|mark| self.place(&mark.place));
        for dart in style.darts.iter().filter(|dart| dart.piece == rule.key) {
            self.all(dart.when.iter().chain([&dart.intake]));
            match &dart.from {
                DartFrom::Edge { at, length, .. } => self.all([at, length]),
                DartFrom::Inside { widest, top, bottom } => {
                    [widest, top, bottom].into_iter().for_each(|place| self.place(place));
                }
            }
        }
        for pleats in style.pleats.iter().filter(|pleats| pleats.piece == rule.key) {
            self.all(pleats.formulas());
        }
        for turn in style.turns.iter().filter(|turn| turn.piece == rule.key) {
            self.all(turn.when.iter().chain([&turn.at]).chain(&turn.share).chain(&turn.stops));
        }
    }
}

/// One node of the order.
struct Item<'s> {
    name: String,
    at: Span,
    work: Work,
    needs: Needs<'s>,
    on: BTreeSet<usize>,
}

/// The order in which `style` is worked.
pub(super) fn order(style: &Style) -> Result<Vec<Work>, Fault> {
    let mut items = items(style)?;
    let mut gives: BTreeMap<&str, usize> = BTreeMap::new();
    let mut draws: BTreeMap<&str, usize> = BTreeMap::new();
    for (i, item) in items.iter().enumerate() {
        match &item.work {
            Work::Dimension(n) => drop(style.dimensions.get(*n).map(|rule| gives.insert(&rule.key, i))),
            Work::Point(n) => drop(style.points.get(*n).map(|rule| gives.insert(&rule.key, i))),
            Work::Piece(n) => drop(style.pieces.get(*n).map(|rule| draws.insert(&rule.key, i))),
            Work::Refusal(_) => {}
            Work::Solve { unknowns, .. } => {
                for rule in unknowns.iter().filter_map(|n| style.solves.get(*n)) {
                    gives.insert(&rule.key, i);
                }
            }
        }
    }
    let on = |needs: &Needs<'_>| -> BTreeSet<usize> {
        let values = needs.values.iter().filter_map(|name| gives.get(name));
        values.chain(needs.pieces.iter().filter_map(|piece| draws.get(piece))).copied().collect()
    };
    for item in &mut items {
        item.on = on(&item.needs);
    }
    // A solve needs what its two lengths need, but for what is worked anew at each guess.
    let solves: Vec<usize> =
        items.iter().enumerate().filter(|(_, item)| matches!(item.work, Work::Solve { .. })).map(|(i, _)| i).collect();
    for solve in &solves {
        let Some(Item { work: Work::Solve { unknowns, .. }, .. }) = items.get(*solve) else { continue };
        let mut lengths = Needs::default();
        for rule in unknowns.iter().filter_map(|n| style.solves.get(*n)) {
            lengths.all([&rule.left, &rule.right]);
        }
        let later = |i: usize| i > *solve && solves.contains(&i);
        let mut anew = Vec::new();
        let mut outer = BTreeSet::new();
        let roots = on(&lengths);
        walk(&items, &roots, *solve, &mut BTreeMap::new(), &mut anew, &mut outer);
        outer.retain(|i| !later(*i));
        let works: Vec<Work> = anew.iter().filter_map(|i| items.get(*i)).map(|item| item.work.clone()).collect();
        if let Some(item) = items.get_mut(*solve) {
            item.on.extend(outer);
            if let Work::Solve { anew, .. } = &mut item.work {
                *anew = works;
            }
        }
    }
    arranged(items)
}

/// Walks what the lengths of a solve need: `anew` gets, innermost first, what depends
/// on the unknown; `outer` gets the rest that those depend on. True when `solve` is met.
fn walk(
    items: &[Item<'_>],
    on: &BTreeSet<usize>,
    solve: usize,
    seen: &mut BTreeMap<usize, bool>,
    anew: &mut Vec<usize>,
    outer: &mut BTreeSet<usize>,
) -> bool {
    let mut met = false;
    for i in on {
        if *i == solve {
            met = true;
            continue;
        }
        let depends = match seen.get(i) {
            Some(depends) => *depends,
            None => {
                // A ring of its own is found when everything is arranged.
                seen.insert(*i, false);
                let mut inner = BTreeSet::new();
                let is_solve = items.get(*i).is_some_and(|item| matches!(item.work, Work::Solve { .. }));
                let depends =
                    !is_solve && items.get(*i).is_some_and(|item| walk(items, &item.on, solve, seen, anew, &mut inner));
                seen.insert(*i, depends);
                if depends {
                    anew.push(*i);
                    outer.extend(inner);
                }
                depends
            }
        };
        if depends {
            met = true;
        } else {
            outer.insert(*i);
        }
    }
    met
}

/// Every thing of the style, in the order of preference.
fn items(style: &Style) -> Result<Vec<Item<'_>>, Fault> {
    let mut items = Vec::new();
    let mut add = |name: &str, at: Span, work: Work, needs| {
        items.push(Item { name: name.into(), at, work, needs, on: BTreeSet::new() });
    };
    for (i, rule) in style.dimensions.iter().enumerate() {
        let mut needs = Needs::default();
        needs.all([&rule.rule].into_iter().chain(&rule.when));
        add(&rule.key, rule.rule.at, Work::Dimension(i), needs);
    }
    for (i, rule) in style.refusals.iter().enumerate() {
        let mut needs = Needs::default();
        needs.all([&rule.when].into_iter().chain(rule.text.iter().filter_map(|(_, expr)| expr.as_ref())));
        add("a refusal", rule.when.at, Work::Refusal(i), needs);
    }
    for (i, rule) in style.points.iter().enumerate() {
        let mut needs = Needs::default();
        needs.place(&rule.place);
        add(&rule.key, rule.place.span(), Work::Point(i), needs);
    }
    for (i, rule) in style.pieces.iter().enumerate() {
        let mut needs = Needs::default();
        needs.piece(style, rule);
        add(&rule.key, rule.outline.edges.first().map_or_else(Span::default, |e| e.span), Work::Piece(i), needs);
    }
    for unknowns in together(&style.solves)? {
        let mut needs = Needs::default();
        let rules = || unknowns.iter().filter_map(|n| style.solves.get(*n));
        for rule in rules() {
            needs.all([&rule.least, &rule.most].into_iter().chain(&rule.when));
        }
        let (name, at) = rules().next().map_or(("", Span::default()), |rule| (rule.key.as_str(), rule.least.at));
        let work = Work::Solve { unknowns: unknowns.clone(), anew: Vec::new() };
        add(name, at, work, needs);
    }
    Ok(items)
}

/// The most unknowns that are found together.
const MOST_TOGETHER: usize = 3;

/// Unknowns by the group in which they are found.
fn together(solves: &[SolveRule]) -> Result<Vec<Vec<usize>>, Fault> {
    let mut groups: Vec<Vec<usize>> = Vec::new();
    for (i, rule) in solves.iter().enumerate() {
        let Some(with) = &rule.with else {
            groups.push(vec![i]);
            continue;
        };
        let Some(other) = solves.iter().take(i).position(|other| other.key == *with) else {
            return Err(Fault::new(
                rule.least.at,
                format!("“{}” is found with “{with}”, which is no unknown of [solve] above it.", rule.key),
            ));
        };
        if let Some(group) = groups.iter_mut().find(|group| group.contains(&other)) {
            group.push(i);
            if group.len() > MOST_TOGETHER {
                let message = format!("At most {MOST_TOGETHER} unknowns are found together. Solve some before others.");
                return Err(Fault::new(rule.least.at, message));
            }
        }
    }
    Ok(groups)
}

/// The items one after another, each when all that it needs is done.
fn arranged(items: Vec<Item<'_>>) -> Result<Vec<Work>, Fault> {
    let mut done: BTreeSet<usize> = BTreeSet::new();
    let mut order = Vec::with_capacity(items.len());
    while order.len() < items.len() {
        let ready =
            items.iter().enumerate().find(|(i, item)| !done.contains(i) && item.on.iter().all(|d| done.contains(d)));
        let Some((i, item)) = ready else {
            // What is left needs itself: go along needs until something comes again.
            let mut at = items.iter().enumerate().find(|(i, _)| !done.contains(i)).map_or(0, |(i, _)| i);
            let mut way: Vec<usize> = Vec::new();
            while !way.contains(&at) {
                way.push(at);
                let next = items.get(at).and_then(|item| item.on.iter().find(|d| !done.contains(*d)));
                at = next.copied().unwrap_or(at);
            }
            let ring: Vec<&Item<'_>> = way.iter().skip_while(|i| **i != at).filter_map(|i| items.get(*i)).collect();
            let names: Vec<String> = ring.iter().map(|item| format!("“{}”", item.name)).collect();
            let span = ring.first().map_or_else(Span::default, |item| item.at);
            return Err(Fault::new(
                span,
                format!(
                    "{} is worked from itself, by way of {}. Break the ring.",
                    names.first().map_or("", |n| n),
                    names.join(" → ")
                ),
            ));
        };
        done.insert(i);
        order.push(item.work.clone());
    }
    Ok(order)
}

/// Names of dimensions, points and unknowns that come, themselves or by what they
/// need, from measured pieces.
pub(super) fn measured_names(style: &Style) -> Result<BTreeSet<String>, Fault> {
    let items = items(style)?;
    let mut names: BTreeSet<String> = style.solves.iter().map(|rule| rule.key.clone()).collect();
    loop {
        let before = names.len();
        for item in &items {
            let measured = !item.needs.pieces.is_empty() || item.needs.values.iter().any(|name| names.contains(*name));
            if measured && matches!(item.work, Work::Dimension(_) | Work::Point(_)) {
                names.insert(item.name.clone());
            }
        }
        if names.len() == before {
            return Ok(names);
        }
    }
}
