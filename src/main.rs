//! The `heartside` command.

fn main() -> std::process::ExitCode {
    heartside::cli::main()
}
