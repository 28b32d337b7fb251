//! `underfoot completions SHELL`.

use clap::CommandFactory;
use clap_complete::Shell;

use super::{Cli, Exit, Output, Refusal};

/// Prints a shell's completion script
#[derive(Debug, clap::Args)]
pub struct Args {
    /// bash, elvish, fish, powershell or zsh
    #[arg(hide_possible_values = true)]
    shell: Shell,
}

pub(super) fn run(args: &Args, output: &mut Output<'_>) -> Result<Exit, Refusal> {
    let mut script = Vec::new();
    clap_complete::generate(args.shell, &mut Cli::command(), "underfoot", &mut script);
    output.data(&String::from_utf8_lossy(&script))?;
    Ok(Exit::Fine)
}
