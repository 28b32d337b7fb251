//! The box's portable code.
#![no_std]
