//! What the findings about pictures share: the board, everything judged, and the words for people, marks and parts.

use underfoot_core::cameras::sight::{PartId, Share};
use underfoot_core::show::{MarkId, PropId, ShotId};

use super::super::board::Board;
use super::book::Judged;
use super::fault::Fault;
use super::pair::Pair;
use super::trial::Trials;
use super::zone::Looks;
use crate::findings::Finding;

/// Everything that a finding about a picture needs.
pub(super) struct Desk<'d, 's> {
    /// The show and its clearances.
    pub(super) board: &'d Board<'s>,
    /// Everything judged, and what changes would do.
    pub(super) trials: Trials<'d, 's>,
}

impl<'s> Desk<'_, 's> {
    /// Everything judged, in the order of cues and shots.
    pub(super) fn judged(&self) -> &[Judged] {
        self.trials.judged
    }

    /// What can be looked at on any thread.
    pub(super) fn looks(&self) -> Looks<'_, 's> {
        let Trials { book, judged, before, .. } = &self.trials;
        Looks { board: self.board, book, judged, before }
    }

    /// Number of a pair's cue in hundredths.
    pub(super) fn cue_number(&self, pair: &Pair) -> u32 {
        self.board.show().cues.get(pair.cue).map_or(0, |c| c.number)
    }

    /// The crew's name for a shot.
    pub(super) fn shot_name(&self, shot: ShotId) -> String {
        self.board.show().shots.get(shot.index()).map(|s| s.name.to_string()).unwrap_or_default()
    }

    /// The crew's name for a mark.
    pub(super) fn mark_name(&self, mark: MarkId) -> String {
        self.board.show().marks.get(mark.index()).map(|m| m.name.to_string()).unwrap_or_default()
    }

    /// "Presenter on mark C in 2-WIDE", and whether the cue does not intend the shot.
    pub(super) fn pair_words(&self, pair: &Pair) -> String {
        let (who, mark) = (self.board.person_name(pair.person), self.mark_name(pair.mark));
        let apart = if pair.intended { "" } else { " (not a shot of this cue)" };
        format!("{who} on mark {mark} in {}{apart}", self.shot_name(pair.shot))
    }

    /// "DOME", or "far hull of BOAT" for a prop whose parts have different names.
    pub(super) fn part_words(&self, (prop, part): PartId) -> String {
        let name = self.board.prop_name(prop);
        match self.named_part((prop, part)) {
            Some(part) => format!("{part} of {name}"),
            None => name,
        }
    }

    /// A part's name, where it tells the part from others of its prop.
    pub(super) fn named_part(&self, (prop, part): PartId) -> Option<&'s str> {
        let names = self.part_names(prop);
        let name = names.get(usize::from(part))?;
        (!name.is_empty() && names.iter().any(|n| n != name)).then_some(name)
    }

    /// The names of a prop's parts.
    pub(super) fn part_names(&self, prop: PropId) -> &'s [String] {
        let parts = self.board.show().props.get(prop.index()).map(|p| p.parts);
        parts.map_or(&[], |run| run.of(&self.board.project.part_names))
    }

    /// A finding about a fault with who, cue, shot, place and line.
    pub(super) fn finding(&self, fault: &Fault, about: String, what: String) -> Finding {
        let pair = &fault.pair;
        let mut finding = Finding::new(fault.kind.id(), fault.severity, about, what);
        finding.who = Some(self.board.person_name(pair.person));
        finding.cue = Some(self.cue_number(pair));
        finding.shot = Some(self.shot_name(pair.shot));
        finding.place = Some(pair.body.at);
        finding.things.push(self.mark_name(pair.mark));
        self.board.at_line(finding, "marks", pair.mark.index())
    }

    /// The moment, where the prop is not the same all through the cue.
    pub(super) fn moment_s(&self, pair: &Pair, prop: PropId, at_s: f32) -> Option<f32> {
        self.trials.book.album.moves(pair.cue, prop).then_some(at_s)
    }
}

/// A share in percent.
pub(super) fn percent(share: f32) -> f32 {
    share * 100.0
}

/// "head 98 %, torso 74 %": the bands of which anything is meant.
pub(super) fn bands(share: &Share) -> String {
    let all = [("head", share.head), ("torso", share.torso), ("legs", share.legs)];
    let some = all.iter().filter(|(_, s)| *s > 0.0).map(|(name, s)| match percent(*s) {
        p if p < 0.5 => format!("{name} under 1 %"),
        p => format!("{name} {p:.0} %"),
    });
    some.collect::<Vec<_>>().join(", ")
}
