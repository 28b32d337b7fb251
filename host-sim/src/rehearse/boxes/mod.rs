//! The boxes behind the page: the box's own program, one for every controller and backup of the show, on a simulated
//! network, with a simulated desk that tells them what a real one would.
//!
//! [`life`] is their thread, `shift` one show's boxes in it, [`rig`] the boxes, [`desk`] who talks to them, `fingers` who presses their
//! keys, [`pulled`] what is out of order, [`told`]
//! what the page is told, [`pictures`] what it may look at, [`doings`] what was done at the front box.
//! [`attached`] looks at a real box beside them.

pub mod attached;
pub mod desk;
pub mod doings;
mod fingers;
mod hardware;
pub mod life;
mod people;
mod pictures;
pub mod pulled;
mod rig;
mod shift;
pub mod told;

pub use attached::Attached;
pub use desk::Once;
pub use life::{Boxes, Order};
pub(super) use pictures::routes;
pub use pulled::{PageKey, PageMode, Pull, Pulled};
