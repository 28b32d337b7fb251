//! The host's end of the test rig: two pipes that the image opens through semihosting.

use std::fs::{File, OpenOptions};
use std::io::{ErrorKind, Read, Write};
use std::os::unix::fs::OpenOptionsExt;
use std::process::Command;
use std::thread;
use std::time::Duration;

use underfoot_core::look::View;
use underfoot_core::look::view_bytes::view_to_bytes;
use underfoot_core::paint::{Rgba, Span};
use underfoot_firmware::rig::command::{PAINTED_BYTES, Painted, Record, STRETCHES_BYTES, Stretches};
use underfoot_firmware::rig::live::CameraAsk;
use underfoot_firmware::rig::walk::WalkAsk;
use underfoot_firmware::rig::zone::ZoneAsk;

use super::emulator::{Board, Emulator};
use super::images::{Image, Profile, image};
use super::scratch::Scratch;

/// Linux's flag for reads that do not wait.
const NO_WAIT: i32 = 0o4000;
const NAP: Duration = Duration::from_micros(50);

/// A running rig.
#[derive(Debug)]
pub struct Rig {
    emulator: Emulator,
    to_rig: File,
    from_rig: File,
    _folder: Scratch,
}

/// A zone as the rig traced it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TracedThere {
    /// Its answer, see [`underfoot_firmware::rig::zone`].
    pub answer: Vec<u8>,
    /// Clock ticks of tracing it.
    pub ticks: u64,
    /// Most bytes of stack used so far.
    pub stack: u32,
}

/// A walk line as the rig planned it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PlannedThere {
    /// Its answer, see [`underfoot_firmware::rig::walk`].
    pub answer: Vec<u8>,
    /// Clock ticks of planning it, the list of what it goes round included.
    pub ticks: u32,
    /// Most bytes of stack used so far.
    pub stack: u32,
}

/// Which marks are hidden, as the rig answered.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct HiddenThere {
    /// Bit i for place i of the cue.
    pub marks: u64,
    /// Clock ticks of what a new pose costs.
    pub ticks: u32,
    /// Most bytes of stack used so far.
    pub stack: u32,
}

/// One painted row: number, start, end and spans.
pub type Row = (u16, u16, u16, Vec<Span>);

impl Rig {
    /// Starts the rig's image; with `counting`, clock ticks are instructions.
    ///
    /// # Panics
    /// When the image does not build or the emulator does not start.
    pub fn start(board: Board, profile: Profile, counting: bool, seconds: u32) -> Self {
        let folder = Scratch::new();
        let image = image(Image::Rig, board, profile);
        for name in ["to_rig", "from_rig"] {
            let made = Command::new("mkfifo").arg(folder.path().join(name)).status();
            assert!(made.is_ok_and(|s| s.success()), "mkfifo of coreutils");
        }
        let mut open = OpenOptions::new();
        // Opened both ways and without waiting, so that an emulator that dies at once cannot hang the test.
        let to_rig = open.read(true).write(true).open(folder.path().join("to_rig")).expect("the pipe to the rig");
        let from_rig = OpenOptions::new().read(true).custom_flags(NO_WAIT).open(folder.path().join("from_rig"));
        let mut command = Emulator::command(&image, folder.path(), seconds);
        command.args(["-machine", &format!("mps2-{}", board.name()), "-serial", "null", "-serial", "file:log.bin"]);
        if counting {
            Emulator::count_instructions(&mut command);
        }
        let emulator = Emulator::start(command);
        Self { emulator, to_rig, from_rig: from_rig.expect("the pipe from the rig"), _folder: folder }
    }

    fn read(&mut self, bytes: &mut [u8]) {
        let mut done = 0;
        while done < bytes.len() {
            match self.from_rig.read(&mut bytes[done..]) {
                Ok(0) => self.nap(),
                Ok(len) => done += len,
                Err(e) if e.kind() == ErrorKind::WouldBlock => self.nap(),
                Err(e) => panic!("the pipe from the rig: {e}"),
            }
        }
    }

    fn nap(&mut self) {
        assert!(self.emulator.is_running(), "the rig ended or ran out of time");
        thread::sleep(NAP);
    }

