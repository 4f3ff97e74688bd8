//! A style's picture for the book: its pieces as its rules draw them on an invented body.

use crate::draft::{self, Draft, Input, Style};
use crate::measure::Length;
use crate::shop::StyleVersion;

use super::desk::Desk;
use super::drawing::Drawing;

/// An invented middle-sized body in inches: it stands for nobody and is cut for nobody.
const SOMEBODY: [(&str, i64); 22] = [
    ("stature", 65),
    ("bust_girth", 37),
    ("upper_chest_girth", 35),
    ("under_bust_girth", 32),
    ("waist_girth", 30),
    ("top_hip_girth", 37),
    ("hip_girth", 40),
    ("waist_to_hip", 8),
    ("neck_girth", 14),
    ("neck_base_girth", 15),
    ("shoulder_length", 5),
    ("shoulder_width", 15),
    ("across_back_width", 14),
    ("across_front_width", 13),
    ("back_waist_length", 16),
    ("front_waist_length", 17),
    ("arm_length", 23),
    ("upper_arm_girth", 12),
    ("wrist_girth", 6),
    ("head_girth", 22),
    ("waist_to_knee", 23),
    ("outside_leg_length", 41),
];

/// The picture; nothing when the rules do not draft this body.
#[must_use]
pub fn of(version: &StyleVersion, desk: &Desk) -> Option<Drawing> {
    draft(version, desk).map(|draft| Drawing::of_all(&draft))
}

fn draft(version: &StyleVersion, desk: &Desk) -> Option<Draft> {
    let mut input = Input::new(desk.showing());
    input.body = SOMEBODY.iter().map(|(key, inches)| ((*key).to_string(), Length::inches(*inches, 0))).collect();
    input.allowances = desk.settings.allowances.clone();
    draft::draft(&Style::read(&version.text).ok()?, &input).ok()
}
