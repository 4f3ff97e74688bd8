//! Whatever stands in a style's text, it is read and drafted or told to be wrong: no
//! panic, no hang, and each limit of nesting, size and steps named when it is hit.

use std::fmt::Write as _;

use bodkin::draft::{BOOK, DraftError, Input, Style, draft};
use bodkin::measure::{Length, Showing};
use proptest::prelude::*;
use rand::{Rng, RngExt, SeedableRng};

/// A square apron with room for more of everything.
const SQUARE: &str = "
format = 1
label = 'Square'
kind = 'apron'
needs = ['waist_girth']
opens = 'all the way'
[dimensions]
side = '10 in'
DIMENSIONS
[pieces.square]
CUT
outline = '''
start at a (0, 0)
top  line to b (side, 0) allow 1/2 in
out  line to c (side, side) allow 1/2 in
low  line to d (0, side) allow 1/2 in
back line to a allow 1/2 in
'''
";

/// The square with more dimensions and more tables after its piece.
fn square(dimensions: &str, more: &str) -> String {
    SQUARE.replace("DIMENSIONS", dimensions).replace("CUT\n", "") + more
}

/// Reads and drafts for somebody with girths alone; what was said when it did not come out.
fn told(text: &str) -> Result<bool, String> {
    let style = Style::read(text).map_err(|e| e.to_string())?;
    let mut input = Input::new(Showing::EIGHTHS);
    let child = style.wearer() == "children";
    for (key, grown, small) in [("bust_girth", 36, 25), ("waist_girth", 29, 23), ("hip_girth", 38, 27)] {
        input.body.insert(key.into(), Length::inches(if child { small } else { grown }, 0));
    }
    // A mutated text may need anything that can be measured.
    for key in style.needs() {
        input.body.entry(key.clone()).or_insert(Length::inches(12, 0));
    }
    match draft(&style, &input) {
        Ok(draft) => Ok(draft.sews()),
        Err(error @ (DraftError::Missing { .. } | DraftError::Choices(_))) => Err(error.to_string()),
        Err(error) => Err(error.to_string()),
    }
}

/// That `text` is refused in words that have all of `words`.
fn refused(text: &str, words: &[&str]) {
    let shown: String = text.chars().take(120).collect();
    let said = told(text).expect_err(&shown);
    for word in words {
        assert!(said.contains(word), "{shown}…\nsaid: {said}\nwithout: {word}");
    }
}

#[test]
fn the_square_itself_drafts() {
    assert!(told(&square("", "")).is_ok(), "{:?}", told(&square("", "")));
}

#[test]
fn each_limit_is_named_when_it_is_hit() {
    let dimension = |formula: &str| square(&format!("deep = '{formula}'"), "");
    refused(&"#".repeat(200_001), &["200001", "200000"]);
    refused(&dimension(&format!("{}1 in{}", "(".repeat(61), ")".repeat(61))), &["nested", "60"]);
    refused(&dimension(&format!("1 in{}", " + 1 in".repeat(3000))), &["250"]);
    let many: String = (0..5_000).fold(String::new(), |mut all, n| {
        let _ = writeln!(all, "d{n} = '1 in'");
        all
    });
    refused(&square(&many, ""), &["[dimensions]", "1000"]);
    // Each from the one below it: nothing is worked until the last is read.
    let chain: String = (0..5_000).fold(String::new(), |mut all, n| {
        let _ = writeln!(all, "d{n} = 'd{}'", n + 1);
        all
    });
    refused(&square(&chain, ""), &["[dimensions]", "1000"]);
    let cut = |count: &str| square("", "").replace("[pieces.square]", &format!("[pieces.square]\ncut = '{count}'"));
    refused(&cut("1000000"), &["1000000", "400"]);
    let strip = |count: &str, length: &str| {
        square("", &format!("[strips.tie]\nlength = '{length}'\nwidth = '2 in'\ncut = '{count}'\n"))
    };
    assert!(told(&strip("2", "20 in")).is_ok(), "{:?}", told(&strip("2", "20 in")));
    refused(&strip("1000000", "20 in"), &["1000000", "400"]);
    refused(&strip("1", "1000000 in"), &["100 m"]);
    let pleats = square(
        "",
        "[pleats.p]\non = 'square.top'\nfirst = '0 in'\ntake = '1 in'\ndown = '5 in'\ntoward = 'end'\napart = '0 in'\ncount = '1000000'\n",
    );
    refused(&pleats, &["1000000 pleats", "400"]);
    let pieces: String = (0..150).fold(String::new(), |mut all, n| {
        let outline = "start at a (0, 0)\n_t line to b (1 in, 0)\n_o line to c (1 in, 1 in)\n_l line to a";
        let _ = writeln!(all, "[pieces.p{n}]\noutline = '''\n{}\n'''", outline.replace('_', "e"));
        all
    });
    refused(&square("", &pieces), &["pieces", "100"]);
    let unknowns: String = (0..30).fold(String::new(), |mut all, n| {
        let _ = writeln!(all, "[solve.u{n}]\nleast = '1 in'\nmost = '2 in'\nuntil = 'square.top = 10 in'");
        all
    });
    refused(&square("", &unknowns), &["unknowns", "20"]);
}

