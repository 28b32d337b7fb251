//! One life of the box: from power-up until its power is cut.

use underfoot_core::device::{Device, Hardware, Memory, Ports, Post, Setup};

use super::Stage;
use crate::cli::Refusal;
use crate::render::png;
use crate::sim::{DeskLink, KeptFlash, Leds, TapeNet, Watched};

/// The box's hardware at the desk.
pub(super) struct AtDesk;

impl Hardware for AtDesk {
    type Link = DeskLink;
    type Net = TapeNet;
    type Flash = KeptFlash;
    type Rows = Leds;
    type Panel = Watched;
}

/// Gives a box power, lets `body` do with it what it wants, and cuts the power.
pub(super) fn live<T>(
    stage: &Stage,
    flash: KeptFlash,
    link: DeskLink,
    body: impl FnOnce(&mut Device<'_, AtDesk>) -> Result<T, Refusal>,
) -> Result<(T, KeptFlash, DeskLink), Refusal> {
    let (mut memory, mut post) = (Box::new(Memory::new()), Box::new(Post::new()));
    let net = TapeNet::new(stage.leds.clone());
    let ports = Ports::<AtDesk> { link, net, flash, rows: stage.leds.clone(), panel: stage.panel.clone() };
    let mut device = Device::new((&mut memory, &mut post), Setup::FIRST, ports)
        .map_err(|e| Refusal(format!("the box does not start: {e:?}")))?;
    let done = body(&mut device)?;
    let Ports { flash, link, mut rows, .. } = device.into_ports();
    stage.panel.darken();
    // Without power the LEDs are dark; on real hardware that is the LED chain's business.
    let Ok(()) = underfoot_core::ports::RowPort::blank(&mut rows);
    stage.leds.cut_tapes();
    Ok((done, flash, link))
}

/// Writes the floor's picture where it was asked for.
pub(super) fn write_floor(leds: &Leds, path: &std::path::Path) -> Result<(), Refusal> {
    let cannot = |why: String| Refusal(format!("cannot write {}: {why}", path.display()));
    let bytes = png::of_picture(&leds.picture()).map_err(|e| cannot(e.to_string()))?;
    std::fs::write(path, bytes).map_err(|e| cannot(e.to_string()))
}
