//! One box's part in the crew.

use heapless::Vec;

use super::ask::{ASKS, Ask, Asks, is_after};
use super::beat::{Beat, BeatError};
use super::changes::{CHANGES_TOLD, Change, Changes};
use super::duty::{Duty, SILENCE, Turn};
use super::mates::Mates;
use super::off::OffTag;
use super::roster::Roster;
use super::seat::Seat;
use crate::engine::{Fault, Shared};
use crate::units::{Duration, Instant};

/// Time between beats. Four of them fit into the silence that makes another box take over: where one in a hundred is
/// lost, that happens for no reason once in a hundred million beats.
const EVERY: Duration = Duration::from_millis(50);
/// Times between the beats that tell of a change, so that one lost datagram delays nothing.
const AT_ONCE: [Duration; 3] = [Duration::from_millis(10), Duration::from_millis(20), Duration::from_millis(20)];
/// A box that was not heard for this long is said to be lost.
const LOST: Duration = Duration::from_millis(500);
/// A desk is said to talk to this box for so long after each of its words: a few beats, so that none matters alone.
const DESK: Duration = Duration::from_millis(250);
/// A box that does not fit is spoken of this long after it was heard.
const MISFIT: Duration = Duration::from_millis(2_000);

/// Why a box that was heard has no part in the show.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Misfit {
    /// It has another show, or another version of it.
    OtherShow(Seat),
    /// It speaks another version of the crew's message.
    OtherVersion(u8),
    /// It says to be this very box.
    SameSeat,
}

/// What a beat asks of the box.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct News {
    /// A desk talks to the other box.
    pub desk: bool,
    /// Somebody asked for OFF: obey it, whoever is in charge.
    pub off: bool,
    /// The state of the show, of the box in charge; for this moment.
    pub adopt: Option<Shared>,
    /// Asks that this box, being in charge, has to decide on, in this order.
    pub asks: Vec<Ask, ASKS>,
    /// What people changed on the set, and this box does not know yet.
    pub changes: Vec<Change, CHANGES_TOLD>,
}

/// One box's part in the crew.
#[derive(Debug)]
pub struct Crew {
    seat: Seat,
    pack: Option<u32>,
    roster: Roster,
    decides: Duty,
    drives: Duty,
    mates: Mates,
    asks: Asks,
    changes: Changes,
    off: OffTag,
    stop: bool,
    /// When a desk talked to this box.
    desk: Option<Instant>,
    sequence: u32,
    said: Shared,
    due: Instant,
    /// Beats that are still to come at once.
    hurry: usize,
    /// When this box began to listen.
    began: Instant,
    misfit: Option<(Misfit, Instant)>,
}

impl Crew {
    /// A box without a show.
    pub const fn new(seat: Seat) -> Self {
        Self {
            seat,
            pack: None,
            roster: Roster::EMPTY,
            decides: Duty::alone(seat),
            drives: Duty::alone(seat),
            mates: Mates::none(),
            asks: Asks::none(),
            changes: Changes::none(),
            // The same for all: an OFF that nobody asked for is newer than no other.
            off: OffTag { count: 0, seat: Seat { controller: 0, backup: false } },
            stop: false,
            desk: None,
            sequence: 0,
            said: Shared::POWER_UP,
            due: Instant::ZERO,
            hurry: 0,
            began: Instant::ZERO,
            misfit: None,
        }
    }

    /// Begins anew with a show, or without one: the box knows nobody and listens first.
    pub fn begin(&mut self, seat: Seat, show: Option<(u32, Roster)>, now: Instant) {
        let sequence = self.sequence;
        let (pack, roster) = show.map_or((None, Roster::EMPTY), |(pack, roster)| (Some(pack), roster));
        *self = Self { pack, roster, sequence, due: now, began: now, ..Self::new(seat) };
        if pack.is_some() && !self.roster.is_alone(seat) {
            self.decides = Duty::open(seat, now);
        }
        if pack.is_some() && self.roster.partner(seat).is_some() {
            self.drives = Duty::open(seat, now);
        }
    }

    /// True when this is another box, or has another show, than it began with.
    pub fn has_to_begin(&self, seat: Seat, pack: Option<u32>) -> bool {
        (self.seat, self.pack) != (seat, pack)
    }

    /// True while this box decides for the crew, and its engine's state is the show's.
    pub const fn decides(&self) -> bool {
        self.decides.stand().in_charge
    }

    /// True while this box puts the rows of its controller out.
    pub const fn drives(&self) -> bool {
        self.drives.stand().in_charge
    }

    /// True when the show has another box for the same controller.
    pub fn has_partner(&self) -> bool {
        self.roster.partner(self.seat).is_some()
    }

