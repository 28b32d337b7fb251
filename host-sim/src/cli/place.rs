//! `underfoot place SHOW X Y`.

use std::fmt::Write;

use underfoot_core::occupancy::{Cell, CellClass, Found, MapError, each_at};
use underfoot_core::show::{Cue, CueId};

use super::draw::{parse_cue, parse_seconds};
use super::pack::pack_of;
use super::{Exit, Output, Refusal, show_source};
use crate::findings::{cue_number, text};
use crate::link;
use crate::occupancy::words::{cause_of, class_of_link, found_words};
use crate::project::Project;

/// Says what the plan has at a place of the floor
#[derive(Debug, clap::Args)]
pub struct Args {
    /// A show file, or the name of a demo
    show: String,
    /// Metres towards stage left: 0.3, -1.2, or 1.2SR
    #[arg(value_parser = parse_across, allow_negative_numbers = true)]
    x: i32,
    /// Metres upstage: 0.3, -1.1, or 1.1DS
    #[arg(value_parser = parse_along, allow_negative_numbers = true)]
    y: i32,
    /// In this cue [default: in every cue]
    #[arg(long, value_name = "NUMBER", value_parser = parse_cue)]
    cue: Option<u32>,
    /// So many seconds after the start of the cue
    #[arg(long, value_name = "SECONDS", default_value_t = 0.0, value_parser = parse_seconds)]
    after: f32,
    /// Ask this box about its cue now
    #[arg(long, value_name = "BOX", conflicts_with_all = ["cue", "after"])]
    to: Option<String>,
}

/// Metres, or metres and a side, as whole millimetres towards the first of the two sides.
fn parse_metres(text: &str, [plus, minus]: [&str; 2]) -> Result<i32, String> {
    let upper = text.trim().to_ascii_uppercase();
    let sided = |side: &str| upper.strip_suffix(side).map(|number| number.trim_end().to_owned());
    let (number, sign, least) = match (sided(plus), sided(minus)) {
        (Some(number), _) => (number, 1.0, 0.0),
        (_, Some(number)) => (number, -1.0, 0.0),
        _ => (upper.clone(), 1.0, -200.0),
    };
    let metres = number.parse::<f64>().ok().filter(|m| (least..=200.0).contains(m));
    let metres = metres.ok_or_else(|| format!("metres look like 0.3, -0.3 or 0.3{minus}, up to 200"))?;
    Ok((metres * sign * 1000.0).round() as i32)
}

fn parse_across(text: &str) -> Result<i32, String> {
    parse_metres(text, ["SL", "SR"])
}

fn parse_along(text: &str) -> Result<i32, String> {
    parse_metres(text, ["US", "DS"])
}

pub(super) fn run(args: Args, output: &mut Output<'_>) -> Result<Exit, Refusal> {
    let project = show_source::load(&args.show)?;
    let mut out = format!("{}\n", text::place(args.x as f32 / 1000.0, args.y as f32 / 1000.0));
    match &args.to {
        Some(target) => out.push_str(&of_box(&project, target, (args.x, args.y))?),
        None => {
            for cue in cues(&project, args.cue)? {
                out.push_str(&of_plan(&project, cue, args.after, (args.x, args.y))?);
            }
        }
    }
    output.data(&out)?;
    output.talk("The plan's word, not what is on the stage.");
    Ok(Exit::Fine)
}

fn cues(project: &Project, wanted: Option<u32>) -> Result<Vec<&Cue>, Refusal> {
    let cues = &project.show.cues;
    let chosen: Vec<&Cue> = cues.iter().filter(|c| wanted.is_none_or(|w| w == c.number)).collect();
    if chosen.is_empty() {
        let known: Vec<String> = cues.iter().map(|c| cue_number(c.number)).collect();
        let wanted = wanted.map(cue_number).unwrap_or_default();
        return Err(Refusal(format!("there is no cue {wanted}; the cues are {}", known.join(", "))));
    }
    Ok(chosen)
}

