//! What the floor shows at a moment.

use super::state::State;
use crate::look::View;
use crate::show::Show;
use crate::units::Instant;

impl State {
    /// The picture that belongs on the floor at `now`. Equal views give equal pictures.
    pub fn view(&self, _show: &Show, _now: Instant) -> View {
        View { level: self.level, ..View::new(self.mode, self.shown()) }
    }
}
