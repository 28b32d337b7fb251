//! From a press to the light, in the box's own time.

use underfoot_core::engine::State;
use underfoot_core::units::Instant;

use super::rows::Rows;

/// Room for the presses of one hour, so that none takes anything from the heap.
const PRESSES: usize = 4_096;

/// Presses under way, and how long the ones before took, milliseconds.
#[derive(Clone, Debug)]
pub struct Latency {
    /// From GO to the first row of the new picture.
    pub rows: Vec<u64>,
    /// From GO to the whole picture.
    pub wholes: Vec<u64>,
    /// From OFF to a dark floor.
    pub offs: Vec<u64>,
    /// Advances so far, whoever made them.
    pub advances: u64,
    advanced: Option<Instant>,
    go: Option<Go>,
    off: Option<Instant>,
}

/// GO, on its way.
#[derive(Clone, Copy, Debug)]
struct Go {
    pressed: Instant,
    /// Since when the new cue is there.
    taken: Option<Instant>,
    has_row: bool,
}

impl Latency {
    /// Nothing measured.
    pub fn new() -> Self {
        let room = || Vec::with_capacity(PRESSES);
        let (rows, wholes, offs) = (room(), room(), room());
        Self { rows, wholes, offs, advances: 0, advanced: None, go: None, off: None }
    }

    /// Forgets what was measured.
    pub fn clear(&mut self) {
        self.rows.clear();
        self.wholes.clear();
        self.offs.clear();
    }

    /// GO goes down and will be taken.
    pub const fn press(&mut self, now: Instant) {
        self.go = Some(Go { pressed: now, taken: None, has_row: false });
    }

    /// OFF goes down.
    pub const fn press_off(&mut self, now: Instant, lit: bool) {
        (self.go, self.off) = (None, if lit { Some(now) } else { None });
    }

    /// Nothing is under way any more: what gave no picture until now was dark, and stays dark.
    pub const fn end(&mut self) {
        (self.go, self.off) = (None, None);
    }

    /// Looks at what came of a poll; true when it brought another cue.
    pub fn look(&mut self, state: &State, rows: Rows, now: Instant) -> bool {
        let is_new = state.advanced != self.advanced;
        self.advanced = state.advanced;
        self.advances += u64::from(is_new);
        if let Some(pressed) = self.off
            && let Some(dark) = rows.blank.filter(|at| *at >= pressed)
        {
            self.offs.push(dark.since(pressed).as_millis());
            self.off = None;
        }
        if let Some(mut go) = self.go.take() {
            go.taken = go.taken.or(is_new.then_some(now));
            self.go = self.follow(go, rows);
        }
        is_new
    }

    /// Looks at the way of one press; `None` when it is at its end.
    fn follow(&mut self, mut go: Go, rows: Rows) -> Option<Go> {
        let Some(taken) = go.taken else { return Some(go) };
        let since = |at: Option<Instant>| at.filter(|at| *at >= taken).map(|at| at.since(go.pressed).as_millis());
        // A dark cue makes everything dark at once; rows count of a frame that was begun for the new cue.
        let dark = since(rows.blank);
        let (row, whole) = if rows.begun >= taken { (since(rows.row), since(rows.whole)) } else { (None, None) };
        let whole = dark.or(whole);
        if let Some(ms) = dark.or(row).or(whole).filter(|_| !go.has_row) {
            self.rows.push(ms);
            go.has_row = true;
        }
        self.wholes.extend(whole);
        whole.is_none().then_some(go)
    }
}

impl Default for Latency {
    fn default() -> Self {
        Self::new()
    }
}
