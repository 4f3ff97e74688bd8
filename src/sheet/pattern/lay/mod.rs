//! A lay on paper: at a scale that can be read, cut into sheets for the table beside the
//! cloth; and in true scale, on a roll as wide as the cloth, to be spread over it and cut
//! through.
//!
//! `drawn` puts the lay down at any scale as `Ink`, `ruler` has the marks along its edge,
//! `sheets` cuts it along the cloth, `plot` writes the roll.

mod drawn;
mod plot;
mod ruler;
mod sheets;

pub use plot::{LayMarks, Roll, lay_plot};
pub use sheets::{LaySheet, lay_sheets, without_grain};
