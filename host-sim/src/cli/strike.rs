//! `underfoot strike --to TARGET`.

use std::fs::File;
use std::io::Write;
use std::path::PathBuf;

use super::{Exit, Output, Refusal};
use crate::link;

/// Saves the box's log, then wipes show, names and places from it
#[derive(Debug, clap::Args)]
pub struct Args {
    /// The box: tcp:HOST:PORT, or a serial device
    #[arg(long, value_name = "TARGET")]
    to: String,
    /// Write the log here, before the wipe [default: print it]
    #[arg(long, value_name = "FILE")]
    log: Option<PathBuf>,
}

pub(super) fn run(args: Args, output: &mut Output<'_>) -> Result<Exit, Refusal> {
    let struck = link::strike(&args.to, |log| {
        let text = link::log_text(log);
        match &args.log {
            None => output.data(&text),
            Some(path) => {
                let refused = |e| Refusal(format!("cannot write {}: {e}. The box is not wiped", path.display()));
                // On the disk, not only on its way there: after this the box has nothing left to tell.
                let mut file = File::create_new(path).map_err(refused)?;
                file.write_all(text.as_bytes()).and_then(|()| file.sync_all()).map_err(refused)
            }
        }
    })?;
    let (entries, code) =
        (struck.entries.len(), struck.code.map_or("no show".to_owned(), |code| format!("show {code}")));
    output.talk(&format!("the box at {} had {code} and {entries} entries; it is wiped and empty", args.to));
    Ok(Exit::Fine)
}
