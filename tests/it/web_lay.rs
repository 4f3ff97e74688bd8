//! A garment's lay tried shorter through the pages: the events of the stream, stop, accept,
//! what accepting changes elsewhere, and the limits. Nothing here waits for a clock: the
//! program's is moved by hand.

use std::sync::Arc;
use std::sync::atomic::{AtomicI64, Ordering};

use axum::body::Body;
use axum::http::{Request, StatusCode, header};
use bodkin::web::{App, app};
use http_body_util::BodyExt;
use tower::ServiceExt;

use super::web::{HOST, NOW_MS, Shop};

const CLOTH: &str = "/orders/2026-0001/A/cloth";
const TRYING: &str = "/orders/2026-0001/A/cloth/trying";

/// One program that stays up from request to request, with a clock that is moved by hand.
pub struct Open {
    pub shop: Shop,
    app: App,
    now: Arc<AtomicI64>,
    runtime: tokio::runtime::Runtime,
}

/// What came back.
pub struct Answer {
    pub status: StatusCode,
    pub to: String,
    pub kind: String,
    pub body: String,
}

/// One event of a stream.
#[derive(Debug)]
pub struct Event {
    pub name: String,
    pub id: Option<usize>,
    data: Vec<(String, String)>,
}

impl Event {
    fn value(&self, name: &str) -> &str {
        self.data.iter().find(|(key, _)| key == name).map_or("", |(_, value)| value)
    }
}

impl Open {
    /// A shop with one order of a peplum top: many pieces, so that there is something to find.
    fn new() -> Open {
        let shop = Shop::open();
        assert_eq!(shop.post("/clients", &[("name", "Efua Mensah"), ("wearer", "woman")]).to, "/clients/1");
        let measured = [
            ("m.bust_girth", "37"),
            ("m.waist_girth", "31"),
            ("m.hip_girth", "39"),
            ("day", "2026-05-02"),
            ("source", "tape"),
        ];
        assert_eq!(shop.post("/clients/1/fitting", &measured).to, "/clients/1?measured=1");
        assert_eq!(shop.post("/orders", &order("peplum_top")).to, "/orders/2026-0001");
        Open::of(shop)
    }

    pub fn of(shop: Shop) -> Open {
        let now = Arc::new(AtomicI64::new(NOW_MS));
        let told = Arc::clone(&now);
        let app = App::new(Arc::clone(&shop.store), Arc::new(move || told.load(Ordering::SeqCst)));
        let runtime = tokio::runtime::Builder::new_multi_thread().worker_threads(2).enable_all().build().unwrap();
        Open { shop, app, now, runtime }
    }

    fn response(&self, request: Request<Body>) -> axum::http::Response<Body> {
        self.runtime.block_on(app(self.app.clone()).oneshot(request)).unwrap()
    }

    fn send(&self, request: Request<Body>) -> Answer {
        let (parts, body) = self.response(request).into_parts();
        let bytes = self.runtime.block_on(body.collect()).unwrap().to_bytes();
        let text = |name| parts.headers.get(name).map_or("", |value| value.to_str().unwrap()).to_string();
        Answer {
            status: parts.status,
            to: text(header::LOCATION),
            kind: text(header::CONTENT_TYPE),
            body: String::from_utf8_lossy(&bytes).into_owned(),
        }
    }

    pub fn get(&self, path: &str) -> Answer {
        self.send(get(path))
    }

    pub fn post(&self, path: &str, form: &str) -> Answer {
        let request = Request::post(path)
            .header(header::HOST, HOST)
            .header(header::ORIGIN, format!("http://{HOST}"))
            .header(header::CONTENT_TYPE, "application/x-www-form-urlencoded");
        self.send(request.body(Body::from(form.to_string())).unwrap())
    }

