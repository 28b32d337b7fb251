//! Panels that die: which marks they are under, against a grid of places, and the other places that are offered, against the
//! desk's checks.

use std::collections::BTreeSet;
use std::path::Path;
use std::time::{Duration, Instant};

use underfoot_core::device::recheck::Room;
use underfoot_core::device::tiles::{Change, NEAR_M, Tiles, elsewhere, touched};
use underfoot_core::geom::StagePoint;
use underfoot_core::link::Refusal;
use underfoot_core::look::{marks, placed};
use underfoot_core::show::{CueId, MarkId, Show, TileState};
use underfoot_sim::checks::check_room;
use underfoot_sim::findings::{FindingId, Severity};
use underfoot_sim::project::{Project, load};
use underfoot_tests::device::shows::DEMOS;
use underfoot_tests::dice::Dice;

fn demo(name: &str) -> Project {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("../host-sim/demos/{name}.toml"));
    load(&path).unwrap_or_else(|errors| panic!("{name}: {errors}"))
}

/// The panel under a place, found by its pixel.
fn panel_at(show: &Show, p: StagePoint) -> Option<Change> {
    show.blocks.iter().enumerate().find_map(|(i, block)| {
        let pixel = block.pixel_of(p)?;
        let column = (pixel.x as u16 - block.x_px) / block.panel_width_px;
        let row = (pixel.y as u16 - block.y_px) / block.panel_height_px;
        Some(Change { block: i as u8, column: column as u8, row: row as u8, dead: true })
    })
}

/// A panel under or near a random mark.
fn random_panel(dice: &mut Dice, show: &Show) -> Option<Change> {
    let at = show.marks[dice.below(show.marks.len())].at;
    let mut near = |m: f32| m + dice.between(-0.6, 0.6) as f32;
    panel_at(show, StagePoint::new(near(at.x), near(at.y)))
}

/// Places all over what a mark lights: every 10 mm of its outline's bounds that is inside the outline, or its form.
fn places(show: &Show, id: MarkId) -> Vec<StagePoint> {
    let mark = &show.marks[id.index()];
    let mut outlines = vec![marks::field(mark).to_vec()];
    let used = show.cue_places.iter().filter(|p| p.mark == Some(id));
    outlines.extend(used.filter_map(|p| placed::outline(show, p)).map(|(_, o)| o.to_vec()));
    let inside = |o: &[StagePoint], p: StagePoint| {
        o.iter()
            .zip(o.iter().cycle().skip(1))
            .all(|(a, b)| (b.x - a.x) * (p.y - a.y) - (b.y - a.y) * (p.x - a.x) >= 0.0)
    };
    let mut all = Vec::new();
    for o in &outlines {
        let reach = o.iter().map(|p| p.distance(mark.at)).fold(0.0, f32::max);
        let steps = (reach / 0.01).ceil() as i32;
        for i in -steps..=steps {
            for j in -steps..=steps {
                let p = StagePoint::new(mark.at.x + i as f32 * 0.01, mark.at.y + j as f32 * 0.01);
                if inside(o, p) {
                    all.push(p);
                }
            }
        }
    }
    all
}

#[test]
fn the_marks_on_a_panel_are_those_with_a_place_on_it() {
    let mut dice = Dice::new(0x711E);
    let (mut on, mut off) = (0, 0);
    for name in DEMOS {
        let show = demo(name).show;
        for _ in 0..12 {
            let Some(panel) = random_panel(&mut dice, &show) else { continue };
            let told = touched(&show, panel);
            for id in (0..show.marks.len() as u8).map(MarkId) {
                let there = places(&show, id);
                let share = there.iter().filter(|p| panel_at(&show, **p).is_some_and(|c| same(c, panel))).count();
                let is_told = told & 1 << id.0 != 0;
                // A corner of less than a square centimetre may lie between the places of the grid.
                assert!(is_told || share == 0, "{name}: mark {} has {share} places on {panel:?}", id.0);
                if is_told && share == 0 {
                    off += 1;
                }
                on += usize::from(is_told);
            }
        }
    }
    println!("{on} marks on panels, {off} of them by less than the grid shows");
    assert!(on > 20 && off * 10 < on);
}

fn same(a: Change, b: Change) -> bool {
    (a.block, a.column, a.row) == (b.block, b.column, b.row)
}

