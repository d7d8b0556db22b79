//! `heartside serve`: the local page.

use super::files::{read_bytes, read_job_bytes};
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
pub struct Args {
    /// A job file to open the page with; files that it names are read once, now.
    job: Option<String>,
    /// The port of the page; 0 takes any that is free.
    #[arg(long, value_name = "PORT", default_value_t = 8417)]
    port: u16,
}

/// Answers the command: serves until Ctrl-C or the end signal.
///
/// # Errors
/// [`Failure`] when the job cannot be read, or the port is not free.
pub fn run(args: &Args, output: &mut Output<'_>) -> Result<ExitCode, Failure> {
    let given = args.job.as_deref().map(given).transpose()?;
    let place = format!("127.0.0.1:{}", args.port);
    let listener = TcpListener::bind((Ipv4Addr::LOCALHOST, args.port))
        .map_err(|error| cannot_listen(&place, &error))?;
    let port = listener
        .local_addr()
        .map_err(|error| cannot_listen(&place, &error))?
        .port();
    let address = format!("http://127.0.0.1:{port}/");
    output.answer(&json!({ "address": address }), &address)?;
    output
        .say("Open this address in a browser on this machine; no other machine can. Ctrl-C ends.");
    serve(listener, Page::new(port, given), asked_to_end())
        .map_err(|error| cannot_listen(&place, &error))?;
    Ok(ExitCode::SUCCESS)
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

/// A job file's text as it stands, right or wrong, with those of the files it names that are there.
fn given(path: &str) -> Result<Given, Failure> {
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
    let named = read.map(|job| job.files()).unwrap_or_default();
    // A file that is not there is given on the page, at the key that names it.
    let files = named
        .into_iter()
        .filter_map(|file| {
            let bytes = read_bytes(&base.join(&file.path).to_string_lossy()).ok()?;
            Some((file.path, bytes))
        })
        .collect();
    Ok(Given { name, text, files })
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
