//! What a part of a prop passes over between two moments of its cue.
//!
//! A part that travels leaves one region for each straight leg, one for a pendulum, and for a circle a ring or
//! a row of chords. With a [`Reach`] the part is at each moment carried on by velocity × lead, as in
//! [`super::keepout`]; nothing is grown, so the caller adds [`Reach::beside_moving_m`]. A ring that travels
//! counts as its filled disc. Only times count at which the part reaches above the floor and below 2.3 m.

mod round;

use super::pieces::{self, Law, Piece};
use super::{Placement, Reach, footprint, life, motion};
use crate::geom::{GeomError, Region, Rounded, StagePoint, StageVector};
use crate::show::{Cue, CueProp, Part, Prop, Show};

/// How far the cover of a circle may reach beyond what is passed over, metres.
pub const COVER_M: f32 = 0.005;

/// Calls `each` with regions whose union is what `part` of the prop of `state` passes over between the two
/// times of `span_s`, seconds after the start of its cue; the second may be infinite.
///
/// For straight legs and pendulums the union is exact, to a millimetre with the lead of a pendulum; for circles
/// it is larger by [`COVER_M`] at most and never smaller, and a circle has as many regions as that needs: about
/// 70 for 2 m once round, a single one for a disc that goes all the way. A part that does not travel in
/// the span gives its footprint. What is gone, or never low enough, gives nothing.
///
/// # Errors
/// [`GeomError`] as [`footprint::of_part`].
pub fn sweep(
    show: &Show,
    cue: &Cue,
    state: &CueProp,
    part: u8,
    span_s: (f32, f32),
    reach: Option<&Reach>,
    each: &mut impl FnMut(Region),
) -> Result<(), GeomError> {
    let Some(prop) = show.props.get(state.prop.index()) else { return Ok(()) };
    let Some(part) = show.parts_of(prop).get(usize::from(part)) else { return Ok(()) };
    let Some(span_s) = counted(show, state, span_s) else { return Ok(()) };
    let carried = Carried { show, prop, part, lead_s: reach.map_or(0.0, |r| r.lead_s) };
    let mut line = Line::default();
    let mut done = Ok(());
    let travels = travels(show, cue, state, span_s);
    pieces::each(show, cue, state, span_s, &mut |piece| {
        let Some(low_s) = piece.low_s(part).filter(|_| done.is_ok() && piece.travels() == travels) else { return };
        done = match piece.law {
            Law::Still { at, .. } => line.stands_at(at),
            Law::Leg { .. } if !travels => line.stands_at(piece.travel(low_s.0).0),
            Law::Leg { .. } => carried.along(piece, low_s, each),
            Law::Swing { .. } => line.reaches(piece, low_s, carried.lead_s),
            Law::Round { .. } => carried.round(piece, low_s, each),
        };
    });
    done?;
    let Some((from, to)) = line.ends else { return Ok(()) };
    let way = to - from;
    if way == StageVector::default() && !travels {
        return carried.footprint(from).map(each);
    }
    carried.filled(from)?.swept(way).map(|set| each(Region::Rounded(set)))
}

/// True when the prop of `state` travels between the two times; growing is not travelling.
pub fn travels(show: &Show, cue: &Cue, state: &CueProp, span_s: (f32, f32)) -> bool {
    let mut any = false;
    let Some(span_s) = counted(show, state, span_s) else { return false };
    pieces::each(show, cue, state, span_s, &mut |piece| any |= piece.travels());
    any
}

/// The span without what lies before the cue and after the prop has gone, and of what goes on for ever once only.
fn counted(show: &Show, state: &CueProp, (from_s, to_s): (f32, f32)) -> Option<(f32, f32)> {
    let from_s = from_s.max(0.0);
    let to_s = to_s.max(0.0).min(life::gone_after_s(show, state));
    let once_s = motion::period_s(show, state).map_or(f32::INFINITY, |period_s| from_s + period_s);
    (from_s <= to_s).then_some((from_s, to_s.min(once_s)))
}

/// A part that is carried about with its prop.
struct Carried<'s> {
    show: &'s Show,
    prop: &'s Prop,
    part: &'s Part,
    lead_s: f32,
}

