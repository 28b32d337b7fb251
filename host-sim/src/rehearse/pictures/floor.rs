//! The floor at a moment of a cue, as the box's own engine would have it.

use underfoot_core::engine::{Input, Sense, Source, State, step};
use underfoot_core::look::View;
use underfoot_core::show::{CueId, Mode, Show};
use underfoot_core::units::{Duration, Instant};

use super::asked::{Asked, Unserved};
use super::studio::{Answer, PNG};
use crate::cli::draw::air;
use crate::on_air::OnAir;
use crate::project::Project;
use crate::render::png::{self, Kind};
use crate::render::{CanvasPixels, Easel};

/// How long the cue before is on the floor: everything of it has come by then.
const BEFORE: Duration = Duration::from_millis(60_000);
/// How often a desk says what no camera sees: before the engine takes it for lost.
const SAID: Duration = Duration::from_millis(200);
/// From then on AIR has come to rest.
const SETTLED: Duration = Duration::from_millis(5_000);
/// Words of the kinds of picture in an address.
const KINDS: [(&str, Kind); 3] = [("layer", Kind::Layer), ("black", Kind::Black), ("matte", Kind::Matte)];

/// One canvas as PNG.
pub(super) fn picture(asked: &Asked, easel: &mut Easel) -> Result<Answer, Unserved> {
    asked.only(&["cue", "t", "mode", "kind"])?;
    let show = &asked.project().show;
    let canvas = asked.named("canvas", show.canvases.iter().map(|canvas| canvas.name.as_str()))?;
    let kind = asked.word("kind", &KINDS)?.unwrap_or(Kind::Black);
    let view = view(asked)?;
    let painted = easel.paint(show, &view, canvas).map_err(Unserved::failed)?;
    png::quick_canvas(&painted, kind).map_err(Unserved::failed).map(|bytes| Answer::shown(PNG, bytes))
}

/// What the floor shows of what is asked for.
pub(super) fn view(asked: &Asked) -> Result<View, Unserved> {
    let (cue, t_s, mode) = (asked.cue()?, asked.seconds()?, asked.mode()?);
    let own = mode.or(cue.map(|(_, cue)| cue.mode)).unwrap_or_default();
    Ok(match (cue, t_s) {
        (Some((id, _)), Some(t_s)) => at(asked.project(), id, t_s, mode),
        (cue, _) => air::view(asked.project(), (own, cue.map(|(id, _)| id)), false),
    })
}

/// What a box shows `t_s` seconds after it went from the cue before to `cue`; with a mode, as if all cues had it.
///
/// The light is dark, nobody is sensed and nothing is lost. On air a desk tells what the plan says that no hot camera
/// sees.
pub fn at(project: &Project, cue: CueId, t_s: f32, mode: Option<Mode>) -> View {
    let show = unwired(&project.show, mode);
    let begins = Instant::ZERO.after(BEFORE);
    let now = begins.after(Duration::from_micros((f64::from(t_s.max(0.0)) * 1e6) as u64));
    let mut state = State::power_up();
    let mut take = |at: Instant, input: Input<'_>| state = step(state, &show, at, input).0;
    let first = CueId(cue.0.saturating_sub(1));
    // A cue that was on when power went away comes back with one GO: the shortest way to any cue.
    let held = if cue.0 == 0 { cue } else { first };
    take(Instant::ZERO, Input::Loaded { held: Some(held) });
    if held != cue {
        take(Instant::ZERO, Input::Go { to: held, from: Source::Keys });
    }
    let on_air = show.cues.get(cue.index()).filter(|cue| cue.mode == Mode::Air);
    let unseen = on_air.map(|cue| Sense::Unseen { marks: OnAir::of(project, cue).found.marks, props: 0 });
    if let Some(unseen) = unseen {
        take(begins, Input::Sense(unseen));
    }
    take(begins, Input::Go { to: cue, from: Source::Keys });
    match unseen {
        Some(unseen) => told(begins, now, &mut |at| take(at, Input::Sense(unseen))),
        None => take(now, Input::Tick),
    }
    state.view(&show, now)
}