#[test]
fn a_curve_with_too_many_points_is_refused() {
    let knots = (1..700).fold(String::new(), |mut all, n| {
        let _ = write!(all, " through ({n} in, {} in)", if n % 2 == 0 { 0 } else { 40 });
        all
    });
    let lines: Vec<String> = knots
        .split(" through ")
        .filter(|p| !p.is_empty())
        .collect::<Vec<_>>()
        .chunks(25)
        .enumerate()
        .map(|(n, part)| {
            let (last, inner) = part.split_last().unwrap();
            let inner: String = inner.iter().map(|p| format!(" through {p}")).collect();
            format!("e{n} curve to q{n} {last}{inner}")
        })
        .collect();
    let outline = format!("start at a (0, 0)\n{}\ndown line to b (700 in, 90 in)\nback line to a", lines.join("\n"));
    refused(&square("", &format!("[pieces.zigzag]\noutline = '''\n{outline}\n'''\n")), &["points", "5000"]);
}

#[test]
fn long_sums_stay_within_the_stack() {
    let sum = square(&format!("long = '1 in{}'", " + 1 in".repeat(122)), "");
    assert!(told(&sum).is_ok(), "{:?}", told(&sum));
    let ands = square(&format!("long = 'if 1 < 2{} then 1 in else 2 in'", " and 1 < 2".repeat(60)), "");
    assert!(told(&ands).is_ok(), "{:?}", told(&ands));
    let moved = square("", &format!("[points]\np = '(0, 0){}'\n", " moved 1 in at 0 deg".repeat(48)));
    assert!(told(&moved).is_ok(), "{:?}", told(&moved));
    let minus = square(&format!("long = '{}1 in'", "-".repeat(240)), "");
    assert!(told(&minus).is_ok(), "{:?}", told(&minus));
}

#[test]
fn what_needs_what_may_be_a_long_chain() {
    let chain: String = (1..900).fold(String::new(), |mut all, n| {
        let _ = writeln!(all, "d{n} = 'd{}'", n - 1);
        all
    });
    let plain = told(&square(&format!("d0 = '1 in'\n{chain}"), ""));
    assert!(plain.is_ok(), "{plain:?}");
    // The same chain below an unknown, which is walked from its lengths.
    let solve = "[solve.u]\nleast = '1 in'\nmost = '20 in'\nuntil = 'd899 = 10 in'\n";
    let found = told(&square(&format!("d0 = 'u'\n{chain}"), solve));
    assert!(found.is_ok(), "{found:?}");
}

#[test]
fn impossible_figures_are_told() {
    let side = |formula: &str| square("", "").replace("side = '10 in'", &format!("side = '{formula}'"));
    refused(&side("10 in / 0"), &["nought"]);
    refused(&side("sqrt(0 - 1) * 1 in"), &["no number"]);
    refused(&side("1 in * tan(90 deg) * 1000000 * 1000000"), &["100 m"]);
    refused(&side("1000000 in"), &["100 m"]);
    refused(&side("-1000000 in"), &["100 m"]);
    refused(&side("100000000000000000000 in * 100000000000000000000"), &[]);
    // Nothing is left of the square, or it is inside out: told by a truth or in words.
    for formula in ["0 in", "-10 in", "0.00001 in"] {
        assert_ne!(told(&side(formula)), Ok(true), "{formula}");
    }
}

