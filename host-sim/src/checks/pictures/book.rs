//! Every pair of a show with its verdict, and what a changed show would give instead.

use underfoot_core::cameras::Body;
use underfoot_core::cameras::framing::Framing;
use underfoot_core::geom::StagePoint;
use underfoot_core::show::{PersonId, Show};

use super::super::alternate::alternately;
use super::super::cast::cast;
use super::super::watch::Phase;
use super::album::Album;
use super::fault::{Fault, faults};
use super::pair::{Pair, arrivals, pairs};
use super::verdict::{Verdict, judge};
use crate::findings::Severity;

/// A pair with what was found.
#[derive(Clone, Debug)]
pub(super) struct Judged {
    /// Who in which picture.
    pub(super) pair: Pair,
    /// The worst of each kind.
    pub(super) verdict: Verdict,
}

/// A show's pictures, its pairs, and the fastest pace that may be asked of anybody.
#[derive(Debug)]
pub(super) struct Book<'s> {
    /// The show.
    pub(super) show: &'s Show,
    /// Views and moments.
    pub(super) album: Album<'s>,
    /// Who is looked at where in the intended shots.
    pub(super) pairs: Vec<Pair>,
    /// The same in the other shots.
    pub(super) others: Vec<Pair>,
}

impl<'s> Book<'s> {
    /// Makes a show ready.
    pub(super) fn open(show: &'s Show, fastest_mps: f32) -> Self {
        let (pairs, others): (Vec<Pair>, _) =
            pairs(show, &cast(show), fastest_mps).into_iter().partition(|p| p.intended);
        let album = Album::new(show, &arrivals(show, &pairs));
        Self { show, album, pairs, others }
    }

    /// Judges pairs, on two threads.
    pub(super) fn judge(&self, pairs: &[Pair], phase: &Phase<'_>) -> Vec<Judged> {
        let one = |pair: &Pair| {
            let verdict = judge(&self.album, pair);
            phase.step();
            Judged { pair: *pair, verdict }
        };
        alternately(pairs.len(), |mine| mine.filter_map(|i| pairs.get(i)).map(one).collect())
    }

    /// What is wrong or worth a note with a pair.
    pub(super) fn faults(&self, judged: &Judged) -> Vec<Fault> {
        faults(self.show, &judged.pair, &judged.verdict)
    }

    /// A person at a place.
    pub(super) fn body_at(&self, person: PersonId, at: StagePoint) -> Option<Body> {
        let class = self.show.classes.get(self.show.people.get(person.index())?.class.index())?;
        Some(Body::of(self.show, class, at))
    }
}

/// True when a shot that was about a person still is, and holds them if it did.
pub(super) fn keeps(was: &Verdict, is: Option<Framing>) -> bool {
    match was.state() {
        Some(Framing::Framed) => is == Some(Framing::Framed),
        Some(Framing::Cut(_)) => matches!(is, Some(Framing::Cut(_) | Framing::Framed)),
        _ => true,
    }
}

/// True for a fault that has to be put right.
pub(super) fn counts(fault: &Fault) -> bool {
    fault.severity != Severity::Note
}