    fn write(&mut self, bytes: &[u8]) {
        self.to_rig.write_all(bytes).expect("the pipe to the rig");
    }

    /// Gives the rig a pack; true when it was taken.
    pub fn take_pack(&mut self, pack: &[u8]) -> bool {
        self.write(b"P");
        self.write(&(pack.len() as u32).to_le_bytes());
        self.write(pack);
        let mut taken = [0];
        self.read(&mut taken);
        taken[0] == 1
    }

    /// Has a view painted.
    pub fn paint(&mut self, view: &View) -> Painted {
        self.write(b"V");
        self.write(&view_to_bytes(view));
        let mut bytes = [0; PAINTED_BYTES];
        self.read(&mut bytes);
        Painted::from_bytes(&bytes)
    }

    /// Has a view painted in stretches of `effort`.
    pub fn stretches(&mut self, view: &View, effort: u32) -> Stretches {
        self.write(b"S");
        self.write(&effort.to_le_bytes());
        self.write(&view_to_bytes(view));
        let mut bytes = [0; STRETCHES_BYTES];
        self.read(&mut bytes);
        Stretches::from_bytes(&bytes)
    }

    /// Has a zone traced.
    pub fn zone(&mut self, ask: ZoneAsk) -> TracedThere {
        self.write(&[b'Z', ask.cue, ask.mark, ask.class]);
        let mut head = [0; 16];
        self.read(&mut head);
        let [ticks, rest] = [0, 8].map(|at| u64::from_le_bytes(std::array::from_fn(|i| head[at + i])));
        let mut answer = vec![0; (rest >> 32) as usize];
        self.read(&mut answer);
        TracedThere { answer, ticks, stack: rest as u32 }
    }

    /// Has a walk line planned.
    pub fn walk(&mut self, ask: WalkAsk) -> PlannedThere {
        self.write(b"W");
        self.write(&ask.to_bytes());
        let [mut ticks, mut stack, mut len] = [[0; 4]; 3];
        [&mut ticks, &mut stack, &mut len].into_iter().for_each(|number| self.read(number));
        let mut answer = vec![0; u32::from_le_bytes(len) as usize];
        self.read(&mut answer);
        PlannedThere { answer, ticks: u32::from_le_bytes(ticks), stack: u32::from_le_bytes(stack) }
    }

    /// Asks which marks of a cue are hidden.
    pub fn hidden(&mut self, cue: u8, cameras: &[CameraAsk]) -> HiddenThere {
        self.write(&[b'L', cue, cameras.len() as u8]);
        cameras.iter().for_each(|camera| self.write(&camera.to_bytes()));
        let mut bytes = [0; 16];
        self.read(&mut bytes);
        let [marks, rest] = [0, 8].map(|at| u64::from_le_bytes(std::array::from_fn(|i| bytes[at + i])));
        HiddenThere { marks, ticks: rest as u32, stack: (rest >> 32) as u32 }
    }

    /// The rows of a view, span by span.
    pub fn dump(&mut self, view: &View) -> Vec<Row> {
        self.write(b"D");
        self.write(&view_to_bytes(view));
        let mut rows: Vec<Row> = Vec::new();
        loop {
            let mut kind = [0];
            self.read(&mut kind);
            if kind[0] == Record::End as u8 {
                return rows;
            }
            if kind[0] == Record::Row as u8 {
                let [row, start, end] = self.numbers();
                rows.push((row, start, end, Vec::new()));
                continue;
            }
            let [start, end] = self.numbers();
            let mut color = [0; 4];
            self.read(&mut color);
            let [r, g, b, a] = color;
            let spans = &mut rows.last_mut().expect("a row before its spans").3;
            spans.push(Span { start, end, color: Rgba { r, g, b, a } });
        }
    }

    fn numbers<const N: usize>(&mut self) -> [u16; N] {
        let mut numbers = [0; N];
        for number in &mut numbers {
            let mut bytes = [0; 2];
            self.read(&mut bytes);
            *number = u16::from_le_bytes(bytes);
        }
        numbers
    }

    /// Ends the rig.
    ///
    /// # Panics
    /// When it does not end by itself with success.
    pub fn finish(mut self) {
        self.write(b"Q");
        assert_eq!(self.emulator.finish(), Some(0), "the rig's exit code");
    }
}
