//! A style tried on a client's body: does it draft there, and does it sew?

use crate::draft::{DraftError, Style};
use crate::shop::{Body, ClientId, GarmentFacts, Settings, Wearer};

/// What came of it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Tried {
    /// It drafts and every check holds; the values that were assumed, by key.
    Holds {
        /// Keys of the assumed body dimensions.
        assumed: Vec<String>,
    },
    /// It drafts and would not sew.
    Breaks {
        /// What does not hold, and by how much.
        broken: Vec<(String, String)>,
        /// Keys of the assumed body dimensions.
        assumed: Vec<String>,
    },
    /// It cannot be drafted, in words.
    Refused(String),
    /// Measures are still to be taken.
    Lacks {
        /// Keys of the body dimensions.
        keys: Vec<String>,
    },
}

/// The style on this body, with its usual choices.
#[must_use]
pub fn tried(style: &Style, client: ClientId, body: &Body, settings: &Settings) -> Tried {
    match super::drafted(style, &GarmentFacts::of(client, ""), body, settings) {
        Ok(draft) => {
            let assumed = draft.assumed.into_iter().map(|assumed| assumed.key).collect();
            let broken: Vec<(String, String)> =
                draft.truths.into_iter().filter(|truth| !truth.held).map(|truth| (truth.what, truth.found)).collect();
            if broken.is_empty() { Tried::Holds { assumed } } else { Tried::Breaks { broken, assumed } }
        }
        Err(DraftError::Missing { keys, .. }) => Tried::Lacks { keys },
        Err(why) => Tried::Refused(why.to_string()),
    }
}

/// Whether a style is for this wearer; whoever is not said to be a woman, a man or a child may
/// wear anything.
#[must_use]
pub fn is_for(style: &Style, wearer: Wearer) -> bool {
    match (style.wearer(), wearer) {
        ("anyone", _) | (_, Wearer::Unsaid) => true,
        (who, Wearer::Woman) => who == "women",
        (who, Wearer::Man) => who == "men",
        (who, Wearer::Child) => who == "children",
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::draft::BOOK;
    use crate::measure::Length;
    use crate::shop::{BodyValue, Currency, SetId, Source};

    fn body(measures: &[(&str, i64)]) -> Body {
        let mut body = Body::default();
        for (key, inches) in measures {
            let value = BodyValue {
                length: Length::inches(*inches, 0),
                typed: inches.to_string(),
                day: chrono::NaiveDate::default(),
                source: Source::Tape,
                set: SetId::new(1),
            };
            body.values.insert((*key).into(), value);
        }
        body
    }

    fn on(text: &str, measures: &[(&str, i64)]) -> Tried {
        let settings = Settings::before_first_run(Currency::new("EUR").unwrap());
        tried(&Style::read(text).unwrap(), ClientId::new(1), &body(measures), &settings)
    }

    #[test]
    fn each_outcome_is_told_apart() {
        let straight = BOOK.iter().find(|style| style.key == "straight_skirt").unwrap().text;
        let assumed = vec!["waist_to_hip".to_string()];
        assert_eq!(on(straight, &[("waist_girth", 30), ("hip_girth", 40)]), Tried::Holds { assumed });
        assert_eq!(on(straight, &[("waist_girth", 30)]), Tried::Lacks { keys: vec!["hip_girth".into()] });
        assert!(matches!(on(straight, &[("waist_girth", 20), ("hip_girth", 60)]), Tried::Refused(_)));
        let apron = BOOK.iter().find(|style| style.key == "apron").unwrap().text;
        let spoilt = apron.replace("ease = 'hip_girth * cover - hip_girth'", "ease = 'hip_girth * 0.5 - hip_girth'");
        match on(&spoilt, &[("hip_girth", 40)]) {
            Tried::Breaks { broken, .. } => assert!(!broken[0].1.is_empty(), "{broken:?}"),
            other => panic!("{other:?}"),
        }
    }

    #[test]
    fn a_womans_style_is_not_tried_on_a_man() {
        let style = Style::read(BOOK.iter().find(|style| style.key == "straight_skirt").unwrap().text).unwrap();
        let who = [Wearer::Woman, Wearer::Man, Wearer::Child, Wearer::Unsaid];
        assert_eq!(who.map(|wearer| is_for(&style, wearer)), [true, false, false, true]);
    }
}
