//! The joints between facts and cores, on an order of our own invention: a wrap
//! skirt for a customer of a small workroom.

use std::collections::BTreeMap;

use bodkin::draft::{self, BOOK, DraftError, StepStage, Style};
use bodkin::job::{
    Mark, OpenGarment, PriceError, USUAL_MINUTES, accepted_lay, bolt, calendar, cloths, drafted, input, laid, lay_job,
    minutes, minutes_or_usual, needs_by_width, planned, priced, quote, receipt, used, waits, work,
};
use bodkin::lay;
use bodkin::measure::{BodySide, Length, Showing};
use bodkin::plan::{self, ClothDay};
use bodkin::shop::{
    Account, Body, BodyValue, Charge, ChargeFacts, ChargeId, ChargeKind, ClientId, ClothFacts, Correction,
    CorrectionEnd, CorrectionFacts, CorrectionId, Currency, GarmentFacts, GarmentId, Money, Nap, Order, OrderFacts,
    OrderId, OrderNumber, Payment, PaymentFacts, PaymentId, PaymentKind, PersonId, PricedBy, SeenOn, SetId, Settings,
    Source, Stage, Standing, WaitHours, Wearer, WorkMinutes,
};
use chrono::NaiveDate;
use proptest::prelude::*;

pub fn day(text: &str) -> NaiveDate {
    text.parse().unwrap()
}

fn euro(minor: i64) -> Money {
    Money::new(minor, Currency::new("EUR").unwrap())
}

pub fn settings() -> Settings {
    Settings {
        shop_name: "Harbour Street Workroom".into(),
        hour_rate: euro(1200),
        opened: true,
        base_url: "http://workroom.local:4780".into(),
        ..Settings::before_first_run(Currency::new("EUR").unwrap())
    }
}

pub fn wrap_skirt() -> Style {
    let text = BOOK.iter().find(|style| style.key == "wrap_skirt").unwrap().text;
    Style::read(text).unwrap()
}

/// A reading of our own tape on 2 May 2026.
pub fn taken(length: Length) -> BodyValue {
    BodyValue { length, typed: String::new(), day: day("2026-05-02"), source: Source::Tape, set: SetId::new(1) }
}

pub fn body() -> Body {
    let values = [
        ("waist_girth", Length::inches(29, 4)),
        ("hip_girth", Length::inches(40, 2)),
        ("bust_girth", Length::inches(37, 0)),
        ("waist_to_hem", Length::inches(28, 0)),
    ];
    Body {
        values: values.into_iter().map(|(key, length)| (key.into(), taken(length))).collect(),
        figure: vec!["low_shoulder_left".into()],
        day: Some(day("2026-05-02")),
        corrections: Vec::new(),
    }
}

/// A standing correction seen at the fitting of an earlier skirt, on 9 March 2026.
pub fn seen(id: i64, dimension: &str, side: Option<BodySide>, eighths: i64) -> Correction {
    Correction {
        id: CorrectionId::new(id),
        noted_by: PersonId::new(1),
        at_ms: 0,
        facts: CorrectionFacts {
            wearer: ClientId::new(7),
            garment: Some(GarmentId::new(12)),
            fitting: None,
            day: day("2026-03-09"),
            dimension: dimension.into(),
            side,
            amount: Length::inches(0, eighths),
            words: String::new(),
        },
        seen_on: Some(SeenOn {
            number: OrderNumber { year: 2026, count: 31 },
            letter: bodkin::shop::Letter::A,
            what: "Gored skirt".into(),
        }),
        ended: None,
    }
}

pub fn garment() -> GarmentFacts {
    GarmentFacts {
        cloth: ClothFacts {
            words: "Indigo cotton with white shells".into(),
            width: Some(Length::inches(45, 0)),
            price: Some(euro(840)),
            washed: Some(false),
            ..ClothFacts::UNKNOWN
        },
        fittings: 1,
        ..GarmentFacts::of(ClientId::new(7), "Wrap skirt")
    }
}

const MINUTES: WorkMinutes = WorkMinutes { cut: 60, sew: 210, fit: 30, finish: 75 };

