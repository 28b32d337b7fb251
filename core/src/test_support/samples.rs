//! Small shows for unit tests. Invented.

use crate::floor::block::{Block, Canvas, Lay, Output};
use crate::geom::StagePoint;
use crate::show::{
    Cue, CuePlace, CueProp, Edge, Layer, Mark, MarkId, MarkKind, Mode, Name, Part, PartShape, Person, PersonClass,
    PersonId, Presence, Prop, PropId, Run, Show, Sight, Title, Who,
};
use crate::units::Angle;

fn name(text: &str) -> Name {
    Name::try_from(text).unwrap()
}

/// One 2 m × 2 m floor of 64 px, one guest, one prop, two marks, three cues (1, 2 and 3).
pub(crate) fn small() -> Show {
    let mut show = Show { title: Title::try_from("Small").unwrap(), latency_ms: 140, ..Show::default() };
    show.canvases
        .push(Canvas { name: name("floor"), width_px: 64, height_px: 64, output: Output::Layer, controller: 1 })
        .unwrap();
    let lay = Lay { centre: StagePoint::new(0.0, 0.0), width_m: 2.0, depth_m: 2.0, turn: Angle::from_degrees(0.0) };
    show.blocks.push(Block::laid(name("floor"), 0, (0, 0), (4, 4), (16, 16), &lay).unwrap()).unwrap();
    for (x, y) in [(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)] {
        show.floor.vertices.push(StagePoint::new(x, y)).unwrap();
        show.floor.edges.push(Edge::Open).unwrap();
    }
    show.floor.edge_band_m = 0.3;
    add_people(&mut show);
    add_prop(&mut show);
    add_cues(&mut show);
    show
}

fn add_people(show: &mut Show) {
    show.classes
        .push(PersonClass {
            name: name("mid"),
            height_m: 1.72,
            eye_m: 1.6,
            radius_m: 0.25,
            walk_width_m: 0.9,
            pace_mps: 0.7,
            chair_m: None,
        })
        .unwrap();
    let class = crate::show::ClassId(0);
    let guest = Person { name: name("Guest 1"), class, who: Who::AmberSquare, sight: Sight::Typical };
    show.people.push(guest).unwrap();
    for (label, x, y) in [("G1", -0.4, 0.2), ("G2", 0.4, -0.25)] {
        let mark = Mark {
            name: name(label),
            label: label.try_into().unwrap(),
            at: StagePoint::new(x, y),
            facing_deg: 270.0,
            kind: MarkKind::Tee,
            person: Some(PersonId(0)),
            who: Who::AmberSquare,
        };
        show.marks.push(mark).unwrap();
    }
}

fn add_prop(show: &mut Show) {
    let shape = PartShape::Disc { at: StagePoint::new(0.0, 0.0), radius_m: 0.3 };
    show.parts.push(Part { shape, bottom_m: 0.0, top_m: 1.2, layer: Layer::Overlay, transparent: false }).unwrap();
    let prop =
        Prop { name: name("column"), at: StagePoint::new(0.0, 0.5), turn_deg: 0.0, parts: Run { first: 0, len: 1 } };
    show.props.push(prop).unwrap();
}

fn add_cues(show: &mut Show) {
    for (number, title, mode) in
        [(100, "Walk in", Mode::Brief), (200, "Talk", Mode::Standby), (300, "Reveal", Mode::Brief)]
    {
        let place = CuePlace { person: PersonId(0), mark: Some(MarkId((number == 300).into())), line: None };
        let prop = CueProp { prop: PropId(0), presence: Presence::Live, coming_ms: 3000, motion: None };
        let first = show.cue_places.len() as u16;
        show.cue_places.push(place).unwrap();
        show.cue_props.push(prop).unwrap();
        let cue = Cue {
            number,
            name: Title::try_from(title).unwrap(),
            mode,
            at: None,
            time_limit_ms: 0,
            props: Run { first, len: 1 },
            places: Run { first, len: 1 },
            shots: Run { first: 0, len: 0 },
        };
        show.cues.push(cue).unwrap();
    }
}
