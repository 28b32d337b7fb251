//! The inks against outside colour science: contrast, colour vision, saturation.
//!
//! Sources: contrast and relative luminance, WCAG 2.2 (W3C); sRGB decoding, IEC 61966-2-1; colour-vision
//! matrices, Machado, Oliveira & Fernandes 2009 (IEEE TVCG 15(6)), severity 1.0, on linear RGB; colour
//! difference, CIEDE2000 with the test pairs of Sharma, Wu & Dalal 2005, Table 1.

use underfoot_core::look::ink;
use underfoot_core::paint::Rgba;
use underfoot_core::show::Who;

const WHOS: [Who; 4] = [Who::WhiteCircle, Who::AmberSquare, Who::CyanTriangle, Who::MagentaDiamond];

type Triple = [f64; 3];

fn linear(c: Rgba) -> Triple {
    [c.r, c.g, c.b].map(|v| {
        let v = f64::from(v) / 255.0;
        if v <= 0.04045 { v / 12.92 } else { ((v + 0.055) / 1.055).powf(2.4) }
    })
}

fn times(m: [Triple; 3], v: Triple) -> Triple {
    m.map(|row| row[0] * v[0] + row[1] * v[1] + row[2] * v[2])
}

fn luminance(c: Rgba) -> f64 {
    let [r, g, b] = linear(c);
    0.2126 * r + 0.7152 * g + 0.0722 * b
}

fn contrast(a: Rgba, b: Rgba) -> f64 {
    let (a, b) = (luminance(a) + 0.05, luminance(b) + 0.05);
    if a > b { a / b } else { b / a }
}

/// Linear sRGB to CIE 1976 L*a*b* under D65.
fn lab(rgb: Triple) -> Triple {
    let to_xyz =
        [[0.4124564, 0.3575761, 0.1804375], [0.2126729, 0.7151522, 0.0721750], [0.0193339, 0.1191920, 0.9503041]];
    let white = [0.95047, 1.0, 1.08883];
    let xyz = times(to_xyz, rgb);
    let f = |i: usize| {
        let t = xyz[i] / white[i];
        if t > 216.0 / 24389.0 { t.cbrt() } else { (24389.0 / 27.0 * t + 16.0) / 116.0 }
    };
    [116.0 * f(1) - 16.0, 500.0 * (f(0) - f(1)), 200.0 * (f(1) - f(2))]
}

/// CIEDE2000 colour difference with all weights 1.
fn ciede2000(one: Triple, two: Triple) -> f64 {
    let seventh = |c: f64| (c.powi(7) / (c.powi(7) + 25.0_f64.powi(7))).sqrt();
    let mean = (one[1].hypot(one[2]) + two[1].hypot(two[2])) / 2.0;
    let stretch = 1.0 + 0.5 * (1.0 - seventh(mean));
    let polar = |c: Triple| {
        let a = c[1] * stretch;
        let hue = if a == 0.0 && c[2] == 0.0 { 0.0 } else { c[2].atan2(a).to_degrees().rem_euclid(360.0) };
        (a.hypot(c[2]), hue)
    };
    let ((c1, h1), (c2, h2)) = (polar(one), polar(two));
    let grey = c1 * c2 == 0.0;
    let turn = match h2 - h1 {
        _ if grey => 0.0,
        d if d > 180.0 => d - 360.0,
        d if d < -180.0 => d + 360.0,
        d => d,
    };
    let mean_hue = match h1 + h2 {
        sum if grey => sum,
        sum if (h1 - h2).abs() <= 180.0 => sum / 2.0,
        sum if sum < 360.0 => (sum + 360.0) / 2.0,
        sum => (sum - 360.0) / 2.0,
    };
    let (mean_l, mean_c) = ((one[0] + two[0]) / 2.0, (c1 + c2) / 2.0);
    let cos = |degrees: f64| degrees.to_radians().cos();
    let t = 1.0 - 0.17 * cos(mean_hue - 30.0) + 0.24 * cos(2.0 * mean_hue) + 0.32 * cos(3.0 * mean_hue + 6.0)
        - 0.20 * cos(4.0 * mean_hue - 63.0);
    let off = (mean_l - 50.0).powi(2);
    let sl = 1.0 + 0.015 * off / (20.0 + off).sqrt();
    let (sc, sh) = (1.0 + 0.045 * mean_c, 1.0 + 0.015 * mean_c * t);
    let rotation = -2.0 * seventh(mean_c) * (60.0 * (-((mean_hue - 275.0) / 25.0).powi(2)).exp()).to_radians().sin();
    let dl = (two[0] - one[0]) / sl;
    let dc = (c2 - c1) / sc;
    let dh = 2.0 * (c1 * c2).sqrt() * (turn / 2.0).to_radians().sin() / sh;
    (dl * dl + dc * dc + dh * dh + rotation * dc * dh).sqrt()
}

