//! Reading a style's text: TOML to rules, with every name checked.

use std::collections::{BTreeMap, BTreeSet};

use toml::de::DeTable;

use super::super::drafted::{Cloth, Grain, StepStage};
use super::super::engine::Kind;
use super::super::fault::{Fault, Span, StyleError, did_you_mean};
use super::super::formula::{Expr, Node, parse};
use super::Outline;
use super::lining::LiningRule;
use super::names::check_names;
use super::notch::NotchRule;
use super::outline::chalk_line;
use super::pleat::PleatRule;
use super::read_darts::{dart, figure_notes, point, side, turn};
use super::rules::{
    Assumption, Choice, ChoiceKind, FacingRule, MeasuredRule, NoteRule, NotionRule, PassRule, PieceRule, RefusalRule,
    Rule, SeamRule, SolveRule, StepRule, StripRule, Style, in_words,
};
use super::table::Table;

/// The longest text of a style that is read: ten times the longest of the book.
const MOST_BYTES: usize = 200_000;

/// So many pieces are drawn, strips, facings and linings apart; the most of a book style is under 20.
const MOST_PIECES: usize = 100;
/// So many unknowns are found; each is a search that draws pieces again and again.
const MOST_UNKNOWNS: usize = 20;
/// The most that a piece may lie off the grain, degrees, as a lay takes it. Beyond that the grain is
/// another one (judgement).
const MOST_OFF_GRAIN_DEG: u16 = 10;

