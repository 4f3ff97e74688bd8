//! Whether the book is whole: the file itself, the links between its rows, and
//! what bodkin keeps beside the facts for its lists.

use std::fmt;

use super::order::IS_OPEN;
use super::{Reader, StoreError};

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
const RULES: [(&str, &str); 13] = [
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
             UNION ALL SELECT 'quote', id, currency FROM quote)
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
        "a corrected set is of the same person",
        "SELECT 'set ' || n.id FROM measure_set n JOIN measure_set s ON s.id = n.corrects WHERE s.wearer_id <> n.wearer_id",
    ),
    (
        "a style takes one of its own versions",
        "SELECT 'style ' || s.id FROM style s LEFT JOIN style_version v ON v.id = s.current_id
          WHERE v.style_id IS NOT s.id",
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
const AUDITED: [(&str, &str); 12] = [
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
];

impl Reader<'_> {
    /// Looks the whole book over; an empty list means that all is well. Takes seconds on a large book.
    ///
    /// # Errors
    /// [`StoreError`] when the book cannot even be read.
    pub fn check(&self) -> Result<Vec<Finding>, StoreError> {
        let mut findings = Vec::new();
        let file: Vec<String> = self.texts("PRAGMA integrity_check")?;
        let torn = file.into_iter().filter(|line| line != "ok");
        findings.extend(torn.map(|found| Finding { rule: "the file is whole", found }));
        for found in self
            .texts("SELECT \"table\" || ' ' || COALESCE(rowid, '') || ' to ' || parent FROM pragma_foreign_key_check")?
        {
            findings.push(Finding { rule: "every link leads to a row", found });
        }
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

    fn texts(&self, sql: &str) -> Result<Vec<String>, StoreError> {
        let mut query = self.connection.prepare(sql)?;
        let rows = query.query_map([], |row| row.get::<_, String>(0))?;
        Ok(rows.take(MOST).collect::<Result<_, _>>()?)
    }
}
