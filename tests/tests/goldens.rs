//! The kept pictures, the README's among them, are what the tool draws: exactly.

use std::fs;

use underfoot_tests::golden::{all, decode};

#[test]
fn kept_pictures_are_what_the_tool_draws() {
    for golden in all() {
        let name = golden.path.display();
        let kept = fs::read(&golden.path).unwrap_or_else(|e| panic!("{name}: {e}; make it with the bless command"));
        let (kept, drawn) = (decode(&kept), decode(&golden.png));
        assert_eq!((kept.0, kept.1), (drawn.0, drawn.1), "{name}: size");
        let different = kept.2.iter().zip(&drawn.2).filter(|(a, b)| a != b).count();
        assert_eq!(
            different, 0,
            "{name}: {different} samples differ; look, then `cargo run -p underfoot-tests --bin bless`"
        );
    }
}
