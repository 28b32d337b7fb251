//! The command line: arguments in, data to stdout, talk to stderr, an exit number out.
//!
//! One file per subcommand. Arguments only parse and range-check; each subcommand then resolves its
//! settings (files opened, names looked up) before it does anything.

pub mod check;
pub mod completions;
pub mod draw;
pub mod exit;
pub mod output;
pub mod pack;
pub mod progress;
pub mod schema;
pub mod show_source;
pub mod survey;

use std::ffi::OsString;
use std::fmt;

use clap::{Parser, Subcommand};

pub use exit::Exit;
pub use output::Output;

/// The `underfoot` command's arguments.
#[derive(Debug, Parser)]
#[command(
    name = "underfoot",
    version,
    about = "Marks an LED studio floor so that people see what only the camera sees",
    after_help = "SHOW is a show file, or a demo: clock-cabinet, harbour-hour, lantern-field\n\
                  (add -clean for the repaired variant).\n\
                  Exit: 0 fine, 1 stop or fix findings, 2 could not run.\n\
                  A staging aid, not a safety device.",
    disable_help_subcommand = true,
    max_term_width = 80
)]
pub struct Cli {
    #[command(subcommand)]
    command: Command,
}

#[derive(Debug, Subcommand)]
enum Command {
    Check(check::Args),
    Draw(draw::Args),
    Survey(survey::Args),
    Pack(pack::Args),
    Schema(schema::Args),
    Completions(completions::Args),
}

/// Why a subcommand could not run; printed on stderr, exit 2.
#[derive(Debug)]
pub struct Refusal(pub String);

impl fmt::Display for Refusal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

impl<E: std::error::Error> From<E> for Refusal {
    fn from(error: E) -> Self {
        Self(error.to_string())
    }
}

/// Runs the command with the arguments of a shell, the program's name first.
pub fn run<I, T>(arguments: I, output: &mut Output<'_>) -> Exit
where
    I: IntoIterator<Item = T>,
    T: Into<OsString> + Clone,
{
    let cli = match Cli::try_parse_from(arguments) {
        Ok(cli) => cli,
        Err(help_or_error) => return output.clap(&help_or_error),
    };
    let done = match cli.command {
        Command::Check(args) => check::run(args, output),
        Command::Draw(args) => draw::run(args, output),
        Command::Survey(args) => survey::run(args, output),
        Command::Pack(args) => pack::run(args, output),
        Command::Schema(args) => schema::run(&args, output),
        Command::Completions(args) => completions::run(&args, output),
    };
    done.unwrap_or_else(|refusal| {
        output.talk(&refusal.0);
        Exit::CouldNotRun
    })
}
