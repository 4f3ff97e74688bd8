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
    let told = "of Linen, sea green, and the length of 14 yd suffices: once accepted, it is held there.";
    assert!(plain(&page).contains(told) && page.contains("Rounded up, by") && !page.contains("uy "), "{page}");
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
        assert!(page.contains("Accepted by the owner, Sun 3 May"), "{page}");
        assert!(page.contains("of Linen, sea green are held for all of them, on the length of 14 yd"), "{page}");
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
    assert!(plain(&shop.get(&format!("/cloth/joint?{BOTH}")).body).contains("Nothing is held on the shelf for it"));
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
    // The page of the lay tells of it where it saved something.
    let lay = open.get(&format!("/cloth/joint?{BOTH}")).body;
    let link = "See the search";
    assert_eq!(lay.contains(link), lay.contains("shorter than the one below"), "{lay}");
    assert_eq!(lay.contains(link), events.iter().any(|event| event.name == "shorter"), "{events:?}: {lay}");
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

#[test]
fn what_one_holds_by_itself_stays_while_no_length_suffices_for_all_and_every_page_says_so() {
    let shop = two_skirts();
    both_from_the_shelf(&shop);
    assert_eq!(shop.post("/orders/2026-0001/A/cloth/accept", &[]).to, "/orders/2026-0001/A/cloth");
    let held = || shop.store.read(|book| book.held_for(GarmentId::new(1), ClothOf::Main)).unwrap();
    let own = held().unwrap().length;
    // A length that holds the one and not the two.
    let inches = own.nm() / Length::INCH.nm() + 2;
    let now = format!("{inches} in");
    assert_eq!(shop.post("/cloth/1/length/1", &[("do", "measure"), ("now.1", &now)]).to, "/cloth/1");
    let joint = || plain(&shop.get(&format!("/cloth/joint?{BOTH}")).body);
    let page = joint();
    assert!(page.contains("For 2026-0001 A by itself") && page.contains("no length suffices"), "{page}");
    assert_eq!(shop.post(&format!("/cloth/joint/accept?{BOTH}"), &[]).to, PAGE);
    assert_eq!(held().map(|held| (held.length, held.garments)), Some((own, 1)));
    let page = joint();
    assert!(shop.get(&format!("/cloth/joint/lay.svg?{BOTH}")).body.contains("buy "), "{page}");
    for words in [
        "Nothing is held for it: it needs one length of",
        "in one length.",
        "Buy, by",
        "stays so until a length is held for all of them",
    ] {
        assert!(page.contains(words), "{words}: {page}");
    }
    let order = plain(&shop.get("/orders/2026-0001").body);
    assert!(order.contains("held for it by itself, not for the joint lay, of the length"), "{order}");
    let shelf = plain(&shop.get("/cloth/1").body);
    assert!(shelf.contains("are held for it by itself, until a length is held for all"), "{shelf}");
    assert!(!shelf.contains("<select id=\"on-0\""), "{shelf}");
    let list = plain(&shop.get("/cloth/shopping").body);
    assert!(list.contains("and 1 other in one lay") && !list.contains("held for it"), "{list}");
    // A length that suffices for both comes in: it is held by hand, and her own is let go.
    assert_eq!(shop.post("/cloth/1/length", &[("long", "14 yd"), ("day", "2026-05-03")]).to, "/cloth/1");
    assert!(joint().contains("and the length of 14 yd suffices. Hold it there"), "{}", joint());
    assert_eq!(shop.post("/orders/2026-0001/A/held", &[("on", "2")]).to, "/cloth/1");
    assert_eq!(held().map(|held| (held.on, held.garments)), Some((ClothLengthId::new(2), 2)));
    assert!(joint().contains("are held for all of them, on the length of 14 yd"), "{}", joint());
    assert!(joint().contains("2 garments from one cloth of the shop:"), "{}", joint());
    assert_eq!(shop.store.read(|book| book.check()).unwrap(), []);
}

