//! The socket: patience, crowds, a clean end.

use super::patient::Patient;
use super::routes::{Page, router};
use hyper_util::rt::{TokioIo, TokioTimer};
use hyper_util::server::graceful::GracefulShutdown;
use hyper_util::service::TowerToHyperService;
use std::future::Future;
use std::io;
use std::net::TcpListener;
use std::sync::Arc;
use std::time::Duration;
use tokio::sync::Semaphore;

/// Connections served at a time; more wait at the door.
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
    let seats = Arc::new(Semaphore::new(CONNECTIONS));
    let graceful = GracefulShutdown::new();
    let mut end = std::pin::pin!(end);
    loop {
        let seat = tokio::select! {
            seat = Arc::clone(&seats).acquire_owned() => seat,
            () = &mut end => break,
        };
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
        // Small answers go out at once.
        let _no_harm_if_not = stream.set_nodelay(true);
        let connection = hyper::server::conn::http1::Builder::new()
            .timer(TokioTimer::new())
            .header_read_timeout(patience.head)
            .serve_connection(
                TokioIo::new(Patient::new(stream, patience.answer)),
                TowerToHyperService::new(router.clone()),
            );
        let watched = graceful.watch(connection);
        tokio::spawn(async move {
            // A client that breaks off is its own affair.
            let _broken = watched.await;
            drop(seat);
        });
    }
    drop(listener);
    let _late_ones_are_cut = tokio::time::timeout(patience.end, graceful.shutdown()).await;
    Ok(())
}
