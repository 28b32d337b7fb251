//! What desk and box say to each other.
//!
//! The order of variants and fields is the wire format: released ones never move, new ones go at the end.

use serde::{Deserialize, Serialize};

use super::bytes::Bytes;
use super::events::Events;
use super::moved::{Moved, Nudges, Piece, Tiled};
use super::refusal::Refusal;
use super::report::{Outlook, Report};
use super::spoken::Spoken;
use super::version::Versions;
use crate::show::{CameraId, CueId, Mode, Timecode};

/// Most bytes of a pack in one [`Request::PackChunk`].
pub const CHUNK_BYTES: usize = 512;
/// Longest message in postcard: a full chunk (variant, 5-byte offset, 2-byte length, bytes).
pub const MAX_MESSAGE_BYTES: usize = 1 + 5 + 2 + CHUNK_BYTES;

/// Rows whose spans are asked for together.
pub const ROWS: u16 = 8;
/// Bytes of a span in [`Answer::Spans`].
pub const SPAN_BYTES: usize = 10;
/// Most spans in one answer.
pub const SPANS: usize = super::bytes::CAPACITY / SPAN_BYTES;
/// Rows of the small display in one answer.
pub const STRIPE: u8 = 16;

/// What the desk asks.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Request<'b> {
    /// 0: the desk's versions. Starts a conversation; anything else before it is refused.
    Hello(Versions),
    /// 1: how are you?
    Report,
    /// 2: a pack of this many bytes follows. Only in OFF.
    PackBegin {
        /// Length of the whole pack, bytes.
        len: u32,
    },
    /// 3: the next bytes of the pack.
    PackChunk {
        /// Where they belong.
        offset: u32,
        /// At most [`CHUNK_BYTES`] bytes.
        bytes: &'b [u8],
    },
    /// 4: the pack is complete: check it, store it, read it back, use it.
    PackCommit,
    /// 5: go to this cue, which the sender's display shows as the next.
    Go {
        /// The cue to go to.
        to: CueId,
    },
    /// 6: go back to this cue, which the sender's display shows as the one before.
    Back {
        /// The cue to go to.
        to: CueId,
    },
    /// 7: everything off, now. Always obeyed.
    Off,
    /// 8: let the next GO leave OFF.
    Arm,
    /// 9: what does the plan say of this place now? Since version 2.
    At {
        /// From the stage's origin towards stage left, millimetres.
        x_mm: i32,
        /// From the stage's origin upstage, millimetres.
        y_mm: i32,
    },
    /// 10: this mode beside the cue's own, or the cue's own again. Since version 3, as all that follow.
    Mode {
        /// The mode; `None` for the cue's own.
        mode: Option<Mode>,
    },
    /// 11: HOLD, or no longer.
    Hold {
        /// True for HOLD.
        on: bool,
    },
    /// 12: a pack of this many bytes with this checksum follows; where does it go on? Only in OFF.
    PackResume {
        /// Length of the whole pack, bytes.
        len: u32,
        /// The checksum at its end.
        crc: u32,
    },
    /// 13: forget the show, what happened and everything of people. Only in OFF.
    Wipe,
    /// 14: what happened since entry `after`?
    Events {
        /// Number of the last entry that is known already; 0 for none.
        after: u32,
    },
    /// 15: what does the display say?
    Outlook,
    /// 16: the on-air light is lit, or dark. Has to come at least every second.
    OnAir {
        /// True while it is lit.
        lit: bool,
    },
    /// 17: timecode as it is read.
    Timecode {
        /// Where it is.
        at: Timecode,
    },
    /// 18: where people are, all of them. Has to come at least twice a second.
    Presence {
        /// For each, towards stage left and upstage: millimetres from the stage's origin, i32 little-endian each.
        places: &'b [u8],
    },
    /// 19: where a tracked camera is and what it sees. Has to come at least every 250 ms.
    Pose {
        /// The camera.
        camera: CameraId,
        /// Its place, millimetres on the stage: towards stage left, upstage, up.
        from_mm: [i32; 3],
        /// A place in the middle of its picture.
        look_mm: [i32; 3],
        /// Roll, clockwise seen from behind, hundredths of a degree.
        roll_centideg: i16,
        /// Focal length, micrometres.
        focal_um: u32,
    },
    /// 20: move a mark or a prop by this much, and say what that makes of the cues.
    Nudge {
        /// What is moved.
        what: Piece,
        /// Towards stage left, millimetres.
        dx_mm: i16,
        /// Upstage, millimetres.
        dy_mm: i16,
    },
    /// 21: the key that says CLEAR is down, or up.
    ClearKey {
        /// True while it is down.
        down: bool,
    },
    /// 22: which box this is. Kept across power cuts. Only in OFF.
    Setup {
        /// Number of its controller: it paints the canvases that carry it. 0 paints all.
        controller: u8,
        /// It is the backup of its pair.
        backup: bool,
        /// Its IPv4 address and the bits of its network; `None` for the board's own way to find one.
        address: Option<([u8; 4], u8)>,
    },
    /// 23: a panel is dead, or alive again, until the next show.
    Tile {
        /// Index of the block.
        block: u8,
        /// Panel column from the block's left canvas edge, 0 first.
        column: u8,
        /// Panel row from the block's top canvas edge, 0 first.
        row: u8,
        /// True when it is dead.
        dead: bool,
    },
    /// 24: what was moved by hand?
    Nudges,
    /// 25: put this back where the show has it, or everything.
    PutBack {
        /// What; `None` for everything.
        what: Option<Piece>,
    },
    /// 26: graphics draws these props, opaque, on every hot camera. Has to come at least every 250 ms: only then do
    /// they cover marks.
    Drawn {
        /// Bit i for prop i.
        props: u32,
    },
    /// 27: which picture was the last whole one on the floor?
    Picture,
    /// 28: which spans does this view have? The box works them out anew, between two pictures.
    Spans {
        /// The view, as in [`Answer::Picture`].
        view: &'b [u8],
        /// Index of the canvas.
        canvas: u8,
        /// First of [`ROWS`] rows.
        row: u16,
        /// Spans of these rows that are known already.
        skip: u16,
    },
    /// 29: which pixels does the small display have?
    Display {
        /// Which [`STRIPE`] rows, counted from the top.
        stripe: u8,
    },
}