#[test]
fn a_garment_is_drafted_from_its_facts() {
    let (style, settings) = (wrap_skirt(), settings());
    let draft = drafted(&style, &garment(), &body(), &settings).unwrap();
    assert!(draft.sews());
    let working = |key: &str| {
        let row = draft.dimensions.iter().find(|row| row.key == key).unwrap();
        row.working.text(Showing::EIGHTHS)
    };
    assert_eq!(working("waist_line"), "29 1/2 ÷ 4 = 7 3/8");
    // The shop's inch at the side stands behind the style's own.
    assert_eq!(working("waist_line_cut"), "7 3/8 + 1 = 8 3/8");
    // She wants it 28 in long; the style's frill takes 5 of them.
    assert_eq!(working("join_length"), "28 − 5 = 23");
}

#[test]
fn a_garments_own_allowance_goes_before_the_shops_and_a_choice_before_a_finished_length() {
    let (style, settings) = (wrap_skirt(), settings());
    let mut garment = garment();
    garment.allowances = BTreeMap::from([("side_seam".into(), Length::inches(1, 4))]);
    garment.finished = BTreeMap::from([("waist_to_hem".into(), Length::inches(26, 0))]);
    let asked = input(&style, &garment, &body(), &settings);
    assert_eq!(asked.allowances.get("side_seam"), Some(&Length::inches(1, 4)));
    assert_eq!(asked.allowances.get("waist_seam"), settings.allowances.get("waist_seam"));
    assert_eq!(asked.choices.get("finished_length").unwrap(), "26 in");
    garment.choices = BTreeMap::from([("finished_length".into(), "24 1/2".into())]);
    assert_eq!(input(&style, &garment, &body(), &settings).choices.get("finished_length").unwrap(), "24 1/2");
    // A skirt hangs from the waist, whatever else was taken; a dress does not.
    garment.choices.clear();
    garment.finished.insert("shoulder_to_hem".into(), Length::inches(44, 0));
    assert_eq!(input(&style, &garment, &body(), &settings).choices.get("finished_length").unwrap(), "26 in");
    let dress = Style::read(BOOK.iter().find(|book| book.key == "shift_dress").unwrap().text).unwrap();
    assert_eq!(input(&dress, &garment, &body(), &settings).choices.get("finished_length"), None);
}

#[test]
fn standing_corrections_that_the_garment_takes_go_onto_the_body_and_no_others() {
    let (style, settings) = (wrap_skirt(), settings());
    let mut body = body();
    body.corrections =
        vec![seen(1, "waist_girth", None, 4), seen(2, "waist_girth", None, -2), seen(3, "shoulder_length", None, -1)];
    body.corrections[0].ended = Some(CorrectionEnd { day: day("2026-05-01"), reason: String::new() });
    // A new garment takes those in force; a later one waits until it was looked at.
    assert_eq!(body.in_force().keys().map(|id| id.get()).collect::<Vec<_>>(), [2, 3]);
    let waist = |corrections: &[(i64, bool)]| {
        let corrections = corrections.iter().map(|(id, applied)| (CorrectionId::new(*id), *applied)).collect();
        let facts = GarmentFacts { corrections, ..garment() };
        let draft = drafted(&style, &facts, &body, &settings).unwrap();
        let told = |row: &draft::Dimension| row.working.text(Showing::EIGHTHS);
        let line = draft.dimensions.iter().find(|row| row.key == "waist_line").map(told).unwrap();
        (draft.dimensions.iter().find(|row| row.key == "waist_girth").map(told).unwrap_or_default(), line)
    };
    assert_eq!(waist(&[]), (String::new(), "29 1/2 ÷ 4 = 7 3/8".into()));
    assert_eq!(waist(&[(2, false)]), waist(&[]));
    assert_eq!(
        waist(&[(2, true), (3, true)]),
        ("29 1/2 − 1/4 (fitting 9 Mar 2026) = 29 1/4".into(), "29 1/4 ÷ 4 = 7 5/16".into())
    );
    // One that ended stays with the garment that was promised with it.
    assert!(waist(&[(1, true)]).0.starts_with("29 1/2 + 1/2 (fitting 9 Mar 2026) = 30"));
    // Measured since: it may hold no more.
    assert_eq!(body.measured_since(&body.corrections[0]), Some(day("2026-05-02")));
    assert_eq!(body.measured_since(&body.corrections[2]), None);
}

#[test]
fn what_is_still_to_be_taken_is_named() {
    let mut body = body();
    body.values.remove("hip_girth");
    let error = drafted(&wrap_skirt(), &garment(), &body, &settings()).unwrap_err();
    assert!(matches!(&error, DraftError::Missing { keys, .. } if keys == &["hip_girth"]), "{error}");
}