    /// The events of the stream as they come, until `enough` says so or it ends.
    pub fn events(&self, request: Request<Body>, enough: impl Fn(&[Event]) -> bool) -> Vec<Event> {
        let response = self.response(request);
        assert_eq!(response.status(), StatusCode::OK);
        assert_eq!(response.headers()[header::CONTENT_TYPE], "text/event-stream");
        let mut body = response.into_body();
        let (mut text, mut events) = (String::new(), Vec::new());
        while !enough(&events) {
            let Some(frame) = self.runtime.block_on(body.frame()) else { break };
            text.push_str(std::str::from_utf8(&frame.unwrap().into_data().unwrap()).unwrap());
            while let Some(end) = text.find("\n\n") {
                let rest = text.split_off(end + 2);
                events.push(event(&text));
                text = rest;
            }
        }
        events
    }

    /// Waits until the search has found a shorter lay.
    fn found(&self) -> Vec<Event> {
        self.events(get(&format!("{TRYING}/events")), |events| events.iter().any(|event| event.name != "still"))
    }
}

fn order(style: &str) -> Vec<(&'static str, &str)> {
    vec![
        ("client", "1"),
        ("style", style),
        ("what", "Harbour dress"),
        ("price", "250"),
        ("fittings", "0"),
        ("width", "45"),
    ]
}

pub fn get(path: &str) -> Request<Body> {
    Request::get(path).header(header::HOST, HOST).body(Body::empty()).unwrap()
}

fn event(text: &str) -> Event {
    let field = |name: &'static str| text.lines().filter_map(move |line| line.strip_prefix(name)).map(str::trim_start);
    let data = field("data:").map(|line| line.split_once(": ").unwrap_or(("", line)));
    Event {
        name: field("event:").next().unwrap_or_default().into(),
        id: field("id:").next().map(|id| id.parse().unwrap()),
        data: data.map(|(key, value)| (key.to_string(), value.to_string())).collect(),
    }
}

/// The value of a hidden field of a page.
pub fn hidden(body: &str, name: &str) -> String {
    let at = body.find(&format!("name=\"{name}\" value=\"")).unwrap_or_else(|| panic!("{name} in {body}"));
    body[at..].split('"').nth(3).unwrap().into()
}

/// Whether two pictures show the same: what is kept goes to the nanometre, which may turn a tenth
/// of a millimetre over.
pub fn alike(one: &str, other: &str) -> bool {
    let parts = |text: &str| -> Vec<String> {
        text.split_inclusive(|c: char| !(c.is_ascii_digit() || c == '.' || c == '-')).map(String::from).collect()
    };
    let (one, other) = (parts(one), parts(other));
    let same = |(a, b): (&String, &String)| {
        let number = |text: &str| text[..text.len() - text.chars().last().map_or(0, char::len_utf8)].parse::<f64>();
        a == b || matches!((number(a), number(b)), (Ok(a), Ok(b)) if (a - b).abs() < 0.11)
    };
    one.len() == other.len() && one.iter().zip(&other).all(same)
}

