//! Any bytes as a datagram at the door of sACN.
#![no_main]

use libfuzzer_sys::fuzz_target;
use underfoot_tests::decoders;

fuzz_target!(|bytes: &[u8]| {
    decoders::sacn(bytes);
});
