//! When the floor gets a new picture, and how much of it at a time.

use super::hardware::Hardware;
use super::memory::Memory;
use super::picture::{Canvases, Picture};
use super::works::Works;
use crate::look::View;
use crate::ports::{Event, RowPort};
use crate::show::Mode;
use crate::units::{Duration, Instant};

/// No picture of any floor takes so long: what is not whole by then never will be.
pub const PATIENCE: Duration = Duration::from_millis(5_000);
/// Effort of one stretch (see [`crate::paint::Walk::go`]): what OFF may wait for. Counted, a unit is up to 3.7
/// instructions, so a stretch is less than 5 ms at 168 MHz, should an instruction take one cycle.
pub const STRETCH: u32 = 170_000;

/// What is on the floor, and what is on its way there.
#[derive(Clone, Default)]
pub(super) struct Painting {
    /// The view of the whole picture on the floor; `None` when it has to be painted anew whatever it is.
    shown: Option<View>,
    /// The view of the last whole picture that gave rows, whatever is in work now.
    whole: Option<View>,
    /// The picture in work; its scene and walk rest in the painter's memory.
    work: Option<Picture>,
    /// The picture in work took the place of one that showed what it should not: it is not dropped for the same reason.
    hurried: bool,
    /// Since when a picture has been in work and none was whole.
    since: Option<Instant>,
}

impl Painting {
    /// The show changed: the picture on the floor belongs to another one.
    pub(super) fn forget(&mut self) {
        *self = Self::default();
    }

    /// True while nothing rests in the scene's and the painter's memory: whoever borrows them then must be out of them
    /// before the next poll paints, or say so with [`Painting::disturbed`].
    pub(super) const fn is_resting(&self) -> bool {
        self.work.is_none()
    }

    /// True while a picture is in work that has no row on the floor yet: it is waited for.
    pub(super) fn is_awaited(&self) -> bool {
        self.work.as_ref().is_some_and(|picture| !picture.has_rows())
    }

    /// True while the picture in work, if there is one, has nothing in the scene's and the painter's memory: who uses
    /// them is done with them before the next stretch.
    pub(super) fn is_between(&self) -> bool {
        self.work.as_ref().is_none_or(Picture::is_between)
    }

    /// Somebody worked in the painter's memory: the picture in work begins anew.
    pub(super) fn disturbed(&mut self) {
        if self.work.take().is_some() {
            self.shown = None;
        }
    }

    /// The view of the last whole picture; `None` before the first one, and since the floor went dark.
    pub(super) const fn whole(&self) -> Option<View> {
        self.whole
    }

    /// False when the picture in work gets nowhere.
    pub(super) fn is_going(&self, now: Instant) -> bool {
        self.since.is_none_or(|since| now.since(since) < PATIENCE)
    }

    /// True when the picture in work, or else the whole one, is of the mode and cue of `view`.
    pub(super) fn shows(&self, view: &View) -> bool {
        let aim = self.work.as_ref().map(Picture::view).or(self.shown.as_ref());
        aim.is_some_and(|aim| !is_cut(aim, view))
    }

    /// Nothing is in work any more: the picture of `view` is whole, or will not be.
    fn end(&mut self, view: View) {
        (self.shown, self.work, self.since) = (Some(view), None, None);
    }

    /// Sees to it that `view` is on its way.
    fn aim_at(&mut self, view: View, controller: u8) -> Aim {
        let before = match &self.work {
            Some(picture) => {
                let (old, hurry) = (*picture.view(), !self.hurried);
                let cut = is_cut(&old, &view);
                if !(cut || hurry && hides(&old, &view)) {
                    return Aim::OnItsWay;
                }
                self.hurried = !cut;
                Some(old)
            }
            None if self.shown == Some(view) => return Aim::Reached,
            None => {
                self.hurried = false;
                self.shown
            }
        };
        self.shown = None;
        self.work = Some(Picture::new(Canvases::RowsOf(controller), view));
        Aim::Begun { cut: before.is_none_or(|old| is_cut(&old, &view)) }
    }
}

/// How far the floor is from a view.
enum Aim {
    /// It shows it.
    Reached,
    /// A picture is in work that may be finished first.
    OnItsWay,
    /// Its picture begins now.
    Begun {
        /// What is on the floor belongs to another mode or cue.
        cut: bool,
    },
}

/// True for a change that somebody made: the new picture begins at once, because the first new row comes sooner so,
/// however near the old picture is to its end. What only moves, flows or fades waits for the end of the picture in
/// work: it changes with every frame, and no picture would ever be whole.
fn is_cut(old: &View, new: &View) -> bool {
    old.mode != new.mode || old.cue != new.cue
}

/// True when something must go from the floor: a camera sees it now. Begins at once too, but not twice without a whole
/// picture in between.
fn hides(old: &View, new: &View) -> bool {
    old.shown.marks & !new.shown.marks != 0 || old.shown.props & !new.shown.props != 0
}