#[test]
fn shorter_lays_are_told_as_they_are_found_until_it_is_stopped() {
    let open = Open::new();
    let before = open.shop.actions();
    let page = open.get(CLOTH).body;
    assert!(page.contains("Keep trying") && page.contains("Accept this lay"), "{page}");
    assert_eq!(open.get(TRYING).to, CLOTH);
    assert_eq!(open.post(TRYING, "").to, TRYING);
    let found = open.found();
    // Before it the page may have been told that nothing is shorter yet.
    let first = found.iter().find(|event| event.name != "still").unwrap();
    assert_eq!((first.name.as_str(), first.id), ("shorter", Some(1)), "{found:?}");
    let page = open.get(TRYING).body;
    for needed in
        ["<noscript><meta http-equiv=\"refresh\"", "data-trying=\"/orders/2026-0001/A/cloth/trying/events\"", ">Stop<"]
    {
        assert!(page.contains(needed), "{needed}: {page}");
    }
    // What the search is at in this moment, whichever it is.
    let doing = ["spreading the pieces", "comparing folded and open", "trying shorter", "tightening"];
    assert!(doing.iter().any(|words| page.contains(words)), "{page}");
    assert_eq!(open.post(&format!("{TRYING}/stop"), "").to, TRYING);
    let all = open.events(get(&format!("{TRYING}/events")), |_| false);
    let last = all.last().unwrap();
    assert_eq!((last.name.as_str(), last.data[0].1.as_str()), ("ended", "Stopped."));
    let told: Vec<&Event> = all.iter().filter(|event| event.name == "shorter").collect();
    let steps: Vec<usize> = told.iter().map(|event| event.id.unwrap()).collect();
    assert_eq!(steps, (1..=told.len()).collect::<Vec<_>>());
    let left: Vec<u16> = told.iter().map(|event| event.value("left").parse().unwrap()).collect();
    assert!(left.windows(2).all(|two| two[1] <= two[0]) && left[0] <= 1000, "{left:?}");
    assert!(told.iter().all(|event| event.value("shorter").ends_with("shorter than at first")), "{told:?}");
    // Whoever was cut off hears only what came since.
    let again = Request::get(format!("{TRYING}/events")).header(header::HOST, HOST).header("last-event-id", "1");
    let rest = open.events(again.body(Body::empty()).unwrap(), |_| false);
    assert_eq!(rest.iter().filter(|event| event.name == "shorter").count(), told.len() - 1);
    // Once it is over the page no longer refreshes itself, and offers to go on.
    let page = open.get(TRYING).body;
    assert!(page.contains("Stopped.") && page.contains("Keep trying") && !page.contains("refresh"), "{page}");
    let picture = open.get(&format!("{TRYING}/lay.svg?step=1"));
    assert_eq!((picture.status, picture.kind.as_str()), (StatusCode::OK, "image/svg+xml"));
    assert_eq!(open.shop.actions(), before, "looking on wrote something");
}

#[test]
fn an_accepted_lay_is_shown_everywhere_until_it_fits_no_more() {
    let open = Open::new();
    open.post(TRYING, "");
    open.found();
    open.post(&format!("{TRYING}/stop"), "");
    let page = open.get(TRYING).body;
    let (id, step) = (hidden(&page, "try"), hidden(&page, "step"));
    let picture = open.get(&format!("{TRYING}/lay.svg?step={step}")).body;
    let first = open.get("/orders/2026-0001/A/lay.svg").body;
    assert_ne!(picture, first);
    let before = open.shop.actions();
    assert_eq!(open.post(&format!("{CLOTH}/accept"), &format!("try={id}&step={step}")).to, CLOTH);
    assert_eq!(open.shop.actions(), before + 1);
    // The lay that was shown, on each page and on paper, with who and when.
    assert!(alike(&open.get("/orders/2026-0001/A/lay.svg").body, &picture));
    for path in [CLOTH, "/orders/2026-0001"] {
        let body = open.get(path).body;
        assert!(body.contains("Accepted by the owner, Sun 3 May"), "{path}: {body}");
    }
    assert!(open.get("/orders/2026-0001/A/sheet").body.contains("; accepted by the owner, Sun 3 May"));
    assert!(open.get("/orders/2026-0001").body.contains("A: accepted a lay of "));
    // It was forgotten as a search: what was accepted is a fact now.
    assert_eq!(open.get(TRYING).to, CLOTH);

    let edit = |width: &str, version: &str| {
        let form = format!("version={version}&what=Harbour+dress&price=250&fittings=0&width={width}");
        let answer = open.post("/orders/2026-0001/A/edit", &form);
        assert_eq!(answer.status, StatusCode::SEE_OTHER, "{}", answer.body);
    };
    edit("60", "1");
    for path in [CLOTH, "/orders/2026-0001"] {
        let body = open.get(path).body;
        assert!(
            body.contains("does not fit any more: it was laid on cloth 45 in wide, and the cloth is 60 in wide"),
            "{path}: {body}"
        );
    }
    assert!(open.get("/orders/2026-0001/A/sheet").body.contains("ANOTHER LAY:"));
    assert!(!alike(&open.get("/orders/2026-0001/A/lay.svg").body, &picture));
    // As it was, it fits again.
    edit("45", "2");
    assert!(alike(&open.get("/orders/2026-0001/A/lay.svg").body, &picture));
    // One tap, and it is laid anew.
    assert_eq!(open.post(&format!("{CLOTH}/again"), "").to, CLOTH);
    assert!(alike(&open.get("/orders/2026-0001/A/lay.svg").body, &first));
    assert!(!open.get(CLOTH).body.contains("Accepted by"));
    let actions = open.shop.actions();
    open.post(&format!("{CLOTH}/again"), "");
    assert_eq!(open.shop.actions(), actions, "nothing was accepted, so nothing is set aside");
}

