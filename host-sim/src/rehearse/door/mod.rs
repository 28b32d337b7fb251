//! The door: who comes in needs a key, from a page of this server, at a bearable pace.

mod hosts;
mod pace;

use axum::http::{HeaderMap, header};

pub use hosts::Hosts;
pub use pace::Pace;

use super::people::Right;

/// Bytes of a key, from the system's source of chance.
const KEY_BYTES: usize = 16;

/// The keys of one run; they are made anew each time.
#[derive(Clone, Debug)]
pub struct Door {
    drive: String,
    view: String,
    hosts: Hosts,
    cookie: String,
}

impl Door {
    /// New keys for a page at these hosts.
    ///
    /// # Errors
    /// When the system has no chance to give.
    pub fn new(hosts: Hosts) -> Result<Self, String> {
        // Cookies do not tell ports apart: two pages on one machine must not take each other's.
        let cookie = format!("underfoot-{}", hosts.port());
        Ok(Self { drive: key()?, view: key()?, hosts, cookie })
    }

    /// The key that goes with a right.
    pub fn key_of(&self, right: Right) -> &str {
        match right {
            Right::Drive => &self.drive,
            Right::View => &self.view,
        }
    }

    /// What a key allows; `None` for one that fits nothing.
    pub fn right_of(&self, key: &str) -> Option<Right> {
        // Both are compared to the end, so that time tells nothing of where they differ.
        let (drive, view) = (is_same(key, &self.drive), is_same(key, &self.view));
        if drive { Some(Right::Drive) } else { view.then_some(Right::View) }
    }

    /// What the cookie of a request allows.
    pub fn right(&self, headers: &HeaderMap) -> Option<Right> {
        let cookies = headers.get_all(header::COOKIE).iter().filter_map(|value| value.to_str().ok());
        let mut pairs = cookies.flat_map(|line| line.split(';')).filter_map(|pair| pair.trim().split_once('='));
        pairs.find(|(name, _)| *name == self.cookie).and_then(|(_, key)| self.right_of(key))
    }

    /// The cookie that keeps a key in a browser until it is closed; no other site's page can send it.
    pub fn cookie(&self, right: Right) -> String {
        format!("{}={}; Path=/; HttpOnly; SameSite=Strict", self.cookie, self.key_of(right))
    }

    /// True when a request was meant for this server: a name that somebody else's page made point here is refused.
    pub fn is_for_us(&self, headers: &HeaderMap) -> bool {
        headers.get(header::HOST).and_then(|host| host.to_str().ok()).is_some_and(|host| self.hosts.has(host))
    }

    /// True when a request comes from a page of this server.
    pub fn is_ours(&self, headers: &HeaderMap) -> bool {
        let (host, origin) = (headers.get(header::HOST), headers.get(header::ORIGIN));
        let words = |value: Option<&axum::http::HeaderValue>| value.and_then(|v| v.to_str().ok()).map(str::to_owned);
        match (words(host), words(origin)) {
            (Some(host), Some(origin)) => self.hosts.has(&host) && origin == format!("http://{host}"),
            _ => false,
        }
    }
}

fn key() -> Result<String, String> {
    let mut bytes = [0; KEY_BYTES];
    getrandom::fill(&mut bytes).map_err(|e| format!("the system gives no random numbers for keys: {e}"))?;
    Ok(bytes.iter().map(|byte| format!("{byte:02x}")).collect())
}

fn is_same(a: &str, b: &str) -> bool {
    let differ = a.bytes().zip(b.bytes()).fold(0, |differ, (a, b)| differ | (a ^ b));
    a.len() == b.len() && differ == 0
}

#[cfg(test)]
mod tests {
    use axum::http::{HeaderMap, HeaderName};

    use super::{Door, Hosts};
    use crate::rehearse::people::Right;

    fn headers(rows: &[(&'static str, &str)]) -> HeaderMap {
        let pair = |(name, value): &(&'static str, &str)| Some((HeaderName::from_static(name), value.parse().ok()?));
        rows.iter().filter_map(pair).collect()
    }

    #[test]
    fn only_a_whole_key_opens() {
        let door = Door::new(Hosts::new(4000, &[])).expect("there is chance");
        let drive = door.key_of(Right::Drive).to_owned();
        assert_eq!(door.right_of(&drive), Some(Right::Drive));
        assert_eq!(door.right_of(door.key_of(Right::View)), Some(Right::View));
        for wrong in
            ["", &drive[1..], &format!("{drive}0"), &drive.to_uppercase().replace(|c: char| c.is_ascii_digit(), "g")]
        {
            assert_eq!(door.right_of(wrong), None, "{wrong}");
        }
        let with = |cookie: &str| door.right(&headers(&[("cookie", cookie)]));
        assert_eq!(with(&format!("a=b; underfoot-4000={drive}")), Some(Right::Drive));
        assert_eq!(with(&format!("underfoot-4001={drive}")), None);
        assert_eq!(with("underfoot-4000="), None);
    }

    #[test]
    fn other_pages_and_names_stay_out() {
        let door = Door::new(Hosts::new(4000, &["192.0.2.7".parse().expect("an address")])).expect("there is chance");
        let ours = |host: &str, origin: &str| door.is_ours(&headers(&[("host", host), ("origin", origin)]));
        assert!(ours("127.0.0.1:4000", "http://127.0.0.1:4000"));
        assert!(ours("192.0.2.7:4000", "http://192.0.2.7:4000"));
        assert!(!ours("127.0.0.1:4000", "http://localhost:4000"));
        assert!(!ours("127.0.0.1:4000", "https://127.0.0.1:4000"));
        assert!(!ours("stage.example:4000", "http://stage.example:4000"));
        assert!(!door.is_ours(&headers(&[("host", "127.0.0.1:4000")])));
        assert!(!door.is_for_us(&headers(&[("host", "stage.example:4000")])));
    }
}
