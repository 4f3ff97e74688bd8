//! What a garment comes to: cloth, work and extras, against what was agreed.
//!
//! Whole minor units throughout. Each line is rounded once, to the nearest coin,
//! halves away from nought; the total is the plain sum of the lines as shown.

use crate::measure::{Length, Showing};
use crate::shop::{Charge, ChargeKind, ClothFacts, GarmentFacts, Money, PricedBy, Settings, WorkMinutes};

/// A price with the sum that gives it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Priced {
    /// The lines in order.
    pub lines: Vec<PriceLine>,
    /// The sum of the lines.
    pub reckoned: Money,
    /// What was agreed, if anything was.
    pub agreed: Option<Money>,
    /// Agreed less reckoned: below nought when the work is worth more than it brings.
    pub margin: Option<Money>,
    /// What the agreed (else reckoned) price leaves for the work once cloth and extras are paid.
    pub left_for_work: Money,
    /// The same by the hour; nothing when no minutes are reckoned.
    pub earned_hour: Option<Money>,
    /// The deposit to ask: the shop's share of the price.
    pub deposit: Money,
    /// What the sum leaves out, in words: no cloth price, no rate.
    pub left_out: Vec<String>,
}

impl Priced {
    /// The price: as agreed, else as reckoned.
    #[must_use]
    pub fn price(&self) -> Money {
        self.agreed.unwrap_or(self.reckoned)
    }

    /// The sum in one line: `cloth 2 1/4 yd at 8.00 a yard = 18.00 + work 6 h 15 min at 9.00 = 56.25; 74.25 EUR`.
    #[must_use]
    pub fn words(&self) -> String {
        let lines: Vec<String> =
            self.lines.iter().map(|line| format!("{} = {}", line.words, line.money.number())).collect();
        let sum = if lines.is_empty() {
            self.reckoned.to_string()
        } else {
            format!("{}; {}", lines.join(" + "), self.reckoned)
        };
        match self.agreed {
            Some(agreed) if agreed != self.reckoned => format!("{sum}; agreed {agreed}"),
            _ => sum,
        }
    }
}

/// One line of a price.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PriceLine {
    /// What it is for, with its sum: `cloth 2 1/4 yd at 8.00 a yard`.
    pub words: String,
    /// What it comes to.
    pub money: Money,
}

/// Why there is no price.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum PriceError {
    /// Amounts in two currencies.
    #[error("{money} is not in {currency}, the currency of this shop. Write the amount in {currency}.")]
    Currency {
        /// The amount.
        money: Money,
        /// The shop's currency code.
        currency: String,
    },
    /// Beyond any price.
    #[error("{what} comes to more than can be reckoned. Check the figures it is made from.")]
    TooMuch {
        /// Which line.
        what: String,
    },
}

/// The price of a garment from the length of cloth to buy, the minutes of work and
/// its own extras and discounts. A client's own cloth costs nothing; cloth already
/// bought costs what was bought. Tax is the order's, not the garment's.
///
/// # Errors
/// [`PriceError`] naming the amount at fault.
pub fn priced(
    garment: &GarmentFacts,
    to_buy: Option<Length>,
    minutes: WorkMinutes,
    extras: &[Charge],
    settings: &Settings,
) -> Result<Priced, PriceError> {
    let mut sum = Sum { settings, lines: Vec::new(), left_out: Vec::new() };
    sum.cloth(garment, to_buy)?;
    let for_others = extras.iter().filter(|charge| charge.facts.kind != ChargeKind::Tax);
    for charge in for_others {
        let money = Money::new(charge.counts(), sum.own(charge.facts.money)?.currency());
        sum.lines.push(PriceLine { words: charge.facts.words.clone(), money });
    }
    let materials = sum.total()?;
    sum.work(minutes)?;
    let reckoned = sum.total()?;
    let agreed = garment.price.map(|money| sum.own(money)).transpose()?;
    let price = agreed.unwrap_or(reckoned);
    let less = |one: Money, other: Money| one.minus(other).ok_or_else(|| too_much("The margin"));
    let left_for_work = less(price, materials)?;
    Ok(Priced {
        margin: agreed.map(|agreed| less(agreed, reckoned)).transpose()?,
        earned_hour: left_for_work.share(60, i64::from(minutes.total())),
        deposit: deposit(price, settings)?,
        left_for_work,
        reckoned,
        agreed,
        lines: sum.lines,
        left_out: sum.left_out,
    })
}

/// The deposit to ask for a price: the shop's per cent of it, to the nearest coin,
/// halves up.
///
/// # Errors
/// [`PriceError::TooMuch`] beyond any price.
pub fn deposit(price: Money, settings: &Settings) -> Result<Money, PriceError> {
    price.share(i64::from(settings.deposit_percent), 100).ok_or_else(|| too_much("The deposit"))
}

