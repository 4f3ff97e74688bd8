//! A joint lay through the pages: accepted, held on the shelf, told on each order that it serves, tried shorter,
//! plotted, and what ends it.

use axum::http::{StatusCode, header};
use bodkin::measure::Length;
use bodkin::shop::{ClothLengthId, ClothOf, GarmentId};

use super::web::{ORDER, Shop};
use super::web_lay::{Open, alike, get, hidden};

const BOTH: &str = "g=2026-0001/A&g=2026-0002/A";
const PAGE: &str = "/cloth/joint?g=2026-0001%2FA&g=2026-0002%2FA";

/// Two orders of a wrap skirt, and a linen on the shelf of which 14 yd lie there.
fn two_skirts() -> Shop {
    let shop = Shop::with_an_order();
    assert_eq!(shop.post("/orders", &ORDER).to, "/orders/2026-0002");
    assert_eq!(shop.post("/cloth/new", &[("name", "Linen, sea green"), ("width", "45")]).to, "/cloth/1");
    assert_eq!(shop.post("/cloth/1/length", &[("long", "14 yd"), ("day", "2026-05-02")]).to, "/cloth/1");
    shop
}

fn edit(shop: &Shop, order: &str, version: &str, fields: &[(&'static str, &'static str)]) {
    let mut form = vec![("version", version), ("what", "Skirt"), ("price", "250"), ("fittings", "0"), ("width", "45")];
    form.retain(|(name, _)| !fields.iter().any(|(other, _)| other == name));
    form.extend(fields);
    let kept = shop.post(&format!("/orders/{order}/A/edit"), &form);
    assert_eq!(kept.status, StatusCode::SEE_OTHER, "{}", kept.body);
}

fn both_from_the_shelf(shop: &Shop) {
    for order in ["2026-0001", "2026-0002"] {
        edit(shop, order, "1", &[("stock", "1")]);
    }
}

/// The page with plain blanks.
fn plain(body: &str) -> String {
    body.replace(['\u{a0}', '\u{2009}', '\u{202f}'], " ")
}

#[test]
fn an_accepted_joint_lay_is_held_told_on_each_order_and_cut_once() {
    let shop = two_skirts();
    both_from_the_shelf(&shop);
    let page = shop.get(&format!("/cloth/joint?{BOTH}")).body;
    for needed in [">Accept this lay<", ">Keep trying<", "/cloth/joint/lay?g=2026-0001%2FA"] {
        assert!(page.contains(needed), "{needed}: {page}");
    }
    let first = shop.get(&format!("/cloth/joint/lay.svg?{BOTH}")).body;
    let before = shop.actions();
    assert_eq!(shop.post(&format!("/cloth/joint/accept?{BOTH}"), &[]).to, PAGE);
    assert_eq!(shop.actions(), before + 1);
    // In whatever order they are asked for, it is the accepted lay with its own numbers.
    for query in [BOTH, "g=2026-0002/A&g=2026-0001/A"] {
        let page = plain(&shop.get(&format!("/cloth/joint?{query}")).body);
        assert!(page.contains("Accepted by the owner, Sun 3 May") && page.contains("Linen, sea green are held for it"));
        assert!(alike(&shop.get(&format!("/cloth/joint/lay.svg?{query}")).body, &first));
    }
    for (order, other) in [("2026-0001", "2026-0002 A"), ("2026-0002", "2026-0001 A")] {
        let told = format!("Cut in one lay with {other}. Accepted by the owner");
        let body = plain(&shop.get(&format!("/orders/{order}")).body);
        assert!(body.contains(&told) && body.contains("for 2 in one lay, of the length of 14 yd"), "{body}");
        assert!(body.contains("accepted a joint lay of") && body.contains("The joint lay</a>"), "{body}");
        assert!(plain(&shop.get(&format!("/orders/{order}/A/cloth")).body).contains(&told));
        assert!(
            plain(&shop.get(&format!("/orders/{order}/A/sheet")).body).contains("Take the sheets of the joint lay")
        );
        assert!(plain(&shop.get(&format!("/orders/{order}/A/lay")).body).contains("Take that lay to the table"));
    }
    let shelf = plain(&shop.get("/cloth/1").body);
    assert!(
        shelf.contains("2026-0001 A Skirt and 1 more:") && shelf.contains("in one lay with 2026-0001 A"),
        "{shelf}"
    );
    let list = plain(&shop.get("/cloth/shopping").body);
    assert!(list.contains("and 1 other in one lay") && list.contains("held for it"), "{list}");
    assert!(!list.contains(">2026-0002 A<") || list.matches("2026-0002 A").count() == 0, "{list}");
    // The first is cut, and with it the cloth of both: asked once, taken once.
    shop.post("/orders/2026-0001/A/stage", &[("from", "booked"), ("to", "cloth_in")]);
    assert!(plain(&shop.get("/orders/2026-0001").body).contains("with all that is cut from the same lay"));
    let cut = [("from", "cloth_in"), ("to", "cut"), ("left.A", "4 yd")];
    assert_eq!(shop.post("/orders/2026-0001/A/stage", &cut).to, "/orders/2026-0001#A");
    let length = || shop.store.read(|book| book.cloth_length(ClothLengthId::new(1))).unwrap();
    assert_eq!((length().there, length().held.len()), (Length::inches(144, 0), 0));
    assert!(plain(&shop.get("/cloth/shopping").body).contains("For one more the cloth is in."));
    shop.post("/orders/2026-0002/A/stage", &[("from", "booked"), ("to", "cloth_in")]);
    assert!(!shop.get("/orders/2026-0002").body.contains("Left over, goes back"));
    shop.post("/orders/2026-0002/A/stage", &[("from", "cloth_in"), ("to", "cut")]);
    assert_eq!(length().there, Length::inches(144, 0));
    // Nothing of it is laid any more.
    for path in ["accept", "trying", "again"] {
        let refused = shop.post(&format!("/cloth/joint/{path}?{BOTH}"), &[]);
        assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY, "{path}");
        assert!(refused.body.contains("cut already"), "{path}: {}", refused.body);
    }
    assert_eq!(shop.store.read(|book| book.check()).unwrap(), []);
}

