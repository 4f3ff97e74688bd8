//! The shape of the code, held by reading it (syn, not text): what each module may
//! import and which outside crates it may name; that each file is short and tells its
//! story; that no template breaks the content policy; what lies at the top.
//!
//! When a rule stands in the way of a good change, change the rule here, with its reason.

mod imports;
mod markup;

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

/// A module of `src/`, what it may import and which outside crates it may name.
struct Row {
    module: &'static str,
    may: &'static [&'static str],
    crates: &'static [&'static str],
}

const fn row(module: &'static str, may: &'static [&'static str], crates: &'static [&'static str]) -> Row {
    Row { module, may, crates }
}

/// In reading order. The formula language of `draft` is small enough for our own
/// parser, so no parser crate stands here; only the edges know time zones
/// by name, for the settings form and for the day it is in the demo's town.
const TABLE: &[Row] = &[
    row("measure", &[], &["thiserror"]),
    row("geom", &[], &["kurbo", "i_overlay"]),
    row("draft", &["measure", "geom"], &["toml", "thiserror"]),
    // Seeded draws: the same seed, the same lay.
    row("lay", &["measure", "geom"], &["i_overlay", "jagua_rs", "rand", "rand_pcg", "thiserror"]),
    row("plan", &[], &["chrono"]),
    row("shop", &["measure"], &["chrono", "thiserror"]),
    // The record of what was cut is kept as JSON text: `job` writes it, `store` keeps it unread.
    row("job", &["measure", "geom", "draft", "lay", "plan", "shop"], &["chrono", "serde_json", "thiserror"]),
    row("store", &["measure", "shop"], &["chrono", "rusqlite", "rusqlite_migration", "thiserror"]),
    row(
        "sheet",
        &["measure", "geom", "draft", "lay", "plan", "shop", "job"],
        &["chrono", "krilla", "qrcode", "thiserror", "ttf_parser"],
    ),
    row("remind", &["plan", "shop", "job"], &["chrono", "thiserror"]),
    row(
        "demo",
        &["measure", "draft", "lay", "plan", "shop", "store", "job"],
        &["chrono", "rand", "rand_pcg", "thiserror"],
    ),
    row(
        "web",
        &["measure", "geom", "draft", "lay", "plan", "shop", "job", "store", "sheet", "remind"],
        &["askama", "axum", "chrono", "chrono_tz", "futures_util", "serde", "thiserror", "tokio", "tower_http"],
    ),
    row(
        "command",
        &[
            "measure", "geom", "draft", "lay", "plan", "shop", "job", "store", "sheet", "remind", "demo", "web",
            "config",
        ],
        &["chrono", "chrono_tz", "csv", "directories", "fd_lock", "serde_json", "thiserror", "tokio"],
    ),
    row("config", &[], &["clap"]),
    row("main", &["config", "command"], &[]),
    // The allocator of the whole program.
    row("lib", &[], &["mimalloc"]),
];

/// Crates that only tests may name, beside what the row allows.
const TEST_CRATES: &[&str] = &["proptest", "tempfile", "tower", "http_body_util"];

/// Modules that neither read nor write anything outside themselves.
const PURE: &[&str] = &["measure", "geom", "draft", "lay", "plan", "shop", "job", "sheet", "remind"];

/// Parts of `std` that reach outside the program.
const REACHING: &[&str] = &["env", "fs", "net", "process", "thread"];

/// Readings of the clock; clippy bans them by type, this by name, wherever they hide.
const CLOCKS: &[(&str, &str)] = &[("SystemTime", "now"), ("Instant", "now"), ("Utc", "now"), ("Local", "now")];

/// Lines of a file, at most. Judgement: more than that is two nouns.
const LONGEST: usize = 600;

/// Lines of a style's text, at most: one garment is one file that a shop hands on, with its
/// labels and steps, and a dress with sleeve and lining has a line for each. Judgement.
const LONGEST_STYLE: usize = 1100;

/// What may lie at the top; anything else wants a place further down.
const TOP: &[&str] = &[
    ".ci",
    ".git",
    ".gitignore",
    "Cargo.lock",
    "Cargo.toml",
    "DEVELOPERS.md",
    "LICENSE",
    "README.md",
    "benches",
    "clippy.toml",
    "examples",
    "migrations",
    "rustfmt.toml",
    "src",
    "static",
    "target",
    "templates",
    "tests",
];

#[test]
fn modules_import_only_what_their_row_lists() {
    let files = files("src", "rs");
    let for_tests: BTreeSet<PathBuf> = files
        .iter()
        .flat_map(|(path, text)| imports::test_modules(text).into_iter().map(|name| path.with_file_name(name + ".rs")))
        .collect();
    let faults: Vec<String> =
        files.iter().flat_map(|(path, text)| import_faults(path, text, for_tests.contains(path))).collect();
    assert!(faults.is_empty(), "\n{}", faults.join("\n"));
}

#[test]
fn the_table_is_in_order_and_whole() {
    let rows: Vec<&str> = TABLE.iter().map(|row| row.module).collect();
    for (at, row) in TABLE.iter().enumerate() {
        // `config` is words for `command` and stands with the edge that it describes.
        let later = row.may.iter().filter(|name| **name != "config" && !rows[..at].contains(name));
        assert_eq!(later.collect::<Vec<_>>(), Vec::<&&str>::new(), "{} reaches forward", row.module);
        assert!(row.crates.iter().all(|name| outside_crates().contains(*name)), "{}: {:?}", row.module, row.crates);
    }
    for (path, _) in files("src", "rs") {
        assert!(rows.contains(&module_path(&path)[0].as_str()), "{} has no row in the table", path.display());
    }
}

#[test]
fn files_are_short_and_tell_their_story() {
    let mut faults = Vec::new();
    for folder in ["src", "tests/it", "benches", "examples"] {
        for (path, text) in files(folder, "rs") {
            faults.extend(story_fault(&text).map(|fault| format!("{}: {fault}", path.display())));
        }
    }
    for (folder, ends) in [
        ("src", "rs"),
        ("src", "toml"),
        ("tests", "rs"),
        ("tests/outside", "py"),
        ("tests/outside", "mjs"),
        ("benches", "rs"),
        ("templates", "html"),
        ("templates", "svg"),
        ("static", "css"),
        ("static", "js"),
        ("migrations", "sql"),
    ] {
        for (path, text) in files(folder, ends) {
            let longest = if ends == "toml" { LONGEST_STYLE } else { LONGEST };
            faults.extend(length_fault(&text, longest).map(|fault| format!("{}: {fault}", path.display())));
        }
    }
    assert!(faults.is_empty(), "\n{}", faults.join("\n"));
}

#[test]
fn templates_keep_to_the_content_policy() {
    let mut faults = Vec::new();
    for ends in ["html", "svg"] {
        for (path, text) in files("templates", ends) {
            faults.extend(markup::faults(&text).into_iter().map(|fault| format!("{}:{fault}", path.display())));
        }
    }
    for (path, text) in files("src", "rs") {
        for (line, literal) in literals(&text) {
            let found = markup::faults(&literal).into_iter();
            faults.extend(found.map(|fault| format!("{}:{line}: text, line {fault}", path.display())));
        }
    }
    assert!(faults.is_empty(), "\n{}", faults.join("\n"));
}

#[test]
fn nothing_strange_lies_at_the_top() {
    let ignored = std::fs::read_to_string(root().join(".gitignore")).unwrap_or_default();
    let names = std::fs::read_dir(root()).unwrap().map(|entry| entry.unwrap().file_name().into_string().unwrap());
    let strange = strange_names(names, &ignored);
    assert!(strange.is_empty(), "at the top: {strange:?}");
}

#[test]
fn every_integration_test_is_run() {
    let main = std::fs::read_to_string(root().join("tests/it/main.rs")).unwrap();
    let folder = std::fs::read_dir(root().join("tests/it")).unwrap();
    let names = folder.map(|entry| entry.unwrap().path()).filter(|path| path.extension().is_some_and(|e| e == "rs"));
    let forgotten: Vec<String> = names
        .map(|path| path.file_stem().unwrap().to_string_lossy().into_owned())
        .filter(|name| name != "main" && !declares(&main, name))
        .collect();
    assert!(forgotten.is_empty(), "not in tests/it/main.rs: {forgotten:?}");
}

#[test]
fn no_file_names_a_place_of_one_machine() {
    // Written in halves, so that this file does not name them either.
    let places =
        [["/ro", "ot/"], ["/ho", "me/"], ["/wo", "rk/"], ["registry.np", "mjs.org"], ["files.python", "hosted.org"]]
            .map(|halves| halves.concat());
    let mut faults = Vec::new();
    for folder in ["src", "tests", "benches", "templates", "static", "migrations", ".ci"] {
        for ends in ["rs", "toml", "html", "svg", "css", "js", "mjs", "json", "py", "txt", "sql", "run", "md"] {
            for (path, text) in files(folder, ends) {
                let named = places.iter().filter(|place| text.contains(place.as_str()));
                faults.extend(named.map(|place| format!("{} names {place}", path.display())));
            }
        }
    }
    assert!(faults.is_empty(), "\n{}", faults.join("\n"));
}

// Each rule goes red on a small bad sample.

fn reds(path: &str, text: &str) -> Vec<String> {
    import_faults(Path::new(path), text, false)
}

#[test]
fn a_forbidden_import_is_found_however_it_is_written() {
    for (path, text) in [
        ("src/lay/need.rs", "use crate::draft::Piece;"),
        ("src/lay/need.rs", "use crate::{geom, draft};"),
        ("src/lay/need.rs", "use super::super::draft::Piece;"),
        ("src/lay/search/mod.rs", "use super::super::draft;"),
        ("src/lay/need.rs", "fn f(p: crate::draft::Piece) {}"),
        ("src/lay/need.rs", "fn f() { let n = crate::draft::count(); }"),
        ("src/lay/need.rs", "fn f() { println!(\"{}\", crate::draft::count()); }"),
        ("src/lay/need.rs", "mod inner { use super::super::super::draft; }"),
        ("src/lay/need.rs", "mod inner { fn f() { super::super::super::draft::go(); } }"),
        ("src/lay/need.rs", "#[cfg(test)] mod tests { use crate::store::Store; }"),
        ("src/lay/need.rs", "use crate::*;"),
        ("src/store/order.rs", "use crate::job::priced;"),
        ("src/main.rs", "fn main() { bodkin::store::open(); }"),
        ("src/shop/order.rs", "type T = Vec<crate::store::Row>;"),
    ] {
        assert_eq!(reds(path, text).len(), 1, "{path}: {text}: {:?}", reds(path, text));
    }
    for (path, text) in [
        ("src/lay/need.rs", "use crate::geom::Curve; use super::Part; use crate::lay::Strip;"),
        ("src/lay/search/mod.rs", "use super::super::Part; use super::super::super::geom;"),
        ("src/lay/need.rs", "mod draft { pub fn f() {} } fn g() { draft::f(); self::draft::f(); }"),
        ("src/main.rs", "fn main() { bodkin::config::read(); }"),
    ] {
        assert_eq!(reds(path, text), Vec::<String>::new(), "{path}: {text}");
    }
}

#[test]
fn an_outside_crate_is_named_only_where_its_row_says() {
    for (path, text) in [
        ("src/web/order.rs", "use rusqlite::Connection;"),
        ("src/job/laid.rs", "fn f(c: &rusqlite::Connection) {}"),
        ("src/job/laid.rs", "use axum as edge;"),
        ("src/job/laid.rs", "#[derive(askama::Template)] struct S;"),
        ("src/job/laid.rs", "fn f() { let x = vec![clap::Arg::new(\"a\")]; }"),
        ("src/job/laid.rs", "extern crate tokio;"),
        ("src/web/order.rs", "use proptest::prelude::*;"),
        ("src/job/laid.rs", "fn f() -> Result<(), ::rusqlite::Error> { Ok(()) }"),
    ] {
        assert_eq!(reds(path, text).len(), 1, "{path}: {text}: {:?}", reds(path, text));
    }
    let fine = "#[cfg(test)] mod tests { use proptest::prelude::*; } use axum::Router;";
    assert_eq!(reds("src/web/order.rs", fine), Vec::<String>::new());
    let apart = "use tempfile::TempDir;";
    assert_eq!(imports::test_modules("mod a; #[cfg(test)] mod b; #[cfg(test)] mod tests {}"), ["b"]);
    assert_eq!(import_faults(Path::new("src/store/b.rs"), apart, true), Vec::<String>::new());
    assert_eq!(import_faults(Path::new("src/store/b.rs"), apart, false).len(), 1);
}

#[test]
fn the_clock_is_read_at_the_edge_alone_and_cores_reach_for_nothing() {
    let clock = "fn f() { let t = chrono::Utc::now(); }";
    assert_eq!(reds("src/job/planned.rs", clock).len(), 1);
    assert_eq!(reds("src/command/serve.rs", clock).len(), 1);
    assert_eq!(reds("src/command/clock.rs", clock), Vec::<String>::new());
    assert_eq!(reds("src/job/planned.rs", "fn f() { std::fs::read(\"a\"); }").len(), 1);
    assert_eq!(reds("src/job/planned.rs", "use std::{env, fmt};").len(), 1);
    assert_eq!(reds("src/store/folder.rs", "use std::fs;"), Vec::<String>::new());
}

#[test]
fn a_long_file_and_one_without_a_story_are_found() {
    assert!(length_fault(&"//! Long.\n".repeat(LONGEST + 1), LONGEST).is_some());
    assert!(length_fault(&"//! Long.\n".repeat(LONGEST), LONGEST).is_none());
    for silent in ["fn f() {}", "/// Not the file's.\nfn f() {}", "//!\nfn f() {}", "#![allow(dead_code)]\nfn f() {}"] {
        assert!(story_fault(silent).is_some(), "{silent}");
    }
    assert!(story_fault("//! A story.\nfn f() {}").is_none());
}

#[test]
fn markup_that_the_policy_blocks_is_found() {
    for (bad, what) in [
        ("<p style=\"color:red\">", "style="),
        ("<p class='a' STYLE = x>", "style="),
        ("<button\n  onclick='go()'>", "onclick="),
        ("<p{% if a > b %} onload=\"x\"{% endif %}>", "onload="),
        ("<a title=\"a > b\" onfocus=x>", "onfocus="),
        ("<script>go()</script>", "written into the page"),
        ("<script src=\"\">go()</script>", "written into the page"),
        ("<style>p{}</style>", "written into the page"),
        ("<a href=\"JavaScript:go()\">", "javascript:"),
    ] {
        let faults = markup::faults(bad);
        assert!(faults.len() == 1 && faults[0].contains(what), "{bad}: {faults:?}");
    }
    for good in [
        "<script src=\"{{ frame.asset(\"app.js\") }}\" defer></script>",
        "<p data-style='x' title=\"style=none onclick=x\">on time = good</p>",
        "<input name=\"standing\" value=\"on\"{% if *on %} checked{% endif %}>",
        "{# <p style='x'> #}<p>1 < 2</p>",
    ] {
        assert_eq!(markup::faults(good), Vec::<String>::new(), "{good}");
    }
    let text = literals("//! A.\nconst A: &str = r#\"<b style=\"x\">\"#; fn f() { g!(\"<i onx='1'>\"); }");
    assert_eq!(text.iter().flat_map(|(_, literal)| markup::faults(literal)).count(), 2);
}

#[test]
fn a_strange_name_at_the_top_and_a_forgotten_test_are_found() {
    let names = ["src", "notes.txt", "scratch", "lib"].map(String::from);
    assert_eq!(strange_names(names.into_iter(), "/scratch\n/src/gone\n"), ["notes.txt", "lib"]);
    assert!(declares("mod tidy;\nmod web;", "web") && !declares("// mod web;\nmod webs;", "web"));
}

// How the rules read.

fn import_faults(path: &Path, text: &str, in_tests: bool) -> Vec<String> {
    let at = module_path(path);
    let module = at[0].clone();
    let Some(row) = TABLE.iter().find(|row| row.module == module) else {
        return vec![format!("{}: no row for {module}", path.display())];
    };
    let inside: Vec<String> = if module == "main" || module == "lib" { Vec::new() } else { at };
    let found = match imports::named(text, &inside, in_tests) {
        Ok(found) => found,
        Err(error) => return vec![format!("{}: {error}", path.display())],
    };
    let outside = outside_crates();
    let is_clock = path.ends_with("src/command/clock.rs");
    let mut faults = BTreeSet::new();
    for named in found {
        let place = format!("{}:{}", path.display(), named.line);
        let first = named.path[0].as_str();
        let second = named.path.get(1).map_or("", String::as_str);
        let crates = |name: &str| row.crates.contains(&name) || (named.in_tests && TEST_CRATES.contains(&name));
        if first == "crate" {
            let known = TABLE.iter().any(|row| row.module == second) || second == "*";
            if known && second != module && !row.may.contains(&second) && module != "lib" {
                faults.insert(format!("{place}: {module} may not import {second}"));
            }
        } else if outside.contains(first) && !crates(first) {
            faults.insert(format!("{place}: {module} may not name the crate {first}"));
        } else if first == "std" && PURE.contains(&module.as_str()) && REACHING.contains(&second) && !named.in_tests {
            faults.insert(format!("{place}: {module} neither reads nor writes: std::{second}"));
        }
        let reads = |(owner, what): &(&str, &str)| named.path.ends_with(&[(*owner).to_string(), (*what).to_string()]);
        if CLOCKS.iter().any(reads) && !is_clock {
            faults.insert(format!("{place}: the clock is read in src/command/clock.rs alone"));
        }
    }
    faults.into_iter().collect()
}

/// `src/lay/search/rows.rs` → lay, search, rows; `src/lay/mod.rs` → lay.
fn module_path(path: &Path) -> Vec<String> {
    let inside: PathBuf = path.components().skip_while(|part| part.as_os_str() != "src").skip(1).collect();
    let parts = inside.with_extension("");
    parts.iter().map(|part| part.to_string_lossy().into_owned()).filter(|part| part != "mod").collect()
}

/// The crates of Cargo.toml, as code names them.
fn outside_crates() -> BTreeSet<String> {
    let text = std::fs::read_to_string(root().join("Cargo.toml")).unwrap();
    let table = toml::de::DeTable::parse(&text).unwrap();
    let parts = ["dependencies", "dev-dependencies"].into_iter().filter_map(|part| table.get_ref().get(part));
    parts
        .filter_map(|part| part.get_ref().as_table())
        .flat_map(|part| part.keys().map(|name| name.get_ref().replace('-', "_")))
        .collect()
}

fn length_fault(text: &str, longest: usize) -> Option<String> {
    let lines = text.lines().count();
    (lines > longest).then(|| format!("{lines} lines, at most {longest}: it holds two nouns"))
}

fn story_fault(text: &str) -> Option<String> {
    let file = match syn::parse_file(text) {
        Ok(file) => file,
        Err(error) => return Some(error.to_string()),
    };
    let told = file.attrs.iter().any(|attribute| {
        let syn::Meta::NameValue(pair) = &attribute.meta else { return false };
        let syn::Expr::Lit(syn::ExprLit { lit: syn::Lit::Str(words), .. }) = &pair.value else { return false };
        pair.path.is_ident("doc") && !words.value().trim().is_empty()
    });
    (!told).then(|| "no story: begin the file with //!".to_string())
}

/// String literals with markup in them, wherever they stand, and their lines.
fn literals(text: &str) -> Vec<(usize, String)> {
    fn walk(tokens: proc_macro2::TokenStream, into: &mut Vec<(usize, String)>) {
        for token in tokens {
            match token {
                proc_macro2::TokenTree::Group(group) => walk(group.stream(), into),
                proc_macro2::TokenTree::Literal(literal) => {
                    let line = literal.span().start().line;
                    if let syn::Lit::Str(words) = syn::Lit::new(literal)
                        && words.value().contains('<')
                    {
                        into.push((line, words.value()));
                    }
                }
                _ => {}
            }
        }
    }
    let mut found = Vec::new();
    if let Ok(tokens) = text.parse() {
        walk(tokens, &mut found);
    }
    found
}

fn strange_names(names: impl Iterator<Item = String>, ignored: &str) -> Vec<String> {
    let ignored: BTreeSet<&str> = ignored.lines().map(|line| line.trim_matches('/')).collect();
    names.filter(|name| !TOP.contains(&name.as_str()) && !ignored.contains(name.as_str())).collect()
}

fn declares(main: &str, name: &str) -> bool {
    let file = syn::parse_file(main).unwrap();
    file.items.iter().any(|item| matches!(item, syn::Item::Mod(module) if module.ident == name))
}

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// The files below a folder with this ending (or this whole name), in order, with their
/// text; what other tools put into tests/outside is not ours.
fn files(folder: &str, ends: &str) -> BTreeMap<PathBuf, String> {
    let mut found = BTreeMap::new();
    let mut folders = vec![root().join(folder)];
    while let Some(folder) = folders.pop() {
        let Ok(entries) = std::fs::read_dir(&folder) else { continue };
        for path in entries.map(|entry| entry.unwrap().path()) {
            let name = path.file_name().unwrap().to_string_lossy().into_owned();
            if path.is_dir() && ![".venv", "node_modules", "out"].contains(&name.as_str()) {
                folders.push(path);
            } else if path.is_file() && (path.extension().is_some_and(|e| e == ends) || name == ends) {
                let text = std::fs::read_to_string(&path).unwrap();
                found.insert(path.strip_prefix(root()).unwrap().to_path_buf(), text);
            }
        }
    }
    found
}
