//! Working a formula: the value that it gives for one body and its choices.

use super::super::fault::{Fault, Span, did_you_mean};
use super::expr::{Binary, Comparison, Expr, Function, Node};
use super::value::Value;
use super::values::Values;
use crate::geom::{Point, along_selvedge, bias_square, distance};

/// The drafted geometry that formulas may measure.
pub(crate) trait Shapes {
    /// The length of an edge, mm.
    fn edge_length(&self, piece: &str, edge: &str) -> Result<f64, String>;
    /// The length of the parallel `depth` mm inside an edge, mm.
    fn below(&self, piece: &str, edge: &str, depth: f64) -> Result<f64, String>;
    /// The sewn length of a strip, mm.
    fn strip_length(&self, strip: &str) -> Result<f64, String>;
    /// The width of a drawn piece on the level `y`, mm.
    fn width(&self, piece: &str, y: f64) -> Result<f64, String>;
    /// The height of a drawn piece on the upright at `x`, mm.
    fn height(&self, piece: &str, x: f64) -> Result<f64, String>;
    /// The cut width of a strip, mm.
    fn strip_width(&self, strip: &str) -> Result<f64, String>;
    /// How many of a piece or strip are cut.
    fn count(&self, key: &str) -> Result<f64, String>;
    /// A named point of a piece.
    fn point(&self, piece: &str, point: &str) -> Result<Point, String>;
}

/// What a formula can see: values by name and, once drawn, the pieces.
pub(crate) struct Scope<'a, 's> {
    pub values: &'a Values<'s>,
    pub shapes: Option<&'a dyn Shapes>,
}

impl Scope<'_, '_> {
    pub(super) fn shapes(&self, at: Span) -> Result<&dyn Shapes, Fault> {
        self.shapes.ok_or_else(|| {
            Fault::new(at, "The pieces are not drawn yet where this stands. Measure edges in strips, seams and below.")
        })
    }

    /// A quantity of the power given.
    pub fn quantity(&self, expr: &Expr, power: i8) -> Result<f64, Fault> {
        let value = evaluate(expr, self)?;
        match value {
            Value::Quantity { size, power: found } if found == power => Ok(size),
            other => Err(Fault::new(
                expr.at,
                format!(
                    "This is {}, where {} is wanted.{}",
                    other.kind(),
                    Value::Quantity { size: 0.0, power }.kind(),
                    if power == 1 && other.kind() == "a number" { " Add its unit: in, cm or mm." } else { "" }
                ),
            )),
        }
    }

    /// A length, mm.
    pub fn length(&self, expr: &Expr) -> Result<f64, Fault> {
        self.quantity(expr, 1)
    }

    /// A plain number.
    pub fn number(&self, expr: &Expr) -> Result<f64, Fault> {
        self.quantity(expr, 0)
    }

    /// Radians.
    pub fn angle(&self, expr: &Expr) -> Result<f64, Fault> {
        match evaluate(expr, self)? {
            Value::Angle(radians) => Ok(radians),
            other => {
                Err(Fault::new(expr.at, format!("This is {}, where an angle is wanted, such as 90 deg.", other.kind())))
            }
        }
    }

    /// Yes or no.
    pub fn yes(&self, expr: &Expr) -> Result<bool, Fault> {
        match evaluate(expr, self)? {
            Value::Yes(yes) => Ok(yes),
            other => Err(Fault::new(expr.at, format!("This is {}, where a condition is wanted.", other.kind()))),
        }
    }
}

