//! Writing down a garment: what it is, its choices, cloth, price and what was agreed.

use crate::measure::Length;
use crate::shop::{AsAgreed, ClientId, Cloth, GarmentFacts, PricedBy, SellingStep, StyleVersion, read_money};

use super::choices::{self, Choice, ChoiceField};
use super::desk::Desk;
use super::fields::{Field, Fields, Notes};
use super::garment_cloth::{self, ClothForm};

/// What is offered to choose from.
#[derive(Clone, Debug, Default)]
pub struct Offered {
    /// The style's choices.
    pub choices: Vec<Choice>,
    /// The shop's cloths.
    pub shelf: Vec<Cloth>,
}

/// The fields of a garment, ready to show.
pub struct GarmentForm {
    /// What it is.
    pub what: Field,
    /// Who wears it, when that is not who pays.
    pub wearer: Field,
    /// The style's choices.
    pub choices: Vec<ChoiceField>,
    /// The price.
    pub price: Field,
    /// Fittings planned.
    pub fittings: Field,
    /// The cloth.
    pub cloth: ClothForm,
    /// Neck, sleeve, opening, other.
    pub agreed: [(Field, &'static str, &'static str); 3],
    /// Anything else agreed.
    pub other: Field,
    /// The bag number.
    pub bag: Field,
    /// Where it lies or hangs.
    pub place: Field,
}

impl GarmentForm {
    /// The form as sent.
    #[must_use]
    pub fn sent(fields: &Fields, notes: &Notes, offered: &Offered, desk: &Desk) -> GarmentForm {
        let field = |name: &str| Field::sent(name, fields, notes);
        GarmentForm {
            what: field("what"),
            wearer: field("wearer"),
            choices: choices::rows(&offered.choices, fields, notes, desk.showing()),
            price: field("price"),
            fittings: field("fittings"),
            cloth: ClothForm::sent(fields, notes, &offered.shelf, desk),
            agreed: [
                (field("neck"), "Neck", "Depth and shape, front and back."),
                (field("sleeve"), "Sleeve", ""),
                (field("opening"), "Opening", "Zip, buttons, side."),
            ],
            other: field("other"),
            bag: field("bag"),
            place: field("place"),
        }
    }

    /// How many fittings may be planned.
    #[must_use]
    pub fn fitting_counts(&self) -> Vec<(String, String)> {
        ["none", "one", "two", "three"]
            .iter()
            .enumerate()
            .map(|(count, words)| (count.to_string(), (*words).into()))
            .collect()
    }

    /// The choices that are talked about at the counter.
    #[must_use]
    pub fn first_choices(&self) -> Vec<&ChoiceField> {
        self.choices.iter().filter(|choice| !choice.aside).collect()
    }

    /// Those that are seldom changed.
    #[must_use]
    pub fn other_choices(&self) -> Vec<&ChoiceField> {
        self.choices.iter().filter(|choice| choice.aside).collect()
    }

    /// Whether one of the others needs another look, or was chosen.
    #[must_use]
    pub fn open_choices(&self) -> bool {
        choices::any_to_show(&self.choices)
    }

    /// Whether anything of neck, sleeve and opening is written or noted.
    #[must_use]
    pub fn open_agreed(&self) -> bool {
        self.agreed.iter().any(|(field, _, _)| !field.value.is_empty() || field.note.is_some())
    }
}

/// The fields of a new garment of this style.
#[must_use]
pub fn fresh(label: &str, fittings: u8) -> Vec<(String, String)> {
    vec![("what".into(), label.into()), ("fittings".into(), fittings.to_string())]
}

/// The fields of a garment as kept.
#[must_use]
pub fn typed(facts: &GarmentFacts, desk: &Desk) -> Fields {
    let mut pairs: Vec<(String, String)> = [
        ("what", facts.what.clone()),
        ("price", facts.price.map(|price| price.number()).unwrap_or_default()),
        ("fittings", facts.fittings.to_string()),
        ("neck", facts.agreed.neck.clone()),
        ("sleeve", facts.agreed.sleeve.clone()),
        ("opening", facts.agreed.opening.clone()),
        ("other", facts.agreed.other.clone()),
        ("bag", facts.bag.clone()),
        ("place", facts.place.clone()),
    ]
    .map(|(name, text)| (name.to_string(), text))
    .into();
    pairs.extend(choices::typed(&facts.choices));
    pairs.extend(garment_cloth::typed(&facts.cloth, &facts.linings, desk));
    Fields::of(pairs)
}

