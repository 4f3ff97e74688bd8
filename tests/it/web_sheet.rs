//! The job sheet as a page: what stands on it for an order taken at the counter,
//! and what never does. That it prints on two sides is for a browser to show
//! (`tests/outside/print.mjs`).

use axum::http::StatusCode;

use super::web::{ORDER, Shop};

#[test]
fn an_order_has_its_sheet_on_either_paper() {
    let shop = Shop::with_an_order();
    for (path, stylesheet) in [
        ("/orders/2026-0001/A/sheet", "sheet-a4.css"),
        ("/orders/2026-0001/A/sheet?paper=a4", "sheet-a4.css"),
        ("/orders/2026-0001/A/sheet?paper=letter", "sheet-letter.css"),
        ("/orders/2026-0001/A/sheet?paper=napkin", "sheet-a4.css"),
    ] {
        let answer = shop.get(path);
        assert_eq!(answer.status, StatusCode::OK, "{path}: {}", answer.body);
        assert!(answer.body.contains(stylesheet), "{path}");
        assert!(!answer.body.contains("style=\"") && !answer.body.contains(" onclick"), "{path}");
        // Both sides say whose and what.
        assert_eq!(answer.body.matches("Efua Mensah</h").count(), 2, "{path}");
        assert_eq!(answer.body.matches("Blue wrap skirt <span").count(), 2, "{path}");
    }
}

#[test]
fn the_sheet_has_what_a_cutter_and_a_sewer_need() {
    let shop = Shop::with_an_order();
    let body = shop.get("/orders/2026-0001/A/sheet").body;
    for needed in [
        "2026-0001 A",
        "Sat 30 May",
        // 31 ÷ 4, as chalk figure and as working, with a true fraction.
        "31 ÷ 4 = 7¾",
        ">7¾</text>",
        "Over-front",
        "on the fold",
        "Cloth as laid",
        "Press stud",
        "count the pins",
        "1 value assumed.",
        "Front of a blank figure",
    ] {
        assert!(body.contains(needed), "{needed}");
    }
    // Which side of the cloth is up, whether the shorter lay is open or folded.
    assert!(body.contains("right side up") || body.contains("the wrong side is up"), "{body}");
    // 250 cedis, 125 of them paid, and no way to reach her.
    for never in ["250", "125", "GHS", "cash", "deposit"] {
        let text = words(&body);
        assert!(!text.contains(never), "{never}");
    }
}

/// The page without drawings and markup: coordinates hold any figure.
fn words(body: &str) -> String {
    let mut text = String::new();
    for (place, part) in body.split("<svg").enumerate() {
        text.push_str(if place == 0 { part } else { part.split_once("</svg>").map_or("", |(_, rest)| rest) });
    }
    text.split('<').filter_map(|part| part.split_once('>').map(|(_, words)| words)).collect::<Vec<_>>().join(" ")
}

#[test]
fn markup_in_a_name_stays_text() {
    let shop = Shop::open();
    shop.post("/clients", &[("name", "<b>Efua</b> \"E\""), ("wearer", "woman")]);
    assert_eq!(shop.post("/orders", &ORDER).to, "/orders/2026-0001");
    let body = shop.get("/orders/2026-0001/A/sheet").body;
    assert!(body.contains("&#60;b&#62;Efua") && !body.contains("<b>Efua"));
    // Nobody measured her: there is a sheet, it says so, and leaves room for the tape.
    assert!(body.contains("still to be taken") && body.contains("TAKE BEFORE CUTTING"));
    assert!(!body.contains("class=\"cut-list\""));
}

#[test]
fn the_code_on_the_paper_leads_to_the_garment() {
    let shop = Shop::with_an_order();
    let answer = shop.get("/orders/2026-0001/A");
    assert_eq!((answer.status, answer.to.as_str()), (StatusCode::SEE_OTHER, "/orders/2026-0001#A"));
    for path in ["/orders/2026-0001/B/sheet", "/orders/2026-0009/A/sheet", "/orders/x/A", "/orders/2026-0001/a"] {
        assert_eq!(shop.get(path).status, StatusCode::NOT_FOUND, "{path}");
    }
}
