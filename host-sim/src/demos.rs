//! The demo shows, carried inside the command so that a fresh clone has something to draw.

/// A demo's name and the text of its show file.
pub type Demo = (&'static str, &'static str);

macro_rules! demos {
    ($($name:literal),* $(,)?) => {
        /// Every demo show.
        pub const DEMOS: &[Demo] = &[$(($name, include_str!(concat!("../demos/", $name, ".toml")))),*];
    };
}

demos!(
    "clock-cabinet",
    "clock-cabinet-clean",
    "harbour-hour",
    "harbour-hour-clean",
    "lantern-field",
    "lantern-field-clean",
);

/// The text of a demo, by its name.
pub fn text_of(name: &str) -> Option<&'static str> {
    DEMOS.iter().find(|(known, _)| *known == name).map(|(_, text)| *text)
}
