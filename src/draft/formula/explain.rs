//! The arithmetic of a formula as a person writes it: `29 ÷ 4 = 7 1/4, + 1 = 8 1/4`.

use super::super::fault::Fault;
use super::super::working::{Amount, Term, Working};
use super::eval::{Scope, evaluate};
use super::expr::{Binary, Expr, Function, Node};
use super::value::Value;

/// The working of a formula, with the figures in place of the names.
pub(crate) fn explain(expr: &Expr, scope: &Scope<'_, '_>) -> Result<Working, Fault> {
    let mut terms = Vec::new();
    chain(expr, scope, &mut terms)?;
    if terms.is_empty() {
        terms.extend(evaluate(expr, scope)?.amount().map(Term::Amount));
    }
    Ok(Working { terms })
}

/// Words with formulas in braces, the figures rounded and with their unit.
pub(crate) fn told(parts: &[(String, Option<Expr>)], scope: &Scope<'_, '_>) -> Result<Working, Fault> {
    let mut terms = Vec::new();
    for (words, expr) in parts {
        if !words.is_empty() {
            terms.push(Term::Sign(words.clone()));
        }
        if let Some(expr) = expr {
            terms.extend(evaluate(expr, scope)?.amount().map(Term::Told));
        }
    }
    Ok(Working { terms })
}

/// Writes a formula step by step along its left side, a result after each step.
/// Leaves `terms` empty where there is nothing to work (a name, a figure).
fn chain(expr: &Expr, scope: &Scope<'_, '_>, terms: &mut Vec<Term>) -> Result<(), Fault> {
    match &expr.node {
        Node::If(condition, yes, no) => return chain(if scope.yes(condition)? { yes } else { no }, scope, terms),
        Node::Binary(op, left, right) => {
            if let Some(only) = idle(*op, left, right, scope)? {
                return chain(only, scope, terms);
            }
            let before = terms.len();
            if is_worked(left, scope)? {
                chain(left, scope, terms)?;
            }
            if terms.len() > before {
                terms.push(Term::Sign(format!(", {} ", op.sign())));
            } else {
                inline(left, scope, rank(left, *op, false, scope)?, terms)?;
                terms.push(Term::Sign(format!(" {} ", op.sign())));
            }
            inline(right, scope, rank(right, *op, true, scope)?, terms)?;
        }
        Node::Round { what, to, up } => {
            chain(what, scope, terms)?;
            if terms.is_empty() {
                inline(what, scope, false, terms)?;
            }
            terms.push(Term::Sign(if *up { ", up to the next ".into() } else { ", to the nearest ".into() }));
            inline(to, scope, false, terms)?;
            terms.extend(evaluate(expr, scope)?.amount().map(Term::Rounded));
            return Ok(());
        }
        Node::Call(..) | Node::Negative(_) => inline(expr, scope, false, terms)?,
        _ => return Ok(()),
    }
    terms.extend(evaluate(expr, scope)?.amount().map(Term::Result));
    Ok(())
}

/// The part that is left when a step changes nothing (`+ 0`, `− 0`): nobody writes it.
fn idle<'e>(op: Binary, left: &'e Expr, right: &'e Expr, scope: &Scope<'_, '_>) -> Result<Option<&'e Expr>, Fault> {
    let nought = |e: &Expr| -> Result<bool, Fault> {
        Ok(matches!(evaluate(e, scope)?, Value::Quantity { size, .. } if size.abs() < 1e-9))
    };
    Ok(match op {
        Binary::Add | Binary::Subtract if nought(right)? => Some(left),
        Binary::Add if nought(left)? => Some(right),
        _ => None,
    })
}

/// Whether a formula has steps of its own for this body.
fn is_worked(expr: &Expr, scope: &Scope<'_, '_>) -> Result<bool, Fault> {
    Ok(matches!(shown(expr, scope)?.node, Node::Binary(..) | Node::Round { .. }))
}

/// Whether a part needs parentheses beside `op`.
fn rank(expr: &Expr, op: Binary, right: bool, scope: &Scope<'_, '_>) -> Result<bool, Fault> {
    let inner = match &shown(expr, scope)?.node {
        Node::Binary(inner, ..) => inner,
        node => return Ok(in_words(node)),
    };
    let product = |op: Binary| matches!(op, Binary::Multiply | Binary::Divide);
    Ok(match (product(op), product(*inner)) {
        (true, false) => true,
        (true, true) => right,
        (false, true) => false,
        (false, false) => right && op == Binary::Subtract,
    })
}

/// Whether a function is written in words that would run on into what follows.
const fn in_words(node: &Node) -> bool {
    use Function::{Abs, AlongSelvedge, BiasSquare, Max, Min};
    matches!(node, Node::Call(Min | Max | BiasSquare | AlongSelvedge | Abs, _))
}

/// What of a formula is written: of an `if` the branch taken, of a step that changes
/// nothing what is left.
fn shown<'e>(expr: &'e Expr, scope: &Scope<'_, '_>) -> Result<&'e Expr, Fault> {
    match &expr.node {
        Node::If(condition, yes, no) => shown(if scope.yes(condition)? { yes } else { no }, scope),
        Node::Binary(op, left, right) => match idle(*op, left, right, scope)? {
            Some(only) => shown(only, scope),
            None => Ok(expr),
        },
        _ => Ok(expr),
    }
}

