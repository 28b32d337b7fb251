//! What was measured of people in a shot, from the core, and the words for it.

use underfoot_core::cameras::surfaces::Surfaces;
use underfoot_core::cameras::{self, Framing, OffWall, Share, Side, Sight, Solid, View};
use underfoot_core::cameras::{framing, off_wall, shots, sight};
use underfoot_core::show::{Cue, PropId, ShotId};

use super::moment::{moments, planned};
use super::pattern::Flaw;
use super::people::Actor;
use crate::project::Project;

/// The worst share of one kind, the part that does most of it, and when.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Worst {
    /// Shares of the body and its bands.
    pub share: Share,
    /// The prop.
    pub prop: Option<PropId>,
    /// Seconds into the cue.
    pub at_s: f32,
}

/// What was measured of one person in one shot, the worst over its views and the cue's moments.
#[derive(Clone, Debug, PartialEq)]
pub struct Figures {
    /// How the picture's own view has the person.
    pub framed: cameras::Framed,
    /// Painted over.
    pub painted: Worst,
    /// Hidden.
    pub hidden: Worst,
    /// Shown in front of something nearer.
    pub in_front: Worst,
    /// Off the LED surfaces.
    pub off_wall: Option<OffWall>,
    /// The shot cuts the person in passing, if it does.
    pub in_passing: bool,
    /// What breaks a limit.
    pub flaws: Vec<Flaw>,
}

/// Everything of a cue that figures of its shots need.
#[derive(Debug)]
pub struct Measures<'s> {
    project: &'s Project,
    cue: &'s Cue,
}

impl<'s> Measures<'s> {
    /// The figures of a cue.
    pub fn of(project: &'s Project, cue: &'s Cue) -> Self {
        Self { project, cue }
    }

    fn is_in_passing(&self, shot: ShotId, side: Side) -> bool {
        self.project.show.shots.get(shot.index()).is_some_and(|shot| framing::is_in_passing(shot, side))
    }

    /// Figures of one person in the picture of `view` and in those between it and its neighbours, the views of the
    /// same shot that have pictures, too; framing is that of `view` alone.
    pub fn person(&self, view: &View, neighbours: &[View], actor: &Actor) -> Figures {
        let mut all = self.framed(view, actor);
        let surfaces = Surfaces::of(&self.project.show);
        // A shot without views has no pictures either: its fault is reported where it is drawn.
        let moments = moments(self.project, self.cue, actor);
        let nearest = |at_s: f32| neighbours.iter().all(|n| (n.at_s - at_s).abs() >= (view.at_s - at_s).abs());
        let _ = shots::views(&self.project.show, view.shot, &mut |v| {
            if nearest(v.at_s) {
                moments.iter().for_each(|moment| all.look(&v, actor, &surfaces, moment));
            }
        });
        all.judge();
        all
    }

    /// Figures of one person in the picture of `view` alone, at one moment with the parts that stand there then.
    pub fn at(&self, view: &View, actor: &Actor, (at_s, solids): (f32, &[Solid])) -> Figures {
        let show = &self.project.show;
        let mut all = self.framed(view, actor);
        let there = planned(show, self.cue, solids.to_vec());
        all.look(view, actor, &Surfaces::of(show), &(at_s, there));
        all.judge();
        all
    }

    /// How a view has a person, and nothing measured yet.
    fn framed(&self, view: &View, actor: &Actor) -> Figures {
        let (framed, none) = (framing::framing(view, &actor.body), Worst::default());
        let in_passing = match framed.state {
            Framing::Cut(side) => self.is_in_passing(view.shot, side),
            _ => false,
        };
        Figures { framed, in_passing, painted: none, hidden: none, in_front: none, off_wall: None, flaws: Vec::new() }
    }
}

fn worse(one: Option<OffWall>, other: Option<OffWall>) -> Option<OffWall> {
    match (one, other) {
        (Some(a), Some(b)) => Some(if b.over_m() > a.over_m() { b } else { a }),
        (a, b) => a.or(b),
    }
}

impl Figures {
    /// Looks at a person in one picture at one moment.
    fn look(&mut self, v: &View, actor: &Actor, surfaces: &Surfaces<'_>, (at_s, solids): &(f32, Vec<Solid>)) {
        self.add(&sight::sight(v.pose.centre, v.person_matte, &actor.body, solids), *at_s);
        let seen = |q| v.pose.see(q).is_some_and(|s| v.frame.inner.contains(s.x, s.y));
        let off = off_wall(v.pose.centre, &actor.body, surfaces, solids, seen);
        self.off_wall = worse(self.off_wall, off);
    }

    fn add(&mut self, found: &Sight, at_s: f32) {
        let kinds = [
            (&mut self.painted, found.painted, found.worst_painted),
            (&mut self.hidden, found.hidden, found.worst_hidden),
            (&mut self.in_front, found.in_front, found.worst_in_front),
        ];
        for (worst, share, part) in kinds {
            if (share.head, share.whole) > (worst.share.head, worst.share.whole) {
                *worst = Worst { share, prop: part.map(|p| p.0), at_s };
            }
        }
    }

    /// True when the shot is about this person.
    pub fn is_about(&self) -> bool {
        matches!(self.framed.state, Framing::Framed | Framing::Cut(_))
    }

    fn judge(&mut self) {
        if !self.is_about() {
            return;
        }
        let part = |w: &Worst| w.prop.map(|p| (p, 0));
        let sight = Sight {
            painted: self.painted.share,
            hidden: self.hidden.share,
            in_front: self.in_front.share,
            worst_painted: part(&self.painted),
            worst_hidden: part(&self.hidden),
            worst_in_front: part(&self.in_front),
        };
        self.flaws = sight.faults().map(flaw).collect();
        self.flaws.extend(self.off_wall.map(|_| Flaw::OffWall));
    }

    /// Something is wrong.
    pub fn is_flawed(&self) -> bool {
        !self.flaws.is_empty() || self.is_cut()
    }

    /// The shot cuts the person, and not in passing.
    pub fn is_cut(&self) -> bool {
        matches!(self.framed.state, Framing::Cut(_)) && !self.in_passing
    }
}

const fn flaw(fault: cameras::SightFault) -> Flaw {
    match fault {
        cameras::SightFault::Painted(_) => Flaw::Painted,
        cameras::SightFault::InFront(_) => Flaw::InFront,
        cameras::SightFault::Hidden(_) => Flaw::Hidden,
    }
}
