//! The job sheet as plain values: what stands on it, in which order, and what never does.

use std::collections::BTreeMap;

use bodkin::draft::{self, Draft, DraftError, Style};
use bodkin::job::{Laid, drafted, laid};
use bodkin::lay::LayError;
use bodkin::measure::{BodySide, Length};
use bodkin::sheet::{AlertKind, Facts, JobSheet, figures, job_sheet};
use bodkin::shop::{
    AsAgreed, Body, Client, ClientFacts, ClientId, ClothFacts, CorrectionId, Fitting, FittingFacts, FittingId,
    FittingState, Garment, GarmentFacts, GarmentId, Letter, Order, OrderFacts, OrderId, OrderNumber, PersonId,
    Settings, Source, Stage, Standing, Wearer,
};
use chrono::NaiveTime;

use super::job::{body, day, garment, seen, settings, taken, wrap_skirt};

/// Everything a sheet is made from, to be bent by each test.
struct Counter {
    order: Order,
    garment: Garment,
    wearer: Client,
    style: Style,
    body: Body,
    fittings: Vec<Fitting>,
    settings: Settings,
}

impl Counter {
    fn new() -> Counter {
        let order = OrderFacts {
            client: ClientId::new(7),
            taken: day("2026-05-02"),
            promised: Some(day("2026-05-22")),
            event: "her sister's wedding".into(),
            event_day: Some(day("2026-05-23")),
            note: "pays 120 in three parts, phone only after six".into(),
        };
        let wearer = ClientFacts {
            known_as: "Mette".into(),
            phone: "020 555 0147".into(),
            email: "mette@example.org".into(),
            note: "talks a lot".into(),
            fit_notes: "Lower the left shoulder 1/4\n\nLeaves side seams long".into(),
            wearer: Wearer::Woman,
            ..ClientFacts::named("Mette Aasen-Okafor")
        };
        let facts = GarmentFacts {
            bag: "23".into(),
            cloth: ClothFacts { length: Some(Length::inches(108, 0)), brought: true, ..garment().cloth },
            agreed: AsAgreed { opening: "wraps, ties on the left".into(), ..AsAgreed::default() },
            choices: BTreeMap::from([("frill_depth".into(), "4 1/2".into())]),
            price: Some(bodkin::shop::Money::new(98_765, settings().currency)),
            ..garment()
        };
        Counter {
            order: Order {
                id: OrderId::new(4),
                version: 1,
                number: OrderNumber { year: 2026, count: 147 },
                taken_by: PersonId::new(1),
                at_ms: 0,
                standing: Standing::Open,
                standing_reason: String::new(),
                facts: order,
            },
            garment: Garment {
                id: GarmentId::new(31),
                version: 1,
                order: OrderId::new(4),
                letter: "B".parse::<Letter>().unwrap(),
                stage: Stage::ClothIn,
                cancelled: false,
                facts,
            },
            wearer: Client { id: ClientId::new(7), version: 1, facts: wearer, forgotten_ms: None },
            style: wrap_skirt(),
            body: body(),
            fittings: vec![fitting("2026-05-12", FittingState::Arranged), fitting("2026-05-03", FittingState::Missed)],
            settings: settings(),
        }
    }

    fn draft(&self) -> Result<Draft, DraftError> {
        drafted(&self.style, &self.garment.facts, &self.body, &self.settings)
    }

    fn laid(&self) -> Result<Laid, LayError> {
        laid(&self.draft().unwrap(), draft::Cloth::Main, &self.garment.facts.cloth, &self.settings)
    }

    fn facts(&self) -> Facts<'_> {
        Facts {
            order: &self.order,
            garment: &self.garment,
            wearer: &self.wearer,
            style: Some(&self.style),
            body: &self.body,
            fittings: &self.fittings,
            settings: &self.settings,
            today: day("2026-05-04"),
        }
    }

    /// The sheet with its lay.
    fn sheet(&self) -> JobSheet {
        let draft = self.draft();
        let laid: Vec<_> = draft.iter().map(|_| self.laid()).collect();
        job_sheet(&self.facts(), Some(&draft), &laid)
    }
}

fn fitting(on: &str, state: FittingState) -> Fitting {
    Fitting {
        id: FittingId::new(1),
        version: 1,
        facts: FittingFacts {
            order: OrderId::new(4),
            garment: None,
            day: day(on),
            time: NaiveTime::from_hms_opt(15, 30, 0),
            minutes: 30,
            state,
            note: "bring heels".into(),
        },
    }
}