/// The identity and the three dichromacies of Machado et al., severity 1.0.
const VISIONS: [(&str, [Triple; 3]); 4] = [
    ("typical", [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]]),
    ("protan", [[0.152286, 1.052583, -0.204868], [0.114503, 0.786281, 0.099216], [-0.003882, -0.048116, 1.051998]]),
    ("deutan", [[0.367322, 0.860646, -0.227968], [0.280085, 0.672501, 0.047413], [-0.011820, 0.042940, 0.968881]]),
    ("tritan", [[1.255528, -0.076749, -0.178779], [-0.078411, 0.930809, 0.147602], [0.004733, 0.691367, 0.303900]]),
];

fn seen(vision: [Triple; 3], c: Rgba) -> Triple {
    times(vision, linear(c)).map(|v| v.clamp(0.0, 1.0))
}

/// Sharma, Wu & Dalal 2005, Table 1: pairs with hue wrap, greys and ordinary colours.
#[test]
fn the_colour_difference_agrees_with_its_published_pairs() {
    let pairs = [
        ([50.0, 2.6772, -79.7751], [50.0, 0.0, -82.7485], 2.0425),
        ([50.0, 3.1571, -77.2803], [50.0, 0.0, -82.7485], 2.8615),
        ([50.0, -1.3802, -84.2814], [50.0, 0.0, -82.7485], 1.0000),
        ([50.0, 0.0, 0.0], [50.0, -1.0, 2.0], 2.3669),
        ([50.0, 2.49, -0.001], [50.0, -2.49, 0.0010], 7.1792),
        ([50.0, 2.49, -0.001], [50.0, -2.49, 0.0011], 7.2195),
        ([50.0, -0.001, 2.49], [50.0, 0.0010, -2.49], 4.8045),
        ([50.0, -0.001, 2.49], [50.0, 0.0011, -2.49], 4.7461),
        ([50.0, 2.5, 0.0], [50.0, 0.0, -2.5], 4.3065),
        ([50.0, 2.5, 0.0], [73.0, 25.0, -18.0], 27.1492),
        ([50.0, 2.5, 0.0], [61.0, -5.0, 29.0], 22.8977),
        ([50.0, 2.5, 0.0], [56.0, -27.0, -3.0], 31.9030),
        ([50.0, 2.5, 0.0], [58.0, 24.0, 15.0], 19.4535),
        ([60.2574, -34.0099, 36.2677], [60.4626, -34.1751, 39.4387], 1.2644),
        ([35.0831, -44.1164, 3.7933], [35.0232, -40.0716, 1.5901], 1.8645),
        ([22.7233, 20.0904, -46.6940], [23.0331, 14.9730, -42.5619], 2.0373),
        ([90.9257, -0.5406, -0.9208], [88.6381, -0.8985, -0.7239], 1.5381),
        ([6.7747, -0.2908, -2.4247], [5.8714, -0.0985, -2.2286], 0.6377),
        ([2.0776, 0.0795, -1.1350], [0.9033, -0.0636, -0.5514], 0.9082),
    ];
    for (one, two, want) in pairs {
        let got = ciede2000(one, two);
        assert!((got - want).abs() < 1e-4, "{one:?} {two:?}: {got}");
        assert!((ciede2000(two, one) - want).abs() < 1e-4, "symmetry");
    }
}

