//! The addresses of the page.

use super::answer::{Answerer, Question};
use super::dropped::{MAX_FILE, id_of};
use super::guard::{MAX_QUESTION, Patience, REPORT_PAGE, refusal, refused, whole, with_rules};
use super::memory::Recent;
use super::words::words;
use crate::job;
use crate::report;
use axum::Router;
use axum::body::{Body, Bytes};
use axum::extract::{Path, Query, Request, State};
use axum::http::{HeaderMap, Method, StatusCode, header};
use axum::middleware::{Next, from_fn_with_state};
use axum::response::{IntoResponse, Response};
use axum::routing::{get, post};
use serde::Deserialize;
use serde_json::{Value, json};
use std::collections::BTreeMap;
use std::sync::Arc;
use tokio::sync::Semaphore;

/// Questions that may wait for one another; more are given to come again.
const WAITING: usize = 64;

/// A job the page opens with.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Given {
    /// The job file's name.
    pub name: String,
    /// Its text.
    pub text: String,
    /// The files it names, with their bytes: as good as dropped on the page.
    pub files: Vec<(String, Vec<u8>)>,
}

/// The page: what it answers with, and what it keeps in memory.
pub struct Page {
    port: u16,
    answerer: Answerer,
    given: Option<Value>,
    reports: Recent<String, (String, String)>,
    work: Arc<Semaphore>,
    waiting: Arc<Semaphore>,
    pub(super) patience: Patience,
}

impl Page {
    /// A page on a port, with the job it opens with.
    #[must_use]
    pub fn new(port: u16, given: Option<Given>) -> Self {
        let answerer = Answerer::default();
        let given = given.map(|given| {
            let files: BTreeMap<String, String> = given
                .files
                .into_iter()
                .map(|(name, bytes)| {
                    let id = id_of(&bytes);
                    answerer.dropped.keep(id.clone(), bytes.into());
                    (name, id)
                })
                .collect();
            json!({ "name": given.name, "text": given.text, "files": files })
        });
        let cores = std::thread::available_parallelism().map_or(2, usize::from);
        Self {
            port,
            answerer,
            given,
            reports: Recent::new(8),
            work: Arc::new(Semaphore::new(cores)),
            waiting: Arc::new(Semaphore::new(WAITING)),
            patience: Patience::default(),
        }
    }

    /// The same page with another patience for slow clients.
    #[must_use]
    pub fn with_patience(self, patience: Patience) -> Self {
        Self { patience, ..self }
    }
}

/// The addresses of a page.
pub fn router(page: Arc<Page>) -> Router {
    Router::new()
        .route(
            "/",
            get(|| asset("text/html; charset=utf-8", include_str!("assets/page.html"))),
        )
        .route(
            "/page.css",
            get(|| asset(CSS, include_str!("assets/page.css"))),
        )
        .route(
            "/figures.css",
            get(|| async { asset(CSS, report::page_style()).await }),
        )
        .route(
            "/page.js",
            get(|| asset(JS, include_str!("assets/page.js"))),
        )
        .route(
            "/forms.js",
            get(|| asset(JS, include_str!("assets/forms.js"))),
        )
        .route(
            "/answers.js",
            get(|| asset(JS, include_str!("assets/answers.js"))),
        )
        .route(
            "/pick.js",
            get(|| asset(JS, include_str!("assets/pick.js"))),
        )
        .route(
            "/keep.js",
            get(|| asset(JS, include_str!("assets/keep.js"))),
        )
        .route(
            "/talk.js",
            get(|| asset(JS, include_str!("assets/talk.js"))),
        )
        .route(
            "/words.js",
            get(|| asset(JS, include_str!("assets/words.js"))),
        )
        .route(
            "/drawings.svg",
            get(|| asset(SVG, include_str!("assets/drawings.svg"))),
        )
        .route(
            "/favicon.ico",
            get(|| asset(SVG, include_str!("assets/icon.svg"))),
        )
        .route("/schema", get(|| asset(JSON, job::schema().to_string())))
        .route("/words", get(|| asset(JSON, words().to_string())))
        .route("/start/{which}", get(start))
        .route("/answer", post(answer))
        .route("/json", post(numbers))
        .route("/report", post(make_report))
        .route("/report/{id}", get(report_page))
        .route("/file", post(file))
        .fallback(nothing_here)
        .method_not_allowed_fallback(not_so)
        .layer(from_fn_with_state(Arc::clone(&page), guarded))
        .with_state(page)
}

