//! The Cloth page of a garment whose cloth is too short, too narrow or not measured yet; that the shopping list
//! asks for as much as the page does; and what prints of such a lay say.

use axum::http::StatusCode;

use super::web::{ORDER, Shop};
use super::web_lay::{Open, hidden};

const CLOTH: &str = "/orders/2026-0001/A/cloth";

/// Writes the skirt's cloth anew.
fn written(shop: &Shop, cloth: &[(&'static str, &'static str)], version: &str) {
    let mut form = vec![("version", version), ("what", "Skirt"), ("price", "250"), ("fittings", "0")];
    form.extend(cloth);
    let answer = shop.post("/orders/2026-0001/A/edit", &form);
    assert_eq!(answer.status, StatusCode::SEE_OTHER, "{}", answer.body);
}

#[test]
fn a_lay_longer_than_her_cloth_is_not_the_main_thing_to_accept() {
    let shop = Shop::with_an_order();
    let plain = "<button class=\"quiet\">Accept it all the same</button>";
    let page = shop.get(CLOTH).body;
    assert!(page.contains("<button>Accept this lay</button>") && !page.contains(plain), "{page}");
    assert!(!shop.get("/orders/2026-0001/A/lay").body.contains("Too little cloth"));
    written(&shop, &[("width", "45"), ("brought", "yes"), ("length", "2 yd")], "1");
    let page = shop.get(CLOTH).body;
    assert!(page.contains(plain) && !page.contains("Accept this lay"), "{page}");
    // By how much stands before everything that can be done, and what would make it fit is the main thing.
    let at = |words: &str| page.find(words).unwrap_or_else(|| panic!("{words}: {page}"));
    assert!(at("too short. Do not cut.") < at("<a class=\"button\" href=\"/orders/2026-0001/A/cloth?ways=yes#ways\">"));
    assert!(at("Try what would make it fit") < at(plain));
    // Every print says so.
    for (path, heading) in [("lay", "Too little cloth:"), ("sheet", "CLOTH IS SHORT")] {
        let paper = shop.get(&format!("/orders/2026-0001/A/{path}")).body;
        assert!(paper.contains(heading) && paper.contains("short"), "{path}: {paper}");
    }
    // Of several lengths that suffice together: which is the longest, and where they are told.
    written(&shop, &[("width", "45"), ("length", "2 1/2 yd"), ("lengths", "2 yd and 3/4 yd")], "2");
    let paper = shop.get("/orders/2026-0001/A/lay").body;
    assert!(paper.contains("in one length, and the longest there is 2 yd 18 in"), "{paper}");
}

#[test]
fn a_piece_wider_than_the_cloth_keeps_the_widths_and_one_that_serves_is_a_tap_away() {
    let shop = Shop::with_an_order();
    written(&shop, &[("width", "16")], "1");
    let page = shop.get(CLOTH).body;
    assert!(page.contains("needs") && page.contains("across, and this cloth has"), "{page}");
    assert!(page.contains("At the usual widths") && page.contains("Widths that would serve"), "{page}");
    assert!(page.contains("aria-label=\"Cloths of this garment\"") || !page.contains("of=interfacing"), "{page}");
    let version = hidden(&page, "version");
    let to = format!("{CLOTH}/width");
    for (width, status, words) in [
        ("", StatusCode::UNPROCESSABLE_ENTITY, "No width was given"),
        ("2 in", StatusCode::UNPROCESSABLE_ENTITY, "is not woven"),
        ("wide", StatusCode::UNPROCESSABLE_ENTITY, "Nothing was changed"),
    ] {
        let answer = shop.post(&to, &[("version", &version), ("width", width)]);
        assert!(answer.status == status && answer.body.contains(words), "{width}: {}", answer.body);
    }
    assert!(page.contains("name=\"width\" value=\"60 in\""), "{page}");
    assert_eq!(shop.post(&to, &[("version", &version), ("width", "60 in")]).to, CLOTH);
    let page = shop.get(CLOTH).body;
    assert!(page.contains("Laid on cloth 60 in wide") && !page.contains("Widths that would serve"), "{page}");
    // Somebody else's older page changes nothing.
    assert_eq!(shop.post(&to, &[("version", &version), ("width", "45 in")]).status, StatusCode::CONFLICT);
}

