//! `bodkin pattern STYLE name=value … --paper A4 --out FILE.pdf`: a pattern in true scale
//! from the command line; one piece as SVG when the file ends in .svg.

use std::fs::OpenOptions;
use std::io::{ErrorKind, Write as _};
use std::path::Path;

use chrono::DateTime;

use super::draft::{find, input, refusal};
use super::{CommandError, clock};
use crate::config::Pattern as Flags;
use crate::measure::Showing;
use crate::sheet::{Asked, Marks, Paper, pattern, pattern_pdf, piece_svg};

/// Writes the pattern to a file that is not there yet.
///
/// # Errors
/// A style, name, value, piece or paper that is not known or not possible; a file that cannot be written.
pub fn draw(flags: &Flags) -> Result<(), CommandError> {
    let showing = if flags.draft.cm { Showing::MILLIMETRES } else { Showing::EIGHTHS };
    let style = find(&flags.draft.style)?;
    let input = input(&style, &flags.draft.values, showing)?;
    let draft = crate::draft::draft(&style, &input).map_err(|e| CommandError(refusal(&style, &e)))?;
    let paper = Paper::from_key(&flags.paper).ok_or_else(|| {
        let known = Paper::ALL.map(Paper::key).join(", ");
        CommandError(format!("“{}” is no paper that patterns are printed on. Choose one of {known}.", flags.paper))
    })?;
    let marks = Marks {
        mark: String::new(),
        client: String::new(),
        what: style.label().into(),
        day: day(),
        unit: showing.unit(),
    };
    let asked = Asked { pieces: flags.pieces.clone(), opened: flags.opened, paper };
    let failed = |why: crate::sheet::PatternError| CommandError(why.to_string());
    let (bytes, told) = if ends_in(&flags.out, "svg") {
        let [letter] = asked.pieces.as_slice() else {
            return Err(CommandError("An SVG file holds one piece. Name it with --pieces, such as --pieces A.".into()));
        };
        (piece_svg(&draft, &marks, letter, asked.opened).map_err(failed)?.into_bytes(), format!("piece {letter}"))
    } else if ends_in(&flags.out, "pdf") {
        let pattern = pattern(&draft, &marks, &asked).map_err(failed)?;
        let pages = pattern.pages.len();
        let plural = if pages == 1 { "page" } else { "pages" };
        (pattern_pdf(&pattern).map_err(failed)?, format!("{pages} {plural} of {}", paper.words()))
    } else {
        return Err(CommandError(format!("{} is neither a .pdf nor a .svg file.", flags.out.display())));
    };
    keep(&flags.out, &bytes)?;
    let mut out = std::io::stdout();
    let _ = writeln!(out, "Wrote {}: {told}.", flags.out.display());
    if !draft.sews() {
        let _ = writeln!(out, "This draft would not sew: do not cut from it. See `bodkin draft`.");
    }
    Ok(())
}

fn ends_in(file: &Path, ending: &str) -> bool {
    file.extension().is_some_and(|other| other.eq_ignore_ascii_case(ending))
}

/// Never over a file that exists.
fn keep(file: &Path, bytes: &[u8]) -> Result<(), CommandError> {
    let shown = file.display();
    let mut opened = OpenOptions::new().write(true).create_new(true).open(file).map_err(|why| {
        CommandError(match why.kind() {
            ErrorKind::AlreadyExists => format!("{shown} exists already. Choose another name, or remove it first."),
            _ => format!("{shown} cannot be written: {why}."),
        })
    })?;
    opened.write_all(bytes).map_err(|why| CommandError(format!("{shown} cannot be written: {why}.")))
}

/// Today in words; by the clock of Greenwich, since a command knows no shop.
fn day() -> String {
    DateTime::from_timestamp_millis(clock::now_ms()).unwrap_or_default().format("%-d %b %Y").to_string()
}