/// Reads a garment of this style for this wearer, over what was kept before (or a new one).
pub fn read(
    fields: &Fields,
    notes: &mut Notes,
    offered: &Offered,
    style: Option<&StyleVersion>,
    before: GarmentFacts,
    desk: &Desk,
) -> GarmentFacts {
    let what = notes.line(fields, "what");
    if what.is_empty() {
        notes.add("what", "Write what is made, such as “blue wrap skirt”.");
    }
    let price = fields.filled("price").and_then(|text| notes.take("price", read_money(text, desk.settings.currency)));
    let fittings = match fields.text("fittings") {
        "" => before.fittings,
        text => text.parse().ok().filter(|count| *count <= 3).unwrap_or_else(|| {
            notes.add("fittings", format!("“{text}” fittings cannot be planned. Choose none to three."));
            0
        }),
    };
    GarmentFacts {
        what,
        style: style.map(|version| version.id),
        choices: choices::read(&offered.choices, fields, notes, desk.showing()),
        cloth: garment_cloth::read(fields, notes, &before.cloth, &offered.shelf, desk),
        linings: garment_cloth::read_linings(fields, notes, &before.linings, &offered.shelf, desk),
        price,
        fittings,
        bag: notes.line(fields, "bag"),
        place: notes.line(fields, "place"),
        agreed: AsAgreed {
            neck: notes.line(fields, "neck"),
            sleeve: notes.line(fields, "sleeve"),
            opening: notes.line(fields, "opening"),
            other: notes.note(fields, "other"),
        },
        ..before
    }
}

/// A new garment for this wearer.
#[must_use]
pub fn new_for(wearer: ClientId) -> GarmentFacts {
    GarmentFacts::of(wearer, "")
}

/// A length of cloth as it is sold: `2 3/4 yd`, `2.5 m`.
#[must_use]
pub fn sold_length(length: Length, desk: &Desk) -> String {
    let (by, unit) = sold_by(desk);
    let one = by.length();
    if by == PricedBy::Metre {
        let hundredths = length.rounded_to(Length::CENTIMETRE).nm() / Length::CENTIMETRE.nm();
        let text = format!("{}.{:02}", hundredths / 100, hundredths % 100);
        return format!("{} {unit}", text.trim_end_matches('0').trim_end_matches('.'));
    }
    let eighth = Length::from_nm(one.nm() / 8);
    if length.rounded_to(eighth) != length {
        return desk.showing().with_unit(length);
    }
    let eighths = length.nm() / eighth.nm();
    // Eighths of a yard read like eighths of an inch.
    let text = crate::measure::Showing::EIGHTHS.number(Length::inches(0, eighths));
    format!("{text} {unit}")
}

