//! Cameras' pictures against a pinhole of their own: every place is projected here again, in f64 and from the show
//! file's numbers alone (pinhole model of Hartley and Zisserman, Multiple View Geometry, 2nd ed., 6.1).

use underfoot_core::cameras::{View, shots};
use underfoot_core::look;
use underfoot_core::show::{CueId, Layer, Mode, ShotId, Show};
use underfoot_sim::cli::show_source;
use underfoot_sim::project::Project;
use underfoot_sim::render::shot::{Moment, Scene};
use underfoot_sim::render::{CanvasPixels, Easel, Picture};

type V = [f64; 3];

const WIDTH: usize = 640;

/// A camera from its place, the point it looks at, sensor and focal length.
struct Pinhole {
    from: V,
    right: V,
    up: V,
    ahead: V,
    half: (f64, f64),
    height: usize,
}

fn unit(v: V) -> V {
    let length = dot(v, v).sqrt();
    v.map(|c| c / length)
}

fn dot(a: V, b: V) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

fn cross(a: V, b: V) -> V {
    [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]
}

impl Pinhole {
    fn new(from: V, look: V, sensor_mm: (f64, f64), focal_mm: f64) -> Self {
        let ahead = unit([look[0] - from[0], look[1] - from[1], look[2] - from[2]]);
        let right = unit(cross(ahead, [0.0, 0.0, 1.0]));
        let half = (sensor_mm.0 / focal_mm / 2.0, sensor_mm.1 / focal_mm / 2.0);
        let height = (WIDTH as f64 * sensor_mm.1 / sensor_mm.0).round() as usize;
        Self { from, right, up: cross(right, ahead), ahead, half, height }
    }

    fn pixel(&self, p: V) -> (f64, f64) {
        let v = [p[0] - self.from[0], p[1] - self.from[1], p[2] - self.from[2]];
        let depth = dot(v, self.ahead);
        let (x, y) = (dot(v, self.right) / depth / self.half.0, dot(v, self.up) / depth / self.half.1);
        ((x + 1.0) / 2.0 * WIDTH as f64, (1.0 - y) / 2.0 * self.height as f64)
    }

    /// The way through the middle of a pixel, one metre along the view.
    fn way(&self, x: usize, y: usize) -> V {
        let u = ((x as f64 + 0.5) / WIDTH as f64 * 2.0 - 1.0) * self.half.0;
        let v = (1.0 - (y as f64 + 0.5) / self.height as f64 * 2.0) * self.half.1;
        [0, 1, 2].map(|i| self.ahead[i] + self.right[i] * u + self.up[i] * v)
    }

    /// Depths between which a ray is in an upright cylinder.
    fn in_cylinder(&self, way: V, (x, y, r): (f64, f64, f64), (low, high): (f64, f64)) -> Option<(f64, f64)> {
        let (dx, dy) = (self.from[0] - x, self.from[1] - y);
        let a = way[0] * way[0] + way[1] * way[1];
        let (b, c) = (dx * way[0] + dy * way[1], dx * dx + dy * dy - r * r);
        let root = b * b - a * c;
        let sides = (root > 0.0).then(|| ((-b - root.sqrt()) / a, (-b + root.sqrt()) / a))?;
        let (z1, z2) = ((low - self.from[2]) / way[2], (high - self.from[2]) / way[2]);
        let (enter, leave) = (sides.0.max(z1.min(z2)), sides.1.min(z1.max(z2)));
        (enter < leave && leave > 0.0).then_some((enter, leave))
    }
}

struct Set {
    project: Project,
    canvases: Vec<CanvasPixels>,
    moment: Moment,
    view: View,
}

