//! The thread in which the boxes live, in real time.

use std::collections::BTreeMap;
use std::sync::mpsc::{self, Receiver, Sender};
use std::sync::{Arc, Mutex};
use std::thread;
use std::time::{Duration as Span, Instant as Clock};

use underfoot_core::geom::StagePoint;
use underfoot_core::panel::Face;
use underfoot_core::ports::{Key, Lamp, Levels};
use underfoot_core::show::{CueId, PersonId};
use underfoot_core::units::{Duration, Instant};

use super::desk::Once;
use super::doings::Doings;
use super::fingers::Fingers;
use super::people::Elsewhere;
use super::pulled::{Pull, Pulled};
use super::rig::{Rig, Rooms, setups};
use super::shift::Shift;
use super::told::{self, Entry, Told};
use crate::cli::pack::pack_of;
use crate::rehearse::draft::Revision;
use crate::rehearse::house::lock;
use crate::rehearse::notices::{Kind, Notices};
use crate::render::CanvasPixels;
use crate::sim::wording;

/// Most time that passes for the boxes between two polls: a desk that has no time for them must not look to them like
/// one that says nothing, so that their time stands still instead.
const STEP: Span = Span::from_millis(3);
/// Entries of the log that are told.
const LOG: usize = 40;

/// What the boxes are asked to bear.
#[derive(Clone, Debug)]
pub enum Order {
    /// Another revision of the show: the boxes start anew with it, at the cue that was on the floor.
    Show(Arc<Revision>),
    /// The boxes start anew at a cue, as if power had gone while it was lit.
    Begin(CueId),
    /// A key of the front box goes down or up.
    Key(Key, bool),
    /// Something is pulled out, or put back.
    Pull(Pull),
    /// The desk asks the front box for something.
    Desk(Once),
    /// Somebody stands elsewhere than the plan has them; nowhere for as planned.
    Stand(PersonId, Option<StagePoint>),
}

/// What the boxes show now.
#[derive(Clone, Debug, Default)]
pub(super) struct Shown {
    /// The front box's display.
    pub(super) face: Option<Face>,
    /// Canvases by their index in the show.
    pub(super) canvases: BTreeMap<u8, CanvasPixels>,
}

/// The boxes, as the house has them.
#[derive(Debug)]
pub struct Boxes {
    orders: Sender<Order>,
    shown: Arc<Mutex<Shown>>,
    doings: Arc<Doings>,
}

impl Boxes {
    /// Gives the boxes of a show power. Their thread ends with this value.
    ///
    /// # Errors
    /// When the system gives no thread.
    pub fn start(revision: Arc<Revision>, notices: Arc<Notices>) -> Result<Self, String> {
        let (orders, taken) = mpsc::channel();
        let (shown, doings) = (Arc::<Mutex<Shown>>::default(), Arc::<Doings>::default());
        let theirs = (Arc::clone(&shown), Arc::clone(&doings));
        let thread = thread::Builder::new().name("boxes".into());
        let life = move || Life::new(notices, theirs, taken).live(revision);
        thread.spawn(life).map_err(|e| format!("the boxes cannot start: {e}"))?;
        Ok(Self { orders, shown, doings })
    }

    /// Gives an order; nothing waits for it.
    pub fn order(&self, order: Order) {
        // Without their thread the boxes are dark, which the page shows.
        let _ = self.orders.send(order);
    }

    /// No key of the front box is down any more.
    pub fn let_keys_go(&self) {
        Key::ALL.into_iter().for_each(|key| self.order(Order::Key(key, false)));
    }

    /// What is done at the front box.
    pub const fn doings(&self) -> &Arc<Doings> {
        &self.doings
    }

    /// Looks at what they show now; what is wanted of it is copied, not all of it.
    pub(super) fn shown<T>(&self, look: impl FnOnce(&Shown) -> T) -> T {
        look(&lock(&self.shown))
    }
}

/// What outlives a revision.
pub(super) struct Life {
    pub(super) notices: Arc<Notices>,
    pub(super) shown: Arc<Mutex<Shown>>,
    pub(super) doings: Arc<Doings>,
    pub(super) orders: Receiver<Order>,
    started: Clock,
    /// The boxes' time, and when it last went on.
    time: (Instant, Clock),
    pub(super) levels: Levels,
    pub(super) fingers: Fingers,
    pub(super) pulled: Pulled,
    pub(super) elsewhere: Elsewhere,
    pub(super) log: Vec<Entry>,
    pub(super) face: Option<Face>,
    /// Numbers of the last display and of the last floor.
    pub(super) numbers: (u64, u64),
    pub(super) told_at: Instant,
}

/// The revision that follows, and the cue to begin with.
pub(super) type Next = (Arc<Revision>, Option<CueId>);

/// Nobody needs the boxes any more.
pub(super) struct Over;

impl Life {
    fn new(notices: Arc<Notices>, (shown, doings): (Arc<Mutex<Shown>>, Arc<Doings>), orders: Receiver<Order>) -> Self {
        let pulled = Pulled::default();
        Self {
            notices,
            shown,
            doings,
            orders,
            started: Clock::now(),
            time: (Instant::ZERO, Clock::now()),
            levels: Levels { on_air: pulled.on_air, ..Levels::default() },
            fingers: Fingers::default(),
            pulled,
            elsewhere: Elsewhere::new(),
            log: Vec::new(),
            face: None,
            numbers: (0, 0),
            told_at: Instant::ZERO,
        }
    }

    fn live(mut self, mut revision: Arc<Revision>) {
        let mut resume = None;
        loop {
            let show = &revision.project.show;
            let setups = setups(show);
            let mut rooms = Rooms::new(setups.len());
            let pack = pack_of(show).map(|(pack, _)| pack).unwrap_or_default();
            let lit = resume.filter(|cue: &CueId| cue.index() < show.cues.len());
            let next = match Rig::new(&mut rooms, &setups, (&pack, lit)) {
                Ok(rig) => Shift::new(&mut self, &revision, rig).work(lit),
                Err(words) => self.wait_without(words),
            };
            match next {
                Ok((next, cue)) => (revision, resume) = (next, cue),
                Err(Over) => return,
            }
        }
    }

    /// The boxes' time.
    pub(super) const fn now(&self) -> Instant {
        self.time.0
    }

    /// Lets time go on for the boxes.
    pub(super) fn step(&mut self) -> Instant {
        let real = Clock::now();
        let passed = real.saturating_duration_since(self.time.1).min(STEP);
        self.time = (self.time.0.after(Duration::from_micros(passed.as_micros() as u64)), real);
        self.time.0
    }

    /// The show does not fit the boxes: they are dark until another one comes.
    fn wait_without(&mut self, words: String) -> Result<Next, Over> {
        self.note(words.clone());
        *lock(&self.shown) = Shown::default();
        let told = Told {
            lines: vec![words],
            lamp: wording::lamp(Lamp::Dark),
            pulled: self.pulled.clone(),
            table: told::table(None),
            log: self.log.clone(),
            display: self.numbers.0,
            floor: self.numbers.1,
            ..Told::default()
        };
        self.notices.pin(Kind::Box, &told);
        loop {
            match self.orders.recv() {
                Ok(Order::Show(next)) => return Ok((next, None)),
                Ok(_) => {}
                Err(_) => return Err(Over),
            }
        }
    }

    pub(super) fn note(&mut self, words: String) {
        let t_s = (self.started.elapsed().as_secs_f32() * 10.0).round() / 10.0;
        self.log.push(Entry { t_s, words });
        let old = self.log.len().saturating_sub(LOG);
        self.log.drain(..old);
    }
}