#[test]
fn measures_come_in_tape_order_with_what_is_to_be_known_of_them() {
    let style = wrap_skirt();
    let mut body = body();
    let draft = drafted(&style, &garment(), &body, &settings()).unwrap();
    let marks = |body: &Body, wearer, today| -> Vec<(String, Option<Mark>)> {
        used(&style, Some(&draft), body, wearer, day(today)).into_iter().map(|row| (row.key, row.mark)).collect()
    };
    let assumed = Some(Mark::Assumed { before_cutting: false });
    let rows = |waist, hip| {
        vec![("waist_girth".to_string(), waist), ("waist_to_hip".into(), assumed), ("hip_girth".into(), hip)]
    };
    let mut found = marks(&body, Wearer::Woman, "2026-06-01");
    let mut right = rows(None, None);
    found.sort_by(|a, b| a.0.cmp(&b.0));
    right.sort_by(|a, b| a.0.cmp(&b.0));
    assert_eq!(found, right);
    let mark = |found: &[(String, Option<Mark>)], key: &str| found.iter().find(|row| row.0 == key).unwrap().1;
    // A year stands for a grown woman, three months for a child.
    assert_eq!(mark(&marks(&body, Wearer::Woman, "2027-05-02"), "waist_girth"), None);
    assert_eq!(mark(&marks(&body, Wearer::Woman, "2027-05-03"), "waist_girth"), Some(Mark::Old));
    assert_eq!(mark(&marks(&body, Wearer::Child, "2026-08-02"), "waist_girth"), Some(Mark::Old));
    body.values.get_mut("hip_girth").unwrap().source = Source::Estimate;
    let estimated = mark(&marks(&body, Wearer::Woman, "2026-06-01"), "hip_girth").unwrap();
    assert!(estimated.before_cutting());
    assert_eq!(estimated.to_string(), "estimated: take before cutting");
    body.values.get_mut("hip_girth").unwrap().source = Source::Paper;
    assert_eq!(mark(&marks(&body, Wearer::Woman, "2026-06-01"), "hip_girth"), Some(Mark::NotOurTape(Source::Paper)));
}

#[test]
fn a_draft_is_laid_on_the_cloth_as_it_is_written() {
    let (garment, settings) = (garment(), settings());
    let draft = drafted(&wrap_skirt(), &garment, &body(), &settings).unwrap();
    assert!(cloths(&draft).contains(&draft::Cloth::Main));
    let laid_out = laid(&draft, draft::Cloth::Main, &garment.cloth, &settings).unwrap();
    assert_eq!((laid_out.width, laid_out.width_assumed), (Length::inches(45, 0), false));
    assert!(lay::check(&laid_out.job, &laid_out.lay).is_empty());
    // Every piece and strip of the main cloth is in it, as often as it is cut.
    for piece in draft.pieces.iter().filter(|piece| piece.cloth == draft::Cloth::Main) {
        let part = laid_out.job.parts.iter().find(|part| part.key == piece.key).unwrap();
        assert_eq!((part.count, part.fold.is_some()), (piece.count, piece.on_fold));
    }
    assert_eq!(laid_out.job.strips.len(), draft.strips.len());
    // 3 % shrinkage and an inch at each end, in quarters of a yard.
    assert!(laid_out.need.shrinkage > Length::ZERO);
    assert_eq!(laid_out.need.squaring, Length::inches(2, 0));
    assert_eq!(laid_out.need.to_buy.nm() % Length::inches(9, 0).nm(), 0);
    // The same again is the same lay.
    assert_eq!(laid(&draft, draft::Cloth::Main, &garment.cloth, &settings).unwrap(), laid_out);
    // Washed cloth shrinks no more; nobody knows: it may.
    let washed = ClothFacts { washed: Some(true), ..garment.cloth.clone() };
    let nobody_knows = ClothFacts { washed: None, width: None, ..garment.cloth.clone() };
    assert_eq!(laid(&draft, draft::Cloth::Main, &washed, &settings).unwrap().need.shrinkage, Length::ZERO);
    let assumed = laid(&draft, draft::Cloth::Main, &nobody_knows, &settings).unwrap();
    assert!(assumed.width_assumed && assumed.need.shrinkage > Length::ZERO);
    assert_eq!(assumed.short_by(Length::ZERO), assumed.need.cut_length);
}

