//! Every name in a style's formulas must be known where it stands.

use std::collections::{BTreeMap, BTreeSet};

use super::super::fault::{Fault, Span, did_you_mean};
use super::super::formula::{Expr, Node, Place, RESERVED};
use super::order::measured_names;
use super::rules::{ChoiceKind, DartFrom, Style};

/// The names that are known so far, and the drawn things that may be measured.
struct Known<'s> {
    names: BTreeSet<&'s str>,
    words: BTreeMap<&'s str, BTreeSet<&'s str>>,
    /// Piece (or facing) → its edges and points.
    pieces: BTreeMap<&'s str, (BTreeSet<&'s str>, BTreeSet<&'s str>)>,
    strips: BTreeSet<&'s str>,
    /// Whether pieces, and what is worked from them, may be measured here.
    drawn: bool,
    /// Names that come from measured pieces.
    measured: BTreeSet<String>,
    /// Whether strips and facings are there yet.
    cut: bool,
}

/// Checks the names of every formula in the order in which they are worked.
pub(super) fn check_names(style: &Style) -> Result<(), Fault> {
    let mut known = Known {
        names: style.needs.iter().map(String::as_str).collect(),
        words: BTreeMap::new(),
        pieces: BTreeMap::new(),
        strips: style.strips.iter().map(|s| s.key.as_str()).collect(),
        drawn: true,
        measured: measured_names(style)?,
        cut: false,
    };
    for assumption in &style.assume {
        known.check(&assumption.rule)?;
        known.names.insert(&assumption.key);
    }
    for choice in &style.choices {
        known.add(&choice.key, Span::default())?;
        if let ChoiceKind::Word { options, .. } = &choice.kind {
            known.words.insert(&choice.key, options.iter().map(|(word, _)| word.as_str()).collect());
        }
    }
    for note in &style.figure {
        known.add(note, Span::default())?;
    }
    for piece in &style.pieces {
        let edges = piece.outline.edges.iter().map(|e| e.key.as_str()).collect();
        let points = piece.outline.edges.iter().map(|e| e.to.as_str()).chain([piece.outline.start.0.as_str()]);
        let points = points.chain(piece.marks.iter().map(|mark| mark.key.as_str())).collect();
        known.pieces.insert(&piece.key, (edges, points));
    }
    // Points and unknowns are worked when they are needed; dimensions from top to bottom.
    for point in &style.points {
        known.add(&point.key, point.place.span())?;
    }
    for solve in &style.solves {
        known.add(&solve.key, solve.least.at)?;
    }
    for rule in &style.dimensions {
        known.check(&rule.rule)?;
        rule.when.iter().try_for_each(|when| known.check(when))?;
        known.add(&rule.key, rule.rule.at)?;
    }
    for point in &style.points {
        known.place(&point.place)?;
    }
    for rule in &style.refusals {
        known.check(&rule.when)?;
        known.told(&rule.text)?;
    }
    for solve in &style.solves {
        let all = [&solve.least, &solve.most, &solve.left, &solve.right].into_iter().chain(&solve.when);
        all.into_iter().try_for_each(|e| known.check(e))?;
    }
    check_pieces(style, &mut known)?;
    known.cut = true;
    check_drawn(style, &mut known)
}

fn check_pieces<'s>(style: &'s Style, known: &mut Known<'s>) -> Result<(), Fault> {
    for piece in &style.pieces {
        for expr in piece.outline.formulas().chain(&piece.when).chain(&piece.count).chain(&piece.turned_over) {
            known.check(expr)?;
        }
        let chalk = piece.chalk.iter().flat_map(|(_, from, to)| [from, to]);
        for place in piece.outline.places().chain(chalk).chain(piece.marks.iter().map(|mark| &mark.place)) {
            known.place(place)?;
        }
    }
    check_darts(style, known)?;
    for pleats in &style.pleats {
        pleats.formulas().try_for_each(|expr| known.check(expr))?;
        known.edge(&pleats.piece, &pleats.edge, pleats.first.at)?;
    }
    for facing in &style.facings {
        for expr in [Some(&facing.depth), facing.when.as_ref(), facing.allow.as_ref(), facing.less.as_ref()]
            .into_iter()
            .flatten()
        {
            known.check(expr)?;
        }
        known.edge(&facing.piece, &facing.edge, facing.depth.at)?;
        let neighbours = known.pieces.get(facing.piece.as_str()).cloned().unwrap_or_default();
        let mut edges = neighbours.0;
        edges.insert("lower");
        known.pieces.insert(&facing.key, (edges, BTreeSet::new()));
    }
    for lining in &style.linings {
        lining.formulas().try_for_each(|expr| known.check(expr))?;
        for edge in [Some(&lining.shorten), lining.pleat_on.as_ref()].into_iter().flatten() {
            known.edge(&lining.piece, edge, lining.by.at)?;
        }
        let same = known.pieces.get(lining.piece.as_str()).cloned().unwrap_or_default();
        known.pieces.insert(&lining.key, same);
    }
    Ok(())
}

