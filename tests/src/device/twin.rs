//! A box's engine beside the box: stepped by the same inputs, it says which pictures the box may have on its floor.

use std::collections::BTreeSet;

use underfoot_core::device::Memory;
use underfoot_core::device::picture::{self, Canvases};
use underfoot_core::engine::{Input, State, step};
use underfoot_core::link::Report;
use underfoot_core::ports::Nowhere;
use underfoot_core::show::Show;
use underfoot_core::units::{Duration, Instant};
use underfoot_sim::link::Session;

/// The engine of a box. The box's own time of an input is not known here, but that pictures change by the show's
/// frames, counted from the start of a cue, is.
pub struct Twin {
    show: Box<Show>,
    state: State,
    now: Instant,
    memory: Box<Memory>,
}

impl Twin {
    /// The engine of a box that has just got power with `show`.
    pub fn new(show: &Show) -> Self {
        let memory = Box::new(Memory::new());
        Self { show: Box::new(show.clone()), state: State::power_up(), now: Instant::from_millis(60_000), memory }
    }

    /// Hands it an input, two seconds after the last one: nothing is locked out, and nothing fades any more.
    pub fn enter(&mut self, input: Input<'_>) {
        self.now = self.now.after(Duration::from_millis(2_000));
        let (state, output) = step(self.state, &self.show, self.now, input);
        assert_eq!(output.verdict, Ok(()), "{input:?}");
        self.state = state;
    }

    /// Checksums of the pictures of controller 1 in the first `frames` frames after the last input.
    pub fn pictures(&mut self, frames: u64) -> BTreeSet<u32> {
        let rate = self.show.frame_rate;
        let frame_us = |k: u64| (k * 1_000_000 * u64::from(rate.den)).div_ceil(rate.num.into());
        let (mut last, mut all) = (None, BTreeSet::new());
        for k in 0..frames {
            let at = self.now.after(Duration::from_micros(frame_us(k)));
            let state = step(self.state, &self.show, at, Input::Tick).0;
            let view = state.view(&self.show, at);
            if last.replace(view) != Some(view) {
                let Memory { scene, work, .. } = &mut *self.memory;
                all.insert(
                    picture::paint(&self.show, Canvases::RowsOf(1), &view, (scene, work.painter()), &mut Nowhere)
                        .expect("room in a box"),
                );
            }
        }
        all
    }

    /// Waits until one of the first three seconds' pictures after the last input is on the box's floor.
    ///
    /// # Panics
    /// When none is within 20 seconds, or the box does not answer.
    pub fn lights_up(&mut self, session: &mut Session) -> Report {
        let rate = self.show.frame_rate;
        let due = self.pictures(u64::from(3 * rate.num / rate.den));
        let patience = std::time::Instant::now() + std::time::Duration::from_secs(20);
        loop {
            let report = session.report().expect("a report");
            if due.contains(&report.picture_crc) {
                return report;
            }
            assert!(std::time::Instant::now() < patience, "{report:?}: the box's rows are none of the desk's");
        }
    }
}
