//! Puts planned ways in the place of the stops of the lines that ask for one.

use underfoot_core::limits;
use underfoot_core::props::{KeepOutError, Limit};
use underfoot_core::show::{LineId, LinePoint};
use underfoot_core::walk::{Store, WalkError};

use super::resolver::{Resolver, run, small};
use crate::project::model::NoWayAt;
use crate::project::plan;

impl Resolver<'_> {
    /// Plans all lines that ask for it; returns those that have no way.
    pub(super) fn plan_lines(&mut self) -> Vec<NoWayAt> {
        let given: Vec<Vec<LinePoint>> = self.show.lines.iter().map(|l| self.show.points_of(l).to_vec()).collect();
        let mut count: usize = given.iter().map(Vec::len).sum();
        let (mut all, mut no_way) = (Vec::new(), Vec::new());
        for (i, stops) in given.into_iter().enumerate() {
            let planned = self.show.lines.get(i).is_some_and(|l| l.planned);
            let points =
                if planned { self.plan_one(i, &mut no_way).unwrap_or_else(|| stops.clone()) } else { stops.clone() };
            count = count - stops.len() + points.len();
            if count > limits::LINE_POINTS && planned {
                self.line_full(i, points.len(), count);
            }
            all.push(points);
        }
        if self.errors.is_empty() {
            self.lay(all);
        }
        no_way
    }

    /// The way of line `i`; `None` when there is none or it cannot be planned.
    fn plan_one(&mut self, i: usize, no_way: &mut Vec<NoWayAt>) -> Option<Vec<LinePoint>> {
        let (line, wish) = (LineId(small(i)), self.line_wishes.get(i).copied().unwrap_or_default());
        let corridor_m = plan::corridor_m(&self.show, line, &wish);
        if let (Some(found), Some(corridor_m)) = (self.show.lines.get_mut(i), corridor_m) {
            found.corridor_m = corridor_m;
        }
        let error = match plan::plan_line(&self.show, line, &wish) {
            Ok(points) => return Some(points),
            Err(error) => error,
        };
        match error.error {
            WalkError::NoWay(_) | WalkError::Stop { .. } => no_way.push(error),
            other => self.cannot_plan(i, other),
        }
        None
    }

    fn cannot_plan(&mut self, i: usize, error: WalkError) {
        let what = format!("line `{}` cannot be planned: {}", self.line_name(i), self.why(error));
        let remedy = "take `route` out and draw it: write the points that it is to go through";
        self.fault(&format!("line[{i}].route"), what, remedy);
    }

    fn why(&self, error: WalkError) -> String {
        match error {
            WalkError::Full { what: Store::Obstacles, capacity }
            | WalkError::KeepOut(KeepOutError::Full { capacity }) => {
                format!("there are more than {capacity} things to go round")
            }
            WalkError::Full { what: Store::Labels, capacity } => {
                format!("more than {capacity} turns may lead to its end, too many to try")
            }
            WalkError::Full { what: Store::Points, capacity } => format!("its way has more than {capacity} points"),
            WalkError::KeepOut(KeepOutError::Shape { limit, .. }) => {
                format!("the shape of {} on the floor cannot be used", self.limit_name(limit))
            }
            WalkError::Floor(_) => "the floor's outline or an entry cannot be used".to_owned(),
            // The schema sees to two points; what has no way is no fault of the file.
            WalkError::TooFewStops | WalkError::NoWay(_) | WalkError::Stop { .. } => {
                "its points cannot be used".to_owned()
            }
        }
    }

    fn limit_name(&self, limit: Limit) -> String {
        limit.name(&self.show).map_or_else(|| "the floor".to_owned(), |name| format!("`{name}`"))
    }

    fn line_full(&mut self, i: usize, own: usize, count: usize) {
        let name = self.line_name(i);
        let limit = limits::LINE_POINTS;
        let what = format!(
            "the way of line `{name}` has {own} points, which makes {count} over all walk lines; the limit is {limit}"
        );
        self.fault(&format!("line[{i}].route"), what, "give the lines fewer points, or take one out");
    }

    fn line_name(&self, i: usize) -> String {
        self.show.lines.get(i).map_or(String::new(), |l| l.name.to_string())
    }

    /// Lays the points of all lines into the show's list.
    fn lay(&mut self, all: Vec<Vec<LinePoint>>) {
        self.show.line_points.clear();
        for (i, points) in all.into_iter().enumerate() {
            let before = self.show.line_points.len();
            // They have been counted.
            self.show.line_points.extend(points);
            let after = self.show.line_points.len();
            if let Some(line) = self.show.lines.get_mut(i) {
                line.points = run(before, after);
            }
        }
    }
}
