//! Places: a point given by two lengths, by name, or from another point.
//!
//! ```text
//! (waist_line, -3/8 in)
//! side_neck moved shoulder at 21.5 deg
//! tip turned bust_angle about bust_point
//! tip moved 2 in toward underarm
//! tip moved 1/2 toward underarm
//! ```
//!
//! x runs to the right, y down; 0 deg points right, 90 deg down, and a turn is
//! positive from right to down.

use super::super::fault::{Fault, Span};
use super::eval::{Scope, evaluate};
use super::expr::{Expr, Node};
use super::parse::Parser;
use super::token::TokenKind;
use super::value::Value;
use crate::geom::{Point, distance, heading, rotated};

/// A place that has been read.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Place {
    /// `(x, y)`.
    At(Box<Expr>, Box<Expr>),
    /// A point of the style's points.
    Named(String, Span),
    /// A point of a drawn piece: `back.side_waist`.
    Drawn { piece: String, point: String, at: Span },
    /// `P turned A about Q`.
    Turned { what: Box<Place>, by: Box<Expr>, about: Box<Place> },
    /// `P moved L at A`.
    Moved { what: Box<Place>, by: Box<Expr>, along: Box<Expr> },
    /// `P moved L toward Q`, or a share of the way.
    Toward { what: Box<Place>, by: Box<Expr>, to: Box<Place> },
}

impl Place {
    /// Where it stands in the style's text.
    pub fn span(&self) -> Span {
        match self {
            Place::At(x, y) => Span { start: x.at.start, end: y.at.end },
            Place::Named(_, at) | Place::Drawn { at, .. } => *at,
            Place::Turned { what, about, .. } => Span { start: what.span().start, end: about.span().end },
            Place::Moved { what, along, .. } => Span { start: what.span().start, end: along.at.end },
            Place::Toward { what, to, .. } => Span { start: what.span().start, end: to.span().end },
        }
    }

    /// Every formula in it.
    pub fn visit<'e>(&'e self, see: &mut dyn FnMut(&'e Expr)) {
        match self {
            Place::At(x, y) => {
                x.visit(see);
                y.visit(see);
            }
            Place::Named(..) | Place::Drawn { .. } => {}
            Place::Turned { what, by, about: to } | Place::Toward { what, by, to } => {
                what.visit(see);
                by.visit(see);
                to.visit(see);
            }
            Place::Moved { what, by, along } => {
                what.visit(see);
                by.visit(see);
                along.visit(see);
            }
        }
    }

    /// Every point that it names, itself or inside.
    pub fn named<'e>(&'e self, see: &mut dyn FnMut(&'e Place)) {
        match self {
            Place::Named(..) | Place::Drawn { .. } => see(self),
            Place::Turned { what, about: to, .. } | Place::Toward { what, to, .. } => {
                what.named(see);
                to.named(see);
            }
            Place::Moved { what, .. } => what.named(see),
            Place::At(..) => {}
        }
    }
}

impl Parser<'_> {
    /// A place with what moves or turns it.
    pub fn place(&mut self) -> Result<Place, Fault> {
        let mut place = self.bare_place()?;
        loop {
            if self.word("turned") {
                let by = Box::new(self.sum()?);
                self.expect_word("about")?;
                place = Place::Turned { what: Box::new(place), by, about: Box::new(self.bare_place()?) };
            } else if self.word("moved") {
                let by = Box::new(self.sum()?);
                if self.word("toward") {
                    place = Place::Toward { what: Box::new(place), by, to: Box::new(self.bare_place()?) };
                } else {
                    self.expect_word("at")?;
                    place = Place::Moved { what: Box::new(place), by, along: Box::new(self.sum()?) };
                }
            } else {
                return Ok(place);
            }
        }
    }

    /// `(x, y)`, a point's name, or a point of a piece.
    pub fn bare_place(&mut self) -> Result<Place, Fault> {
        let at = self.here();
        match self.peek() {
            Some(TokenKind::Sign("(")) => {
                self.expect_sign("(")?;
                let x = self.expr()?;
                self.expect_sign(",")?;
                let y = self.expr()?;
                self.expect_sign(")")?;
                Ok(Place::At(Box::new(zero(x)), Box::new(zero(y))))
            }
            Some(TokenKind::Dotted(..)) => {
                let (piece, point) = self.dotted("a point such as back.side_waist")?;
                Ok(Place::Drawn { piece, point, at })
            }
            _ => {
                let (name, at) = self.name("a place: (x, y) or the name of a point")?;
                Ok(Place::Named(name, at))
            }
        }
    }
}

