//! The rig on a device.

use core::convert::Infallible;
use core::ptr::addr_of_mut;

use cortex_m_semihosting::debug;
use underfoot_core::device::Memory;
use underfoot_core::device::picture::{self, Canvases};
use underfoot_core::look::view_bytes::{VIEW_BYTES, view_from_bytes};
use underfoot_core::look::{View, compose};
use underfoot_core::pack;
use underfoot_core::paint::{Rgba, RowTarget, Span};
use underfoot_core::ports::{Nowhere, RowPort};

use super::command::{PAINTED_BYTES, Painted, Record};
use super::host_file::{HostFile, READ_BINARY, WRITE_BINARY};
use super::{places, stretches};
use crate::app::MEMORY;
use crate::boards::Board;
use crate::drivers::{clock::Clock, defmt_serial, stack};
use crate::light::LINE;
use crate::rows::{LineBuffer, Shift};

/// Has the row in memory, as a transfer would need it.
struct InMemory;

impl Shift for InMemory {
    fn shift(&mut self, _: u16, _: u16, pixels: &[Rgba]) {
        core::hint::black_box(pixels);
    }
    fn dark(&mut self) {}
}

/// Writes rows to the host as records.
struct Dump<'f>(&'f mut HostFile);

impl RowTarget for Dump<'_> {
    type Error = Infallible;
    fn begin_row(&mut self, row: u16, start: u16, end: u16) -> Result<(), Infallible> {
        let ([r0, r1], [s0, s1], [e0, e1]) = (row.to_le_bytes(), start.to_le_bytes(), end.to_le_bytes());
        self.0.write(&[Record::Row as u8, r0, r1, s0, s1, e0, e1]);
        Ok(())
    }
    fn span(&mut self, span: Span) -> Result<(), Infallible> {
        let ([s0, s1], [e0, e1]) = (span.start.to_le_bytes(), span.end.to_le_bytes());
        let color = span.color;
        self.0.write(&[Record::Span as u8, s0, s1, e0, e1, color.r, color.g, color.b, color.a]);
        Ok(())
    }
    fn end_row(&mut self) -> Result<(), Infallible> {
        Ok(())
    }
}

impl RowPort for Dump<'_> {
    fn begin_frame(&mut self, _: u8, _: u16, _: u16) -> Result<(), Infallible> {
        Ok(())
    }
    fn end_frame(&mut self) -> Result<(), Infallible> {
        Ok(())
    }
    fn blank(&mut self) -> Result<(), Infallible> {
        Ok(())
    }
}

/// Paints every canvas and returns the rows' checksum; `None` when the scene or the painter was full.
fn paint_all(memory: &mut Memory, view: &View, rows: &mut impl RowPort) -> Option<u32> {
    let Memory { show, scene, work, .. } = memory;
    picture::paint(show, Canvases::All, view, (scene, work.painter()), rows).ok()
}

fn painted(memory: &mut Memory, view: &View, clock: &Clock) -> Painted {
    let spent = |from: u32| from.wrapping_sub(clock.raw());
    let start = clock.raw();
    let empty_ticks = spent(start);
    // SAFETY: the rig's only use of the line buffer, gone before the next call.
    let line = unsafe { &mut *addr_of_mut!(LINE) };
    let mut rows = LineBuffer::new(line, InMemory);
    let (mut compose_ticks, mut paint_ticks, mut fits) = (0_u32, 0_u32, true);
    let Memory { show, scene, work, .. } = &mut *memory;
    for canvas in 0..show.canvases.len() as u8 {
        let (mut scene, view) = (scene.scene(), view.on_canvas(canvas));
        let start = clock.raw();
        fits &= compose(show, &view, &mut scene).is_ok();
        compose_ticks = compose_ticks.wrapping_add(spent(start).wrapping_sub(empty_ticks));
        let start = clock.raw();
        fits &= picture::paint_canvas(show, canvas, (&scene, work.painter()), &mut rows).is_ok();
        paint_ticks = paint_ticks.wrapping_add(spent(start).wrapping_sub(empty_ticks));
    }
    let crc = paint_all(memory, view, &mut Nowhere).filter(|_| fits);
    Painted { fits: crc.is_some(), crc: crc.unwrap_or(0), compose_ticks, paint_ticks, stack: stack::deepest() }
}

fn take_pack(memory: &mut Memory, input: &mut HostFile) -> bool {
    let mut len = [0; 4];
    if !input.read(&mut len) {
        return false;
    }
    let Some(bytes) = memory.staging.get_mut(..u32::from_le_bytes(len) as usize) else { return false };
    input.read(bytes) && pack::decode_into(bytes, &mut memory.show).is_ok()
}

fn read_view(input: &mut HostFile) -> Option<View> {
    let mut bytes = [0; VIEW_BYTES];
    input.read(&mut bytes).then(|| view_from_bytes(&bytes)).flatten()
}

/// Carries out commands until the end.
pub fn run(board: &'static Board) -> ! {
    stack::paint();
    defmt_serial::open();
    defmt::info!("underfoot rig on {=str}", board.name);
    let clock = Clock::start(board.timer);
    // SAFETY: `run` is entered once, by the reset handler, so this is the only reference.
    let memory = unsafe { &mut *addr_of_mut!(MEMORY) };
    let mut input = HostFile::open(b"to_rig\0", READ_BINARY);
    let mut output = HostFile::open(b"from_rig\0", WRITE_BINARY);
    loop {
        let mut command = [b'Q'];
        input.read(&mut command);
        match command[0] {
            b'P' => {
                let taken = take_pack(memory, &mut input);
                output.write(&[taken.into()]);
            }
            b'V' => {
                let answer = read_view(&mut input).map(|view| painted(memory, &view, &clock));
                let bytes: [u8; PAINTED_BYTES] = answer.unwrap_or_default().to_bytes();
                output.write(&bytes);
            }
            b'S' => {
                let mut effort = [0; 4];
                input.read(&mut effort);
                let view = read_view(&mut input);
                // SAFETY: the rig's only use of the line buffer, gone before the next command.
                let line = unsafe { &mut *addr_of_mut!(LINE) };
                let ask = |view| stretches::paint(memory, (&view, u32::from_le_bytes(effort)), line, &clock);
                output.write(&view.map(ask).unwrap_or_default().to_bytes());
            }
            b'D' => {
                if let Some(view) = read_view(&mut input) {
                    paint_all(memory, &view, &mut Dump(&mut output));
                }
                output.write(&[Record::End as u8]);
            }
            b'Z' => places::zone(&memory.show, &mut input, &mut output, &clock),
            b'L' => places::live(&memory.show, &mut input, &mut output, &clock),
            b'W' => places::walk(&mut memory.show, &mut input, &mut output, &clock),
            _ => {
                debug::exit(debug::EXIT_SUCCESS);
                loop {
                    cortex_m::asm::nop();
                }
            }
        }
    }
}
