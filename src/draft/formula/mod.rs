//! Formulas: ordinary arithmetic on lengths, numbers, angles and chosen words.
//!
//! `waist_girth / 4 + 1 in`, `if frill is whole_hem then 0 in else hem_allowance`,
//! `round(x to 1/8 in)`, `length of back.waist`, `width of back at 8 in`.
//! Lengths carry units: a length plus a bare number is an error. A formula is read
//! once into an [`Expr`] and worked many times; `explain` writes the arithmetic.

mod eval;
mod explain;
mod expr;
mod parse;
mod place;
mod token;
mod value;
mod values;

pub(crate) use eval::{Scope, Shapes, evaluate};
pub(crate) use explain::{explain, told};
pub(crate) use expr::{Binary, Comparison, Expr, Node, edges_of};
pub(crate) use parse::{Parser, RESERVED, Told, parse, parse_text};
pub(crate) use place::{Place, zero};
pub(crate) use token::{TokenKind, tokens};
pub(crate) use value::Value;
pub(crate) use values::{ByName, Values};
