//! The square code of an address (ISO/IEC 18004), as the outline of its dark modules.

use qrcode::{Color, EcLevel, QrCode};

/// A square code to be drawn.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Code {
    /// The address in plain letters.
    pub address: String,
    /// Modules on each side, the quiet zone included.
    pub side: usize,
    /// Path data of the dark modules, one unit each.
    pub path: String,
}

/// The quiet zone that ISO/IEC 18004 asks for, in modules.
const QUIET: usize = 4;

impl Code {
    /// The code of this address; nothing for an empty one, or one longer than a
    /// small code on cloth-dusted paper can be read from (judgement: 300 letters).
    #[must_use]
    pub fn of(address: &str) -> Option<Code> {
        const LONGEST: usize = 300;
        if address.is_empty() || address.len() > LONGEST {
            return None;
        }
        let code = QrCode::with_error_correction_level(address, EcLevel::M).ok()?;
        let width = code.width();
        let colors = code.to_colors();
        let mut path = String::new();
        for (y, row) in colors.chunks(width.max(1)).enumerate() {
            let mut x = 0;
            for run in row.chunk_by(|one, other| one == other) {
                if run.first() == Some(&Color::Dark) {
                    path.push_str(&format!("M{} {}h{}v1h-{}z", x + QUIET, y + QUIET, run.len(), run.len()));
                }
                x += run.len();
            }
        }
        Some(Code { address: address.into(), side: width + 2 * QUIET, path })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_code_has_its_three_corners_and_its_quiet_zone() {
        let code = Code::of("http://workroom.local:4780/orders/2026-0147/B").unwrap();
        // A finder pattern is 7 modules wide and stands in the top left and top right corner.
        assert!(code.path.starts_with("M4 4h7v1h-7z"));
        let right = code.side - QUIET - 7;
        assert!(code.path.contains(&format!("M{right} 4h7v1h-7z")));
        assert_eq!((code.side - 2 * QUIET - 17) % 4, 0);
        assert_eq!(Code::of(""), None);
        assert_eq!(Code::of(&"a".repeat(301)), None);
    }
}
