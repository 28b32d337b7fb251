//! Who is looked at in which picture: a person on a mark, a cue, one of its intended shots.

use underfoot_core::cameras::Body;
use underfoot_core::show::{MarkId, PersonId, ShotId, Show};
use underfoot_core::walk::Path;

use super::super::cast::{Cast, Stand};

/// A person on the mark that a cue ends on, and one of the cue's intended shots.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Pair {
    /// Index of the cue.
    pub(super) cue: usize,
    /// Who.
    pub(super) person: PersonId,
    /// Where.
    pub(super) mark: MarkId,
    /// As the pictures have them.
    pub(super) body: Body,
    /// In which picture.
    pub(super) shot: ShotId,
    /// True when the cue intends the shot; what other shots would show is worth a note.
    pub(super) intended: bool,
    /// Earliest time at which they can be there, seconds after the start of the cue.
    pub(super) from_s: f32,
}

/// Every pair of a show.
pub(super) fn pairs(show: &Show, cast: &[Cast], fastest_mps: f32) -> Vec<Pair> {
    let cues = show.cues.iter().zip(cast).enumerate();
    let stands = cues.flat_map(|(i, (cue, cast))| cast.people.iter().map(move |stand| (i, cue, stand)));
    let mut pairs = Vec::new();
    for (cue_index, cue, stand) in stands {
        let Some((mark, body)) = stand.mark.and_then(|m| body_on(show, stand.person, m).map(|b| (m, b))) else {
            continue;
        };
        let from_s = arrival_s(show, stand, fastest_mps);
        let person = stand.person;
        let intended = show.shots_in(cue);
        let all = (0..show.shots.len()).map(|i| ShotId(i as u8));
        let pair = |shot| Pair { cue: cue_index, person, mark, body, shot, intended: intended.contains(&shot), from_s };
        // A cue without shots has no picture yet.
        pairs.extend(all.filter(|_| !intended.is_empty()).map(pair));
    }
    pairs
}

/// For each cue the times at which people can reach their marks.
pub(super) fn arrivals(show: &Show, pairs: &[Pair]) -> Vec<Vec<f32>> {
    let of = |cue| pairs.iter().filter(move |p: &&Pair| p.cue == cue && p.from_s > 0.0).map(|p| p.from_s).collect();
    (0..show.cues.len()).map(of).collect()
}

fn body_on(show: &Show, person: PersonId, mark: MarkId) -> Option<Body> {
    let class = show.classes.get(show.people.get(person.index())?.class.index())?;
    Some(Body::of(show, class, show.marks.get(mark.index())?.at))
}

/// The length of the way at the fastest pace that may be asked of anybody: nobody is there earlier.
fn arrival_s(show: &Show, stand: &Stand, fastest_mps: f32) -> f32 {
    let at = |mark: Option<MarkId>| mark.and_then(|m| show.marks.get(m.index())).map(|m| m.at);
    let line = stand.line.and_then(|l| show.lines.get(l.index()));
    let drawn = line.map(|l| Path::new(show.points_of(l)).length_m());
    let straight = || Some(at(stand.from)?.distance(at(stand.mark)?));
    drawn.or_else(straight).unwrap_or(0.0) / fastest_mps.max(0.1)
}
