//! People in pictures: for every cue, everybody on a mark and every intended shot.
//!
//! [`pair`] says who is looked at where; [`album`] holds views and moments; [`verdict`] judges one pair over all of
//! them; [`fault`] tells what breaks a limit; a [`change`] is tried by [`trial`] with the same judgement.

mod air;
mod album;
mod backing;
mod book;
mod change;
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
mod trial;
mod verdict;
mod walls;
mod zone;

use super::Watch;
use super::board::Board;
use crate::findings::Report;

use book::Book;
use desk::Desk;
use trial::Trials;

/// Looks at every picture, and reports.
pub(super) fn check(board: &Board<'_>, report: &mut Report, watch: &Watch<'_>) {
    let fastest_mps = board.project.limits.pace_mps;
    let book = Book::open(board.show(), fastest_mps);
    let judged = book.judge(&book.pairs, &|| watch.step());
    let desk = Desk { board, trials: Trials::new(board, &book, &judged, fastest_mps) };
    let mut about = 0;
    for one in &judged {
        let faults = book.faults(one);
        framed::report(&desk, report, one, &faults);
        if one.verdict.is_about() {
            about += 1;
            depth::report(&desk, report, one, &faults);
            backing::report(&desk, report, one, &faults);
        }
    }
    let others = book.judge(&book.others, &|| watch.step());
    elsewhere::report(&desk, report, &others);
    framed::unseen(&desk, report);
    lens::report(&desk, report);
    zone::report(&desk, report);
    air::report(&desk, report);
    jib::report(&desk, report);
    report.checked.push(format!(
        "{} pairs of a person on a mark and an intended shot, {about} of them about that person",
        judged.len()
    ));
}
