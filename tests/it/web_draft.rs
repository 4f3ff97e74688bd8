//! The draft on its page: choices in the shop's own unit, darts in the drawings, and a
//! draft that would not sew said first.

use axum::http::StatusCode;
use bodkin::shop::BookText;
use bodkin::store::OWNER;

use super::web::{NOW_MS, ORDER, Shop};

/// Every field of the page's main form as a browser would send it untouched.
fn untouched(page: &str) -> Vec<(String, String)> {
    let form = page.split("<form class=\"narrow\"").nth(1).unwrap().split("</form>").next().unwrap();
    let value = |tag: &str, name: &str| -> Option<String> {
        let text = tag.split(&format!(" {name}=\"")).nth(1)?.split('"').next()?;
        Some(text.replace("&#38;", "&").replace("&#39;", "'"))
    };
    let mut fields = Vec::new();
    for tag in form.split('<').skip(1) {
        let Some(name) = value(tag, "name") else { continue };
        if tag.starts_with("select") {
            let options = form.split(&format!("name=\"{name}\"")).nth(1).unwrap().split("</select>").next().unwrap();
            let chosen = options.split("<option").find(|option| option.contains(" selected"));
            let chosen = chosen.or_else(|| options.split("<option").nth(1)).unwrap();
            fields.push((name, value(chosen, "value").unwrap()));
        } else if tag.starts_with("input") && !tag.contains("checkbox") {
            fields.push((name, value(tag, "value").unwrap_or_default()));
        } else if tag.starts_with("textarea") {
            fields.push((name, String::new()));
        }
    }
    fields
}

#[test]
fn a_shop_in_centimetres_orders_every_style_from_the_form_as_it_stands() {
    let shop = Shop::unopened();
    let mut answers = vec![("shop_name", "Tide House"), ("showing", "millimetres"), ("currency", "EUR")];
    answers.extend(["hours.0", "hours.1", "hours.2", "hours.3", "hours.4"].map(|day| (day, "6")));
    answers.extend([("hours.5", "0"), ("hours.6", "0")]);
    assert_eq!(shop.post("/shop/open", &answers).to, "/");
    shop.post("/clients", &[("name", "Ines Duarte")]);
    shop.post(
        "/clients/1/fitting",
        &[("m.bust_girth", "95"), ("m.waist_girth", "76"), ("m.hip_girth", "101.5"), ("day", "2026-05-02")],
    );
    let styles: Vec<&str> = bodkin::draft::BOOK.iter().map(|style| style.key).collect();
    for (place, style) in styles.iter().enumerate() {
        let page = shop.get(&format!("/orders/new?client=1&style={style}")).body;
        let fields = untouched(&page);
        assert!(fields.iter().any(|(name, _)| name.starts_with("c.")), "{style}");
        let pairs: Vec<(&str, &str)> = fields.iter().map(|(name, text)| (name.as_str(), text.as_str())).collect();
        let answer = shop.post("/orders", &pairs);
        assert_eq!(answer.to, format!("/orders/2026-{:04}", place + 1), "{style}: {}", answer.body);
        let kept = || {
            let number = answer.to.trim_start_matches("/orders/").parse().unwrap();
            shop.store.read(|book| book.order_page(number)).unwrap().garments[0].garment.facts.choices.clone()
        };
        assert!(kept().is_empty(), "{style}: {:?}", kept());
        let order = shop.get(&answer.to).body;
        assert!(order.contains("Drafted dimensions"), "{style}: {order}");
        // The same when the garment is opened for a change and kept as it is.
        let fields = untouched(&shop.get(&format!("{}/A/edit", answer.to)).body);
        let pairs: Vec<(&str, &str)> = fields.iter().map(|(name, text)| (name.as_str(), text.as_str())).collect();
        let changed = shop.post(&format!("{}/A/edit", answer.to), &pairs);
        assert_eq!(changed.to, format!("{}#A", answer.to), "{style}: {}", changed.body);
        assert!(kept().is_empty(), "{style}: {:?}", kept());
    }
    // The least allowance, 1/4 in, is told as 0.6 cm: so much may be typed, and is drafted.
    let number = format!("/orders/2026-{:04}", styles.iter().position(|key| *key == "wrap_skirt").unwrap() + 1);
    let least = [("version", "1"), ("what", "Skirt"), ("c.side_allowance", "0.6")];
    let changed = shop.post(&format!("{number}/A/edit"), &least);
    assert_eq!(changed.to, format!("{number}#A"), "{}", changed.body);
    let page = shop.get(&number).body;
    assert!(page.contains("Drafted dimensions") && page.contains("side allowance: – → 0.6 cm"), "{page}");
}

