use std::vec;
use std::vec::Vec;

use super::cobs::{Stuffer, Unstuffer};
use super::frame::{MAX_FRAME_BYTES, MAX_WIRE_BYTES};
use super::message::{CHUNK_BYTES, MAX_MESSAGE_BYTES};
use super::*;
use crate::show::{CueId, Mode, PropId};
use crate::units::{Duration, Instant};

fn stuffed(data: &[u8]) -> Vec<u8> {
    let mut out = vec![0xEE; data.len() + data.len() / 254 + 2];
    let mut stuffer = Stuffer::new(&mut out).unwrap();
    for &byte in data {
        stuffer.push(byte).unwrap();
    }
    let len = stuffer.finish().unwrap();
    out.truncate(len);
    out
}

fn unstuffed(bytes: &[u8]) -> Vec<u8> {
    let mut decoder = Unstuffer::<1024>::new();
    let (&last, first) = bytes.split_last().unwrap();
    assert!(first.iter().all(|&b| !decoder.feed(b)));
    assert!(decoder.feed(last));
    decoder.take().unwrap().unwrap().to_vec()
}

fn framed<M: serde::Serialize>(sequence: u8, message: &M) -> Vec<u8> {
    let mut out = vec![0; MAX_WIRE_BYTES];
    let len = frame::write(sequence, message, &mut out).unwrap();
    out.truncate(len);
    out
}

/// All that a decoder says about these bytes, frames as (sequence, message).
fn heard(bytes: &[u8]) -> Vec<Result<(u8, Vec<u8>), FrameError>> {
    let mut decoder = Decoder::new();
    let mut all = Vec::new();
    for &byte in bytes {
        if let Some(result) = decoder.push(byte) {
            all.push(result.map(|f| (f.sequence, f.message.to_vec())));
        }
    }
    all
}

fn range(from: u8, to: u8) -> Vec<u8> {
    (from..=to).collect()
}

#[test]
fn stuffing_matches_the_published_examples() {
    // Cheshire & Baker 1999 (figure of the paper, from memory) and the examples of the encyclopaedia article on COBS
    // (from memory); every pair re-made with two general-purpose libraries.
    let run = |from, to| range(from, to);
    let cat = |parts: &[&[u8]]| parts.concat();
    let cases: Vec<(Vec<u8>, Vec<u8>)> = vec![
        (vec![], vec![1]),
        (vec![0], vec![1, 1]),
        (vec![0, 0], vec![1, 1, 1]),
        (vec![0, 0x11, 0], vec![1, 2, 0x11, 1]),
        (vec![0x11, 0x22, 0, 0x33], vec![3, 0x11, 0x22, 2, 0x33]),
        (vec![0x11, 0x22, 0x33, 0x44], vec![5, 0x11, 0x22, 0x33, 0x44]),
        (vec![0x11, 0, 0, 0], vec![2, 0x11, 1, 1, 1]),
        (run(1, 0xFE), cat(&[&[0xFF], &run(1, 0xFE)])),
        (run(0, 0xFE), cat(&[&[1, 0xFF], &run(1, 0xFE)])),
        (run(1, 0xFF), cat(&[&[0xFF], &run(1, 0xFE), &[2, 0xFF]])),
        (cat(&[&run(2, 0xFF), &[0]]), cat(&[&[0xFF], &run(2, 0xFF), &[1, 1]])),
        (cat(&[&run(3, 0xFF), &[0, 1]]), cat(&[&[0xFE], &run(3, 0xFF), &[2, 1]])),
        (
            vec![0x45, 0, 0, 0x2C, 0x4C, 0x79, 0, 0, 0x40, 6, 0x4F, 0x37],
            vec![2, 0x45, 1, 4, 0x2C, 0x4C, 0x79, 1, 5, 0x40, 6, 0x4F, 0x37],
        ),
        (vec![0xDE, 0xAD, 0, 0xBE, 0xEF], vec![3, 0xDE, 0xAD, 3, 0xBE, 0xEF]),
    ];
    for (data, mut wire) in cases {
        wire.push(0);
        assert_eq!(stuffed(&data), wire, "{data:02X?}");
        assert_eq!(unstuffed(&wire), data, "{data:02X?}");
    }
}

