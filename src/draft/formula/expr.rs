//! A formula that has been read.

use super::super::fault::Span;
use super::place::Place;

/// A part of a formula and where it stands.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Expr {
    pub node: Node,
    pub at: Span,
}

/// What a part is.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Node {
    Number(f64),
    Length(f64),
    Angle(f64),
    /// A measure, choice or dimension.
    Name(String),
    Negative(Box<Expr>),
    Binary(Binary, Box<Expr>, Box<Expr>),
    Compare(Comparison, Box<Expr>, Box<Expr>),
    /// `frill is whole_hem`, `frill is not whole_hem`.
    Is {
        what: Box<Expr>,
        word: String,
        not: bool,
    },
    Both(Box<Expr>, Box<Expr>),
    Either(Box<Expr>, Box<Expr>),
    Not(Box<Expr>),
    If(Box<Expr>, Box<Expr>, Box<Expr>),
    Call(Function, Vec<Expr>),
    /// `round(x to 1/8 in)`, `round(x up to 1/8 in)`.
    Round {
        what: Box<Expr>,
        to: Box<Expr>,
        up: bool,
    },
    /// `length of back.side` or `back.side`: along a drafted edge.
    EdgeLength(String, String),
    /// `length of panel.waist 8 in below`: along the parallel that lies that deep inside the piece.
    Below {
        piece: String,
        edge: String,
        depth: Box<Expr>,
    },
    /// `length of frill`: a strip's sewn length.
    StripLength(String),
    /// `width of back at 8 in`: across the drawn half or whole piece.
    Width(String, Box<Expr>),
    /// `height of gore at 0 in`: from top to bottom on the upright at that x.
    Height(String, Box<Expr>),
    /// `width of frill`: a strip's cut width.
    StripWidth(String),
    /// `count of gore`: how many of a piece or strip are cut.
    Count(String),
    /// `x of tip`, `y of back.side_waist`: of a point.
    Coordinate {
        y: bool,
        of: Box<Place>,
    },
    /// `distance from a to b`: straight.
    Distance(Box<Place>, Box<Place>),
    /// `direction from a to b`: an angle.
    Direction(Box<Place>, Box<Place>),
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Binary {
    Add,
    Subtract,
    Multiply,
    Divide,
}

impl Binary {
    /// The sign as a person writes it.
    pub fn sign(self) -> &'static str {
        match self {
            Binary::Add => "+",
            Binary::Subtract => "−",
            Binary::Multiply => "×",
            Binary::Divide => "÷",
        }
    }
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Comparison {
    Less,
    Greater,
    AtMost,
    AtLeast,
    Equal,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Function {
    Sqrt,
    Sin,
    Cos,
    Tan,
    Atan,
    Abs,
    Min,
    Max,
    /// The side of the square that gives a bias strip of a length and a width.
    BiasSquare,
    /// How far a bias strip of a width reaches along the selvedge.
    AlongSelvedge,
}

impl Function {
    pub const ALL: [(&'static str, Function); 10] = [
        ("sqrt", Function::Sqrt),
        ("sin", Function::Sin),
        ("cos", Function::Cos),
        ("tan", Function::Tan),
        ("atan", Function::Atan),
        ("abs", Function::Abs),
        ("min", Function::Min),
        ("max", Function::Max),
        ("bias_square", Function::BiasSquare),
        ("along_selvedge", Function::AlongSelvedge),
    ];

    pub fn word(self) -> &'static str {
        Function::ALL.iter().find(|(_, f)| *f == self).map_or("", |(word, _)| word)
    }
}

impl Expr {
    /// Every part of this formula, itself first.
    pub fn visit<'e>(&'e self, see: &mut dyn FnMut(&'e Expr)) {
        see(self);
        match &self.node {
            Node::Negative(a)
            | Node::Not(a)
            | Node::Is { what: a, .. }
            | Node::Width(_, a)
            | Node::Height(_, a)
            | Node::Below { depth: a, .. } => a.visit(see),
            Node::Binary(_, a, b) | Node::Compare(_, a, b) | Node::Both(a, b) | Node::Either(a, b) => {
                a.visit(see);
                b.visit(see);
            }
            Node::Round { what, to, .. } => {
                what.visit(see);
                to.visit(see);
            }
            Node::If(a, b, c) => {
                a.visit(see);
                b.visit(see);
                c.visit(see);
            }
            Node::Call(_, all) => all.iter().for_each(|e| e.visit(see)),
            Node::Coordinate { of, .. } => of.visit(see),
            Node::Distance(a, b) | Node::Direction(a, b) => {
                a.visit(see);
                b.visit(see);
            }
            _ => {}
        }
    }
}

/// The edges that a formula measures, as (piece, edge), in the order written.
pub(crate) fn edges_of(expr: &Expr) -> Vec<(&str, &str)> {
    let mut edges = Vec::new();
    expr.visit(&mut |part| {
        if let Node::EdgeLength(piece, edge) = &part.node {
            edges.push((piece.as_str(), edge.as_str()));
        }
    });
    edges
}