fn check_darts(style: &Style, known: &Known<'_>) -> Result<(), Fault> {
    for dart in &style.darts {
        for expr in dart.when.iter().chain([&dart.intake]) {
            known.check(expr)?;
        }
        match &dart.from {
            DartFrom::Edge { edge, at, length } => {
                known.check(at)?;
                known.check(length)?;
                known.edge(&dart.piece, edge, at.at)?;
            }
            DartFrom::Inside { widest, top, bottom } => {
                if !known.pieces.contains_key(dart.piece.as_str()) {
                    let hint = did_you_mean(&dart.piece, known.pieces.keys().copied());
                    let message = format!("There is no piece “{}” for the dart “{}”.{hint}", dart.piece, dart.key);
                    return Err(Fault::new(widest.span(), message));
                }
                [widest, top, bottom].into_iter().try_for_each(|place| known.place(place))?;
            }
        }
    }
    for turn in &style.turns {
        for expr in turn.when.iter().chain([&turn.at]).chain(&turn.share).chain(&turn.stops) {
            known.check(expr)?;
        }
        known.edge(&turn.piece, &turn.edge, turn.at.at)?;
        let darts = style.darts.iter().filter(|d| d.piece == turn.piece && matches!(d.from, DartFrom::Edge { .. }));
        let turned = style.turns.iter().take_while(|t| t.key != turn.key).filter(|t| t.piece == turn.piece && !t.flare);
        let drawn = style.pieces.iter().filter(|p| p.key == turn.piece).flat_map(|p| &p.outline.edges);
        let drawn = drawn.filter(|e| e.kind == super::EdgeKind::Dart).map(|e| e.key.as_str());
        let names: Vec<&str> =
            darts.map(|d| d.key.as_str()).chain(turned.map(|t| t.key.as_str())).chain(drawn).collect();
        if !names.contains(&turn.dart.as_str()) {
            let hint = did_you_mean(&turn.dart, names.iter().copied());
            return Err(Fault::new(
                turn.dart_at,
                format!("“{}” has no dart “{}” to turn.{hint}", turn.piece, turn.dart),
            ));
        }
    }
    Ok(())
}

fn check_drawn<'s>(style: &'s Style, known: &mut Known<'s>) -> Result<(), Fault> {
    for strip in &style.strips {
        let all =
            [Some(&strip.length), Some(&strip.width), strip.when.as_ref(), strip.count.as_ref(), strip.join.as_ref()];
        all.into_iter().flatten().try_for_each(|e| known.check(e))?;
    }
    style.notches.iter().flat_map(|notch| notch.formulas()).try_for_each(|e| known.check(e))?;
    for seam in &style.seams {
        [&seam.left, &seam.right].into_iter().try_for_each(|e| known.check(e))?;
        undrawn(known, [seam.when.as_ref(), seam.fullness.as_ref(), seam.ease.as_ref()])?;
    }
    for rule in &style.measured {
        from_the_pieces(style, rule)?;
        known.check(&rule.from)?;
        undrawn(known, [rule.ease.as_ref(), rule.when.as_ref(), None])?;
    }
    for pass in &style.passes {
        known.check(&pass.opening)?;
        if !measures(&pass.opening) {
            let message = format!(
                "The opening “{}” measures no piece. Use length of, such as waistband.join + 2 * zip_length.",
                pass.key
            );
            return Err(Fault::new(pass.opening.at, message));
        }
        known.check(&pass.over)?;
        undrawn(known, [pass.when.as_ref(), None, None])?;
    }
    for note in &style.notes {
        note.when.iter().try_for_each(|e| known.check(e))?;
        known.told(&note.text)?;
    }
    for notion in &style.notions {
        notion.when.iter().try_for_each(|e| known.check(e))?;
        known.told(&notion.text)?;
    }
    for step in &style.steps {
        step.when.iter().chain([&step.minutes]).try_for_each(|e| known.check(e))?;
        known.told(&step.text)?;
    }
    Ok(())
}

