//! What an address asks for: a name and a query, read strictly, so that a slip is told and not taken for something else.

use std::collections::BTreeMap;
use std::fmt::Display;
use std::ops::RangeInclusive;
use std::str::FromStr;
use std::sync::Arc;

use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use underfoot_core::show::{Cue, CueId, Mode};

use crate::project::Project;
use crate::rehearse::draft::Revision;

/// Words of the modes in an address, as `draw --mode` has them.
const MODES: [(&str, Mode); 7] = [
    ("build", Mode::Build),
    ("brief", Mode::Brief),
    ("standby", Mode::Standby),
    ("air", Mode::Air),
    ("reset", Mode::Reset),
    ("off", Mode::Off),
    ("worklight", Mode::Worklight),
];
/// Latest moment of a cue, seconds.
const LATEST_S: f32 = 86_400.0;

/// One ask for something of the show as it is now.
#[derive(Clone, Debug)]
pub(in crate::rehearse) struct Asked {
    /// The show.
    pub(in crate::rehearse) revision: Arc<Revision>,
    /// The name in the address; empty where there is none.
    pub(in crate::rehearse) name: String,
    /// What follows the question mark.
    pub(in crate::rehearse) query: BTreeMap<String, String>,
}

/// Why nothing is served, in words for people.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(in crate::rehearse) struct Unserved {
    /// 400 for a slip in the query, 404 for a name that the show does not have, 422 for what cannot be drawn.
    pub(in crate::rehearse) status: StatusCode,
    /// What is wrong and what would do.
    pub(in crate::rehearse) words: String,
}

impl Unserved {
    /// A value of the query that cannot be read.
    pub(in crate::rehearse) fn bad(words: impl Into<String>) -> Self {
        Self { status: StatusCode::BAD_REQUEST, words: words.into() }
    }

    /// A name or a number of something that the show does not have.
    pub(in crate::rehearse) fn unknown(words: impl Into<String>) -> Self {
        Self { status: StatusCode::NOT_FOUND, words: words.into() }
    }

    /// Something that the show has and that cannot be worked out.
    pub(in crate::rehearse) fn failed(why: impl Display) -> Self {
        Self { status: StatusCode::UNPROCESSABLE_ENTITY, words: why.to_string() }
    }
}

impl IntoResponse for Unserved {
    fn into_response(self) -> Response {
        (self.status, format!("{}\n", self.words)).into_response()
    }
}

impl Asked {
    /// The show with all that the desk knows of it.
    pub(in crate::rehearse) fn project(&self) -> &Project {
        &self.revision.project
    }

    /// Refuses a query with anything but `known` in it; the revision may always be named.
    pub(in crate::rehearse) fn only(&self, known: &[&str]) -> Result<(), Unserved> {
        let stray = self.query.keys().find(|key| *key != "rev" && !known.contains(&key.as_str()));
        stray.map_or(Ok(()), |key| {
            let known = if known.is_empty() { "rev alone".into() } else { format!("{} and rev", known.join(", ")) };
            Err(Unserved::bad(format!("there is no \"{key}\" here: this address takes {known}")))
        })
    }

    /// The cue that is named by its index; `None` without one.
    pub(in crate::rehearse) fn cue(&self) -> Result<Option<(CueId, &Cue)>, Unserved> {
        let Some(text) = self.query.get("cue") else { return Ok(None) };
        let cues = &self.project().show.cues;
        let range = match cues.len() {
            0 => "this show has none".into(),
            count => format!("give the index of one, 0 to {}", count - 1),
        };
        let index = text.parse::<usize>().map_err(|_| Unserved::bad(format!("cue \"{text}\" is no cue: {range}")))?;
        match (u8::try_from(index), cues.get(index)) {
            (Ok(id), Some(cue)) => Ok(Some((CueId(id), cue))),
            _ => Err(Unserved::unknown(format!("there is no cue with index {index}: {range}"))),
        }
    }

    /// The cue, which has to be named.
    pub(in crate::rehearse) fn must_cue(&self) -> Result<(CueId, &Cue), Unserved> {
        self.cue()?.ok_or_else(|| Unserved::bad("no cue is named: add cue= with the index of one, 0 for the first"))
    }