#[test]
fn what_is_seldom_changed_stands_aside_until_it_is_changed() {
    let shop = Shop::with_an_order();
    let aside = "<details><summary>Seldom changed: allowances and the like";
    let open = "<details open><summary>Seldom changed: allowances and the like";
    for path in ["/orders/new?client=1&style=wrap_skirt", "/orders/2026-0001/A/edit", "/styles/wrap_skirt"] {
        let page = shop.get(path).body;
        assert!(page.contains(aside), "{path}: {page}");
        let first = page.find("name=\"c.finished_length\"").unwrap();
        let then = page.find("name=\"c.side_allowance\"").unwrap();
        assert!(first < page.find(aside).unwrap() && page.find(aside).unwrap() < then, "{path}");
    }
    let version = [("version", "1"), ("what", "Skirt"), ("c.side_allowance", "3/4")];
    assert_eq!(shop.post("/orders/2026-0001/A/edit", &version).to, "/orders/2026-0001#A");
    assert!(shop.get("/orders/2026-0001/A/edit").body.contains(open));
    assert!(shop.get("/styles/wrap_skirt?c.side_allowance=3%2F4").body.contains(open));
    let mut wrong = ORDER.to_vec();
    wrong.push(("c.side_allowance", "wide"));
    let answer = shop.post("/orders", &wrong);
    assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(answer.body.contains(open));
    // The history says what was changed, in the shop's words.
    let page = shop.get("/orders/2026-0001").body;
    assert!(page.contains("side allowance: – → 3/4") || page.contains("side allowance: – → ¾"), "{page}");
    assert!(page.contains("garment: Blue wrap skirt → Skirt"), "{page}");
}

#[test]
fn darts_are_drawn() {
    let shop = Shop::with_an_order();
    assert!(shop.get("/styles").body.contains("class=\"dart\""));
    let drafted = shop.get("/styles/straight_skirt?client=1").body;
    assert!(drafted.contains("class=\"dart\""), "{drafted}");
}

#[test]
fn a_draft_that_would_not_sew_says_so_first() {
    let shop = Shop::with_an_order();
    let wrap = bodkin::draft::BOOK.iter().find(|style| style.key == "wrap_skirt").unwrap().text;
    let from = "'back.side + back.lower = over_front.side + over_front.lower'";
    assert!(wrap.contains(from));
    let spoilt = wrap.replacen(from, "'back.side + back.lower = over_front.leading'", 1);
    let text = BookText { key: "spoilt_skirt", label: "Spoilt skirt", text: &spoilt };
    shop.store.write(OWNER, NOW_MS, "spoilt a skirt", |book| book.offer_book(&[text], "test 2")).unwrap();
    let page = shop.get("/styles/spoilt_skirt?client=1").body;
    let warned = page.find("This draft would not sew").unwrap_or_else(|| panic!("{page}"));
    assert!(warned < page.find("Drafted dimensions").unwrap());
    let found = &page[warned..page.find("Drafted dimensions").unwrap()];
    assert!(found.contains("Side seams, back and over-front, walk") && found.contains("apart"), "{found}");
    assert!(page.contains("Does not hold.</strong> Side seams"), "{page}");
    assert!(!shop.get("/styles/wrap_skirt?client=1").body.contains("would not sew"));
}
