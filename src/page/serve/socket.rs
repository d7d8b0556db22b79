//! The socket: patience, crowds, a clean end.

use super::patient::Patient;
use super::routes::{Page, router};
use super::seats::{Seats, Spanned};
use hyper::Request;
use hyper::body::Incoming;
use hyper::service::{Service as _, service_fn};
use hyper_util::rt::{TokioIo, TokioTimer};
use hyper_util::server::graceful::GracefulShutdown;
use hyper_util::service::TowerToHyperService;
use std::future::Future;
use std::io;
use std::net::TcpListener;
use std::sync::Arc;
use std::time::Duration;

/// Connections served at a time; more wait at the door, and the longest silent one makes room for them.
const CONNECTIONS: usize = 256;
/// A short rest when the system has no socket to give.
const REST: Duration = Duration::from_millis(50);

/// Serves a page on a socket that is bound already, until `end` comes; answers under way get a moment then.
///
/// # Errors
/// When the runtime or the socket cannot be used.
pub fn serve(listener: TcpListener, page: Page, end: impl Future<Output = ()>) -> io::Result<()> {
    listener.set_nonblocking(true)?;
    let runtime = tokio::runtime::Builder::new_current_thread()
        .enable_all()
        .build()?;
    let served = runtime.block_on(accept(listener, page, end));
    // A forecast still at work is left to itself: the process ends.
    runtime.shutdown_background();
    served
}

async fn accept(
    listener: TcpListener,
    page: Page,
    end: impl Future<Output = ()>,
) -> io::Result<()> {
    let listener = tokio::net::TcpListener::from_std(listener)?;
    let patience = page.patience;
    let router = router(Arc::new(page));
    let seats = Seats::new(CONNECTIONS);
    let graceful = GracefulShutdown::new();
    let mut end = std::pin::pin!(end);
    loop {
        let stream = tokio::select! {
            accepted = listener.accept() => match accepted {
                Ok((stream, _)) => stream,
                Err(_) => {
                    tokio::time::sleep(REST).await;
                    continue;
                }
            },
            () = &mut end => break,
        };
        let seated = tokio::select! {
            seated = seats.take(patience.door) => seated,
            () = &mut end => break,
        };
        let Some(seated) = seated else { break };
        // Small answers go out at once.
        let _no_harm_if_not = stream.set_nodelay(true);
        let routes = TowerToHyperService::new(router.clone());
        let seat = Arc::clone(&seated.seat);
        let answers = service_fn(move |question: Request<Incoming>| {
            let seat = Arc::clone(&seat);
            let answer = routes.call(question.map(|body| Spanned::new(body, Arc::clone(&seat))));
            async move {
                let answer = answer.await;
                seat.answered();
                answer
            }
        });
        let stream = Patient::new(stream, patience.answer, Arc::clone(&seated.seat));
        let connection = hyper::server::conn::http1::Builder::new()
            .timer(TokioTimer::new())
            .header_read_timeout(patience.head)
            .serve_connection(TokioIo::new(stream), answers);
        let watched = graceful.watch(connection);
        tokio::spawn(async move {
            tokio::select! {
                // A client that breaks off is its own affair.
                _broken = watched => {}
                () = seated.seat.wanted() => {}
            }
        });
    }
    drop(listener);
    let _late_ones_are_cut = tokio::time::timeout(patience.end, graceful.shutdown()).await;
    Ok(())
}