#[test]
fn a_final_empty_block_after_254_bytes_is_taken_too() {
    // Some writers emit it; readers must accept both (common practice).
    let wire = [&[0xFF][..], &range(1, 0xFE), &[1, 0]].concat();
    assert_eq!(unstuffed(&wire), range(1, 0xFE));
}

#[test]
fn the_longest_message_fits_and_is_the_longest() {
    let bytes = [0xFF; CHUNK_BYTES];
    let request = Request::PackChunk { offset: u32::MAX, bytes: &bytes };
    assert_eq!(postcard::to_slice(&request, &mut [0; 1024]).unwrap().len(), MAX_MESSAGE_BYTES);
    let wire = framed(1, &request);
    assert!(wire.len() <= MAX_WIRE_BYTES);
    assert_eq!(heard(&wire).len(), 1);
    assert!(heard(&wire)[0].is_ok());
    let long = [0xFF; CHUNK_BYTES + 1];
    let wire = {
        let mut out = vec![0; 2 * MAX_WIRE_BYTES];
        let len = frame::write(1, &Request::PackChunk { offset: u32::MAX, bytes: &long }, &mut out).unwrap();
        out.truncate(len);
        out
    };
    assert_eq!(heard(&wire), [Err(FrameError::TooLong)]);
}

#[test]
fn every_damaged_byte_is_noticed_and_the_next_frame_is_found() {
    let good = framed(7, &Request::Go { to: CueId(3) });
    let next = framed(8, &Request::Report);
    for at in 0..good.len() {
        for flip in 1..=255u8 {
            let mut stream = good.clone();
            stream[at] ^= flip;
            stream.extend_from_slice(&[0]);
            stream.extend_from_slice(&next);
            let all = heard(&stream);
            assert_eq!(all.last(), Some(&Ok((8, vec![1]))), "byte {at} ^ {flip:02x}");
            assert!(!all.contains(&Ok((7, vec![5, 3]))) || at == good.len() - 1, "byte {at} ^ {flip:02x}");
        }
    }
}

#[test]
fn joining_in_the_middle_of_a_frame_costs_that_frame_only() {
    let stream = [framed(1, &Request::Report), framed(2, &Request::Off)].concat();
    let first = framed(1, &Request::Report).len();
    for from in 1..first {
        let all = heard(&stream[from..]);
        assert_eq!(all.last(), Some(&Ok((2, vec![7]))), "from {from}");
        assert!(all.len() <= 2);
    }
}

#[test]
fn silence_is_no_error() {
    assert_eq!(heard(&[0, 0, 0]), []);
    assert_eq!(heard(&[1, 0]), [Err(FrameError::TooShort)]);
    assert_eq!(heard(&[9, 1, 0]), [Err(FrameError::Cut)]);
}

#[test]
fn noise_never_panics() {
    let mut state = 0x2545_F491_4F6C_DD1Du64;
    let mut decoder = Decoder::new();
    let mut responder = Responder::new();
    for _ in 0..200_000 {
        state ^= state << 13;
        state ^= state >> 7;
        state ^= state << 17;
        if let Some(Ok(frame)) = decoder.push(state as u8) {
            let _ = responder.hear(frame);
        }
        let message = state.to_le_bytes();
        let len = 1 + (state >> 8) as usize % 8;
        let _ = responder.hear(Frame { sequence: state as u8, message: &message[..len] });
        let _ = postcard::take_from_bytes::<Answer>(&message);
    }
}

/// Lets a responder hear one frame and returns what it has to do.
fn tell<'b>(responder: &mut Responder, wire: &[u8], decoder: &'b mut Decoder) -> Heard<'b> {
    let (&last, first) = wire.split_last().unwrap();
    assert!(first.iter().all(|&b| decoder.push(b).is_none()));
    responder.hear(decoder.push(last).unwrap().unwrap())
}

fn answer_in(wire: &[u8]) -> (u8, Answer) {
    let (sequence, message) = heard(wire).remove(0).unwrap();
    (sequence, postcard::from_bytes(&message).unwrap())
}

#[test]
fn versions_come_first() {
    let (mut responder, mut decoder) = (Responder::new(), Decoder::new());
    assert_eq!(tell(&mut responder, &framed(9, &Request::Report), &mut decoder), Heard::Settled);
    assert_eq!(answer_in(responder.reply()), (9, Answer::Refused(Refusal::HelloFirst)));
    assert_eq!(tell(&mut responder, &framed(10, &Request::Hello(Versions::OURS)), &mut decoder), Heard::Settled);
    assert_eq!(answer_in(responder.reply()), (10, Answer::Hello(Versions::OURS)));
    assert_eq!(tell(&mut responder, &framed(11, &Request::Report), &mut decoder), Heard::Do(Request::Report));
}

