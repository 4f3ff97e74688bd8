//! What every request passes: the page is asked for by its own machine's name,
//! a write comes from a page of ours, and the answer forbids what we never do.

use axum::extract::Request;
use axum::http::header::{self, HeaderMap, HeaderName, HeaderValue};
use axum::http::{Method, StatusCode};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};

use super::fault::Fault;

/// Nothing runs, loads or frames but our own files; forms go only to us.
const POLICY: &str = "default-src 'none'; style-src 'self'; script-src 'self'; img-src 'self'; connect-src 'self'; \
                      form-action 'self'; base-uri 'none'; frame-ancestors 'none'";

const ALWAYS: [(HeaderName, &str); 5] = [
    (header::CONTENT_SECURITY_POLICY, POLICY),
    (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
    (header::X_FRAME_OPTIONS, "DENY"),
    // "no-referrer" would turn the Origin of our own forms into "null".
    (header::REFERRER_POLICY, "same-origin"),
    (HeaderName::from_static("cross-origin-resource-policy"), "same-origin"),
];

/// Checks the request, then sets the headers of the answer.
pub async fn check(request: Request, next: Next) -> Response {
    let mut response = match refusal(&request) {
        Some(fault) => fault.into_response(),
        None => next.run(request).await,
    };
    let headers = response.headers_mut();
    for (name, value) in ALWAYS {
        headers.insert(name, HeaderValue::from_static(value));
    }
    // Pages hold names and figures of people: nothing is kept on the way. Assets say their own.
    headers.entry(header::CACHE_CONTROL).or_insert(HeaderValue::from_static("no-store"));
    response
}

fn refusal(request: &Request) -> Option<Fault> {
    let Some(host) = text(request.headers(), header::HOST).filter(|host| is_this_machine(host)) else {
        // A page elsewhere can point its own name at this machine and read along.
        return Some(Fault::Refused(
            StatusCode::MISDIRECTED_REQUEST,
            "bodkin answers only on this machine. Open it at http://localhost with its port.".into(),
        ));
    };
    if matches!(*request.method(), Method::GET | Method::HEAD | Method::OPTIONS) || is_from_us(request.headers(), host)
    {
        return None;
    }
    Some(Fault::Refused(
        StatusCode::FORBIDDEN,
        "This did not come from a page of bodkin, so nothing was written. Open the page here and send it again.".into(),
    ))
}

/// Whether the host names the machine itself, with or without a port.
fn is_this_machine(host: &str) -> bool {
    let name = match host.strip_prefix('[') {
        Some(rest) => rest.split(']').next().unwrap_or_default(),
        None => host.split(':').next().unwrap_or_default(),
    };
    name.eq_ignore_ascii_case("localhost")
        || name.parse::<std::net::IpAddr>().is_ok_and(|address| address.is_loopback())
}

/// Whether the page that sends this is ours: by `Origin`, else by `Referer`.
fn is_from_us(headers: &HeaderMap, host: &str) -> bool {
    let ours = |origin: &str| origin.strip_prefix("http://").is_some_and(|rest| rest.eq_ignore_ascii_case(host));
    match (text(headers, header::ORIGIN), text(headers, header::REFERER)) {
        (Some(origin), _) => ours(origin),
        (None, Some(referer)) => {
            let origin = referer.splitn(4, '/').take(3).collect::<Vec<_>>().join("/");
            ours(&origin)
        }
        (None, None) => false,
    }
}

fn text(headers: &HeaderMap, name: HeaderName) -> Option<&str> {
    headers.get(name)?.to_str().ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_names_of_this_machine_are_answered() {
        for ours in ["localhost", "LOCALHOST:4417", "127.0.0.1:4417", "127.8.9.1", "[::1]:4417"] {
            assert!(is_this_machine(ours), "{ours}");
        }
        for other in ["", "localhost.example.org", "192.168.1.4:4417", "127.0.0.1.example.org", "[fe80::1]", "[::1"] {
            assert_eq!(is_this_machine(other), other == "[::1", "{other}");
        }
    }

    #[test]
    fn a_write_comes_from_the_same_host_and_port() {
        let from = |name: HeaderName, value: &'static str| {
            let mut headers = HeaderMap::new();
            headers.insert(name, HeaderValue::from_static(value));
            is_from_us(&headers, "localhost:4417")
        };
        assert!(from(header::ORIGIN, "http://localhost:4417"));
        assert!(from(header::REFERER, "http://localhost:4417/clients/12"));
        assert!(!from(header::ORIGIN, "http://localhost:8000"));
        assert!(!from(header::ORIGIN, "https://localhost:4417.example.org"));
        assert!(!from(header::ORIGIN, "null"));
        assert!(!from(header::REFERER, "http://example.org/http://localhost:4417/"));
        assert!(!is_from_us(&HeaderMap::new(), "localhost:4417"));
    }
}