impl<H: Hardware> Works<'_, H> {
    /// Sees to it that what the engine's state shows at `now` is on its way to the floor.
    pub(super) fn aim(&mut self, now: Instant) {
        let view = self.floor_view(now);
        if view.mode == Mode::Off {
            return self.darken(view);
        }
        match self.painting.aim_at(view, self.setup.controller) {
            Aim::Reached => return,
            Aim::Begun { cut: true } => self.counts.picture_crc = 0,
            Aim::Begun { cut: false } | Aim::OnItsWay => {}
        }
        self.painting.since.get_or_insert(now);
    }

    /// Brings the floor one stretch nearer to the picture in work.
    pub(super) fn paint(&mut self) {
        let Some(picture) = &mut self.painting.work else { return };
        self.tapes.displaced();
        let Memory { show, scene, work, .. } = &mut *self.memory;
        match picture.stretch(show, (scene, work.painter()), STRETCH, &mut self.rows) {
            Ok(None) => {}
            Ok(Some(crc)) => {
                let (view, has_rows) = (*picture.view(), picture.has_rows());
                self.painting.end(view);
                self.counts.frames = self.counts.frames.wrapping_add(1);
                if has_rows {
                    (self.counts.picture_crc, self.painting.whole) = (crc, Some(view));
                }
            }
            Err(_) => {
                // Not tried again until the view changes.
                let view = *picture.view();
                self.painting.end(view);
                self.counts.paint_faults = self.counts.paint_faults.wrapping_add(1);
                self.note(Event::PaintFault);
                self.blank();
            }
        }
    }

    /// OFF: whatever was on its way is dropped.
    fn darken(&mut self, view: View) {
        let dark = self.painting.shown.is_some_and(|shown| shown.mode == Mode::Off);
        self.painting = Painting { shown: Some(view), ..Painting::default() };
        if !dark {
            self.blank();
        }
    }

    /// True when the floor shows what it has to at `now`, and no picture is in work.
    pub(super) fn is_at_rest(&self, now: Instant) -> bool {
        self.painting.is_resting() && self.painting.shown == Some(self.floor_view(now))
    }

    fn blank(&mut self) {
        self.counts.picture_crc = 0;
        if self.rows.blank().is_err() {
            self.note(Event::PortFault);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::look::Shown;
    use crate::show::CueId;

    const AIR: View = View::new(Mode::Air, Some(CueId(0)));

    /// A view that only moved.
    fn later(view: View) -> View {
        View { pulse: view.pulse + 1, flow_ms: view.flow_ms + 20, ..view }
    }

    fn seen(marks: u64) -> View {
        View { shown: Shown { marks, props: 0 }, ..AIR }
    }

    fn in_work(painting: &Painting) -> View {
        *painting.work.as_ref().unwrap().view()
    }

    #[test]
    fn a_picture_that_never_gets_whole_is_noticed() {
        let (mut painting, begun) = (Painting::default(), Instant::from_millis(70));
        assert!(painting.is_going(begun));
        painting.aim_at(AIR, 1);
        painting.since = Some(begun);
        painting.aim_at(View::new(Mode::Brief, None), 1);
        assert!(painting.is_going(begun.after(Duration::from_millis(4_999))));
        assert!(!painting.is_going(begun.after(PATIENCE)));
        painting.end(AIR);
        assert!(painting.is_going(begun.after(PATIENCE)));
    }

    #[test]
    fn what_only_moves_waits_for_the_picture_in_work() {
        let mut painting = Painting::default();
        assert!(matches!(painting.aim_at(AIR, 1), Aim::Begun { cut: true }));
        assert!(matches!(painting.aim_at(later(AIR), 1), Aim::OnItsWay));
        assert_eq!(in_work(&painting), AIR);
        painting.end(AIR);
        assert!(matches!(painting.aim_at(AIR, 1), Aim::Reached));
        assert!(matches!(painting.aim_at(later(AIR), 1), Aim::Begun { cut: false }));
        assert_eq!(in_work(&painting), later(AIR));
    }

    #[test]
    fn a_cue_and_a_mode_begin_at_once() {
        let mut painting = Painting::default();
        for (mode, cue) in [(Mode::Air, 0), (Mode::Air, 1), (Mode::Standby, 1), (Mode::Air, 1)] {
            let view = View::new(mode, Some(CueId(cue)));
            assert!(matches!(painting.aim_at(view, 1), Aim::Begun { cut: true }), "{mode:?} {cue}");
            assert_eq!(in_work(&painting), view);
        }
    }

    #[test]
    fn what_must_go_begins_at_once_but_pictures_get_whole() {
        let mut painting = Painting::default();
        painting.aim_at(seen(0b111), 1);
        assert!(matches!(painting.aim_at(seen(0b1111), 1), Aim::OnItsWay), "what comes waits");
        assert!(matches!(painting.aim_at(seen(0b011), 1), Aim::Begun { cut: false }));
        assert!(matches!(painting.aim_at(seen(0b001), 1), Aim::OnItsWay), "not twice in a row");
        painting.end(seen(0b011));
        assert!(matches!(painting.aim_at(seen(0b001), 1), Aim::Begun { cut: false }));
        assert!(matches!(painting.aim_at(seen(0), 1), Aim::Begun { cut: false }), "a whole picture was in between");
    }

    #[test]
    fn a_view_that_comes_back_in_the_middle_is_painted_anew() {
        let mut painting = Painting { shown: Some(AIR), ..Painting::default() };
        painting.aim_at(View::new(Mode::Brief, Some(CueId(0))), 1);
        assert!(matches!(painting.aim_at(AIR, 1), Aim::Begun { cut: true }));
        painting.disturbed();
        assert!(painting.is_resting());
        assert!(matches!(painting.aim_at(AIR, 1), Aim::Begun { .. }));
    }
}
