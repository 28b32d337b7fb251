//! The steps that pictures of all modes are drawn by: props, walk lines, marks, labels.

use crate::limits as cap;
use crate::paint::SceneFull;
use crate::paint::color::scale;
use crate::props::Placement;
use crate::show::{Cue, CuePlace, CueProp, Mark, Presence, Prop, Show, Who};

use super::alive;
use super::drive::Drive;
use super::frame::Frame;
use super::labels::{Taken, Wanted};
use super::marks::{self, Dress};
use super::numbers::Numbers;
use super::sheet::{Bounds, Sheet};
use super::sizes::Sizes;
use super::states::MarkState;
use super::things::Things;
use super::view::View;
use super::ways::Ways;
use super::{edges, ink, labels, placed, props, pulse};

/// A prop's name closer than this to a mark would be written over it, metres.
const NAME_CLEAR_M: f32 = 0.6;

/// What every drawing step needs.
pub(super) struct Hand<'a> {
    pub(super) show: &'a Show,
    pub(super) view: &'a View,
    pub(super) sizes: Sizes,
}

impl Hand<'_> {
    /// The drives of this view for things whose own share of it is `share`.
    pub(super) fn drive(&self, share: u8) -> Drive {
        Drive::of(self.view, scale(self.view.level, share))
    }

    pub(super) fn edges(&self, scene: &mut Sheet<'_, '_>) -> Result<(), SceneFull> {
        edges::draw(scene, &self.sizes, self.show, self.drive(255).rest(Things::EDGES))
    }

    pub(super) fn numbers(&self, scene: &mut Sheet<'_, '_>, drive: &Drive) -> Result<(), SceneFull> {
        let level = drive.rest(Things::NUMBERS);
        Numbers::of(self.show, &self.sizes).map_or(Ok(()), |numbers| numbers.draw(scene, level))
    }

    pub(super) fn props_of(&self, cue: Option<&Cue>) -> &[CueProp] {
        cue.map_or(&[], |c| self.show.props_in(c))
    }

    pub(super) fn places_of(&self, cue: Option<&Cue>) -> &[CuePlace] {
        cue.map_or(&[], |c| self.show.places_in(c))
    }

    /// Draws a prop where the moves of `cue` leave it: that is where nobody may stand.
    pub(super) fn planned(
        &self,
        scene: &mut Sheet<'_, '_>,
        (cue, p): (Option<&Cue>, &CueProp),
        presence: Presence,
        drive: &Drive,
    ) -> Result<(), SceneFull> {
        let place = cue.and_then(|cue| Placement::after(self.show, cue, p.prop));
        place.map_or(Ok(()), |place| self.prop(scene, p, (presence, place), drive))
    }

    /// Draws a prop as it is at the view's moment of the cue, or by the plan when it has none.
    pub(super) fn living(
        &self,
        scene: &mut Sheet<'_, '_>,
        (cue, p): (Option<&Cue>, &CueProp),
        drive: &Drive,
    ) -> Result<(), SceneFull> {
        let drawn = cue.and_then(|cue| alive::drawn(self.show, cue, p, self.view.cue_ms));
        drawn.map_or(Ok(()), |drawn| self.prop(scene, p, drawn, drive))
    }

    fn prop(
        &self,
        scene: &mut Sheet<'_, '_>,
        p: &CueProp,
        (presence, place): (Presence, Placement),
        drive: &Drive,
    ) -> Result<(), SceneFull> {
        let Some(prop) = self.show.props.get(p.prop.index()) else { return Ok(()) };
        let frame = Frame::turned(place.at, place.turn);
        props::draw(scene, &self.sizes, self.show, prop, (&frame, presence, drive.prop(p.prop)))
    }

    /// Draws the lines of what is called, that which matters most first.
    #[inline(never)]
    pub(super) fn lines<'p>(
        &self,
        scene: &mut Sheet<'_, '_>,
        called: impl Iterator<Item = (&'p CuePlace, MarkState)> + Clone,
        drive: &Drive,
    ) -> Result<(), SceneFull>
    where
        Self: 'p,
    {
        let mut ways = Ways::new(self.show, &self.sizes);
        ways.fill(called, (self.view.flow_ms, drive));
        ways.draw(scene)
    }

    pub(super) fn mark(
        &self,
        scene: &mut Sheet<'_, '_>,
        p: &CuePlace,
        state: MarkState,
        drive: &Drive,
    ) -> Result<(), SceneFull> {
        let Some(mark) = self.mark_of(p) else { return Ok(()) };
        let level = drive.mark(p.mark);
        let level = if state.pulses() { scale(level, pulse::envelope(self.view.pulse)) } else { level };
        let who = self.who(p).unwrap_or(mark.who);
        // Sharp corners reach out by twice the widths that are laid round the outline.
        let reach = self.reach_m(p, mark) + 2.0 * (self.line_m(p) + self.sizes.keyline_m);
        if !scene.shows(&Bounds::round(mark.at, reach)) {
            return Ok(());
        }
        marks::draw(scene, &self.sizes, mark, Dress { who, state, line_m: self.line_m(p), level })
    }

    /// Labels of marks, each on the side its reader comes from, so that nobody stands on it.
    pub(super) fn mark_labels<'p>(
        &self,
        scene: &mut Sheet<'_, '_>,
        places: impl Iterator<Item = &'p CuePlace> + Clone,
        drive: &Drive,
    ) -> Result<(), SceneFull> {
        if !self.view.labels {
            return Ok(());
        }
        let around = |p: &CuePlace| self.mark_of(p).map(|m| (m.at, self.reach_m(p, m)));
        let mut taken: Taken = places.clone().filter_map(around).take(cap::MARKS).collect();
        places
            .filter(|p| !placed::low_vision(self.show, p))
            .try_for_each(|p| self.mark_label(scene, p, &mut taken, drive.mark(p.mark)))
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
    pub(super) fn prop_label(
        &self,
        scene: &mut Sheet<'_, '_>,
        (cue, p): (Option<&Cue>, &CueProp),
        drive: &Drive,
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
        labels::draw(scene, short, ink::PROP.dimmed(drive.prop(p.prop)), &lay)
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
