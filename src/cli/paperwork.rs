//! `heartside schema`, `completions` and `man`: what editors, shells and readers of manuals need.

use super::{Cli, Failure, Output};
use clap::CommandFactory;
use std::path::PathBuf;
use std::process::ExitCode;

/// Prints the JSON Schema of the job file, with what each key means.
#[derive(Debug, clap::Args)]
pub(super) struct SchemaArgs {}

/// Prints a completion script for a shell.
#[derive(Debug, clap::Args)]
pub(super) struct CompletionsArgs {
    /// The shell.
    #[arg(value_enum)]
    shell: clap_complete::Shell,
}

/// Prints the manual page, or writes one page a command into a folder.
#[derive(Debug, clap::Args)]
pub(super) struct ManArgs {
    /// A command, for its own page.
    command: Option<String>,
    /// A folder for the pages of all commands.
    #[arg(long, value_name = "DIR", conflicts_with = "command")]
    out: Option<PathBuf>,
}

/// Answers `schema`.
///
/// # Errors
/// [`Failure`] when standard output cannot take it.
pub(super) fn schema(_args: SchemaArgs, output: &mut Output<'_>) -> Result<ExitCode, Failure> {
    output.text(&format!("{:#}", crate::job::schema()))?;
    Ok(ExitCode::SUCCESS)
}

/// Answers `completions`.
///
/// # Errors
/// [`Failure`] when standard output cannot take it.
pub(super) fn completions(
    args: CompletionsArgs,
    output: &mut Output<'_>,
) -> Result<ExitCode, Failure> {
    let mut script = Vec::new();
    clap_complete::generate(args.shell, &mut Cli::command(), "heartside", &mut script);
    output.text(&String::from_utf8_lossy(&script))?;
    Ok(ExitCode::SUCCESS)
}

/// Answers `man`.
///
/// # Errors
/// [`Failure`] for an unknown command, or when nothing can be written.
pub(super) fn man(args: ManArgs, output: &mut Output<'_>) -> Result<ExitCode, Failure> {
    let mut root = Cli::command();
    root.build();
    let render = |command: &clap::Command| -> Result<Vec<u8>, Failure> {
        let mut page = Vec::new();
        clap_mangen::Man::new(command.clone())
            .render(&mut page)
            .map_err(|error| Failure::writing("the manual page", &error))?;
        Ok(page)
    };
    if let Some(folder) = args.out {
        let mut files = vec![("heartside.1".to_owned(), render(&root)?)];
        for command in root.get_subcommands() {
            files.push((
                format!("heartside-{}.1", command.get_name()),
                render(command)?,
            ));
        }
        super::output::Folder::open(&folder)?.write(&files)?;
        output.say(&format!(
            "Wrote {} pages into {}",
            files.len(),
            folder.display()
        ));
        return Ok(ExitCode::SUCCESS);
    }
    let page = match &args.command {
        None => render(&root)?,
        Some(name) => {
            let names = || root.get_subcommands().map(clap::Command::get_name);
            let command = root.find_subcommand(name).ok_or_else(|| {
                Failure::input(format!(
                    "error: there is no command `{name}`; the commands are {}",
                    names().collect::<Vec<_>>().join(", ")
                ))
            })?;
            render(command)?
        }
    };
    output.text(&String::from_utf8_lossy(&page))?;
    Ok(ExitCode::SUCCESS)
}
