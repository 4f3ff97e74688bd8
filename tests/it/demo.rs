//! The invented shop: large enough, in every stage, sound, and the same every time.

use std::collections::{BTreeMap, BTreeSet};
use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::process::{Command, Stdio};
use std::sync::OnceLock;

use bodkin::draft::Style;
use bodkin::job::{self, OpenGarment};
use bodkin::plan;
use bodkin::shop::{ClothMoveKind, ClothOf, FittingState, PaymentKind, Source, Stage, Standing};
use bodkin::store::{ClientSearch, DataFolder, OrderFilter, OrderPage, Store};
use chrono::{Days, NaiveDate};

/// A Wednesday.
fn today() -> NaiveDate {
    NaiveDate::from_ymd_opt(2026, 11, 25).unwrap()
}

/// The shop that the command shows, filled once.
fn shown() -> &'static Shop {
    static SHOWN: OnceLock<Shop> = OnceLock::new();
    SHOWN.get_or_init(|| shop(4, today()))
}

/// Another one, on a Sunday, when it is closed.
fn another() -> &'static Shop {
    static ANOTHER: OnceLock<Shop> = OnceLock::new();
    ANOTHER.get_or_init(|| shop(5, today() + Days::new(4)))
}

struct Shop {
    store: Store,
    today: NaiveDate,
    _folder: tempfile::TempDir,
}

fn shop(seed: u64, today: NaiveDate) -> Shop {
    let folder = tempfile::tempdir().unwrap();
    let store = Store::open(&DataFolder::at(folder.path())).unwrap();
    bodkin::demo::fill(&store, seed, today).unwrap();
    Shop { store, today, _folder: folder }
}

impl Shop {
    fn orders(&self) -> Vec<OrderPage> {
        self.store
            .read(|book| {
                let all = book.orders(&OrderFilter { limit: 10_000, ..OrderFilter::default() })?;
                all.rows.iter().map(|row| book.order_page(row.order.number)).collect()
            })
            .unwrap()
    }

    fn plan(&self) -> plan::Plan {
        self.store
            .read(|book| {
                let rows = book.work(self.today, 1000)?;
                let open: Vec<OpenGarment> = rows
                    .iter()
                    .map(|row| OpenGarment {
                        id: row.garment,
                        standing: row.standing,
                        cancelled: false,
                        stage: row.stage,
                        fittings: row.fittings,
                        held: row.held,
                        minutes: row.minutes,
                        waits: row.waits,
                        promised: row.promised,
                        cloth_comes: row.cloth_comes,
                        fitting: row.next_fitting,
                    })
                    .collect();
                Ok(job::planned(&open, &book.settings()?, self.today))
            })
            .unwrap()
    }
}

#[test]
fn there_are_many_people_and_a_year_of_orders_in_every_stage() {
    let shop = shown();
    let clients =
        shop.store.read(|book| book.clients(&ClientSearch { words: String::new(), limit: 1000, offset: 0 })).unwrap();
    assert!(clients.rows.len() >= 60, "{}", clients.rows.len());
    let orders = shop.orders();
    assert!(orders.len() >= 150, "{}", orders.len());
    let first = orders.iter().map(|order| order.order.facts.taken).min().unwrap();
    assert!((today() - first).num_days() > 350, "{first}");
    let stages: BTreeSet<Stage> =
        orders.iter().flat_map(|order| &order.garments).map(|page| page.garment.stage).collect();
    assert!(Stage::ALL.iter().all(|stage| stages.contains(stage)), "{stages:?}");
    for standing in [Standing::Open, Standing::OnHold, Standing::Cancelled] {
        assert!(orders.iter().filter(|order| order.order.standing == standing).count() >= 2, "{standing:?}");
    }
    let moves = || orders.iter().flat_map(|order| &order.garments).flat_map(|page| &page.moves);
    assert!(moves().any(|moved| moved.from.is_some_and(|from| moved.to < from) && !moved.reason.is_empty()));
    let another_wears = |order: &&OrderPage| order.garments.iter().any(|page| page.wearer.id != order.client.id);
    assert!(orders.iter().filter(another_wears).count() >= 5);
    let kinds: BTreeSet<_> =
        orders.iter().flat_map(|order| &order.payments).map(|payment| payment.facts.kind).collect();
    assert!(PaymentKind::ALL.iter().all(|kind| kinds.contains(kind)), "{kinds:?}");
    assert!(orders.iter().any(|order| order.account.balance().minor() > 0));
    let fittings: BTreeSet<_> = orders.iter().flat_map(|order| &order.fittings).map(|one| one.facts.state).collect();
    assert!(FittingState::ALL.iter().all(|state| fittings.contains(state)), "{fittings:?}");
}

