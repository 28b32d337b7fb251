//! What the page is told and shown of a plan is what the rest of the tool says of it.

use std::path::PathBuf;

use serde_json::Value;
use underfoot_core::paint::Rgba;
use underfoot_core::show::{CueId, Mode};
use underfoot_sim::demos::text_of;
use underfoot_sim::project::{Project, parse};
use underfoot_sim::rehearse::pictures::floor_at;
use underfoot_tests::device::shows::packed;
use underfoot_tests::device::{Board, Profile, Rig};
use underfoot_tests::page_client::{Page, samples, samples_of};

const DEMO: &str = "clock-cabinet";
/// From the call to the first step, and to come to rest on a mark, seconds (common practice).
const START_S: f64 = 1.0;
const SETTLE_S: f64 = 0.7;
/// The pace that may be asked of anybody, metres per second, and how much more than their own (common practice).
const MOST_MPS: f64 = 1.2;
const HURRY: f64 = 4.0 / 3.0;

fn project(demo: &str) -> Project {
    parse(demo, text_of(demo).expect("a demo")).expect("a demo loads")
}

fn json(page: &Page, address: &str) -> Value {
    let reply = page.get(address);
    assert_eq!(reply.status, 200, "{address}: {}", reply.words());
    serde_json::from_slice(&reply.body).expect("JSON")
}

/// The files that `draw --kind black` writes, in the order of cues.
fn drawn(mode: &str) -> Vec<PathBuf> {
    let folder = std::env::temp_dir().join(format!("underfoot-page-{}-{mode}", std::process::id()));
    let (out, mut data, mut talk) = (folder.display().to_string(), Vec::new(), Vec::new());
    let asked = ["underfoot", "draw", DEMO, "--kind", "black", "--mode", mode, "--out", &out];
    underfoot_sim::cli::run(asked, &mut underfoot_sim::cli::Output::new(&mut data, &mut talk));
    String::from_utf8(data).expect("paths").lines().map(PathBuf::from).collect()
}

#[test]
fn the_floor_without_a_moment_is_what_draw_writes() {
    let page = Page::of(DEMO);
    for mode in ["brief", "standby", "air", "reset", "worklight", "off"] {
        let files = drawn(mode);
        assert_eq!(files.len(), project(DEMO).show.cues.len(), "{mode}");
        for (cue, file) in files.iter().enumerate() {
            let reply = page.get(&format!("/floor/FLOOR.png?cue={cue}&mode={mode}"));
            assert_eq!((reply.status, reply.header("content-type")), (200, Some("image/png")));
            assert!(samples(&reply.body) == samples_of(file), "cue {cue} in {mode} differs from {}", file.display());
        }
        let _ = std::fs::remove_dir_all(files[0].parent().expect("a folder"));
    }
}

/// Rows that an emulated box painted, laid on its canvas: its spans pixel by pixel, so that equal canvases are equal bit
/// for bit, colour and matte.
fn firmware_canvas(rig: &mut Rig, project: &Project, view: &underfoot_core::look::View) -> Vec<Rgba> {
    let canvas = &project.show.canvases[0];
    let width = usize::from(canvas.width_px);
    let mut pixels = vec![Rgba::CLEAR; width * usize::from(canvas.height_px)];
    for (row, _, _, spans) in rig.dump(view) {
        for span in spans {
            let from = usize::from(row) * width;
            pixels[from + usize::from(span.start)..from + usize::from(span.end)].fill(span.color);
        }
    }
    pixels
}

