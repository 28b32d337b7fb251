//! Changes of the show file's text.

mod number;
mod page;
mod pictures;
mod stage;
#[cfg(test)]
mod tests;

use std::mem::{Discriminant, discriminant};

use serde::Deserialize;
use toml_edit::Document;

use page::Page;

/// What is changed. Names are those of the show file; lengths in stage metres, angles in degrees.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(tag = "what", rename_all = "kebab-case", deny_unknown_fields)]
pub enum Change {
    /// A prop goes to another place, its moves with it.
    MoveProp {
        /// Its name.
        name: String,
        /// Where to.
        to: [f64; 2],
    },
    /// A prop is turned to another heading.
    TurnProp {
        /// Its name.
        name: String,
        /// Counter-clockwise from above.
        deg: f64,
    },
    /// A mark goes to another place, and with it the points of lines that are written as numbers at its old one.
    MoveMark {
        /// Its name.
        name: String,
        /// Where to.
        to: [f64; 2],
    },
    /// A mark faces another way.
    TurnMark {
        /// Its name.
        name: String,
        /// Counter-clockwise from stage left.
        deg: f64,
    },
    /// A point of a line that is written as numbers goes to another place.
    MovePoint {
        /// The line's name.
        name: String,
        /// Which of the points that the file gives, the first is 0.
        point: usize,
        /// Where to.
        to: [f64; 2],
    },
    /// A line gets one more point.
    AddPoint {
        /// The line's name.
        name: String,
        /// After which of the points that the file gives, the first is 0.
        after: usize,
        /// Where.
        to: [f64; 2],
    },
    /// A physical thing goes to another place.
    MovePhysical {
        /// Its name.
        name: String,
        /// Where to.
        to: [f64; 2],
    },
    /// A physical thing is turned.
    TurnPhysical {
        /// Its name.
        name: String,
        /// Counter-clockwise from above.
        deg: f64,
    },
    /// A camera stands elsewhere, with all its shots that have no place of their own or repeat the camera's; of a jib
    /// its base does.
    MoveCamera {
        /// Its name.
        name: String,
        /// Where to; its height stays without the third.
        to: [f64; 2],
        /// Its height, of a jib its pivot's.
        #[serde(default)]
        z: Option<f64>,
    },
    /// A shot looks elsewhere.
    AimShot {
        /// Its name.
        name: String,
        /// What is in the middle of its picture.
        look: [f64; 3],
        /// Which of its poses, the first is 0: only of a shot that has more than one.
        #[serde(default)]
        key: Option<usize>,
    },
    /// A shot has another focal length.
    ZoomShot {
        /// Its name.
        name: String,
        /// Millimetres.
        focal_mm: f64,
        /// Which of its poses, the first is 0: only of a shot that has more than one.
        #[serde(default)]
        key: Option<usize>,
    },
    /// Time that a cue's walks may take.
    LimitCue {
        /// Its number, as "4.5".
        number: String,
        /// Seconds.
        seconds: f64,
    },
}

/// What a change is about: two changes of the same subject are steps of one.
pub(in crate::rehearse::draft) type Subject = (Discriminant<Change>, String);

impl Change {
    /// The text of a show file with the change.
    ///
    /// # Errors
    /// Says why it cannot be made. Whether the text is still a show is for the loader to say.
    pub fn apply(&self, text: &str) -> Result<String, String> {
        let document = Document::parse(text).map_err(|e| e.message().to_owned())?;
        let mut page = Page::new(text);
        match self {
            Self::MoveProp { name, to } => stage::move_prop(&document, &mut page, name, *to)?,
            Self::TurnProp { name, deg } => stage::turn(&document, &mut page, ("prop", name), *deg)?,
            Self::MoveMark { name, to } => stage::move_mark(&document, &mut page, name, *to)?,
            Self::TurnMark { name, deg } => stage::turn_mark(&document, &mut page, name, *deg)?,
            Self::MovePoint { name, point, to } => stage::move_point(&document, &mut page, (name, *point), *to)?,
            Self::AddPoint { name, after, to } => stage::add_point(&document, &mut page, (name, *after), *to)?,
            Self::MovePhysical { name, to } => stage::move_physical(&document, &mut page, name, *to)?,
            Self::TurnPhysical { name, deg } => stage::turn(&document, &mut page, ("physical", name), *deg)?,
            Self::MoveCamera { name, to, z } => pictures::move_camera(&document, &mut page, name, *to, *z)?,
            Self::AimShot { name, look, key } => pictures::aim(&document, &mut page, (name, *key), *look)?,
            Self::ZoomShot { name, focal_mm, key } => pictures::zoom(&document, &mut page, (name, *key), *focal_mm)?,
            Self::LimitCue { number, seconds } => stage::limit(&document, &mut page, number, *seconds)?,
        }
        Ok(page.finish())
    }

    /// What it is about.
    pub(in crate::rehearse::draft) fn subject(&self) -> Subject {
        let name = match self {
            Self::MovePoint { name, point, .. } => format!("{name} {point}"),
            Self::AimShot { name, key, .. } | Self::ZoomShot { name, key, .. } => format!("{name} {key:?}"),
            Self::LimitCue { number, .. } => number.clone(),
            Self::MoveProp { name, .. }
            | Self::TurnProp { name, .. }
            | Self::MoveMark { name, .. }
            | Self::TurnMark { name, .. }
            | Self::AddPoint { name, .. }
            | Self::MovePhysical { name, .. }
            | Self::TurnPhysical { name, .. }
            | Self::MoveCamera { name, .. } => name.clone(),
        };
        (discriminant(self), name)
    }
}
