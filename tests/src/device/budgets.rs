//! `firmware/budgets.toml`, and what an image takes of flash and RAM.

use std::path::Path;

use object::{Object, ObjectSection, ObjectSegment, SectionFlags};
use serde::Deserialize;

/// Most that one image may take.
#[derive(Clone, Copy, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Budget {
    /// Bytes of flash: code, constants and initial values.
    pub flash: u64,
    /// Bytes of static RAM.
    pub ram: u64,
    /// Bytes of stack.
    pub stack: u64,
}

/// Most instructions that one picture may take.
#[derive(Clone, Copy, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Work {
    /// Composing the scene.
    pub compose: u64,
    /// Painting it row by row into the line buffer.
    pub paint: u64,
}

/// Most instructions that answers about places may take.
#[derive(Clone, Copy, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Places {
    /// A new pose of eight cameras: which of 24 marks are hidden, with 16 parts in the picture and none covered.
    pub update: u64,
    /// The same when every mark is covered by the last part only, and every camera travels.
    pub update_all_covered: u64,
    /// The slowest zone of a cue's person on the mark.
    pub zone: u64,
    /// Bytes of stack for live answers, with the lists that the rig holds there.
    pub update_stack: u64,
    /// Bytes of stack for zones.
    pub zone_stack: u64,
}

/// Most that planning one walk line may take.
#[derive(Clone, Copy, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Walk {
    /// Instructions for a line of the demo of a 3 m stage after a prop was moved.
    pub re_plan: u64,
    /// The same for the slowest of 12 lines among 32 props.
    pub re_plan_crowded: u64,
    /// Bytes of stack.
    pub stack: u64,
}

/// Most instructions that keys may have to wait for while a picture is painted.
#[derive(Clone, Copy, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Stretches {
    /// One stretch of rows.
    pub rows: u64,
    /// One stretch that lists the edges of a block.
    pub edges: u64,
    /// One stretch that composes the scene of a canvas.
    pub compose: u64,
    /// From a key that has settled to the first row with light in it, on the small stage.
    pub first_row: u64,
}

/// Most instructions from a key to the floor, on the small stage, the box's real image in hand.
#[derive(Clone, Copy, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Press {
    /// From GO, settled, on a dark floor to the first row with light.
    pub first_row: u64,
    /// From GO, settled, in the middle of a picture to the next one's first row with light.
    pub next_row: u64,
    /// Between two looks at the keys.
    pub look: u64,
    /// Between two polls, which take what was seen of the keys.
    pub poll: u64,
    /// From OFF, settled, in the middle of a picture to a dark floor.
    pub dark: u64,
}

/// Pictures a second of the small stage, should an instruction take one cycle.
#[derive(Clone, Copy, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Frames {
    /// Clock of the slower part, a Cortex-M4F, hertz.
    pub m4f_hz: u64,
    /// Clock of the faster part, a Cortex-M7, hertz.
    pub m7_hz: u64,
    /// Fewest of the slowest picture, on the slower part.
    pub m4f: f64,
    /// The same on the faster part.
    pub m7: f64,
}

/// The whole file.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Budgets {
    /// The box's image.
    #[serde(rename = "box")]
    pub box_image: Budget,
    /// The slowest cue picture of the demo of a 3 m stage.
    pub small_stage: Work,
    /// A picture in stretches.
    pub stretches: Stretches,
    /// From a key to the floor.
    pub press: Press,
    /// Pictures a second.
    pub frames: Frames,
    /// Hidden marks of a full show, and zones of the demo of a 3 m stage.
    pub places: Places,
    /// Walk lines planned anew.
    pub walk: Walk,
}

impl Budgets {
    /// Reads the file.
    ///
    /// # Panics
    /// When it is not there or not readable.
    pub fn load() -> Self {
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../firmware/budgets.toml");
        let text = std::fs::read_to_string(path).expect("firmware/budgets.toml");
        toml::from_str(&text).expect("budgets as the test knows them")
    }
}

/// Holds what was measured to its budget, and the budget to what was measured.
///
/// # Panics
/// When it is over the budget, or so far below that the budget guards nothing.
pub fn within(what: &str, measured: u64, budget: u64) {
    println!("{what}: {measured} of {budget}");
    assert!(measured <= budget, "{what}: {measured} is over the budget of {budget}");
    assert!(measured > budget / 4, "{what}: {measured} is far below the budget of {budget}: lower it");
}

/// What an image takes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Taken {
    /// Bytes of flash.
    pub flash: u64,
    /// Bytes of static RAM.
    pub ram: u64,
}

/// Where the boards' RAM begins.
const RAM_START: u64 = 0x2000_0000;

/// Measures an ELF file: what is loaded lies in flash; what lives at RAM addresses is RAM, whether loaded or zeroed.
///
/// # Panics
/// When the file is no ELF file.
pub fn taken(image: &Path) -> Taken {
    let bytes = std::fs::read(image).expect("the image");
    let elf = object::File::parse(&*bytes).expect("an ELF file");
    let flash = elf.segments().map(|s| s.file_range().1).sum();
    let in_memory =
        |flags| matches!(flags, SectionFlags::Elf { sh_flags } if sh_flags & u64::from(object::elf::SHF_ALLOC) != 0);
    let ram = elf.sections().filter(|s| s.address() >= RAM_START && in_memory(s.flags())).map(|s| s.size()).sum();
    Taken { flash, ram }
}
