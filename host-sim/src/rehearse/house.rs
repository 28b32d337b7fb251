//! What everybody at the page shares.

use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::thread;
use std::time::{Duration, Instant};

use serde_json::{Value, json};
use underfoot_core::geom::StagePoint;
use underfoot_core::show::{CueId, PersonId};

use super::boxes::attached::{self, Attached};
use super::boxes::{Boxes, Once, Order};
use super::checking::Checking;
use super::door::{Door, Pace};
use super::draft::{Draft, Revision, holds};
use super::notices::{Kind, Notices};
use super::people::{People, Right};
use super::pictures::Studio;
use super::says::{Ask, Look};

/// Longest remark, characters.
const REMARK_CHARS: usize = 200;
/// Most browsers at once.
const MOST_BROWSERS: usize = 64;
/// Farthest place from the stage's origin that anything may be at, metres.
const FAR_M: f32 = 1000.0;
/// How often somebody looks whether the file was changed by others.
const LOOKS: Duration = Duration::from_secs(1);

/// The rehearsal: one show, one simulated box, everybody who is connected.
#[derive(Debug)]
pub struct House {
    /// Who may come in.
    pub door: Door,
    /// What everybody is told.
    pub notices: Arc<Notices>,
    /// The boxes behind the page.
    pub boxes: Boxes,
    /// Where pictures are made.
    pub studio: Studio,
    people: Mutex<People>,
    draft: Arc<Mutex<Draft>>,
    attached: Mutex<Option<Attached>>,
    look: Mutex<Look>,
    refusals: Mutex<Pace>,
    checking: Arc<Checking>,
}

impl Drop for House {
    fn drop(&mut self) {
        self.checking.close();
    }
}

impl House {
    /// A rehearsal of a show.
    ///
    /// # Errors
    /// When its boxes cannot start.
    pub fn new(door: Door, draft: Draft) -> Result<Self, String> {
        let notices = Arc::<Notices>::default();
        let boxes = Boxes::start(draft.now(), Arc::clone(&notices))?;
        let house = Self {
            door,
            notices,
            boxes,
            studio: Studio::default(),
            people: Mutex::default(),
            draft: Arc::new(Mutex::new(draft)),
            attached: Mutex::default(),
            look: Mutex::new(Look { live: true, speed: 1.0, ..Look::default() }),
            refusals: Mutex::new(Pace::new(40, 10, Instant::now())),
            checking: Arc::default(),
        };
        house.tell_show();
        house.notices.pin(Kind::Look, &*lock(&house.look));
        Ok(house)
    }

    /// Lets the show be checked and its file be watched, for as long as the house stands.
    ///
    /// # Errors
    /// Words about threads that cannot be had.
    pub fn start(self: &Arc<Self>) -> Result<(), String> {
        let wrong = |e: std::io::Error| format!("the page cannot start: {e}");
        Checking::start(self, &self.checking).map_err(wrong)?;
        let house = Arc::downgrade(self);
        let watch = move || {
            while let Some(house) = house.upgrade() {
                house.look_at_file();
                drop(house);
                thread::sleep(LOOKS);
            }
        };
        thread::Builder::new().name("file".into()).spawn(watch).map(|_| ()).map_err(wrong)
    }

    /// Tells everybody when the show's file is not what it was when it was read or kept last.
    pub fn look_at_file(&self) {
        let Some((file, kept)) = lock(&self.draft).on_disk() else { return };
        let is_same = holds(&file, &kept);
        if lock(&self.draft).saw(&kept, !is_same) {
            self.tell_show();
        }
    }

    /// The show as it is now.
    pub fn revision(&self) -> Arc<Revision> {
        lock(&self.draft).now()
    }

    /// True when one more browser may come.
    pub fn has_room(&self) -> bool {
        lock(&self.people).count() < MOST_BROWSERS
    }

    /// True when who comes without a key is still told why; false in a flood of them.
    pub fn may_be_refused(&self, now: Instant) -> bool {
        lock(&self.refusals).take(now)
    }

    /// Somebody comes; the number is theirs until they go.
    pub fn come(&self, right: Right) -> u64 {
        let mut people = lock(&self.people);
        let id = people.come(right);
        self.notices.pin(Kind::House, &*people);
        id
    }

    /// Somebody goes.
    pub fn go(&self, id: u64) {
        let _ = self.among(id, |people| {
            people.go(id);
            Ok(())
        });
    }

