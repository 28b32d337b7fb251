//! Where a box is: `udp:HOST` or `udp:HOST:PORT` in a network, `tcp:HOST:PORT`, or the path of a serial device.

use std::fmt;
use std::str::FromStr;

use underfoot_core::ports::LINK_PORT;

/// The far end of a link.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Target {
    /// Host and port.
    Tcp(String),
    /// Host and port of a box in a network.
    Udp(String),
    /// A serial device, as the system names it.
    Serial(String),
}

/// A target that cannot be read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BadTarget(String);

impl FromStr for Target {
    type Err = BadTarget;

    fn from_str(text: &str) -> Result<Self, BadTarget> {
        let bad = || BadTarget(text.to_owned());
        if let Some(address) = text.strip_prefix("tcp:") {
            return if has_host_and_port(address) { Ok(Self::Tcp(address.to_owned())) } else { Err(bad()) };
        }
        if let Some(address) = text.strip_prefix("udp:") {
            // A box has its own port, unless something in between gives it another.
            let with_port = if address.contains(':') { address.to_owned() } else { format!("{address}:{LINK_PORT}") };
            return if has_host_and_port(&with_port) { Ok(Self::Udp(with_port)) } else { Err(bad()) };
        }
        let is_device = text.starts_with('/') || text.to_ascii_uppercase().starts_with("COM");
        if is_device { Ok(Self::Serial(text.to_owned())) } else { Err(bad()) }
    }
}

fn has_host_and_port(address: &str) -> bool {
    let parts = address.rsplit_once(':');
    parts.is_some_and(|(host, port)| !host.is_empty() && port.parse::<u16>().is_ok_and(|p| p > 0))
}

impl fmt::Display for BadTarget {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "`{}` is no box: write udp:ADDRESS, tcp:HOST:PORT, or a serial device such as /dev/ttyACM0 or COM3",
            self.0
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn targets_are_read() {
        assert_eq!("tcp:box.local:4210".parse(), Ok(Target::Tcp("box.local:4210".into())));
        assert_eq!("tcp:[::1]:4210".parse(), Ok(Target::Tcp("[::1]:4210".into())));
        assert_eq!("/dev/ttyACM0".parse(), Ok(Target::Serial("/dev/ttyACM0".into())));
        assert_eq!("COM3".parse(), Ok(Target::Serial("COM3".into())));
        assert_eq!("udp:10.62.1.1".parse(), Ok(Target::Udp("10.62.1.1:62210".into())));
        assert_eq!("udp:127.0.0.1:4210".parse(), Ok(Target::Udp("127.0.0.1:4210".into())));
        for bad in [
            "udp:",
            "udp::1",
            "udp:host:0",
            "udp:host:70000",
            "",
            "tcp:",
            "tcp:host",
            "tcp::1",
            "tcp:host:0",
            "tcp:host:70000",
            "box",
        ] {
            assert_eq!(bad.parse::<Target>(), Err(BadTarget(bad.into())));
        }
    }
}