/// Writes a formula in one run, figures in place of names.
fn inline(expr: &Expr, scope: &Scope<'_, '_>, parens: bool, terms: &mut Vec<Term>) -> Result<(), Fault> {
    let sign = |terms: &mut Vec<Term>, text: &str| terms.push(Term::Sign(text.into()));
    match &expr.node {
        Node::If(condition, yes, no) => {
            return inline(if scope.yes(condition)? { yes } else { no }, scope, parens, terms);
        }
        Node::Binary(op, left, right) => {
            if let Some(only) = idle(*op, left, right, scope)? {
                return inline(only, scope, parens, terms);
            }
            if parens {
                sign(terms, "(");
            }
            inline(left, scope, rank(left, *op, false, scope)?, terms)?;
            sign(terms, &format!(" {} ", op.sign()));
            inline(right, scope, rank(right, *op, true, scope)?, terms)?;
            if parens {
                sign(terms, ")");
            }
        }
        Node::Negative(inner) => {
            sign(terms, "−");
            inline(inner, scope, true, terms)?;
        }
        Node::Call(function, given) => {
            let (open, between, close) = match function {
                Function::Min => ("the smaller of ", " and ", ""),
                Function::Max => ("the larger of ", " and ", ""),
                Function::Sqrt => ("√(", "", ")"),
                Function::BiasSquare => ("the square for a bias strip of ", " by ", ""),
                Function::AlongSelvedge => ("the diagonal of ", "", ""),
                Function::Abs => ("the size of ", "", ""),
                other => {
                    sign(terms, other.word());
                    (" (", "", ")")
                }
            };
            let parens = parens && in_words(&expr.node);
            if parens {
                sign(terms, "(");
            }
            sign(terms, open);
            for (i, e) in given.iter().enumerate() {
                if i > 0 {
                    sign(terms, between);
                }
                inline(e, scope, in_words(&shown(e, scope)?.node), terms)?;
            }
            sign(terms, close);
            if parens {
                sign(terms, ")");
            }
        }
        Node::Length(mm) => terms.push(Term::Amount(Amount::Constant(*mm))),
        Node::Number(n) if (n - std::f64::consts::PI).abs() < f64::EPSILON => sign(terms, "π"),
        _ => terms.extend(evaluate(expr, scope)?.amount().map(Term::Amount)),
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::super::parse::parse;
    use super::super::values::Values;
    use super::*;
    use crate::measure::Showing;

    fn written(text: &str, showing: Showing) -> String {
        let values = Values::from_iter([
            ("waist", Value::mm(29.0 * 25.4)),
            ("odd", Value::mm(29.3 * 25.4)),
            ("ease", Value::mm(0.0)),
            ("side", Value::mm(25.4)),
            ("fullness", Value::number(2.5)),
        ]);
        explain(&parse(text, 0).unwrap(), &Scope { values: &values, shapes: None }).unwrap().text(showing)
    }

    #[test]
    fn the_arithmetic_reads_like_a_persons() {
        let inches = |text| written(text, Showing::EIGHTHS);
        assert_eq!(inches("waist / 4"), "29 ÷ 4 = 7 1/4");
        assert_eq!(inches("waist / 4 + side"), "29 ÷ 4 = 7 1/4, + 1 = 8 1/4");
        assert_eq!(inches("(waist + ease) / 4"), "29 ÷ 4 = 7 1/4");
        assert_eq!(inches("(waist + side) / 4"), "29 + 1 = 30, ÷ 4 = 7 1/2");
        assert_eq!(inches("fullness * (waist + side)"), "2.5 × (29 + 1) = 75");
        assert_eq!(inches("if side > 2 in then 3 in else waist / 8"), "29 ÷ 8 = 3 5/8");
        assert_eq!(inches("max(waist / 4, side)"), "the larger of 29 ÷ 4 and 1 = 7 1/4");
        assert_eq!(inches("max(waist / 4, side) + side"), "(the larger of 29 ÷ 4 and 1) + 1 = 8 1/4");
        let nested = "the larger of 0 and (the smaller of 1 and 29 ÷ 4) = 1";
        assert_eq!(inches("max(0 in, min(side, waist / 4))"), nested);
        assert_eq!(inches("waist - min(side, 2 in)"), "29 − (the smaller of 1 and 2) = 28");
        assert_eq!(inches("waist"), "29");
        assert_eq!(inches("waist - (if fullness > 2 then side + 1 in else side)"), "29 − (1 + 1) = 27");
        assert_eq!(inches("waist + 2 * (if fullness > 2 then side + 1 in else side)"), "29 + 2 × (1 + 1) = 33");
        assert_eq!(inches("waist - (ease + side)"), "29 − 1 = 28");
        assert_eq!(inches("side + 2 * (waist - side)"), "1 + 2 × (29 − 1) = 57");
        assert_eq!(inches("round(waist / 3 to 1/8 in)"), "29 ÷ 3 ≈ 9 5/8, to the nearest 1/8 = 9 5/8");
    }

    #[test]
    fn what_does_not_add_up_as_printed_is_marked() {
        assert_eq!(written("odd / 4", Showing::EIGHTHS), "29 1/4 ÷ 4 ≈ 7 3/8");
        assert_eq!(written("waist / 4", Showing::MILLIMETRES), "73.7 ÷ 4 ≈ 18.4");
        assert_eq!(written("waist / 16", Showing::EIGHTHS), "29 ÷ 16 = 1 13/16");
    }

    #[test]
    fn a_constant_of_the_other_unit_stands_in_it_so_that_the_line_adds_up() {
        assert_eq!(written("waist + 1 cm", Showing::EIGHTHS), "29 + 1 cm ≈ 29 3/8");
        assert_eq!(written("waist + 2.54 cm", Showing::EIGHTHS), "29 + 1 = 30");
        assert_eq!(written("waist / 4 - 3/8 in", Showing::MILLIMETRES), "73.7 ÷ 4 ≈ 18.4, − 3/8 in ≈ 17.5");
    }
}
