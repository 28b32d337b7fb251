//! What a camera sees of a cue: a picture from the plan.
//!
//! [`Scene::picture`] looks along a line of sight through every pixel. `eye` turns pixels into lines of sight and
//! back, lens distortion included; `world` has what is really there, `thing` the solids of props, `people` the
//! upright rectangles that all figures are about; `trace` stacks the layers along one line; `raster` smooths edges;
//! `guides` draws frames, lower lines and names; `caption` says what was measured. Nothing here decides anything:
//! figures come from the core, and the patterns only show where they come from.

mod caption;
mod eye;
mod figures;
mod guides;
mod moment;
mod palette;
mod pattern;
mod people;
mod picture;
mod raster;
mod ray;
mod thing;
mod trace;
mod wording;
mod world;

pub use caption::{Caption, PersonLine};
pub use eye::Eye;
pub use figures::{Figures, Measures, Worst};
pub use guides::word as lower_word;
pub use moment::{Moment, actor, actor_at, actors, moments, solids_at};
pub use palette::CONTENT;
pub use pattern::Flaw;
pub use people::Actor;
pub use picture::{Room, SEEN_DEG, Scene};
pub use wording::{long, short};