/// One line for a cue: what wins, then what else holds there.
fn of_plan(project: &Project, cue: &Cue, after_s: f32, (x_mm, y_mm): (i32, i32)) -> Result<String, Refusal> {
    let mut all: Vec<Found> = Vec::new();
    let told = each_at(&project.show, cue, after_s, &Cell::place_mm(x_mm, y_mm), &mut |found| all.push(found));
    told.map_err(|error| shape_words(project, error))?;
    // Stable: of one class the first stays the first, as in the core's own answer.
    all.sort_by_key(|found| CellClass::ORDER.iter().position(|c| *c == found.class));
    all.dedup();
    let words: Vec<String> = all.iter().map(|found| found_words(project, found)).collect();
    let (first, rest) = words.split_first().map_or(("free", &[][..]), |(first, rest)| (first.as_str(), rest));
    let mut line = format!("cue {:<4} after {after_s:.1} s  {first}", cue_number(cue.number));
    if !rest.is_empty() {
        let _ = write!(line, "; also {}", rest.join(", "));
    }
    line.push('\n');
    Ok(line)
}

fn shape_words(project: &Project, error: MapError) -> Refusal {
    let of = match error {
        MapError::Shape { cause, .. } => {
            cause.map(|cause| found_words(project, &Found { class: CellClass::Free, cause: Some(cause) }))
        }
        MapError::Short { .. } => None,
    };
    Refusal(format!("a shape cannot be used ({error:?}): {}", of.unwrap_or_else(|| "the floor's outline".into())))
}

fn of_box(project: &Project, target: &str, at_mm: (i32, i32)) -> Result<String, Refusal> {
    let (pack, code) = pack_of(&project.show)?;
    let spoken = link::place(&pack, target, at_mm)?;
    let CueId(index) = spoken.cue;
    let cue = project.show.cues.get(usize::from(index)).map_or_else(|| "?".into(), |c| cue_number(c.number));
    let found = Found { class: class_of_link(spoken.class), cause: cause_of(spoken.what) };
    let after_s = f64::from(spoken.after_ms) / 1000.0;
    Ok(format!("cue {cue:<4} after {after_s:.1} s  {} (box, show {code})\n", found_words(project, &found)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn places_are_metres_or_metres_and_a_side() {
        for (text, mm) in [("0.3", 300), ("-1.2", -1200), ("1.2SR", -1200), ("1.2 sl", 1200), ("0", 0), ("0.0004", 0)] {
            assert_eq!(parse_across(text), Ok(mm), "{text}");
        }
        assert_eq!(parse_along("0.75DS"), Ok(-750));
        assert_eq!(parse_along("0.75us"), Ok(750));
        for text in ["", "SL", "-1SR", "1,2", "300", "nan", "inf", "1.2DS"] {
            assert!(parse_across(text).is_err(), "{text}");
        }
    }

    fn ask(arguments: &[&str]) -> (Exit, String) {
        let (mut data, mut talk) = (Vec::new(), Vec::new());
        let all = ["underfoot", "place"].into_iter().chain(arguments.iter().copied());
        let exit = crate::cli::run(all, &mut Output::new(&mut data, &mut talk));
        (exit, String::from_utf8_lossy(&data).into_owned())
    }

    /// WATCH has radius 0.35 about (0.15, -0.35), PENDULUM starts at x 1.32 and swings across C, GEAR is a ring of
    /// 0.6 about (0.2, 0.9): the numbers of the show file.
    #[test]
    fn the_first_demo_answers_in_the_words_of_the_floor() {
        let (exit, said) = ask(&["clock-cabinet", "0.15", "-0.35", "--cue", "4"]);
        assert_eq!(exit, Exit::Fine);
        assert_eq!(said, "0.15 m SL, 0.35 m DS of the centre\ncue 4    after 0.0 s  contact of WATCH\n");
        let (_, said) = ask(&["clock-cabinet", "0.75SL", "0.75DS", "--cue", "4"]);
        assert!(said.ends_with("after 0.0 s  swept soon by PENDULUM (bob)\n"), "{said}");
        let (_, said) = ask(&["clock-cabinet", "1.25SL", "0.9DS", "--cue", "4"]);
        assert!(
            said.contains("  body of PENDULUM (bob); also swept soon by PENDULUM (bob), edge: band of the SL side")
        );
        let (_, said) = ask(&["clock-cabinet", "0.2", "0.32", "--cue", "4"]);
        assert!(said.contains("  overhead of GEAR"), "{said}");
        let (_, said) = ask(&["clock-cabinet", "-5", "0"]);
        assert!(said.lines().skip(1).all(|line| line.ends_with("edge: beyond the floor")), "{said}");
        let (_, said) = ask(&["clock-cabinet", "0.75", "0.1", "--cue", "4"]);
        assert!(said.ends_with("after 0.0 s  free\n"), "{said}");
    }
}