fn texts(sheet: &JobSheet, kind: AlertKind) -> Vec<&str> {
    sheet.alerts.iter().filter(|alert| alert.kind == kind).map(|alert| alert.text.as_str()).collect()
}

#[test]
fn the_head_says_whose_what_and_when() {
    let mut counter = Counter::new();
    let head = counter.sheet().head;
    assert_eq!((head.name.as_str(), head.what.as_str()), ("Mette", "Wrap skirt"));
    assert_eq!((head.mark.as_str(), head.bag.as_str()), ("2026-0147 B", "23"));
    assert_eq!(head.fittings, ["Tue 12 May 15:30"]);
    assert_eq!((head.unarranged, head.collection.as_deref()), (0, Some("Fri 22 May")));
    // Two planned, one arranged; what was held counts, what was missed does not.
    counter.garment.facts.fittings = 2;
    assert_eq!(counter.sheet().head.unarranged, 1);
    counter.fittings[1].facts.state = FittingState::Held;
    assert_eq!(counter.sheet().head.unarranged, 0);
    // The fitting of another garment is not hers.
    counter.fittings[0].facts.garment = Some(GarmentId::new(32));
    assert!(counter.sheet().head.fittings.is_empty());
}

#[test]
fn no_price_no_telephone_no_remark_is_on_it() {
    let counter = Counter::new();
    let mut sheet = counter.sheet();
    // Coordinates hold any figure.
    (sheet.lays, sheet.pieces, sheet.code) = (Vec::new(), Vec::new(), None);
    let all = format!("{sheet:?}");
    for never in
        ["555", "example.org", "987", "120 in three", "after six", "talks", "Aasen-Okafor", "EUR", "8.40", "heels"]
    {
        assert!(!all.contains(never), "{never}");
    }
    for always in ["Mette", "2026-0147", "Left shoulder low", "Indigo cotton", "29 1/2 ÷ 4 = 7 3/8"] {
        assert!(all.to_lowercase().contains(&always.to_lowercase()), "{always}");
    }
}

#[test]
fn the_box_has_the_gravest_first() {
    let mut counter = Counter::new();
    let kinds: Vec<AlertKind> = counter.sheet().alerts.iter().map(|alert| alert.kind).collect();
    assert!(kinds.is_sorted());
    let sheet = counter.sheet();
    assert_eq!(texts(&sheet, AlertKind::FitNote), ["Lower the left shoulder 1/4", "Leaves side seams long"]);
    assert_eq!(texts(&sheet, AlertKind::Figure).len(), 1);
    // 40 1/4 over 29 1/2 with no dart.
    assert!(texts(&sheet, AlertKind::Warning)[0].contains("The hip is 10 3/4 in more than the waist"));
    let caution = |sheet: &JobSheet| sheet.remarks.iter().any(|remark| remark.contains("long ties are not safe"));
    assert!(texts(&sheet, AlertKind::Caution).is_empty() && caution(&sheet));
    counter.wearer.facts.wearer = Wearer::Child;
    let child = counter.sheet();
    assert!(texts(&child, AlertKind::Caution).len() == 1 && !caution(&child));
    assert!(texts(&sheet, AlertKind::TakeFirst).is_empty() && texts(&sheet, AlertKind::Fails).is_empty());
    counter.body.values.get_mut("hip_girth").unwrap().source = Source::Estimate;
    counter.garment.facts.cloth.length = Some(Length::inches(36, 0));
    counter.garment.facts.cloth.flaws = "a slub 10 in from one end".into();
    let sheet = counter.sheet();
    assert_eq!(texts(&sheet, AlertKind::Flaws), ["a slub 10 in from one end"]);
    assert_eq!(texts(&sheet, AlertKind::TakeFirst), ["Hip girth"]);
    assert!(sheet.alerts.iter().take(2).all(|alert| alert.kind.stops()));
    let short = texts(&sheet, AlertKind::Short)[0];
    assert!(short.contains("there is 1 yd") && short.ends_with("short"), "{short}");
}