const CSS: &str = "text/css; charset=utf-8";
const JS: &str = "text/javascript; charset=utf-8";
const SVG: &str = "image/svg+xml";
const JSON: &str = "application/json";

async fn asset(kind: &'static str, text: impl Into<Body>) -> Response {
    ([(header::CONTENT_TYPE, kind)], text.into()).into_response()
}

async fn guarded(State(page): State<Arc<Page>>, request: Request, next: Next) -> Response {
    match refused(&request, page.port) {
        Some(refusal) => with_rules(refusal),
        None => with_rules(next.run(request).await),
    }
}

async fn nothing_here() -> Response {
    refusal(
        StatusCode::NOT_FOUND,
        "there is nothing at this address",
        "open the address that `heartside serve` printed",
    )
}

async fn not_so(method: Method) -> Response {
    refusal(
        StatusCode::METHOD_NOT_ALLOWED,
        &format!("this address does not take {method}"),
        "load the page again",
    )
}

async fn start(State(page): State<Arc<Page>>, Path(which): Path<String>) -> Response {
    let of = |name: &str, text: &str| json!({ "name": name, "text": text, "files": {} });
    let given = match which.as_str() {
        "demo" => of("hall-sideboard.toml", job::demo()),
        "blank" => of("job.toml", job::blank()),
        "given" => match &page.given {
            Some(given) => given.clone(),
            None => return nothing_here().await,
        },
        _ => return nothing_here().await,
    };
    asset(JSON, given.to_string()).await
}

/// Reads a question.
async fn question(page: &Page, headers: &HeaderMap, body: Body) -> Result<Question, Response> {
    let kind = headers
        .get(header::CONTENT_TYPE)
        .and_then(|kind| kind.to_str().ok())
        .unwrap_or_default();
    if !kind.starts_with(JSON) {
        return Err(refusal(
            StatusCode::UNSUPPORTED_MEDIA_TYPE,
            "a question is JSON",
            "send it with Content-Type: application/json",
        ));
    }
    let bytes = whole(headers, body, MAX_QUESTION, page.patience.body).await?;
    serde_json::from_slice(&bytes).map_err(|error| {
        refusal(
            StatusCode::BAD_REQUEST,
            &format!("the question cannot be read: {error}"),
            "load the page again",
        )
    })
}

/// Works something out away from the sockets, a few at a time; the rest wait their turn, and too many are sent away.
async fn worked<T: Send + 'static>(
    page: &Arc<Page>,
    work: impl FnOnce(&Page) -> T + Send + 'static,
) -> Result<T, Response> {
    let Ok(place) = Arc::clone(&page.waiting).try_acquire_owned() else {
        let mut busy = refusal(
            StatusCode::SERVICE_UNAVAILABLE,
            "too many questions wait already",
            "ask again in a moment",
        );
        busy.headers_mut()
            .insert(header::RETRY_AFTER, header::HeaderValue::from_static("1"));
        return Err(busy);
    };
    let turn = Arc::clone(&page.work).acquire_owned().await;
    let at_work = Arc::clone(page);
    // The place and the turn are held until the work is done, also when its client has gone.
    let work = move || {
        let _held = (place, turn);
        work(&at_work)
    };
    tokio::task::spawn_blocking(work).await.map_err(|_| {
        refusal(
            StatusCode::INTERNAL_SERVER_ERROR,
            "an error in the program kept it from answering",
            "undo the last change; the job is kept, and saving it still works",
        )
    })
}

async fn answer(State(page): State<Arc<Page>>, headers: HeaderMap, body: Body) -> Response {
    let given = async {
        let question = question(&page, &headers, body).await?;
        worked(&page, move |page| {
            page.answerer.answer(&question).to_string()
        })
        .await
    };
    match given.await {
        Ok(text) => asset(JSON, text).await,
        Err(refusal) => refusal,
    }
}

/// Why a job cannot be given in full: everything that is wrong with it.
fn unread(problems: &Value) -> Response {
    let body = json!({
        "what": "the job does not read",
        "remedy": "fix what is listed",
        "problems": problems,
    });
    (
        StatusCode::UNPROCESSABLE_ENTITY,
        [(header::CONTENT_TYPE, JSON)],
        body.to_string(),
    )
        .into_response()
}

