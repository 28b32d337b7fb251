//! What the parts of props do to a person in a picture, by layer and depth.
//!
//! An overlay is composited over the camera's picture: nearer than the person it hides, rightly; farther, it
//! paints over the person, wrongly. What the LED surfaces show is behind everybody: right for a part that is
//! farther, and wrong for one that is nearer, for then the person shows in front of it. What an extension
//! draws outside the LED surfaces is `surfaces`' to judge.

use heapless::Vec;

use super::body::Body;
use super::breaks::Breaks;
use super::column::{Aim, Sides};
use super::heights::{Heights, length, meet};
use super::shares::Areas;
pub use super::shares::{BODY_LIMIT, Share, TORSO_LIMIT};
use super::solids::Solid;
use crate::geom::StagePoint3;
use crate::limits;
use crate::show::{Layer, PropId};

/// Where a part is along the line of sight through a point of a person.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Case {
    /// Not on it.
    Clear,
    /// Before the point.
    Nearer,
    /// Beyond the point.
    Farther,
    /// Before and beyond it: the point lies in the part, or between two walls of it.
    Both,
}

/// The case of a part at the point `q` of a person, seen from `centre`. A touch without any depth is none.
pub fn case_at(centre: StagePoint3, q: StagePoint3, solid: &Solid) -> Case {
    let met = solid.crossings3(centre, q);
    let nearer = met.iter().any(|&(a, b)| a < 1.0 && b > 0.0);
    let farther = met.iter().any(|&(_, b)| b > 1.0);
    match (nearer, farther) {
        (false, false) => Case::Clear,
        (true, false) => Case::Nearer,
        (false, true) => Case::Farther,
        (true, true) => Case::Both,
    }
}

/// Which part, as prop and index among its parts.
pub type PartId = (PropId, u8);

/// What the parts do to one person in one picture.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Sight {
    /// Painted over by overlays that are farther.
    pub painted: Share,
    /// Hidden by opaque overlays that are nearer.
    pub hidden: Share,
    /// Shown in front of things that are nearer and on the LED surfaces.
    pub in_front: Share,
    /// The part that paints over most.
    pub worst_painted: Option<PartId>,
    /// The part that hides most.
    pub worst_hidden: Option<PartId>,
    /// The part in front of which most is shown.
    pub worst_in_front: Option<PartId>,
}

/// What is wrong, and the part that does most of it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SightFault {
    /// The head, or more than 0.5 % of the body, is painted over.
    Painted(PartId),
    /// Some of the head, or more than 10 % of the torso, is hidden.
    Hidden(PartId),
    /// The head, or more than 0.5 % of the body, shows in front of something nearer.
    InFront(PartId),
}

impl Sight {
    /// Everything that breaks a limit: painted over, hidden, shown in front, in this order.
    pub fn faults(&self) -> impl Iterator<Item = SightFault> + use<> {
        let painted = self.worst_painted.filter(|_| self.painted.is_wrong()).map(SightFault::Painted);
        let hidden = self.worst_hidden.filter(|_| self.hidden.is_unseen()).map(SightFault::Hidden);
        let in_front = self.worst_in_front.filter(|_| self.in_front.is_wrong()).map(SightFault::InFront);
        [painted, hidden, in_front].into_iter().flatten()
    }
}

/// What `solids` do to a person seen from `centre`; with a person matte nobody is painted over.
///
/// Shares are exact to a tenth of a point. A camera straight above or below the person sees no
/// rectangle: every share is 0. Parts behind the camera are not met; a camera inside an overlay sees only it.
pub fn sight(centre: StagePoint3, person_matte: bool, body: &Body, solids: &[Solid]) -> Sight {
    look(centre, person_matte, body, solids, |_, _| false)
}

/// The first thing found wrong, or `None` when nothing is: the same verdict as [`Sight::faults`], sooner.
/// The part named is the worst of the columns looked at so far.
pub fn first_fault(centre: StagePoint3, person_matte: bool, body: &Body, solids: &[Solid]) -> Option<SightFault> {
    look(centre, person_matte, body, solids, Sums::broken).faults().next()
}

/// What a part takes of a person from in front and from behind, whatever its layer.
pub fn part_shares(centre: StagePoint3, body: &Body, solid: &Solid) -> (Share, Share) {
    let Some(aim) = Aim::new(centre, body) else { return Default::default() };
    if aim.sides(solid).is_none() {
        return Default::default();
    }
    let mut breaks = Breaks::default();
    breaks.add(&aim, solid);
    let (mut nearer, mut farther) = (Areas::default(), Areas::default());
    breaks.columns(aim.half_m, &mut |u_m, width_m| {
        let (mut before, mut beyond) = (Heights::default(), Heights::default());
        aim.nearer(solid, u_m).for_each(|s| before.add(s));
        aim.farther(solid, u_m).for_each(|s| beyond.add(s));
        nearer.add(&aim.bands, width_m, |band| before.within(band));
        farther.add(&aim.bands, width_m, |band| beyond.within(band));
        true
    });
    (nearer.shares(&aim), farther.shares(&aim))
}

