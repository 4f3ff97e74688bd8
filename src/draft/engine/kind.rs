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
    /// Pleated into a band.
    PleatedSkirt,
    /// A length of cloth, hemmed, wrapped and tucked in.
    Wrapper,
    /// Follows bust and waist, ends at the waist or a little below.
    FittedBodice,
    /// Follows bust, waist and hip.
    FittedDress,
    /// Follows bust and waist, flares below.
    FlaredDress,
    /// Hangs from the shoulder, no waist.
    LooseTop,
    /// Hangs from the shoulder to the foot.
    Robe,
    /// Buttoned in front, with sleeves or without.
    Shirt,
    /// Two legs, darted to the waist.
    Trousers,
    /// Two legs, gathered by elastic.
    ElasticTrousers,
    /// A child's frock.
    ChildsFrock,
    /// Worn over a blouse.
    Pinafore,
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

/// Pleats hang open below: the band fits, the hip is free.
const PLEATED: [MustMeasure; 3] = [BAND, must("hip_girth", 1.0 * IN, ANY), LENGTH];
const WRAPPER: [MustMeasure; 1] = [LENGTH];
/// Strapless and boned 0, sheath 2 to 2 1/2, easy block 4, over a blouse 6 in (from memory).
const BUST: MustMeasure = must("bust_girth", 0.0, 8.0 * IN);
/// A darted waist has 0 to 1 1/2 in; a bodice left unshaped over a full waist more (from memory).
const WAIST: MustMeasure = must("waist_girth", 0.0, 16.0 * IN);
const FITTED_BODICE: [MustMeasure; 3] = [BUST, WAIST, LENGTH];
const FITTED_DRESS: [MustMeasure; 4] = [BUST, WAIST, must("hip_girth", 1.0 * IN, 10.0 * IN), LENGTH];
const FLARED_DRESS: [MustMeasure; 3] = [BUST, WAIST, LENGTH];
/// Blouse 4, shirt 5 to 7, tunic 6 to 8, kaftan 8 to 16 in (from memory); wider is style.
const LOOSE_TOP: [MustMeasure; 2] = [must("bust_girth", 3.0 * IN, 30.0 * IN), LENGTH];
const ROBE: [MustMeasure; 3] = [must("bust_girth", 4.0 * IN, ANY), must("hip_girth", 2.0 * IN, ANY), LENGTH];
const SHIRT: [MustMeasure; 2] = [must("bust_girth", 2.0 * IN, 12.0 * IN), LENGTH];
/// Thigh 2 in slim, 4 and more easy; the crotch seam 1 to 4 cm over the body's, elastic
/// trousers hang lower: to 12 cm (drafting.md D; the upper limit is judgement).
const TROUSERS: [MustMeasure; 5] = [
    must("waist_girth", 0.0, 2.0 * IN),
    must("hip_girth", 1.0 * IN, 8.0 * IN),
    must("thigh_girth", 1.5 * IN, 16.0 * IN),
    must("total_crotch_length", 0.0, 60.0),
    LENGTH,
];
const ELASTIC: [MustMeasure; 5] = [
    must("waist_girth", 0.0, ANY),
    must("hip_girth", 2.0 * IN, 16.0 * IN),
    must("thigh_girth", 2.0 * IN, ANY),
    must("total_crotch_length", 0.0, 160.0),
    LENGTH,
];
/// A child's frock 3 to 4 in at the chest (from memory), to grow in: 8.
const FROCK: [MustMeasure; 2] = [must("bust_girth", 2.0 * IN, 8.0 * IN), LENGTH];
/// Over a blouse: 3 in at least (judgement).
const PINAFORE: [MustMeasure; 2] = [must("bust_girth", 2.0 * IN, 12.0 * IN), LENGTH];

impl Kind {
    const ALL: [(&'static str, Kind); 17] = [
        ("pleated skirt", Kind::PleatedSkirt),
        ("wrapper", Kind::Wrapper),
        ("fitted bodice", Kind::FittedBodice),
        ("fitted dress", Kind::FittedDress),
        ("flared dress", Kind::FlaredDress),
        ("loose top", Kind::LooseTop),
        ("robe", Kind::Robe),
        ("shirt", Kind::Shirt),
        ("trousers", Kind::Trousers),
        ("elastic trousers", Kind::ElasticTrousers),
        ("child's frock", Kind::ChildsFrock),
        ("pinafore", Kind::Pinafore),
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
            Kind::PleatedSkirt => &PLEATED,
            Kind::Wrapper => &WRAPPER,
            Kind::FittedBodice => &FITTED_BODICE,
            Kind::FittedDress => &FITTED_DRESS,
            Kind::FlaredDress => &FLARED_DRESS,
            Kind::LooseTop => &LOOSE_TOP,
            Kind::Robe => &ROBE,
            Kind::Shirt => &SHIRT,
            Kind::Trousers => &TROUSERS,
            Kind::ElasticTrousers => &ELASTIC,
            Kind::ChildsFrock => &FROCK,
            Kind::Pinafore => &PINAFORE,
        }
    }

    /// The finished length by which its `finished_length` is taken at a fitting.
    pub fn hem_taken_as(self) -> Option<&'static str> {
        match self {
            Kind::WrapSkirt
            | Kind::FittedSkirt
            | Kind::FlaredSkirt
            | Kind::GatheredSkirt
            | Kind::PleatedSkirt
            | Kind::Wrapper
            | Kind::Apron => Some("waist_to_hem"),
            Kind::Trousers | Kind::ElasticTrousers => Some("trouser_length"),
            _ => None,
        }
    }

    /// Whether it must open all the way or prove that she can get into it.
    pub fn must_pass(self) -> bool {
        !matches!(self, Kind::Apron | Kind::Wrapper)
    }
}

/// The words for the kinds of garment that a style can be: `wrap skirt`, `apron`.
#[must_use]
pub fn kinds() -> Vec<&'static str> {
    Kind::words().collect()
}
