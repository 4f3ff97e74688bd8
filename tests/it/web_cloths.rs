//! The shop's cloth through the pages alone: lengths in and out, a garment cut from the shelf, the
//! shopping list of the open orders.

use axum::http::StatusCode;
use bodkin::measure::Length;
use bodkin::shop::{AcceptedLay, ClothMoveKind, ClothOf, GarmentId, LayId, LiningKind, Nap, OrderNumber};
use bodkin::store::OWNER;

use super::web::{NOW_MS, ORDER, Shop};

const LINEN: [(&str, &str); 5] =
    [("name", "Linen, sea green"), ("width", "54"), ("nap", "one"), ("price", "90"), ("from_whom", "the mill boat")];

/// A shop with an order of a wrap skirt and a linen of which 5 yd and 1 3/8 yd lie there.
fn with_linen() -> Shop {
    let shop = Shop::with_an_order();
    let added = shop.post("/cloth/new", &LINEN);
    assert_eq!(added.to, "/cloth/1", "{}", added.body);
    for (long, place) in [("5", "shelf 2"), ("1 3/8 yd", "drawer")] {
        let came =
            shop.post("/cloth/1/length", &[("long", long), ("day", "2026-05-02"), ("washed", "no"), ("place", place)]);
        assert_eq!(came.to, "/cloth/1", "{}", came.body);
    }
    shop
}

/// The page with plain blanks.
fn plain(body: &str) -> String {
    body.replace(['\u{a0}', '\u{2009}', '\u{202f}'], " ")
}

/// The skirt as its form shows it, with these fields.
fn skirt(fields: &[(&'static str, &'static str)]) -> Vec<(&'static str, &'static str)> {
    [&[("what", "Blue wrap skirt"), ("fittings", "0"), ("price", "250")], fields].concat()
}

fn version(shop: &Shop) -> String {
    facts(shop).version.to_string()
}

fn facts(shop: &Shop) -> bodkin::shop::Garment {
    shop.store.read(|book| book.garment(GarmentId::new(1))).unwrap()
}

/// Its cloth is chosen from the shelf.
fn from_the_shelf(shop: &Shop) {
    let version = version(shop);
    let mut form = skirt(&[("stock", "1")]);
    form.push(("version", &version));
    let kept = shop.post("/orders/2026-0001/A/edit", &form);
    assert_eq!(kept.to, "/orders/2026-0001#A", "{}", kept.body);
}

fn accept(shop: &Shop, inches: i64) {
    let lay = AcceptedLay {
        id: LayId::new(0),
        cloth: ClothOf::Main,
        garments: vec![GarmentId::new(1)],
        who: OWNER,
        at_ms: 0,
        width: Length::inches(54, 0),
        used: Length::inches(inches, 0),
        need: Some(Length::inches(inches, 0)),
        layout: "folded".into(),
        folded: Length::ZERO,
        fold_at: Length::ZERO,
        seed: 1,
        evaluations: 1,
        placements: Vec::new(),
    };
    shop.store.write(OWNER, NOW_MS, "accepted a lay", |book| book.accept_lay(&lay)).unwrap();
}

#[test]
fn a_cloth_is_written_down_changed_and_put_away() {
    let shop = Shop::open();
    let empty = plain(&shop.get("/cloth").body);
    assert!(empty.contains("No cloth of the shop is written down yet"), "{empty}");
    let wrong =
        shop.post("/cloth/new", &[("name", ""), ("words", "the face is dull"), ("width", "3"), ("shrink_along", "40")]);
    assert_eq!(wrong.status, StatusCode::UNPROCESSABLE_ENTITY);
    for words in
        ["Write what it is called", "Cloth 3 in wide is not woven", "no shrinkage from 0 to 20 %", "the face is dull"]
    {
        assert!(plain(&wrong.body).contains(words), "{words}: {}", wrong.body);
    }
    assert_eq!(shop.post("/cloth/new", &LINEN).to, "/cloth/1");
    let list = plain(&shop.get("/cloth").body);
    for words in ["Linen, sea green", "54 in wide, one way only", "none there", "90.00"] {
        assert!(list.contains(words), "{words}: {list}");
    }
    let changed =
        [("version", "1"), ("name", "Linen, <sea>"), ("width", "54 in"), ("nap", "free"), ("repeat_along", "4 1/2")];
    assert_eq!(shop.post("/cloth/1/edit", &changed).to, "/cloth/1");
    let page = plain(&shop.get("/cloth/1").body);
    assert!(page.contains("repeat 4½ in along") && page.contains("Linen, &#60;sea&#62;"), "{page}");
    // An old page is told so.
    assert_eq!(shop.post("/cloth/1/edit", &changed).status, StatusCode::CONFLICT);
    assert_eq!(shop.post("/cloth/1/retire", &[("version", "2"), ("retired", "yes")]).to, "/cloth/1");
    assert!(!plain(&shop.get("/cloth").body).contains("sea"));
    assert!(plain(&shop.get("/cloth?all=yes").body).contains("offered no more"));
    assert_eq!(shop.get("/cloth/9").status, StatusCode::NOT_FOUND);
}

