//! From a verdict to what breaks a limit, for reports and for telling whether a change helps.

use underfoot_core::cameras::framing::{Side, is_in_passing};
use underfoot_core::cameras::sight::{PartId, TORSO_LIMIT};
use underfoot_core::show::{PropId, Show};

use super::pair::Pair;
use super::verdict::{Verdict, wrong};
use crate::findings::{FindingId, Severity};

/// One thing that is wrong with a pair.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Fault {
    /// Where and who.
    pub(super) pair: Pair,
    /// What.
    pub(super) kind: Kind,
    /// How bad.
    pub(super) severity: Severity,
}

/// What is wrong.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Kind {
    /// A part that is farther paints over the person.
    Painted(PartId),
    /// A part that is nearer hides head or torso; legs as a note.
    Hidden(PartId),
    /// The person shows in front of a part that is nearer.
    InFront(PartId),
    /// The frame cuts the person.
    Cut(Side),
    /// The outline leaves the LED surfaces.
    OffWall,
}

impl Kind {
    /// The kind of finding.
    pub(super) const fn id(self) -> FindingId {
        match self {
            Self::Painted(_) => FindingId::PaintedOver,
            Self::Hidden(_) => FindingId::HiddenInShot,
            Self::InFront(_) => FindingId::ShowsInFront,
            Self::Cut(_) => FindingId::CutByFrame,
            Self::OffWall => FindingId::OffWall,
        }
    }

    /// The part that does it.
    pub(super) const fn part(self) -> Option<PartId> {
        match self {
            Self::Painted(part) | Self::Hidden(part) | Self::InFront(part) => Some(part),
            Self::Cut(_) | Self::OffWall => None,
        }
    }

    /// The prop that does it.
    pub(super) fn prop(self) -> Option<PropId> {
        self.part().map(|p| p.0)
    }
}

impl Fault {
    /// True when both are the same thing by the same prop.
    pub(super) fn is_same(&self, other: &Self) -> bool {
        self.is_alike(other) && self.kind.prop() == other.kind.prop()
    }

    /// True when both are the same kind of thing about the same person in the same picture of the same cue.
    pub(super) fn is_alike(&self, other: &Self) -> bool {
        let key = |f: &Self| (f.pair.cue, f.pair.person, f.pair.shot, f.kind.id());
        key(self) == key(other)
    }
}

/// Everything in a verdict that breaks a limit or is worth a note.
pub(super) fn faults(show: &Show, pair: &Pair, verdict: &Verdict) -> Vec<Fault> {
    let mut found: Vec<Fault> = cut_fault(show, pair, verdict).into_iter().collect();
    let mut add = |kind, severity| found.push(Fault { pair: *pair, kind, severity });
    for worst in &verdict.painters {
        let severity = if worst.share.head > 0.0 { Severity::Stop } else { Severity::Fix };
        add(Kind::Painted(worst.part), severity);
    }
    if let Some(worst) = verdict.hidden.filter(|w| w.share.whole > 0.0) {
        let unseen = worst.share.head > 0.0 || worst.share.torso > TORSO_LIMIT;
        add(Kind::Hidden(worst.part), if unseen { Severity::Fix } else { Severity::Note });
    }
    if let Some(worst) = verdict.in_front.filter(|w| wrong(&w.share)) {
        add(Kind::InFront(worst.part), Severity::Fix);
    }
    if verdict.off_wall.is_some() {
        add(Kind::OffWall, Severity::Fix);
    }
    found
}

/// Where the frame cuts the person.
pub(super) fn cut_fault(show: &Show, pair: &Pair, verdict: &Verdict) -> Option<Fault> {
    let side = verdict.cut()?;
    let in_passing = show.shots.get(pair.shot.index()).is_none_or(|shot| is_in_passing(shot, side));
    let severity = if in_passing { Severity::Note } else { Severity::Fix };
    Some(Fault { pair: *pair, kind: Kind::Cut(side), severity })
}
