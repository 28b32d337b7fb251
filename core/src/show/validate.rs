//! The one door: a show that passes has finite numbers in range and no index that leaves its list.

use super::corners::corners_fit;
use super::{MotionKind, PartShape, Run, Show};
use crate::geom::{StagePoint, StagePoint3};
use crate::limits;

/// What is wrong with a value.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum ShowFault {
    /// A number is infinite or not a number.
    NotFinite,
    /// A number is outside its range.
    OutOfRange,
    /// An index or a run leaves its list.
    BadIndex,
    /// A polygon has too few or too many vertices.
    BadPolygon,
    /// A block's size or map cannot be used.
    BadBlock,
    /// The lists that must have the same length do not.
    Mismatch,
}

/// Which list and which item of it is wrong, and how.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct ShowError {
    /// Name of the list in [`Show`].
    pub list: &'static str,
    /// Index of the item.
    pub index: u16,
    /// What is wrong with it.
    pub fault: ShowFault,
}

type Check = Result<(), ShowFault>;

fn number(value: f32, low: f32, high: f32) -> Check {
    if !value.is_finite() {
        return Err(ShowFault::NotFinite);
    }
    if value < low || value > high { Err(ShowFault::OutOfRange) } else { Ok(()) }
}

fn place(p: StagePoint) -> Check {
    number(p.x, -limits::STAGE_REACH_M, limits::STAGE_REACH_M)?;
    number(p.y, -limits::STAGE_REACH_M, limits::STAGE_REACH_M)
}

fn place3(p: StagePoint3) -> Check {
    place(p.on_floor())?;
    number(p.z, -limits::STAGE_REACH_M, limits::STAGE_REACH_M)
}

fn size(value: f32) -> Check {
    number(value, 0.0, limits::STAGE_REACH_M)?;
    if value > 0.0 { Ok(()) } else { Err(ShowFault::OutOfRange) }
}

fn turn(value: f32) -> Check {
    number(value, -3600.0, 3600.0)
}

fn index(i: usize, len: usize) -> Check {
    if i < len { Ok(()) } else { Err(ShowFault::BadIndex) }
}

fn run(run: Run, len: usize) -> Check {
    if run.fits(len) { Ok(()) } else { Err(ShowFault::BadIndex) }
}

fn each<T>(list: &'static str, items: &[T], check: impl Fn(&T) -> Check) -> Result<(), ShowError> {
    for (i, item) in items.iter().enumerate() {
        check(item).map_err(|fault| ShowError { list, index: i as u16, fault })?;
    }
    Ok(())
}

impl Show {
    /// Checks every number and every index. Later code relies on it and repeats none of it.
    ///
    /// # Errors
    /// The first fault, with its list and item.
    pub fn validate(&self) -> Result<(), ShowError> {
        self.check_stage()?;
        self.check_people()?;
        self.check_props()?;
        self.check_cameras()?;
        self.check_marks()?;
        self.check_cues()
    }

    fn check_stage(&self) -> Result<(), ShowError> {
        each("show", &[()], |()| {
            number(self.survey_allowance_m, 0.0, 1.0)?;
            number(self.look.line_m, 0.0, 1.0)?;
            number(self.look.keyline_m, 0.0, 1.0)?;
            number(self.look.pulse_hz, 0.0, 50.0)?;
            number(self.look.numbers_m, 0.0, 10.0)?;
            if self.control.slots_universe > limits::UNIVERSE_MAX {
                return Err(ShowFault::OutOfRange);
            }
            if self.frame_rate.num == 0 || self.frame_rate.den == 0 { Err(ShowFault::OutOfRange) } else { Ok(()) }
        })?;
        each("canvases", &self.canvases, |c| {
            let side = 1..=limits::CANVAS_SIDE_PX;
            let fits = side.contains(&c.width_px) && side.contains(&c.height_px);
            if fits { Ok(()) } else { Err(ShowFault::OutOfRange) }
        })?;
        each("blocks", &self.blocks, |b| {
            index(b.canvas.into(), self.canvases.len())?;
            b.validate().map_err(|_| ShowFault::BadBlock)?;
            let canvas = self.canvases.get(usize::from(b.canvas)).ok_or(ShowFault::BadIndex)?;
            let fits = b.right_px() <= canvas.width_px.into() && b.bottom_px() <= canvas.height_px.into();
            if fits { Ok(()) } else { Err(ShowFault::BadBlock) }
        })?;
        each("tile_faults", &self.tile_faults, |t| {
            let block = self.blocks.get(usize::from(t.block)).ok_or(ShowFault::BadIndex)?;
            let (columns, rows) = block.panels();
            index(t.column.into(), columns.into())?;
            index(t.row.into(), rows.into())
        })?;
        each("floor", &[&self.floor], |f| {
            if f.vertices.len() != f.edges.len() {
                return Err(ShowFault::Mismatch);
            }
            if f.vertices.len() < 3 {
                return Err(ShowFault::BadPolygon);
            }
            number(f.edge_band_m, 0.0, 10.0)?;
            number(f.step_m, 0.0, 10.0)?;
            f.vertices.iter().try_for_each(|&p| place(p))
        })?;
        each("entries", &self.entries, |e| place(e.at).and(size(e.width_m)))?;
        each("walls", &self.walls, |w| {
            place(w.from).and(place(w.to))?;
            number(w.bottom_m, 0.0, 100.0)?;
            number(w.top_m, w.bottom_m, 100.0)
        })?;
        each("physicals", &self.physicals, |p| {
            place(p.centre).and(size(p.width_m)).and(size(p.depth_m)).and(turn(p.turn_deg))?;
            number(p.height_m, 0.0, 100.0)
        })
    }