/// Says again and again what no camera sees, until the last moment or until nothing changes by it.
fn told(begins: Instant, now: Instant, say: &mut impl FnMut(Instant)) {
    let last = now.min(begins.after(SETTLED));
    let mut at = begins;
    while at < last {
        at = at.after(SAID).min(last);
        say(at);
    }
}

/// The show of a box to which no on-air light is wired, with one mode for all cues or with their own.
fn unwired(show: &Show, mode: Option<Mode>) -> Box<Show> {
    let mut show = Box::new(show.clone());
    show.control.on_air_contact = false;
    for cue in &mut show.cues {
        cue.mode = mode.unwrap_or(cue.mode);
    }
    show
}

/// All canvases at full drive.
pub(super) fn lit(asked: &Asked, easel: &mut Easel) -> Result<Vec<CanvasPixels>, Unserved> {
    crate::cli::draw::set::lit(asked.project(), easel, &view(asked)?).map_err(|refusal| Unserved::failed(refusal.0))
}

#[cfg(test)]
mod tests {
    use underfoot_core::engine::lights::FADE;
    use underfoot_core::look::MarkState;

    use super::*;
    use crate::rehearse::pictures::studio::asked_of;

    fn project_of(demo: &str) -> Project {
        crate::project::parse(demo, crate::demos::text_of(demo).expect("a demo")).expect("a demo loads")
    }

    fn project() -> Project {
        project_of("clock-cabinet")
    }

    /// Behind the near hull of BOAT no camera sees mark B1: on air it comes and stays, as `draw --mode air` has it.
    #[test]
    fn on_air_what_no_camera_sees_is_shown_and_stays() {
        let project = project_of("harbour-hour-clean");
        let index = project.show.cues.iter().position(|cue| cue.number == 400).expect("cue 4");
        let cue = CueId(index as u8);
        let plan = air::view(&project, (Mode::Air, Some(cue)), false).shown;
        assert_eq!(plan.marks.count_ones(), 1);
        for t_s in [3.0, 4.99, 100.0, 3_600.0] {
            assert_eq!(at(&project, cue, t_s, Some(Mode::Air)).shown, plan, "{t_s}");
        }
    }

    /// What a cue brings is not there at once: light comes in 450 ms. By then a briefing is what `draw` draws.
    #[test]
    fn what_is_new_comes_slowly_and_is_then_what_the_plan_draws() {
        let project = project();
        for cue in (0..project.show.cues.len() as u8).map(CueId) {
            let plan = air::view(&project, (Mode::Brief, Some(cue)), false);
            let late = at(&project, cue, 0.5, Some(Mode::Brief));
            assert_eq!(late, plan, "{cue:?}");
            let early = at(&project, cue, 0.1, Some(Mode::Brief));
            assert!(FADE.as_millis() == 450 && (early.fresh.is_none() || early.fade < 255), "{early:?}");
        }
    }

    /// In STANDBY whoever walks flows, and whoever has arrived does not.
    #[test]
    fn a_walk_flows_until_it_is_over() {
        let project = project();
        let walks = |cue: &underfoot_core::show::Cue| {
            project.show.places_in(cue).iter().find(|place| place.line.is_some()).map(|place| place.person)
        };
        let found = project.show.cues.iter().enumerate().find_map(|(i, cue)| Some((CueId(i as u8), walks(cue)?)));
        let (cue, person) = found.expect("a cue with a walk");
        let state = |t_s: f32| at(&project, cue, t_s, Some(Mode::Standby)).states.of(person);
        assert_eq!(state(0.5), MarkState::Go);
        assert_ne!(state(60.0), MarkState::Go);
    }

    #[test]
    fn without_a_moment_it_is_the_plan_and_without_a_cue_the_load_in() {
        let plan = view(&asked_of("clock-cabinet", "FLOOR", &[("cue", "3")])).expect("a view");
        assert_eq!(plan.cue_ms, None);
        let build = view(&asked_of("clock-cabinet", "FLOOR", &[("mode", "build")])).expect("a view");
        assert_eq!((build.mode, build.cue), (Mode::Build, None));
    }
}
