//! The survey beside a general library's singular value decomposition in double precision
//! (Kabsch's method; W. Kabsch, Acta Cryst. A 32, 1976, from memory), on random stages.

use nalgebra::{Matrix3, Vector3};
use underfoot_core::floor::survey::{Grade, Reading, SCALE_LIMIT, Scale, Survey, SurveyError, Suspect};
use underfoot_core::geom::{StagePoint3, TrackingPoint};
use underfoot_tests::dice::Dice;

type Triple = Vector3<f64>;

fn stage(r: &Reading) -> Triple {
    Triple::new(r.stage.x.into(), r.stage.y.into(), r.stage.z.into())
}

fn tracking(r: &Reading) -> Triple {
    Triple::new(r.tracking.x.into(), r.tracking.y.into(), r.tracking.z.into())
}

/// A fit in double precision.
struct Outside {
    turn: Matrix3<f64>,
    scale: f64,
    from: Triple,
    to: Triple,
}

impl Outside {
    fn of(readings: &[Reading], scale: Scale) -> Self {
        let count = readings.len() as f64;
        let from = readings.iter().map(tracking).sum::<Triple>() / count;
        let to = readings.iter().map(stage).sum::<Triple>() / count;
        let sum: Matrix3<f64> = readings.iter().map(|r| (stage(r) - to) * (tracking(r) - from).transpose()).sum();
        let svd = sum.svd(true, true);
        let (u, v_t) = (svd.u.expect("u"), svd.v_t.expect("v"));
        let mut keep = Matrix3::identity();
        keep[(2, 2)] = (u * v_t).determinant().signum();
        let turn = u * keep * v_t;
        let scale = match scale {
            Scale::Fixed => 1.0,
            Scale::Common => {
                let (mut product, mut square) = (0.0, 0.0);
                for r in readings {
                    let turned = turn * (tracking(r) - from);
                    product += turned.dot(&(stage(r) - to));
                    square += turned.norm_squared();
                }
                let limit = f64::from(SCALE_LIMIT);
                (product / square).clamp(1.0 - limit, 1.0 + limit)
            }
        };
        Self { turn, scale, from, to }
    }

    fn apply(&self, p: Triple) -> Triple {
        self.turn * (p - self.from) * self.scale + self.to
    }

    fn rms(&self, readings: &[Reading]) -> f64 {
        let sum: f64 = readings.iter().map(|r| (self.apply(tracking(r)) - stage(r)).norm_squared()).sum();
        (sum / readings.len() as f64).sqrt()
    }
}

/// Roughly normal with mean 0: twelve throws (central limit).
fn normal(dice: &mut Dice, sigma: f64) -> f64 {
    ((0..12).map(|_| dice.unit()).sum::<f64>() - 6.0) * sigma
}

fn turn_about(axis: usize, radians: f64) -> Matrix3<f64> {
    let axis = [Vector3::x_axis(), Vector3::y_axis(), Vector3::z_axis()][axis];
    nalgebra::Rotation3::from_axis_angle(&axis, radians).into_inner()
}

/// Readings of `points` by a tracking system that stands somewhere, a little askew.
fn read(dice: &mut Dice, points: &[Triple], sigma: f64, scale: f64) -> Vec<Reading> {
    let turn = turn_about(2, dice.between(-3.2, 3.2))
        * turn_about(0, dice.between(-0.05, 0.05))
        * turn_about(1, dice.between(-0.05, 0.05));
    let shift = Triple::new(dice.between(-30.0, 30.0), dice.between(-30.0, 30.0), dice.between(-2.0, 2.0));
    points
        .iter()
        .map(|p| {
            let noise = Triple::new(normal(dice, sigma), normal(dice, sigma), normal(dice, sigma));
            let q = turn * p / scale + shift + noise;
            Reading {
                stage: StagePoint3::new(p.x as f32, p.y as f32, p.z as f32),
                tracking: TrackingPoint::new(q.x as f32, q.y as f32, q.z as f32),
            }
        })
        .collect()
}

/// 4 to 16 points spread over a floor of 3 to 30 m, some on risers.
fn floor_points(dice: &mut Dice) -> Vec<Triple> {
    let (width, depth) = (dice.between(3.0, 30.0), dice.between(3.0, 20.0));
    let corners = [(-0.5, -0.5), (0.5, -0.5), (0.5, 0.5), (-0.5, 0.5)];
    let inner = dice.below(13);
    let mut points: Vec<Triple> = corners.iter().map(|(x, y)| Triple::new(x * width, y * depth, 0.0)).collect();
    for i in 0..inner {
        // One cell of a grid each, so that no two are the same.
        let (x, y) = ((i % 4) as f64 + dice.between(0.2, 0.8), (i / 4) as f64 + dice.between(0.2, 0.8));
        let z = if dice.one_in(4) { 0.2 } else { 0.0 };
        points.push(Triple::new((x / 4.0 - 0.5) * width, (y / 4.0 - 0.5) * depth, z));
    }
    points
}

