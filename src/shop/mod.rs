//! Facts of the shop: people, clients, measures, orders, garments, stages,
//! money, styles. Plain values without behaviour beyond what a fact implies.
//!
//! `shop` knows lengths (`measure`) and days (`chrono`), no SQL, no page and no
//! clock. What can be worked out (drafts, lays, plans) is not here; what was
//! promised, cut or printed is. A row that people edit carries a `version`; a
//! row that is only ever added to does not.

#[macro_use]
mod keyed;

mod allowances;
mod audit;
mod charge;
mod client;
mod cloth;
mod correction;
mod currency;
mod cut;
mod dimension;
mod fitting;
mod garment;
mod ids;
mod lay;
mod measures;
mod money;
mod order;
mod paper;
mod payment;
mod person;
mod quote;
mod settings;
mod stage;
mod stock;
mod style;

pub use allowances::{Allowances, baldt_1916, common_practice};
pub use audit::{Action, Change};
pub use charge::{Charge, ChargeFacts, ChargeKind};
pub use client::{Client, ClientFacts, Wearer};
pub use cloth::{ClothFacts, LiningFacts, LiningKind, MOST_LENGTHS, MOST_SHRINKAGE, MOST_SKEW, Nap, PricedBy};
pub use correction::{Correction, CorrectionEnd, CorrectionFacts, MOST_CORRECTED, SeenOn};
pub use currency::{Currency, CurrencyError};
pub use cut::{CutCorrection, CutRecord};
pub use dimension::{OwnDimension, OwnDimensionKind};
pub use fitting::{Fitting, FittingDraft, FittingFacts, FittingState};
pub use garment::{AsAgreed, Garment, GarmentFacts, Letter, WaitHours, WorkMinutes};
pub use ids::{
    ActionId, ChargeId, ClientId, ClothId, ClothLengthId, ClothMoveId, CorrectionId, CutId, FittingId, GarmentId,
    LayId, MoveId, OrderId, PaperId, PaymentId, PersonId, QuoteId, SetId, StyleId, StyleVersionId,
};
pub use lay::{AcceptedLay, AcceptedPlacement, ClothOf};
pub use measures::{Body, BodyValue, MeasureSet, Reading, SetFacts, Source, kept_or_read};
pub use money::{Money, MoneyError, read_money};
pub use order::{Order, OrderFacts, OrderNumber, OrderNumberError, Standing};
pub use paper::{IssuedPaper, PaperFacts, PaperKind};
pub use payment::{Account, Payment, PaymentFacts, PaymentKind};
pub use person::Person;
pub use quote::{Quote, QuoteFacts};
pub use settings::{SellingStep, Settings, SheetSize};
pub use stage::{Stage, StageMove};
pub use stock::{Cloth, ClothLength, ClothMove, ClothMoveKind, Held, LengthFacts, StockFacts};
pub use style::{BookText, Style, StyleSource, StyleVersion, style_key};
