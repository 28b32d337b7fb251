//! Cues: who and what is there, and when.

use underfoot_core::limits;
use underfoot_core::show::{
    Cue, CuePlace, CueProp, LineId, MarkId, Mode, MotionId, PersonId, Presence, PropId, ShotId, Title,
};

use super::desk::parse_timecode;
use super::resolver::{Resolver, run, small};
use crate::project::raw::RawFile;
use crate::project::raw::cues::{PlaceEntry, PropEntry, RawCue, RawCueProp};

/// A line that ends as near as this to a mark ends on it, metres.
const ON_MARK_M: f32 = 0.01;

/// The names that cues refer to.
struct Names<'a> {
    props: Vec<&'a str>,
    motions: Vec<&'a str>,
    people: Vec<&'a str>,
    marks: Vec<&'a str>,
    lines: Vec<&'a str>,
    shots: Vec<&'a str>,
}

impl Resolver<'_> {
    pub(super) fn cues(&mut self, raw: &RawFile) {
        let names = Names {
            props: raw.prop.iter().map(|p| p.name.0.as_str()).collect(),
            motions: raw.motion.iter().map(|m| m.name.0.as_str()).collect(),
            people: raw.person.iter().map(|p| p.name.0.as_str()).collect(),
            marks: raw.mark.iter().map(|m| m.name.0.as_str()).collect(),
            lines: raw.line.iter().map(|l| l.name.0.as_str()).collect(),
            shots: raw.shot.iter().map(|s| s.name.0.as_str()).collect(),
        };
        self.cue_order(raw);
        let mut totals = [0; 3];
        for (i, cue) in raw.cue.iter().enumerate() {
            let counts = self.cue(cue, i, &names);
            totals = [totals[0] + counts[0], totals[1] + counts[1], totals[2] + counts[2]];
        }
        let caps = [
            ("prop states over all cues", limits::CUE_PROPS),
            ("placements over all cues", limits::CUE_PLACES),
            ("intended shots over all cues", limits::CUE_SHOTS),
        ];
        for (total, (what, cap)) in totals.into_iter().zip(caps) {
            if total > cap {
                self.full("cue", what, total, cap);
            }
        }
    }

    fn cue_order(&mut self, raw: &RawFile) {
        for (i, pair) in raw.cue.windows(2).enumerate() {
            if let [before, after] = pair
                && after.number <= before.number
            {
                let what = format!("cue {} stands after cue {}", after.number, before.number);
                self.fault(
                    &format!("cue[{}].number", i + 1),
                    what,
                    "write cues in the order of their numbers, each once",
                );
            }
        }
    }

    /// Adds a cue; returns how many prop states, placements and shots it needs.
    fn cue(&mut self, c: &RawCue, i: usize, names: &Names<'_>) -> [usize; 3] {
        let path = format!("cue[{i}]");
        let hundredths = (c.number * 100.0).round();
        if (c.number * 100.0 - hundredths).abs() > 1e-6 {
            self.fault(
                &format!("{path}.number"),
                format!("cue {} has more than two decimals", c.number),
                "write two at most",
            );
        }
        let at = c.at.as_deref().and_then(|text| self.timecode(text, &format!("{path}.at")));
        if let (Some(at), Some(last)) = (at, self.show.cues.iter().rev().find_map(|c| c.at)) {
            let order = |t: underfoot_core::show::Timecode| (t.hours, t.minutes, t.seconds, t.frames);
            if order(at) <= order(last) {
                let what = format!("cue {} starts no later than the timecode cue before it", c.number);
                self.fault(&format!("{path}.at"), what, "timecodes rise with the cue numbers");
            }
        }
        let off = matches!(c.mode.0, Mode::Off | Mode::Worklight);
        if off && !(c.props.is_empty() && c.places.is_empty()) {
            let what = format!("cue {} is `off` or `worklight`, and names props or people", c.number);
            self.fault(&format!("{path}.mode"), what, "take them out, or choose another mode");
        }
        let (props, wanted_props) = self.cue_props(c, &path, names);
        let (places, wanted_places) = self.cue_places(c, &path, names);
        let (shots, wanted_shots) = self.cue_shots(c, &path, names);
        self.put("cues", i, &path);
        let _ = self.show.cues.push(Cue {
            number: hundredths as u32,
            name: Title::try_from(c.name.0.as_str()).unwrap_or_default(),
            mode: c.mode.0,
            at,
            time_limit_ms: c.limit_s.map_or(0, |s| (s.0 * 1000.0).round() as u32),
            props,
            places,
            shots,
        });
        [wanted_props, wanted_places, wanted_shots]
    }

    /// A timecode at the show's frame rate.
    pub(super) fn timecode(&mut self, text: &str, path: &str) -> Option<underfoot_core::show::Timecode> {
        match parse_timecode(text, self.show.frame_rate) {
            Ok(code) => Some(code),
            Err(why) => {
                self.fault(path, format!("\"{text}\" is not a timecode: {why}"), "write \"hh:mm:ss:ff\"");
                None
            }
        }
    }

    fn cue_props(&mut self, c: &RawCue, path: &str, names: &Names<'_>) -> (underfoot_core::show::Run, usize) {
        let before = self.show.cue_props.len();
        let mut seen: Vec<usize> = Vec::new();
        for (k, entry) in c.props.iter().enumerate() {
            let path = format!("{path}.props[{k}]");
            let live = RawCueProp::live;
            let table = match entry {
                PropEntry::Name(name) => live(name.clone()),
                PropEntry::Table(table) => table.clone(),
            };
            for prop in self.matching(&path, "prop", &table.prop.0, &names.props) {
                if seen.contains(&prop) {
                    let what = format!("cue {} names prop `{}` twice", c.number, names.props[prop]);
                    self.fault(&path, what, "take one out");
                    continue;
                }
                seen.push(prop);
                let motion = self.cue_motion(&table, prop, &path, names);
                self.put("cue_props", self.show.cue_props.len(), &path);
                let _ = self.show.cue_props.push(CueProp {
                    prop: PropId(small(prop)),
                    presence: table.state.0,
                    coming_ms: (table.coming_s.0 * 1000.0).round() as u32,
                    motion,
                });
            }
            if table.coming_s.0 > 0.0 && table.state.0 != Presence::Coming {
                let what = "`coming_s` belongs to a prop whose state is `coming`";
                self.fault(&format!("{path}.coming_s"), what, "write `state = \"coming\"`, or take it out");
            }
        }
        (run(before, self.show.cue_props.len()), seen.len())
    }

    fn cue_motion(&mut self, table: &RawCueProp, prop: usize, path: &str, names: &Names<'_>) -> Option<MotionId> {
        let wanted = table.motion.as_ref()?;
        let path = format!("{path}.motion");
        if let Some(stem) = wanted.0.strip_suffix('*') {
            // A pattern of motions goes with a pattern of props: each takes its own.
            let own = |&i: &usize| {
                names.motions[i].starts_with(stem) && self.show.motions.get(i).is_some_and(|m| m.prop.index() == prop)
            };
            let found = (0..names.motions.len()).find(own);
            if found.is_none() {
                let what = format!("no motion `{}` moves prop `{}`", wanted.0, names.props[prop]);
                self.fault(&path, what, "declare one as [[motion]]");
            }
            return found.map(|m| MotionId(small(m)));
        }
        let motion = self.find(&path, "motion", wanted, &names.motions)?;
        let moves = self.show.motions.get(motion)?.prop.index();
        if moves != prop {
            let other = names.props.get(moves).copied().unwrap_or("another");
            let what = format!("motion `{}` moves prop `{other}`, not `{}`", wanted.0, names.props[prop]);
            self.fault(&path, what, "name a motion of this prop");
        }
        Some(MotionId(small(motion)))
    }

    fn cue_places(&mut self, c: &RawCue, path: &str, names: &Names<'_>) -> (underfoot_core::show::Run, usize) {
        let before = self.show.cue_places.len();
        let mut seen: Vec<PersonId> = Vec::new();
        for (k, entry) in c.places.iter().enumerate() {
            let path = format!("{path}.places[{k}]");
            for place in self.placements(entry, &path, names) {
                if seen.contains(&place.person) {
                    let who = names.people.get(place.person.index()).copied().unwrap_or("");
                    self.fault(&path, format!("cue {} names person `{who}` twice", c.number), "take one out");
                    continue;
                }
                seen.push(place.person);
                self.put("cue_places", self.show.cue_places.len(), &path);
                let _ = self.show.cue_places.push(place);
            }
        }
        (run(before, self.show.cue_places.len()), seen.len())
    }

    fn placements(&mut self, entry: &PlaceEntry, path: &str, names: &Names<'_>) -> Vec<CuePlace> {
        match entry {
            PlaceEntry::Table(table) => {
                let person = self.find(&format!("{path}.person"), "person", &table.person, &names.people);
                let mark = self.find_some(&format!("{path}.mark"), "mark", table.mark.as_ref(), &names.marks);
                let line = self.find_some(&format!("{path}.line"), "line", table.line.as_ref(), &names.lines);
                if let (Some(mark), Some(line)) = (mark, line) {
                    self.line_leads_to(line, mark, &format!("{path}.line"), names);
                }
                let place = |person| CuePlace {
                    person: PersonId(small(person)),
                    mark: mark.map(|m| MarkId(small(m))),
                    line: line.map(|l| LineId(small(l))),
                };
                person.map(place).into_iter().collect()
            }
            PlaceEntry::Name(name) => {
                let mut found = Vec::new();
                for mark in self.matching(path, "mark", &name.0, &names.marks) {
                    match self.show.marks.get(mark).and_then(|m| m.person) {
                        Some(person) => found.push(CuePlace { person, mark: Some(MarkId(small(mark))), line: None }),
                        None => {
                            let what = format!("mark `{}` has no person of its own", names.marks[mark]);
                            self.fault(path, what, "write `{ person = \"...\", mark = \"...\" }`");
                        }
                    }
                }
                found
            }
        }
    }

    /// Refuses a line that ends on another mark than the one on which the cue wants the person.
    fn line_leads_to(&mut self, line: usize, mark: usize, path: &str, names: &Names<'_>) {
        let Some(end) = self.show.lines.get(line).and_then(|l| self.show.points_of(l).last()) else { return };
        let marks = &self.show.marks;
        let off = |i: usize| marks.get(i).map_or(f32::INFINITY, |m| m.at.distance(end.at));
        // A line that ends beside every mark may be meant so; the checks measure it.
        let Some(other) = (0..marks.len()).find(|&i| off(i) < ON_MARK_M) else { return };
        if off(mark) >= ON_MARK_M {
            let (line, mark, other) = (names.lines[line], names.marks[mark], names.marks[other]);
            let what = format!("line `{line}` ends on mark `{other}`, not on `{mark}`");
            self.fault(path, what, "name the mark that it ends on, or a line that leads to this one");
        }
    }

    fn cue_shots(&mut self, c: &RawCue, path: &str, names: &Names<'_>) -> (underfoot_core::show::Run, usize) {
        let before = self.show.cue_shots.len();
        for (k, shot) in c.shots.iter().enumerate() {
            let path = format!("{path}.shots[{k}]");
            let Some(index) = self.find(&path, "shot", shot, &names.shots) else { continue };
            if c.shots.iter().take(k).any(|s| s.0 == shot.0) {
                self.fault(&path, format!("cue {} names shot `{}` twice", c.number, shot.0), "take one out");
            }
            let _ = self.show.cue_shots.push(ShotId(small(index)));
        }
        (run(before, self.show.cue_shots.len()), c.shots.len())
    }

    /// Indices of the one thing called `name`, or of all that begin so when it ends in `*`.
    fn matching(&mut self, path: &str, what: &str, name: &str, known: &[&str]) -> Vec<usize> {
        let found: Vec<usize> = match name.strip_suffix('*') {
            Some(stem) => (0..known.len()).filter(|&i| known[i].starts_with(stem)).collect(),
            None => known.iter().position(|k| *k == name).into_iter().collect(),
        };
        if found.is_empty() {
            self.unknown(path, what, name, known);
        }
        found
    }
}
