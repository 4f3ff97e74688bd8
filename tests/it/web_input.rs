//! Bad input through the pages: a clear sentence, what was typed kept, never a 500.

use axum::http::StatusCode;

use super::web::{ORDER, Shop};

/// The order form with one field changed.
fn order_with<'a>(field: &'a str, text: &'a str) -> Vec<(&'a str, &'a str)> {
    let mut fields: Vec<(&str, &str)> = ORDER.into_iter().filter(|(name, _)| *name != field).collect();
    fields.push((field, text));
    fields
}

#[test]
fn a_length_that_is_none_comes_back_as_typed() {
    let shop = Shop::with_an_order();
    let before = shop.actions();
    for (typed, word) in [
        ("thirty-one", "thirty"),
        ("31 1/0", "nothing below the line"),
        ("400 in", "400 in"),
        ("-31", "less than nothing"),
        ("31 1/4 2", "31 1/4 2"),
        ("99999999999999999999", "longer"),
        ("<b>31</b>", "&#60;b&#62;31"),
    ] {
        let answer =
            shop.post("/clients/1/fitting", &[("m.waist_girth", typed), ("m.hip_girth", "39"), ("note", "kept")]);
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{typed}");
        let escaped = typed.replace('<', "&#60;").replace('>', "&#62;");
        assert!(answer.body.contains(&format!("value=\"{escaped}\"")), "{typed} is not kept");
        assert!(answer.body.contains("value=\"39\"") && answer.body.contains("kept"), "{typed}");
        assert!(answer.body.contains("waist_girth-note") && answer.body.contains(word), "{typed}: {}", answer.body);
        assert!(!answer.body.contains("<b>31</b>"));
    }
    assert_eq!(shop.actions(), before);
}

#[test]
fn empty_forms_come_back_with_notes() {
    let shop = Shop::with_an_order();
    let before = shop.actions();
    for path in [
        "/clients",
        "/clients/1/fitting",
        "/orders/2026-0001/payment",
        "/orders/2026-0001/charge",
        "/orders/2026-0001/garment",
    ] {
        let answer = shop.post(path, &[]);
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{path}: {}", answer.body);
        assert!(answer.body.contains("class=\"note\""), "{path}");
    }
    assert_eq!(
        shop.post("/orders", &[("client", "1"), ("style", "wrap_skirt")]).status,
        StatusCode::UNPROCESSABLE_ENTITY
    );
    for path in ["/clients/1/edit", "/shop", "/orders/2026-0001/edit", "/orders/2026-0001/A/edit"] {
        let status = shop.post(path, &[]).status;
        assert_eq!(status, StatusCode::BAD_REQUEST, "{path} does not say what it saw");
    }
    for path in ["/orders/2026-0001/A/stage", "/orders/2026-0001/standing"] {
        assert_eq!(shop.post(path, &[]).status, StatusCode::NOT_FOUND, "{path}");
    }
    assert_eq!(shop.actions(), before);
}

#[test]
fn a_note_of_two_megabytes_is_refused_in_words() {
    let shop = Shop::open();
    let long = "a".repeat(2 * 1024 * 1024);
    let answer = shop.post("/clients", &[("name", "Efua"), ("note", &long)]);
    assert_eq!(answer.status, StatusCode::PAYLOAD_TOO_LARGE);
    assert!(answer.body.contains("1 MB"));
    let answer = shop.post("/clients", &[("name", "Efua"), ("note", &long[..5000])]);
    assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(answer.body.contains("5000 letters; at most 4000") && answer.body.contains(&long[..5000]));
}

#[test]
fn markup_in_a_name_is_text() {
    let shop = Shop::open();
    let name = "<script>alert(1)</script> O'Brien & \"Daughters\"";
    assert_eq!(shop.post("/clients", &[("name", name)]).to, "/clients/1");
    for path in [
        "/clients",
        "/clients/1",
        "/clients/1/edit",
        "/clients/1/fitting",
        "/orders/new?client=1",
        "/clients?words=%3Cscript%3E",
    ] {
        let body = shop.get(path).body;
        assert!(!body.contains("<script>alert") && body.contains("&#60;script&#62;"), "{path}");
    }
}

