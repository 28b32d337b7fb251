//! A picture given in stretches has the rows of the same picture painted at once, whatever its stretches are.

use underfoot_core::device::Memory;
use underfoot_core::look::View;
use underfoot_core::show::{CueId, Mode};
use underfoot_tests::device::host_rows::{rows, rows_in_stretches};
use underfoot_tests::device::shows::{DEMOS, demo};

/// From one row at a time to all of them.
const EFFORTS: [u32; 4] = [1, 20_000, 700_000, u32::MAX];

#[test]
fn stretches_of_any_effort_give_the_same_rows() {
    let mut memory = Box::new(Memory::new());
    for name in DEMOS {
        let show = demo(name);
        for (cue, mode) in [(1, Mode::Brief), (2, Mode::Standby), (0, Mode::Build), (1, Mode::Worklight)] {
            let view = View::new(mode, Some(CueId(cue)));
            let (whole, crc) = rows(&show, &view, &mut memory).expect("a view that fits");
            assert!(whole.iter().any(|row| !row.3.is_empty()), "{name} {mode:?}: a picture of something");
            let mut last = usize::MAX;
            for effort in EFFORTS {
                let (parts, same, stretches) = rows_in_stretches(&show, &view, &mut memory, effort).expect("as before");
                assert_eq!((same, parts == whole), (crc, true), "{name} {mode:?} in {stretches} stretches");
                assert!(stretches <= last, "more effort takes no more stretches");
                last = stretches;
            }
            // At the least effort a stretch is a row; at the most each canvas takes a scene and the end of its frame, and
            // each block a list of edges and all its rows.
            let most = 2 * (show.canvases.len() + show.blocks.len());
            assert!(last <= most, "{name} {mode:?}: {last} stretches");
        }
    }
}

#[test]
fn the_smallest_stretch_is_one_row() {
    let (show, mut memory) = (demo(DEMOS[0]), Box::new(Memory::new()));
    let view = View::new(Mode::Brief, Some(CueId(1)));
    let (rows, _, stretches) = rows_in_stretches(&show, &view, &mut memory, 1).expect("a view that fits");
    // Scene, edges and the end of the frame are stretches of their own.
    assert_eq!(stretches, rows.len() + 3);
}