#[test]
fn last_corrections_stand_in_the_box_and_beside_the_measure() {
    let mut counter = Counter::new();
    counter.body.corrections = vec![
        seen(1, "waist_girth", None, 4),
        seen(2, "hip_girth", Some(BodySide::Left), -2),
        seen(3, "shoulder_length", None, -1),
        seen(4, "waist_to_hip", None, 2),
    ];
    // Taken by this garment: the first three, of which a skirt has no shoulder; the last one left out.
    counter.garment.facts.corrections = (1..=4).map(|id| (CorrectionId::new(id), id < 4)).collect();
    counter.body.corrections[1].facts.words = "the higher one".into();
    let sheet = counter.sheet();
    assert_eq!(
        texts(&sheet, AlertKind::Standing),
        [
            "Waist girth: let out 1/2 in (fitting 9 Mar 2026)",
            "Hip girth, left: take in 1/4 in (fitting 9 Mar 2026): the higher one"
        ]
    );
    assert!(texts(&sheet, AlertKind::Pinned).is_empty());
    let mark = |term: &str| sheet.measures.body.iter().find(|row| row.term == term).unwrap().mark.clone();
    assert_eq!(mark("Waist girth").as_deref(), Some("drafted as 30"));
    assert_eq!(mark("Hip girth").as_deref(), Some("drafted as 40"));
    assert_eq!(mark("Waist to hip").as_deref(), Some("assumed"));
    let first = &sheet.working[0];
    assert_eq!(
        (first.label.as_str(), first.text.as_str()),
        ("Waist girth as corrected", "29 1/2 + 1/2 (fitting 9 Mar 2026) = 30")
    );
    // Seen on this very garment, which is cut: the cloth is to be altered.
    counter.body.corrections[3].facts.garment = Some(counter.garment.id);
    assert!(texts(&counter.sheet(), AlertKind::Pinned).is_empty(), "before the scissors there is nothing to alter");
    counter.garment.stage = Stage::Tacked;
    let sheet = counter.sheet();
    assert_eq!(texts(&sheet, AlertKind::Pinned), ["Waist to hip: longer 1/4 in (fitting 9 Mar 2026)"]);
    assert!(sheet.alerts.is_sorted_by_key(|alert| alert.kind));
    // Drafted anew with it, nothing is left to pin.
    counter.garment.facts.corrections.insert(CorrectionId::new(4), true);
    assert!(texts(&counter.sheet(), AlertKind::Pinned).is_empty());
}

#[test]
fn one_line_says_what_was_checked_and_how_much_was_assumed() {
    let mut counter = Counter::new();
    counter.body.values.retain(|key, _| key == "waist_girth" || key == "hip_girth");
    let all = counter.draft().unwrap().truths.len();
    assert_eq!(counter.sheet().checked, Some(format!("Checked: all {all} hold; 1 value assumed.")));
    let seams = "'back.side + back.lower = over_front.side + over_front.lower'";
    let spoilt = counter.style.text().replacen(seams, "'back.side + back.lower = over_front.leading'", 1);
    counter.style = Style::read(&spoilt).unwrap();
    let words = counter.sheet().checked.unwrap();
    assert!(words.contains(&format!(" of {all} do not hold; 1 value assumed.")), "{words}");
    counter.body.values.clear();
    assert_eq!(counter.sheet().checked, None);
}

#[test]
fn cloth_that_cannot_be_cut_from_is_named() {
    let mut counter = Counter::new();
    counter.garment.facts.cloth.width = Some(Length::inches(12, 0));
    let sheet = counter.sheet();
    assert_eq!(texts(&sheet, AlertKind::NotLaid).len(), 1);
    assert!(sheet.alerts[0].kind.stops() && sheet.lays.is_empty() && !sheet.cut_list.is_empty());
}

#[test]
fn a_truth_that_does_not_hold_stands_in_the_box() {
    let counter = Counter::new();
    let mut draft = counter.draft().unwrap();
    draft.truths[0].held = false;
    let what = draft.truths[0].what.clone();
    let sheet = job_sheet(&counter.facts(), Some(&Ok(draft)), &[]);
    assert!(texts(&sheet, AlertKind::Fails)[0].starts_with(&what));
}