    /// The box in charge, as far as this one knows.
    pub fn in_charge(&self) -> Option<Seat> {
        if self.decides() { Some(self.seat) } else { self.decides.holder() }
    }

    /// The stop contact of this box asks for darkness, or not. True when that is new.
    pub fn stop(&mut self, down: bool, now: Instant) -> bool {
        let is_new = self.stop != down;
        if is_new {
            self.stop = down;
            self.haste(now);
        }
        is_new
    }

    /// A desk talks to this box: the others have to know that it is there.
    pub const fn heard_desk(&mut self, now: Instant) {
        self.desk = Some(now);
    }

    /// True while the stop contact of this box or of another one asks for darkness.
    pub fn is_stopped(&self, now: Instant) -> bool {
        self.stop || self.mates.within(LOST, now).any(|mate| mate.stop)
    }

    /// OFF was asked for at this box: all have to know.
    pub fn off(&mut self, now: Instant) {
        self.off = self.off.next(self.seat);
        self.haste(now);
    }

    /// Something is so at this box since people changed it: all have to know.
    pub fn changed(&mut self, change: Change, now: Instant) {
        if self.changes.note(change) {
            self.haste(now);
        }
    }

    /// Everything on the set is as stored again at this box; what other boxes know of it they will say.
    pub fn forget_changes(&mut self) {
        self.changes = Changes::none();
    }

    /// Asks the box in charge; false when too much is asked already.
    pub fn ask(&mut self, ask: Ask, now: Instant) -> bool {
        let taken = self.asks.push(ask, now);
        self.haste(now);
        taken
    }

    /// True while something that was asked is not decided.
    pub fn is_asking(&self) -> bool {
        !self.asks.is_empty()
    }

    /// What was asked at this box and is now this box's own to decide, oldest first.
    pub fn take_ask(&mut self) -> Option<Ask> {
        if self.decides() { self.asks.take() } else { None }
    }

    /// Takes what came by the network at `now`.
    ///
    /// # Errors
    /// [`BeatError`] for bytes that are no beat.
    pub fn hear(&mut self, bytes: &[u8], now: Instant) -> Result<News, BeatError> {
        let beat = Beat::read(bytes).inspect_err(|error| {
            if let BeatError::Version(version) = error {
                self.misfit = Some((Misfit::OtherVersion(*version), now));
            }
        })?;
        if beat.seat == self.seat {
            self.hear_own_seat(&beat, now);
            return Ok(News::default());
        }
        if self.pack != Some(beat.pack) {
            self.misfit = Some((Misfit::OtherShow(beat.seat), now));
            return Ok(News::default());
        }
        Ok(self.hear_mate(&beat, now))
    }

    /// A network may bring a box its own words back. Words it has not said yet are somebody else's.
    fn hear_own_seat(&mut self, beat: &Beat, now: Instant) {
        let is_own = self.sequence.wrapping_sub(beat.sequence) < u32::MAX / 2 && Some(beat.pack) == self.pack;
        if !is_own {
            self.misfit = Some((Misfit::SameSeat, now));
        }
    }

    fn hear_mate(&mut self, beat: &Beat, now: Instant) -> News {
        let Some(mate) = self.mates.hear(beat, now) else { return News::default() };
        let mut news = News { desk: beat.desk, ..News::default() };
        news.changes.extend(beat.changes.iter().filter(|word| self.changes.hear(**word)).map(|word| word.change));
        let settled = mate.settled;
        let turn = self.decides.hear(beat.seat, beat.decides, now);
        if self.roster.partner(self.seat) == Some(beat.seat) {
            self.drives.hear(beat.seat, beat.drives, now);
        }
        news.off = self.hear_off(beat, turn, now);
        match turn {
            Turn::Follow | Turn::Yield => self.follow(beat, &mut news),
            Turn::Apart if self.decides() => news.asks = self.unsettled(beat, settled),
            Turn::Apart => {}
        }
        news
    }

    /// True when this box has to go OFF for what another one says.
    fn hear_off(&mut self, beat: &Beat, turn: Turn, now: Instant) -> bool {
        let (is_off, we_are_off) = (!beat.state.running, !self.said.running);
        // After a split two boxes were in charge: the OFF of either stands, unless the other knows that very one and
        // has left it.
        let split = turn == Turn::Yield || (beat.decides.in_charge && self.decides());
        let dark = if is_off { beat.off } else { self.off };
        // An OFF with count 0 was asked by nobody: it is that of a box that has just got power.
        if split && is_off != we_are_off && self.off != beat.off && dark.count > 0 {
            self.off = self.off.max(beat.off).next(self.seat);
            self.haste(now);
            return true;
        }
        if beat.off <= self.off {
            return false;
        }
        if is_off {
            self.off = beat.off;
            self.haste(now);
        }
        is_off
    }

