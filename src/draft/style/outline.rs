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
//! none`: only then). Wherever a place stands, the name of one of the style's points may
//! stand; `line to tip` without a place goes to the point `tip`. A `dart` runs in to its
//! apex (`about`) and out again.

use super::super::fault::{Fault, Span, did_you_mean};
use super::super::formula::{Expr, Parser, Place, tokens, zero};

/// A closed outline.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Outline {
    pub start: (String, Place),
    pub edges: Vec<EdgeRule>,
}

/// One edge.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct EdgeRule {
    pub key: String,
    pub kind: EdgeKind,
    /// The point where it ends.
    pub to: String,
    /// Where that point is, unless it is the start.
    pub at: Option<Place>,
    /// Points on the way, each with a heading if one is given.
    pub through: Vec<(Place, Option<Expr>)>,
    pub leaving: Option<End>,
    pub arriving: Option<End>,
    pub about: Option<Place>,
    /// A dart is folded toward the edge before it, else toward the edge after.
    pub toward_start: bool,
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
    /// In to the apex and out again.
    Dart,
}

/// How a curve starts or ends.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum End {
    Angle(Expr),
    /// At a right angle to the neighbouring edge.
    Square,
    /// The tangent runs through this place.
    Tangent(Place),
}

/// So many edges a piece may have; the most of the book is under 30.
const MOST_EDGES: usize = 200;

impl Outline {
    /// Reads the outline text that starts at byte `offset` of the style.
    pub fn read(text: &str, offset: usize) -> Result<Outline, Fault> {
        let mut start: Option<(String, Place)> = None;
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
                if edges.len() > MOST_EDGES {
                    let message = format!("This outline has more than {MOST_EDGES} edges. Draw it as several pieces.");
                    return Err(Fault::new(Span { start: here, end: at }, message));
                }
            }
            parser.finished()?;
        }
        let whole = Span { start: offset, end: offset + text.len() };
        let Some(start) = start else {
            return Err(Fault::new(whole, "The outline is empty. Begin it with “start at NAME (x, y)”."));
        };
        let mut outline = Outline { start, edges };
        outline.closes(whole)?;
        // What has no place of its own stands at the point of that name.
        let last = outline.edges.len().saturating_sub(1);
        for edge in outline.edges.iter_mut().take(last).filter(|edge| edge.at.is_none()) {
            edge.at = Some(Place::Named(edge.to.clone(), edge.span));
        }
        Ok(outline)
    }

    fn closes(&self, whole: Span) -> Result<(), Fault> {
        let Some(last) = self.edges.last() else {
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
        Ok(())
    }

    /// Every place of the outline.
    pub fn places(&self) -> impl Iterator<Item = &Place> {
        fn end(end: Option<&End>) -> Option<&Place> {
            match end {
                Some(End::Tangent(at)) => Some(at),
                _ => None,
            }
        }
        [&self.start.1].into_iter().chain(self.edges.iter().flat_map(|edge| {
            let ends = [end(edge.leaving.as_ref()), end(edge.arriving.as_ref())];
            let through = edge.through.iter().map(|(at, _)| at);
            edge.at.iter().chain(edge.about.iter()).chain(through).chain(ends.into_iter().flatten())
        }))
    }

    /// Every formula of the outline that stands in no place.
    pub fn formulas(&self) -> impl Iterator<Item = &Expr> {
        fn end(end: Option<&End>) -> Option<&Expr> {
            match end {
                Some(End::Angle(angle)) => Some(angle),
                _ => None,
            }
        }
        self.edges.iter().flat_map(|edge| {
            let headings = edge.through.iter().filter_map(|(_, heading)| heading.as_ref());
            let ends = [end(edge.leaving.as_ref()), end(edge.arriving.as_ref())];
            headings.chain(ends.into_iter().flatten()).chain(&edge.allow).chain(&edge.turned_when)
        })
    }
}

fn start_line(parser: &mut Parser<'_>) -> Result<(String, Place), Fault> {
    parser.expect_word("start")?;
    parser.expect_word("at")?;
    let (name, at) = parser.name("the name of the first point")?;
    let place = if parser.peek().is_some() { parser.place()? } else { Place::Named(name.clone(), at) };
    Ok((name, place))
}