#[test]
fn a_sheet_without_a_draft_says_why_and_leaves_room_for_the_tape() {
    let mut counter = Counter::new();
    counter.body.values.remove("hip_girth");
    let sheet = counter.sheet();
    assert!(texts(&sheet, AlertKind::NoDraft)[0].contains("Hip girth"));
    assert_eq!(texts(&sheet, AlertKind::TakeFirst), ["Hip girth"]);
    let hip = sheet.measures.body.iter().find(|row| row.term == "Hip girth").unwrap();
    assert_eq!((hip.figure.as_deref(), hip.mark.as_deref()), (None, Some("still to be taken")));
    assert!(sheet.cut_list.is_empty() && sheet.lays.is_empty() && sheet.pieces.is_empty());
    // Work without a style is no fault.
    let plain = job_sheet(&Facts { style: None, ..counter.facts() }, None, &[]);
    assert!(texts(&plain, AlertKind::NoDraft).is_empty() && plain.measures.body.is_empty());
    assert_eq!(plain.head.what, "Wrap skirt");
}

#[test]
fn measures_stand_in_tape_order_with_the_day_they_differ_by() {
    let mut counter = Counter::new();
    counter.body.values.insert(
        "waist_to_hip".into(),
        bodkin::shop::BodyValue { day: day("2026-04-20"), ..taken(Length::inches(8, 2)) },
    );
    let measures = counter.sheet().measures;
    assert_eq!(measures.day.as_deref(), Some("Sat 2 May 2026"));
    let rows: Vec<_> = measures.body.iter().map(|row| (row.term.as_str(), row.figure.as_deref().unwrap())).collect();
    assert_eq!(rows.iter().find(|row| row.0 == "Waist girth").unwrap().1, "29 1/2");
    let places: Vec<_> = ["waist_girth", "waist_to_hip", "hip_girth"].map(bodkin::measure::tape_place).into();
    let mut in_order: Vec<_> = ["Waist girth", "Waist to hip", "Hip girth"].into_iter().zip(places).collect();
    in_order.sort_by_key(|row| row.1);
    assert_eq!(rows.iter().map(|row| row.0).collect::<Vec<_>>(), in_order.iter().map(|row| row.0).collect::<Vec<_>>());
    let days: Vec<_> = measures.body.iter().filter_map(|row| row.day.as_deref()).collect();
    assert_eq!(days, ["Mon 20 Apr 2026"]);
    assert_eq!(measures.finished, [("Waist to hem".to_string(), "28".to_string())]);
}

#[test]
fn what_was_chosen_is_agreed_and_allowances_are_not() {
    let agreed = Counter::new().sheet().agreed;
    let value = |label: &str| agreed.iter().find(|row| row.0 == label).map(|row| row.1.as_str());
    assert_eq!(value("Opening"), Some("wraps, ties on the left"));
    assert_eq!(value("Frill depth, finished"), Some("4 1/2"));
    assert_eq!(value("Fullness of the frill"), Some("2"));
    assert_eq!(value("Frill along"), Some("the leading edge and the whole hem"));
    assert_eq!(value("Finished length, waist to hem"), Some("28"));
    assert!(!agreed.iter().any(|row| row.0.to_lowercase().contains("allowance")), "{agreed:?}");
}

#[test]
fn cloth_says_what_is_needed_and_what_there_is() {
    let mut counter = Counter::new();
    let cloth = counter.sheet().cloths.remove(0);
    assert_eq!((cloth.have.as_deref(), cloth.washed), (Some("3 yd"), Some(false)));
    assert_eq!((cloth.width.as_str(), cloth.width_assumed), ("45 in", false));
    assert!(cloth.sum.ends_with(&format!("buy {}", cloth.buy)));
    assert_eq!(cloth.enough, Some(counter.laid().unwrap().need.cut_length <= Length::inches(108, 0)));
    // Of several lengths all are told, and one that suffices is enough; else the cloth page says how.
    let mut with = |first: i64, further: i64| {
        let cloth = &mut counter.garment.facts.cloth;
        (cloth.length, cloth.lengths) = (Some(Length::inches(first, 0)), vec![Length::inches(further, 0)]);
        let sheet = counter.sheet();
        let short = sheet.alerts.iter().find(|alert| alert.kind == AlertKind::Short).map(|alert| alert.text.clone());
        (sheet.cloths[0].have.clone().unwrap(), sheet.cloths[0].enough, short)
    };
    let (have, enough, short) = with(9, 360);
    assert_eq!((have.as_str(), enough, short), ("9 in and 10 yd", Some(true), None));
    let (have, enough, short) = with(9, 18);
    assert!(enough.is_none() && have == "9 in and 18 in", "{have}");
    assert!(short.as_ref().is_some_and(|short| short.contains("there is 9 in and 18 in: ")), "{short:?}");
    let (_, enough, short) = with(72, 72);
    assert!(enough.is_none() && short.as_ref().is_some_and(|short| short.contains("each too short")), "{short:?}");
    counter.garment.facts.cloth = ClothFacts::UNKNOWN;
    let cloth = counter.sheet().cloths.remove(0);
    assert!(cloth.width_assumed && cloth.have.is_none() && cloth.enough.is_none());
}