impl Set {
    fn new(demo: &str, cue: u32, shot: &str) -> Self {
        let project = show_source::load(demo).unwrap_or_else(|refusal| panic!("{refusal}"));
        let show: &Show = &project.show;
        let index = show.cues.iter().position(|c| c.number == cue).unwrap();
        let view = look::View::new(Mode::Standby, Some(CueId(index as u8)));
        let mut easel = Easel::new();
        let canvases = (0..show.canvases.len()).map(|i| easel.paint(show, &view, i).unwrap()).collect();
        let moment = Moment::at_end(show, &show.cues[index]).unwrap();
        let shot = show.shots.iter().position(|s| s.name == shot).unwrap();
        let view = shots::view_at(show, ShotId(shot as u8), 0.0).unwrap();
        Self { project, canvases, moment, view }
    }

    fn picture(&self, change: impl FnOnce(&mut Moment, &mut View)) -> Picture {
        let (mut moment, mut view) = (self.moment.clone(), self.view.clone());
        change(&mut moment, &mut view);
        let scene =
            Scene { show: &self.project.show, canvases: &self.canvases, content: None, moment: &moment, view: &view };
        scene.picture(WIDTH)
    }
}

fn at(picture: &Picture, (x, y): (usize, usize)) -> [u8; 3] {
    picture.pixels()[y * picture.width() + x]
}

/// How many pixels disagree with `expected`, of those whose neighbourhood is all of one kind, and how many there are
/// of each kind. `skip` are pixels that words or guides may cover.
fn disagree(
    (one, two): (&Picture, &Picture),
    expected: impl Fn(usize, usize) -> bool,
    skip: impl Fn(usize, usize) -> bool,
) -> (usize, [usize; 2]) {
    let (mut wrong, mut kinds) = (0, [0, 0]);
    for y in (4..one.height() - 4).step_by(3) {
        for x in (4..one.width() - 4).step_by(3) {
            let want = expected(x, y);
            let clear = [(x - 3, y - 3), (x + 3, y - 3), (x - 3, y + 3), (x + 3, y + 3), (x, y - 3), (x, y + 3)];
            if skip(x, y) || !clear.iter().all(|&(x, y)| expected(x, y) == want) {
                continue;
            }
            kinds[usize::from(want)] += 1;
            wrong += usize::from((at(one, (x, y)) != at(two, (x, y))) != want);
        }
    }
    (wrong, kinds)
}

/// CAM1's 1-WIDE of the corner stage: the numbers of `clock-cabinet-clean.toml`.
fn wide_1() -> Pinhole {
    Pinhole::new([1.6, -3.8, 1.45], [-0.35, 0.5, 1.0], (9.59, 5.39), 7.5)
}

/// CAM2's 2-WIDE of the corner stage.
fn wide_2() -> Pinhole {
    Pinhole::new([3.6, -1.6, 1.55], [-0.2, 0.3, 1.05], (9.59, 5.39), 9.0)
}

/// Mark A stands at (-0.90, 0.10) and faces CAM1 at (1.6, -3.8): its toe bar's middle is 0.15 m ahead, at
/// (-0.81905, -0.02628), in front of the feet of who stands there.
#[test]
fn a_marks_toe_bar_is_lit_where_the_pinhole_puts_it() {
    let picture = Set::new("clock-cabinet-clean", 500, "1-WIDE").picture(|_, _| {});
    let camera = wide_1();
    let toe = camera.pixel([-0.81905, -0.02628, 0.0]);
    let feet = camera.pixel([-0.90, 0.10, 0.0]);
    assert!(toe.1 > feet.1 + 3.0, "the bar lies nearer than the feet: {toe:?} {feet:?}");
    let lit = at(&picture, (toe.0 as usize, toe.1 as usize));
    assert!(lit.iter().all(|&c| c > 200), "{lit:?} at {toe:?}");
    // Half a metre farther downstage the floor is dark.
    let dark = camera.pixel([-0.9, -0.6, 0.0]);
    let dark = at(&picture, (dark.0 as usize, dark.1 as usize));
    assert!(dark.iter().all(|&c| c < 60), "{dark:?}");
}

