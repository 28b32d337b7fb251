//! `underfoot schema`.

use super::{Exit, Output, Refusal};
use crate::project;

/// Prints the JSON Schema of show files, for editors
#[derive(Debug, clap::Args)]
pub struct Args {}

pub(super) fn run(_: &Args, output: &mut Output<'_>) -> Result<Exit, Refusal> {
    output.data(&format!("{:#}\n", project::schema()))?;
    Ok(Exit::Fine)
}
