//! What the demo shows' props do to the people in their pictures.
//!
//! The figures of the plan stand beside ours. They came from a quick ray-caster that took people for cylinders of
//! 0.25 m and counted only what is in the frame; a share here is of the person's whole rectangle, as defined.
//! What is asserted is what the oracle of `sight_oracle` counts, within a point, and the core within a point of it.

use std::path::Path;

use underfoot_core::cameras::{Body, Side, Sight, Solid, Surfaces, off_wall, shots, sight, solids};
use underfoot_core::geom::{StagePoint, StagePoint3};
use underfoot_core::show::{PersonClass, Prop, ShotId, Show};
use underfoot_sim::project::load;
use underfoot_tests::dice::Dice;
use underfoot_tests::sight_oracle::{Counts, Standing, Thing, count};
use underfoot_tests::sight_scene::thing;

const RAYS: (usize, usize) = (150, 150);

/// What is looked at.
#[derive(Clone, Copy, Debug)]
enum Of {
    Painted,
    Hidden,
    /// The legs alone.
    LegsHidden,
}

/// One figure: of whom, where, on which shot, by which props at which places.
struct Row {
    cue: u32,
    t_s: f32,
    who: &'static str,
    at: (f32, f32),
    shot: &'static str,
    props: &'static [(&'static str, (f32, f32))],
    of: Of,
    percent: f64,
}

fn show(name: &str) -> Show {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../host-sim/demos").join(name);
    *load(&path).unwrap_or_else(|errors| panic!("{name}: {errors:?}")).show
}

fn eye(show: &Show, name: &str) -> StagePoint3 {
    let shot = ShotId(show.shots.iter().position(|s| s.name == *name).expect("the shot") as u8);
    shots::view_at(show, shot, 0.0).expect("a view").pose.centre
}

fn mark(show: &Show, name: &str) -> StagePoint {
    show.marks.iter().find(|m| m.name == *name).expect("the mark").at
}

fn class_of<'s>(show: &'s Show, person: &str) -> &'s PersonClass {
    let person = show.people.iter().find(|p| p.name == person).expect("the person");
    &show.classes[person.class.index()]
}

fn prop<'s>(show: &'s Show, name: &str) -> &'s Prop {
    show.props.iter().find(|p| p.name == *name).expect("the prop")
}

/// The core's answer, from the show alone: the props' places are its own.
fn ours(show: &Show, row: &Row, body: &Body) -> Sight {
    let cue = show.cues.iter().find(|c| c.number == row.cue).expect("the cue");
    let all: heapless::Vec<Solid, 96> = solids::of_cue(show, cue, row.t_s).expect("solids");
    let wanted = |s: &&Solid| row.props.iter().any(|(name, _)| show.props[s.prop.index()].name == *name);
    let these: heapless::Vec<Solid, 96> = all.iter().filter(wanted).cloned().collect();
    sight::sight(eye(show, row.shot), false, body, &these)
}

/// The oracle's, with the props put where the plan says that they are.
fn theirs(show: &Show, row: &Row, body: &Body) -> Counts {
    let placed = row.props.iter().flat_map(|&(name, (x, y))| {
        let prop = Prop { at: StagePoint::new(x, y), ..prop(show, name).clone() };
        show.parts_of(&prop).iter().map(|part| thing(show, &prop, part)).collect::<Vec<Thing>>()
    });
    let foot = [body.at.x.into(), body.at.y.into(), body.base_m.into()];
    let person = Standing { foot, height: body.height_m.into(), half: body.radius_m.into() };
    let centre = eye(show, row.shot);
    let eye = [centre.x.into(), centre.y.into(), centre.z.into()];
    count(eye, false, &person, &placed.collect::<Vec<_>>(), RAYS, &mut Dice::new(5))
}