    /// Carries out what `id` asks.
    ///
    /// # Errors
    /// Words for the page; nothing was done then.
    pub fn take(&self, id: u64, ask: Ask) -> Result<Value, String> {
        if ask.is_driving() {
            lock(&self.people).must_drive(id)?;
        }
        match ask {
            Ask::Role { role } => self.among(id, |people| people.call(id, &role))?,
            Ask::Drive { take } => self.among(id, |people| people.drive(id, take))?,
            Ask::Point { at } => self.point(id, at)?,
            Ask::Remark { text, at } => self.remark(id, &text, at)?,
            Ask::Look(look) => self.look(look)?,
            Ask::Edit { change } => self.redraft(|draft| draft.change(&change))?,
            Ask::Undo => self.redraft(Draft::undo)?,
            Ask::Redo => self.redraft(Draft::redo)?,
            Ask::Reload => self.redraft(Draft::reload)?,
            Ask::Keep { name } => {
                let path = lock(&self.draft).keep(name.as_deref());
                // Who cannot keep it may just have learnt that the file was changed.
                self.tell_show();
                let path = path?;
                return Ok(json!({ "file": path.display().to_string() }));
            }
            Ask::Key { key, down } => self.boxes.order(Order::Key(key.into(), down)),
            Ask::Mode { mode } => self.boxes.order(Order::Desk(Once::Mode(mode.map(Into::into)))),
            Ask::Begin { cue } => self.boxes.order(Order::Begin(self.cue(cue)?)),
            Ask::Pull(pull) => self.boxes.order(Order::Pull(pull)),
            Ask::Stand { person, at } => self.stand(&person, at)?,
            Ask::Attach { to, orders } => self.attach(&to, orders)?,
            Ask::Detach => self.detach(),
        }
        Ok(Value::Bool(true))
    }

    /// Who no longer drives after it holds no key of the box down, CLEAR least of all.
    fn among(&self, id: u64, change: impl FnOnce(&mut People) -> Result<(), String>) -> Result<(), String> {
        let mut people = lock(&self.people);
        let drove = people.must_drive(id).is_ok();
        change(&mut people)?;
        if drove && people.must_drive(id).is_err() {
            self.boxes.let_keys_go();
        }
        self.notices.pin(Kind::House, &*people);
        Ok(())
    }

    fn redraft(&self, change: impl FnOnce(&mut Draft) -> Result<(), String>) -> Result<(), String> {
        change(&mut lock(&self.draft))?;
        self.boxes.order(Order::Show(self.revision()));
        self.tell_show();
        Ok(())
    }

    fn look(&self, look: Look) -> Result<(), String> {
        look.cue.map(|cue| self.cue(cue)).transpose()?;
        if !(0.0..=86_400.0).contains(&look.t_s) || !(0.05..=20.0).contains(&look.speed) {
            return Err("seconds go from 0 to 86400, speed from 0.05 to 20".into());
        }
        self.notices.pin(Kind::Look, &look);
        *lock(&self.look) = look;
        Ok(())
    }

    /// Looks at a real box from now on; another one is let alone. With `orders` it gets those of the simulated box, too.
    ///
    /// # Errors
    /// Words about its address; the box that was attached stays so.
    pub fn attach(&self, to: &str, orders: bool) -> Result<(), String> {
        let doings = orders.then(|| Arc::clone(self.boxes.doings()));
        let mut attached = lock(&self.attached);
        let new = Attached::start(to, Arc::clone(&self.draft), Arc::clone(&self.notices), doings)?;
        *attached = Some(new);
        Ok(())
    }

    fn detach(&self) {
        *lock(&self.attached) = None;
        self.notices.pin(Kind::Attached, &attached::Told::default());
    }

    /// Looks at what the attached box shows; `None` without one, and for what was not seen yet.
    pub(super) fn attached<T>(&self, look: impl FnOnce(&attached::Shown) -> Option<T>) -> Option<T> {
        lock(&self.attached).as_ref()?.shown(look)
    }

    fn cue(&self, index: u8) -> Result<CueId, String> {
        let cues = self.revision().project.show.cues.len();
        let is_there = usize::from(index) < cues;
        is_there.then_some(CueId(index)).ok_or_else(|| format!("there is no such cue: the show has {cues}"))
    }

    fn stand(&self, person: &str, at: Option<[f32; 2]>) -> Result<(), String> {
        let revision = self.revision();
        let people = &revision.project.show.people;
        let id = people.iter().position(|p| p.name == person);
        let id = id.ok_or_else(|| format!("there is nobody called {person} in the show"))?;
        let at = at.map(place).transpose()?.map(|[x, y]| StagePoint::new(x, y));
        self.boxes.order(Order::Stand(PersonId(id as u8), at));
        Ok(())
    }

    fn point(&self, id: u64, at: [f32; 2]) -> Result<(), String> {
        let at = place(at)?;
        self.notices.say(&json!({ "told": "point", "by": id, "role": lock(&self.people).role(id), "at": at }));
        Ok(())
    }

    fn remark(&self, id: u64, text: &str, at: Option<[f32; 2]>) -> Result<(), String> {
        let (text, at) = (text.trim(), at.map(place).transpose()?);
        if text.is_empty() || text.chars().count() > REMARK_CHARS {
            return Err(format!("a remark has 1 to {REMARK_CHARS} characters"));
        }
        let role = lock(&self.people).role(id).to_owned();
        self.notices.say(&json!({ "told": "remark", "by": id, "role": role, "text": text, "at": at }));
        Ok(())
    }

    fn tell_show(&self) {
        let draft = lock(&self.draft);
        self.notices.pin(Kind::Show, &draft.told());
        self.checking.ask(draft.now());
    }
}

fn place(at: [f32; 2]) -> Result<[f32; 2], String> {
    let near = at.iter().all(|m| m.abs() <= FAR_M);
    near.then_some(at).ok_or_else(|| format!("a place lies within {FAR_M} m of the stage's origin"))
}

/// A thread that died while it held the lock left whole values: each is replaced in one piece.
pub(super) fn lock<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}
