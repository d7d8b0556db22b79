//! The addresses of the page.

use super::answer::{Answerer, Question};
use super::drawn::{AirAsked, LayoutAsked, RingsAsked};
use super::dropped::FileRefused;
use super::guard::{MAX_QUESTION, Patience, REPORT_PAGE, refusal, refused, whole, with_rules};
use super::lanes::Lanes;
use super::memory::Recent;
use super::words::words;
use crate::job;
use crate::numerics::Deadline;
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
    lanes: Lanes,
    /// The first step of every address, where the page opens with a job: only those who know it read the job.
    token: Option<String>,
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
                    let id = report::digest(&bytes);
                    answerer.dropped.keep(id.clone(), bytes.into());
                    (name, id)
                })
                .collect();
            json!({ "name": given.name, "text": given.text, "files": files })
        });
        Self {
            port,
            answerer,
            given,
            reports: Recent::new(8),
            lanes: Lanes::new(),
            token: None,
            patience: Patience::default(),
        }
    }

    /// The same page with every address below a step that nobody can guess: other users of the machine reach the
    /// port, but neither the page nor its job.
    #[must_use]
    pub fn with_token(self, token: String) -> Self {
        let token = Some(token);
        Self { token, ..self }
    }

    /// The same page with another patience for slow clients.
    #[must_use]
    pub fn with_patience(self, patience: Patience) -> Self {
        Self { patience, ..self }
    }
}

/// The addresses of a page.
pub fn router(page: Arc<Page>) -> Router {
    let token = page.token.as_deref();
    let at = |path: &str| token.map_or(path.to_owned(), |token| format!("/{token}{path}"));
    let assets = ASSETS
        .iter()
        .fold(Router::new(), |router, &(name, kind, text)| {
            router.route(&at(&format!("/{name}")), get(move || asset(kind, text)))
        });
    assets
        .route(
            &at("/"),
            get(|| asset("text/html; charset=utf-8", include_str!("assets/page.html"))),
        )
        .route(
            &at("/figures.css"),
            get(|| async { asset(CSS, report::page_style()).await }),
        )
        .route(
            &at("/schema"),
            get(|| asset(JSON, job::schema().to_string())),
        )
        .route(&at("/words"), get(|| asset(JSON, words().to_string())))
        .route(&at("/start/{which}"), get(start))
        .route(&at("/answer"), post(answer))
        .route(&at("/layout"), post(layout))
        .route(&at("/air"), post(air))
        .route(&at("/rings"), post(rings))
        .route(&at("/json"), post(numbers))
        .route(&at("/report"), post(make_report))
        .route(&at("/report/{id}"), get(report_page))
        .route(&at("/file"), post(file))
        .fallback(nothing_here)
        .method_not_allowed_fallback(not_so)
        .layer(from_fn_with_state(Arc::clone(&page), guarded))
        .with_state(page)
}

/// The files of the page.
const ASSETS: &[(&str, &str, &str)] = &[
    ("page.css", CSS, include_str!("assets/page.css")),
    ("page.js", JS, include_str!("assets/page.js")),
    ("forms.js", JS, include_str!("assets/forms.js")),
    ("answers.js", JS, include_str!("assets/answers.js")),
    ("questions.js", JS, include_str!("assets/questions.js")),
    ("picture.js", JS, include_str!("assets/picture.js")),
    ("rings.js", JS, include_str!("assets/rings.js")),
    ("photo.js", JS, include_str!("assets/photo.js")),
    ("leaves.js", JS, include_str!("assets/leaves.js")),
    ("measured.js", JS, include_str!("assets/measured.js")),
    ("pick.js", JS, include_str!("assets/pick.js")),
    ("keep.js", JS, include_str!("assets/keep.js")),
    ("talk.js", JS, include_str!("assets/talk.js")),
    ("words.js", JS, include_str!("assets/words.js")),
    ("drawings.svg", SVG, include_str!("assets/drawings.svg")),
    ("favicon.ico", SVG, include_str!("assets/icon.svg")),
];

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
        "blank" => of("job.toml", &job::blank_on(super::today())),
        "given" => match &page.given {
            Some(given) => given.clone(),
            None => Value::Null,
        },
        _ => return nothing_here().await,
    };
    asset(JSON, given.to_string()).await
}

