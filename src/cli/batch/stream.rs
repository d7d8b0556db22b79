//! Blocks of whole lines, dealt to threads and put together again in their order: constant memory, and nothing
//! is held back while the input pauses.

use super::row::{Rows, Unanswered};
use std::io::{self, Read, Write};
use std::sync::mpsc::{Receiver, SyncSender, TryRecvError, sync_channel};
use std::thread;

/// Bytes asked of the input at once.
const BLOCK: usize = 1 << 17;
/// Longest line.
pub(super) const LONGEST_LINE: usize = 1 << 20;
/// Blocks that wait for a thread, and answers that wait to be written.
const WAITING: usize = 2;

/// Whole lines of the input.
struct Block {
    bytes: Vec<u8>,
    first_line: u64,
}

/// What a thread made of a block.
struct Answered {
    bytes: Vec<u8>,
    unanswered: Vec<Unanswered>,
    rows: u64,
}

/// Why a stream ended early.
#[derive(Debug)]
pub(super) enum Broken {
    /// The input could not be read.
    Reading(io::Error),
    /// The output could not be written.
    Writing(io::Error),
    /// A line is longer than any row of a table.
    LongLine(u64),
    /// A row was at fault and the work was to stop there.
    Stopped(Unanswered),
    /// A thread was lost.
    Thread,
}

/// How many rows went through.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub(super) struct Passed {
    /// All rows.
    pub rows: u64,
    /// Those without an answer.
    pub unanswered: u64,
}

/// Input whose first lines may have been taken off already.
pub(super) struct Lines<R> {
    input: R,
    /// Read, not yet handed on.
    ahead: Vec<u8>,
    line: u64,
    ended: bool,
}

impl<R: Read> Lines<R> {
    /// Of an input.
    pub(super) const fn new(input: R) -> Self {
        Self {
            input,
            ahead: Vec::new(),
            line: 1,
            ended: false,
        }
    }

    /// Reads once more; gives how many bytes came.
    fn more(&mut self) -> Result<usize, Broken> {
        let held = self.ahead.len();
        if held > LONGEST_LINE {
            return Err(Broken::LongLine(self.line));
        }
        self.ahead.resize(held + BLOCK, 0);
        let read = loop {
            match self.input.read(&mut self.ahead[held..]) {
                Err(error) if error.kind() == io::ErrorKind::Interrupted => {}
                read => break read,
            }
        };
        let count = *read.as_ref().unwrap_or(&0);
        self.ahead.truncate(held + count);
        self.ended = count == 0;
        read.map_err(Broken::Reading)
    }

    /// The next single line with its line end; `None` at the end of the input.
    ///
    /// # Errors
    /// [`Broken`] when it cannot be read or is too long.
    pub(super) fn line(&mut self) -> Result<Option<Vec<u8>>, Broken> {
        let mut seen = 0;
        loop {
            let end = self.ahead[seen..].iter().position(|byte| *byte == b'\n');
            if let Some(at) = end {
                let rest = self.ahead.split_off(seen + at + 1);
                self.line += 1;
                return Ok(Some(std::mem::replace(&mut self.ahead, rest)));
            }
            seen = self.ahead.len();
            if self.more()? == 0 {
                let last = std::mem::take(&mut self.ahead);
                return Ok((!last.is_empty()).then_some(last));
            }
        }
    }

    /// The next block of whole lines, as soon as there is one.
    fn block(&mut self) -> Result<Option<Block>, Broken> {
        let mut seen = 0;
        loop {
            if let Some(at) = self.ahead[seen..].iter().rposition(|byte| *byte == b'\n') {
                let rest = self.ahead.split_off(seen + at + 1);
                return Ok(Some(self.take(rest)));
            }
            seen = self.ahead.len();
            if self.ended || self.more()? == 0 {
                return Ok((!self.ahead.is_empty()).then(|| self.take(Vec::new())));
            }
        }
    }

    fn take(&mut self, rest: Vec<u8>) -> Block {
        let bytes = std::mem::replace(&mut self.ahead, rest);
        let first_line = self.line;
        self.line += bytes.iter().filter(|byte| **byte == b'\n').count() as u64;
        Block { bytes, first_line }
    }
}

fn read_all<R: Read>(mut lines: Lines<R>, dealt: &[SyncSender<Block>]) -> Result<u64, Broken> {
    let mut blocks = 0_u64;
    let mut next = dealt.iter().cycle();
    while let (Some(block), Some(thread)) = (lines.block()?, next.next()) {
        // A thread that takes no more has been stopped: there is nobody to read for.
        if thread.send(block).is_err() {
            break;
        }
        blocks += 1;
    }
    Ok(blocks)
}

fn answer_all(mut rows: Rows, blocks: &Receiver<Block>, answered: &SyncSender<Answered>) {
    while let Ok(block) = blocks.recv() {
        let mut bytes = Vec::with_capacity(block.bytes.len() * 2);
        let mut unanswered = Vec::new();
        let rows = rows.block(&block.bytes, block.first_line, &mut bytes, &mut unanswered);
        let done = Answered {
            bytes,
            unanswered,
            rows,
        };
        if answered.send(done).is_err() {
            break;
        }
    }
}

/// Sends the lines through one thread for each of `rows`, and writes the answers in the order of the lines. `tell`
/// hears of every row without an answer, in the same order.
///
/// Blocks go round the threads in turn, and their answers are fetched in the same turn. What has been answered is
/// flushed whenever the next answer is not ready, so that a row written to a pipe comes back without the next.
/// The threads outlive an early end: they stop at the next block, and are not waited for, since the
/// input may never send one.
///
/// # Errors
/// [`Broken`] when the input or output fails, or at the first malformed row when `stop_on_error`.
pub(super) fn stream<R: Read + Send + 'static, W: Write + ?Sized>(
    lines: Lines<R>,
    out: &mut W,
    rows: Vec<Rows>,
    stop_on_error: bool,
    mut tell: impl FnMut(&Unanswered),
) -> Result<Passed, Broken> {
    let mut dealt = Vec::new();
    let mut fetched = Vec::new();
    for rows in rows {
        let (deal, blocks) = sync_channel::<Block>(WAITING);
        let (answered, fetch) = sync_channel::<Answered>(WAITING);
        thread::spawn(move || answer_all(rows, &blocks, &answered));
        dealt.push(deal);
        fetched.push(fetch);
    }
    let reader = thread::spawn(move || read_all(lines, &dealt));
    let mut passed = Passed::default();
    let mut blocks = 0_u64;
    for fetch in fetched.iter().cycle() {
        let answered = match fetch.try_recv() {
            Ok(answered) => answered,
            Err(TryRecvError::Disconnected) => break,
            Err(TryRecvError::Empty) => {
                out.flush().map_err(Broken::Writing)?;
                match fetch.recv() {
                    Ok(answered) => answered,
                    Err(_) => break,
                }
            }
        };
        blocks += 1;
        out.write_all(&answered.bytes).map_err(Broken::Writing)?;
        passed.rows += answered.rows;
        passed.unanswered += answered.unanswered.len() as u64;
        for row in answered.unanswered {
            if stop_on_error && row.malformed {
                out.flush().map_err(Broken::Writing)?;
                return Err(Broken::Stopped(row));
            }
            tell(&row);
        }
    }
    out.flush().map_err(Broken::Writing)?;
    match reader.join() {
        Ok(Ok(read)) if read == blocks => Ok(passed),
        Ok(Err(broken)) => Err(broken),
        Ok(Ok(_)) | Err(_) => Err(Broken::Thread),
    }
}
