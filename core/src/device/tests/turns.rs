//! What takes long takes turns: a poll paints or draws the display, never both.

use super::*;

/// What a poll did.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Did {
    painted: bool,
    drew: bool,
}

fn poll(world: &mut World) -> Did {
    let seen = |world: &World| {
        let rows = (*world.rows.begun.borrow(), *world.rows.rows.borrow(), *world.rows.frames.borrow());
        (rows, world.panel.shown.borrow().len())
    };
    let before = seen(world);
    world.now = world.now.after(Duration::from_millis(1));
    world.device.poll(world.now);
    let after = seen(world);
    Did { painted: before.0 != after.0, drew: before.1 != after.1 }
}

/// The cue that the display names.
fn told(world: &World) -> Option<CueId> {
    world.panel.shown.borrow().last().and_then(|face| face.now.as_ref().map(|cue| cue.id))
}

/// Hands GO in without the polls of a link.
fn go(world: &mut World, to: u8) {
    world.now = world.now.after(Duration::from_millis(500));
    let now = BoxUnderTest::time(world.now);
    let input = crate::engine::Input::Go { to: CueId(to), from: crate::engine::Source::Keys };
    assert_eq!(world.device.works.enter(now, input), Ok(()));
}

#[test]
fn a_poll_paints_or_draws_the_display_and_the_first_rows_come_first() {
    let mut world = running();
    world.settle();
    for to in [1, 2] {
        go(&mut world, to);
        let begun = *world.rows.begun.borrow();
        let did: Vec<Did> = (0..100).map(|_| poll(&mut world)).collect();
        assert!(did.iter().any(|did| did.painted) && did.iter().any(|did| did.drew));
        assert!(!did.iter().any(|did| did.painted && did.drew), "{did:?}");
        assert_eq!((told(&world), *world.rows.begun.borrow() > begun), (Some(CueId(to)), true));
        let first = |what: fn(&Did) -> bool| did.iter().position(what);
        let drew = first(|did| did.drew).expect("a face");
        // The scene, then edges, then rows.
        let rows = did.iter().take(drew).filter(|did| did.painted).count();
        assert!(rows >= 2, "rows before the face: {did:?}");
    }
}

#[test]
fn a_display_that_changes_with_every_poll_does_not_stop_the_picture() {
    let mut world = running();
    world.settle();
    go(&mut world, 1);
    let frames = *world.rows.frames.borrow();
    let mut drawn = 0;
    for i in 0..100 {
        let clear = crate::engine::Sense::ClearKey(i % 2 == 0);
        let now = BoxUnderTest::time(world.now);
        assert_eq!(world.device.works.enter(now, crate::engine::Input::Sense(clear)), Ok(()));
        drawn += u32::from(poll(&mut world).drew);
    }
    assert!(drawn > 20 && *world.rows.frames.borrow() > frames, "{drawn} faces");
}
