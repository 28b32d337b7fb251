//! The search for the least by its own rules: certain, first, and too near when it has to stop.

use crate::geom::StageVector;
use crate::walk::meet::least::{Facing, Sample, Search};

/// Somebody who passes the origin at `aside` metres, at 1 m/s, nearest at 3 s.
fn passing(aside: f32) -> impl Fn(f32) -> Sample {
    move |t_s| {
        let from = StageVector::new(t_s - 3.0, aside);
        let facing = Facing::Convex(from.unit().unwrap());
        Sample { t_s, from, ahead: StageVector::default(), value_m: from.length(), facing }
    }
}

#[test]
fn a_passing_is_found_in_few_moments() {
    let mut search = Search::new();
    search.over((0.0, 10.0), 0.0, 'a', &passing(0.7));
    let moments = search.moments();
    let found = search.found().unwrap();
    assert!((found.value_m - 0.7).abs() <= 1e-4 && (found.t_s - 3.0).abs() < 0.02, "{found:?}");
    assert!(moments < 60, "{moments}");
}

/// What is kept from 2 s on is named from 2 s on, whichever interval is searched first.
#[test]
fn the_first_of_equal_moments_is_named() {
    let still = |t_s: f32| {
        let from = StageVector::new((2.0 - t_s).max(0.0), 1.0);
        let facing = Facing::Convex(from.unit().unwrap());
        Sample { t_s, from, ahead: StageVector::default(), value_m: from.length(), facing }
    };
    for spans in [[(0.0, 2.0), (2.0, 9.0)], [(2.0, 9.0), (0.0, 2.0)]] {
        let mut search = Search::new();
        spans.iter().for_each(|&span| search.over(span, 0.0, (), &still));
        let found = search.found().unwrap();
        assert!((found.t_s - 2.0).abs() < 0.02 && (found.value_m - 1.0).abs() < 2e-4, "{found:?}");
    }
}

/// With a bound of the speed's change that is far too large the work ends all the same, and what is named is not
/// farther than the truth.
#[test]
fn work_is_bounded_and_ends_on_the_near_side() {
    let mut search = Search::new();
    search.over((0.0, 3600.0), 1e6, (), &passing(0.7));
    let moments = search.moments();
    let found = search.found().unwrap();
    assert!(moments < 41_000, "{moments}");
    assert!(found.value_m <= 0.7 + 1e-4, "{found:?}");
}

/// Somebody who walks round a ring for 12 m at one distance, outside and in its hole: no moment each millimetre.
#[test]
fn round_a_ring_at_one_distance() {
    for (radius_m, outer_m, inner_m) in [(2.0f32, 1.75, 1.5), (2.0, 2.75, 2.25)] {
        let round = |t_s: f32| {
            let out = StageVector::new(libm::cosf(t_s), libm::sinf(t_s));
            let from = out * radius_m;
            let facing = Facing::Ring { outer_m: radius_m - outer_m, inner_m: inner_m - radius_m, out };
            Sample { t_s, from, ahead: StageVector::default(), value_m: 0.25, facing }
        };
        let mut search = Search::new();
        search.over((0.0, 6.0), 2.0, (), &round);
        let moments = search.moments();
        let found = search.found().unwrap();
        assert!((found.value_m - 0.25).abs() < 1e-3, "{found:?}");
        assert!(moments < 1200, "{moments}");
    }
}

#[test]
fn the_first_within_a_limit() {
    let mut search = Search::new();
    // sqrt(1.7² - 0.7²) = 1.549 before 3 s.
    search.first((0.0, 10.0), (0.0, 1.7), 'a', &passing(0.7));
    search.first((0.0, 10.0), (0.0, 1.0), 'b', &passing(0.7));
    let found = search.found().unwrap();
    assert!(found.of == 'a' && (found.t_s - (3.0 - 1.549_19)).abs() < 1e-3, "{found:?}");
    let mut never = Search::new();
    never.first((0.0, 10.0), (0.0, 0.69), (), &passing(0.7));
    assert!(never.found().is_none());
}
