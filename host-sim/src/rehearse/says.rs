//! What the page may ask, as JSON: `{"id": 7, "ask": {"do": "key", "key": "go", "down": true}}`.
//!
//! Every ask gets one answer with its id: `{"answer": 7, "done": …}` or `{"answer": 7, "refused": "words"}`.
//! `host-sim/docs/rehearse.md` has the whole protocol.

use serde::{Deserialize, Serialize};
use serde_json::{Number, Value};

use super::boxes::{PageKey, PageMode, Pull};
use super::draft::edit::Change;

/// An ask with its number.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Envelope {
    /// Comes back with the answer.
    pub id: u64,
    /// What is asked.
    pub ask: Ask,
}

/// Reads an ask.
///
/// Numbers are made plain first: where any crate of the build has `serde_json` keep them as they were written, a tagged
/// ask could not read a fraction.
///
/// # Errors
/// What cannot be read.
pub fn read(text: &str) -> Result<Envelope, serde_json::Error> {
    let mut value: Value = serde_json::from_str(text)?;
    make_plain(&mut value);
    serde_json::from_value(value)
}

fn make_plain(value: &mut Value) {
    match value {
        Value::Number(number) if number.is_f64() => {
            if let Some(plain) = number.as_f64().and_then(Number::from_f64) {
                *number = plain;
            }
        }
        Value::Array(items) => items.iter_mut().for_each(make_plain),
        Value::Object(fields) => fields.values_mut().for_each(make_plain),
        _ => {}
    }
}

/// What the page may ask.
#[derive(Clone, Debug, Deserialize)]
#[serde(tag = "do", rename_all = "kebab-case", deny_unknown_fields)]
pub enum Ask {
    /// What others call me: a role, no name.
    Role {
        /// At most 16 characters.
        role: String,
    },
    /// To drive, or to drive no longer.
    Drive {
        /// True to drive.
        take: bool,
    },
    /// Look here: everybody sees it for a moment.
    Point {
        /// Stage metres.
        at: [f32; 2],
    },
    /// A remark to everybody.
    Remark {
        /// At most 200 characters.
        text: String,
        /// What place it is about, stage metres.
        #[serde(default)]
        at: Option<[f32; 2]>,
    },
    /// A key of the simulated box goes down or up.
    Key {
        /// Which.
        key: PageKey,
        /// Down or up.
        down: bool,
    },
    /// The desk asks the box for a mode beside the cue's own.
    Mode {
        /// "build", "brief", "standby", "air", "reset", "worklight"; `null` for the cue's own.
        mode: Option<PageMode>,
    },
    /// The boxes start anew at this cue, as if power had gone while it was lit and somebody restored it: GO never
    /// skips one, a rehearsal may.
    Begin {
        /// Its index.
        cue: u8,
    },
    /// Something of the stage is pulled out or put back.
    Pull(Pull),
    /// Somebody stands elsewhere than the plan has it; nowhere for as planned.
    Stand {
        /// The person's name.
        person: String,
        /// Stage metres; `null` for as planned.
        at: Option<[f32; 2]>,
    },
    /// The moment of the plan that everybody looks at.
    Look(Look),
    /// Changes the show.
    Edit {
        /// How.
        change: Change,
    },
    /// Takes the last change back.
    Undo,
    /// Makes it again.
    Redo,
    /// Writes the show to its file.
    Keep {
        /// A new file's name for a show that has none; a plain name that ends in `.toml`.
        #[serde(default, rename = "as")]
        name: Option<String>,
    },
    /// Takes the file as it is now; changes that were not kept are lost, and undo brings them back.
    Reload,
    /// Looks at a real or emulated box beside the simulated one.
    Attach {
        /// As `send --to` has it.
        to: String,
        /// Gives it the orders of the simulated box, too.
        #[serde(default)]
        orders: bool,
    },
    /// Lets the attached box alone.
    Detach,
}

impl Ask {
    /// True for what only the driver may do.
    pub const fn is_driving(&self) -> bool {
        !matches!(self, Self::Role { .. } | Self::Drive { .. } | Self::Point { .. } | Self::Remark { .. })
    }
}

/// A moment of the plan.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Look {
    /// True to follow the simulated box; the rest is then what it was.
    pub live: bool,
    /// Index of the cue; `null` before the first one.
    pub cue: Option<u8>,
    /// Seconds since the cue began.
    pub t_s: f32,
    /// True while time runs on.
    pub playing: bool,
    /// Seconds of the plan in one second.
    #[serde(default = "one")]
    pub speed: f32,
    /// A mode beside the cue's own: "brief", "standby", "air", "reset", "worklight", "build".
    #[serde(default)]
    pub mode: Option<String>,
}

const fn one() -> f32 {
    1.0
}
