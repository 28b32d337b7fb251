//! One picture: everything in a cue through one camera, with its guides.

use underfoot_core::cameras::surfaces::Surfaces;
use underfoot_core::cameras::{Pose, View};
use underfoot_core::show::{Lens, Show};

use super::eye::Eye;
use super::guides::{self, Guides};
use super::moment::Moment;
use super::people::{Actor, Upright};
use super::raster;
use super::trace::{PartThing, Sights};
use super::world::World;
use crate::render::words::Plates;
use crate::render::{CanvasPixels, Picture};

/// From this width on, names and words are large and lower lines are named.
const LARGE_PX: usize = 900;

/// How wide somebody sees at a glance, degrees.
pub const SEEN_DEG: f32 = 60.0;
/// An eye as a lens: four to three, and nothing is bent.
const EYE: Lens = Lens { sensor_width_mm: 4.0, sensor_height_mm: 3.0, pupil_m: 0.0, distortion: None };

/// What to draw, of which the floor is painted already.
#[derive(Clone, Copy, Debug)]
pub struct Scene<'s> {
    /// The show.
    pub show: &'s Show,
    /// The floor, one picture for each canvas.
    pub canvases: &'s [CanvasPixels],
    /// What the LED floor shows beneath the marks, as on air; dark panels without it.
    pub content: Option<[u8; 3]>,
    /// People and props.
    pub moment: &'s Moment,
    /// The camera at a moment of its shot.
    pub view: &'s View,
}

impl Scene<'_> {
    /// The picture, `width` pixels wide and as high as the sensor makes it.
    pub fn picture(&self, width: usize) -> Picture {
        let Some((shot, camera)) = self.shot() else { return Picture::new(width, width * 9 / 16, [0; 3]) };
        let ratio = camera.lens.sensor_height_mm / camera.lens.sensor_width_mm;
        let size = (width, (width as f32 * ratio).round() as usize);
        let eye = Eye::new(&self.view.pose, &camera.lens, self.view.focal_mm, size);
        let sights = self.sights(&eye);
        let mut raster = raster::paint(&sights, &eye);
        guides::crop(&mut raster.picture, shot.crop);
        guides::safe(&mut raster.picture, &eye, &self.view.safe);
        let mut guides = Guides::new(&eye, self.view, width >= LARGE_PX);
        // The nearest first: where names would cover each other, theirs stay.
        let away = |u: &Upright| u.distance(eye.centre());
        let mut people: Vec<_> =
            self.moment.actors.iter().filter_map(|a| Some((a, Upright::of(a, eye.centre())?))).collect();
        people.sort_by(|a, b| away(&a.1).total_cmp(&away(&b.1)));
        for (actor, upright) in &people {
            guides.person(&mut raster.picture, (actor, upright));
        }
        let names: Vec<&str> = self.show.props.iter().map(|p| p.name.as_str()).collect();
        guides.props(&mut raster, &names);
        raster.picture
    }

    fn shot(&self) -> Option<(&underfoot_core::show::Shot, &underfoot_core::show::Camera)> {
        let shot = self.show.shots.get(self.view.shot.index())?;
        Some((shot, self.show.cameras.get(shot.camera.index())?))
    }

    fn sights(&self, eye: &Eye) -> Sights<'_> {
        let part = |solid: &underfoot_core::cameras::Solid| PartThing {
            thing: solid.into(),
            layer: solid.layer,
            transparent: solid.transparent,
            prop: solid.prop.index(),
        };
        Sights {
            world: World::new(self.show, self.canvases, self.content),
            parts: self.moment.solids.iter().map(part).collect(),
            people: self.moment.actors.iter().filter_map(|a| Upright::of(a, eye.centre())).collect(),
            px: eye.pixel(),
            matte: self.view.person_matte,
            surfaces: Surfaces::of(self.show),
            pattern_px: (eye.width() as f64 / 110.0).max(5.0),
            judged: true,
        }
    }
}

/// The stage as somebody who is on it sees it: nothing of it is an overlay, and nothing is judged.
#[derive(Clone, Copy, Debug)]
pub struct Room<'s> {
    /// The show.
    pub show: &'s Show,
    /// The floor, one picture for each canvas.
    pub canvases: &'s [CanvasPixels],
    /// What the LED floor shows beneath the marks, as on air; dark panels without it.
    pub content: Option<[u8; 3]>,
    /// Other people.
    pub others: &'s [Actor],
}

impl Room<'_> {
    /// What is seen from `pose`, [`SEEN_DEG`] wide, with the names of other people.
    pub fn picture(&self, pose: &Pose, width: usize) -> Picture {
        let focal_mm = EYE.sensor_width_mm / 2.0 / (SEEN_DEG / 2.0).to_radians().tan();
        let eye = Eye::new(pose, &EYE, focal_mm, (width, width * 3 / 4));
        let mut others: Vec<_> = self.others.iter().filter_map(|a| Some((a, Upright::of(a, eye.centre())?))).collect();
        others.sort_by(|a, b| a.1.distance(eye.centre()).total_cmp(&b.1.distance(eye.centre())));
        let mut picture = raster::paint(&self.sights(&eye, &others), &eye).picture;
        let mut plates = Plates::default();
        for (actor, upright) in &others {
            guides::name(&mut picture, (&eye, &mut plates), (actor, upright), width >= LARGE_PX);
        }
        picture
    }

    fn sights(&self, eye: &Eye, others: &[(&Actor, Upright)]) -> Sights<'_> {
        Sights {
            world: World::new(self.show, self.canvases, self.content),
            parts: Vec::new(),
            people: others.iter().map(|(_, upright)| upright.clone()).collect(),
            px: eye.pixel(),
            matte: true,
            surfaces: Surfaces::of(self.show),
            pattern_px: 5.0,
            judged: false,
        }
    }
}