#[test]
fn the_first_lay_can_be_accepted_and_other_measures_undo_it() {
    let open = Open::new();
    let first = open.get("/orders/2026-0001/A/lay.svg").body;
    assert_eq!(open.post(&format!("{CLOTH}/accept"), "").to, CLOTH);
    assert!(alike(&open.get("/orders/2026-0001/A/lay.svg").body, &first));
    open.shop.post(
        "/clients/1/fitting",
        &[("m.waist_girth", "35"), ("m.hip_girth", "44"), ("day", "2026-05-03"), ("source", "tape")],
    );
    assert_eq!(open.post("/orders/2026-0001/A/measures", "set=2&version=1").to, "/orders/2026-0001#A");
    let body = open.get(CLOTH).body;
    assert!(body.contains("does not fit any more: ") && body.contains("first lay of what is drafted now"), "{body}");
}

#[test]
fn what_was_found_for_other_pieces_is_not_accepted() {
    let open = Open::new();
    open.post(TRYING, "");
    let page = open.get(TRYING).body;
    let id = hidden(&page, "try");
    open.shop.post(
        "/clients/1/fitting",
        &[("m.waist_girth", "35"), ("m.hip_girth", "44"), ("day", "2026-05-03"), ("source", "tape")],
    );
    open.post("/orders/2026-0001/A/measures", "set=2&version=1");
    let before = open.shop.actions();
    let refused = open.post(&format!("{CLOTH}/accept"), &format!("try={id}&step=0"));
    assert_eq!(refused.status, StatusCode::CONFLICT);
    assert!(refused.body.contains("was changed since this lay was found"), "{}", refused.body);
    let other = open.post(&format!("{CLOTH}/accept"), "try=999&step=0");
    assert_eq!(other.status, StatusCode::CONFLICT);
    assert!(other.body.contains("over and forgotten"), "{}", other.body);
    // Begun anew, it lays the pieces of today.
    open.post(TRYING, "");
    assert_ne!(hidden(&open.get(TRYING).body, "try"), id);
    assert_eq!(open.shop.actions(), before);
}

#[test]
fn four_run_at_once_and_each_ends_by_itself() {
    let open = Open::new();
    for _ in 0..4 {
        let garment = order("peplum_top");
        assert_eq!(open.shop.post("/orders/2026-0001/garment", &garment[1..]).status, StatusCode::SEE_OTHER);
    }
    let trying = |letter: char| format!("/orders/2026-0001/{letter}/cloth/trying");
    for letter in ['A', 'B', 'C', 'D'] {
        assert_eq!(open.post(&trying(letter), "").status, StatusCode::SEE_OTHER, "{letter}");
    }
    let fifth = open.post(&trying('E'), "");
    assert_eq!(fifth.status, StatusCode::SERVICE_UNAVAILABLE);
    assert!(fifth.body.contains("4 lays are being tried shorter already"), "{}", fifth.body);
    // Somebody looks on at A; the others are left alone, and all of them run out of time.
    let looking = open.response(get(&format!("{}/events", trying('A'))));
    open.now.fetch_add(31_000, Ordering::SeqCst);
    let ended = |letter| {
        let of = open.events(get(&format!("{}/events", trying(letter))), |events| {
            events.iter().any(|event| event.name == "ended")
        });
        of.last().unwrap().data[0].1.clone()
    };
    // Asking for one keeps it going: only B was not asked for before its next step.
    open.now.fetch_add(120_000, Ordering::SeqCst);
    assert!(ended('A').contains("Two minutes are up"));
    assert!(["Two minutes are up", "Nobody looked on"].iter().any(|words| ended('B').contains(words)));
    drop(looking);
    assert_eq!(open.post(&trying('E'), "").status, StatusCode::SEE_OTHER);
    // The shop is closed: what still runs ends, and nothing is begun.
    open.app.close();
    assert!(ended('E').contains("Stopped."));
    let closed = open.post(&trying('A'), "");
    assert_eq!(closed.status, StatusCode::SERVICE_UNAVAILABLE);
    assert!(closed.body.contains("being closed"), "{}", closed.body);
}

