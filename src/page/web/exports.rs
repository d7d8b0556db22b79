//! What the wasm module exports: a worker of the browser writes a question into memory, and reads the reply there.
//!
//! An export under its own name counts as unsafe since edition 2024. No other unsafe code is here, and none is allowed elsewhere.
#![expect(unsafe_code, reason = "the names of the exports")]
#![expect(unreachable_pub, reason = "what is exported is reached from outside")]

use crate::page::program::{Program, Reply};
use jiff::civil::Date;
use std::sync::{LazyLock, Mutex, MutexGuard, PoisonError};

static PROGRAM: LazyLock<Program> = LazyLock::new(|| Program::new(None));

/// A question on its way in, then the reply on its way out.
static BYTES: Mutex<Vec<u8>> = Mutex::new(Vec::new());

fn bytes() -> MutexGuard<'static, Vec<u8>> {
    BYTES.lock().unwrap_or_else(PoisonError::into_inner)
}

/// Makes room for a question of so many bytes, and says where.
#[unsafe(no_mangle)]
pub extern "C" fn room(length: usize) -> *mut u8 {
    let mut bytes = bytes();
    *bytes = vec![0; length];
    bytes.as_mut_ptr()
}

/// Answers the question that was written there, a body of so many bytes and then the path, and says where the reply is: a line with status
/// and kind, then the content. The date is the day it is.
#[unsafe(no_mangle)]
pub extern "C" fn ask(body_length: usize, year: i16, month: i8, day: i8) -> *const u8 {
    let mut question = std::mem::take(&mut *bytes());
    let path = question.split_off(body_length.min(question.len()));
    let path = String::from_utf8_lossy(&path);
    let (path, query) = path.split_once('?').unwrap_or((&path, ""));
    let today = Date::new(year, month, day).unwrap_or(Date::ZERO);
    let reply = PROGRAM.reply(path, query, question, today);
    let mut bytes = bytes();
    *bytes = framed(&reply);
    bytes.as_ptr()
}

/// How many bytes the reply has.
#[unsafe(no_mangle)]
pub extern "C" fn length() -> usize {
    bytes().len()
}

fn framed(reply: &Reply) -> Vec<u8> {
    let mut framed = format!("{} {}\n", reply.status, reply.kind).into_bytes();
    framed.extend_from_slice(&reply.body);
    framed
}
