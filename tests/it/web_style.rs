//! The style book on its pages: a text edited, tried and kept; versions, comparison, copy,
//! file; the guide; a style drafted for everybody.

use axum::body::Body;
use axum::http::{Request, StatusCode, header};
use bodkin::draft::BOOK;
use bodkin::shop::{BookText, ClientFacts, StyleSource};
use bodkin::store::OWNER;

use super::web::{Answer, HOST, NOW_MS, Shop};

const STYLE: &str = "straight_skirt";

fn text() -> String {
    BOOK.iter().find(|style| style.key == STYLE).unwrap().text.to_string()
}

fn deeper() -> String {
    let text = text();
    let deeper = text.replacen(
        "band_depth = { kind = 'length', default = '1 1/4 in'",
        "band_depth = { kind = 'length', default = '1 1/2 in'",
        1,
    );
    assert_ne!(text, deeper);
    deeper
}

fn edits(shop: &Shop) -> String {
    shop.store.read(|book| book.style(STYLE)).unwrap().version.to_string()
}

/// Sends the form of the editing page.
fn send(shop: &Shop, what: &str, text: &str, more: &[(&str, &str)]) -> Answer {
    let edits = edits(shop);
    let mut fields = vec![("do", what), ("text", text)];
    fields.extend(more);
    if more.iter().all(|(name, _)| *name != "version") {
        fields.push(("version", &edits));
    }
    shop.post("/styles/straight_skirt/edit", &fields)
}

#[test]
fn a_look_writes_nothing_and_shows_the_draft_of_what_was_typed() {
    let shop = Shop::with_an_order();
    let before = shop.actions();
    let page = shop.get("/styles/straight_skirt/edit").body;
    assert!(page.contains("kind = &#39;fitted skirt&#39;") && page.contains("All "), "{page}");
    let looked = send(&shop, "preview", &deeper(), &[("on", "1")]);
    assert_eq!(looked.status, StatusCode::OK);
    // Efua's own measures, with the band that was typed: 8 − 1½ = 6½ below it.
    assert!(looked.body.contains("Drafted on Efua Mensah") && looked.body.contains("8 − 1½ = 6½"), "{}", looked.body);
    assert!(looked.body.contains("31 + ½ = 31½"), "{}", looked.body);
    let found = send(&shop, "preview", &deeper(), &[("who", "mensah")]).body;
    assert!(found.contains("Drafted on Efua Mensah"), "{found}");
    let nobody = send(&shop, "preview", &deeper(), &[("who", "xyzzy")]).body;
    assert!(nobody.contains("Nobody is found for “xyzzy”") && nobody.contains("Drafted on a usual body"), "{nobody}");
    assert!(send(&shop, "preview", &deeper(), &[("on", "large")]).body.contains("Drafted on a large body"));
    assert_eq!(send(&shop, "preview", &deeper(), &[("on", "77")]).status, StatusCode::NOT_FOUND);
    assert_eq!(shop.actions(), before);
}

#[test]
fn a_fault_is_shown_at_its_line_and_column_and_the_text_stays() {
    let shop = Shop::with_an_order();
    let spoilt = text().replacen("hip_round / 4 + shift", "hip_rond / 4 + shift", 1);
    let line = spoilt.lines().position(|line| line.contains("hip_rond")).unwrap() + 1;
    let column = spoilt.lines().nth(line - 1).unwrap().find("hip_rond").unwrap() + 1;
    for (what, status) in [("preview", StatusCode::OK), ("keep", StatusCode::UNPROCESSABLE_ENTITY)] {
        let answer = send(&shop, what, &spoilt, &[("note", "try <this>")]);
        assert_eq!(answer.status, status);
        let place = format!("data-line=\"{line}\" data-column=\"{column}\">Line {line}, column {column}</a>");
        assert!(answer.body.contains(&place), "{place}: {}", answer.body);
        assert!(answer.body.contains("Did you mean “hip_round”?"), "{}", answer.body);
        assert!(answer.body.contains("hip_rond / 4 + shift"));
        assert!(answer.body.contains("here is version 1, which is in use") && answer.body.contains("<svg"));
    }
    assert!(send(&shop, "keep", &spoilt, &[("note", "try <this>")]).body.contains("try &#60;this&#62;"));
    let long = format!("{}\n# {}", text(), "x".repeat(200_000));
    let answer = send(&shop, "keep", &long, &[]);
    assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(answer.body.contains("at most 200000 are read") && answer.body.len() > 200_000);
    assert_eq!(shop.store.read(|book| book.style(STYLE)).unwrap().current.number, 1);
}

