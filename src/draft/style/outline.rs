//! An outline in words, walked once round:
//!
//! ```text
//! start   at centre_waist (0 in, 0 in)
//! waist   curve to side_waist (waist_across, -side_rise) leaving 0 deg arriving square  allow waist_allowance
//! side    curve to side_hem (hem_line, join_length) through (hip_line, waist_to_hip) heading 90 deg  allow side_allowance
//! hem     line to centre_hem (0 in, join_length)  allow join_allowance
//! centre  fold to centre_waist
//! ```
//!
//! Each line is an edge that starts where the last one ended; the last returns to
//! the start. `leaving` and `arriving` take an angle (0 deg to the right, 90 deg
//! down), `square` (at a right angle to the neighbouring edge), or `toward (x, y)`
//! and `from (x, y)`: the tangents of a curve that start and end there. `allow 2 in
//! turned up` shapes a hem's allowance so that it lies flat (`… turned up when frill is
//! none`: only then).

use super::super::fault::{Fault, Span, did_you_mean};
use super::super::formula::{Expr, Node, Parser, tokens};

/// A closed outline.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Outline {
    pub start: (String, At),
    pub edges: Vec<EdgeRule>,
}

/// A place: two formulas.
pub(crate) type At = (Expr, Expr);

/// One edge.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct EdgeRule {
    pub key: String,
    pub kind: EdgeKind,
    /// The point where it ends.
    pub to: String,
    /// Where that point is, unless it is the start.
    pub at: Option<At>,
    /// Points on the way, each with a heading if one is given.
    pub through: Vec<(At, Option<Expr>)>,
    pub leaving: Option<End>,
    pub arriving: Option<End>,
    pub about: Option<At>,
    pub allow: Option<Expr>,
    /// Whether the allowance is turned up on to the piece, as a hem is.
    pub turned_up: bool,
    /// Only when this holds.
    pub turned_when: Option<Expr>,
    pub span: Span,
}

/// What kind of line an edge is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum EdgeKind {
    Line,
    Curve,
    Arc,
    Fold,
}

/// How a curve starts or ends.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum End {
    Angle(Expr),
    /// At a right angle to the neighbouring edge.
    Square,
    /// The tangent runs through this place.
    Tangent(At),
}

impl Outline {
    /// Reads the outline text that starts at byte `offset` of the style.
    pub fn read(text: &str, offset: usize) -> Result<Outline, Fault> {
        let mut start: Option<(String, At)> = None;
        let mut edges: Vec<EdgeRule> = Vec::new();
        let mut at = offset;
        for line in text.split_inclusive('\n') {
            let here = at;
            at += line.len();
            let words = line.split('#').next().unwrap_or("");
            if words.trim().is_empty() {
                continue;
            }
            let tokens = tokens(words, here)?;
            let end = Span { start: here + words.trim_end().len(), end: here + words.trim_end().len() };
            let mut parser = Parser::new(&tokens, end);
            if start.is_none() {
                start = Some(start_line(&mut parser)?);
            } else {
                edges.push(edge_line(&mut parser)?);
            }
            parser.finished()?;
        }
        let whole = Span { start: offset, end: offset + text.len() };
        let Some(start) = start else {
            return Err(Fault::new(whole, "The outline is empty. Begin it with “start at NAME (x, y)”."));
        };
        let outline = Outline { start, edges };
        outline.closes(whole)?;
        Ok(outline)
    }

    fn closes(&self, whole: Span) -> Result<(), Fault> {
        let Some((last, others)) = self.edges.split_last() else {
            return Err(Fault::new(whole, "The outline has no edges. Add a line such as “waist line to side (x, y)”."));
        };
        if last.to != self.start.0 {
            return Err(Fault::new(
                last.span,
                format!("The outline does not close: its last edge must end “to {}”, where it started.", self.start.0),
            ));
        }
        for (i, edge) in self.edges.iter().enumerate() {
            if self.edges.iter().take(i).any(|other| other.key == edge.key) {
                return Err(Fault::new(
                    edge.span,
                    format!("The edge “{}” stands twice. Give each edge its own name.", edge.key),
                ));
            }
        }
        for edge in others {
            if edge.at.is_none() {
                return Err(Fault::new(
                    edge.span,
                    format!("“{}” has no place. Write it as “{} (x, y)”.", edge.to, edge.to),
                ));
            }
        }
        Ok(())
    }