/// What is declared of a seam or a measure (ease, fullness) must not be taken from the
/// pieces themselves: a fault in them would declare itself away.
fn undrawn(known: &mut Known<'_>, exprs: [Option<&Expr>; 3]) -> Result<(), Fault> {
    known.drawn = false;
    let checked = exprs.into_iter().flatten().try_for_each(|expr| known.check(expr));
    known.drawn = true;
    checked
}

/// Whether a formula measures something drawn.
fn measures(expr: &Expr) -> bool {
    let mut found = false;
    expr.visit(&mut |part| {
        found |= matches!(
            part.node,
            Node::Width(..)
                | Node::Height(..)
                | Node::Below { .. }
                | Node::EdgeLength(..)
                | Node::StripLength(_)
                | Node::StripWidth(_)
                | Node::Coordinate { .. }
                | Node::Distance(..)
                | Node::Direction(..)
        );
    });
    found
}

/// A measure taken back must come from the drawn pieces, not from the rule that it
/// is to prove: the only names in it are choices other than its own, and anything
/// inside the level at which a width is taken.
fn from_the_pieces(style: &Style, rule: &super::rules::MeasuredRule) -> Result<(), Fault> {
    let mut levels: Vec<Span> = Vec::new();
    let mut fault = None;
    rule.from.visit(&mut |part| match &part.node {
        Node::Width(_, level) | Node::Height(_, level) | Node::Below { depth: level, .. } => {
            levels.push(level.at);
        }
        Node::Coordinate { .. } | Node::Distance(..) | Node::Direction(..) => {
            let places: Vec<&Place> = match &part.node {
                Node::Coordinate { of, .. } => vec![of],
                Node::Distance(a, b) | Node::Direction(a, b) => vec![a, b],
                _ => Vec::new(),
            };
            let in_level = levels.iter().any(|level| level.start <= part.at.start && part.at.end <= level.end);
            for place in places.into_iter().filter(|_| !in_level) {
                if !matches!(place, Place::Drawn { .. }) && fault.is_none() {
                    fault = Some(Fault::new(
                        place.span(),
                        format!("“{}” must be measured from the drawn pieces: write the point with its piece, such as back.tip.", rule.key),
                    ));
                }
            }
        }
        Node::Name(name) => {
            let in_level = levels.iter().any(|level| level.start <= part.at.start && part.at.end <= level.end);
            let own_choice = *name != rule.key && style.choices.iter().any(|choice| choice.key == *name);
            if !in_level && !own_choice && fault.is_none() {
                fault = Some(Fault::new(
                    part.at,
                    format!("“{}” must be measured from the drawn pieces; “{name}” comes from a rule. Use length of, width of.", rule.key),
                ));
            }
        }
        _ => {}
    });
    match fault {
        Some(fault) => Err(fault),
        None if measures(&rule.from) => Ok(()),
        None => Err(Fault::new(rule.from.at, format!("“{}” measures no piece. Use length of, width of.", rule.key))),
    }
}

impl<'s> Known<'s> {
    fn add(&mut self, key: &'s str, at: Span) -> Result<(), Fault> {
        let is_word = key.chars().all(|c| c.is_alphanumeric() || c == '_')
            && key.chars().next().is_some_and(|c| c.is_alphabetic());
        if !is_word || RESERVED.contains(&key) {
            return Err(Fault::new(
                at,
                format!("“{key}” cannot be a name: use letters, figures and _, and no word of the formulas."),
            ));
        }
        if !self.names.insert(key) {
            return Err(Fault::new(at, format!("“{key}” is given twice. Give each its own name.")));
        }
        Ok(())
    }

    fn told(&self, parts: &[(String, Option<Expr>)]) -> Result<(), Fault> {
        parts.iter().filter_map(|(_, expr)| expr.as_ref()).try_for_each(|expr| self.check(expr))
    }

    fn edge(&self, piece: &str, edge: &str, at: Span) -> Result<(), Fault> {
        let Some((edges, _)) = self.pieces.get(piece) else {
            let hint = did_you_mean(piece, self.pieces.keys().copied());
            return Err(Fault::new(at, format!("There is no piece “{piece}”.{hint}")));
        };
        if edges.contains(edge) {
            return Ok(());
        }
        let hint = did_you_mean(edge, edges.iter().copied());
        Err(Fault::new(at, format!("“{piece}” has no edge “{edge}”.{hint}")))
    }

