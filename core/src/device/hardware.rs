//! All the ports of one box.

use crate::ports::{Address, FlashPort, LinkPort, NetPort, PanelPort, RowPort};

/// The kinds of ports that a board has.
pub trait Hardware {
    /// Bytes to and from a desk.
    type Link: LinkPort;
    /// Datagrams.
    type Net: NetPort;
    /// Memory that keeps the show.
    type Flash: FlashPort;
    /// Rows to the LEDs.
    type Rows: RowPort;
    /// Keys, display, lamp, relay, log.
    type Panel: PanelPort;
}

/// What a board gives.
pub struct Ports<H: Hardware> {
    /// Bytes to and from a desk.
    pub link: H::Link,
    /// Datagrams.
    pub net: H::Net,
    /// Memory that keeps the show.
    pub flash: H::Flash,
    /// Rows to the LEDs.
    pub rows: H::Rows,
    /// Keys, display, lamp, relay, log.
    pub panel: H::Panel,
}

/// Which box of a show this is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Setup {
    /// Number of the controller: it paints the canvases that carry it. 0 paints all.
    pub controller: u8,
    /// This is the backup of its pair.
    pub backup: bool,
    /// Its address in the network.
    pub address: Address,
}

impl Setup {
    /// Controller 1, main.
    pub const FIRST: Self = Self { controller: 1, backup: false, address: Address::of_box(1, false) };
}
