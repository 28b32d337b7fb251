//! Random shows with a camera, a person and props between and behind them, and the same for the oracle.

use underfoot_core::geom::{StagePoint, StagePoint3};
use underfoot_core::show::{
    ClassId, Cue, CueProp, Edge, Layer, Part, PartShape, PersonClass, Physical, PhysicalKind, Presence, Prop, PropId,
    Run, Show, StepOver,
};

use crate::dice::Dice;
use crate::sight_oracle::{Drawn, Foot, Standing, Thing};

/// A show with one cue, seen by one camera.
pub struct SightScene {
    /// Props, a class and perhaps a riser.
    pub show: Box<Show>,
    /// The camera.
    pub centre: StagePoint3,
    /// True when nobody is painted over in its picture.
    pub person_matte: bool,
    /// Where the person stands.
    pub at: StagePoint,
    /// The same person for the oracle.
    pub standing: Standing,
    /// The same parts for the oracle, in order.
    pub things: Vec<Thing>,
}

impl SightScene {
    /// A scene; most props are about the line of sight, some hold the camera or the person, some are behind.
    pub fn throw(dice: &mut Dice) -> Self {
        let mut show = Box::<Show>::default();
        for (x, y) in [(-50.0, -50.0), (50.0, -50.0), (50.0, 50.0), (-50.0, 50.0)] {
            show.floor.vertices.push(StagePoint::new(x, y)).expect("room for a corner");
            show.floor.edges.push(Edge::Level).expect("room for a side");
        }
        let at = StagePoint::new(dice.between(-5.0, 5.0) as f32, dice.between(-5.0, 5.0) as f32);
        let class = throw_class(dice);
        let riser_m = if dice.one_in(4) { dice.between(0.1, 0.8) as f32 } else { 0.0 };
        if riser_m > 0.0 {
            show.physicals.push(riser(at, riser_m)).expect("room for a riser");
        }
        let centre = throw_camera(dice, at);
        let mut scene = Self {
            standing: Standing {
                foot: [at.x.into(), at.y.into(), riser_m.into()],
                height: class.height_m.into(),
                half: class.radius_m.into(),
            },
            show,
            centre,
            person_matte: dice.one_in(6),
            at,
            things: Vec::new(),
        };
        scene.show.classes.push(class).expect("room for a class");
        for _ in 0..1 + dice.below(7) {
            scene.throw_prop(dice);
        }
        let props = Run { first: 0, len: scene.show.cue_props.len() as u16 };
        scene.show.cues.push(Cue { number: 100, props, ..Cue::default() }).expect("room for a cue");
        scene.show.validate().expect("a sound show");
        scene
    }

    /// The one class.
    pub fn class(&self) -> &PersonClass {
        &self.show.classes[ClassId(0).index()]
    }

    /// The camera, for the oracle.
    pub fn eye(&self) -> [f64; 3] {
        [self.centre.x.into(), self.centre.y.into(), self.centre.z.into()]
    }

    fn throw_prop(&mut self, dice: &mut Dice) {
        // A share of the way to the person: in the lens, between, at the person, behind, behind the camera.
        let share = match dice.below(12) {
            0 => dice.between(-0.3, 0.1),
            1 | 2 => dice.between(0.9, 1.1),
            3..=6 => dice.between(0.1, 1.0),
            _ => dice.between(1.0, 2.5),
        };
        let size = dice.between(0.1, 1.6);
        let way = [f64::from(self.at.x - self.centre.x), f64::from(self.at.y - self.centre.y)];
        let away = way[0].hypot(way[1]);
        let aside = dice.between(-1.0, 1.0) * (0.3 * share.abs() + size);
        let x = f64::from(self.centre.x) + share * way[0] + aside * way[1] / away;
        let y = f64::from(self.centre.y) + share * way[1] - aside * way[0] / away;
        let prop = PropId(self.show.props.len() as u8);
        let first = self.show.parts.len() as u16;
        let sight_m = f64::from(self.centre.z) + share * (self.standing.height / 2.0 - f64::from(self.centre.z));
        for _ in 0..1 + dice.below(2) {
            let part = self.throw_part(dice, size, sight_m);
            self.show.parts.push(part).expect("room for a part");
        }
        let len = self.show.parts.len() as u16 - first;
        let turn_deg = dice.between(-180.0, 180.0) as f32;
        let place = StagePoint::new(x as f32, y as f32);
        let data = Prop { name: Default::default(), at: place, turn_deg, parts: Run { first, len } };
        for part in data.parts.of(&self.show.parts) {
            self.things.push(thing(&self.show, &data, part));
        }
        self.show.props.push(data).expect("room for a prop");
        let state = CueProp { prop, presence: Presence::Live, coming_ms: 0, motion: None };
        self.show.cue_props.push(state).expect("room for a state");
    }

