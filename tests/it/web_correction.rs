//! Standing corrections through the pages: noted at a fitting, drafted with, left out, ended.

use axum::http::StatusCode;

use super::web::{ORDER, Shop};

const WAIST: [(&str, &str); 7] = [
    ("garment", "2026-0001/A"),
    ("fitting", "1"),
    ("day", "2026-05-03"),
    ("where.1", "waist_girth"),
    ("way.1", "out"),
    ("m.much.1", "1/2"),
    ("side.1", "both"),
];

/// A shop with an order that is cut, tacked, and fitted today.
fn at_the_fitting() -> Shop {
    let shop = Shop::with_an_order();
    let today = [("fitting_day", "2026-05-03"), ("fitting_garment", "1")];
    assert_eq!(shop.post("/orders/2026-0001/fitting", &today).to, "/orders/2026-0001#fittings");
    shop.post("/orders/2026-0001/A/stage", &[("from", "booked"), ("to", "cut")]);
    shop
}

/// The page without markup, blanks drawn together.
fn words(body: &str) -> String {
    let text: String =
        body.split('<').filter_map(|part| part.split_once('>')).map(|(_, text)| format!("{text} ")).collect();
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn what_a_fitting_shows_is_altered_on_the_cloth_and_drafted_into_the_next_garment() {
    let shop = at_the_fitting();
    let order = shop.get("/orders/2026-0001").body;
    let form = "/clients/1/corrections?garment=2026-0001/A&#38;fitting=1";
    assert!(order.contains(form) || order.contains(&form.replace("&#38;", "&amp;")), "{order}");
    let form = shop.get("/clients/1/corrections?garment=2026-0001/A&fitting=1");
    assert_eq!(form.status, StatusCode::OK);
    assert!(
        form.body.contains("value=\"2026-05-03\"") && form.body.contains("This garment is drafted from"),
        "{}",
        form.body
    );
    let kept = shop.post("/clients/1/corrections", &WAIST);
    assert_eq!(kept.to, "/orders/2026-0001#A", "{}", kept.body);
    // The garment is cut: its draft stays, the cloth is altered.
    let page = words(&shop.get("/orders/2026-0001").body);
    assert!(page.contains("To alter, from its fittings. Waist girth: let out ½ in (Sun 3 May)."), "{page}");
    assert!(page.contains("31 ÷ 4 = 7¾") && !page.contains("as corrected"), "{page}");
    assert!(words(&shop.get("/orders/2026-0001/A/sheet").body).contains("At the fitting: Waist girth: let out ½ in"));
    let client = words(&shop.get("/clients/1").body);
    assert!(client.contains("Waist girth: let out ½ in seen on Sun 3 May: Blue wrap skirt, 2026-0001 A"), "{client}");
    // The next one is drafted with it, and the paper says so.
    assert_eq!(shop.post("/orders", &ORDER).to, "/orders/2026-0002");
    let page = words(&shop.get("/orders/2026-0002").body);
    assert!(page.contains("Waist girth as corrected 31½ in 31 + ½ (fitting 3 May 2026) = 31½"), "{page}");
    assert!(page.contains("31½ ÷ 4 = 7⅞") && page.contains("1 of 1 in this draft"), "{page}");
    let sheet = words(&shop.get("/orders/2026-0002/A/sheet").body);
    assert!(sheet.contains("Corrected: Waist girth: let out ½ in (fitting 3 May 2026)"), "{sheet}");
    assert!(sheet.contains("drafted as 31½") && sheet.contains("31 + ½ (fitting 3 May 2026) = 31½"), "{sheet}");
    // So is a draft from the style book, unless the waist is typed anew.
    let drafted = |typed: &str| words(&shop.get(&format!("/styles/flared_skirt?client=1{typed}")).body);
    assert!(drafted("").contains("Waist girth as corrected"), "{}", drafted(""));
    assert!(!drafted("&m.waist_girth=30").contains("as corrected"));
    // Left out for this order.
    let left = shop.post("/orders/2026-0002/A/corrections", &[("version", "1"), ("looked", "1")]);
    assert_eq!(left.to, "/orders/2026-0002#A", "{}", left.body);
    let page = words(&shop.get("/orders/2026-0002").body);
    assert!(page.contains("31 ÷ 4 = 7¾") && page.contains("0 of 1 in this draft"), "{page}");
    assert!(page.contains("a standing correction: applied → left out"), "{page}");
    let stale = shop.post("/orders/2026-0002/A/corrections", &[("version", "1"), ("looked", "1"), ("apply", "1")]);
    assert_eq!(stale.status, StatusCode::CONFLICT);
    let again = [("version", "2"), ("looked", "1"), ("apply", "1")];
    assert_eq!(shop.post("/orders/2026-0002/A/corrections", &again).to, "/orders/2026-0002#A");
    // What was cut is kept with it, and then it is too late.
    shop.post("/orders/2026-0002/A/stage", &[("from", "booked"), ("to", "cut")]);
    let number = "2026-0002".parse().unwrap();
    let cut = shop.store.read(|book| book.order_page(number)).unwrap().garments[0].cut.clone().unwrap();
    assert_eq!((cut.corrections.len(), cut.corrections[0].words.as_str()), (1, "fitting 3 May 2026"));
    let late = shop.post("/orders/2026-0002/A/corrections", &[("version", "3"), ("looked", "1")]);
    assert_eq!(late.status, StatusCode::CONFLICT);
    assert!(late.body.contains("Alter the cloth"), "{}", late.body);
}

#[test]
fn a_newer_correction_waits_beside_a_garment_until_it_is_used_or_left() {
    let shop = at_the_fitting();
    for number in ["/orders/2026-0002", "/orders/2026-0003"] {
        assert_eq!(shop.post("/orders", &ORDER).to, number);
    }
    shop.post("/clients/1/corrections", &WAIST);
    let page = |number: &str| words(&shop.get(&format!("/orders/{number}")).body);
    for number in ["2026-0002", "2026-0003"] {
        let text = page(number);
        assert!(text.contains("A newer standing correction is there: Waist girth: let out ½ in."), "{text}");
        assert!(text.contains("31 ÷ 4 = 7¾"), "nothing moves by itself: {text}");
    }
    let answer = |number: &str, use_it: &str| {
        let fields = [("version", "1"), ("looked", "1"), ("apply", "1"), ("use", use_it)];
        assert_eq!(shop.post(&format!("/orders/{number}/A/corrections"), &fields).to, format!("/orders/{number}#A"));
        page(number)
    };
    let used = answer("2026-0002", "yes");
    assert!(used.contains("31½ ÷ 4 = 7⅞") && !used.contains("A newer standing correction"), "{used}");
    let left = answer("2026-0003", "no");
    assert!(left.contains("31 ÷ 4 = 7¾") && !left.contains("A newer standing correction"), "{left}");
    assert_eq!(shop.store.read(|book| book.check()).unwrap(), []);
}

#[test]
fn a_correction_is_doubted_once_the_measure_was_taken_anew_and_then_ended() {
    let shop = at_the_fitting();
    let mut earlier = WAIST;
    earlier[2] = ("day", "2026-05-02");
    shop.post("/clients/1/corrections", &earlier);
    let client = || words(&shop.get("/clients/1").body);
    assert!(!client().contains("Measured since"));
    assert_eq!(shop.post("/orders", &ORDER).to, "/orders/2026-0002");
    let doubtful = "<details class=\"standings\" open><summary>Standing corrections: 1 of 1 in this draft";
    assert!(!shop.get("/orders/2026-0002").body.contains(doubtful));
    shop.post("/clients/1/fitting", &[("m.waist_girth", "32"), ("day", "2026-05-03")]);
    assert!(client().contains("Measured since, on Sun 3 May: look whether it still holds."), "{}", client());
    assert!(shop.get("/orders/2026-0002").body.contains(doubtful), "the order that is drafted with it says so too");
    // It stays in force until somebody ends it, and a garment drafted with it stays as it is.
    let ended = shop.post("/clients/1/corrections/1/end", &[("reason", "it was the old belt")]);
    assert_eq!(ended.to, "/clients/1#standing", "{}", ended.body);
    assert!(
        client().contains("None in force") && client().contains("ended Sun 3 May: it was the old belt"),
        "{}",
        client()
    );
    let order = words(&shop.get("/orders/2026-0002").body);
    assert!(order.contains("31 + ½ (fitting 2 May 2026) = 31½") && order.contains("it was the old belt"), "{order}");
    assert_eq!(shop.post("/orders", &ORDER).to, "/orders/2026-0003");
    assert!(!shop.get("/orders/2026-0003").body.contains("as corrected"));
    let twice = shop.post("/clients/1/corrections/1/end", &[]);
    assert_eq!(twice.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(twice.body.contains("ended on 2026-05-03 already"), "{}", twice.body);
}

#[test]
fn a_form_with_a_slip_comes_back_with_what_was_typed_and_nothing_is_kept() {
    let shop = at_the_fitting();
    let before = shop.actions();
    let slip = [
        ("day", "2026-05-03"),
        ("where.1", "waist_girth"),
        ("m.much.1", "half"),
        ("where.2", "hip_girth"),
        ("way.2", "in"),
        ("m.much.2", "9"),
        ("words.2", "<b>when she sits</b>"),
    ];
    let back = shop.post("/clients/1/corrections", &slip);
    assert_eq!(back.status, StatusCode::UNPROCESSABLE_ENTITY);
    for text in ["Which way? Choose out or in.", "“half”", "at most 4 in. Measure again instead.", "value=\"9\""] {
        assert!(back.body.contains(text), "{text}: {}", back.body);
    }
    assert!(!back.body.contains("<b>when"), "what was typed is text");
    assert_eq!(shop.actions(), before);
    for (path, status) in [
        ("/clients/9/corrections", StatusCode::NOT_FOUND),
        ("/clients/1/corrections?garment=2026-0001/B", StatusCode::NOT_FOUND),
        ("/clients/1/corrections?garment=2026-0001/A&fitting=7", StatusCode::NOT_FOUND),
    ] {
        assert_eq!(shop.get(path).status, status, "{path}");
    }
    // Somebody else's garment, and somebody else's correction.
    shop.post("/clients", &[("name", "Adjoa Mensah")]);
    assert_eq!(shop.get("/clients/2/corrections?garment=2026-0001/A").status, StatusCode::NOT_FOUND);
    shop.post("/clients/1/corrections", &WAIST);
    assert_eq!(shop.post("/clients/2/corrections/1/end", &[]).status, StatusCode::NOT_FOUND);
    // Sent twice by a double tap, it is kept once.
    let mut twice = WAIST.to_vec();
    twice.push(("form", "17-1-corrections"));
    shop.post("/clients/1/corrections", &twice);
    shop.post("/clients/1/corrections", &twice);
    let client = bodkin::shop::ClientId::new(1);
    assert_eq!(shop.store.read(|book| book.corrections_of(client)).unwrap().len(), 2);
}
