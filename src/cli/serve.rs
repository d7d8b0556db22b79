//! `heartside serve`: the local page.

use super::files::read_job_bytes;
use super::job_files::named;
use super::{Failure, Output};
use crate::job;
use crate::page::{Given, Page, serve};
use serde_json::json;
use std::io;
use std::net::{Ipv4Addr, TcpListener};
use std::path::Path;
use std::process::ExitCode;

/// Serves the local page: the same answers in a browser on this machine.
#[derive(Debug, clap::Args)]
pub(super) struct Args {
    /// A job file to open the page with; files that it names are read once, now. The address then ends in letters that
    /// only you are given.
    job: Option<String>,
    /// The port of the page; 0 takes any that is free.
    #[arg(long, value_name = "PORT", default_value_t = 8417)]
    port: u16,
}

/// Answers the command: serves until Ctrl-C or the end signal.
///
/// # Errors
/// [`Failure`] when the job cannot be read, or the port is not free.
pub(super) fn run(args: &Args, output: &mut Output<'_>) -> Result<ExitCode, Failure> {
    let (given, refused) = match args.job.as_deref().map(given).transpose()? {
        Some((given, refused)) => (Some(given), refused),
        None => (None, None),
    };
    let place = format!("127.0.0.1:{}", args.port);
    let listener = TcpListener::bind((Ipv4Addr::LOCALHOST, args.port))
        .map_err(|error| cannot_listen(&place, &error))?;
    let port = listener
        .local_addr()
        .map_err(|error| cannot_listen(&place, &error))?
        .port();
    let mut page = Page::new(port, given);
    let mut address = format!("http://127.0.0.1:{port}/");
    if args.job.is_some() {
        let token = token()?;
        address.push_str(&format!("{token}/"));
        page = page.with_token(token);
    }
    output.answer(&json!({ "address": address }), &address)?;
    output
        .say("Open this address in a browser on this machine; no other machine can. Ctrl-C ends.");
    if let Some(words) = refused {
        output.say(&words);
    }
    serve(listener, page, asked_to_end()).map_err(|error| cannot_listen(&place, &error))?;
    Ok(ExitCode::SUCCESS)
}

/// Letters that nobody can guess, for the address of a page that opens with a job.
fn token() -> Result<String, Failure> {
    let mut bytes = [0_u8; 16];
    getrandom::fill(&mut bytes).map_err(|error| Failure::File {
        act: "read",
        path: "the system's random numbers".to_owned(),
        reason: error.to_string(),
        broken_pipe: false,
    })?;
    Ok(bytes.iter().map(|byte| format!("{byte:02x}")).collect())
}

fn cannot_listen(place: &str, error: &io::Error) -> Failure {
    let reason = if error.kind() == io::ErrorKind::AddrInUse {
        "the port is in use; end what uses it, or choose another with --port, or --port 0 for any that is free"
            .to_owned()
    } else {
        format!("{error}; choose another port with --port, or --port 0 for any that is free")
    };
    Failure::File {
        act: "serve on",
        path: place.to_owned(),
        reason,
        broken_pipe: false,
    }
}

/// A job file's text as it stands, right or wrong, with those of the files it names that can be taken; the words say
/// what is wrong with the others, and the page asks for them at the keys that name them.
fn given(path: &str) -> Result<(Given, Option<String>), Failure> {
    let bytes = read_job_bytes(path)?;
    let read = job::read_bytes(&bytes, path);
    let text = String::from_utf8(bytes).map_err(|_| {
        Failure::input(format!(
            "error: `{path}` is not UTF-8 text; save it as UTF-8"
        ))
    })?;
    let name = Path::new(path).file_name().map_or_else(
        || "job.toml".to_owned(),
        |name| name.to_string_lossy().into_owned(),
    );
    let base = Path::new(path).parent().unwrap_or(Path::new(""));
    let Ok(job) = read else {
        let files = Vec::new();
        return Ok((Given { name, text, files }, None));
    };
    let named = named(&job, base);
    let words = (!named.problems.is_empty()).then(|| job.error(named.problems).to_string());
    let files = named.files.into_iter().collect();
    Ok((Given { name, text, files }, words))
}

/// Comes when the process is asked to end: Ctrl-C, or the end signal of the system.
async fn asked_to_end() {
    #[cfg(unix)]
    {
        use tokio::signal::unix::{SignalKind, signal};
        if let Ok(mut end) = signal(SignalKind::terminate()) {
            tokio::select! {
                _ = tokio::signal::ctrl_c() => {}
                _ = end.recv() => {}
            }
            return;
        }
    }
    let _ended_either_way = tokio::signal::ctrl_c().await;
}