#[test]
fn what_cannot_be_is_said() {
    let open = Open::new();
    for path in [format!("{TRYING}/events"), format!("{TRYING}/lay.svg"), "/orders/2026-0001/B/cloth/trying".into()] {
        assert_eq!(open.get(&path).status, StatusCode::NOT_FOUND, "{path}");
    }
    for path in [format!("{CLOTH}/accept"), format!("{CLOTH}/again"), format!("{TRYING}/stop")] {
        assert_eq!(open.get(&path).status, StatusCode::METHOD_NOT_ALLOWED, "{path}");
    }
    let before = open.shop.actions();
    let foreign = Request::post(format!("{CLOTH}/accept"))
        .header(header::HOST, HOST)
        .header(header::ORIGIN, "http://localhost:8000");
    assert_eq!(open.send(foreign.body(Body::empty()).unwrap()).status, StatusCode::FORBIDDEN);
    assert_eq!(open.shop.actions(), before);
    // Once it is cut, nothing is laid any more.
    open.shop.post("/orders/2026-0001/A/stage", &[("from", "booked"), ("to", "cut")]);
    let actions = open.shop.actions();
    for path in [TRYING.to_string(), format!("{CLOTH}/accept"), format!("{CLOTH}/again")] {
        let answer = open.post(&path, "");
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{path}");
        assert!(answer.body.contains("cut already"), "{path}: {}", answer.body);
    }
    assert!(!open.get(CLOTH).body.contains("Keep trying"));
    assert_eq!(open.shop.actions(), actions);
}

#[test]
fn a_fold_across_is_offered_where_the_cloth_has_no_way() {
    let shop = Shop::with_an_order();
    let edit = |nap: &str, version: &str| {
        let form = [
            ("version", version),
            ("what", "Skirt"),
            ("price", "250"),
            ("fittings", "0"),
            ("width", "45"),
            ("nap", nap),
        ];
        assert_eq!(shop.post("/orders/2026-0001/A/edit", &form).status, StatusCode::SEE_OTHER);
    };
    let fold = |across: &str, version: &str| {
        shop.post("/orders/2026-0001/A/cloth/fold", &[("across", across), ("version", version)])
    };
    let before = shop.get(CLOTH).body;
    assert!(before.contains("Folded lengthwise and open are tried.") && before.contains(">Try a fold across, too<"));
    assert_eq!(fold("yes", "1").to, CLOTH);
    let page = shop.get(CLOTH).body;
    assert!(page.contains("and folded across are tried.") && page.contains(">Without a fold across<"), "{page}");
    // A longer list of ways to spread the cloth never takes more of it.
    let need = |body: &str| {
        let row = body.split("<h2>How much</h2>").nth(1).unwrap().split("</td>").next().unwrap().to_string();
        row.split("\"num\">").nth(1).unwrap().to_string()
    };
    assert!(!need(&page).is_empty(), "{page}");
    // An old page is told so; what is kept stays when the garment's form is kept.
    assert_eq!(fold("no", "1").status, StatusCode::CONFLICT);
    edit("free", "2");
    assert!(shop.get(CLOTH).body.contains(">Without a fold across<"));
    edit("one", "3");
    let one_way = shop.get(CLOTH).body;
    assert!(!one_way.contains("fold across") && !one_way.contains("folded across"), "{one_way}");
    let refused = fold("yes", "4");
    assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(refused.body.contains("without nap or one-way print"), "{}", refused.body);
}