/// WATCH is a cylinder of 0.35 m at (0.15, -0.35), 0.85 m high, in overlay: it is over everything that its silhouette
/// has behind it, and nowhere else.
#[test]
fn an_overlay_covers_its_silhouette_and_no_more() {
    let set = Set::new("clock-cabinet-clean", 200, "1-WIDE");
    let nobody = |moment: &mut Moment| moment.actors.clear();
    let with = set.picture(|moment, _| nobody(moment));
    let without = set.picture(|moment, _| {
        nobody(moment);
        moment.solids.clear();
    });
    let camera = wide_1();
    let inside = |x, y| camera.in_cylinder(camera.way(x, y), (0.15, -0.35, 0.35), (0.0, 0.85)).is_some();
    let middle = camera.pixel([0.15, -0.35, 0.43]);
    let named = |x: usize, y: usize| (x as f64 - middle.0).abs() < 45.0 && (y as f64 - middle.1).abs() < 22.0;
    let (wrong, kinds) = disagree((&with, &without), inside, named);
    assert_eq!(wrong, 0, "of {kinds:?}");
    assert!(kinds[0] > 10_000 && kinds[1] > 200, "{kinds:?}");
}

/// The presenter is 1.74 m high and 0.25 m of radius, and stands as an upright rectangle that faces the camera.
#[test]
fn a_person_is_the_rectangle_that_faces_the_camera() {
    let set = Set::new("clock-cabinet-clean", 200, "1-WIDE");
    let no_props = |moment: &mut Moment| moment.solids.clear();
    let with = set.picture(|moment, _| no_props(moment));
    let without = set.picture(|moment, _| {
        no_props(moment);
        moment.actors.clear();
    });
    let camera = wide_1();
    let (away, r) = ([-0.9 - 1.6, 0.1 + 3.8, 0.0], 0.25);
    let ahead = unit(away);
    let across = [ahead[1], -ahead[0], 0.0];
    let met = |x, y| {
        let way = camera.way(x, y);
        let depth = dot(away, ahead) / dot(way, ahead);
        let p = [0, 1, 2].map(|i| camera.from[i] + way[i] * depth);
        let u = (p[0] + 0.9) * across[0] + (p[1] - 0.1) * across[1];
        u.abs() <= r && (0.0..=1.74).contains(&p[2])
    };
    let head = camera.pixel([-0.9, 0.1, 1.74]);
    let waist = camera.pixel([-0.9, 0.1, 0.6 * 1.74]);
    let guides = |x: usize, y: usize| {
        let (dx, y) = ((x as f64 - head.0).abs(), y as f64);
        (dx < 90.0 && y > head.1 - 24.0 && y < head.1 + 4.0) || (dx < 90.0 && (y - waist.1).abs() < 14.0)
    };
    let (wrong, kinds) = disagree((&with, &without), met, guides);
    assert_eq!(wrong, 0, "of {kinds:?}");
    assert!(kinds[0] > 10_000 && kinds[1] > 300, "{kinds:?}");
}

/// At mark C, WATCH is farther than the presenter as CAM2 sees them: a person matte changes exactly the pixels of the
/// presenter whose ray meets WATCH beyond the presenter's plane.
#[test]
fn what_is_painted_over_is_what_a_matte_would_hold_out() {
    let set = Set::new("clock-cabinet", 300, "2-WIDE");
    let plain = set.picture(|_, _| {});
    let matte = set.picture(|_, view| view.person_matte = true);
    let camera = wide_2();
    let away = [0.75 - 3.6, -0.75 + 1.6, 0.0];
    let ahead = unit(away);
    let painted = |x, y| {
        let way = camera.way(x, y);
        let depth = dot(away, ahead) / dot(way, ahead);
        let p = [0, 1, 2].map(|i| camera.from[i] + way[i] * depth);
        let u = (p[0] - 0.75) * ahead[1] - (p[1] + 0.75) * ahead[0];
        let on_body = u.abs() <= 0.25 && (0.0..=1.74).contains(&p[2]);
        let watch = camera.in_cylinder(way, (0.15, -0.35, 0.35), (0.0, 0.85));
        on_body && watch.is_some_and(|(_, leave)| leave > depth)
    };
    // The name of WATCH goes to the middle of what is seen of it, which the matte changes.
    let middle = camera.pixel([0.15, -0.35, 0.35]);
    let named = |x: usize, y: usize| (x as f64 - middle.0).abs() < 90.0 && (y as f64 - middle.1).abs() < 60.0;
    let (wrong, kinds) = disagree((&plain, &matte), painted, named);
    assert!(wrong * 50 <= kinds[1], "{wrong} of {kinds:?}");
    assert!(kinds[0] > 10_000 && kinds[1] > 100, "{kinds:?}");
}

