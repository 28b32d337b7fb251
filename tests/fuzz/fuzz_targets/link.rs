//! Any bytes as they come over the link.
#![no_main]

use libfuzzer_sys::fuzz_target;
use underfoot_tests::decoders;

fuzz_target!(|bytes: &[u8]| {
    decoders::link(bytes);
});
