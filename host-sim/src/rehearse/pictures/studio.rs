//! Where pictures and figures are worked out: by a few hands beside the server's own threads, and kept for whoever asks the
//! same again.

use std::collections::HashMap;
use std::hash::{DefaultHasher, Hash, Hasher};
use std::sync::{Arc, Mutex};

use axum::body::Bytes;
use axum::extract::Query;
use axum::http::{HeaderMap, HeaderValue, StatusCode, Uri, header};
use axum::response::{IntoResponse, Response};
use tokio::sync::Semaphore;

use super::aside::aside;
use super::asked::{Asked, Unserved};
use crate::rehearse::house::{House, lock};
use crate::render::Easel;

/// Bytes of answers that are kept; what is larger than a quarter of it is not.
const KEPT_BYTES: usize = 64 << 20;
/// Kind of an answer in JSON.
pub(in crate::rehearse) const JSON: &str = "application/json";
/// Kind of a picture.
pub(in crate::rehearse) const PNG: &str = "image/png";

/// What is served.
#[derive(Clone, Debug)]
pub(in crate::rehearse) struct Answer {
    /// What it is, as HTTP names it.
    pub(in crate::rehearse) kind: &'static str,
    /// All of it.
    pub(in crate::rehearse) bytes: Bytes,
    /// The name under which a browser writes it to disk; `None` for what is looked at.
    pub(in crate::rehearse) file: Option<String>,
}

impl Answer {
    /// Something to look at.
    pub(in crate::rehearse) fn shown(kind: &'static str, bytes: impl Into<Bytes>) -> Self {
        Self { kind, bytes: bytes.into(), file: None }
    }

    /// Some JSON.
    pub(in crate::rehearse) fn json(value: &serde_json::Value) -> Self {
        Self::shown(JSON, value.to_string())
    }
}

/// Works something out with somebody's easel.
pub(in crate::rehearse) type Work = fn(&Asked, &mut Easel) -> Result<Answer, Unserved>;

/// Who works something out. What is slow waits for its like alone: a floor that plays does not wait for cameras. There are
/// few of each, for the box, the checks and the sockets need the rest of the machine.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::rehearse) enum Hand {
    /// Floors and figures: some milliseconds.
    Quick,
    /// Pictures of cameras and of eyes: every core for a while.
    Camera,
    /// In-shot zones: one core for a while.
    Zones,
    /// What is taken away: up to minutes.
    Export,
}

impl Hand {
    /// True for what lets the checks of a change go first: findings are what people change a show for.
    const fn waits(self) -> bool {
        matches!(self, Self::Camera | Self::Zones)
    }
}

/// Easels, hands, and what they made.
#[derive(Debug)]
pub struct Studio {
    easels: Mutex<Vec<Easel>>,
    /// For each [`Hand`] in its order, how many may work at once.
    hands: [Semaphore; 4],
    kept: Mutex<Kept>,
    /// Marks this process in what browsers keep: another one counts revisions anew.
    salt: u64,
}

impl Default for Studio {
    fn default() -> Self {
        let salt = getrandom::u64().unwrap_or_else(|_| u64::from(std::process::id()));
        Self { easels: Mutex::default(), hands: [2, 1, 1, 1].map(Semaphore::new), kept: Mutex::default(), salt }
    }
}

/// Serves what `work` makes of the show as it is now.
pub(in crate::rehearse) async fn serve(
    house: Arc<House>,
    (uri, headers): (Uri, HeaderMap),
    name: String,
    (hand, work): (Hand, Work),
) -> Response {
    let Ok(Query(query)) = Query::try_from_uri(&uri) else {
        return Unserved::bad("the query cannot be read: it is like ?cue=3&t=1.5").into_response();
    };
    let asked = Asked { revision: house.revision(), name, query };
    let key = key_of(&asked, uri.path());
    let tag = house.studio.tag(&key);
    if headers.get(header::IF_NONE_MATCH).is_some_and(|known| *known == tag) {
        return (StatusCode::NOT_MODIFIED, [(header::ETAG, tag)]).into_response();
    }
    match made(&house, key, asked, (hand, work)).await {
        Ok(answer) => response(answer, tag),
        Err(unserved) => unserved.into_response(),
    }
}

fn response(answer: Answer, tag: HeaderValue) -> Response {
    let kind = HeaderValue::from_static(answer.kind);
    // It may be kept, and is asked for again each time: a revision may come back with another show.
    let again = HeaderValue::from_static("private, no-cache");
    let headers = [(header::CONTENT_TYPE, kind), (header::CACHE_CONTROL, again), (header::ETAG, tag)];
    let mut response = (headers, answer.bytes).into_response();
    let named = answer.file.map(|file| HeaderValue::from_str(&format!("attachment; filename=\"{file}\"")));
    if let Some(Ok(named)) = named {
        response.headers_mut().insert(header::CONTENT_DISPOSITION, named);
    }
    response
}

