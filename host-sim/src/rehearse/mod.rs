//! The rehearse page: a show run in a browser by the core's own code, before there is a stage.
//!
//! [`serve`] opens a page on this machine. [`draft`] is the show as it is being tried, [`plan`] tells the page what is
//! where, [`checking`] says what is wrong with it,
//! [`pictures`] paints, [`boxes`] runs a simulated box and talks to a real one, [`people`] says who drives,
//! [`door`] lets nobody in without a key, [`web`] is the protocol. [`House`] is what all of them share.

pub mod boxes;
pub mod checking;
pub mod door;
pub mod draft;
pub mod house;
pub mod notices;
pub mod people;
pub mod pictures;
pub mod plan;
pub mod says;
pub mod web;

pub use house::House;
pub use web::{Listening, Settings, serve};