fn hold(show_name: &str, rows: &[Row]) {
    for row in rows {
        let mut show = show(show_name);
        // Props that no motion carries are tried at other places, too.
        for &(name, (x, y)) in row.props {
            show.props.iter_mut().find(|p| p.name == name).expect("the prop").at = StagePoint::new(x, y);
        }
        let body = Body::of(&show, class_of(&show, row.who), StagePoint::new(row.at.0, row.at.1));
        let (ours, theirs) = (ours(&show, row, &body), theirs(&show, row, &body));
        let (ours, theirs) = match row.of {
            Of::Painted => (ours.painted.whole, theirs.painted[0]),
            Of::Hidden => (ours.hidden.whole, theirs.hidden[0]),
            Of::LegsHidden => (ours.hidden.legs, theirs.hidden[3]),
        };
        let (ours, theirs) = (100.0 * f64::from(ours), 100.0 * theirs);
        println!("{:?} of {} at {:?} on {}: {ours:.1} %, rays {theirs:.1} %", row.of, row.who, row.at, row.shot);
        assert!((ours - theirs).abs() < 1.0, "{} on {}: {ours} {theirs}", row.who, row.shot);
        assert!((ours - row.percent).abs() < 1.0, "{} on {}: {ours}", row.who, row.shot);
    }
}

const fn row(
    (cue, t_s): (u32, f32),
    (who, at): (&'static str, (f32, f32)),
    shot: &'static str,
    props: &'static [(&'static str, (f32, f32))],
    of: Of,
    percent: f64,
) -> Row {
    Row { cue, t_s, who, at, shot, props, of, percent }
}

const WATCH: &[(&str, (f32, f32))] = &[("WATCH", (0.15, -0.35))];
const DOME: &[(&str, (f32, f32))] = &[("DOME", (-0.95, 0.95))];

#[test]
fn clock_cabinet() {
    let c = ("Presenter", (0.75, -0.75));
    let a = ("Presenter", (-0.90, 0.10));
    hold(
        "clock-cabinet.toml",
        &[
            // The plan: 35 % and 13 %.
            row((300, 0.0), c, "2-WIDE", WATCH, Of::Painted, 35.0),
            row((300, 0.0), c, "1-WIDE", WATCH, Of::Painted, 14.0),
            // The plan: 41 % of the body, all of it legs.
            row((300, 0.0), a, "2-WIDE", WATCH, Of::Hidden, 40.6),
            row((300, 0.0), a, "2-WIDE", WATCH, Of::LegsHidden, 78.1),
            // The plan: 17 %, and 15 % of what the closer shot holds: the same camera sees the same.
            row((500, 0.0), a, "1-WIDE", DOME, Of::Painted, 17.3),
            row((500, 0.0), a, "1-MID-A", DOME, Of::Painted, 17.3),
        ],
    );
}

#[test]
fn harbour_hour() {
    let p2 = ("P2", (2.3, -0.45));
    let b1 = ("P1", (0.2, -0.9));
    let (planned, fixed) = (("P1", (-1.3, -0.2)), ("P1", (-1.3, 0.6)));
    hold(
        "harbour-hour.toml",
        &[
            // The plan: 49 %, and 66 % of what 2-RISER holds; the boat's hull beside it is left out.
            row((500, 4.0), p2, "1-WIDE", &[("BUOY", (2.9, 0.4))], Of::Painted, 49.3),
            row((500, 4.0), p2, "2-RISER", &[("BUOY", (2.9, 0.4))], Of::Painted, 62.5),
            // The plan: 45 % by the far hull, but of that the near hull hides all up to its own edge.
            row((400, 0.0), b1, "1-BOAT", &[("BOAT", (0.2, -0.9))], Of::Painted, 6.5),
            row((400, 0.0), b1, "1-BOAT", &[("BOAT", (0.2, -0.9))], Of::Hidden, 46.3),
            // The plan: 83 % and 64 %; moved, 43 % and 66 %. From 2.6 m J-LOW cuts the legs off, which are clear.
            row((200, 0.0), fixed, "J-LOW", &[("LIGHTHOUSE", (-2.8, 1.9))], Of::Painted, 86.3),
            row((200, 0.0), b1, "J-LOW", &[("LIGHTHOUSE", (-2.8, 1.9))], Of::Painted, 48.7),
            row((200, 0.0), fixed, "J-LOW", &[("LIGHTHOUSE", (-3.4, 1.7))], Of::Painted, 44.1),
            row((200, 0.0), b1, "J-LOW", &[("LIGHTHOUSE", (-3.4, 1.7))], Of::Painted, 48.9),
            // The plan: 100 %, when the whale's round has brought it into the line of sight.
            row((700, 0.0), planned, "J-HIGH", &[("WHALE", (2.0, 0.0))], Of::Hidden, 92.5),
            row((700, 19.0), planned, "J-HIGH", &[("WHALE", (1.902_113, -0.618_034))], Of::Hidden, 100.0),
            // The plan: 62 %.
            row((600, 0.0), ("V", (3.3, 2.7)), "1-WIDE", &[("BUOY", (2.9, 0.4))], Of::Hidden, 61.3),
        ],
    );
}

