//! The demo shows, loaded and packed.

use std::path::Path;

use underfoot_core::limits;
use underfoot_core::pack;
use underfoot_core::show::Show;

/// The demos by file name.
pub const DEMOS: [&str; 3] = ["clock-cabinet", "harbour-hour", "lantern-field"];
/// The demos and their variants that pass every check.
pub const ALL_DEMOS: [&str; 6] = [
    "clock-cabinet",
    "clock-cabinet-clean",
    "harbour-hour",
    "harbour-hour-clean",
    "lantern-field",
    "lantern-field-clean",
];

/// A demo as the core's show.
///
/// # Panics
/// When it does not load.
pub fn demo(name: &str) -> Box<Show> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("../host-sim/demos/{name}.toml"));
    match underfoot_sim::project::load(&path) {
        Ok(project) => project.show,
        Err(errors) => panic!("{}: {errors}", path.display()),
    }
}

/// A show's pack.
///
/// # Panics
/// When it does not fit.
pub fn packed(show: &Show) -> Vec<u8> {
    let mut bytes = vec![0; limits::PACK_BYTES];
    let len = pack::encode(show, &mut bytes).expect("a show that packs");
    bytes.truncate(len);
    bytes
}
