//! A pattern as PDF, each page in its true size. The only file that names krilla.

use krilla::Document;
use krilla::color::luma;
use krilla::geom::{Path, PathBuilder, Point as At, Rect, Transform};
use krilla::metadata::Metadata;
use krilla::num::NormalizedF32;
use krilla::page::PageSettings;
use krilla::paint::{Fill, FillRule, LineCap, LineJoin, Stroke as Pen, StrokeDash};
use krilla::surface::Surface;
use krilla::text::{Font, TextDirection};

use crate::geom::Point;

use super::ink::{Ink, Stroke, Words};
use super::letters::{FONT, width};
use super::{Page, Pattern, PatternError};

/// A PDF counts in points of 1/72 in (ISO 32000).
const POINTS_A_MM: f64 = 72.0 / 25.4;

/// Writes the pattern down.
pub(super) fn written(pattern: &Pattern) -> Result<Vec<u8>, PatternError> {
    let refused = |why: &str| PatternError::Pdf { why: why.into() };
    let font = Font::new(FONT.into(), 0).ok_or_else(|| refused("its font cannot be read"))?;
    let mut document = Document::new();
    document.set_metadata(Metadata::new().title(pattern.title.clone()).creator("bodkin".into()).language("en".into()));
    for page in &pattern.pages {
        let [wide, high] = page.size.map(points);
        let settings = PageSettings::from_wh(wide, high).ok_or_else(|| refused("a page has no size"))?;
        let mut sheet = document.start_page_with(settings);
        let mut surface = sheet.surface();
        let clip = frame(page).ok_or_else(|| refused("a page has no frame"))?;
        surface.push_clip_path(&clip, &FillRule::NonZero);
        draw(&page.ink, &font, &mut surface);
        surface.pop();
        surface.finish();
        sheet.finish();
    }
    document.finish().map_err(|why| PatternError::Pdf { why: format!("{why:?}") })
}

fn frame(page: &Page) -> Option<Path> {
    /// Lines on the very edge of the frame keep their whole breadth, mm.
    const PEN: f64 = 0.4;
    let (low, high) = page.frame;
    let [left, top] = low.map(|mm| points(mm - PEN));
    let [right, foot] = high.map(|mm| points(mm + PEN));
    let mut path = PathBuilder::new();
    path.push_rect(Rect::from_ltrb(left, top, right, foot)?);
    path.finish()
}

fn draw(ink: &Ink, font: &Font, surface: &mut Surface<'_>) {
    surface.set_fill(None);
    for stroke in &ink.strokes {
        if let Some(path) = path(&stroke.points, stroke.closed) {
            surface.set_stroke(Some(pen(stroke)));
            surface.draw_path(&path);
        }
    }
    surface.set_stroke(None);
    surface.set_fill(Some(Fill {
        paint: luma::Color::black().into(),
        opacity: NormalizedF32::ONE,
        rule: FillRule::NonZero,
    }));
    for tip in &ink.tips {
        if let Some(path) = path(tip, true) {
            surface.draw_path(&path);
        }
    }
    for words in &ink.words {
        write(words, font, surface);
    }
}

fn write(words: &Words, font: &Font, surface: &mut Surface<'_>) {
    let (at, size) = (place(words.at), points(words.size_mm));
    let turned = words.turn.abs() > 1e-9;
    if turned {
        let degrees = narrow(words.turn.to_degrees());
        surface.push_transform(&Transform::from_rotate_at(degrees, at.x, at.y));
    }
    let mut x = at.x;
    for part in parts(&words.text) {
        surface.draw_text(At::from_xy(x, at.y), font.clone(), size, part, false, TextDirection::Auto);
        x += points(width(part, words.size_mm));
    }
    if turned {
        surface.pop();
    }
}

/// A row in parts that are each written in one direction: a name that runs from right to
/// left must not turn the order's number beside it. The dots between parts stand alone.
fn parts(text: &str) -> Vec<&str> {
    /// Hebrew, Arabic and their neighbours, and their older forms of presentation (Unicode).
    const LEFTWARDS: [(char, char); 3] = [('\u{590}', '\u{8ff}'), ('\u{fb1d}', '\u{fdff}'), ('\u{fe70}', '\u{feff}')];
    const DOT: &str = " · ";
    let leftwards = |letter: char| LEFTWARDS.iter().any(|(first, last)| (*first..=*last).contains(&letter));
    if !text.chars().any(leftwards) {
        return vec![text];
    }
    let mut parts: Vec<&str> = text.split(DOT).flat_map(|part| [part, DOT]).collect();
    parts.pop();
    parts
}

fn pen(stroke: &Stroke) -> Pen {
    let dash = stroke.line.dash_mm();
    Pen {
        paint: luma::Color::black().into(),
        width: points(stroke.line.width_mm()),
        line_cap: LineCap::Butt,
        line_join: LineJoin::Round,
        dash: (!dash.is_empty()).then(|| StrokeDash {
            array: dash.iter().map(|mm| points(*mm)).collect(),
            offset: points(stroke.phase_mm % dash.iter().sum::<f64>()),
        }),
        ..Pen::default()
    }
}

fn path(through: &[Point], closed: bool) -> Option<Path> {
    let mut path = PathBuilder::new();
    let (first, rest) = through.split_first()?;
    let first = place(*first);
    path.move_to(first.x, first.y);
    for point in rest {
        let at = place(*point);
        path.line_to(at.x, at.y);
    }
    if closed {
        path.close();
    }
    path.finish()
}

fn place([x, y]: Point) -> At {
    At::from_xy(points(x), points(y))
}

fn points(mm: f64) -> f32 {
    narrow(mm * POINTS_A_MM)
}

/// What the writer takes: on the longest roll the nearest such number is 0.0002 mm away.
#[expect(clippy::cast_possible_truncation, reason = "the PDF writer takes f32")]
fn narrow(value: f64) -> f32 {
    value as f32
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_from_right_to_left_is_written_apart() {
        assert_eq!(parts("2026-0147 B · Efua Mensah"), ["2026-0147 B · Efua Mensah"]);
        assert_eq!(parts("2026-0147 B · ليلى · 3 May"), ["2026-0147 B", " · ", "ليلى", " · ", "3 May"]);
    }
}