#[test]
fn lantern_field() {
    let m = ("X1", (0.4, 3.8));
    let tower = |shot, percent| row((700, 0.0), m, shot, &[("TOWER", (0.0, 6.0))], Of::Painted, percent);
    hold(
        "lantern-field.toml",
        &[
            // The plan: 68 to 97 % on every camera.
            tower("1-LONG", 94.9),
            tower("2-SIDE", 94.8),
            tower("3-CABLE", 83.3),
            tower("4-RAIL", 97.8),
            tower("5-LIVE", 96.4),
            tower("6-BEAUTY", 69.0),
            // The plan: 42 %.
            row((400, 0.0), ("X1", (1.5, -3.0)), "2-SIDE", &[("CRANE", (11.0, 6.0))], Of::Painted, 42.0),
        ],
    );
}

/// Where heads back onto the walls; all figures are the plan's.
#[test]
fn backings() {
    let near = |found: f32, printed: f32| assert!((found - printed).abs() < 0.0101, "{found} is printed as {printed}");
    let cabinet = show("clock-cabinet.toml");
    let head = |show: &Show, shot: &str, who: &str, at: StagePoint| {
        let body = Body::of(show, class_of(show, who), at);
        Surfaces::of(show).head_backs_on(eye(show, shot), &body).expect("a wall beyond")
    };
    near(head(&cabinet, "3-LOW", "Presenter", mark(&cabinet, "C")).place.z, 3.26);
    near(-head(&cabinet, "3-LOW", "Guest 2", mark(&cabinet, "B")).miss_m(), 0.09);
    let harbour = show("harbour-hour.toml");
    near(head(&harbour, "J-LOW", "P1", StagePoint::new(-1.3, 0.6)).place.x, -5.14);
    near(head(&harbour, "J-LOW", "P1", mark(&harbour, "B1")).place.x, -5.88);
}

/// Outlines off the wall, with the whole body in question.
#[test]
fn off_the_wall() {
    let off = |name: &str, shot: &str, who: &str, at: &str| {
        let show = show(name);
        let body = Body::of(&show, class_of(&show, who), mark(&show, at));
        off_wall(eye(&show, shot), &body, &Surfaces::of(&show), &[], |_| true).map(|off| (off.side, off.over_m()))
    };
    let at_c = off("clock-cabinet.toml", "3-LOW", "Presenter", "C").expect("off the wall");
    // By hand: the outline's upper right corner, (0.9996, -0.7974, 1.7748), is seen 4.12 / 1.8026 = 2.2856 times as
    // far away on the wall: 0.5 + 1.2748 × 2.2856 - 2.5 = 0.9137 m above its edge.
    assert!(at_c.0 == Side::Top && (at_c.1 - 0.9137).abs() < 1e-3, "{at_c:?}");
    assert_eq!(off("clock-cabinet.toml", "3-LOW", "Guest 2", "B"), None);
    let jib = off("harbour-hour.toml", "J-LOW", "P1", "P1").expect("off the wall");
    assert!(jib.0 == Side::Left && jib.1 > 2.6, "{jib:?}");
    // The return wall backs both places.
    assert_eq!(off("harbour-hour-clean.toml", "J-LOW", "P1", "P1"), None);
    assert_eq!(off("harbour-hour-clean.toml", "J-LOW", "P1", "B1"), None);
    // No walls and no extension: nothing to be off.
    assert_eq!(off("lantern-field.toml", "4-RAIL", "X1", "K"), None);
}