#[test]
fn wider_cloth_takes_no_more_length() {
    let (garment, settings) = (garment(), settings());
    let draft = drafted(&wrap_skirt(), &garment, &body(), &settings).unwrap();
    let needs = needs_by_width(&draft, &garment.cloth, &settings);
    assert_eq!(needs.len(), 4);
    let to_buy: Vec<Length> = needs.iter().filter_map(|need| need.need.as_ref().ok()).map(|need| need.to_buy).collect();
    assert!(to_buy.len() >= 3, "{needs:?}");
    assert!(to_buy.first() > to_buy.last(), "{to_buy:?}");
    let metric = Settings { showing: Showing::MILLIMETRES, ..settings };
    assert_eq!(needs_by_width(&draft, &garment.cloth, &metric)[1].width, Length::tenths_of_mm(11_500));
}

#[test]
fn only_the_main_cloth_has_a_nap_and_interfacing_does_not_shrink() {
    let (garment, settings) = (garment(), settings());
    let one_way = ClothFacts { nap: Nap::One, ..garment.cloth };
    let of = |cloth| bolt(cloth, &one_way, &settings, Length::inches(36, 0));
    assert!(of(draft::Cloth::Main).is_one_way() && !of(draft::Cloth::Lining).is_one_way());
    assert!(of(draft::Cloth::Lining).shrink_length > 0.0);
    assert!(of(draft::Cloth::Interfacing).shrink_length.abs() < 1e-12);
    assert!(of(draft::Cloth::Interfacing).shrink_width.abs() < 1e-12);
    // 3 % of 36 in, and two selvedges of 1/2 in; washed cloth lies as wide as it is.
    assert!((of(draft::Cloth::Main).usable_width_mm() - 25.4 * (36.0 * 0.97 - 1.0)).abs() < 1e-6);
    let washed = ClothFacts { washed: Some(true), ..one_way.clone() };
    let washed = bolt(draft::Cloth::Main, &washed, &settings, Length::inches(36, 0));
    assert!((washed.usable_width_mm() - 25.4 * 35.0).abs() < 1e-6);
    let draft = drafted(&wrap_skirt(), &GarmentFacts::of(ClientId::new(1), ""), &body(), &settings).unwrap();
    let job = lay_job(&draft, draft::Cloth::Lining, of(draft::Cloth::Lining));
    assert!(job.parts.is_empty() && job.strips.is_empty());
}

fn lining(minor: i64) -> Charge {
    let facts = ChargeFacts { kind: ChargeKind::Extra, garment: None, words: "half lining".into(), money: euro(minor) };
    Charge { id: ChargeId::new(1), version: 1, order: OrderId::new(1), facts }
}

#[test]
fn a_price_is_cloth_and_extras_and_work() {
    // 2 1/4 yd at 8.40 = 18.90; 6 h 15 min at 12.00 = 75.00; lining 15.00.
    let price = |agreed: Option<i64>| {
        let garment = GarmentFacts { price: agreed.map(euro), ..garment() };
        priced(&garment, Some(Length::inches(81, 0)), MINUTES, &[lining(1500)], &settings()).unwrap()
    };
    let open = price(None);
    assert_eq!(open.reckoned, euro(10_890));
    assert_eq!((open.margin, open.deposit), (None, euro(5445)));
    assert_eq!(
        open.words(),
        "cloth 2 1/4 yd at 8.40 a yard = 18.90 + half lining = 15.00 + work 6 h 15 min at 12.00 an hour = 75.00; 108.90 EUR"
    );
    // Agreed 120: 11.10 over; 86.10 is left for 375 minutes, 13.78 an hour (13.776).
    let agreed = price(Some(12_000));
    assert_eq!(agreed.margin, Some(euro(1110)));
    assert_eq!((agreed.left_for_work, agreed.earned_hour), (euro(8610), Some(euro(1378))));
    assert_eq!((agreed.price(), agreed.deposit), (euro(12_000), euro(6000)));
    assert!(agreed.words().ends_with("; agreed 120.00 EUR"));
    assert_eq!(price(Some(9_000)).margin, Some(euro(-1890)));
}

#[test]
fn a_length_that_is_no_eighth_of_a_yard_is_priced_as_it_is_written() {
    // 2 1/4 yd less 7 mm is not 2 1/4 yd: 2.24 at 8.40 is 18.82, on paper and in the sum.
    let short = Length::from_nm(Length::inches(81, 0).nm() - 7_000_000);
    let sum = priced(&garment(), Some(short), WorkMinutes::default(), &[], &settings()).unwrap();
    assert_eq!((sum.lines[0].words.as_str(), sum.lines[0].money), ("cloth 2.24 yd at 8.40 a yard", euro(1882)));
}