    fn check_people(&self) -> Result<(), ShowError> {
        each("classes", &self.classes, |c| {
            number(c.height_m, 0.3, 3.0)?;
            number(c.eye_m, 0.2, c.height_m)?;
            number(c.radius_m, 0.05, 2.0)?;
            number(c.walk_width_m, 0.1, 5.0)?;
            number(c.pace_mps, 0.1, 5.0)?;
            c.chair_m.map_or(Ok(()), |(w, l)| number(w, 0.1, 3.0).and(number(l, 0.1, 3.0)))
        })?;
        each("people", &self.people, |p| index(p.class.index(), self.classes.len()))
    }

    fn check_props(&self) -> Result<(), ShowError> {
        each("part_vertices", &self.part_vertices, |&p| place(p))?;
        each("props", &self.props, |p| place(p.at).and(turn(p.turn_deg)).and(run(p.parts, self.parts.len())))?;
        each("parts", &self.parts, |p| {
            number(p.bottom_m, 0.0, 100.0)?;
            number(p.top_m, p.bottom_m, 100.0)?;
            match p.shape {
                PartShape::Disc { at, radius_m } => place(at).and(size(radius_m)),
                PartShape::Ring { at, inner_m, outer_m, gap_deg, gap_m } => {
                    place(at).and(size(inner_m)).and(size(outer_m)).and(turn(gap_deg))?;
                    number(gap_m, 0.0, 2.0 * outer_m)?;
                    if inner_m < outer_m { Ok(()) } else { Err(ShowFault::OutOfRange) }
                }
                PartShape::Polygon(vertices) => {
                    run(vertices, self.part_vertices.len())?;
                    let ok = (3..=limits::HULL_VERTICES).contains(&usize::from(vertices.len));
                    if ok { Ok(()) } else { Err(ShowFault::BadPolygon) }
                }
            }
        })?;
        each("motion_keys", &self.motion_keys, |k| number(k.at_s, 0.0, 86_400.0).and(place(k.place)))?;
        each("motions", &self.motions, |m| {
            index(m.prop.index(), self.props.len())?;
            match m.kind {
                MotionKind::Keys { keys, .. } if keys.len == 0 => Err(ShowFault::BadIndex),
                MotionKind::Keys { keys, .. } => run(keys, self.motion_keys.len()),
                MotionKind::Circle { centre, radius_m, period_s, start_deg } => {
                    place(centre).and(size(radius_m)).and(turn(start_deg))?;
                    number(period_s, -86_400.0, 86_400.0)?;
                    size(libm::fabsf(period_s))
                }
                MotionKind::Pendulum { pivot, pivot_m, length_m, swing_deg, plane_deg, period_s } => {
                    place(pivot).and(size(pivot_m)).and(size(length_m)).and(size(period_s))?;
                    number(swing_deg, 0.0, 90.0).and(turn(plane_deg))
                }
                MotionKind::Grow { seconds_s } => size(seconds_s),
                MotionKind::Presence => Ok(()),
            }
        })
    }

    fn check_cameras(&self) -> Result<(), ShowError> {
        each("cameras", &self.cameras, |c| {
            number(c.lens.sensor_width_mm, 1.0, 200.0)?;
            number(c.lens.sensor_height_mm, 1.0, 200.0)?;
            number(c.lens.pupil_m, -1.0, 1.0)?;
            number(c.pan_tilt_tolerance_deg, 0.0, 45.0)?;
            number(c.zoom_tolerance, 0.0, 0.5)?;
            c.lens.distortion.iter().flatten().try_for_each(|&k| number(k, -10.0, 10.0))
        })?;
        each("shot_keys", &self.shot_keys, |k| {
            number(k.at_s, 0.0, 86_400.0).and(place3(k.from)).and(place3(k.look)).and(turn(k.roll_deg))?;
            number(k.focal_mm, 1.0, 5000.0)
        })?;
        each("shots", &self.shots, |s| {
            index(s.camera.index(), self.cameras.len())?;
            run(s.keys, self.shot_keys.len())?;
            number(s.safe_margin, 0.0, 0.4)
        })
    }

    fn check_marks(&self) -> Result<(), ShowError> {
        each("marks", &self.marks, |m| {
            place(m.at).and(turn(m.facing_deg))?;
            m.person.map_or(Ok(()), |p| index(p.index(), self.people.len()))
        })?;
        each("line_points", &self.line_points, |p| place(p.at).and(number(p.bend_m, 0.0, limits::STAGE_REACH_M)))?;
        each("lines", &self.lines, |l| {
            run(l.points, self.line_points.len())?;
            if l.points.len < 2 {
                return Err(ShowFault::BadPolygon);
            }
            number(l.dot_m, 0.01, 1.0)?;
            number(l.spacing_m, 0.1, 10.0)?;
            number(l.corridor_m, 0.1, 10.0)?;
            corners_fit(self.points_of(l))
        })
    }

    fn check_cues(&self) -> Result<(), ShowError> {
        each("cues", &self.cues, |c| {
            run(c.props, self.cue_props.len())?;
            run(c.places, self.cue_places.len())?;
            run(c.shots, self.cue_shots.len())
        })?;
        each("cue_props", &self.cue_props, |c| {
            index(c.prop.index(), self.props.len())?;
            c.motion.map_or(Ok(()), |m| index(m.index(), self.motions.len()))
        })?;
        each("cue_places", &self.cue_places, |c| {
            index(c.person.index(), self.people.len())?;
            c.mark.map_or(Ok(()), |m| index(m.index(), self.marks.len()))?;
            c.line.map_or(Ok(()), |l| index(l.index(), self.lines.len()))
        })?;
        each("cue_shots", &self.cue_shots, |s| index(s.index(), self.shots.len()))
    }
}