#[test]
fn the_cut_list_has_every_piece_and_strip_with_its_allowances() {
    let counter = Counter::new();
    let (draft, sheet) = (counter.draft().unwrap(), counter.sheet());
    assert_eq!(sheet.cut_list.len(), draft.pieces.len() + draft.strips.len());
    let row = |piece: &str| sheet.cut_list.iter().find(|row| row.piece == piece).unwrap();
    let back = row("Back");
    assert_eq!((back.count, back.manner.as_str()), (1, "on the fold"));
    assert_eq!(back.detail, "waist and hem 1/2; side and lower edge 1");
    assert_eq!(row("Over-front").manner, "single");
    let frill = row("Frill");
    assert_eq!(frill.manner, "across");
    // 4 1/2 + 1/2 + 1/2 deep; its lengths sew up to the strip.
    assert!(frill.detail.starts_with("5 1/2 deep, "), "{}", frill.detail);
    assert!(frill.detail.contains(" lengths: "), "{}", frill.detail);
    // Waist and 20 in: a tie along the grain has no join in it.
    let tie = row("Long tie");
    assert!(!tie.detail.contains(" lengths: "), "{}", tie.detail);
    let letters: std::collections::BTreeSet<_> = sheet.cut_list.iter().map(|row| &row.letter).collect();
    assert_eq!(letters.len(), sheet.cut_list.len());
    // The lay and the drawings name the pieces by the same letters.
    assert!(sheet.lays[0].1.pieces.iter().all(|piece| letters.contains(&piece.letter)));
    assert!(sheet.pieces.iter().all(|piece| letters.contains(&piece.letter)));
}

#[test]
fn pieces_carry_their_chalk_figures_and_the_working_is_beside() {
    let sheet = Counter::new().sheet();
    let back = &sheet.pieces[0];
    let figures: Vec<_> = back.chalk.iter().map(|line| (line.label.as_str(), line.figure.as_str())).collect();
    assert!(figures.contains(&("Waist line", "7 3/8")), "{figures:?}");
    // 40 1/4 ÷ 4, not rounded to the shop's eighths: the working beside it says the same.
    assert!(figures.contains(&("Hip line", "10 1/16")), "{figures:?}");
    let fold = back.fold.as_ref().unwrap();
    // 28 less the frill's 4 1/2.
    assert_eq!(fold.2, "23 1/2");
    assert!(back.edges.iter().any(|mark| mark.figure == "1"));
    let waist = sheet.working.iter().find(|row| row.label == "Waist line").unwrap();
    assert_eq!(waist.text, "29 1/2 ÷ 4 = 7 3/8");
}

#[test]
fn steps_are_numbered_and_their_minutes_add_up() {
    let sheet = Counter::new().sheet();
    assert_eq!(sheet.steps.iter().map(|step| step.minutes).sum::<u32>(), sheet.minutes);
    assert_eq!(
        sheet.steps.iter().map(|step| step.number).collect::<Vec<_>>(),
        (1..=sheet.steps.len()).collect::<Vec<_>>()
    );
    assert_eq!(sheet.steps[0].stage, "cut");
    assert!(sheet.notions.iter().any(|notion| notion.starts_with("Press stud")));
    assert!(sheet.remarks.iter().any(|remark| remark.contains("on the bias")));
    assert_eq!(figures().map(|figure| figure.words), ["Front", "Back"]);
}

#[test]
fn the_code_leads_to_the_garment_and_is_left_out_without_an_address() {
    let mut counter = Counter::new();
    counter.settings.base_url = "http://workroom.local:4780/".into();
    assert_eq!(counter.sheet().code.unwrap().address, "http://workroom.local:4780/orders/2026-0147/B");
    counter.settings.base_url = " ".into();
    assert_eq!(counter.sheet().code, None);
}
