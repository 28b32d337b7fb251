//! What marks say and what graphics hear, by where people are: times and distances of the floor manager's book (common
//! practice, brief rules 14, 20 and 28), with places worked out by hand.

use underfoot_core::engine::{Input, Reveal, Sense, Source, State, step};
use underfoot_core::geom::StagePoint;
use underfoot_core::look::MarkState;
use underfoot_core::show::*;
use underfoot_core::units::{Duration, Instant};

const ON: StagePoint = StagePoint::new(0.1, 0.0);
/// 0.3 m upstage of the mark: the way back is downstage, 270 degrees.
const OFF: StagePoint = StagePoint::new(0.0, 0.3);

/// A guest of 0.7 m/s who walks 2.1 m downstage to a mark at the origin in cue 0 and leaves in cue 2; an opaque disc of
/// 0.3 m at (3, 0) that is live in cue 1, and one at (-3, 0) that comes in cue 2.
fn show() -> Show {
    let mut show = Show { frame_rate: FrameRate { num: 50, den: 1 }, latency_ms: 140, ..Show::default() };
    let class = PersonClass {
        name: Name::new(),
        height_m: 1.72,
        eye_m: 1.6,
        radius_m: 0.25,
        walk_width_m: 0.9,
        pace_mps: 0.7,
        chair_m: None,
    };
    show.classes.push(class).expect("room");
    let person = Person { name: Name::new(), class: ClassId(0), who: Who::AmberSquare, sight: Sight::Typical };
    show.people.push(person).expect("room");
    let mark = Mark {
        name: Name::new(),
        label: Label::new(),
        at: StagePoint::new(0.0, 0.0),
        facing_deg: 270.0,
        kind: MarkKind::Tee,
        person: None,
        who: Who::AmberSquare,
    };
    show.marks.push(mark).expect("room");
    for y in [2.1, 0.0] {
        show.line_points.push(LinePoint::sharp(StagePoint::new(0.0, y))).expect("room");
    }
    let line = Line {
        name: Name::new(),
        points: Run { first: 0, len: 2 },
        dots: Dots::Discs,
        dot_m: 0.1,
        spacing_m: 0.5,
        corridor_m: 0.9,
        who: Who::AmberSquare,
        planned: false,
    };
    show.lines.push(line).expect("room");
    for x in [3.0, -3.0] {
        let shape = PartShape::Disc { at: StagePoint::new(0.0, 0.0), radius_m: 0.3 };
        let first = show.parts.len() as u16;
        let part = Part { shape, bottom_m: 0.0, top_m: 1.0, layer: Layer::Overlay, transparent: false };
        show.parts.push(part).expect("room");
        let at = StagePoint::new(x, 0.0);
        let prop = Prop { name: Name::new(), at, turn_deg: 0.0, parts: Run { first, len: 1 } };
        show.props.push(prop).expect("room");
    }
    let place = |line| CuePlace { person: PersonId(0), mark: Some(MarkId(0)), line };
    show.cue_places.extend([place(Some(LineId(0))), place(None)]);
    let state = |prop, presence| CueProp { prop: PropId(prop), presence, coming_ms: 3_000, motion: None };
    show.cue_props.extend([state(0, Presence::Live), state(1, Presence::Coming)]);
    let runs = [((0, 0), (0, 1)), ((0, 1), (1, 1)), ((1, 1), (0, 0))];
    for (i, (props, places)) in runs.into_iter().enumerate() {
        let run = |(first, len)| Run { first, len };
        let (props, places) = (run(props), run(places));
        let cue = Cue { number: 100 * i as u32, mode: Mode::Standby, props, places, ..Cue::default() };
        show.cues.push(cue).expect("room");
    }
    show
}

struct Bench {
    show: Show,
    state: State,
    now: Instant,
}

impl Bench {
    fn in_cue(cue: u8) -> Self {
        let mut bench = Self { show: show(), state: State::power_up(), now: Instant::from_millis(50_000) };
        let from = Source::Keys;
        bench.enter(Input::Arm { from });
        for to in 0..=cue {
            bench.wait(400);
            bench.enter(Input::Go { to: CueId(to), from });
        }
        bench
    }

    fn enter(&mut self, input: Input<'_>) {
        let (state, output) = step(self.state, &self.show, self.now, input);
        assert_eq!(output.verdict, Ok(()), "{input:?}");
        self.state = state;
    }

    fn wait(&mut self, millis: u64) {
        self.now = self.now.after(Duration::from_millis(millis));
        self.enter(Input::Tick);
    }

    fn see(&mut self, people: &[StagePoint]) {
        self.enter(Input::Sense(Sense::Presence(people)));
    }

    /// The same people for so long, ten times a second.
    fn see_for(&mut self, millis: u64, people: &[StagePoint]) {
        for _ in 0..millis / 100 {
            self.wait(100);
            self.see(people);
        }
    }

    fn mark(&self) -> MarkState {
        self.state.view(&self.show, self.now).states.of(PersonId(0))
    }

    fn word(&self) -> Reveal {
        self.state.outlook(&self.show, self.now).reveal
    }
}

#[test]
fn by_the_plan_people_go_until_they_arrive() {
    // 1.0 s to start and 2.1 m at 0.7 m/s: 4.0 s.
    let mut bench = Bench::in_cue(0);
    bench.wait(3_980);
    assert_eq!(bench.mark(), MarkState::Go);
    assert_eq!(bench.state.view(&bench.show, bench.now).flow_ms, 3_980);
    bench.wait(60);
    // The next cue leaves them where they are.
    assert_eq!(bench.mark(), MarkState::Steady);
    assert_eq!(bench.state.view(&bench.show, bench.now).flow_ms, 0, "nothing flows any more");
    // The cue after that one leaves them out.
    assert_eq!(Bench::in_cue(1).mark(), MarkState::StandBy);
}

