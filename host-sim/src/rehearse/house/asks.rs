//! What people ask for, carried out.

use std::sync::Arc;

use serde_json::{Value, json};
use underfoot_core::geom::StagePoint;
use underfoot_core::show::{CueId, PersonId};

use super::{House, lock};
use crate::rehearse::boxes::attached::{self, Attached};
use crate::rehearse::boxes::{Once, Order};
use crate::rehearse::draft::Draft;
use crate::rehearse::notices::Kind;
use crate::rehearse::people::People;
use crate::rehearse::says::{Ask, Look};

/// Longest remark, characters.
const REMARK_CHARS: usize = 200;
/// Farthest place from the stage's origin that anything may be at, metres.
const FAR_M: f32 = 1000.0;

impl House {
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
    pub(super) fn among(&self, id: u64, change: impl FnOnce(&mut People) -> Result<(), String>) -> Result<(), String> {
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
}

fn place(at: [f32; 2]) -> Result<[f32; 2], String> {
    let near = at.iter().all(|m| m.abs() <= FAR_M);
    near.then_some(at).ok_or_else(|| format!("a place lies within {FAR_M} m of the stage's origin"))
}
