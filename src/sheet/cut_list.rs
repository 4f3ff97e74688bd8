//! What is cut: piece by piece, with the allowances used, to be ticked off.

use crate::draft::{Cloth, Draft, Edge, Grain, Piece, Strip};
use crate::job::Laid;
use crate::measure::{Length, Showing};

use super::job_sheet::figure;

/// One line of the cut list.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CutRow {
    /// The letter by which drawings and lay name it.
    pub letter: String,
    /// What it is.
    pub piece: String,
    /// How many are cut.
    pub count: u32,
    /// How: `on the fold`, `1 pair`, `across` the cloth, `bias`.
    pub manner: String,
    /// Which cloth, unless it is the garment's own.
    pub cloth: Option<&'static str>,
    /// The allowances outside each edge, or a strip's cut size and the lengths that the lay cuts it in.
    pub detail: String,
}

pub(super) fn cut_list(draft: &Draft, laid: &[&Laid], showing: Showing) -> Vec<CutRow> {
    let pieces = draft.pieces.iter().map(|piece| piece_row(piece, showing));
    let strips = draft.strips.iter().map(|strip| strip_row(strip, laid, showing));
    pieces.chain(strips).collect()
}

fn piece_row(piece: &Piece, showing: Showing) -> CutRow {
    let mut manner = Vec::new();
    if piece.on_fold {
        manner.push("on the fold".to_string());
    } else if piece.pairs {
        let pairs = piece.count / 2;
        let words = if pairs == 1 { "1 pair".into() } else { format!("{pairs} pairs") };
        manner.push(if piece.count.is_multiple_of(2) { words } else { format!("{words} and 1") });
    } else {
        manner.push("single".into());
    }
    manner.extend(grain_words(piece.grain).map(String::from));
    CutRow {
        letter: piece.letter.clone(),
        piece: piece.label.clone(),
        count: piece.count,
        manner: manner.join(", "),
        cloth: cloth(piece.cloth),
        detail: allowances(&piece.edges, showing),
    }
}

/// `waist 1/2, side and lower edge 1, hem 1/2`: edges of one allowance together,
/// in the order in which they are met.
fn allowances(edges: &[Edge], showing: Showing) -> String {
    let mut groups: Vec<(String, Vec<String>)> = Vec::new();
    for edge in edges.iter().filter(|edge| !edge.is_fold) {
        let size = if edge.allowance_mm > 0.0 { figure(edge.allowance_mm, showing) } else { "none".into() };
        let label = edge.label.to_lowercase();
        match groups.iter_mut().find(|(known, _)| *known == size) {
            Some((_, labels)) if labels.contains(&label) => {}
            Some((_, labels)) => labels.push(label),
            None => groups.push((size, vec![label])),
        }
    }
    groups.into_iter().map(|(size, labels)| format!("{} {size}", listed(&labels))).collect::<Vec<_>>().join("; ")
}

/// `a`, `a and b`, `a, b and c`.
fn listed(words: &[String]) -> String {
    match words {
        [] => String::new(),
        [one] => one.clone(),
        [most @ .., last] => format!("{} and {last}", most.join(", ")),
    }
}

fn strip_row(strip: &Strip, laid: &[&Laid], showing: Showing) -> CutRow {
    let number = |mm: f64| figure(mm, showing);
    let whole = strip.length_mm + 2.0 * strip.join_mm;
    let lengths = cut_lengths(strip, laid);
    let mut detail =
        format!("{} deep, {} long; ends and joins {}", number(strip.width_mm), number(whole), number(strip.join_mm));
    if lengths.len() > 1 {
        detail.push_str(&format!("; {} lengths: {}", lengths.len(), counted(&lengths, showing)));
    }
    CutRow {
        letter: strip.letter.clone(),
        piece: strip.label.clone(),
        count: strip.count,
        manner: grain_words(strip.grain).unwrap_or("along").into(),
        cloth: cloth(strip.cloth),
        detail,
    }
}

/// `3 of 44, 1 of 32 5/8`: lengths that read the same together.
fn counted(lengths: &[Length], showing: Showing) -> String {
    let figures: Vec<String> = lengths.iter().map(|length| showing.number(*length)).collect();
    let runs = figures.chunk_by(|one, other| one == other);
    runs.filter_map(|run| Some(format!("{} of {}", run.len(), run.first()?))).collect::<Vec<_>>().join(", ")
}

/// The lengths that the lay cuts one such strip in, longest first.
fn cut_lengths(strip: &Strip, laid: &[&Laid]) -> Vec<Length> {
    let Some(laid) = laid.iter().find(|laid| laid.cloth == strip.cloth) else { return Vec::new() };
    let Some(place) = laid.job.strips.iter().position(|known| known.key == strip.key) else { return Vec::new() };
    let first = laid.lay.bits.iter().filter(|bit| bit.strip == place && (bit.copy == 1 || bit.under == Some(1)));
    let mut lengths: Vec<Length> = first
        .flat_map(|bit| {
            // Both layers of one bit may belong to the one strip.
            let times = usize::from(bit.copy == 1) + usize::from(bit.under == Some(1));
            std::iter::repeat_n(Length::from_mm(bit.length_mm).unwrap_or_default(), times)
        })
        .collect();
    lengths.sort_unstable_by(|one, other| other.cmp(one));
    lengths
}

const fn grain_words(grain: Grain) -> Option<&'static str> {
    match grain {
        Grain::Along => None,
        Grain::Across => Some("across"),
        Grain::Bias => Some("bias"),
    }
}

const fn cloth(cloth: Cloth) -> Option<&'static str> {
    match cloth {
        Cloth::Main => None,
        Cloth::Lining => Some("lining"),
        Cloth::Interfacing => Some("interfacing"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn edge(label: &str, allowance_in: f64) -> Edge {
        Edge {
            key: label.to_lowercase(),
            label: label.into(),
            is_fold: false,
            turned_up: false,
            allowance_mm: allowance_in * 25.4,
            length_mm: 100.0,
            points: Vec::new(),
        }
    }

    #[test]
    fn lengths_that_read_the_same_stand_together() {
        let inches = [(44, 0), (44, 0), (32, 5)].map(|(whole, eighths)| Length::inches(whole, eighths));
        assert_eq!(counted(&inches, Showing::EIGHTHS), "2 of 44, 1 of 32 5/8");
    }

    #[test]
    fn edges_of_one_allowance_stand_together() {
        let edges = [
            edge("Waist", 0.5),
            edge("Side", 1.0),
            edge("Lower edge", 1.0),
            edge("Hem", 0.5),
            edge("Neck", 0.0),
            Edge { is_fold: true, ..edge("Centre", 0.0) },
        ];
        assert_eq!(allowances(&edges, Showing::EIGHTHS), "waist and hem 1/2; side and lower edge 1; neck none");
    }
}
