//! The figures behind “check the tape”: what one measure says about another.
//!
//! Sources. ANSUR II: Gordon et al., 2012 Anthropometric Survey of U.S. Army
//! Personnel, NATICK/TR-15/007 (2014), public data, 1,986 women and 4,082 men;
//! each line here follows from its means, standard deviations and correlations
//! (slope = r · sd of one ÷ sd of the other). Its waist lies at the navel.
//! bdims: Heinz, Peterson, Johnson, Kerk, “Exploring Relationships in Body
//! Dimensions”, J. Statistics Education 11(2), 2003, 260 women and 247 men; its
//! waist is the narrowest, the trade's natural waist; its women's chest lies
//! above the breast, the trade's high bust.
//! Both are fit adults: none of it speaks for children.

/// A straight line from one measure to another, in millimetres.
#[derive(Clone, Copy, Debug)]
pub(super) struct Fit {
    /// Where the line starts.
    pub intercept: f64,
    /// Millimetres of the one for each millimetre of the other.
    pub slope: f64,
    /// Standard deviation about the line.
    pub spread: f64,
    /// Mean of the measure that is known.
    pub mean: f64,
    /// Its standard deviation.
    pub sd: f64,
}

/// What `from` says of `of`, for women and for men, where it is known.
#[derive(Clone, Copy, Debug)]
pub(super) struct Line {
    /// The key that is judged.
    pub of: &'static str,
    /// The key that it is judged by.
    pub from: &'static str,
    /// The line for women.
    pub woman: Option<Fit>,
    /// The line for men.
    pub man: Option<Fit>,
}

const fn fit(intercept: f64, slope: f64, spread: f64, mean: f64, sd: f64) -> Option<Fit> {
    Some(Fit { intercept, slope, spread, mean, sd })
}

