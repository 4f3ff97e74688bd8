//! A lay on paper and several garments in one lay, as pages: what stands on them, what they
//! refuse, and that looking at them writes nothing. That the paper prints as it should is for a
//! browser to show (`tests/outside/print.mjs`), that the plot is true for `tests/outside/lays.py`.

use axum::http::{StatusCode, header};

use super::web::{ORDER, Shop};

#[test]
fn a_lay_stands_on_sheets_of_either_paper() {
    let shop = Shop::with_an_order();
    let before = shop.actions();
    for (query, stylesheet) in
        [("", "lay-a4.css"), ("?paper=letter", "lay-letter.css"), ("?paper=napkin", "lay-a4.css")]
    {
        let answer = shop.get(&format!("/orders/2026-0001/A/lay{query}"));
        assert_eq!(answer.status, StatusCode::OK, "{query}: {}", answer.body);
        let body = answer.body;
        assert!(body.contains(stylesheet), "{query}");
        // Each sheet says whose it is, and has its own drawing with a ruler.
        let sheets = body.matches("class=\"side lay-side\"").count();
        assert!(sheets >= 1 && body.matches("Efua Mensah").count() == sheets, "{query}: {sheets}");
        assert_eq!(body.matches("<svg role=\"img\"").count(), sheets);
        for needed in [
            "2026-0001 A",
            "Blue wrap skirt",
            ">Over-front<",
            ">0 in<",
            ">18 in<",
            "data-line=\"cut\"",
            "data-line=\"selvedge\"",
            "Cut off",
            "45 in",
            "roll=36",
        ] {
            let there = body.contains(needed) || (needed == ">Over-front<" && body.contains("Over-front<"));
            assert!(there, "{needed} is not on the paper{query}");
        }
        assert!(!body.contains("style=\"") && !body.contains(" onclick"));
    }
    // A long lay goes on on the next sheet.
    let narrow: Vec<(&str, &str)> =
        ORDER.iter().map(|(name, text)| (*name, if *name == "width" { "30" } else { text })).collect();
    assert_eq!(shop.post("/orders", &narrow).to, "/orders/2026-0002");
    let body = shop.get("/orders/2026-0002/A/lay").body;
    assert!(body.contains("sheet 2 of") && body.contains("Goes on on sheet 2"), "{body}");
    assert!(shop.get("/orders/2026-0001/A/cloth").body.contains("href=\"/orders/2026-0001/A/lay\""));
    assert_eq!(shop.actions(), before + 1);
}

#[test]
fn a_plot_is_a_file_and_an_unknown_roll_is_refused() {
    let shop = Shop::with_an_order();
    for (query, name) in [("", "lay-2026-0001-A-cloth.pdf"), ("?roll=36", "lay-2026-0001-A-36.pdf")] {
        let answer = shop.get(&format!("/orders/2026-0001/A/lay.pdf{query}"));
        assert_eq!(answer.status, StatusCode::OK, "{query}: {}", answer.body);
        assert_eq!(answer.headers[header::CONTENT_TYPE], "application/pdf");
        assert_eq!(answer.headers[header::CONTENT_DISPOSITION], format!("attachment; filename=\"{name}\""));
        assert!(answer.body.starts_with("%PDF-"));
    }
    let refused = shop.get("/orders/2026-0001/A/lay.pdf?roll=napkin");
    assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(refused.body.contains("“napkin” is no roll") && refused.body.contains("cloth, 36, 60"), "{}", refused.body);
    assert_eq!(shop.get("/orders/2026-0001/B/lay").status, StatusCode::NOT_FOUND);
    // Without measures there is nothing to lay, in words.
    shop.post("/clients", &[("name", "Ama Owusu"), ("wearer", "woman")]);
    let mut other = ORDER.to_vec();
    other[0] = ("client", "2");
    assert_eq!(shop.post("/orders", &other).to, "/orders/2026-0002");
    for path in ["/orders/2026-0002/A/lay", "/orders/2026-0002/A/lay.pdf"] {
        let answer = shop.get(path);
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{path}");
        assert!(answer.body.to_lowercase().contains("waist girth"), "{}", answer.body);
    }
}

#[test]
fn several_garments_are_laid_on_one_cloth() {
    let shop = Shop::with_an_order();
    assert_eq!(shop.post("/orders", &ORDER).to, "/orders/2026-0002");
    assert_eq!(shop.post("/orders/2026-0002/garment", &ORDER[1..]).status, StatusCode::SEE_OTHER);
    let before = shop.actions();
    let page = shop.get("/cloth/joint").body;
    assert_eq!(page.matches("name=\"g\"").count(), 3, "{page}");
    let query = "g=2026-0001/A&g=2026-0002/A&g=2026-0002/B&g=2026-0002/B";
    let page = shop.get(&format!("/cloth/joint?{query}")).body;
    for needed in [
        "3 garments from one cloth: buy ",
        "2026-0002 B · Blue wrap skirt, Efua Mensah",
        "value=\"2026-0002/B\" checked",
        "value=\"45\"",
    ] {
        assert!(page.contains(needed), "{needed}: {page}");
    }
    // Each piece is named with its garment, no two letters alike.
    let picture = shop.get(&format!("/cloth/joint/lay.svg?{query}")).body;
    for letter in [">1A<", ">2A<", ">3A<"] {
        assert!(picture.contains(letter), "{letter}: {picture}");
    }
    let paper = shop.get(&format!("/cloth/joint/lay?{query}&paper=letter"));
    assert_eq!(paper.status, StatusCode::OK);
    // The number before a letter says whose it is; the list has each garment's mark once, above its pieces.
    let listed = paper.body.split("2026-0002 B · ").nth(1).is_some_and(|own| own.contains("Over-front"));
    assert!(listed && paper.body.contains("lay-letter.css"), "{}", paper.body);
    // A wider cloth takes less of it; words narrow what is offered, and what is chosen stays.
    let wide = shop.get(&format!("/cloth/joint?{query}&width=60&words=nobody")).body;
    assert!(wide.contains("Laid on cloth 60 in wide") && wide.matches("name=\"g\"").count() == 3, "{wide}");
    assert_eq!(shop.get("/cloth/joint?words=nobody").body.matches("name=\"g\"").count(), 0);
    let slip = shop.get(&format!("/cloth/joint?{query}&width=wide"));
    assert_eq!(slip.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(slip.body.contains("value=\"wide\"") && slip.body.contains("aria-invalid"), "{}", slip.body);
    for path in ["/cloth/joint?g=2026-0009/A", "/cloth/joint?g=x", "/cloth/joint/lay.svg?g=2026-0001/Z"] {
        assert_eq!(shop.get(path).status, StatusCode::NOT_FOUND, "{path}");
    }
    assert_eq!(shop.actions(), before);
}

#[test]
fn a_party_of_twelve_is_one_lay() {
    let shop = Shop::with_an_order();
    for _ in 0..11 {
        assert_eq!(shop.post("/orders/2026-0001/garment", &ORDER[1..]).status, StatusCode::SEE_OTHER);
    }
    let query: Vec<String> = ('A'..='L').map(|letter| format!("g=2026-0001/{letter}")).collect();
    let page = shop.get(&format!("/cloth/joint?{}", query.join("&"))).body;
    assert!(page.contains("12 garments from one cloth: buy "), "{page}");
}
