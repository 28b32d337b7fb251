//! `underfoot draw SHOW --out DIR`.

mod air;
mod bounds;
pub mod contact;
mod crew;
mod in_shot;
pub mod pictures;
mod plan;
pub mod shots;

use std::path::PathBuf;

use clap::ValueEnum;
use underfoot_core::show::Mode;

use super::{Exit, Output, Refusal, show_source};
use crate::render::png::Kind;

pub use plan::Plan;

/// Writes PNG pictures of the floor, per cue and canvas
#[derive(Debug, clap::Args)]
pub struct Args {
    /// A show file, or the name of a demo
    show: String,
    /// Write the pictures here
    #[arg(long, value_name = "DIR")]
    out: PathBuf,
    /// Only this cue; may be given again
    #[arg(long, value_name = "NUMBER", value_parser = parse_cue)]
    cue: Vec<u32>,
    /// Only this canvas
    #[arg(long, value_name = "NAME")]
    canvas: Option<String>,
    /// Only this block of its canvas
    #[arg(long, value_name = "NAME")]
    block: Option<String>,
    /// layer, black or matte [default: all three]
    #[arg(long, value_enum, hide_possible_values = true)]
    kind: Vec<KindWord>,
    /// build, brief, standby, air, reset, off, worklight
    #[arg(long, value_enum, hide_possible_values = true)]
    mode: Option<ModeWord>,
    /// Bright and labelled, with a picture of the whole floor
    #[arg(long, conflicts_with_all = ["mode", "build"])]
    briefing: bool,
    /// With --briefing: the line this class keeps clear of
    #[arg(long, value_name = "CLASS", requires = "briefing")]
    walk: Option<String>,
    /// With --briefing: outlines of where people's pictures work
    #[arg(long, requires = "briefing")]
    in_shot: bool,
    /// With --briefing: camera wedges and jib sweeps for crew
    #[arg(long, requires = "briefing")]
    wedges: bool,
    /// What cameras see: this shot, or all intended shots
    #[arg(long, value_name = "NAME", num_args = 0..=1, conflicts_with_all = ["briefing", "build", "canvas", "block", "kind"])]
    shot: Option<Option<String>>,
    /// One sheet of all shots, small, with what is wrong
    #[arg(long, conflicts_with_all = ["briefing", "build", "canvas", "block", "kind"])]
    contact: bool,
    /// With --mode air: soft shadows that may be seen, too
    #[arg(long, requires = "mode")]
    scenic: bool,
    /// The load-in picture: letters, arrow, ruler, panel numbers
    #[arg(long, conflicts_with_all = ["mode", "cue"])]
    build: bool,
}

#[derive(Clone, Copy, Debug, ValueEnum)]
enum KindWord {
    Layer,
    Black,
    Matte,
}

#[derive(Clone, Copy, Debug, ValueEnum)]
enum ModeWord {
    Build,
    Brief,
    Standby,
    Air,
    Reset,
    Off,
    Worklight,
}

impl From<KindWord> for Kind {
    fn from(word: KindWord) -> Self {
        match word {
            KindWord::Layer => Self::Layer,
            KindWord::Black => Self::Black,
            KindWord::Matte => Self::Matte,
        }
    }
}

impl From<ModeWord> for Mode {
    fn from(word: ModeWord) -> Self {
        match word {
            ModeWord::Build => Self::Build,
            ModeWord::Brief => Self::Brief,
            ModeWord::Standby => Self::Standby,
            ModeWord::Air => Self::Air,
            ModeWord::Reset => Self::Reset,
            ModeWord::Off => Self::Off,
            ModeWord::Worklight => Self::Worklight,
        }
    }
}

/// Reads "4.5" as 450.
fn parse_cue(text: &str) -> Result<u32, String> {
    let (whole, part) = text.split_once('.').unwrap_or((text, ""));
    let digits = |s: &str| s.len() <= 6 && s.chars().all(|c| c.is_ascii_digit());
    if whole.is_empty() || !digits(whole) || part.len() > 2 || !digits(part) || text.ends_with('.') {
        return Err("a cue number looks like 4 or 4.5".into());
    }
    let hundredths: u32 = format!("{part:0<2}").parse().map_err(|_| "too many digits")?;
    let whole: u32 = whole.parse().map_err(|_| "too many digits")?;
    Ok(whole * 100 + hundredths)
}

pub(super) fn run(args: Args, output: &mut Output<'_>) -> Result<Exit, Refusal> {
    let project = show_source::load(&args.show)?;
    let plan = Plan::resolve(&args, &project)?;
    let written = match plan.shots {
        Some(wanted) if args.contact => contact::write(&project, &plan, wanted)?,
        Some(wanted) => shots::write(&project, &plan, wanted)?,
        None => pictures::write(&project, &plan)?,
    };
    for path in &written {
        output.data(&format!("{}\n", path.display()))?;
    }
    for cue in plan.on_air(&project) {
        output.talk(&air::words(&project, cue));
    }
    Ok(Exit::Fine)
}

#[cfg(test)]
mod tests {
    use super::parse_cue;

    #[test]
    fn cue_numbers_have_two_decimals_at_most() {
        for (text, cue) in [("4", 400), ("4.5", 450), ("12.07", 1207), ("0", 0)] {
            assert_eq!(parse_cue(text), Ok(cue), "{text}");
        }
        for text in ["", ".5", "4.", "4.567", "-1", "+4", "4,5", "1e2", "99999999"] {
            assert!(parse_cue(text).is_err(), "{text}");
        }
    }
}
