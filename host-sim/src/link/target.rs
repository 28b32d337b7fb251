//! Where a box is: `tcp:HOST:PORT`, or the path of a serial device.

use std::fmt;
use std::str::FromStr;

/// The far end of a link.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Target {
    /// Host and port.
    Tcp(String),
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
            let (host, port) = address.rsplit_once(':').ok_or_else(bad)?;
            let fits = !host.is_empty() && port.parse::<u16>().is_ok_and(|p| p > 0);
            return if fits { Ok(Self::Tcp(address.to_owned())) } else { Err(bad()) };
        }
        let is_device = text.starts_with('/') || text.to_ascii_uppercase().starts_with("COM");
        if is_device { Ok(Self::Serial(text.to_owned())) } else { Err(bad()) }
    }
}

impl fmt::Display for BadTarget {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "`{}` is no box: write tcp:HOST:PORT, or a serial device such as /dev/ttyACM0 or COM3", self.0)
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
        for bad in ["", "tcp:", "tcp:host", "tcp::1", "tcp:host:0", "tcp:host:70000", "box"] {
            assert_eq!(bad.parse::<Target>(), Err(BadTarget(bad.into())));
        }
    }
}
