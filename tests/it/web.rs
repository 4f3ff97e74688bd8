//! The pages through `web::app`, without a socket: each page answers, bad input
//! comes back with words and the typed text, and nothing but a form of ours writes.

use std::sync::Arc;

use axum::body::Body;
use axum::http::{Request, Response, StatusCode, header};
use bodkin::shop::BookText;
use bodkin::store::{DataFolder, OWNER, Store};
use bodkin::web::{App, app};
use http_body_util::BodyExt;
use tower::ServiceExt;

/// 2026-05-03, a Sunday, 09:20 UTC.
pub const NOW_MS: i64 = 1_777_800_000_000;
pub const HOST: &str = "localhost:4417";

/// A shop in a folder of its own.
pub struct Shop {
    _folder: tempfile::TempDir,
    pub store: Arc<Store>,
    runtime: tokio::runtime::Runtime,
}

/// What came back.
pub struct Answer {
    pub status: StatusCode,
    pub to: String,
    pub body: String,
    pub headers: axum::http::HeaderMap,
}

impl Shop {
    /// A shop before its first run, with the style book in it.
    pub fn unopened() -> Shop {
        let folder = tempfile::tempdir().unwrap();
        let store = Store::open(&DataFolder::at(folder.path())).unwrap();
        let styles: Vec<(&str, String, &str)> = bodkin::draft::BOOK
            .iter()
            .map(|style| (style.key, bodkin::draft::Style::read(style.text).unwrap().label().to_string(), style.text))
            .collect();
        let texts: Vec<BookText> = styles.iter().map(|(key, label, text)| BookText { key, label, text }).collect();
        store.write(OWNER, NOW_MS, "opened the style book", |book| book.offer_book(&texts, "test")).unwrap();
        let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build().unwrap();
        Shop { _folder: folder, store: Arc::new(store), runtime }
    }

    /// A shop that is open, in inches and cedis.
    pub fn open() -> Shop {
        let shop = Shop::unopened();
        let mut answers = vec![("shop_name", "Netmenders’ Lane"), ("showing", "eighths"), ("currency", "GHS")];
        answers.extend(["hours.0", "hours.1", "hours.2", "hours.3", "hours.4", "hours.5"].map(|day| (day, "6")));
        answers.push(("hours.6", "0"));
        assert_eq!(shop.post("/shop/open", &answers).to, "/");
        shop
    }

    /// With one client, measured, and one order of a wrap skirt: `2026-0001`.
    pub fn with_an_order() -> Shop {
        let shop = Shop::open();
        assert_eq!(shop.post("/clients", &[("name", "Efua Mensah"), ("wearer", "woman")]).to, "/clients/1");
        let measured = [("m.waist_girth", "31"), ("m.hip_girth", "39"), ("day", "2026-05-02"), ("source", "tape")];
        assert_eq!(shop.post("/clients/1/fitting", &measured).to, "/clients/1?measured=1");
        let order = shop.post("/orders", &ORDER);
        assert_eq!(order.to, "/orders/2026-0001", "{}", order.body);
        shop
    }

    pub fn get(&self, path: &str) -> Answer {
        self.send(Request::get(path).header(header::HOST, HOST).body(Body::empty()).unwrap())
    }

    pub fn post(&self, path: &str, fields: &[(&str, &str)]) -> Answer {
        self.post_from(path, fields, Some("http://localhost:4417"))
    }

    pub fn post_from(&self, path: &str, fields: &[(&str, &str)], origin: Option<&str>) -> Answer {
        let mut request = Request::post(path)
            .header(header::HOST, HOST)
            .header(header::CONTENT_TYPE, "application/x-www-form-urlencoded");
        if let Some(origin) = origin {
            request = request.header(header::ORIGIN, origin);
        }
        self.send(request.body(Body::from(encoded(fields))).unwrap())
    }

    pub fn send(&self, request: Request<Body>) -> Answer {
        let state = App::new(Arc::clone(&self.store), Arc::new(|| NOW_MS));
        self.runtime.block_on(async move {
            let response: Response<Body> = app(state).oneshot(request).await.unwrap();
            let (parts, body) = response.into_parts();
            let to = parts.headers.get(header::LOCATION).map_or("", |to| to.to_str().unwrap()).to_string();
            let bytes = body.collect().await.unwrap().to_bytes();
            Answer {
                status: parts.status,
                to,
                body: String::from_utf8_lossy(&bytes).into_owned(),
                headers: parts.headers,
            }
        })
    }

    /// How many actions the book holds.
    pub fn actions(&self) -> usize {
        self.store.read(|book| book.recent(1000)).unwrap().len()
    }
}

/// A wrap skirt promised for the end of the month, half paid.
pub const ORDER: [(&str, &str); 9] = [
    ("client", "1"),
    ("style", "wrap_skirt"),
    ("what", "Blue wrap skirt"),
    ("price", "250"),
    ("promised", "2026-05-30"),
    ("deposit", "125"),
    ("method", "cash"),
    ("fittings", "0"),
    ("width", "45"),
];

fn encoded(fields: &[(&str, &str)]) -> String {
    let percent = |text: &str| -> String {
        text.bytes()
            .map(
                |byte| if byte.is_ascii_alphanumeric() { char::from(byte).to_string() } else { format!("%{byte:02X}") },
            )
            .collect()
    };
    fields.iter().map(|(name, text)| format!("{}={}", percent(name), percent(text))).collect::<Vec<_>>().join("&")
}

