//! Shared oracles and scenarios of the cross-crate tests.