/// What the desk has against a mark, in words.
fn against(project: &Project, mark: &str) -> BTreeSet<String> {
    let bad = |id: FindingId| {
        use FindingId::{
            LineBlocked, LineNearProp, LineOffFloor, LineThroughProp, MarkCovered, MarkInEdgeBand, MarkInProp,
            MarkNearProp, MarkNearWall, MarkOffFloor, MarkOnDeadTile, MarkShared,
        };
        [
            MarkOnDeadTile,
            MarkOffFloor,
            MarkInEdgeBand,
            MarkNearWall,
            MarkInProp,
            MarkNearProp,
            MarkShared,
            MarkCovered,
            LineThroughProp,
            LineNearProp,
            LineBlocked,
            LineOffFloor,
        ]
        .contains(&id)
    };
    let report = check_room(project);
    let found = report.findings.iter().filter(|f| f.severity != Severity::Note && bad(f.id));
    let of_mark = found.filter(|f| f.things.iter().any(|t| t == mark) || f.about == mark);
    of_mark.map(|f| format!("{:?} {}", f.id, f.what)).collect()
}

#[test]
fn another_place_is_off_dead_panels_and_the_desk_has_nothing_against_it() {
    let (mut dice, mut room) = (Dice::new(0x0FFE), Box::new(Room::new()));
    let (mut offers, mut none, mut slowest) = (0, 0, Duration::ZERO);
    for name in DEMOS {
        let stored = demo(name);
        for _ in 0..25 {
            let mut project = stored.clone();
            let Some(panel) = random_panel(&mut dice, &project.show) else { continue };
            let mut tiles = Tiles::new();
            tiles.set(&mut project.show, panel).expect("a panel");
            let told = touched(&project.show, panel);
            for id in (0..project.show.marks.len() as u8).map(MarkId).filter(|id| told & 1 << id.0 != 0) {
                let used = |i: &u8| {
                    let cue = &project.show.cues[usize::from(*i)];
                    project.show.places_in(cue).iter().any(|p| p.mark == Some(id))
                };
                let cues: Vec<CueId> = (0..project.show.cues.len() as u8).filter(used).map(CueId).collect();
                let before = project.show.clone();
                let began = Instant::now();
                let offer = elsewhere(&mut project.show, id, cues.iter().copied(), &mut room);
                slowest = slowest.max(began.elapsed());
                assert_eq!(project.show, before, "the show is as it was");
                let Some(to) = offer else {
                    none += 1;
                    continue;
                };
                offers += 1;
                let mark = &before.marks[id.index()];
                assert!(to.distance(mark.at) <= NEAR_M + 1e-6);
                let mut moved = project.clone();
                let from = mark.at;
                moved.show.marks[id.index()].at = to;
                moved.show.line_points.iter_mut().filter(|p| p.is_stop() && p.at == from).for_each(|p| p.at = to);
                let dead = places(&moved.show, id).into_iter().filter(|p| {
                    let on = |f: &underfoot_core::show::TileFault| {
                        panel_at(&moved.show, *p)
                            .is_some_and(|c| (c.block, c.column, c.row) == (f.block, f.column, f.row))
                    };
                    moved.show.tile_faults.iter().any(on)
                });
                assert_eq!(dead.count(), 0, "{name}: {} at {to:?}", mark.name);
                if !cues.is_empty() {
                    let planned = moved
                        .show
                        .lines
                        .iter()
                        .any(|l| l.planned && moved.show.points_of(l).iter().any(|p| p.is_stop() && p.at == to));
                    let found = against(&moved, &mark.name);
                    // A planned line has its old corners here, which the box plans anew.
                    assert!(found.is_empty() || planned, "{name}: {} to {to:?}: {found:?}", mark.name);
                }
            }
        }
    }
    println!("{offers} offers, {none} without one, the slowest took {slowest:?} here");
    assert!(offers > 10);
}

#[test]
fn panels_die_and_come_back() {
    let mut show = demo(DEMOS[0]).show;
    let (stored, mut tiles) = (show.clone(), Tiles::new());
    let panel = panel_at(&show, show.marks[0].at).expect("a panel");
    assert_eq!(tiles.set(&mut show, panel), Ok(true));
    assert_eq!(tiles.set(&mut show, panel), Ok(false), "it is dead already");
    assert_eq!(tiles.changes(), [panel]);
    let fault = show.tile_faults.last().expect("a fault");
    assert_eq!((fault.column, fault.state), (panel.column, TileState::Dead));
    assert_eq!(tiles.set(&mut show, Change { dead: false, ..panel }), Ok(true));
    assert_eq!((&*show, tiles.changes().len()), (&*stored, 0));
    let nowhere = Change { block: 200, ..panel };
    assert_eq!(tiles.set(&mut show, nowhere), Err(Refusal::NoSuch));
    assert_eq!(tiles.set(&mut show, Change { column: 255, ..panel }), Err(Refusal::NoSuch));
    // A panel that the show has as dead comes back, and that is a change.
    if let Some(known) = stored.tile_faults.first() {
        let back = Change { block: known.block, column: known.column, row: known.row, dead: false };
        assert_eq!(tiles.set(&mut show, back), Ok(true));
        assert_eq!(tiles.changes(), [back]);
    }
}
