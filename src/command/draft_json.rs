//! A draft as JSON, for other programs: lengths in mm, x right, y down, words as shown.
//! The length of an edge is the sewn one, its darts closed; its points run over their mouths.

use serde_json::{Value, json};

use super::draft::told;
use crate::draft::{Draft, Piece};
use crate::job::WidthNeed;
use crate::measure::Showing;

/// The draft as JSON: lengths in mm, words as shown.
pub(super) fn as_json(key: &str, draft: &Draft, needs: &[WidthNeed], showing: Showing) -> Value {
    let piece = |p: &Piece| {
        json!({
            "key": p.key, "label": p.label, "letter": p.letter, "count": p.count, "on_fold": p.on_fold,
            "pairs": p.pairs, "grain": format!("{:?}", p.grain).to_lowercase(), "cloth": format!("{:?}", p.cloth).to_lowercase(),
            "fold": p.fold.map(|(a, b)| [a, b]),
            "edges": p.edges.iter().map(|e| json!({
                "key": e.key, "label": e.label, "fold": e.is_fold, "allowance_mm": e.allowance_mm,
                "length_mm": e.length_mm, "points": e.points,
            })).collect::<Vec<_>>(),
            "darts": p.darts.iter().map(|d| json!({
                "label": d.label, "edge": d.edge, "intake_mm": d.intake_mm, "feet": [d.feet.0, d.feet.1],
                "peak": d.peak, "apex": d.apex, "top": d.top,
            })).collect::<Vec<_>>(),
            "pleats": p.pleats.iter().map(|l| json!({
                "label": l.label, "edge": l.edge, "kind": format!("{:?}", l.kind).to_lowercase(), "take_mm": l.take_mm, "take_below_mm": l.take_below_mm,
                "folds": l.folds.iter().map(|f| json!({"folded": [f.folded.0, f.folded.1], "laid_on": [f.laid_on.0, f.laid_on.1]})).collect::<Vec<_>>(),
            })).collect::<Vec<_>>(),
            "notches": p.notches.iter().map(|n| json!({
                "label": n.label, "edge": n.edge, "at": n.at, "outward_deg": n.heading.to_degrees(), "double": n.double,
            })).collect::<Vec<_>>(),
            "sewing": p.sewing, "cutting": p.cutting,
            "chalk": p.chalk.iter().map(|c| json!({"label": c.label, "from": c.from, "to": c.to, "mm": c.mm})).collect::<Vec<_>>(),
        })
    };
    json!({
        "style": key,
        "label": draft.label,
        "unit": showing.unit_word(),
        "dimensions": draft.dimensions.iter().map(|d| json!({
            "key": d.key, "label": d.label, "mm": d.mm, "shown": d.mm.map(|mm| told(mm, showing)),
            "working": d.working.text(showing), "chalked": d.chalked,
        })).collect::<Vec<_>>(),
        "measured": draft.measured.iter().map(|m| json!({
            "key": m.key, "label": m.label, "mm": m.mm, "body_mm": m.body_mm, "ease_mm": m.ease_mm,
        })).collect::<Vec<_>>(),
        "truths": draft.truths.iter().map(|t| json!({"what": t.what, "held": t.held, "found": t.found})).collect::<Vec<_>>(),
        "pieces": draft.pieces.iter().map(piece).collect::<Vec<_>>(),
        "strips": draft.strips.iter().map(|s| json!({
            "key": s.key, "label": s.label, "letter": s.letter, "count": s.count, "length_mm": s.length_mm,
            "width_mm": s.width_mm, "join_mm": s.join_mm, "grain": format!("{:?}", s.grain).to_lowercase(), "joined": s.joined,
            "cloth": format!("{:?}", s.cloth).to_lowercase(),
            "length_working": s.length_working.text(showing), "width_working": s.width_working.text(showing),
        })).collect::<Vec<_>>(),
        "notes": draft.notes.iter().map(|n| json!({"text": n.text.text(showing), "warning": n.warning, "caution": n.caution})).collect::<Vec<_>>(),
        "notions": draft.notions.iter().map(|n| n.text.text(showing)).collect::<Vec<_>>(),
        "steps": draft.steps.iter().map(|s| json!({
            "text": s.text.text(showing), "minutes": s.minutes, "stage": format!("{:?}", s.stage).to_lowercase(), "waiting_hours": s.waiting_hours,
        })).collect::<Vec<_>>(),
        "assumed": draft.assumed.iter().map(|a| json!({"key": a.key, "mm": a.mm, "before_cutting": a.before_cutting})).collect::<Vec<_>>(),
        "cloth": needs.iter().map(|n| match &n.need {
            Ok(need) => json!({"width_mm": n.width.mm(), "lay_mm": need.lay_length.mm(), "buy_mm": need.to_buy.mm(), "words": need.text()}),
            Err(why) => json!({"width_mm": n.width.mm(), "why_not": why.to_string()}),
        }).collect::<Vec<_>>(),
        "sews": draft.sews(),
    })
}
