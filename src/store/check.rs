//! Whether the book is whole: the file itself, the links between its rows, and
//! what bodkin keeps beside the facts for its lists.

use std::fmt;

use super::order::IS_OPEN;
use super::{DataFolder, Reader, StoreError, connect};

/// One thing that is not as it should be.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Finding {
    /// What was looked at: `stage is where the last move went`.
    pub rule: &'static str,
    /// What was found: ids and values, no names.
    pub found: String,
}

impl fmt::Display for Finding {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: {}", self.rule, self.found)
    }
}

/// The most findings of one rule that are told.
const MOST: usize = 20;

/// A rule and the query that finds what breaks it, one text for each.
const RULES: [(&str, &str); 19] = [
    (
        "order numbers have no gaps within a year",
        "SELECT year || ': ' || count(*) || ' orders, last number ' || max(count) FROM shop_order
          GROUP BY year HAVING count(*) <> max(count)",
    ),
    (
        "letters have no gaps within an order",
        "SELECT 'order ' || order_id || ': ' || count(*) || ' garments, last place ' || max(letter) FROM garment
          GROUP BY order_id HAVING count(*) <> max(letter) + 1",
    ),
    (
        "a garment is where its last move went",
        "SELECT 'garment ' || g.id || ': ' || g.stage FROM garment g
          WHERE g.stage IS NOT (SELECT m.to_stage FROM stage_move m WHERE m.garment_id = g.id ORDER BY m.id DESC LIMIT 1)",
    ),
    (
        "each move begins where the last one ended",
        "SELECT 'move ' || id FROM (SELECT id, from_stage,
                lag(to_stage) OVER (PARTITION BY garment_id ORDER BY id) AS last FROM stage_move)
          WHERE from_stage IS NOT last",
    ),
    (
        "a void names a payment of the same order, amount and currency",
        "SELECT 'payment ' || v.id FROM payment v JOIN payment p ON p.id = v.voids
          WHERE p.order_id <> v.order_id OR p.minor <> v.minor OR p.currency <> v.currency OR p.kind = 'void'",
    ),
    (
        "no more is given back than was paid",
        "SELECT 'order ' || order_id || ': ' || paid FROM account WHERE paid < 0",
    ),
    (
        "all money is in the shop's currency",
        "SELECT t || ' ' || id || ': ' || currency FROM (
             SELECT 'payment' AS t, id, currency FROM payment UNION ALL SELECT 'charge', id, currency FROM charge
             UNION ALL SELECT 'garment', id, currency FROM garment WHERE minor IS NOT NULL OR cloth_minor IS NOT NULL
             UNION ALL SELECT 'quote', id, currency FROM quote
             UNION ALL SELECT 'cloth', id, currency FROM cloth WHERE minor IS NOT NULL)
          WHERE currency <> (SELECT currency FROM settings)",
    ),
    (
        "papers have no gaps within a kind",
        "SELECT kind || ': ' || count(*) || ' papers, last number ' || max(number) FROM paper
          GROUP BY kind HAVING count(*) <> max(number)",
    ),
    (
        "a garment pins measures of its wearer",
        "SELECT 'garment ' || g.id FROM garment g JOIN measure_set s ON s.id = g.set_id WHERE s.wearer_id <> g.wearer_id",
    ),
    (
        "a garment is drafted with corrections of its wearer",
        "SELECT 'garment ' || g.id FROM garment_correction k JOIN garment g ON g.id = k.owner
           JOIN correction c ON c.id = k.key WHERE c.wearer_id <> g.wearer_id",
    ),
    (
        "a corrected set is of the same person",
        "SELECT 'set ' || n.id FROM measure_set n JOIN measure_set s ON s.id = n.corrects WHERE s.wearer_id <> n.wearer_id",
    ),
    (
        "a style takes one of its own versions",
        "SELECT 'style ' || s.id FROM style s LEFT JOIN style_version v ON v.id = s.current_id
          WHERE v.style_id IS NOT s.id",
    ),
    (
        "no length of cloth was ever below nought",
        "SELECT 'length ' || length_id || ': ' || min(there) FROM (
             SELECT length_id, sum(nm) OVER (PARTITION BY length_id ORDER BY id) AS there FROM cloth_move)
          WHERE there < 0 GROUP BY length_id",
    ),
    (
        "cloth is held on a length of the garment's own cloth",
        "SELECT 'garment ' || g.id FROM cloth_held h JOIN lay y ON y.id = h.lay_id
           JOIN laid_garment m ON m.lay_id = h.lay_id JOIN garment g ON g.id = m.garment_id
           JOIN cloth_length l ON l.id = h.length_id
          WHERE l.cloth_id IS NOT CASE y.cloth WHEN 'main' THEN g.cloth_stock_id
                ELSE (SELECT k.stock_id FROM garment_lining k WHERE k.owner = g.id AND k.key = y.cloth) END",
    ),
    (
        // Or for a garment's own, since which it was laid with others alone: those have no length yet.
        "cloth is held for the lay that was accepted last",
        "SELECT 'garment ' || m.garment_id FROM cloth_held h JOIN lay y ON y.id = h.lay_id
           JOIN laid_garment m ON m.lay_id = h.lay_id
          WHERE EXISTS (SELECT 1 FROM laid_garment k JOIN lay n ON n.id = k.lay_id
                         WHERE k.garment_id = m.garment_id AND k.lay_id > m.lay_id AND n.cloth = y.cloth
                           AND (n.layout = 'set_aside'
                                OR (SELECT count(*) FROM laid_garment c WHERE c.lay_id = y.id) > 1
                                OR (SELECT count(*) FROM laid_garment c WHERE c.lay_id = n.id) = 1))",
    ),
    (
        "cloth is held once for each cloth of a garment",
        "SELECT 'garment ' || m.garment_id || ', ' || y.cloth FROM cloth_held h JOIN lay y ON y.id = h.lay_id
           JOIN laid_garment m ON m.lay_id = h.lay_id GROUP BY m.garment_id, y.cloth HAVING count(*) > 1",
    ),
    (
        "a lay is of the garment that it names first",
        "SELECT 'lay ' || l.id FROM lay l LEFT JOIN laid_garment m ON m.lay_id = l.id AND m.place = 1
          WHERE m.garment_id IS NOT l.garment_id",
    ),
    (
        "every action changed something",
        "SELECT 'action ' || id FROM action WHERE NOT EXISTS (SELECT 1 FROM change c WHERE c.action_id = action.id)",
    ),
    (
        "nothing may be emptied outside of forgetting",
        "SELECT 'permit ' || id FROM permit WHERE forgetting <> 0",
    ),
];

