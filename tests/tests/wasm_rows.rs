//! Bit identity with WebAssembly: the same pack and the same view give the same rows, checksum by checksum, on
//! the host and in a wasm32 module run by Node.js. WebAssembly's arithmetic is IEEE 754's without options, and
//! its compiler is not the host's: what agrees here leaves nothing to the platform.

use underfoot_core::device::Memory;
use underfoot_core::device::picture::{self, Canvases};
use underfoot_core::look::View;
use underfoot_core::look::view_bytes::view_to_bytes;
use underfoot_core::ports::Nowhere;
use underfoot_core::show::Show;
use underfoot_firmware::rig::walk::WalkRoom;
use underfoot_firmware::rig::zone::ZoneRoom;
use underfoot_tests::device::crowd::crowd;
use underfoot_tests::device::questions::{nudged, walk_here, walks, zone_here, zones};
use underfoot_tests::device::shows::{DEMOS, demo, packed};
use underfoot_tests::dice::Dice;
use underfoot_tests::floor_views;
use underfoot_tests::wasm_module;

const VIEWS: usize = 40;

/// The checksum of all rows, or `None` when the box's memory cannot hold the view: a wasm module has the same.
fn painted(show: &Show, view: &View, memory: &mut Memory) -> Option<u32> {
    let Memory { scene, work, .. } = memory;
    picture::paint(show, Canvases::All, view, (scene, work.painter()), &mut Nowhere).ok()
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
            let view = floor_views::any(&mut dice, &show);
            cases.extend(view_to_bytes(&view));
            due.push(painted(&show, &view, &mut memory));
        }
        cases.extend([0; 8]);
    }
    let different: std::collections::BTreeSet<_> = due.iter().collect();
    assert!(different.len() > VIEWS, "the views are not all the same picture");
    let fit = due.iter().flatten().count();
    // What must fit is checked elsewhere; here enough must be painted for the comparison to mean something.
    assert!(fit * 2 >= due.len(), "{fit} of {} views fit the box's memory", due.len());
    let answers = wasm_module::answers(&wasm_module::build(), &cases);
    let crcs: Vec<Option<u32>> = answers.iter().map(|line| u32::from_str_radix(line, 16).ok()).collect();
    assert_eq!(crcs, due);
}

fn hex(bytes: Vec<u8>) -> String {
    bytes.iter().map(|b| format!("{b:02x}")).collect()
}

#[test]
fn a_wasm_module_traces_the_hosts_zones() {
    let (mut cases, mut due, mut room) = (Vec::new(), Vec::new(), Box::new(ZoneRoom::new()));
    for name in ["clock-cabinet", "clock-cabinet-clean"] {
        let show = demo(name);
        let (pack, asks) = (packed(&show), zones(&show));
        cases.extend((pack.len() as u32).to_le_bytes());
        cases.extend(&pack);
        cases.extend(0_u32.to_le_bytes());
        cases.extend((asks.len() as u32).to_le_bytes());
        cases.extend(asks.iter().flat_map(|ask| [ask.cue, ask.mark, ask.class]));
        cases.extend(0_u32.to_le_bytes());
        due.extend(asks.iter().map(|&ask| hex(zone_here(&show, ask, &mut room))));
    }
    assert!(due.iter().filter(|line| line.starts_with("01") && line.len() > 200).count() >= 4, "{due:?}");
    assert_eq!(wasm_module::answers(&wasm_module::build(), &cases), due);
}

#[test]
fn a_wasm_module_plans_the_hosts_ways() {
    let (mut cases, mut due, mut room) = (Vec::new(), Vec::new(), Box::new(WalkRoom::new()));
    let mut dice = Dice::new(0x3A6);
    for mut show in DEMOS.into_iter().map(demo).chain([crowd()]) {
        let (pack, mut asks) = (packed(&show), walks(&show));
        let moved: Vec<_> = asks.iter().map(|&ask| nudged(&mut dice, &show, ask)).collect();
        asks.extend(moved);
        cases.extend((pack.len() as u32).to_le_bytes());
        cases.extend(&pack);
        cases.extend([0; 8]);
        cases.extend((asks.len() as u32).to_le_bytes());
        cases.extend(asks.iter().flat_map(|ask| ask.to_bytes()));
        due.extend(asks.iter().map(|&ask| hex(walk_here(&mut show, ask, &mut room))));
    }
    assert!(due.iter().filter(|line| line.starts_with("01") && line.len() > 2 * (17 + 24)).count() >= 12, "{due:?}");
    assert_eq!(wasm_module::answers(&wasm_module::build(), &cases), due);
}