#[test]
fn lengths_come_in_are_measured_again_and_go() {
    let shop = with_linen();
    let page = plain(&shop.get("/cloth/1").body);
    assert!(page.contains("6 yd 13½ in, 2 lengths") && page.contains("shelf 2"), "{page}");
    let wrong = shop.post("/cloth/1/length", &[("long", ""), ("flaws", "a hole"), ("left_of", "2026-0009 A")]);
    assert_eq!(wrong.status, StatusCode::UNPROCESSABLE_ENTITY);
    for words in ["Write how long it is", "No garment is called “2026-0009 A”", "value=\"a hole\""] {
        assert!(plain(&wrong.body).contains(words), "{words}: {}", wrong.body);
    }
    let offcut = [("long", "27 in"), ("day", "2026-05-03"), ("left_of", "2026-0001 a")];
    assert_eq!(shop.post("/cloth/1/length", &offcut).to, "/cloth/1");
    assert_eq!(shop.post("/cloth/1/length/1", &[("do", "measure"), ("now.1", "4 7/8 yd")]).to, "/cloth/1");
    assert_eq!(
        shop.post("/cloth/1/length/2", &[("do", "give"), ("much.2", "3/8"), ("why.2", "swatches")]).to,
        "/cloth/1"
    );
    let cut = [("do", "give"), ("much.3", "9 in"), ("garment.3", "2026-0001 A")];
    assert_eq!(shop.post("/cloth/1/length/3", &cut).to, "/cloth/1");
    let noted = [("do", "note"), ("version", "1"), ("washed.1", "yes"), ("place.1", "rail"), ("flaws.1", "faded fold")];
    assert_eq!(shop.post("/cloth/1/length/1", &noted).to, "/cloth/1");
    let page = plain(&shop.get("/cloth/1").body);
    for words in [
        "4 yd 31½ in",
        "washed, rail, flaws: faded fold",
        "−13½ in given away",
        ": swatches",
        "left over of 2026-0001 A",
        "cut for 2026-0001 A",
    ] {
        assert!(page.contains(words), "{words}: {page}");
    }
    // More than there is comes back with the length there is, and what was typed.
    let wrong = shop.post("/cloth/1/length/2", &[("do", "give"), ("much.2", "3 yd"), ("why.2", "to Ida")]);
    assert_eq!(wrong.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(
        plain(&wrong.body).contains("3 yd cannot go: this length is 1 yd. Write less")
            && plain(&wrong.body).contains("to Ida"),
        "{}",
        wrong.body
    );
    // Nothing, or nothing said of why, comes back as it was typed; a garment says why.
    let before = shop.actions();
    for (much, why, words) in [
        ("0", "to Ida", "“0” is nothing to take out. Write how much goes, up to the 1 yd there are."),
        ("", "to Ida", "Write how much, such as 2 3/4 yd or 120 cm."),
        ("9 in", "", "To whom does it go, or why? Write a word or two, or the garment for which it is cut."),
        ("0", "", "To whom does it go, or why?"),
    ] {
        let wrong = shop.post("/cloth/1/length/2", &[("do", "give"), ("much.2", much), ("why.2", why)]);
        let body = plain(&wrong.body);
        assert_eq!(wrong.status, StatusCode::UNPROCESSABLE_ENTITY, "{much}, {why}");
        assert!(body.contains(words), "{much}, {why}: {body}");
        assert!(body.contains(&format!("name=\"much.2\" value=\"{much}\"")) && body.contains(why), "{body}");
    }
    let wrong = shop.post("/cloth/1/length", &[("long", "0"), ("place", "rail 3")]);
    assert!(plain(&wrong.body).contains("“0” is no length; one that comes in is longer than nothing."));
    assert!(wrong.status == StatusCode::UNPROCESSABLE_ENTITY && wrong.body.contains("rail 3"));
    assert_eq!(shop.actions(), before);
    let kinds: Vec<ClothMoveKind> = shop
        .store
        .read(|book| book.cloth_moves(bodkin::shop::ClothId::new(1), 9))
        .unwrap()
        .iter()
        .map(|step| step.kind)
        .collect();
    use ClothMoveKind::{Bought, Cut, Given, Measured, Offcut};
    assert_eq!(kinds, [Cut, Given, Measured, Offcut, Bought, Bought]);
    assert_eq!(shop.get("/cloth/1/length/1").status, StatusCode::METHOD_NOT_ALLOWED);
    assert_eq!(shop.post("/cloth/1/length/9", &[("do", "note")]).status, StatusCode::NOT_FOUND);
    assert_eq!(shop.store.read(|book| book.check()).unwrap(), []);
}

#[test]
fn a_garment_takes_over_what_is_known_of_the_shelfs_cloth() {
    let shop = with_linen();
    let form = plain(&shop.get("/orders/2026-0001/A/edit").body);
    assert!(form.contains("From the shop’s shelf") && form.contains(">Linen, sea green</option>"), "{form}");
    from_the_shelf(&shop);
    let cloth = facts(&shop).facts.cloth;
    // The width was written down already; what was not comes from the shelf.
    assert_eq!(
        (cloth.words.as_str(), cloth.width, cloth.nap),
        ("Linen, sea green", Some(Length::inches(54, 0)), Nap::One)
    );
    assert!(plain(&shop.get("/orders/2026-0001").body).contains("Linen, sea green; nothing is held yet"));
    // What is written later stands, whatever the shelf says.
    let version = version(&shop);
    let mut form = skirt(&[("stock", "1"), ("cloth", "the green linen"), ("nap", "free")]);
    form.push(("version", &version));
    shop.post("/orders/2026-0001/A/edit", &form);
    let cloth = facts(&shop).facts.cloth;
    assert_eq!((cloth.words.as_str(), cloth.nap), ("the green linen", Nap::Free));
    let gone = shop.post("/orders/2026-0001/A/edit", &[("version", "3"), ("what", "x"), ("stock", "7")]);
    assert!(
        gone.status == StatusCode::UNPROCESSABLE_ENTITY && plain(&gone.body).contains("not on the shelf"),
        "{}",
        gone.body
    );
}

#[test]
fn what_is_held_is_used_when_the_garment_is_cut_and_the_rest_goes_back() {
    let shop = with_linen();
    from_the_shelf(&shop);
    accept(&shop, 40);
    let page = plain(&shop.get("/cloth/1").body);
    assert!(page.contains("2026-0001 A Blue wrap skirt: 1 yd 4 in") && page.contains("9½ in free"), "{page}");
    // She holds it on the bolt instead, and lets it go, and holds it again.
    for (on, held) in [("1", true), ("none", false), ("1", true)] {
        assert_eq!(shop.post("/orders/2026-0001/A/held", &[("on", on)]).to, "/cloth/1");
        assert_eq!(shop.store.read(|book| book.held_for(GarmentId::new(1), ClothOf::Main)).unwrap().is_some(), held);
    }
    shop.post("/orders/2026-0001/A/stage", &[("from", "booked"), ("to", "cloth_in")]);
    let order = plain(&shop.get("/orders/2026-0001").body);
    assert!(order.contains("Left over, goes back") && order.contains("name=\"left.A\" value=\"140 in\""), "{order}");
    assert!(order.contains("1 yd 4 in held of the length of 5 yd, shelf 2"), "{order}");
    // That lay was not laid out, so its page shows the first: it needs more than is held.
    let cloth = plain(&shop.get("/orders/2026-0001/A/cloth").body);
    assert!(
        cloth.contains("From the shelf: needs ") && cloth.contains("held for it on the length of 5 yd (shelf 2)"),
        "{cloth}"
    );
    assert!(cloth.contains("too short. Accept the lay anew.") && !cloth.contains("What would make it fit"), "{cloth}");
    // More than there was cannot be left.
    let cut = |left| shop.post("/orders/2026-0001/A/stage", &[("from", "cloth_in"), ("to", "cut"), ("left.A", left)]);
    let wrong = cut("6 yd");
    assert_eq!(wrong.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(
        plain(&wrong.body).contains("6 yd cannot be left: the length was 5 yd")
            && plain(&wrong.body).contains("value=\"6 yd\""),
        "{}",
        wrong.body
    );
    assert_eq!(cut("3 3/4").to, "/orders/2026-0001#A");
    let bolt = shop.store.read(|book| book.cloth_length(bodkin::shop::ClothLengthId::new(1))).unwrap();
    assert_eq!((bolt.there, bolt.held.len()), (Length::inches(135, 0), 0));
    assert!(!plain(&shop.get("/cloth/1").body).contains("To be cut from it"));
    // Sent back it stays cut, unless it was not cut after all: then all is as it was, and held again.
    let there = || shop.store.read(|book| book.cloth_length(bodkin::shop::ClothLengthId::new(1))).unwrap();
    let back = [("from", "cut"), ("to", "cloth_in"), ("reason", "wrong tap")];
    let order = plain(&shop.get("/orders/2026-0001").body);
    assert!(order.contains("its cloth stays cut (1 yd 9 in of Linen, sea green), unless you say otherwise"), "{order}");
    assert_eq!(shop.post("/orders/2026-0001/A/stage", &back).to, "/orders/2026-0001#A");
    assert_eq!((there().there, there().held.len()), (Length::inches(135, 0), 0));
    let order = plain(&shop.get("/orders/2026-0001").body);
    assert!(!order.contains("It was not cut after all"));
    for words in [
        "It was cut, Sun 3 May, and sent back: 1 yd 9 in of Linen, sea green went from the shelf then, and is not there \
         any more.",
        "It needs 1 yd 4 in anew; the length of 1 yd 13½ in (drawer) suffices, and is not held for it yet.",
    ] {
        assert!(order.contains(words), "{words}: {order}");
    }
    shop.post("/orders/2026-0001/A/stage", &[("from", "cloth_in"), ("to", "cut")]);
    assert_eq!(
        shop.post("/orders/2026-0001/A/stage", &[&back[..], &[("uncut", "yes")]].concat()).to,
        "/orders/2026-0001#A"
    );
    assert_eq!(there().there, Length::inches(180, 0));
    let held = shop.store.read(|book| book.held_for(GarmentId::new(1), ClothOf::Main)).unwrap();
    assert_eq!(held.map(|held| held.length), Some(Length::inches(40, 0)));
    assert!(plain(&shop.get("/cloth/1").body).contains("not cut after all"));
    assert!(!plain(&shop.get("/orders/2026-0001").body).contains("and sent back"));
    assert_eq!(shop.store.read(|book| book.check()).unwrap(), []);
}

#[test]
fn the_cloth_page_of_a_garment_from_the_shelf_says_from_which_length_and_whether_it_suffices() {
    let shop = with_linen();
    from_the_shelf(&shop);
    let page = || plain(&shop.get("/orders/2026-0001/A/cloth").body);
    let picture = || plain(&shop.get("/orders/2026-0001/A/lay.svg").body);
    let first = page();
    assert!(first.contains("of Linen, sea green; the length of 5 yd (shelf 2) suffices. Accept the lay"), "{first}");
    assert!(first.contains("href=\"/cloth/1\"") && first.contains("Rounded up, by"), "{first}");
    assert!(!first.contains("Buy") && !picture().contains("buy "), "{first}");
    shop.post("/orders/2026-0001/A/cloth/accept", &[]);
    assert!(page().contains("are held for it on the length of 5 yd (shelf 2)."), "{}", page());
    assert!(!page().contains("Buy") && !picture().contains("buy "));
    shop.post("/orders/2026-0001/A/held", &[("on", "none")]);
    assert!(page().contains("suffices. Hold it there, on the page of the cloth."), "{}", page());
    // The bolt is given away: what is left is too short, and nothing of it is hidden.
    shop.post("/cloth/1/length/1", &[("do", "measure"), ("now.1", "0")]);
    let short = page();
    assert!(short.contains("and no length suffices: the most that is free of one is 1 yd 13½ in. Buy "), "{short}");
    assert!(short.contains("Buy, by") && picture().contains("buy "), "{short}");
    shop.post("/cloth/1/length/2", &[("do", "measure"), ("now.2", "0")]);
    assert!(page().contains("and none of it lies there. Buy "), "{}", page());
}

#[test]
fn the_shopping_list_says_what_is_to_be_bought_and_what_lies_there() {
    let shop = with_linen();
    let list = || plain(&shop.get("/cloth/shopping").body);
    // Nothing is written of the skirt's cloth but its width.
    let first = list();
    for words in [
        "Cloth not written down yet",
        "45 in wide",
        "2026-0001 A",
        "Blue wrap skirt, Efua Mensah",
        "Worked out Sun 3 May, 09:20",
    ] {
        assert!(first.contains(words), "{words}: {first}");
    }
    from_the_shelf(&shop);
    let there = list();
    assert!(there.contains("Lies on the shelf already") && there.contains("Nothing is to be bought"), "{there}");
    // Three skirts want more than lies there: the whole need of the last is to be bought in one length.
    let second = [&ORDER[..], &[("stock", "1"), ("cloth", "")]].concat();
    for number in ["2026-0002", "2026-0003"] {
        assert_eq!(shop.post("/orders", &second).to, format!("/orders/{number}"));
    }
    let both = list();
    assert!(
        both.contains("class=\"much\"") && both.contains("6 yd 13½ in there") && both.contains("lies there"),
        "{both}"
    );
    assert!(both.contains("All together"), "{both}");
    // What a client brings is asked for and not bought.
    let version = version(&shop);
    let mut brought = skirt(&[("stock", ""), ("brought", "yes"), ("width", "45")]);
    brought.push(("version", &version));
    assert_eq!(shop.post("/orders/2026-0001/A/edit", &brought).to, "/orders/2026-0001#A");
    let asked = list();
    assert!(asked.contains("To look after") && asked.contains("the client brings it: say how much"), "{asked}");
    for paper in ["a4", "letter"] {
        assert!(
            plain(&shop.get(&format!("/cloth/shopping?paper={paper}")).body).contains(&format!("sheet-{paper}.css"))
        );
    }
    // Work without a draft is reckoned by hand, and what is called off is left out.
    let ticket = [("client", "1"), ("style", "none"), ("what", "Coat, new lining"), ("price", "80")];
    assert_eq!(shop.post("/orders", &ticket).to, "/orders/2026-0004");
    assert!(list().contains("to be reckoned by hand"));
    let last: OrderNumber = "2026-0004".parse().unwrap();
    let order = shop.store.read(|book| book.order_numbered(last)).unwrap();
    shop.post(
        "/orders/2026-0004/standing",
        &[("version", &order.version.to_string()), ("standing", "on_hold"), ("reason", "abroad")],
    );
    assert!(!list().contains("Coat, new lining"));
}

#[test]
fn lining_flaws_and_remnants_are_written_on_the_garments_form() {
    let shop = with_linen();
    let version = version(&shop);
    let mut form = skirt(&[
        ("brought", "yes"),
        ("length", "2 3/4"),
        ("width", "45"),
        ("flaws", "a hole 10 in from one end"),
        ("lengths", "1 3/8 yd and 3/4 yd"),
        ("skew", "2 1/2"),
        ("lining.stock", "1"),
        ("interfacing.words", "woven"),
        ("interfacing.width", "36"),
    ]);
    form.push(("version", &version));
    assert_eq!(shop.post("/orders/2026-0001/A/edit", &form).to, "/orders/2026-0001#A");
    let facts = facts(&shop).facts;
    assert_eq!(facts.cloth.lengths, [Length::inches(49, 4), Length::inches(27, 0)]);
    let lining = &facts.linings[&LiningKind::Lining];
    assert_eq!((lining.words.as_str(), lining.width), ("Linen, sea green", Some(Length::inches(54, 0))));
    assert_eq!(facts.linings[&LiningKind::Interfacing].width, Some(Length::inches(36, 0)));
    let order = plain(&shop.get("/orders/2026-0001").body);
    for words in ["client brought 2¾ yd", "further lengths 1⅜ yd and ¾ yd", "2½ in lost at each end", "flaws: a hole"]
    {
        assert!(order.contains(words), "{words}: {order}");
    }
    let wrong = shop
        .post("/orders/2026-0001/A/edit", &[("version", "2"), ("what", "x"), ("lining.width", "2 in"), ("skew", "5")]);
    assert_eq!(wrong.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(
        plain(&wrong.body).contains("at most 3 in is reckoned")
            && plain(&wrong.body).contains("<details open><summary>Lining"),
        "{}",
        wrong.body
    );
}
