//! A real or emulated box beside the simulated one: what it shows, and every pixel that differs from what it should.
//!
//! The box says which view its last whole picture was of, and that picture's checksum. The desk paints the same view with
//! its own core: equal checksums mean equal rows. Where they are not equal, the box is asked for every span.

mod compare;
mod look;
mod orders;
mod questions;
mod words;

use std::collections::BTreeMap;
use std::sync::{Arc, Mutex};
use std::thread;
use std::time::Duration;

use serde::Serialize;

use super::doings::Doings;
use crate::link::Target;
use crate::rehearse::draft::{Draft, Revision};
use crate::rehearse::house::lock;
use crate::rehearse::notices::{Kind, Notices};
use crate::render::{CanvasPixels, Picture};

/// Between two looks at the box.
const LOOKS: Duration = Duration::from_millis(250);
/// Between two calls of a box that is lost: time for another desk that took its line, as `send` does.
const CALLS: Duration = Duration::from_secs(2);

/// How an attached box is.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum State {
    /// It was not heard yet.
    #[default]
    Asking,
    /// It does not answer.
    Silent,
    /// It speaks no version of the link that can be compared.
    OtherVersion,
    /// It has another show, or none.
    OtherShow,
    /// It lights nothing that can be compared.
    NotCompared,
    /// Its floor is dark.
    Dark,
    /// Every pixel is as it should be.
    Same,
    /// Some pixels are not.
    Differs,
}

/// Where pixels differ, in pixels of their canvas from its first column and row.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Where {
    /// Column and row of the first one, row by row.
    pub first: [usize; 2],
    /// First and last column that have any.
    pub columns: [usize; 2],
    /// First and last row that have any.
    pub rows: [usize; 2],
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
    /// It gets the orders of the simulated box.
    pub obeys: bool,
    /// What came of the last order.
    pub order: String,
    /// Pixels that differ, for every canvas that was seen.
    pub differing: BTreeMap<String, usize>,
    /// Where they are, on canvases that have any.
    pub within: BTreeMap<String, Where>,
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
    teller: Teller,
    shown: Arc<Mutex<Shown>>,
}

/// Tells everybody, until it is over: what comes later than that would bring a detached box back.
#[derive(Clone, Debug)]
struct Teller {
    over: Arc<Mutex<bool>>,
    notices: Arc<Notices>,
}

impl Teller {
    /// Tells of the box, unless nobody wants to know any more.
    fn tell(&self, told: &Told) {
        let over = lock(&self.over);
        if !*over {
            self.notices.pin(Kind::Attached, told);
        }
    }

    fn is_over(&self) -> bool {
        *lock(&self.over)
    }
}

impl Attached {
    /// Looks at the box at `to` from now on. With `doings`, what is done at the simulated box is done at it, too.
    ///
    /// # Errors
    /// Words about an address that cannot be read, or a thread that cannot be had.
    pub fn start(
        to: &str,
        draft: Arc<Mutex<Draft>>,
        notices: Arc<Notices>,
        doings: Option<Arc<Doings>>,
    ) -> Result<Self, String> {
        let target: Target = to.parse().map_err(|e: crate::link::BadTarget| e.to_string())?;
        let (teller, shown) = (Teller { over: Arc::default(), notices }, Arc::<Mutex<Shown>>::default());
        let (words, obeys) = (format!("calling {to}"), doings.is_some());
        let told = Told { to: Some(to.to_owned()), words, obeys, ..Told::default() };
        // Orders from before it was attached are not meant for it.
        doings.iter().for_each(|doings| drop(doings.take()));
        teller.tell(&told);
        let mut looker = look::Looker::new(target, told, Arc::clone(&shown), teller.clone(), doings);
        let work = move || {
            while !looker.is_over() {
                let revision: Arc<Revision> = lock(&draft).now();
                looker.look(&revision);
                looker.tell();
                looker.wait();
            }
        };
        let thread = thread::Builder::new().name("attached".into());
        thread.spawn(work).map_err(|e| format!("no thread for the box: {e}"))?;
        Ok(Self { teller, shown })
    }

    /// Looks at what it shows now; what is wanted of it is copied, not all of it.
    pub(in crate::rehearse) fn shown<T>(&self, look: impl FnOnce(&Shown) -> T) -> T {
        look(&lock(&self.shown))
    }
}

impl Drop for Attached {
    fn drop(&mut self) {
        *lock(&self.teller.over) = true;
    }
}
