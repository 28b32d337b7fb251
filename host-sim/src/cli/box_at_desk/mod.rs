//! `underfoot box [SHOW]`: the box's own program with its ports at the desk.

mod keyboard;
mod life;
mod loading;
mod says;
mod screen;
mod script;

use std::io::Read;
use std::path::PathBuf;

use underfoot_core::ports::net::LINK_PORT;

use super::pack::pack_of;
use super::{Exit, Output, Refusal, show_source};
use crate::sim::{KeptFlash, Leds, PACK_FLASH, Watched};

/// Runs the box in this terminal: its program, its display, its keys
#[derive(Debug, clap::Args)]
#[command(after_help = "A script has one step a line: go, back, hold, off, clear (a tap), `hold KEY MS`,\n\
                        `down KEY`, `up KEY`, `wait MS`, `stop on|off`, `on-air lit|dark|none`,\n\
                        `show`, `picture`, `floor FILE`, `power`, `quit`. Its time is simulated.")]
pub struct Args {
    /// A show file or a demo to load first [default: what --flash holds]
    show: Option<String>,
    /// Keep the box's memory in this file, from run to run
    #[arg(long, value_name = "FILE")]
    flash: Option<PathBuf>,
    /// Take desks on this port of this machine
    #[arg(long, default_value_t = LINK_PORT)]
    port: u16,
    /// Write the floor here whenever it changes
    #[arg(long, value_name = "PNG")]
    floor: Option<PathBuf>,
    /// Follow the steps in this file (- for stdin)
    #[arg(long, value_name = "FILE")]
    script: Option<String>,
}

/// What stands round the box from one power-up to the next.
struct Stage {
    panel: Watched,
    leds: Leds,
    /// A pack to load before anything else.
    pack: Option<Vec<u8>>,
    floor: Option<PathBuf>,
}

pub(super) fn run(args: Args, output: &mut Output<'_>) -> Result<Exit, Refusal> {
    let pack = match &args.show {
        Some(show) => Some(pack_of(&show_source::load_for_floor(show, output)?.show)?.0),
        None => None,
    };
    let flash = match &args.flash {
        Some(path) => KeptFlash::in_file(PACK_FLASH, path)
            .map_err(|e| Refusal(format!("cannot use {} as the box's memory: {e}", path.display())))?,
        None => KeptFlash::forgetful(PACK_FLASH),
    };
    let stage = Stage { panel: Watched::default(), leds: Leds::default(), pack, floor: args.floor };
    match args.script {
        Some(file) => script::run(&read(&file)?, flash, stage, output)?,
        None => keyboard::run(args.port, flash, stage, output)?,
    }
    Ok(Exit::Fine)
}

fn read(file: &str) -> Result<String, Refusal> {
    let mut text = String::new();
    let done = if file == "-" {
        std::io::stdin().read_to_string(&mut text).map(|_| ())
    } else {
        std::fs::read_to_string(file).map(|read| text = read)
    };
    done.map_err(|e| Refusal(format!("cannot read the script {file}: {e}")))?;
    Ok(text)
}