#[test]
fn what_is_not_known_is_left_out_and_said_so() {
    let unknown = GarmentFacts::of(ClientId::new(1), "Dress");
    let no_rate = Settings { hour_rate: euro(0), ..settings() };
    let sum = priced(&unknown, None, MINUTES, &[], &no_rate).unwrap();
    assert_eq!((sum.reckoned, sum.left_out.len()), (euro(0), 2));
    // Her own cloth costs nothing and is not missed.
    let hers = GarmentFacts { cloth: ClothFacts { brought: true, ..ClothFacts::UNKNOWN }, ..unknown.clone() };
    let sum = priced(&hers, None, MINUTES, &[], &settings()).unwrap();
    assert_eq!((sum.reckoned, sum.left_out.len()), (euro(7500), 0));
    // What was bought is paid, not what would have done.
    let by_metre =
        ClothFacts { length: Some(Length::tenths_of_mm(25_000)), priced_by: PricedBy::Metre, ..garment().cloth };
    let bought = GarmentFacts { cloth: by_metre, ..garment() };
    let sum = priced(&bought, Some(Length::inches(81, 0)), WorkMinutes::default(), &[], &settings()).unwrap();
    assert_eq!(sum.lines[0].words, "cloth 2.5 m at 8.40 a metre");
    assert_eq!((sum.lines[0].money, sum.earned_hour), (euro(2100), None));
}

#[test]
fn amounts_that_cannot_be_added_are_refused_in_words() {
    let dollars = Money::new(100, Currency::new("USD").unwrap());
    let garment = GarmentFacts { price: Some(dollars), ..garment() };
    let error = priced(&garment, None, MINUTES, &[], &settings()).unwrap_err();
    assert_eq!(error.to_string(), "1.00 USD is not in EUR, the currency of this shop. Write the amount in EUR.");
    let error = priced(&self::garment(), None, MINUTES, &[lining(i64::MAX), lining(1)], &settings()).unwrap_err();
    assert!(matches!(error, PriceError::TooMuch { .. }));
}

fn open(stage: Stage, fittings: u8) -> OpenGarment {
    OpenGarment {
        id: GarmentId::new(31),
        standing: Standing::Open,
        cancelled: false,
        stage,
        fittings,
        held: 0,
        minutes: Some(WorkMinutes { fit: 30 * u32::from(fittings), ..MINUTES }),
        waits: WaitHours::default(),
        promised: Some(day("2026-05-22")),
        cloth_comes: None,
        fitting: None,
    }
}

/// The tasks left, as stage and minutes.
fn tasks(garment: &OpenGarment) -> Vec<(plan::Stage, u32)> {
    work(garment).map_or_else(Vec::new, |work| work.tasks.iter().map(|task| (task.stage, task.minutes)).collect())
}

#[test]
fn each_stage_leaves_its_tasks() {
    use plan::Stage::{Cut, Finish, Fit, Sew};
    // 70 % of 210 minutes come before the fitting.
    let all = vec![(Cut, 60), (Sew, 147), (Fit, 30), (Sew, 63), (Finish, 75)];
    assert_eq!(tasks(&open(Stage::Booked, 1)), all);
    assert_eq!(tasks(&open(Stage::ClothIn, 1)), all);
    assert_eq!(tasks(&open(Stage::Cut, 1)), all[1..]);
    assert_eq!(tasks(&open(Stage::Tacked, 1)), all[2..]);
    assert_eq!(tasks(&open(Stage::Fitted, 1)), all[3..]);
    assert_eq!(tasks(&open(Stage::Sewn, 1)), all[4..]);
    assert_eq!(tasks(&open(Stage::Finished, 1)), []);
    assert_eq!(tasks(&open(Stage::Collected, 1)), []);
    assert_eq!(tasks(&open(Stage::Cut, 0)), [(Sew, 210), (Finish, 75)]);
    // Two fittings: after each a half of the rest.
    let two = vec![(Cut, 60), (Sew, 147), (Fit, 30), (Sew, 32), (Fit, 30), (Sew, 32), (Finish, 75)];
    assert_eq!(tasks(&open(Stage::Booked, 2)), two);
    // Tacked: as many are to come as were not held, one at the least.
    assert_eq!(tasks(&open(Stage::Tacked, 2)), two[2..]);
    assert_eq!(tasks(&OpenGarment { held: 1, ..open(Stage::Tacked, 2) }), two[4..]);
    assert_eq!(tasks(&OpenGarment { held: 2, ..open(Stage::Tacked, 2) }), two[4..]);
    // Fitted: the second is still to come until it was held.
    assert_eq!(tasks(&open(Stage::Fitted, 2)), two[3..]);
    assert_eq!(tasks(&OpenGarment { held: 1, ..open(Stage::Fitted, 2) }), two[3..]);
    assert_eq!(tasks(&OpenGarment { held: 2, ..open(Stage::Fitted, 2) }), two[5..]);
}

