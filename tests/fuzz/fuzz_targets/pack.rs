//! Any bytes as a pack, and as the body of a pack whose guard fits.
#![no_main]

use libfuzzer_sys::fuzz_target;
use underfoot_tests::decoders;

fuzz_target!(|bytes: &[u8]| {
    decoders::pack(bytes);
    decoders::sealed_pack(bytes);
});
