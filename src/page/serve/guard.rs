//! Who may ask, how much, and what an answer may load.

use crate::page::program::{Asked, Reply};
use axum::body::{Body, Bytes, to_bytes};
use axum::extract::Request;
use axum::http::{HeaderMap, HeaderName, HeaderValue, Method, StatusCode, header};
use axum::response::{IntoResponse, Response};
use std::time::Duration;

/// A body may take a further second for each of these many bytes.
const BYTES_A_SECOND: usize = 1_000_000;

/// The port of a page whose address names none.
const USUAL_PORT: u16 = 80;

/// How long the page waits for slow clients.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Patience {
    /// For the head of the next question.
    pub head: Duration,
    /// For the body of a question, beside a second for each megabyte.
    pub body: Duration,
    /// For a client that takes none of its answer.
    pub answer: Duration,
    /// For a client that is silent, or takes none of its answer, while all seats are taken and others wait at the door.
    pub door: Duration,
    /// For an answer, from the whole question on.
    pub work: Duration,
    /// For answers under way when the program is to end.
    pub end: Duration,
}

impl Default for Patience {
    fn default() -> Self {
        Self {
            head: Duration::from_secs(30),
            body: Duration::from_secs(15),
            answer: Duration::from_secs(30),
            door: Duration::from_secs(2),
            work: Duration::from_secs(120),
            end: Duration::from_secs(2),
        }
    }
}

/// What the page itself may load: nothing but this program's own scripts, styles, pictures and answers.
const OWN_PAGE: &str = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; \
     connect-src 'self'; form-action 'none'; base-uri 'none'; frame-ancestors 'none'";
/// What a report may load: its own style, and no script at all.
pub(super) const REPORT_PAGE: &str = "default-src 'none'; style-src 'unsafe-inline'; img-src data:; \
     form-action 'none'; base-uri 'none'; frame-ancestors 'none'";

/// A refusal in plain words.
pub(super) fn refusal(status: StatusCode, what: &str, remedy: &str) -> Response {
    Reply::refusal(status.as_u16(), what, remedy).into_response()
}

/// Whether a request comes from this machine's own page, for the port the page is served on.
pub(super) fn refused(request: &Request, port: u16) -> Option<Response> {
    let headers = request.headers();
    let own = |host: &str| {
        ["127.0.0.1", "localhost", "[::1]"].iter().any(|name| {
            // A browser leaves out the port that every page has unless another is named.
            host.eq_ignore_ascii_case(&format!("{name}:{port}"))
                || (port == USUAL_PORT && host.eq_ignore_ascii_case(name))
        })
    };
    // A page of another site whose name was turned to this machine asks for that name.
    if !text(headers, &header::HOST).is_some_and(own) {
        return Some(refusal(
            StatusCode::FORBIDDEN,
            "this page answers only to its own name",
            "open the address that `heartside serve` printed",
        ));
    }
    let origin_is_own = match headers.get(header::ORIGIN) {
        None => true,
        Some(origin) => origin
            .to_str()
            .ok()
            .and_then(|origin| origin.strip_prefix("http://"))
            .is_some_and(own),
    };
    let site = HeaderName::from_static("sec-fetch-site");
    // Following a link from elsewhere only looks; asking from elsewhere is refused.
    let only_looks = request.method() == Method::GET || request.method() == Method::HEAD;
    let site_is_own = only_looks
        || text(headers, &site).is_none_or(|site| site == "same-origin" || site == "none");
    if origin_is_own && site_is_own {
        return None;
    }
    Some(refusal(
        StatusCode::FORBIDDEN,
        "this page answers only to itself, not to pages of other sites",
        "use the page at the address that `heartside serve` printed",
    ))
}

fn text<'a>(headers: &'a HeaderMap, name: &HeaderName) -> Option<&'a str> {
    headers.get(name).and_then(|value| value.to_str().ok())
}

/// Puts the rules of an answer on it; an answer that has a content policy of its own keeps it.
pub(super) fn with_rules(mut response: Response) -> Response {
    let headers = response.headers_mut();
    if !headers.contains_key(header::CONTENT_SECURITY_POLICY) {
        headers.insert(
            header::CONTENT_SECURITY_POLICY,
            HeaderValue::from_static(OWN_PAGE),
        );
    }
    for (name, value) in [
        ("x-content-type-options", "nosniff"),
        ("referrer-policy", "no-referrer"),
        ("cache-control", "no-store"),
        ("cross-origin-resource-policy", "same-origin"),
        ("cross-origin-opener-policy", "same-origin"),
    ] {
        headers.insert(
            HeaderName::from_static(name),
            HeaderValue::from_static(value),
        );
    }
    response
}

/// The body of a request, up to so many bytes, in so much time.
///
/// # Errors
/// A refusal when it is too large, or comes too slowly.
pub(super) async fn whole(
    headers: &HeaderMap,
    body: Body,
    most: usize,
    patience: Duration,
) -> Result<Bytes, Response> {
    let too_large = || Asked::too_large(most).into_response();
    let given =
        text(headers, &header::CONTENT_LENGTH).and_then(|length| length.parse::<usize>().ok());
    if given.is_some_and(|length| length > most) {
        return Err(too_large());
    }
    let patience = patience
        + Duration::from_secs(
            (given.unwrap_or(0) / BYTES_A_SECOND)
                .try_into()
                .unwrap_or(0),
        );
    match tokio::time::timeout(patience, to_bytes(body, most)).await {
        Ok(Ok(bytes)) => Ok(bytes),
        Ok(Err(_)) => Err(too_large()),
        Err(_) => Err(refusal(
            StatusCode::REQUEST_TIMEOUT,
            "the question came too slowly",
            "ask again",
        )),
    }
}
