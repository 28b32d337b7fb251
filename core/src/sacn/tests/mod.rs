//! The lighting desk, the streams, and what they are made of.

mod packets;
mod receiver;
mod slots;
mod strip;
mod trouble;

use std::vec::Vec;

use super::packet::{HEADER_BYTES, PACKET_BYTES};
use super::table::{HIGH, JOBS, Job, KILL, LOW, MODES, cue_of, level_of, mode_of};
use super::*;
use crate::engine::{Fault, Input, Sense, Source};
use crate::show::{CueId, Mode, Show};
use crate::test_support::samples;
use crate::units::{Duration, Instant};

const UNIVERSE: u16 = 258;
/// Packets of a desk at 40 a second.
const STEP: Duration = Duration::from_millis(25);

const HEADER: Header<'static> = Header {
    cid: Cid([7; 16]),
    name: b"floor",
    priority: 100,
    sync_address: 0,
    sequence: 0,
    preview: false,
    terminated: false,
    force_sync: false,
    universe: UNIVERSE,
};

fn sent(header: Header<'_>, start_code: u8, slots: &[u8]) -> Vec<u8> {
    let mut bytes = [0; PACKET_BYTES];
    let len = write(&Data { header, start_code, slots }, &mut bytes).unwrap();
    bytes[..len].to_vec()
}

fn levels(mode: u8, cue: (u8, u8), go: u8, level: u8, kill: u8) -> Levels {
    [mode, cue.0, cue.1, go, level, 0, 0, 0, 0, kill]
}

/// A desk on one wire and the box's side of it.
struct Bench {
    show: Show,
    desk: Desk,
    now: Instant,
    sequence: u8,
    header: Header<'static>,
    inputs: Vec<Input<'static>>,
}

impl Bench {
    fn new() -> Self {
        let mut show = samples::small();
        show.control.slots_universe = UNIVERSE;
        let mut desk = Desk::new();
        assert!(desk.tune(&show) && !desk.tune(&show));
        Self { show, desk, now: Instant::from_millis(9_000), sequence: 200, header: HEADER, inputs: Vec::new() }
    }

    /// The desk has been there for a while, silent.
    fn there() -> Self {
        let mut bench = Self::new();
        bench.hold(levels(0, (0, 0), 0, 0, 0), 2_000);
        assert_eq!(bench.take(), [Input::Sense(Sense::Fault(Fault::Desk, false))]);
        bench
    }

    fn bytes(&mut self, bytes: &[u8]) {
        let input = self.desk.hear(bytes, &self.show, self.now).unwrap();
        self.inputs.extend(input);
    }

    fn packet(&mut self, levels: Levels) {
        self.sequence = self.sequence.wrapping_add(1);
        let header = Header { sequence: self.sequence, ..self.header };
        self.bytes(&sent(header, 0, &levels));
    }

    fn wait(&mut self, millis: u64) {
        for _ in 0..millis {
            self.now = self.now.after(Duration::from_millis(1));
            let input = self.desk.pass(&self.show, self.now);
            self.inputs.extend(input);
        }
    }

    fn hold(&mut self, levels: Levels, millis: u64) {
        for _ in 0..millis / STEP.as_millis() {
            self.packet(levels);
            self.wait(STEP.as_millis());
        }
    }

    fn take(&mut self) -> Vec<Input<'static>> {
        core::mem::take(&mut self.inputs)
    }

    fn name_of(&self, cue: usize) -> (u8, u8) {
        let number = self.show.cues[cue].number;
        ((number / 100) as u8, (number % 100) as u8)
    }

    fn go(&mut self, cue: usize) -> Vec<Input<'static>> {
        let name = self.name_of(cue);
        self.hold(levels(0, name, 0, 0, 0), 150);
        self.hold(levels(0, name, 255, 0, 0), 150);
        self.take()
    }
}

fn go_to(cue: u8) -> Input<'static> {
    Input::Go { to: CueId(cue), from: Source::Slots }
}

fn mode(mode: Option<Mode>) -> Input<'static> {
    Input::Mode { mode, from: Source::Slots }
}

const OFF: Input<'static> = Input::Off { from: Source::Slots };
const LOST: Input<'static> = Input::Sense(Sense::Fault(Fault::Desk, true));
const FOUND: Input<'static> = Input::Sense(Sense::Fault(Fault::Desk, false));