/// The six places that a crew would choose: corners, centre, one more.
fn six_points(width: f64, depth: f64) -> Vec<Triple> {
    [(-0.5, -0.5), (0.5, -0.5), (0.5, 0.5), (-0.5, 0.5), (0.0, 0.0), (-0.17, 0.33)]
        .iter()
        .map(|(x, y)| Triple::new(x * width, y * depth, 0.0))
        .collect()
}

#[test]
fn four_hundred_random_stages_agree_with_the_decomposition() {
    let mut dice = Dice::new(11);
    let (mut worst_place, mut worst_rms) = (0.0_f64, 0.0_f64);
    for case in 0..400 {
        let points = floor_points(&mut dice);
        let (scale, factor) = match case % 3 {
            0 => (Scale::Fixed, 1.0),
            1 => (Scale::Common, 1.001),
            _ => (Scale::Common, dice.between(0.996, 1.004)),
        };
        let sigma = dice.between(0.0, 0.004);
        let readings = read(&mut dice, &points, sigma, factor);
        let survey = Survey::of(&readings, scale).unwrap_or_else(|e| panic!("case {case}: {e:?}"));
        let outside = Outside::of(&readings, scale);
        for r in &readings {
            let ours = survey.map.to_stage(r.tracking);
            let ours = Triple::new(ours.x.into(), ours.y.into(), ours.z.into());
            worst_place = worst_place.max((ours - outside.apply(tracking(r))).norm());
        }
        worst_rms = worst_rms.max((f64::from(survey.rms_m) - outside.rms(&readings)).abs());
    }
    println!("largest difference: {:.1} um in place, {:.2} um in rms", worst_place * 1e6, worst_rms * 1e6);
    // A coordinate of 30 m has steps of 2 um in single precision.
    assert!(worst_place < 20e-6, "{worst_place}");
    assert!(worst_rms < 5e-6, "{worst_rms}");
}

/// Names given to a 34 mm blunder in a random direction at a random one of six points: right, wrong, none.
fn blunders(seeds: std::ops::Range<u64>, sigma: f64) -> (usize, usize, usize) {
    let (mut right, mut wrong, mut none) = (0, 0, 0);
    for seed in seeds {
        let mut dice = Dice::new(seed);
        let mut readings = read(&mut dice, &six_points(3.0, 3.0), sigma, 1.0);
        let bad = dice.below(6);
        let (z, angle) = (dice.between(-1.0, 1.0), dice.between(0.0, std::f64::consts::TAU));
        let level = (1.0_f64 - z * z).sqrt();
        readings[bad].tracking.x += (0.034 * level * angle.cos()) as f32;
        readings[bad].tracking.y += (0.034 * level * angle.sin()) as f32;
        readings[bad].tracking.z += (0.034 * z) as f32;
        match Survey::of(&readings, Scale::Fixed).expect("a fit").suspect {
            Some(Suspect::Reading { index, .. }) if usize::from(index) == bad => right += 1,
            Some(_) => wrong += 1,
            None => none += 1,
        }
    }
    (right, wrong, none)
}

#[test]
fn a_blunder_among_six_points_is_named() {
    // Readings good to 1 mm on each axis (common practice for optical tracking).
    assert_eq!(blunders(0..20, 0.001), (20, 0, 0));
    let many = blunders(1000..3000, 0.001);
    println!("of 2000: {} right, {} wrong, {} not named", many.0, many.1, many.2);
    assert_eq!(many.1, 0, "a wrong name is worse than none");
    assert!(many.0 >= 1980, "{many:?}");
}

#[test]
fn clean_surveys_accuse_nobody() {
    for seed in 0..500 {
        let mut dice = Dice::new(seed);
        let points = floor_points(&mut dice);
        let survey = Survey::of(&read(&mut dice, &points, 0.001, 1.0), Scale::Fixed).expect("a fit");
        assert_eq!((survey.grade, survey.suspect), (Grade::Green, None), "seed {seed}");
    }
}

#[test]
fn mirrored_surveys_are_refused() {
    for seed in 0..10 {
        let mut dice = Dice::new(seed);
        let points = if seed % 2 == 0 { six_points(3.0, 3.0) } else { floor_points(&mut dice) };
        let mut readings = read(&mut dice, &points, 0.001, 1.0);
        for r in &mut readings {
            // Stage left taken for stage right, or upstage for downstage.
            if seed % 4 < 2 { r.stage.x = -r.stage.x } else { r.stage.y = -r.stage.y }
        }
        let found = Survey::of(&readings, Scale::Common);
        assert!(matches!(found, Err(SurveyError::Mirrored { .. })), "seed {seed}: {found:?}");
    }
}
