//! Which question is worked on when: small ones at once, heavy ones a few at a time, and none without an end.
//!
//! Nobody can tell beforehand whether a question is heavy. A question with a long text waits among the heavy ones; every
//! other begins at once, and is counted among the heavy ones when it has worked for [`QUICK_WORK`]. One that has
//! waited for [`QUICK_WAIT`] begins whatever the others do. Each works on threads of its own, so that the
//! system shares the cores among them.

use crate::numerics::Deadline;
use crate::page::program::Reply;
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse, Response};
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Mutex, PoisonError};
use std::time::Duration;
use tokio::sync::{OwnedSemaphorePermit, Semaphore};
use tokio::time::{Instant, timeout, timeout_at};

/// Questions that may be asked at a time; more are given to come again.
const PLACES: usize = 64;
/// Work after which a question is a heavy one.
const QUICK_WORK: Duration = Duration::from_millis(700);
/// The longest that a small question waits for others to begin.
const QUICK_WAIT: Duration = Duration::from_millis(1_000);
/// A question with more bytes is heavy from the start.
const HEAVY_BYTES: usize = 200_000;

/// The turns that questions take.
pub(super) struct Lanes {
    places: Arc<Semaphore>,
    quick: Arc<Semaphore>,
    heavy: Arc<Semaphore>,
    threads: usize,
}

/// A turn, held until the work is done; it may become one of the other lane's meanwhile.
type Turn = Arc<Mutex<Option<OwnedSemaphorePermit>>>;

/// Says that a question is no longer wanted when it is dropped: its client has left, or its time is over.
struct Wanted(Arc<AtomicBool>);

impl Drop for Wanted {
    fn drop(&mut self) {
        self.0.store(true, Ordering::Relaxed);
    }
}

impl Lanes {
    pub(super) fn new() -> Self {
        let threads = std::thread::available_parallelism().map_or(2, usize::from);
        Self {
            places: Arc::new(Semaphore::new(PLACES)),
            quick: Arc::new(Semaphore::new(threads)),
            heavy: Arc::new(Semaphore::new(threads)),
            threads,
        }
    }

    /// Works something out away from the sockets, within so much time from now; the work hears of its deadline.
    ///
    /// # Errors
    /// A refusal when too many questions are asked, the time is over, or the work panicked.
    pub(super) async fn work<T: Send + 'static>(
        &self,
        bytes: usize,
        most: Duration,
        work: impl FnOnce(Deadline<'_>) -> T + Send + 'static,
    ) -> Result<T, Response> {
        let end = Instant::now() + most;
        let Ok(place) = Arc::clone(&self.places).try_acquire_owned() else {
            return Err(later(Reply::refusal(
                StatusCode::SERVICE_UNAVAILABLE.as_u16(),
                "too many questions wait already",
                "ask again in a moment",
            )));
        };
        let first = if bytes > HEAVY_BYTES {
            let turn = timeout_at(end, Arc::clone(&self.heavy).acquire_owned()).await;
            turn.map_err(|_| too_long())?.ok()
        } else {
            let turn = timeout(QUICK_WAIT, Arc::clone(&self.quick).acquire_owned()).await;
            turn.ok().and_then(Result::ok)
        };
        let turn: Turn = Arc::new(Mutex::new(first));
        let held = Arc::clone(&turn);
        let unwanted = Arc::new(AtomicBool::new(false));
        let _wanted = Wanted(Arc::clone(&unwanted));
        let threads = self.threads;
        let mut working = tokio::task::spawn_blocking(move || {
            // Held until the work is done, also when its client has gone.
            let _held = (place, held);
            let over = || unwanted.load(Ordering::Relaxed);
            let work = || work(Deadline::new(&over));
            match rayon::ThreadPoolBuilder::new().num_threads(threads).build() {
                Ok(pool) => pool.install(work),
                // No more threads to be had: those that all share do as well.
                Err(_) => work(),
            }
        });
        if bytes <= HEAVY_BYTES
            && let Ok(done) = timeout(QUICK_WORK, &mut working).await
        {
            return done.map_err(|_| broken());
        }
        // What is heavy after all makes room for the small ones as soon as the heavy lane has room.
        let heavier = async {
            if bytes <= HEAVY_BYTES {
                let permit = Arc::clone(&self.heavy).acquire_owned().await;
                *turn.lock().unwrap_or_else(PoisonError::into_inner) = permit.ok();
            }
            std::future::pending::<()>().await;
        };
        tokio::select! {
            done = timeout_at(end, &mut working) => match done {
                Ok(done) => done.map_err(|_| broken()),
                Err(_) => Err(too_long()),
            },
            () = heavier => Err(too_long()),
        }
    }
}

