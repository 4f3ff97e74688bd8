//! What is on a job sheet: plain values in the order in which paper is looked at,
//! ready to be set by whoever prints it.
//!
//! The cutter's side has the head, swatch, what was agreed, the bordered box,
//! measures, cloth, the cut list, the lay and the pieces with their chalk figures;
//! the sewer's side has the head again, swatch, agreed, box, then notions, steps,
//! a blank figure for pins and the code of the garment's address. What must never
//! lie on a worktable (prices, telephone numbers, remarks) has no field here.
//! Texts carry plain fractions (`7 3/4`); the page sets them as true ones.
//!
//! `pattern` is the other paper: the pieces in true scale, as pages in millimetres, PDF and SVG;
//! and a lay, on sheets that can be read and on a roll in true scale.

mod agreed;
mod alert;
mod code;
mod cut_list;
mod drawing;
mod figure;
mod job_sheet;
mod measured;
mod needed;
mod pattern;
mod rows;

pub use alert::{Alert, AlertKind};
pub use code::Code;
pub use cut_list::CutRow;
pub use drawing::{ChalkLine, EdgeMark, SheetPiece};
pub use figure::{FIGURE_SIZE, Figure, figures};
pub use job_sheet::{Facts, Head, JobSheet, StepRow, Swatch, WorkingRow, job_sheet};
pub use measured::{MeasureRow, Measures};
pub use needed::ClothRow;
pub use pattern::{
    Asked, Ink, LayMarks, LaySheet, Line, MOST_SHEETS, Marks, OVERLAP_MM, Page, Paper, Pattern, PatternError, Roll,
    Stroke, Tile, Words, lay_plot, lay_sheets, pattern, pattern_pdf, piece_svg, without_grain,
};
pub use rows::in_rows;
