//! The rules of a running order as floor managers know them, written down a second time: small, slow, and without a line
//! of the engine's code or data. It knows no geometry: whoever tells of people says whether one is in the way.
//!
//! Times are microseconds, cues are counted from 0, timecode is counted in frames since midnight.

mod timecode;
mod words;

use timecode::Follower;
pub use words::{Door, Event, Floor, Hand, No, Plan, Step, Word};

const TALLY: usize = 0;
const TRACKING: usize = 1;
const DESK: usize = 2;
const TIMECODE: usize = 3;
const SHOW: usize = 6;
const POWER: usize = 7;
/// Another controller, the other box of the pair, a box that does not fit: nothing that this box shows hangs on them.
const OTHERS: [usize; 3] = [4, 5, 10];
/// Faults in their order.
pub const FAULTS: usize = 11;

/// OFF, or the cue that is on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Phase {
    Off { armed_until: u64, held: bool },
    On,
}

const OFF: Phase = Phase::Off { armed_until: 0, held: false };

/// The floor manager's book.
#[derive(Clone, Debug)]
pub struct Book {
    plan: Plan,
    phase: Phase,
    /// The cue that is on, or that was.
    cue: Option<usize>,
    begun: u64,
    last: Option<u64>,
    asked: Option<(Floor, u64)>,
    /// What the floor does.
    pub floor: Floor,
    /// Who asked for HOLD.
    held_by: Option<Hand>,
    /// Who advanced last.
    pub by: Option<Hand>,
    stop: bool,
    key: bool,
    light: Option<(bool, u64)>,
    desk: Option<u64>,
    people: Option<u64>,
    people_in_cue: bool,
    in_the_way: bool,
    unseen: Option<u64>,
    told: [bool; FAULTS],
    /// What is wrong.
    pub wrong: [bool; FAULTS],
    code: Follower,
}

impl Book {
    /// At power-up.
    pub fn new(plan: Plan) -> Self {
        Self {
            plan,
            phase: OFF,
            cue: None,
            begun: 0,
            last: None,
            asked: None,
            floor: Floor::Dark,
            held_by: None,
            by: None,
            stop: false,
            key: false,
            light: None,
            desk: None,
            people: None,
            people_in_cue: false,
            in_the_way: false,
            unseen: None,
            told: [false; FAULTS],
            wrong: [false; FAULTS],
            code: Follower::default(),
        }
    }

    /// The cue that is on.
    pub fn on(&self) -> Option<usize> {
        self.cue.filter(|_| self.phase == Phase::On)
    }

    /// Where GO leads.
    pub fn next(&self) -> Option<usize> {
        let next = match (self.phase, self.cue) {
            (_, None) => 0,
            (Phase::On, Some(cue)) => cue + 1,
            (Phase::Off { .. }, Some(cue)) => cue,
        };
        Some(next).filter(|&cue| cue < self.plan.steps.len())
    }

    /// Where BACK leads.
    pub fn back(&self) -> Option<usize> {
        self.on()?.checked_sub(1)
    }

    /// HOLD.
    pub fn is_held(&self) -> bool {
        self.held_by.is_some()
    }

    /// The cue that comes back after a power cut.
    pub fn kept(&self) -> Option<usize> {
        self.cue.filter(|_| !matches!(self.phase, Phase::Off { held: false, .. }))
    }

    /// Whether GO leads anywhere at `now`.
    pub fn door(&self, now: u64) -> Door {
        match self.phase {
            Phase::On => Door::Open,
            Phase::Off { .. } if self.stop => Door::Stopped,
            Phase::Off { held: true, .. } => Door::Held,
            Phase::Off { armed_until, .. } if now < armed_until => Door::Armed(armed_until - now),
            Phase::Off { .. } => Door::Shut,
        }
    }

    /// The word to graphics at `now`.
    pub fn word(&self, now: u64) -> Word {
        let seen = self.people.is_some_and(|at| now - at < 500_000);
        if self.phase != Phase::On {
            Word::Unknown
        } else if seen && self.in_the_way {
            Word::NotClear
        } else if if seen { self.people_in_cue } else { self.key } {
            Word::Clear
        } else {
            Word::Unknown
        }
    }

