//! Why a job cannot be laid. Each message names the value, the limit, the remedy.

use super::Fault;

/// Why a job cannot be laid.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum LayError {
    /// A cloth with nothing between its selvedges.
    #[error(
        "A cloth {width} wide with selvedges of {selvedge} has no width to cut from. Check the width (at most 5 m) and the selvedges."
    )]
    NoWidth {
        /// The full width.
        width: String,
        /// One selvedge.
        selvedge: String,
    },
    /// A share of shrinking beyond any cloth.
    #[error("Shrinkage of {percent} % is not between 0 and 20 %. Wash a measured square and write what it lost.")]
    Shrink {
        /// In per cent.
        percent: String,
    },
    /// A negative or absurd selvedge, end or gap.
    #[error("A {what} of {value} is not between nought and 10 m. Check the cloth's {what}.")]
    Allowance {
        /// Which allowance.
        what: &'static str,
        /// Its value.
        value: String,
    },
    /// A repeat that nobody matches.
    #[error(
        "A repeat of {value} is not between 1/4 in (0.6 cm) and 5 m. Measure from one motif to the next that is like it."
    )]
    Repeat {
        /// The repeat.
        value: String,
    },
    /// Cloth with a nap folded across.
    #[error(
        "Folded across, the under layer's nap would run the other way. Lay this cloth folded lengthwise or open, or cut it apart at the fold and turn one length end for end, and lay each for itself."
    )]
    CrosswiseOneWay,
    /// More play against the grain than any cloth forgives.
    #[error(
        "“{label}” may lie {degrees}° off the grain; more than {most}° hangs askew. Write 2, or nought where a print shows it."
    )]
    OffGrain {
        /// The part.
        label: String,
        /// What was asked.
        degrees: u16,
        /// What is taken.
        most: u16,
    },
    /// Points to match that the job does not have.
    #[error("“{seam}” is to match at a point that no piece of this lay has. Check the rules that give it.")]
    NoSuchMark {
        /// The seam.
        seam: String,
    },
    /// An outline that encloses nothing.
    #[error("The outline of “{label}” encloses no cloth ({points} points, {area} mm²). Check the rules that draw it.")]
    Flat {
        /// The part.
        label: String,
        /// How many points it has.
        points: usize,
        /// The area it encloses.
        area: String,
    },
    /// An outline with a coordinate that is no place on a cloth.
    #[error("The outline of “{label}” goes to {value}, beyond any cloth (100 m). Check the rules that draw it.")]
    FarOff {
        /// The part.
        label: String,
        /// The coordinate.
        value: String,
    },
    /// A fold that is not a straight edge of the piece with the whole piece on one side.
    #[error(
        "The fold of “{label}” is not a straight outer edge of the piece: it is off by {by}. Draw the half piece on one side of its fold."
    )]
    FoldAstray {
        /// The part.
        label: String,
        /// By how much.
        by: String,
    },
    /// A part wider than the cloth.
    #[error(
        "“{label}” needs {needs} across, and this cloth has {usable} between its selvedges. Choose a wider cloth, or join the piece."
    )]
    TooWide {
        /// The part or strip.
        label: String,
        /// The least width it needs.
        needs: String,
        /// What the cloth has.
        usable: String,
    },
    /// A strip that cannot be cut.
    #[error("“{label}” is {length} long and {width} wide with joins of {join}: {why}")]
    Strip {
        /// The strip.
        label: String,
        /// Its sewn length.
        length: String,
        /// Its cut width.
        width: String,
        /// Its join allowance.
        join: String,
        /// What is wrong and what to do.
        why: &'static str,
    },
    /// More pieces than one lay holds.
    #[error("{pieces} pieces are more than the {most} that one lay holds. Lay them in two lengths.")]
    TooMany {
        /// How many were asked.
        pieces: usize,
        /// How many are taken.
        most: usize,
    },
    /// The search broke off: a fault of bodkin or of the engine that compares outlines.
    #[error(
        "The search broke off before it found a lay. This is a fault of bodkin; please report it. The lay shown before still holds."
    )]
    Broken,
    /// Several lengths that do not hold a job.
    #[error(
        "The lengths do not suffice: {left} would be left over, and the nearest try is short by {by}. Take as much more on one of them, or cut that from another cloth."
    )]
    LengthsShort {
        /// The pieces that are left.
        left: String,
        /// By how much the nearest try is short, in words.
        by: String,
        /// The same, mm on the table: without shrinkage and ends.
        by_mm: f64,
    },
    /// The search found a lay that did not pass the checker: a fault of bodkin.
    #[error("The lay found did not pass its check and was thrown away: {}. This is a fault of bodkin; please report it.", said(.faults))]
    Unsound {
        /// What the checker found.
        faults: Vec<Fault>,
    },
}

/// The first faults in words.
fn said(faults: &[Fault]) -> String {
    const ENOUGH: usize = 3;
    faults.iter().take(ENOUGH).map(|fault| fault.text.as_str()).collect::<Vec<_>>().join("; ")
}
