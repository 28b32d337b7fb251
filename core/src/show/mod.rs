//! The show as the core knows it: plain bounded data, the same on the desk and in the box.
//!
//! People write the show file; the desk resolves its names, units and tables into this. Everything
//! that computes (painting, checks, engine) reads it and nothing changes it after [`Show::validate`].

pub mod cameras;
pub mod control;
mod corners;
pub mod cues;
pub mod ids;
pub mod marks;
pub mod people;
pub mod props;
pub mod stage;
pub mod validate;

use heapless::{String, Vec};
use serde::{Deserialize, Serialize};

pub use cameras::{Camera, CameraKind, Lens, Shot, ShotKey, ShotKind};
pub use control::{Control, Hot};
pub use cues::{Cue, CuePlace, CueProp, Mode, Presence, Timecode};
pub use ids::{CameraId, ClassId, CueId, LineId, MarkId, MotionId, PersonId, PropId, Run, ShotId};
pub use marks::{Dots, Line, LinePoint, Mark, MarkKind, Who};
pub use people::{Person, PersonClass, Sight};
pub use props::{Band, Layer, Motion, MotionKey, MotionKind, Part, PartShape, Prop};
pub use stage::{
    Edge, Entry, FloorOutline, FrameRate, Look, Passage, Physical, PhysicalKind, StepOver, TileFault, TileState, Wall,
};
pub use validate::{ShowError, ShowFault};

use crate::floor::{Block, Canvas};
use crate::geom::StagePoint;
use crate::limits as cap;

/// The short name of a thing, as crew say it.
pub type Name = String<{ cap::NAME_BYTES }>;
/// A title or the name of a cue.
pub type Title = String<{ cap::TITLE_BYTES }>;
/// The up to three characters that a mark shows on the floor.
pub type Label = String<{ cap::LABEL_CHARS }>;

/// A whole show.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Show {
    /// The show's title.
    pub title: Title,
    /// Frames per second.
    pub frame_rate: FrameRate,
    /// Worst survey residual, metres: added to every clearance.
    pub survey_allowance_m: f32,
    /// Time from a press or a pose to light on the floor, milliseconds.
    pub latency_ms: u16,
    /// Brightness and sizes of what is drawn.
    pub look: Look,
    /// What is wired to the boxes.
    pub control: Control,
    /// Output pictures.
    pub canvases: Vec<Canvas, { cap::CANVASES }>,
    /// Canvas rectangles.
    pub blocks: Vec<Block, { cap::BLOCKS }>,
    /// Dead and missing panels.
    pub tile_faults: Vec<TileFault, { cap::TILE_FAULTS }>,
    /// The walkable floor.
    pub floor: FloorOutline,
    /// Places where people may cross the floor's edge.
    pub entries: Vec<Entry, { cap::ENTRIES }>,
    /// LED walls.
    pub walls: Vec<Wall, { cap::WALLS }>,
    /// Physical things.
    pub physicals: Vec<Physical, { cap::PHYSICALS }>,
    /// Person classes.
    pub classes: Vec<PersonClass, { cap::CLASSES }>,
    /// People.
    pub people: Vec<Person, { cap::PEOPLE }>,
    /// Props; their parts and motions are runs of the lists below.
    pub props: Vec<Prop, { cap::PROPS }>,
    /// Parts of all props, prop by prop.
    pub parts: Vec<Part, { cap::PARTS }>,
    /// Vertices of polygonal parts, relative to the prop's place.
    pub part_vertices: Vec<StagePoint, { cap::PART_VERTICES }>,
    /// Motions of all props.
    pub motions: Vec<Motion, { cap::MOTIONS }>,
    /// Keys of all keyed motions.
    pub motion_keys: Vec<MotionKey, { cap::MOTION_KEYS }>,
    /// Cameras.
    pub cameras: Vec<Camera, { cap::CAMERAS }>,
    /// Shots.
    pub shots: Vec<Shot, { cap::SHOTS }>,
    /// Pose keys of all moving shots.
    pub shot_keys: Vec<ShotKey, { cap::SHOT_KEYS }>,
    /// Marks.
    pub marks: Vec<Mark, { cap::MARKS }>,
    /// Walk lines.
    pub lines: Vec<Line, { cap::LINES }>,
    /// Points of all walk lines.
    pub line_points: Vec<LinePoint, { cap::LINE_POINTS }>,
    /// Cues in running order.
    pub cues: Vec<Cue, { cap::CUES }>,
    /// Prop states of all cues.
    pub cue_props: Vec<CueProp, { cap::CUE_PROPS }>,
    /// Placements of all cues.
    pub cue_places: Vec<CuePlace, { cap::CUE_PLACES }>,
    /// Intended shots of all cues.
    pub cue_shots: Vec<ShotId, { cap::CUE_SHOTS }>,
}

