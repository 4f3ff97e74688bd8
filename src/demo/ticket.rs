//! Alterations and repairs of what people bring: work without a draft.

use crate::shop::WorkMinutes;

/// What is done to a garment that is there already.
#[derive(Clone, Copy, Debug)]
pub(super) struct Ticket {
    /// What it is.
    pub(super) what: &'static str,
    /// As it was agreed.
    pub(super) agreed: &'static str,
    /// Minutes to unpick and cut, to sew, to finish.
    pub(super) minutes: [u32; 3],
    /// The price from the list on the wall, in cedis.
    pub(super) price: i64,
}

const fn ticket(what: &'static str, agreed: &'static str, minutes: [u32; 3], price: i64) -> Ticket {
    Ticket { what, agreed, minutes, price }
}

/// The list on the wall (times and prices: judgement).
pub(super) const TICKETS: [Ticket; 10] = [
    ticket("Trousers, hem up", "Up 1 1/2 in, blind stitch; pinned on her.", [10, 20, 10], 35),
    ticket("Dress, side seams in", "In 1/2 in each side from armhole to hip.", [20, 40, 15], 70),
    ticket("Zip, new", "Navy, 8 in; old one too short.", [15, 30, 10], 55),
    ticket("Coat, new lining", "Satin from our shelf; pocket linings stay.", [60, 210, 40], 320),
    ticket("Skirt, waist out", "Out 3/4 in at the side seams, band pieced.", [20, 45, 15], 75),
    ticket("Blouse, sleeves shorter", "Up 1 in at the cuff.", [15, 45, 15], 70),
    ticket("Jacket, torn pocket", "Patch from the inner facing.", [10, 30, 10], 45),
    ticket("Curtains for the cabin", "Two pairs, 34 in drop, tape on top.", [40, 90, 30], 160),
    ticket("Sunday dress, hem down", "Down all there is; false hem inside.", [15, 40, 20], 65),
    ticket("Shirt, collar turned", "Turn and restitch; keep the buttons.", [15, 40, 10], 60),
];

impl Ticket {
    /// The one in this place, round about.
    pub(super) fn at(place: usize) -> Ticket {
        let [first, ..] = TICKETS;
        TICKETS.get(place % TICKETS.len()).copied().unwrap_or(first)
    }

    /// Its minutes as a garment has them.
    pub(super) const fn work(self) -> WorkMinutes {
        let [cut, sew, finish] = self.minutes;
        WorkMinutes { cut, sew, fit: 0, finish }
    }
}
