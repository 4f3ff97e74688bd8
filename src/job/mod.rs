//! Where facts and cores meet, each joint by itself, so that a list page never
//! drafts or lays.
//!
//! `drafted` asks a style for a garment's draft; `used` says which measures it
//! stands on and how far to trust them; `laid` lays the draft on its cloth, `accepted` brings
//! back the lay that was accepted as long as it serves, `joint` lays several garments on one
//! cloth, `suffices` asks whether the cloth that is there will do; `priced` adds up what it
//! costs; `planned` turns garments into work and days; `shopping` says what cloth the
//! garments still to be cut need, and what of it is to be bought.
//! What was worked out becomes a fact in four places only, all in `kept`: a quote,
//! a cut record, an accepted lay, an issued paper. Everything here is pure: rows go
//! in, values come out, the day is an argument.

mod accepted;
mod drafted;
mod joint;
mod kept;
mod laid;
mod matching;
mod outlines;
mod planned;
mod priced;
mod shopping;
mod suffices;
mod tried;
mod used;

pub use accepted::{accepted, accepted_jointly};
pub use drafted::{applied, correction, drafted, input, reads};
pub use joint::{Joined, joint};
pub use kept::{accepted_lay, cut_record, quote, receipt};
pub use laid::{
    Laid, WidthNeed, bolt, cloth_in, cloth_job, cloth_of, cloths, enough, enough_by_width, facts_of, laid, lay_job,
    needs_by_width, needs_of_by_width, selling, usual_widths,
};
pub use planned::{OpenGarment, USUAL_MINUTES, calendar, minutes, minutes_or_usual, planned, rules, waits, work};
pub use priced::{PriceError, PriceLine, Priced, cloth_cost, deposit, even_price, priced};
pub use shopping::{
    AcceptedFor, ClothNeed, Shopping, ShoppingGroup, ShoppingLine, Supply, Wanting, cloth_needs, shopping,
};
pub use suffices::{Suffices, Way, suffices};
pub use tried::{Tried, is_for, tried};
pub use used::{Mark, UsedMeasure, used};
