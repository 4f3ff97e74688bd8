//! What a tape does not say: how she stands and is built. Each note changes the
//! draft or shouts on the job sheet.

/// One figure note.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct FigureNote {
    /// The stored key: `low_shoulder_left`.
    pub key: &'static str,
    /// The words on the form and the sheet.
    pub words: &'static str,
    /// The note that cannot stand beside it, where there is one.
    pub against: Option<&'static str>,
}

const fn note(key: &'static str, words: &'static str, against: Option<&'static str>) -> FigureNote {
    FigureNote { key, words, against }
}

/// The figure notes, from the shoulder down.
const NOTES: &[FigureNote] = &[
    note("low_shoulder_left", "Left shoulder low", Some("low_shoulder_right")),
    note("low_shoulder_right", "Right shoulder low", Some("low_shoulder_left")),
    note("sloping_shoulders", "Sloping shoulders", Some("square_shoulders")),
    note("square_shoulders", "Square shoulders", Some("sloping_shoulders")),
    note("stooped", "Stooped", Some("erect")),
    note("erect", "Very erect", Some("stooped")),
    note("sway_back", "Hollow back", None),
    note("large_arm", "Large upper arm", None),
    note("full_abdomen", "Full abdomen", None),
    note("flat_seat", "Flat seat", Some("full_seat")),
    note("full_seat", "Full seat", Some("flat_seat")),
    note("high_hip_left", "Left hip high", Some("high_hip_right")),
    note("high_hip_right", "Right hip high", Some("high_hip_left")),
];

/// The figure notes, from the shoulder down.
#[must_use]
pub const fn figure_notes() -> &'static [FigureNote] {
    NOTES
}

/// The figure note of this key.
#[must_use]
pub fn figure_note(key: &str) -> Option<&'static FigureNote> {
    NOTES.iter().find(|note| note.key == key)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_stands_against_a_note_is_a_note_and_says_the_same_of_it() {
        for note in figure_notes() {
            if let Some(other) = note.against {
                assert_eq!(figure_note(other).and_then(|other| other.against), Some(note.key));
            }
        }
        assert_eq!(figure_note("tall"), None);
    }
}