/// The value of a formula.
pub(crate) fn evaluate<'s>(expr: &Expr, scope: &Scope<'_, 's>) -> Result<Value<'s>, Fault> {
    let fault = |message: String| Fault::new(expr.at, message);
    let value = match &expr.node {
        Node::Number(n) => Value::number(*n),
        Node::Length(mm) => Value::mm(*mm),
        Node::Angle(radians) => Value::Angle(*radians),
        Node::Name(name) => match scope.values.get(name.as_str()) {
            Some(value) => *value,
            None => {
                let hint = did_you_mean(name, scope.values.keys().copied());
                return Err(fault(format!("“{name}” is not known here.{hint}")));
            }
        },
        Node::Negative(a) => match evaluate(a, scope)? {
            Value::Quantity { size, power } => Value::Quantity { size: -size, power },
            Value::Angle(radians) => Value::Angle(-radians),
            other => return Err(fault(format!("A minus cannot stand before {}.", other.kind()))),
        },
        Node::Binary(op, a, b) => binary(*op, evaluate(a, scope)?, evaluate(b, scope)?).map_err(fault)?,
        Node::Compare(how, a, b) => compare(*how, evaluate(a, scope)?, evaluate(b, scope)?).map_err(fault)?,
        Node::Is { what, word, not } => match evaluate(what, scope)? {
            Value::Word(found) => Value::Yes((found == word) != *not),
            other => return Err(fault(format!("“is” compares a chosen word, and this is {}.", other.kind()))),
        },
        Node::Both(a, b) => Value::Yes(scope.yes(a)? && scope.yes(b)?),
        Node::Either(a, b) => Value::Yes(scope.yes(a)? || scope.yes(b)?),
        Node::Not(a) => Value::Yes(!scope.yes(a)?),
        Node::If(condition, yes, no) => evaluate(if scope.yes(condition)? { yes } else { no }, scope)?,
        Node::Call(function, given) => {
            let of = |e: &Expr| evaluate(e, scope);
            match given.as_slice() {
                [one] => call(*function, &[of(one)?]),
                [one, other] => call(*function, &[of(one)?, of(other)?]),
                more => call(*function, &more.iter().map(of).collect::<Result<Vec<_>, _>>()?),
            }
            .map_err(fault)?
        }
        Node::Round { what, to, up } => {
            let (value, step) = (evaluate(what, scope)?, evaluate(to, scope)?);
            round(&value, &step, *up).map_err(fault)?
        }
        Node::EdgeLength(piece, edge) => Value::mm(scope.shapes(expr.at)?.edge_length(piece, edge).map_err(fault)?),
        Node::Below { piece, edge, depth } => {
            let depth = scope.length(depth)?;
            Value::mm(scope.shapes(expr.at)?.below(piece, edge, depth).map_err(fault)?)
        }
        Node::StripLength(strip) => Value::mm(scope.shapes(expr.at)?.strip_length(strip).map_err(fault)?),
        Node::Width(piece, level) => {
            let y = scope.length(level)?;
            Value::mm(scope.shapes(expr.at)?.width(piece, y).map_err(fault)?)
        }
        Node::Height(piece, at) => {
            let x = scope.length(at)?;
            Value::mm(scope.shapes(expr.at)?.height(piece, x).map_err(fault)?)
        }
        Node::StripWidth(strip) => Value::mm(scope.shapes(expr.at)?.strip_width(strip).map_err(fault)?),
        Node::Count(key) => Value::number(scope.shapes(expr.at)?.count(key).map_err(fault)?),
        Node::Coordinate { y, of } => {
            let [px, py] = scope.place(of)?;
            Value::mm(if *y { py } else { px })
        }
        Node::Distance(a, b) => Value::mm(distance(scope.place(a)?, scope.place(b)?)),
        Node::Direction(a, b) => Value::Angle(scope.direction(a, b)?),
    };
    match value {
        Value::Quantity { size, .. } | Value::Angle(size) if !size.is_finite() => {
            Err(fault("This comes out as no number (a division by nought or a root of less than nothing).".into()))
        }
        value => Ok(value),
    }
}