#[test]
fn awkward_geometry_is_told_and_never_panics() {
    let outlines = [
        // Points that coincide, an outline of no area, one that crosses itself, an arc about its own end.
        "start at a (0, 0)\nt line to b (0, 0)\no line to c (0, 0)\nl line to a",
        "start at a (0, 0)\nt line to b (9 in, 0)\no line to c (4 in, 0)\nl line to a",
        "start at a (0, 0)\nt line to b (9 in, 9 in)\no line to c (9 in, 0)\nl line to d (0, 9 in)\nm line to a",
        "start at a (0, 0)\nt arc to b (9 in, 0) about (9 in, 0) allow 1 in\no line to c (9 in, 9 in)\nl line to a",
        "start at a (0, 0)\nt arc to b (9 in, 0) about (0, 0)\no line to c (9 in, 9 in)\nl line to a",
        "start at a (0, 0)\nt curve to b (0, 0) through (0, 0) heading 359 deg\no line to c (9 in, 9 in)\nl line to a",
        "start at a (0, 0)\nt curve to b (9 in, 0) leaving 180 deg arriving 180 deg allow 3 in\no line to c (9 in, 9 in)\nl line to a",
        "start at a (0, 0)\nt curve to b (9 in, 0) leaving 359 deg arriving 1 deg allow 99 in turned up\no line to c (9 in, 9 in)\nl line to a",
        "start at a (0, 0)\nt fold to b (9 in, 0)\no fold to c (9 in, 9 in)\nl fold to a",
        "start at a (0, 0)\nt curve to b (9 in, 0) leaving square arriving square\no curve to c (9 in, 9 in) leaving square arriving square\nl line to a",
        "start at a (0, 0)\nt line to a",
        "start at a (0, 0)\nt curve to a through (9 in, 0) through (9 in, 9 in) allow 20 in",
        "start at a (0, 0)\nt dart to b (1 in, 0) about (0, 0) toward start\no line to c (9 in, 9 in)\nl line to a",
        "start at a (0, 0)\nt dart to a about (5 in, 5 in) toward end",
        "start at a (0, 0)\nt dart to b (1 in, 0) about (1 in, 5 in) toward start\no dart to c (2 in, 0) about (1 in, 5 in) toward end\nl line to a",
    ];
    for outline in outlines {
        let text = square("", &format!("[pieces.odd]\noutline = '''\n{outline}\n'''\n"));
        assert!(Style::read(&text).is_ok(), "{outline}: {:?}", Style::read(&text).err());
        if let Err(words) = told(&text) {
            assert!(words.len() > 15, "{outline}: {words}");
        }
    }
    let parts = [
        // Darts with no room, on top of one another, longer than the piece, wider than the edge.
        "[darts.d]\non = 'square.top'\nat = '5 in'\nintake = '30 in'\nlength = '4 in'\ntoward = 'start'",
        "[darts.d]\non = 'square.top'\nat = '0 in'\nintake = '2 in'\nlength = '4 in'\ntoward = 'start'",
        "[darts.d]\non = 'square.top'\nat = '5 in'\nintake = '2 in'\nlength = '0 in'\ntoward = 'start'",
        "[darts.d]\non = 'square.top'\nat = '5 in'\nintake = '2 in'\nlength = '-4 in'\ntoward = 'start'",
        "[darts.d]\non = 'square.top'\nat = '5 in'\nintake = '2 in'\nlength = '400 in'\ntoward = 'start'",
        "[darts.d]\non = 'square.top'\nat = '-5 in'\nintake = '2 in'\nlength = '4 in'\ntoward = 'start'",
        "[darts.d]\non = 'square.top'\nat = '4 in'\nintake = '2 in'\nlength = '4 in'\ntoward = 'start'\n[darts.e]\non = 'square.top'\nat = '4 in'\nintake = '2 in'\nlength = '4 in'\ntoward = 'start'",
        // Facings deeper than the piece, linings longer than nothing, pleats that do not fit.
        "[facings.f]\nof = 'square.top'\ndepth = '30 in'",
        "[facings.f]\nof = 'square.top'\ndepth = '-3 in'",
        "[facings.f]\nof = 'square.top'\ndepth = '2 in'\nless = '2 in'",
        "[linings.f]\nof = 'square'\nshorten = 'low'\nby = '10 in'",
        "[pleats.p]\non = 'square.top'\nfirst = '0 in'\ntake = '30 in'\ndown = '5 in'\ntoward = 'end'",
        "[pleats.p]\non = 'square.top'\nfirst = '0 in'\ntake = '1 in'\ndown = '5 in'\ntoward = 'end'\napart = '0 in'\ncount = '-3'",
        "[notches.n]\non = 'square.top'\nat = '-1 in'",
        "[notches.n]\non = 'square.top'\nat = '5 in'\nwith = 'square.top'",
        "[strips.s]\nlength = '-5 in'\nwidth = '2 in'",
        "[strips.s]\nlength = '5 in'\nwidth = '2 in'\ncut = '-2'",
        "[seams]\ns = 'square.top = square.top'\nt = 'square.low + square.low = square.top'",
        "[passes.x]\nopening = '0 in'\nover = 'waist_girth'",
        // Unknowns without a root, that nothing depends on, with limits the wrong way round.
        "[solve.u]\nleast = '1 in'\nmost = '2 in'\nuntil = 'square.top = 99 in'",
        "[solve.u]\nleast = '20 in'\nmost = '2 in'\nuntil = 'square.top = 10 in'",
        "[solve.u]\nleast = '1 in'\nmost = '1 in'\nuntil = 'u = 5 in'",
        "[solve.u]\nleast = '0 in'\nmost = '9 in'\nuntil = '1 in * 1 in / u = 5 in'",
        "[solve.u]\nleast = '0 in'\nmost = '9 in'\nuntil = 'u = 5 in'\n[solve.v]\nleast = '0 in'\nmost = '9 in'\nuntil = 'u = 6 in'\nwith = 'u'",
        // Points in a ring, turned nearly round, moved from themselves.
        "[points]\np = 'q'\nq = 'p'",
        "[points]\np = 'p moved 1 in at 5 deg'",
        "[points]\np = '(0, 0) turned 359 deg about (0, 0)'",
        "[points]\np = '(0, 0)'\nq = 'p moved 1 in toward p'",
        "[points]\np = '(1 in, 0) turned 359.999 deg about (0, 0)'\nq = 'p moved 1000000 toward (0, 0)'",
    ];
    let mut unread = Vec::new();
    for part in parts {
        unread.extend(Style::read(&square("", part)).err().map(|error| format!("{part}: {error}")));
        if let Err(words) = told(&square("", part)) {
            assert!(words.len() > 15, "{part}: {words}");
        }
    }
    // The rings and what depends on nothing are told when read; the rest reaches the engine.
    assert!(unread.len() <= 4, "{unread:#?}");
    for (share, stops) in [("1", "1 in"), ("-1", "1 in"), ("7", "1 in"), ("1/2", "90 in"), ("0", "-1 in")] {
        for to in ["square.low", "square.top", "square.out"] {
            let turn = format!(
                "[darts.d]\non = 'square.top'\nat = '4 in'\nintake = '2 in'\nlength = '4 in'\ntoward = 'start'\n\
                 [turns.t]\ndart = 'square.d'\nto = '{to}'\nat = '5 in'\nshare = '{share}'\nstops = '{stops}'\n"
            );
            if let Err(words) = told(&square("", &turn)) {
                assert!(words.len() > 15, "{turn}: {words}");
            }
        }
    }
}