/// By what the shop buys cloth, and the unit in short.
#[must_use]
pub fn sold_by(desk: &Desk) -> (PricedBy, &'static str) {
    match desk.settings.selling_step {
        SellingStep::EighthYard | SellingStep::QuarterYard => (PricedBy::Yard, "yd"),
        SellingStep::TenCentimetres | SellingStep::HalfMetre => (PricedBy::Metre, "m"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::shop::{ClothFacts, Currency, LiningFacts, LiningKind, Money, Nap, Settings};

    fn desk() -> Desk {
        Desk::at(Settings::before_first_run(Currency::new("GHS").unwrap()), 1_777_800_000_000)
    }

    fn sent(pairs: &[(&str, &str)]) -> (GarmentFacts, Notes) {
        let fields = Fields::of(pairs.iter().map(|(name, text)| ((*name).into(), (*text).into())).collect());
        let mut notes = Notes::default();
        let facts = read(&fields, &mut notes, &Offered::default(), None, new_for(ClientId::new(1)), &desk());
        (facts, notes)
    }

    #[test]
    fn cloth_is_read_in_yards_unless_it_says_otherwise() {
        let (facts, notes) =
            sent(&[("what", "skirt"), ("length", "2 3/4"), ("width", "45"), ("washed", "no"), ("nap", "one")]);
        assert!(notes.is_empty(), "{notes:?}");
        assert_eq!(facts.cloth.length, Some(Length::inches(99, 0)));
        assert_eq!(facts.cloth.width, Some(Length::inches(45, 0)));
        assert_eq!((facts.cloth.washed, facts.cloth.nap), (Some(false), Nap::One));
        assert_eq!(sent(&[("what", "skirt"), ("length", "250 cm")]).0.cloth.length, Some(Length::tenths_of_mm(25000)));
        assert_eq!(sold_length(Length::inches(99, 0), &desk()), "2 3/4 yd");
    }

    #[test]
    fn remnants_are_read_one_after_another() {
        let remnants = |text| sent(&[("what", "skirt"), ("lengths", text)]).0.cloth.lengths;
        let two = vec![Length::inches(49, 4), Length::inches(27, 0)];
        assert_eq!(remnants("1 3/8 yd and 3/4 yd"), two);
        assert_eq!(remnants("1 3/8, 3/4"), two);
        assert_eq!(remnants("49 1/2 in; 27 in"), two);
        assert_eq!(remnants(""), []);
        let many = vec!["1"; 25].join(",");
        assert!(sent(&[("what", "skirt"), ("lengths", &many)]).1.at("lengths").unwrap().contains("at most 24"));
    }

    #[test]
    fn several_lengths_may_be_typed_where_one_is_asked_for() {
        let typed = |pairs: &[(&str, &str)]| {
            let (facts, notes) = sent(&[&[("what", "skirt")], pairs].concat());
            (facts, notes.at("length").map(String::from))
        };
        let [first, second, third] = [Length::inches(49, 4), Length::inches(27, 0), Length::inches(18, 0)];
        for text in ["1 3/8 yd and 3/4 yd", "1 3/8, 3/4", "1 3/8 yd + 3/4", "49 1/2 in; 27 in"] {
            let (facts, note) = typed(&[("length", text), ("lengths", "1/2 yd")]);
            assert_eq!(
                (facts.cloth.length, facts.cloth.lengths, note),
                (Some(first), vec![second, third], None),
                "{text}"
            );
        }
        let (facts, note) = typed(&[("lining.length", "1 3/8 and 3/4 yd"), ("length", "2,5 m")]);
        let lining = &facts.linings[&crate::shop::LiningKind::Lining];
        assert_eq!((lining.length, lining.lengths.clone(), note), (Some(first), vec![second], None));
        // One with a decimal comma is one.
        assert_eq!((facts.cloth.length, facts.cloth.lengths), (Some(Length::tenths_of_mm(25_000)), vec![]));
        let note = typed(&[("length", "1 3/8 yd and a scrap")]).1.unwrap();
        assert!(note.starts_with("“a scrap” is not read: "), "{note}");
        assert!(typed(&[("length", "0")]).1.unwrap().starts_with("“0” is no length of cloth. Write how much"));
        let many = vec!["1"; 26].join(" and ");
        assert!(typed(&[("length", &many)]).1.unwrap().contains("at most 24"));
    }

    #[test]
    fn what_is_wrong_is_noted_at_its_field() {
        let (_, notes) =
            sent(&[("price", "dear"), ("width", "2"), ("length", "-3"), ("fittings", "9"), ("comes", "soon")]);
        for field in ["what", "price", "width", "length", "fittings", "comes"] {
            assert!(notes.at(field).is_some(), "{field}");
        }
        let (_, notes) = sent(&[
            ("what", "skirt"),
            ("nap", "sideways"),
            ("lengths", "1 yd, much"),
            ("repeat_along", "90 in"),
            ("shrink_along", "30"),
            ("shrink_across", "a bit"),
            ("skew", "4 in"),
            ("lining.width", "2 in"),
            ("interfacing.price", "dear"),
        ]);
        for field in [
            "nap",
            "lengths",
            "repeat_along",
            "shrink_along",
            "shrink_across",
            "skew",
            "lining.width",
            "interfacing.price",
        ] {
            assert!(notes.at(field).is_some(), "{field}");
        }
        assert!(notes.at("skew").unwrap().contains("at most 3"), "{notes:?}");
    }

    #[test]
    fn what_was_kept_reads_back_from_its_form() {
        let mut facts =
            sent(&[("what", "skirt"), ("length", "3"), ("width", "112 cm"), ("price", "250"), ("brought", "yes")]).0;
        // Neither is a whole eighth or hundredth of what the form shows.
        facts.cloth.width = Some(Length::tenths_of_mm(11_201));
        facts.cloth.length = Some(Length::tenths_of_mm(25_007));
        facts.fittings = 2;
        facts.cloth.comes = "2026-05-14".parse().ok();
        facts.cloth = ClothFacts {
            lengths: vec![Length::tenths_of_mm(12_573), Length::inches(27, 0)],
            nap: Nap::PerGarment,
            repeat_along: Some(Length::tenths_of_mm(1_234)),
            repeat_across: Some(Length::inches(4, 4)),
            shrink_along: Some(35),
            shrink_across: Some(0),
            turns_over: true,
            skew: Some(Length::inches(2, 4)),
            spare: Some(Length::inches(18, 0)),
            flaws: "a pulled thread 10 in from one end".into(),
            ..facts.cloth
        };
        facts.linings.insert(
            LiningKind::Interfacing,
            LiningFacts {
                words: "woven, iron-on".into(),
                width: Some(Length::inches(36, 0)),
                lengths: vec![Length::inches(18, 0)],
                brought: true,
                price: Some(Money::new(900, desk().settings.currency)),
                ..LiningFacts::UNKNOWN
            },
        );
        let mut notes = Notes::default();
        let again = read(&typed(&facts, &desk()), &mut notes, &Offered::default(), None, facts.clone(), &desk());
        assert_eq!(again, facts);
        assert_eq!(again.price, Some(Money::new(25_000, desk().settings.currency)));
    }
}
