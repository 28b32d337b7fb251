//! Drop-frame counting against published figures of SMPTE ST 12-1: the frames of ten minutes, an hour and a day, and
//! single labels round the minutes.

use underfoot_core::engine::timecode::{count, of_count};
use underfoot_core::show::{FrameRate, Timecode};

const NTSC: FrameRate = FrameRate { num: 30_000, den: 1001 };

fn at(hours: u8, minutes: u8, seconds: u8, frames: u8) -> Timecode {
    Timecode { hours, minutes, seconds, frames }
}

#[test]
fn labels_round_the_minutes_are_those_of_the_standard() {
    // Frame and label, ST 12-1: numbers 00 and 01 are left out each minute but 00, 10, ... 50.
    let labels = [
        (1_799, at(0, 0, 59, 29)),
        (1_800, at(0, 1, 0, 2)),
        (3_597, at(0, 1, 59, 29)),
        (3_598, at(0, 2, 0, 2)),
        (17_981, at(0, 9, 59, 29)),
        (17_982, at(0, 10, 0, 0)),
        (53_946, at(0, 30, 0, 0)),
        (107_892, at(1, 0, 0, 0)),
    ];
    for (frame, label) in labels {
        assert_eq!((count(NTSC, label), of_count(NTSC, frame)), (Some(frame), Some(label)), "frame {frame}");
    }
    let before = count(NTSC, at(10, 35, 59, 29)).expect("a label");
    assert_eq!(of_count(NTSC, before + 1), Some(at(10, 36, 0, 2)), "the standard's own example");
}

#[test]
fn a_day_has_so_many_frames_and_every_frame_one_label() {
    // 17982 in ten minutes, 107892 in an hour, 2589408 in a day (ST 12-1); without leaving out, rate times seconds.
    let days =
        [(NTSC, 2_589_408), (FrameRate { num: 24, den: 1 }, 2_073_600), (FrameRate { num: 25, den: 1 }, 2_160_000)];
    for (rate, frames) in days.into_iter().chain([(FrameRate { num: 30, den: 1 }, 2_592_000)]) {
        for frame in 0..frames {
            let label = of_count(rate, frame).unwrap_or_else(|| panic!("{rate:?}: frame {frame} has no label"));
            assert_eq!(count(rate, label), Some(frame), "{rate:?} {label:?}");
        }
        assert_eq!(of_count(rate, frames), None, "{rate:?}: the day is over");
    }
}

#[test]
fn labels_that_the_rate_does_not_have_are_none() {
    assert_eq!(count(NTSC, at(0, 1, 0, 0)), None);
    assert_eq!(count(NTSC, at(0, 1, 0, 1)), None);
    assert!(count(NTSC, at(0, 20, 0, 1)).is_some());
    for wrong in [at(24, 0, 0, 0), at(0, 60, 0, 0), at(0, 0, 60, 0), at(0, 0, 0, 25)] {
        assert_eq!(count(FrameRate { num: 25, den: 1 }, wrong), None, "{wrong:?}");
    }
    // 23.976 has no drop-frame form in the standard: it numbers every frame.
    let film = FrameRate { num: 24_000, den: 1001 };
    assert_eq!(count(film, at(0, 1, 0, 0)), Some(1_440));
}