/// Tables of which each row was written by an action that has a change row for it.
const AUDITED: [(&str, &str); 18] = [
    ("client", "client"),
    ("order", "shop_order"),
    ("garment", "garment"),
    ("move", "stage_move"),
    ("payment", "payment"),
    ("charge", "charge"),
    ("measures", "measure_set"),
    ("fitting", "fitting"),
    ("quote", "quote"),
    ("cut", "cut_record"),
    ("lay", "lay"),
    ("paper", "paper"),
    ("correction", "correction"),
    ("correction_end", "correction_end"),
    ("cloth", "cloth"),
    ("cloth_length", "cloth_length"),
    ("cloth_move", "cloth_move"),
    ("cloth_held", "cloth_held"),
];

/// What a look at a book found.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Checked {
    /// Whatever is not as it should be; empty when all is well.
    pub findings: Vec<Finding>,
    /// The version of the book when it is older than this program's: its file and links were
    /// looked at, its facts were not, since the rules are those of a newer book.
    pub older: Option<i64>,
}

/// Looks over the book of a folder without changing anything: an older one stays as old as it is.
///
/// # Errors
/// [`StoreError`] when there is no book, or it cannot even be read.
pub fn check_folder(folder: &DataFolder) -> Result<Checked, StoreError> {
    check_as(folder, i64::try_from(connect::migrations().len()).unwrap_or(i64::MAX))
}

