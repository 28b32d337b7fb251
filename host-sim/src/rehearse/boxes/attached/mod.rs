//! A real or emulated box beside the simulated one: what it shows, and every pixel that differs from what it should.
//!
//! The box says which view its last whole picture was of, and that picture's checksum. The desk paints the same view with
//! its own core: equal checksums mean equal rows. Where they are not equal, the box is asked for every span.

mod compare;
mod look;

use std::collections::BTreeMap;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Mutex};
use std::thread;
use std::time::Duration;

use serde::Serialize;

use crate::link::Target;
use crate::rehearse::draft::{Draft, Revision};
use crate::rehearse::house::lock;
use crate::rehearse::notices::{Kind, Notices};
use crate::render::{CanvasPixels, Picture};

/// Between two looks at the box.
const LOOKS: Duration = Duration::from_millis(250);

/// How an attached box is.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum State {
    /// It was not heard yet.
    #[default]
    Asking,
    /// It does not answer.
    Silent,
    /// It has another show.
    OtherShow,
    /// Its floor is dark.
    Dark,
    /// Every pixel is as it should be.
    Same,
    /// Some pixels are not.
    Differs,
}

/// What everybody is told of it.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Told {
    /// Where it is; nothing when none is attached.
    pub to: Option<String>,
    /// How it is.
    pub state: State,
    /// The same in words, with what to do.
    pub words: String,
    /// Its mode.
    pub mode: Option<&'static str>,
    /// Index of the cue on its floor.
    pub cue: Option<u8>,
    /// Its show code.
    pub code: Option<String>,
    /// Pixels that differ, canvas by canvas.
    pub differing: BTreeMap<String, usize>,
    /// Pictures that were compared since it was attached.
    pub compared: u64,
    /// Goes up when its display changed.
    pub display: u64,
    /// Goes up when its rows changed.
    pub rows: u64,
}

/// What it shows.
#[derive(Clone, Debug, Default)]
pub(in crate::rehearse) struct Shown {
    /// Its small display.
    pub(in crate::rehearse) display: Option<Picture>,
    /// Its canvases, by their index in the show.
    pub(in crate::rehearse) canvases: BTreeMap<u8, CanvasPixels>,
    /// For each canvas, true for every pixel that differs.
    pub(in crate::rehearse) differs: BTreeMap<u8, Vec<bool>>,
}

/// A box that is looked at until this value is gone.
#[derive(Debug)]
pub struct Attached {
    over: Arc<AtomicBool>,
    shown: Arc<Mutex<Shown>>,
}

impl Attached {
    /// Looks at the box at `to` from now on.
    ///
    /// # Errors
    /// Words about an address that cannot be read, or a thread that cannot be had.
    pub fn start(to: &str, draft: Arc<Mutex<Draft>>, notices: Arc<Notices>) -> Result<Self, String> {
        let target: Target = to.parse().map_err(|e: crate::link::BadTarget| e.to_string())?;
        let (over, shown) = (Arc::<AtomicBool>::default(), Arc::<Mutex<Shown>>::default());
        let told = Told { to: Some(to.to_owned()), words: "asking the box".into(), ..Told::default() };
        notices.pin(Kind::Attached, &told);
        let mut looker = look::Looker::new(target, told, Arc::clone(&shown));
        let ended = Arc::clone(&over);
        let work = move || {
            while !ended.load(Ordering::Relaxed) {
                let revision: Arc<Revision> = lock(&draft).now();
                looker.look(&revision);
                if !ended.load(Ordering::Relaxed) {
                    notices.pin(Kind::Attached, looker.told());
                }
                thread::sleep(LOOKS);
            }
        };
        thread::Builder::new()
            .name("attached".into())
            .spawn(work)
            .map_err(|e| format!("no thread for the box: {e}"))?;
        Ok(Self { over, shown })
    }

    /// Looks at what it shows now; what is wanted of it is copied, not all of it.
    pub(in crate::rehearse) fn shown<T>(&self, look: impl FnOnce(&Shown) -> T) -> T {
        look(&lock(&self.shown))
    }
}

impl Drop for Attached {
    fn drop(&mut self) {
        self.over.store(true, Ordering::Relaxed);
    }
}
