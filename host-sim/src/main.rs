//! The `underfoot` command.
fn main() {}