#[test]
fn a_joint_lay_ends_when_one_of_its_garments_goes_another_way() {
    let shop = two_skirts();
    both_from_the_shelf(&shop);
    let accept = || assert_eq!(shop.post(&format!("/cloth/joint/accept?{BOTH}"), &[]).to, PAGE);
    let held = || shop.store.read(|book| book.held_for(GarmentId::new(2), ClothOf::Main)).unwrap().is_some();
    accept();
    assert!(held());
    // Laid by itself: the other says so, and what was held is free.
    assert_eq!(shop.post("/orders/2026-0001/A/cloth/accept", &[]).to, "/orders/2026-0001/A/cloth");
    assert!(!held());
    let other = plain(&shop.get("/orders/2026-0002").body);
    assert!(other.contains("does not fit any more: 2026-0001 A was laid otherwise since, or called off"), "{other}");
    assert!(plain(&shop.get("/orders/2026-0001").body).contains("Accepted by the owner"));
    let page = shop.get(&format!("/cloth/joint?{BOTH}")).body;
    assert!(page.contains(">Forget the accepted lay<") && page.contains(">Accept this lay<"), "{page}");
    // Forgotten, only the one that was still in it is laid anew; the own lay of the first stands.
    assert_eq!(shop.post(&format!("/cloth/joint/again?{BOTH}"), &[]).to, PAGE);
    assert!(!shop.get("/orders/2026-0002").body.contains("does not fit any more"));
    assert!(plain(&shop.get("/orders/2026-0001").body).contains("Accepted by the owner"));
    // Accepted again it takes both along; another width of one of them breaks it, and the same width mends it.
    accept();
    assert!(held() && plain(&shop.get("/orders/2026-0001").body).contains("Cut in one lay with 2026-0002 A"));
    edit(&shop, "2026-0002", "2", &[("stock", "1"), ("width", "54")]);
    for order in ["2026-0001", "2026-0002"] {
        let body = plain(&shop.get(&format!("/orders/{order}")).body);
        assert!(body.contains("the cloth of 2026-0002 A is written 54 in wide"), "{body}");
    }
    let page = plain(&shop.get(&format!("/cloth/joint?{BOTH}")).body);
    assert!(page.contains("once the width is written alike") && !page.contains(">Accept this lay<"), "{page}");
    let refused = shop.post(&format!("/cloth/joint/accept?{BOTH}"), &[]);
    assert_eq!(refused.status, StatusCode::CONFLICT);
    assert!(refused.body.contains("is written 54 in wide"), "{}", refused.body);
    // Whoever stands in the way is named, all of them.
    let page = plain(&shop.get(&format!("/cloth/joint?{BOTH}&width=50")).body);
    assert!(
        page.contains("the cloth of 2026-0001 A is written 45 in wide, the cloth of 2026-0002 A is written 54 in wide"),
        "{page}"
    );
    edit(&shop, "2026-0002", "3", &[("stock", "1")]);
    assert!(plain(&shop.get("/orders/2026-0002").body).contains("Cut in one lay with 2026-0001 A"));
    // From another cloth nothing is held, nor when one is called off.
    edit(&shop, "2026-0002", "4", &[("stock", "")]);
    assert!(!held());
    accept();
    assert!(!held());
    assert!(plain(&shop.get(&format!("/cloth/joint?{BOTH}")).body).contains("Nothing is held on the shelf"));
    edit(&shop, "2026-0002", "5", &[("stock", "1")]);
    accept();
    assert!(held());
    assert_eq!(
        shop.post("/orders/2026-0001/A/cancel", &[("version", "2"), ("cancelled", "yes")]).status,
        StatusCode::SEE_OTHER
    );
    assert!(!held());
    assert!(plain(&shop.get("/orders/2026-0002").body).contains("2026-0001 A was laid otherwise since, or called off"));
    assert_eq!(shop.store.read(|book| book.check()).unwrap(), []);
}

