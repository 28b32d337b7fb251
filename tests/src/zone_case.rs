//! One question about a zone: who, where, in which cue, in which shots.

use underfoot_core::cameras::{self, Body, Solid, Surfaces, View, shots, solids};
use underfoot_core::geom::StagePoint;
use underfoot_core::limits;
use underfoot_core::props::reach::Level;
use underfoot_core::props::{Ground, KeepOut, Reach, keepout};
use underfoot_core::show::{Cue, PersonClass, ShotId, Show};
use underfoot_core::zones::{self, Judge, Outline, Zone, ZoneError, ZoneStore};

/// All that a judge looks at, owned.
#[derive(Debug)]
pub struct ZoneCase<'s> {
    /// The show.
    pub show: &'s Show,
    /// The cue.
    pub cue: &'s Cue,
    /// The person.
    pub class: &'s PersonClass,
    /// The place asked about.
    pub mark: StagePoint,
    /// Seconds after the start of the cue that are looked at.
    pub times: Vec<f32>,
    /// The pictures.
    pub views: Vec<View>,
    solids: Vec<heapless::Vec<Solid, { limits::PARTS }>>,
    keepouts: heapless::Vec<KeepOut, 128>,
}

/// A zone with its outline.
#[derive(Clone, Debug, PartialEq)]
pub struct Traced {
    /// What the zone is.
    pub zone: Zone,
    /// Its outline.
    pub outline: Outline<{ limits::ZONE_POINTS }>,
}

impl<'s> ZoneCase<'s> {
    /// The zone of a class in a cue and some shots: those of their views that are about a person on the mark.
    ///
    /// # Panics
    /// When the show has no such pictures or keep-outs.
    pub fn new(show: &'s Show, cue: &'s Cue, class: &'s PersonClass, mark: StagePoint, shots: &[ShotId]) -> Self {
        let mut all = Vec::new();
        for &shot in shots {
            shots::views(show, shot, &mut |view| all.push(view)).expect("a shot with views");
        }
        let views = zones::about(&all, &Body::of(show, class, mark)).cloned().collect();
        let mut times = Vec::new();
        cameras::times(show, cue, &mut |t_s| times.push(t_s));
        let solids = times.iter().map(|&t_s| solids::of_cue(show, cue, t_s).expect("solids")).collect();
        let keepouts = keepout::of_cue(show, cue, &Reach::of(show, class, Level::Hard)).expect("keep-outs");
        Self { show, cue, class, mark, times, views, solids, keepouts }
    }

    /// Looks at every `step`th moment only.
    pub fn thin(&mut self, step: usize) {
        self.times = self.times.iter().copied().step_by(step).collect();
        self.solids = core::mem::take(&mut self.solids).into_iter().step_by(step).collect();
    }

    /// Calls `ask` with the judge of this case.
    ///
    /// # Panics
    /// When the floor cannot be used.
    pub fn judge<T>(&self, ask: impl FnOnce(&Judge<'_>) -> T) -> T {
        let ground = Ground::new(&self.show.floor, &self.show.entries, &self.keepouts).expect("a ground");
        let moments: Vec<&[Solid]> = self.solids.iter().map(|s| s.as_slice()).collect();
        let surfaces = Surfaces::of(self.show);
        ask(&Judge {
            show: self.show,
            class: self.class,
            ground: &ground,
            views: &self.views,
            moments: &moments,
            surfaces: &surfaces,
        })
    }

    /// Traces the zone.
    ///
    /// # Errors
    /// As [`zones::trace`].
    pub fn trace(&self) -> Result<Traced, ZoneError> {
        let (mut store, mut outline) = (Box::new(ZoneStore::new()), Outline::new());
        let zone = self.judge(|judge| zones::trace(judge, self.mark, &mut store, &mut outline))?;
        Ok(Traced { zone, outline })
    }
}