    fn check(&self, expr: &Expr) -> Result<(), Fault> {
        let mut found = Ok(());
        expr.visit(&mut |part| {
            if found.is_ok() {
                found = self.part(part);
            }
        });
        found
    }

    fn part(&self, part: &Expr) -> Result<(), Fault> {
        let fault = |message: String| Err(Fault::new(part.at, message));
        match &part.node {
            Node::Name(name) if !self.drawn && self.measured.contains(name) => fault(format!(
                "“{name}” is worked from the drawn pieces. What is declared of a seam or a measure must not come from them."
            )),
            Node::Name(name) if !self.names.contains(name.as_str()) => {
                let hint = did_you_mean(name, self.names.iter().copied());
                fault(format!("“{name}” is not known here.{hint}"))
            }
            Node::Is { what, word, .. } => {
                let Node::Name(name) = &what.node else { return Ok(()) };
                match self.words.get(name.as_str()) {
                    Some(words) if !words.contains(word.as_str()) => {
                        let hint = did_you_mean(word, words.iter().copied());
                        fault(format!("“{name}” can never be “{word}”.{hint}"))
                    }
                    _ => Ok(()),
                }
            }
            Node::EdgeLength(..)
            | Node::Below { .. }
            | Node::StripLength(_)
            | Node::Width(..)
            | Node::Coordinate { .. }
            | Node::Distance(..)
                if !self.drawn =>
            {
                fault(
                    "What is declared of a seam or a measure must not be taken from the drawn pieces themselves."
                        .into(),
                )
            }
            Node::StripLength(_) | Node::StripWidth(_) | Node::Count(_) if !self.cut => fault(
                "Strips and counts are known only after the pieces. Measure them in strips, seams and below.".into(),
            ),
            Node::EdgeLength(piece, edge) | Node::Below { piece, edge, .. } => self.edge(piece, edge, part.at),
            Node::StripLength(strip) | Node::StripWidth(strip) if !self.strips.contains(strip.as_str()) => {
                let hint = did_you_mean(strip, self.strips.iter().copied());
                fault(format!("There is no strip “{strip}”.{hint}"))
            }
            Node::Width(piece, _) | Node::Height(piece, _) if !self.pieces.contains_key(piece.as_str()) => {
                let hint = did_you_mean(piece, self.pieces.keys().copied());
                fault(format!("There is no piece “{piece}”.{hint}"))
            }
            Node::Count(key) if !self.pieces.contains_key(key.as_str()) && !self.strips.contains(key.as_str()) => {
                let hint = did_you_mean(key, self.pieces.keys().copied().chain(self.strips.iter().copied()));
                fault(format!("There is no piece or strip “{key}”.{hint}"))
            }
            Node::Coordinate { of, .. } => self.named(of),
            Node::Distance(a, b) | Node::Direction(a, b) => self.named(a).and_then(|()| self.named(b)),
            _ => Ok(()),
        }
    }

    /// A place with all that it names and works.
    fn place(&self, place: &Place) -> Result<(), Fault> {
        self.named(place)?;
        let mut found = Ok(());
        place.visit(&mut |part| {
            if found.is_ok() {
                found = self.part(part);
            }
        });
        found
    }

    /// The points that a place names.
    fn named(&self, place: &Place) -> Result<(), Fault> {
        let mut found = Ok(());
        place.named(&mut |place| {
            if found.is_ok() {
                found = self.point(place);
            }
        });
        found
    }

    fn point(&self, place: &Place) -> Result<(), Fault> {
        let fault = |message: String| Err(Fault::new(place.span(), message));
        match place {
            Place::Named(name, _) if !self.names.contains(name.as_str()) => {
                let hint = did_you_mean(name, self.names.iter().copied());
                fault(format!("“{name}” has no place. Write it as “{name} (x, y)”, or give it in [points].{hint}"))
            }
            Place::Drawn { piece, point, .. } => match self.pieces.get(piece.as_str()) {
                None => {
                    fault(format!("There is no piece “{piece}”.{}", did_you_mean(piece, self.pieces.keys().copied())))
                }
                Some((_, points)) if !points.contains(point.as_str()) => {
                    fault(format!("“{piece}” has no point “{point}”.{}", did_you_mean(point, points.iter().copied())))
                }
                Some(_) => Ok(()),
            },
            _ => Ok(()),
        }
    }
}
