//! How people get to their marks, and what comes to them meanwhile.
//!
//! [`going`] says who goes where in a cue and when; the other files hold that against time ([`late`]), other people
//! ([`crossing`]), props on their way ([`meets`]) and what stands still ([`past`]).

mod bends;
mod beside;
mod crossing;
mod entry;
mod fixes;
mod going;
mod late;
mod meets;
mod no_way;
mod past;
mod raised;
mod round;
mod when;

use super::board::Board;
use crate::findings::Report;

use going::everybody;
pub(super) use meets::Met;
pub use when::{Step, Whereabouts, all_there_s, whereabouts};

/// Looks at everybody's way in every cue, and reports; gives whom moving props run into.
pub(super) fn check(board: &Board<'_>, report: &mut Report) -> Met {
    let (mut drawn, mut straight, mut pairs, mut met) = (0, 0, 0, Met::new());
    for cue in 0..board.cast.len() {
        let all = everybody(board, cue);
        let (more, hit) = meets::check(board, report, cue, &all);
        pairs += more;
        crossing::check(board, report, &all);
        for going in all.iter().filter(|g| g.walks()) {
            late::check(board, report, going);
            past::check(board, report, going, &hit);
            raised::check(board, report, going);
            if going.stand.line.is_some() {
                entry::check(board, report, going);
                drawn += 1;
            } else {
                straight += 1;
            }
        }
        met.extend(hit);
    }
    past::check_unused(board, report);
    no_way::check(board, report);
    report.checked.push(format!("{pairs} pairs of a person and a prop on its way, in continuous time"));
    report.checked.push(format!(
        "{drawn} drawn and {straight} straight ways: time, people who pass, and room beside props, furniture and edges"
    ));
    met
}