/// One slip in a text: a line or a few bytes gone, doubled, swapped or changed.
fn mutated(text: &str, rng: &mut impl Rng) -> String {
    let mut lines: Vec<String> = text.lines().map(String::from).collect();
    let (i, j) = (rng.random_range(0..lines.len()), rng.random_range(0..lines.len()));
    match rng.random_range(0..8_u8) {
        0 => drop(lines.remove(i)),
        1 => lines.insert(i, lines[i].clone()),
        2 => lines.swap(i, j),
        3 => lines.insert(j, lines[i].clone()),
        4..=5 => {
            // A figure of the line becomes another, or an operator does.
            const FIGURES: [&str; 8] = ["0", "1", "-1", "359", "1000000", "0.001", "1/0", "99999999999999999999"];
            let figure = FIGURES[rng.random_range(0..FIGURES.len())];
            let digits: Vec<usize> =
                lines[i].char_indices().filter(|(_, c)| c.is_ascii_digit()).map(|(at, _)| at).collect();
            if !digits.is_empty() {
                let at = digits[rng.random_range(0..digits.len())];
                lines[i].replace_range(at..=at, figure);
            }
        }
        _ => {
            const LETTERS: &[u8] = b"()+-*/=<>.,'#[]{} \t09azin\"";
            let mut bytes = lines[i].clone().into_bytes();
            for _ in 0..rng.random_range(1..4_u8) {
                if bytes.is_empty() {
                    break;
                }
                let at = rng.random_range(0..bytes.len());
                match rng.random_range(0..3_u8) {
                    0 => drop(bytes.remove(at)),
                    1 => bytes.insert(at, LETTERS[rng.random_range(0..LETTERS.len())]),
                    _ => bytes[at] = LETTERS[rng.random_range(0..LETTERS.len())],
                }
            }
            lines[i] = String::from_utf8_lossy(&bytes).into_owned();
        }
    }
    lines.join("\n")
}

