//! Bit identity with WebAssembly: the same pack and the same view give the same rows, checksum by checksum, on
//! the host and in a wasm32 module run by Node.js. WebAssembly's arithmetic is IEEE 754's without options, and
//! its compiler is not the host's: what agrees here leaves nothing to the platform.

use std::convert::Infallible;

use underfoot_core::device::{Memory, Witness};
use underfoot_core::look::{View, compose};
use underfoot_core::paint::{RowTarget, Span, paint_block};
use underfoot_core::show::{CueId, Show};
use underfoot_firmware::rig::command::{MODES, view_to_bytes};
use underfoot_tests::device::shows::{DEMOS, demo, packed};
use underfoot_tests::dice::Dice;
use underfoot_tests::wasm_module;

const VIEWS: usize = 40;

fn view(dice: &mut Dice, show: &Show) -> View {
    let mode = MODES[dice.below(MODES.len())];
    let cue = CueId(dice.below(show.cues.len()) as u8);
    View { labels: dice.one_in(2), pulse: dice.byte(), drift: dice.byte(), ..View::new(mode, Some(cue)) }
}

/// The checksum of all rows, or `None` when the box's memory cannot hold the view: a wasm module has the same.
fn painted(show: &Show, view: &View, memory: &mut Memory) -> Option<u32> {
    let Memory { scene, work, .. } = memory;
    let mut nowhere = Nowhere;
    let mut witness = Witness::new(&mut nowhere, 0);
    for canvas in 0..show.canvases.len() {
        let mut scene = scene.scene();
        compose(show, &View { canvas: Some(canvas as u8), ..*view }, &mut scene).ok()?;
        for block in show.blocks_of(canvas) {
            paint_block(&scene, block, 0..u16::MAX, &mut work.work(), &mut witness).ok()?;
        }
    }
    Some(witness.finish())
}

struct Nowhere;

impl RowTarget for Nowhere {
    type Error = Infallible;

    fn begin_row(&mut self, _row: u16, _start: u16, _end: u16) -> Result<(), Infallible> {
        Ok(())
    }

    fn span(&mut self, _span: Span) -> Result<(), Infallible> {
        Ok(())
    }

    fn end_row(&mut self) -> Result<(), Infallible> {
        Ok(())
    }
}

#[test]
fn a_wasm_module_paints_the_hosts_rows() {
    let (mut dice, mut memory) = (Dice::new(0x3A5), Box::new(Memory::new()));
    let (mut cases, mut due) = (Vec::new(), Vec::new());
    for name in DEMOS {
        let show = demo(name);
        let pack = packed(&show);
        cases.extend((pack.len() as u32).to_le_bytes());
        cases.extend(&pack);
        cases.extend((VIEWS as u32).to_le_bytes());
        for _ in 0..VIEWS {
            let view = view(&mut dice, &show);
            cases.extend(view_to_bytes(&view));
            due.push(painted(&show, &view, &mut memory));
        }
    }
    let different: std::collections::BTreeSet<_> = due.iter().collect();
    assert!(different.len() > VIEWS, "the views are not all the same picture");
    let fit = due.iter().flatten().count();
    // What must fit is checked elsewhere; here enough must be painted for the comparison to mean something.
    assert!(fit * 2 >= due.len(), "{fit} of {} views fit the box's memory", due.len());
    assert_eq!(wasm_module::checksums(&wasm_module::build(), &cases), due);
}
