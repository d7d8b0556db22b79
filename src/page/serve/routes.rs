//! The program over HTTP.

use super::guard::{Patience, REPORT_PAGE, refusal, refused, whole, with_rules};
use super::lanes::Lanes;
use crate::numerics::Deadline;
use crate::page::program::{Address, Asked, Given, Program, Reply, Subject, nothing_here};
use crate::page::today;
use axum::Router;
use axum::body::Body;
use axum::extract::{Request, State};
use axum::http::{HeaderMap, HeaderValue, Method, StatusCode, header};
use axum::middleware::{Next, from_fn_with_state};
use axum::response::{IntoResponse, Response};
use std::sync::Arc;

/// The page: what it answers with, and whom it answers.
pub struct Page {
    port: u16,
    program: Program,
    lanes: Lanes,
    /// The first step of every address, where the page opens with a job: only those who know it read the job.
    token: Option<String>,
    pub(super) patience: Patience,
}

impl Page {
    /// A page on a port, with the job it opens with.
    #[must_use]
    pub fn new(port: u16, given: Option<Given>) -> Self {
        Self {
            port,
            program: Program::new(given),
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

    /// The path below the token.
    fn own<'a>(&self, path: &'a str) -> Option<&'a str> {
        let path = path.strip_prefix('/')?;
        match &self.token {
            Some(token) => path.strip_prefix(token.as_str())?.strip_prefix('/'),
            None => Some(path),
        }
    }
}

/// The addresses of a page.
pub fn router(page: Arc<Page>) -> Router {
    Router::new()
        .fallback(answer)
        .layer(from_fn_with_state(Arc::clone(&page), guarded))
        .with_state(page)
}

impl IntoResponse for Reply {
    fn into_response(self) -> Response {
        let status = StatusCode::from_u16(self.status).unwrap_or(StatusCode::INTERNAL_SERVER_ERROR);
        let kind = [(header::CONTENT_TYPE, self.kind)];
        (status, kind, Body::from(self.body)).into_response()
    }
}

async fn guarded(State(page): State<Arc<Page>>, request: Request, next: Next) -> Response {
    match refused(&request, page.port) {
        Some(refusal) => with_rules(refusal),
        None => with_rules(next.run(request).await),
    }
}

async fn answer(State(page): State<Arc<Page>>, request: Request) -> Response {
    let (head, body) = request.into_parts();
    let Some(address) = page.own(head.uri.path()).and_then(Address::read) else {
        return nothing_here().into_response();
    };
    let looks = head.method == Method::GET || head.method == Method::HEAD;
    match address {
        Address::Asked(subject) if head.method == Method::POST => {
            let query = head.uri.query().unwrap_or_default();
            match asked(&page, subject, query, &head.headers, body).await {
                Ok(reply) => reply.into_response(),
                Err(refusal) => refusal,
            }
        }
        Address::Asked(_) => not_so(&head.method),
        _ if !looks => not_so(&head.method),
        address => {
            let mut response = page.program.look(address, today()).into_response();
            if matches!(address, Address::Report(_)) {
                response.headers_mut().insert(
                    header::CONTENT_SECURITY_POLICY,
                    HeaderValue::from_static(REPORT_PAGE),
                );
            }
            response
        }
    }
}

fn not_so(method: &Method) -> Response {
    refusal(
        StatusCode::METHOD_NOT_ALLOWED,
        &format!("this address does not take {method}"),
        "load the page again",
    )
}

/// Reads a question, and works its answer out away from the sockets.
async fn asked(
    page: &Arc<Page>,
    subject: Subject,
    query: &str,
    headers: &HeaderMap,
    body: Body,
) -> Result<Reply, Response> {
    let kind = headers
        .get(header::CONTENT_TYPE)
        .and_then(|kind| kind.to_str().ok())
        .unwrap_or_default();
    // A form of another site can send other kinds without being asked for leave.
    if subject != Subject::File && !kind.starts_with("application/json") {
        return Err(refusal(
            StatusCode::UNSUPPORTED_MEDIA_TYPE,
            "a question is JSON",
            "send it with Content-Type: application/json",
        ));
    }
    let bytes = whole(headers, body, subject.most_bytes(), page.patience.body).await?;
    let asked = Asked::read(subject, query, bytes.into()).map_err(IntoResponse::into_response)?;
    let at_work = Arc::clone(page);
    let length = asked.bytes();
    let work = move |deadline: Deadline<'_>| at_work.program.answer(asked, today(), deadline);
    page.lanes.work(length, page.patience.work, work).await
}