    fn follow(&mut self, beat: &Beat, news: &mut News) {
        self.mates.learn(&beat.settled);
        for (_, number) in beat.settled.iter().filter(|(seat, _)| *seat == self.seat) {
            self.asks.settle(*number);
        }
        // A light that does not know of an OFF that this box knows is no light.
        if beat.off >= self.off || !beat.state.running {
            self.off = self.off.max(beat.off);
            self.said = beat.state;
            news.adopt = Some(beat.state);
        }
    }

    fn unsettled(&mut self, beat: &Beat, settled: u16) -> Vec<Ask, ASKS> {
        let first = beat.asked.wrapping_sub(beat.asks.len() as u16);
        let numbered = (1..).map(|i: u16| first.wrapping_add(i)).zip(&beat.asks);
        let asks = numbered.filter(|(number, _)| is_after(*number, settled)).map(|(_, ask)| *ask).collect();
        if let Some(mate) = self.mates.get_mut(beat.seat) {
            mate.settled = if is_after(beat.asked, settled) { beat.asked } else { settled };
        }
        asks
    }

    /// Lets time pass; `state` is the engine's at `now`. What the box in charge has changed is told at once.
    pub fn pass(&mut self, state: Shared, now: Instant) {
        self.asks.pass(now);
        let others = self.mates.within(SILENCE, now).map(|mate| (mate.seat, mate.decides));
        let decides = self.decides.pass(others, now);
        let partner = self.roster.partner(self.seat);
        let partners = self.mates.within(SILENCE, now).filter(|mate| Some(mate.seat) == partner);
        let drives = self.drives.pass(partners.map(|mate| (mate.seat, mate.drives)), now);
        let changed = !self.said.is_same(&state);
        self.said = state;
        let told = changed && self.decides();
        if told {
            self.decides.changed();
            self.drives.changed();
        }
        if told || decides || drives {
            self.haste(now);
        }
    }

    fn haste(&mut self, now: Instant) {
        (self.due, self.hurry) = (now, AT_ONCE.len());
    }

    /// The beat that is due at `now`, if one is; `state` is the engine's.
    pub fn beat(&mut self, state: Shared, now: Instant) -> Option<Beat> {
        let pack = self.pack.filter(|_| now >= self.due && !self.roster.is_alone(self.seat))?;
        let wait = AT_ONCE.len().checked_sub(self.hurry).and_then(|i| AT_ONCE.get(i));
        self.due = now.after(*wait.unwrap_or(&EVERY));
        self.hurry = self.hurry.saturating_sub(1);
        self.sequence = self.sequence.wrapping_add(1);
        Some(Beat {
            seat: self.seat,
            pack,
            sequence: self.sequence,
            decides: self.decides.stand(),
            drives: self.drives.stand(),
            off: self.off,
            stop: self.stop,
            desk: self.desk.is_some_and(|at| now.since(at) < DESK),
            state,
            asked: self.asks.newest(),
            asks: self.asks.waiting().collect(),
            changes: self.changes.tell(),
            settled: if self.decides() { self.mates.settled() } else { Vec::new() },
        })
    }

    /// What is wrong among the boxes at `now`.
    pub fn faults(&self, now: Instant) -> [(Fault, bool); 3] {
        let partner = self.roster.partner(self.seat);
        let lost = |is_there: bool| !is_there && now.since(self.began) >= LOST;
        let partner_lost = partner.is_some_and(|seat| lost(self.heard(now).any(|s| s == seat)));
        [
            (Fault::Partner, partner_lost),
            (Fault::Controller, self.lost_controller(now).is_some()),
            (Fault::Misfit, self.misfit(now).is_some()),
        ]
    }

    /// The first controller of the floor, beside this one's, that no box was heard of.
    pub fn lost_controller(&self, now: Instant) -> Option<u8> {
        let is_late = now.since(self.began) >= LOST;
        self.roster.others(self.seat).find(|number| is_late && !self.heard(now).any(|s| s.controller == *number))
    }

    /// A box that was heard lately and does not fit.
    pub fn misfit(&self, now: Instant) -> Option<Misfit> {
        self.misfit.filter(|(_, heard)| now.since(*heard) < MISFIT).map(|(misfit, _)| misfit)
    }

    fn heard(&self, now: Instant) -> impl Iterator<Item = Seat> {
        self.mates.within(LOST, now).map(|mate| mate.seat)
    }
}