#[test]
fn on_the_mark_for_a_moment_is_arrived_and_off_it_for_two_seconds_is_called_back() {
    let mut bench = Bench::in_cue(1);
    bench.see(&[ON]);
    bench.see_for(200, &[ON]);
    assert_eq!(bench.mark(), MarkState::StandBy);
    bench.see_for(100, &[ON]);
    assert_eq!(bench.mark(), MarkState::Arrived);
    // Between 0.15 and 0.20 m nothing changes.
    bench.see_for(5_000, &[StagePoint::new(0.18, 0.0)]);
    assert_eq!(bench.mark(), MarkState::Arrived);
    bench.see_for(2_000, &[OFF]);
    assert_eq!(bench.mark(), MarkState::Arrived, "off for 1.9 s");
    bench.see_for(100, &[OFF]);
    assert_eq!(bench.mark(), MarkState::Off { toward_deg: 270.0 });
    bench.see_for(400, &[ON]);
    assert_eq!(bench.mark(), MarkState::Arrived);
}

#[test]
fn somebody_who_only_crosses_the_mark_has_not_arrived() {
    let mut bench = Bench::in_cue(1);
    for _ in 0..10 {
        bench.see_for(200, &[ON]);
        bench.see_for(200, &[OFF]);
        assert_eq!(bench.mark(), MarkState::StandBy);
    }
}

#[test]
fn without_word_of_people_the_plan_counts() {
    let mut bench = Bench::in_cue(1);
    bench.see_for(500, &[ON]);
    assert_eq!(bench.mark(), MarkState::Arrived);
    bench.wait(500);
    assert_eq!(bench.mark(), MarkState::StandBy);
}

#[test]
fn somebody_within_the_hard_keep_out_makes_it_not_clear() {
    // 0.3 m of disc, 0.25 m of body and 0.15 m of clearance: 0.7 m from its middle.
    for (x, word) in
        [(2.31, Reveal::NotClear), (2.29, Reveal::Clear), (-2.31, Reveal::NotClear), (-2.29, Reveal::Clear)]
    {
        let mut bench = Bench::in_cue(1);
        assert_eq!(bench.word(), Reveal::Unknown);
        bench.see(&[StagePoint::new(x, 0.0)]);
        assert_eq!(bench.word(), word, "at {x}");
    }
    // In cue 0 the disc of cue 2 is no matter yet, and the one of cue 1 is.
    let mut bench = Bench::in_cue(0);
    bench.see(&[StagePoint::new(-3.0, 0.0)]);
    assert_eq!(bench.word(), Reveal::Clear);
    bench.see(&[StagePoint::new(3.0, 0.0)]);
    assert_eq!(bench.word(), Reveal::NotClear);
}

#[test]
fn the_key_speaks_only_while_nothing_is_sensed() {
    let mut bench = Bench::in_cue(1);
    bench.enter(Input::Sense(Sense::ClearKey(true)));
    assert_eq!(bench.word(), Reveal::Clear);
    bench.see(&[StagePoint::new(3.0, 0.0)]);
    assert_eq!(bench.word(), Reveal::NotClear, "who is seen is not overruled");
    bench.wait(500);
    assert_eq!(bench.word(), Reveal::Clear, "presence is old");
    bench.see(&[]);
    bench.enter(Input::Sense(Sense::ClearKey(false)));
    assert_eq!(bench.word(), Reveal::Clear, "nobody is there");
    bench.enter(Input::Go { to: CueId(2), from: Source::Keys });
    assert_eq!(bench.word(), Reveal::Unknown, "nobody has looked since the cue began");
    bench.enter(Input::Off { from: Source::Keys });
    bench.enter(Input::Sense(Sense::ClearKey(true)));
    assert_eq!(bench.word(), Reveal::Unknown, "in OFF");
}

#[test]
fn air_shows_what_is_unseen_and_hides_it_at_once_for_a_second() {
    let mut bench = Bench::in_cue(1);
    bench.enter(Input::Mode { mode: Some(Mode::Air), from: Source::Keys });
    let unseen = |bench: &mut Bench, marks| bench.enter(Input::Sense(Sense::Unseen { marks, props: 0 }));
    let shown = |bench: &Bench| bench.state.view(&bench.show, bench.now).shown.marks;
    assert_eq!(shown(&bench), 0);
    // STANDBY showed it, so it has just been hidden.
    for _ in 0..12 {
        unseen(&mut bench, 1);
        bench.wait(100);
    }
    assert_eq!(shown(&bench), 1);
    unseen(&mut bench, 0);
    assert_eq!(shown(&bench), 0, "within one frame");
    for millis in (0..1_000).step_by(100) {
        unseen(&mut bench, 1);
        assert_eq!(shown(&bench), 0, "{millis} ms after");
        bench.wait(100);
    }
    unseen(&mut bench, 1);
    bench.wait(20);
    assert_eq!(shown(&bench), 1);
    let fade = bench.state.view(&bench.show, bench.now).fade;
    assert!(fade < 60, "it fades in: {fade}");
    bench.wait(250);
    assert_eq!(shown(&bench), 0, "without word every camera sees everything");
}