impl Show {
    /// A place for a show: all lists empty, all numbers zero, so that a static one costs no flash.
    ///
    /// It is no usable show; [`Show::validate`] refuses it.
    pub const fn vacant() -> Self {
        Self {
            title: String::new(),
            frame_rate: FrameRate { num: 0, den: 0 },
            survey_allowance_m: 0.0,
            latency_ms: 0,
            look: Look { brief_level: 0, air_level: 0, line_m: 0.0, keyline_m: 0.0, pulse_hz: 0.0, numbers_m: 0.0 },
            control: Control { backup: false, on_air_contact: false, slots_universe: 0, hot: Hot::All },
            canvases: Vec::new(),
            blocks: Vec::new(),
            tile_faults: Vec::new(),
            floor: FloorOutline { vertices: Vec::new(), edges: Vec::new(), edge_band_m: 0.0, step_m: 0.0 },
            entries: Vec::new(),
            walls: Vec::new(),
            physicals: Vec::new(),
            classes: Vec::new(),
            people: Vec::new(),
            props: Vec::new(),
            parts: Vec::new(),
            part_vertices: Vec::new(),
            motions: Vec::new(),
            motion_keys: Vec::new(),
            cameras: Vec::new(),
            shots: Vec::new(),
            shot_keys: Vec::new(),
            marks: Vec::new(),
            lines: Vec::new(),
            line_points: Vec::new(),
            cues: Vec::new(),
            cue_props: Vec::new(),
            cue_places: Vec::new(),
            cue_shots: Vec::new(),
        }
    }

    /// The parts of a prop.
    pub fn parts_of(&self, prop: &Prop) -> &[Part] {
        prop.parts.of(&self.parts)
    }

    /// The prop states of a cue.
    pub fn props_in(&self, cue: &Cue) -> &[CueProp] {
        cue.props.of(&self.cue_props)
    }

    /// The placements of a cue.
    pub fn places_in(&self, cue: &Cue) -> &[CuePlace] {
        cue.places.of(&self.cue_places)
    }

    /// The intended shots of a cue.
    pub fn shots_in(&self, cue: &Cue) -> &[ShotId] {
        cue.shots.of(&self.cue_shots)
    }

    /// The points of a walk line.
    pub fn points_of(&self, line: &Line) -> &[LinePoint] {
        line.points.of(&self.line_points)
    }

    /// Gives a walk line other points, as many as there are. False, and nothing is changed, when the line is none of the
    /// show's or the show's list of points has no room for so many.
    pub fn put_line(&mut self, line: LineId, points: &[LinePoint]) -> bool {
        let Some(old) = self.lines.get(line.index()).map(|line| line.points) else { return false };
        let (first, end, all) = (usize::from(old.first), usize::from(old.first + old.len), self.line_points.len());
        let (new_end, len) = (first + points.len(), all - usize::from(old.len) + points.len());
        if !old.fits(all) || len > self.line_points.capacity() {
            return false;
        }
        // There is room for as many as it becomes or is.
        let _ = self.line_points.resize(len.max(all), LinePoint::default());
        self.line_points.copy_within(end..all, new_end);
        self.line_points.truncate(len);
        self.line_points.iter_mut().skip(first).zip(points).for_each(|(slot, point)| *slot = *point);
        for (i, other) in self.lines.iter_mut().enumerate() {
            if i == line.index() {
                other.points.len = points.len() as u16;
            } else if usize::from(other.points.first) >= end {
                other.points.first = (usize::from(other.points.first) + new_end - end) as u16;
            }
        }
        true
    }

    /// Blocks of one canvas, in drawing order.
    pub fn blocks_of(&self, canvas: usize) -> impl Iterator<Item = &Block> {
        self.blocks.iter().filter(move |b| usize::from(b.canvas) == canvas)
    }
}