/// What the box answers.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Answer {
    /// 0: the box's versions.
    Hello(Versions),
    /// 1: the box's state.
    Report(Report),
    /// 2: done.
    Done,
    /// 3: not done, and why.
    Refused(Refusal),
    /// 4: what the plan says of the place asked for. Since version 2.
    At(Spoken),
    /// 5: the pack goes on at this offset. Since version 3, as all that follow.
    From {
        /// Bytes of it that the box has.
        offset: u32,
    },
    /// 6: what happened.
    Events(Events),
    /// 7: what the display says.
    Outlook(Outlook),
    /// 8: what was moved, where it is now, and what that makes of the cues.
    Nudged(Moved),
    /// 9: all that was moved.
    Nudges(Nudges),
    /// 10: what a panel that died, or came back, means.
    Tiled(Tiled),
    /// 11: the last whole picture: its view in the bytes of [`crate::look::view_bytes`].
    Picture {
        /// Its checksum, as in [`Report::picture_crc`]; 0 while the floor is dark.
        crc: u32,
        /// The view.
        view: Bytes,
    },
    /// 12: spans: row, start and end (u16 each, little-endian), then red, green, blue and alpha of each; fewer than
    /// [`SPANS`] are the last of their rows.
    Spans(Bytes),
    /// 13: rows of the small display, from the left, eight pixels a byte, the leftmost in its highest bit.
    Display(Bytes),
}