#[test]
fn cloth_lies_on_the_shelf_and_clients_bring_their_own() {
    let shop = shown();
    let (rows, moves) = shop
        .store
        .read(|book| {
            let rows = book.cloths(true)?;
            let moves = rows.iter().map(|row| book.cloth_moves(row.cloth.id, 1000)).collect::<Result<Vec<_>, _>>()?;
            Ok((rows, moves.concat()))
        })
        .unwrap();
    assert!(rows.len() >= 5, "{}", rows.len());
    let lengths: Vec<_> = rows.iter().flat_map(|row| &row.lengths).collect();
    assert!(lengths.iter().any(|length| !length.facts.flaws.is_empty()));
    let kinds: BTreeSet<ClothMoveKind> = moves.iter().map(|step| step.kind).collect();
    for kind in [ClothMoveKind::Bought, ClothMoveKind::Cut, ClothMoveKind::Offcut] {
        assert!(kinds.contains(&kind), "{kinds:?}");
    }
    assert!(moves.iter().all(|step| step.day < shop.today));
    let orders = [shown().orders(), another().orders()].concat();
    let cloths: Vec<_> =
        orders.iter().flat_map(|order| &order.garments).map(|page| &page.garment.facts.cloth).collect();
    assert!(cloths.iter().any(|cloth| cloth.brought && !cloth.flaws.is_empty()), "no flaw was seen");
    assert!(cloths.iter().any(|cloth| cloth.brought && !cloth.lengths.is_empty()), "no remnant was brought");
    assert!(cloths.iter().any(|cloth| cloth.stock.is_some()));
    assert!(orders.iter().flat_map(|order| &order.garments).any(|page| !page.garment.facts.linings.is_empty()));
}

#[test]
fn people_are_measured_more_than_once_and_by_more_than_one_tape() {
    let shop = shown();
    let sets = shop
        .store
        .read(|book| {
            let clients = book.clients(&ClientSearch { words: String::new(), limit: 1000, offset: 0 })?;
            clients.rows.iter().map(|row| book.sets_of(row.client.id)).collect::<Result<Vec<_>, _>>()
        })
        .unwrap();
    assert!(sets.iter().filter(|sets| sets.len() > 1).count() >= 10);
    let sources: BTreeSet<Source> = sets.iter().flatten().map(|set| set.facts.source).collect();
    assert!([Source::Tape, Source::Paper, Source::Import].iter().all(|source| sources.contains(source)), "{sources:?}");
    assert!(sets.iter().flatten().any(|set| !set.facts.figure.is_empty()));
    let sizes: BTreeSet<usize> = sets.iter().flatten().map(|set| set.facts.readings.len()).collect();
    assert!(sizes.len() > 2, "some sets are partial: {sizes:?}");
}

