//! The whole way of a box beside the rehearse page, in a real browser: its panel, the server behind it, and a box at the
//! other end of a line. What it must show is the brief's (feature 30): rows and display of both, and every pixel that
//! differs. The box is its own code over a loopback port, then its real image in the emulator.

use std::fs;
use std::path::Path;
use std::time::Duration;

use underfoot_core::link::Versions;
use underfoot_sim::link::send;
use underfoot_tests::beside::{Spoiled, empty, speaks, with};
use underfoot_tests::browser::{drive, rehearse};
use underfoot_tests::device::scratch::Scratch;
use underfoot_tests::device::shows::{demo, packed};
use underfoot_tests::device::{Board, Powered};

const SHOW: &str = "clock-cabinet";

/// Drives the panel of a page through one part of the script, and returns what it prints.
fn part(page: &[String], part: &str, boxes: &[&str]) -> String {
    let pictures = Path::new(env!("CARGO_MANIFEST_DIR")).join("../target/rehearse");
    fs::create_dir_all(&pictures).expect("a folder");
    let pictures = pictures.to_string_lossy().into_owned();
    drive("attached.mjs", &[&[page[0].as_str(), &pictures, part], boxes].concat())
}

#[test]
fn both_boxes_go_through_the_cues_with_the_same_pixels() {
    let (device, page) = (with(SHOW), rehearse(&[SHOW], 1));
    part(&page, "cues", &[&device.target()]);
    device.power_off();
    part(&page, "silent", &[]);
}

#[test]
fn every_spoiled_pixel_is_counted_flagged_and_shown() {
    let (device, page, spoiled) =
        (with(SHOW), rehearse(&[SHOW], 1), Spoiled::of(300..=303).slowly(Duration::from_millis(20)));
    let seen = part(&page, "differs", &[&spoiled.relay(&device.target())]);
    assert!(spoiled.pixels() > 0);
    // Counted by the page's words, in the picture of what differs, and between the two floors.
    let wanted = format!("{0} {0} {0}", spoiled.pixels());
    assert_eq!(seen.trim(), wanted);
}

/// An address where nothing takes calls.
fn free_target() -> String {
    let device = empty();
    let target = device.target();
    device.power_off();
    target
}

#[test]
fn what_is_no_such_box_is_told_with_a_remedy() {
    let page = rehearse(&[SHOW], 1);
    let old = speaks(Some(Versions { min: 1, current: 2 }));
    let new = speaks(Some(Versions { min: 90, current: 91 }));
    let (other, none) = (with("clock-cabinet-clean"), empty());
    let (other_at, none_at) = (other.target(), none.target());
    let gone = free_target();
    part(&page, "wrong", &[&gone, &speaks(None), &old, &new, &other_at, &none_at]);
    // The remedy that the page names for a box without a show.
    send(&packed(&demo(SHOW)), &none_at, &mut |_, _| {}).expect("a box that takes it");
    part(&page, "again", &[&none_at]);
}

#[test]
fn the_real_image_in_the_emulator_has_the_same_pixels() {
    let (folder, page) = (Scratch::new(), rehearse(&[SHOW], 1));
    let powered = Powered::with(Board::An386, &folder, &demo(SHOW));
    part(&page, "image", &[&powered.target()]);
}
