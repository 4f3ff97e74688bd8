//! What is written on each piece, and where: as large as the piece has room for, upright
//! if it can be, else along it; beside the piece when it is too small for any of it.

use std::f64::consts::FRAC_PI_2;

use crate::draft::{Cloth, Piece};
use crate::geom::Point;

use super::ink::Words;
use super::letters;
use super::room::Room;
use super::{Marks, Warned};

/// The words of one piece.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Label {
    name: String,
    cut: String,
    whose: String,
    when: String,
    warnings: Vec<String>,
}

/// How the words are set.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Setting {
    /// A row for each thing, the name large.
    Block,
    /// What it is, and whose: two rows.
    Two,
    /// All in one row.
    One,
}

/// A name longer than this is cut short: a label is no letter. Judgement.
const LONGEST: usize = 40;

/// From row to row, as a share of the letters' size.
const ROW: f64 = 1.35;
/// The name of a piece is so much larger than the rest.
const NAME: f64 = 1.7;
/// Room kept clear around a label, mm.
const CLEAR: f64 = 1.5;

impl Label {
    /// The words for a piece; opened out, it is no longer cut on the fold.
    pub(super) fn of(piece: &Piece, opened: bool, marks: &Marks, warned: &Warned) -> Label {
        let of_cloth = match piece.cloth {
            Cloth::Main => "",
            Cloth::Lining => " of lining",
            Cloth::Interfacing => " of interfacing",
        };
        let cut = if opened && piece.on_fold { format!("cut {}, opened out", piece.count) } else { piece.cut_words() };
        Label {
            name: format!("{}  {}", piece.letter, short(&piece.label)),
            cut: format!("{cut}{of_cloth}"),
            whose: joined(&[&marks.mark, &named(&marks.client)]),
            when: joined(&[&short(&marks.what), &marks.day]),
            warnings: warned.on_pieces(),
        }
    }

    /// The words where they stand: within `sewn` if they can, else within `cut`, else
    /// under the point given. What they take is taken in both rooms.
    pub(super) fn placed(&self, sewn: &mut Room, cut: &mut Room, near: Point, under: Point) -> Vec<Words> {
        let level = [0.0, -FRAC_PI_2];
        let aslant = [-30.0_f64, 30.0, -60.0, 60.0, -15.0, 15.0, -45.0, 45.0, -75.0, 75.0].map(f64::to_radians);
        let tries: [(Setting, &[f64], &[f64]); 5] = [
            (Setting::Block, &[5.0, 4.2, 3.6], &level),
            (Setting::Block, &[3.0], &level),
            (Setting::Two, &[4.2, 3.4, 2.8], &level),
            (Setting::One, &[3.4, 2.8], &level),
            (Setting::Two, &[3.0, 2.4], &aslant),
        ];
        for (setting, sizes, turns) in tries {
            for size in sizes {
                for turn in turns {
                    let rows = self.rows(setting, *size);
                    if let Some(at) = sewn.spot(room_of(&rows), *turn, near) {
                        return set(&rows, at, *turn, &mut [sewn, cut]);
                    }
                }
            }
        }
        for (setting, size) in [(Setting::Two, 2.6), (Setting::One, 2.4), (Setting::One, 2.0)] {
            for turn in level {
                let rows = self.rows(setting, size);
                if let Some(at) = cut.spot(room_of(&rows), turn, near) {
                    return set(&rows, at, turn, &mut [sewn, cut]);
                }
            }
        }
        let rows = self.rows(Setting::Two, 3.0);
        let [wide, high] = room_of(&rows);
        set(&rows, [under[0] + wide / 2.0, under[1] + high / 2.0], 0.0, &mut [sewn, cut])
    }

    fn rows(&self, setting: Setting, size: f64) -> Vec<(String, f64)> {
        let (name, cut, whose, when) = (&self.name, &self.cut, &self.whose, &self.when);
        let mut rows = match setting {
            Setting::Block => {
                vec![(name.clone(), size * NAME), (cut.clone(), size), (whose.clone(), size), (when.clone(), size)]
            }
            Setting::Two => vec![(joined(&[name, cut]), size), (joined(&[whose, when]), size)],
            Setting::One => {
                let all = [
                    &[name.as_str(), cut, whose, when][..],
                    &self.warnings.iter().map(String::as_str).collect::<Vec<_>>(),
                ];
                return vec![(joined(&all.concat()), size)];
            }
        };
        rows.retain(|(text, _)| !text.is_empty());
        rows.extend(self.warnings.iter().map(|text| (text.clone(), size)));
        rows
    }
}

/// The name as a label bears it; a line to write it on where the font lacks its letters.
fn named(client: &str) -> String {
    if letters::has(client) { short(client) } else { "name: ______________".into() }
}

fn short(text: &str) -> String {
    if text.chars().count() <= LONGEST {
        return text.into();
    }
    text.chars().take(LONGEST - 1).chain(std::iter::once('…')).collect()
}

fn joined(parts: &[&str]) -> String {
    parts.iter().filter(|part| !part.is_empty()).copied().collect::<Vec<_>>().join(" · ")
}

fn room_of(rows: &[(String, f64)]) -> Point {
    let wide = rows.iter().map(|(text, size)| letters::width(text, *size)).fold(0.0, f64::max);
    let high: f64 = rows.iter().map(|(_, size)| size * ROW).sum();
    [wide + 2.0 * CLEAR, high + 2.0 * CLEAR]
}

/// The rows about a middle; their place is taken.
fn set(rows: &[(String, f64)], middle: Point, turn: f64, rooms: &mut [&mut Room]) -> Vec<Words> {
    let [wide, high] = room_of(rows);
    let (sin, cos) = turn.sin_cos();
    let at = |x: f64, y: f64| [middle[0] + x * cos - y * sin, middle[1] + x * sin + y * cos];
    let (x, y) = (wide / 2.0, high / 2.0);
    for room in rooms {
        room.take([at(-x, -y), at(x, -y), at(x, y), at(-x, y)]);
    }
    let mut down = CLEAR - y;
    let mut words = Vec::new();
    for (text, size_mm) in rows {
        // The body of a letter stands on its line a quarter above the foot of its row.
        let base = down + size_mm * (ROW - 0.3);
        words.push(Words { at: at(CLEAR - x, base), size_mm: *size_mm, text: text.clone(), turn });
        down += size_mm * ROW;
    }
    words
}
