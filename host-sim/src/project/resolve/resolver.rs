//! What all parts of the resolver share: faults, places, names and their look-up.

use std::collections::HashMap;

use underfoot_core::geom::{StagePoint, StagePoint3};
use underfoot_core::show::{Name, Show};

use crate::project::errors::LoadError;
use crate::project::model::{CameraDetails, LineWish};
use crate::project::places::ItemPlaces;
use crate::project::raw::RawFile;
use crate::project::raw::numbers::{NameText, Place, Place3, RefText};
use crate::project::source::Document;
use crate::project::words::did_you_mean;

/// The show in the making.
pub(super) struct Resolver<'a> {
    pub(super) document: &'a Document,
    pub(super) show: Box<Show>,
    pub(super) places: ItemPlaces,
    pub(super) errors: Vec<LoadError>,
    pub(super) cameras: Vec<CameraDetails>,
    pub(super) part_names: Vec<String>,
    pub(super) motion_names: Vec<String>,
    pub(super) line_turns_s: Vec<Option<f32>>,
    pub(super) line_wishes: Vec<LineWish>,
    pub(super) floor_blocks: Vec<bool>,
    /// What things are called, and what they are: "a mark".
    kinds: HashMap<&'a str, &'static str>,
}

/// Whether a kind of thing takes a key.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Take {
    Needed,
    Optional,
    Stray,
}

impl<'a> Resolver<'a> {
    pub(super) fn new(document: &'a Document, raw: &'a RawFile) -> Self {
        Self {
            document,
            show: Box::default(),
            places: ItemPlaces::new(&document.name),
            errors: Vec::new(),
            cameras: Vec::new(),
            part_names: Vec::new(),
            motion_names: Vec::new(),
            line_turns_s: Vec::new(),
            line_wishes: Vec::new(),
            floor_blocks: Vec::new(),
            kinds: kinds(raw),
        }
    }

    /// Records a fault at `path`, or at the nearest thing round it that is written.
    pub(super) fn fault(&mut self, path: &str, what: impl Into<String>, remedy: impl Into<String>) {
        let span = self.document.span_of(path);
        self.errors.push(self.document.error(&span, what.into(), remedy.into()));
    }

    /// Records where item `index` of a core list is written.
    pub(super) fn put(&mut self, list: &'static str, index: usize, path: &str) {
        let place = self.document.line_column(self.document.span_of(path).start);
        self.places.put(list, index, place);
    }

    /// Records a shared list that is full: `count` is what the file needs.
    pub(super) fn full(&mut self, path: &str, what: &str, count: usize, limit: usize) {
        self.fault(
            path,
            format!("{count} {what}; the limit is {limit}"),
            format!("take {} out", count.saturating_sub(limit)),
        );
    }