/// Reads a question, or what is asked of a drawing.
async fn question<T: serde::de::DeserializeOwned>(
    page: &Page,
    headers: &HeaderMap,
    body: Body,
) -> Result<T, Response> {
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

/// Works something out away from the sockets; so many bytes were asked.
async fn worked<T: Send + 'static>(
    page: &Arc<Page>,
    bytes: usize,
    work: impl FnOnce(&Page, Deadline<'_>) -> T + Send + 'static,
) -> Result<T, Response> {
    let at_work = Arc::clone(page);
    let work = move |deadline: Deadline<'_>| work(&at_work, deadline);
    page.lanes.work(bytes, page.patience.work, work).await
}

async fn answer(State(page): State<Arc<Page>>, headers: HeaderMap, body: Body) -> Response {
    let given = async {
        let question: Question = question(&page, &headers, body).await?;
        worked(&page, question.bytes(), move |page, deadline| {
            page.answerer.answer(&question, deadline).to_string()
        })
        .await
    };
    match given.await {
        Ok(text) => asset(JSON, text).await,
        Err(refusal) => refusal,
    }
}

async fn layout(State(page): State<Arc<Page>>, headers: HeaderMap, body: Body) -> Response {
    let given = async {
        let asked: LayoutAsked = question(&page, &headers, body).await?;
        worked(&page, asked.question.bytes(), move |page, deadline| {
            page.answerer.laid(&asked, deadline)
        })
        .await
    };
    drawing(given.await).await
}

async fn air(State(page): State<Arc<Page>>, headers: HeaderMap, body: Body) -> Response {
    let given = async {
        let asked: AirAsked = question(&page, &headers, body).await?;
        worked(&page, asked.question.bytes(), move |page, _| {
            page.answerer.air(&asked)
        })
        .await
    };
    drawing(given.await).await
}

async fn rings(State(page): State<Arc<Page>>, headers: HeaderMap, body: Body) -> Response {
    let given = async {
        let asked: RingsAsked = question(&page, &headers, body).await?;
        worked(&page, 0, move |page, _| page.answerer.rings(&asked)).await
    };
    drawing(given.await).await
}

async fn drawing(given: Result<Result<Value, FileRefused>, Response>) -> Response {
    match given {
        Ok(Ok(drawn)) => asset(JSON, drawn.to_string()).await,
        Ok(Err(refused)) => refusal(
            StatusCode::UNPROCESSABLE_ENTITY,
            &refused.what,
            &refused.remedy,
        ),
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
        let question: Question = question(&page, &headers, body).await?;
        worked(&page, question.bytes(), move |page, deadline| {
            page.answerer
                .work(&question, deadline)
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
        let question: Question = question(&page, &headers, body).await?;
        worked(&page, question.bytes(), move |page, deadline| {
            page.answerer
                .work(&question, deadline)
                .map_err(|errors| Answerer::problems(&errors, &question.text))
                .and_then(|worked| {
                    // Stopped, nobody waits for it any more.
                    let html = worked.html(deadline).map_err(|_| Value::Null)?;
                    let id = report::digest(html.as_bytes());
                    let stem = question.name.trim_end_matches(".toml").to_owned();
                    page.reports.put(id.clone(), Arc::new((stem, html)));
                    Ok(id)
                })
        })
        .await?
        .map_err(|problems| unread(&problems))
    };
    match given.await {
        Ok(id) => {
            asset(
                JSON,
                json!({ "address": format!("report/{id}") }).to_string(),
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
        let bytes: Bytes = whole(&headers, body, job::MOST_DATA_BYTES, page.patience.body).await?;
        worked(&page, bytes.len(), move |page, _| {
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