#[test]
fn what_is_kept_is_the_next_version_with_its_note() {
    let shop = Shop::with_an_order();
    let kept = send(&shop, "keep", &deeper().replace('\n', "\r\n"), &[("note", "deeper band"), ("form", "once")]);
    assert_eq!(kept.to, "/styles/straight_skirt?kept=1", "{}", kept.body);
    let style = shop.store.read(|book| book.style(STYLE)).unwrap();
    assert_eq!((style.current.number, style.current.source), (2, StyleSource::Own));
    assert_eq!((style.current.text, style.current.note.as_str()), (deeper(), "deeper band"));
    let page = shop.get("/styles/straight_skirt?kept=1").body;
    assert!(
        page.contains("data-kept") && page.contains("Version 2 is in use") && page.contains("deeper band"),
        "{page}"
    );
    // Sent twice it is kept once.
    let again = send(&shop, "keep", &deeper(), &[("note", "deeper band"), ("form", "once"), ("version", "1")]);
    assert_eq!(again.to, "/styles/straight_skirt?kept=1");
    // Gone back to and changed, the same page is not taken for the one that was sent.
    let back = send(&shop, "keep", &text().replacen("'Zip'", "'Zip, metal'", 1), &[("form", "once"), ("version", "1")]);
    assert_eq!(back.status, StatusCode::CONFLICT, "{}", back.body);
    assert!(back.body.contains("sent before") && back.body.contains("Zip, metal"), "{}", back.body);
    // Somebody else still sees the version before: nothing is lost, nothing written over.
    let late =
        send(&shop, "keep", &text().replacen("'Zip'", "'Zip fastener'", 1), &[("version", "2"), ("form", "late")]);
    assert_eq!(late.status, StatusCode::CONFLICT, "{}", late.body);
    assert!(late.body.contains("in the meantime") && late.body.contains("Zip fastener"), "{}", late.body);
    assert_eq!(shop.store.read(|book| book.style_versions(STYLE)).unwrap().len(), 2);
    let same = send(&shop, "keep", &deeper(), &[]);
    assert_eq!(same.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(same.body.contains("Nothing differs from version 2"));
}

#[test]
fn what_would_not_sew_is_kept_only_on_demand() {
    let shop = Shop::with_an_order();
    let from = "'front.side + front.lower = back.side + back.lower'";
    let spoilt = text().replacen(from, "'front.side = back.side + back.lower'", 1);
    let answer = send(&shop, "keep", &spoilt, &[]);
    assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(answer.body.contains("On a usual body it would not sew together"), "{}", answer.body);
    assert!(answer.body.contains("name=\"anyway\""));
    assert_eq!(send(&shop, "keep", &spoilt, &[("anyway", "1")]).to, "/styles/straight_skirt?kept=1");
}

#[test]
fn an_older_version_is_seen_compared_and_taken_again() {
    let shop = Shop::with_an_order();
    send(&shop, "keep", &deeper(), &[("note", "deeper band")]);
    let list = shop.get("/styles/straight_skirt/versions").body;
    assert!(list.contains("Version 2</a> <strong>in use</strong>") && list.contains("our own, by Owner"), "{list}");
    assert!(list.contains("from the book, edition test"), "{list}");
    let one = shop.get("/styles/straight_skirt/versions/1").body;
    assert!(one.contains("Use this version again") && one.contains("default = &#39;1 1/4 in&#39;"), "{one}");
    let page = shop.get("/styles/straight_skirt/compare?old=1&new=2&on=1").body;
    assert!(page.contains("Both drafted on Efua Mensah"), "{page}");
    let row = page.split("Hip line below the band").nth(1).unwrap().split("</tr>").next().unwrap();
    assert!(
        row.contains("6¾ in") && row.contains("6½ in") && row.contains("− ¼ in") && row.contains("changed"),
        "{row}"
    );
    let same = page.split("Hip with ease").nth(1).unwrap().split("</tr>").next().unwrap();
    assert!(!same.contains("changed"), "{same}");
    assert!(page.contains("class=\"earlier\"") && page.contains("lines alike"), "{page}");
    assert!(page.contains("<span class=\"unseen\">new: </span>band_depth"), "{page}");
    let mut edits = edits(&shop);
    assert_eq!(
        shop.post("/styles/straight_skirt/versions/1", &[("version", &edits)]).to,
        "/styles/straight_skirt?kept=1"
    );
    assert_eq!(shop.store.read(|book| book.style(STYLE)).unwrap().current.number, 1);
    assert!(shop.get("/styles/straight_skirt/edit").body.contains("Keep as version 3"));
    assert_eq!(shop.post("/styles/straight_skirt/versions/2", &[("version", &edits)]).status, StatusCode::CONFLICT);
    assert_eq!(shop.get("/styles/straight_skirt/versions/3").status, StatusCode::NOT_FOUND);
    // Put away and taken out again.
    edits = self::edits(&shop);
    shop.post("/styles/straight_skirt/retire", &[("version", &edits), ("retired", "1")]);
    assert!(shop.get("/styles").body.contains("Put away"));
    assert!(!shop.get("/orders/new?client=1").body.contains("style=straight_skirt"));
    edits = self::edits(&shop);
    shop.post("/styles/straight_skirt/retire", &[("version", &edits), ("retired", "0")]);
    assert!(!shop.get("/styles").body.contains("Put away"));
}

#[test]
fn a_newer_text_of_the_book_is_offered_beside_an_edited_one() {
    let shop = Shop::with_an_order();
    send(&shop, "keep", &deeper(), &[]);
    let newer = text().replacen("default = '25 in'", "default = '26 in'", 1);
    let offered = BookText { key: STYLE, label: "Straight skirt", text: &newer };
    shop.store.write(OWNER, NOW_MS, "took the book in", |book| book.offer_book(&[offered], "test 2")).unwrap();
    let page = shop.get("/styles/straight_skirt").body;
    assert!(page.contains("a newer text of this style along, version 3; yours is kept and used"), "{page}");
    assert!(page.contains("/styles/straight_skirt/compare?old=2&amp;new=3"), "{page}");
    assert_eq!(shop.store.read(|book| book.style(STYLE)).unwrap().current.number, 2);
    let edits = edits(&shop);
    shop.post("/styles/straight_skirt/versions/3", &[("version", &edits)]);
    let page = shop.get("/styles/straight_skirt").body;
    assert!(!page.contains("yours is kept"), "{page}");
}

#[test]
fn a_copy_is_a_style_of_its_own() {
    let shop = Shop::with_an_order();
    assert!(shop.get("/styles/apron/copy").body.contains("value=\"apron_2\""));
    for (key, label, words) in [
        ("Market Apron", "Market apron", "cannot be the key of a style"),
        ("guide", "Market apron", "is a page of the style book"),
        ("wrap_skirt", "Market apron", "There is a style “wrap_skirt” already"),
        ("market_apron", " ", "A style needs a name"),
    ] {
        let answer = shop.post("/styles/apron/copy", &[("key", key), ("label", label)]);
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{key}");
        assert!(answer.body.contains(words) && answer.body.contains(&format!("value=\"{key}\"")), "{}", answer.body);
    }
    let made = shop.post("/styles/apron/copy", &[("key", "market_apron"), ("label", "Ada's apron"), ("form", "c")]);
    assert_eq!(made.to, "/styles/market_apron/edit", "{}", made.body);
    let twice = shop.post("/styles/apron/copy", &[("key", "market_apron"), ("label", "Ada's apron"), ("form", "c")]);
    assert_eq!(twice.to, "/styles/market_apron/edit", "{}", twice.body);
    let style = shop.store.read(|book| book.style("market_apron")).unwrap();
    assert_eq!((style.current.label.as_str(), style.current.number), ("Ada's apron", 1));
    assert!(style.current.text.contains("label = \"Ada's apron\"") && style.current.note.contains("copy of apron"));
    assert_eq!(shop.store.read(|book| book.style("apron")).unwrap().current.number, 1);
}

#[test]
fn an_order_stays_with_its_version_until_another_is_taken() {
    let shop = Shop::with_an_order();
    let wrap = BOOK.iter().find(|style| style.key == "wrap_skirt").unwrap().text;
    let style = || shop.store.read(|book| book.style("wrap_skirt")).unwrap();
    let keep = |text: &str, note: &str| {
        let edits = style().version.to_string();
        let fields = [("do", "keep"), ("text", text), ("version", &edits), ("note", note), ("anyway", "1")];
        assert_eq!(shop.post("/styles/wrap_skirt/edit", &fields).to, "/styles/wrap_skirt?kept=1");
        style().current.id.get().to_string()
    };
    let longer = wrap.replacen("default = '27 in'", "default = '29 in'", 1);
    assert_ne!(longer, wrap);
    let second = keep(&longer, "longer");
    let page = shop.get("/orders/2026-0001").body;
    assert!(page.contains("Drafted by version 1 of its style; version 2 is in use since (longer)."), "{page}");
    assert!(page.contains("/styles/wrap_skirt/compare?old=1&#38;new=2&#38;on=1"), "{page}");
    assert!(page.contains("<td class=\"num\">27 in</td>") && !page.contains("<td class=\"num\">29 in</td>"), "{page}");
    let take = |to: &str, version: &str| shop.post("/orders/2026-0001/A/style", &[("to", to), ("version", version)]);
    assert_eq!(take(&second, "1").to, "/orders/2026-0001#A");
    let page = shop.get("/orders/2026-0001").body;
    assert!(page.contains("<td class=\"num\">29 in</td>") && !page.contains("Drafted by version"), "{page}");
    assert!(page.contains("took version 2 of the style"), "{page}");
    assert_eq!(take(&second, "1").status, StatusCode::CONFLICT);
    // A version of another style, one that gives no draft, and a garment that is cut are refused.
    let apron = shop.store.read(|book| book.style("apron")).unwrap().current.id.get().to_string();
    assert!(take(&apron, "2").body.contains("of another style"));
    let third =
        keep(&longer.replacen("[choices]", "[[refuse]]\nwhen = 'hip_girth > 1 in'\nsay = 'Never.'\n[choices]", 1), "");
    assert!(take(&third, "2").body.contains("Version 3 gives no draft for this garment: Never."));
    shop.post("/orders/2026-0001/A/stage", &[("from", "booked"), ("to", "cloth_in"), ("version", "2")]);
    shop.post("/orders/2026-0001/A/stage", &[("from", "cloth_in"), ("to", "cut"), ("version", "2")]);
    assert!(!shop.get("/orders/2026-0001").body.contains("Drafted by version"));
    let late = take(&second, "2");
    assert!(late.body.contains("is cut already"), "{}", late.body);
}

/// A file chosen on the page for files.
fn upload(shop: &Shop, name: &str, bytes: &[u8], more: &[(&str, &str)]) -> Answer {
    let mut body = Vec::new();
    for (field, text) in more {
        body.extend(format!("--b\r\nContent-Disposition: form-data; name=\"{field}\"\r\n\r\n{text}\r\n").bytes());
    }
    body.extend(format!("--b\r\nContent-Disposition: form-data; name=\"file\"; filename=\"{name}\"\r\n").bytes());
    body.extend(b"Content-Type: application/octet-stream\r\n\r\n");
    body.extend(bytes);
    body.extend(b"\r\n--b--\r\n");
    let request = Request::post("/styles/import")
        .header(header::HOST, HOST)
        .header(header::ORIGIN, "http://localhost:4417")
        .header(header::CONTENT_TYPE, "multipart/form-data; boundary=b");
    shop.send(request.body(Body::from(body)).unwrap())
}

#[test]
fn a_style_goes_out_as_a_file_and_comes_back() {
    let shop = Shop::with_an_order();
    let file = shop.get("/styles/wrap_skirt/file");
    assert_eq!(file.headers[header::CONTENT_DISPOSITION], "attachment; filename=\"wrap_skirt.style.toml\"");
    assert_eq!(file.body, BOOK.iter().find(|style| style.key == "wrap_skirt").unwrap().text);
    let taken = upload(&shop, "harbour_wrap.style.toml", file.body.as_bytes(), &[("key", ""), ("text", "")]);
    assert_eq!(taken.to, "/styles/harbour_wrap?kept=1", "{}", taken.body);
    assert_eq!(shop.get("/styles/harbour_wrap/file").body, file.body);
    // A key that is there is asked about first; the text waits in the box.
    let asked = upload(&shop, "apron.style.toml", file.body.as_bytes(), &[]);
    assert_eq!(asked.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(asked.body.contains("There is a style “apron” already") && asked.body.contains("value=\"apron\""));
    assert!(asked.body.contains("Wrap skirt"), "{}", asked.body);
    let pasted = [("text", file.body.as_str()), ("key", "apron"), ("again", "apron")];
    assert_eq!(shop.post("/styles/import", &pasted).to, "/styles/apron?kept=1");
    let versions = shop.store.read(|book| book.style_versions("apron")).unwrap();
    assert_eq!((versions.len(), versions[0].note.as_str()), (2, "from a file"));
}

#[test]
fn a_file_that_is_no_text_loses_nothing_of_the_form() {
    let shop = Shop::with_an_order();
    let typed = [("key", "harbour_wrap"), ("text", "label = 'Begun here'")];
    let refused = upload(&shop, "picture.png", &[0x89, b'P', 0xff, 0xfe], &typed);
    assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(refused.body.contains("“picture.png” is no text in UTF-8"), "{}", refused.body);
    assert!(refused.body.contains("value=\"harbour_wrap\"") && refused.body.contains("Begun here"), "{}", refused.body);
    assert!(shop.store.read(|book| book.style("harbour_wrap")).is_err());
}

#[test]
fn a_file_that_is_no_style_is_refused_with_its_place() {
    let shop = Shop::with_an_order();
    let before = shop.actions();
    let fault = upload(&shop, "market.style.toml", b"format = 1\nlabel = 'M'\nkind = 'aprn'\n", &[]);
    assert_eq!(fault.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(fault.body.contains("line 3, column 8") && fault.body.contains("value=\"market\""), "{}", fault.body);
    assert!(fault.body.contains("kind = &#39;aprn&#39;"), "{}", fault.body);
    let picture = upload(&shop, "apron.style.toml", &[0xff, 0xd8, 0xff], &[]);
    assert_eq!(picture.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(picture.body.contains("is no text"), "{}", picture.body);
    let none = upload(&shop, "", b"", &[]);
    assert!(none.body.contains("There is no text"), "{}", none.body);
    let odd = upload(&shop, "../../etc/passwd", text().as_bytes(), &[]);
    assert!(odd.body.contains("cannot be the key"), "{}", odd.body);
    let large = upload(&shop, "large.style.toml", &vec![b'#'; 1_100_000], &[]);
    assert_eq!(large.status, StatusCode::PAYLOAD_TOO_LARGE);
    let long = upload(&shop, "large.style.toml", &vec![b'#'; 300_000], &[]);
    assert!(long.body.contains("300000 bytes; at most 200000"), "{}", &long.body[..3000]);
    assert_eq!(shop.actions(), before);
}

#[test]
fn the_guide_draws_every_step_from_its_text() {
    let shop = Shop::open();
    let page = shop.get("/styles/guide").body;
    assert_eq!(page.matches("<svg").count(), 10, "{page}");
    assert_eq!(page.matches("class=\"step\"").count(), 10);
    assert!(!page.contains("do not hold") && !page.contains("class=\"warned\""));
    assert!(page.contains("<mark>[choices]</mark>") && page.contains("class=\"dart\"") || page.contains("dart"));
    assert!(page.contains("40 × 0.3 = 12"), "{page}");
}

/// Every key that the reader takes stands among the words of the format.
#[test]
fn the_guide_tells_every_word_that_the_reader_takes() {
    let root = concat!(env!("CARGO_MANIFEST_DIR"), "/");
    let words = std::fs::read_to_string(format!("{root}templates/style_words.html")).unwrap();
    let mut taken = 0;
    for entry in std::fs::read_dir(format!("{root}src/draft/style")).unwrap() {
        let text = std::fs::read_to_string(entry.unwrap().path()).unwrap();
        for list in text.split(".only(&[").skip(1) {
            for word in list.split(']').next().unwrap().split('"').skip(1).step_by(2) {
                let told = [format!("<code>{word}"), format!("[{word}]"), format!("[{word}.")];
                assert!(told.iter().any(|told| words.contains(told)), "“{word}” is read but told nowhere");
                taken += 1;
            }
        }
    }
    assert!(taken > 60, "{taken}");
}

#[test]
fn a_style_is_drafted_for_all_clients() {
    let shop = Shop::with_an_order();
    for (name, wearer, waist, hip) in [
        ("Adwoa Quartey", "woman", "", "40"),
        ("Bram Coster", "man", "34", "40"),
        ("Celia Faro", "woman", "20", "60"),
        ("Dora Lindt", "unsaid", "30", "40"),
        ("Ebo Annan", "woman", "", ""),
    ] {
        let client = shop.post("/clients", &[("name", name), ("wearer", wearer)]).to;
        let measures: Vec<(&str, &str)> = [("m.waist_girth", waist), ("m.hip_girth", hip)]
            .into_iter()
            .filter(|(_, inches)| !inches.is_empty())
            .collect();
        if !measures.is_empty() {
            let answer = shop.post(&format!("{client}/fitting"), &[&measures[..], &[("day", "2026-05-02")]].concat());
            assert!(answer.to.starts_with(&client), "{}: {}", answer.to, answer.body);
        }
    }
    let before = shop.actions();
    let page = shop.get("/styles/straight_skirt/everyone").body;
    let sum = |name: &str| -> String {
        let cell = page.split(&format!("data-sum=\"{name}\">")).nth(1).unwrap();
        cell.split('<').next().unwrap().to_string()
    };
    let found = ["drafted", "broken", "refused", "lacking", "unmeasured", "others", "assumed"].map(sum);
    assert_eq!(found, ["2", "0", "1", "1", "1", "1", "2"], "{page}");
    assert!(page.contains("Clients 1 to 6 of 6"), "{page}");
    let refused = page.split("It is refused for").nth(1).unwrap().split("</section>").next().unwrap();
    assert!(refused.contains("Celia Faro") && refused.contains("would run into the vent"), "{refused}");
    let lacking = page.split("Measures to be taken</h2>").nth(1).unwrap().split("</section>").next().unwrap();
    assert!(lacking.contains("Adwoa Quartey") && lacking.contains("Waist girth"), "{lacking}");
    assert!(page.contains("Waist to hip</th>"), "{page}");
    assert!(!page.contains("data-next"));
    assert!(shop.get("/styles/straight_skirt/everyone?from=9000").body.contains("none from here on"));
    // A style that breaks says for whom, what, and by how much.
    let from = "'front.side + front.lower = back.side + back.lower'";
    let spoilt = text().replacen(from, "'front.side = back.side + back.lower'", 1);
    assert_eq!(shop.actions(), before);
    send(&shop, "keep", &spoilt, &[("anyway", "1")]);
    let page = shop.get("/styles/straight_skirt/everyone").body;
    let broken = page.split("It would not sew for").nth(1).unwrap().split("</section>").next().unwrap();
    assert!(broken.contains("Efua Mensah") && broken.contains("Side seams") && broken.contains("apart"), "{broken}");
}

#[test]
fn a_large_book_is_drafted_a_batch_at_a_time() {
    let shop = Shop::open();
    let names: Vec<String> = (0..401).map(|count| format!("Client {count:03}")).collect();
    shop.store
        .write(OWNER, NOW_MS, "wrote down many", |book| {
            names.iter().try_for_each(|name| book.add_client(&ClientFacts::named(name)).map(drop))
        })
        .unwrap();
    let first = shop.get("/styles/apron/everyone").body;
    assert!(first.contains("Clients 1 to 400 of 401, by name") && first.contains("data-next=\"400\""), "{first}");
    assert!(first.contains("href=\"/styles/apron/everyone?from=400\""), "{first}");
    let last = shop.get("/styles/apron/everyone?from=400").body;
    assert!(last.contains("Clients 401 to 401 of 401") && !last.contains("data-next"), "{last}");
    assert!(last.contains("data-sum=\"unmeasured\">1<"), "{last}");
    assert_eq!(shop.get("/styles/apron/everyone?from=x").status, StatusCode::OK);
}
