//! Kinds of garment and what each must be able to prove, whatever its style says.
//!
//! These minimum levels stand here and not in the style texts, so that a style
//! cannot declare its faults away.

/// A kind of garment.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Kind {
    /// Wraps over and ties; opens all the way.
    WrapSkirt,
    /// Follows waist and hip, with a band and an opening.
    FittedSkirt,
    /// Fits the waist and flares.
    FlaredSkirt,
    /// Gathered into a band.
    GatheredSkirt,
    /// Ties on in front.
    Apron,
}

/// A girth or length that must be measured back, with the ease that makes sense, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct MustMeasure {
    pub key: &'static str,
    pub least_ease: f64,
    pub most_ease: f64,
}

const IN: f64 = 25.4;
/// Ease without an upper limit: a full skirt may be as wide as it likes.
const ANY: f64 = 1e6;

const fn must(key: &'static str, least_ease: f64, most_ease: f64) -> MustMeasure {
    MustMeasure { key, least_ease, most_ease }
}

/// Waistband ease 0 to 2 in (common practice: 1/2 to 1); finished lengths carry none.
const BAND: MustMeasure = must("waist_girth", 0.0, 2.0 * IN);
const LENGTH: MustMeasure = must("finished_length", 0.0, 0.0);

const WRAP: [MustMeasure; 3] = [BAND, must("hip_girth", 0.0, 6.0 * IN), LENGTH];
/// A fitted hip wants 1 1/2 to 2 in, 3 over a large seat (from memory); up to 8 in easy.
const FITTED: [MustMeasure; 3] = [BAND, must("hip_girth", 1.0 * IN, 8.0 * IN), LENGTH];
/// A flared skirt must clear the hip by 1 in at least (judgement: she must sit in it).
const FLARED: [MustMeasure; 3] = [BAND, must("hip_girth", 1.0 * IN, ANY), LENGTH];
const GATHERED: [MustMeasure; 3] = [BAND, must("hip_girth", 2.0 * IN, ANY), LENGTH];
/// An apron covers the front and is open behind: its width falls short of the hip.
const APRON: [MustMeasure; 2] = [must("hip_girth", -60.0 * IN, -2.0 * IN), LENGTH];

impl Kind {
    const ALL: [(&'static str, Kind); 5] = [
        ("wrap skirt", Kind::WrapSkirt),
        ("fitted skirt", Kind::FittedSkirt),
        ("flared skirt", Kind::FlaredSkirt),
        ("gathered skirt", Kind::GatheredSkirt),
        ("apron", Kind::Apron),
    ];

    pub fn named(word: &str) -> Option<Kind> {
        Kind::ALL.iter().find(|(name, _)| *name == word).map(|(_, kind)| *kind)
    }

    pub fn words() -> impl Iterator<Item = &'static str> {
        Kind::ALL.iter().map(|(name, _)| *name)
    }

    /// What must be measured back from the drawn pieces.
    pub fn must_measure(self) -> &'static [MustMeasure] {
        match self {
            Kind::WrapSkirt => &WRAP,
            Kind::FittedSkirt => &FITTED,
            Kind::FlaredSkirt => &FLARED,
            Kind::GatheredSkirt => &GATHERED,
            Kind::Apron => &APRON,
        }
    }

    /// Whether it must open all the way or prove that she can get into it.
    pub fn must_pass(self) -> bool {
        self != Kind::Apron
    }
}
