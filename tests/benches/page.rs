//! How long people wait at the rehearse page for what a change does, in a real browser on this machine: 16 steps of one
//! thing, from the key to the findings on the screen. The brief asks for a second (trust test 22).
//!
//! It says something on a machine that does nothing else.

use underfoot_tests::browser::{drive, rehearse};

/// A thing that is in many cues of each demo.
const THINGS: [(&str, &str); 5] = [
    ("clock-cabinet", "WATCH"),
    ("harbour-hour", "LIGHTHOUSE"),
    ("harbour-hour", "P1"),
    ("lantern-field", "TOWER"),
    ("lantern-field", "1"),
];

fn main() {
    for (demo, thing) in THINGS {
        let address = rehearse(&[demo], 1);
        print!("{demo}, {}", drive("wait.mjs", &[&address[0], thing]));
    }
}