#[test]
fn several_lengths_are_each_laid_and_drawn_or_fall_short_in_words() {
    let shop = Shop::with_an_order();
    let edit = |length: &str, lengths: &str, version: &str| {
        let form = [
            ("version", version),
            ("what", "Skirt"),
            ("price", "250"),
            ("fittings", "0"),
            ("width", "45"),
            ("brought", "yes"),
            ("length", length),
            ("lengths", lengths),
        ];
        assert_eq!(shop.post("/orders/2026-0001/A/edit", &form).status, StatusCode::SEE_OTHER);
    };
    // The skirt takes more than either.
    edit("2 1/2 yd", "2 yd and 3/4 yd", "1");
    let page = shop.get(CLOTH).body.replace('\u{a0}', " ");
    assert!(page.contains("have 2 yd 18 in, 2 yd and 27 in: it suffices, cut from several lengths."), "{page}");
    let figures: Vec<&str> = page.split("<figcaption><strong>").skip(1).collect();
    assert!((2..=3).contains(&figures.len()), "{page}");
    let mut letters = Vec::new();
    for figure in &figures {
        let told = figure.split("</strong>").nth(1).unwrap().split("</figcaption>").next().unwrap();
        let (cut, takes) = told.trim().split_once("; takes ").unwrap();
        letters.extend(cut.split(", ").map(String::from));
        let src = figure.split("src=\"").nth(1).unwrap().split('"').next().unwrap();
        let picture = shop.get(src);
        assert_eq!(picture.status, StatusCode::OK);
        // The words and the picture tell the same.
        let (takes, length) = (takes.strip_suffix(" of it").unwrap(), figure.split(":</strong>").next().unwrap());
        assert!(picture.body.contains(&format!("takes {takes} of {length}")), "{takes}, {length}: {}", picture.body);
        for letter in cut.split(", ") {
            assert!(picture.body.contains(&format!(">{letter}<")), "{letter}: {}", picture.body);
        }
    }
    // Every piece is cut from one of them; the whole on one length stands below.
    let whole = shop.get("/orders/2026-0001/A/lay.svg").body;
    for letter in ["A", "B", "C"] {
        assert!(letters.iter().any(|cut| cut == letter) && whole.contains(&format!(">{letter}<")), "{letters:?}");
    }
    assert!(page.contains("the whole on one length, as if it were bought"), "{page}");
    assert_eq!(shop.get("/orders/2026-0001/A/lay.svg?length=9").status, StatusCode::NOT_FOUND);
    // One of them suffices by itself: the shortest such is named, and nothing is cut from several.
    edit("3/4 yd", "9 yd, 8 yd", "2");
    let page = shop.get(CLOTH).body.replace('\u{a0}', " ");
    assert!(page.contains("have 27 in, 9 yd and 8 yd: the length of 8 yd suffices."), "{page}");
    assert!(!page.contains("From the lengths that are there") && page.contains("Of the 8 yd that are there"), "{page}");
    // Where none is written as the first, the further ones count all the same.
    edit("", "3/4 yd, 3/8 yd", "3");
    let page = shop.get(CLOTH).body.replace('\u{a0}', " ");
    assert!(page.contains("have 27 in and 13½ in: they do not suffice. Do not cut."), "{page}");
    assert!(!page.contains("Buy ") && !page.contains("What would make it fit"), "{page}");
    // Too little, told with what is left over and by how much it is short.
    edit("1 3/8 yd", "3/4 yd", "4");
    let page = shop.get(CLOTH).body;
    assert!(!page.contains("From the lengths that are there") && page.contains("class=\"warned\""), "{page}");
    assert!(page.contains("short") && page.contains("What would make it fit"), "{page}");
    assert!(shop.get("/orders/2026-0001/A/lay.svg?length=0").body.contains("short"));
}

