//! `underfoot check SHOW`.

use std::path::PathBuf;

use clap::ArgAction;

use super::draw::pictures;
use super::progress::Progress;
use super::{Exit, Output, Refusal, show_source};
use crate::checks;
use crate::findings::{Day, json, parse_day, text, today};

/// Finds what is wrong on the floor and in the pictures of a show
#[derive(Debug, clap::Args)]
pub struct Args {
    /// A show file, or the name of a demo
    show: String,
    /// Print every finding, with places and lines of the file
    #[arg(long, action = ArgAction::SetTrue)]
    all: bool,
    /// Print JSON with every measured figure
    #[arg(long, conflicts_with = "all")]
    json: bool,
    /// Also write briefing pictures of the floor here
    #[arg(long, value_name = "DIR")]
    draw: Option<PathBuf>,
    /// Day that waivers are held against [default: today]
    #[arg(long, value_name = "YYYY-MM-DD", value_parser = parse_day)]
    on: Option<Day>,
}

pub(super) fn run(args: Args, output: &mut Output<'_>) -> Result<Exit, Refusal> {
    let project = show_source::load(&args.show)?;
    let progress = Progress::new("checking", checks::ALL_STEPS);
    let report = checks::check_watched(&project, args.on.unwrap_or_else(today), &|steps| progress.reach(steps));
    drop(progress);
    if args.json {
        output.data(&format!("{:#}\n", json::value(&report)))?;
    } else {
        output.data(&text::write(&report, args.all))?;
    }
    if let Some(folder) = &args.draw {
        let written = pictures::briefing(&project, report.code.as_deref(), folder)?;
        output.talk(&format!("{} pictures in {}", written.len(), folder.display()));
    }
    Ok(if report.has_faults() { Exit::Faults } else { Exit::Fine })
}
