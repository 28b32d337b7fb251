//! What to draw, with every name looked up.

use std::path::PathBuf;

use underfoot_core::look;
use underfoot_core::show::{ClassId, Cue, CueId, Mode, ShotId};

use super::shots::Wanted;
use super::{Args, air};
use crate::cli::Refusal;
use crate::findings::cue_number;
use crate::project::Project;
use crate::render::png::Kind;

/// Resolved settings of `draw`.
#[derive(Clone, Debug)]
pub struct Plan {
    /// The folder to write to.
    pub folder: PathBuf,
    /// Mode and cue of each picture.
    pub views: Vec<(Mode, Option<CueId>)>,
    /// Indices of the canvases.
    pub canvases: Vec<usize>,
    /// Index of the one block to cut out.
    pub block: Option<usize>,
    /// Kinds of picture of each canvas.
    pub kinds: Vec<Kind>,
    /// One picture of the whole floor for people as well.
    pub whole_floor: bool,
    /// The class whose walk outline is drawn.
    pub walk: Option<ClassId>,
    /// Cameras' pictures instead of the floor's.
    pub shots: Option<Wanted>,
    /// In-shot outlines on the floor.
    pub in_shot: bool,
    /// What crew keep out of.
    pub wedges: bool,
    /// AIR draws scenic footprints.
    pub scenic: bool,
}

impl Plan {
    pub(super) fn resolve(args: &Args, project: &Project) -> Result<Self, Refusal> {
        let show = &project.show;
        let views = if args.build { vec![(Mode::Build, None)] } else { views(args, project)? };
        let block = args.block.as_deref().map(|name| {
            let names = show.blocks.iter().map(|b| b.name.as_str());
            find("block", name, names)
        });
        let block = block.transpose()?;
        let canvases = match (&args.canvas, block.and_then(|b| show.blocks.get(b))) {
            (Some(name), _) => vec![find("canvas", name, show.canvases.iter().map(|c| c.name.as_str()))?],
            (None, Some(block)) => vec![usize::from(block.canvas)],
            (None, None) => (0..show.canvases.len()).collect(),
        };
        if let (Some(_), Some(block)) = (&args.canvas, block.and_then(|b| show.blocks.get(b)))
            && !canvases.contains(&usize::from(block.canvas))
        {
            return Err(Refusal(format!("block \"{}\" is not on that canvas", block.name)));
        }
        let mut kinds: Vec<Kind> = args.kind.iter().map(|&k| k.into()).collect();
        if kinds.is_empty() {
            kinds = Kind::ALL.to_vec();
        }
        kinds.sort();
        kinds.dedup();
        let class = |name: &String| find("class", name, show.classes.iter().map(|c| c.name.as_str()));
        let walk = args.walk.as_ref().map(class).transpose()?.map(|i| ClassId(i as u8));
        let all = args.contact.then_some(None);
        let shots = args.shot.as_ref().map(|name| name.as_deref()).or(all);
        let shots = shots.map(|name| wanted(name, project)).transpose()?;
        let whole_floor = args.briefing || args.build;
        Ok(Self {
            folder: args.out.clone(),
            views,
            canvases,
            block,
            kinds,
            whole_floor,
            walk,
            shots,
            in_shot: args.in_shot,
            wedges: args.wedges,
            scenic: args.scenic,
        })
    }
}

impl Plan {
    /// What the floor shows of a mode and a cue.
    pub(super) fn view(&self, project: &Project, view: (Mode, Option<CueId>)) -> look::View {
        air::view(project, view, self.scenic)
    }

    /// The cues that are drawn as they are on air.
    pub(super) fn on_air<'p>(&self, project: &'p Project) -> impl Iterator<Item = &'p Cue> {
        let on_air = self.views.iter().filter(|(mode, _)| *mode == Mode::Air);
        on_air.filter_map(|(_, cue)| project.show.cues.get((*cue)?.index()))
    }
}

fn views(args: &Args, project: &Project) -> Result<Vec<(Mode, Option<CueId>)>, Refusal> {
    let cues = &project.show.cues;
    for &wanted in &args.cue {
        if !cues.iter().any(|c| c.number == wanted) {
            let known: Vec<String> = cues.iter().map(|c| cue_number(c.number)).collect();
            let wanted = cue_number(wanted);
            return Err(Refusal(format!("there is no cue {wanted}; the cues are {}", known.join(", "))));
        }
    }
    let chosen = cues.iter().enumerate().filter(|(_, c)| args.cue.is_empty() || args.cue.contains(&c.number));
    let mode = |own: Mode| match (args.briefing, args.mode) {
        (true, _) => Mode::Brief,
        (false, Some(mode)) => mode.into(),
        (false, None) => own,
    };
    Ok(chosen.map(|(index, cue)| (mode(cue.mode), Some(CueId(index as u8)))).collect())
}

fn wanted(name: Option<&str>, project: &Project) -> Result<Wanted, Refusal> {
    let Some(name) = name else { return Ok(Wanted::Intended) };
    let shot = find("shot", name, project.show.shots.iter().map(|s| s.name.as_str()))?;
    Ok(Wanted::One(ShotId(shot as u8)))
}

fn find<'n>(kind: &str, wanted: &str, names: impl Iterator<Item = &'n str>) -> Result<usize, Refusal> {
    let names: Vec<&str> = names.collect();
    names
        .iter()
        .position(|name| *name == wanted)
        .ok_or_else(|| Refusal(format!("there is no {kind} \"{wanted}\"; there are {}", names.join(", "))))
}
