//! `underfoot pack SHOW`.

use std::fmt::Write;
use std::path::PathBuf;

use underfoot_core::limits;
use underfoot_core::pack::{self, ShowCode};
use underfoot_core::show::Show;

use super::{Exit, Output, Refusal, show_source};

/// Makes the bytes that the box takes, and reports their size
#[derive(Debug, clap::Args)]
pub struct Args {
    /// A show file, or the name of a demo
    show: String,
    /// Write the pack here [default: report only]
    #[arg(long, value_name = "FILE")]
    out: Option<PathBuf>,
    /// Print JSON
    #[arg(long)]
    json: bool,
}

/// The pack of a show and its code.
///
/// # Errors
/// [`Refusal`] with both numbers when the show is larger than any box.
pub fn pack_of(show: &Show) -> Result<(Vec<u8>, ShowCode), Refusal> {
    let mut bytes = vec![0; limits::PACK_BYTES];
    let length = pack::encode(show, &mut bytes).map_err(|error| match error {
        pack::PackError::TooLong { expected, got } => {
            Refusal(format!("the pack takes {got} bytes and the box holds {expected}: take out what no cue uses"))
        }
        other => Refusal(format!("the show cannot be packed: {other:?}")),
    })?;
    bytes.truncate(length);
    let code = ShowCode::of_pack(&bytes).map_err(|e| Refusal(format!("the pack just made cannot be read: {e:?}")))?;
    Ok((bytes, code))
}

pub(super) fn run(args: Args, output: &mut Output<'_>) -> Result<Exit, Refusal> {
    let project = show_source::load_for_floor(&args.show, output)?;
    let (bytes, code) = pack_of(&project.show)?;
    if let Some(path) = &args.out {
        std::fs::write(path, &bytes).map_err(|e| Refusal(format!("cannot write {}: {e}", path.display())))?;
        output.talk(&format!("wrote {}", path.display()));
    }
    let report = if args.json { json(&project.show, &bytes, code) } else { text(&project.show, &bytes, code) };
    output.data(&report)?;
    Ok(Exit::Fine)
}

fn text(show: &Show, bytes: &[u8], code: ShowCode) -> String {
    let (used, room) = (bytes.len(), limits::PACK_BYTES);
    let mut out = format!("{} · show code {code} · {used} of {room} bytes, fits the box\n", show.title);
    for list in pack::usage(show).iter().filter(|list| list.used > 0) {
        let percent = 100 * list.used / list.capacity.max(1);
        let _ = writeln!(out, "{:<16} {:>4} of {:>4}  {percent:>3} %", list.field, list.used, list.capacity);
    }
    out
}

fn json(show: &Show, bytes: &[u8], code: ShowCode) -> String {
    let lists = pack::usage(show);
    let lists = lists.iter().map(|l| serde_json::json!({ "list": l.field, "used": l.used, "capacity": l.capacity }));
    let value = serde_json::json!({
        "title": show.title.as_str(),
        "show_code": code.as_str(),
        "bytes": bytes.len(),
        "capacity_bytes": limits::PACK_BYTES,
        "lists": lists.collect::<Vec<_>>(),
    });
    format!("{value:#}\n")
}
