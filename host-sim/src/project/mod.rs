//! The show file: TOML that people write, loaded strictly into the core's show.
//!
//! [`load`] reads a file in four steps, each of which keeps every fault that it finds: text to a tree
//! with places, tree against the [`schema`], tables to the core's lists, and the core's own
//! [`validate`](underfoot_core::show::Show::validate). `host-sim/docs/show-file.md` documents every key.

mod check;
mod errors;
mod load;
mod model;
mod places;
mod plan;
mod raw;
mod reference;
mod resolve;
mod schema;
mod source;
pub mod survey_csv;
mod timing;
mod words;

pub use errors::{LoadError, LoadErrors};
pub use load::{load, load_text, parse};
pub use model::{
    CameraDetails, CheckLimits, Day, Hot, Lengths, Light, LineWish, Mount, Naming, NoWayAt, Note, Places, Project,
};
pub use model::{Survey, SurveyPoint, Waiver};
pub use places::{ItemPlaces, Place};
pub use plan::plan_line;
pub use reference::reference;
pub use schema::schema;
