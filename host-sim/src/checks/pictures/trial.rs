//! Whether a change helps: the changed show is judged again, everybody whom it may concern.

use std::cell::RefCell;

use underfoot_core::show::{PropId, Show};

use super::book::{Book, Judged, counts, keeps};
use super::fault::{Fault, cut_fault, faults};
use super::pair::Pair;
use super::places::Places;
use super::verdict::{Verdict, framed, judge};
use crate::checks::Effort;
use crate::checks::board::Board;
use crate::checks::change::Change;
use crate::checks::watch::Watch;

/// A show as it is judged, and the changes that have been tried on it.
pub(super) struct Trials<'b, 's> {
    /// The show's pictures.
    pub(super) book: &'b Book<'s>,
    /// Everything judged, in the order of the book's pairs.
    pub(super) judged: &'b [Judged],
    /// Everything that has to be put right.
    pub(super) before: Vec<Fault>,
    fastest_mps: f32,
    tried: RefCell<Vec<(Change, Option<Vec<Fault>>)>>,
    /// Better places for marks.
    pub(super) places: Places,
}

impl<'b, 's> Trials<'b, 's> {
    /// Better places for marks are searched at once, if fixes are tried; nothing else is tried yet.
    pub(super) fn new(
        board: &Board<'_>,
        book: &'b Book<'s>,
        judged: &'b [Judged],
        fastest_mps: f32,
        watch: Watch<'_>,
    ) -> Self {
        let before: Vec<Fault> = judged.iter().flat_map(|j| book.faults(j)).filter(counts).collect();
        let places = match board.effort {
            Effort::Fixes => Places::search(board, book, judged, &before, watch),
            Effort::Figures => Places::none(),
        };
        Self { book, judged, before, places, fastest_mps, tried: RefCell::default() }
    }

    /// True when the change clears the fault and causes no other.
    pub(super) fn helps(&self, change: &Change, target: &Fault) -> bool {
        if matches!(change, Change::Shot { .. }) {
            return self.reframes(change, target);
        }
        let known = self.tried.borrow().iter().find(|(c, _)| c == change).map(|(_, after)| after.clone());
        let after = known.unwrap_or_else(|| {
            let after = self.after(change);
            self.tried.borrow_mut().push((change.clone(), after.clone()));
            after
        });
        after.is_some_and(|after| !after.iter().any(|f| f.is_same(target) || self.is_new(f)))
    }

    /// The same for a change of a shot's frame, which has nothing to do with depth: who is in it, and where it cuts.
    fn reframes(&self, change: &Change, target: &Fault) -> bool {
        let Some(changed) = change.applied(self.book.show) else { return false };
        let book = Book::open(&changed, self.fastest_mps);
        let pairs = book.pairs.iter().zip(self.judged).filter(|(p, _)| touches(change, &changed, p));
        pairs.into_iter().all(|(pair, was)| {
            let verdict = Verdict { framed: framed(&book.album, pair), ..Verdict::default() };
            let cut = cut_fault(&changed, pair, &verdict).filter(counts);
            keeps(&was.verdict, verdict.state()) && cut.is_none_or(|f| !f.is_same(target) && !self.is_new(&f))
        })
    }

    /// True for a fault that was not there, or was not as bad.
    fn is_new(&self, fault: &Fault) -> bool {
        !self.before.iter().any(|b| b.is_alike(fault) && b.severity <= fault.severity)
    }

    /// What has to be put right after the change, among those whom it concerns; `None` when it cannot be made or
    /// takes somebody out of a picture.
    fn after(&self, change: &Change) -> Option<Vec<Fault>> {
        let changed = change.applied(self.book.show)?;
        let book = Book::open(&changed, self.fastest_mps);
        let mut all = Vec::new();
        for (pair, was) in book.pairs.iter().zip(self.judged).filter(|(p, _)| touches(change, &changed, p)) {
            let verdict = judge(&book.album, pair);
            if !keeps(&was.verdict, verdict.state()) {
                return None;
            }
            all.extend(faults(&changed, pair, &verdict).into_iter().filter(counts));
        }
        Some(all)
    }
}

/// True when the change may make a difference to a pair.
fn touches(change: &Change, show: &Show, pair: &Pair) -> bool {
    let cue_has =
        |prop: &PropId| show.cues.get(pair.cue).is_some_and(|cue| show.props_in(cue).iter().any(|s| s.prop == *prop));
    match change {
        Change::Mark { mark, .. } => pair.mark == *mark,
        // Cues are judged one by one, so that a change of one cue is one of the show that only that cue feels.
        Change::Layer { prop, cue, .. } => cue_has(prop) && cue.is_none_or(|cue| cue == pair.cue),
        Change::Matte { camera } => show.shots.get(pair.shot.index()).is_some_and(|s| s.camera == *camera),
        Change::Shot { shot, .. } => pair.shot == *shot,
        Change::Leave { cue, .. } => pair.cue == *cue,
        Change::Wall(_) | Change::Raise { .. } => true,
        Change::Prop { prop, .. } => cue_has(prop),
        Change::Time { cue, .. } | Change::Announce { cue, .. } | Change::Later { cue, .. } => pair.cue == *cue,
    }
}
