//! The names under which the page may be called.

use std::net::IpAddr;

/// Names of this server: this machine's own, and the addresses that it shares its page at.
#[derive(Clone, Debug)]
pub struct Hosts {
    port: u16,
    names: Vec<String>,
}

impl Hosts {
    /// A page at `port` of this machine, and at `shared` addresses.
    pub fn new(port: u16, shared: &[IpAddr]) -> Self {
        let own = ["127.0.0.1", "localhost", "[::1]"].map(|name| format!("{name}:{port}"));
        let others = shared.iter().map(|address| match address {
            IpAddr::V4(v4) => format!("{v4}:{port}"),
            IpAddr::V6(v6) => format!("[{v6}]:{port}"),
        });
        Self { port, names: own.into_iter().chain(others).collect() }
    }

    /// The port.
    pub const fn port(&self) -> u16 {
        self.port
    }

    /// True when `host` is one of them, port and all.
    pub fn has(&self, host: &str) -> bool {
        self.names.iter().any(|name| name == host)
    }
}