#[test]
fn some_have_standing_corrections_and_their_next_garment_is_drafted_with_them() {
    for shop in [shown(), another()] {
        let people: BTreeSet<_> =
            shop.orders().iter().flat_map(|order| &order.garments).map(|page| page.wearer.id).collect();
        let all: Vec<_> =
            people.iter().flat_map(|who| shop.store.read(|book| book.corrections_of(*who)).unwrap()).collect();
        let standing = all.iter().filter(|one| one.is_in_force()).count();
        assert!(standing >= 3 && standing < all.len(), "{standing} of {} stand, the others ended", all.len());
        let orders = shop.orders();
        let drafted = orders
            .iter()
            .flat_map(|order| &order.garments)
            .filter(|page| page.garment.facts.corrections.values().any(|applied| *applied) && page.style.is_some());
        assert!(drafted.clone().count() >= 2, "{}", drafted.clone().count());
        // A garment is cut with what it was drafted with.
        let cut = drafted.filter_map(|page| page.cut.as_ref());
        assert!(cut.clone().any(|cut| !cut.corrections.is_empty()), "{}", cut.count());
    }
}

#[test]
fn the_book_is_sound_and_nothing_lies_ahead_but_what_was_arranged() {
    let shop = shown();
    assert_eq!(shop.store.read(|book| book.check()).unwrap(), []);
    let morning = today().and_time(chrono::NaiveTime::MIN).and_utc().timestamp_millis();
    for order in shop.orders() {
        assert!(order.payments.iter().all(|payment| payment.at_ms < morning));
        for page in &order.garments {
            let times: Vec<i64> = page.moves.iter().map(|moved| moved.at_ms).collect();
            assert!(times.is_sorted() && times.last().is_some_and(|last| *last < morning), "{}", order.order.number);
        }
        for fitting in &order.fittings {
            let ahead = fitting.facts.day >= today();
            let open = fitting.facts.state == FittingState::Arranged;
            // A fitting behind us was held, missed or called off.
            assert!(ahead || !open, "{}: {fitting:?}", order.order.number);
        }
    }
}

#[test]
fn every_garment_with_a_style_drafts_and_sews() {
    for shop in [shown(), another()] {
        let mut styles: BTreeMap<i64, Style> = BTreeMap::new();
        let mut drafted = 0;
        for order in shop.orders() {
            for page in &order.garments {
                let Some(version) = &page.style else { continue };
                let style = styles.entry(version.id.get()).or_insert_with(|| Style::read(&version.text).unwrap());
                let facts = &page.garment.facts;
                let (body, settings) =
                    shop.store.read(|book| Ok((book.body(facts.wearer, facts.set)?, book.settings()?))).unwrap();
                let name = format!("{} {}", order.order.number, page.garment.letter);
                let draft = job::drafted(style, facts, &body, &settings).unwrap_or_else(|why| panic!("{name}: {why}"));
                assert!(
                    draft.sews(),
                    "{name}: {:?}",
                    draft.truths.iter().filter(|truth| !truth.held).collect::<Vec<_>>()
                );
                assert_eq!(facts.minutes, Some(job::minutes(&draft, facts.fittings)), "{name}");
                assert_eq!(facts.waits, job::waits(&draft), "{name}");
                drafted += 1;
            }
        }
        assert!(drafted > 120, "{drafted}");
    }
}

#[test]
fn on_any_day_it_is_a_busy_week_and_not_everything_is_late() {
    for shop in [shown(), another()] {
        let plan = shop.plan();
        let count = |standing| plan.outlooks.iter().filter(|outlook| outlook.standing == standing).count();
        let (late, risk, fine) =
            (count(plan::Standing::Late), count(plan::Standing::AtRisk), count(plan::Standing::OnTime));
        let said: Vec<String> =
            plan.outlooks.iter().map(plan::Outlook::why_text).filter(|why| !why.is_empty()).collect();
        let day = shop.today;
        assert!((2..=5).contains(&late), "{day}: {late} late: {said:#?}");
        assert!((1..=8).contains(&risk), "{day}: {risk} at risk: {said:#?}");
        assert!(fine > late + risk, "{day}: {fine} in time: {said:#?}");
        let fittings = shop.store.read(|book| book.fittings(day, day + Days::new(2))).unwrap();
        assert!(fittings.iter().filter(|row| row.fitting.facts.state == FittingState::Arranged).count() >= 2);
        let minutes: u64 = plan.first.iter().filter(|task| task.fits_today).map(|task| u64::from(task.minutes)).sum();
        println!("{day}: {late} late, {risk} at risk, {fine} in time, {minutes} minutes today, {said:#?}");
    }
}