#[test]
fn the_floor_at_a_moment_is_what_the_firmware_paints() {
    let (page, project) = (Page::of(DEMO), project(DEMO));
    assert_eq!(project.show.canvases.len(), 1);
    let mut rig = Rig::start(Board::An500, Profile::Release, false, 240);
    assert!(rig.take_pack(&packed(&project.show)));
    let mut lit = 0;
    for cue in 0..project.show.cues.len() {
        // Its own mode while new things come, and when they have; STANDBY while people walk.
        for (t_s, mode) in [(0.2, None), (1.75, None), (1.75, Some(("standby", Mode::Standby)))] {
            let view = floor_at(&project, CueId(cue as u8), t_s, mode.map(|(_, mode)| mode));
            let theirs = firmware_canvas(&mut rig, &project, &view);
            let mode = mode.map_or(String::new(), |(word, _)| format!("&mode={word}"));
            let ours = |kind: &str| {
                let address = format!("/floor/FLOOR.png?cue={cue}&t={t_s}{mode}&kind={kind}");
                samples(&page.get(&address).body).1
            };
            let (black, matte) = (ours("black"), ours("matte"));
            assert!(theirs.iter().flat_map(|p| [p.r, p.g, p.b]).eq(black), "cue {cue} at {t_s} s{mode}");
            assert!(theirs.iter().map(|p| p.a).eq(matte), "matte of cue {cue} at {t_s} s{mode}");
            lit += usize::from(theirs.iter().any(|p| p.a > 0));
        }
    }
    rig.finish();
    assert!(lit > 2 * project.show.cues.len(), "only {lit} pictures have anything in them");
}

/// A place so many metres along a polyline, and the way there.
fn along(points: &[[f64; 2]], mut left_m: f64) -> ([f64; 2], f64) {
    for pair in points.windows(2) {
        let (dx, dy) = (pair[1][0] - pair[0][0], pair[1][1] - pair[0][1]);
        let length_m = dx.hypot(dy);
        if left_m <= length_m {
            let share = left_m / length_m;
            return ([pair[0][0] + dx * share, pair[0][1] + dy * share], dy.atan2(dx).to_degrees().rem_euclid(360.0));
        }
        left_m -= length_m;
    }
    (points[points.len() - 1], f64::NAN)
}

fn find<'v>(list: &'v Value, key: &str, name: &str) -> &'v Value {
    list.as_array().expect("a list").iter().find(|item| item[key] == name).expect(name)
}

/// Somebody on a line of a cue, from what the page is told of the show.
struct Walk {
    cue: usize,
    name: String,
    points: Vec<[f64; 2]>,
    length_m: f64,
    pace_mps: f64,
}

impl Walk {
    /// Who walks a line on foot; wheels take time for turns, too.
    fn of(show: &Value, (i, cue): (usize, &Value), place: &Value) -> Option<Self> {
        let (name, line) = (place["person"].as_str()?, place["line"].as_str()?);
        let person = find(&show["people"], "name", name);
        let line = find(&show["lines"], "name", line);
        let points = serde_json::from_value(line["points"].clone()).ok()?;
        let (length_m, own) = (line["length_m"].as_f64()?, person["pace_mps"].as_f64()?);
        // Faster where the cue's time asks for it.
        let needed = cue["limit_s"].as_f64().map_or(0.0, |limit_s| length_m / (limit_s - START_S - SETTLE_S));
        let pace_mps = own.max(needed.min(MOST_MPS.min(HURRY * own)));
        (person["seated"] == false).then(|| Self { cue: i, name: name.into(), points, length_m, pace_mps })
    }

    fn all(show: &Value) -> Vec<Self> {
        let cues = show["cues"].as_array().expect("cues").iter().enumerate();
        let places = cues.flat_map(|cue| cue.1["places"].as_array().expect("places").iter().map(move |p| (cue, p)));
        places.filter_map(|(cue, place)| Self::of(show, cue, place)).collect()
    }