    /// Does what happens at `now`.
    ///
    /// # Errors
    /// Why it is not done.
    pub fn enter(&mut self, now: u64, event: Event) -> Result<(), No> {
        self.pass(now);
        let done = self.obey(now, event);
        self.pass(now);
        done
    }

    fn obey(&mut self, now: u64, event: Event) -> Result<(), No> {
        match event {
            Event::Off | Event::Ask(Some(Floor::Dark)) => self.out(false),
            Event::Go(to, hand) => return self.advance(now, to, self.next(), hand),
            Event::Back(to, hand) => return self.advance(now, to, self.back(), hand),
            Event::Arm => return self.arm(now),
            Event::Ask(floor) => return self.ask(now, floor),
            Event::Hold(on, hand) => return self.hold(on, hand),
            Event::Loaded(held) => self.load(held),
            Event::Stop(on) => self.stop = on,
            Event::Light(lit) => self.light = Some((lit, now)),
            Event::ClearKey(down) => self.key = down,
            Event::Code(frame) => self.code.read(frame, now, self.plan.rate),
            Event::DeskHeard => self.desk = Some(now),
            Event::Unseen => self.unseen = Some(now),
            Event::Broken(which, is_there) => self.told[which] = is_there,
            Event::People(in_the_way) => {
                self.people = Some(now);
                if self.on().is_some() {
                    (self.people_in_cue, self.in_the_way) = (true, in_the_way);
                }
            }
            Event::Pass => {}
        }
        Ok(())
    }

    fn out(&mut self, held: bool) {
        (self.phase, self.asked) = (Phase::Off { armed_until: 0, held }, None);
    }

    fn arm(&mut self, now: u64) -> Result<(), No> {
        if self.plan.steps.is_empty() {
            return Err(No::NoShow);
        }
        if self.stop {
            return Err(No::Stopped);
        }
        if let Phase::Off { held, .. } = self.phase {
            self.phase = Phase::Off { armed_until: now + 10_000_000, held };
        }
        Ok(())
    }

    fn hold(&mut self, on: bool, hand: Hand) -> Result<(), No> {
        match (on, self.held_by) {
            (false, Some(Hand::Keys)) if hand != Hand::Keys => return Err(No::Held),
            (false, _) => self.held_by = None,
            // What the keys hold stays theirs.
            (true, Some(Hand::Keys)) => {}
            (true, _) => self.held_by = Some(hand),
        }
        Ok(())
    }

    fn advance(&mut self, now: u64, to: usize, shown: Option<usize>, hand: Hand) -> Result<(), No> {
        let since_last = self.last.map(|last| now - last);
        if self.plan.steps.is_empty() {
            return Err(No::NoShow);
        }
        if self.on() == Some(to) {
            return Ok(());
        }
        if self.stop {
            return Err(No::Stopped);
        }
        if self.is_held() && hand != Hand::Keys {
            return Err(No::Held);
        }
        if let Some(left) = since_last.and_then(|passed| 400_000_u64.checked_sub(passed)).filter(|&left| left > 0) {
            return Err(No::Lockout(left));
        }
        let deliberate = hand != Hand::Timecode && matches!(self.door(now), Door::Held | Door::Armed(_));
        if self.phase != Phase::On && !deliberate {
            return Err(No::NotArmed);
        }
        if shown != Some(to) {
            return Err(No::NotShown(shown));
        }
        self.begin(now, to, hand);
        Ok(())
    }

    fn begin(&mut self, now: u64, to: usize, hand: Hand) {
        (self.phase, self.cue, self.begun, self.last) = (Phase::On, Some(to), now, Some(now));
        (self.by, self.asked, self.people_in_cue) = (Some(hand), None, false);
    }

    fn ask(&mut self, now: u64, floor: Option<Floor>) -> Result<(), No> {
        if self.plan.steps.is_empty() {
            return Err(No::NoShow);
        }
        if self.stop {
            return Err(No::Stopped);
        }
        let armed = matches!(self.phase, Phase::Off { armed_until, .. } if now < armed_until);
        if self.phase != Phase::On && !armed {
            return Err(No::NotArmed);
        }
        let off_air = match floor {
            None | Some(Floor::Air) => true,
            _ if self.plan.has_light => self.lamp(now) == Some(false),
            floor => floor != Some(Floor::Worklight) || self.floor != Floor::Air,
        };
        if !off_air {
            return Err(No::OnAir);
        }
        if self.phase != Phase::On {
            (self.phase, self.begun, self.people_in_cue) = (Phase::On, now, false);
        }
        self.asked = floor.map(|floor| (floor, now));
        Ok(())
    }