/// W3C technique pages G183, G195, G223 print one decimal of these ratios.
#[test]
fn contrast_agrees_with_published_pairs() {
    let rgb = |hex: u32| Rgba::opaque((hex >> 16) as u8, (hex >> 8) as u8, hex as u8);
    for (a, b, want) in [(0x3366CC, 0x000000, 3.9), (0xFF3838, 0xFFFFFF, 3.6), (0xCA0000, 0xFFFFFF, 6.0)] {
        assert!((contrast(rgb(a), rgb(b)) - want).abs() < 0.05, "{a:06X}");
    }
}

/// Simulated primaries computed beforehand with another library from the same matrices.
#[test]
fn the_colour_vision_matrices_are_the_published_ones() {
    let encode = |v: f64| {
        let e = if v <= 0.0031308 { 12.92 * v } else { 1.055 * v.powf(1.0 / 2.4) - 0.055 };
        (e * 255.0).round() as u8
    };
    let red = Rgba::opaque(255, 0, 0);
    for (i, want) in [(1, [0x6D, 0x5F, 0x00]), (2, [0xA3, 0x90, 0x00]), (3, [0xFF, 0x00, 0x0F])] {
        assert_eq!(seen(VISIONS[i].1, red).map(encode), want, "{}", VISIONS[i].0);
    }
}

/// At least 3:1 between light core and dark keyline (WCAG 2.2, SC 1.4.11), 5:1 in light for labels.
#[test]
fn every_light_ink_stands_out_from_its_keyline() {
    let lights = [ink::PROP, ink::EDGE, ink::TEXT].into_iter().chain(WHOS.map(ink::of));
    for light in lights {
        assert!(contrast(light, ink::KEY) >= 3.0, "{light:?}: {}", contrast(light, ink::KEY));
    }
    assert!(contrast(ink::TEXT, ink::KEY) >= 5.0);
    // An arrived mark is dimmed but still read.
    for who in WHOS {
        let dim = ink::of(who).dimmed(underfoot_core::look::marks::ARRIVED);
        assert!(contrast(dim, ink::KEY) >= 1.8, "{who:?}: {}", contrast(dim, ink::KEY));
    }
}

/// A difference of 2.3 is just noticeable side by side (common practice); ten times that across a stage.
#[test]
fn the_colours_of_people_stay_apart_for_every_colour_vision() {
    for (name, vision) in VISIONS {
        for (i, a) in WHOS.iter().enumerate() {
            for b in WHOS.iter().skip(i + 1) {
                let d = ciede2000(lab(seen(vision, ink::of(*a))), lab(seen(vision, ink::of(*b))));
                assert!(d >= 20.0, "{name}: {a:?} and {b:?} are {d:.1} apart");
            }
            let d = ciede2000(lab(seen(vision, ink::of(*a))), lab(seen(vision, ink::PROP)));
            assert!(d >= 12.0, "{name}: {a:?} and props are {d:.1} apart");
        }
    }
}

/// WCAG 2.2 SC 2.3.1: a red is saturated when R / (R + G + B) of linear values reaches 0.8. The same share
/// of green or blue is refused here too: those mean tally, stand by and go to different crews.
#[test]
fn no_ink_is_a_pure_red_green_or_blue() {
    for light in [ink::PROP, ink::EDGE, ink::TEXT, ink::worklight(255)].into_iter().chain(WHOS.map(ink::of)) {
        let v = linear(light);
        let sum: f64 = v.iter().sum();
        assert!(v.iter().all(|c| c / sum < 0.8), "{light:?}");
    }
}