/// True when a ray meets the upright wall from `from` to `to`, up to `top` metres.
fn meets_wall(camera: &Pinhole, way: V, from: (f64, f64), to: (f64, f64), top: f64) -> bool {
    let (ax, ay) = (to.0 - from.0, to.1 - from.1);
    let det = way[0] * ay - way[1] * ax;
    let (ox, oy) = (from.0 - camera.from[0], from.1 - camera.from[1]);
    let (depth, share) = ((ox * ay - oy * ax) / det, (ox * way[1] - oy * way[0]) / det);
    let z = camera.from[2] + way[2] * depth;
    depth > 0.0 && (0.0..=1.0).contains(&share) && (0.0..=top).contains(&z)
}

/// LIGHTHOUSE has its base in the screen layer and its top in the extension: the one is seen on LED surfaces only, the
/// other only beside them. J-LOW stands at (6.5, -5.0) + 5 m at azimuth -60 and elevation -5 degrees, pivot 1.5 m:
/// (2.1863, -2.5095, 1.0642).
#[test]
fn screen_parts_stay_on_the_leds_and_extension_parts_off_them() {
    let set = Set::new("harbour-hour-clean", 200, "J-LOW");
    let (az, el) = (60.0_f64.to_radians(), 5.0_f64.to_radians());
    let from = [6.5 - 5.0 * el.cos() * az.sin(), -5.0 + 5.0 * el.cos() * az.cos(), 1.5 - 5.0 * el.sin()];
    let camera = Pinhole::new(from, [-0.6, 0.4, 1.5], (9.59, 5.39), 7.5);
    for (layer, heights) in [(Layer::Screen, (0.0, 4.0)), (Layer::Extension, (4.0, 4.2))] {
        let with = set.picture(|moment, _| {
            moment.actors.clear();
            moment.solids.retain(|solid| solid.layer == layer);
        });
        let without = set.picture(|moment, _| {
            moment.actors.clear();
            moment.solids.clear();
        });
        let expected = |x, y| {
            let way = camera.way(x, y);
            let depth = -camera.from[2] / way[2];
            let (fx, fy) = (camera.from[0] + way[0] * depth, camera.from[1] + way[1] * depth);
            let floor = depth > 0.0 && fx.abs() <= 5.005 && fy.abs() <= 4.004;
            let us = meets_wall(&camera, way, (-5.0, 4.02), (5.0, 4.02), 4.0);
            let sr = meets_wall(&camera, way, (-5.02, 1.0), (-5.02, 4.0), 4.0);
            let on_led = floor || us || sr;
            let met = camera.in_cylinder(way, (-3.4, 1.7, 0.6), heights).is_some();
            met && on_led == (layer == Layer::Screen)
        };
        let middle = camera.pixel([-3.4, 1.7, if layer == Layer::Screen { 2.0 } else { 4.1 }]);
        let named = |x: usize, y: usize| (x as f64 - middle.0).abs() < 40.0 && (y as f64 - middle.1).abs() < 16.0;
        let (wrong, kinds) = disagree((&with, &without), expected, named);
        // Where a part lies over lines on the floor, a colour may come out the same by chance.
        assert!(wrong * 1000 <= kinds[1], "{layer:?}: {wrong} of {kinds:?}");
        assert!(kinds[0] > 10_000 && kinds[1] > if layer == Layer::Screen { 300 } else { 20 }, "{layer:?} {kinds:?}");
    }
}