/// As a program does that knows books up to this version.
fn check_as(folder: &DataFolder, known: i64) -> Result<Checked, StoreError> {
    folder.is_there()?;
    let file = folder.book();
    let (mut connection, found) = connect::open_to_look(folder, known).map_err(|why| why.on_opening(&file))?;
    let transaction = connection.transaction()?;
    let book = Reader { connection: &transaction };
    if found < known {
        return Ok(Checked { findings: book.check_file()?, older: Some(found) });
    }
    Ok(Checked { findings: book.check()?, older: None })
}

impl Reader<'_> {
    /// Looks the whole book over; an empty list means that all is well. Takes seconds on a large book.
    ///
    /// # Errors
    /// [`StoreError`] when the book cannot even be read.
    pub fn check(&self) -> Result<Vec<Finding>, StoreError> {
        let mut findings = self.check_file()?;
        for (rule, sql) in RULES {
            findings.extend(self.texts(sql)?.into_iter().map(|found| Finding { rule, found }));
        }
        let open = format!("SELECT 'order ' || id FROM shop_order WHERE is_open <> {IS_OPEN}");
        for found in self.texts(&open)? {
            findings.push(Finding { rule: "an order is open while something is to be handed over", found });
        }
        for (noun, table) in AUDITED {
            let sql = format!(
                "SELECT '{noun} ' || id FROM {table} t
                  WHERE NOT EXISTS (SELECT 1 FROM change c WHERE c.noun = '{noun}' AND c.row = t.id)"
            );
            for found in self.texts(&sql)? {
                findings.push(Finding { rule: "every row was written by an action", found });
            }
        }
        Ok(findings)
    }

    /// The file and its links: what holds for a book of any version.
    fn check_file(&self) -> Result<Vec<Finding>, StoreError> {
        let mut findings = Vec::new();
        let file: Vec<String> = self.texts("PRAGMA integrity_check")?;
        let torn = file.into_iter().filter(|line| line != "ok");
        findings.extend(torn.map(|found| Finding { rule: "the file is whole", found }));
        for found in self
            .texts("SELECT \"table\" || ' ' || COALESCE(rowid, '') || ' to ' || parent FROM pragma_foreign_key_check")?
        {
            findings.push(Finding { rule: "every link leads to a row", found });
        }
        Ok(findings)
    }

    fn texts(&self, sql: &str) -> Result<Vec<String>, StoreError> {
        let mut query = self.connection.prepare(sql)?;
        let rows = query.query_map([], |row| row.get::<_, String>(0))?;
        Ok(rows.take(MOST).collect::<Result<_, _>>()?)
    }
}

#[cfg(test)]
mod tests {
    use rusqlite::Connection;

    use super::*;
    use crate::measure::Length;
    use crate::shop::{
        AcceptedLay, BookText, ClientFacts, ClothFacts, ClothOf, CorrectionFacts, Currency, GarmentFacts, LayId,
        LengthFacts, Money, OrderFacts, PaperFacts, PaperKind, PaymentFacts, PaymentKind, SetFacts, Source, Stage,
        StockFacts,
    };
    use crate::store::{DataFolder, OWNER, Store};