fn binary<'s>(op: Binary, a: Value<'s>, b: Value<'s>) -> Result<Value<'s>, String> {
    match (op, &a, &b) {
        (
            Binary::Add | Binary::Subtract,
            Value::Quantity { size: x, power: p },
            Value::Quantity { size: y, power: q },
        ) if p == q => Ok(Value::Quantity { size: if op == Binary::Add { x + y } else { x - y }, power: *p }),
        (Binary::Add, Value::Angle(x), Value::Angle(y)) => Ok(Value::Angle(x + y)),
        (Binary::Subtract, Value::Angle(x), Value::Angle(y)) => Ok(Value::Angle(x - y)),
        (Binary::Multiply, Value::Quantity { size: x, power: p }, Value::Quantity { size: y, power: q }) => {
            Ok(Value::Quantity { size: x * y, power: p.saturating_add(*q) })
        }
        (Binary::Divide, Value::Quantity { size: x, power: p }, Value::Quantity { size: y, power: q }) => {
            if y.abs() < 1e-12 {
                return Err("This divides by nought.".into());
            }
            Ok(Value::Quantity { size: x / y, power: p.saturating_sub(*q) })
        }
        (Binary::Multiply, Value::Angle(x), Value::Quantity { size: y, power: 0 })
        | (Binary::Multiply, Value::Quantity { size: y, power: 0 }, Value::Angle(x)) => Ok(Value::Angle(x * y)),
        (Binary::Divide, Value::Angle(x), Value::Quantity { size: y, power: 0 }) if y.abs() > 1e-12 => {
            Ok(Value::Angle(x / y))
        }
        _ => {
            let hint = match (&a, &b) {
                (Value::Quantity { power: 1, .. }, Value::Quantity { power: 0, .. })
                | (Value::Quantity { power: 0, .. }, Value::Quantity { power: 1, .. }) => {
                    " Give the number its unit: in, cm or mm."
                }
                _ => "",
            };
            Err(format!("{} {} {} makes no sense.{hint}", capital(a.kind()), op.sign(), b.kind()))
        }
    }
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// Lengths that differ by less than a nanometre are equal.
const SAME: f64 = 1e-6;

fn compare<'s>(how: Comparison, a: Value<'s>, b: Value<'s>) -> Result<Value<'s>, String> {
    let (x, y) = match (&a, &b) {
        (Value::Quantity { size: x, power: p }, Value::Quantity { size: y, power: q }) if p == q => (*x, *y),
        (Value::Angle(x), Value::Angle(y)) => (*x, *y),
        _ => return Err(format!("{} cannot be compared with {}.", capital(a.kind()), b.kind())),
    };
    Ok(Value::Yes(match how {
        Comparison::Less => x < y - SAME,
        Comparison::Greater => x > y + SAME,
        Comparison::AtMost => x <= y + SAME,
        Comparison::AtLeast => x >= y - SAME,
        Comparison::Equal => (x - y).abs() <= SAME,
    }))
}

fn call<'s>(function: Function, given: &[Value<'s>]) -> Result<Value<'s>, String> {
    let no_sense = |value: &Value<'_>| format!("“{}” of {} makes no sense.", function.word(), value.kind());
    let Some(first) = given.first() else { return Err("Nothing is given.".into()) };
    match (function, first) {
        (Function::Sqrt, Value::Quantity { size, power }) if power % 2 == 0 => {
            Ok(Value::Quantity { size: size.sqrt(), power: power / 2 })
        }
        (Function::Sin, Value::Angle(a)) => Ok(Value::number(a.sin())),
        (Function::Cos, Value::Angle(a)) => Ok(Value::number(a.cos())),
        (Function::Tan, Value::Angle(a)) => Ok(Value::number(a.tan())),
        (Function::Atan, Value::Quantity { size, power: 0 }) => Ok(Value::Angle(size.atan())),
        (Function::Abs, Value::Quantity { size, power }) => Ok(Value::Quantity { size: size.abs(), power: *power }),
        (Function::Abs, Value::Angle(a)) => Ok(Value::Angle(a.abs())),
        (Function::Min | Function::Max, first) => {
            let mut best = *first;
            for other in given.get(1..).unwrap_or_default() {
                let less = compare(Comparison::Less, *other, best)?;
                if (less == Value::Yes(true)) == (function == Function::Min) {
                    best = *other;
                }
            }
            Ok(best)
        }
        (Function::BiasSquare, Value::Quantity { size: length, power: 1 }) => match given.get(1) {
            Some(Value::Quantity { size: width, power: 1 }) => Ok(Value::mm(bias_square(*length, *width))),
            other => Err(no_sense(other.unwrap_or(first))),
        },
        (Function::AlongSelvedge, Value::Quantity { size: width, power: 1 }) => Ok(Value::mm(along_selvedge(*width))),
        (_, other) => Err(no_sense(other)),
    }
}

fn round<'s>(value: &Value<'s>, step: &Value<'s>, up: bool) -> Result<Value<'s>, String> {
    match (value, step) {
        (Value::Quantity { size, power: p }, Value::Quantity { size: step, power: q }) if p == q && *step > 0.0 => {
            let count = size / step;
            // A value a hair above a step (rounding of f64) is on the step.
            let count = if up { (count - 1e-9).ceil() } else { count.round() };
            Ok(Value::Quantity { size: count * step, power: *p })
        }
        (Value::Quantity { .. }, Value::Quantity { size, .. }) if *size <= 0.0 => {
            Err("Rounding to nought makes no sense. Give a step such as 1/8 in.".into())
        }
        _ => Err(format!("{} cannot be rounded to {}.", capital(value.kind()), step.kind())),
    }
}

