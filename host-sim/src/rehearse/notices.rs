//! What everybody is told: of each kind only the newest matters, so that who is slow misses steps and not the end.

use std::collections::BTreeMap;
use std::sync::Arc;

use serde::Serialize;
use tokio::sync::{broadcast, watch};

/// Passing remarks that somebody may be behind by; who is farther behind misses the oldest.
const PASSING: usize = 64;

/// Kinds of standing notices.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Kind {
    /// Who is here and who drives.
    House,
    /// Which revision of the show this is.
    Show,
    /// What the checks say.
    Findings,
    /// What the simulated box says.
    Box,
    /// Which moment of the plan is looked at.
    Look,
    /// What an attached box says and how it differs.
    Attached,
}

/// The newest notice of each kind with a number that goes up.
pub type Standing = BTreeMap<Kind, (u64, Arc<str>)>;

/// The board that notices are pinned to.
#[derive(Debug)]
pub struct Notices {
    standing: watch::Sender<Standing>,
    passing: broadcast::Sender<Arc<str>>,
}

impl Default for Notices {
    fn default() -> Self {
        Self { standing: watch::Sender::new(Standing::new()), passing: broadcast::Sender::new(PASSING) }
    }
}

impl Notices {
    /// Pins a notice in the place of the last one of its kind; nobody is told of what has not changed.
    pub fn pin(&self, kind: Kind, body: &impl Serialize) {
        let text = text(kind, body);
        self.standing.send_if_modified(|standing| {
            let number = match standing.get(&kind) {
                Some((_, old)) if **old == *text => return false,
                Some((number, _)) => number + 1,
                None => 1,
            };
            standing.insert(kind, (number, text));
            true
        });
    }

    /// Says something once to everybody who is here now.
    pub fn say(&self, body: &impl Serialize) {
        // Nobody listening is no fault.
        let _ = self.passing.send(serde_json::to_string(body).unwrap_or_default().into());
    }

    /// Looks at the board from now on.
    pub fn watch(&self) -> (watch::Receiver<Standing>, broadcast::Receiver<Arc<str>>) {
        (self.standing.subscribe(), self.passing.subscribe())
    }
}

fn text(kind: Kind, body: &impl Serialize) -> Arc<str> {
    #[derive(Serialize)]
    struct Pinned<'b, B> {
        told: Kind,
        #[serde(flatten)]
        body: &'b B,
    }
    serde_json::to_string(&Pinned { told: kind, body }).unwrap_or_default().into()
}
