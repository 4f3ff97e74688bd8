//! `bodkin draft … --bodies FILE.csv`, as it is run.

use std::process::{Command, Output};

const TABLE: &str = "waist_girth_in,hip_girth_mm,bust_girth_cm\n29,970,92\n31.5,1010,\n";

/// Runs it on a table; standard output, standard error, exit code.
fn run(table: &str, words: &[&str]) -> (String, String, i32) {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("bodies.csv");
    std::fs::write(&file, table).unwrap();
    let mut command = Command::new(env!("CARGO_BIN_EXE_bodkin"));
    let Output { stdout, stderr, status } =
        command.arg("draft").args(words).arg("--bodies").arg(&file).output().unwrap();
    (String::from_utf8(stdout).unwrap(), String::from_utf8(stderr).unwrap(), status.code().unwrap())
}

#[test]
fn a_style_that_drafts_on_all_says_so_in_one_line() {
    let (out, err, code) = run(TABLE, &["straight_skirt"]);
    assert_eq!(out, "straight_skirt: 2 bodies, 2 drafted, 0 failed, 0 refused, 2 values assumed\n", "{err}");
    assert_eq!((err.as_str(), code), ("", 0));
}

#[test]
fn a_body_that_lacks_what_a_style_needs_is_refused_and_named() {
    let (out, err, code) = run(TABLE, &["shift_dress", "--json"]);
    let json: serde_json::Value = serde_json::from_str(&out).unwrap();
    let style = &json[0];
    assert_eq!((&style["bodies"], &style["drafted"], &style["refused"]), (&2.into(), &1.into(), &1.into()), "{out}");
    assert_eq!(style["first_refused"]["line"], 3, "{out}");
    assert!(code == 1 && err.contains("shift_dress"), "{err}");
}

#[test]
fn a_truth_that_fails_is_told_with_its_body_and_the_exit_code() {
    let text = bodkin::draft::BOOK.iter().find(|book| book.key == "apron").unwrap().text;
    let spoilt = text.replace("ease = 'hip_girth * cover - hip_girth'", "ease = 'hip_girth * 0.5 - hip_girth'");
    assert_ne!(text, spoilt);
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("spoilt.style.toml");
    std::fs::write(&file, spoilt).unwrap();
    let (out, err, code) = run(TABLE, &[file.to_str().unwrap(), "--who", "women"]);
    assert!(out.contains("2 drafted, 2 failed, 0 refused") && out.contains("worst on line 2: "), "{out}{err}");
    assert_eq!(code, 1);
}

#[test]
fn all_styles_are_told_and_those_for_others_are_not_tried() {
    let (out, _, _) = run(TABLE, &["all", "--who", "men"]);
    assert_eq!(out.lines().count(), bodkin::draft::BOOK.len(), "{out}");
    assert!(out.contains("straight_skirt: not tried, it is for others\n"), "{out}");
    assert!(out.contains("mans_tunic: 2 bodies"), "{out}");
}

#[test]
fn a_choice_of_some_styles_is_applied_to_those_and_the_others_are_not_tried() {
    let (out, err, code) = run(TABLE, &["all", "--who", "women", "band_depth=2in", "waist_to_hip=8in"]);
    assert_eq!((out.lines().count(), code, err.as_str()), (bodkin::draft::BOOK.len(), 0, ""), "{out}");
    for key in ["circle_skirt", "darted_trousers", "flared_skirt", "gathered_skirt", "pleated_skirt", "straight_skirt"]
    {
        assert!(out.contains(&format!("{key}: 2 bodies, 2 drafted")), "{out}");
    }
    assert!(out.contains("apron: not tried, it has no choice “band_depth”\n"), "{out}");
    assert!(out.contains("mans_tunic: not tried, it is for others\n"), "{out}");
    // It is applied: a style asked by itself refuses the same.
    let (out, err, code) = run(TABLE, &["all", "--json", "sweep=20in"]);
    let json: serde_json::Value = serde_json::from_str(&out).unwrap();
    let row = |key: &str| json.as_array().unwrap().iter().find(|row| row["style"] == key).unwrap();
    assert_eq!((&row("flared_skirt")["refused"], code), (&2.into(), 1), "{out}");
    assert!(row("flared_skirt")["first_refused"]["words"].as_str().unwrap().contains("hem of 20 in"), "{out}");
    assert_eq!((&row("apron")["tried"], &row("apron")["why_not"]), (&false.into(), &"it has no choice “sweep”".into()));
    assert!(err.contains("flared_skirt:") && !err.contains("apron"), "{err}");
    // Figure notes are for everybody, a choice of that name for the style that has it.
    let (out, _, _) = run(TABLE, &["all", "figure=stooped"]);
    assert!(!out.contains("no choice"), "{out}");
    let (out, _, _) = run(TABLE, &["all", "figure=even"]);
    assert!(
        out.contains("straight_skirt: 2 bodies") && out.contains("apron: not tried, it has no choice “figure”"),
        "{out}"
    );
}

#[test]
fn what_no_style_knows_is_refused_with_the_nearest_word() {
    for (table, words, told) in [
        (TABLE, &["all", "finishd_length=20in"][..], "“finishd_length” is neither a measure nor a choice of any style"),
        (TABLE, &["all", "finishd_length=20in"], "Did you mean “finished_length”?"),
        (TABLE, &["all", "sweep"], "Write waist_girth=29in"),
        ("wiast_girth_mm\n700\n", &["all"], "Did you mean “waist_girth_mm”?"),
        (TABLE, &["straight_skirt", "finishd_length=20in"], "Did you mean “finished_length”?"),
        (TABLE, &["all", "--who", "mem"], "Did you mean “men”?"),
        ("hip_girth_mm,hip_girth_in\n970,38\n", &["all"], "two columns give hip_girth"),
        ("hip_girth_mm\n970\nwide\n", &["all"], "line 3"),
        ("hip_girth_mm\r\n970\r\nwide\r\n", &["all"], "line 3"),
        ("hip_girth_in\n970\n", &["all"], "line 2"),
        (TABLE, &["straigt_skirt"], "Did you mean “straight_skirt”?"),
    ] {
        let (out, err, code) = run(table, words);
        assert!(out.is_empty() && err.contains(told) && code == 1, "{words:?}: {out}{err}");
    }
}
