//! What is wrong, and what is right, with one person in one picture: the worst over its poses and moments.

use underfoot_core::cameras::framing::{self, Framed, Framing, Side};
use underfoot_core::cameras::shots::View;
use underfoot_core::cameras::sight::{self, PartId, Share, Sight, SightFault};
use underfoot_core::cameras::solids::Solid;
use underfoot_core::cameras::{Body, OffWall, Passing, off_wall};
use underfoot_core::geom::StagePoint3;
use underfoot_core::show::{Layer, PropId};
use underfoot_core::zones;

use super::album::{Album, Moment};
use super::pair::Pair;
use crate::findings::FindingId;

/// Shares that differ by less are the same to people.
const ALIKE: f32 = 0.001;

/// The worst of each kind.
#[derive(Clone, Debug, Default)]
pub(super) struct Verdict {
    /// How the shot has the person, where it is about them; how it comes nearest to that otherwise.
    pub(super) framed: Option<Framed>,
    /// Painted over by overlays that are farther.
    pub(super) painted: Option<Worst>,
    /// The same prop by prop, where it is wrong.
    pub(super) painters: Vec<Worst>,
    /// Hidden by overlays that are nearer.
    pub(super) hidden: Option<Worst>,
    /// Shown in front of something nearer on the LED surfaces.
    pub(super) in_front: Option<Worst>,
    /// Hidden by props that follow presence, where they rest.
    pub(super) followed: Option<Worst>,
    /// The outline leaves the LED surfaces.
    pub(super) off_wall: Option<OffWall>,
    /// Where the head backs onto the walls, at the pose at which it is nearest to their edge or beyond it.
    pub(super) head: Option<Passing>,
}

/// The worst moment of one kind.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Worst {
    /// How much of whom.
    pub(super) share: Share,
    /// The part that does most of it.
    pub(super) part: PartId,
    /// Seconds after the start of the cue.
    pub(super) at_s: f32,
    /// Where the camera was.
    pub(super) centre: StagePoint3,
}

impl Verdict {
    /// True when the shot is about this person at some pose.
    pub(super) fn is_about(&self) -> bool {
        matches!(self.state(), Some(Framing::Cut(_) | Framing::Framed))
    }

    /// How the shot has the person, in one word.
    pub(super) fn state(&self) -> Option<Framing> {
        self.framed.map(|f| f.state)
    }

    /// The side at which the shot cuts the person.
    pub(super) fn cut(&self) -> Option<Side> {
        match self.framed?.state {
            Framing::Cut(side) => Some(side),
            _ => None,
        }
    }
}

/// Judges a pair in all its views and moments.
pub(super) fn judge(album: &Album<'_>, pair: &Pair) -> Verdict {
    let mut verdict = Verdict { framed: framed(album, pair), ..Verdict::default() };
    for view in views_about(album, pair) {
        backing(album, pair, view, &mut verdict);
        for moment in album.moments_from(pair.cue, pair.from_s) {
            depth(pair, view, moment, &mut verdict);
        }
    }
    verdict
}

/// How a shot has a person, at the pose at which it cuts them most.
pub(super) fn framed(album: &Album<'_>, pair: &Pair) -> Option<Framed> {
    let mut verdict = Verdict::default();
    for view in album.views(pair.shot) {
        keep_framing(&mut verdict, framing::framing(view, &pair.body));
    }
    verdict.framed
}

/// What [`framed`] says in one word, for less work; where it cuts, the side is that of any pose.
pub(super) fn state(album: &Album<'_>, pair: &Pair) -> Option<Framing> {
    let rank = |state: &Framing| match state {
        Framing::Cut(_) => 3,
        Framing::Framed => 2,
        Framing::Beside => 1,
        Framing::Out => 0,
    };
    album.views(pair.shot).iter().map(|view| framing::state(view, &pair.body)).max_by_key(rank)
}

/// The views of a shot that are about the person.
fn views_about<'a>(album: &'a Album<'_>, pair: &'a Pair) -> impl Iterator<Item = &'a View> {
    zones::about(album.views(pair.shot), &pair.body)
}

/// Whether nothing is wrong with the depth and the backing of a pair that `matters`: the same judgement as
/// [`judge`]'s, ended by the first fault.
pub(super) fn holds(album: &Album<'_>, pair: &Pair, matters: impl Fn(FindingId) -> bool) -> bool {
    let moments = album.moments_from(pair.cue, pair.from_s);
    let is_right = |view: &View, moment: &Moment| {
        let (centre, matte) = (view.pose.centre, view.person_matte);
        let Some(first) = sight::first_fault(centre, matte, &pair.body, &moment.planned) else { return true };
        let all = || sight::sight(centre, matte, &pair.body, &moment.planned);
        !matters(id_of(first)) && !all().faults().any(|fault| matters(id_of(fault)))
    };
    views_about(album, pair).all(|view| {
        let mut backed = Verdict::default();
        backing(album, pair, view, &mut backed);
        let lost = backed.off_wall.is_some() && matters(FindingId::OffWall);
        !lost && moments.iter().all(|moment| is_right(view, moment))
    })
}

const fn id_of(fault: SightFault) -> FindingId {
    match fault {
        SightFault::Painted(_) => FindingId::PaintedOver,
        SightFault::Hidden(_) => FindingId::HiddenInShot,
        SightFault::InFront(_) => FindingId::ShowsInFront,
    }
}

