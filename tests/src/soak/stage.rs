//! The show that is soaked.

use std::path::Path;

use underfoot_core::show::Show;
use underfoot_sim::project;

/// Harbour Hour on panels of 16 pixels instead of 128, so that eight hours of pictures can be painted in minutes, and with
/// one box: a second one is not there.
///
/// # Panics
/// When the demo cannot be read, or has changed so that this does not fit it.
pub fn show() -> Box<Show> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../host-sim/demos/harbour-hour-clean.toml");
    let mut text = std::fs::read_to_string(&path).expect("the demo");
    for (from, to) in [
        ("backup_box = true", "backup_box = false"),
        ("size_px = [2560, 2048]", "size_px = [320, 256]"),
        ("panel_px = [128, 128]", "panel_px = [16, 16]"),
    ] {
        assert_eq!(text.matches(from).count(), 1, "{from}");
        text = text.replace(from, to);
    }
    project::parse("soak.toml", &text).unwrap_or_else(|errors| panic!("{errors}")).show
}
