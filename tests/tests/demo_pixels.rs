//! Demo A to a pixel: printed stage places, converted to canvas pixels by hand, are lit where they must be.
//!
//! The floor is 3.00 m and 768 pixels, 3.90625 mm a pixel, centred: x = (X + 1.5) / 0.00390625 from stage right,
//! y = (1.5 - Y) / 0.00390625 from upstage.

use std::fs;
use std::path::PathBuf;

use underfoot_sim::cli::{Exit, Output, run};
use underfoot_tests::golden::decode;

/// Draws cue 1 of the repaired Demo A as one kind of picture and gives its samples.
fn drawn(kind: &str, folder: &str) -> (u32, u32, Vec<u8>) {
    let folder = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join(folder);
    let out = folder.display().to_string();
    let arguments =
        ["underfoot", "draw", "clock-cabinet-clean", "--cue", "1", "--mode", "brief", "--kind", kind, "--out", &out];
    let (mut data, mut talk) = (Vec::new(), Vec::new());
    let exit = run(arguments, &mut Output::new(&mut data, &mut talk));
    assert_eq!(exit, Exit::Fine, "{}", String::from_utf8_lossy(&talk));
    let path = folder.join(format!("cue001.00-floor-{kind}.png"));
    assert_eq!(String::from_utf8_lossy(&data).trim(), path.display().to_string());
    decode(&fs::read(&path).expect("the picture that the command named"))
}

#[derive(Clone, Copy, Debug, PartialEq)]
enum Seen {
    Light,
    Dark,
    Clear,
}

#[rustfmt::skip]
const ROWS: &[(&str, (usize, usize), Seen)] = &[
    // Mark A (-0.90, 0.10): (153.6, 358.4). The stem runs through the midpoint between the heels.
    ("mark A's point", (153, 358), Seen::Light),
    // It faces CAM1 (1.6, -3.8): along (2.5, -3.9) / 4.6325 = (0.5397, -0.8419). The toe bar lies 0.15 m ahead, at
    // (-0.8190, -0.0263): (174.3, 390.7).
    ("the middle of A's toe bar", (174, 390), Seen::Light),
    // 0.12 m to its side along (0.8419, 0.5397): (-0.7180, 0.0385): (200.2, 374.1); the bar's half length is 0.15 m.
    ("the upstage arm of A's toe bar", (200, 374), Seen::Light),
    ("the downstage arm of A's toe bar", (148, 407), Seen::Light),
    // 31 mm ahead of the bar's middle is past its half width of 25 mm and inside the keyline of 12 mm:
    // (-0.8023, -0.0524): (178.6, 397.4).
    ("the keyline ahead of A's toe bar", (178, 397), Seen::Dark),
    // WATCH (0.15, -0.35), radius 0.35 m: its stage-left point (0.50, -0.35) is (512.0, 473.6), its upstage point
    // (0.15, 0.00) is (422.4, 384.0).
    ("WATCH's outline, stage left", (512, 473), Seen::Light),
    ("WATCH's outline, upstage", (422, 384), Seen::Light),
    // 31 mm outside: (0.531, -0.35) is (519.9, 473.6). An outline, no fill: 0.2 m downstage of the middle and its
    // label, (0.15, -0.55) is (422.4, 524.8).
    ("the keyline outside WATCH", (519, 473), Seen::Dark),
    ("WATCH's inside", (422, 524), Seen::Clear),
    // B (0.75, 0.55) is not in cue 1 or 2: (576.0, 243.2).
    ("the place of mark B", (576, 243), Seen::Clear),
];

#[test]
fn what_is_drawn_lies_where_the_show_says() {
    let (width, height, samples) = drawn("layer", "demo-pixels");
    assert_eq!((width, height), (768, 768));
    for (what, (x, y), expected) in ROWS {
        let at = (y * 768 + x) * 4;
        let [r, g, b, a] = samples[at..at + 4] else { panic!("four samples a pixel") };
        // Drive levels: light is the white core at the show's level, dark the keyline over any content.
        let brightest = r.max(g).max(b);
        let seen = match (a, brightest) {
            (0, _) => Seen::Clear,
            (128.., 0..=16) => Seen::Dark,
            (200.., 40..) => Seen::Light,
            _ => panic!("{what} at ({x}, {y}) is half drawn: {r} {g} {b} {a}"),
        };
        assert_eq!(seen, *expected, "{what} at ({x}, {y}): {r} {g} {b} {a}");
    }
}

/// Colour and matte side by side are the layer: black is the colour times alpha, matte is alpha.
#[test]
fn black_and_matte_are_the_layer_taken_apart() {
    let (_, _, layer) = drawn("layer", "taken-apart");
    let (_, _, black) = drawn("black", "taken-apart");
    let (_, _, matte) = drawn("matte", "taken-apart");
    for ((l, k), &m) in layer.chunks_exact(4).zip(black.chunks_exact(3)).zip(&matte) {
        assert_eq!(l[3], m);
        for (&straight, &over_black) in l.iter().zip(k) {
            let multiplied = (f32::from(straight) * f32::from(m) / 255.0).round();
            assert!((multiplied - f32::from(over_black)).abs() <= 1.0, "{l:?} {k:?}");
        }
    }
}