async fn numbers(State(page): State<Arc<Page>>, headers: HeaderMap, body: Body) -> Response {
    let given = async {
        let question = question(&page, &headers, body).await?;
        worked(&page, move |page| {
            page.answerer
                .work(&question)
                .map(|worked| report::json(&worked.forecast))
                .map_err(|errors| Answerer::problems(&errors, &question.text))
        })
        .await?
        .map_err(|problems| unread(&problems))
    };
    match given.await {
        Ok(text) => asset(JSON, text).await,
        Err(refusal) => refusal,
    }
}

async fn make_report(State(page): State<Arc<Page>>, headers: HeaderMap, body: Body) -> Response {
    let given = async {
        let question = question(&page, &headers, body).await?;
        worked(&page, move |page| {
            page.answerer
                .work(&question)
                .map(|worked| {
                    let html = worked.html();
                    let id = id_of(html.as_bytes());
                    let stem = question.name.trim_end_matches(".toml").to_owned();
                    page.reports.put(id.clone(), Arc::new((stem, html)));
                    id
                })
                .map_err(|errors| Answerer::problems(&errors, &question.text))
        })
        .await?
        .map_err(|problems| unread(&problems))
    };
    match given.await {
        Ok(id) => {
            asset(
                JSON,
                json!({ "address": format!("/report/{id}") }).to_string(),
            )
            .await
        }
        Err(refusal) => refusal,
    }
}

#[derive(Deserialize)]
struct Saving {
    save: Option<String>,
}

async fn report_page(
    State(page): State<Arc<Page>>,
    Path(id): Path<String>,
    Query(saving): Query<Saving>,
) -> Response {
    let Some(kept) = page.reports.get(&id) else {
        return refusal(
            StatusCode::NOT_FOUND,
            "this report is no longer kept",
            "make the report again",
        );
    };
    let (stem, html) = &*kept;
    let mut response = asset("text/html; charset=utf-8", html.clone()).await;
    let headers = response.headers_mut();
    headers.insert(
        header::CONTENT_SECURITY_POLICY,
        header::HeaderValue::from_static(REPORT_PAGE),
    );
    if saving.save.is_some() {
        let name: String = stem
            .chars()
            .map(|letter| {
                if letter.is_ascii_alphanumeric() {
                    letter
                } else {
                    '-'
                }
            })
            .take(80)
            .collect();
        if let Ok(value) = format!("attachment; filename=\"{name}-report.html\"").parse() {
            headers.insert(header::CONTENT_DISPOSITION, value);
        }
    }
    response
}

#[derive(Deserialize)]
struct Named {
    #[serde(default = "unnamed")]
    name: String,
}

fn unnamed() -> String {
    "file".to_owned()
}

async fn file(
    State(page): State<Arc<Page>>,
    Query(named): Query<Named>,
    headers: HeaderMap,
    body: Body,
) -> Response {
    let given = async {
        let bytes: Bytes = whole(&headers, body, MAX_FILE, page.patience.body).await?;
        worked(&page, move |page| {
            page.answerer.dropped.take(&named.name, bytes.into())
        })
        .await?
        .map_err(|refused| {
            refusal(
                StatusCode::UNPROCESSABLE_ENTITY,
                &refused.what,
                &refused.remedy,
            )
        })
    };
    match given.await {
        Ok(given) => asset(JSON, json!(given).to_string()).await,
        Err(refusal) => refusal,
    }
}

#[cfg(test)]
mod tests {
    use super::{Page, worked};
    use axum::http::StatusCode;
    use std::sync::Arc;

    #[test]
    fn a_panic_is_answered_and_the_next_question_too() {
        let runtime = tokio::runtime::Builder::new_current_thread()
            .build()
            .unwrap();
        let page = Arc::new(Page::new(0, None));
        // More often than there are turns: a turn that is lost would be missed.
        for _ in 0..100 {
            let given = runtime.block_on(worked(&page, |_| -> u8 { panic!("meant") }));
            assert_eq!(
                given.unwrap_err().status(),
                StatusCode::INTERNAL_SERVER_ERROR
            );
        }
        assert_eq!(runtime.block_on(worked(&page, |_| 7)).ok(), Some(7));
    }
}