    /// A book with something in every table that a rule looks at.
    fn book() -> (tempfile::TempDir, Store) {
        let place = tempfile::tempdir().unwrap();
        let store = Store::open(&DataFolder::at(place.path())).unwrap();
        let day = "2026-11-02".parse().unwrap();
        let money = Money::new(100, Currency::new("EUR").unwrap());
        store
            .write(OWNER, 0, "filled the book", |book| {
                book.offer_book(&[BookText { key: "apron", label: "Apron", text: "" }], "1")?;
                book.add_client(&ClientFacts::named("Ida"))?;
                let client = book.add_client(&ClientFacts::named("Maren"))?;
                let mut facts = SetFacts {
                    wearer: client,
                    day,
                    over: String::new(),
                    source: Source::Tape,
                    note: String::new(),
                    figure: vec!["stooped".into()],
                    readings: Vec::new(),
                    corrects: None,
                    garment: None,
                };
                let set = book.add_set(&facts)?;
                facts.corrects = Some(set);
                book.add_set(&facts)?;
                let event = String::new();
                let facts =
                    OrderFacts { client, taken: day, promised: None, event, event_day: None, note: String::new() };
                let (order, _) = book.add_order(&facts)?;
                let mut facts =
                    GarmentFacts { set: Some(set), price: Some(money), ..GarmentFacts::of(client, "Apron") };
                let correction = book.add_correction(&CorrectionFacts {
                    wearer: client,
                    garment: None,
                    fitting: None,
                    day,
                    dimension: "waist_girth".into(),
                    side: None,
                    amount: crate::measure::Length::INCH,
                    words: String::new(),
                })?;
                facts.corrections.insert(correction, true);
                let (garment, _) = book.add_garment(order, &facts)?;
                book.move_garment(garment, Stage::Booked, Stage::Cut, "")?;
                let paid = |kind| PaymentFacts { kind, money, day, method: String::new(), note: String::new() };
                book.take_payment(order, &paid(PaymentKind::Part))?;
                let wrong = book.take_payment(order, &paid(PaymentKind::Part))?;
                book.void_payment(wrong, day, "slip")?;
                let cloth = book.add_cloth(&StockFacts::named("linen"))?;
                let came = LengthFacts { day, washed: None, flaws: String::new(), place: String::new() };
                book.add_length(cloth, &came, Length::inches(90, 0), None)?;
                let linen = GarmentFacts {
                    cloth: ClothFacts { stock: Some(cloth), ..ClothFacts::UNKNOWN },
                    ..GarmentFacts::of(client, "Skirt")
                };
                let (skirt, _) = book.add_garment(order, &linen)?;
                let lay = AcceptedLay {
                    id: LayId::new(0),
                    cloth: ClothOf::Main,
                    garments: vec![skirt],
                    who: OWNER,
                    at_ms: 0,
                    width: Length::inches(45, 0),
                    used: Length::inches(40, 0),
                    need: Some(Length::inches(42, 0)),
                    layout: "open".into(),
                    folded: Length::ZERO,
                    fold_at: Length::ZERO,
                    seed: 1,
                    evaluations: 1,
                    placements: Vec::new(),
                };
                // Laid twice: what is held is held for the second.
                book.accept_lay(&lay)?;
                book.accept_lay(&lay)?;
                let text = String::new();
                book.issue_paper(&PaperFacts { kind: PaperKind::Receipt, order, day, money, text })
            })
            .unwrap();
        (place, store)
    }

    /// Every file of the folder with its bytes.
    fn bytes(store: &DataFolder) -> Vec<(std::path::PathBuf, Vec<u8>)> {
        let files = std::fs::read_dir(store.path()).unwrap().map(|entry| entry.unwrap().path());
        let mut found: Vec<_> = files.map(|file| (file.clone(), std::fs::read(&file).unwrap())).collect();
        found.sort();
        found
    }

    #[test]
    fn looking_at_a_book_changes_no_byte_of_it_and_leaves_an_older_one_as_old_as_it_is() {
        let (place, store) = book();
        drop(store);
        let folder = DataFolder::at(place.path());
        let before = bytes(&folder);
        assert_eq!(check_folder(&folder).unwrap(), Checked { findings: vec![], older: None });
        // A program that knows one version more than this one finds an older book.
        let known = i64::try_from(connect::migrations().len()).unwrap();
        let older = Checked { findings: vec![], older: Some(known) };
        assert_eq!(check_as(&folder, known + 1).unwrap(), older);
        assert_eq!(bytes(&folder), before);
        assert!(matches!(check_as(&folder, 0), Err(StoreError::Newer { found, known: 0, .. }) if found == known));
        // A copy, as it lies in the folder “backups”, has no log beside it and gets none.
        let copy = tempfile::tempdir().unwrap();
        let folder = DataFolder::at(copy.path());
        Store::open(&DataFolder::at(place.path())).unwrap().backup(&folder.book()).unwrap();
        let before = bytes(&folder);
        assert_eq!(check_folder(&folder).unwrap().findings, []);
        assert_eq!(bytes(&folder), before);
        // Links are looked at whatever the version.
        let axe = Connection::open(folder.book()).unwrap();
        axe.pragma_update(None, "foreign_keys", false).unwrap();
        axe.execute("UPDATE shop_order SET client_id = 99", []).unwrap();
        assert_eq!(check_as(&folder, known + 1).unwrap().findings[0].rule, "every link leads to a row");
        // Where there is no book none is made.
        let nothing = tempfile::tempdir().unwrap();
        let folder = DataFolder::at(nothing.path());
        assert!(matches!(check_folder(&folder), Err(StoreError::NoBook { .. })));
        assert_eq!(bytes(&folder), []);
        let missing = DataFolder::at(&nothing.path().join("nowhere"));
        assert!(matches!(check_folder(&missing), Err(StoreError::FolderMissing { .. })));
    }

