//! Nearest names, and units in keys.

/// The nearest of `known` to `word`, when it is near enough to be a slip of the keys.
pub(super) fn nearest<'a>(word: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let lower = word.to_lowercase();
    known
        .into_iter()
        .map(|k| (strsim::damerau_levenshtein(&lower, &k.to_lowercase()), k))
        .min_by_key(|&(distance, _)| distance)
        .filter(|&(distance, k)| {
            distance <= (word.chars().count().max(k.chars().count()) / 3).max(1) || same_stem(word, k)
        })
        .map(|(_, k)| k)
}

/// "did you mean `x`?", or the list of what is known.
pub(super) fn did_you_mean(word: &str, known: &[&str]) -> String {
    match nearest(word, known.iter().copied()) {
        Some(near) => format!("did you mean `{near}`?"),
        None if known.is_empty() => "none is declared".to_owned(),
        None => format!("known: {}", list(known)),
    }
}

/// Up to twelve names, and how many more there are.
pub(super) fn list(names: &[&str]) -> String {
    let mut text = names.iter().take(12).map(|n| format!("`{n}`")).collect::<Vec<_>>().join(", ");
    if names.len() > 12 {
        text.push_str(&format!(" and {} more", names.len() - 12));
    }
    text
}

/// True for keys that differ in their unit alone, like `radius_mm` and `radius_m`.
fn same_stem(a: &str, b: &str) -> bool {
    let stem = |k: &str| k.rsplit_once('_').map_or(k.to_owned(), |(s, _)| s.to_owned());
    a.len() > 2 && (stem(a) == stem(b) || stem(a) == b || a == stem(b))
}

/// The unit that a key carries, in words; a key without one is in metres where it is a length.
pub(super) fn unit_of(key: &str) -> &'static str {
    match key.rsplit_once('_').map_or(key, |(_, unit)| unit) {
        "m" | "at" | "from" | "to" | "look" | "base" | "points" | "outline" | "vertices" | "stage" | "tracking" => {
            "metres"
        }
        "mm" => "millimetres",
        "px" => "pixels",
        "deg" => "degrees",
        "s" => "seconds",
        "ms" => "milliseconds",
        "hz" => "hertz",
        "mps" => "metres per second",
        "lux" => "lux",
        "nits" => "nits",
        "percent" => "percent",
        _ => "",
    }
}

/// For text like "3.5 m" under a key in metres: the number in the key's unit, when both units are known.
pub(super) fn number_with_unit(text: &str, key: &str) -> Option<f64> {
    let text = text.trim();
    let split = text.find(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | '-' | '+')))?;
    let number: f64 = text.get(..split)?.parse().ok()?;
    let per_unit = |unit: &str| match unit {
        "m" | "metres" => Some(("length", 1.0)),
        "cm" => Some(("length", 0.01)),
        "mm" | "millimetres" => Some(("length", 0.001)),
        "s" | "seconds" => Some(("time", 1.0)),
        "ms" | "milliseconds" => Some(("time", 0.001)),
        "deg" | "°" | "degrees" => Some(("angle", 1.0)),
        "%" | "percent" => Some(("share", 1.0)),
        "Hz" | "hertz" => Some(("rate", 1.0)),
        _ => None,
    };
    let (kind, from) = per_unit(text.get(split..)?.trim())?;
    let (wanted, to) = per_unit(unit_of(key))?;
    // Rounded to micro-units so that 350 mm reads 0.35 and not 0.35000000000000003.
    (kind == wanted).then(|| (number * from / to * 1e6).round() / 1e6)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn slips_are_near_and_strangers_are_not() {
        let known = ["focal_mm", "radius_m", "look"];
        assert_eq!(nearest("focal_m", known), Some("focal_mm"));
        assert_eq!(nearest("radius_ft", known), Some("radius_m"));
        assert_eq!(nearest("colour", known), None);
    }

    #[test]
    fn units_are_converted_only_within_their_kind() {
        assert_eq!(number_with_unit("350 mm", "radius_m"), Some(0.35));
        assert_eq!(number_with_unit("3.5 m", "line_mm"), Some(3500.0));
        assert_eq!(number_with_unit("3 s", "radius_m"), None);
        assert_eq!(number_with_unit("3 ft", "radius_m"), None);
    }
}
