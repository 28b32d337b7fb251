//! Steps back and forward, held against a model that keeps every text in a list.

use std::time::{Duration, Instant};

use underfoot_sim::demos::text_of;
use underfoot_sim::project::parse;
use underfoot_sim::rehearse::draft::Draft;
use underfoot_sim::rehearse::draft::edit::Change;
use underfoot_tests::dice::Dice;
use underfoot_tests::edited::every_change;

const SEQUENCES: u64 = 500;
/// Most steps back that a draft keeps.
const MOST: usize = 200;
/// Changes of one thing within this time are one step.
const AT_ONCE: Duration = Duration::from_millis(1500);

/// All texts there have been on the way here, and those that were taken back.
struct Model {
    texts: Vec<String>,
    at: usize,
    /// What was changed last, and when; nothing after a step back or forward.
    last: Option<(Change, Instant)>,
}

impl Model {
    fn text(&self) -> &str {
        &self.texts[self.at]
    }

    fn changed(&mut self, change: &Change, text: String, now: Instant) {
        if text == self.text() {
            return;
        }
        self.texts.truncate(self.at + 1);
        let goes_on = |last: &(Change, Instant)| is_same_thing(&last.0, change) && now - last.1 <= AT_ONCE;
        if self.last.as_ref().is_some_and(goes_on) {
            self.texts.pop();
        }
        self.texts.push(text);
        if self.texts.len() > MOST + 1 {
            self.texts.remove(0);
        }
        self.at = self.texts.len() - 1;
        self.last = Some((change.clone(), now));
    }
}

/// True for two changes of one kind of one thing.
fn is_same_thing(one: &Change, two: &Change) -> bool {
    let (one, two) = (format!("{one:?}"), format!("{two:?}"));
    let thing = |text: &str| text.split([',', '{']).take(2).collect::<String>();
    // The demos' lines and shots are not changed here: their points and poses would be things of their own.
    thing(&one) == thing(&two)
}

/// A change of the kinds that people make most: props, marks, cameras, cues.
fn some_change(dice: &mut Dice, all: &[Change]) -> Change {
    let mut change = all[dice.below(all.len())].clone();
    if let Change::MoveProp { to, .. } | Change::MoveMark { to, .. } | Change::MoveCamera { to, .. } = &mut change {
        to[0] += dice.between(-1.0, 1.0);
        // Far out, which the loader refuses, once in a while.
        to[1] += if dice.one_in(12) { 900.0 } else { dice.between(-1.0, 1.0) };
    }
    change
}

fn is_usual(change: &Change) -> bool {
    matches!(
        change,
        Change::MoveProp { .. }
            | Change::TurnProp { .. }
            | Change::MoveMark { .. }
            | Change::TurnMark { .. }
            | Change::MoveCamera { .. }
            | Change::LimitCue { .. }
    )
}

#[test]
fn steps_go_where_a_list_of_all_texts_goes() {
    let text = text_of("clock-cabinet").expect("a demo");
    let project = parse("clock-cabinet", text).expect("a show");
    let all: Vec<Change> = every_change(&project).into_iter().filter(is_usual).collect();
    let (mut refused, mut merged) = (0, 0);
    for seed in 0..SEQUENCES {
        let mut dice = Dice::new(seed);
        let mut draft = Draft::new(project.clone(), None);
        let mut model = Model { texts: vec![text.to_owned()], at: 0, last: None };
        let mut now = Instant::now();
        let mut change = some_change(&mut dice, &all);
        for _ in 0..10 {
            let before = draft.told();
            match dice.below(6) {
                0 => {
                    let done = draft.undo();
                    assert_eq!(done.is_ok(), model.at > 0, "{seed}");
                    model.at = model.at.saturating_sub(1);
                    model.last = model.last.take().filter(|_| done.is_err());
                }
                1 => {
                    let done = draft.redo();
                    assert_eq!(done.is_ok(), model.at + 1 < model.texts.len(), "{seed}");
                    model.at = (model.at + 1).min(model.texts.len() - 1);
                    model.last = model.last.take().filter(|_| done.is_err());
                }
                _ => {
                    if !dice.one_in(3) {
                        change = some_change(&mut dice, &all);
                    } else if let Change::MoveProp { to, .. } | Change::MoveMark { to, .. } = &mut change {
                        to[0] += 0.05;
                    }
                    now += Duration::from_millis(dice.below(3000) as u64);
                    let new = change.apply(model.text());
                    let done = draft.change_at(&change, now);
                    // What is refused is no show, or no change.
                    let new = new.and_then(|new| match &done {
                        Ok(()) => Ok(new),
                        Err(_) => Err(parse("clock-cabinet", &new).expect_err("no show").to_string()),
                    });
                    assert_eq!(done, new.clone().map(|_| ()), "{seed}");
                    let steps = model.texts.len();
                    match new {
                        Ok(new) => model.changed(&change, new, now),
                        Err(_) => refused += 1,
                    }
                    merged += usize::from(model.texts.len() == steps);
                }
            }
            let (told, revision) = (draft.told(), draft.now());
            assert_eq!(revision.project.source, model.text(), "{seed}");
            assert_eq!((told.undo, told.redo), (model.at, model.texts.len() - 1 - model.at), "{seed}");
            assert_eq!(told.unkept, model.text() != text, "{seed}");
            assert_eq!(told.revision, revision.number);
            assert!(told == before || told.revision > before.revision, "{seed}");
        }
        while draft.undo().is_ok() {}
        assert_eq!(draft.now().project.source, text, "{seed}: undo leads back to the very bytes");
    }
    assert!(refused > 50 && merged > 50, "{refused} refused, {merged} nudges");
}

#[test]
fn the_oldest_of_many_steps_is_forgotten() {
    let text = text_of("clock-cabinet").expect("a demo");
    let mut draft = Draft::new(parse("clock-cabinet", text).expect("a show"), None);
    let mut now = Instant::now();
    let mut first = String::new();
    for step in 0..=MOST {
        now += Duration::from_secs(2);
        let to = [0.15 + step as f64 * 0.001 + 0.001, -0.35];
        draft.change_at(&Change::MoveProp { name: "WATCH".into(), to }, now).expect("a change");
        if step == 0 {
            first = draft.now().project.source.clone();
        }
    }
    assert_eq!(draft.told().undo, MOST);
    while draft.undo().is_ok() {}
    assert_eq!(draft.now().project.source, first);
    assert_eq!(draft.told().redo, MOST);
}