#[test]
fn equal_seed_and_day_give_an_equal_shop() {
    let told = |shop: &Shop| format!("{:?}", shop.orders());
    assert_eq!(told(shown()), told(&shop(4, today())));
    assert_ne!(told(shown()), told(another()));
}

#[test]
fn the_command_shows_the_shop_and_leaves_nothing_behind() {
    let place = tempfile::tempdir().unwrap();
    let mut child = Command::new(env!("CARGO_BIN_EXE_bodkin"))
        .args(["demo", "--port", "0"])
        .env("TMPDIR", place.path())
        .env("TMP", place.path())
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    let mut line = String::new();
    BufReader::new(child.stdout.as_mut().unwrap()).read_line(&mut line).unwrap();
    let address = line.split("http://").nth(1).unwrap().split('/').next().unwrap();
    let mut call = TcpStream::connect(address).unwrap();
    write!(call, "GET /orders HTTP/1.1\r\nHost: {address}\r\nConnection: close\r\n\r\n").unwrap();
    let mut answer = String::new();
    call.read_to_string(&mut answer).unwrap();
    assert!(answer.starts_with("HTTP/1.1 200") && answer.contains("Port Ostrel"), "{answer}");
    assert_eq!(std::fs::read_dir(place.path()).unwrap().count(), 1);
    // A polite kill: what Ctrl-C sends.
    #[cfg(unix)]
    {
        let id = child.id().to_string();
        assert!(Command::new("kill").args(["-INT", &id]).status().unwrap().success());
        assert!(child.wait().unwrap().success());
        assert_eq!(std::fs::read_dir(place.path()).unwrap().count(), 0);
    }
    #[cfg(not(unix))]
    child.kill().unwrap();
}

#[test]
fn the_cloth_of_what_was_cut_suffices_and_one_client_brought_too_little() {
    let mut short = Vec::new();
    for order in shown().orders() {
        for page in &order.garments {
            let Some(version) = page.style.as_ref().filter(|_| page.garment.stage >= Stage::ClothIn) else { continue };
            let facts = &page.garment.facts;
            // What came in was measured; what is cut from the shelf lies there, and a lay holds it.
            let Some(have) = facts.cloth.length else {
                assert!(facts.cloth.stock.is_some(), "{}", order.order.number);
                let (lay, held) = shown()
                    .store
                    .read(|book| {
                        Ok((
                            book.newest_lay(page.garment.id, ClothOf::Main)?,
                            book.held_for(page.garment.id, ClothOf::Main)?,
                        ))
                    })
                    .unwrap();
                assert!(lay.is_some_and(|lay| lay.need.is_some()), "{}", order.order.number);
                assert_eq!(held.is_some(), page.garment.stage == Stage::ClothIn, "{}", order.order.number);
                continue;
            };
            let (body, settings) =
                shown().store.read(|book| Ok((book.body(facts.wearer, facts.set)?, book.settings()?))).unwrap();
            let draft = job::drafted(&Style::read(&version.text).unwrap(), facts, &body, &settings).unwrap();
            let need = job::enough(&draft, &facts.cloth, &settings).unwrap();
            if need.short_by(have) > bodkin::measure::Length::ZERO {
                assert!(facts.cloth.brought && page.garment.stage == Stage::ClothIn, "{}", order.order.number);
                short.push(order.order.number);
            }
        }
    }
    assert_eq!(short.len(), 1, "{short:?}");
}
