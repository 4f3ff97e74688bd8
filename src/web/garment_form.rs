//! Writing down a garment: what it is, its choices, cloth, price and what was agreed.

use crate::measure::{Length, LengthError, Unit, read_length};
use crate::shop::{AsAgreed, ClientId, ClothFacts, GarmentFacts, PricedBy, SellingStep, StyleVersion, read_money};

use super::choices::{self, Choice, ChoiceField};
use super::desk::Desk;
use super::fields::{Field, Fields, Notes};
use super::order_form;

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
    /// The cloth in words.
    pub cloth: Field,
    /// Its width.
    pub width: Field,
    /// Its length.
    pub length: Field,
    /// The unit of a length written without one.
    pub cloth_unit: &'static str,
    /// The day on which it comes.
    pub comes: Field,
    /// Whether the client brought it.
    pub brought: bool,
    /// Whether all pieces must point the same way.
    pub one_way: bool,
    /// Whether it was washed: `yes`, `no` or empty.
    pub washed: Field,
    /// What it costs.
    pub cloth_price: Field,
    /// By what it is priced.
    pub priced_by: &'static str,
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
    pub fn sent(fields: &Fields, notes: &Notes, offered: &[Choice], desk: &Desk) -> GarmentForm {
        let field = |name: &str| Field::sent(name, fields, notes);
        GarmentForm {
            what: field("what"),
            wearer: field("wearer"),
            choices: choices::rows(offered, fields, notes, desk.showing()),
            price: field("price"),
            fittings: field("fittings"),
            cloth: field("cloth"),
            width: field("width"),
            length: field("length"),
            cloth_unit: sold_by(desk).1,
            comes: field("comes"),
            brought: fields.filled("brought").is_some(),
            one_way: fields.filled("one_way").is_some(),
            washed: field("washed"),
            cloth_price: field("cloth_price"),
            priced_by: sold_by(desk).0.words(),
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

    /// In which unit the length of the cloth is read.
    #[must_use]
    pub fn length_hint(&self) -> String {
        format!("In {} unless you write another unit.", self.cloth_unit)
    }

    /// By what the cloth is priced.
    #[must_use]
    pub fn price_hint(&self) -> String {
        format!("For {}.", self.priced_by)
    }

    /// Whether the cloth was washed.
    #[must_use]
    pub fn washings(&self) -> Vec<(String, String)> {
        [("", "not known"), ("yes", "washed or steamed"), ("no", "not yet")]
            .iter()
            .map(|(key, words)| ((*key).into(), (*words).into()))
            .collect()
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
    let cloth = &facts.cloth;
    let mut pairs: Vec<(String, String)> = [
        ("what", facts.what.clone()),
        ("price", facts.price.map(|price| price.number()).unwrap_or_default()),
        ("fittings", facts.fittings.to_string()),
        ("cloth", cloth.words.clone()),
        ("width", cloth.width.map(|width| shown_width(width, desk)).unwrap_or_default()),
        ("length", cloth.length.map(|length| sold_length(length, desk)).unwrap_or_default()),
        ("comes", cloth.comes.map(|day| day.to_string()).unwrap_or_default()),
        ("washed", cloth.washed.map_or("", |washed| if washed { "yes" } else { "no" }).into()),
        ("cloth_price", cloth.price.map(|price| price.number()).unwrap_or_default()),
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
    for (name, on) in [("brought", cloth.brought), ("one_way", cloth.one_way)] {
        if on {
            pairs.push((name.into(), "yes".into()));
        }
    }
    Fields::of(pairs)
}

/// Reads a garment of this style for this wearer, over what was kept before (or a new one).
pub fn read(
    fields: &Fields,
    notes: &mut Notes,
    offered: &[Choice],
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
        choices: choices::read(offered, fields, notes, desk.showing()),
        cloth: cloth(fields, notes, &before.cloth, desk),
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

fn shown_width(width: Length, desk: &Desk) -> String {
    desk.showing().with_unit(width)
}

/// By what the shop buys cloth, and the unit in short.
fn sold_by(desk: &Desk) -> (PricedBy, &'static str) {
    match desk.settings.selling_step {
        SellingStep::EighthYard | SellingStep::QuarterYard => (PricedBy::Yard, "yd"),
        SellingStep::TenCentimetres | SellingStep::HalfMetre => (PricedBy::Metre, "m"),
    }
}

fn cloth(fields: &Fields, notes: &mut Notes, before: &ClothFacts, desk: &Desk) -> ClothFacts {
    let (by, unit) = sold_by(desk);
    // Shown rounded and sent back unchanged is not a change.
    let unchanged = |name: &str, kept: Option<Length>, shown: fn(Length, &Desk) -> String| {
        kept.filter(|length| fields.text(name) == shown(*length, desk))
    };
    let width = unchanged("width", before.width, shown_width).or_else(|| {
        fields.filled("width").and_then(|text| notes.take("width", read_length(text, desk.showing().unit())))
    });
    if let Some(width) = width.filter(|width| *width < Length::inches(8, 0) || *width > Length::inches(150, 0)) {
        // Ribbons are narrower, sheeting is at most 3.2 m: judgement.
        notes.add(
            "width",
            format!(
                "Cloth {} wide is not woven; 8 in (20 cm) to 150 in (380 cm) is. Check the unit.",
                desk.length(width)
            ),
        );
    }
    let length = unchanged("length", before.length, sold_length)
        .or_else(|| fields.filled("length").and_then(|text| notes.take("length", read_cloth_length(text, unit))));
    let price = fields
        .filled("cloth_price")
        .and_then(|text| notes.take("cloth_price", read_money(text, desk.settings.currency)));
    ClothFacts {
        words: notes.line(fields, "cloth"),
        width,
        length,
        brought: fields.filled("brought").is_some(),
        comes: order_form::day(fields, "comes", notes),
        washed: match fields.text("washed") {
            "yes" => Some(true),
            "no" => Some(false),
            _ => None,
        },
        one_way: fields.filled("one_way").is_some(),
        price,
        priced_by: if price == before.price && price.is_some() { before.priced_by } else { by },
    }
}

/// A length of cloth: a bare number is in yards or metres, as the shop buys.
fn read_cloth_length(text: &str, unit: &str) -> Result<Length, LengthError> {
    let bare = text.chars().all(|sign| !sign.is_alphabetic() && !matches!(sign, '"' | '\'' | '″' | '′' | '”'));
    if bare { read_length(&format!("{text} {unit}"), Unit::Inch) } else { read_length(text, Unit::Inch) }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::shop::{Currency, Money, Settings};

    fn desk() -> Desk {
        Desk::at(Settings::before_first_run(Currency::new("GHS").unwrap()), 1_777_800_000_000)
    }

    fn sent(pairs: &[(&str, &str)]) -> (GarmentFacts, Notes) {
        let fields = Fields::of(pairs.iter().map(|(name, text)| ((*name).into(), (*text).into())).collect());
        let mut notes = Notes::default();
        let facts = read(&fields, &mut notes, &[], None, new_for(ClientId::new(1)), &desk());
        (facts, notes)
    }

    #[test]
    fn cloth_is_read_in_yards_unless_it_says_otherwise() {
        let (facts, notes) =
            sent(&[("what", "skirt"), ("length", "2 3/4"), ("width", "45"), ("washed", "no"), ("one_way", "yes")]);
        assert!(notes.is_empty(), "{notes:?}");
        assert_eq!(facts.cloth.length, Some(Length::inches(99, 0)));
        assert_eq!(facts.cloth.width, Some(Length::inches(45, 0)));
        assert_eq!((facts.cloth.washed, facts.cloth.one_way), (Some(false), true));
        assert_eq!(sent(&[("what", "skirt"), ("length", "250 cm")]).0.cloth.length, Some(Length::tenths_of_mm(25000)));
        assert_eq!(sold_length(Length::inches(99, 0), &desk()), "2 3/4 yd");
    }

    #[test]
    fn what_is_wrong_is_noted_at_its_field() {
        let (_, notes) =
            sent(&[("price", "dear"), ("width", "2"), ("length", "-3"), ("fittings", "9"), ("comes", "soon")]);
        for field in ["what", "price", "width", "length", "fittings", "comes"] {
            assert!(notes.at(field).is_some(), "{field}");
        }
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
        let mut notes = Notes::default();
        let again = read(&typed(&facts, &desk()), &mut notes, &[], None, facts.clone(), &desk());
        assert_eq!(again, facts);
        assert_eq!(again.price, Some(Money::new(25_000, desk().settings.currency)));
    }
}
