//! What is painted: the demo shows' first cue in BRIEF, and a made-up floor as large as the limits allow.

use std::path::Path;

use underfoot_core::floor::Block;
use underfoot_core::look::{View, compose};
use underfoot_core::paint::Scene;
use underfoot_core::show::{CueId, Mode, Show};
use underfoot_sim::project;

use super::floors::Floor;

/// One floor with its blocks.
pub(crate) struct Subject {
    /// Its name in the tables.
    pub(crate) name: &'static str,
    /// Its blocks, each painted as a picture of its own; one-pixel tapes are left out.
    pub(crate) blocks: Vec<Block>,
    content: Content,
}

enum Content {
    Demo(Box<Show>),
    Made(Floor),
}

/// Every subject, smallest first.
pub(crate) fn subjects() -> Vec<Subject> {
    let large = Floor { panels: (90, 90), panel_px: 128, things: (32, 12, 64) };
    let made = Subject {
        name: "11520 x 11520, 32 props, 12 lines, 64 marks",
        blocks: vec![large.block()],
        content: Content::Made(large),
    };
    vec![
        demo("demo A, 768 x 768", "clock-cabinet.toml"),
        demo("demo B, 2560 x 2048", "harbour-hour.toml"),
        demo("demo C, four of 1440 x 960", "lantern-field.toml"),
        made,
    ]
}

fn demo(name: &'static str, file: &str) -> Subject {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../host-sim/demos").join(file);
    let show = project::load(&path).expect("the demo show loads").show;
    let blocks: Vec<Block> = show.blocks.iter().filter(|b| b.height_px > 1).cloned().collect();
    assert!(blocks.iter().all(|b| (b.x_px, b.y_px) == (0, 0)), "each block is a picture of its own");
    Subject { name, blocks, content: Content::Demo(show) }
}

impl Subject {
    /// Draws everything; when `moved`, one mark stands 0.2 m aside.
    pub(crate) fn draw(&self, scene: &mut Scene<'_>, moved: bool) {
        match &self.content {
            Content::Made(floor) => floor.draw(scene, if moved { 0.2 } else { 0.0 }),
            Content::Demo(show) => {
                let mut show = show.clone();
                if moved {
                    let first = show.cues[0].places;
                    let mark = show.cue_places[usize::from(first.first)].mark.map_or(0, |m| m.index());
                    show.marks[mark].at.x += 0.2;
                }
                compose(&show, &View::new(Mode::Brief, Some(CueId(0))), scene).expect("room for a demo");
            }
        }
    }
}