#[test]
fn a_promise_in_the_past_and_wrong_amounts_come_back() {
    let shop = Shop::with_an_order();
    let before = shop.actions();
    for (field, typed, word) in [
        ("promised", "2026-05-02", "is past"),
        ("promised", "tomorrow", "“tomorrow”"),
        ("price", "a lot", "“a lot”"),
        ("price", "-5", "less than nothing"),
        ("deposit", "251", "more than the price"),
        ("fittings", "7", "“7”"),
        ("width", "2 in", "not woven"),
        ("c.finished_length", "90", "outside"),
        ("c.fullness", "lots", "“lots”"),
    ] {
        let answer = shop.post("/orders", &order_with(field, typed));
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{field} {typed}");
        assert!(answer.body.contains(word), "{field} {typed}: {}", answer.body);
        // A select holds its own words; every other field keeps what was typed.
        assert!(
            field == "fittings" || answer.body.contains(&format!("value=\"{typed}\"")),
            "{field} {typed} is not kept"
        );
        assert!(answer.body.contains("Blue wrap skirt"));
    }
    assert_eq!(shop.actions(), before);
}

#[test]
fn a_hip_smaller_than_the_waist_is_kept_and_said() {
    let shop = Shop::with_an_order();
    let typed = [("m.waist_girth", "39"), ("m.hip_girth", "31"), ("day", "2026-05-03")];
    let answer = shop.post("/clients/1/fitting", &typed);
    assert_eq!(answer.to, "/clients/1?measured=2");
    let page = shop.get(&answer.to).body;
    assert!(page.contains("Check the tape") && page.contains("are kept"), "{page}");
    let hint = shop.get("/clients/1/fitting/check?m.waist_girth=39&m.hip_girth=31");
    assert!(hint.body.contains("Check the tape"), "{}", hint.body);
}

#[test]
fn a_fitting_that_is_sent_twice_is_kept_once() {
    let shop = Shop::with_an_order();
    let typed = [("m.waist_girth", "31"), ("key", "1-1777800000000"), ("day", "2026-05-03")];
    assert_eq!(shop.post("/clients/1/fitting", &typed).to, "/clients/1?measured=2");
    assert_eq!(shop.post("/clients/1/fitting", &typed).to, "/clients/1?measured=2");
    assert_eq!(shop.store.read(|book| book.sets_of(bodkin::shop::ClientId::new(1))).unwrap().len(), 2);
}

#[test]
fn who_changes_an_old_page_is_told_so() {
    let shop = Shop::with_an_order();
    let seen = [("name", "Efua Mensah-Addo"), ("version", "1")];
    assert_eq!(shop.post("/clients/1/edit", &seen).to, "/clients/1");
    let answer = shop.post("/clients/1/edit", &seen);
    assert_eq!(answer.status, StatusCode::CONFLICT);
    assert!(answer.body.contains("in the meantime"), "{}", answer.body);
}

/// The key of a form on a page.
fn key<'a>(page: &'a str, form: &str) -> &'a str {
    page.split("name=\"form\" value=\"")
        .skip(1)
        .filter_map(|rest| rest.split('"').next())
        .find(|key| key.ends_with(form))
        .unwrap()
}

#[test]
fn a_form_that_is_sent_twice_is_done_once() {
    let shop = Shop::with_an_order();
    let page = shop.get("/orders/2026-0001").body;
    let balance = [("amount", "125"), ("kind", "balance"), ("form", key(&page, "payment"))];
    for _ in 0..2 {
        let answer = shop.post("/orders/2026-0001/payment", &balance);
        assert_eq!(answer.to, "/orders/2026-0001#money", "{}", answer.body);
    }
    let number = "2026-0001".parse().unwrap();
    assert_eq!(shop.store.read(|book| book.order_page(number)).unwrap().payments.len(), 2);
    let page = shop.get("/orders/new?client=1&style=wrap_skirt").body;
    let order = order_with("form", key(&page, "order"));
    for _ in 0..2 {
        assert_eq!(shop.post("/orders", &order).to, "/orders/2026-0002");
    }
    let page = shop.get("/clients/new").body;
    let client = [("name", "Grace Boateng"), ("form", key(&page, "client"))];
    for _ in 0..2 {
        assert_eq!(shop.post("/clients", &client).to, "/clients/2");
    }
    // Two pages never share a key.
    assert_ne!(key(&shop.get("/clients/new").body, "client"), key(&shop.get("/clients/new").body, "client"));
}