/// All that an answer depends on.
fn key_of(asked: &Asked, path: &str) -> String {
    let query = asked.query.iter().filter(|(key, _)| *key != "rev").map(|(key, value)| format!("&{key}={value}"));
    format!("{} {path}{}", asked.revision.number, query.collect::<String>())
}

async fn made(house: &Arc<House>, key: String, asked: Asked, (hand, work): (Hand, Work)) -> Result<Answer, Unserved> {
    if let Some(answer) = lock(&house.studio.kept).get(&key) {
        return Ok(answer);
    }
    // Whoever goes away while waiting here leaves the queue.
    if hand.waits() {
        house.figured(asked.revision.number).await;
    }
    let Ok(_hand) = house.studio.hands[hand as usize].acquire().await else {
        return Err(Unserved::failed("the page is closing"));
    };
    // Meanwhile somebody else may have asked for the same.
    if let Some(answer) = lock(&house.studio.kept).get(&key) {
        return Ok(answer);
    }
    let shared = Arc::clone(house);
    let all = move || {
        let mut easel = lock(&shared.studio.easels).pop().unwrap_or_default();
        let made = work(&asked, &mut easel);
        lock(&shared.studio.easels).push(easel);
        made.inspect(|answer| lock(&shared.studio.kept).put(key, answer))
    };
    let made = if hand.waits() { aside(all).await } else { tokio::task::spawn_blocking(all).await.ok() };
    made.unwrap_or_else(|| Err(Unserved::failed("this went wrong inside; nothing was changed")))
}

impl Studio {
    fn tag(&self, key: &str) -> HeaderValue {
        let mut hasher = DefaultHasher::new();
        (self.salt, key).hash(&mut hasher);
        HeaderValue::from_str(&format!("\"{:016x}\"", hasher.finish())).unwrap_or(HeaderValue::from_static("\"\""))
    }
}

/// Answers that were given, the newest of them.
#[derive(Debug, Default)]
struct Kept {
    answers: HashMap<String, (u64, Answer)>,
    bytes: usize,
    /// Goes up with every use.
    uses: u64,
}

impl Kept {
    fn get(&mut self, key: &str) -> Option<Answer> {
        self.uses += 1;
        let (used, answer) = self.answers.get_mut(key)?;
        *used = self.uses;
        Some(answer.clone())
    }

    fn put(&mut self, key: String, answer: &Answer) {
        if answer.bytes.len() > KEPT_BYTES / 4 {
            return;
        }
        self.uses += 1;
        self.bytes += answer.bytes.len();
        if let Some((_, old)) = self.answers.insert(key, (self.uses, answer.clone())) {
            self.bytes -= old.bytes.len();
        }
        while self.bytes > KEPT_BYTES {
            let oldest = self.answers.iter().min_by_key(|(_, (used, _))| *used).map(|(key, _)| key.clone());
            let Some((_, gone)) = oldest.and_then(|key| self.answers.remove(&key)) else { return };
            self.bytes -= gone.bytes.len();
        }
    }
}

/// The show that everybody looks at, for tests.
#[cfg(test)]
pub(in crate::rehearse) fn asked_of(demo: &str, name: &str, query: &[(&str, &str)]) -> Asked {
    let text = crate::demos::text_of(demo).expect("a demo");
    let project = crate::project::parse(demo, text).expect("a demo loads");
    let query = query.iter().map(|(key, value)| ((*key).to_owned(), (*value).to_owned())).collect();
    let revision = crate::rehearse::draft::Revision { number: 1, project, code: "----".into() };
    Asked { revision: Arc::new(revision), name: name.into(), query }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_was_not_used_for_longest_goes_first() {
        let mut kept = Kept::default();
        let large = |n: u8| Answer::shown(PNG, vec![n; KEPT_BYTES / 4]);
        for (n, key) in (0..).zip(["a", "b", "c", "d"]) {
            kept.put(key.into(), &large(n));
        }
        assert!(kept.get("a").is_some());
        kept.put("e".into(), &large(4));
        assert!(kept.get("b").is_none() && kept.get("a").is_some() && kept.get("e").is_some());
        kept.put("e".into(), &large(5));
        assert_eq!(kept.bytes, KEPT_BYTES);
        assert_eq!(kept.get("e").map(|answer| answer.bytes[0]), Some(5));
        // What would push most of the others out is not kept.
        kept.put("f".into(), &Answer::shown(PNG, vec![0; KEPT_BYTES / 4 + 1]));
        assert!(kept.get("f").is_none() && kept.get("a").is_some());
    }

    #[test]
    fn the_revision_and_not_the_browsers_idea_of_it_says_what_is_the_same() {
        let key = |query: &[(&str, &str)]| key_of(&asked_of("clock-cabinet", "", query), "/api/show");
        assert_eq!(key(&[("rev", "3")]), key(&[]));
        assert_ne!(key(&[("cue", "3")]), key(&[("cue", "4")]));
    }
}
