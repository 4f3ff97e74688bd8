//! A piece as an SVG file of its own, one unit a true millimetre: for a cutting machine,
//! a drawing program or a print shop. Looks are attributes; nothing else is named.

use std::fmt::Write as _;

use crate::geom::Point;

use super::ink::{Ink, Line, Stroke};
use super::piece::Drawn;

/// White around the piece, mm.
const MARGIN_MM: f64 = 5.0;

/// Writes the piece down.
pub(super) fn written(piece: &Drawn) -> String {
    let (low, high) = piece.ink.bounds().unwrap_or(([0.0; 2], [0.0; 2]));
    let least = [low[0] - MARGIN_MM, low[1] - MARGIN_MM];
    let size = [high[0] - low[0] + 2.0 * MARGIN_MM, high[1] - low[1] + 2.0 * MARGIN_MM];
    let [x, y, wide, high] = [least[0], least[1], size[0], size[1]].map(figure);
    let mut text = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{wide}mm\" height=\"{high}mm\" viewBox=\"{x} {y} {wide} {high}\">\n\
         <title>Piece {}, in true millimetres</title>\n",
        escaped(&piece.letter)
    );
    drawn(&piece.ink, &mut text);
    text.push_str("</svg>\n");
    text
}

/// What is drawn on a sheet of this size, mm, as a drawing for a page: `label` says what it is to
/// whoever does not see it.
pub(super) fn on_page(ink: &Ink, size: Point, label: &str) -> String {
    let [wide, high] = size.map(figure);
    let mut text = format!(
        "<svg role=\"img\" aria-label=\"{}\" width=\"{wide}mm\" height=\"{high}mm\" viewBox=\"0 0 {wide} {high}\">\n",
        escaped(label)
    );
    drawn(ink, &mut text);
    text.push_str("</svg>\n");
    text
}

fn drawn(ink: &Ink, text: &mut String) {
    for stroke in &ink.strokes {
        let dash = stroke.line.dash_mm();
        let dashes = if dash.is_empty() {
            String::new()
        } else {
            let dashes = dash.iter().map(|mm| figure(*mm)).collect::<Vec<_>>().join(" ");
            let from = if stroke.phase_mm > 0.0 {
                format!(" stroke-dashoffset=\"{}\"", figure(stroke.phase_mm % dash.iter().sum::<f64>()))
            } else {
                String::new()
            };
            format!(" stroke-dasharray=\"{dashes}\"{from}")
        };
        let _ = writeln!(
            text,
            "<path data-line=\"{}\" d=\"{}\" fill=\"none\" stroke=\"#000\" stroke-width=\"{}\" stroke-linejoin=\"round\"{dashes}/>",
            stroke.line.key(),
            path(stroke),
            figure(stroke.line.width_mm())
        );
    }
    for tip in &ink.tips {
        let _ = writeln!(text, "<path d=\"{}\"/>", path(&Stroke::closed(Line::Grain, tip.clone())));
    }
    for words in &ink.words {
        let [x, y] = words.at.map(figure);
        let turn = if words.turn.abs() < 1e-9 {
            String::new()
        } else {
            format!(" transform=\"rotate({} {x} {y})\"", figure(words.turn.to_degrees()))
        };
        let _ = writeln!(
            text,
            "<text x=\"{x}\" y=\"{y}\" font-family=\"DejaVu Sans, sans-serif\" font-size=\"{}\"{turn}>{}</text>",
            figure(words.size_mm),
            escaped(&words.text)
        );
    }
}

fn path(stroke: &Stroke) -> String {
    let mut path = String::new();
    for (point, pen) in stroke.points.iter().zip(std::iter::once('M').chain(std::iter::repeat('L'))) {
        let [x, y]: [String; 2] = Point::map(*point, figure);
        let _ = write!(path, "{pen}{x} {y}");
    }
    if stroke.closed {
        path.push('Z');
    }
    path
}

/// To a tenth of a micrometre: far below what any machine cuts.
fn figure(mm: f64) -> String {
    let text = format!("{mm:.4}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".into() } else { text.into() }
}

fn escaped(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;").replace('"', "&quot;")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn figures_are_short_and_markup_stays_text() {
        assert_eq!([1.0, -0.00001, 2.54, 1.0 / 3.0].map(figure), ["1", "0", "2.54", "0.3333"]);
        assert_eq!(escaped("<b> & \"x\""), "&lt;b&gt; &amp; &quot;x&quot;");
    }
}