/// How many slips are tried in each text of the book; the same slips each run.
const SLIPS: u32 = 100;

#[test]
fn a_slip_in_a_text_of_the_book_is_told_or_drafts() {
    let mut rng = rand_pcg::Pcg64::seed_from_u64(1851);
    let (mut tried, mut read) = (0_u32, 0_u32);
    for book in BOOK {
        for _ in 0..SLIPS {
            let mut text = mutated(book.text, &mut rng);
            if rng.random_range(0..4_u8) == 0 {
                text = mutated(&text, &mut rng);
            }
            tried += 1;
            match told(&text) {
                Ok(_) => read += 1,
                Err(words) => assert!(words.len() > 10, "{}: {words}", book.key),
            }
        }
    }
    // Both ways must be met, or the slips try nothing.
    assert!(read > tried / 20 && read < tried, "{read} of {tried}");
}

/// A formula of the language's words in any order, mostly nonsense.
fn soup() -> impl Strategy<Value = String> {
    let words = prop::sample::select(vec![
        "1",
        "0",
        "2.5",
        "1 in",
        "-",
        "+",
        "*",
        "/",
        "(",
        ")",
        ",",
        "<",
        ">=",
        "=",
        "if",
        "then",
        "else",
        "and",
        "or",
        "not",
        "is",
        "min",
        "max",
        "abs",
        "sqrt",
        "sin",
        "cos",
        "tan",
        "atan",
        "round",
        "to",
        "up",
        "pi",
        "side",
        "waist_girth",
        "square.top",
        "length of square.out",
        "width of square at 1 in",
        "x of square.a",
        "y of",
        "count of square",
        "distance from square.a to square.c",
        "90 deg",
        "359 deg",
        "bias_square",
        "along_selvedge",
        "(0, 0)",
        "turned",
        "about",
        "moved",
        "toward",
        "at",
        "of",
        "below",
        "1/0",
        "1e308",
        "é",
        "“",
    ]);
    prop::collection::vec(words, 1..14).prop_map(|parts| parts.join(" "))
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    #[test]
    fn no_formula_panics_wherever_it_stands(formula in soup(), place in 0_usize..9) {
        let text = match place {
            0 => square(&format!("any = '{formula}'"), ""),
            1 => square("", &format!("[points]\nany = '{formula}'\n")),
            2 => square("", &format!("[darts.d]\non = 'square.top'\nat = '{formula}'\nintake = '1 in'\nlength = '3 in'\ntoward = 'end'\n")),
            3 => square("", &format!("[measured]\nwaist_girth = '{formula}'\n")),
            4 => square("", &format!("[seams]\nany = '{formula}'\n")),
            5 => square("", &format!("[[notes]]\nsay = 'so {{{formula}}} much'\n")),
            6 => square("", &format!("[solve.u]\nleast = '1 in'\nmost = '{formula}'\nuntil = 'u = {formula}'\n")),
            7 => square("", &format!("[pleats.p]\non = 'square.top'\nfirst = '1 in'\ntake = '{formula}'\ndown = '4 in'\ntoward = 'end'\n")),
            _ => square("", "").replace("line to b (side, 0)", &format!("curve to b (side, 0) {formula}")),
        };
        if let Err(words) = told(&text) {
            prop_assert!(words.len() > 10, "{}", words);
        }
    }

    #[test]
    fn no_bytes_panic(bytes in "[ -~\n]{0,300}", at in 0_usize..2000) {
        let mut text = BOOK[BOOK.len() - 1].text.to_string();
        let at = at.min(text.len());
        if text.is_char_boundary(at) {
            text.insert_str(at, &bytes);
        }
        let _ = told(&text);
        let _ = Style::read(&bytes);
    }
}
