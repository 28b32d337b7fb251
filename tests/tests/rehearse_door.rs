//! What comes to the page's door and does not belong there changes nothing.

use underfoot_tests::browser::{drive, rehearse};

#[test]
fn a_thousand_hostile_requests_change_nothing() {
    let address = rehearse(&["clock-cabinet"], 1);
    drive("door.mjs", &[&address[0]]);
}