    /// Refuses a name that stands twice in the tables called `table`.
    pub(super) fn unique<'n>(&mut self, table: &str, names: impl Iterator<Item = &'n str>) {
        let mut first: HashMap<&str, usize> = HashMap::new();
        for (i, name) in names.enumerate() {
            if let Some(&before) = first.get(name) {
                let (line, _) =
                    self.document.line_column(self.document.span_of(&format!("{table}[{before}].name")).start);
                let what = format!("there are two [[{table}]] with the name `{name}`; the first is on line {line}");
                self.fault(&format!("{table}[{i}].name"), what, "give one of them another name");
            } else {
                first.insert(name, i);
            }
        }
    }

    /// The index of `name` among `known`, or a fault at `path` that offers the nearest.
    pub(super) fn find(&mut self, path: &str, what: &str, name: &RefText, known: &[&str]) -> Option<usize> {
        let found = known.iter().position(|k| *k == name.0);
        if found.is_none() {
            self.unknown(path, what, &name.0, known);
        }
        found
    }

    /// Records a name that nothing of the kind `what` has: says what else has it, and offers the nearest that is known.
    pub(super) fn unknown(&mut self, path: &str, what: &str, name: &str, known: &[&str]) {
        let other = self.kinds.get(name).map_or(String::new(), |kind| format!("; `{name}` is {kind}"));
        self.fault(path, format!("there is no {what} `{name}`{other}"), did_you_mean(name, known));
    }

    /// Like [`Self::find`] for a reference that may be left out.
    pub(super) fn find_some(
        &mut self,
        path: &str,
        what: &str,
        name: Option<&RefText>,
        known: &[&str],
    ) -> Option<usize> {
        name.and_then(|name| self.find(path, what, name, known))
    }

    /// Refuses keys that `owner` does not take and names those that it lacks. True when nothing is wrong.
    pub(super) fn takes(&mut self, path: &str, owner: &str, keys: &[(&str, bool, Take)]) -> bool {
        let before = self.errors.len();
        for &(key, present, take) in keys {
            if present && take == Take::Stray {
                let own: Vec<&str> = keys.iter().filter(|k| k.2 != Take::Stray).map(|k| k.0).collect();
                let remedy = if own.is_empty() {
                    "take it out".to_owned()
                } else {
                    format!("take it out; {owner} takes {}", crate::project::words::list(&own))
                };
                self.fault(&format!("{path}.{key}"), format!("`{key}` does not belong to {owner}"), remedy);
            }
            if !present && take == Take::Needed {
                self.fault(path, format!("{owner} needs `{key}`"), format!("add `{key}`"));
            }
        }
        self.errors.len() == before
    }

    /// The core's own check, in case it knows better.
    pub(super) fn last_door(&mut self) {
        let Err(error) = self.show.validate() else { return };
        let span = match self.places.of(error.list, usize::from(error.index)) {
            Some(place) => {
                let starts = self.document.text.split_inclusive('\n').take(place.line - 1).map(str::len).sum::<usize>();
                starts..starts
            }
            None => 0..0,
        };
        let what = format!("item {} of the show's {} is refused: {:?}", error.index + 1, error.list, error.fault);
        self.errors.push(self.document.error(&span, what, "check its numbers".to_owned()));
    }
}

/// What each name of the file stands for; of two things with one name, the one that people meet first.
fn kinds(raw: &RawFile) -> HashMap<&str, &'static str> {
    let lists: [(&'static str, Vec<&NameText>); 9] = [
        ("a class", raw.class.iter().map(|c| &c.name).collect()),
        ("a motion", raw.motion.iter().map(|m| &m.name).collect()),
        ("a shot", raw.shot.iter().map(|s| &s.name).collect()),
        ("a camera", raw.camera.iter().map(|c| &c.name).collect()),
        ("a line", raw.line.iter().map(|l| &l.name).collect()),
        ("an entry", raw.entry.iter().map(|e| &e.name).collect()),
        ("a prop", raw.prop.iter().map(|p| &p.name).collect()),
        ("a mark", raw.mark.iter().map(|m| &m.name).collect()),
        ("a person", raw.person.iter().map(|p| &p.name).collect()),
    ];
    lists.into_iter().flat_map(|(kind, names)| names.into_iter().map(move |n| (n.0.as_str(), kind))).collect()
}

/// A name that the schema has already measured.
pub(super) fn name(text: &str) -> Name {
    Name::try_from(text).unwrap_or_default()
}

/// A place on the floor.
pub(super) fn point(place: Place) -> StagePoint {
    let [x, y] = place;
    StagePoint::new(x.get(), y.get())
}

/// A place in space.
pub(super) fn point3(place: Place3) -> StagePoint3 {
    let [x, y, z] = place;
    StagePoint3::new(x.get(), y.get(), z.get())
}

/// A length in millimetres as metres.
pub(super) fn metres(mm: f64) -> f32 {
    (mm / 1000.0) as f32
}

/// An index as the core's ids hold it; every list is shorter than 256.
pub(super) fn small(index: usize) -> u8 {
    u8::try_from(index).unwrap_or(u8::MAX)
}

/// A run of a shared list, from its lengths before and after.
pub(super) fn run(before: usize, after: usize) -> underfoot_core::show::Run {
    let narrow = |n: usize| u16::try_from(n).unwrap_or(u16::MAX);
    underfoot_core::show::Run { first: narrow(before), len: narrow(after.saturating_sub(before)) }
}
