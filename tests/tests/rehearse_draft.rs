//! Changes of a show file's text: what another reader of TOML sees of them, and what people who compare files see.

use underfoot_sim::demos::DEMOS;
use underfoot_sim::project::{Project, parse};
use underfoot_sim::rehearse::draft::edit::Change;
use underfoot_tests::edited::{Difference, differences, every_change};

/// Every demo with every change that it takes, and the text after it.
fn changed() -> Vec<(&'static str, &'static str, Change, String)> {
    let mut all = Vec::new();
    for (name, text) in DEMOS {
        for change in every_change(&parse(name, text).expect("a demo")) {
            match change.apply(text) {
                Ok(new) => all.push((*name, *text, change, new)),
                Err(words) => assert!(is_refused_rightly(&change, &words), "{name}: {change:?}: {words}"),
            }
        }
    }
    all
}

/// What the demos have no place for: points that are marks or entries, or that planning laid; points behind the last
/// one; poses that are not there, or of which one has to be named; a camera without a place.
fn is_refused_rightly(change: &Change, words: &str) -> bool {
    match change {
        Change::MovePoint { .. } => words.contains("move that") || words.contains("has no point"),
        Change::AddPoint { .. } => words.contains("between two others"),
        Change::AimShot { key: None, .. } | Change::ZoomShot { .. } => words.contains("say which"),
        Change::AimShot { .. } => words.contains("poses"),
        Change::MoveCamera { .. } => words.contains("no place in the show file"),
        _ => false,
    }
}

/// The line with every number as `#`.
fn without_numbers(line: &str) -> String {
    let mut text = String::new();
    for c in line.chars() {
        match c {
            '0'..='9' | '.' | '-' if text.ends_with('#') => {}
            '0'..='9' | '-' => text.push('#'),
            _ => text.push(c),
        }
    }
    text
}

#[test]
fn people_who_compare_the_files_see_only_the_numbers() {
    let all = changed();
    assert!(all.len() > 600, "{} changes", all.len());
    for (name, old, change, new) in &all {
        let (mut was, mut is): (Vec<&str>, Vec<&str>) = (old.lines().collect(), new.lines().collect());
        if is.len() == was.len() + 1 {
            let at = was.iter().zip(&is).position(|(a, b)| a != b).unwrap_or(was.len());
            let added = is.remove(at);
            let key = without_numbers(added);
            assert!(["turn_deg = #", "facing_deg = #", "limit_s = #"].contains(&key.as_str()), "{name}: {added}");
            assert!(!matches!(change, Change::MoveProp { .. } | Change::MoveMark { .. }), "{change:?}");
        }
        assert_eq!(was.len(), is.len(), "{name}: {change:?}");
        was.iter_mut().zip(&mut is).filter(|(a, b)| a != b).for_each(|(a, b)| {
            let faces = a.starts_with("faces = ") && b.starts_with("facing_deg = ");
            let point = matches!(change, Change::AddPoint { .. }) && without_numbers(b).contains(", [#, #]");
            let same = without_numbers(a) == without_numbers(b);
            assert!(same || faces || point, "{name}: {change:?}\n{a}\n{b}");
            assert_eq!(comment(a), comment(b), "{name}: {change:?}");
            assert!(most_places(b) <= most_places(a).max(3), "{name}: {change:?}\n{b}");
        });
    }
}

fn comment(line: &str) -> Option<&str> {
    line.find('#').map(|at| &line[at..])
}

/// Most places after the point of any number of a line.
fn most_places(line: &str) -> usize {
    let after = line.split('.').skip(1);
    after.map(|rest| rest.bytes().take_while(u8::is_ascii_digit).count()).max().unwrap_or(0)
}

#[test]
fn another_reader_sees_the_new_numbers_where_they_belong_and_no_other_change() {
    let all = changed();
    let pairs: Vec<_> = all.iter().map(|(_, old, _, new)| ((*old).to_owned(), new.clone())).collect();
    let seen = differences(&pairs);
    assert_eq!(seen.len(), all.len());
    for ((name, text, change, _), seen) in all.iter().zip(seen) {
        let project = parse(name, text).expect("a demo");
        assert!(!seen.is_empty(), "{name}: {change:?} changes nothing");
        for difference in &seen {
            assert!(belongs(&project, change, difference), "{name}: {change:?}: {difference:?}");
        }
    }
}

/// The number that a list of wished ones has at the end of a path: "mark.3.at.1" is the second.
fn is_wished(path: &str, new: Option<f64>, wished: &[f64]) -> bool {
    let index = path.rsplit('.').next().and_then(|digits| digits.parse::<usize>().ok());
    let wished = index.and_then(|i| wished.get(i));
    new.zip(wished).is_some_and(|(new, wished)| (new - wished).abs() <= 0.0005)
}

