//! Pixel tape: canvases that leave as streams of universes, part by part.
//!
//! A frame takes as many polls as the network and the painter need: the packet that finds no room waits, and one part is
//! painted in a poll. Nothing of a picture is kept but that packet, so what has to be sent again is painted again.

mod whole;

use super::hardware::{Hardware, Setup};
use super::memory::Memory;
use super::picture::is_of;
use super::works::Works;
use crate::floor::Block;
use crate::limits;
use crate::look::{View, compose};
use crate::paint::{Used, paint_block};
use crate::ports::Event;
use crate::sacn::pace::{Pace, REPEATS};
use crate::sacn::{Identity, Part, Sender, Shot, Strip};
use crate::show::{Mode, Show};
use crate::units::Instant;

type Strips = [Option<Strip>; limits::CANVASES];

/// All streams of the box.
#[derive(Clone, Debug)]
pub(super) struct Tapes {
    sender: Sender,
    /// Strip of each canvas that is streamed.
    strips: Strips,
    /// Of the frame in work, or of the last one.
    sequence: u8,
    pace: Pace,
    /// What the last frame showed, and what it made of it.
    shown: Option<(View, Kind)>,
    frame: Option<Frame>,
}

/// What the packets of a frame are.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Kind {
    /// Painted.
    Picture,
    /// Zeros: OFF, or a picture that cannot be painted.
    Dark,
    /// Zeros, and no more to come: this many frames of them are left to send.
    End(u8),
}

/// A frame on its way: the next packet is that of part `part` of canvas `canvas`.
#[derive(Clone, Copy, Debug)]
struct Frame {
    kind: Kind,
    canvas: usize,
    part: u16,
    /// Checksum of the painted parts before, each with the one before it.
    crc: u32,
    /// The canvas's scene, as long as it is in the painter's memory.
    scene: Option<Used>,
}

/// What came of the next packet.
enum Packet {
    /// It waits to be sent.
    Made,
    /// It does too, and took as much work as a poll may.
    Painted,
    /// There is none.
    NotDue,
}

impl Tapes {
    pub(super) fn new(setup: Setup) -> Self {
        let sender = Sender::new(identity_of(setup));
        Self { sender, strips: [None; limits::CANVASES], sequence: 0, pace: Pace::new(), shown: None, frame: None }
    }

    /// The show changed: what was sent belongs to another one.
    pub(super) fn forget(&mut self) {
        self.shown = None;
        self.frame = self.frame.filter(Frame::is_end);
    }

    /// Somebody else worked in the painter's memory.
    pub(super) const fn displaced(&mut self) {
        if let Some(frame) = &mut self.frame {
            frame.scene = None;
        }
    }

    fn is_idle(&self) -> bool {
        self.strips.iter().all(Option::is_none)
    }

    /// Sees to it that what is streamed is what `wanted` says: streams that are no longer wanted are ended first.
    fn tune(&mut self, wanted: Strips, setup: Setup) {
        let identity = identity_of(setup);
        let is_tuned = wanted == self.strips && (self.is_idle() || identity == *self.sender.identity());
        if is_tuned || self.frame.is_some_and(|frame| frame.is_end()) {
            return;
        }
        if self.is_idle() {
            (self.sender, self.strips, self.shown) = (Sender::new(identity), wanted, None);
        } else {
            self.begin(Kind::End(REPEATS));
        }
    }

    /// Begins a frame when one is due. OFF waits for nothing; anything else waits for the frame in work, and for the
    /// painter's memory.
    fn aim_at(&mut self, view: View, may_paint: bool, now: Instant) {
        let old = self.shown.filter(|(shown, _)| *shown == view);
        let kind = match old {
            Some((_, kind)) => kind,
            None if view.mode == Mode::Off => Kind::Dark,
            None => Kind::Picture,
        };
        let hurries = old.is_none() && kind == Kind::Dark;
        let is_due = match self.frame {
            Some(frame) => hurries && !frame.is_end(),
            None => hurries || self.pace.is_due(old.is_none(), now) && (may_paint || kind == Kind::Dark),
        };
        if is_due {
            self.pace.begin(old.is_none(), now);
            self.shown = Some((view, kind));
            self.begin(kind);
        }
    }

    fn begin(&mut self, kind: Kind) {
        self.sequence = self.sequence.wrapping_add(1);
        self.frame = Some(Frame { kind, canvas: 0, part: 0, crc: 0, scene: None });
    }

