//! Which boxes a show has.

use heapless::Vec;

use super::seat::Seat;
use crate::limits;
use crate::show::Show;

/// The boxes that a show needs: one for each controller that its canvases name, or two when there are backups.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Roster {
    controllers: Vec<u8, { limits::CANVASES }>,
    backups: bool,
}

impl Roster {
    /// Of no show.
    pub const EMPTY: Self = Self { controllers: Vec::new(), backups: false };

    /// Of a show.
    pub fn of(show: &Show) -> Self {
        let mut roster = Self { controllers: Vec::new(), backups: show.control.backup };
        // Canvases of controller 0 are the desk's.
        for number in show.canvases.iter().map(|canvas| canvas.controller).filter(|number| *number != 0) {
            if !roster.controllers.contains(&number) {
                // There are as many places as canvases.
                let _ = roster.controllers.push(number);
            }
        }
        roster
    }

    /// The other box of the pair of `seat`.
    pub fn partner(&self, seat: Seat) -> Option<Seat> {
        let has_one = (self.backups || seat.backup) && seat.controller != 0;
        has_one.then_some(Seat { backup: !seat.backup, ..seat })
    }

    /// Controllers beside that of `seat`; controller 0 paints all and has no others.
    pub fn others(&self, seat: Seat) -> impl Iterator<Item = u8> {
        self.controllers.iter().copied().filter(move |number| seat.controller != 0 && *number != seat.controller)
    }

    /// True when the box of `seat` is the only one.
    pub fn is_alone(&self, seat: Seat) -> bool {
        self.partner(seat).is_none() && self.others(seat).next().is_none()
    }
}
