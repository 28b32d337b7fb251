//! What the invented shows draw: every view fits the desk, and marks lie where the shows put them.

use std::path::Path;

use underfoot_core::limits;
use underfoot_core::look::{MarkState, View, compose, ink};
use underfoot_core::paint::{RowTarget, Scene, SceneStore, Span, WorkStore, walk};
use underfoot_core::show::{CueId, Mode, Show};

type Desk = SceneStore<16_384, 6_144, { limits::SCENE_SHAPES }>;

const MODES: [Mode; 5] = [Mode::Build, Mode::Brief, Mode::Standby, Mode::Reset, Mode::Worklight];

fn demo(name: &str) -> Box<Show> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../host-sim/demos").join(name);
    underfoot_sim::project::load(&path).unwrap_or_else(|e| panic!("{name}: {e:?}")).show
}

/// Points, contours and shapes in use.
fn size(scene: &Scene<'_>) -> [usize; 3] {
    let contours: Vec<_> = scene.shapes().iter().flat_map(|s| scene.contours_of(s)).collect();
    [contours.iter().map(|c| scene.points_of(c).len()).sum(), contours.len(), scene.shapes().len()]
}

/// The most that any view of a canvas needs, with the view that needs it, for each of the three lists.
fn most(show: &Show) -> [(usize, Mode, Option<u8>); 3] {
    let mut store = Box::new(Desk::new());
    let mut found = [(0, Mode::Off, None); 3];
    for mode in MODES {
        for cue in (0..show.cues.len() as u8).map(Some).chain([None]) {
            let canvas = (mode == Mode::Build).then_some(0);
            let view = View { canvas, ..View::new(mode, cue.map(CueId)).with_all(MarkState::StandBy) };
            let mut scene = store.scene();
            compose(show, &view, &mut scene).unwrap_or_else(|e| panic!("{mode:?} {cue:?}: {e:?}"));
            for (slot, n) in found.iter_mut().zip(size(&scene)) {
                if n > slot.0 {
                    *slot = (n, mode, cue);
                }
            }
        }
    }
    found
}

#[test]
fn every_view_of_the_arena_fits_the_desk() {
    let found = most(&demo("lantern-field.toml"));
    println!("lantern-field: {found:?}");
    assert!(found[0].0 <= 16_384 && found[1].0 <= 6_144 && found[2].0 <= limits::SCENE_SHAPES, "{found:?}");
}

/// Keeps the colours of one block.
struct Picture {
    width: usize,
    pixels: Vec<[u8; 3]>,
    row: usize,
}

impl RowTarget for Picture {
    type Error = core::convert::Infallible;

    fn begin_row(&mut self, row: u16, _: u16, _: u16) -> Result<(), Self::Error> {
        self.row = usize::from(row);
        Ok(())
    }

    fn span(&mut self, span: Span) -> Result<(), Self::Error> {
        let line = &mut self.pixels[self.row * self.width..(self.row + 1) * self.width];
        line[usize::from(span.start)..usize::from(span.end)].fill([span.color.r, span.color.g, span.color.b]);
        Ok(())
    }

    fn end_row(&mut self) -> Result<(), Self::Error> {
        Ok(())
    }
}

/// Mark A of the corner stage stands at (-0.90, 0.10): pixel (-0.90 + 1.5) / 3 * 768 = 153.6 from the left
/// and (1.5 - 0.10) / 3 * 768 = 358.4 from the top. It faces (1.6, -3.8): that is 2.5 m towards stage left
/// and 3.9 m downstage, 4.6325 m in all, so the toe bar's middle is at (-0.90 + 0.15 * 0.53967,
/// 0.10 - 0.15 * 0.84188) = (-0.81905, -0.02628): pixel 174.3, 390.7. Its ends are 0.14 m along the bar to
/// either side: (-0.81905 -+ 0.14 * 0.84188, -0.02628 -+ 0.14 * 0.53967): pixels 144.2, 410.1 and 204.5, 371.4.
#[test]
fn the_first_mark_of_the_corner_stage_is_lit_at_its_pixels() {
    let show = demo("clock-cabinet-clean.toml");
    let cue = show.cues.iter().position(|c| show.places_in(c).iter().any(|p| p.mark.is_some())).unwrap();
    let view = View { labels: false, ..View::new(Mode::Reset, (cue as u8).checked_sub(1).map(CueId)) };
    let mut store = Box::new(Desk::new());
    let mut scene = store.scene();
    compose(&show, &view, &mut scene).unwrap();
    let mut work = Box::new(WorkStore::<8192, 1024, 4096, 4096, 1024>::new());
    let mut picture = Picture { width: 768, pixels: vec![[0; 3]; 768 * 768], row: 0 };
    walk::paint_block(&scene, &show.blocks[0], 0..768, &mut work.work(), &mut picture).unwrap();
    let person = show.places_in(&show.cues[cue])[0].person;
    let want = ink::of(show.people[person.index()].who);
    for (x, y) in [(153, 358), (174, 390), (144, 410), (204, 371)] {
        let got = picture.pixels[y * 768 + x];
        assert_eq!(got, [want.r, want.g, want.b], "pixel {x}, {y}");
    }
    // Between the bar's end and the shape round the mark the floor is dark.
    assert_ne!(picture.pixels[358 * 768 + 175], [want.r, want.g, want.b]);
}