    /// Seconds since the cue began; `None` for the cue as it is planned, with all moves ended.
    pub(in crate::rehearse) fn seconds(&self) -> Result<Option<f32>, Unserved> {
        self.number("t", 0.0..=LATEST_S, "seconds since the cue began")
    }

    /// A number within a range, and what it is.
    pub(in crate::rehearse) fn number<N>(
        &self,
        key: &str,
        range: RangeInclusive<N>,
        what: &str,
    ) -> Result<Option<N>, Unserved>
    where
        N: FromStr + PartialOrd + Display,
    {
        let Some(text) = self.query.get(key) else { return Ok(None) };
        let number = text.parse::<N>().ok().filter(|n| range.contains(n)).map(Some);
        let (low, high) = (range.start(), range.end());
        number.ok_or_else(|| Unserved::bad(format!("{key} \"{text}\" cannot be: it is {what}, {low} to {high}")))
    }

    /// The mode that is named; `None` for the cue's own.
    pub(in crate::rehearse) fn mode(&self) -> Result<Option<Mode>, Unserved> {
        self.word("mode", &MODES)
    }

    /// One of some words.
    pub(in crate::rehearse) fn word<T: Copy>(&self, key: &str, words: &[(&str, T)]) -> Result<Option<T>, Unserved> {
        let Some(text) = self.query.get(key) else { return Ok(None) };
        let known = words.iter().find(|(word, _)| word == text).map(|(_, value)| Some(*value));
        known.ok_or_else(|| {
            let words: Vec<&str> = words.iter().map(|(word, _)| *word).collect();
            Unserved::bad(format!("{key} \"{text}\" is not known: it is one of {}", words.join(", ")))
        })
    }

    /// The index of what the address names.
    pub(in crate::rehearse) fn named<'n>(
        &self,
        kind: &str,
        names: impl Iterator<Item = &'n str>,
    ) -> Result<usize, Unserved> {
        let names: Vec<&str> = names.collect();
        let index = names.iter().position(|name| *name == self.name);
        index.ok_or_else(|| match names.is_empty() {
            true => Unserved::unknown(format!("there is no {kind} \"{}\": this show has none", self.name)),
            false => Unserved::unknown(format!("there is no {kind} \"{}\": there are {}", self.name, names.join(", "))),
        })
    }
}

/// The word of a mode in an address.
pub(in crate::rehearse) fn mode_word(mode: Mode) -> &'static str {
    MODES.iter().find(|(_, known)| *known == mode).map_or("off", |(word, _)| *word)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn asked(name: &str, query: &[(&str, &str)]) -> Asked {
        crate::rehearse::pictures::studio::asked_of("clock-cabinet", name, query)
    }

    #[test]
    fn a_slip_is_named_with_what_would_do() {
        let words = |asked: &Asked| asked.seconds().map_err(|e| e.words);
        assert_eq!(words(&asked("", &[("t", "1.5")])), Ok(Some(1.5)));
        for bad in ["-1", "x", "", "NaN", "inf", "1e9"] {
            let told = words(&asked("", &[("t", bad)])).expect_err(bad);
            assert!(told.contains(&format!("t \"{bad}\"")) && told.contains("0 to 86400"), "{told}");
        }
        let told = asked("", &[("time", "1")]).only(&["cue", "t"]).expect_err("a stray key").words;
        assert!(told.contains("\"time\"") && told.contains("cue, t and rev"), "{told}");
        assert_eq!(asked("", &[("rev", "7")]).only(&[]), Ok(()));
        let told = asked("", &[("mode", "on-air")]).mode().expect_err("no such mode").words;
        assert!(told.contains("standby") && told.contains("on-air"), "{told}");
    }

    #[test]
    fn unknown_names_and_cues_are_answered_with_those_that_there_are() {
        let wrong = asked("FLOR", &[("cue", "250")]);
        let told = wrong.named("canvas", ["FLOOR", "RISER"].into_iter()).expect_err("no such canvas");
        assert_eq!(told.status, StatusCode::NOT_FOUND);
        assert_eq!(told.words, "there is no canvas \"FLOR\": there are FLOOR, RISER");
        let told = wrong.must_cue().expect_err("no such cue");
        assert!(told.status == StatusCode::NOT_FOUND && told.words.contains("0 to"), "{told:?}");
        assert_eq!(asked("", &[("cue", "one")]).must_cue().expect_err("no cue").status, StatusCode::BAD_REQUEST);
    }
}