/// What a part does with the picture of a person, and where it is.
struct Actor<'s> {
    solid: &'s Solid,
    role: Role,
    /// Area that it takes by itself, square metres.
    area: f32,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Role {
    Hides,
    Paints,
    LeavesInFront,
}

/// A part may do two of three things, and hardly any reaches across a person.
type Actors<'s> = Vec<Actor<'s>, { limits::PARTS }>;

/// The sums of all columns so far.
#[derive(Clone, Copy, Debug, Default)]
struct Sums {
    painted: Areas,
    hidden: Areas,
    in_front: Areas,
}

fn look(
    centre: StagePoint3,
    person_matte: bool,
    body: &Body,
    solids: &[Solid],
    enough: impl Fn(&Sums, &Aim) -> bool,
) -> Sight {
    let Some(aim) = Aim::new(centre, body) else { return Sight::default() };
    let (mut actors, mut breaks) = (Actors::new(), Breaks::default());
    for solid in solids {
        let Some(sides) = aim.sides(solid) else { continue };
        let before = actors.len();
        for role in roles(solid, sides, person_matte).into_iter().flatten() {
            actors.push(Actor { solid, role, area: 0.0 }).unwrap_or(());
        }
        if actors.len() > before {
            breaks.add(&aim, solid);
        }
    }
    if actors.is_empty() {
        return Sight::default();
    }
    let mut sums = Sums::default();
    breaks.columns(aim.half_m, &mut |u_m, width_m| {
        column(&aim, &mut actors, &mut sums, (u_m, width_m));
        !enough(&sums, &aim)
    });
    verdict(&aim, &actors, &sums)
}

/// What a part can do from where it is.
fn roles(solid: &Solid, sides: Sides, person_matte: bool) -> [Option<Role>; 2] {
    let hides = sides.nearer && !solid.transparent;
    match solid.layer {
        Layer::Overlay => [hides.then_some(Role::Hides), (sides.farther && !person_matte).then_some(Role::Paints)],
        Layer::Screen => [sides.nearer.then_some(Role::LeavesInFront), None],
        Layer::Extension => [None, None],
    }
}

/// Adds one column.
fn column(aim: &Aim, actors: &mut Actors<'_>, sums: &mut Sums, (u_m, width_m): (f32, f32)) {
    let frame = (aim.bands.feet_m, aim.bands.top_m);
    let [mut hidden, mut painted, mut in_front] = [const { Heights::EMPTY }; 3];
    for actor in actors.iter_mut().filter(|a| a.role == Role::Hides) {
        for stretch in aim.nearer(actor.solid, u_m) {
            hidden.add(stretch);
            actor.area += width_m * length(meet(stretch, frame));
        }
    }
    for actor in actors.iter_mut() {
        let mut shown = |union: &mut Heights, stretch| {
            union.add(stretch);
            actor.area += width_m * hidden.missing_of(meet(stretch, frame));
        };
        match actor.role {
            Role::Hides => {}
            Role::Paints => aim.farther(actor.solid, u_m).for_each(|s| shown(&mut painted, s)),
            Role::LeavesInFront => aim.nearer(actor.solid, u_m).for_each(|s| shown(&mut in_front, s)),
        }
    }
    sums.hidden.add(&aim.bands, width_m, |band| hidden.within(band));
    sums.painted.add(&aim.bands, width_m, |band| painted.beyond(&hidden, band));
    sums.in_front.add(&aim.bands, width_m, |band| in_front.beyond(&hidden, band));
}

fn verdict(aim: &Aim, actors: &Actors<'_>, sums: &Sums) -> Sight {
    let worst = |role: Role| {
        let taking = actors.iter().filter(|a| a.role == role && a.area > 0.0);
        taking.max_by(|a, b| a.area.total_cmp(&b.area)).map(|a| (a.solid.prop, a.solid.part))
    };
    Sight {
        painted: sums.painted.shares(aim),
        hidden: sums.hidden.shares(aim),
        in_front: sums.in_front.shares(aim),
        worst_painted: worst(Role::Paints),
        worst_hidden: worst(Role::Hides),
        worst_in_front: worst(Role::LeavesInFront),
    }
}

impl Sums {
    /// True once the columns so far break a limit, whatever the rest brings.
    fn broken(&self, aim: &Aim) -> bool {
        let of = |areas: &Areas| areas.shares(aim);
        of(&self.painted).is_wrong() || of(&self.hidden).is_unseen() || of(&self.in_front).is_wrong()
    }
}