#[test]
fn waiting_and_called_off_work_is_not_planned() {
    assert_eq!(work(&OpenGarment { standing: Standing::OnHold, ..open(Stage::Cut, 1) }), None);
    assert_eq!(work(&OpenGarment { standing: Standing::Cancelled, ..open(Stage::Cut, 1) }), None);
    assert_eq!(work(&OpenGarment { cancelled: true, ..open(Stage::Cut, 1) }), None);
}

#[test]
fn cloth_fitting_and_hanging_reach_the_plan() {
    let booked = open(Stage::Booked, 1);
    assert_eq!(work(&booked).unwrap().cloth, ClothDay::Awaited);
    let comes = OpenGarment { cloth_comes: Some(day("2026-05-06")), ..booked };
    assert_eq!(work(&comes).unwrap().cloth, ClothDay::Expected(day("2026-05-06")));
    assert_eq!(work(&open(Stage::ClothIn, 1)).unwrap().cloth, ClothDay::Here);
    let sewn = WaitHours { sewn: 36, ..WaitHours::default() };
    let arranged = OpenGarment { fitting: Some(day("2026-05-12")), waits: sewn, ..open(Stage::ClothIn, 2) };
    let tasks = work(&arranged).unwrap().tasks;
    let fittings: Vec<_> = tasks.iter().filter(|task| task.stage == plan::Stage::Fit).map(|task| task.on).collect();
    assert_eq!(fittings, [Some(day("2026-05-12")), None]);
    // A day and a half hangs two days, before the finishing.
    assert_eq!(tasks.iter().map(|task| task.hangs).collect::<Vec<_>>(), [0, 0, 0, 0, 0, 2, 0]);
}

#[test]
fn a_garment_hangs_after_the_work_after_which_its_style_has_it_hang() {
    let hangs = |stage: Stage, fittings: u8, waits: WaitHours| {
        let work = work(&OpenGarment { waits, ..open(stage, fittings) }).unwrap();
        work.tasks.iter().map(|task| task.hangs).collect::<Vec<_>>()
    };
    let tacked = WaitHours { tacked: 24, ..WaitHours::default() };
    // Cut, sew, fit, sew, finish: it hangs before the fitting, and that is over once it was tacked.
    assert_eq!(hangs(Stage::Booked, 1, tacked), [0, 1, 0, 0, 0]);
    assert_eq!(hangs(Stage::Tacked, 1, tacked), [0, 0, 0]);
    let all = WaitHours { cut: 1, tacked: 24, sewn: 48 };
    assert_eq!(hangs(Stage::Booked, 1, all), [1, 1, 0, 2, 0]);
    assert_eq!(hangs(Stage::Fitted, 1, all), [2, 0]);
    // Without a fitting all of it comes before the finishing.
    assert_eq!(hangs(Stage::Booked, 0, all), [1, 3, 0]);
    // The book's circle skirt hangs a day before it is levelled on the wearer; the wrap skirt never.
    let circle = Style::read(BOOK.iter().find(|style| style.key == "circle_skirt").unwrap().text).unwrap();
    assert_eq!(waits(&drafted(&circle, &garment(), &body(), &settings()).unwrap()), tacked);
    let wrap = drafted(&wrap_skirt(), &garment(), &body(), &settings()).unwrap();
    assert_eq!(waits(&wrap), WaitHours::default());
    // The same step after the fitting, and after the hem.
    let mut draft = wrap;
    let place = |stage| draft.steps.iter().rposition(|step| step.stage == stage).unwrap();
    let (fit, finish) = (place(StepStage::Fit), place(StepStage::Finish));
    draft.steps[0].waiting_hours = 5;
    draft.steps[fit].waiting_hours = 7;
    draft.steps[finish].waiting_hours = 11;
    assert_eq!(waits(&draft), WaitHours { cut: 5, tacked: 0, sewn: 18 });
}

