//! Sewing and cutting outlines as JSON text, for the record of what was cut.
//!
//! Written by hand, since the text must stay the same whatever becomes of our
//! types: `{"unit": "mm", "pieces": [{"key", "label", "letter", "cloth", "count",
//! "pairs", "on_fold", "grain", "fold", "sewing", "cutting", "edges"}], "strips":
//! [{"key", "label", "letter", "cloth", "count", "grain", "joined", "length",
//! "width", "join"}]}`. Coordinates go to the micrometre, x right, y down.

use std::fmt::Write;

use crate::draft::{Cloth, Draft, Edge, Grain, Piece, Strip};
use crate::geom::Point;

/// The outlines of a draft as JSON text.
pub(super) fn outlines(draft: &Draft) -> String {
    let pieces: Vec<String> = draft.pieces.iter().map(piece).collect();
    let strips: Vec<String> = draft.strips.iter().map(strip).collect();
    format!("{{\"unit\":\"mm\",\"pieces\":[{}],\"strips\":[{}]}}", pieces.join(","), strips.join(","))
}

fn piece(piece: &Piece) -> String {
    let fold = piece.fold.map_or_else(|| "null".into(), |(from, to)| points(&[from, to]));
    let edges: Vec<String> = piece.edges.iter().map(edge).collect();
    format!(
        "{{\"key\":{},\"label\":{},\"letter\":{},\"cloth\":{},\"count\":{},\"pairs\":{},\"on_fold\":{},\"grain\":{},\
         \"fold\":{fold},\"sewing\":{},\"cutting\":{},\"edges\":[{}]}}",
        text(&piece.key),
        text(&piece.label),
        text(&piece.letter),
        text(cloth(piece.cloth)),
        piece.count,
        piece.pairs,
        piece.on_fold,
        text(grain(piece.grain)),
        points(&piece.sewing),
        points(&piece.cutting),
        edges.join(",")
    )
}

fn edge(edge: &Edge) -> String {
    format!(
        "{{\"key\":{},\"fold\":{},\"allowance\":{},\"length\":{}}}",
        text(&edge.key),
        edge.is_fold,
        number(edge.allowance_mm),
        number(edge.length_mm)
    )
}

fn strip(strip: &Strip) -> String {
    format!(
        "{{\"key\":{},\"label\":{},\"letter\":{},\"cloth\":{},\"count\":{},\"grain\":{},\"joined\":{},\
         \"length\":{},\"width\":{},\"join\":{}}}",
        text(&strip.key),
        text(&strip.label),
        text(&strip.letter),
        text(cloth(strip.cloth)),
        strip.count,
        text(grain(strip.grain)),
        strip.joined,
        number(strip.length_mm),
        number(strip.width_mm),
        number(strip.join_mm)
    )
}

const fn cloth(cloth: Cloth) -> &'static str {
    match cloth {
        Cloth::Main => "main",
        Cloth::Lining => "lining",
        Cloth::Interfacing => "interfacing",
    }
}

const fn grain(grain: Grain) -> &'static str {
    match grain {
        Grain::Along => "along",
        Grain::Across => "across",
        Grain::Bias => "bias",
    }
}

fn points(points: &[Point]) -> String {
    let pairs: Vec<String> = points.iter().map(|[x, y]| format!("[{},{}]", number(*x), number(*y))).collect();
    format!("[{}]", pairs.join(","))
}

/// To the micrometre, without idle noughts; what is no number is `null`.
fn number(mm: f64) -> String {
    if !mm.is_finite() {
        return "null".into();
    }
    let text = format!("{mm:.3}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".into() } else { text.into() }
}

/// A JSON string (RFC 8259: quotation mark, backslash and control signs are escaped).
fn text(words: &str) -> String {
    let mut out = String::from("\"");
    for sign in words.chars() {
        match sign {
            '"' => out.push_str("\\\""),
            '\\' => out.push_str("\\\\"),
            sign if u32::from(sign) < 0x20 => {
                let _ = write!(out, "\\u{:04x}", u32::from(sign));
            }
            sign => out.push(sign),
        }
    }
    out.push('"');
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn numbers_have_no_idle_noughts() {
        let written: Vec<String> = [0.0, -0.0, -0.0001, 12.5, 100.0, 1.23456, f64::NAN].map(number).into();
        assert_eq!(written, ["0", "0", "0", "12.5", "100", "1.235", "null"]);
    }

    proptest! {
        #[test]
        fn any_words_read_back(words in any::<String>()) {
            let read: String = serde_json::from_str(&text(&words)).unwrap();
            prop_assert_eq!(read, words);
        }
    }
}
