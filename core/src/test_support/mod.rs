//! What unit tests of several modules share.

pub(crate) mod samples;
