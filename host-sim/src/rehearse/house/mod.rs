//! What everybody at the page shares.

mod asks;

use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::thread;
use std::time::{Duration, Instant};

use crate::rehearse::boxes::Boxes;
use crate::rehearse::boxes::attached::{self, Attached};
use crate::rehearse::checking::Checking;
use crate::rehearse::door::{Door, Pace};
use crate::rehearse::draft::{Draft, Revision, holds};
use crate::rehearse::notices::{Kind, Notices};
use crate::rehearse::people::{People, Right};
use crate::rehearse::pictures::Studio;
use crate::rehearse::says::Look;

/// Most browsers at once.
const MOST_BROWSERS: usize = 64;
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

    /// Waits until the figures of a revision are known, if that is soon.
    pub(super) async fn figured(&self, revision: u64) {
        self.checking.figured(revision).await;
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

    /// Looks at what the attached box shows; `None` without one, and for what was not seen yet.
    pub(super) fn attached<T>(&self, look: impl FnOnce(&attached::Shown) -> Option<T>) -> Option<T> {
        lock(&self.attached).as_ref()?.shown(look)
    }

    fn tell_show(&self) {
        let draft = lock(&self.draft);
        self.notices.pin(Kind::Show, &draft.told());
        self.checking.ask(draft.now());
    }
}

/// A thread that died while it held the lock left whole values: each is replaced in one piece.
pub(super) fn lock<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}