#[cfg(test)]
mod tests {
    use super::super::parse::parse;
    use super::*;
    use proptest::prelude::*;

    fn work(text: &str) -> Result<Value<'static>, Fault> {
        let values = Values::from_iter([
            ("waist", Value::mm(787.4)),
            ("fullness", Value::number(3.0)),
            ("frill", Value::Word("whole_hem")),
        ]);
        evaluate(&parse(text, 0)?, &Scope { values: &values, shapes: None })
    }

    fn mm(text: &str) -> f64 {
        match work(text).unwrap() {
            Value::Quantity { size, power: 1 } => size,
            other => panic!("{other:?}"),
        }
    }

    #[test]
    fn ordinary_arithmetic() {
        assert!((mm("waist / 4 + 1 in") - (787.4 / 4.0 + 25.4)).abs() < 1e-9);
        assert!((mm("waist ÷ 4 − 1 cm") - (787.4 / 4.0 - 10.0)).abs() < 1e-9);
        assert!((mm("sqrt(3 in * 3 in + 4 in * 4 in)") - 127.0).abs() < 1e-9);
        assert!((mm("max(1 in, 2 in, 3 cm)") - 50.8).abs() < 1e-9);
        assert!((mm("round(7.3 in to 1/4 in)") - 184.15).abs() < 1e-9);
        assert!((mm("round(7.01 in up to 1/4 in)") - 184.15).abs() < 1e-9);
        assert!((mm("if frill is whole_hem then 1 in else 2 in") - 25.4).abs() < 1e-9);
        assert!((mm("if frill is not whole_hem or fullness < 2 then 1 in else 2 in") - 50.8).abs() < 1e-9);
        assert!((mm("2 - 1 - 1 + 1 in / 1 in * 3 in".replace("2 - 1 - 1 + ", "").as_str()) - 76.2).abs() < 1e-9);
        assert!((mm("-(1 in - 3 in)") - 50.8).abs() < 1e-9);
        assert!((mm("bias_square(50 in, 2 in)") - 254.0).abs() < 1e-9);
        assert!((mm("along_selvedge(1 in)") - 25.4 * 2.0_f64.sqrt()).abs() < 1e-9);
        assert!(work("bias_square(50 in)").is_err() && work("bias_square(50, 2)").is_err());
        assert!((mm("tan(45 deg) * 1 in") - 25.4).abs() < 1e-9);
    }

    #[test]
    fn nonsense_is_refused_with_its_place() {
        let refused = |text: &str| work(text).unwrap_err();
        let fault = refused("1 in + waist + 2");
        assert!(fault.message.contains("unit"), "{}", fault.message);
        assert!(refused("waist * waist + waist").message.contains("makes no sense"));
        assert!(refused("wiast / 4").message.contains("Did you mean “waist”?"));
        assert_eq!(refused("2 * wiast").at, Span { start: 4, end: 9 });
        assert!(refused("waist / 0").message.contains("nought"));
        assert!(refused("sqrt(0 in * 1 in - 1 in * 1 in)").message.contains("no number"));
        assert!(refused("(waist").message.contains("“)”"));
        assert!(refused("waist waist").message.contains("not expected"));
        assert!(refused("sqr(2)").message.contains("“sqrt”"));
        assert!(refused(&format!("{}1{}", "(".repeat(100), ")".repeat(100))).message.contains("nested"));
        assert!(refused(&"1+".repeat(3000)).message.contains("250"));
        assert!(refused("length of back.side").message.contains("not drawn"));
    }

    proptest! {
        #[test]
        fn no_text_panics(text in "[a-z0-9 +*/().,<>=-]{0,60}") {
            let _ = work(&text);
        }

        #[test]
        fn sums_agree_with_f64(a in 0.0_f64..500.0, b in 0.1_f64..500.0, c in 1.0_f64..9.0) {
            let text = format!("({a:.3} mm - {b:.3} mm) * 2 + {b:.3} mm / {c:.3}");
            let (a, b, c): (f64, f64, f64) = (format!("{a:.3}").parse().unwrap(), format!("{b:.3}").parse().unwrap(), format!("{c:.3}").parse().unwrap());
            prop_assert!((mm(&text) - ((a - b) * 2.0 + b / c)).abs() < 1e-9);
        }
    }
}
