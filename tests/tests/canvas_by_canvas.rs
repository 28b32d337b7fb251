//! One canvas at a time: what is left out of a canvas's scene touches none of its pixels, and what is left of every
//! picture of every demo fits the box.

use underfoot_core::device::Witness;
use underfoot_core::device::memory::BoxWork;
use underfoot_core::floor::Block;
use underfoot_core::limits;
use underfoot_core::look::{MarkState, Shown, View, compose};
use underfoot_core::paint::{DeskWork, Scene, SceneStore, WorkStore, paint_block};
use underfoot_core::ports::Nowhere;
use underfoot_core::show::{CueId, Mode, Show};
use underfoot_tests::device::shows::{ALL_DEMOS, demo};

type Desk = SceneStore<16_384, 6_144, { limits::SCENE_SHAPES }>;

const MODES: [Mode; 6] = [Mode::Build, Mode::Brief, Mode::Standby, Mode::Air, Mode::Reset, Mode::Worklight];
const STATES: [MarkState; 6] = [
    MarkState::StandBy,
    MarkState::Steady,
    MarkState::Later,
    MarkState::Go,
    MarkState::Arrived,
    MarkState::Off { toward_deg: 40.0 },
];

/// Every cue and none, in every mode, with all that a mode may show; called marks in every state.
fn views(show: &Show) -> Vec<View> {
    let cues = (0..show.cues.len() as u8).map(|i| Some(CueId(i))).chain([None]);
    let shown = Shown { marks: u64::MAX, props: u32::MAX };
    let mut all = Vec::new();
    for cue in cues {
        for mode in MODES {
            let states = if matches!(mode, Mode::Standby | Mode::Air) { &STATES[..] } else { &STATES[..1] };
            let scenic = mode == Mode::Air;
            all.extend(states.iter().map(|&state| View {
                shown,
                labels: true,
                scenic,
                ..View::new(mode, cue).with_all(state)
            }));
        }
    }
    all
}

/// Points, contours and shapes in use.
fn size(scene: &Scene<'_>) -> [usize; 3] {
    let contours: Vec<_> = scene.shapes().iter().flat_map(|s| scene.contours_of(s)).collect();
    [contours.iter().map(|c| scene.points_of(c).len()).sum(), contours.len(), scene.shapes().len()]
}

/// The most that any picture needs of a scene's three lists, with where.
fn most(name: &str, show: &Show) -> [(usize, String); 3] {
    let mut store = Box::new(Desk::new());
    let mut found = [const { (0, String::new()) }; 3];
    for view in views(show) {
        for canvas in 0..show.canvases.len() as u8 {
            let mut scene = store.scene();
            compose(show, &view.on_canvas(canvas), &mut scene).expect("room on a desk");
            for (slot, n) in found.iter_mut().zip(size(&scene)) {
                if n > slot.0 {
                    *slot = (n, format!("{name} {:?} cue {:?} canvas {canvas}", view.mode, view.cue.map(|c| c.0)));
                }
            }
        }
    }
    found
}

#[test]
fn what_is_left_out_of_a_canvas_touches_none_of_its_pixels() {
    let (mut whole, mut cut) = (Box::new(Desk::new()), Box::new(Desk::new()));
    let mut work = Box::new(DeskWork::new());
    for name in ALL_DEMOS {
        let (show, mut saved) = (demo(name), [0_usize; 2]);
        for view in views(&show) {
            let mut all = whole.scene();
            compose(&show, &view, &mut all).expect("room on a desk");
            for canvas in 0..show.canvases.len() {
                let mut part = cut.scene();
                compose(&show, &view.on_canvas(canvas as u8), &mut part).expect("room on a desk");
                saved = [saved[0] + size(&all)[0], saved[1] + size(&part)[0]];
                for block in show.blocks_of(canvas) {
                    let mut sum = |scene: &Scene<'_>| {
                        let (mut nowhere, rows) = (Nowhere, 0..u16::MAX);
                        let mut witness = Witness::new(&mut nowhere, 0);
                        paint_block(scene, block, rows, &mut work.work(), &mut witness).expect("a painted block");
                        witness.finish()
                    };
                    assert_eq!(sum(&part), sum(&all), "{name}, canvas {canvas}, block {}: {view:?}", block.name);
                }
            }
        }
        println!("{name}: {} of {} points are left", saved[1], saved[0]);
        assert!(saved[1] <= saved[0]);
        assert!(show.canvases.len() < 2 || saved[1] < saved[0] * 3 / 4, "{name}: nothing much is left out: {saved:?}");
    }
}

/// The three lists of the box's painter that a scene fills.
const LISTS: [&str; 3] = ["chains", "active chains", "events"];
const CAPACITIES: [usize; 3] = [limits::BOX_CHAINS, limits::BOX_ACTIVE, limits::BOX_EVENTS];