#[test]
fn the_first_run_comes_first() {
    let shop = Shop::unopened();
    for path in ["/", "/clients", "/orders", "/styles", "/cloth", "/cloth/shopping", "/shop"] {
        let answer = shop.get(path);
        assert_eq!((answer.status, answer.to.as_str()), (StatusCode::SEE_OTHER, "/shop/open"), "{path}");
    }
    assert_eq!(shop.get("/shop/open").status, StatusCode::OK);
    let answer = shop.post("/shop/open", &[("shop_name", "Salt & Thread"), ("currency", "cedis")]);
    assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(answer.body.contains("Salt &#38; Thread") && answer.body.contains("“cedis”"), "{}", answer.body);
}

#[test]
fn every_page_answers() {
    let shop = Shop::with_an_order();
    for path in [
        "/",
        "/orders",
        "/orders?stage=booked&week=2026-05-25&words=efua",
        "/orders?week=late",
        "/orders/new?client=1",
        "/orders/new?client=1&style=wrap_skirt",
        "/orders/new?client=1&style=none",
        "/orders/2026-0001",
        "/orders/2026-0001/edit",
        "/orders/2026-0001/garment",
        "/orders/2026-0001/garment?style=wrap_skirt",
        "/orders/2026-0001/A/edit",
        "/orders/2026-0001/A/cloth",
        "/orders/2026-0001/A/lay.svg",
        "/clients",
        "/clients?words=mensah",
        "/clients?leaf=900",
        "/clients/new",
        "/clients/1",
        "/clients/1?measured=1",
        "/clients/1/edit",
        "/clients/1/fitting",
        "/clients/1/fitting?garment=2026-0001/A",
        "/clients/1/fitting/check?m.waist_girth=13",
        "/styles",
        "/styles/wrap_skirt",
        "/styles/wrap_skirt?client=1",
        "/styles/wrap_skirt?who=efua",
        "/styles/wrap_skirt?m.waist_girth=31&e.waist_girth=2&m.hip_girth=39",
        "/shop",
    ] {
        let answer = shop.get(path);
        assert_eq!(answer.status, StatusCode::OK, "{path}: {}", answer.body);
        assert!(!answer.body.contains("style=\"") && !answer.body.contains(" onclick"), "{path}");
    }
}

#[test]
fn what_is_not_there_is_said() {
    let shop = Shop::with_an_order();
    for path in [
        "/nothing",
        "/clients/99",
        "/clients/x",
        "/clients/99999999999999999999",
        "/orders/2026-0099",
        "/orders/x",
        "/orders/2026-0001/B/edit",
        "/orders/2026-0001/b/cloth",
        "/styles/ball_gown",
        "/clients/1/fitting?garment=2026-0009/A",
        "/orders/new?client=9",
        "/static/secrets.txt",
    ] {
        let answer = shop.get(path);
        assert_eq!(answer.status, StatusCode::NOT_FOUND, "{path}");
        assert!(answer.body.contains("No such"), "{path}: {}", answer.body);
    }
}

#[test]
fn only_a_form_of_ours_writes() {
    let shop = Shop::with_an_order();
    let before = shop.actions();
    let client = [("name", "Somebody")];
    for origin in [None, Some("http://localhost:8000"), Some("https://example.org"), Some("null")] {
        assert_eq!(shop.post_from("/clients", &client, origin).status, StatusCode::FORBIDDEN, "{origin:?}");
    }
    let elsewhere = Request::get("/clients").header(header::HOST, "shop.example.org").body(Body::empty()).unwrap();
    assert_eq!(shop.send(elsewhere).status, StatusCode::MISDIRECTED_REQUEST);
    for path in
        ["/", "/clients?name=x", "/clients/1/fitting/check?m.waist_girth=31", "/styles/wrap_skirt?m.waist_girth=31"]
    {
        shop.get(path);
    }
    for path in ["/orders/2026-0001/A/stage?from=booked&to=cut", "/orders/2026-0001/payment"] {
        assert_eq!(shop.get(path).status, StatusCode::METHOD_NOT_ALLOWED, "{path}");
    }
    assert_eq!(shop.actions(), before);
}

#[test]
fn answers_forbid_what_we_never_do() {
    let shop = Shop::open();
    let page = shop.get("/clients").headers;
    let policy = page[header::CONTENT_SECURITY_POLICY].to_str().unwrap();
    assert!(policy.starts_with("default-src 'none'") && !policy.contains("unsafe"), "{policy}");
    assert_eq!(page[header::X_CONTENT_TYPE_OPTIONS], "nosniff");
    assert_eq!(page[header::CACHE_CONTROL], "no-store");
    // An asset under its content's hash may be kept for good; a known one is not sent again.
    let body = shop.get("/clients").body;
    let start = body.find("/static/app.css?v=").unwrap();
    let address = &body[start..start + body[start..].find('"').unwrap()];
    let asset = shop.get(address).headers;
    assert!(asset[header::CACHE_CONTROL].to_str().unwrap().contains("immutable"));
    let again = Request::get(address)
        .header(header::HOST, HOST)
        .header(header::IF_NONE_MATCH, asset[header::ETAG].clone())
        .body(Body::empty())
        .unwrap();
    assert_eq!(shop.send(again).status, StatusCode::NOT_MODIFIED);
}
