//! What plans show of ways, against sums by hand.

use underfoot_core::geom::StagePoint;
use underfoot_core::show::{CueId, Passage};
use underfoot_sim::cli::draw::pictures::{Brief, with_ways};
use underfoot_sim::cli::show_source;
use underfoot_sim::project::Project;
use underfoot_sim::render::Over;

fn demo(name: &str) -> Project {
    show_source::load(name).unwrap_or_else(|refusal| panic!("{refusal}"))
}

fn plan(project: &Project, number: u32) -> Brief {
    let cue = project.show.cues.iter().position(|c| c.number == number).expect("the cue");
    with_ways(project, Some(CueId(cue as u8)), Brief::default())
}

/// 9.33 m at 0.8 m/s, 3 s for all turns, 1.0 s to start and 0.7 s to settle: 16.4 s.
#[test]
fn the_time_of_a_walk_stands_at_its_end() {
    let project = demo("harbour-hour");
    let brief = plan(&project, 600);
    let words: Vec<&str> = brief.labels.iter().map(|label| label.line.words.as_str()).collect();
    assert_eq!(words, ["W 16.4 s"]);
    let mark = project.show.marks.iter().find(|m| m.name == "W").expect("the mark").at;
    let label = &brief.labels[0];
    // Beyond the mark as seen from the walk, which ends towards stage left.
    assert!(label.at.x > mark.x && label.at.distance(mark) < 1.0 && label.way.x > 0.9, "{label:?}");
    let corridors: Vec<f32> = brief
        .over
        .iter()
        .filter_map(|over| match over {
            Over::Corridor { half_m, .. } => Some(*half_m),
            _ => None,
        })
        .collect();
    assert_eq!(corridors, [0.6]);
}

/// The riser is 3.6 × 2.0 about (2.9, 2.7); the ramp, 1.0 m deep, adjoins in the middle of its side at x = 1.1 and is as
/// high there: that metre is open, and so is the ramp's own foot and its high end.
#[test]
fn sides_are_closed_where_nothing_leads_up() {
    let brief = plan(&demo("harbour-hour"), 600);
    let closed = |p: StagePoint| {
        brief.over.iter().any(|over| match over {
            Over::ClosedSide { from, to } => from.distance(p) + p.distance(*to) < from.distance(*to) + 1e-3,
            _ => false,
        })
    };
    let at = StagePoint::new;
    for p in [at(2.9, 1.7), at(4.7, 2.7), at(2.9, 3.7), at(1.1, 1.9), at(1.1, 3.5), at(0.5, 2.2), at(0.5, 3.2)] {
        assert!(closed(p), "{p:?} is open");
    }
    for p in [at(1.1, 2.7), at(1.1, 2.4), at(1.1, 3.1), at(-1.3, 2.7), at(-1.25, 2.2)] {
        assert!(!closed(p), "{p:?} is closed");
    }
}

/// The step of the corner stage is on its stage-left side: inwards is stage right.
#[test]
fn entries_that_are_crossed_one_way_have_an_arrow() {
    let mut project = demo("clock-cabinet-clean");
    let arrows = |project: &Project| {
        let over = plan(project, 600).over;
        let ways = over.iter().filter_map(|over| match over {
            Over::OneWay { at, way } => Some((*at, *way)),
            _ => None,
        });
        ways.collect::<Vec<_>>()
    };
    assert!(arrows(&project).is_empty());
    for (passage, x) in [(Passage::In, -1.0), (Passage::Out, 1.0)] {
        project.show.entries[0].passage = passage;
        let [(at, way)] = arrows(&project)[..] else { panic!("one arrow") };
        assert!((way.x - x).abs() < 1e-6 && way.y.abs() < 1e-6, "{passage:?}: {way:?}");
        // In the middle of the band of 0.3 m.
        assert!((at.x - 1.35).abs() < 1e-5 && (at.y - 0.4).abs() < 1e-5, "{at:?}");
    }
}