#[test]
fn each_cloth_of_a_garment_has_a_lay_that_is_tried_accepted_and_held() {
    let open = Open::new();
    let shop = &open.shop;
    assert_eq!(shop.post("/cloth/new", &[("name", "Interfacing, medium"), ("width", "36")]).to, "/cloth/1");
    assert_eq!(shop.post("/cloth/1/length", &[("long", "3 yd"), ("day", "2026-05-02")]).to, "/cloth/1");
    let form = "version=1&what=Harbour+dress&price=250&fittings=0&width=45&interfacing.stock=1";
    assert_eq!(open.post("/orders/2026-0001/A/edit", form).status, StatusCode::SEE_OTHER);
    let page = open.get(CLOTH).body;
    assert!(page.contains("href=\"/orders/2026-0001/A/cloth?of=interfacing\""), "{page}");
    let behind = "/orders/2026-0001/A/cloth?of=interfacing";
    let page = open.get(behind).body;
    for needed in [
        "<h1>Interfacing of 2026-0001 A</h1>",
        "src=\"/orders/2026-0001/A/lay.svg?of=interfacing\"",
        "action=\"/orders/2026-0001/A/cloth/accept?of=interfacing\"",
        "Laid on cloth 36 in wide",
        "At the usual widths",
    ] {
        assert!(page.contains(needed), "{needed}: {page}");
    }
    assert!(!page.contains("Lay it with others") && !page.contains("fold across"), "{page}");
    assert!(!alike(
        &open.get("/orders/2026-0001/A/lay.svg?of=interfacing").body,
        &open.get("/orders/2026-0001/A/lay.svg").body
    ));
    // Tried by itself, beside the main cloth.
    assert_eq!(
        open.post("/orders/2026-0001/A/cloth/trying?of=interfacing", "").to,
        "/orders/2026-0001/A/cloth/trying?of=interfacing"
    );
    assert_eq!(open.get(TRYING).to, CLOTH, "the main cloth is not tried");
    let trying = open.get("/orders/2026-0001/A/cloth/trying?of=interfacing").body;
    assert!(trying.contains("A shorter lay for 2026-0001 A, interfacing"), "{trying}");
    let (id, step) = (hidden(&trying, "try"), hidden(&trying, "step"));
    assert_eq!(
        open.post("/orders/2026-0001/A/cloth/accept?of=interfacing", &format!("try={id}&step={step}")).to,
        behind
    );
    let garment = bodkin::shop::GarmentId::new(1);
    let (main, held) = shop
        .store
        .read(|book| {
            let of = bodkin::shop::ClothOf::Interfacing;
            Ok((book.newest_lay(garment, bodkin::shop::ClothOf::Main)?, book.held_for(garment, of)?))
        })
        .unwrap();
    assert!(main.is_none() && held.is_some());
    assert!(open.get(behind).body.contains("Accepted by the owner") && !open.get(CLOTH).body.contains("Accepted by"));
    let order = open.get("/orders/2026-0001").body;
    for words in ["Interfacing: Accepted by the owner", "held of the length of 3 yd", "A: accepted a lay of"] {
        assert!(order.contains(words), "{words}: {order}");
    }
    assert!(open.get("/cloth/1").body.contains("Harbour dress, interfacing"));
    // Cut: what is left of the interfacing is asked, and goes back.
    shop.post("/orders/2026-0001/A/stage", &[("from", "booked"), ("to", "cloth_in")]);
    let order = open.get("/orders/2026-0001").body;
    assert!(order.contains("Left over of the interfacing") && order.contains("name=\"left.A.interfacing\""), "{order}");
    let cut = [("from", "cloth_in"), ("to", "cut"), ("left.A.interfacing", "2 1/4 yd")];
    assert_eq!(shop.post("/orders/2026-0001/A/stage", &cut).to, "/orders/2026-0001#A");
    let length = shop.store.read(|book| book.cloth_length(bodkin::shop::ClothLengthId::new(1))).unwrap();
    assert_eq!((length.there, length.held.len()), (bodkin::measure::Length::inches(81, 0), 0));
    assert_eq!(open.get("/orders/2026-0001/A/cloth?of=lace").status, StatusCode::NOT_FOUND);
    assert_eq!(shop.store.read(|book| book.check()).unwrap(), []);
}