fn keep_framing(verdict: &mut Verdict, framed: Framed) {
    let badness = |f: &Framed| match f.state {
        Framing::Cut(_) => (3, miss(f)),
        Framing::Framed => (2, miss(f)),
        Framing::Beside => (1, -f.side),
        Framing::Out => (0, -f.side),
    };
    let (new, old) = (badness(&framed), verdict.framed.as_ref().map(badness));
    if old.is_none_or(|old| new.0 > old.0 || (new.0 == old.0 && new.1 > old.1)) {
        verdict.framed = Some(framed);
    }
}

/// By how much the worst figure misses its limit, in half-frames; negative when all hold.
pub(super) fn miss(framed: &Framed) -> f32 {
    let (worst, limits) = (&framed.worst, &framed.limits);
    (worst.head - limits.head).max(limits.lower - worst.lower).max(worst.side - limits.side)
}

/// Where the head backs onto a wall or past it; `None` where the floor backs it, or is missed by less.
fn head_on_wall(album: &Album<'_>, view: &View, body: &Body) -> Option<Passing> {
    let (centre, top) = (view.pose.centre, body.at.at_height(body.top_m()));
    let on_floor = album.surfaces.backs(centre, top).is_some_and(|b| b.wall.is_none());
    let past_floor_m = album.surfaces.past_floor(centre, top).map_or(f32::INFINITY, |f| f.past_m);
    album.surfaces.head_backs_on(centre, body).filter(|h| !on_floor && h.miss_m() <= past_floor_m)
}

fn backing(album: &Album<'_>, pair: &Pair, view: &View, verdict: &mut Verdict) {
    let (centre, body) = (view.pose.centre, &pair.body);
    let head = head_on_wall(album, view, body);
    if head.is_some_and(|h| verdict.head.is_none_or(|worst| h.miss_m() > worst.miss_m())) {
        verdict.head = head;
    }
    let solids = album.moments_from(pair.cue, pair.from_s).first().map_or(&[][..], |m| &m.planned);
    let seen = |q| view.pose.see(q).is_some_and(|p| view.whole.outer.contains(p.x, p.y));
    let off = off_wall(centre, body, &album.surfaces, solids, seen);
    if off.is_some_and(|o| verdict.off_wall.is_none_or(|worst| o.over_m() > worst.over_m())) {
        verdict.off_wall = off;
    }
}

fn depth(pair: &Pair, view: &View, moment: &Moment, verdict: &mut Verdict) {
    let at = (moment.at_s, view.pose.centre);
    let look = |solids| sight::sight(view.pose.centre, view.person_matte, &pair.body, solids);
    let Sight { painted, hidden, in_front, worst_painted, worst_hidden, worst_in_front } = look(&moment.planned);
    let score = |share: &Share| (share.head > 0.0, share.whole);
    let unseen = |share: &Share| (share.head > 0.0 || share.torso > sight::TORSO_LIMIT, share.whole);
    keep(&mut verdict.painted, (painted, worst_painted), at, score);
    if wrong(&painted) {
        painters(pair, view, moment, &mut verdict.painters);
    }
    keep(&mut verdict.hidden, (hidden, worst_hidden), at, unseen);
    keep(&mut verdict.in_front, (in_front, worst_in_front), at, score);
    if !moment.following.is_empty() {
        let following = look(&moment.following);
        keep(&mut verdict.followed, (following.hidden, following.worst_hidden), at, unseen);
    }
}

/// True when more of a person is painted over, or shown in front, than may be.
pub(super) fn wrong(share: &Share) -> bool {
    share.head > 0.0 || share.whole > sight::BODY_LIMIT
}

/// What each prop paints by itself, nearer things taken into account.
fn painters(pair: &Pair, view: &View, moment: &Moment, kept: &mut Vec<Worst>) {
    let centre = view.pose.centre;
    let shares = |solid| sight::part_shares(centre, &pair.body, solid);
    let taking: Vec<(&Solid, bool, bool)> = moment
        .planned
        .iter()
        .map(|solid| (solid, shares(solid)))
        .filter(|(solid, (nearer, farther))| solid.layer == Layer::Overlay && nearer.whole + farther.whole > 0.0)
        .map(|(solid, (nearer, farther))| (solid, nearer.whole > farther.whole, farther.whole > 0.0))
        .collect();
    let mut props: Vec<PropId> = taking.iter().filter(|t| t.2).map(|t| t.0.prop).collect();
    props.dedup();
    for prop in props {
        let own = taking.iter().filter(|(solid, nearer, _)| solid.prop == prop || *nearer);
        let solids: Vec<Solid> = own.map(|t| t.0.clone()).collect();
        let sight = sight::sight(centre, view.person_matte, &pair.body, &solids);
        let Some(part) = sight.worst_painted.filter(|part| part.0 == prop && wrong(&sight.painted)) else { continue };
        let mut one = kept.iter().position(|w| w.part.0 == prop).map(|i| kept.swap_remove(i));
        let score = |share: &Share| (share.head > 0.0, share.whole);
        keep(&mut one, (sight.painted, Some(part)), (moment.at_s, centre), score);
        kept.extend(one);
    }
}

/// Keeps the worse of two: what breaks a limit first, then what takes more.
fn keep(
    kept: &mut Option<Worst>,
    (share, part): (Share, Option<PartId>),
    (at_s, centre): (f32, StagePoint3),
    score: impl Fn(&Share) -> (bool, f32),
) {
    let Some(part) = part else { return };
    let (new, old) = (score(&share), kept.map(|w| score(&w.share)));
    // Of moments that are as bad as each other the first is named.
    if old.is_none_or(|old| (new.0 & !old.0) || (new.0 == old.0 && new.1 > old.1 + ALIKE)) {
        *kept = Some(Worst { share, part, at_s, centre });
    }
}
