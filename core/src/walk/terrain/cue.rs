//! The terrain of a show's cue.

use crate::geom::{Region, Rounded};
use crate::props::{KeepOutError, Level, Limit, Reach, physical, sweep};
use crate::show::{Cue, CueProp, PersonClass, Show};
use crate::walk::error::WalkError;
use crate::walk::terrain::Terrain;
use crate::walk::terrain::raised::{self, Feet};

/// From the start of a cue to its end, whenever that is.
const WHOLE_CUE_S: (f32, f32) = (0.0, f32::INFINITY);

impl<const N: usize> Terrain<N> {
    /// What a walker of `class` with a corridor of `corridor_m` goes round in `cue`: see [`Terrain::set`].
    ///
    /// # Errors
    /// As [`Terrain::set`].
    pub fn of(show: &Show, cue: &Cue, class: &PersonClass, corridor_m: f32) -> Result<Self, WalkError> {
        let mut terrain = Self::vacant();
        terrain.set(show, cue, class, corridor_m)?;
        Ok(terrain)
    }

    /// Becomes what a walker of `class` with a corridor of `corridor_m` goes round in `cue`: the floor's bands,
    /// furniture, columns, raised sides, and every prop that is coming, live or leaving.
    ///
    /// What stands still is grown by the greater of the clearance beside it ([`Reach::beside_still_m`]) and half the
    /// corridor with the survey's allowance. Of what travels, all that it passes over in the cue, carried ahead by its
    /// lead, is grown by at least [`Reach::beside_moving_m`]. Overhead parts are nothing to go round.
    ///
    /// # Errors
    /// [`WalkError::Floor`], [`WalkError::KeepOut`], [`WalkError::Full`].
    pub fn set(&mut self, show: &Show, cue: &Cue, class: &PersonClass, corridor_m: f32) -> Result<(), WalkError> {
        self.lay(&show.floor, &show.entries)?;
        self.add_things(show, class, corridor_m)?;
        self.add_cue(show, cue, class, corridor_m)
    }

    /// Adds the props of one more cue, for a way that is walked in several. What is there already is not added again.
    ///
    /// # Errors
    /// As [`Terrain::of`].
    pub fn add_cue(&mut self, show: &Show, cue: &Cue, class: &PersonClass, corridor_m: f32) -> Result<(), WalkError> {
        let reach = Reach::of(show, class, Level::Hard);
        let still_m = beside_still_m(&reach, corridor_m);
        for state in show.props_in(cue) {
            let travels = sweep::travels(show, cue, state, WHOLE_CUE_S);
            let growth_m = if travels { still_m.max(reach.beside_moving_m()) } else { still_m };
            let parts = show.props.get(state.prop.index()).map_or(0, |prop| show.parts_of(prop).len());
            for part in 0..parts as u8 {
                self.add_part((show, cue, state), part, &reach, growth_m)?;
            }
        }
        Ok(())
    }

    fn add_part(
        &mut self,
        (show, cue, state): (&Show, &Cue, &CueProp),
        part: u8,
        reach: &Reach,
        growth_m: f32,
    ) -> Result<(), WalkError> {
        let limit = Limit::Part { prop: state.prop, part };
        let mut done = Ok(());
        let swept = sweep::sweep(show, cue, state, part, WHOLE_CUE_S, Some(reach), &mut |region| {
            if done.is_ok() {
                done = self.push(limit, &region, growth_m);
            }
        });
        swept.map_err(|fault| KeepOutError::Shape { limit, fault })?;
        done
    }

    /// Adds furniture, columns and raised sides.
    fn add_things(&mut self, show: &Show, class: &PersonClass, corridor_m: f32) -> Result<(), WalkError> {
        let reach = Reach::of(show, class, Level::Hard);
        let stopping = show.physicals.iter().enumerate().filter(|(_, thing)| physical::stops_people(thing.kind));
        for (i, thing) in stopping {
            let limit = Limit::Physical(i as u8);
            let area = physical::rectangle(thing).and_then(|area| Rounded::new(area, 0.0));
            let area = area.map_err(|fault| KeepOutError::Shape { limit, fault })?;
            self.push(limit, &Region::Rounded(area), beside_still_m(&reach, corridor_m))?;
        }
        self.add_raised(show, class)
    }

    /// Adds the sides of risers and ramps that a walker of `class` cannot walk over, with the room of a body. With
    /// [`Terrain::bare`] this asks about raised sides alone.
    ///
    /// # Errors
    /// [`WalkError::KeepOut`], [`WalkError::Full`].
    pub fn add_raised(&mut self, show: &Show, class: &PersonClass) -> Result<(), WalkError> {
        let reach = Reach::of(show, class, Level::Hard);
        raised::sides(show, &Feet::of(class, &reach), &mut |obstacle| self.add(obstacle))
    }
}

fn beside_still_m(reach: &Reach, corridor_m: f32) -> f32 {
    reach.beside_still_m().max(corridor_m / 2.0 + reach.allowance_m)
}
