//! The run itself: time goes on a millisecond a poll, and everybody does what they have to.

use underfoot_core::device::{Device, Memory, Ports, Post, Setup};
use underfoot_core::link::desk::Patience;
use underfoot_core::link::{Answer, Desk, Request, Versions};
use underfoot_core::ports::Levels;
use underfoot_core::show::Show;
use underfoot_core::store::Store;
use underfoot_core::units::{Duration, Instant};
use underfoot_sim::sim::{MemoryFlash, NoLink, PACK_FLASH};

use super::acts::Operator;
use super::harm::Harm;
use super::latency::Latency;
use super::model::Model;
use super::ports::{Front, Soaked, Wire};
use super::rows::Floor;
use super::senders::{Client, GRAPHICS, Lighting, Pan, SENSING, TRACKING};
use super::stage;
use super::tally::Hour;
use crate::device::shows::packed;
use crate::rules::Event;

/// What is run.
#[derive(Clone, Copy, Debug)]
pub struct Course {
    /// The box's clock at power-up.
    pub from: Instant,
    /// Parts of the run that each give a row.
    pub hours: usize,
    /// How long each lasts.
    pub hour: Duration,
    /// Equal seeds do the same.
    pub seed: u64,
}

/// Runs a course, and hands out every hour as it ends.
///
/// # Errors
/// When the box does not do what the rules say.
pub fn run(course: &Course, each: &mut dyn FnMut(&Hour)) -> Result<Vec<Hour>, String> {
    let mut room = (Box::new(Memory::new()), Box::new(Post::new()));
    let mut soak = Soak::new((&mut room.0, &mut room.1), course);
    soak.greet()?;
    let mut hours = Vec::with_capacity(course.hours);
    for i in 1..=course.hours {
        let hour = soak.hour(course.hour).map_err(|why| format!("hour {i}: {why}"))?;
        each(&hour);
        hours.push(hour);
    }
    Ok(hours)
}

/// A box, and everybody around it.
pub(super) struct Soak<'m> {
    pub(super) device: Device<'m, Soaked>,
    pub(super) wire: Wire,
    pub(super) front: Front,
    pub(super) floor: Floor,
    pub(super) now: Instant,
    pub(super) harm: Harm,
    pub(super) pans: Vec<Pan>,
    /// Tracking, graphics, people sensing.
    pub(super) senders: [Client; 3],
    pub(super) lighting: Lighting,
    pub(super) desk: Desk,
    /// What the desk asked means this, once it has come whole.
    pub(super) meant: Option<Event>,
    pub(super) operator: Operator,
    pub(super) model: Model,
    /// The on-air light as it settled.
    pub(super) lit: bool,
    /// What the desk was answered.
    pub(super) answer: Option<Answer>,
    pub(super) levels: Levels,
    pub(super) slots: [u8; 10],
    /// The lighting desk presses GO to this cue, and so many of the packets that do have come.
    pub(super) pressing: Option<(usize, u32)>,
    /// When levels came last that the lighting desk did not mean.
    pub(super) strange: Option<Instant>,
    pub(super) latency: Latency,
    pub(super) told: Hour,
}

impl<'m> Soak<'m> {
    fn new(room: (&'m mut Memory, &'m mut Post), course: &Course) -> Self {
        let show = stage::show();
        let (wire, front, floor) = (Wire::new(), Front::default(), Floor::default());
        let device = powered(room, &show, (&wire, &front, &floor));
        Self {
            device,
            wire,
            front,
            floor,
            now: course.from,
            harm: Harm::new(course.seed),
            pans: Pan::all(&show),
            senders: [TRACKING, GRAPHICS, SENSING].map(Client::new),
            lighting: Lighting::new(show.control.slots_universe),
            desk: Desk::with_patience(0, Patience::DATAGRAMS),
            operator: Operator::new(course.seed ^ 0xAC7, course.from.after(Duration::from_millis(500))),
            model: Model::new(show),
            levels: Levels { on_air: Some(true), ..Levels::default() },
            lit: true,
            latency: Latency::new(),
            meant: None,
            answer: None,
            slots: [0; 10],
            pressing: None,
            strange: None,
            told: Hour::default(),
        }
    }

    /// Everybody says hello, over a good line.
    fn greet(&mut self) -> Result<(), String> {
        self.harm.is_resting = true;
        let _ = self.model.enter(self.now, Event::Light(true));
        self.front.set(self.levels);
        for sender in &mut self.senders {
            self.wire.push(sender.hello());
        }
        let hello = self.ask(Request::Hello(Versions::OURS))?;
        self.harm.is_resting = false;
        if hello == Answer::Hello(Versions::OURS) { Ok(()) } else { Err(format!("{hello:?}")) }
    }
}

/// A box that gets power with the show in its flash.
fn powered<'m>(
    room: (&'m mut Memory, &'m mut Post),
    show: &Show,
    (wire, front, floor): (&Wire, &Front, &Floor),
) -> Device<'m, Soaked> {
    let mut store = Store::open(MemoryFlash::new(PACK_FLASH)).expect("flash with two slots");
    store.save(&packed(show)).expect("a pack that fits");
    let (net, rows, panel) = (wire.clone(), floor.clone(), front.clone());
    let ports = Ports { link: NoLink, net, flash: store.into_flash(), rows, panel };
    Device::new(room, Setup::FIRST, ports).expect("flash with two slots")
}
