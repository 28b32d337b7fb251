//! Whether a change helps: the changed show is judged again, everybody whom it may concern.

use std::cell::RefCell;

use underfoot_core::geom::StagePoint;
use underfoot_core::show::MarkId;

use super::book::{Book, Judged, counts, keeps};
use super::change::Change;
use super::fault::{Fault, cut_fault, faults};
use super::pair::Pair;
use super::verdict::{Verdict, framed, holds, judge};
use crate::checks::board::Board;
use crate::checks::near::Room;
use crate::findings::FindingId;

/// Farthest that a mark is moved for the sake of a picture, in rings of 0.05 m.
pub(super) const MOVE_RINGS: u16 = 30;
/// Directions in which a mark is moved.
const DIRECTIONS: u16 = 32;

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
    moved: RefCell<Vec<((MarkId, Option<FindingId>), Option<StagePoint>)>>,
}

impl<'b, 's> Trials<'b, 's> {
    /// Nothing tried yet.
    pub(super) fn new(book: &'b Book<'s>, judged: &'b [Judged], fastest_mps: f32) -> Self {
        let before = judged.iter().flat_map(|j| book.faults(j)).filter(counts).collect();
        Self { book, judged, before, fastest_mps, tried: RefCell::default(), moved: RefCell::default() }
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
        let pairs = book.pairs.iter().zip(self.judged).filter(|(p, _)| change.touches(&changed, p));
        pairs.into_iter().all(|(pair, was)| {
            let verdict = Verdict { framed: framed(&book.album, pair), ..Verdict::default() };
            let cut = cut_fault(&changed, pair, &verdict).filter(counts);
            keeps(&was.verdict, &verdict) && cut.is_none_or(|f| !f.is_same(target) && !self.is_new(&f))
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
        for (pair, was) in book.pairs.iter().zip(self.judged).filter(|(p, _)| change.touches(&changed, p)) {
            let verdict = judge(&book.album, pair);
            if !keeps(&was.verdict, &verdict) {
                return None;
            }
            all.extend(faults(&changed, pair, &verdict).into_iter().filter(counts));
        }
        Some(all)
    }

    /// The nearest place to which a mark can go: there all of its pictures work, or, with a kind, all faults of
    /// that kind are gone and no other comes; it keeps its clearances in every cue.
    pub(super) fn place_for(&self, board: &Board<'_>, mark: MarkId, kind: Option<FindingId>) -> Option<StagePoint> {
        let key = (mark, kind);
        if let Some((_, place)) = self.moved.borrow().iter().find(|(k, _)| *k == key) {
            return *place;
        }
        let from = self.book.show.marks.get(mark.index())?.at;
        let room = Room::of(board, mark);
        let fan = crate::checks::near::fan(from, MOVE_RINGS, 0.05, DIRECTIONS);
        let place = fan.into_iter().find(|&p| room.is_clear(p) && self.works_at(mark, p, kind));
        self.moved.borrow_mut().push((key, place));
        place
    }

    /// Whether a mark could be at `p`; framing first, which costs least.
    fn works_at(&self, mark: MarkId, p: StagePoint, kind: Option<FindingId>) -> bool {
        let album = &self.book.album;
        let was = || self.judged.iter().filter(|j| j.pair.mark == mark);
        let framed = self.book.pairs_at(mark, p).zip(was()).all(|(pair, was)| {
            let verdict = Verdict { framed: framed(album, &pair), ..Verdict::default() };
            let cut = cut_fault(self.book.show, &pair, &verdict).filter(counts);
            keeps(&was.verdict, &verdict) && cut.is_none_or(|fault| !self.matters(&pair, fault.kind.id(), kind))
        });
        framed && self.book.pairs_at(mark, p).all(|pair| holds(album, &pair, |id| self.matters(&pair, id, kind)))
    }

    /// True for kinds of fault that a place must not have: with no kind all, else that one and all that are new.
    fn matters(&self, pair: &Pair, id: FindingId, kind: Option<FindingId>) -> bool {
        let is_old =
            |b: &Fault| (b.pair.cue, b.pair.person, b.pair.shot, b.kind.id()) == (pair.cue, pair.person, pair.shot, id);
        kind.is_none_or(|kind| kind == id || !self.before.iter().any(is_old))
    }
}
