//! The style book: versions, editions, what orders pin.

use bodkin::shop::{BookText, StyleSource};

use crate::store::{empty, refused, write};

#[test]
fn a_newer_book_never_replaces_an_edited_style() {
    let (_folder, store) = empty();
    let text = |key, text| BookText { key, label: "Apron", text };
    let offer =
        |texts: &[BookText], edition: &str| write(&store, "took the book in", |book| book.offer_book(texts, edition));
    assert_eq!(offer(&[text("apron", "format = 1"), text("bib", "format = 1")], "1"), 2);
    assert_eq!(offer(&[text("apron", "format = 1"), text("bib", "format = 1")], "2"), 0);
    let pinned = store.read(|book| book.style("apron")).unwrap().current;
    write(&store, "edited a style", |book| book.add_style_version(text("apron", "format = 1 # ours")));
    assert_eq!(offer(&[text("apron", "format = 1 # newer"), text("bib", "format = 1 # newer")], "2"), 2);
    let (apron, bib) = store.read(|book| Ok((book.style("apron")?, book.style("bib")?))).unwrap();
    assert_eq!((apron.current.source, apron.current.number), (StyleSource::Own, 2));
    assert_eq!(bib.current.text, "format = 1 # newer");
    let waiting = apron.newer_in_book.unwrap();
    assert_eq!(store.read(|book| book.style_version(waiting)).unwrap().edition, "2");
    write(&store, "took the newer text", |book| book.choose_style_version(apron.id, apron.version, waiting));
    let apron = store.read(|book| book.style("apron")).unwrap();
    assert_eq!((apron.current.id, apron.newer_in_book), (waiting, None));
    // An order's version stays what it was.
    assert_eq!(store.read(|book| book.style_version(pinned.id)).unwrap(), pinned);
    assert_eq!(store.read(|book| book.style_versions("apron")).unwrap().len(), 3);
    assert!(refused(&store, |book| book.add_style_version(text("My Apron", ""))).contains("cannot be the key"));
}
