//! The random scenes hold what they promise: without this, a painter could pass by never being asked.

use underfoot_core::paint::{Rgba, SceneStore};
use underfoot_tests::dice::Dice;
use underfoot_tests::oracle::{figures, paint};
use underfoot_tests::random_scene::{KINDS, Kind, LIES, Thrower, block};

type Store = SceneStore<64, 8, 4>;

/// Every kind on every lie covers something of its block now and then, and never with negative cover.
#[test]
fn every_kind_is_seen_on_every_lie() {
    let mut dice = Dice::new(11);
    for lie in LIES {
        for kind in KINDS {
            let seen = (0..40).filter(|_| covers_something(&mut dice, lie, kind)).count();
            assert!(seen >= 3, "{kind:?} on {lie:?}: seen in {seen} of 40");
        }
    }
}

fn covers_something(dice: &mut Dice, lie: underfoot_tests::random_scene::Lie, kind: Kind) -> bool {
    let block = block(dice, lie, 24);
    let mut store = Store::new();
    let mut scene = store.scene();
    Thrower::new(&block).throw(dice, kind, Rgba::opaque(255, 255, 255), &mut scene);
    let picture = paint(&figures(&scene, &block), (block.x_px, block.y_px), (block.width_px, block.height_px));
    picture.places().any(|(x, y)| picture.at(x, y).rgba[3] > 0.5)
}
