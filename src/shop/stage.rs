//! The stages of a garment, and every move between them.

use super::{GarmentId, MoveId, PersonId};

keyed! {
    /// How far a garment has come. Stages only wait or move; on hold and
    /// cancelled are standings of the order.
    Stage {
        /// Taken into the book.
        Booked = "booked", "booked";
        /// The cloth is here, measured.
        ClothIn = "cloth_in", "cloth in";
        /// Cut, marked and bundled.
        Cut = "cut", "cut";
        /// Tacked or part-sewn for the fitting.
        Tacked = "tacked", "tacked";
        /// Fitted on the client, corrections pinned.
        Fitted = "fitted", "fitted";
        /// Sewn through.
        Sewn = "sewn", "sewn";
        /// Hemmed, pressed, on the rail.
        Finished = "finished", "finished";
        /// Handed over.
        Collected = "collected", "collected";
    }
}

impl Stage {
    /// How many stages lie behind this one: booked 0, collected 7.
    #[must_use]
    pub const fn place(self) -> u8 {
        match self {
            Stage::Booked => 0,
            Stage::ClothIn => 1,
            Stage::Cut => 2,
            Stage::Tacked => 3,
            Stage::Fitted => 4,
            Stage::Sewn => 5,
            Stage::Finished => 6,
            Stage::Collected => 7,
        }
    }

    /// Whether a garment with this many planned fittings passes this stage:
    /// without a fitting it is neither tacked nor fitted.
    #[must_use]
    pub const fn is_passed(self, fittings: u8) -> bool {
        fittings > 0 || !matches!(self, Stage::Tacked | Stage::Fitted)
    }

    /// The next stage of a garment with this many planned fittings, if any is left.
    #[must_use]
    pub fn next(self, fittings: u8) -> Option<Stage> {
        Stage::ALL.iter().copied().find(|stage| *stage > self && stage.is_passed(fittings))
    }
}

/// One move of a garment; kept for good.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StageMove {
    /// Which move.
    pub id: MoveId,
    /// Which garment.
    pub garment: GarmentId,
    /// From this stage; `None` when it was booked.
    pub from: Option<Stage>,
    /// To this stage.
    pub to: Stage,
    /// Why; required when going back.
    pub reason: String,
    /// Who moved it.
    pub who: PersonId,
    /// When (UTC milliseconds).
    pub at_ms: i64,
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_garment_without_fittings_is_neither_tacked_nor_fitted() {
        assert_eq!(Stage::Cut.next(0), Some(Stage::Sewn));
        assert_eq!(Stage::Cut.next(1), Some(Stage::Tacked));
        assert_eq!(Stage::Collected.next(2), None);
    }

    #[test]
    fn keys_and_places_agree_with_the_order_of_the_stages() {
        for (place, stage) in Stage::ALL.iter().enumerate() {
            assert_eq!(usize::from(stage.place()), place);
            assert_eq!(Stage::from_key(stage.key()), Some(*stage));
        }
        assert_eq!(Stage::from_key("lost"), None);
    }
}