#[test]
fn off_needs_no_hello() {
    let (mut responder, mut decoder) = (Responder::new(), Decoder::new());
    assert_eq!(tell(&mut responder, &framed(1, &Request::Off), &mut decoder), Heard::Do(Request::Off));
}

#[test]
fn a_repeated_request_is_answered_again_but_done_once() {
    let (mut responder, mut decoder) = (Responder::new(), Decoder::new());
    tell(&mut responder, &framed(1, &Request::Hello(Versions::OURS)), &mut decoder);
    let go = Request::Go { to: CueId(1) };
    assert_eq!(tell(&mut responder, &framed(2, &go), &mut decoder), Heard::Do(go));
    responder.answer(Answer::Done);
    assert_eq!(tell(&mut responder, &framed(2, &go), &mut decoder), Heard::Settled);
    assert_eq!(answer_in(responder.reply()), (2, Answer::Done));
    assert_eq!(tell(&mut responder, &framed(3, &go), &mut decoder), Heard::Do(go));
}

#[test]
fn a_new_desk_whose_numbers_start_over_is_heard() {
    let (mut responder, mut decoder) = (Responder::new(), Decoder::new());
    tell(&mut responder, &framed(1, &Request::Hello(Versions::OURS)), &mut decoder);
    tell(&mut responder, &framed(2, &Request::Arm), &mut decoder);
    responder.answer(Answer::Done);
    tell(&mut responder, &framed(1, &Request::Hello(Versions::OURS)), &mut decoder);
    assert_eq!(tell(&mut responder, &framed(2, &Request::Report), &mut decoder), Heard::Do(Request::Report));
}

#[test]
fn the_side_to_update_is_named() {
    let v = |min, current| Versions { min, current };
    assert_eq!(Versions::agree(v(1, 3), v(2, 5)), Ok(3));
    assert_eq!(Versions::agree(v(2, 5), v(1, 2)), Ok(2));
    let text = |desk, device| std::format!("{}", Versions::agree(desk, device).unwrap_err());
    assert_eq!(text(v(1, 1), v(2, 4)), "update the desk: the desk speaks link 1 to 1, the box 2 to 4");
    assert_eq!(text(v(3, 4), v(1, 2)), "update the box: the desk speaks link 3 to 4, the box 1 to 2");
}

#[test]
fn a_mismatch_leaves_the_box_refusing() {
    let (mut responder, mut decoder) = (Responder::new(), Decoder::new());
    let future = Versions { min: 900, current: 901 };
    tell(&mut responder, &framed(1, &Request::Hello(future)), &mut decoder);
    assert_eq!(answer_in(responder.reply()), (1, Answer::Hello(Versions::OURS)));
    tell(&mut responder, &framed(2, &Request::Report), &mut decoder);
    assert_eq!(answer_in(responder.reply()).1, Answer::Refused(Refusal::HelloFirst));
}

#[test]
fn the_desk_repeats_after_longer_and_longer_silence_and_gives_up_in_the_end() {
    let mut desk = Desk::default();
    let mut now = Instant::from_millis(100);
    assert!(desk.ask(&Request::Report));
    assert!(!desk.ask(&Request::Off), "one at a time");
    for wait in [200, 400, 800, 1_600, 1_600, 1_600, 1_600, 1_600] {
        assert!(matches!(desk.poll(now), DeskStep::Send(_)));
        assert_eq!(desk.poll(now.after(Duration::from_millis(wait - 1))), DeskStep::Wait);
        now = now.after(Duration::from_millis(wait));
    }
    assert_eq!(desk.poll(now), DeskStep::GiveUp);
    assert_eq!(desk.poll(now), DeskStep::Wait);
    assert!(desk.ask(&Request::Off));
}

#[test]
fn the_desk_takes_only_the_answer_to_its_open_request() {
    let mut desk = Desk::default();
    let done = [2];
    desk.ask(&Request::Arm);
    assert_eq!(desk.hear(Frame { sequence: 0, message: &done }), None);
    assert_eq!(desk.hear(Frame { sequence: 1, message: &[2, 2] }), None, "bytes left over");
    assert_eq!(desk.hear(Frame { sequence: 1, message: &done }), Some(Answer::Done));
    assert_eq!(desk.hear(Frame { sequence: 1, message: &done }), None, "answered already");
}