impl Carried<'_> {
    fn footprint(&self, at: StagePoint) -> Result<Region, GeomError> {
        footprint::of_part(self.show, self.part, &Placement { at, ..Placement::resting(self.prop) })
    }

    /// The footprint with the prop at `at`; a ring as its filled disc.
    fn filled(&self, at: StagePoint) -> Result<Rounded, GeomError> {
        match self.footprint(at)? {
            Region::Rounded(set) => Ok(set),
            Region::Ring(ring) => {
                let (centre, radius_m) = ring.filled();
                Rounded::disc(centre, radius_m)
            }
        }
    }

    /// A straight leg: from where the part starts to the farthest place that it or its lead gets to.
    fn along(&self, leg: &Piece, low_s: (f32, f32), each: &mut impl FnMut(Region)) -> Result<(), GeomError> {
        let Law::Leg { eased, .. } = leg.law else { return Ok(()) };
        let farthest_s = eased.map_or(low_s.1, |(first_s, whole_s)| {
            // Clock and lead together, W (1 - cos a) / 2 + lead sin(a) pi / 2, are the most where tan a = -lead pi / W.
            let lead = libm::atanf(self.lead_s * core::f32::consts::PI / whole_s);
            (first_s + whole_s * (1.0 - lead / core::f32::consts::PI)).clamp(low_s.0, low_s.1)
        });
        let (from, _) = leg.travel(low_s.0);
        let (at, velocity) = leg.travel(farthest_s);
        let way = at + velocity * self.lead_s - from;
        self.filled(from)?.swept(way).map(|set| each(Region::Rounded(set)))
    }
}

/// The line along which a prop stands, or swings to and fro.
#[derive(Default)]
struct Line {
    ends: Option<(StagePoint, StagePoint)>,
}

impl Line {
    /// All pieces in which it stands have the same place.
    fn stands_at(&mut self, at: StagePoint) -> Result<(), GeomError> {
        self.ends.get_or_insert((at, at));
        Ok(())
    }

    /// Adds what half a swing and its lead reach. Two halves always share a place, so there is no gap.
    fn reaches(&mut self, half: &Piece, (from_s, to_s): (f32, f32), lead_s: f32) -> Result<(), GeomError> {
        let Law::Swing { out, .. } = half.law else { return Ok(()) };
        let (from, _) = half.travel(from_s);
        let (to, _) = half.travel(to_s);
        let ahead = if (to - from).dot(out) >= 0.0 { out } else { -out };
        // Without a lead half a swing gets nowhere farther than to its end.
        let far_m = if lead_s == 0.0 {
            (to - from).dot(ahead)
        } else {
            farthest((from_s, to_s), &|t| {
                let (at, velocity) = half.travel(t);
                (at + velocity * lead_s - from).dot(ahead)
            })
        };
        for place in [from, from + ahead * far_m] {
            let (a, b) = self.ends.get_or_insert((place, place));
            if (place - *a).dot(out) < 0.0 {
                *a = place;
            }
            if (place - *b).dot(out) > 0.0 {
                *b = place;
            }
        }
        Ok(())
    }
}

/// The largest value of a smooth hump over half a swing: 64 steps, and the top of the parabola through the best
/// three. Steps of a 64th of half a turn leave less than a ten thousandth of the swing.
fn farthest((from_s, to_s): (f32, f32), value: &impl Fn(f32) -> f32) -> f32 {
    const STEPS: u8 = 64;
    let at = |i: u8| value(from_s + (to_s - from_s) * (f32::from(i) / f32::from(STEPS)));
    let (mut best, mut best_m) = (0, f32::NEG_INFINITY);
    for i in 0..=STEPS {
        let value_m = at(i);
        if value_m > best_m {
            (best, best_m) = (i, value_m);
        }
    }
    if best == 0 || best == STEPS {
        return best_m;
    }
    let (before, after) = (at(best - 1), at(best + 1));
    let (slope, bend) = ((after - before) / 2.0, before + after - 2.0 * best_m);
    if bend < 0.0 { best_m - slope * slope / (2.0 * bend) } else { best_m }
}
