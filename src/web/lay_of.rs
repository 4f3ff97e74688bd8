//! What is laid, as addresses name it: one cloth of a garment, or several garments on one cloth.

use std::collections::BTreeSet;

use axum::extract::{FromRequestParts, Query, RawPathParams};
use axum::http::request::Parts;

use crate::shop::{ClothOf, Letter, OrderNumber};

use super::fault::Fault;
use super::fields::Fields;
use super::path;
use super::writing;

/// What is laid.
#[derive(Clone, Debug)]
pub enum LayOf {
    /// One cloth of a garment: `/orders/2026-0147/B/cloth?of=lining`.
    Garment {
        /// Its order.
        number: OrderNumber,
        /// Its letter.
        letter: Letter,
        /// Which of its cloths.
        cloth: ClothOf,
    },
    /// Several garments on one cloth: `/cloth/joint?g=2026-0147/B&g=2026-0148/A&width=45`.
    Joint(Together),
}

/// What the address of a joint lay asks for.
#[derive(Clone, Debug)]
pub struct Together {
    /// The garments in the order in which they are numbered, each once.
    pub garments: Vec<(OrderNumber, Letter)>,
    /// What else is asked: `width`, `one_way`, `across`, `words`.
    pub fields: Fields,
}

impl<S: Send + Sync> FromRequestParts<S> for LayOf {
    type Rejection = Fault;

    async fn from_request_parts(parts: &mut Parts, state: &S) -> Result<LayOf, Fault> {
        let no_page = || Fault::NotFound("page");
        let Query(pairs) = Query::<Vec<(String, String)>>::try_from_uri(&parts.uri).map_err(|_| no_page())?;
        let named = RawPathParams::from_request_parts(parts, state).await.map_err(|_| no_page())?;
        let segment = |name: &str| named.iter().find(|(key, _)| *key == name).map(|(_, text)| text.to_string());
        let fields = Fields::of(pairs);
        match segment("number").zip(segment("letter")) {
            None => Ok(LayOf::Joint(Together::of(fields)?)),
            Some((number, letter)) => Ok(LayOf::Garment {
                number: path::order(&number)?,
                letter: path::letter(&letter)?,
                cloth: match fields.filled("of") {
                    None => ClothOf::Main,
                    Some(key) => ClothOf::from_key(key).ok_or(Fault::NotFound("cloth of a garment"))?,
                },
            }),
        }
    }
}

impl Together {
    fn of(fields: Fields) -> Result<Together, Fault> {
        let mut seen = BTreeSet::new();
        let mut garments = Vec::new();
        for text in fields.all("g") {
            let garment = path::garment(text).ok_or(Fault::NotFound("garment"))?;
            if seen.insert((garment.0, garment.1.to_string())) {
                garments.push(garment);
            }
        }
        Ok(Together { garments, fields })
    }

    /// The same as the end of an address.
    #[must_use]
    pub fn query(&self) -> String {
        let mut pairs: Vec<(&str, String)> =
            self.garments.iter().map(|(number, letter)| ("g", format!("{number}/{letter}"))).collect();
        for name in ["width", "one_way", "across"] {
            pairs.extend(self.fields.filled(name).map(|text| (name, text.to_string())));
        }
        let pairs: Vec<(&str, &str)> = pairs.iter().map(|(name, text)| (*name, text.as_str())).collect();
        writing::query(&pairs)
    }
}

impl LayOf {
    /// By what a search for it is held.
    #[must_use]
    pub fn key(&self) -> String {
        match self {
            LayOf::Garment { number, letter, cloth } => format!("{number}/{letter}/{}", cloth.key()),
            LayOf::Joint(together) => together.query(),
        }
    }

    /// Where its cloth page is.
    #[must_use]
    pub fn page(&self) -> String {
        match self {
            LayOf::Garment { number, letter, cloth } => format!("/orders/{number}/{letter}/cloth{}", of(*cloth)),
            LayOf::Joint(together) => format!("/cloth/joint?{}", together.query()),
        }
    }

    /// An address below it: `trying`, `trying/stop`, `accept`, `again`.
    #[must_use]
    pub fn below(&self, what: &str) -> String {
        match self {
            LayOf::Garment { number, letter, cloth } => format!("/orders/{number}/{letter}/cloth/{what}{}", of(*cloth)),
            LayOf::Joint(together) => format!("/cloth/joint/{what}?{}", together.query()),
        }
    }

    /// Where the lay itself is: `lay`, `lay.svg`, `lay.pdf`.
    #[must_use]
    pub fn lay(&self, what: &str) -> String {
        match self {
            LayOf::Garment { number, letter, cloth } => format!("/orders/{number}/{letter}/{what}{}", of(*cloth)),
            LayOf::Joint(_) => self.below(what),
        }
    }
}

/// The end of the address of one cloth; the main one needs none.
fn of(cloth: ClothOf) -> String {
    if cloth == ClothOf::Main { String::new() } else { format!("?of={}", cloth.key()) }
}

/// An address with one more thing asked of it.
#[must_use]
pub fn asking(address: &str, name: &str, value: &str) -> String {
    let sign = if address.contains('?') { '&' } else { '?' };
    format!("{address}{sign}{}", writing::query(&[(name, value)]))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn addresses_say_which_cloth_and_which_garments() {
        let (number, letter) = path::garment("2026-0147/B").unwrap();
        let main = LayOf::Garment { number, letter, cloth: ClothOf::Main };
        let lining = LayOf::Garment { number, letter, cloth: ClothOf::Lining };
        assert_eq!(main.below("trying"), "/orders/2026-0147/B/cloth/trying");
        assert_eq!(lining.lay("lay.svg"), "/orders/2026-0147/B/lay.svg?of=lining");
        assert_eq!(asking(&lining.lay("lay"), "paper", "a4"), "/orders/2026-0147/B/lay?of=lining&paper=a4");
        assert_ne!(main.key(), lining.key());
        let pairs = [("g", "2026-0147/B"), ("g", "2026-0147/B"), ("words", "x"), ("width", "45 in")];
        let fields = Fields::of(pairs.iter().map(|(name, text)| ((*name).into(), (*text).into())).collect());
        let joint = LayOf::Joint(Together::of(fields).unwrap());
        assert_eq!(joint.page(), "/cloth/joint?g=2026-0147%2FB&width=45%20in");
        assert_eq!(joint.lay("lay.pdf"), "/cloth/joint/lay.pdf?g=2026-0147%2FB&width=45%20in");
    }
}
