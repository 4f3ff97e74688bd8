//! The pattern as it is downloaded from an order's page: kind, name, refusals; and that
//! asking for it writes nothing.

use axum::http::{StatusCode, header};

use super::web::{Answer, Shop};

fn header(answer: &Answer, name: header::HeaderName) -> &str {
    answer.headers.get(name).map_or("", |value| value.to_str().unwrap())
}

#[test]
fn an_order_offers_its_pattern_and_gives_it() {
    let shop = Shop::with_an_order();
    let page = shop.get("/orders/2026-0001").body;
    for needed in [
        "action=\"/orders/2026-0001/A/pattern.pdf\"",
        "name=\"pieces\" value=\"A\" checked",
        "<option value=\"a4\" selected>A4</option>",
        "<option value=\"roll\">36 in roll</option>",
        "href=\"/orders/2026-0001/A/piece/A.svg\"",
    ] {
        assert!(page.contains(needed), "{needed}: {page}");
    }
    let before = shop.actions();
    for (query, name) in [
        ("", "pattern-2026-0001-A-a4.pdf"),
        ("?paper=letter&pieces=A&pieces=D", "pattern-2026-0001-A-letter.pdf"),
        ("?paper=roll&pieces=A,B&opened=yes", "pattern-2026-0001-A-roll.pdf"),
    ] {
        let answer = shop.get(&format!("/orders/2026-0001/A/pattern.pdf{query}"));
        assert_eq!(answer.status, StatusCode::OK, "{query}: {}", answer.body);
        assert_eq!(header(&answer, header::CONTENT_TYPE), "application/pdf");
        assert_eq!(header(&answer, header::CONTENT_DISPOSITION), format!("attachment; filename=\"{name}\""));
        assert!(answer.body.starts_with("%PDF-"));
        // The name is drawn as glyphs on the labels; it stands nowhere else in the file.
        assert!(!answer.body.contains("Efua"));
    }
    assert_eq!(shop.actions(), before);
}

#[test]
fn a_piece_is_a_drawing_in_true_millimetres() {
    let shop = Shop::with_an_order();
    let answer = shop.get("/orders/2026-0001/A/piece/A.svg");
    assert_eq!(answer.status, StatusCode::OK, "{}", answer.body);
    assert_eq!(header(&answer, header::CONTENT_TYPE), "image/svg+xml");
    assert_eq!(header(&answer, header::CONTENT_DISPOSITION), "attachment; filename=\"piece-2026-0001-A-A.svg\"");
    for needed in
        ["mm\" viewBox=", "data-line=\"fold\"", ">2026-0001 A · Efua Mensah<", ">Blue wrap skirt · 3 May 2026<"]
    {
        assert!(answer.body.contains(needed), "{needed}: {}", answer.body);
    }
    let whole = shop.get("/orders/2026-0001/A/piece/A.svg?opened=yes");
    assert!(!whole.body.contains("data-line=\"fold\""));
}

#[test]
fn markup_in_a_name_stays_text() {
    let shop = Shop::open();
    shop.post("/clients", &[("name", "<b>Efua</b> & \"E\""), ("wearer", "woman")]);
    shop.post("/clients/1/fitting", &[("m.waist_girth", "31"), ("m.hip_girth", "39"), ("day", "2026-05-02")]);
    assert_eq!(shop.post("/orders", &super::web::ORDER).to, "/orders/2026-0001");
    let drawing = shop.get("/orders/2026-0001/A/piece/A.svg").body;
    assert!(drawing.contains("&lt;b&gt;Efua&lt;/b&gt; &amp;") && !drawing.contains("<b>"), "{drawing}");
}

#[test]
fn what_cannot_be_drawn_is_said_on_a_page() {
    let shop = Shop::with_an_order();
    for (path, words) in [
        ("pattern.pdf?paper=napkin", "is no paper that patterns are printed on"),
        ("pattern.pdf?pieces=Q", "There is no piece “Q”"),
        ("pattern.pdf?pieces=G", "is a strip, cut by its measures"),
    ] {
        let answer = shop.get(&format!("/orders/2026-0001/A/{path}"));
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{path}: {}", answer.body);
        assert!(answer.body.contains(words), "{path}: {}", answer.body);
    }
    for path in [
        "/orders/2026-0001/B/pattern.pdf",
        "/orders/2026-0002/A/pattern.pdf",
        "/orders/2026-0001/A/piece/Q.svg",
        "/orders/2026-0001/A/piece/A",
        "/orders/2026-0001/A/piece/..%2F..%2Fx.svg",
    ] {
        assert_eq!(shop.get(path).status, StatusCode::NOT_FOUND, "{path}");
    }
    // Nobody measured her yet: there is no draft, and the words say what is missing.
    let shop = Shop::open();
    shop.post("/clients", &[("name", "Efua Mensah"), ("wearer", "woman")]);
    assert_eq!(shop.post("/orders", &super::web::ORDER).to, "/orders/2026-0001");
    let answer = shop.get("/orders/2026-0001/A/pattern.pdf");
    assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(answer.body.to_lowercase().contains("waist girth"), "{}", answer.body);
}
