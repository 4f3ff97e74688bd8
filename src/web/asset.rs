//! Stylesheets, scripts and pictures, held inside the binary.
//!
//! A page names an asset with the hash of its content (`/static/app.css?v=…`);
//! asked for so, it may be kept for good, otherwise it is asked for again.

use std::hash::{DefaultHasher, Hasher};

use axum::extract::{Path, RawQuery};
use axum::http::{HeaderMap, HeaderValue, StatusCode, header};
use axum::response::{IntoResponse, Response};

use super::fault::Fault;

struct Asset {
    name: &'static str,
    kind: &'static str,
    bytes: &'static [u8],
}

const CSS: &str = "text/css; charset=utf-8";
const SCRIPT: &str = "text/javascript; charset=utf-8";
const SVG: &str = "image/svg+xml";

const ASSETS: [Asset; 12] = [
    Asset { name: "app.css", kind: CSS, bytes: include_bytes!("../../static/app.css") },
    Asset { name: "app.js", kind: SCRIPT, bytes: include_bytes!("../../static/app.js") },
    Asset { name: "fitting.js", kind: SCRIPT, bytes: include_bytes!("../../static/fitting.js") },
    Asset { name: "lay.css", kind: CSS, bytes: include_bytes!("../../static/lay.css") },
    Asset { name: "lay-a4.css", kind: CSS, bytes: include_bytes!("../../static/lay-a4.css") },
    Asset { name: "lay-letter.css", kind: CSS, bytes: include_bytes!("../../static/lay-letter.css") },
    Asset { name: "sheet.css", kind: CSS, bytes: include_bytes!("../../static/sheet.css") },
    Asset { name: "sheet-a4.css", kind: CSS, bytes: include_bytes!("../../static/sheet-a4.css") },
    Asset { name: "sheet-letter.css", kind: CSS, bytes: include_bytes!("../../static/sheet-letter.css") },
    Asset { name: "style.js", kind: SCRIPT, bytes: include_bytes!("../../static/style.js") },
    Asset { name: "trying.js", kind: SCRIPT, bytes: include_bytes!("../../static/trying.js") },
    Asset { name: "bodkin.svg", kind: SVG, bytes: include_bytes!("../../static/bodkin.svg") },
];

/// The address of an asset, with the hash of its content; the plain address of
/// a name that is none of ours (a test holds that templates use none).
#[must_use]
pub fn address(name: &str) -> String {
    match find(name) {
        Some(asset) => format!("/static/{name}?v={}", hash(asset.bytes)),
        None => format!("/static/{name}"),
    }
}

/// Answers with one asset.
pub async fn serve(Path(name): Path<String>, RawQuery(query): RawQuery, headers: HeaderMap) -> Response {
    let Some(asset) = find(&name) else { return Fault::NotFound("file").into_response() };
    let hash = hash(asset.bytes);
    let keep =
        if query.as_deref() == Some(&format!("v={hash}")) { "public, max-age=31536000, immutable" } else { "no-cache" };
    let tag = format!("\"{hash}\"");
    let known = headers.get(header::IF_NONE_MATCH).is_some_and(|sent| sent.as_bytes() == tag.as_bytes());
    let mut response = if known {
        StatusCode::NOT_MODIFIED.into_response()
    } else {
        ([(header::CONTENT_TYPE, asset.kind)], asset.bytes).into_response()
    };
    response.headers_mut().insert(header::CACHE_CONTROL, HeaderValue::from_static(keep));
    if let Ok(tag) = HeaderValue::from_str(&tag) {
        response.headers_mut().insert(header::ETAG, tag);
    }
    response
}

fn find(name: &str) -> Option<&'static Asset> {
    ASSETS.iter().find(|asset| asset.name == name)
}

/// A short name for the content; it need not withstand anyone.
fn hash(bytes: &[u8]) -> String {
    let mut hasher = DefaultHasher::new();
    hasher.write(bytes);
    format!("{:016x}", hasher.finish())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_asset_that_a_template_names_is_held() {
        let mut seen = 0;
        for entry in std::fs::read_dir(concat!(env!("CARGO_MANIFEST_DIR"), "/templates")).unwrap() {
            let text = std::fs::read_to_string(entry.unwrap().path()).unwrap_or_default();
            for rest in text.split("asset(\"").skip(1) {
                let name = rest.split('"').next().unwrap();
                assert!(find(name).is_some(), "{name} is in no asset");
                seen += 1;
            }
        }
        assert!(seen > 0);
    }
}