#[test]
fn a_joint_lay_says_whose_cloth_it_is_and_what_has_not_come() {
    let shop = two_skirts();
    shop.post("/clients", &[("name", "Ama Serwaa"), ("wearer", "woman")]);
    let measured = [("m.waist_girth", "29"), ("m.hip_girth", "38"), ("day", "2026-05-02"), ("source", "tape")];
    shop.post("/clients/2/fitting", &measured);
    let hers = [&[("client", "2")], &ORDER[1..]].concat();
    assert_eq!(shop.post("/orders", &hers).to, "/orders/2026-0003");
    let joint = |query: &str| plain(&shop.get(&format!("/cloth/joint?{query}")).body);
    // One client brings the cloth of both her garments: one owner, nothing to warn of but that it is not here.
    edit(&shop, "2026-0001", "1", &[("brought", "yes")]);
    edit(&shop, "2026-0002", "1", &[("brought", "yes"), ("comes", "2026-05-09")]);
    let page = joint(BOTH);
    for words in [
        "from one cloth that is brought:",
        "Efua Mensah brings the cloth",
        "What has not come cannot be cut: the cloth of 2026-0001 A was not brought yet, or not measured; the cloth of \
         2026-0002 A comes Sat 9 May",
    ] {
        assert!(page.contains(words), "{words}: {page}");
    }
    assert!(!page.contains("two owners"), "{page}");
    // Two clients bring it: a caution, and she may accept it all the same.
    edit(&shop, "2026-0003", "1", &[("brought", "yes"), ("length", "3")]);
    let query = "g=2026-0001/A&g=2026-0003/A";
    let page = joint(query);
    assert!(
        page.contains("One length cannot be cut from the cloth of two owners: 2026-0001 A from what Efua Mensah brings; 2026-0003 A from what Ama Serwaa brings."),
        "{page}"
    );
    assert!(
        page.contains("Ama Serwaa brings the cloth, 3 yd measured") && page.contains(">Accept this lay<"),
        "{page}"
    );
    // Hers is on the table: nothing of it is waited for. What is bought for the one is not brought by the other.
    shop.post("/orders/2026-0001/A/stage", &[("from", "booked"), ("to", "cloth_in")]);
    let page = joint(query);
    assert!(page.contains("it is in") && !page.contains("What has not come"), "{page}");
    edit(&shop, "2026-0003", "2", &[]);
    assert!(joint(query).contains("2026-0003 A from the shop’s cloth"), "{}", joint(query));
}

