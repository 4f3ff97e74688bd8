//! Two garments built step by step, for the guide of the style book: each step is a
//! whole text that reads and drafts, so that a drawing can be made from that very text.

/// One step of the guide.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct GuideStep {
    /// What is done in it.
    pub heading: &'static str,
    /// What it says, in words.
    pub words: &'static str,
    /// The text so far, in style format 1.
    pub text: &'static str,
}

/// An apron, from a rectangle on the fold to a whole style.
pub const GUIDE_APRON: [GuideStep; 5] = [
    GuideStep {
        heading: "A piece on the fold",
        words: "A style begins with what it is: its name, whom it is for, its kind, and the measures that must be \
                taken. Dimensions are worked from top to bottom. The outline walks once round the piece, one edge a \
                line: a name, how it goes, and to which corner at (across, down). The last edge lies on the fold, so \
                half is drawn. What each edge is allowed stands at its end. Under [measured] the style says how hip \
                and length are found again on the drawn piece; that is checked against the body.",
        text: include_str!("guide/apron_1.style.toml"),
    },
    GuideStep {
        heading: "A bib and a curve",
        words: "The top becomes a bib, and the armhole a curve: it leaves the bib straight down (90 deg) and arrives \
                at the side straight across (0 deg). Angles count from the right, downward. New dimensions carry the \
                figures, so that each stands in one place.",
        text: include_str!("guide/apron_2.style.toml"),
    },
    GuideStep {
        heading: "Choices",
        words: "What differs from order to order is a choice, with its usual value and its limits; aside = true keeps \
                a seldom changed one out of the way. A combination that cannot be sewn is refused in words, with the \
                figures filled in between braces.",
        text: include_str!("guide/apron_3.style.toml"),
    },
    GuideStep {
        heading: "Pocket, strap and ties",
        words: "A second piece has an outline of its own. What is cut straight is a strip: a length and a cut width. \
                Chalk lines put the widths that a cutter marks on the drawing.",
        text: include_str!("guide/apron_4.style.toml"),
    },
    GuideStep {
        heading: "Words for the workroom",
        words: "Notes, notions and the order of work with its minutes make the job sheet and the days. Labels say the \
                keys in the words of the trade.",
        text: include_str!("guide/apron_5.style.toml"),
    },
];

/// A skirt with darts, from two pieces to a whole style.
pub const GUIDE_SKIRT: [GuideStep; 5] = [
    GuideStep {
        heading: "Two pieces and a seam",
        words: "A quarter of the body in front, a quarter behind. All of the difference between waist and hip goes \
                into the side. A seam says which edges are joined: both must be equally long, carry the same \
                allowance, and run on into one another at their ends. Waist to hip may be \
                missing: 8 in is assumed then, and said. Last: can she get into it? The waist and \
                both sides of the zip must let the hip pass.",
        text: include_str!("guide/skirt_1.style.toml"),
    },
    GuideStep {
        heading: "The side raised, the waist solved",
        words: "The waist rises to the side and meets it square, so that front and back run on there. A curve is longer \
                than a straight line: how far across it must go is an unknown, found under [solve] so that the \
                drawn waist has just the length that is wanted.",
        text: include_str!("guide/skirt_2.style.toml"),
    },
    GuideStep {
        heading: "Darts",
        words: "The side keeps what it can take; the rest is folded out in darts, one in front, two behind. A dart \
                names its edge, its place along it with the other darts closed, how much it takes, how long it is, \
                and to which end it is folded: its mouth is shaped so that the edge runs on once it is sewn. The \
                length of an edge is its length with the darts closed.",
        text: include_str!("guide/skirt_3.style.toml"),
    },
    GuideStep {
        heading: "A waistband",
        words: "The band is a piece whose lower edge is sewn to the waist: one more seam that must agree, and the place \
                where the waist is now measured. The skirt begins below it.",
        text: include_str!("guide/skirt_4.style.toml"),
    },
    GuideStep {
        heading: "Words for the workroom",
        words: "Chalk lines, a warning when she could not walk in it, notions with amounts, the order of work, labels. \
                The straight skirt of the book goes on from here: figure, vent, dart count by the body.",
        text: include_str!("guide/skirt_5.style.toml"),
    },
];

#[cfg(test)]
mod tests {
    use super::super::{Input, Style, draft};
    use super::*;
    use crate::measure::{Length, Showing};

    #[test]
    fn every_step_of_the_guide_reads_drafts_and_holds_on_several_bodies() {
        for (garment, steps) in [("apron", GUIDE_APRON), ("skirt", GUIDE_SKIRT)] {
            for (place, step) in steps.iter().enumerate() {
                let style = Style::read(step.text).unwrap_or_else(|why| panic!("{garment} {place}: {why}"));
                for (waist, hip) in [(30, 40), (27, 37), (33, 42), (40, 49)] {
                    let mut input = Input::new(Showing::EIGHTHS);
                    input.body.insert("waist_girth".into(), Length::inches(waist, 0));
                    input.body.insert("hip_girth".into(), Length::inches(hip, 0));
                    let draft = draft(&style, &input).unwrap_or_else(|why| panic!("{garment} {place}: {why}"));
                    for truth in &draft.truths {
                        assert!(truth.held, "{garment} {place}, {waist}/{hip}: {} {}", truth.what, truth.found);
                    }
                }
            }
        }
    }
}
