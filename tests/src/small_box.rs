//! A whole box over ports in memory, in simulated time, with a desk at the other end of its line.

use std::cell::RefCell;
use std::collections::VecDeque;
use std::convert::Infallible;
use std::rc::Rc;

use underfoot_core::device::{Device, Hardware, Memory, Ports, Post, Setup};
use underfoot_core::link::{Answer, Decoder, Desk, DeskStep, Outlook, Report, Request, Versions};
use underfoot_core::ports::{LinkPort, Nowhere};
use underfoot_core::units::{Duration, Instant};
use underfoot_sim::sim::{Cable, Mood, Network, Rates, Watched, Weather};

use crate::cut_flash::CutFlash;

/// The box's end of the line.
#[derive(Clone, Debug, Default)]
pub struct Pipe {
    /// Bytes that have arrived at the box.
    pub incoming: Rc<RefCell<VecDeque<u8>>>,
    /// Bytes that the box has sent.
    pub outgoing: Rc<RefCell<VecDeque<u8>>>,
}

impl LinkPort for Pipe {
    type Error = Infallible;

    fn read(&mut self, bytes: &mut [u8]) -> Result<usize, Infallible> {
        let mut queue = self.incoming.borrow_mut();
        let len = queue.len().min(bytes.len());
        bytes.iter_mut().zip(queue.drain(..len)).for_each(|(to, from)| *to = from);
        Ok(len)
    }

    fn write(&mut self, bytes: &[u8]) -> Result<usize, Infallible> {
        self.outgoing.borrow_mut().extend(bytes);
        Ok(bytes.len())
    }
}

/// The ports' kinds.
#[derive(Debug)]
pub struct Small;

impl Hardware for Small {
    type Link = Pipe;
    type Net = Cable;
    type Flash = CutFlash;
    type Rows = Nowhere;
    type Panel = Watched;
}

/// What a box works in; lent to one power-up after the other.
#[derive(Debug)]
pub struct Room(Box<Memory>, Box<Post>);

impl Default for Room {
    fn default() -> Self {
        Self(Box::new(Memory::new()), Box::new(Post::new()))
    }
}

/// A box that has power, its line, and a desk.
pub struct SmallBox<'m> {
    device: Device<'m, Small>,
    pipe: Pipe,
    /// Its panel.
    pub panel: Watched,
    desk: Desk,
    decoder: Decoder,
    /// What happens to bytes on their way to the box, and back.
    pub moods: [Mood; 2],
    /// Simulated time.
    pub now: Instant,
    /// How far time goes on from one poll to the next.
    pub step: Duration,
}

impl<'m> SmallBox<'m> {
    /// A box gets power.
    ///
    /// # Panics
    /// When its flash cannot be used.
    pub fn power_up(room: &'m mut Room, flash: CutFlash) -> Self {
        let (pipe, panel) = (Pipe::default(), Watched::default());
        // Plugged into a network without anybody else.
        let net = Network::new(0, Weather::FINE).plug();
        let ports = Ports { link: pipe.clone(), net, flash, rows: Nowhere, panel: panel.clone() };
        let device = Device::new((&mut room.0, &mut room.1), Setup::FIRST, ports).expect("flash that can be used");
        let clean = |seed| Mood::new(Rates::NONE, seed);
        let mut small = Self {
            device,
            pipe,
            panel,
            desk: Desk::default(),
            decoder: Decoder::new(),
            moods: [clean(0), clean(1)],
            now: Instant::from_millis(1_000),
            step: Duration::from_millis(1),
        };
        small.pass(1);
        small
    }

    /// Lets so many polls pass, and returns the last answer that came.
    pub fn pass(&mut self, polls: u32) -> Option<Answer> {
        let mut answer = None;
        for _ in 0..polls {
            self.now = self.now.after(self.step);
            while let Some(byte) = self.moods[0].take(self.now) {
                self.pipe.incoming.borrow_mut().push_back(byte);
            }
            self.device.poll(self.now);
            let sent: Vec<u8> = self.pipe.outgoing.borrow_mut().drain(..).collect();
            self.moods[1].put(self.now, &sent);
            while let Some(byte) = self.moods[1].take(self.now) {
                if let Some(Ok(frame)) = self.decoder.push(byte) {
                    answer = self.desk.hear(frame).or(answer);
                }
            }
        }
        answer
    }

    /// Asks until an answer comes; `None` when the desk gives up.
    pub fn try_ask(&mut self, request: Request<'_>) -> Option<Answer> {
        assert!(self.desk.ask(&request), "one request at a time");
        loop {
            match self.desk.poll(self.now) {
                DeskStep::Send(bytes) => self.moods[0].put(self.now, bytes),
                DeskStep::Wait => {}
                DeskStep::GiveUp => return None,
            }
            if let Some(answer) = self.pass(1) {
                return Some(answer);
            }
        }
    }

    /// Asks, and needs an answer.
    ///
    /// # Panics
    /// When there is none.
    pub fn ask(&mut self, request: Request<'_>) -> Answer {
        self.try_ask(request).unwrap_or_else(|| panic!("no answer to {request:?}"))
    }

    /// Says hello.
    ///
    /// # Panics
    /// When the versions do not meet.
    pub fn connect(&mut self) {
        assert_eq!(self.ask(Request::Hello(Versions::OURS)), Answer::Hello(Versions::OURS));
    }

    /// Brings a pack into the box's memory, all but its last step.
    ///
    /// # Panics
    /// When a part is refused.
    pub fn bring(&mut self, pack: &[u8]) {
        assert_eq!(self.ask(Request::PackBegin { len: pack.len() as u32 }), Answer::Done);
        for (i, bytes) in pack.chunks(512).enumerate() {
            assert_eq!(self.ask(Request::PackChunk { offset: 512 * i as u32, bytes }), Answer::Done);
        }
    }

    /// How the box is.
    ///
    /// # Panics
    /// When it does not say.
    pub fn report(&mut self) -> Report {
        match self.ask(Request::Report) {
            Answer::Report(report) => report,
            other => panic!("{other:?}"),
        }
    }

    /// What its display says.
    ///
    /// # Panics
    /// When it does not say.
    pub fn outlook(&mut self) -> Outlook {
        match self.ask(Request::Outlook) {
            Answer::Outlook(outlook) => outlook,
            other => panic!("{other:?}"),
        }
    }
}