/// If this fails, put the message back as it was: released boxes speak these bytes.
#[test]
fn link_version_1_is_frozen() {
    let ours = Versions { min: 1, current: 1 };
    let requests: [(Request<'_>, &[u8]); 9] = [
        (Request::Hello(ours), &[0, 1, 1]),
        (Request::Report, &[1]),
        (Request::PackBegin { len: 300 }, &[2, 0xAC, 2]),
        (Request::PackChunk { offset: 512, bytes: &[9, 0] }, &[3, 0x80, 4, 2, 9, 0]),
        (Request::PackCommit, &[4]),
        (Request::Go { to: CueId(200) }, &[5, 200]),
        (Request::Back { to: CueId(4) }, &[6, 4]),
        (Request::Off, &[7]),
        (Request::Arm, &[8]),
    ];
    for (request, bytes) in requests {
        assert_eq!(postcard::to_slice(&request, &mut [0; 64]).unwrap(), bytes);
        assert_eq!(postcard::from_bytes::<Request<'_>>(bytes).unwrap(), request);
    }
    let report = Report {
        mode: Mode::Air,
        now: Some(CueId(2)),
        next: Some(CueId(3)),
        back: None,
        armed: false,
        pack_crc: Some(1),
        frames: 128,
        picture_crc: 5,
        bad_frames: 0,
        paint_faults: 0,
    };
    let pack = Refusal::Pack { check: PackCheck::Show, expected: 1, got: 128 };
    let answers: [(Answer, &[u8]); 17] = [
        (Answer::Hello(ours), &[0, 1, 1]),
        (Answer::Report(report), &[1, 3, 1, 2, 1, 3, 0, 0, 1, 1, 0x80, 1, 5, 0, 0]),
        (Answer::Done, &[2]),
        (Answer::Refused(Refusal::HelloFirst), &[3, 0]),
        (Answer::Refused(Refusal::Unreadable), &[3, 1]),
        (Answer::Refused(Refusal::NoShow), &[3, 2]),
        (Answer::Refused(Refusal::NotShown { shown: None }), &[3, 3, 0]),
        (Answer::Refused(Refusal::NotShown { shown: Some(CueId(1)) }), &[3, 3, 1, 1]),
        (Answer::Refused(Refusal::Lockout { left_ms: 400 }), &[3, 4, 0x90, 3]),
        (Answer::Refused(Refusal::NotArmed), &[3, 5]),
        (Answer::Refused(Refusal::NotOff), &[3, 6]),
        (Answer::Refused(Refusal::NoPack), &[3, 7]),
        (Answer::Refused(Refusal::Offset { expected: 1 }), &[3, 8, 1]),
        (Answer::Refused(Refusal::TooLong { limit: 32_768 }), &[3, 9, 0x80, 0x80, 2]),
        (Answer::Refused(Refusal::Incomplete { expected: 2, got: 1 }), &[3, 10, 2, 1]),
        (Answer::Refused(pack), &[3, 11, 9, 1, 0x80, 1]),
        (Answer::Refused(Refusal::Store), &[3, 12]),
    ];
    for (answer, bytes) in answers {
        assert_eq!(postcard::to_slice(&answer, &mut [0; 64]).unwrap(), bytes);
        assert_eq!(postcard::from_bytes::<Answer>(bytes).unwrap(), answer);
    }
}

/// If this fails, put the message back as it was: released boxes speak these bytes.
#[test]
fn link_version_2_is_frozen() {
    // Postcard writes signed numbers as zigzag varints: 300 as 600, -1100 as 2199 (its wire format specification).
    let request = Request::At { x_mm: 300, y_mm: -1100 };
    let bytes: &[u8] = &[9, 0xD8, 4, 0x97, 0x11];
    assert_eq!(postcard::to_slice(&request, &mut [0; 64]).unwrap(), bytes);
    assert_eq!(postcard::from_bytes::<Request<'_>>(bytes).unwrap(), request);
    let said = |class, what| Answer::At(Spoken { cue: CueId(3), after_ms: 1500, class, what });
    let part = What::Part { prop: PropId(2), part: 1 };
    let answers: [(Answer, &[u8]); 10] = [
        (said(PlaceClass::Free, What::Nothing), &[4, 3, 0xDC, 0x0B, 0, 0]),
        (said(PlaceClass::Contact, part), &[4, 3, 0xDC, 0x0B, 1, 1, 2, 1]),
        (said(PlaceClass::Body, part), &[4, 3, 0xDC, 0x0B, 2, 1, 2, 1]),
        (said(PlaceClass::Overhead, part), &[4, 3, 0xDC, 0x0B, 3, 1, 2, 1]),
        (said(PlaceClass::SweptSoon, part), &[4, 3, 0xDC, 0x0B, 4, 1, 2, 1]),
        (said(PlaceClass::Physical, What::Physical(5)), &[4, 3, 0xDC, 0x0B, 5, 2, 5]),
        (said(PlaceClass::Edge, What::Side(1)), &[4, 3, 0xDC, 0x0B, 6, 3, 1]),
        (said(PlaceClass::Edge, What::OffFloor), &[4, 3, 0xDC, 0x0B, 6, 4]),
        (said(PlaceClass::Dead, What::Panel(0)), &[4, 3, 0xDC, 0x0B, 7, 5, 0]),
        (Answer::Refused(Refusal::NoCue), &[3, 13]),
    ];
    for (answer, bytes) in answers.into_iter().chain([(Answer::Refused(Refusal::BadShape), &[3, 14][..])]) {
        assert_eq!(postcard::to_slice(&answer, &mut [0; 64]).unwrap(), bytes);
        assert_eq!(postcard::from_bytes::<Answer>(bytes).unwrap(), answer);
    }
}

#[test]
fn frozen_modes_and_checks() {
    use Mode::*;
    let modes = [Build, Brief, Standby, Air, Reset, Off, Worklight];
    for (index, mode) in modes.into_iter().enumerate() {
        assert_eq!(postcard::to_slice(&mode, &mut [0; 4]).unwrap(), [index as u8]);
    }
    use PackCheck::*;
    let checks = [TooShort, TooLong, Magic, Version, Length, Crc, Value, Full, Trailing, Show];
    for (index, check) in checks.into_iter().enumerate() {
        assert_eq!(postcard::to_slice(&check, &mut [0; 4]).unwrap(), [index as u8]);
    }
}

#[test]
fn a_frozen_frame() {
    // Sequence 7, GO to cue 3: 07 05 03 and its CRC-32/ISO-HDLC. Python's zlib.crc32(bytes([7, 5, 3])) gives the
    // checksum; the stuffing is by hand.
    let wire = framed(7, &Request::Go { to: CueId(3) });
    let crc = 0x1E70_6A68u32.to_le_bytes();
    assert_eq!(wire, [&[8, 7, 5, 3][..], &crc, &[0]].concat());
}

#[test]
fn postcard_bytes_are_the_specified_ones() {
    // Postcard 1.x wire format specification: varint and zigzag examples.
    let u16s: [(u16, &[u8]); 6] = [
        (0, &[0]),
        (127, &[0x7F]),
        (128, &[0x80, 1]),
        (16_383, &[0xFF, 0x7F]),
        (16_384, &[0x80, 0x80, 1]),
        (u16::MAX, &[0xFF, 0xFF, 3]),
    ];
    for (value, bytes) in u16s {
        assert_eq!(postcard::to_slice(&value, &mut [0; 4]).unwrap(), bytes);
    }
    let f32s = postcard::to_slice(&-32.005_86_f32, &mut [0; 4]).unwrap().to_vec();
    assert_eq!(f32s, [0x00, 0x06, 0x00, 0xC2]);
    assert!(postcard::from_bytes::<u16>(&[0x80, 0x80, 0x80, 0]).is_err(), "too long");
    assert!(postcard::from_bytes::<u16>(&[0xFF, 0xFF, 7]).is_err(), "too big");
    assert!(postcard::from_bytes::<bool>(&[2]).is_err());
}

#[test]
fn the_buffers_hold_what_they_must() {
    assert_eq!(MAX_FRAME_BYTES, MAX_MESSAGE_BYTES + 5);
    // COBS overhead is at most one byte per started 254 (Cheshire & Baker), and the delimiter.
    assert!(MAX_WIRE_BYTES > MAX_FRAME_BYTES + MAX_FRAME_BYTES.div_ceil(254));
}