/// True for a difference that the change is meant to make.
fn belongs(project: &Project, change: &Change, (path, old, new): &Difference) -> bool {
    let show = &project.show;
    let under = |list: &str, index: Option<usize>| {
        let own = format!("{list}.{}.", index.unwrap_or(usize::MAX));
        path.strip_prefix(&own).map(ToOwned::to_owned)
    };
    let key = |rest: Option<String>, key: &str| rest.is_some_and(|rest| rest.starts_with(key));
    let wished = |to: &[f64]| is_wished(path, *new, to);
    let is = |value: f64| new.is_some_and(|new| (new - value).abs() < 1e-9);
    match change {
        Change::MoveProp { name, to } => {
            let prop = show.props.iter().position(|p| *p.name == *name);
            let by = prop.map(|p| [to[0] - f64::from(show.props[p].at.x), to[1] - f64::from(show.props[p].at.y)]);
            let along = motions(project, prop).iter().any(|&m| {
                let rest = under("motion", Some(m)).unwrap_or_default();
                ["key", "centre", "pivot"].iter().any(|key| rest.starts_with(key))
            });
            let went: Vec<f64> = by.into_iter().flatten().map(|by| old.unwrap_or(f64::NAN) + by).collect();
            key(under("prop", prop), "at.") && wished(to) || along && wished(&went)
        }
        Change::TurnProp { name, deg } => {
            key(under("prop", show.props.iter().position(|p| *p.name == *name)), "turn_deg") && is(*deg)
        }
        Change::MoveMark { name, to } => {
            let line_end = path.starts_with("line.") && path.contains(".points.");
            let mark = show.marks.iter().position(|m| *m.name == *name);
            (key(under("mark", mark), "at.") || line_end) && wished(to)
        }
        Change::TurnMark { name, deg } => {
            let rest = under("mark", show.marks.iter().position(|m| *m.name == *name));
            key(rest.clone(), "facing_deg") && is(*deg) || key(rest, "faces") && new.is_none()
        }
        Change::MovePhysical { name, to } => {
            key(under("physical", show.physicals.iter().position(|p| *p.name == *name)), "at.") && wished(to)
        }
        Change::TurnPhysical { name, deg } => {
            key(under("physical", show.physicals.iter().position(|p| *p.name == *name)), "turn_deg") && is(*deg)
        }
        Change::MovePoint { name, to, .. } => {
            key(under("line", show.lines.iter().position(|l| *l.name == *name)), "points.") && wished(to)
        }
        // What stood behind it stands one place farther on.
        Change::AddPoint { name, .. } => {
            key(under("line", show.lines.iter().position(|l| *l.name == *name)), "points.")
        }
        _ => belongs_to_pictures(project, change, (path, new)),
    }
}

fn motions(project: &Project, prop: Option<usize>) -> Vec<usize> {
    let all = project.show.motions.iter().enumerate();
    all.filter(|(_, m)| Some(m.prop.index()) == prop).map(|(i, _)| i).collect()
}

fn belongs_to_pictures(project: &Project, change: &Change, (path, new): (&str, &Option<f64>)) -> bool {
    let show = &project.show;
    let starts = |list: &str, index: Option<usize>, key: &str| {
        index.is_some_and(|index| path.starts_with(&format!("{list}.{index}.{key}")))
    };
    let is = |value: f64| new.is_some_and(|new| (new - value).abs() < 1e-9);
    match change {
        Change::MoveCamera { name, to, z } => {
            let camera = show.cameras.iter().position(|c| *c.name == *name);
            let place = starts("camera", camera, "at.") || starts("camera", camera, "base.");
            let own = show.shots.iter().enumerate().filter(|(_, s)| Some(s.camera.index()) == camera);
            let from = own.into_iter().any(|(i, _)| starts("shot", Some(i), "")) && path.contains(".from.");
            let wished: Vec<f64> = to.iter().copied().chain(*z).collect();
            let height = starts("camera", camera, "pivot_m") && z.is_some_and(is);
            (place || from) && is_wished(path, *new, &wished) || height
        }
        Change::AimShot { name, look, key } => {
            let shot = show.shots.iter().position(|s| *s.name == *name);
            let own = match key {
                Some(key) => starts("shot", shot, &format!("key.{key}.look.")) || starts("shot", shot, "look."),
                None => starts("shot", shot, "look."),
            };
            own && is_wished(path, *new, look)
        }
        Change::ZoomShot { name, focal_mm, .. } => {
            starts("shot", show.shots.iter().position(|s| *s.name == *name), "focal_mm") && is(*focal_mm)
        }
        Change::LimitCue { seconds, .. } => path.starts_with("cue.") && path.ends_with(".limit_s") && is(*seconds),
        _ => false,
    }
}