#[test]
fn a_week_of_orders_is_planned_by_the_shops_hours() {
    let mut settings = settings();
    settings.closed.insert(day("2026-05-05"), "market".into());
    assert!(!calendar(&settings).is_open(day("2026-05-05")));
    let soon = OpenGarment { id: GarmentId::new(1), promised: Some(day("2026-05-08")), ..open(Stage::ClothIn, 0) };
    let later = OpenGarment { id: GarmentId::new(2), ..open(Stage::ClothIn, 0) };
    let held_up = OpenGarment { id: GarmentId::new(3), ..open(Stage::Booked, 0) };
    // Monday 4 May.
    let plan = planned(&[later, held_up, soon], &settings, day("2026-05-04"));
    assert_eq!(plan.first.iter().map(|next| next.id).collect::<Vec<_>>(), [1, 2]);
    let outlook = plan.outlooks.iter().find(|outlook| outlook.id == 1).unwrap();
    assert_eq!(outlook.due.finish_by, Some(day("2026-05-07")));
    // 345 minutes at 70 % of 360 a day: Monday, and Wednesday after the market day.
    assert_eq!(outlook.ready, Some(day("2026-05-06")));
    assert_eq!(outlook.standing, plan::Standing::OnTime);
    // A fortnight before its cutting nobody frets for the cloth.
    assert_eq!(plan.outlooks[1].standing, plan::Standing::OnTime, "{}", plan.outlooks[1].why_text());
    let near = OpenGarment { promised: Some(day("2026-05-09")), ..held_up };
    let plan = planned(&[near], &settings, day("2026-05-04"));
    assert_eq!(plan.outlooks[0].why, [plan::Why::ClothAwaited]);
}

#[test]
fn minutes_come_from_the_steps_or_are_said_to_be_the_usual_ones() {
    let draft = drafted(&wrap_skirt(), &garment(), &body(), &settings()).unwrap();
    let one = minutes(&draft, 1);
    assert_eq!((one.cut, one.fit), (draft.minutes(StepStage::Cut), draft.minutes(StepStage::Fit)));
    assert_eq!((minutes(&draft, 0).fit, minutes(&draft, 3).fit), (0, 3 * one.fit));
    assert_eq!(minutes_or_usual(Some(one), 1), (one, false));
    assert_eq!(minutes_or_usual(None, 0), (WorkMinutes { fit: 0, ..USUAL_MINUTES }, true));
}

#[test]
fn what_was_told_and_laid_is_kept() {
    let (garment, settings) = (GarmentFacts { price: Some(euro(12_000)), ..garment() }, settings());
    let draft = drafted(&wrap_skirt(), &garment, &body(), &settings).unwrap();
    let main = laid(&draft, draft::Cloth::Main, &garment.cloth, &settings).unwrap();
    let minutes = minutes(&draft, 1);
    let sum = priced(&garment, Some(main.need.to_buy), minutes, &[], &settings).unwrap();
    let told = quote(GarmentId::new(31), &sum, Some(&main), minutes);
    assert_eq!((told.price, told.cloth, told.width), (euro(12_000), Some(main.need.to_buy), Some(main.width)));
    assert!(told.words.contains("agreed 120.00 EUR"));
    let lay = accepted_lay(&[GarmentId::new(31)], PersonId::new(1), 5, &main);
    assert_eq!(lay.placements.len(), main.lay.placements.len() + main.lay.bits.len());
    assert!(lay.placements.iter().all(|place| (1..=2).contains(&place.layers)));
    assert!((lay.used.mm() - main.lay.used_length_mm).abs() < 1e-6);
}

