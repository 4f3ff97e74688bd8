//! The shop's settings: three questions at first run, the rest with good defaults.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use crate::measure::{Length, Showing};

use super::{Allowances, Currency, Money, common_practice};

keyed! {
    /// The step in which cloth is sold.
    SellingStep {
        /// By the eighth of a yard (4 1/2 in).
        EighthYard = "eighth_yard", "1/8 yd";
        /// By the quarter of a yard (9 in).
        QuarterYard = "quarter_yard", "1/4 yd";
        /// By ten centimetres.
        TenCentimetres = "ten_cm", "10 cm";
        /// By the half metre.
        HalfMetre = "half_metre", "50 cm";
    }
}

impl SellingStep {
    /// The step as a length.
    #[must_use]
    pub const fn length(self) -> Length {
        match self {
            SellingStep::EighthYard => Length::inches(4, 4),
            SellingStep::QuarterYard => Length::inches(9, 0),
            SellingStep::TenCentimetres => Length::from_nm(100_000_000),
            SellingStep::HalfMetre => Length::from_nm(500_000_000),
        }
    }
}

keyed! {
    /// The paper that the shop prints on.
    SheetSize {
        /// ISO 216 A4.
        A4 = "a4", "A4";
        /// US Letter.
        Letter = "letter", "Letter";
    }
}

/// The settings as kept: one row.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Settings {
    /// Counts the edits of this row.
    pub version: i64,
    /// Whether the questions of the first run were answered.
    pub opened: bool,
    /// The name over the door.
    pub shop_name: String,
    /// How lengths are taken and shown.
    pub showing: Showing,
    /// The shop's one currency.
    pub currency: Currency,
    /// The time zone by its IANA name: `Africa/Accra`.
    pub zone: String,
    /// Working minutes of each weekday, Monday first.
    pub minutes: [u32; 7],
    /// Days on which nobody works, with the reason.
    pub closed: BTreeMap<NaiveDate, String>,
    /// Seam and hem allowances by name.
    pub allowances: Allowances,
    /// What an hour of work costs.
    pub hour_rate: Money,
    /// Share of the price asked as deposit, percent.
    pub deposit_percent: u8,
    /// Share of the hours that is promised away, percent; the rest is for walk-ins and failures.
    pub promise_percent: u8,
    /// Cloth lost at each end to square it.
    pub squaring: Length,
    /// Selvedge on each side that cannot be used.
    pub selvedge: Length,
    /// The step in which cloth is sold.
    pub selling_step: SellingStep,
    /// Shrinkage reckoned with for unwashed cloth, in thousandths of the length and of the width.
    pub shrink_thousandths: u32,
    /// Paper for job sheets.
    pub sheet: SheetSize,
    /// The address under which the shop's devices reach bodkin, for codes on paper.
    pub base_url: String,
}

impl Settings {
    /// What a shop has before its owner says anything: inches, Monday to Saturday.
    #[must_use]
    pub fn before_first_run(currency: Currency) -> Settings {
        Settings {
            version: 1,
            opened: false,
            shop_name: String::new(),
            showing: Showing::EIGHTHS,
            currency,
            zone: "UTC".into(),
            // Six hours at the machine on weekdays, four on Saturday: the counter takes the rest (judgement).
            minutes: [360, 360, 360, 360, 360, 240, 0],
            closed: BTreeMap::new(),
            allowances: common_practice(),
            hour_rate: Money::nought(currency),
            // "Often half": common practice.
            deposit_percent: 50,
            // Promise on 70 to 75 % of the hours (a cutter's judgement); the careful end.
            promise_percent: 70,
            // An inch at each end (common practice; up to three when the cloth is skewed).
            squaring: Length::INCH,
            // Half an inch on each side (common practice).
            selvedge: Length::inches(0, 4),
            selling_step: SellingStep::QuarterYard,
            // Cotton 3 to 5 % (common practice); the lower end, since wax print takes 1 to 3 %.
            shrink_thousandths: 30,
            sheet: SheetSize::A4,
            base_url: String::new(),
        }
    }
}