    #[test]
    fn every_rule_finds_what_breaks_it() {
        let sabotage = [
            ("order numbers have no gaps within a year", "UPDATE shop_order SET count = 7"),
            ("letters have no gaps within an order", "UPDATE garment SET letter = letter + 2"),
            ("a garment is where its last move went", "UPDATE garment SET stage = 'sewn'"),
            (
                "each move begins where the last one ended",
                "UPDATE stage_move SET from_stage = 'sewn' WHERE from_stage IS NOT NULL",
            ),
            (
                "a void names a payment of the same order, amount and currency",
                "UPDATE payment SET minor = 7 WHERE kind = 'void'",
            ),
            ("no more is given back than was paid", "UPDATE payment SET kind = 'refund' WHERE id = 1"),
            ("all money is in the shop's currency", "UPDATE settings SET currency = 'USD'"),
            ("papers have no gaps within a kind", "UPDATE paper SET number = 3"),
            ("a garment pins measures of its wearer", "UPDATE garment SET wearer_id = 1"),
            ("a garment is drafted with corrections of its wearer", "UPDATE correction SET wearer_id = 1"),
            (
                "a corrected set is of the same person",
                "UPDATE measure_set SET wearer_id = 1 WHERE corrects IS NOT NULL",
            ),
            ("a style takes one of its own versions", "UPDATE style SET current_id = NULL"),
            ("no length of cloth was ever below nought", "UPDATE cloth_move SET kind = 'measured', nm = -1"),
            (
                "cloth is held on a length of the garment's own cloth",
                "UPDATE garment SET cloth_stock_id = NULL WHERE cloth_stock_id IS NOT NULL",
            ),
            (
                "cloth is held for the lay that was accepted last",
                "UPDATE cloth_held SET lay_id = (SELECT min(id) FROM lay)",
            ),
            (
                "cloth is held once for each cloth of a garment",
                "INSERT INTO cloth_held (lay_id, length_id, nm, who, at_ms)
                 SELECT (SELECT min(id) FROM lay), length_id, nm, who, at_ms FROM cloth_held",
            ),
            ("a lay is of the garment that it names first", "DELETE FROM laid_garment"),
            ("every action changed something", "INSERT INTO action (who, at_ms, words) VALUES (1, 0, 'nothing')"),
            ("nothing may be emptied outside of forgetting", "UPDATE permit SET forgetting = 1"),
            ("an order is open while something is to be handed over", "UPDATE shop_order SET is_open = 0"),
            ("every row was written by an action", "DELETE FROM change WHERE noun = 'garment'"),
            ("every link leads to a row", "UPDATE shop_order SET client_id = 99"),
        ];
        // The one that is not here, a torn file, has a test of its own in tests/it/store_files.rs.
        assert_eq!(sabotage.len(), RULES.len() + 3);
        for (rule, sql) in sabotage {
            let (_place, store) = book();
            assert_eq!(store.read(|book| book.check()).unwrap(), []);
            let axe = Connection::open(store.folder().book()).unwrap();
            axe.pragma_update(None, "foreign_keys", false).unwrap();
            let triggers: Vec<String> = axe
                .prepare("SELECT name FROM sqlite_master WHERE type = 'trigger'")
                .unwrap()
                .query_map([], |row| row.get(0))
                .unwrap()
                .map(Result::unwrap)
                .collect();
            for trigger in triggers {
                axe.execute_batch(&format!("DROP TRIGGER {trigger}")).unwrap();
            }
            assert!(axe.execute(sql, []).unwrap() > 0, "{sql}");
            let found = store.read(|book| book.check()).unwrap();
            assert!(found.iter().any(|finding| finding.rule == rule), "{sql}: {found:?}");
        }
    }
}