/// `(x, y) to (x, y)`: a chalk line.
pub(super) fn chalk_line(text: &str, offset: usize) -> Result<(Place, Place), Fault> {
    let tokens = tokens(text, offset)?;
    let mut parser = Parser::new(&tokens, Span { start: offset + text.len(), end: offset + text.len() });
    let from = parser.place()?;
    parser.expect_word("to")?;
    let to = parser.place()?;
    parser.finished()?;
    Ok((from, to))
}

/// One place in a text of its own.
pub(super) fn one_place(text: &str, offset: usize) -> Result<Place, Fault> {
    let tokens = tokens(text, offset)?;
    let mut parser = Parser::new(&tokens, Span { start: offset + text.len(), end: offset + text.len() });
    let place = parser.place()?;
    parser.finished()?;
    Ok(place)
}

fn edge_line(parser: &mut Parser<'_>) -> Result<EdgeRule, Fault> {
    const KINDS: [(&str, EdgeKind); 5] = [
        ("line", EdgeKind::Line),
        ("curve", EdgeKind::Curve),
        ("arc", EdgeKind::Arc),
        ("fold", EdgeKind::Fold),
        ("dart", EdgeKind::Dart),
    ];
    let (key, span) = parser.name("the name of an edge")?;
    let (word, kind_at) = parser.name("line, curve, arc, fold or dart")?;
    let Some((_, kind)) = KINDS.iter().find(|(w, _)| *w == word) else {
        let hint = did_you_mean(&word, KINDS.iter().map(|(w, _)| *w));
        return Err(Fault::new(kind_at, format!("“{word}” is no kind of edge: line, curve, arc, fold or dart.{hint}")));
    };
    parser.expect_word("to")?;
    let (to, _) = parser.name("the name of the point where the edge ends")?;
    let at =
        if parser.peek() == Some(&super::super::formula::TokenKind::Sign("(")) { Some(parser.place()?) } else { None };
    let mut edge = EdgeRule {
        key,
        kind: *kind,
        to,
        at,
        through: Vec::new(),
        leaving: None,
        arriving: None,
        about: None,
        toward_start: true,
        allow: None,
        turned_up: false,
        turned_when: None,
        span,
    };
    clauses(parser, &mut edge)?;
    if edge.about.is_none() && matches!(edge.kind, EdgeKind::Arc | EdgeKind::Dart) {
        let what = if edge.kind == EdgeKind::Arc { "An arc needs its centre" } else { "A dart needs its apex" };
        return Err(Fault::new(edge.span, format!("{what}. Add “about (x, y)”.")));
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
            let at = parser.place()?;
            let heading = if parser.word("heading") { Some(parser.expr()?) } else { None };
            edge.through.push((at, heading));
        } else if parser.word("leaving") {
            only(EdgeKind::Curve, "leaving")?;
            edge.leaving = Some(end(parser, "toward")?);
        } else if parser.word("arriving") {
            only(EdgeKind::Curve, "arriving")?;
            edge.arriving = Some(end(parser, "from")?);
        } else if parser.word("about") {
            if edge.kind != EdgeKind::Dart {
                only(EdgeKind::Arc, "about")?;
            }
            edge.about = Some(parser.place()?);
        } else if parser.word("toward") {
            only(EdgeKind::Dart, "toward")?;
            edge.toward_start = parser.word("start");
            if !edge.toward_start {
                parser.expect_word("end")?;
            }
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
        return Ok(End::Tangent(parser.place()?));
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
    fn a_place_without_figures_is_the_point_of_that_name() {
        let outline = Outline::read(&BACK.replace("(0, l)       allow", "allow"), 0).unwrap();
        assert!(matches!(&outline.edges[2].at, Some(Place::Named(name, _)) if name == "centre_hem"));
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
        assert!(refused("line to centre_hem", "arc to centre_hem").message.contains("centre"));
        assert!(refused("fold to centre_waist", "fold to centre_waist allow 1 in").message.contains("no allowance"));
        assert!(Outline::read("", 0).is_err());
    }
}