    fn throw_part(&mut self, dice: &mut Dice, size: f64, sight_m: f64) -> Part {
        let at = StagePoint::new((0.3 * dice.between(-size, size)) as f32, (0.3 * dice.between(-size, size)) as f32);
        let shape = match dice.below(4) {
            0 => PartShape::Disc { at, radius_m: size as f32 },
            1 => {
                let inner_m = (size * dice.between(0.3, 0.95)) as f32;
                let gap_m = if dice.one_in(3) { 0.0 } else { (size * dice.between(0.2, 1.9)) as f32 };
                let gap_deg = dice.between(-180.0, 180.0) as f32;
                PartShape::Ring { at, inner_m, outer_m: size as f32, gap_deg, gap_m }
            }
            2 => {
                self.throw_polygon([(-size, -0.6 * size), (size, -0.6 * size), (size, 0.6 * size), (-size, 0.6 * size)])
            }
            _ => {
                let corners = 3 + dice.below(14);
                let start = dice.unit();
                self.throw_polygon((0..corners).map(|i| {
                    let angle = (i as f64 + start) / corners as f64 * std::f64::consts::TAU;
                    (size * angle.cos(), 0.7 * size * angle.sin())
                }))
            }
        };
        let bottom_m = if dice.one_in(2) { 0.0 } else { (sight_m + dice.between(-1.2, 0.6)).clamp(0.0, 90.0) };
        let top_m = (if dice.one_in(2) { bottom_m.max(sight_m) } else { bottom_m }) + dice.between(0.05, 1.2);
        let layer = [Layer::Overlay, Layer::Overlay, Layer::Screen, Layer::Extension][dice.below(4)];
        Part { shape, bottom_m: bottom_m as f32, top_m: top_m as f32, layer, transparent: dice.one_in(4) }
    }

    fn throw_polygon(&mut self, corners: impl IntoIterator<Item = (f64, f64)>) -> PartShape {
        let first = self.show.part_vertices.len() as u16;
        for (x, y) in corners {
            self.show.part_vertices.push(StagePoint::new(x as f32, y as f32)).expect("room for a vertex");
        }
        PartShape::Polygon(Run { first, len: self.show.part_vertices.len() as u16 - first })
    }
}

fn throw_class(dice: &mut Dice) -> PersonClass {
    let seated = dice.one_in(4);
    let height_m = if seated { dice.between(1.15, 1.4) } else { dice.between(1.45, 2.05) } as f32;
    PersonClass {
        name: Default::default(),
        height_m,
        eye_m: height_m - 0.12,
        radius_m: dice.between(0.18, 0.4) as f32,
        walk_width_m: 0.9,
        pace_mps: 0.7,
        chair_m: seated.then_some((0.7, 1.2)),
    }
}

/// Near and far, low and high.
fn throw_camera(dice: &mut Dice, at: StagePoint) -> StagePoint3 {
    let away = if dice.one_in(2) { dice.between(1.0, 6.0) } else { dice.between(6.0, 35.0) };
    let z = if dice.one_in(3) { dice.between(2.0, 9.0) } else { dice.between(0.3, 2.0) };
    let angle = dice.between(0.0, std::f64::consts::TAU);
    StagePoint3::new(at.x + (away * angle.cos()) as f32, at.y + (away * angle.sin()) as f32, z as f32)
}

fn riser(centre: StagePoint, height_m: f32) -> Physical {
    let (width_m, depth_m) = (2.0, 2.0);
    Physical {
        name: Default::default(),
        kind: PhysicalKind::Riser,
        centre,
        width_m,
        depth_m,
        turn_deg: 10.0,
        height_m,
        step_over: StepOver::Never,
    }
}

/// A part of a prop at rest, for the oracle.
pub fn thing(show: &Show, prop: &Prop, part: &Part) -> Thing {
    let turn = f64::from(prop.turn_deg).to_radians();
    let place = |p: StagePoint| {
        let (x, y) = (f64::from(p.x), f64::from(p.y));
        let (sin, cos) = turn.sin_cos();
        [f64::from(prop.at.x) + x * cos - y * sin, f64::from(prop.at.y) + x * sin + y * cos]
    };
    let foot = match part.shape {
        PartShape::Disc { at, radius_m } => Foot::Disc(place(at), radius_m.into()),
        PartShape::Ring { at, inner_m, outer_m, gap_deg, gap_m } => {
            let half = (f64::from(gap_m) / 2.0 / f64::from(outer_m)).asin();
            Foot::Ring(place(at), inner_m.into(), outer_m.into(), (turn + f64::from(gap_deg).to_radians(), half))
        }
        PartShape::Polygon(run) => Foot::Polygon(run.of(&show.part_vertices).iter().map(|&v| place(v)).collect()),
    };
    let drawn = match part.layer {
        Layer::Overlay => Drawn::Over,
        Layer::Screen => Drawn::OnLeds,
        Layer::Extension => Drawn::Beyond,
    };
    Thing { foot, low: part.bottom_m.into(), high: part.top_m.into(), drawn, glass: part.transparent }
}
