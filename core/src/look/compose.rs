//! One view of a show becomes the shapes of one scene.

use crate::paint::{Scene, SceneFull};
use crate::show::{Cue, CuePlace, CueProp, Mode, Presence, Show};

use super::hand::Hand;
use super::sheet::Sheet;
use super::sizes::Sizes;
use super::states::MarkState;
use super::things::Things;
use super::view::View;
use super::{ink, orient, scenic, sweeps};

/// Appends what `view` shows of `show` to `scene`, lowest first: edges, props, walk lines, marks, labels.
///
/// The show must have passed [`Show::validate`]. With [`View::canvas`] set, what no block of that canvas can show is
/// left out; the pixels of its blocks are the same with and without it.
///
/// # Errors
/// [`SceneFull`] when the scene has no room; what is in it by then must not be painted.
pub fn compose(show: &Show, view: &View, scene: &mut Scene<'_>) -> Result<(), SceneFull> {
    let scene = &mut Sheet::of(scene, show, view.canvas);
    let hand = Hand { show, view, sizes: Sizes::of(show) };
    let now = view.cue.and_then(|id| show.cues.get(id.index()));
    let next = show.cues.get(view.cue.map_or(0, |id| id.index() + 1));
    match view.mode {
        Mode::Off => Ok(()),
        Mode::Worklight => hand.worklight(scene),
        Mode::Build => hand.build(scene),
        Mode::Brief => hand.brief(scene, now, next),
        Mode::Standby => hand.standby(scene, now),
        Mode::Air => hand.air(scene, now),
        Mode::Reset => hand.reset(scene, next),
    }
}

impl Hand<'_> {
    fn worklight(&self, scene: &mut Sheet<'_, '_>) -> Result<(), SceneFull> {
        scene.begin(ink::worklight(self.view.floor_level));
        scene.polygon(&self.show.floor.vertices)?;
        self.edges(scene)
    }

    fn build(&self, scene: &mut Sheet<'_, '_>) -> Result<(), SceneFull> {
        self.edges(scene)?;
        let level = self.drive(255).rest(Things::LOAD_IN);
        orient::draw(scene, &self.sizes, self.show, &View { level, ..*self.view })
    }

    fn brief(&self, scene: &mut Sheet<'_, '_>, now: Option<&Cue>, next: Option<&Cue>) -> Result<(), SceneFull> {
        let drive = &self.drive(self.show.look.brief_level);
        let (now_props, next_props) = (self.props_of(now), self.props_of(next));
        let (now_places, next_places) = (self.places_of(now), self.places_of(next));
        let fresh_prop = |p: &&CueProp| now_props.iter().all(|q| q.prop != p.prop);
        let fresh_place = |p: &&CuePlace| now_places.iter().all(|q| q.mark != p.mark || q.person != p.person);
        self.edges(scene)?;
        self.numbers(scene, drive)?;
        sweeps::draw(scene, &self.sizes, (self.show, now, None), drive)?;
        sweeps::draw(scene, &self.sizes, (self.show, next, None), drive)?;
        now_props.iter().try_for_each(|p| self.planned(scene, (now, p), p.presence, drive))?;
        next_props
            .iter()
            .filter(fresh_prop)
            .try_for_each(|p| self.planned(scene, (next, p), Presence::Coming, drive))?;
        now_props.iter().try_for_each(|p| self.prop_label(scene, (now, p), drive))?;
        next_props.iter().filter(fresh_prop).try_for_each(|p| self.prop_label(scene, (next, p), drive))?;
        let later = next_places.iter().filter(fresh_place).map(|p| (p, MarkState::Later));
        self.lines(scene, now_places.iter().map(|p| (p, MarkState::Steady)).chain(later), drive)?;
        next_places.iter().filter(fresh_place).try_for_each(|p| self.mark(scene, p, MarkState::Later, drive))?;
        now_places.iter().try_for_each(|p| self.mark(scene, p, MarkState::Steady, drive))?;
        let unnamed = |p: &&CuePlace| now_places.iter().all(|q| q.mark != p.mark);
        self.mark_labels(scene, now_places.iter().chain(next_places.iter().filter(unnamed)), drive)
    }

    fn standby(&self, scene: &mut Sheet<'_, '_>, now: Option<&Cue>) -> Result<(), SceneFull> {
        let drive = &self.drive(self.show.look.brief_level);
        self.edges(scene)?;
        self.numbers(scene, drive)?;
        sweeps::draw(scene, &self.sizes, (self.show, now, self.view.cue_ms), drive)?;
        // The plan does not draw what is on its way out; at a moment it is there until it is gone.
        let there = |p: &&CueProp| self.view.cue_ms.is_some() || p.presence != Presence::Leaving;
        self.props_of(now).iter().filter(there).try_for_each(|p| self.living(scene, (now, p), drive))?;
        let places = self.places_of(now);
        self.lines(scene, places.iter().map(|p| (p, self.view.states.of(p.person))), drive)?;
        places.iter().try_for_each(|p| self.mark(scene, p, self.view.states.of(p.person), drive))?;
        self.mark_labels(scene, places.iter(), drive)
    }

    /// Only what no camera sees: a missing mark costs a rehearsal, a mark on air costs the job.
    fn air(&self, scene: &mut Sheet<'_, '_>, now: Option<&Cue>) -> Result<(), SceneFull> {
        let drive = &self.drive(self.show.look.air_level);
        let shown = self.view.shown;
        if let Some(cue) = now.filter(|_| self.view.scenic) {
            scenic::draw(scene, &self.sizes, self.show, cue)?;
        }
        for prop in self.props_of(now).iter().filter(|p| shown.prop(p.prop.index())) {
            self.living(scene, (now, prop), drive)?;
        }
        let seen = |p: &&CuePlace| p.mark.is_some_and(|m| shown.mark(m.index()));
        let places = self.places_of(now).iter().filter(seen);
        places.into_iter().try_for_each(|p| self.mark(scene, p, self.view.states.of(p.person), drive))
    }

    fn reset(&self, scene: &mut Sheet<'_, '_>, next: Option<&Cue>) -> Result<(), SceneFull> {
        let drive = &self.drive(255);
        self.edges(scene)?;
        self.numbers(scene, drive)?;
        self.props_of(next).iter().try_for_each(|p| self.planned(scene, (next, p), p.presence, drive))?;
        let places = self.places_of(next);
        self.lines(scene, places.iter().map(|p| (p, MarkState::Steady)), drive)?;
        places.iter().try_for_each(|p| self.mark(scene, p, MarkState::Steady, drive))?;
        self.mark_labels(scene, places.iter(), drive)
    }
}
