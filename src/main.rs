//! The `heartside` command.

fn main() {}
