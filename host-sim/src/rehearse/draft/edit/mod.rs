//! Changes of the show file's text.

use serde::Deserialize;

/// What is changed. Names are those of the show file; lengths in stage metres, angles in degrees.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(tag = "what", rename_all = "kebab-case", deny_unknown_fields)]
pub enum Change {
    /// A prop goes to another place, its moves with it.
    MoveProp {
        /// Its name.
        name: String,
        /// Where to.
        to: [f64; 2],
    },
    /// A prop is turned to another heading.
    TurnProp {
        /// Its name.
        name: String,
        /// Counter-clockwise from above.
        deg: f64,
    },
    /// A mark goes to another place.
    MoveMark {
        /// Its name.
        name: String,
        /// Where to.
        to: [f64; 2],
    },
    /// A mark faces another way.
    TurnMark {
        /// Its name.
        name: String,
        /// Counter-clockwise from stage left.
        deg: f64,
    },
    /// A camera stands elsewhere, with all its shots that have no place of their own.
    MoveCamera {
        /// Its name.
        name: String,
        /// Where to; its height stays without the third.
        to: [f64; 2],
        /// Its height.
        #[serde(default)]
        z: Option<f64>,
    },
    /// A shot of one key looks elsewhere.
    AimShot {
        /// Its name.
        name: String,
        /// What is in the middle of its picture.
        look: [f64; 3],
    },
    /// A shot of one key has another focal length.
    ZoomShot {
        /// Its name.
        name: String,
        /// Millimetres.
        focal_mm: f64,
    },
    /// Time that a cue's walks may take.
    LimitCue {
        /// Its number, as "4.5".
        number: String,
        /// Seconds.
        seconds: f64,
    },
}
