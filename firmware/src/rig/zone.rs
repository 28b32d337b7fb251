//! In-shot zones as the rig is asked for them, and the same question on any host.

use heapless::Vec;
use underfoot_core::cameras::{Body, Framing, Solid, Surfaces, View, framing::framing, shots, solids, times};
use underfoot_core::geom::StagePoint;
use underfoot_core::limits;
use underfoot_core::props::{Ground, KeepOut, Level, Limit, Reach, keepout};
use underfoot_core::show::{Cue, Show};
use underfoot_core::zones::{Bound, Judge, Outline, Task, Zone, ZoneStore, trace_set};

/// Views, moments, parts and keep-outs of one question, as many as the rig has room for.
const VIEWS: usize = 32;
const MOMENTS: usize = 32;
const SOLIDS: usize = 1024;
const KEEPOUTS: usize = 64;

/// Cue, mark and person class by their index in the show.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ZoneAsk {
    /// The cue, and its intended shots.
    pub cue: u8,
    /// The mark.
    pub mark: u8,
    /// The person class.
    pub class: u8,
}

/// Room for a zone and all that it is judged by.
#[derive(Clone, Debug, Default)]
pub struct ZoneRoom {
    store: ZoneStore,
    outline: Outline<{ limits::ZONE_POINTS }>,
    views: Vec<View, VIEWS>,
    solids: Vec<Solid, SOLIDS>,
    /// One past the last part of each moment.
    ends: Vec<usize, MOMENTS>,
    keepouts: Vec<KeepOut, KEEPOUTS>,
}

impl ZoneRoom {
    /// Empty room; nothing but zeros.
    pub const fn new() -> Self {
        Self {
            store: ZoneStore::new(),
            outline: Outline::new(),
            views: Vec::new(),
            solids: Vec::new(),
            ends: Vec::new(),
            keepouts: Vec::new(),
        }
    }

    /// Traces a zone and gives its answer to `write`, byte for byte. `beat` is called with every place that is judged.
    ///
    /// The answer: 0 for a question without an answer, which ends it; 1 for a piece, then 1 when it holds the mark;
    /// 2 for an empty zone, then the number of bounds that fight and these. A piece has the bits of its area, the number of its rings, and
    /// for each the number of its corners and of every corner the bits of x and y and the bound of the side to the
    /// next. Numbers are 32 bits, little-endian, but the first two; bounds are [`bound_bytes`].
    pub fn answer(&mut self, show: &Show, ask: ZoneAsk, beat: &impl Fn(), write: &mut impl FnMut(&[u8])) {
        match self.trace(show, ask, beat) {
            None => write(&[0]),
            Some(Zone::Piece(piece)) => {
                write(&[1, piece.holds_mark.into()]);
                write(&piece.area_m2.to_bits().to_le_bytes());
                write(&(self.outline.rings().count() as u32).to_le_bytes());
                for ring in self.outline.rings() {
                    write(&(ring.points.len() as u32).to_le_bytes());
                    for (point, bound) in ring.points.iter().zip(ring.bounds) {
                        write(&point.x.to_bits().to_le_bytes());
                        write(&point.y.to_bits().to_le_bytes());
                        write(&bound_bytes(bound));
                    }
                }
            }
            Some(Zone::Empty { fighting, .. }) => {
                write(&[2, fighting.len() as u8]);
                fighting.iter().for_each(|bound| write(&bound_bytes(bound)));
            }
        }
    }

    fn trace(&mut self, show: &Show, ask: ZoneAsk, beat: &impl Fn()) -> Option<Zone> {
        let cue = show.cues.get(usize::from(ask.cue))?;
        let mark = show.marks.get(usize::from(ask.mark))?.at;
        let class = show.classes.get(usize::from(ask.class))?;
        self.look(show, cue, &Body::of(show, class, mark))?;
        self.keepouts = keepout::of_cue(show, cue, &Reach::of(show, class, Level::Hard)).ok()?;
        let ground = Ground::new(&show.floor, &show.entries, &self.keepouts).ok()?;
        let starts = core::iter::once(0).chain(self.ends.iter().copied());
        let moments: Vec<&[Solid], MOMENTS> =
            starts.zip(&self.ends).filter_map(|(start, &end)| self.solids.get(start..end)).collect();
        let judge = Judge {
            show,
            class,
            ground: &ground,
            views: &self.views,
            moments: &moments,
            surfaces: &Surfaces::of(show),
        };
        let test = |p: StagePoint| {
            beat();
            judge.verdict(p)
        };
        let task = Task { floor: &show.floor.vertices, shrink_m: judge.shrink_m(), mark };
        trace_set(&test, &task, &mut self.store, &mut self.outline).ok()
    }

    /// Lists the views of a cue that are about a body, and the parts at every moment of it; `None` without room.
    fn look(&mut self, show: &Show, cue: &Cue, body: &Body) -> Option<()> {
        let (views, solids, ends) = (&mut self.views, &mut self.solids, &mut self.ends);
        views.clear();
        solids.clear();
        ends.clear();
        let mut fits = true;
        for &shot in show.shots_in(cue) {
            let mut add = |view: View| {
                if matches!(framing(&view, body).state, Framing::Cut(_) | Framing::Framed) {
                    fits &= views.push(view).is_ok();
                }
            };
            shots::views(show, shot, &mut add).ok()?;
        }
        times(show, cue, &mut |t_s| {
            let moment = solids::of_cue::<{ limits::PARTS }>(show, cue, t_s).unwrap_or_default();
            fits &= moment.into_iter().all(|solid| solids.push(solid).is_ok()) && ends.push(solids.len()).is_ok();
        });
        fits.then_some(())
    }
}

/// A bound in four bytes: its kind, then its numbers.
pub fn bound_bytes(bound: &Bound) -> [u8; 4] {
    match *bound {
        Bound::Limit(Limit::OffFloor) => [0, 0, 0, 0],
        Bound::Limit(Limit::Edge(side)) => [1, side, 0, 0],
        Bound::Limit(Limit::Part { prop, part }) => [2, prop.0, part, 0],
        Bound::Limit(Limit::Physical(thing)) => [3, thing, 0, 0],
        Bound::Frame { shot, side } => [4, shot.0, side as u8, 0],
        Bound::Painted { shot, prop, part } => [5, shot.0, prop.0, part],
        Bound::Hidden { shot, prop, part } => [6, shot.0, prop.0, part],
        Bound::InFront { shot, prop, part } => [7, shot.0, prop.0, part],
        Bound::OffWall { shot, side } => [8, shot.0, side as u8, 0],
    }
}
