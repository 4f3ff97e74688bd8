//! Invented middle-sized bodies, for pictures and previews: they stand for nobody and
//! nothing is cut for them.

use std::collections::BTreeMap;

use crate::measure::{DimensionClass, Length, Showing, Unit, dimension};

/// Which invented body.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Build {
    /// The middle one.
    Usual,
    /// Smaller round.
    Small,
    /// Larger round.
    Large,
}

impl Build {
    /// All of them, the usual one first.
    pub const ALL: [Build; 3] = [Build::Usual, Build::Small, Build::Large];

    /// Its key on a form.
    #[must_use]
    pub const fn key(self) -> &'static str {
        match self {
            Build::Usual => "usual",
            Build::Small => "small",
            Build::Large => "large",
        }
    }

    /// The words for it.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Build::Usual => "A usual body",
            Build::Small => "A small body",
            Build::Large => "A large body",
        }
    }

    /// The girths of it as a share of the usual ones (judgement: about three sizes down, five up).
    const fn round(self) -> f64 {
        match self {
            Build::Usual => 1.0,
            Build::Small => 0.88,
            Build::Large => 1.25,
        }
    }
}

/// Means of many invented bodies (`demo::seeded_body`, drawn from a survey's means), to 5 mm, the woman's waist and hip
/// brought to a usual difference: woman, man, child of seven, mm; nought where none is taken.
const MIDDLE: [(&str, [u16; 3]); 44] = [
    ("head_girth", [560, 575, 515]),
    ("neck_girth", [330, 395, 275]),
    ("neck_base_girth", [370, 435, 300]),
    ("shoulder_length", [135, 150, 85]),
    ("shoulder_width", [395, 445, 320]),
    ("across_back_width", [375, 430, 245]),
    ("across_front_width", [360, 415, 230]),
    ("shoulder_girth", [1030, 1180, 720]),
    ("upper_chest_girth", [890, 1055, 630]),
    ("bust_girth", [940, 1055, 630]),
    ("under_bust_girth", [810, 0, 0]),
    ("bust_point_width", [190, 0, 0]),
    ("side_neck_to_bust_point", [285, 0, 0]),
    ("side_neck_to_under_bust", [360, 0, 0]),
    ("front_waist_length", [445, 485, 300]),
    ("back_waist_length", [400, 450, 275]),
    ("side_neck_to_back_waist", [420, 475, 295]),
    ("scye_depth", [215, 235, 165]),
    ("armhole_girth", [405, 455, 270]),
    ("waist_girth", [760, 895, 565]),
    ("navel_waist_girth", [830, 935, 575]),
    ("abdomen_girth", [880, 965, 590]),
    ("waist_to_abdomen", [100, 110, 75]),
    ("top_hip_girth", [930, 945, 620]),
    ("hip_girth", [1015, 1015, 665]),
    ("waist_to_hip", [205, 220, 150]),
    ("thigh_girth", [615, 625, 370]),
    ("knee_girth", [390, 395, 235]),
    ("calf_girth", [375, 390, 245]),
    ("ankle_girth", [215, 230, 160]),
    ("heel_instep_girth", [315, 340, 240]),
    ("waist_to_knee", [580, 625, 420]),
    ("waist_to_ankle", [950, 1025, 670]),
    ("outside_leg_length", [1020, 1095, 740]),
    ("inside_leg_length", [785, 845, 535]),
    ("body_rise", [240, 250, 205]),
    ("total_crotch_length", [620, 645, 505]),
    ("upper_arm_girth", [290, 340, 195]),
    ("elbow_girth", [260, 310, 175]),
    ("wrist_girth", [155, 175, 125]),
    ("hand_girth", [220, 250, 180]),
    ("arm_length", [555, 605, 390]),
    ("stature", [1630, 1755, 1225]),
    ("nape_to_floor", [1420, 1540, 1030]),
];

/// The body for a style that is for these: `women`, `men`, `children`, `anyone`; its figures are
/// round in the shop's own unit, half inches or half centimetres, so that the working reads well.
#[must_use]
pub fn of(wearer: &str, build: Build, showing: Showing) -> BTreeMap<String, Length> {
    let step = match showing.unit() {
        Unit::Inch => Length::inches(0, 4),
        Unit::Centimetre => Length::tenths_of_mm(50),
    };
    let column = match wearer {
        "men" => 1,
        "children" => 2,
        _ => 0,
    };
    MIDDLE
        .iter()
        .filter_map(|(key, values)| {
            let mm = values.get(column).copied().filter(|mm| *mm > 0)?;
            let share = match dimension(key)?.class {
                DimensionClass::Girth => build.round(),
                // A rounder body is wider too, but not by as much; bones are no longer.
                DimensionClass::Width => f64::midpoint(build.round(), 1.0),
                _ => 1.0,
            };
            Some(((*key).to_string(), Length::from_mm(f64::from(mm) * share)?.rounded_to(step)))
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::measure::{dimensions, within_possible};

    #[test]
    fn every_body_can_be_and_lacks_nothing_of_the_tape() {
        for wearer in ["women", "men", "children", "anyone"] {
            for build in Build::ALL {
                let body = of(wearer, build, Showing::EIGHTHS);
                for (key, length) in &body {
                    assert_eq!(within_possible(key, *length), Ok(()), "{wearer}");
                }
                let lacking: Vec<&str> = dimensions()
                    .iter()
                    .filter(|row| row.class != DimensionClass::Finished && !body.contains_key(row.key))
                    .map(|row| row.key)
                    .collect();
                assert!(lacking.is_empty() || matches!(wearer, "men" | "children"), "{wearer}: {lacking:?}");
                assert!(lacking.len() <= 4, "{wearer}: {lacking:?}");
            }
        }
        let girth = |build| of("women", build, Showing::MILLIMETRES).get("waist_girth").copied().unwrap();
        assert!(girth(Build::Small) < girth(Build::Usual) && girth(Build::Usual) < girth(Build::Large));
    }
}