/// The lines, in tape order of what is judged.
#[rustfmt::skip]
pub(super) const LINES: &[Line] = &[
    // ANSUR II neck, neck base.
    Line { of: "neck_girth", from: "bust_girth",
        woman: fit(169.45, 0.16935, 13.16, 946.86, 82.70), man: fit(150.15, 0.23377, 15.71, 1058.71, 87.44) },
    Line { of: "neck_base_girth", from: "neck_girth",
        woman: fit(75.27, 0.89718, 9.44, 329.80, 19.22), man: fit(65.53, 0.92812, 9.30, 397.65, 25.78) },
    // ANSUR II biacromial breadth on stature; + 30 mm because the tape goes over the
    // nape (drafting.md: 1/2 to 1 in more) and out to the edge of the shoulder: judgement.
    Line { of: "shoulder_width", from: "stature",
        woman: fit(132.80, 0.16122, 18.0, 1628.47, 64.20), man: fit(184.69, 0.14861, 19.0, 1756.21, 68.55) },
    Line { of: "shoulder_length", from: "stature",
        woman: fit(32.33, 0.06330, 9.43, 1628.47, 64.20), man: fit(39.60, 0.06274, 9.59, 1756.21, 68.55) },
    // ANSUR II interscye breadth, shoulder circumference.
    Line { of: "across_back_width", from: "bust_girth",
        woman: fit(156.66, 0.22886, 23.06, 946.86, 82.70), man: fit(136.27, 0.27824, 25.51, 1058.71, 87.44) },
    Line { of: "shoulder_girth", from: "bust_girth",
        woman: fit(591.16, 0.46156, 36.65, 946.86, 82.70), man: fit(529.76, 0.61285, 34.24, 1058.71, 87.44) },
    // bdims chest on waist, .859: in women it is the high bust. Its spread, 31.6 mm, is that of
    // young and active women; 40 for a workroom's clients (judgement).
    Line { of: "upper_chest_girth", from: "waist_girth",
        woman: fit(373.04, 0.69848, 40.0, 698.03, 75.88), man: None },
    // Women: ANSUR II bust on navel waist, moved by the 139 mm that lie between the two
    // waists of the same women in bdims; the spread takes in how that gap varies (about
    // 50 mm). Men: bdims chest on waist.
    Line { of: "bust_girth", from: "waist_girth",
        woman: fit(442.56, 0.69856, 56.4, 698.03, 75.88), man: fit(515.14, 0.58530, 50.55, 845.33, 87.82) },
    Line { of: "bust_girth", from: "navel_waist_girth",
        woman: fit(345.46, 0.69856, 44.34, 860.91, 99.93), man: fit(406.41, 0.69351, 40.54, 940.58, 111.71) },
    // ANSUR II waist back length ends at the navel; the natural waist lies about 25 mm
    // higher on the back (judgement), hence also the wider spread.
    Line { of: "back_waist_length", from: "stature",
        woman: fit(63.22, 0.20705, 26.0, 1628.47, 64.20), man: fit(72.46, 0.21646, 27.0, 1756.21, 68.55) },
    // bdims hip on waist.
    Line { of: "hip_girth", from: "waist_girth",
        woman: fit(438.01, 0.74283, 40.58, 698.03, 75.88), man: fit(498.24, 0.56710, 37.47, 845.33, 87.82) },
    // ANSUR II from here on.
    Line { of: "hip_girth", from: "navel_waist_girth",
        woman: fit(496.57, 0.60944, 45.28, 860.91, 99.93), man: fit(454.07, 0.60117, 37.01, 940.58, 111.71) },
    Line { of: "thigh_girth", from: "hip_girth",
        woman: fit(-89.52, 0.69099, 19.10, 1021.25, 75.89), man: fit(-107.70, 0.71881, 19.45, 1019.52, 76.68) },
    Line { of: "calf_girth", from: "thigh_girth",
        woman: fit(131.88, 0.39175, 18.31, 616.15, 55.81), man: fit(136.91, 0.40847, 17.68, 625.14, 58.45) },
    Line { of: "ankle_girth", from: "calf_girth",
        woman: fit(66.41, 0.40008, 9.57, 373.26, 28.52), man: fit(71.45, 0.40252, 8.46, 392.26, 29.71) },
    // Waist height at the navel; + 40 mm to the natural waist (judgement).
    Line { of: "outside_leg_length", from: "stature",
        woman: fit(-133.05, 0.70815, 25.0, 1628.47, 64.20), man: fit(-117.31, 0.69115, 26.0, 1756.21, 68.55) },
    Line { of: "inside_leg_length", from: "stature",
        woman: fit(-179.13, 0.59040, 23.58, 1628.47, 64.20), man: fit(-176.33, 0.58208, 23.88, 1756.21, 68.55) },
    // The arm was flexed there and hangs here: about 15 mm less (judgement), and the spread is wider.
    Line { of: "upper_arm_girth", from: "bust_girth",
        woman: fit(27.78, 0.27755, 22.0, 946.86, 82.70), man: fit(13.46, 0.31140, 23.0, 1058.71, 87.44) },
    Line { of: "wrist_girth", from: "upper_arm_girth",
        woman: fit(110.36, 0.15288, 6.5, 290.58, 30.76), man: fit(122.57, 0.15547, 7.4, 343.14, 34.62) },
    // Sleeve outseam, arm straight; + 10 mm over the bent elbow (judgement).
    Line { of: "arm_length", from: "stature",
        woman: fit(-39.45, 0.36415, 19.0, 1628.47, 64.20), man: fit(-31.16, 0.36116, 19.5, 1756.21, 68.55) },
    // Height of the nape; + 40 mm and more spread for the shoes to be worn (judgement).
    Line { of: "nape_to_floor", from: "stature",
        woman: fit(-50.23, 0.91245, 25.0, 1628.47, 64.20), man: fit(-48.12, 0.90844, 20.0, 1756.21, 68.55) },
];

/// A measure that is never larger than another, whoever is measured.
#[derive(Clone, Copy, Debug)]
pub(super) struct Order {
    /// The key that should be the smaller.
    pub smaller: &'static str,
    /// The key that should be the larger.
    pub larger: &'static str,
}

const fn order(smaller: &'static str, larger: &'static str) -> Order {
    Order { smaller, larger }
}

