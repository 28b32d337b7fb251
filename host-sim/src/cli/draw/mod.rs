//! `underfoot draw SHOW --out DIR`.

pub(crate) mod air;
pub(crate) mod bounds;
pub mod cells;
pub mod contact;
pub(crate) mod crew;
pub(crate) mod in_shot;
pub mod pictures;
mod plan;
pub(crate) mod set;
pub mod shots;
mod ways;

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
    /// Occupancy maps as pictures and JSON; more in --help
    #[arg(long, conflicts_with_all = ["mode", "briefing", "build", "canvas", "block", "kind", "shot", "contact"])]
    cells: bool,
    /// With --cells: so many seconds after the start of each cue
    #[arg(long, value_name = "SECONDS", requires = "cells", default_value_t = 0.0, value_parser = parse_seconds, hide_short_help = true)]
    at: f32,
    /// With --cells: how far each place is from what keeps people off
    #[arg(long, requires = "cells", hide_short_help = true)]
    room: bool,
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
pub(super) fn parse_cue(text: &str) -> Result<u32, String> {
    let (whole, part) = text.split_once('.').unwrap_or((text, ""));
    let digits = |s: &str| s.len() <= 6 && s.chars().all(|c| c.is_ascii_digit());
    if whole.is_empty() || !digits(whole) || part.len() > 2 || !digits(part) || text.ends_with('.') {
        return Err("a cue number looks like 4 or 4.5".into());
    }
    let hundredths: u32 = format!("{part:0<2}").parse().map_err(|_| "too many digits")?;
    let whole: u32 = whole.parse().map_err(|_| "too many digits")?;
    Ok(whole * 100 + hundredths)
}

/// Reads seconds after the start of a cue, up to a day.
pub(super) fn parse_seconds(text: &str) -> Result<f32, String> {
    let seconds = text.parse::<f32>().ok().filter(|s| (0.0..=86_400.0).contains(s));
    seconds.ok_or_else(|| "seconds look like 4 or 4.5, up to 86400".into())
}

pub(super) fn run(args: Args, output: &mut Output<'_>) -> Result<Exit, Refusal> {
    let project = show_source::load_for_floor(&args.show, output)?;
    let plan = Plan::resolve(&args, &project)?;
    let written = match plan.shots {
        _ if args.cells => cells::write(&project, &plan, cells::Cells { at_s: args.at, room: args.room })?,
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

    /// What `draw` prints, says and leaves in its folder.
    fn draw(folder: &str, arguments: &[&str]) -> (String, String, Vec<String>) {
        let folder = std::env::temp_dir().join(format!("underfoot-draw-{}-{folder}", std::process::id()));
        let (mut data, mut talk) = (Vec::new(), Vec::new());
        let out = folder.display().to_string();
        let all = ["underfoot", "draw"].into_iter().chain(arguments.iter().copied()).chain(["--out", out.as_str()]);
        let exit = crate::cli::run(all, &mut crate::cli::Output::new(&mut data, &mut talk));
        let files = std::fs::read_dir(&folder).into_iter().flatten().flatten();
        let mut files: Vec<String> = files.map(|f| f.file_name().to_string_lossy().into_owned()).collect();
        files.sort();
        let _ = std::fs::remove_dir_all(&folder);
        let words = |bytes: &[u8]| String::from_utf8_lossy(bytes).into_owned();
        assert_eq!(exit, crate::cli::Exit::Fine, "{}", words(&talk));
        (words(&data), words(&talk), files)
    }

    #[test]
    fn a_shot_is_drawn_once_for_each_key_and_every_file_is_named() {
        let (data, _, files) = draw("shot", &["harbour-hour-clean", "--cue", "7", "--shot", "J-MOVE"]);
        assert_eq!(files, ["cue007.00-shot-j-move-0.0s.png", "cue007.00-shot-j-move-12.0s.png"]);
        assert!(files.iter().all(|f| data.contains(f.as_str())), "{data}");
    }

    #[test]
    fn air_says_how_many_marks_can_be_shown_and_who_sees_the_rest() {
        let (_, talk, _) = draw("air", &["clock-cabinet-clean", "--cue", "6", "--mode", "air", "--kind", "matte"]);
        assert_eq!(talk.lines().count(), 1, "{talk}");
        assert!(talk.starts_with("cue 6 on air: 0 of 2 marks can be shown; 1-WIDE sees A, B;"), "{talk}");
        // Behind the near hull of BOAT no camera sees mark B1.
        let (_, talk, _) = draw("hull", &["harbour-hour-clean", "--cue", "4", "--mode", "air", "--kind", "matte"]);
        assert!(talk.starts_with("cue 4 on air: 1 of 1 marks can be shown"), "{talk}");
    }
}