    /// What the packet after the last one is; `None` when the frame is whole.
    fn next(&mut self) -> Option<(Frame, Shot, Option<Part>)> {
        let mut frame = self.frame?;
        while let Some(slot) = self.strips.get(frame.canvas) {
            let Some(strip) = *slot else {
                frame = Frame { canvas: frame.canvas + 1, part: 0, scene: None, ..frame };
                continue;
            };
            let shot = Shot { strip, sequence: self.sequence, terminated: frame.is_end() };
            let part = strip.part(frame.part);
            // After the last part comes the synchronization packet, and then the next canvas.
            self.frame = Some(match part {
                Some(_) => Frame { part: frame.part + 1, ..frame },
                None => Frame { canvas: frame.canvas + 1, part: 0, scene: None, ..frame },
            });
            return Some((frame, shot, part));
        }
        self.frame = None;
        match frame.kind {
            Kind::End(left @ 2..) => self.begin(Kind::End(left - 1)),
            Kind::End(_) => self.strips = [None; limits::CANVASES],
            Kind::Picture | Kind::Dark => {}
        }
        None
    }
}

impl Frame {
    const fn is_end(&self) -> bool {
        matches!(self.kind, Kind::End(_))
    }
}

impl<H: Hardware> Works<'_, H> {
    /// Sends what is due of the streams, as far as the network has room and it may be painted now. True when a part was
    /// painted: the rows wait, so that streams and rows take turns by whole frames and not by polls.
    pub(super) fn stream(&mut self, now: Instant, may_paint: bool) -> bool {
        let drives = self.crew.drives();
        self.tapes.tune(strips_of(&self.memory.show, self.setup, drives), self.setup);
        if self.tapes.is_idle() {
            return false;
        }
        self.tapes.aim_at(self.floor_view(now), self.painting.is_between(), now);
        let mut painted = false;
        for _ in 0..limits::TAPE_PACKETS_PER_POLL {
            match self.tapes.sender.flush(&mut self.net, &self.memory.tape) {
                Ok(true) if painted => return true,
                Ok(true) => match self.packet(may_paint) {
                    Packet::Made => {}
                    Packet::Painted => painted = true,
                    Packet::NotDue => return false,
                },
                Ok(false) => return painted,
                Err(_) => {
                    self.note(Event::PortFault);
                    return painted;
                }
            }
        }
        painted
    }

    /// Makes the next packet, unless it has to be painted and may not, or the painter's memory is taken.
    fn packet(&mut self, may_paint: bool) -> Packet {
        let paints = self.tapes.frame.is_some_and(|frame| frame.kind == Kind::Picture);
        if paints && !(may_paint && self.painting.is_between()) {
            return Packet::NotDue;
        }
        let before = self.tapes.frame;
        let Some((frame, shot, part)) = self.tapes.next() else {
            before.into_iter().for_each(|frame| self.whole(frame));
            return if self.tapes.frame.is_some() { Packet::Made } else { Packet::NotDue };
        };
        let Some(part) = part else {
            self.tapes.sender.seal_sync(&shot, &mut self.memory.tape);
            return Packet::Made;
        };
        if self.paint_part(&frame, part).is_none() {
            self.counts.paint_faults = self.counts.paint_faults.wrapping_add(1);
            self.note(Event::PaintFault);
            // Dark, and not tried again until the view changes.
            self.tapes.shown = self.tapes.shown.map(|(view, _)| (view, Kind::Dark));
            self.tapes.begin(Kind::Dark);
            return Packet::Painted;
        }
        if paints {
            self.witness(part);
        }
        self.tapes.sender.seal(&shot, part, &mut self.memory.tape);
        if paints { Packet::Painted } else { Packet::Made }
    }

    /// Paints one part; `None` when the picture does not fit the painter's memory.
    fn paint_part(&mut self, frame: &Frame, part: Part) -> Option<()> {
        let Memory { show, scene, work, tape, .. } = &mut *self.memory;
        let mut pixels = self.tapes.sender.pixels(part, tape);
        if frame.kind != Kind::Picture {
            return Some(());
        }
        let (view, _) = self.tapes.shown?;
        let scene = match frame.scene {
            Some(used) => scene.scene_again(used),
            None => {
                let mut scene = scene.scene();
                compose(show, &view.on_canvas(frame.canvas as u8), &mut scene).ok()?;
                if let Some(frame) = &mut self.tapes.frame {
                    frame.scene = Some(scene.used());
                }
                scene
            }
        };
        let mut blocks = show.blocks_of(frame.canvas).filter(|block| meets(part, block));
        blocks
            .try_for_each(|block| paint_block(&scene, block, part.rows(), &mut work.painter().work(), &mut pixels).ok())
    }
}

fn meets(part: Part, block: &Block) -> bool {
    part.meets(u32::from(block.x_px)..block.right_px(), u32::from(block.y_px)..block.bottom_px())
}

fn identity_of(setup: Setup) -> Identity {
    Identity::of_box(setup.controller, setup.backup, setup.address.ip)
}

/// The strips of the canvases that this box streams: none unless it drives its controller's outputs, because two sources
/// of one tape would fight.
fn strips_of(show: &Show, setup: Setup, drives: bool) -> Strips {
    let mut strips = [None; limits::CANVASES];
    for (strip, canvas) in strips.iter_mut().zip(&show.canvases) {
        *strip = Strip::of(canvas).filter(|_| drives && is_of(setup.controller, canvas));
    }
    strips
}