/// Which of the three lists hold a block's picture when they are these sizes and the others the box's.
fn holds<const CHAINS: usize, const ACTIVE: usize, const EVENTS: usize>(scene: &Scene<'_>, block: &Block) -> [bool; 3] {
    const WIDE: usize = limits::BOX_COLUMNS;
    fn done<const C: usize, const A: usize, const E: usize>(scene: &Scene<'_>, block: &Block) -> bool {
        let mut work = Box::new(WorkStore::<C, A, E, WIDE, { limits::BOX_SHAPES }>::new());
        paint_block(scene, block, 0..u16::MAX, &mut work.work(), &mut Nowhere).is_ok()
    }
    [
        done::<CHAINS, { limits::BOX_ACTIVE }, { limits::BOX_EVENTS }>(scene, block),
        done::<{ limits::BOX_CHAINS }, ACTIVE, { limits::BOX_EVENTS }>(scene, block),
        done::<{ limits::BOX_CHAINS }, { limits::BOX_ACTIVE }, EVENTS>(scene, block),
    ]
}

macro_rules! share {
    ($sixteenths:literal) => {
        (
            $sixteenths,
            holds::<
                { limits::BOX_CHAINS * $sixteenths / 16 },
                { limits::BOX_ACTIVE * $sixteenths / 16 },
                { limits::BOX_EVENTS * $sixteenths / 16 },
            > as fn(&Scene<'_>, &Block) -> [bool; 3],
        )
    };
}

type Seen = fn(&Scene<'_>, &Block) -> [bool; 3];

/// Shares of the box's lists to try, in sixteenths, rising to the whole.
const SHARES: [(usize, Seen); 7] = [share!(4), share!(8), share!(10), share!(12), share!(14), share!(15), share!(16)];

/// Raises each list's share in `need` until it holds the block's picture.
///
/// Panics when the box's own lists do not.
fn raise(need: &mut [(usize, String); 3], (scene, block): (&Scene<'_>, &Block), at: &str) {
    for (list, need) in need.iter_mut().enumerate() {
        while !SHARES[need.0].1(scene, block)[list] {
            *need = (need.0 + 1, at.into());
            assert!(need.0 < SHARES.len(), "{}: more than {}: {at}", LISTS[list], CAPACITIES[list]);
        }
    }
}

#[test]
fn every_picture_of_every_demo_fits_the_boxs_scene() {
    let capacities = [limits::BOX_POINTS, limits::BOX_CONTOURS, limits::BOX_SHAPES];
    let mut least = [0; 3];
    for name in ALL_DEMOS {
        for (i, (n, at)) in most(name, &demo(name)).into_iter().enumerate() {
            let list = ["points", "contours", "shapes"][i];
            println!("{list}: {n} of {}: {at}", capacities[i]);
            assert!(n <= capacities[i], "{list}: {n} of {}: {at}", capacities[i]);
            least[i] = n.max(least[i]);
        }
    }
    // Memory that no demo comes near would be better spent elsewhere.
    assert!(least.iter().zip(capacities).all(|(n, capacity)| n * 2 > capacity), "{least:?} of {capacities:?}");
}

#[test]
fn every_picture_of_every_demo_fits_the_boxs_painter() {
    let (mut store, mut work) = (Box::new(Desk::new()), Box::new(BoxWork::new()));
    let mut least = [0; 3];
    for name in ALL_DEMOS {
        let (show, mut need) = (demo(name), [const { (0, String::new()) }; 3]);
        for view in views(&show) {
            for canvas in 0..show.canvases.len() {
                let mut scene = store.scene();
                compose(&show, &view.on_canvas(canvas as u8), &mut scene).expect("room on a desk");
                for block in show.blocks_of(canvas) {
                    let at = format!("{:?} cue {:?} block {}", view.mode, view.cue.map(|c| c.0), block.name);
                    let done = paint_block(&scene, block, 0..u16::MAX, &mut work.work(), &mut Nowhere);
                    assert_eq!(done, Ok(()), "{name}, {at}: {view:?}");
                    // The modes that draw the most are measured as well.
                    if matches!(view.mode, Mode::Brief | Mode::Build) {
                        raise(&mut need, (&scene, block), &at);
                    }
                }
            }
        }
        for (i, (rung, at)) in need.iter().enumerate() {
            println!("{name}: {} at most {} sixteenths of {}: {at}", LISTS[i], SHARES[*rung].0, CAPACITIES[i]);
            least[i] = least[i].max(SHARES[*rung].0);
        }
    }
    assert!(least.iter().all(|&share| share > 8), "memory that no demo comes near: {least:?} sixteenths");
}
