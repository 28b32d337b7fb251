//! Numbers with a range and texts with a length: what serde reads and the schema says is one type.

use std::borrow::Cow;

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::{Deserialize, Serialize};
use underfoot_core::limits;

macro_rules! number {
    ($(#[$doc:meta])* $name:ident: $($range:tt)*) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, Default, PartialEq, Deserialize, Serialize)]
        #[serde(transparent)]
        pub(crate) struct $name(pub(crate) f64);

        impl $name {
            /// The number at the core's precision.
            pub(crate) const fn get(self) -> f32 {
                self.0 as f32
            }
        }

        impl JsonSchema for $name {
            fn inline_schema() -> bool {
                true
            }
            fn schema_name() -> Cow<'static, str> {
                stringify!($name).into()
            }
            fn json_schema(_: &mut SchemaGenerator) -> Schema {
                json_schema!({ "type": "number", $($range)* })
            }
        }
    };
}

number!(
    /// A stage or tracking coordinate, metres.
    Coord: "minimum": -limits::STAGE_REACH_M, "maximum": limits::STAGE_REACH_M
);
number!(
    /// A length above nothing, metres.
    Length: "exclusiveMinimum": 0, "maximum": limits::STAGE_REACH_M
);
number!(
    /// A height above the floor, metres.
    Height: "minimum": 0, "maximum": 100
);
number!(
    /// A small length that may be nothing, millimetres.
    MmOrNone: "minimum": 0, "maximum": 1000
);
number!(
    /// The side of a panel, millimetres.
    PanelMm: "minimum": 1, "maximum": 10000
);
number!(
    /// An angle, degrees.
    Deg: "minimum": -3600, "maximum": 3600
);
number!(
    /// A time, seconds.
    Seconds: "minimum": 0, "maximum": 86400
);
number!(
    /// A time above nothing, seconds.
    Period: "exclusiveMinimum": 0, "maximum": 86400
);
number!(
    /// A focal length, millimetres.
    Focal: "minimum": 1, "maximum": 5000
);
number!(
    /// A side of a camera's active sensor, millimetres.
    SensorMm: "minimum": 1, "maximum": 200
);
number!(
    /// A distortion coefficient on undistorted tangents.
    Coefficient: "minimum": -10, "maximum": 10
);

/// A place on the floor: metres towards stage left, metres upstage.
pub(crate) type Place = [Coord; 2];
/// A place in space: metres towards stage left, upstage and up.
pub(crate) type Place3 = [Coord; 3];

macro_rules! text {
    ($(#[$doc:meta])* $name:ident, $max:expr) => {
        $(#[$doc])*
        #[derive(Clone, Debug, Default, PartialEq, Eq, Deserialize)]
        #[serde(transparent)]
        pub(crate) struct $name(pub(crate) String);

        impl JsonSchema for $name {
            fn inline_schema() -> bool {
                true
            }
            fn schema_name() -> Cow<'static, str> {
                stringify!($name).into()
            }
            fn json_schema(_: &mut SchemaGenerator) -> Schema {
                json_schema!({ "type": "string", "minLength": 1, "maxLength": $max })
            }
        }
    };
}

text!(
    /// The short name of a thing.
    NameText, limits::NAME_BYTES
);
text!(
    /// A title or a cue's name.
    TitleText, limits::TITLE_BYTES
);
text!(
    /// What a mark shows on the floor.
    LabelText, limits::LABEL_CHARS
);
text!(
    /// A remark for people.
    NoteText, 2000
);
text!(
    /// The name of a thing that is declared elsewhere in the file, or a file beside it.
    RefText, 255
);

/// A calendar day, written `2026-12-31`.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize)]
#[serde(transparent)]
pub(crate) struct DayText(pub(crate) String);

impl JsonSchema for DayText {
    fn inline_schema() -> bool {
        true
    }
    fn schema_name() -> Cow<'static, str> {
        "DayText".into()
    }
    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({ "type": "string", "format": "date" })
    }
}

/// Words that stand for values of the core.
macro_rules! words {
    ($(#[$doc:meta])* $name:ident: $target:ty { $($word:literal => $value:expr),+ $(,)? }) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq)]
        pub(crate) struct $name(pub(crate) $target);

        impl<'de> serde::Deserialize<'de> for $name {
            fn deserialize<D: serde::Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
                let word = String::deserialize(from)?;
                match word.as_str() {
                    $($word => Ok(Self($value)),)+
                    _ => Err(serde::de::Error::custom("unknown word")),
                }
            }
        }

        // Written only into the schema, as the value of a key that is left out.
        impl serde::Serialize for $name {
            fn serialize<S: serde::Serializer>(&self, into: S) -> Result<S::Ok, S::Error> {
                $(if self.0 == $value {
                    return into.serialize_str($word);
                })+
                Err(serde::ser::Error::custom("a value without a word"))
            }
        }

        impl schemars::JsonSchema for $name {
            fn inline_schema() -> bool {
                true
            }
            fn schema_name() -> std::borrow::Cow<'static, str> {
                stringify!($name).into()
            }
            fn json_schema(_: &mut schemars::SchemaGenerator) -> schemars::Schema {
                schemars::json_schema!({ "type": "string", "enum": [$($word),+] })
            }
        }
    };
}
pub(crate) use words;