/// What a length of this cloth costs at its written price; `None` without a price, and
/// beyond any price.
#[must_use]
pub fn cloth_cost(cloth: &ClothFacts, length: Length) -> Option<Money> {
    let (count, parts, _) = measured_out(length, cloth.priced_by)?;
    cloth.price?.share(count, parts)
}

/// The price by the yard or metre at which a cloth of another width costs the same:
/// what is needed `here` at `price`, against what is needed `there`. Dearer than that,
/// the cloth of this width is the cheaper one. `None` where nothing is needed there.
#[must_use]
pub fn even_price(price: Money, here: Length, there: Length) -> Option<Money> {
    if there <= Length::ZERO { None } else { price.share(here.nm(), there.nm()) }
}

/// A price as it is being added up.
struct Sum<'a> {
    settings: &'a Settings,
    lines: Vec<PriceLine>,
    left_out: Vec<String>,
}

impl Sum<'_> {
    fn cloth(&mut self, garment: &GarmentFacts, to_buy: Option<Length>) -> Result<(), PriceError> {
        let cloth = &garment.cloth;
        if cloth.brought {
            return Ok(());
        }
        let (Some(price), Some(length)) = (cloth.price, cloth.length.or(to_buy)) else {
            let why = if cloth.price.is_none() {
                "the cloth, which has no price yet"
            } else {
                "the cloth, whose length is not known yet"
            };
            self.left_out.push(why.into());
            return Ok(());
        };
        let price = self.own(price)?;
        let (count, parts, written) = measured_out(length, cloth.priced_by).ok_or_else(|| too_much("The cloth"))?;
        let money = price.share(count, parts).ok_or_else(|| too_much("The cloth"))?;
        let words = format!("cloth {written} at {} {}", price.number(), cloth.priced_by.words());
        self.lines.push(PriceLine { words, money });
        Ok(())
    }

    fn work(&mut self, minutes: WorkMinutes) -> Result<(), PriceError> {
        let rate = self.own(self.settings.hour_rate)?;
        if rate.minor() == 0 {
            self.left_out.push("the work, for which the shop has no rate yet".into());
            return Ok(());
        }
        let total = minutes.total();
        let money = rate.share(i64::from(total), 60).ok_or_else(|| too_much("The work"))?;
        self.lines.push(PriceLine { words: format!("work {} at {} an hour", hours(total), rate.number()), money });
        Ok(())
    }

    fn own(&self, money: Money) -> Result<Money, PriceError> {
        let currency = self.settings.currency;
        if money.currency() == currency {
            Ok(money)
        } else {
            Err(PriceError::Currency { money, currency: currency.to_string() })
        }
    }

    fn total(&self) -> Result<Money, PriceError> {
        let nought = Money::nought(self.settings.currency);
        let total = self.lines.iter().try_fold(nought, |total, line| total.plus(line.money));
        total.ok_or_else(|| too_much("The whole"))
    }
}

fn too_much(what: &str) -> PriceError {
    PriceError::TooMuch { what: what.into() }
}

/// A length of cloth in the measure that it is priced by, as so many parts of a whole
/// one, and as it is written: `(18, 8, "2 1/4 yd")`, `(241, 100, "2.41 yd")`. What is
/// written is what is priced, so that the sum multiplies out for whoever checks it: eighths
/// of a yard where the length is that, else hundredths, to the nearest one. `None` beyond any length.
fn measured_out(length: Length, by: PricedBy) -> Option<(i64, i64, String)> {
    let whole = by.length();
    let unit = match by {
        PricedBy::Yard => "yd",
        PricedBy::Metre => "m",
    };
    let in_parts = |parts: i64| {
        let (nm, one) = (i128::from(length.nm()) * i128::from(parts), i128::from(whole.nm()));
        let nearest = (nm + one / 2).div_euclid(one);
        Some((i64::try_from(nearest).ok()?, nearest * one == nm))
    };
    let (eighths, exact) = in_parts(8)?;
    if by == PricedBy::Yard && exact {
        // Eighths of a yard read like eighths of an inch.
        let inches = Length::INCH.nm().checked_mul(eighths)? / 8;
        return Some((eighths, 8, format!("{} {unit}", Showing::EIGHTHS.number(Length::from_nm(inches)))));
    }
    let (hundredths, _) = in_parts(100)?;
    let text = format!("{}.{:02}", hundredths / 100, hundredths % 100);
    Some((hundredths, 100, format!("{} {unit}", text.trim_end_matches('0').trim_end_matches('.'))))
}

/// `6 h 15 min`, `40 min`.
fn hours(minutes: u32) -> String {
    match (minutes / 60, minutes % 60) {
        (0, rest) => format!("{rest} min"),
        (hours, 0) => format!("{hours} h"),
        (hours, rest) => format!("{hours} h {rest} min"),
    }
}