#[test]
fn a_receipt_says_what_was_paid_and_what_is_left() {
    let order = Order {
        id: OrderId::new(4),
        version: 1,
        number: OrderNumber { year: 2026, count: 147 },
        taken_by: PersonId::new(1),
        at_ms: 0,
        standing: Standing::Open,
        standing_reason: String::new(),
        facts: OrderFacts {
            client: ClientId::new(7),
            taken: day("2026-05-02"),
            promised: None,
            event: String::new(),
            event_day: None,
            note: String::new(),
        },
    };
    let facts = PaymentFacts {
        kind: PaymentKind::Deposit,
        money: euro(6000),
        day: day("2026-05-02"),
        method: "cash".into(),
        note: String::new(),
    };
    let payment = Payment {
        id: PaymentId::new(1),
        order: order.id,
        who: PersonId::new(1),
        at_ms: 0,
        voids: None,
        voided_by: None,
        facts,
    };
    let text = |paid| {
        let account = Account { due: euro(12_000), paid: euro(paid), deposit: euro(6000) };
        receipt(&order, &payment, account, &settings(), day("2026-05-02")).text
    };
    assert_eq!(
        text(6000),
        "Harbour Street Workroom\nOrder 2026-0147\nDeposit of 60.00 EUR, cash, 2 May 2026\n\
         Order comes to 120.00 EUR, paid 60.00 EUR. Balance 60.00 EUR."
    );
    assert!(text(12_000).ends_with("Paid in full."));
    assert!(text(12_500).ends_with("5.00 EUR too much."));
}

/// The cloth line of a price multiplied out from its words alone: hundredths of a coin.
fn multiplied_out(words: &str) -> i128 {
    let words = words.strip_prefix("cloth ").unwrap();
    let (length, rest) = words.split_once(" yd at ").or_else(|| words.split_once(" m at ")).unwrap();
    let thousandths = |text: &str| -> i128 {
        let (whole, rest) = text.split_once('.').unwrap_or((text, ""));
        format!("{whole}{rest:0<3}").parse().unwrap()
    };
    let length = match length.split_once('/') {
        None => thousandths(length),
        Some((left, under)) => {
            let (whole, over) = left.rsplit_once(' ').unwrap_or(("0", left));
            thousandths(whole) + 1000 * over.parse::<i128>().unwrap() / under.parse::<i128>().unwrap()
        }
    };
    let price = rest.split(' ').next().unwrap();
    // Thousandths of a yard times thousandths of a euro: a cent is 10,000 of them.
    (length * thousandths(price) + 5_000) / 10_000
}

proptest! {
    /// Whoever multiplies the printed length by the printed price gets the printed money.
    #[test]
    fn the_cloth_line_multiplies_out(
        nm in 0_i64..20_000_000_000, eighths in 0_i64..200, price in 0_i64..100_000, metres in any::<bool>(),
    ) {
        let priced_by = if metres { PricedBy::Metre } else { PricedBy::Yard };
        for length in [Length::from_nm(nm), Length::inches(0, eighths * 36), Length::tenths_of_mm(eighths * 500)] {
            let cloth = ClothFacts { price: Some(euro(price)), priced_by, ..garment().cloth };
            let garment = GarmentFacts { cloth, ..garment() };
            let sum = priced(&garment, Some(length), WorkMinutes::default(), &[], &settings()).unwrap();
            let line = &sum.lines[0];
            prop_assert_eq!(i128::from(line.money.minor()), multiplied_out(&line.words), "{}", line.words);
        }
    }

    #[test]
    fn the_lines_of_a_price_add_up(
        yards in 0_i64..400, price in 0_i64..100_000, rate in 0_i64..50_000, minutes in 0_u32..10_000, agreed in 0_i64..9_000_000,
    ) {
        let cloth = ClothFacts { price: Some(euro(price)), ..garment().cloth };
        let garment = GarmentFacts { cloth, price: Some(euro(agreed)), ..garment() };
        let settings = Settings { hour_rate: euro(rate), ..settings() };
        let minutes = WorkMinutes { sew: minutes, ..WorkMinutes::default() };
        let sum = priced(&garment, Some(Length::inches(0, yards * 36)), minutes, &[], &settings).unwrap();
        prop_assert_eq!(sum.lines.iter().map(|line| line.money.minor()).sum::<i64>(), sum.reckoned.minor());
        prop_assert_eq!(sum.reckoned.minor() + sum.margin.unwrap().minor(), agreed);
    }

    #[test]
    fn a_later_stage_never_has_more_left(fittings in 0_u8..=3, sew in 0_u32..2000, fit in 0_u32..200) {
        let minutes = Some(WorkMinutes { cut: 50, sew, fit, finish: 40 });
        let mut before = u64::MAX;
        for stage in Stage::ALL {
            let left = work(&OpenGarment { minutes, ..open(*stage, fittings) }).map_or(0, |work| work.minutes());
            // Rounding a share up to the minute may give back a minute a fitting.
            prop_assert!(left <= before.saturating_add(u64::from(fittings)), "{stage:?}");
            before = left;
        }
    }
}
