//! The worked bytes of core/docs/pack.md and core/docs/link.md, decoded by the core.

use std::fs;
use std::path::Path;

use underfoot_core::link::{Answer, Decoder, Request, frame};
use underfoot_core::pack::{ShowCode, decode, encode};
use underfoot_core::show::{Control, Edge, Hot, MarkKind, Who};

fn block(document: &str, kind: &str) -> String {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../core/docs").join(document);
    let text = fs::read_to_string(path).expect("the document");
    let start = text.split(&format!("```{kind}\n")).nth(1).expect("the block");
    start.split("```").next().expect("the block's end").to_owned()
}

fn hex(text: &str) -> Vec<u8> {
    text.split_whitespace().map(|byte| u8::from_str_radix(byte, 16).expect("hexadecimal bytes")).collect()
}

#[test]
fn the_worked_pack_decodes_to_what_its_comments_say() {
    let bytes: Vec<u8> =
        block("pack.md", "pack").lines().flat_map(|line| hex(line.split('#').next().unwrap_or(""))).collect();
    let show = decode(&bytes).expect("a whole pack");
    assert_eq!((show.title.as_str(), show.frame_rate.num, show.frame_rate.den), ("Doc", 50, 1));
    assert_eq!((show.survey_allowance_m, show.latency_ms), (0.002, 140));
    assert_eq!((show.look.brief_level, show.look.air_level, show.look.keyline_m), (255, 128, 0.012));
    let control = Control { backup: true, on_air_contact: false, slots_universe: 20, hot: Hot::ProgramPreviewRecorded };
    assert_eq!(show.control, control);
    assert_eq!(show.floor.edges[..], [Edge::Open, Edge::Wall, Edge::Level]);
    assert_eq!((show.floor.edge_band_m, show.floor.step_m), (0.3, 0.12));
    let mark = &show.marks[0];
    assert_eq!((mark.name.as_str(), mark.label.as_str(), mark.at.x, mark.at.y), ("left", "L", -0.4, 0.25));
    assert_eq!((mark.kind, mark.person, mark.who), (MarkKind::Tee, None, Who::CyanTriangle));
    assert_eq!(ShowCode::of_pack(&bytes).expect("a whole pack").as_str(), "YCJH");
    let mut again = vec![0; bytes.len()];
    assert_eq!(encode(&show, &mut again), Ok(bytes.len()));
    assert_eq!(again, bytes, "and it is written as it was read");
}

#[test]
fn the_worked_frames_are_read_and_written() {
    let text = block("link.md", "frames");
    assert!(text.lines().count() >= 9);
    for line in text.lines() {
        let (what, wire) = line.split_once('|').expect("bytes after a bar");
        let words: Vec<&str> = what.split_whitespace().collect();
        let wire = hex(wire);
        let mut decoder = Decoder::new();
        let (last, first) = wire.split_last().expect("bytes");
        assert!(first.iter().all(|&byte| decoder.push(byte).is_none()), "{line}");
        let found = decoder.push(*last).expect("a frame").expect("a whole frame");
        assert_eq!(found.sequence.to_string(), words[0], "{line}");
        let mut out = [0; 64];
        let (name, len) = if words[1] == "desk" {
            let request: Request<'_> = postcard::from_bytes(found.message).expect("a request");
            (format!("{request:?}"), frame::write(found.sequence, &request, &mut out))
        } else {
            let answer: Answer = postcard::from_bytes(found.message).expect("an answer");
            (format!("{answer:?}"), frame::write(found.sequence, &answer, &mut out))
        };
        assert!(name.starts_with(words[2]), "{line}: {name}");
        assert_eq!(out[..len.expect("room")], wire[..], "{line}");
    }
}