    /// Every formula of the outline.
    pub fn formulas(&self) -> impl Iterator<Item = &Expr> {
        fn both(at: &At) -> [&Expr; 2] {
            [&at.0, &at.1]
        }
        fn end(end: Option<&End>) -> Vec<&Expr> {
            match end {
                Some(End::Angle(angle)) => vec![angle],
                Some(End::Tangent(at)) => both(at).into(),
                Some(End::Square) | None => Vec::new(),
            }
        }
        both(&self.start.1).into_iter().chain(self.edges.iter().flat_map(|edge| {
            let mut all: Vec<&Expr> = edge.at.iter().chain(edge.about.iter()).flat_map(both).collect();
            for (at, heading) in &edge.through {
                all.extend(both(at));
                all.extend(heading);
            }
            all.extend(end(edge.leaving.as_ref()));
            all.extend(end(edge.arriving.as_ref()));
            all.extend(edge.allow.iter().chain(&edge.turned_when));
            all
        }))
    }
}

fn start_line(parser: &mut Parser<'_>) -> Result<(String, At), Fault> {
    parser.expect_word("start")?;
    parser.expect_word("at")?;
    let (name, _) = parser.name("the name of the first point")?;
    Ok((name, place(parser)?))
}

fn place(parser: &mut Parser<'_>) -> Result<At, Fault> {
    parser.expect_sign("(")?;
    let x = parser.expr()?;
    parser.expect_sign(",")?;
    let y = parser.expr()?;
    parser.expect_sign(")")?;
    Ok((zero(x), zero(y)))
}

/// A bare `0` is nought in any unit.
fn zero(expr: Expr) -> Expr {
    match expr.node {
        Node::Number(n) if n.abs() < f64::EPSILON => Expr { node: Node::Length(0.0), at: expr.at },
        _ => expr,
    }
}

/// `(x, y) to (x, y)`: a chalk line.
pub(super) fn chalk_line(text: &str, offset: usize) -> Result<(At, At), Fault> {
    let tokens = tokens(text, offset)?;
    let mut parser = Parser::new(&tokens, Span { start: offset + text.len(), end: offset + text.len() });
    let from = place(&mut parser)?;
    parser.expect_word("to")?;
    let to = place(&mut parser)?;
    parser.finished()?;
    Ok((from, to))
}

fn edge_line(parser: &mut Parser<'_>) -> Result<EdgeRule, Fault> {
    const KINDS: [(&str, EdgeKind); 4] =
        [("line", EdgeKind::Line), ("curve", EdgeKind::Curve), ("arc", EdgeKind::Arc), ("fold", EdgeKind::Fold)];
    let (key, span) = parser.name("the name of an edge")?;
    let (word, kind_at) = parser.name("line, curve, arc or fold")?;
    let Some((_, kind)) = KINDS.iter().find(|(w, _)| *w == word) else {
        let hint = did_you_mean(&word, KINDS.iter().map(|(w, _)| *w));
        return Err(Fault::new(kind_at, format!("“{word}” is no kind of edge: line, curve, arc or fold.{hint}")));
    };
    parser.expect_word("to")?;
    let (to, _) = parser.name("the name of the point where the edge ends")?;
    let at =
        if parser.peek() == Some(&super::super::formula::TokenKind::Sign("(")) { Some(place(parser)?) } else { None };
    let mut edge = EdgeRule {
        key,
        kind: *kind,
        to,
        at,
        through: Vec::new(),
        leaving: None,
        arriving: None,
        about: None,
        allow: None,
        turned_up: false,
        turned_when: None,
        span,
    };
    clauses(parser, &mut edge)?;
    if edge.kind == EdgeKind::Arc && edge.about.is_none() {
        return Err(Fault::new(edge.span, "An arc needs its centre. Add “about (x, y)”."));
    }
    Ok(edge)
}

