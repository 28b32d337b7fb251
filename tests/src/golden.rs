//! Pictures that are kept in the tree: how they are made, compared and renewed.

use std::fs;
use std::path::{Path, PathBuf};

use underfoot_core::look::View;
use underfoot_core::panel::Face;
use underfoot_core::show::{CueId, Mode};
use underfoot_sim::cli::draw::contact;
use underfoot_sim::cli::draw::pictures::{Brief, floor_for_people, with_ways};
use underfoot_sim::cli::draw::shots::{self, Wanted};
use underfoot_sim::cli::pack::pack_of;
use underfoot_sim::cli::show_source;
use underfoot_sim::project::Project;
use underfoot_sim::render::png::{Kind, of_canvas, of_picture};
use underfoot_sim::render::{Easel, Picture};

use crate::faces;

/// One picture: its file, and the PNG bytes that the tool makes now.
#[derive(Debug)]
pub struct Golden {
    /// The file in the tree.
    pub path: PathBuf,
    /// What it ought to hold.
    pub png: Vec<u8>,
}

/// Every kept picture, made anew.
pub fn all() -> Vec<Golden> {
    vec![
        whole_floor("clock-cabinet-clean", Mode::Brief, Some(5), "host-sim/docs/floor.png"),
        layer("clock-cabinet-clean", Mode::Brief, 1, "tests/golden/clock-cabinet-brief-layer.png"),
        layer("clock-cabinet-clean", Mode::Standby, 2, "tests/golden/clock-cabinet-standby-layer.png"),
        shot("clock-cabinet", 2, "2-WIDE", "tests/golden/clock-cabinet-shot-2-wide.png"),
        contact("clock-cabinet", &[2, 3, 5], "tests/golden/clock-cabinet-contact.png"),
        display(|face| faces::mono(face, 2), 4, "tests/golden/display-128x64.png"),
        display(|face| faces::color(face, 1), 4, "tests/golden/display-320x240.png"),
    ]
}

/// Width, height and samples of a PNG of 8 bits a channel.
///
/// # Panics
/// When the bytes are no such PNG.
pub fn decode(bytes: &[u8]) -> (u32, u32, Vec<u8>) {
    let mut reader = png::Decoder::new(std::io::Cursor::new(bytes)).read_info().expect("a PNG header");
    let mut samples = vec![0; reader.output_buffer_size().expect("a size in memory")];
    let info = reader.next_frame(&mut samples).expect("a PNG picture");
    samples.truncate(info.buffer_size());
    (info.width, info.height, samples)
}

/// Writes every picture anew.
///
/// # Errors
/// The system's own, for a file that cannot be written.
pub fn bless() -> std::io::Result<()> {
    for golden in all() {
        if let Some(folder) = golden.path.parent() {
            fs::create_dir_all(folder)?;
        }
        fs::write(&golden.path, &golden.png)?;
    }
    Ok(())
}

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..")
}

fn project(demo: &str) -> Project {
    show_source::load(demo).unwrap_or_else(|refusal| panic!("{refusal}"))
}

fn whole_floor(demo: &str, mode: Mode, cue: Option<u8>, file: &str) -> Golden {
    let project = project(demo);
    let code = pack_of(&project.show).map(|(_, code)| code.to_string()).ok();
    let (brief, mut easel) = (with_ways(&project, cue.map(CueId), Brief::default()), Easel::new());
    easel.lay_over(brief.over.clone());
    let picture = floor_for_people(&project, (&mut easel, &brief), (mode, cue.map(CueId)), code.as_deref(), 560)
        .unwrap_or_else(|refusal| panic!("{refusal}"));
    Golden { path: root().join(file), png: of_picture(&picture).expect("a picture with pixels") }
}

fn layer(demo: &str, mode: Mode, cue: u8, file: &str) -> Golden {
    let project = project(demo);
    let view = View::new(mode, Some(CueId(cue)));
    let canvas = Easel::new().paint(&project.show, &view, 0).unwrap_or_else(|full| panic!("{full}"));
    Golden { path: root().join(file), png: of_canvas(&canvas, Kind::Layer).expect("a canvas with pixels") }
}

fn shot(demo: &str, cue: u8, name: &str, file: &str) -> Golden {
    let picture = shots::picture(&project(demo), (Mode::Standby, CueId(cue)), name);
    let picture = picture.unwrap_or_else(|refusal| panic!("{refusal}"));
    Golden { path: root().join(file), png: of_picture(&picture).expect("a picture with pixels") }
}

fn contact(demo: &str, cues: &[u8], file: &str) -> Golden {
    let cues: Vec<(Mode, CueId)> = cues.iter().map(|&cue| (Mode::Standby, CueId(cue))).collect();
    let sheet = contact::sheet(&project(demo), &cues, Wanted::Intended, false);
    let sheet = sheet.unwrap_or_else(|refusal| panic!("{refusal}"));
    Golden { path: root().join(file), png: of_picture(&sheet).expect("a sheet with pixels") }
}

/// Every state of the box's display on one sheet.
fn display(draw: impl Fn(&Face) -> Picture, across: usize, file: &str) -> Golden {
    let pictures: Vec<Picture> = faces::all().iter().map(|(_, face)| draw(face)).collect();
    let sheet = faces::sheet(&pictures, across);
    Golden { path: root().join(file), png: of_picture(&sheet).expect("a sheet with pixels") }
}