impl Style {
    /// Reads a style from its text.
    ///
    /// # Errors
    /// The first fault, with its line and column and what to write instead.
    pub fn read(text: &str) -> Result<Style, StyleError> {
        if text.len() > MOST_BYTES {
            let message = format!("This style has {} bytes; at most {MOST_BYTES} are read. Shorten it.", text.len());
            return Err(StyleError { line: 1, column: 1, message });
        }
        let parsed = DeTable::parse(text).map_err(|error| {
            let at = error.span().map_or_else(Span::default, |s| Span { start: s.start, end: s.end });
            Fault::new(at, capital(error.message())).placed(text)
        })?;
        let root = Table::new(text, "the style", Span::default(), parsed.get_ref());
        read_style(text, &root)
            .and_then(|style| check_names(&style).map(|()| style))
            .map_err(|fault| fault.placed(text))
    }
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

pub(super) type Part<'t, 'v> = Table<'t, 'v>;

fn read_style(text: &str, root: &Part<'_, '_>) -> Result<Style, Fault> {
    root.only(&[
        "format",
        "label",
        "about",
        "for",
        "kind",
        "fittings",
        "needs",
        "assume",
        "choices",
        "figure",
        "dimensions",
        "points",
        "refuse",
        "solve",
        "pieces",
        "darts",
        "turns",
        "facings",
        "linings",
        "pleats",
        "notches",
        "strips",
        "seams",
        "measured",
        "passes",
        "opens",
        "notes",
        "notions",
        "steps",
        "labels",
    ])?;
    match root.whole("format")? {
        Some(1) => {}
        Some(other) => {
            let message = format!("This text is of format {other}; this bodkin reads format 1. Use a newer bodkin.");
            return Err(Fault::new(root.span_of("format"), message));
        }
        None => return Err(root.missing("format", "format = 1")),
    }
    let labels = match root.table("labels")? {
        Some(table) => table
            .entries()
            .map(|(key, _)| Ok((key.into(), table.words(key)?.unwrap_or_default())))
            .collect::<Result<BTreeMap<String, String>, Fault>>()?,
        None => BTreeMap::new(),
    };
    let kind_word = root.words("kind")?.ok_or_else(|| root.missing("kind", "kind = 'skirt'"))?;
    let kind = Kind::named(&kind_word).ok_or_else(|| {
        let known: Vec<&str> = Kind::words().collect();
        let hint = did_you_mean(&kind_word, known.iter().copied());
        Fault::new(
            root.span_of("kind"),
            format!("“{kind_word}” is no kind of garment that is known: {}.{hint}", known.join(", ")),
        )
    })?;
    let label = root.words("label")?.ok_or_else(|| root.missing("label", "label = 'Apron'"))?;
    let opens = root.words("opens")?;
    if opens.as_deref().is_some_and(|word| word != "all the way") {
        return Err(Fault::new(root.span_of("opens"), "“opens” can only be 'all the way'. Else declare [passes]."));
    }
    let mut style = Style {
        text: text.into(),
        label,
        about: root.words("about")?.unwrap_or_default(),
        wearer: wearer(root)?,
        kind,
        fittings: root.whole("fittings")?.and_then(|n| u8::try_from(n).ok()).filter(|n| *n <= 3).unwrap_or(1),
        needs: body_keys(root)?,
        assume: each(root, "assume", |table, key, at| {
            known_dimension(key, at)?;
            Ok(Assumption { key: key.into(), rule: required(table, key)? })
        })?,
        choices: each(root, "choices", |table, key, _| {
            let inner = table.table(key)?.ok_or_else(|| table.missing(key, ""))?;
            choice(&inner, key, &labels)
        })?,
        figure: figure_notes(root)?,
        dimensions: each(root, "dimensions", dimension)?,
        points: each(root, "points", point)?,
        refusals: root.tables("refuse")?.iter().map(refusal).collect::<Result<_, _>>()?,
        solves: each(root, "solve", |table, key, _| solve(&inner_table(table, key)?, key))?,
        pieces: each(root, "pieces", |table, key, _| piece(&inner_table(table, key)?, key))?,
        darts: each(root, "darts", |table, key, _| dart(&inner_table(table, key)?, key))?,
        turns: each(root, "turns", |table, key, _| turn(&inner_table(table, key)?, key))?,
        facings: each(root, "facings", |table, key, _| facing(&inner_table(table, key)?, key))?,
        linings: each(root, "linings", |table, key, _| LiningRule::read(&inner_table(table, key)?, key))?,
        pleats: each(root, "pleats", |table, key, _| PleatRule::read(&inner_table(table, key)?, key))?,
        notches: each(root, "notches", |table, key, _| NotchRule::read(&inner_table(table, key)?, key))?,
        strips: each(root, "strips", |table, key, _| strip(&inner_table(table, key)?, key))?,
        seams: each(root, "seams", |table, key, _| seam(table, key))?,
        measured: each(root, "measured", measured)?,
        passes: each(root, "passes", |table, key, _| pass(&inner_table(table, key)?, key))?,
        opens_all_the_way: opens.is_some(),
        notes: root.tables("notes")?.iter().map(note).collect::<Result<_, _>>()?,
        notions: root.tables("notions")?.iter().map(notion).collect::<Result<_, _>>()?,
        steps: root.tables("steps")?.iter().map(step).collect::<Result<_, _>>()?,
        labels,
        order: Vec::new(),
    };
    few(root, "pieces", style.pieces.len(), MOST_PIECES)?;
    few(root, "linings", style.linings.len(), MOST_PIECES)?;
    few(root, "facings", style.facings.len(), MOST_PIECES)?;
    few(root, "solve", style.solves.len(), MOST_UNKNOWNS)?;
    style.order = super::order::order(&style)?;
    Ok(style)
}

/// Refuses a part that would take too long to draw.
fn few(root: &Part<'_, '_>, part: &str, count: usize, most: usize) -> Result<(), Fault> {
    if count <= most {
        return Ok(());
    }
    let what = if part == "solve" { "unknowns" } else { part };
    Err(Fault::new(root.span_of(part), format!("This style has {count} {what}; at most {most} are drafted. Split it.")))
}

/// One rule for each key of the table `name`, in the order typed.
fn each<'t, 'v, T>(
    root: &Part<'t, 'v>,
    name: &str,
    read: impl Fn(&Part<'t, 'v>, &str, Span) -> Result<T, Fault>,
) -> Result<Vec<T>, Fault> {
    let Some(table) = root.table(name)? else { return Ok(Vec::new()) };
    table.entries().map(|(key, at)| read(&table, key, at)).collect()
}

fn inner_table<'t, 'v>(table: &Part<'t, 'v>, key: &str) -> Result<Part<'t, 'v>, Fault> {
    table.table(key)?.ok_or_else(|| table.missing(key, "a table"))
}

pub(super) fn required(table: &Part<'_, '_>, key: &str) -> Result<Expr, Fault> {
    table.formula(key)?.ok_or_else(|| table.missing(key, &format!("{key} = '1 in'")))
}

fn wearer(root: &Part<'_, '_>) -> Result<String, Fault> {
    const WHO: [&str; 4] = ["women", "men", "children", "anyone"];
    let word = root.words("for")?.unwrap_or_else(|| "anyone".into());
    if WHO.contains(&word.as_str()) {
        return Ok(word);
    }
    Err(Fault::new(root.span_of("for"), format!("“{word}” is nobody that is known: {}.", WHO.join(", "))))
}

fn known_dimension(key: &str, at: Span) -> Result<(), Fault> {
    if crate::measure::dimension(key).is_some() {
        return Ok(());
    }
    let hint = did_you_mean(key, crate::measure::dimensions().iter().map(|d| d.key));
    Err(Fault::new(at, format!("“{key}” is no body dimension.{hint}")))
}

fn body_keys(root: &Part<'_, '_>) -> Result<Vec<String>, Fault> {
    let mut seen = BTreeSet::new();
    root.list("needs")?
        .into_iter()
        .map(|(key, at)| {
            known_dimension(key, at)?;
            if !seen.insert(key) {
                return Err(Fault::new(at, format!("“{key}” stands twice in needs.")));
            }
            Ok(key.to_string())
        })
        .collect()
}

/// A limit or default: a formula that is one figure.
fn figure(table: &Part<'_, '_>, key: &str, length: bool) -> Result<Option<f64>, Fault> {
    let Some(expr) = table.formula(key)? else { return Ok(None) };
    match (expr.node, length) {
        (Node::Length(mm), true) => Ok(Some(mm)),
        (Node::Number(n), true) if n.abs() < f64::EPSILON => Ok(Some(0.0)),
        (Node::Number(n), false) => Ok(Some(n)),
        (_, true) => Err(Fault::new(expr.at, format!("“{key}” must be a length with its unit, such as 1 1/2 in."))),
        (_, false) => Err(Fault::new(expr.at, format!("“{key}” must be a plain number, such as 2."))),
    }
}

fn choice(table: &Part<'_, '_>, key: &str, labels: &BTreeMap<String, String>) -> Result<Choice, Fault> {
    table.only(&["kind", "default", "least", "most", "options", "label", "shop", "aside"])?;
    let word = table.words("kind")?.ok_or_else(|| table.missing("kind", "kind = 'length'"))?;
    let missing = |name: &str| table.missing(name, "default = '1 in'");
    let kind = match word.as_str() {
        "length" => ChoiceKind::Length {
            default: figure(table, "default", true)?.ok_or_else(|| missing("default"))?,
            least: figure(table, "least", true)?.unwrap_or(0.0),
            most: figure(table, "most", true)?.ok_or_else(|| missing("most"))?,
        },
        "number" | "count" => ChoiceKind::Number {
            default: figure(table, "default", false)?.ok_or_else(|| missing("default"))?,
            least: figure(table, "least", false)?.unwrap_or(0.0),
            most: figure(table, "most", false)?.ok_or_else(|| missing("most"))?,
            whole: word == "count",
        },
        "word" => {
            let options: Vec<(String, String)> = table
                .list("options")?
                .into_iter()
                .map(|(option, _)| (option.into(), labels.get(option).cloned().unwrap_or_else(|| in_words(option))))
                .collect();
            let default = table.words("default")?.ok_or_else(|| missing("default"))?;
            if !options.iter().any(|(option, _)| *option == default) {
                let hint = did_you_mean(&default, options.iter().map(|(o, _)| o.as_str()));
                return Err(Fault::new(
                    table.span_of("default"),
                    format!("The default “{default}” is not among the options.{hint}"),
                ));
            }
            ChoiceKind::Word { default, options }
        }
        other => {
            return Err(Fault::new(
                table.span_of("kind"),
                format!("“{other}” is no kind of choice: length, number, count or word."),
            ));
        }
    };
    if let ChoiceKind::Length { default, least, most } | ChoiceKind::Number { default, least, most, .. } = kind
        && !(least <= default && default <= most)
    {
        return Err(Fault::new(table.at(), format!("The default of “{key}” is not between its least and most.")));
    }
    let label = table.words("label")?.or_else(|| labels.get(key).cloned()).unwrap_or_else(|| in_words(key));
    Ok(Choice { key: key.into(), label, kind, shop: table.words("shop")?, aside: table.yes("aside")? })
}

fn dimension(table: &Part<'_, '_>, key: &str, _: Span) -> Result<Rule, Fault> {
    if let Ok(Some(inner)) = table.table(key) {
        inner.only(&["rule", "chalk", "when"])?;
        let chalked = !inner.has("chalk") || inner.yes("chalk")?;
        let when = inner.formula("when")?;
        return Ok(Rule { key: key.into(), rule: required(&inner, "rule")?, chalked, when });
    }
    Ok(Rule { key: key.into(), rule: required(table, key)?, chalked: true, when: None })
}

fn refusal(table: &Part<'_, '_>) -> Result<RefusalRule, Fault> {
    table.only(&["when", "say"])?;
    let text = table.told("say")?.ok_or_else(|| table.missing("say", "say = 'Too short for this frill.'"))?;
    Ok(RefusalRule { when: required(table, "when")?, text })
}

fn solve(table: &Part<'_, '_>, key: &str) -> Result<SolveRule, Fault> {
    table.only(&["least", "most", "until", "with", "when"])?;
    let until = required(table, "until")?;
    let Node::Compare(super::super::formula::Comparison::Equal, left, right) = until.node else {
        return Err(Fault::new(until.at, "“until” must be two lengths with = between them."));
    };
    Ok(SolveRule {
        key: key.into(),
        least: required(table, "least")?,
        most: required(table, "most")?,
        left: *left,
        right: *right,
        with: table.words("with")?,
        when: table.formula("when")?,
    })
}

fn cloth(table: &Part<'_, '_>) -> Result<Cloth, Fault> {
    match table.words("cloth")?.as_deref() {
        None | Some("main") => Ok(Cloth::Main),
        Some("lining") => Ok(Cloth::Lining),
        Some("interfacing") => Ok(Cloth::Interfacing),
        Some(other) => {
            Err(Fault::new(table.span_of("cloth"), format!("“{other}” is no cloth: main, lining or interfacing.")))
        }
    }
}

fn grain(table: &Part<'_, '_>, usual: Grain) -> Result<Grain, Fault> {
    match table.words("grain")?.as_deref() {
        None => Ok(usual),
        Some("along") => Ok(Grain::Along),
        Some("across") => Ok(Grain::Across),
        Some("bias") => Ok(Grain::Bias),
        Some(other) => {
            Err(Fault::new(table.span_of("grain"), format!("“{other}” is no grain: along, across or bias.")))
        }
    }
}

/// How far off the grain a piece may lie: whole degrees.
fn off_grain(table: &Part<'_, '_>) -> Result<Option<u16>, Fault> {
    let Some(expr) = table.formula("off_grain")? else { return Ok(None) };
    /// A reader's rounding of an angle, degrees.
    const SAME_DEG: f64 = 1e-9;
    let whole = match expr.node {
        Node::Angle(radians) => {
            (0..=MOST_OFF_GRAIN_DEG).find(|whole| (radians.to_degrees() - f64::from(*whole)).abs() < SAME_DEG)
        }
        _ => None,
    };
    match whole {
        Some(whole) => Ok(Some(whole)),
        None => Err(Fault::new(
            expr.at,
            format!(
                "“off_grain” is whole degrees from 0 to {MOST_OFF_GRAIN_DEG}, such as '2 deg'. What lies further off \
                 has another grain: say so with “grain”."
            ),
        )),
    }
}

fn piece(table: &Part<'_, '_>, key: &str) -> Result<PieceRule, Fault> {
    table.only(&[
        "outline",
        "when",
        "cut",
        "pairs",
        "grain",
        "off_grain",
        "cloth",
        "turned_over",
        "points",
        "chalk",
        "marks",
        "side",
    ])?;
    let (text, offset) = table.text("outline")?.ok_or_else(|| table.missing("outline", "outline = '''…'''"))?;
    let chalk = match table.table("chalk")? {
        None => Vec::new(),
        Some(lines) => lines
            .entries()
            .map(|(label, at)| {
                let (text, offset) = lines.text(label)?.unwrap_or(("", at.start));
                let (from, to) = chalk_line(text, offset)?;
                Ok((label.to_string(), from, to))
            })
            .collect::<Result<_, Fault>>()?,
    };
    Ok(PieceRule {
        key: key.into(),
        when: table.formula("when")?,
        count: table.formula("cut")?,
        pairs: table.yes("pairs")?,
        grain: grain(table, Grain::Along)?,
        off_grain: off_grain(table)?,
        cloth: cloth(table)?,
        turned_over: table.formula("turned_over")?,
        outline: Outline::read(text, offset)?,
        points: table.list("points")?.into_iter().map(|(p, _)| p.to_string()).collect(),
        chalk,
        marks: each(table, "marks", point)?,
        side: side(table)?,
    })
}

/// `piece.edge` in a text.
pub(super) fn edge_named(table: &Part<'_, '_>, key: &str) -> Result<(String, String), Fault> {
    let (text, offset) = table.text(key)?.ok_or_else(|| table.missing(key, &format!("{key} = 'back.waist'")))?;
    let expr = parse(text, offset)?;
    match expr.node {
        Node::EdgeLength(piece, edge) => Ok((piece, edge)),
        _ => Err(Fault::new(expr.at, format!("“{key}” names an edge, such as back.waist."))),
    }
}

fn facing(table: &Part<'_, '_>, key: &str) -> Result<FacingRule, Fault> {
    table.only(&["when", "of", "depth", "allow", "less", "off_grain", "cloth"])?;
    let (piece, edge) = edge_named(table, "of")?;
    Ok(FacingRule {
        key: key.into(),
        when: table.formula("when")?,
        piece,
        edge,
        depth: required(table, "depth")?,
        allow: table.formula("allow")?,
        less: table.formula("less")?,
        off_grain: off_grain(table)?,
        cloth: cloth(table)?,
    })
}

fn strip(table: &Part<'_, '_>, key: &str) -> Result<StripRule, Fault> {
    table.only(&["when", "cut", "length", "width", "join", "grain", "whole", "cloth"])?;
    Ok(StripRule {
        key: key.into(),
        when: table.formula("when")?,
        count: table.formula("cut")?,
        length: required(table, "length")?,
        width: required(table, "width")?,
        join: table.formula("join")?,
        grain: grain(table, Grain::Across)?,
        joined: !table.yes("whole")?,
        cloth: cloth(table)?,
    })
}

fn seam(table: &Part<'_, '_>, key: &str) -> Result<SeamRule, Fault> {
    let inner = table.table(key).ok().flatten();
    let source = inner.as_ref().unwrap_or(table);
    if let Some(inner) = &inner {
        inner.only(&["edges", "when", "fullness", "ease", "corner"])?;
    }
    let edges = required(source, if inner.is_some() { "edges" } else { key })?;
    let Node::Compare(super::super::formula::Comparison::Equal, left, right) = edges.node else {
        return Err(Fault::new(edges.at, "A seam is two runs of edges with = between them: back.side = front.side."));
    };
    let formula = |name: &str| inner.as_ref().map_or(Ok(None), |inner| inner.formula(name));
    let meant_corner = match inner.as_ref().map_or(Ok(None), |inner| inner.words("corner"))?.as_deref() {
        None => false,
        Some("meant") => true,
        Some(other) => {
            return Err(Fault::new(source.span_of("corner"), format!("“{other}”: a corner can only be 'meant'.")));
        }
    };
    Ok(SeamRule {
        key: key.into(),
        when: formula("when")?,
        left: *left,
        right: *right,
        fullness: formula("fullness")?,
        ease: formula("ease")?,
        meant_corner,
    })
}

fn measured(table: &Part<'_, '_>, key: &str, _: Span) -> Result<MeasuredRule, Fault> {
    if let Ok(Some(inner)) = table.table(key) {
        inner.only(&["from", "ease", "when"])?;
        let (when, from) = (inner.formula("when")?, required(&inner, "from")?);
        return Ok(MeasuredRule { key: key.into(), when, from, ease: inner.formula("ease")? });
    }
    Ok(MeasuredRule { key: key.into(), when: None, from: required(table, key)?, ease: None })
}

fn pass(table: &Part<'_, '_>, key: &str) -> Result<PassRule, Fault> {
    table.only(&["opening", "over", "when"])?;
    Ok(PassRule {
        key: key.into(),
        when: table.formula("when")?,
        opening: required(table, "opening")?,
        over: required(table, "over")?,
    })
}

fn note(table: &Part<'_, '_>) -> Result<NoteRule, Fault> {
    table.only(&["when", "say", "warning", "caution"])?;
    let text = table.told("say")?.ok_or_else(|| table.missing("say", "say = 'Stay the edge.'"))?;
    Ok(NoteRule { when: table.formula("when")?, text, warning: table.yes("warning")?, caution: table.yes("caution")? })
}

fn notion(table: &Part<'_, '_>) -> Result<NotionRule, Fault> {
    table.only(&["when", "say"])?;
    let text = table.told("say")?.ok_or_else(|| table.missing("say", "say = 'Zip, {zip_length}'"))?;
    Ok(NotionRule { when: table.formula("when")?, text })
}

fn step(table: &Part<'_, '_>) -> Result<StepRule, Fault> {
    table.only(&["when", "do", "minutes", "stage", "wait_hours"])?;
    let text = table.told("do")?.ok_or_else(|| table.missing("do", "do = 'Join the sides.'"))?;
    let stage = match table.words("stage")?.as_deref() {
        Some("cut") => StepStage::Cut,
        Some("sew") => StepStage::Sew,
        Some("fit") => StepStage::Fit,
        Some("finish") => StepStage::Finish,
        Some(other) => {
            return Err(Fault::new(table.span_of("stage"), format!("“{other}” is no stage: cut, sew, fit or finish.")));
        }
        None => return Err(table.missing("stage", "stage = 'sew'")),
    };
    Ok(StepRule {
        when: table.formula("when")?,
        text,
        minutes: required(table, "minutes")?,
        stage,
        waiting_hours: table.whole("wait_hours")?.unwrap_or(0),
    })
}
