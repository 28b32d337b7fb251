//! What lighting desks send to the box's trigger slots: see `core/docs/sacn.md` for what the slots mean.

use std::path::Path;

/// Ten levels, and for how many milliseconds they are sent.
pub type Step = ([u8; 10], u32);

/// Nothing.
const REST: [u8; 10] = [0; 10];

/// Rests, names a cue (hundredths), presses GO, and rests again.
///
/// # Panics
/// For cues past 255.99, which slots cannot name.
pub fn go(cue: u32) -> Vec<Step> {
    let (mut named, mut pressed) = (REST, REST);
    (named[1], named[2]) = (u8::try_from(cue / 100).expect("a cue that slots can name"), (cue % 100) as u8);
    pressed[1..4].copy_from_slice(&[named[1], named[2], 255]);
    vec![(REST, 300), (named, 500), (pressed, 300), (REST, 200)]
}

/// Rests, and holds the last slot up for as long as OFF takes.
pub fn kill() -> Vec<Step> {
    let mut held = REST;
    held[9] = 255;
    vec![(REST, 1_200), (held, 1_600), (REST, 100)]
}

/// The command of a lighting desk in Python that sends `steps` to `address`.
///
/// # Panics
/// When there is no Python with the module.
pub fn python(address: &str, universe: u16, steps: &[Step]) -> std::process::Command {
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("fixtures/lighting/desk.py");
    let mut command = crate::python::with("sacn");
    command.arg(script).arg(address).arg(universe.to_string());
    for (levels, milliseconds) in steps {
        command.arg(format!("{}:{milliseconds}", levels.map(|level| level.to_string()).join(",")));
    }
    command
}