    /// Compares a moment with the reckoning; true for one on the line.
    fn holds_at(&self, page: &Page, t_s: f64) -> bool {
        let Self { cue, name, .. } = self;
        let told = json(page, &format!("/api/moment?cue={cue}&t={t_s}"));
        let there = find(&told["people"], "name", name);
        let gone_m = (self.pace_mps * (t_s - START_S)).max(0.0);
        if gone_m >= self.length_m {
            assert_ne!(there["on"], "line", "cue {cue} {name} at {t_s}");
            return false;
        }
        let (at, way_deg) = along(&self.points, gone_m);
        let told_at: [f64; 2] = serde_json::from_value(there["at"].clone()).expect("a place");
        let off_m = (told_at[0] - at[0]).hypot(told_at[1] - at[1]);
        assert!(off_m < 0.01 && there["on"] == "line", "cue {cue} {name} at {t_s}: {told_at:?}, not {at:?}");
        let turn = (there["facing_deg"].as_f64().expect("degrees") - way_deg + 180.0).rem_euclid(360.0) - 180.0;
        // On a bend the drawn pieces are a few degrees long.
        assert!(gone_m == 0.0 || turn.abs() < 12.0, "cue {cue} {name} at {t_s}: {turn} degrees off the way");
        true
    }
}

/// Reckoned from what the page is told alone: length by pace, after the delay.
#[test]
fn people_are_on_their_lines_where_length_and_pace_put_them() {
    let mut reckoned = 0;
    for demo in [DEMO, "harbour-hour"] {
        let page = Page::of(demo);
        for walk in Walk::all(&json(&page, "/api/show")) {
            let times = [0.0, 0.9, 1.5, 2.25, 3.0, 4.75];
            reckoned += times.into_iter().filter(|t_s| walk.holds_at(&page, *t_s)).count();
        }
    }
    assert!(reckoned > 20, "only {reckoned} places");
}

/// An address, what HTTP says, and words of the answer.
const SLIPS: &[(&str, u16, &[&str])] = &[
    ("/api/moment", 400, &["cue="]),
    ("/api/moment?cue=one", 400, &["\"one\"", "0 to 8"]),
    ("/api/moment?cue=9", 404, &["index 9", "0 to 8"]),
    ("/api/moment?cue=1&t=-1", 400, &["t \"-1\"", "0 to 86400"]),
    ("/api/moment?cue=1&time=1", 400, &["\"time\"", "cue, t and rev"]),
    ("/api/zones?cue=x", 400, &["\"x\""]),
    ("/api/wedges?cue=1&t=1", 400, &["\"t\""]),
    ("/floor/FLOR.png?cue=1", 404, &["\"FLOR\"", "FLOOR"]),
    ("/floor/FLOOR.jpg?cue=1", 404, &[".png"]),
    ("/floor/FLOOR.png?cue=1&mode=bright", 400, &["\"bright\"", "standby"]),
    ("/floor/FLOOR.png?cue=1&kind=x", 400, &["\"x\"", "matte"]),
    ("/shot/1-WID.png?cue=1", 404, &["\"1-WID\"", "1-WIDE"]),
    ("/shot/1-WIDE.png", 400, &["cue="]),
    ("/shot/1-WIDE.png?cue=1&w=9", 400, &["w \"9\"", "64 to 1920"]),
    ("/shot/1-WIDE.json?cue=1&w=480", 400, &["\"w\""]),
    ("/eye/Host.png?cue=1", 404, &["\"Host\"", "Presenter"]),
    ("/eye/Guest%201.png?cue=1", 404, &["Guest 1", "Presenter"]),
    ("/eye/Presenter.png?cue=1&tilt=120", 400, &["tilt", "-89 to 89"]),
    ("/export/frames.zip", 400, &["cue="]),
    ("/export/frames.zip?cue=2&fps=0", 400, &["fps", "1 to 120"]),
    ("/export/show.toml?cue=2", 400, &["\"cue\""]),
];

#[test]
fn slips_are_told_with_what_would_do() {
    let page = Page::of(DEMO);
    for (address, status, words) in SLIPS {
        let reply = page.get(address);
        let told = reply.words();
        assert_eq!(reply.status, *status, "{address}: {told}");
        assert!(words.iter().all(|word| told.contains(word)), "{address}: {told}");
    }
}