#[test]
fn a_garment_sent_back_from_a_joint_lay_loses_its_cloth_unless_it_was_not_cut_after_all() {
    let shop = two_skirts();
    both_from_the_shelf(&shop);
    assert_eq!(shop.post(&format!("/cloth/joint/accept?{BOTH}"), &[]).to, PAGE);
    let held = || shop.store.read(|book| book.held_for(GarmentId::new(2), ClothOf::Main)).unwrap().is_some();
    let there = || shop.store.read(|book| book.cloth_length(ClothLengthId::new(1))).unwrap().there;
    let order = |number: &str| plain(&shop.get(&format!("/orders/{number}")).body);
    let joint = || plain(&shop.get(&format!("/cloth/joint?{BOTH}")).body);
    let cut = [("from", "booked"), ("to", "cut"), ("left.A", "4 yd")];
    let back = [("from", "cut"), ("to", "booked"), ("reason", "wrong tap")];
    // With the tick all is as it was, for both.
    assert_eq!(shop.post("/orders/2026-0001/A/stage", &cut).to, "/orders/2026-0001#A");
    assert!(
        joint().contains("It is cut: 10 yd of Linen, sea green went from the shelf for all of its garments."),
        "{}",
        joint()
    );
    assert!(!joint().contains("Nothing is held") && !joint().contains("buy "), "{}", joint());
    let not_cut = [&back[..], &[("uncut", "yes")]].concat();
    assert_eq!(shop.post("/orders/2026-0001/A/stage", &not_cut).to, "/orders/2026-0001#A");
    assert_eq!((there(), held()), (Length::inches(504, 0), true));
    assert!(!order("2026-0001").contains("sent back: ") && joint().contains("are held for all of them"), "{}", joint());
    // Without it her part is gone: her order says so, and what she needs; the other's cloth lies on the table.
    assert_eq!(shop.post("/orders/2026-0001/A/stage", &cut).to, "/orders/2026-0001#A");
    assert_eq!(shop.post("/orders/2026-0001/A/stage", &back).to, "/orders/2026-0001#A");
    assert_eq!((there(), held()), (Length::inches(144, 0), false));
    let hers = order("2026-0001");
    for words in [
        "It was cut, Sun 3 May, and sent back: 10 yd of Linen, sea green went from the shelf then, for it and 1 other in \
         one lay, and is not there any more.",
        "It needs cloth of its own now: lay it by itself, or with others.",
        "and sent back; its part of that cloth is not there any more",
    ] {
        assert!(hers.contains(words), "{words}: {hers}");
    }
    let page = joint();
    assert!(page.contains("2026-0001 A was cut from it and sent back"), "{page}");
    assert!(order("2026-0002").contains("Cut in one lay with 2026-0001 A"), "{}", order("2026-0002"));
    let list = || plain(&shop.get("/cloth/shopping").body);
    assert!(list().contains(">2026-0001 A<") && list().contains("For one more the cloth is in."), "{}", list());
    // Laid by itself, the other's cloth still lies there cut.
    assert_eq!(shop.post("/orders/2026-0001/A/cloth/accept", &[]).to, "/orders/2026-0001/A/cloth");
    assert!(order("2026-0002").contains("Cut in one lay with 2026-0001 A"), "{}", order("2026-0002"));
    assert!(list().contains("For one more the cloth is in."), "{}", list());
    assert_eq!(shop.store.read(|book| book.check()).unwrap(), []);
}

#[test]
fn a_width_that_no_cloth_has_comes_back_with_value_limit_and_remedy_and_nothing_is_done() {
    let shop = two_skirts();
    let before = shop.actions();
    for (typed, words) in [
        ("0", "Cloth 0 in wide is not woven; 8 in (20 cm) to 150 in (380 cm) is. Check the unit."),
        ("2", "Cloth 2 in wide is not woven; 8 in (20 cm) to 150 in (380 cm) is. Check the unit."),
        ("900 in", "Cloth 900 in wide is not woven; 8 in (20 cm) to 150 in (380 cm) is. Check the unit."),
        ("-3", "“-3” is less than nothing."),
        ("wide", "“wide” is not part of a length."),
    ] {
        let query = format!("{BOTH}&one_way=yes&width={}", typed.replace(' ', "%20"));
        let page = shop.get(&format!("/cloth/joint?{query}"));
        let body = plain(&page.body);
        assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY, "{typed}");
        assert!(body.contains(words) && body.contains(&format!("value=\"{typed}\"")), "{typed}: {body}");
        assert!(body.matches(" checked").count() == 3 && !body.contains("garments from one cloth"), "{typed}: {body}");
        for way in ["accept", "trying", "again"] {
            let refused = shop.post(&format!("/cloth/joint/{way}?{query}"), &[]);
            assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY, "{typed}, {way}");
            assert!(plain(&refused.body).contains(words), "{typed}, {way}: {}", refused.body);
        }
        let picture = plain(&shop.get(&format!("/cloth/joint/lay.svg?{query}")).body);
        assert!(picture.contains(&words.chars().take(12).collect::<String>()), "{typed}: {picture}");
    }
    assert_eq!(shop.actions(), before);
    // Empty is as it is written, 8 and 150 in are cloth.
    let page = plain(&shop.get(&format!("/cloth/joint?{BOTH}&width=")).body);
    assert!(page.contains("Laid on cloth 45 in wide;") && page.contains("value=\"45\""), "{page}");
    assert!(plain(&shop.get(&format!("/cloth/joint?{BOTH}&width=150")).body).contains("Laid on cloth 150 in wide"));
    assert!(plain(&shop.get(&format!("/cloth/joint?{BOTH}&width=8")).body).contains("and this cloth has"));
}
