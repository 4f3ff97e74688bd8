//! Keys inside the book. People never see them: they see an order number and a letter.

use std::fmt;

macro_rules! id {
    ($($(#[$doc:meta])* $name:ident;)+) => {$(
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub struct $name(i64);

        impl $name {
            /// The id of this number.
            #[must_use]
            pub const fn new(id: i64) -> Self {
                $name(id)
            }

            /// The number of this id.
            #[must_use]
            pub const fn get(self) -> i64 {
                self.0
            }
        }

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                self.0.fmt(f)
            }
        }
    )+};
}

id! {
    /// A person who works in the shop.
    PersonId;
    /// A client: who pays, who is measured, or both.
    ClientId;
    /// A dated set of measures.
    SetId;
    /// A standing correction.
    CorrectionId;
    /// An order.
    OrderId;
    /// A garment of an order.
    GarmentId;
    /// A move of a garment from one stage to another.
    MoveId;
    /// A payment.
    PaymentId;
    /// A charge line.
    ChargeId;
    /// A quote.
    QuoteId;
    /// A record of what was cut.
    CutId;
    /// An accepted lay.
    LayId;
    /// An issued paper.
    PaperId;
    /// A fitting that was arranged.
    FittingId;
    /// A style of the style book.
    StyleId;
    /// One version of a style.
    StyleVersionId;
    /// A cloth of the shop.
    ClothId;
    /// A length of the shop's cloth that lies there by itself.
    ClothLengthId;
    /// Something that came to a length of cloth, or went from it.
    ClothMoveId;
    /// One action of a person.
    ActionId;
}
