//! People in pictures: for every cue, everybody on a mark and every intended shot.
//!
//! [`pair`] says who is looked at where; [`album`] holds views and moments; [`verdict`] judges one pair over all of
//! them; [`fault`] tells what breaks a limit; a [`Change`](super::change::Change) is tried by [`trial`] with the same
//! judgement.

mod air;
mod album;
mod backing;
mod book;
mod depth;
mod desk;
mod elsewhere;
mod fault;
mod fixes;
mod framed;
mod jib;
mod lens;
mod pair;
mod places;
mod reframe;
mod tight;
mod trial;
mod verdict;
mod walls;
mod zone;

use super::board::Board;
use super::watch::Watch;
use crate::findings::Report;

use book::Book;
use desk::Desk;
use trial::Trials;

/// Looks at every picture, and reports.
pub(super) fn check(board: &Board<'_>, report: &mut Report, watch: Watch<'_>) {
    let fastest_mps = board.project.limits.pace_mps;
    let book = Book::open(board.show(), fastest_mps);
    let phase = watch.phase(0, book.pairs.len() + book.others.len());
    let (judged, others) = (book.judge(&book.pairs, &phase), book.judge(&book.others, &phase));
    let desk = Desk { board, trials: Trials::new(board, &book, &judged, fastest_mps, watch) };
    let about = one_by_one(&desk, report, watch);
    elsewhere::report(&desk, report, &others);
    framed::unseen(&desk, report);
    lens::report(&desk, report);
    zone::report(&desk, report, watch);
    tight::report(&desk, report, watch);
    air::report(&desk, report);
    jib::report(&desk, report);
    let all = judged.len();
    report
        .checked
        .push(format!("{all} pairs of a person on a mark and an intended shot, {about} of them about that person"));
}

/// Reports every pair; gives the number of those whose shot is about the person.
fn one_by_one(desk: &Desk<'_, '_>, report: &mut Report, watch: Watch<'_>) -> usize {
    let phase = watch.phase(2, desk.judged().len());
    for one in desk.judged() {
        let faults = desk.trials.book.faults(one);
        framed::report(desk, report, one, &faults);
        if one.verdict.is_about() {
            depth::report(desk, report, one, &faults);
            backing::report(desk, report, one, &faults);
        }
        phase.step();
    }
    desk.judged().iter().filter(|one| one.verdict.is_about()).count()
}
