//! The letters that a pattern is written in: how wide words come out, and which it has.
//!
//! A pattern must print the same on any machine, so it brings its own font: DejaVu Sans
//! (Latin, Greek, Cyrillic, Arabic, Armenian, Georgian and more), unchanged, with its
//! licence beside it in `static`. The only file that names ttf-parser.

use std::sync::OnceLock;

use ttf_parser::Face;

use super::super::rows::in_rows;

/// The font's file.
pub(super) static FONT: &[u8] = include_bytes!("../../../static/DejaVuSans.ttf");

/// A letter of unknown width is taken to be this share of its height wide: as wide as the font's digits.
const USUAL: f64 = 0.64;

fn face() -> Option<&'static Face<'static>> {
    static FACE: OnceLock<Option<Face<'static>>> = OnceLock::new();
    FACE.get_or_init(|| Face::parse(FONT, 0).ok()).as_ref()
}

/// How wide words come out in letters of this size, mm.
#[must_use]
pub(super) fn width(text: &str, size_mm: f64) -> f64 {
    let share = |letter: char| {
        let face = face()?;
        let advance = face.glyph_hor_advance(face.glyph_index(letter)?)?;
        Some(f64::from(advance) / f64::from(face.units_per_em()))
    };
    text.chars().map(|letter| share(letter).unwrap_or(USUAL)).sum::<f64>() * size_mm
}

/// Whether the font has every letter of a text.
#[must_use]
pub(super) fn has(text: &str) -> bool {
    face().is_some_and(|face| text.chars().all(|letter| face.glyph_index(letter).is_some()))
}

/// The text in rows that are no wider than this, broken between words.
#[must_use]
pub(super) fn rows(text: &str, size_mm: f64, widest_mm: f64) -> Vec<String> {
    in_rows(text, |row, word| width(&format!("{row} {word}"), size_mm) <= widest_mm)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_are_as_wide_as_their_letters() {
        // Advances of DejaVu Sans 2.37: digits 1303 of 2048, the space 651.
        assert!((width("00", 10.0) - 20.0 * 1303.0 / 2048.0).abs() < 1e-9);
        assert!((width("0 0", 2048.0) - (2.0 * 1303.0 + 651.0)).abs() < 1e-9);
    }

    #[test]
    fn it_is_known_which_letters_there_are() {
        assert!(["Efua Mensah", "Élodie Ngô", "Αγγελική", "Ольга", "Łucja", "ليلى"].iter().all(|name| has(name)));
        // Neither of these scripts is in the font.
        assert!(!has("ፀሐይ") && !has("田中"));
    }

    #[test]
    fn rows_break_between_words() {
        let widest = width("cut one on", 5.0);
        assert_eq!(rows("cut one on the fold", 5.0, widest), ["cut one on", "the fold"]);
        assert!(rows("", 5.0, 40.0).is_empty());
    }
}