/// Which measure is the smaller of two. Waist and hip stand here as a hint only:
/// in bdims 4 of 247 men, and no woman of 260, have a hip below the natural waist.
pub(super) const ORDERS: &[Order] = &[
    order("waist_girth", "hip_girth"),
    order("under_bust_girth", "bust_girth"),
    order("under_bust_girth", "upper_chest_girth"),
    order("neck_girth", "neck_base_girth"),
    order("neck_base_girth", "shoulder_girth"),
    order("across_back_width", "shoulder_girth"),
    order("shoulder_length", "shoulder_width"),
    order("bust_point_width", "across_front_width"),
    order("side_neck_to_bust_point", "side_neck_to_under_bust"),
    order("side_neck_to_under_bust", "front_waist_length"),
    order("scye_depth", "back_waist_length"),
    order("knee_girth", "thigh_girth"),
    order("calf_girth", "thigh_girth"),
    order("ankle_girth", "calf_girth"),
    order("ankle_girth", "heel_instep_girth"),
    order("wrist_girth", "elbow_girth"),
    order("wrist_girth", "upper_arm_girth"),
    order("wrist_girth", "hand_girth"),
    order("upper_arm_girth", "armhole_girth"),
    order("thigh_girth", "hip_girth"),
    order("waist_to_hip", "waist_to_knee"),
    order("waist_to_knee", "waist_to_ankle"),
    order("waist_to_ankle", "outside_leg_length"),
    order("inside_leg_length", "outside_leg_length"),
    order("body_rise", "total_crotch_length"),
    order("outside_leg_length", "nape_to_floor"),
    order("arm_length", "stature"),
    order("outside_leg_length", "stature"),
];

/// A share that one measure has of another.
#[derive(Clone, Copy, Debug)]
pub(super) struct Share {
    /// The key that is judged.
    pub of: &'static str,
    /// The key that it is a share of.
    pub from: &'static str,
    /// The least share.
    pub least: f64,
    /// The greatest share.
    pub most: f64,
    /// Whether it holds for children only, who have no lines above.
    pub children: bool,
}

const fn share(of: &'static str, from: &'static str, least: f64, most: f64, children: bool) -> Share {
    Share { of, from, least, most, children }
}

/// Shares; all judgement, from the proportions of adults above and the rounder,
/// shorter-limbed build of children, kept wide.
pub(super) const SHARES: &[Share] = &[
    share("hip_girth", "waist_girth", 0.85, 1.60, true),
    share("bust_girth", "waist_girth", 0.80, 1.60, true),
    share("hip_girth", "bust_girth", 0.75, 1.50, true),
    share("neck_girth", "bust_girth", 0.28, 0.60, true),
    share("neck_base_girth", "bust_girth", 0.30, 0.66, true),
    share("thigh_girth", "hip_girth", 0.40, 0.75, true),
    share("arm_length", "stature", 0.25, 0.42, true),
    share("inside_leg_length", "stature", 0.26, 0.56, true),
    share("outside_leg_length", "stature", 0.42, 0.70, true),
    share("back_waist_length", "stature", 0.17, 0.32, true),
    share("shoulder_width", "stature", 0.17, 0.32, true),
    share("nape_to_floor", "stature", 0.70, 0.95, true),
    share("waist_girth", "stature", 0.28, 0.95, true),
    // drafting.md's table has scye depth 0.48 to 0.58 of the back waist, a drafted
    // armhole 0.43 to 0.54 of the bust; a body's own lies a little lower.
    share("scye_depth", "back_waist_length", 0.36, 0.66, false),
    share("armhole_girth", "bust_girth", 0.30, 0.62, false),
    share("bust_point_width", "bust_girth", 0.12, 0.30, false),
    share("waist_to_knee", "outside_leg_length", 0.46, 0.68, false),
    share("waist_to_hip", "outside_leg_length", 0.10, 0.32, false),
    share("total_crotch_length", "body_rise", 1.60, 3.80, false),
    share("head_girth", "stature", 0.26, 0.80, false),
    share("hand_girth", "wrist_girth", 1.02, 1.90, false),
    share("elbow_girth", "upper_arm_girth", 0.65, 1.15, false),
];