fn broken() -> Response {
    Reply::broken().into_response()
}

fn too_long() -> Response {
    later(Reply::too_long())
}

/// A refusal of a question that may be asked again.
fn later(refusal: Reply) -> Response {
    let mut busy = refusal.into_response();
    busy.headers_mut()
        .insert(header::RETRY_AFTER, header::HeaderValue::from_static("1"));
    busy
}

#[cfg(test)]
mod tests {
    use super::{Lanes, QUICK_WAIT, QUICK_WORK};
    use axum::http::StatusCode;
    use std::sync::Arc;
    use std::sync::atomic::{AtomicUsize, Ordering};
    use std::time::Duration;

    const LONG: Duration = Duration::from_secs(600);

    fn run<T>(test: impl Future<Output = T>) -> T {
        tokio::runtime::Builder::new_current_thread()
            .enable_time()
            .build()
            .unwrap()
            .block_on(test)
    }

    #[test]
    fn a_panic_is_answered_and_the_next_question_too() {
        let lanes = Lanes::new();
        run(async {
            // More often than there are turns: a turn that is lost would be missed.
            for _ in 0..100 {
                let given = lanes.work(0, LONG, |_| -> u8 { panic!("meant") }).await;
                assert_eq!(
                    given.unwrap_err().status(),
                    StatusCode::INTERNAL_SERVER_ERROR
                );
            }
            assert_eq!(lanes.work(0, LONG, |_| 7).await.ok(), Some(7));
        });
    }

    /// Work that ends only once it is stopped; it counts those that have ended.
    fn endless(
        ended: &Arc<AtomicUsize>,
    ) -> impl FnOnce(crate::numerics::Deadline<'_>) + Send + use<> {
        let ended = Arc::clone(ended);
        move |deadline| {
            while !deadline.is_over() {
                std::thread::sleep(Duration::from_millis(5));
            }
            ended.fetch_add(1, Ordering::SeqCst);
        }
    }

    #[test]
    fn a_question_ends_with_its_time_and_its_work_is_stopped() {
        let lanes = Lanes::new();
        let ended = Arc::new(AtomicUsize::new(0));
        run(async {
            for bytes in [0, 1_000_000] {
                let most = Duration::from_millis(100);
                let given = lanes.work(bytes, most + QUICK_WORK, endless(&ended)).await;
                assert_eq!(given.unwrap_err().status(), StatusCode::SERVICE_UNAVAILABLE);
            }
            while ended.load(Ordering::SeqCst) < 2 {
                tokio::time::sleep(Duration::from_millis(5)).await;
            }
        });
    }

    #[test]
    fn a_client_that_leaves_takes_its_question_along() {
        let lanes = Lanes::new();
        let ended = Arc::new(AtomicUsize::new(0));
        run(async {
            let left = lanes.work(0, LONG, endless(&ended));
            let _gone = tokio::time::timeout(Duration::from_millis(50), left).await;
            while ended.load(Ordering::SeqCst) < 1 {
                tokio::time::sleep(Duration::from_millis(5)).await;
            }
        });
    }

    // As many heavy questions as there are places but one, of both kinds: each of those before would be waited for without
    // end, so that an answer at all shows that none is.
    #[test]
    fn a_small_question_waits_for_no_heavy_one() {
        let lanes = Lanes::new();
        let ended = Arc::new(AtomicUsize::new(0));
        run(async {
            let heavy = (0..40).map(|number| {
                lanes.work(
                    if number % 2 == 0 { 0 } else { 1_000_000 },
                    LONG,
                    endless(&ended),
                )
            });
            let mut heavy: Vec<_> = heavy.map(Box::pin).collect();
            for one in &mut heavy {
                let _not_done = tokio::time::timeout(Duration::from_millis(1), one).await;
            }
            let small = tokio::time::timeout(20 * QUICK_WAIT, lanes.work(0, LONG, |_| 7));
            assert_eq!(small.await.unwrap().ok(), Some(7));
            drop(heavy);
        });
    }
}