    /// Another show: OFF, and nothing of the old one is left but what the box itself feels.
    fn load(&mut self, held: Option<usize>) {
        let cue = held.filter(|&cue| cue < self.plan.steps.len());
        let old = std::mem::replace(self, Self::new(self.plan.clone()));
        (self.last, self.stop, self.key, self.light) = (old.last, old.stop, old.key, old.light);
        (self.desk, self.told, self.cue) = (old.desk, old.told, cue);
        self.phase = Phase::Off { armed_until: 0, held: cue.is_some() };
    }

    fn lamp(&self, now: u64) -> Option<bool> {
        self.light.filter(|&(_, at)| now - at < 1_000_000).map(|(lit, _)| lit)
    }

    /// What follows by itself.
    fn pass(&mut self, now: u64) {
        if self.stop {
            self.out(false);
        }
        self.follow_timecode(now);
        let new = self.new_faults(now);
        for which in (0..FAULTS).filter(|&i| new[i]) {
            match (self.phase, which) {
                (Phase::On, SHOW) => {
                    self.out(false);
                    self.cue = None;
                }
                (Phase::On, POWER) => self.out(self.cue.is_some()),
                (Phase::On, _) if self.floor == Floor::Reset && !OTHERS.contains(&which) => {
                    self.asked = Some((Floor::Air, now))
                }
                _ => {}
            }
        }
        self.end_reset(now);
        self.floor = self.due_floor(now);
        if self.phase != Phase::On {
            self.people_in_cue = false;
        }
    }

    fn follow_timecode(&mut self, now: u64) {
        let times: Vec<_> = self.plan.steps.iter().map(|step| step.frame).collect();
        let Some(to) = self.code.due(&times, now, self.plan.rate) else { return };
        let lost = self.wrong[TIMECODE] && self.floor != Floor::Reset && self.phase == Phase::On;
        if lost || self.phase != Phase::On || self.is_held() || self.cue == Some(to) {
            self.code.forget_due();
        } else if self.last.is_none_or(|last| now - last >= 400_000) {
            self.code.forget_due();
            self.begin(now, to, Hand::Timecode);
        }
    }

    fn new_faults(&mut self, now: u64) -> [bool; FAULTS] {
        let mut wrong = self.told;
        let silent = |heard: Option<u64>, span: u64| heard.is_none_or(|at| now - at >= span);
        wrong[TALLY] |= self.plan.has_light && self.lamp(now).is_none();
        wrong[TRACKING] |= self.unseen.is_some() && silent(self.unseen, 250_000);
        wrong[DESK] |= self.by == Some(Hand::Desk) && silent(self.desk, 3_000_000);
        wrong[TIMECODE] |= self.plan.steps.iter().any(|s| s.frame.is_some()) && self.code.is_lost(now);
        wrong[POWER] |= matches!(self.phase, Phase::Off { held: true, .. });
        let new = std::array::from_fn(|i| wrong[i] && !self.wrong[i]);
        self.wrong = wrong;
        new
    }

    fn end_reset(&mut self, now: u64) {
        if self.floor != Floor::Reset || self.phase != Phase::On {
            return;
        }
        let from = self.asked.map_or(self.begun, |(_, at)| at);
        let limit = self.cue.map_or(0, |cue| self.plan.steps[cue].limit);
        let late = limit > 0 && now - from >= limit.saturating_sub(5_000_000);
        if late || (self.plan.has_light && self.lamp(now) != Some(false)) {
            self.asked = Some((Floor::Air, now));
        }
    }

    fn due_floor(&mut self, now: u64) -> Floor {
        if self.phase != Phase::On {
            return Floor::Dark;
        }
        let off_air = !self.plan.has_light || self.lamp(now) == Some(false);
        if !off_air && !matches!(self.asked, Some((Floor::Air, _))) {
            self.asked = None;
        }
        let own = self.cue.map_or(Floor::Dark, |cue| self.plan.steps[cue].floor);
        let own = self.asked.map_or(own, |(floor, _)| floor);
        if (!off_air || self.wrong[TALLY]) && own != Floor::Dark { Floor::Air } else { own }
    }
}
