//! What is taken away from the page, and what is not sent twice.

use underfoot_sim::demos::text_of;
use underfoot_tests::page_client::{Page, samples, samples_of};
use underfoot_tests::python;

const DEMO: &str = "clock-cabinet";

#[test]
fn what_has_not_changed_is_not_sent_again() {
    let page = Page::of(DEMO);
    let first = page.get("/floor/FLOOR.png?cue=2&t=1&rev=1");
    let tag = first.header("etag").expect("a tag").to_owned();
    let again = page.ask("/floor/FLOOR.png?cue=2&t=1&rev=7", &format!("If-None-Match: {tag}\r\n"));
    assert_eq!((again.status, again.body.len()), (304, 0));
    let other = page.ask("/floor/FLOOR.png?cue=2&t=2&rev=1", &format!("If-None-Match: {tag}\r\n"));
    assert_eq!(other.status, 200);
}

/// Read by Python's own reader of archives.
#[test]
fn frames_are_those_of_the_floor_one_after_the_other() {
    let page = Page::of(DEMO);
    let reply = page.get("/export/frames.zip?cue=2&fps=10");
    assert_eq!(reply.status, 200, "{}", reply.words());
    let named = reply.header("content-disposition").expect("a name");
    assert!(named.ends_with("cue-3-frames.zip\""), "{named}");
    let folder = std::env::temp_dir().join(format!("underfoot-frames-{}", std::process::id()));
    std::fs::create_dir_all(&folder).expect("a folder");
    std::fs::write(folder.join("frames.zip"), &reply.body).expect("a file");
    let script = "import sys, zipfile; z = zipfile.ZipFile('frames.zip'); assert z.testzip() is None; z.extractall()";
    let output = python::with("zipfile").current_dir(&folder).args(["-c", script]).output().expect("Python");
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    // The walk ends after 2.8 s: frames 0 to 28.
    for frame in [0, 7, 28] {
        let floor = page.get(&format!("/floor/FLOOR.png?cue=2&t={}", frame as f32 / 10.0));
        let file = folder.join(format!("frame-{frame:05}.png"));
        assert!(samples_of(&file) == samples(&floor.body), "frame {frame}");
    }
    assert!(!folder.join("frame-00029.png").exists());
    let _ = std::fs::remove_dir_all(&folder);
}

#[test]
fn the_rest_can_be_taken_away_and_looked_at() {
    let page = Page::of(DEMO);
    let text = page.get("/export/show.toml");
    assert_eq!(text.words(), text_of(DEMO).expect("a demo"));
    for (address, width) in [
        ("/export/contact.png?cue=2", None),
        ("/export/floor.png?cue=2", None),
        ("/export/floor.png", None),
        ("/eye/Presenter.png?cue=2&t=2&w=320", Some(320)),
        ("/shot/1-WIDE.png?cue=2&t=2&w=320", Some(320)),
    ] {
        let reply = page.get(address);
        assert_eq!(reply.status, 200, "{address}: {}", reply.words());
        let (wide, pixels) = samples(&reply.body);
        assert!(width.is_none_or(|width| width == wide), "{address}: {wide}");
        assert!(pixels.iter().any(|sample| *sample != pixels[0]), "{address} is empty");
    }
}
