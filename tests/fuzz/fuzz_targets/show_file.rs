//! Any bytes as a show file.
#![no_main]

use libfuzzer_sys::fuzz_target;
use underfoot_tests::decoders;

fuzz_target!(|bytes: &[u8]| {
    decoders::show_file(bytes);
});
