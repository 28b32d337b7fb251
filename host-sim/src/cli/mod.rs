//! The command line: arguments in, data to stdout, talk to stderr, an exit number out.
//!
//! One file per subcommand. Arguments only parse and range-check; each subcommand then resolves its
//! settings (files opened, names looked up) before it does anything.

pub mod box_at_desk;
pub mod check;
pub mod completions;
pub mod draw;
pub mod exit;
pub mod output;
pub mod pack;
pub mod place;
pub mod progress;
pub mod rehearse;
pub mod schema;
pub mod send;
pub mod show_source;
pub mod strike;
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
                  Exit: 0 fine, 1 faults, 2 could not run. A staging aid, not a safety device.",
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
    Place(place::Args),
    Pack(pack::Args),
    Send(send::Args),
    Box(box_at_desk::Args),
    Rehearse(rehearse::Args),
    Strike(strike::Args),
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
        Command::Place(args) => place::run(args, output),
        Command::Pack(args) => pack::run(args, output),
        Command::Send(args) => send::run(args, output),
        Command::Box(args) => box_at_desk::run(args, output),
        Command::Rehearse(args) => rehearse::run(args, output),
        Command::Strike(args) => strike::run(args, output),
        Command::Schema(args) => schema::run(&args, output),
        Command::Completions(args) => completions::run(&args, output),
    };
    done.unwrap_or_else(|refusal| {
        output.talk(&refusal.0);
        Exit::CouldNotRun
    })
}

#[cfg(test)]
mod tests {
    use clap::CommandFactory;

    use super::{Cli, Exit, Output, run};

    fn call(arguments: &[&str]) -> (Exit, String, String) {
        let (mut data, mut talk) = (Vec::new(), Vec::new());
        let all = std::iter::once("underfoot").chain(arguments.iter().copied());
        let exit = run(all, &mut Output::new(&mut data, &mut talk));
        (exit, String::from_utf8_lossy(&data).into_owned(), String::from_utf8_lossy(&talk).into_owned())
    }

    #[test]
    fn the_arguments_are_well_formed() {
        Cli::command().debug_assert();
    }

    /// A terminal of 24 lines and 80 columns (ECMA-48's usual screen; common practice).
    #[test]
    fn every_short_help_fits_a_screen() {
        let names: Vec<String> = Cli::command().get_subcommands().map(|c| c.get_name().to_owned()).collect();
        assert!(names.len() >= 7, "{names:?}");
        for arguments in std::iter::once(vec!["-h"]).chain(names.iter().map(|n| vec![n.as_str(), "-h"])) {
            let (exit, help, _) = call(&arguments);
            assert_eq!(exit, Exit::Fine, "{arguments:?}");
            assert!(help.lines().count() <= 24, "{arguments:?} takes {} lines", help.lines().count());
            for line in help.lines() {
                assert!(line.chars().count() <= 80, "{arguments:?}: {line}");
            }
        }
    }

    #[test]
    fn what_cannot_run_ends_with_2_and_talks_on_stderr() {
        let rows: &[(&[&str], &str)] = &[
            (&[], "Usage"),
            (&["chekc", "x"], "check"),
            (&["check"], "SHOW"),
            (&["check", "no-such-show"], "clock-cabinet"),
            (&["check", "no/such.toml"], "no/such.toml"),
            (&["check", "clock-cabinet", "--on", "2031-02-30"], "2031-02-30"),
            (&["draw", "clock-cabinet"], "--out"),
            (&["draw", "clock-cabinet", "--out", "x", "--cue", "99"], "there is no cue 99; the cues are 1, 2"),
            (&["draw", "clock-cabinet", "--out", "x", "--canvas", "WALL"], "there is no canvas"),
            (
                &["draw", "clock-cabinet", "--out", "x", "--shot", "9-TOP"],
                "there is no shot \"9-TOP\"; there are 1-WIDE",
            ),
            (&["draw", "clock-cabinet", "--out", "x", "--in-shot"], "--briefing"),
            (&["draw", "clock-cabinet", "--out", "x", "--scenic"], "--mode"),
            (&["draw", "clock-cabinet", "--out", "x", "--contact", "--block", "FLOOR"], "--block"),
            (&["draw", "clock-cabinet", "--out", "x", "--room"], "--cells"),
            (&["draw", "clock-cabinet", "--out", "x", "--cells", "--briefing"], "--briefing"),
            (&["place", "clock-cabinet", "far", "0"], "metres look like"),
            (&["place", "clock-cabinet", "0", "0", "--cue", "99"], "there is no cue 99; the cues are 1, 2"),
            (&["place", "clock-cabinet", "0", "0", "--to", "nowhere"], "nowhere"),
            (&["send", "clock-cabinet", "--to", "nowhere"], "nowhere"),
            (&["box", "clock-cabinet", "--script", "no.txt"], "no.txt"),
            (&["box", "nowhere", "--script", "no.txt"], "nowhere"),
            (&["strike", "--to", "nowhere"], "nowhere"),
            (&["survey", "no.csv"], "no.csv"),
        ];
        for (arguments, expected) in rows {
            let (exit, data, talk) = call(arguments);
            assert_eq!(exit, Exit::CouldNotRun, "{arguments:?}");
            assert!(talk.contains(expected), "{arguments:?} said: {talk}");
            assert!(data.is_empty(), "{arguments:?} printed: {data}");
        }
    }

    #[test]
    fn faults_end_with_1_and_none_with_0() {
        assert_eq!(call(&["check", "clock-cabinet"]).0, Exit::Faults);
        assert_eq!(call(&["check", "clock-cabinet-clean"]).0, Exit::Fine);
        assert_eq!(call(&["survey", "clock-cabinet"]).0, Exit::Fine);
        assert_eq!(call(&["pack", "clock-cabinet"]).0, Exit::Fine);
    }
}
