//! A floor made in code: outlines of props, dotted walk lines, marks with letters, each a light
//! core on a dark keyline.

use underfoot_core::floor::Block;
use underfoot_core::floor::block::Lay;
use underfoot_core::geom::StagePoint;
use underfoot_core::limits;
use underfoot_core::paint::{Rgba, Scene, SceneStore};
use underfoot_core::units::Angle;
use underfoot_tests::dice::Dice;

/// Memory of a floor's scene.
pub(crate) type Store = SceneStore<16_384, 4096, { limits::SCENE_SHAPES }>;

/// A floor and what lies on it.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Floor {
    /// Panels along a row and rows of panels.
    pub(crate) panels: (u16, u16),
    /// Pixels of a panel's side; a panel is 0.5 m.
    pub(crate) panel_px: u16,
    /// Props, walk lines and marks.
    pub(crate) things: (usize, usize, usize),
}

const LIGHT: Rgba = Rgba::opaque(230, 225, 210);
const DARK: Rgba = Rgba::opaque(12, 12, 16);
const INKS: [Rgba; 4] =
    [LIGHT, Rgba::opaque(90, 190, 240), Rgba::opaque(240, 180, 60), Rgba { r: 120, g: 90, b: 140, a: 160 }];

impl Floor {
    /// Its one block.
    pub(crate) fn block(&self) -> Block {
        let (columns, rows) = self.panels;
        let lay = Lay {
            centre: StagePoint::new(0.0, 0.0),
            width_m: f32::from(columns) * 0.5,
            depth_m: f32::from(rows) * 0.5,
            turn: Angle::from_degrees(0.0),
        };
        let panel = (self.panel_px, self.panel_px);
        Block::laid(Default::default(), 0, (0, 0), self.panels, panel, &lay).expect("a valid floor")
    }

    /// Everything on it, always the same; one mark stands `moved_m` farther along its line.
    pub(crate) fn draw(&self, scene: &mut Scene<'_>, moved_m: f64) {
        let mut hand = Hand { scene, dice: Dice::new(2026) };
        let half = (f64::from(self.panels.0) * 0.25, f64::from(self.panels.1) * 0.25);
        let (props, lines, marks) = self.things;
        for _ in 0..lines {
            hand.walk_line(half);
        }
        for _ in 0..props {
            hand.prop(half);
        }
        for i in 0..marks {
            let place = hand.place(half);
            hand.mark([place[0] + if i == 0 { moved_m } else { 0.0 }, place[1]]);
        }
    }
}

/// Draws with a light core on a dark keyline.
struct Hand<'h, 's> {
    scene: &'h mut Scene<'s>,
    dice: Dice,
}

fn stage([x, y]: [f64; 2]) -> StagePoint {
    StagePoint::new(x as f32, y as f32)
}

fn turned([x, y]: [f64; 2], angle: f64) -> [f64; 2] {
    let (sin, cos) = angle.sin_cos();
    [x * cos - y * sin, x * sin + y * cos]
}

impl Hand<'_, '_> {
    fn place(&mut self, (x, y): (f64, f64)) -> [f64; 2] {
        [self.dice.between(-0.9 * x, 0.9 * x), self.dice.between(-0.9 * y, 0.9 * y)]
    }

    fn ink(&mut self, ink: Rgba) {
        self.scene.begin(ink).expect("room for a shape");
    }

    fn polygon(&mut self, points: &[[f64; 2]]) {
        let points: Vec<StagePoint> = points.iter().copied().map(stage).collect();
        self.scene.polygon(&points).expect("room for points");
    }

    /// A dashed run of discs of 60 mm, 250 mm apart.
    fn walk_line(&mut self, half: (f64, f64)) {
        let (from, to) = (self.place(half), self.place(half));
        let (dx, dy) = (to[0] - from[0], to[1] - from[1]);
        let count = (dx.hypot(dy) / 0.25).ceil().clamp(1.0, 100.0) as usize;
        for (ink, radius) in [(DARK, 0.045), (LIGHT, 0.03)] {
            self.ink(ink);
            for i in 0..count {
                let share = i as f64 / count as f64;
                let centre = stage([from[0] + dx * share, from[1] + dy * share]);
                self.scene.disc(centre, radius).expect("room for a disc");
            }
        }
    }

    /// A round or many-cornered outline 50 mm wide with keylines of 15 mm on both sides.
    fn prop(&mut self, half: (f64, f64)) {
        let centre = self.place(half);
        let radius = self.dice.between(0.3, 1.6);
        let corners = if self.dice.one_in(2) { 0 } else { 4 + self.dice.below(9) };
        let turn = self.dice.between(0.0, 6.3);
        for (ink, out, inn) in [(DARK, 0.015, 0.065), (INKS[self.dice.below(4)], 0.0, 0.05)] {
            self.ink(ink);
            self.ring(centre, corners, turn, radius + out, false);
            self.ring(centre, corners, turn, radius - inn, true);
        }
    }

    fn ring(&mut self, centre: [f64; 2], corners: usize, turn: f64, radius: f64, hole: bool) {
        if corners == 0 {
            let added = if hole { Scene::hole } else { Scene::disc };
            return added(self.scene, stage(centre), radius as f32).expect("room for a ring");
        }
        let corner = |i: usize| {
            let angle = turn + std::f64::consts::TAU * i as f64 / corners as f64;
            [centre[0] + radius * angle.cos(), centre[1] + radius * angle.sin()]
        };
        let mut points: Vec<[f64; 2]> = (0..corners).map(corner).collect();
        if hole {
            points.reverse();
        }
        self.polygon(&points);
    }

    /// A "T" of 300 x 50 mm with three strokes of letters beside it.
    fn mark(&mut self, centre: [f64; 2]) {
        let turn = self.dice.between(0.0, 6.3);
        let ink = INKS[self.dice.below(3)];
        for (ink, grow) in [(DARK, 0.015), (ink, 0.0)] {
            self.ink(ink);
            let (w, d) = (0.15 + grow, 0.025 + grow);
            let t = [[-w, -d], [-d, -d], [-d, -0.3 - grow], [d, -0.3 - grow], [d, -d], [w, -d], [w, d], [-w, d]];
            let place = |p: [f64; 2]| {
                let [x, y] = turned(p, turn);
                [centre[0] + x, centre[1] + y]
            };
            self.polygon(&t.map(place));
        }
        for (ink, grow) in [(DARK, 0.012), (LIGHT, 0.0)] {
            self.ink(ink);
            for stroke in 0..3 {
                let x = 0.22 + 0.07 * f64::from(stroke);
                let (l, r, b, t) = (x - 0.012 - grow, x + 0.012 + grow, -0.1 - grow, 0.1 + grow);
                let place = |p: [f64; 2]| {
                    let [x, y] = turned(p, turn + 0.3 * f64::from(stroke));
                    [centre[0] + x, centre[1] + y]
                };
                self.polygon(&[[l, b], [r, b], [r, t], [l, t]].map(place));
            }
        }
    }
}
