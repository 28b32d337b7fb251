//! One view of a show becomes the shapes of one scene.

use crate::limits as cap;
use crate::paint::color::scale;
use crate::paint::{Scene, SceneFull};
use crate::props::Placement;
use crate::show::{Cue, CuePlace, CueProp, Mark, Mode, Presence, Prop, Show, Who};

use super::frame::Frame;
use super::labels::{Taken, Wanted};
use super::marks::{self, Dress};
use super::numbers::Numbers;
use super::sheet::{Bounds, Sheet};
use super::sizes::Sizes;
use super::view::{MarkState, View};
use super::ways::Ways;
use super::{edges, ink, labels, orient, placed, props, pulse, scenic, sweeps};

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

/// A prop's name closer than this to a mark would be written over it, metres.
const NAME_CLEAR_M: f32 = 0.6;

/// What every drawing step needs.
struct Hand<'a> {
    show: &'a Show,
    view: &'a View,
    sizes: Sizes,
}

impl Hand<'_> {
    fn edges(&self, scene: &mut Sheet<'_, '_>) -> Result<(), SceneFull> {
        edges::draw(scene, &self.sizes, self.show, self.view.level)
    }

    fn numbers(&self, scene: &mut Sheet<'_, '_>, level: u8) -> Result<(), SceneFull> {
        Numbers::of(self.show, &self.sizes).map_or(Ok(()), |numbers| numbers.draw(scene, level))
    }

    fn worklight(&self, scene: &mut Sheet<'_, '_>) -> Result<(), SceneFull> {
        scene.begin(ink::worklight(self.view.floor_level));
        scene.polygon(&self.show.floor.vertices)?;
        self.edges(scene)
    }

    fn build(&self, scene: &mut Sheet<'_, '_>) -> Result<(), SceneFull> {
        self.edges(scene)?;
        orient::draw(scene, &self.sizes, self.show, self.view)
    }

    fn brief(&self, scene: &mut Sheet<'_, '_>, now: Option<&Cue>, next: Option<&Cue>) -> Result<(), SceneFull> {
        let level = scale(self.view.level, self.show.look.brief_level);
        let (now_props, next_props) = (self.props_of(now), self.props_of(next));
        let (now_places, next_places) = (self.places_of(now), self.places_of(next));
        let fresh_prop = |p: &&CueProp| now_props.iter().all(|q| q.prop != p.prop);
        let fresh_place = |p: &&CuePlace| now_places.iter().all(|q| q.mark != p.mark || q.person != p.person);
        self.edges(scene)?;
        self.numbers(scene, level)?;
        sweeps::draw(scene, &self.sizes, (self.show, now), level)?;
        sweeps::draw(scene, &self.sizes, (self.show, next), level)?;
        now_props.iter().try_for_each(|p| self.prop(scene, (now, p), p.presence, level))?;
        next_props.iter().filter(fresh_prop).try_for_each(|p| self.prop(scene, (next, p), Presence::Coming, level))?;
        now_props.iter().try_for_each(|p| self.prop_label(scene, (now, p), level))?;
        next_props.iter().filter(fresh_prop).try_for_each(|p| self.prop_label(scene, (next, p), level))?;
        let later = next_places.iter().filter(fresh_place).map(|p| (p, MarkState::Later));
        self.lines(scene, now_places.iter().map(|p| (p, MarkState::Steady)).chain(later), level)?;
        next_places.iter().filter(fresh_place).try_for_each(|p| self.mark(scene, p, MarkState::Later, level))?;
        now_places.iter().try_for_each(|p| self.mark(scene, p, MarkState::Steady, level))?;
        let unnamed = |p: &&CuePlace| now_places.iter().all(|q| q.mark != p.mark);
        self.mark_labels(scene, now_places.iter().chain(next_places.iter().filter(unnamed)), level)
    }

    fn standby(&self, scene: &mut Sheet<'_, '_>, now: Option<&Cue>) -> Result<(), SceneFull> {
        let level = scale(self.view.level, self.show.look.brief_level);
        self.edges(scene)?;
        self.numbers(scene, level)?;
        sweeps::draw(scene, &self.sizes, (self.show, now), level)?;
        for prop in self.props_of(now).iter().filter(|p| p.presence != Presence::Leaving) {
            self.prop(scene, (now, prop), prop.presence, level)?;
        }
        let places = self.places_of(now);
        self.lines(scene, places.iter().map(|p| (p, self.view.state)), level)?;
        places.iter().try_for_each(|p| self.mark(scene, p, self.view.state, level))?;
        self.mark_labels(scene, places.iter(), level)
    }

    /// Only what no camera sees: a missing mark costs a rehearsal, a mark on air costs the job.
    fn air(&self, scene: &mut Sheet<'_, '_>, now: Option<&Cue>) -> Result<(), SceneFull> {
        let level = scale(self.view.level, self.show.look.air_level);
        let shown = self.view.shown;
        if let Some(cue) = now.filter(|_| self.view.scenic) {
            scenic::draw(scene, &self.sizes, self.show, cue)?;
        }
        for prop in self.props_of(now).iter().filter(|p| shown.prop(p.prop.index())) {
            self.prop(scene, (now, prop), prop.presence, level)?;
        }
        let seen = |p: &&CuePlace| p.mark.is_some_and(|m| shown.mark(m.index()));
        self.places_of(now).iter().filter(seen).try_for_each(|p| self.mark(scene, p, self.view.state, level))
    }

    fn reset(&self, scene: &mut Sheet<'_, '_>, next: Option<&Cue>) -> Result<(), SceneFull> {
        let level = self.view.level;
        self.edges(scene)?;
        self.numbers(scene, level)?;
        self.props_of(next).iter().try_for_each(|p| self.prop(scene, (next, p), p.presence, level))?;
        let places = self.places_of(next);
        self.lines(scene, places.iter().map(|p| (p, MarkState::Steady)), level)?;
        places.iter().try_for_each(|p| self.mark(scene, p, MarkState::Steady, level))?;
        self.mark_labels(scene, places.iter(), level)
    }

    fn props_of(&self, cue: Option<&Cue>) -> &[CueProp] {
        cue.map_or(&[], |c| self.show.props_in(c))
    }

    fn places_of(&self, cue: Option<&Cue>) -> &[CuePlace] {
        cue.map_or(&[], |c| self.show.places_in(c))
    }

    /// Draws a prop where the moves of `cue` leave it: that is where nobody may stand.
    fn prop(
        &self,
        scene: &mut Sheet<'_, '_>,
        (cue, p): (Option<&Cue>, &CueProp),
        presence: Presence,
        level: u8,
    ) -> Result<(), SceneFull> {
        let Some(prop) = self.show.props.get(p.prop.index()) else { return Ok(()) };
        let placement = self.placement(cue, p, prop);
        let frame = Frame::turned(placement.at, placement.turn);
        props::draw(scene, &self.sizes, self.show, prop, (&frame, presence, level))
    }

    /// Draws the lines of what is called, that which matters most first.
    #[inline(never)]
    fn lines<'p>(
        &self,
        scene: &mut Sheet<'_, '_>,
        called: impl Iterator<Item = (&'p CuePlace, MarkState)> + Clone,
        level: u8,
    ) -> Result<(), SceneFull>
    where
        Self: 'p,
    {
        let mut ways = Ways::new(self.show, &self.sizes);
        ways.fill(called, (self.view.flow_ms, level));
        ways.draw(scene)
    }

    fn mark(&self, scene: &mut Sheet<'_, '_>, p: &CuePlace, state: MarkState, level: u8) -> Result<(), SceneFull> {
        let Some(mark) = self.mark_of(p) else { return Ok(()) };
        let waits = matches!(state, MarkState::StandBy | MarkState::Off { .. });
        let level = if waits { scale(level, pulse::envelope(self.view.pulse)) } else { level };
        let who = self.who(p).unwrap_or(mark.who);
        // Sharp corners reach out by twice the widths that are laid round the outline.
        let reach = self.reach_m(p, mark) + 2.0 * (self.line_m(p) + self.sizes.keyline_m);
        if !scene.shows(&Bounds::round(mark.at, reach)) {
            return Ok(());
        }
        marks::draw(scene, &self.sizes, mark, Dress { who, state, line_m: self.line_m(p), level })
    }

    /// Labels of marks, each on the side its reader comes from, so that nobody stands on it.
    fn mark_labels<'p>(
        &self,
        scene: &mut Sheet<'_, '_>,
        places: impl Iterator<Item = &'p CuePlace> + Clone,
        level: u8,
    ) -> Result<(), SceneFull> {
        if !self.view.labels {
            return Ok(());
        }
        let around = |p: &CuePlace| self.mark_of(p).map(|m| (m.at, self.reach_m(p, m)));
        let mut taken: Taken = places.clone().filter_map(around).take(cap::MARKS).collect();
        places
            .filter(|p| !placed::low_vision(self.show, p))
            .try_for_each(|p| self.mark_label(scene, p, &mut taken, level))
    }

    fn mark_label(
        &self,
        scene: &mut Sheet<'_, '_>,
        p: &CuePlace,
        taken: &mut Taken,
        level: u8,
    ) -> Result<(), SceneFull> {
        let Some(mark) = self.mark_of(p) else { return Ok(()) };
        let who = self.who(p).unwrap_or(mark.who);
        let approach = p.line.and_then(|l| self.show.lines.get(l.index())).map(|l| self.show.points_of(l));
        let wanted = Wanted { mark: mark.at, count: mark.label.chars().count(), approach };
        let reach = |way| marks::support_m(mark, who, self.line_m(p), way);
        let lay = labels::beside(self.show, &self.sizes, &wanted, taken, reach);
        labels::draw(scene, &mark.label, ink::of(who).dimmed(level), &lay)
    }

    fn placement(&self, cue: Option<&Cue>, p: &CueProp, prop: &Prop) -> Placement {
        cue.and_then(|c| Placement::after(self.show, c, p.prop)).unwrap_or(Placement::resting(prop))
    }

    /// Names a prop on the floor, unless somebody's mark is where the name would be.
    fn prop_label(
        &self,
        scene: &mut Sheet<'_, '_>,
        (cue, p): (Option<&Cue>, &CueProp),
        level: u8,
    ) -> Result<(), SceneFull> {
        let Some(prop) = self.show.props.get(p.prop.index()).filter(|_| self.view.labels) else { return Ok(()) };
        let at = self.placement(cue, p, prop).at;
        let on_mark = |place: &CuePlace| self.mark_of(place).is_some_and(|m| m.at.distance(at) < NAME_CLEAR_M);
        if self.places_of(cue).iter().any(on_mark) {
            return Ok(());
        }
        let short = prop
            .name
            .char_indices()
            .nth(cap::LABEL_CHARS)
            .map_or(prop.name.as_str(), |(end, _)| prop.name.get(..end).unwrap_or(&prop.name));
        let lay = labels::upon(self.show, &self.sizes, at);
        labels::draw(scene, short, ink::PROP.dimmed(level), &lay)
    }

    fn mark_of(&self, p: &CuePlace) -> Option<&Mark> {
        placed::mark(self.show, p)
    }

    fn who(&self, p: &CuePlace) -> Option<Who> {
        placed::who(self.show, p)
    }

    fn reach_m(&self, p: &CuePlace, mark: &Mark) -> f32 {
        marks::reach_m(mark.kind, self.who(p).unwrap_or(mark.who), self.line_m(p))
    }

    fn line_m(&self, p: &CuePlace) -> f32 {
        placed::line_m(self.show, &self.sizes, p)
    }
}
