//! `underfoot send SHOW --to TARGET`.

use std::path::Path;

use underfoot_core::pack::envelope::MAGIC;

use super::pack::pack_of;
use super::progress::Progress;
use super::{Exit, Output, Refusal, show_source};
use crate::link;

/// Sends a show to the box, which stores it whole or not at all
#[derive(Debug, clap::Args)]
pub struct Args {
    /// A show file, a demo, or a pack written by `pack`
    show: String,
    /// The box: udp:ADDRESS, tcp:HOST:PORT, or a serial device
    #[arg(long, value_name = "TARGET")]
    to: String,
}

pub(super) fn run(args: Args, output: &mut Output<'_>) -> Result<Exit, Refusal> {
    let bytes = bytes_of(&args.show, output)?;
    let progress = Progress::new("sending", bytes.len());
    let sent = link::send(&bytes, &args.to, &mut |done, _| progress.reach(done))?;
    drop(progress);
    output.data(&format!("show code {} · {} bytes stored by {}\n", sent.code, sent.bytes, args.to))?;
    if sent.had > 0 {
        output.talk(&format!("went on after {} bytes that the box had already", sent.had));
    }
    let breaks = if sent.breaks > 0 { format!(", the line broke {} times", sent.breaks) } else { String::new() };
    output.talk(&format!("link version {}, {} requests repeated{breaks}", sent.version, sent.repeats));
    Ok(Exit::Fine)
}

/// The pack in a file that is one already, else the pack of a show.
fn bytes_of(show: &str, output: &mut Output<'_>) -> Result<Vec<u8>, Refusal> {
    let path = Path::new(show);
    if path.is_file() {
        let bytes = std::fs::read(path).map_err(|e| Refusal(format!("cannot read {show}: {e}")))?;
        if bytes.starts_with(&MAGIC) {
            return Ok(bytes);
        }
    }
    Ok(pack_of(&show_source::load_for_floor(show, output)?.show)?.0)
}
