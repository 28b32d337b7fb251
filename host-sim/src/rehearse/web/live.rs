//! One browser's WebSocket: asks in, answers and notices out.

use std::collections::BTreeMap;
use std::sync::Arc;
use std::time::{Duration, Instant};

use axum::Extension;
use axum::body::Bytes;
use axum::extract::State;
use axum::extract::ws::{Message, WebSocket, WebSocketUpgrade};
use axum::http::{HeaderMap, StatusCode};
use axum::response::{IntoResponse, Response};
use serde_json::json;
use tokio::sync::{broadcast, watch};
use tokio::time::{interval, timeout};

use crate::rehearse::door::Pace;
use crate::rehearse::house::House;
use crate::rehearse::notices::{Kind, Standing};
use crate::rehearse::people::Right;
use crate::rehearse::says;

/// Longest message that anybody may send, bytes.
const MOST_BYTES: usize = 16 * 1024;
/// Who takes nothing, or says nothing, for so long is let go.
const PATIENCE: Duration = Duration::from_secs(5);
/// How often a browser is asked whether it is there; it answers by itself, however busy its page is. A line that went
/// without a word would leave a key down.
const BEAT: Duration = Duration::from_secs(1);
/// Asks at once, and a second.
const BURST: u32 = 120;
const PER_S: u32 = 60;

/// Opens the WebSocket of a browser that shows a page of ours.
pub(super) async fn live(
    State(house): State<Arc<House>>,
    Extension(right): Extension<Right>,
    headers: HeaderMap,
    upgrade: WebSocketUpgrade,
) -> Response {
    if !house.door.is_ours(&headers) {
        return (StatusCode::FORBIDDEN, "Only a page of this server may do that.\n").into_response();
    }
    if !house.has_room() {
        return (StatusCode::SERVICE_UNAVAILABLE, "Too many browsers are connected.\n").into_response();
    }
    let upgrade = upgrade.max_message_size(MOST_BYTES).max_frame_size(MOST_BYTES);
    upgrade.on_upgrade(move |socket| async move {
        let id = house.come(right);
        let _ = Browser::new(&house, id).stay(socket).await;
        house.go(id);
    })
}

/// The connection is over.
struct Gone;

struct Browser {
    house: Arc<House>,
    id: u64,
    standing: watch::Receiver<Standing>,
    passing: broadcast::Receiver<Arc<str>>,
    /// Number of the last notice of each kind that was sent.
    sent: BTreeMap<Kind, u64>,
    pace: Pace,
}

impl Browser {
    fn new(house: &Arc<House>, id: u64) -> Self {
        let (mut standing, passing) = house.notices.watch();
        standing.mark_changed();
        let pace = Pace::new(BURST, PER_S, Instant::now());
        Self { house: Arc::clone(house), id, standing, passing, sent: BTreeMap::new(), pace }
    }

    async fn stay(mut self, mut socket: WebSocket) -> Result<(), Gone> {
        send(&mut socket, Message::text(json!({ "told": "you", "id": self.id }).to_string())).await?;
        let (mut beat, mut heard) = (interval(BEAT), Instant::now());
        loop {
            tokio::select! {
                // What it said counts before it is found silent.
                biased;
                message = socket.recv() => {
                    self.hear(&mut socket, message.and_then(Result::ok).ok_or(Gone)?).await?;
                    heard = Instant::now();
                }
                _ = beat.tick() => {
                    let is_here = heard.elapsed() <= PATIENCE;
                    send(&mut socket, is_here.then(|| Message::Ping(Bytes::new())).ok_or(Gone)?).await?;
                }
                changed = self.standing.changed() => {
                    changed.map_err(|_| Gone)?;
                    for text in self.news() {
                        send(&mut socket, Message::text(text.as_ref())).await?;
                    }
                }
                said = self.passing.recv() => match said {
                    Ok(text) => send(&mut socket, Message::text(text.as_ref())).await?,
                    Err(broadcast::error::RecvError::Lagged(_)) => {}
                    Err(broadcast::error::RecvError::Closed) => return Ok(()),
                },
            }
        }
    }

    async fn hear(&mut self, socket: &mut WebSocket, message: Message) -> Result<(), Gone> {
        match message {
            Message::Text(text) => {
                let answer = self.ask(text.as_str()).await;
                send(socket, Message::text(answer)).await
            }
            Message::Ping(_) | Message::Pong(_) => Ok(()),
            Message::Binary(_) | Message::Close(_) => Err(Gone),
        }
    }

    /// Notices that this browser has not had.
    fn news(&mut self) -> Vec<Arc<str>> {
        let standing = self.standing.borrow_and_update();
        let new = standing.iter().filter(|(kind, (number, _))| self.sent.get(kind) != Some(number));
        let new: Vec<_> = new.map(|(kind, (number, text))| (*kind, *number, Arc::clone(text))).collect();
        drop(standing);
        self.sent.extend(new.iter().map(|(kind, number, _)| (*kind, *number)));
        new.into_iter().map(|(_, _, text)| text).collect()
    }

    async fn ask(&mut self, text: &str) -> String {
        if !self.pace.take(Instant::now()) {
            // Waiting here holds up this browser alone.
            tokio::time::sleep(self.pace.wait()).await;
        }
        let envelope = match says::read(text) {
            Ok(envelope) => envelope,
            Err(e) => return json!({ "answer": null, "refused": format!("this cannot be read: {e}") }).to_string(),
        };
        let (house, id, ask) = (Arc::clone(&self.house), self.id, envelope.ask);
        // Some asks take a while: other browsers must not wait for them.
        let done = tokio::task::spawn_blocking(move || house.take(id, ask)).await;
        let done = done.unwrap_or_else(|_| Err("this went wrong inside; nothing was changed".into()));
        match done {
            Ok(done) => json!({ "answer": envelope.id, "done": done }).to_string(),
            Err(words) => json!({ "answer": envelope.id, "refused": words }).to_string(),
        }
    }
}

async fn send(socket: &mut WebSocket, message: Message) -> Result<(), Gone> {
    match timeout(PATIENCE, socket.send(message)).await {
        Ok(Ok(())) => Ok(()),
        Ok(Err(_)) | Err(_) => Err(Gone),
    }
}
