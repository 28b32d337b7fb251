//! Colour and form of each class in a picture. Form alone tells them apart: prints are grey.

use underfoot_core::occupancy::CellClass;

/// Below everything that is not taken.
const FLOOR: [u8; 3] = [74, 78, 84];
/// Lines on the dark ones.
const PALE: [u8; 3] = [150, 154, 158];
const WHITE: [u8; 3] = [244, 242, 232];
const NIGHT: [u8; 3] = [16, 17, 20];
const EDGE: [u8; 3] = [40, 42, 46];
const AMBER: [u8; 3] = [242, 190, 92];
const WOOD: [u8; 3] = [142, 122, 96];
const PLUM: [u8; 3] = [200, 140, 196];

/// The colour of a class at a pixel of the picture.
pub(super) fn color(class: CellClass, (x, y): (usize, usize)) -> [u8; 3] {
    let (rising, falling) = ((x + y) % 10, (x + 10 * y - y) % 10);
    match class {
        CellClass::Free => FLOOR,
        CellClass::Contact => WHITE,
        // Broad stripes, rising to stage left.
        CellClass::Body => pick(rising < 5, WHITE, NIGHT),
        // Dots.
        CellClass::SweptSoon => pick(is_dot(x, y), AMBER, EDGE),
        // Thin level lines.
        CellClass::Edge => pick(y % 8 == 0, PALE, EDGE),
        // Bricks.
        CellClass::Physical => pick(y % 8 == 0 || (x + 8 * (y / 8 % 2)) % 16 == 0, NIGHT, WOOD),
        // Crosses.
        CellClass::Dead => pick(rising == 0 || falling == 0, PLUM, NIGHT),
        // Ticks, as on the floor.
        CellClass::Overhead => pick(is_tick(x, y), WHITE, FLOOR),
    }
}

fn pick(first: bool, one: [u8; 3], other: [u8; 3]) -> [u8; 3] {
    if first { one } else { other }
}

/// A dot of 3 pixels in every 7.
const fn is_dot(x: usize, y: usize) -> bool {
    x % 7 < 3 && y % 7 < 3
}

/// A short upright stroke, set off from row to row.
const fn is_tick(x: usize, y: usize) -> bool {
    (x + 6 * (y / 12 % 2)).is_multiple_of(12) && y % 12 < 6
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Luma of ITU-R BT.709.
    fn grey([r, g, b]: [u8; 3]) -> f64 {
        0.2126 * f64::from(r) + 0.7152 * f64::from(g) + 0.0722 * f64::from(b)
    }

    /// On a grey print every two classes differ clearly at one pixel in thirty, or more.
    #[test]
    fn prints_in_grey_tell_all_classes_apart() {
        for (i, &one) in CellClass::ORDER.iter().enumerate() {
            for &other in &CellClass::ORDER[i + 1..] {
                let places = (0..120).flat_map(|y| (0..120).map(move |x| (x, y)));
                let apart = places.filter(|&at| (grey(color(one, at)) - grey(color(other, at))).abs() > 60.0).count();
                assert!(apart > 120 * 120 / 30, "{one:?} and {other:?} differ at {apart}");
            }
        }
    }
}
