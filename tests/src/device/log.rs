//! The box's log, decoded with the table in its image.

use std::path::Path;

use defmt_decoder::{DecodeError, Table};

/// The lines of a log. A frame that is cut at the end, as by a power cut, ends them.
///
/// # Panics
/// When the image has no table, or the log has damaged frames.
pub fn lines(image: &Path, log: &[u8]) -> Vec<String> {
    let elf = std::fs::read(image).expect("the image");
    let table = Table::parse(&elf).expect("a readable image").expect("a log table in the image");
    let mut decoder = table.new_stream_decoder();
    decoder.received(log);
    let mut lines = Vec::new();
    loop {
        match decoder.decode() {
            Ok(frame) => {
                let level = frame.level().map_or("", |l| l.as_str());
                lines.push(format!("{level} {}", frame.display_message()));
            }
            Err(DecodeError::UnexpectedEof) => return lines,
            Err(DecodeError::Malformed) => panic!("a damaged log frame after {lines:#?}"),
        }
    }
}

/// The deepest stack that a box has told of in its log, bytes.
///
/// # Panics
/// When it has told of none.
pub fn deepest_stack(lines: &[String]) -> u64 {
    let told = lines.iter().filter_map(|line| line.split_once("stack ")?.1.parse().ok());
    told.max().expect("a box that looks at its stack every second")
}
