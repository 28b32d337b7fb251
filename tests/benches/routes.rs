//! Walk lines beside a general any-angle planner: the same 12 lines among the same 32 props.
//!
//! Errors first: how much longer the ways are than the least that any way can be, by the bounds of
//! `tests/src/route_oracle`, and how near they come to what they go round. Then times: medians of interleaved rounds, so
//! that a slow spell of a shared machine hits all; compare ratios, not times.
//!
//! `cargo bench -p underfoot-tests --bench routes`

use std::hint::black_box;
use std::time::Instant;

use glam::Vec2;
use polyanya::{Mesh, Triangulation};
use underfoot_core::geom::StagePoint;
use underfoot_core::show::{LinePoint, Show};
use underfoot_core::walk::{PlanWork, Terrain, shortest};
use underfoot_tests::device::crowd::{CORRIDOR_M, crowd};
use underfoot_tests::route_oracle::corners::{Polygon, of_thing};
use underfoot_tests::route_oracle::{Plan, V, Walk, Walked, plan, search};

/// Corners to a full turn of the polygons that the other planner gets for round outlines.
const TURNS: [f64; 3] = [16.0, 64.0, 180.0];
const ROUNDS: usize = 31;
const THINGS: usize = 160;

type Stops = [StagePoint; 2];
type Way = Vec<(V, f64)>;

/// One planner with what it needs.
enum Planner {
    /// Ours, which makes its list of things anew for every line.
    Ours(Box<PlanWork>),
    /// The other, mesh and lines.
    Whole(f64),
    /// The other with a mesh that was made before.
    Ready(f64, Box<Mesh>),
}

impl Planner {
    fn name(&self) -> String {
        match self {
            Self::Ours(_) => "ours, exact arcs".into(),
            Self::Whole(turn) => format!("polyanya, {turn} corners a turn, mesh and ways"),
            Self::Ready(turn, _) => format!("polyanya, {turn} corners a turn, ways alone"),
        }
    }

    fn ways(&mut self, show: &Show, plan: &Plan, lines: &[Stops]) -> Vec<Way> {
        match self {
            Self::Ours(work) => lines.iter().map(|stops| our_way(show, stops, work)).collect(),
            Self::Whole(turn) => {
                let mesh = mesh(plan, *turn);
                lines.iter().map(|stops| their_way(&mesh, stops)).collect()
            }
            Self::Ready(_, mesh) => lines.iter().map(|stops| their_way(mesh, stops)).collect(),
        }
    }
}

fn our_way(show: &Show, stops: &Stops, work: &mut PlanWork) -> Way {
    let terrain = Terrain::<THINGS>::of(show, &show.cues[0], &show.classes[0], CORRIDOR_M).expect("a terrain");
    let mut points = heapless::Vec::<LinePoint, 64>::new();
    shortest(&terrain, stops, work, &mut points).expect("a way");
    points.iter().map(|p| (p.at.into(), p.bend_m.into())).collect()
}

fn vec2(p: V) -> Vec2 {
    Vec2::new(p.x as f32, p.y as f32)
}

/// The floor less its bands, and every keep-out as a polygon round it.
fn mesh(plan: &Plan, full_turn: f64) -> Mesh {
    let band = plan.bands.iter().map(|band| band.width).fold(0.0, f64::max);
    let inset = |p: V| Vec2::new((p.x - band * p.x.signum()) as f32, (p.y - band * p.y.signum()) as f32);
    let outline: Vec<Vec2> = plan.outline.iter().map(|&p| inset(p)).collect();
    let mut triangulation = Triangulation::from_outer_edges(&outline);
    let polygons = plan.things.iter().map(|thing| of_thing(thing, Polygon::Circumscribed, full_turn));
    triangulation.add_obstacles(polygons.map(|corners| corners.into_iter().map(|corner| vec2(corner.at))));
    let mut mesh = triangulation.as_navmesh();
    mesh.bake();
    mesh
}

fn their_way(mesh: &Mesh, stops: &Stops) -> Way {
    let [from, to] = stops.map(|p| Vec2::new(p.x, p.y));
    let path = mesh.path(from, to).expect("a way");
    let places = path.path.into_iter().map(|p| V { x: p.x.into(), y: p.y.into() });
    std::iter::once(stops[0].into()).chain(places).map(|p| (p, 0.0)).collect()
}

fn median(mut values: Vec<f64>) -> f64 {
    values.sort_by(f64::total_cmp);
    values[values.len() / 2]
}

fn main() {
    let show = crowd();
    let walk = Walk { show: &show, cue: &show.cues[0], class: &show.classes[0], corridor_m: CORRIDOR_M };
    let plan = plan(&walk);
    let stops = |line| show.points_of(line).iter().map(|p| p.at).collect::<Vec<_>>().try_into().expect("two stops");
    let lines: Vec<Stops> = show.lines.iter().map(stops).collect();
    let mut planners = vec![Planner::Ours(Box::new(PlanWork::new()))];
    planners.extend(TURNS.map(Planner::Whole));
    planners.extend(TURNS.map(|turn| Planner::Ready(turn, Box::new(mesh(&plan, turn)))));
    println!("{} lines among {} props", lines.len(), show.props.len());
    error_table(&show, &plan, &lines, &mut planners);
    time_table(&show, &plan, &lines, &mut planners);
}

/// Lengths over the least possible, and room, of all lines together.
fn error_table(show: &Show, plan: &Plan, lines: &[Stops], planners: &mut [Planner]) {
    let bounds: Vec<_> = lines.iter().map(|[a, b]| search::shortest(plan, (*a).into(), (*b).into())).collect();
    let sum = |of: &dyn Fn(&search::Bounds) -> f64| bounds.iter().map(of).sum::<f64>();
    let (low, high) = (sum(&|b| b.low.expect("a way")), sum(&|b| b.high.expect("a way")));
    println!("  {:48} {low:10.5} m to {high:.5} m: the shortest ways are not outside", "bounds");
    for planner in planners {
        let ways = planner.ways(show, plan, lines);
        let walked: Vec<Walked> = ways.iter().map(|way| Walked::along(way)).collect();
        let length: f64 = walked.iter().map(|w| w.length).sum();
        let spare = walked.iter().map(|w| w.spare(plan)).fold(f64::INFINITY, f64::min);
        let points = ways.iter().map(Vec::len).sum::<usize>();
        let over = (length / low - 1.0) * 100.0;
        println!(
            "  {:48} {length:10.5} m, {over:7.4} % over the lower bound; least room {:7.3} mm; {points} points",
            planner.name(),
            spare * 1e3
        );
    }
}

fn time_table(show: &Show, plan: &Plan, lines: &[Stops], planners: &mut [Planner]) {
    let mut times = vec![Vec::new(); planners.len()];
    for round in 0..=ROUNDS {
        for offset in 0..planners.len() {
            let which = (round + offset) % planners.len();
            let start = Instant::now();
            black_box(planners[which].ways(show, plan, lines));
            // The first round warms caches.
            if round > 0 {
                times[which].push(start.elapsed().as_secs_f64());
            }
        }
    }
    let medians: Vec<f64> = times.into_iter().map(median).collect();
    for (planner, time) in planners.iter().zip(&medians) {
        println!("  {:48} {:9.3} ms = {:7.3} x ours", planner.name(), time * 1e3, time / medians[0]);
    }
}
