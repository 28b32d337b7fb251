//! Better places for marks: where all of a mark's pictures work, or where at least one kind of fault is gone.

use underfoot_core::cameras::Framing;
use underfoot_core::geom::StagePoint;
use underfoot_core::show::MarkId;

use super::book::{Book, Judged, counts, keeps};
use super::fault::{Fault, cut_fault};
use super::pair::Pair;
use super::verdict::{Verdict, framed, holds, state};
use super::zone::Looks;
use crate::checks::alternate::alternately;
use crate::checks::board::Board;
use crate::checks::clear::Room;
use crate::checks::near::fan;
use crate::checks::watch::Watch;
use crate::findings::FindingId;

/// Farthest that a mark is moved for the sake of a picture, in rings of 0.05 m: 1.50 m.
const RINGS: u16 = 30;
/// Directions in which a mark is moved.
const DIRECTIONS: u16 = 32;

/// The nearest better place of every mark that has a fault.
#[derive(Debug)]
pub(super) struct Places {
    found: Vec<Place>,
}

/// A mark, a kind of fault or all of them, and where they are gone.
type Place = (MarkId, Option<FindingId>, Option<StagePoint>);

impl Places {
    /// Searches on two threads.
    pub(super) fn search(
        board: &Board<'_>,
        book: &Book<'_>,
        judged: &[Judged],
        before: &[Fault],
        watch: Watch<'_>,
    ) -> Self {
        let mut marks: Vec<MarkId> = before.iter().map(|f| f.pair.mark).collect();
        marks.sort_unstable();
        marks.dedup();
        let phase = watch.phase(1, marks.len());
        let one = |mark| -> Vec<Place> {
            let places = Search::new(board, book, judged, before, mark).places();
            phase.step();
            places
        };
        let found = alternately(marks.len(), |mine| mine.filter_map(|i| marks.get(i)).map(|&mark| one(mark)).collect());
        let found = found.into_iter().flatten().collect();
        Self { found }
    }

    /// No places: nothing was searched.
    pub(super) fn none() -> Self {
        Self { found: Vec::new() }
    }

    /// The nearest place to which a mark can go: there all of its pictures work, or, with a kind, all faults of
    /// that kind are gone and no other comes; it keeps its clearances in every cue.
    pub(super) fn of(&self, mark: MarkId, kind: Option<FindingId>) -> Option<StagePoint> {
        let place = |kind| self.found.iter().find(|p| (p.0, p.1) == (mark, kind)).and_then(|p| p.2);
        place(None).or_else(|| place(kind))
    }
}

/// True when there is a place near where all of a mark's pictures work.
pub(super) fn has_better(looks: &Looks<'_, '_>, mark: MarkId) -> bool {
    let search = Search::new(looks.board, looks.book, looks.judged, looks.before, mark);
    let from = looks.book.show.marks.get(mark.index()).map(|m| m.at);
    from.is_some_and(|from| search.clear(from).any(|p| search.works_at(p, None)))
}

/// One mark's search.
struct Search<'b, 's> {
    board: &'b Board<'b>,
    book: &'b Book<'s>,
    before: &'b [Fault],
    mark: MarkId,
    /// Its pairs, those with faults first: they are the likeliest to fail elsewhere, too.
    was: Vec<&'b Judged>,
}

impl<'b, 's> Search<'b, 's> {
    fn new(board: &'b Board<'b>, book: &'b Book<'s>, judged: &'b [Judged], before: &'b [Fault], mark: MarkId) -> Self {
        let mut was: Vec<&Judged> = judged.iter().filter(|j| j.pair.mark == mark).collect();
        was.sort_by_key(|j| !before.iter().any(|f| f.pair == j.pair));
        Self { board, book, before, mark, was }
    }

    /// Places near by, the nearest first, where the mark keeps its clearances.
    fn clear(&self, from: StagePoint) -> impl Iterator<Item = StagePoint> {
        let room = Room::of(self.board, self.mark);
        fan(from, RINGS, 0.05, DIRECTIONS).filter(move |&p| room.is_clear(p))
    }

    /// A place without any fault, or else one for each kind of fault.
    fn places(&self) -> Vec<Place> {
        let Some(from) = self.book.show.marks.get(self.mark.index()).map(|m| m.at) else { return Vec::new() };
        let clear: Vec<StagePoint> = self.clear(from).collect();
        let nearest = |kind| clear.iter().copied().find(|&p| self.works_at(p, kind));
        let best = nearest(None);
        let mut found = vec![(self.mark, None, best)];
        if best.is_none() {
            let mut kinds: Vec<FindingId> =
                self.before.iter().filter(|f| f.pair.mark == self.mark).map(|f| f.kind.id()).collect();
            kinds.sort_unstable();
            kinds.dedup();
            // With one kind of fault, none of it is the same as none at all.
            found.extend(
                kinds.iter().filter(|_| kinds.len() > 1).map(|&kind| (self.mark, Some(kind), nearest(Some(kind)))),
            );
        }
        found
    }

    fn works_at(&self, p: StagePoint, kind: Option<FindingId>) -> bool {
        // A search that nobody waits for ends with the first place.
        self.board.is_stopped()
            || self.was.iter().all(|was| {
                let Some(body) = self.book.body_at(was.pair.person, p) else { return false };
                let pair = Pair { body, ..was.pair };
                let state = state(&self.book.album, &pair);
                let cut = || {
                    let framed = framed(&self.book.album, &pair);
                    cut_fault(self.book.show, &pair, &Verdict { framed, ..Verdict::default() }).filter(counts)
                };
                let is_cut = matches!(state, Some(Framing::Cut(_)));
                keeps(&was.verdict, state)
                    && !(is_cut && cut().is_some_and(|fault| self.matters(&pair, fault.kind.id(), kind)))
                    && holds(&self.book.album, &pair, |id| self.matters(&pair, id, kind))
            })
    }

    /// True for kinds of fault that a place must not have: with no kind all, else that one and all that are new.
    fn matters(&self, pair: &Pair, id: FindingId, kind: Option<FindingId>) -> bool {
        let key = (pair.cue, pair.person, pair.shot, id);
        let is_old = |b: &Fault| (b.pair.cue, b.pair.person, b.pair.shot, b.kind.id()) == key;
        kind.is_none_or(|kind| kind == id || !self.before.iter().any(is_old))
    }
}