#[test]
fn a_joint_lay_is_tried_shorter_accepted_and_plotted() {
    let open = Open::of(two_skirts());
    let trying = format!("/cloth/joint/trying?{BOTH}");
    assert_eq!(open.get(&trying).to, PAGE);
    let alone = open.post("/cloth/joint/trying?g=2026-0001/A", "");
    assert_eq!(alone.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(alone.body.contains("two garments at least"), "{}", alone.body);
    assert!(open.post(&trying, "").to.starts_with("/cloth/joint/trying?g="));
    let events = open.events(get(&format!("/cloth/joint/trying/events?{BOTH}")), |events| {
        events.iter().any(|event| event.name != "still")
    });
    assert!(events.iter().any(|event| event.name == "shorter" || event.name == "ended"), "{events:?}");
    assert!(open.post(&format!("/cloth/joint/trying/stop?{BOTH}"), "").to.starts_with("/cloth/joint/trying?"));
    let page = open.get(&trying).body;
    assert!(page.contains("A shorter lay for 2 garments"), "{page}");
    let (id, step) = (hidden(&page, "try"), hidden(&page, "step"));
    let found = open.get(&format!("/cloth/joint/trying/lay.svg?{BOTH}&step={step}")).body;
    assert_eq!(open.post(&format!("/cloth/joint/accept?{BOTH}"), &format!("try={id}&step={step}")).to, PAGE);
    assert!(alike(&open.get(&format!("/cloth/joint/lay.svg?{BOTH}")).body, &found));
    // On paper and in true scale it is the accepted one, on every roll that holds it.
    let paper = open.get(&format!("/cloth/joint/lay?{BOTH}")).body;
    assert!(
        paper.contains("Accepted by the owner") && paper.contains("/cloth/joint/lay.pdf?g=2026-0001%2FA"),
        "{paper}"
    );
    let plot = open.shop.get(&format!("/cloth/joint/lay.pdf?{BOTH}&roll=60"));
    assert_eq!(plot.status, StatusCode::OK, "{}", plot.body);
    assert_eq!(plot.headers[header::CONTENT_DISPOSITION], "attachment; filename=\"lay-2026-0001-A-and-others-60.pdf\"");
    assert!(plot.body.starts_with("%PDF-"));
}

#[test]
fn cut_without_cloth_for_all_the_others_are_on_the_list_again_and_their_pages_say_why() {
    let shop = two_skirts();
    // Of nobody's shelf, and of a shelf whose one length is too short.
    for stock in [None, Some("2")] {
        let (first, second) = if stock.is_some() { ("2026-0003", "2026-0004") } else { ("2026-0001", "2026-0002") };
        if let Some(stock) = stock {
            shop.post("/cloth/new", &[("name", "Poplin, white"), ("width", "45")]);
            shop.post("/cloth/2/length", &[("long", "1/2 yd"), ("day", "2026-05-02")]);
            for order in [first, second] {
                assert_eq!(shop.post("/orders", &ORDER).to, format!("/orders/{order}"));
                edit(&shop, order, "1", &[("stock", stock)]);
            }
        } else {
            edit(&shop, first, "1", &[("brought", "yes")]);
            edit(&shop, second, "1", &[]);
        }
        let both = format!("g={first}/A&g={second}/A");
        assert_eq!(shop.post(&format!("/cloth/joint/accept?{both}"), &[]).status, StatusCode::SEE_OTHER);
        let list = || plain(&shop.get("/cloth/shopping").body);
        assert!(list().contains("and 1 other in one lay"), "{}", list());
        let stage = |from, to| shop.post(&format!("/orders/{first}/A/stage"), &[("from", from), ("to", to)]);
        stage("booked", "cloth_in");
        assert_eq!(stage("cloth_in", "cut").to, format!("/orders/{first}#A"));
        let after = list();
        assert!(after.contains(&format!("{second} A")) && !after.contains(&format!("{first} A")), "{after}");
        assert!(after.contains("buy") && !after.contains("in one lay"), "{after}");
        for page in ["", "/A/cloth", "/A/sheet", "/A/lay"] {
            let body = plain(&shop.get(&format!("/orders/{second}{page}")).body);
            assert!(body.contains(&format!("{first} A is cut already")), "{page}: {body}");
            assert!(
                body.contains("does not serve any more") && !body.contains("Cut in one lay with"),
                "{page}: {body}"
            );
        }
        assert!(shop.get(&format!("/orders/{first}")).body.contains("Cut in one lay with"));
        shop.post(&format!("/orders/{second}/A/stage"), &[("from", "booked"), ("to", "cloth_in")]);
        shop.post(&format!("/orders/{second}/A/stage"), &[("from", "cloth_in"), ("to", "cut")]);
    }
    assert_eq!(shop.store.read(|book| book.check()).unwrap(), []);
}
