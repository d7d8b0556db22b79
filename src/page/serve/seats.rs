//! Seats for connections, and who gives one up when all are taken and somebody waits at the door.

use hyper::body::{Body, Frame, SizeHint};
use std::pin::Pin;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::task::{Context, Poll, ready};
use std::time::Duration;
use tokio::sync::{Notify, OwnedSemaphorePermit, Semaphore};
use tokio::time::{Instant, sleep_until};

/// All seats.
pub(super) struct Seats {
    free: Arc<Semaphore>,
    taken: Taken,
}

type Taken = Arc<Mutex<Vec<Arc<Seat>>>>;

/// One connection's seat.
pub(super) struct Seat {
    /// Since when its client is waited for; `None` while an answer to a whole question is at work.
    waits_since: Mutex<Option<Instant>>,
    leave: Notify,
}

/// A seat for as long as this is kept.
pub(super) struct Seated {
    pub(super) seat: Arc<Seat>,
    taken: Taken,
    _place: OwnedSemaphorePermit,
}

fn locked<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}

impl Seats {
    pub(super) fn new(count: usize) -> Self {
        Self {
            free: Arc::new(Semaphore::new(count)),
            taken: Taken::default(),
        }
    }

    /// A seat, once there is one: when all are taken, the client that has been waited for longest, and for `patience`
    /// at least, gives up its own.
    pub(super) async fn take(&self, patience: Duration) -> Option<Seated> {
        loop {
            let until = self.longest_wait().unwrap_or_else(Instant::now) + patience;
            tokio::select! {
                biased;
                seated = self.freed() => return seated,
                () = sleep_until(until) => {}
            }
            // Meanwhile the one waited for longest may have got on with its question.
            if self.let_go(patience) {
                return self.freed().await;
            }
        }
    }

    async fn freed(&self) -> Option<Seated> {
        let place = Arc::clone(&self.free).acquire_owned().await.ok()?;
        let seat = Arc::new(Seat {
            waits_since: Mutex::new(Some(Instant::now())),
            leave: Notify::new(),
        });
        locked(&self.taken).push(Arc::clone(&seat));
        Some(Seated {
            seat,
            taken: Arc::clone(&self.taken),
            _place: place,
        })
    }

    fn longest_wait(&self) -> Option<Instant> {
        let taken = locked(&self.taken);
        taken.iter().filter_map(|seat| seat.waits_since()).min()
    }

    /// Asks the one waited for longest to leave, if that is `patience` at least.
    fn let_go(&self, patience: Duration) -> bool {
        let longest = self
            .longest_wait()
            .filter(|since| since.elapsed() >= patience);
        let mut taken = locked(&self.taken);
        let found = longest.and_then(|longest| {
            taken
                .iter()
                .position(|seat| seat.waits_since() == Some(longest))
        });
        found
            .map(|at| taken.remove(at).leave.notify_one())
            .is_some()
    }
}

impl Seat {
    fn waits_since(&self) -> Option<Instant> {
        *locked(&self.waits_since)
    }

    /// Comes when this seat is wanted for another.
    pub(super) async fn wanted(&self) {
        self.leave.notified().await;
    }

    /// The client has asked its whole question.
    fn asked(&self) {
        *locked(&self.waits_since) = None;
    }

    /// The client has its answer: the next step is its own.
    pub(super) fn answered(&self) {
        *locked(&self.waits_since) = Some(Instant::now());
    }

    /// The client has taken some of its answer.
    pub(super) fn takes(&self) {
        if let Some(since) = &mut *locked(&self.waits_since) {
            *since = Instant::now();
        }
    }
}

impl Drop for Seated {
    fn drop(&mut self) {
        locked(&self.taken).retain(|seat| !Arc::ptr_eq(seat, &self.seat));
    }
}

/// The body of a question, which tells its seat when it is whole.
pub(super) struct Spanned<B> {
    body: B,
    seat: Arc<Seat>,
}

impl<B: Body> Spanned<B> {
    pub(super) fn new(body: B, seat: Arc<Seat>) -> Self {
        if body.is_end_stream() {
            seat.asked();
        }
        Self { body, seat }
    }
}

impl<B: Body + Unpin> Body for Spanned<B> {
    type Data = B::Data;
    type Error = B::Error;

    fn poll_frame(
        self: Pin<&mut Self>,
        context: &mut Context<'_>,
    ) -> Poll<Option<Result<Frame<B::Data>, B::Error>>> {
        let this = self.get_mut();
        let frame = ready!(Pin::new(&mut this.body).poll_frame(context));
        if frame.is_none() || this.body.is_end_stream() {
            this.seat.asked();
        }
        Poll::Ready(frame)
    }

    fn is_end_stream(&self) -> bool {
        self.body.is_end_stream()
    }

    fn size_hint(&self) -> SizeHint {
        self.body.size_hint()
    }
}

#[cfg(test)]
mod tests {
    use super::{Seated, Seats};
    use std::time::Duration;
    use tokio::time::timeout;

    const PATIENCE: Duration = Duration::from_millis(300);
    const LONG: Duration = Duration::from_secs(10);

    fn run(test: impl Future<Output = ()>) {
        tokio::runtime::Builder::new_current_thread()
            .enable_time()
            .build()
            .unwrap()
            .block_on(test);
    }

    async fn asked_to_leave(seated: &Seated) -> bool {
        timeout(PATIENCE / 6, seated.seat.wanted()).await.is_ok()
    }

    /// Takes a seat while those of `leaving` go as soon as they are asked to.
    async fn take_while(seats: &Seats, leaving: Seated) -> Seated {
        let leave = async {
            leaving.seat.wanted().await;
            drop(leaving);
        };
        let (taken, ()) = timeout(LONG, async { tokio::join!(seats.take(PATIENCE), leave) })
            .await
            .unwrap();
        taken.unwrap()
    }

    #[test]
    fn the_one_waited_for_longest_makes_room_and_one_at_work_does_not() {
        run(async {
            let seats = Seats::new(3);
            let working = seats.take(PATIENCE).await.unwrap();
            let silent = seats.take(PATIENCE).await.unwrap();
            let answered = seats.take(PATIENCE).await.unwrap();
            working.seat.asked();
            answered.seat.asked();
            tokio::time::sleep(PATIENCE).await;
            answered.seat.answered();
            let last = take_while(&seats, silent).await;
            assert!(!asked_to_leave(&working).await);
            assert!(!asked_to_leave(&answered).await);
            // Then the one that had its answer goes, not the one that came last.
            let next = take_while(&seats, answered).await;
            assert!(!asked_to_leave(&working).await);
            assert!(!asked_to_leave(&last).await);
            drop(next);
        });
    }

    #[test]
    fn one_that_takes_its_answer_is_not_waited_for_and_a_leaver_makes_room() {
        run(async {
            let seats = Seats::new(1);
            let taking = seats.take(PATIENCE).await.unwrap();
            let takes = async {
                for _ in 0..12 {
                    tokio::time::sleep(PATIENCE / 6).await;
                    taking.seat.takes();
                }
                assert!(!asked_to_leave(&taking).await);
                drop(taking);
            };
            let (taken, ()) = tokio::join!(seats.take(PATIENCE), takes);
            let working = taken.unwrap();
            // While the only one is at work, the next waits until it has gone.
            working.seat.asked();
            assert!(timeout(PATIENCE * 3, seats.take(PATIENCE)).await.is_err());
            drop(working);
            assert!(timeout(LONG, seats.take(PATIENCE)).await.unwrap().is_some());
        });
    }
}