fn clauses(parser: &mut Parser<'_>, edge: &mut EdgeRule) -> Result<(), Fault> {
    loop {
        let here = parser.here();
        let only = |wanted: EdgeKind, word: &str| {
            if edge.kind == wanted {
                return Ok(());
            }
            let kind = format!("{wanted:?}").to_lowercase();
            Err(Fault::new(here, format!("“{word}” belongs to a {kind}. Make “{}” a {kind}.", edge.key)))
        };
        if parser.word("through") {
            only(EdgeKind::Curve, "through")?;
            let at = place(parser)?;
            let heading = if parser.word("heading") { Some(parser.expr()?) } else { None };
            edge.through.push((at, heading));
        } else if parser.word("leaving") {
            only(EdgeKind::Curve, "leaving")?;
            edge.leaving = Some(end(parser, "toward")?);
        } else if parser.word("arriving") {
            only(EdgeKind::Curve, "arriving")?;
            edge.arriving = Some(end(parser, "from")?);
        } else if parser.word("about") {
            only(EdgeKind::Arc, "about")?;
            edge.about = Some(place(parser)?);
        } else if parser.word("allow") {
            if edge.kind == EdgeKind::Fold {
                return Err(Fault::new(here, "A fold has no allowance: the cloth goes on beyond it."));
            }
            edge.allow = Some(zero(parser.expr()?));
            if parser.word("turned") {
                parser.expect_word("up")?;
                edge.turned_up = true;
                edge.turned_when = if parser.word("when") { Some(parser.expr()?) } else { None };
            }
        } else {
            return Ok(());
        }
    }
}

fn end(parser: &mut Parser<'_>, tangent: &str) -> Result<End, Fault> {
    if parser.word("square") {
        return Ok(End::Square);
    }
    if parser.word(tangent) {
        return Ok(End::Tangent(place(parser)?));
    }
    Ok(End::Angle(parser.expr()?))
}

#[cfg(test)]
mod tests {
    use super::*;

    const BACK: &str = "
        start   at centre_waist (0, 0)          # the fold, at the waist
        waist   curve to side_waist (w, -1 in) leaving 0 deg arriving square   allow 1/2 in
        side    curve to side_hem (h, l) through (h, 8 in) heading 90 deg      allow 1 in
        hem     line to centre_hem (0, l)       allow 1 in
        centre  fold to centre_waist
    ";

    #[test]
    fn an_outline_reads_as_it_is_walked() {
        let outline = Outline::read(BACK, 0).unwrap();
        assert_eq!(outline.start.0, "centre_waist");
        let keys: Vec<&str> = outline.edges.iter().map(|e| e.key.as_str()).collect();
        assert_eq!(keys, ["waist", "side", "hem", "centre"]);
        assert_eq!(outline.edges[1].through.len(), 1);
        assert_eq!(outline.edges[0].arriving, Some(End::Square));
        assert!(outline.edges[3].allow.is_none());
    }

    #[test]
    fn a_hem_is_turned_up() {
        let text = BACK.replace("(0, l)       allow 1 in", "(0, l) allow 2 in turned up when l > 20 in");
        let outline = Outline::read(&text, 0).unwrap();
        let hem = &outline.edges[2];
        assert!(hem.turned_up && hem.turned_when.is_some() && hem.allow.is_some());
        assert!(!outline.edges[0].turned_up);
        let down = text.replace("turned up", "turned down");
        assert!(Outline::read(&down, 0).is_err());
    }

    #[test]
    fn slips_are_pointed_at() {
        let refused = |from: &str, to: &str| Outline::read(&BACK.replace(from, to), 0).unwrap_err();
        assert!(refused("fold to centre_waist", "fold to centre_hem").message.contains("does not close"));
        assert!(refused("line to centre_hem", "lien to centre_hem").message.contains("Did you mean “line”"));
        assert!(refused("hem     line", "side     line").message.contains("stands twice"));
        assert!(refused("(0, l)       allow", "allow").message.contains("no place"));
        assert!(refused("line to centre_hem", "arc to centre_hem").message.contains("centre"));
        assert!(refused("fold to centre_waist", "fold to centre_waist allow 1 in").message.contains("no allowance"));
        assert!(Outline::read("", 0).is_err());
    }
}
