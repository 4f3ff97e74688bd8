//! One order from first measurement to collected, through the pages alone.

use axum::http::StatusCode;

use super::web::Shop;

#[test]
fn from_first_measurement_to_collected() {
    let shop = Shop::with_an_order();
    let page = shop.get("/orders/2026-0001").body;
    // The arithmetic reads like a person's: true fractions, the client's own figures.
    for words in ["31 ÷ 4 = 7¾", "39 ÷ 4 = 9¾", "125.00", "Waist line", "Checked", "<svg class=\"drawing\""] {
        assert!(page.contains(words), "{words} is missing: {page}");
    }
    for (from, to) in [("booked", "cloth_in"), ("cloth_in", "cut"), ("cut", "sewn"), ("sewn", "finished")] {
        let answer = shop.post("/orders/2026-0001/A/stage", &[("from", from), ("to", to)]);
        assert_eq!(answer.to, "/orders/2026-0001#A", "{}", answer.body);
    }
    assert!(shop.get("/").body.contains("hand over"));
    assert!(shop.get("/orders/2026-0001").body.contains("125.00\u{a0}GHS is still to pay"));
    let balance = [("amount", "125"), ("kind", "balance"), ("method", "cash")];
    assert_eq!(shop.post("/orders/2026-0001/payment", &balance).to, "/orders/2026-0001#money");
    let over = shop.post("/orders/2026-0001/payment", &balance);
    assert_eq!(over.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(over.body.contains("more than the balance"));
    shop.post("/orders/2026-0001/A/stage", &[("from", "finished"), ("to", "collected")]);
    let page = shop.get("/orders/2026-0001").body;
    assert!(page.contains("Collected") && page.contains("collected, 6 of 6"), "{page}");
    assert!(!shop.get("/").body.contains("Blue wrap skirt"));
}

#[test]
fn what_was_cut_is_kept_whatever_changes_later() {
    let shop = Shop::with_an_order();
    let number = "2026-0001".parse().unwrap();
    let cut = || shop.store.read(|book| book.order_page(number)).unwrap().garments[0].cut.clone();
    assert_eq!(cut(), None);
    shop.post("/orders/2026-0001/A/stage", &[("from", "booked"), ("to", "cut")]);
    let kept = cut().unwrap();
    assert!(kept.dimensions.iter().any(|(_, _, working)| working.contains("31 ÷ 4")));
    shop.post("/clients/1/fitting", &[("m.waist_girth", "33"), ("day", "2026-05-03")]);
    assert_eq!(cut(), Some(kept));
    // The newer measures wait beside the garment until they are adopted.
    let page = shop.get("/orders/2026-0001").body;
    assert!(page.contains("31 ÷ 4") && page.contains("newer ones of Sun 3 May"), "{page}");
    let adopted = shop.post("/orders/2026-0001/A/measures", &[("set", "2"), ("version", "1")]);
    assert_eq!(adopted.to, "/orders/2026-0001#A", "{}", adopted.body);
    assert!(shop.get("/orders/2026-0001").body.contains("33 ÷ 4"));
}

#[test]
fn a_stage_goes_back_with_a_reason_alone_and_a_second_tap_moves_nothing() {
    let shop = Shop::with_an_order();
    shop.post("/orders/2026-0001/A/stage", &[("from", "booked"), ("to", "cut")]);
    let tap = shop.post("/orders/2026-0001/A/stage", &[("from", "booked"), ("to", "cut")]);
    assert_eq!(tap.status, StatusCode::CONFLICT);
    let back = shop.post("/orders/2026-0001/A/stage", &[("from", "cut"), ("to", "cloth_in"), ("reason", " ")]);
    assert_eq!(back.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(back.body.contains("Why does it go back from cut to cloth in?"));
    let reason = "a flaw in the back piece";
    shop.post("/orders/2026-0001/A/stage", &[("from", "cut"), ("to", "cloth_in"), ("reason", reason)]);
    let page = shop.get("/orders/2026-0001").body;
    assert!(page.contains("cut → cloth in, a flaw in the back piece") && page.contains("cloth in, 2 of 6"), "{page}");
}

#[test]
fn an_order_on_hold_waits_and_is_taken_up_again() {
    let shop = Shop::with_an_order();
    let hold = |reason: &str| {
        shop.post("/orders/2026-0001/standing", &[("standing", "on_hold"), ("version", "1"), ("reason", reason)])
    };
    assert_eq!(hold("").status, StatusCode::UNPROCESSABLE_ENTITY);
    assert_eq!(hold("she travels").to, "/orders/2026-0001");
    assert!(shop.get("/orders/2026-0001").body.contains("on hold: she travels"));
    assert!(shop.get("/orders").body.contains("on hold"));
    let moved = shop.post("/orders/2026-0001/A/stage", &[("from", "booked"), ("to", "cloth_in")]);
    assert_eq!(moved.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert_eq!(
        shop.post("/orders/2026-0001/standing", &[("standing", "open"), ("version", "2")]).to,
        "/orders/2026-0001"
    );
}

#[test]
fn a_payment_written_by_mistake_is_made_void_and_stays_in_sight() {
    let shop = Shop::with_an_order();
    assert_eq!(
        shop.post("/orders/2026-0001/payment/1/void", &[("reason", "")]).status,
        StatusCode::UNPROCESSABLE_ENTITY
    );
    assert_eq!(shop.post("/orders/2026-0001/payment/9/void", &[("reason", "x")]).status, StatusCode::NOT_FOUND);
    let void = shop.post("/orders/2026-0001/payment/1/void", &[("reason", "counted twice")]);
    assert_eq!(void.to, "/orders/2026-0001#money");
    let page = shop.get("/orders/2026-0001").body;
    assert!(page.contains("<s>") && page.contains("counted twice") && page.contains("Take the deposit"), "{page}");
    let extra = [("charge_words", "lining"), ("charge_amount", "40"), ("charge_kind", "extra")];
    shop.post("/orders/2026-0001/charge", &extra);
    assert!(shop.get("/orders/2026-0001").body.contains("290.00"));
}

#[test]
fn a_garment_that_lacks_measures_says_which() {
    let shop = Shop::open();
    shop.post("/clients", &[("name", "Nour Haddad")]);
    let order = [("client", "1"), ("style", "wrap_skirt"), ("what", "Wrap skirt")];
    assert_eq!(shop.post("/orders", &order).to, "/orders/2026-0001");
    let page = shop.get("/orders/2026-0001").body;
    assert!(page.contains("still to be taken") && page.contains("Waist girth"), "{page}");
    assert!(shop.get("/orders/2026-0001/A/cloth").body.contains("still to be taken"));
    // The picture says so too, so that no page shows a broken one.
    let picture = shop.get("/orders/2026-0001/A/lay.svg");
    assert_eq!(picture.status, StatusCode::OK);
    assert!(picture.body.contains("<svg") && picture.body.contains("to be taken"), "{}", picture.body);
    let typed = [("garment", "2026-0001/A"), ("m.waist_girth", "31"), ("m.hip_girth", "39"), ("day", "2026-05-03")];
    assert_eq!(shop.post("/clients/1/fitting", &typed).to, "/orders/2026-0001?measured=1#A");
    assert!(shop.get("/orders/2026-0001").body.contains("31 ÷ 4 = 7¾"));
}

#[test]
fn a_fitting_is_arranged_and_held() {
    let shop = Shop::with_an_order();
    let past = shop.post("/orders/2026-0001/fitting", &[("fitting_day", "2026-05-01"), ("fitting_time", "noon")]);
    assert_eq!(past.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(past.body.contains("is past") && past.body.contains("“noon”"), "{}", past.body);
    let today = [("fitting_day", "2026-05-03"), ("fitting_time", "14:30"), ("fitting_garment", "1")];
    assert_eq!(shop.post("/orders/2026-0001/fitting", &today).to, "/orders/2026-0001#fittings");
    let page = shop.get("/").body;
    assert!(page.contains("Fittings today") && page.contains("14:30"), "{page}");
    let held = shop.post("/orders/2026-0001/fitting/1", &[("state", "held"), ("version", "1")]);
    assert_eq!(held.to, "/orders/2026-0001#fittings", "{}", held.body);
    assert!(!shop.get("/").body.contains("14:30"));
    assert!(shop.get("/orders/2026-0001").body.contains("14:30, A: held"));
}

#[test]
fn a_second_garment_is_added_and_called_off() {
    let shop = Shop::with_an_order();
    let apron = [("style", "none"), ("what", "Hem of a curtain"), ("price", "30")];
    assert_eq!(shop.post("/orders/2026-0001/garment", &apron).to, "/orders/2026-0001#B");
    assert!(shop.get("/orders/2026-0001").body.contains("280.00"));
    let off = shop.post("/orders/2026-0001/B/cancel", &[("cancelled", "yes"), ("version", "1")]);
    assert_eq!(off.to, "/orders/2026-0001#B", "{}", off.body);
    let page = shop.get("/orders/2026-0001").body;
    assert!(page.contains("Called off.") && !page.contains("280.00"), "{page}");
}

#[test]
fn the_day_to_promise_and_what_is_late_are_said() {
    let shop = Shop::with_an_order();
    let page = shop.get("/orders/new?client=1&style=wrap_skirt").body;
    assert!(page.contains("on nobody else is made late"), "{page}");
    // Promised for tomorrow with all the work still to do and no cloth: late or at risk.
    let soon: Vec<(&str, &str)> = super::web::ORDER
        .into_iter()
        .map(|(name, text)| (name, if name == "promised" { "2026-05-04" } else { text }))
        .collect();
    assert_eq!(shop.post("/orders", &soon).to, "/orders/2026-0002");
    let page = shop.get("/").body;
    assert!(page.contains("Late and at risk") && page.contains("2026-0002 A"), "{page}");
}

#[test]
fn what_was_taken_and_the_shops_allowances_stand_until_something_is_chosen() {
    let shop = Shop::with_an_order();
    let taken = [("m.waist_to_hem", "31"), ("e.waist_to_hem", "2"), ("day", "2026-05-03")];
    assert_eq!(shop.post("/clients/1/fitting", &taken).to, "/clients/1?measured=2");
    let page = shop.get("/orders/new?client=1&style=wrap_skirt").body;
    assert!(page.contains("name=\"c.finished_length\" value=\"31 1/4\""), "{page}");
    // Sent back as it stood, nothing was chosen; changed, it was.
    let order = |length: &'static str| {
        let mut fields = super::web::ORDER.to_vec();
        fields.push(("c.finished_length", length));
        fields
    };
    assert_eq!(shop.post("/orders", &order("31 1/4")).to, "/orders/2026-0002");
    assert_eq!(shop.post("/orders", &order("30")).to, "/orders/2026-0003");
    let chosen = |number: &str| {
        let number = number.parse().unwrap();
        shop.store.read(|book| book.order_page(number)).unwrap().garments[0].garment.facts.choices.clone()
    };
    assert!(chosen("2026-0002").is_empty());
    assert_eq!(chosen("2026-0003")["finished_length"], "30 in");
    assert!(shop.get("/orders/2026-0002").body.contains("31¼ − "));
}

#[test]
fn one_pays_and_another_wears() {
    let shop = Shop::with_an_order();
    shop.post("/clients", &[("name", "Adjoa Mensah"), ("known_as", "Adjoa"), ("wearer", "child")]);
    shop.post("/clients/2/fitting", &[("m.waist_girth", "23"), ("m.hip_girth", "27"), ("day", "2026-05-03")]);
    let worn_by = |name: &'static str| {
        let mut fields = super::web::ORDER.to_vec();
        fields.push(("wearer", name));
        fields
    };
    let nobody = shop.post("/orders", &worn_by("Kojo"));
    assert_eq!(nobody.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(nobody.body.contains("Nobody in the book is called “Kojo”"), "{}", nobody.body);
    let either = shop.post("/orders", &worn_by("Mensah"));
    assert!(either.body.contains("Write the whole name"), "{}", either.body);
    assert_eq!(shop.post("/orders", &worn_by("Adjoa")).to, "/orders/2026-0002");
    let page = shop.get("/orders/2026-0002").body;
    assert!(page.contains("23 ÷ 4 = 5¾") && page.contains("Efua Mensah") && page.contains(">Adjoa</a>"), "{page}");
    assert!(shop.get("/orders/2026-0002/A/edit").body.contains("value=\"Adjoa Mensah\""));
}

#[test]
fn hanging_hours_the_cloths_day_and_held_fittings_reach_the_plan() {
    let shop = Shop::with_an_order();
    let order = [
        ("client", "1"),
        ("style", "circle_skirt"),
        ("what", "Circle skirt"),
        ("promised", "2026-05-16"),
        ("fittings", "2"),
        ("width", "60"),
        ("comes", "2026-05-06"),
    ];
    let taken = shop.post("/orders", &order);
    assert_eq!(taken.to, "/orders/2026-0002", "{}", taken.body);
    let number = "2026-0002".parse().unwrap();
    let facts = shop.store.read(|book| book.order_page(number)).unwrap().garments.remove(0).garment.facts;
    assert_eq!((facts.waits.cut, facts.waits.tacked, facts.waits.sewn), (0, 24, 0));
    assert_eq!(facts.cloth.comes, "2026-05-06".parse().ok());
    let page = || shop.get("/orders/2026-0002").body;
    assert!(page().contains("comes Wed 6 May"), "{}", page());
    let today = shop.get("/").body;
    assert!(today.contains("cloth to come in Wed 6 May"), "{today}");
    // Changed without looking at it, the day stays; and so does how long it hangs.
    let form = shop.get("/orders/2026-0002/A/edit").body;
    assert!(form.contains("type=\"date\" id=\"comes\" name=\"comes\" value=\"2026-05-06\""), "{form}");
    // Two fittings are to come, then one, then none.
    let fittings = || page().matches("<dt>fit</dt>").count();
    for (from, to) in [("booked", "cloth_in"), ("cloth_in", "cut"), ("cut", "tacked")] {
        shop.post("/orders/2026-0002/A/stage", &[("from", from), ("to", to)]);
    }
    assert!(!page().contains("comes Wed 6 May"), "it is here");
    assert_eq!(fittings(), 2);
    for (id, left) in [("1", 1), ("2", 0)] {
        let arranged = shop.post("/orders/2026-0002/fitting", &[("fitting_day", "2026-05-09")]);
        assert_eq!(arranged.to, "/orders/2026-0002#fittings", "{}", arranged.body);
        let held = shop.post(&format!("/orders/2026-0002/fitting/{id}"), &[("state", "held"), ("version", "1")]);
        assert_eq!(held.to, "/orders/2026-0002#fittings", "{}", held.body);
        if left == 1 {
            shop.post("/orders/2026-0002/A/stage", &[("from", "tacked"), ("to", "fitted")]);
        }
        assert_eq!(fittings(), left, "{}", page());
    }
}
