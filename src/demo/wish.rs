//! What people ask for: which garments, and how they want each of them.

use std::collections::BTreeMap;

use rand::{Rng, RngExt};

use crate::measure::{Length, Showing};
use crate::shop::{AsAgreed, Wearer};

use super::people;
use super::ticket::Ticket;

/// One garment of an order.
#[derive(Clone, Copy, Debug)]
pub(super) struct Make {
    /// Who wears it; a place in the list of people.
    pub(super) wearer: usize,
    /// A style by its key, or work on something brought.
    pub(super) kind: Kind,
    /// Whether the client brings the cloth.
    pub(super) brought: bool,
    /// Whether it is too little.
    pub(super) short: bool,
    /// How often it is fitted.
    pub(super) fittings: u8,
}

/// What is made.
#[derive(Clone, Copy, Debug)]
pub(super) enum Kind {
    /// From a style of the book.
    Style(&'static str),
    /// An alteration or repair.
    Ticket(Ticket),
}

impl Make {
    /// A garment of this style for this person, with the fittings that are usual.
    pub(super) fn of(wearer: usize, style: &'static str, brought: bool) -> Make {
        let is_child = people::at(wearer).is_some_and(|person| person.wearer == Wearer::Child);
        let fittings = u8::from(style != "apron" && !is_child);
        Make { wearer, kind: Kind::Style(style), brought, short: false, fittings }
    }

    /// An alteration for this person.
    pub(super) fn ticket(wearer: usize, place: usize) -> Make {
        Make { wearer, kind: Kind::Ticket(Ticket::at(place)), brought: true, short: false, fittings: 0 }
    }

    /// Whatever this person might order.
    pub(super) fn any(rng: &mut impl Rng, wearer: usize) -> Make {
        let kind = people::at(wearer).map_or(Wearer::Unsaid, |person| person.wearer);
        let style = match (kind, rng.random_range(0..100)) {
            (Wearer::Woman, 0..22) => "wrap_skirt",
            (Wearer::Woman, 22..42) => "circle_skirt",
            (Wearer::Woman, 42..62) => "gathered_skirt",
            (Wearer::Woman, 62..72) => "flared_skirt",
            (Wearer::Woman, 72..80) => "straight_skirt",
            (Wearer::Woman, 80..86) | (Wearer::Child, 80..90) | (Wearer::Man, 0..45) => "apron",
            (Wearer::Child, 0..55) => "gathered_skirt",
            (Wearer::Child, 55..80) => "circle_skirt",
            _ => return Make::ticket(wearer, rng.random_range(0..10)),
        };
        Make::of(wearer, style, rng.random_bool(0.55))
    }
}

/// How one garment is wanted.
#[derive(Clone, Debug, Default)]
pub(super) struct Wish {
    /// Choices of the style as typed.
    pub(super) choices: BTreeMap<String, String>,
    /// Finished lengths.
    pub(super) finished: BTreeMap<String, Length>,
    /// In words.
    pub(super) agreed: AsAgreed,
}

impl Wish {
    /// A wish for a garment of this style.
    pub(super) fn of(rng: &mut impl Rng, style: &str, wearer: Wearer) -> Wish {
        let mut wish = Wish::default();
        let eighths = match (style, wearer) {
            ("apron", Wearer::Child) => rng.random_range(88..112),
            ("apron", _) => rng.random_range(152..216),
            (_, Wearer::Child) => rng.random_range(104..144),
            ("wrap_skirt", _) => rng.random_range(200..288),
            _ => rng.random_range(184..296),
        };
        // Asked for in halves, as people do.
        let length = Length::inches(0, eighths - eighths % 4);
        if rng.random_bool(0.7) {
            wish.finished.insert("waist_to_hem".into(), length);
        } else {
            wish.choose("finished_length", &Showing::EIGHTHS.with_unit(length));
        }
        match style {
            "wrap_skirt" => wish.wrap(rng),
            "circle_skirt" => wish.circle(rng, wearer),
            "gathered_skirt" => wish.gathered(rng),
            "flared_skirt" => wish.flared(rng),
            "straight_skirt" => wish.agreed.opening = "Zip and vent at the centre back.".into(),
            _ => wish.apron(rng, wearer),
        }
        wish
    }

    /// The style as it is, at its own length: suits everybody whom the style suits.
    pub(super) fn plain() -> Wish {
        Wish::default()
    }

    fn choose(&mut self, key: &str, typed: &str) {
        self.choices.insert(key.into(), typed.into());
    }

    fn wrap(&mut self, rng: &mut impl Rng) {
        let along = ["leading_edge", "leading_edge_and_over_front_hem", "leading_edge_and_whole_hem"];
        self.choose("frill_along", picked(rng, &along));
        self.choose("frill_depth", picked(rng, &["3 in", "3 1/2 in", "4 1/2 in", "6 in"]));
        self.choose("fullness", picked(rng, &["1.5", "2", "2.5"]));
        self.choose("tie_falls", picked(rng, &["left", "left", "right"]));
        self.agreed.opening = "Wraps right over left, ties at the waist.".into();
        self.agreed.other = picked(rng, &["", "Frill as on her blue one.", "As photo, without the pocket."]).into();
    }

    fn circle(&mut self, rng: &mut impl Rng, wearer: Wearer) {
        let share = picked(rng, &["half", "half", "three_quarter", "full"]);
        self.choose("share", share);
        self.choose("panels", if share == "half" { "2" } else { "4" });
        if wearer != Wearer::Child {
            self.choose("zip_length", picked(rng, &["8 in", "9 in"]));
        }
        self.agreed.opening = "Zip at the left side.".into();
    }

    fn gathered(&mut self, rng: &mut impl Rng) {
        self.choose("tiers", picked(rng, &["1", "2", "2", "3"]));
        self.choose("fullness", picked(rng, &["1.5", "1.6", "2"]));
        self.choose("zip_length", picked(rng, &["8 in", "9 in"]));
        self.agreed.other = picked(rng, &["", "Last tier in the dark cloth.", "Growth tuck inside the hem."]).into();
    }

    fn flared(&mut self, rng: &mut impl Rng) {
        let gores = picked(rng, &["a_line", "four", "six", "six", "eight"]);
        self.choose("cut", gores);
        let sweep = picked(rng, &["72 in", "80 in", "92 in"]);
        if gores != "a_line" {
            self.choose("sweep", sweep);
        }
        self.choose("zip_length", picked(rng, &["8 in", "9 in"]));
        self.agreed.opening = "Zip at the centre back.".into();
    }

    fn apron(&mut self, rng: &mut impl Rng, wearer: Wearer) {
        if wearer == Wearer::Child {
            for (key, typed) in
                [("bib_width", "6 in"), ("bib_height", "7 in"), ("pocket_width", "6 in"), ("pocket_depth", "4 1/2 in")]
            {
                self.choose(key, typed);
            }
            return;
        }
        self.choose("tie_length", picked(rng, &["34 in", "36 in", "40 in"]));
        self.agreed.other =
            picked(rng, &["", "Pocket parted for a pencil.", "Loop for the cloth at the right."]).into();
    }
}

/// One of these.
pub(super) fn picked<'a>(rng: &mut impl Rng, from: &[&'a str]) -> &'a str {
    if from.is_empty() { "" } else { from.get(rng.random_range(0..from.len())).copied().unwrap_or("") }
}
