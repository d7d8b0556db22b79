//! A connection that does not wait for ever to be rid of an answer.

use super::seats::Seat;
use std::io::{self, IoSlice};
use std::pin::Pin;
use std::sync::Arc;
use std::task::{Context, Poll};
use std::time::Duration;
use tokio::io::{AsyncRead, AsyncWrite, ReadBuf};
use tokio::time::{Instant, Sleep, sleep};

/// A stream whose writing fails when the other end has taken nothing for so long.
pub(super) struct Patient<S> {
    stream: S,
    patience: Duration,
    late: Pin<Box<Sleep>>,
    waits: bool,
    seat: Arc<Seat>,
}

impl<S> Patient<S> {
    pub(super) fn new(stream: S, patience: Duration, seat: Arc<Seat>) -> Self {
        Self {
            stream,
            patience,
            late: Box::pin(sleep(patience)),
            waits: false,
            seat,
        }
    }

    /// What writing bytes gave; a client that takes some keeps its seat the longer.
    fn wrote(
        &mut self,
        context: &mut Context<'_>,
        wrote: Poll<io::Result<usize>>,
    ) -> Poll<io::Result<usize>> {
        if wrote.is_ready() {
            self.seat.takes();
        }
        self.judged(context, wrote)
    }

    /// What writing gave, or that it was waited for too long.
    fn judged<T>(
        &mut self,
        context: &mut Context<'_>,
        wrote: Poll<io::Result<T>>,
    ) -> Poll<io::Result<T>> {
        if wrote.is_ready() {
            self.waits = false;
            return wrote;
        }
        if !self.waits {
            self.waits = true;
            self.late.as_mut().reset(Instant::now() + self.patience);
        }
        self.late
            .as_mut()
            .poll(context)
            .map(|()| Err(io::ErrorKind::TimedOut.into()))
    }
}

impl<S: AsyncRead + Unpin> AsyncRead for Patient<S> {
    fn poll_read(
        self: Pin<&mut Self>,
        context: &mut Context<'_>,
        into: &mut ReadBuf<'_>,
    ) -> Poll<io::Result<()>> {
        Pin::new(&mut self.get_mut().stream).poll_read(context, into)
    }
}

impl<S: AsyncWrite + Unpin> AsyncWrite for Patient<S> {
    fn poll_write(
        self: Pin<&mut Self>,
        context: &mut Context<'_>,
        bytes: &[u8],
    ) -> Poll<io::Result<usize>> {
        let this = self.get_mut();
        let wrote = Pin::new(&mut this.stream).poll_write(context, bytes);
        this.wrote(context, wrote)
    }

    fn poll_write_vectored(
        self: Pin<&mut Self>,
        context: &mut Context<'_>,
        bytes: &[IoSlice<'_>],
    ) -> Poll<io::Result<usize>> {
        let this = self.get_mut();
        let wrote = Pin::new(&mut this.stream).poll_write_vectored(context, bytes);
        this.wrote(context, wrote)
    }

    fn is_write_vectored(&self) -> bool {
        self.stream.is_write_vectored()
    }

    fn poll_flush(self: Pin<&mut Self>, context: &mut Context<'_>) -> Poll<io::Result<()>> {
        let this = self.get_mut();
        let flushed = Pin::new(&mut this.stream).poll_flush(context);
        this.judged(context, flushed)
    }

    fn poll_shutdown(self: Pin<&mut Self>, context: &mut Context<'_>) -> Poll<io::Result<()>> {
        Pin::new(&mut self.get_mut().stream).poll_shutdown(context)
    }
}
