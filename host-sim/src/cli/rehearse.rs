//! `underfoot rehearse [SHOW]`.

use std::net::IpAddr;
use std::path::Path;
use std::sync::Arc;

use super::{Exit, Output, Refusal, show_source};
use crate::rehearse::draft::Draft;
use crate::rehearse::{House, Listening, Settings, serve};

/// The port of the page: next to the box's own.
const PORT: u16 = 62_220;

/// Opens a page on this machine where everybody tries the show
#[derive(Debug, clap::Args)]
pub struct Args {
    /// A show file, or the name of a demo
    #[arg(default_value = "clock-cabinet")]
    show: String,
    /// Serve the page at this port; 0 for any
    #[arg(long, default_value_t = PORT)]
    port: u16,
    /// Let others in at this address, with keys
    #[arg(long, value_name = "ADDRESS")]
    share: Option<IpAddr>,
    /// Look at this box, too, as `send --to`
    #[arg(long, value_name = "BOX")]
    attach: Option<String>,
}

pub(super) fn run(args: Args, output: &mut Output<'_>) -> Result<Exit, Refusal> {
    let project = show_source::load_for_floor(&args.show, output)?;
    let file = Path::new(&args.show).is_file().then(|| Path::new(&args.show).to_path_buf());
    let settings = Settings { port: args.port, share: args.share };
    let open = |door| {
        let house = Arc::new(House::new(door, Draft::new(project, file))?);
        house.start()?;
        args.attach.iter().try_for_each(|to| house.attach(to, false))?;
        Ok(house)
    };
    let mut told = Ok(());
    let ready = |listening: &Listening| told = say(listening, output);
    serve(&settings, open, ready, std::future::pending()).map_err(Refusal)?;
    told.map(|()| Exit::Fine)
}

fn say(listening: &Listening, output: &mut Output<'_>) -> Result<(), Refusal> {
    output.data(&format!("{}\n", listening.here))?;
    if let Some((drive, view)) = &listening.others {
        output.data(&format!("{drive}\n{view}\n"))?;
        output.talk("the second address lets others drive, the third lets them look: give the third away");
    }
    output.talk("open the address in a browser; Ctrl-C ends the page");
    Ok(())
}