/// A bare `0` is nought in any unit.
pub(crate) fn zero(expr: Expr) -> Expr {
    match expr.node {
        Node::Number(n) if n.abs() < f64::EPSILON => Expr { node: Node::Length(0.0), at: expr.at },
        _ => expr,
    }
}

/// No point of a garment lies further from the origin of its piece, mm: 100 m, the longest
/// length that can be typed.
const FURTHEST_MM: f64 = 1e5;

impl Scope<'_, '_> {
    /// A place in mm.
    pub fn place(&self, place: &Place) -> Result<Point, Fault> {
        let [x, y] = self.unbounded(place)?;
        if x.abs().max(y.abs()) <= FURTHEST_MM {
            return Ok([x, y]);
        }
        let words = "This point lies more than 100 m away; nothing that is worn is so large. Check the formula.";
        Err(Fault::new(place.span(), words))
    }

    fn unbounded(&self, place: &Place) -> Result<Point, Fault> {
        match place {
            Place::At(x, y) => Ok([self.length(x)?, self.length(y)?]),
            Place::Named(name, at) => match self.values.get(name.as_str()) {
                Some(Value::Point(point)) => Ok(*point),
                Some(other) => Err(Fault::new(*at, format!("“{name}” is {}, where a point is wanted.", other.kind()))),
                None => Err(Fault::new(*at, format!("“{name}” is not known here."))),
            },
            Place::Drawn { piece, point, at } => {
                self.shapes(*at)?.point(piece, point).map_err(|words| Fault::new(*at, words))
            }
            Place::Turned { what, by, about } => Ok(rotated(self.place(what)?, self.place(about)?, self.angle(by)?)),
            Place::Moved { what, by, along } => {
                let (from, mm, (sin, cos)) = (self.place(what)?, self.length(by)?, self.angle(along)?.sin_cos());
                Ok([from[0] + cos * mm, from[1] + sin * mm])
            }
            Place::Toward { what, by, to } => {
                let (from, to) = (self.place(what)?, self.place(to)?);
                let whole = distance(from, to);
                let share = match evaluate(by, self)? {
                    Value::Quantity { size, power: 0 } => size,
                    Value::Quantity { size, power: 1 } if whole > crate::geom::SAME_POINT_MM => size / whole,
                    Value::Quantity { size, power: 1 } if size.abs() <= crate::geom::SAME_POINT_MM => 0.0,
                    Value::Quantity { power: 1, .. } => {
                        return Err(Fault::new(
                            by.at,
                            "The two points are one: there is no way from one toward the other.",
                        ));
                    }
                    other => {
                        let message =
                            format!("This is {}, where a length or a share of the way is wanted.", other.kind());
                        return Err(Fault::new(by.at, message));
                    }
                };
                Ok([from[0] + (to[0] - from[0]) * share, from[1] + (to[1] - from[1]) * share])
            }
        }
    }

    /// The heading from one place to another, radians.
    pub fn direction(&self, from: &Place, to: &Place) -> Result<f64, Fault> {
        heading(self.place(from)?, self.place(to)?)
            .ok_or_else(|| Fault::new(to.span(), "The two points are one: there is no direction between them."))
    }
}
