//! Paper so large that whole pieces lie on a sheet: A0, or a roll cut off where the
//! pattern ends. The head stands on the first sheet; a piece larger than the paper is a
//! field of its own, cut into sheets with a map before them.

use super::arranged::{Grid, on_sheets};
use super::head::Head;
use super::paper::{OVERLAP_MM, Paper};
use super::piece::Drawn;
use super::tiles::{Laid, cut};
use super::{MOST_SHEETS, Page, PatternError, items, map};

/// The sheets, those with whole pieces first.
pub(super) fn pages(drawn: &[Drawn], head: &Head<'_>, paper: Paper) -> Result<Vec<Page>, PatternError> {
    let frame = paper.frame();
    let grid = Grid { frame, overlap: OVERLAP_MM };
    let first = head.block(false);
    let items = items(&first, drawn);
    let fields = on_sheets(&items, frame);
    let joined = |size: [f64; 2]| size[0] > frame[0] || size[1] > frame[1];
    // Where something must be taped, the head says how.
    let (first, fields) = if fields.iter().any(|field| joined(field.size)) {
        let first = head.block(true);
        let fields = on_sheets(&super::items(&first, drawn), frame);
        (first, fields)
    } else {
        (first, fields)
    };
    let mut pages = Vec::new();
    for (at, field) in fields.iter().enumerate() {
        let laid = Laid::of(field, &first, drawn);
        let sheets = cut(&laid, at, fields.len(), grid, paper, head)?;
        if joined(field.size) {
            // A map is read at a table: on paper of its own small size.
            pages.push(map::page(&laid, &sheets, pages.len() + 1, grid, Paper::A4, head));
        }
        pages.extend(sheets);
        if pages.len() > MOST_SHEETS {
            return Err(PatternError::TooMany { most: MOST_SHEETS, paper: paper.words() });
        }
    }
    Ok(pages)
}