#[test]
fn a_width_that_nobody_wrote_is_said_and_asked_for() {
    let shop = Shop::with_an_order();
    assert!(!shop.get(CLOTH).body.contains("No width is written"));
    written(&shop, &[("width", "")], "1");
    let page = shop.get(CLOTH).body;
    assert!(page.contains("No width is written, so 45 in is assumed."), "{page}");
    let version = hidden(&page, "version");
    assert_eq!(shop.post(&format!("{CLOTH}/width"), &[("version", &version), ("width", "45 in")]).to, CLOTH);
    let page = shop.get(CLOTH).body;
    assert!(page.contains("Laid on cloth 45 in wide;") && !page.contains("No width is written"), "{page}");
    // Of several garments: beside the field.
    let joint = shop.get("/cloth/joint?g=2026-0001/A&width=").body;
    assert!(!joint.contains("No width is written"), "{joint}");
    written(&shop, &[("width", "")], "3");
    let joint = shop.get("/cloth/joint?g=2026-0001/A&width=").body;
    assert!(joint.contains("No width is written, so 45 in is assumed"), "{joint}");
}

/// What the list says that the skirt needs.
fn listed(open: &Open) -> String {
    let list = open.get("/cloth/shopping").body;
    let line = list.split("2026-0001 A</a>").nth(1).unwrap_or_else(|| panic!("{list}"));
    line.split("class=\"num\">").nth(1).unwrap().split('<').next().unwrap().to_string()
}

#[test]
fn the_shopping_list_asks_for_as_much_as_the_cloth_page() {
    let open = Open::of(Shop::with_an_order());
    // Whoever looked at the page first finds the same on the list.
    let page = open.get(CLOTH).body;
    let need = listed(&open);
    assert!(!need.starts_with("at most"), "{need}");
    assert!(page.contains(&format!(">{need}<")), "{need}: {page}");
    // Whoever looks at the list first is told that a need is of a quick lay, until the usual one is worked out beside it.
    let again = Open::of(Shop::with_an_order());
    let first = listed(&again);
    assert!(first.starts_with("at most ") || first == need, "{first}");
    let laid = (0..600).map(|_| {
        std::thread::sleep(std::time::Duration::from_millis(50));
        listed(&again)
    });
    let last = laid.into_iter().find(|need| !need.starts_with("at most"));
    assert_eq!(last.as_deref(), Some(need.as_str()));
    assert!(!again.get("/cloth/shopping").body.contains("look again in a moment"));
}

#[test]
fn what_keep_trying_found_is_told_on_the_cloth_page() {
    let shop = Shop::with_an_order();
    let mut dress = ORDER.to_vec();
    dress[2] = ("what", "Second skirt");
    assert_eq!(shop.post("/orders", &dress).to, "/orders/2026-0002");
    let open = Open::of(shop);
    assert!(!open.get(CLOTH).body.contains("See the search"));
    assert_eq!(open.post(&format!("{CLOTH}/trying"), "").to, format!("{CLOTH}/trying"));
    let page = open.get(CLOTH).body;
    let link = format!("<a href=\"{CLOTH}/trying\">See the search</a>");
    // While it runs, or where it saved something; a search that ended without is not worth a word.
    let found = |page: &str| page.contains("shorter than the one below");
    let running = |page: &str| page.contains("is being looked for");
    assert_eq!(page.contains(&link), running(&page) || found(&page), "{page}");
    open.post(&format!("{CLOTH}/trying/stop"), "");
    let ended = (0..600).map(|_| {
        std::thread::sleep(std::time::Duration::from_millis(50));
        open.get(CLOTH).body
    });
    let page = ended.into_iter().find(|page| !running(page)).expect("the search ends");
    assert_eq!(page.contains(&link), found(&page), "{page}");
    // Of another garment nothing is said.
    assert!(!open.get("/orders/2026-0002/A/cloth").body.contains("See the search"));
}
