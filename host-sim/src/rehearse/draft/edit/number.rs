//! Numbers as people write them in a show file.

/// Places after the point that a length or an angle from the page is rounded to: millimetres.
const PLACES: i32 = 3;
/// Places that a number which goes along with another may need to stay with it.
const MOST_PLACES: usize = 6;

/// The number to write in the place of `old`, and as text in the style of `literal`; nothing where the two are the same
/// to within half a millimetre (or half a thousandth of a degree), which nobody meant to change.
pub(super) fn instead(literal: &str, old: f64, new: f64) -> Option<(f64, String)> {
    let scale = 10_f64.powi(PLACES);
    let new = (new * scale).round() / scale;
    ((new - old).abs() >= 0.5 / scale).then(|| (new, like(literal, new)))
}

/// A number in the style of a literal: as many places after the point, or as many more as it needs, and then two at
/// least.
pub(super) fn like(literal: &str, value: f64) -> String {
    let rounded = format!("{value:.MOST_PLACES$}");
    let needed = rounded.trim_end_matches('0').rsplit_once('.').map_or(0, |(_, digits)| digits.len());
    let usual = places(literal);
    let places = if needed <= usual { usual } else { needed.max(2) };
    let text = format!("{value:.places$}");
    // Nobody writes -0.00.
    match text.strip_prefix('-') {
        Some(digits) if digits.bytes().all(|b| matches!(b, b'0' | b'.')) => digits.to_owned(),
        _ => text,
    }
}

/// Places after the point of a literal.
fn places(literal: &str) -> usize {
    let plain = literal.bytes().all(|b| b.is_ascii_digit() || matches!(b, b'.' | b'-' | b'+' | b'_'));
    let digits = literal.rsplit_once('.').filter(|_| plain).map_or("", |(_, digits)| digits);
    digits.bytes().filter(u8::is_ascii_digit).count().min(MOST_PLACES)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_keep_the_places_of_those_that_they_replace() {
        let rows = [
            ("-0.90", -0.85, "-0.85"),
            ("-0.90", -0.8, "-0.80"),
            ("-0.90", 0.30000000000000004, "0.30"),
            ("-0.90", 1.2345, "1.2345"),
            ("-0.90", -0.000_000_1, "0.00"),
            ("0", 3.0, "3"),
            ("0", 0.5, "0.50"),
            ("1.6", 1.7, "1.7"),
            ("1.6", 1.65, "1.65"),
            ("1.6", 1.625, "1.625"),
            ("1.500", 2.0, "2.000"),
            ("+1_0.5", 3.0, "3.0"),
            ("5e-1", 0.5, "0.50"),
            ("5e-1", 2.0, "2"),
            ("3.90625", 50.0, "50.00000"),
        ];
        for (literal, value, text) in rows {
            assert_eq!(like(literal, value), text, "{value} in the place of {literal}");
        }
    }

    #[test]
    fn what_the_page_sends_is_rounded_to_a_millimetre_and_less_is_no_change() {
        assert_eq!(instead("0.10", 0.1, 0.1 + 0.2), Some((0.3, "0.30".into())));
        assert_eq!(instead("0.10", 0.1, 0.123_456), Some((0.123, "0.123".into())));
        assert_eq!(instead("-0.35", -0.35, f64::from(-0.35_f32)), None);
        assert_eq!(instead("0.12345", 0.12345, 0.1234), None);
    }
}
